//! Gas for treatment by depth, and where the fire zone begins: what the labels of the banks give, against what the set asks.
//! Nothing is prescribed.

use super::{APART, AskedBy, answer};
use crate::explain::cell_apart;
use deepstay_core::units::{ATM_PA, BAR_PA, Duty, MSW_PA, fixed, fixed_short};
use deepstay_rules::TreatmentFigures;
use deepstay_scenario::Scenario;
use maud::{Markup, html};
use serde::Serialize;

/// Treatment gas and fire zone.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct TreatmentSummary {
    /// Banks of treatment gas and oxygen with the depths at which each is within the band.
    pub banks: Vec<BankLine>,
    /// What the set asks, each with what was found.
    pub asked: Vec<TreatmentLine>,
    /// Why the set asks nothing, where it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_judged: Option<String>,
    /// Where the fire zone begins, a sentence a row, or why that is not said.
    pub fire_zone: Vec<String>,
    /// Ids of the rows behind that.
    #[serde(skip)]
    pub fire_zone_rules: Vec<String>,
}

/// A bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankLine {
    /// Its name.
    pub bank: String,
    /// What its label says.
    pub label: String,
    /// Depths at which it is within the band.
    pub depths: String,
}

/// A demand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TreatmentLine {
    /// In words.
    pub asked: String,
    /// What was found.
    pub found: String,
    /// `kept` or `broken`.
    pub answer: &'static str,
    /// The row.
    pub by: AskedBy,
}

impl TreatmentSummary {
    /// Of a scenario.
    pub fn of(scenario: &Scenario) -> TreatmentSummary {
        let steel = &scenario.steel;
        let runs = scenario.plan.bell_runs.iter().map(|r| r.depth_msw);
        let deepest_msw = runs.fold(scenario.site.working_msw, f64::max);
        let banks: Vec<(&str, f64)> = steel
            .banks
            .iter()
            .filter(|b| matches!(b.duty, Duty::Treatment | Duty::Oxygen))
            .map(|b| (b.name.as_str(), b.label_o2))
            .collect();
        let bar = |depth_msw: f64| (steel.surface_pa + depth_msw * MSW_PA) / BAR_PA;
        let all = scenario.rules.treatment_gas(&scenario.accepted);
        let band = all.of.iter().find_map(|a| match a.figures {
            TreatmentFigures::Oxygen(low, high) => Some((low.get(), high.get())),
            TreatmentFigures::Mixes(_) => None,
        });
        let within = |o2: f64, depth_msw: f64| {
            band.is_some_and(|(low, high)| (low..=high).contains(&(o2 * bar(depth_msw))))
        };
        let depth_of = |bar: f64| (bar * BAR_PA - steel.surface_pa) / MSW_PA;
        let line = |&(name, o2): &(&str, f64)| BankLine {
            bank: name.to_owned(),
            label: format!("{} % oxygen", fixed_short(o2 * 100.0)),
            depths: match band {
                None => "not judged".to_owned(),
                Some((low, high)) => {
                    let (from, to) = (depth_of(low / o2).max(0.0), depth_of(high / o2));
                    match to < 0.0 {
                        true => "none".to_owned(),
                        false => format!("{} to {} msw", fixed(from, 0), fixed(to, 0)),
                    }
                }
            },
        };
        let asked = all.of.iter().map(|a| {
            // Metre by metre to the deepest work, from where oxygen alone comes to the least that is asked.
            let least = band.map_or(0.0, |(low, _)| depth_of(low).max(0.0).ceil());
            let depths = || {
                let metres = least as i64..=deepest_msw.ceil() as i64;
                metres.map(|m| (m as f64).min(deepest_msw))
            };
            let without: Vec<f64> = match &a.figures {
                TreatmentFigures::Oxygen(..) => depths()
                    .filter(|d| !banks.iter().any(|(_, o2)| within(*o2, *d)))
                    .collect(),
                TreatmentFigures::Mixes(mixes) => {
                    let feet = scenario.rules.feet();
                    let wanted = |d: f64| mixes.iter().find(|(to, _)| d <= to.plain(feet));
                    let there = |o2: f64| banks.iter().any(|(_, b)| (b - o2).abs() < 0.005);
                    depths()
                        .filter(|d| !wanted(*d).is_some_and(|(_, o2)| there(o2.get())))
                        .collect()
                }
            };
            let found = match (without.first(), without.last()) {
                (Some(first), Some(last)) => format!(
                    "none at {} of {} whole metres, the first {} and the last {} msw",
                    without.len(),
                    depths().count(),
                    fixed_short(*first),
                    fixed_short(*last)
                ),
                _ => format!("one for every depth to {} msw", fixed_short(deepest_msw)),
            };
            TreatmentLine {
                asked: a.by.figures.clone(),
                found,
                answer: if without.is_empty() { "kept" } else { "broken" },
                by: (&a.by).into(),
            }
        });
        TreatmentSummary {
            banks: banks.iter().map(line).collect(),
            asked: asked.collect(),
            not_judged: all.silent(),
            fire_zone: fire_zone(scenario),
            fire_zone_rules: scenario
                .rules
                .fire_zone(&scenario.accepted)
                .of
                .into_iter()
                .map(|a| a.by.id)
                .collect(),
        }
    }
}

