//! How long each evacuation unit lasts with every place taken: carbon dioxide by its canister, oxygen and gas that are needed,
//! and where its temperature ends, against the hours that the rule set asks for.

use super::asked_by::AskedBy;
use crate::kit::places::round;
use crate::provenance::StatusWord;
use deepstay_core::record::{Bound, Phase, Severity};
use deepstay_core::units::{
    CompartmentKind, FreeReference, Quantity, Units, ZERO_C_K, fixed_short,
};
use deepstay_plant::Compartment;
use deepstay_rules::EvacuationFigures;
use deepstay_scenario::Scenario;
use deepstay_stock::{WantedEndurance, heat_at_rest_w};
use deepstay_sums::{absorbent_kg, absorbent_lasts_s, leak_m3, metabolic_m3};
use serde::Serialize;

const HOUR_S: f64 = 3600.0;

/// Evacuation.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct EvacuationSummary {
    /// Hours that are asked for.
    pub wanted_h: f64,
    /// Where that is from.
    pub wanted_source: String,
    /// How it came to us.
    pub wanted_status: Option<StatusWord>,
    /// Depth of storage, msw.
    pub depth_msw: f64,
    /// Sizing rates in words, each with its row.
    pub sizing: String,
    /// The units.
    pub units: Vec<UnitLine>,
    /// What else the set asks.
    pub asked: Vec<UnitsLine>,
    /// Ids of the rows behind hours and sizing.
    #[serde(skip)]
    pub rules: Vec<String>,
}

/// A unit with every place taken.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnitLine {
    /// Its name.
    pub unit: String,
    /// Places.
    pub places: u8,
    /// Absorbent in its canister, kg; none without a scrubber.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub absorbent_kg: Option<f64>,
    /// Absorbent needed for the hours asked for, kg.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub absorbent_needed_kg: Option<f64>,
    /// How long one canister lasts, h.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub absorbent_h: Option<f64>,
    /// Oxygen needed, m3 of free gas.
    pub oxygen_needed_m3: f64,
    /// Gas needed for its leak, m3 of free gas.
    pub leak_needed_m3: f64,
    /// Temperature where it ends on the spread's deck, degC.
    pub ends_degc: f64,
    /// What is said of the heat.
    pub heat: String,
    /// What is said of carbon dioxide.
    pub carbon_dioxide: &'static str,
}

/// A demand on the number of units.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnitsLine {
    /// In words.
    pub asked: String,
    /// What was found.
    pub found: String,
    /// `kept` or `broken`.
    pub answer: &'static str,
    /// The row.
    pub by: AskedBy,
}

impl EvacuationSummary {
    /// Of a scenario.
    pub fn of(scenario: &Scenario, units: Units) -> EvacuationSummary {
        let wanted = WantedEndurance::of(&scenario.rules, &scenario.accepted);
        let steps = scenario.plan.levels.iter().flat_map(|l| &l.steps);
        let depths = steps.filter_map(|s| match s.what {
            deepstay_scenario::LevelDo::Press(msw)
            | deepstay_scenario::LevelDo::ChangeStorage(msw) => Some(msw),
            deepstay_scenario::LevelDo::Decompress | deepstay_scenario::LevelDo::Abort => None,
        });
        let depth_msw = depths.fold(0.0, f64::max);
        let (o2, co2) = (
            deepstay_stock::sizing(scenario.rules.o2_sizing(&scenario.accepted)),
            deepstay_stock::sizing(scenario.rules.co2_sizing(&scenario.accepted)),
        );
        let unit = |c: &Compartment| {
            line(
                (scenario, units),
                c,
                (wanted.hours, depth_msw),
                (o2.0, co2.0),
            )
        };
        let units = || {
            let plates = scenario.steel.compartments.iter();
            plates.filter(|c| c.kind == CompartmentKind::Rescue)
        };
        let all = scenario.rules.evacuation(&scenario.accepted);
        let for_all = units()
            .filter(|c| usize::from(c.places) >= scenario.crew.len())
            .count();
        let asked = all.of.iter().filter_map(|a| match a.figures {
            EvacuationFigures::Endures(_) => None,
            EvacuationFigures::Units(n) => Some(UnitsLine {
                asked: a.by.figures.clone(),
                found: format!(
                    "{for_all} with places for all {} divers",
                    scenario.crew.len()
                ),
                answer: if for_all >= usize::from(n) {
                    "kept"
                } else {
                    "broken"
                },
                by: (&a.by).into(),
            }),
        });
        EvacuationSummary {
            wanted_h: wanted.hours,
            wanted_source: wanted.source.document.clone(),
            wanted_status: Some(wanted.source.status.into()),
            depth_msw,
            sizing: format!(
                "oxygen {} L/min a person ({}); carbon dioxide {} L/min ({})",
                fixed_short(o2.0),
                o2.1,
                fixed_short(co2.0),
                co2.1
            ),
            units: units().map(unit).collect(),
            rules: all
                .of
                .iter()
                .map(|a| a.by.id.clone())
                .chain(scenario.rules.o2_sizing(&scenario.accepted).map(|f| f.id))
                .chain(scenario.rules.co2_sizing(&scenario.accepted).map(|f| f.id))
                .collect(),
            asked: asked.collect(),
        }
    }
}

