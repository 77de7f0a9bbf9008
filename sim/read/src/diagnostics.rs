//! What is wrong with a file a person writes: where, what, and what would be right.

use deepstay_core::units::fixed_short;
use deepstay_core::units::text::TextError;
use std::collections::HashSet;
use std::hash::{DefaultHasher, Hash, Hasher};

/// A place in a file. Line and column count from 1, columns in characters.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place {
    /// The file as it was named, or the name of what is built in.
    pub file: String,
    /// Line.
    pub line: usize,
    /// Column.
    pub column: usize,
    /// Path through the fields, such as `crew.divers[3].initials`; empty for the whole file.
    pub path: String,
    /// The line as it is written; empty where it is not at hand.
    pub excerpt: String,
}

impl Place {
    /// A file as a whole.
    pub fn whole(file: &str) -> Place {
        Place {
            file: file.to_owned(),
            line: 1,
            column: 1,
            ..Place::default()
        }
    }
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Wrong {
    /// The file cannot be read.
    #[error("cannot be read: {0}")]
    Unreadable(String),
    /// The file is there, but it is no text.
    #[error("line {line} is not text in UTF-8")]
    NotText {
        /// The first line that is not.
        line: usize,
    },
    /// The file is larger than any scenario.
    #[error("is {bytes} bytes; a file of this kind has at most {most}")]
    TooLarge {
        /// Its size.
        bytes: u64,
        /// The most that is read.
        most: u64,
    },
    /// Brackets within brackets without end.
    #[error("brackets are nested more than {most} deep")]
    TooDeep {
        /// The most that is read.
        most: usize,
    },
    /// The version of the grammar is not said first.
    #[error("the first field of a file is its format")]
    NoFormat,
    /// The file is written for a later program.
    #[error(
        "is written in format {found}, which is newer than the format {known} that this program reads"
    )]
    Newer {
        /// What the file says.
        found: u64,
        /// What is read here.
        known: u32,
    },
    /// No version of the grammar has that number.
    #[error("format {found} does not exist")]
    NoSuchFormat {
        /// What the file says.
        found: u64,
    },
    /// The text breaks the grammar of the notation.
    #[error("{0}")]
    Notation(String),
    /// A field that is not known here.
    #[error("unknown field `{found}`; known here: {known}")]
    UnknownField {
        /// What was written.
        found: String,
        /// What may be.
        known: String,
    },
    /// A choice that does not exist.
    #[error("unknown choice `{found}`; the choices are {known}")]
    UnknownChoice {
        /// What was written.
        found: String,
        /// What may be.
        known: String,
    },
    /// A field that must be there.
    #[error("the field `{0}` is missing")]
    MissingField(String),
    /// A field given twice.
    #[error("the field `{0}` is given twice")]
    Twice(String),
    /// A value that cannot be meant, in the words of its kind.
    #[error("{0}")]
    Value(String),
    /// A name that nothing has.
    #[error("there is no {kind} `{name}`{}", known_names(.known))]
    NoSuch {
        /// What was looked for.
        kind: &'static str,
        /// The name.
        name: String,
        /// What there is.
        known: Vec<String>,
    },
    /// A name that two things have.
    #[error("the {kind} `{name}` is named twice")]
    Duplicate {
        /// What kind of thing.
        kind: &'static str,
        /// The name.
        name: String,
    },
    /// Deeper than the steel is rated for.
    #[error("{} msw is deeper than {what} is rated for ({} msw)", fixed_short(*depth_msw), fixed_short(*rating_msw))]
    Rating {
        /// Depth asked for, msw.
        depth_msw: f64,
        /// Which steel.
        what: String,
        /// Its rating, msw.
        rating_msw: f64,
    },
    /// More people than places.
    #[error("{people} divers, but {what} has {places}")]
    Crowded {
        /// How many people.
        people: usize,
        /// Where.
        what: String,
        /// Bunks or places there.
        places: usize,
    },
    /// Parts of the plan or the spread that cannot both be.
    #[error("{0}")]
    Contradiction(String),
    /// The rule set does not answer a question that the plan asks.
    #[error("{words}")]
    Unanswered {
        /// The question and what stands in the way.
        words: String,
        /// Ids of the rows that stand in the way.
        rows: Vec<String>,
    },
}

impl Wrong {
    /// What would be right, where what is wrong says it already.
    pub fn remedy(&self) -> Option<String> {
        let words = match self {
            Wrong::Unreadable(_) => "name a file that is there and that you may read".to_owned(),
            Wrong::NotText { .. } => {
                "see whether this is the file that was meant, and save it as UTF-8".to_owned()
            }
            Wrong::TooLarge { .. } => "see whether this is the file that was meant".to_owned(),
            Wrong::TooDeep { .. } => "see whether a bracket is left open".to_owned(),
            Wrong::MissingField(field) => format!("add {field}: ..."),
            Wrong::Twice(field) => format!("leave one `{field}` out"),
            Wrong::UnknownField { .. } => "leave it out, or write one of the known fields".to_owned(),
            Wrong::UnknownChoice { .. } => "write one of the choices".to_owned(),
            Wrong::NoSuch { kind, known, .. } if known.is_empty() => format!("leave the {kind} out"),
            Wrong::NoSuch { .. } => "write one of the names there are".to_owned(),
            Wrong::Duplicate { kind, .. } => format!("give each {kind} a name of its own"),
            Wrong::Rating { rating_msw, .. } => {
                format!("go no deeper than {} msw, or take steel that is rated deeper", fixed_short(*rating_msw))
            }
            Wrong::Crowded { people, places, .. } => format!(
                "find another place for {} of them, or give more room",
                people.saturating_sub(*places)
            ),
            Wrong::Unanswered { .. } => {
                "take a depth that the set reaches, or another set: `deepstay check --matrix` shows which".to_owned()
            }
            _ => return None,
        };
        Some(words)
    }
}

