//! One input of a job changed in the text it is written in, so that whatever may be written in a file may
//! be changed, is read as strictly, and is complained of at its place.
//!
//! A way goes from the job through its parts: `stock.reclaim.recovery`, `crew.divers[AB].mass`,
//! `spread.compartments[*].leak`. An element of a list is named by its `name` or `initials`, by its place
//! from 0, or `*` for all. The name of the part may be left out where only one part has such a field.

use super::locate::{self, Step};
use deepstay_core::units::text::Duration;
use std::fmt;

/// The parts of a job, as they are named in its file.
pub(super) const PARTS: [&str; 9] = [
    "spread", "rules", "site", "crew", "stock", "plan", "work", "faults", "study",
];

/// A change of one input, or of all that a way with `*` leads to.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Way to it.
    pub way: String,
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

/// Why an input could not be changed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unchanged {
    /// No such input.
    #[error("there is no `{step}` in `{within}`")]
    NoSuch {
        /// What was looked for.
        step: String,
        /// Where.
        within: String,
        /// What there is.
        known: Vec<String>,
    },
    /// More than one part has it.
    #[error("`{0}` may be meant in more than one part of the job: write the part's name first")]
    Ambiguous(String),
    /// Not a way.
    #[error(
        "`{0}` is no way to an input; write it like stock.reclaim.recovery or spread.compartments[*].leak"
    )]
    NoWay(String),
    /// What is written there is not a number with a unit.
    #[error("what is written there, {found}, is not a number that can be {done}")]
    NoNumber {
        /// What is written.
        found: String,
        /// What was to be done.
        done: &'static str,
    },
    /// Two units.
    #[error("{found} and {added} have different units")]
    Units {
        /// What is written.
        found: String,
        /// What was to be added.
        added: String,
    },
}

/// One step of a way that may lead to many.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Wide {
    Field(String),
    Index(usize),
    Named(String),
    All,
}

impl From<Step> for Wide {
    fn from(step: Step) -> Wide {
        match step {
            Step::Field(name) => Wide::Field(name),
            Step::Index(i) => Wide::Index(i),
        }
    }
}

impl fmt::Display for Wide {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Wide::Field(name) | Wide::Named(name) => f.write_str(name),
            Wide::Index(i) => write!(f, "{i}"),
            Wide::All => f.write_str("*"),
        }
    }
}

/// A way from its text.
pub(super) fn wide(way: &str) -> Result<Vec<Wide>, Unchanged> {
    let no_way = || Unchanged::NoWay(way.to_owned());
    let mut steps = Vec::new();
    let mut rest = way.trim();
    while !rest.is_empty() {
        if let Some(inner) = rest.strip_prefix('[') {
            let (name, after) = inner.split_once(']').ok_or_else(no_way)?;
            steps.push(match (name.trim(), name.trim().parse()) {
                ("", _) => return Err(no_way()),
                ("*", _) => Wide::All,
                (_, Ok(index)) => Wide::Index(index),
                (name, _) => Wide::Named(name.to_owned()),
            });
            rest = after.strip_prefix('.').unwrap_or(after);
        } else {
            let end = rest.find(['.', '[']).unwrap_or(rest.len());
            let (name, after) = rest.split_at(end);
            if name.is_empty() || !name.chars().all(|c| c.is_ascii_alphanumeric() || c == '_') {
                return Err(no_way());
            }
            steps.push(Wide::Field(name.to_owned()));
            rest = after.strip_prefix('.').unwrap_or(after);
        }
    }
    if steps.is_empty() {
        Err(no_way())
    } else {
        Ok(steps)
    }
}

/// Changes a text where a way leads to, and says how often.
pub(super) fn apply(text: &str, way: &[Wide], to: &To) -> Result<String, Unchanged> {
    let mut places: Vec<(Vec<Step>, Option<String>)> = match spread_out(text, way) {
        Ok(found) => found.into_iter().map(|way| (way, None)).collect(),
        Err(why) => {
            let absent = absent(text, way).filter(|_| matches!(to, To::Text(_)));
            absent
                .ok_or(why)?
                .into_iter()
                .map(|(at, name)| (at, Some(name)))
                .collect()
        }
    };
    let mut changed = text.to_owned();
    places.reverse();
    for (at, absent) in places {
        let range = locate::value(text, &at);
        match (absent, to) {
            (Some(name), To::Text(new)) => {
                // Behind the first field, which in a file must stay the first.
                match locate::first_end(text, &at) {
                    Some(end) => changed.insert_str(end, &format!(", {name}: {}", bare(new))),
                    None => {
                        let inside = text[range.clone()]
                            .find('(')
                            .map_or(range.start, |i| range.start + i + 1);
                        changed.insert_str(inside, &format!("{name}: {}", bare(new)));
                    }
                }
            }
            _ => {
                let old = &text[range.clone()];
                changed.replace_range(range.clone(), &new_text(old, to)?);
            }
        }
    }
    Ok(changed)
}