fn line(
    (scenario, units): (&Scenario, Units),
    c: &Compartment,
    (wanted_h, depth_msw): (f64, f64),
    (o2_l_min, co2_l_min): (f64, f64),
) -> UnitLine {
    let people = f64::from(c.places);
    let wanted_s = wanted_h * HOUR_S;
    let l_kg =
        |s: deepstay_plant::Scrubber| s.capacity_mol_kg / FreeReference::Bar15.mol_per_m3() * 1e3;
    let lasts_h = c
        .scrubber
        .map(|s| absorbent_lasts_s(s.absorbent_kg, people, co2_l_min, l_kg(s)) / HOUR_S);
    let leak = format!("leak of {} in heliox of 4 %", c.name);
    let leak = scenario.inputs.iter().find(|i| i.name == leak);
    let share_day = leak.map_or(0.0, |i| i.value / 100.0);
    let heat_w = people * heat_at_rest_w(scenario);
    let ends_k = scenario.steel.deck_t_k + heat_w / c.wall_ua_w_k.max(1e-9);
    let limits = scenario
        .rules
        .limits(Phase::Storage, depth_msw, &scenario.accepted);
    let edge = |bound| {
        let mut of = limits.iter();
        let found = of.find(|l| {
            (l.quantity, l.bound, l.severity) == (Quantity::Temperature, bound, Severity::Limit)
        });
        found.map(|l| (l.value, l.id.clone()))
    };
    let degrees = units.scale(Quantity::Temperature);
    let heat = match (edge(Bound::Low), edge(Bound::High)) {
        (_, Some((high, id))) if ends_k > high => format!(
            "warmer than {} of {id}: cooling is needed",
            degrees.text(high)
        ),
        (Some((low, id)), _) if ends_k < low => format!(
            "colder than {} of {id}: heating is needed",
            degrees.text(low)
        ),
        (None, None) => "not judged: no climate in the rule set for this depth".to_owned(),
        _ => "within the band of the rule set".to_owned(),
    };
    UnitLine {
        unit: c.name.clone(),
        places: c.places,
        absorbent_kg: c.scrubber.map(|s| s.absorbent_kg),
        absorbent_needed_kg: c
            .scrubber
            .map(|s| round(absorbent_kg(people, co2_l_min, wanted_s, l_kg(s)), 1e1)),
        absorbent_h: lasts_h.map(|h| round(h, 1e1)),
        oxygen_needed_m3: round(metabolic_m3(people, o2_l_min, wanted_s), 1e2),
        leak_needed_m3: round(leak_m3(c.volume_m3, depth_msw, share_day, wanted_s), 1e2),
        ends_degc: round(ends_k - ZERO_C_K, 1e1),
        heat,
        carbon_dioxide: match lasts_h {
            None => "not judged: no scrubber is fitted",
            Some(h) if h >= wanted_h => "one canister lasts",
            Some(_) => "spare absorbent is needed",
        },
    }
}
