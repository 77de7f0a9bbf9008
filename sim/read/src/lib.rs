//! Files that a person writes: read once into a tree of values that know where they are written, from
//! which typed values are made, inputs are patched by their path, and whatever is wrong is told at its
//! place with what would be right.
//!
//! The notation is RON. Its own reader tells places only of faults, so the tree has a reader of its own
//! ([`Document`]), the only one; it is held equal to the `ron` crate by generated texts. Every kind of file
//! (jobs, their parts, rule sets, suppliers' lists) is read through here and complained of in the same way.
//!
//! ```
//! use deepstay_read::{Diagnostics, Document, Patch, PathPattern, To};
//!
//! #[derive(serde::Deserialize)]
//! #[serde(deny_unknown_fields)]
//! struct Bank { name: String, bottles: u32 }
//!
//! let document = Document::parse("bank.ron", "(name: \"M-1\", /* a /* nested */ remark */ bottles: 64)").unwrap();
//! let bank: Bank = document.typed().unwrap();
//! assert_eq!((bank.name.as_str(), bank.bottles), ("M-1", 64));
//!
//! let more = document.patched(&PathPattern::parse("bottles").unwrap(), &To::Times(2.0)).unwrap();
//! assert_eq!(more.typed::<Bank>().unwrap().bottles, 128);
//!
//! let wrong = Document::parse("bank.ron", "(name: \"M-1\",\n bottels: 64)").unwrap();
//! let told: Diagnostics = wrong.typed::<Bank>().err().unwrap();
//! assert_eq!((told.all[0].place.line, told.all[0].place.column), (2, 2));
//! assert_eq!(told.all[0].remedy.as_deref(), Some("did you mean `bottles`?"));
//! ```

mod diagnostics;
mod document;
mod number;
mod parse;
mod patch;
mod patch_error;
mod path;
mod pattern;
mod source;
mod tree;
mod typed;
mod whole;

#[cfg(test)]
mod tests;

pub use diagnostics::{Diagnostic, Diagnostics, Place, Wrong, did_you_mean, nearest};
pub use document::{Document, Section};
pub use parse::DEEPEST;
pub use patch::{Patch, To};
pub use patch_error::PatchError;
pub use path::{Path, Step};
pub use pattern::PathPattern;
pub use source::{LARGEST_FILE, begins_with_format, bytes_of, file_bytes, file_text, suggest_file};
pub use tree::Node;
pub use typed::Fault;
pub use whole::{FORMAT, Part, fault, whole};
