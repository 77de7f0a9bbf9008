//! How far from the bell a diver can work and still come back on his bail-out: minutes at the depth by each published rate of
//! breathing, and the way that they are worth, against the umbilical and the work.

use super::asked_by::AskedBy;
use crate::kit::places::round;
use deepstay_core::units::{BAR_PA, Quantity, Units, fixed, fixed_short};
use deepstay_rules::{Asked, GasMinimum, UmbilicalFigures};
use deepstay_scenario::Scenario;
use deepstay_sums::{bail_out_s, bail_out_umbilical_m};
use serde::Serialize;

/// Reach.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct UmbilicalSummary {
    /// Deepest work of the plan, msw.
    pub depth_msw: f64,
    /// The bail-out in words.
    pub bail_out: String,
    /// Umbilicals in words; none where the scenario says nothing of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub umbilicals: Option<String>,
    /// Way back, m/min.
    pub back_m_min: f64,
    /// Where that is from.
    pub back_from: String,
    /// By rate of breathing.
    pub rates: Vec<RateLine>,
    /// What the set asks.
    pub asked: Vec<UmbilicalLine>,
    /// Why the set asks nothing, where it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_judged: Option<String>,
}

/// A rate of breathing and how far it takes a diver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RateLine {
    /// The rate as it is known, with its unit.
    pub rate: String,
    /// Where it is from.
    pub source: String,
    /// How long the bail-out lasts at the depth, min.
    pub minutes: f64,
    /// The way back that it is worth, m.
    pub reach_m: f64,
    /// `reaches`, `short` or `not judged` of the furthest work.
    pub answer: &'static str,
}

/// A demand of the set.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UmbilicalLine {
    /// In words.
    pub asked: String,
    /// What was found, in words.
    pub found: String,
    /// `kept`, `broken` or `not judged`.
    pub answer: &'static str,
    /// The row.
    pub by: AskedBy,
}

/// Published rates of breathing on a bail-out, L/min at the diver's depth.
const RATES: [(f64, &str); 3] = [
    (35.0, "a working diver; IMCA D 022 (2000), from memory"),
    (40.0, "Brazil, NORMAM-222 of January 2025, seen"),
    (
        62.5,
        "least that a supply delivers, Canada-NL, SOR/2021-247, s. 172(1)(k), seen; of a bail-out NORSOK U-101, from memory",
    ),
];
/// Brazil's way back, m/min.
const BACK_M_MIN: f64 = 10.0;

/// Minutes on the crew's bail-out at a rate, L/min, at a depth.
fn minutes(scenario: &Scenario, depth_msw: f64, l_min: f64) -> f64 {
    let b = scenario.bail_out;
    let (litres, fill) = (b.volume_m3 * 1e3, b.fill_gauge_pa / BAR_PA);
    bail_out_s(litres, fill, b.regulator_pa / BAR_PA, depth_msw, l_min) / 60.0
}

impl UmbilicalSummary {
    /// Of a scenario.
    pub fn of(scenario: &Scenario, units: Units) -> UmbilicalSummary {
        let runs = scenario.plan.bell_runs.iter().map(|r| r.depth_msw);
        let depth_msw = runs.fold(scenario.site.working_msw, f64::max);
        let mut rows = scenario.rules.gas_minimums().iter();
        let row = rows.find_map(|row| match row.usable(&scenario.accepted) {
            Ok(GasMinimum::BailOut { return_m_min, .. }) => Some((*return_m_min, row.id.clone())),
            _ => None,
        });
        let (back_m_min, back_from) = match (scenario.umbilicals, row) {
            (Some(u), _) => (u.back_m_min, "the scenario".to_owned()),
            (None, Some((m_min, id))) => (m_min, id),
            (None, None) => (
                BACK_M_MIN,
                "Brazil, NORMAM-222 of January 2025, seen; the set says nothing of it".to_owned(),
            ),
        };
        let b = scenario.bail_out;
        let own_l_min = b.breathed_m3_s * 6e4;
        let own = (!RATES
            .iter()
            .any(|(l_min, _)| (l_min - own_l_min).abs() < 0.05))
        .then_some((own_l_min, "the crew's own file"));
        let rate = |(l_min, source): (f64, &str)| {
            let min = minutes(scenario, depth_msw, l_min);
            let reach_m = bail_out_umbilical_m(back_m_min, min * 60.0);
            RateLine {
                rate: format!("{} L/min", fixed_short(l_min)),
                source: source.to_owned(),
                minutes: round(min, 1e2),
                reach_m: round(reach_m, 1e1),
                answer: match scenario.umbilicals {
                    None => "not judged",
                    Some(u) if reach_m < u.excursion_m => "short",
                    Some(_) => "reaches",
                },
            }
        };
        let all = scenario.rules.umbilicals(&scenario.accepted);
        UmbilicalSummary {
            depth_msw,
            bail_out: {
                let gauge = units.scale(Quantity::GaugePressure);
                format!(
                    "{} L filled to {}, the regulator wants {} over the diver's pressure",
                    fixed_short(b.volume_m3 * 1e3),
                    gauge.text(b.fill_gauge_pa / BAR_PA),
                    gauge.text(b.regulator_pa / BAR_PA)
                )
            },
            umbilicals: scenario.umbilicals.map(|u| {
                format!(
                    "diver {} m, bellman {} m, work as far as {} m from the bell",
                    fixed_short(u.diver_m),
                    fixed_short(u.bellman_m),
                    fixed_short(u.excursion_m)
                )
            }),
            back_m_min,
            back_from,
            rates: RATES.into_iter().chain(own).map(rate).collect(),
            not_judged: all.silent(),
            asked: all
                .of
                .iter()
                .map(|a| demand(scenario, depth_msw, a))
                .collect(),
        }
    }
}

fn demand(scenario: &Scenario, depth_msw: f64, a: &Asked<UmbilicalFigures>) -> UmbilicalLine {
    let own_l_min = scenario.bail_out.breathed_m3_s * 6e4;
    let held = |kept: bool| if kept { "kept" } else { "broken" };
    let unknown = || {
        (
            "the scenario says nothing of umbilicals".to_owned(),
            "not judged",
        )
    };
    let (found, answer) = match (a.figures.clone(), scenario.umbilicals) {
        (UmbilicalFigures::StandbyLonger { by_m }, Some(u)) => {
            let longer = u.bellman_m - u.diver_m;
            let words = format!("{} m longer", fixed_short(longer));
            (words, held(longer >= by_m))
        }
        (UmbilicalFigures::BailOutForTenMetres { time }, Some(u)) => {
            let min = minutes(scenario, depth_msw, own_l_min);
            let wanted = time.get() / 60.0 * u.excursion_m / 10.0;
            let words = format!("{} min for {} m", fixed(min, 1), fixed_short(u.excursion_m));
            (words, held(min >= wanted))
        }
        (UmbilicalFigures::BailOutLasts { time, flow }, _) => {
            let min = minutes(scenario, depth_msw, flow.get() * 6e4);
            (
                format!("{} min", fixed(min, 1)),
                held(min * 60.0 >= time.get()),
            )
        }
        (
            UmbilicalFigures::StandbyLonger { .. } | UmbilicalFigures::BailOutForTenMetres { .. },
            None,
        ) => unknown(),
    };
    UmbilicalLine {
        asked: a.by.figures.clone(),
        found,
        answer,
        by: (&a.by).into(),
    }
}
