//! The gas forecast of one job taken up from a present: for a screen and as JSON. What falls below its minimum stands
//! first; the caution closes it.

use super::words::gas_name;
use crate::kit::terminal::folded;
use deepstay_core::CAUTION;
use deepstay_core::units::{FREE, Moles, Units, about, fixed};
use deepstay_core::words::Names;
use deepstay_scenario::Scenario;
use deepstay_stock::{Gas, Outlook};
use serde::Serialize;

/// The forecast as JSON. Amounts are m3 of free gas at 15 degC and 1 bar.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct ForecastSummary {
    /// Version of this file's shape.
    pub format: u32,
    /// What the tool is for, and what it is not.
    pub caution: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// Name of the rule set whose minimums are posted.
    pub minimums_by: String,
    /// Vessel time of the present.
    pub at: String,
    /// Its second.
    pub at_s: i64,
    /// Vessel time of the end of the job.
    pub end: String,
    /// Its second.
    pub end_s: i64,
    /// Whether everybody is at the surface then.
    pub surfaced: bool,
    /// Bell runs lost for want of gas.
    pub runs_without_gas: u32,
    /// The minimums.
    pub minimums: Vec<MinimumForecast>,
    /// The gases.
    pub gases: Vec<GasForecast>,
    /// The banks.
    pub banks: Vec<BankForecast>,
    /// What was assumed of the present.
    pub assumed: Vec<String>,
    /// Units of the screen.
    #[serde(skip)]
    pub units: Units,
}

/// A minimum on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MinimumForecast {
    /// Of what.
    pub of: String,
    /// The gases that count towards it.
    pub gases: Vec<String>,
    /// What must lie in their banks, what cannot be drawn with it, m3.
    pub minimum_m3: f64,
    /// What lies in them at the present, m3.
    pub now_m3: f64,
    /// The least on the way, m3.
    pub least_m3: f64,
    /// When that is, vessel's clock.
    pub least_at: String,
    /// What lies in them at the end, m3.
    pub end_m3: f64,
    /// When they are first seen below it, vessel's clock; none where they are not.
    pub below_from: Option<String>,
    /// Whether the stock met it as it was loaded.
    pub met_as_loaded: bool,
}

/// A gas on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GasForecast {
    /// The gas.
    pub gas: String,
    /// What it holds at each look, m3.
    pub m3: Vec<f64>,
    /// The looks, s since the start.
    pub at_s: Vec<i64>,
}

/// A bank on the way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankForecast {
    /// Name as painted.
    pub bank: String,
    /// Gauge at the present, bar.
    pub now_bar: f64,
    /// Gauge at the end, bar.
    pub end_bar: f64,
    /// What lies in it at the present, m3.
    pub now_m3: f64,
    /// What lies in it at the end, m3.
    pub end_m3: f64,
}

fn m3(mol: f64) -> f64 {
    (Moles(mol).free_m3(FREE) * 10.0).round() / 10.0
}

fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

impl ForecastSummary {
    /// Of a forecast, under the minimums of a rule set.
    pub fn of(
        scenario: &Scenario,
        gases: &[Gas],
        outlook: &Outlook,
        minimums_by: &str,
        assumed: &[String],
        units: Units,
    ) -> ForecastSummary {
        let time = scenario.time();
        let minimum = |f: &deepstay_stock::FloorOutlook| MinimumForecast {
            of: f.floor.words.clone(),
            gases: f.floor.gases.iter().map(|g| gas_name(&gases[*g])).collect(),
            minimum_m3: m3(f.floor.mol),
            now_m3: m3(f.mol[0]),
            least_m3: m3(f.mol[1]),
            least_at: time.clock(f.least_s),
            end_m3: m3(f.mol[2]),
            below_from: f.below_s.map(|s| time.clock(s)),
            met_as_loaded: f.met_as_loaded,
        };
        let mut minimums: Vec<MinimumForecast> = outlook.floors.iter().map(minimum).collect();
        minimums.sort_by_key(|m| m.below_from.is_none());
        ForecastSummary {
            format: 1,
            caution: CAUTION.to_owned(),
            scenario: scenario.name.clone(),
            minimums_by: minimums_by.to_owned(),
            at: time.civil_with_offset(outlook.at_s),
            at_s: outlook.at_s,
            end: time.civil_with_offset(outlook.end_s),
            end_s: outlook.end_s,
            surfaced: outlook.surfaced,
            runs_without_gas: outlook.runs_without_gas,
            minimums,
            gases: gases
                .iter()
                .zip(&outlook.gases_mol)
                .map(|(gas, mol)| GasForecast {
                    gas: gas_name(gas),
                    m3: mol.iter().map(|n| m3(*n)).collect(),
                    at_s: outlook.looks_s.clone(),
                })
                .collect(),
            banks: outlook
                .banks
                .iter()
                .map(|b| BankForecast {
                    bank: scenario.bank(b.bank),
                    now_bar: tenth(b.gauge_bar[0]),
                    end_bar: tenth(b.gauge_bar[1]),
                    now_m3: m3(b.mol[0]),
                    end_m3: m3(b.mol[1]),
                })
                .collect(),
            assumed: assumed.to_vec(),
            units,
        }
    }

