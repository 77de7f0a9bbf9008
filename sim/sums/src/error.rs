//! Why a sum has no answer: what is missing or cannot be, and what would be right.

use deepstay_core::units::text::TextError;

/// Why a sum has no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SumError {
    /// No sum of that name.
    #[error(
        "there is no sum `{name}`{}; `deepstay sums` lists them",
        did_you_mean(nearest)
    )]
    UnknownSum {
        /// What was written.
        name: String,
        /// A near one.
        nearest: Option<&'static str>,
    },
    /// No such quantity in a sum.
    #[error("{sum} has no `{name}`{}; it takes {known}", did_you_mean(nearest))]
    UnknownName {
        /// The sum.
        sum: &'static str,
        /// What was written.
        name: String,
        /// A near one.
        nearest: Option<&'static str>,
        /// What it takes.
        known: String,
    },
    /// Not a name and a quantity.
    #[error("`{text}` is no input; write the name, =, and the quantity, like {like}")]
    NoPair {
        /// What was written.
        text: String,
        /// One that would be right.
        like: String,
    },
    /// A quantity that cannot be read.
    #[error("{name}: {wrong}")]
    Text {
        /// Of which name.
        name: &'static str,
        /// What is wrong with it.
        wrong: TextError,
    },
    /// Rates that cannot be read.
    #[error("rates: {0}; they are written deepest first, like \"1.4 msw/h to 16 msw, 0.6 msw/h\"")]
    Rates(String),
    /// Given twice.
    #[error("{name} is given twice")]
    Twice {
        /// Which.
        name: &'static str,
    },
    /// Too little is given.
    #[error("{sum} lacks {missing}{}", give(choices))]
    Missing {
        /// The sum.
        sum: &'static str,
        /// What is missing.
        missing: String,
        /// What to give, and what the answer then is.
        choices: Vec<(String, String)>,
    },
    /// Answer and inputs do not agree.
    #[error(
        "{name} is given as {given}, but its inputs make it {found}{}",
        leave(choices)
    )]
    Contradiction {
        /// Which answer.
        name: &'static str,
        /// As given.
        given: String,
        /// As the sum has it.
        found: String,
        /// What to leave out, and what it then is.
        choices: Vec<(String, String)>,
    },
    /// More than one thing is asked for.
    #[error("one thing at a time: {first} and {second} are both asked for")]
    TwoAsked {
        /// One.
        first: &'static str,
        /// The other.
        second: &'static str,
    },
    /// An input is asked for and none of the answers is given.
    #[error("{name} is asked for, and nothing says what it should give: give one of {answers}")]
    NoAnswerGiven {
        /// What is asked for.
        name: &'static str,
        /// The answers of the sum.
        answers: String,
    },
    /// A choice that the sum does not have.
    #[error("{sum} does not depend on --{choice}{}", instead(has))]
    NoChoice {
        /// The sum.
        sum: &'static str,
        /// The choice.
        choice: &'static str,
        /// Those it has.
        has: String,
    },
    /// What cannot be.
    #[error("{0}")]
    Impossible(String),
    /// No value gives the answer.
    #[error("no value of {name} {range} makes {answer} {wanted}; it lies {reach}")]
    Unreachable {
        /// What was looked for.
        name: &'static str,
        /// From where to where.
        range: String,
        /// Which answer.
        answer: &'static str,
        /// As given.
        wanted: String,
        /// Between what it can be.
        reach: String,
    },
    /// Many values give the answer.
    #[error("{answer} does not say what {name} is: {why}")]
    Undetermined {
        /// What was looked for.
        name: &'static str,
        /// Which answer.
        answer: &'static str,
        /// Why not.
        why: String,
    },
}

fn did_you_mean(nearest: &Option<&'static str>) -> String {
    nearest.map_or(String::new(), |n| format!(" (did you mean `{n}`?)"))
}

fn give(choices: &[(String, String)]) -> String {
    let lines = choices
        .iter()
        .map(|(give, answer)| format!("\n  give {give}: the answer is {answer}"));
    lines.collect()
}

fn leave(choices: &[(String, String)]) -> String {
    let lines = choices
        .iter()
        .map(|(out, answer)| format!("\n  leave out {out}: it is {answer}"));
    lines.collect()
}

fn instead(has: &str) -> String {
    if has.is_empty() {
        "; it has one convention only".to_owned()
    } else {
        format!("; its conventions are {has}")
    }
}
