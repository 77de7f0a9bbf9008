//! The summary of a run: what `job.json` holds and the terminal shows. Always metric, units in the
//! names of the fields.

use super::ending::Ending;
use super::inputs::{StatusWord, Units};
use crate::record::{AlarmRates, LimitTotal};
use serde::Serialize;
use std::collections::BTreeMap;

/// The summary of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// Version of this file's shape.
    pub format: u32,
    /// What the tool is for, and what it is not.
    pub caution: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// One line on what it is.
    pub title: String,
    /// Name of the spread.
    pub spread: String,
    /// Name of the rule set.
    pub rule_set: String,
    /// Seed of every draw.
    pub seed: u64,
    /// Civil time at the start.
    pub start: String,
    /// How it ended, the worst first.
    pub how_it_ended: Ending,
    /// Whether the job was gone through to its end, with its work done and everybody under pressure as
    /// ordered.
    pub complete: bool,
    /// Why it ended.
    pub ended_because: String,
    /// Last second.
    pub ended_s: i64,
    /// Last second on the ship's clock.
    pub ended_clock: String,
    /// The same in hours from the start.
    pub ended_hour: f64,
    /// Seconds of plant time that were evaluated one by one.
    pub seconds_evaluated: u64,
    /// Entries that the run gave.
    pub entries: u64,
    /// Entries counted and not kept one by one.
    pub left_out: u64,
    /// Where the gas went.
    pub gas: GasSummary,
    /// Whether the ledger closes.
    pub ledger: LedgerSummary,
    /// Limits crossed, true and shown apart.
    pub limits_crossed: Vec<LimitSummary>,
    /// Alarms.
    pub alarms: AlarmSummary,
    /// Bell runs.
    pub bell_runs: BellSummary,
    /// Decompressions.
    pub decompressions: Vec<DecompressionSummary>,
    /// Weather stops, h.
    pub weather_stop_h: f64,
    /// Orders refused.
    pub orders_refused: u64,
    /// Every rule figure used.
    pub rules_used: Vec<RuleSummary>,
    /// Which units the terminal speaks in.
    #[serde(skip)]
    pub units: Units,
}

/// An amount of one species.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Amount {
    /// Moles.
    pub mol: f64,
    /// Free gas volume, m3.
    pub m3_free: f64,
}

/// Amounts by formula; species of which nothing moved are left out.
pub type BySpecies = BTreeMap<&'static str, Amount>;

/// Where the gas went.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GasSummary {
    /// What a cubic metre of free gas means here.
    pub free_reference: String,
    /// Totals over all purposes, by side of the account.
    pub totals: BTreeMap<&'static str, BySpecies>,
    /// By purpose, then side of the account.
    pub purposes: BTreeMap<&'static str, BTreeMap<&'static str, BySpecies>>,
    /// Stock of each bank.
    pub banks: Vec<BankSummary>,
}

/// Stock of a bank.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BankSummary {
    /// Name as painted.
    pub bank: String,
    /// Duty on the label.
    pub duty: &'static str,
    /// Oxygen on the label, percent.
    pub label_o2_percent: f64,
    /// Oxygen truly in it at the start, percent.
    pub true_o2_percent: f64,
    /// What lay in it at the start, mol.
    pub start_mol: Option<f64>,
    /// What lies in it at the end, mol.
    pub end_mol: Option<f64>,
    /// The same as free gas, m3.
    pub start_m3_free: Option<f64>,
    /// The same as free gas, m3.
    pub end_m3_free: Option<f64>,
    /// First logged gauge pressure, bar.
    pub start_gauge_bar: Option<f64>,
    /// Last logged gauge pressure, bar.
    pub end_gauge_bar: Option<f64>,
}

/// Whether the ledger closes.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LedgerSummary {
    /// Whether every bank and compartment closes within the tolerance.
    pub closes: bool,
    /// Largest residual allowed, relative to the moles handled.
    pub tolerance: f64,
    /// Largest relative residual of any species.
    pub worst_relative: f64,
    /// Per species.
    pub species: Vec<SpeciesClosure>,
    /// Places without a closing amount.
    pub not_closed: Vec<String>,
}

