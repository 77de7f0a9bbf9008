//! What can follow in a line that is being typed.

use super::calls::{call_offers, call_taken, request_offers, request_taken};
use super::parse::{LINES, QUANTITIES, banks, verb_of, vessels};
use super::table::{Part, TABLE};
use crate::names::find;
use crate::sheets::Sheets;
use deepstay_job::Indicated;
use deepstay_scenario::Scenario;

/// What can follow where a line ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Completion {
    /// Where in the line what is offered begins, in bytes: it takes the place of the rest.
    pub from: usize,
    /// What is offered.
    pub offers: Vec<String>,
}

/// The words that may stand where a line ends: each completes its last words, or follows them where the line ends with
/// a blank.
pub fn complete(line: &str, scenario: &Scenario, seen: &Indicated, sheets: &Sheets) -> Completion {
    let words: Vec<&str> = line.split_whitespace().collect();
    let begun = line.chars().next_back().is_some_and(|c| !c.is_whitespace());
    let (done, last) = match words.split_last() {
        Some((last, done)) if begun => (done, *last),
        _ => (&words[..], ""),
    };
    let starts_at = |word: Option<&&str>| match word {
        Some(word) => word.as_ptr() as usize - line.as_ptr() as usize,
        None => line.len() - last.len(),
    };
    let none = Completion {
        from: line.len(),
        offers: Vec::new(),
    };
    let Some((first, rest)) = done.split_first() else {
        let names = TABLE.iter().map(|row| row.name.to_owned());
        return Completion {
            from: starts_at(None),
            offers: begins(names, last),
        };
    };
    let Ok(row) = verb_of(first) else {
        return none;
    };
    let mut rest = rest.to_vec();
    for part in row.parts {
        match taken(*part, &rest, scenario, seen, sheets) {
            Some(taken) => {
                rest.drain(..taken);
            }
            None => {
                // A name of several words that has been begun.
                let typed = [&rest[..], &[last]].concat().join(" ");
                return Completion {
                    from: starts_at(rest.first()),
                    offers: begins(
                        part.due(&rest, scenario, seen, sheets).into_iter(),
                        typed.trim(),
                    ),
                };
            }
        }
    }
    none
}

/// How many words a part takes of a line; none where it is not whole yet.
fn taken(
    part: Part,
    rest: &[&str],
    scenario: &Scenario,
    seen: &Indicated,
    sheets: &Sheets,
) -> Option<usize> {
    let named = |names: &[String]| find(rest, names).ok().map(|(_, taken)| taken);
    let number = |k: usize| {
        let bare = rest.get(k)?.trim_end_matches('%').parse::<f64>().is_ok();
        let unit = rest.get(k + 1).is_some();
        bare.then_some(k + if unit { 2 } else { 1 })
    };
    let after = |word: &str, names: &[String]| {
        let first = rest.first().filter(|w| **w == word);
        first.and_then(|_| Some(1 + find(&rest[1..], names).ok()?.1))
    };
    match part {
        Part::Line => {
            let line = named(&LINES.map(String::from))?;
            let vessel = find(&rest[line..], &vessels(scenario)).ok()?;
            Some(line + vessel.1)
        }
        Part::Instrument => {
            let vessel = named(&vessels(scenario))?;
            let quantities = QUANTITIES.map(|(name, _)| name.to_owned());
            let quantity = find(&rest[vessel..], &quantities).ok()?;
            let taken = vessel + quantity.1;
            let second = rest.get(taken) == Some(&"second");
            Some(taken + usize::from(second))
        }
        Part::For | Part::Band | Part::Until | Part::BellTo => match rest.first() {
            Some(&"once" | &"up") => Some(1),
            Some(_) => number(1),
            None => None,
        },
        Part::By => after("by", &banks(scenario)),
        Part::From => after("from", &or_own(scenario)),
        Part::Opening
        | Part::Flow
        | Part::Over
        | Part::Depth
        | Part::SetOrOff
        | Part::ClimateSet => number(0).or_else(|| named(&part.choices(scenario, seen, sheets))),
        Part::Words => Some(rest.len()).filter(|n| *n > 0),
        Part::Call => call_taken(rest, scenario, seen),
        Part::Request => request_taken(rest, scenario),
        _ => named(&part.choices(scenario, seen, sheets)),
    }
}

impl Part {
    /// What may stand at the end of what was typed of a part.
    fn due(
        self,
        rest: &[&str],
        scenario: &Scenario,
        seen: &Indicated,
        sheets: &Sheets,
    ) -> Vec<String> {
        let after = |names: &[String], then: Vec<String>| match find(rest, names) {
            Ok((k, _)) => then.iter().map(|t| format!("{} {t}", names[k])).collect(),
            Err(_) => names.to_vec(),
        };
        match self {
            Part::Line => after(&LINES.map(String::from), vessels(scenario)),
            Part::Instrument => {
                let quantities = QUANTITIES.map(|(name, _)| name.to_owned());
                after(&vessels(scenario), quantities.into())
            }
            Part::Call => call_offers(rest, scenario, seen, false),
            Part::Request => request_offers(scenario),
            Part::By => after(&["by".to_owned()], banks(scenario)),
            Part::From => after(&["from".to_owned()], or_own(scenario)),
            _ => self.choices(scenario, seen, sheets),
        }
    }
}

fn or_own(scenario: &Scenario) -> Vec<String> {
    let mut names = vessels(scenario);
    names.push("own".to_owned());
    names
}

/// Those of some names that begin so, as far as case does not matter.
fn begins(names: impl Iterator<Item = String>, with: &str) -> Vec<String> {
    let with = with.to_lowercase();
    names
        .filter(|name| name.to_lowercase().starts_with(&with))
        .collect()
}