/// One thing that is wrong.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "{}:{}:{}: {}{wrong}{}",
    .place.file, .place.line, .place.column, prefix(.place), .remedy.as_ref().map_or(String::new(), |s| format!("\n    {s}"))
)]
#[non_exhaustive]
pub struct Diagnostic {
    /// Where.
    pub place: Place,
    /// What.
    pub wrong: Wrong,
    /// What would be right, as a sentence.
    pub remedy: Option<String>,
}

/// How many are kept one by one; of those beyond only the number is.
const KEPT: usize = 100;

/// All that was found wrong, in the order in which it was found; as an error, at least one. The first hundred
/// are kept one by one, so that a file with a hundred thousand faults is told of as fast as it is read.
#[derive(Clone, Debug, Default, PartialEq, thiserror::Error)]
#[error("{}", .all.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))]
#[non_exhaustive]
pub struct Diagnostics {
    /// One by one, as far as they are kept.
    pub all: Vec<Diagnostic>,
    count: usize,
    seen: HashSet<u64>,
}

impl Diagnostics {
    /// One thing wrong with a file as a whole.
    pub fn alone(file: &str, wrong: Wrong, remedy: Option<String>) -> Diagnostics {
        Diagnostics::from(Diagnostic {
            place: Place::whole(file),
            wrong,
            remedy,
        })
    }

    /// Adds one, unless it is there already.
    pub fn put(&mut self, one: Diagnostic) {
        let (file, path) = (one.place.file.clone(), one.place.path.clone());
        self.put_at(&file, &path, one.wrong, one.remedy, |_| one.place);
    }

    /// Adds what is wrong with the value at a path of a file, unless it is there already. The place is looked
    /// up only of those that are kept.
    pub(crate) fn put_at(
        &mut self,
        file: &str,
        path: &str,
        wrong: Wrong,
        remedy: Option<String>,
        place: impl FnOnce(&str) -> Place,
    ) {
        let mut hasher = DefaultHasher::new();
        (file, path, wrong.to_string(), &remedy).hash(&mut hasher);
        if !self.seen.insert(hasher.finish()) {
            return;
        }
        self.count += 1;
        if self.all.len() < KEPT {
            let remedy = remedy.or_else(|| wrong.remedy());
            self.all.push(Diagnostic::new(place(path), wrong, remedy));
        }
    }

    /// How many there are, kept or not.
    pub fn count(&self) -> usize {
        self.count
    }

    /// Whether something of a kind was named that is not there: what follows from where it stands is not known then.
    pub fn lacks(&self, of: &str) -> bool {
        let lacking = |d: &Diagnostic| matches!(d.wrong, Wrong::NoSuch { kind, .. } if kind == of);
        self.all.iter().any(lacking)
    }

    /// What was made, unless something is wrong.
    ///
    /// # Errors
    /// All that is.
    pub fn close<T>(self, made: Option<T>) -> Result<T, Diagnostics> {
        match made {
            Some(made) if self.count == 0 => Ok(made),
            _ => Err(self),
        }
    }
}

impl Diagnostic {
    /// One thing that is wrong, where, and what would be right.
    pub fn new(place: Place, wrong: Wrong, remedy: Option<String>) -> Diagnostic {
        Diagnostic {
            place,
            wrong,
            remedy,
        }
    }
}

impl From<Vec<Diagnostic>> for Diagnostics {
    fn from(all: Vec<Diagnostic>) -> Diagnostics {
        let mut diagnostics = Diagnostics::default();
        for one in all {
            diagnostics.put(one);
        }
        diagnostics
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(one: Diagnostic) -> Diagnostics {
        let mut all = Diagnostics::default();
        all.put(one);
        all
    }
}

impl From<TextError> for Wrong {
    fn from(error: TextError) -> Self {
        Wrong::Value(error.to_string())
    }
}

fn prefix(place: &Place) -> String {
    if place.path.is_empty() {
        String::new()
    } else {
        format!("{}: ", place.path)
    }
}

fn known_names(known: &[String]) -> String {
    const SHOWN: usize = 12;
    match known {
        [] => "; there are none".to_owned(),
        all if all.len() <= SHOWN => format!("; there are {}", all.join(", ")),
        all => format!(
            "; there are {} and {} more",
            all[..SHOWN].join(", "),
            all.len() - SHOWN
        ),
    }
}

/// The known name nearest to a written one, if it is near enough to have been meant.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = name.to_lowercase();
    known
        .into_iter()
        .map(|k| (strsim::osa_distance(&plain, &k.to_lowercase()), k))
        .filter(|(distance, k)| *distance <= 1 + k.chars().count() / 3)
        .min()
        .map(|(_, k)| k)
}

/// "Did you mean" as a sentence.
pub fn did_you_mean(name: Option<&str>) -> Option<String> {
    name.map(|n| format!("did you mean `{n}`?"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beyond_a_hundred_only_the_number_is_kept() {
        let mut diagnostics = Diagnostics::default();
        for line in 1..=70_000 {
            let place = Place {
                line,
                path: format!("planned[{line}]"),
                ..Place::whole("job.ron")
            };
            let one = Diagnostic::new(place, Wrong::Value("too late".to_owned()), None);
            diagnostics.put(one.clone());
            diagnostics.put(one);
        }
        assert_eq!((diagnostics.all.len(), diagnostics.count()), (100, 70_000));
        assert_eq!(diagnostics.all[99].place.line, 100);
    }
}