/// With oxygen at the upper edge of storage the zone begins at `10 (p / f)` over the pressure of the surface.
fn fire_zone(scenario: &Scenario) -> Vec<String> {
    let all = scenario.rules.fire_zone(&scenario.accepted);
    if let Some(why) = all.silent() {
        return vec![format!("Where the fire zone begins is not said: {why}.")];
    }
    let storage = scenario.rules.storage_oxygen(&scenario.accepted).ok();
    let line = |a: &deepstay_rules::Asked<deepstay_rules::FireZoneFigures>| {
        let by = AskedBy::from(&a.by);
        let share = a.figures.from.get();
        match &storage {
            None => format!("{}. {}", a.by.figures, by.words()),
            Some(oxygen) => {
                let from_pa = oxygen.high_bar * BAR_PA / share;
                let depth = ((from_pa - scenario.steel.surface_pa) / MSW_PA).max(0.0);
                format!(
                    "With oxygen at {} bar ({} ata, row {}) a chamber is in the fire zone shallower than {} msw: on the way down and at the end of the way up. {}. {}",
                    fixed(oxygen.high_bar, 3),
                    fixed(oxygen.high_bar * BAR_PA / ATM_PA, 2),
                    oxygen.id,
                    fixed(depth, 1),
                    a.by.figures,
                    by.words()
                )
            }
        }
    };
    all.of.iter().map(line).collect()
}

/// The sheet.
pub(super) fn sheet(s: &TreatmentSummary) -> Markup {
    let body = html! {
        @if s.banks.is_empty() { p { "No bank is labelled as treatment gas or oxygen." } }
        @else { table {
            thead { tr { th { "bank" } th.n { "label" } th.n { "within the band at" } } }
            tbody { @for b in &s.banks { tr { td.w { (b.bank) } (cell_apart(APART, &b.label)) (cell_apart(APART, &b.depths)) } } }
        } }
        @match &s.not_judged {
            Some(why) => { p { "Treatment gas is not judged: " (why) "." } }
            None => { table {
                thead { tr { th { "asked" } th { "found, from where oxygen alone suffices to the deepest work" } th { "answer" } th { "rule and source" } } }
                tbody { @for line in &s.asked { tr.weak[line.by.weak()] {
                    td { (line.asked) } td { (line.found) } td { (answer(line.answer)) } td { (line.by.words()) }
                } } }
            } }
        }
        h3 { "Fire zone" }
        @for line in &s.fire_zone { p { (line) } }
        p.note { "By the labels alone: what a bank truly holds is its analysis's to say. In the fire zone suppression is armed, clothing and bedding are of what the document names, and little that burns is inside (US Navy Diving Manual, 15-17, seen). Treatment is the diving doctor's word." }
    };
    super::sheet("Gas for treatment, and the fire zone", &body)
}
