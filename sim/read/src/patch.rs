//! One input of a file patched: a new tree with another value in one place, or in all that a pattern leads
//! to, so that whatever may be written in a file may be put there, is read as strictly, and is complained
//! of at its place.

use super::parse::parse;
use super::patch_error::PatchError;
use super::path::Step;
use super::pattern::PathPattern;
use super::tree::{Item, Name, Node, Value};
use deepstay_core::plain::{acts_unseen, visible};
use deepstay_core::units::text::{number_and_unit, quantity};
use std::ops::Range;
use std::sync::Arc;

/// A change of one input, or of all that a path with `*` leads to.
#[derive(Clone, Debug, PartialEq)]
pub struct Patch {
    /// Pattern of the path to it.
    pub path: String,
    /// What becomes of it.
    pub to: To,
}

/// What becomes of an input.
#[derive(Clone, Debug, PartialEq)]
pub enum To {
    /// This text; a number with its unit needs no quotes.
    Text(String),
    /// The number written there, times this.
    Times(f64),
    /// The number written there and this one, which has its unit.
    Plus(String),
}

/// A tree with another value wherever a pattern leads to.
pub(crate) fn patched(
    root: &Arc<Node>,
    pattern: &PathPattern,
    to: &To,
) -> Result<Arc<Node>, PatchError> {
    let mut tree = root.clone();
    match pattern.expand(root) {
        Ok(paths) => {
            for path in paths {
                tree = replaced(&tree, &path.0, &|old| new_value(old, to))?;
            }
        }
        Err(why) => {
            let To::Text(new) = to else { return Err(why) };
            let (parents, name) = pattern.absent(root).ok_or(why)?;
            for path in parents {
                tree = replaced(&tree, &path.0, &|old| with_field(old, &name, new))?;
            }
        }
    }
    Ok(tree)
}

/// A tree with another value at the end of a path; all beside the path is shared with the old one.
fn replaced(
    node: &Arc<Node>,
    steps: &[Step],
    make: &dyn Fn(&Node) -> Result<Node, PatchError>,
) -> Result<Arc<Node>, PatchError> {
    let Some((step, on)) = steps.split_first() else {
        return make(node).map(Arc::new);
    };
    let mut value = node.value.clone();
    let slot = match (&mut value, step) {
        (Value::Group(_, items), Step::Field(name)) => {
            let is = |i: &&mut Item| i.name.as_ref().is_some_and(|n| &*n.text == name.as_str());
            items.iter_mut().find(is).map(|i| &mut i.node)
        }
        (Value::Group(_, items), Step::Index(i)) => items.get_mut(*i).map(|i| &mut i.node),
        (Value::List(nodes), Step::Index(i)) => nodes.get_mut(*i),
        (Value::Map(pairs), Step::Index(i)) => pairs.get_mut(*i).map(|(_, value)| value),
        _ => None,
    };
    if let Some(slot) = slot {
        *slot = replaced(slot, on, make)?;
    }
    Ok(Arc::new(Node {
        source: node.source.clone(),
        span: node.span.clone(),
        instead: node.instead.clone(),
        value,
    }))
}

/// A bracket with a field put in behind its first: in a file the first must stay the first.
fn with_field(old: &Node, name: &str, new: &str) -> Result<Node, PatchError> {
    let mut value = old.value.clone();
    if let Value::Group(_, items) = &mut value {
        let behind = items.first().map(|i| i.node.stands().end);
        let open = old.written().find('(').map_or(0, |i| i + 1);
        let at = behind.unwrap_or(old.span.start + open);
        let node = Arc::new(fresh(&bare(new), at..at)?);
        let name = Some(Name {
            text: name.into(),
            at: None,
        });
        items.insert(items.len().min(1), Item { name, node });
    }
    Ok(Node {
        source: old.source.clone(),
        span: old.span.clone(),
        instead: old.instead.clone(),
        value,
    })
}

/// A value that stands in the place of another.
fn fresh(written: &str, instead: Range<usize>) -> Result<Node, PatchError> {
    let source: Arc<str> = written.into();
    let broken = |why: String| PatchError::Notation {
        text: written.to_owned(),
        why,
    };
    let root = parse(&source).map_err(|b| broken(b.wrong.to_string()))?;
    Ok(Node {
        source: source.clone(),
        span: root.span.clone(),
        instead: Some(instead),
        value: root.value.clone(),
    })
}

/// A text in quotes that stands in the place of another value.
fn text(meant: &str, instead: Range<usize>) -> Node {
    let source: Arc<str> = quoted(meant).into();
    Node {
        span: 0..source.len(),
        source,
        instead: Some(instead),
        value: Value::Text(meant.into()),
    }
}

fn new_value(old: &Node, to: &To) -> Result<Node, PatchError> {
    if let To::Text(new) = to
        && new.contains(acts_unseen)
    {
        return Err(PatchError::Notation {
            text: visible(new).into_owned(),
            why: "it holds a sign that is not seen but acts on a screen".to_owned(),
        });
    }
    let meant = old.text();
    let put = |new: &str| match meant {
        Some(_) => Ok(text(new, old.stands())),
        None => fresh(new, old.stands()),
    };
    let number = |done: &'static str| {
        let found = number_and_unit(meant.unwrap_or(old.written()));
        found.ok_or_else(|| PatchError::NoNumber {
            found: old.written().to_owned(),
            done,
        })
    };
    match to {
        To::Text(new) if new.trim_start().starts_with('"') => fresh(new.trim(), old.stands()),
        To::Text(new) => put(new.trim()),
        To::Times(by) => {
            let (number, unit) = number("multiplied")?;
            put(&quantity(number * by, unit))
        }
        To::Plus(added) => {
            let (first, unit) = number("added to")?;
            let (more, more_unit) = number_and_unit(added).ok_or(PatchError::NoNumber {
                found: old.written().to_owned(),
                done: "added to",
            })?;
            if unit != more_unit {
                return Err(PatchError::Units {
                    found: old.written().to_owned(),
                    added: added.clone(),
                });
            }
            put(&quantity(first + more, unit))
        }
    }
}

/// A text as it is written where no old one tells whether it wants quotes.
fn bare(new: &str) -> String {
    let new = new.trim();
    let plain = new.parse::<f64>().is_ok()
        || matches!(new, "true" | "false")
        || new.starts_with(['"', '[', '(', '{']);
    if plain { new.to_owned() } else { quoted(new) }
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