    /// The summary as text.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}

/// The forecast for a terminal so many columns wide.
pub fn forecast_screen(s: &ForecastSummary, width: usize) -> String {
    let unit = s.units.free_scale();
    let gas = |m3: f64| about(unit.of(m3 * FREE.mol_per_m3()));
    let bar = s.units.scale(deepstay_core::units::Quantity::GaugePressure);
    let short: Vec<&MinimumForecast> = s
        .minimums
        .iter()
        .filter(|m| m.below_from.is_some())
        .collect();
    let head = match (short.first(), s.runs_without_gas) {
        (None, 0) => "GAS FORECAST: every minimum is held to the end".to_owned(),
        (None, n) => format!("GAS FORECAST: {n} bell runs lost for want of gas"),
        (Some(first), _) => format!(
            "GAS FORECAST: BELOW THE MINIMUM of {} from {}",
            first.of,
            first.below_from.as_deref().unwrap_or_default()
        ),
    };
    let mut lines = vec![
        head,
        format!(
            "{} by its plan, from {} to {}, {}; one job, every input as the scenario has it",
            s.scenario,
            s.at,
            s.end,
            if s.surfaced {
                "all at the surface"
            } else {
                "NOT ALL AT THE SURFACE"
            }
        ),
        String::new(),
        format!(
            "{:<34}{:>9}{:>9}{:>9}{:>9}",
            format!("Minimums by {}, {}", s.minimums_by, unit.unit),
            "minimum",
            "now",
            "least",
            "end"
        ),
    ];
    for m in &s.minimums {
        lines.push(format!(
            "  {:<32}{:>9}{:>9}{:>9}{:>9}",
            m.of,
            gas(m.minimum_m3),
            gas(m.now_m3),
            gas(m.least_m3),
            gas(m.end_m3)
        ));
        let mut words = vec![m.gases.join("; ")];
        if let Some(from) = &m.below_from {
            words.push(format!("BELOW from {from}, least at {}", m.least_at));
        }
        if !m.met_as_loaded {
            words.push("not met as loaded".to_owned());
        }
        lines.push(format!("    {}", words.join("; ")));
    }
    if s.minimums.is_empty() {
        lines.push("  the rule set posts none".to_owned());
    }
    lines.push(format!(
        "{:<34}{:>9}{:>9}",
        format!("Gases, {}", unit.unit),
        "now",
        "end"
    ));
    for g in &s.gases {
        let (now, end) = (g.m3.first(), g.m3.last());
        let cell = |m3: Option<&f64>| m3.map_or(String::new(), |m3| gas(*m3));
        lines.push(format!("  {:<32}{:>9}{:>9}", g.gas, cell(now), cell(end)));
    }
    lines.push(format!(
        "{:<34}{:>9}{:>9}",
        format!("Banks, {}", bar.unit),
        "now",
        "end"
    ));
    for b in &s.banks {
        lines.push(format!(
            "  {:<32}{:>9}{:>9}",
            b.bank,
            fixed(bar.of(b.now_bar), 0),
            fixed(bar.of(b.end_bar), 0)
        ));
    }
    lines.push("What must be held is counted with what cannot be drawn of its banks. How sure this is, `deepstay stock --from` says without --forecast: many jobs, with leaks, breathing and recovery drawn from what is believed after this page.".to_owned());
    lines.push("Assumed of the page:".to_owned());
    lines.extend(s.assumed.iter().map(|a| format!("  {a}")));
    lines.push(s.caution.clone());
    folded(&lines, width.max(20))
}
