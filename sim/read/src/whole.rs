//! One file into its type: the version of the grammar first, then strict reading. Where that fails, its
//! parts are read one by one, so that a fault in one does not hide another.

use super::diagnostics::{Diagnostic, Diagnostics, Wrong};
use super::document::{Document, Section};
use super::path::{Path, Step};
use super::tree::Node;
use super::typed::{Fault, from_node};
use deepstay_core::plain::acts_unseen;
use serde::Deserialize;
use serde::de::DeserializeOwned;

/// Version of the grammar that is read and written.
pub const FORMAT: u32 = 1;
/// How many elements of a list are tried one by one where the whole cannot be read.
const MOST_TRIED: usize = 200;
/// Diagnostics after which nothing more is tried: nobody reads so many at once.
const ENOUGH: usize = 50;

/// A part that can be read by itself: where it is (`[]` stands for each element), and how it is tried.
pub type Part = (&'static str, fn(&Node) -> Option<Fault>);

/// Tries to read a value as a type; what is wrong with it, if anything.
pub fn fault<T: DeserializeOwned>(node: &Node) -> Option<Fault> {
    from_node::<T>(node).err()
}

#[derive(Deserialize)]
struct Head {
    format: u64,
}

/// Reads a whole file into its type. `parts` are tried one by one where the whole fails.
pub fn whole<T: DeserializeOwned>(
    document: &Document,
    parts: &[Part],
    into: &mut Diagnostics,
) -> Option<T> {
    let path = Path::default();
    let right = is_of_this_format(document, &path, into);
    right.then(|| section(document, &path, parts, into))?
}

/// Reads a part of a file into its type, as [`whole`] does.
pub(crate) fn section<T: DeserializeOwned>(
    document: &Document,
    path: &Path,
    parts: &[Part],
    into: &mut Diagnostics,
) -> Option<T> {
    match from_node::<T>(document.root().reached(&path.0)) {
        Ok(read) => {
            unseen(document, path, into);
            Some(read)
        }
        Err(fault) => {
            into.put(document.told_from(path, &fault));
            one_by_one(document, path, parts, into);
            None
        }
    }
}

/// Refuses texts with signs in them that act and are not seen: names and titles come to screens, pages and
/// tables.
fn unseen(document: &Document, path: &Path, into: &mut Diagnostics) {
    let root = document.root().reached(&path.0);
    for inward in root.paths_where(|node| node.text().is_some_and(|t| t.contains(acts_unseen))) {
        let path = path.join(&inward);
        let sign = document.root().reached(&path.0).text();
        let sign = sign.and_then(|t| t.chars().find(|c| acts_unseen(*c)));
        let code = sign.map_or(0, u32::from);
        into.put(Diagnostic {
            place: document.place(&path),
            wrong: Wrong::Value(format!(
                "this text holds the sign U+{code:04X}, which is not seen but acts on a screen"
            )),
            remedy: Some("write the text anew, by hand".to_owned()),
        });
    }
}

impl Section {
    /// Reads into its type what could be a file of its own, with the version of its grammar; `parts` go on
    /// from it.
    pub fn whole_file<T: DeserializeOwned>(
        &self,
        parts: &[Part],
        into: &mut Diagnostics,
    ) -> Option<T> {
        let right = is_of_this_format(self.document(), self.path(), into);
        right.then(|| section(self.document(), self.path(), parts, into))?
    }
}

fn is_of_this_format(document: &Document, path: &Path, into: &mut Diagnostics) -> bool {
    let root = document.root().reached(&path.0);
    if root
        .field_names()
        .next()
        .is_some_and(|name| name != "format")
    {
        into.put(Diagnostic {
            place: document.place(path),
            wrong: Wrong::NoFormat,
            remedy: Some(format!("begin the file with `(format: {FORMAT}, ...`")),
        });
        return false;
    }
    let head = match from_node::<Head>(root) {
        Ok(head) => head,
        Err(fault) => {
            into.put(document.told_from(path, &fault));
            return false;
        }
    };
    let (wrong, remedy) = match head.format.cmp(&u64::from(FORMAT)) {
        std::cmp::Ordering::Equal => return true,
        std::cmp::Ordering::Greater => (
            Wrong::Newer {
                found: head.format,
                known: FORMAT,
            },
            "take the program that wrote it, or a newer one".to_owned(),
        ),
        std::cmp::Ordering::Less => (
            Wrong::NoSuchFormat { found: head.format },
            format!("write `format: {FORMAT}`"),
        ),
    };
    into.put(Diagnostic {
        place: document.place(&path.join(&Path::of("format"))),
        wrong,
        remedy: Some(remedy),
    });
    false
}

fn one_by_one(document: &Document, outer: &Path, parts: &[Part], into: &mut Diagnostics) {
    let root = document.root();
    for (pattern, fault) in parts {
        let mut paths = vec![outer.clone()];
        for (i, piece) in pattern.split("[]").enumerate() {
            if i > 0 {
                let each = |path: Path| {
                    let count = root.at(&path.0).map_or(0, Node::count);
                    (0..count.min(MOST_TRIED)).map(move |n| path.then(Step::Index(n)))
                };
                paths = paths.into_iter().flat_map(each).collect();
            }
            let on = Path::of(piece.trim_start_matches('.'));
            paths = paths.iter().map(|path| path.join(&on)).collect();
        }
        for path in paths {
            // What stands for another file is not the part itself.
            let Some(node) = root.at(&path.0).filter(|n| n.text().is_none()) else {
                continue;
            };
            if into.count() >= ENOUGH {
                return;
            }
            if let Some(fault) = fault(node) {
                into.put(document.told_from(&path, &fault));
            }
        }
    }
}
