//! One file in: size, nesting and version of the grammar first, then strict reading into its type.
//! Where that fails, its parts are read one by one, so that a fault in one does not hide another.

use super::complaint::{BadScenario, Complaint, Place, Wrong};
use super::explain::explain;
use super::locate::{self, Step};
use ron::Options;
use ron::error::SpannedError;
use ron::extensions::Extensions;
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_path_to_error::Segment;
use std::io::Read;
use std::path::Path;

/// Version of the grammar that is read and written.
pub const FORMAT: u32 = 1;
/// Largest file of a scenario that is read, bytes (4 MiB).
pub const LARGEST_FILE: u64 = 4 << 20;
/// How deep brackets may be nested.
pub const DEEPEST: usize = 48;
/// How many elements of a list are tried one by one where the whole cannot be read.
const MOST_TRIED: usize = 200;
/// Complaints after which nothing more is tried: nobody reads so many at once.
const ENOUGH: usize = 50;

/// A text that is being read, and where it stands in its file.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    /// Name of the file, for messages.
    pub file: String,
    /// All of the file's text.
    pub text: String,
    /// Way to the part that this sheet is about.
    pub way: Vec<Step>,
}

impl Sheet {
    pub fn new(file: &str, text: &str) -> Sheet {
        Sheet {
            file: file.to_owned(),
            text: text.to_owned(),
            way: Vec::new(),
        }
    }

    /// The same file, a field further in.
    pub fn within(&self, field: &str) -> Sheet {
        let mut inner = self.clone();
        inner.way.push(Step::Field(field.to_owned()));
        inner
    }

    /// Where a value of this part is written; `path` goes on from the part.
    pub fn place(&self, path: &str) -> Place {
        let mut way = self.way.clone();
        way.extend(locate::steps(path));
        self.at(&way, locate::value(&self.text, &way).start)
    }

    /// A byte of the file, at the end of a way.
    pub fn at(&self, way: &[Step], byte: usize) -> Place {
        let (line, column) = locate::line_column(&self.text, byte);
        Place {
            file: self.file.clone(),
            line,
            column,
            path: locate::written(way),
            excerpt: locate::line(&self.text, line),
        }
    }
}

/// Collects complaints.
#[derive(Debug, Default)]
pub(super) struct Desk {
    pub complaints: Vec<Complaint>,
}

impl Desk {
    pub fn complain(&mut self, sheet: &Sheet, path: &str, wrong: Wrong) {
        self.suggest(sheet, path, wrong, None);
    }

    pub fn suggest(&mut self, sheet: &Sheet, path: &str, wrong: Wrong, suggestion: Option<String>) {
        self.put(Complaint {
            place: sheet.place(path),
            wrong,
            suggestion,
        });
    }

    pub fn put(&mut self, mut complaint: Complaint) {
        complaint.suggestion = complaint.suggestion.or_else(|| complaint.wrong.remedy());
        if !self.complaints.contains(&complaint) {
            self.complaints.push(complaint);
        }
    }

    /// What was made, unless there is a complaint.
    pub fn close<T>(self, made: Option<T>) -> Result<T, BadScenario> {
        match made {
            Some(made) if self.complaints.is_empty() => Ok(made),
            _ => Err(BadScenario {
                complaints: self.complaints,
            }),
        }
    }
}

/// The text of a file, if it is one of a scenario's size.
pub(super) fn file_text(path: &Path) -> Result<String, Wrong> {
    let unreadable = |e: std::io::Error| Wrong::Unreadable(plain_words(&e));
    let about = std::fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(Wrong::Unreadable("it is a folder".to_owned()));
    }
    if about.len() > LARGEST_FILE {
        return Err(Wrong::TooLarge {
            bytes: about.len(),
            most: LARGEST_FILE,
        });
    }
    // What is no plain file may not say how long it is.
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(unreadable)?;
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(unreadable)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Wrong::TooLarge {
            bytes: bytes.len() as u64,
            most: LARGEST_FILE,
        });
    }
    String::from_utf8(bytes).map_err(|e| {
        let line = e.as_bytes()[..e.utf8_error().valid_up_to()]
            .iter()
            .filter(|b| **b == b'\n')
            .count()
            + 1;
        Wrong::Unreadable(format!("line {line} is not text in UTF-8"))
    })
}

