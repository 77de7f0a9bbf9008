//! Patterns of paths, which lead to many values of a tree.

use super::patch_error::PatchError;
use super::path::{Path, Step};
use super::tree::Node;
use std::fmt;

/// One step of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Choose {
    Field(String),
    Index(usize),
    /// The element with this name or these initials.
    Named(String),
    All,
}

impl fmt::Display for Choose {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Choose::Field(name) | Choose::Named(name) => f.write_str(name),
            Choose::Index(i) => write!(f, "{i}"),
            Choose::All => f.write_str("*"),
        }
    }
}

/// A path that may lead to many values: `crew.divers[AB].mass`, `spread.compartments[*].leak`. An element
/// of a list is named by its `name` or `initials`, by its place from 0, or `*` for all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PathPattern(pub(crate) Vec<Choose>);

impl PathPattern {
    /// A pattern from its text.
    ///
    /// # Errors
    /// It is none.
    pub fn parse(text: &str) -> Result<PathPattern, PatchError> {
        let no_path = || PatchError::NoPath(text.to_owned());
        let mut steps = Vec::new();
        let mut rest = text.trim();
        while !rest.is_empty() {
            if let Some(inner) = rest.strip_prefix('[') {
                let (name, after) = inner.split_once(']').ok_or_else(no_path)?;
                steps.push(match (name.trim(), name.trim().parse()) {
                    ("", _) => return Err(no_path()),
                    ("*", _) => Choose::All,
                    (_, Ok(index)) => Choose::Index(index),
                    (name, _) => Choose::Named(name.to_owned()),
                });
                rest = after.strip_prefix('.').unwrap_or(after);
            } else {
                let end = rest.find(['.', '[']).unwrap_or(rest.len());
                let (name, after) = rest.split_at(end);
                if name.is_empty() || !name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') {
                    return Err(no_path());
                }
                steps.push(Choose::Field(name.to_owned()));
                rest = after.strip_prefix('.').unwrap_or(after);
            }
        }
        if steps.is_empty() {
            Err(no_path())
        } else {
            Ok(PathPattern(steps))
        }
    }

    /// The pattern of one path.
    pub fn of(path: &Path) -> PathPattern {
        let one = |step: &Step| match step {
            Step::Field(name) => Choose::Field(name.clone()),
            Step::Index(i) => Choose::Index(*i),
        };
        PathPattern(path.0.iter().map(one).collect())
    }

    /// Its first step as text.
    pub fn first(&self) -> String {
        self.0.first().map_or_else(String::new, ToString::to_string)
    }

    /// How many steps it has.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether it has no step.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Its first steps.
    #[must_use]
    pub fn upto(&self, steps: usize) -> PathPattern {
        PathPattern(self.0[..steps.min(self.0.len())].to_vec())
    }

    /// All but its first steps.
    #[must_use]
    pub fn past(&self, steps: usize) -> PathPattern {
        PathPattern(self.0[steps.min(self.0.len())..].to_vec())
    }

    /// The same, from a field further out.
    #[must_use]
    pub fn within(&self, field: &str) -> PathPattern {
        let mut steps = vec![Choose::Field(field.to_owned())];
        steps.extend(self.0.iter().cloned());
        PathPattern(steps)
    }

    /// Every path that it leads to.
    pub(crate) fn expand(&self, root: &Node) -> Result<Vec<Path>, PatchError> {
        let mut paths = vec![(Path::default(), root)];
        for step in &self.0 {
            let mut next = Vec::new();
            let mut missing = None;
            for (at, node) in &paths {
                let before = next.len();
                let mut take = |step: Step| {
                    if let Some(child) = node.child(&step) {
                        next.push((at.then(step), child));
                    }
                };
                match step {
                    Choose::Field(name) => take(Step::Field(name.clone())),
                    Choose::Index(i) => take(Step::Index(*i)),
                    Choose::All => (0..node.count()).for_each(|i| take(Step::Index(i))),
                    Choose::Named(name) => {
                        let is = |i: &usize| {
                            let child = node.child(&Step::Index(*i));
                            child.and_then(Node::own_name) == Some(name.as_str())
                        };
                        (0..node.count())
                            .filter(is)
                            .for_each(|i| take(Step::Index(i)));
                    }
                }
                if next.len() == before && missing.is_none() {
                    missing = Some(PatchError::NoSuch {
                        step: step.to_string(),
                        within: if at.0.is_empty() {
                            "the file".to_owned()
                        } else {
                            at.to_string()
                        },
                        known: node.known(),
                    });
                }
            }
            // Of the many that `*` leads to, some may have what the path goes on to, and some not.
            if let (true, Some(missing)) = (next.is_empty(), missing) {
                return Err(missing);
            }
            paths = next;
        }
        Ok(paths.into_iter().map(|(path, _)| path).collect())
    }

    /// Fields at its end that are left out, each with the path to where it belongs.
    pub(crate) fn absent(&self, root: &Node) -> Option<(Vec<Path>, String)> {
        let (last, _) = self.0.split_last()?;
        let Choose::Field(name) = last else {
            return None;
        };
        let parents = self.upto(self.0.len() - 1).expand(root).ok()?;
        let takes = |at: &Path| root.at(&at.0).is_some_and(Node::takes_fields);
        let fit = !parents.is_empty() && parents.iter().all(takes);
        fit.then(|| (parents, name.clone()))
    }
}
