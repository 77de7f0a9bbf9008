//! The questions of a rule set, and what a scenario says to each.

use super::basis::Basis;
use super::{Origin, Total};
use deepstay_core::units::fixed_short;
use deepstay_plant::{Bank, Duty};
use deepstay_rules::{GasMinimum, InScenario, Source, Topic};

/// What the scenario says to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finding {
    /// As far as the scenario shows.
    Yes,
    /// The scenario shows that it is not so.
    No,
    /// To be asked on board.
    OnBoard,
}

impl Finding {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Finding::Yes => "yes, as far as the scenario shows",
            Finding::No => "no",
            Finding::OnBoard => "ask on board",
        }
    }
}

/// A question with what was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Id of the row.
    pub id: String,
    /// The question.
    pub question: String,
    /// What counts as evidence.
    pub evidence: String,
    /// Whether a scenario can hold the answer.
    pub in_scenario: InScenario,
    /// What was found in this one.
    pub found: String,
    /// The answer.
    pub answer: Finding,
    /// Where the question comes from.
    pub source: Source,
}

pub(super) fn asked(basis: &Basis, totals: &[Total]) -> Vec<Asked> {
    let rows = basis.set.gas_minimums().iter();
    rows.filter_map(|row| {
        let GasMinimum::Ask {
            topic,
            question,
            evidence,
            in_scenario,
        } = &row.figures
        else {
            return None;
        };
        let (found, answer) = look(basis, totals, *topic);
        Some(Asked {
            id: row.id.clone(),
            question: question.clone(),
            evidence: evidence.clone(),
            in_scenario: *in_scenario,
            found,
            answer,
            source: row.source.clone(),
        })
    })
    .collect()
}

fn look(basis: &Basis, totals: &[Total], topic: Topic) -> (String, Finding) {
    let steel = &basis.scenario.steel;
    let names = |duty: Duty| {
        let of_duty = |b: &&Bank| b.duty == duty;
        let names: Vec<&str> = steel
            .banks
            .iter()
            .filter(of_duty)
            .map(|b| b.name.as_str())
            .collect();
        if names.is_empty() {
            "none".to_owned()
        } else {
            names.join(", ")
        }
    };
    let has = |duty: Duty| steel.banks.iter().any(|b| b.duty == duty);
    match topic {
        Topic::EnoughThroughout => {
            let short: Vec<String> = totals
                .iter()
                .filter(|t| !t.met)
                .map(|t| t.holding.to_string())
                .collect();
            let found = if totals.is_empty() {
                "this set asks for no amount".to_owned()
            } else if short.is_empty() {
                format!(
                    "at the start the stock meets all {} minimums; through the job the log shows it",
                    totals.len()
                )
            } else {
                format!("short at the start: {}", short.join("; "))
            };
            let answer = if short.is_empty() {
                Finding::OnBoard
            } else {
                Finding::No
            };
            (found, answer)
        }
        Topic::Displayed => (
            "a page for each wall is printed with this sheet".to_owned(),
            Finding::OnBoard,
        ),
        Topic::TwoSupplies => {
            let found = format!(
                "divers' gas on deck: {}; on the bell: {}; valves between divers are not in a scenario",
                names(Duty::DiverGas),
                names(Duty::OnBoard)
            );
            let both = has(Duty::DiverGas) && has(Duty::OnBoard);
            (found, if both { Finding::OnBoard } else { Finding::No })
        }
        Topic::Coverage => {
            let found = format!(
                "divers' gas: {}; on the bell: {}; chambers: {}; a standby diver and what a diver carries are not in a scenario",
                names(Duty::DiverGas),
                names(Duty::OnBoard),
                names(Duty::BottomMix)
            );
            let all = [Duty::DiverGas, Duty::OnBoard, Duty::BottomMix]
                .into_iter()
                .all(has);
            (found, if all { Finding::OnBoard } else { Finding::No })
        }
        Topic::Losses => {
            let leaking = steel
                .compartments
                .iter()
                .filter(|c| c.leak_m2 > 0.0)
                .count();
            let found = format!(
                "{leaking} of {} vessels leak, treatment gas: {}; here a leak of {} % a day is reckoned with ({})",
                steel.compartments.len(),
                names(Duty::Treatment),
                fixed_short(basis.inputs.leak_per_day.value * 100.0),
                if basis.inputs.leak_per_day.origin() == Origin::Planner {
                    "planner"
                } else {
                    "assumed, house"
                },
            );
            (
                found,
                if leaking > 0 {
                    Finding::Yes
                } else {
                    Finding::OnBoard
                },
            )
        }
    }
}