fn plain_words(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        std::io::ErrorKind::PermissionDenied => "it may not be read by you".to_owned(),
        _ => error.to_string(),
    }
}

fn options() -> Options {
    let extensions = Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES;
    Options::default().with_default_extension(extensions)
}

/// What the notation's reader says, and how far it got.
pub(super) type Fault = Box<(Vec<Segment>, SpannedError)>;

/// A part that can be read by itself: where it is (`[]` stands for each element), and how it is tried.
pub(super) type Part = (&'static str, fn(&str) -> Option<Fault>);

/// Tries to read a text as a type; what is wrong with it, if anything.
pub(super) fn fault<T: DeserializeOwned>(text: &str) -> Option<Fault> {
    read::<T>(text).err()
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T, Fault> {
    let at_once = |e| Box::new((Vec::new(), e));
    let mut de = ron::Deserializer::from_str_with_options(text, &options()).map_err(at_once)?;
    let read: T = serde_path_to_error::deserialize(&mut de).map_err(|e| {
        let way = e.path().iter().cloned().collect();
        Box::new((way, de.span_error(e.into_inner())))
    })?;
    de.end().map_err(|e| at_once(de.span_error(e)))?;
    Ok(read)
}

#[derive(Deserialize)]
struct Head {
    format: u64,
}

/// Reads a whole file into its type. `parts` are tried one by one where the whole fails.
pub(super) fn whole<T: DeserializeOwned>(
    sheet: &Sheet,
    parts: &[Part],
    desk: &mut Desk,
) -> Option<T> {
    let text = &sheet.text;
    if text.len() as u64 > LARGEST_FILE {
        let wrong = Wrong::TooLarge {
            bytes: text.len() as u64,
            most: LARGEST_FILE,
        };
        desk.complain(sheet, "", wrong);
        return None;
    }
    if locate::depth(text) > DEEPEST {
        desk.complain(sheet, "", Wrong::TooDeep { most: DEEPEST });
        return None;
    }
    if locate::first_field(text).is_some_and(|name| name != "format") {
        let suggestion = Some(format!("begin the file with `(format: {FORMAT}, ...`"));
        desk.suggest(sheet, "", Wrong::NoFormat, suggestion);
        return None;
    }
    match read::<Head>(text) {
        Err(fault) => {
            desk.put(explain(sheet, &[], &fault, text));
            return None;
        }
        Ok(head) if head.format > u64::from(FORMAT) => {
            let wrong = Wrong::Newer {
                found: head.format,
                known: FORMAT,
            };
            desk.suggest(
                sheet,
                "format",
                wrong,
                Some("take the program that wrote it, or a newer one".to_owned()),
            );
            return None;
        }
        Ok(head) if head.format < u64::from(FORMAT) => {
            desk.suggest(
                sheet,
                "format",
                Wrong::NoSuchFormat { found: head.format },
                Some(format!("write `format: {FORMAT}`")),
            );
            return None;
        }
        Ok(_) => {}
    }
    match read::<T>(text) {
        Ok(read) => Some(read),
        Err(fault) => {
            desk.put(explain(sheet, &[], &fault, text));
            one_by_one(sheet, parts, desk);
            None
        }
    }
}

fn one_by_one(sheet: &Sheet, parts: &[Part], desk: &mut Desk) {
    for (path, fault) in parts {
        let mut ways = vec![Vec::new()];
        for (i, piece) in path.split("[]").enumerate() {
            if i > 0 {
                let each = |way: Vec<Step>| {
                    (0..locate::count(&sheet.text, &way).min(MOST_TRIED))
                        .map(move |n| [&way[..], &[Step::Index(n)]].concat())
                };
                ways = ways.into_iter().flat_map(each).collect();
            }
            for way in &mut ways {
                way.extend(locate::steps(piece.trim_start_matches('.')));
            }
        }
        for way in ways {
            let range = locate::value(&sheet.text, &way);
            let there = locate::is_there(&sheet.text, &way);
            let part = sheet.text.get(range).unwrap_or("");
            // What stands for another file is not the part itself.
            if !there || part.starts_with('"') {
                continue;
            }
            if desk.complaints.len() >= ENOUGH {
                return;
            }
            if let Some(fault) = fault(part) {
                desk.put(explain(sheet, &way, &fault, part));
            }
        }
    }
}
