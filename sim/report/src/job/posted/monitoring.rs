//! What is shown of each chamber and bell at the control positions, by how many instruments, against what the set asks; and
//! what a set limits that no instrument here reads.

use super::asked_by::AskedBy;
use deepstay_core::units::{BankId, CompartmentId, CompartmentKind, Duty, Quantity};
use deepstay_core::words::{Names, Words};
use deepstay_plant::SamplePoint;
use deepstay_rules::{Asked, Monitored, MonitoringFigures, Shown};
use deepstay_scenario::Scenario;
use serde::Serialize;

/// Monitoring and back-up.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct MonitoringSummary {
    /// Instruments of each chamber and bell, in words.
    pub fitted: Vec<FittedLine>,
    /// What the set asks.
    pub asked: Vec<MonitoringLine>,
    /// Why the set asks nothing, where it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_judged: Option<String>,
    /// What else the set limits in what is breathed.
    pub contaminants: Vec<ContaminantLine>,
}

/// A place and its instruments.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FittedLine {
    /// The place.
    pub place: String,
    /// How many instruments of each quantity.
    pub instruments: String,
}

/// A demand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MonitoringLine {
    /// In words.
    pub asked: String,
    /// What is missing, or that nothing is.
    pub found: String,
    /// `kept`, `broken` or `not judged`.
    pub answer: &'static str,
    /// The row.
    pub by: AskedBy,
}

/// A contaminant.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ContaminantLine {
    /// What is allowed.
    pub allowed: String,
    /// The row.
    pub by: AskedBy,
}

/// What is counted, in the order of the table.
const COUNTED: [Quantity; 8] = [
    Quantity::Depth,
    Quantity::SeaDepth,
    Quantity::PpO2,
    Quantity::FO2,
    Quantity::PpCo2,
    Quantity::Temperature,
    Quantity::Humidity,
    Quantity::GaugePressure,
];

impl MonitoringSummary {
    /// Of a scenario.
    pub fn of(scenario: &Scenario) -> MonitoringSummary {
        let all = scenario.rules.monitoring(&scenario.accepted);
        let each = [Monitored::Chamber, Monitored::Bell];
        let fitted = each.into_iter().flat_map(|p| places(scenario, p));
        let line = |c: CompartmentId| {
            let count =
                |q: &Quantity| Some((q.words(), fitted_of(scenario, c, *q))).filter(|c| c.1 > 0);
            let words: Vec<String> = COUNTED
                .iter()
                .filter_map(count)
                .map(|(q, n)| format!("{q} {n}"))
                .collect();
            FittedLine {
                place: scenario.compartment(c),
                instruments: match words.is_empty() {
                    true => "none".to_owned(),
                    false => words.join(", "),
                },
            }
        };
        let contaminants = scenario.rules.contaminants(&scenario.accepted).of;
        MonitoringSummary {
            fitted: fitted.map(line).collect(),
            asked: all.of.iter().map(|a| demand(scenario, a)).collect(),
            not_judged: all.silent(),
            contaminants: contaminants
                .iter()
                .map(|a| ContaminantLine {
                    allowed: a.by.figures.clone(),
                    by: (&a.by).into(),
                })
                .collect(),
        }
    }
}

/// The compartments that a demand is of: bells, or what levels live in.
fn places(scenario: &Scenario, place: Monitored) -> Vec<CompartmentId> {
    let plates = (0u8..).map(CompartmentId).zip(&scenario.steel.compartments);
    let lived_in = |kind: CompartmentKind| {
        matches!(
            kind,
            CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue
        )
    };
    let of = |kind: CompartmentKind| match place {
        Monitored::Chamber => lived_in(kind),
        Monitored::Bell => kind == CompartmentKind::Bell,
    };
    plates.filter(|(_, p)| of(p.kind)).map(|(c, _)| c).collect()
}

/// Instruments that are labelled as reading a quantity of a compartment. Oxygen by volume is read off with the pressure and
/// counts as its partial pressure where that is asked for. Of a bell's own gas those of its on-board banks count.
fn fitted_of(scenario: &Scenario, c: CompartmentId, quantity: Quantity) -> usize {
    let steel = &scenario.steel;
    let on_board = |b: BankId| {
        let bank = steel.banks.get(b.index());
        bank.is_some_and(|b| b.duty == Duty::OnBoard)
    };
    let bell = steel
        .compartments
        .get(c.index())
        .is_some_and(|p| p.bell.is_some());
    let of = |i: &&deepstay_plant::Instrument| {
        i.quantity == quantity
            && match i.labelled {
                SamplePoint::Compartment(at) | SamplePoint::Sea(at) => at == c,
                SamplePoint::Bank(b) => bell && on_board(b),
            }
    };
    steel.instruments.iter().filter(of).count()
}

fn demand(scenario: &Scenario, a: &Asked<MonitoringFigures>) -> MonitoringLine {
    let figures = &a.figures;
    let (found, answer) = match figures.shown {
        Shown::AtControl | Shown::Continuously => {
            let least = if figures.back_up { 2 } else { 1 };
            let mut missing = Vec::new();
            for c in places(scenario, figures.place) {
                for &quantity in &figures.of {
                    let volume = match quantity {
                        Quantity::PpO2 => fitted_of(scenario, c, Quantity::FO2),
                        _ => 0,
                    };
                    let there = fitted_of(scenario, c, quantity) + volume;
                    if there < least {
                        missing.push(format!(
                            "{}: {} {there} of {least}",
                            scenario.compartment(c),
                            quantity.words()
                        ));
                    }
                }
            }
            match (
                missing.is_empty(),
                places(scenario, figures.place).is_empty(),
            ) {
                (_, true) => ("there is none".to_owned(), "not judged"),
                (true, false) => ("all of it".to_owned(), "kept"),
                (false, false) => (missing.join("; "), "broken"),
            }
        }
        Shown::WrittenEvery(every) => {
            let log_s = scenario.log_every_s;
            let words = format!("the log has a row every {} min", log_s / 60);
            let kept = log_s as f64 <= every.get();
            (words, if kept { "kept" } else { "broken" })
        }
        Shown::Recorded(_) => (
            "a recorder is no part of a spread's file: asked on board".to_owned(),
            "not judged",
        ),
    };
    MonitoringLine {
        asked: a.by.figures.clone(),
        found,
        answer,
        by: (&a.by).into(),
    }
}
