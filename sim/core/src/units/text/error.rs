//! What can be wrong with a quantity written as text, said so that the writer can put it right.

/// A text that is not the quantity it should be. Each message names what was read, what was
/// expected, and what would be right.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TextError {
    /// Nothing but white space.
    #[error("nothing is written where {noun} belongs, such as \"{example}\"")]
    Empty {
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// A text that would be right.
        example: &'static str,
    },
    /// It does not begin with a number.
    #[error("\"{text}\" does not begin with a number; {noun} is written like \"{example}\"")]
    NoNumber {
        /// What was written.
        text: String,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// A text that would be right.
        example: &'static str,
    },
    /// A comma inside the number.
    #[error("\"{text}\" has a comma in its number; write a decimal point and no thousands marks")]
    Comma {
        /// What was written.
        text: String,
    },
    /// A number alone where a unit is needed.
    #[error("\"{text}\" has no unit; {noun} is given in {units}, like \"{example}\"")]
    NoUnit {
        /// What was written.
        text: String,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// The units it can have.
        units: String,
        /// A text that would be right.
        example: &'static str,
    },
    /// A unit that measures something else.
    #[error("\"{unit}\" is a unit of {belongs_to}, but this is {noun}, given in {units}")]
    OtherKind {
        /// The unit that was written.
        unit: String,
        /// What the unit measures, with its article.
        belongs_to: &'static str,
        /// The kind of quantity wanted, with its article.
        noun: &'static str,
        /// The units it can have.
        units: String,
    },
    /// A unit that does not exist here, with a near one.
    #[error("unknown unit \"{unit}\"; did you mean \"{nearest}\"? {noun} is given in {units}")]
    Misspelt {
        /// The unit that was written.
        unit: String,
        /// The nearest that exists.
        nearest: &'static str,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// The units it can have.
        units: String,
    },
    /// A unit that does not exist here and is near none.
    #[error("unknown unit \"{unit}\"; {noun} is given in {units}")]
    UnknownUnit {
        /// The unit that was written.
        unit: String,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// The units it can have.
        units: String,
    },
    /// Too small or too large to be meant.
    #[error("\"{text}\" is out of range: {noun} lies between {low} and {high}")]
    OutOfRange {
        /// What was written.
        text: String,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// Lowest value, in the unit written.
        low: String,
        /// Highest value, in the unit written.
        high: String,
    },
    /// It has not the shape of what it should be.
    #[error("\"{text}\" {fault}; {noun} is written like {like}")]
    Shape {
        /// What was written.
        text: String,
        /// What is wrong with it.
        fault: &'static str,
        /// The kind of quantity, with its article.
        noun: &'static str,
        /// Texts that would be right.
        like: &'static str,
    },
}
