//! The evacuation-endurance sheet: for a screen and as JSON. What ends first stands first; each figure has its formula and
//! its inputs; the caution closes it.

use crate::kit::terminal::folded;
use deepstay_core::CAUTION;
use deepstay_core::units::fixed;
use deepstay_core::words::Names;
use deepstay_scenario::Scenario;
use deepstay_stock::{Endurance, Lasts};
use serde::Serialize;

/// The sheet as JSON.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct EnduranceSummary {
    /// Version of this file's shape.
    pub format: u32,
    /// What the tool is for, and what it is not.
    pub caution: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// Vessel time of the present.
    pub at: String,
    /// The unit.
    pub unit: String,
    /// Whether it is a rescue chamber (HRC).
    pub is_rescue_chamber: bool,
    /// Its depth, msw.
    pub depth_msw: f64,
    /// Who are to go, and how many places there are.
    pub people: [usize; 2],
    /// Hours that are wanted, with the source and its status.
    pub wanted_h: f64,
    /// Where that comes from.
    pub wanted_source: String,
    /// How that came to us.
    pub wanted_status: String,
    /// Hours until the first supply ends, for those who are to go and with every place taken; none where none ends.
    pub least_h: [Option<f64>; 2],
    /// Whether that is as long as is wanted.
    pub meets: [bool; 2],
    /// Supplies, the one that ends first first.
    pub supplies: Vec<SupplySummary>,
    /// Hours without any scrubber until masks are called for, at 0.06 ata of carbon dioxide.
    pub unscrubbed_h: [f64; 2],
    /// What stands against it.
    pub remarks: Vec<String>,
    /// What was assumed of the present.
    pub assumed: Vec<String>,
}

/// One supply.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SupplySummary {
    /// Of what.
    pub supply: &'static str,
    /// Hours for those who are to go, and with every place taken.
    pub hours: [Option<f64>; 2],
    /// The formula.
    pub formula: &'static str,
    /// Its inputs.
    pub inputs: Vec<TermSummary>,
    /// What must be known beside it.
    pub remark: Option<String>,
}

/// An input of a formula.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TermSummary {
    /// Its sign.
    pub sign: &'static str,
    /// Its value.
    pub value: String,
    /// Where it comes from.
    pub from: String,
}

fn tenth(h: f64) -> f64 {
    (h * 10.0).round() / 10.0
}

impl EnduranceSummary {
    /// Of a sheet.
    pub fn of(scenario: &Scenario, sheet: &Endurance, assumed: &[String]) -> EnduranceSummary {
        let supply = |l: &Lasts| SupplySummary {
            supply: l.supply.words(),
            hours: l.hours.map(|h| h.map(tenth)),
            formula: l.formula,
            inputs: l
                .inputs
                .iter()
                .map(|i| TermSummary {
                    sign: i.sign,
                    value: i.value.clone(),
                    from: i.from.clone(),
                })
                .collect(),
            remark: l.remark.clone(),
        };
        EnduranceSummary {
            format: 1,
            caution: CAUTION.to_owned(),
            scenario: scenario.name.clone(),
            at: scenario.time().civil_with_offset(sheet.at_s),
            unit: scenario.compartment(sheet.unit),
            is_rescue_chamber: sheet.is_rescue,
            depth_msw: sheet.depth_msw,
            people: sheet.people,
            wanted_h: sheet.wanted.hours,
            wanted_source: sheet.wanted.source.document.clone(),
            wanted_status: sheet.wanted.source.status.to_string(),
            least_h: sheet.least_h().map(|h| h.map(tenth)),
            meets: sheet.meets(),
            supplies: sheet.lasts.iter().map(supply).collect(),
            unscrubbed_h: sheet.unscrubbed_h.map(tenth),
            remarks: sheet.remarks.clone(),
            assumed: assumed.to_vec(),
        }
    }

    /// The summary as text.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}

/// The sheet for a terminal so many columns wide.
pub fn endurance_screen(s: &EnduranceSummary, width: usize) -> String {
    let hours = |h: Option<f64>| h.map_or("no end".to_owned(), |h| format!("{} h", fixed(h, 1)));
    let against = |k: usize| {
        let verdict = if s.meets[k] {
            "as long as wanted"
        } else {
            "SHORT"
        };
        format!("{} for {}: {verdict}", hours(s.least_h[k]), s.people[k])
    };
    let kind = if s.is_rescue_chamber {
        ", rescue chamber (HRC)"
    } else {
        ""
    };
    let first = s.supplies.first().map_or("", |l| l.supply);
    let mut lines = vec![
        format!(
            "EVACUATION ENDURANCE: {first} ends first, {}; {}",
            against(0),
            against(1)
        ),
        format!(
            "Wanted: {} h ({}; {})",
            fixed(s.wanted_h, 0),
            s.wanted_source,
            s.wanted_status
        ),
        format!(
            "{}{kind} at {} msw; {} from the page of {}",
            s.unit,
            fixed(s.depth_msw, 1),
            s.scenario,
            s.at
        ),
    ];
    lines.extend(s.remarks.iter().map(|r| format!("Mind: {r}")));
    lines.push(String::new());
    lines.push(format!(
        "{:<26}{:>14}{:>16}",
        "Lasts",
        format!("N = {}", s.people[0]),
        format!("N = {} (places)", s.people[1])
    ));
    for l in &s.supplies {
        lines.push(format!(
            "{:<26}{:>14}{:>16}",
            l.supply,
            hours(l.hours[0]),
            hours(l.hours[1])
        ));
        lines.push(format!("    {}", l.formula));
        lines.extend(
            l.inputs
                .iter()
                .map(|i| format!("      {} = {}: {}", i.sign, i.value, i.from)),
        );
        lines.extend(l.remark.iter().map(|r| format!("      {r}")));
    }
    lines.push(format!(
        "With no scrubber at all: {} h for {}, {} h for {} until masks are called for at 0.06 ata of carbon dioxide (US Navy Diving Manual, 15-22, an older edition; seen)",
        fixed(s.unscrubbed_h[0], 1),
        s.people[0],
        fixed(s.unscrubbed_h[1], 1),
        s.people[1]
    ));
    lines.push("Assumed of the page:".to_owned());
    lines.extend(s.assumed.iter().map(|a| format!("  {a}")));
    lines.push(s.caution.clone());
    folded(&lines, width.max(20))
}
