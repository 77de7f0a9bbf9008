//! A file that has been read: its text, its tree of values, and places in it.

use super::diagnostics::{Diagnostic, Diagnostics, Place, Wrong};
use super::parse::parse;
use super::patch::{To, patched};
use super::patch_error::PatchError;
use super::path::{Path, Step};
use super::pattern::PathPattern;
use super::source::{LARGEST_FILE, line, line_column};
use super::tree::Node;
use super::typed::{Fault, from_node};
use serde::de::DeserializeOwned;
use std::sync::Arc;

/// A file that has been read.
#[derive(Clone, Debug)]
pub struct Document {
    file: Arc<str>,
    root: Arc<Node>,
    is_patched: bool,
}

impl Document {
    /// Reads a text; `file` is its name for messages.
    ///
    /// # Errors
    /// It breaks the notation, or is larger or deeper than what a person writes.
    pub fn parse(file: &str, text: &str) -> Result<Document, Diagnostics> {
        if text.len() as u64 > LARGEST_FILE {
            let wrong = Wrong::TooLarge {
                bytes: text.len() as u64,
                most: LARGEST_FILE,
            };
            return Err(Diagnostics::alone(file, wrong, None));
        }
        let source: Arc<str> = text.into();
        match parse(&source) {
            Ok(root) => Ok(Document {
                file: file.into(),
                root,
                is_patched: false,
            }),
            Err(broken) => Err(Diagnostics::from(Diagnostic {
                place: place(file, text, broken.at, String::new()),
                wrong: broken.wrong,
                remedy: broken.remedy.map(str::to_owned),
            })),
        }
    }

    /// Name of the file.
    pub fn file(&self) -> &str {
        &self.file
    }

    /// The value of the whole file.
    pub fn root(&self) -> &Node {
        &self.root
    }

    /// The file as a typed value.
    ///
    /// # Errors
    /// The first thing that is wrong, at its place.
    pub fn typed<T: DeserializeOwned>(&self) -> Result<T, Diagnostics> {
        from_node(&self.root).map_err(|fault| self.told(&fault).into())
    }

    /// What is wrong with a typed value, at its place.
    pub(crate) fn told(&self, fault: &Fault) -> Diagnostic {
        self.told_from(&Path::default(), fault)
    }

    /// As [`Document::told`], of a value at the end of a path.
    pub(crate) fn told_from(&self, outer: &Path, fault: &Fault) -> Diagnostic {
        let spot = outer.join(&fault.spot());
        let shown = outer.join(&fault.shown());
        let place = self.look(|root, text| {
            let node = root.reached(&spot.0);
            let name = fault.name().and_then(|name| node.name_at(name));
            place(
                &self.file,
                text,
                name.unwrap_or(node.span.start),
                shown.to_string(),
            )
        });
        Diagnostic {
            place,
            wrong: fault.wrong().clone(),
            remedy: fault.remedy().map(str::to_owned),
        }
    }

    /// Where the value at the end of a path is written; where a step is not there, the value reached.
    pub fn place(&self, path: &Path) -> Place {
        self.look(|root, text| {
            let at = root.reached(&path.0).span.start;
            place(&self.file, text, at, path.to_string())
        })
    }

    /// Looks at the tree with its whole text; one that has been patched is written out and read again, so
    /// that places are those of the text as it would be written.
    fn look<R>(&self, look: impl Fn(&Node, &str) -> R) -> R {
        if self.is_patched {
            let text: Arc<str> = self.root.rendered().into();
            if let Ok(root) = parse(&text) {
                return look(&root, &text);
            }
        }
        look(&self.root, &self.root.source)
    }

    /// The text, with all that patches have put in.
    pub fn text(&self) -> String {
        self.root.rendered()
    }

    /// The same file with an input patched.
    ///
    /// # Errors
    /// The pattern leads nowhere, or what is there cannot become what it should.
    pub fn patched(&self, pattern: &PathPattern, to: &To) -> Result<Document, PatchError> {
        Ok(Document {
            file: self.file.clone(),
            root: patched(&self.root, pattern, to)?,
            is_patched: true,
        })
    }

    /// Every path that a pattern leads to, fields among them that are left out.
    ///
    /// # Errors
    /// It leads nowhere.
    pub fn paths(&self, pattern: &PathPattern) -> Result<Vec<Path>, PatchError> {
        pattern.expand(&self.root).or_else(|why| {
            let (parents, name) = pattern.absent(&self.root).ok_or(why)?;
            let own = |at: Path| at.then(Step::Field(name.clone()));
            Ok(parents.into_iter().map(own).collect())
        })
    }

    /// Whether a pattern leads somewhere, and whether it goes on from there.
    pub fn leads(&self, pattern: &PathPattern) -> Option<bool> {
        let paths = pattern.expand(&self.root).ok()?;
        let goes_on = |path: &Path| self.root.at(&path.0).is_some_and(|n| n.count() > 0);
        Some(paths.iter().any(goes_on))
    }
}

/// A byte of a file as a place.
fn place(file: &str, text: &str, at: usize, path: String) -> Place {
    let (number, column) = line_column(text, at);
    Place {
        file: file.to_owned(),
        line: number,
        column,
        path,
        excerpt: line(text, number),
    }
}

/// A part of a file: a document and the path to the part.
#[derive(Clone, Debug)]
pub struct Section {
    document: Arc<Document>,
    path: Path,
}

impl Section {
    /// The whole of a document.
    pub fn whole(document: Arc<Document>) -> Section {
        Section {
            document,
            path: Path::default(),
        }
    }

    /// The same file, a field further in.
    #[must_use]
    pub fn within(&self, field: &str) -> Section {
        Section {
            document: self.document.clone(),
            path: self.path.then(Step::Field(field.to_owned())),
        }
    }

    /// The document.
    pub fn document(&self) -> &Arc<Document> {
        &self.document
    }

    /// Path to the part.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The value of the part, if it is there.
    pub fn node(&self) -> Option<&Node> {
        self.document.root.at(&self.path.0)
    }

    /// The part as a typed value.
    ///
    /// # Errors
    /// What does not fit, or that there is no such part.
    pub fn typed<T: DeserializeOwned>(&self) -> Result<T, Fault> {
        match self.node() {
            Some(node) => from_node(node),
            None => Err(Fault::missing()),
        }
    }

    /// Where a value of this part is written; `path` goes on from the part.
    pub fn place(&self, path: &str) -> Place {
        self.document.place(&self.path.join(&Path::of(path)))
    }
}

impl Diagnostics {
    /// Adds what is wrong with a value; `path` goes on from the section.
    pub fn add(&mut self, section: &Section, path: &str, wrong: Wrong) {
        self.add_with(section, path, wrong, None);
    }

    /// As [`Diagnostics::add`], with what would be right.
    pub fn add_with(
        &mut self,
        section: &Section,
        path: &str,
        wrong: Wrong,
        remedy: Option<String>,
    ) {
        let full = section.path.join(&Path::of(path)).to_string();
        let place = |_: &str| section.place(path);
        self.put_at(section.document.file(), &full, wrong, remedy, place);
    }
}