/// Every single way that a wide one leads to.
pub(super) fn spread_out(text: &str, way: &[Wide]) -> Result<Vec<Vec<Step>>, Unchanged> {
    spread_out_from(text, &[], way)
}

fn spread_out_from(text: &str, from: &[Step], way: &[Wide]) -> Result<Vec<Vec<Step>>, Unchanged> {
    let mut ways = vec![from.to_vec()];
    for step in way {
        let mut next = Vec::new();
        let mut missing = None;
        for at in &ways {
            let found: Vec<Step> = match step {
                Wide::Field(name) => vec![Step::Field(name.clone())],
                Wide::Index(i) => vec![Step::Index(*i)],
                Wide::All => (0..locate::count(text, at)).map(Step::Index).collect(),
                Wide::Named(name) => (0..locate::count(text, at))
                    .map(Step::Index)
                    .filter(|s| {
                        element_name(text, &[at.as_slice(), std::slice::from_ref(s)].concat())
                            .as_deref()
                            == Some(name)
                    })
                    .collect(),
            };
            let there = found
                .into_iter()
                .map(|s| [at.as_slice(), &[s]].concat())
                .filter(|w| locate::is_there(text, w));
            let before = next.len();
            next.extend(there);
            if next.len() == before && missing.is_none() {
                missing = Some(Unchanged::NoSuch {
                    step: step.to_string(),
                    within: if at.is_empty() {
                        "the file".to_owned()
                    } else {
                        locate::written(at)
                    },
                    known: known(text, at),
                });
            }
        }
        // Of the many that `*` leads to, some may have what the way goes on to, and some not.
        if let (true, Some(missing)) = (next.is_empty(), missing) {
            return Err(missing);
        }
        ways = next;
    }
    Ok(ways)
}

/// Name or initials of an element of a list.
pub(super) fn element_name(text: &str, at: &[Step]) -> Option<String> {
    ["name", "initials"].into_iter().find_map(|field| {
        let way = [at, &[Step::Field(field.to_owned())]].concat();
        let there = locate::is_there(text, &way);
        there.then(|| text[locate::value(text, &way)].trim_matches('"').to_owned())
    })
}

/// Fields at the end of a way that are left out in the text, each with the way to where it belongs.
pub(super) fn absent(text: &str, way: &[Wide]) -> Option<Vec<(Vec<Step>, String)>> {
    let (last, before) = way.split_last()?;
    let Wide::Field(name) = last else { return None };
    let parents = spread_out(text, before).ok()?;
    let fit = !parents.is_empty() && parents.iter().all(|at| is_struct(text, at));
    fit.then(|| parents.into_iter().map(|at| (at, name.clone())).collect())
}

fn known(text: &str, at: &[Step]) -> Vec<String> {
    let fields = locate::field_names(text, at);
    if !fields.is_empty() {
        return fields;
    }
    let each =
        |i| element_name(text, &[at, &[Step::Index(i)]].concat()).unwrap_or_else(|| i.to_string());
    (0..locate::count(text, at)).map(each).collect()
}

