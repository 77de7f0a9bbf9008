//! Splits a text into a number and a unit, and converts by a table of units.

use super::error::TextError;
use super::tables::{KINDS, Kind, Unit};

/// The number a text begins with, as written, and the rest after white space.
pub(super) fn split(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digits = |mut i: usize| {
        while i < bytes.len() && bytes[i].is_ascii_digit() {
            i += 1;
        }
        i
    };
    let signed = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let whole = digits(signed);
    let mut end = whole;
    let mut any = whole > signed;
    if bytes.get(end) == Some(&b'.') {
        let after = digits(end + 1);
        any |= after > end + 1;
        end = after;
    }
    if !any {
        return ("", text);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let after = digits(end + 1 + sign);
        if after > end + 1 + sign {
            end = after;
        }
    }
    (&text[..end], text[end..].trim_start())
}

impl Kind {
    /// Reads a text as a quantity of this kind, in SI, with the unit that it is written in.
    ///
    /// # Errors
    /// [`TextError`] says what is wrong and what would be right.
    pub fn read(&'static self, text: &str) -> Result<(f64, &'static str), TextError> {
        parts(self, text).map(|(_, unit, value)| (value, unit.name))
    }
}

/// Reads a text as a quantity of a kind, in its SI unit.
pub(super) fn read(kind: &'static Kind, text: &str) -> Result<f64, TextError> {
    parts(kind, text).map(|(_, _, value)| value)
}

/// As [`read`], with the number as it is written and its unit.
pub(super) fn parts(
    kind: &'static Kind,
    text: &str,
) -> Result<(f64, &'static Unit, f64), TextError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(TextError::Empty {
            noun: kind.noun,
            example: kind.example,
        });
    }
    let (number, unit) = split(text);
    if unit.starts_with(',') {
        return Err(TextError::Comma {
            text: text.to_owned(),
        });
    }
    let no_number = || TextError::NoNumber {
        text: text.to_owned(),
        noun: kind.noun,
        example: kind.example,
    };
    let number: f64 = number.parse().map_err(|_| no_number())?;
    let unit = find(kind, text, unit)?;
    let value = unit.value(number);
    if value >= kind.low && value <= kind.high {
        Ok((number, unit, value + 0.0))
    } else {
        Err(TextError::OutOfRange {
            text: text.to_owned(),
            noun: kind.noun,
            low: unit.write_rounded(kind.low),
            high: unit.write_rounded(kind.high),
        })
    }
}

fn find(kind: &'static Kind, text: &str, unit: &str) -> Result<&'static Unit, TextError> {
    if let Some(found) = kind.find(unit) {
        return Ok(found);
    }
    let (noun, units) = (kind.noun, kind.list());
    if unit.is_empty() {
        return Err(TextError::NoUnit {
            text: text.to_owned(),
            noun,
            units,
            example: kind.example,
        });
    }
    let written = unit.to_owned();
    if let Some(other) = KINDS.iter().find(|k| k.find(unit).is_some()) {
        let belongs_to = other.noun;
        return Err(TextError::OtherKind {
            unit: written,
            belongs_to,
            noun,
            units,
        });
    }
    Err(match nearest(kind, unit) {
        Some(nearest) => TextError::Misspelt {
            unit: written,
            nearest,
            noun,
            units,
        },
        None => TextError::UnknownUnit {
            unit: written,
            noun,
            units,
        },
    })
}

/// The unit of a kind whose spelling is nearest, if any is near at all.
fn nearest(kind: &'static Kind, unit: &str) -> Option<&'static str> {
    const NEAR_ENOUGH: f64 = 0.45;
    const LONGEST: usize = 24;
    if unit.chars().count() > LONGEST {
        return None;
    }
    let lower = unit.to_lowercase();
    let mut best = (NEAR_ENOUGH, None);
    for name in kind.units.iter().flat_map(Unit::spellings) {
        let near = strsim::normalized_damerau_levenshtein(&lower, &name.to_lowercase());
        if near > best.0 {
            best = (near, Some(name));
        }
    }
    best.1
}