/// Closure of one species.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpeciesClosure {
    /// Formula.
    pub species: &'static str,
    /// Moles handled.
    pub handled_mol: f64,
    /// Sum of the absolute residuals of all places, mol.
    pub residual_mol: f64,
    /// Residual over handled.
    pub relative: f64,
}

/// A limit that was crossed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LimitSummary {
    /// Where.
    pub compartment: String,
    /// Of what.
    pub quantity: &'static str,
    /// High or low.
    pub side: &'static str,
    /// By the truth, or by what was shown.
    pub by: &'static str,
    /// The limit.
    pub limit: f64,
    /// The value furthest out.
    pub furthest: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// How often.
    pub times: u64,
    /// Minutes outside.
    pub minutes_outside: f64,
    /// First time, ship's clock.
    pub first: String,
    /// The same in the plain unit of the quantity, for the screen to print in the chosen one.
    #[serde(skip)]
    pub total: LimitTotal,
}

/// Alarms.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[expect(
    missing_docs,
    reason = "the names say what they are; see the record room's rates"
)]
pub struct AlarmSummary {
    pub count: u64,
    pub per_10_min: f64,
    pub per_day: f64,
    pub most_in_10_min: u64,
    pub most_in_an_hour: u64,
    pub share_of_10_min_over_10: f64,
    pub floods: u64,
    pub flood_min: f64,
    pub mean_standing: f64,
    pub most_standing: u64,
    pub stale: u64,
    pub standing_at_end: u64,
}

impl From<AlarmRates> for AlarmSummary {
    fn from(r: AlarmRates) -> AlarmSummary {
        AlarmSummary {
            count: r.count,
            per_10_min: r.per_ten_minutes,
            per_day: r.per_day,
            most_in_10_min: r.most_in_ten_minutes,
            most_in_an_hour: r.most_in_an_hour,
            share_of_10_min_over_10: r.windows_over_ten,
            floods: r.floods,
            flood_min: r.flood_s as f64 / 60.0,
            mean_standing: r.mean_standing,
            most_standing: r.most_standing,
            stale: r.stale,
            standing_at_end: r.standing_at_end,
        }
    }
}

/// Bell runs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BellSummary {
    /// Gone through to the end.
    pub made: u64,
    /// Begun and broken off.
    pub broken_off: u64,
    /// Never begun.
    pub not_made: u64,
    /// Still out when the record ended.
    pub still_out: u64,
    /// Why runs were broken off or not made.
    pub because: BTreeMap<&'static str, u64>,
    /// Seal to seal, all runs, h.
    pub seal_to_seal_h: f64,
    /// Longest seal to seal, h.
    pub longest_seal_to_seal_h: f64,
    /// Divers' time in the water, h.
    pub in_water_h: f64,
    /// Hot water to them, t.
    pub hot_water_t: f64,
    /// Heat in it above the sea's, kWh.
    pub hot_water_kwh: f64,
}

/// One chamber's decompression.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DecompressionSummary {
    /// Chamber.
    pub compartment: String,
    /// Start, ship's clock.
    pub from: String,
    /// Hours taken up to the surface or the end of the run.
    pub hours: f64,
    /// Whether it came to the surface.
    pub surfaced: bool,
}

/// A rule figure used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "the same words as in the rule set")]
pub struct RuleSummary {
    pub id: String,
    pub what: String,
    pub figures: String,
    pub document: String,
    pub status: StatusWord,
}

/// How many of the rule figures used stand on weak feet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StatusCount {
    /// From memory.
    pub recalled: usize,
    /// Read where another page quotes the document.
    pub second_hand: usize,
}

impl StatusCount {
    /// Counts the rules of a summary.
    pub fn of(s: &Summary) -> StatusCount {
        let count = |status| s.rules_used.iter().filter(|r| r.status == status).count();
        StatusCount {
            recalled: count(StatusWord::Recalled),
            second_hand: count(StatusWord::SecondHand),
        }
    }
}