fn is_struct(text: &str, at: &[Step]) -> bool {
    let value = &text[locate::value(text, at)];
    !value.starts_with(['"', '[', '{'])
        && value.contains('(')
        && (locate::count(text, at) == 0 || !known(text, at).is_empty())
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

fn new_text(old: &str, to: &To) -> Result<String, Unchanged> {
    let in_quotes = old.starts_with('"');
    let inner = old.trim_matches('"');
    let put = |text: String| if in_quotes { quoted(&text) } else { text };
    match to {
        To::Text(new) if new.trim_start().starts_with('"') => Ok(new.trim().to_owned()),
        To::Text(new) => Ok(put(new.trim().to_owned())),
        To::Times(by) => {
            let (number, unit) = number_of(inner).ok_or_else(|| no_number(old, "multiplied"))?;
            Ok(put(quantity(number * by, unit)))
        }
        To::Plus(added) => {
            let no = || no_number(old, "added to");
            let (number, unit) = number_of(inner).ok_or_else(no)?;
            let (more, more_unit) = number_of(added).ok_or_else(no)?;
            if unit != more_unit {
                return Err(Unchanged::Units {
                    found: old.to_owned(),
                    added: added.clone(),
                });
            }
            Ok(put(quantity(number + more, unit)))
        }
    }
}

fn no_number(old: &str, done: &'static str) -> Unchanged {
    Unchanged::NoNumber {
        found: old.to_owned(),
        done,
    }
}

/// The number and the unit of a quantity as it is written; a range is left away, lengths of time are in
/// seconds, and may be negative: what is added to a time may bring it forward.
pub fn number_of(text: &str) -> Option<(f64, &str)> {
    let text = text.split(" from ").next().unwrap_or(text).trim();
    let (sign, length) = text
        .strip_prefix('-')
        .map_or((1.0, text), |rest| (-1.0, rest));
    if let Ok(time) = length.parse::<Duration>()
        && length.parse::<f64>().is_err()
    {
        return Some((sign * time.0 as f64, "s"));
    }
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let unit = unit.trim();
    let number = number.parse().ok()?;
    // A digit belongs to a unit behind a letter, as in m3; else it is another number.
    let mut before = ' ';
    let is_unit = unit.chars().all(|c| {
        let fits = !c.is_ascii_digit() || before.is_alphabetic();
        before = c;
        fits
    });
    is_unit.then_some((number, unit))
}

/// A number in a unit as it is written in a file, so that it reads back to the same value; lengths of
/// time are whole seconds.
pub fn quantity(number: f64, unit: &str) -> String {
    let seconds = match unit {
        "s" => Some(1.0),
        "min" => Some(60.0),
        "h" => Some(3600.0),
        "d" => Some(86_400.0),
        _ => None,
    };
    match (seconds, unit) {
        (Some(scale), _) => format!("{} s", (number * scale).round()),
        (None, "") => format!("{number}"),
        (None, unit) => format!("{number} {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "(\n  crew: (divers: [(initials: \"AB\", mass: \"80 kg\"), (initials: \"CD\", mass: \"90 kg\")]),\n  stock: (reclaim: (recovery: \"88 % from 80 % to 95 %\")),\n  flushes: 6, end: \"24d 12:00\", banks: [(name: \"M-1\", bottles: \"64 x 50 L at 200 bar\")],\n)";

    fn changed(way: &str, to: To) -> Result<String, Unchanged> {
        apply(TEXT, &wide(way)?, &to)
    }

    fn becomes(way: &str, to: To, new: &str) {
        let text = changed(way, to).expect("changed");
        assert!(text.contains(new), "{text}");
    }

    #[test]
    fn an_input_becomes_what_is_said() {
        let text = |s: &str| To::Text(s.to_owned());
        becomes("stock.reclaim.recovery", text("0.8"), "recovery: \"0.8\"");
        becomes(
            "crew.divers[CD].mass",
            text("95 kg"),
            "\"CD\", mass: \"95 kg\"",
        );
        becomes(
            "crew.divers[0].mass",
            text("95 kg"),
            "\"AB\", mass: \"95 kg\"",
        );
        becomes("flushes", text("7"), "flushes: 7,");
        becomes(
            "crew.breathing",
            text("1.1"),
            "mass: \"90 kg\")], breathing: 1.1)",
        );
        becomes(
            "banks[M-1].bottles",
            text("2 x 50 L at 200 bar"),
            "\"2 x 50 L at 200 bar\"",
        );
    }

    #[test]
    fn numbers_are_multiplied_and_added_to_in_their_unit() {
        becomes(
            "crew.divers[*].mass",
            To::Times(0.5),
            "\"40 kg\"), (initials: \"CD\", mass: \"45 kg\")",
        );
        becomes("flushes", To::Times(1.5), "flushes: 9,");
        becomes("end", To::Plus("1 d".into()), "end: \"2203200 s\"");
        becomes("end", To::Plus("-12 h".into()), "end: \"2073600 s\"");
        becomes(
            "stock.reclaim.recovery",
            To::Times(1.1),
            "recovery: \"96.80000000000001 %\"",
        );
    }

    #[test]
    fn a_number_is_told_from_its_unit() {
        for (text, number, unit) in [
            ("24 m3", 24.0, "m3"),
            ("1.2 m3/min", 1.2, "m3/min"),
            ("-2 h", -7200.0, "s"),
            ("0.85", 0.85, ""),
        ] {
            assert_eq!(number_of(text), Some((number, unit)));
        }
        for text in ["64 x 50 L at 200 bar", "2 3", "m3", ""] {
            assert_eq!(number_of(text), None, "{text}");
        }
    }

    #[test]
    fn what_cannot_be_is_refused_with_what_there_is() {
        let no = changed("crew.divers[EF].mass", To::Times(2.0)).expect_err("no such diver");
        assert!(
            matches!(no, Unchanged::NoSuch { ref known, .. } if known == &["AB", "CD"]),
            "{no:?}"
        );
        let no =
            changed("stock.reclam.recovery", To::Text("0.8".into())).expect_err("no such field");
        assert!(
            matches!(no, Unchanged::NoSuch { ref known, .. } if known == &["reclaim"]),
            "{no:?}"
        );
        assert!(matches!(
            changed("banks[0].bottles", To::Times(2.0)),
            Err(Unchanged::NoNumber { .. })
        ));
        assert!(matches!(
            changed("flushes", To::Plus("1 d".into())),
            Err(Unchanged::Units { .. })
        ));
        for way in ["", "a b", "a[", "a[]", "é", "..", "a..b"] {
            assert!(matches!(wide(way), Err(Unchanged::NoWay(_))), "{way}");
        }
    }
}
