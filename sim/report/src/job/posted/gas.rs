//! Gas for treatment by depth, and where the fire zone begins: what the labels of the banks give, against what the set asks.
//! Nothing is prescribed.

use super::asked_by::AskedBy;
use deepstay_core::units::{BAR_PA, Duty, MSW_PA, Quantity, Units, fixed, fixed_short};
use deepstay_rules::TreatmentFigures;
use deepstay_scenario::Scenario;
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
    pub fn of(scenario: &Scenario, units: Units) -> TreatmentSummary {
        let depth = units.scale(Quantity::Depth);
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
                        false => format!(
                            "{} to {} {}",
                            fixed(depth.of(from), 0),
                            fixed(depth.of(to), 0),
                            depth.unit
                        ),
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
                    "none at {} of {} depths a metre apart, the first {} and the last {}",
                    without.len(),
                    depths().count(),
                    depth.text(*first),
                    depth.text(*last)
                ),
                _ => format!("one for every depth to {}", depth.text(deepest_msw)),
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
            fire_zone: fire_zone(scenario, units),
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
fn fire_zone(scenario: &Scenario, units: Units) -> Vec<String> {
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
                    "With oxygen at {} (row {}) a chamber is in the fire zone shallower than {}: on the way down and at the end of the way up. {}. {}",
                    units.scale(Quantity::PpO2).text(oxygen.high_bar),
                    oxygen.id,
                    units.scale(Quantity::Depth).text(depth),
                    a.by.figures,
                    by.words()
                )
            }
        }
    };
    all.of.iter().map(line).collect()
}
