//! Turns what the reader of the notation says into a complaint at its place, in words of its own where
//! the reader's are thin, with what would be right.

use super::complaint::{Complaint, Wrong, did_you_mean, nearest};
use super::locate::{self, Step};
use super::read::{DEEPEST, Sheet};
use ron::error::SpannedError;
use serde_path_to_error::Segment;

/// Turns what the notation's reader says into a complaint. `part` is the text that was read, at the end
/// of `outer`; the fault's way goes on from there.
pub(super) fn explain(
    sheet: &Sheet,
    outer: &[Step],
    fault: &(Vec<Segment>, SpannedError),
    part: &str,
) -> Complaint {
    use ron::Error as E;
    let (inner, error) = fault;
    let mut way = outer.to_vec();
    // The way to the very value, through choices that wrap one: it names a place and is not shown.
    let mut spot = outer.to_vec();
    for segment in inner {
        let step = match segment {
            Segment::Map { key } => Step::Field(key.clone()),
            Segment::Seq { index } => Step::Index(*index),
            Segment::Enum { .. } => {
                if locate::wraps_one(&sheet.text, &spot) {
                    spot.push(Step::Index(0));
                }
                continue;
            }
            Segment::Unknown => continue,
        };
        spot.push(step.clone());
        way.push(step);
    }
    let reached = locate::value(&sheet.text, &spot);
    let found = sheet
        .text
        .get(reached.clone())
        .map(snippet)
        .unwrap_or_default();
    let start = if outer.is_empty() {
        0
    } else {
        locate::value(&sheet.text, outer).start
    };
    let by_reader = start + locate::byte_of(part, error.span.start.line, error.span.start.col);
    let named = |name: &str| {
        let parent = match way.last() {
            Some(Step::Field(last)) if last == name => &way[..way.len() - 1],
            _ => &way[..],
        };
        locate::field_name(&sheet.text, parent, name).unwrap_or(by_reader)
    };
    let (wrong, byte, suggestion) = match &error.code {
        E::NoSuchStructField {
            expected, found, ..
        } => (
            Wrong::UnknownField {
                found: found.clone(),
                known: expected.join(", "),
            },
            named(found),
            did_you_mean(nearest(found, expected.iter().copied())),
        ),
        E::NoSuchEnumVariant {
            expected, found, ..
        } => (
            Wrong::UnknownChoice {
                found: found.clone(),
                known: expected.join(", "),
            },
            reached.start,
            did_you_mean(nearest(found, expected.iter().copied())),
        ),
        E::MissingStructField { field, .. } => (
            Wrong::MissingField((*field).to_owned()),
            reached.start,
            None,
        ),
        E::DuplicateStructField { field, .. } => {
            (Wrong::Twice((*field).to_owned()), by_reader, None)
        }
        E::Message(words) => (Wrong::Value(words.clone()), reached.start, None),
        E::InvalidValueForType { expected, found } => (
            Wrong::Value(format!("this should be {expected}, not {found}")),
            reached.start,
            None,
        ),
        E::ExpectedString => {
            let suggestion = (!found.is_empty() && found.parse::<f64>().is_ok())
                .then(|| format!("write it in quotes with its unit, such as \"{found} bar\""));
            (
                Wrong::Value(format!("this should be a text in quotes, not `{found}`")),
                reached.start,
                suggestion,
            )
        }
        E::ExpectedInteger | E::IntegerOutOfBounds => {
            let words = format!(
                "this should be a whole number within its bounds and not negative, not `{found}`"
            );
            (Wrong::Value(words), reached.start, None)
        }
        E::ExpectedFloat => (
            Wrong::Value(format!("this should be a number, not `{found}`")),
            reached.start,
            None,
        ),
        E::ExpectedBoolean => (
            Wrong::Value(format!("this should be true or false, not `{found}`")),
            reached.start,
            None,
        ),
        E::ExpectedArray => {
            let suggestion = Some("write a list in square brackets, [ ... ]".to_owned());
            (
                Wrong::Value(format!("this should be a list, not `{found}`")),
                reached.start,
                suggestion,
            )
        }
        E::ExpectedStructLike | E::ExpectedNamedStructLike(_) | E::ExpectedMap => {
            let suggestion = Some("write fields in round brackets, (name: value, ...)".to_owned());
            (
                Wrong::Value(format!("this should be a set of fields, not `{found}`")),
                reached.start,
                suggestion,
            )
        }
        E::ExceededRecursionLimit => (Wrong::TooDeep { most: DEEPEST }, by_reader, None),
        other => (
            Wrong::Notation(lower_first(&other.to_string())),
            by_reader,
            notation_hint(other),
        ),
    };
    let unknown = match &wrong {
        Wrong::UnknownField { found, .. } => Some(found.as_str()),
        _ => None,
    };
    if matches!(way.last(), Some(Step::Field(last)) if Some(last.as_str()) == unknown) {
        way.pop();
    }
    Complaint {
        place: sheet.at(&way, byte.min(sheet.text.len())),
        wrong,
        suggestion,
    }
}

fn notation_hint(error: &ron::Error) -> Option<String> {
    use ron::Error as E;
    let hint = match error {
        E::ExpectedComma => "a comma may be missing before this",
        E::ExpectedArrayEnd => "a comma or `]` may be missing before this",
        E::ExpectedStructLikeEnd => "a comma or `)` may be missing before this",
        E::Eof => "a bracket or a quotation mark may be open",
        E::ExpectedMapColon => "a field is written name: value",
        _ => return None,
    };
    Some(hint.to_owned())
}

fn lower_first(words: &str) -> String {
    let mut chars = words.chars();
    chars
        .next()
        .map_or(String::new(), |c| c.to_lowercase().chain(chars).collect())
}

fn snippet(found: &str) -> String {
    const SHOWN: usize = 24;
    let line = found.lines().next().unwrap_or("");
    if line.chars().count() > SHOWN || found.lines().count() > 1 {
        line.chars().take(SHOWN).chain("...".chars()).collect()
    } else {
        line.to_owned()
    }
}
