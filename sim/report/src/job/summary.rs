//! The summary of a run, made from its record: what `job.json` holds and the terminal shows. Always
//! metric, units in the names of the fields.

use super::bank_state::BankState;
use super::ending::Ending;
use super::hours::{DiverHours, divers};
use super::inputs::{Inputs, LEDGER_TOLERANCE};
use super::planned::{PlannedUse, planned_uses};
use super::posted::PostedSummary;
use super::stores::StoresSummary;
use crate::kit::places::round;
use crate::made_from::{MadeFromSummary, VERSION};
use crate::provenance::StatusWord;
use crate::working::WorkingTimeSummary;
use deepstay_core::CAUTION;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{AlarmRates, Flow, LimitTotal, Phase, RunEnd, Severity, Unwell};
use deepstay_core::units::{BankId, CompartmentId, FREE, FREE_WORDS, Moles, Purpose, Units};
use deepstay_core::words::{Names, Words, formula, limit_unit, limited};
use serde::Serialize;
use std::collections::BTreeMap;

/// Version of the shape of `job.json`. The first had nothing of the work and of working time, the second no divers, no plan of
/// gas, nothing of what is posted, and working time in words alone.
pub const JOB_FORMAT: u32 = 3;

/// The summary of a run.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
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
    /// What the set took from those that it is based on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rules_taken: Option<String>,
    /// Seed of every draw.
    pub seed: u64,
    /// Version of the program.
    pub version: String,
    /// The files that the scenario was made of, the job's own first; none where whoever ran the job did not say.
    pub made_from: Vec<MadeFromSummary>,
    /// Civil time at the start.
    pub start: String,
    /// The present that it was taken up from; left out of a job that began at second 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_present: Option<PresentSummary>,
    /// How it ended, the worst first.
    pub how_it_ended: Ending,
    /// Whether the job was gone through to its end, with its bell runs made, its work done and everybody under pressure as
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
    /// Everybody who was not well all the time, truly. Display and training only: an average person with a wide spread.
    pub people_unwell: Vec<UnwellSummary>,
    /// Limits crossed, true and indicated apart, emergencies first.
    pub limits_crossed: Vec<LimitSummary>,
    /// The same of values past which the watch only looks and acts.
    pub attentions: Vec<LimitSummary>,
    /// Alarms.
    pub alarms: AlarmSummary,
    /// Working time, rest and days under pressure as they were lived, by the rule set.
    pub working_time: WorkingTimeSummary,
    /// Each diver's hours and limits.
    pub divers: Vec<DiverHours>,
    /// Bell runs.
    pub bell_runs: BellSummary,
    /// Absorbent and lock runs.
    pub stores: StoresSummary,
    /// Decompressions.
    pub decompressions: Vec<DecompressionSummary>,
    /// Weather stops, h.
    pub weather_stop_h: f64,
    /// What came of each task of the work list.
    pub work: Vec<WorkSummary>,
    /// When the work list was done, vessel time; none: something is missing, or there is no list.
    pub work_done: Option<String>,
    /// When it was to be done by the plan, vessel time; none: not by the plan, or there is no list.
    pub work_planned: Option<String>,
    /// Orders refused.
    pub orders_refused: u64,
    /// What a superintendent, a client's representative and a surveyor look for.
    pub posted: PostedSummary,
    /// Every rule figure used.
    pub rules_used: Vec<RuleSummary>,
    /// Which units the terminal speaks in.
    #[serde(skip)]
    pub units: Units,
}

/// The present that a job was taken up from.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PresentSummary {
    /// Its second.
    pub at_s: i64,
    /// The same, vessel time.
    pub at: String,
    /// The same on the vessel's clock, with the day of the job.
    pub clock: String,
    /// What one page cannot tell and was assumed, a sentence each.
    pub assumed: Vec<String>,
}

/// What came of a task.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorkSummary {
    /// What it is called.
    pub task: String,
    /// Time in the water it takes, h; weather is no part of it.
    pub needed_h: f64,
    /// Time in the water it had, h.
    pub had_h: f64,
    /// When it was done, vessel time.
    pub done: Option<String>,
    /// When it was to be done by the plan, vessel time.
    pub planned: Option<String>,
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
    /// Planned against used, by bank and purpose.
    pub planned: Vec<PlannedUse>,
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
    /// Oxygen of its last analysis, percent; none if there was none.
    pub analysed_o2_percent: Option<f64>,
    /// Oxygen truly in it at the start, percent.
    pub true_o2_start_percent: Option<f64>,
    /// Oxygen truly in it at the end, percent.
    pub true_o2_end_percent: Option<f64>,
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

/// A person who was not well all the time.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UnwellSummary {
    /// Initials.
    pub diver: String,
    /// Whether he came to harm: confused, out or dead.
    pub hurt: bool,
    /// The worst state he was in.
    pub worst: &'static str,
    /// What it came from.
    pub of: &'static str,
    /// When that began, ship's clock.
    pub from: String,
    /// The same in seconds from the start.
    pub from_s: i64,
    /// The state he was last in.
    pub in_the_end: &'static str,
    /// How often his state changed.
    pub changes: u64,
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
    /// How grave: emergency, limit or attention.
    pub severity: &'static str,
    /// True, or indicated.
    pub by: &'static str,
    /// The limit.
    pub limit: f64,
    /// The value furthest out.
    pub furthest: f64,
    /// Unit of both.
    pub unit: String,
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
    pub emergency: u64,
    pub limit: u64,
    pub attention: u64,
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
        let [emergency, limit, attention] = r.by_severity;
        AlarmSummary {
            count: r.count,
            emergency,
            limit,
            attention,
            per_10_min: round(r.per_ten_minutes, 1e4),
            per_day: round(r.per_day, 1e4),
            most_in_10_min: r.most_in_ten_minutes,
            most_in_an_hour: r.most_in_an_hour,
            share_of_10_min_over_10: round(r.windows_over_ten, 1e4),
            floods: r.floods,
            flood_min: round(r.flood_s as f64 / 60.0, 1e4),
            mean_standing: round(r.mean_standing, 1e4),
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
    /// Begun and aborted.
    pub aborted: u64,
    /// Never begun.
    pub cancelled: u64,
    /// Still out when the record ended.
    pub still_out: u64,
    /// Why runs were aborted or cancelled.
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
    /// The same length as `hours`, unrounded, for the screen, s.
    #[serde(skip)]
    pub seconds: i64,
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

impl Summary {
    /// Makes the summary of a run.
    pub fn of(inputs: &Inputs<'_>) -> Summary {
        let (subject, record, outcome) = (inputs.subject, inputs.record, inputs.outcome);
        let end_s = outcome.ended_s;
        let (ending, reason) = Ending::of(inputs);
        let weather: i64 = record
            .timeline
            .weather()
            .iter()
            .map(|w| w.to_s.unwrap_or(end_s) - w.from_s)
            .sum();
        Summary {
            format: JOB_FORMAT,
            caution: CAUTION.into(),
            scenario: subject.scenario.clone(),
            title: subject.title.clone(),
            spread: subject.spread.clone(),
            rule_set: subject.rule_set.clone(),
            rules_taken: subject.rules_taken.clone(),
            seed: subject.seed,
            version: VERSION.to_owned(),
            made_from: subject.made_from.iter().map(Into::into).collect(),
            start: subject.time.civil_with_offset(0),
            from_present: outcome.taken_up.as_ref().map(|taken_up| PresentSummary {
                at_s: taken_up.at_s,
                at: subject.time.civil_with_offset(taken_up.at_s),
                clock: subject.time.clock(taken_up.at_s),
                assumed: taken_up.assumed.clone(),
            }),
            how_it_ended: ending,
            complete: ending.complete(),
            ended_because: reason,
            ended_s: end_s,
            ended_clock: subject.time.clock(end_s),
            ended_hour: round(end_s as f64 / 3600.0, 1e2),
            seconds_evaluated: outcome.seconds_evaluated,
            entries: record.timeline.entries(),
            left_out: record.left_out(),
            gas: gas(inputs),
            ledger: ledger(inputs),
            people_unwell: unwell(inputs),
            limits_crossed: limits(inputs, |s| s != Severity::Attention),
            attentions: limits(inputs, |s| s == Severity::Attention),
            alarms: record.alarms.rates(outcome.from_s(), end_s).into(),
            working_time: inputs.working_time(),
            divers: divers(inputs),
            bell_runs: bell(inputs),
            stores: StoresSummary::of(inputs),
            decompressions: decompressions(inputs),
            weather_stop_h: round(weather as f64 / 3600.0, 1e2),
            work: outcome
                .work
                .tasks
                .iter()
                .map(|t| WorkSummary {
                    task: t.task.clone(),
                    needed_h: t.needed_s as f64 / 3600.0,
                    had_h: t.had_s as f64 / 3600.0,
                    done: t.done_s.map(|s| subject.time.clock(s)),
                    planned: t.planned_s.map(|s| subject.time.clock(s)),
                })
                .collect(),
            work_done: outcome.work.done_s().map(|s| subject.time.clock(s)),
            work_planned: outcome.work.planned_s().map(|s| subject.time.clock(s)),
            orders_refused: record.timeline.refused().0,
            posted: inputs.posted.clone(),
            rules_used: rules(inputs),
            units: inputs.units,
        }
    }

    /// Whether any limit was truly crossed, or indicated to be; what only calls for attention is none.
    pub fn crossed_limits(&self) -> bool {
        !self.limits_crossed.is_empty()
    }

    /// Whether bell runs were cancelled or aborted.
    pub fn lost_runs(&self) -> bool {
        self.bell_runs.cancelled + self.bell_runs.aborted > 0
    }

    /// Whether a task of the work list is not done, as far as that is known: of a job taken up from a present it is not.
    pub fn work_missing(&self) -> bool {
        self.from_present.is_none() && self.work.iter().any(|t| t.done.is_none())
    }

    /// The summary as `job.json` holds it.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

/// A number that may be very small, to three figures.
fn three_figures(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap_or(value)
}

fn m3(mol: f64) -> f64 {
    round(Moles(mol).free_m3(FREE), 1e4)
}

fn by_species(moles: &Amounts) -> BySpecies {
    let amount = |s: Species| {
        (
            formula(s),
            Amount {
                mol: round(moles[s], 1e6),
                m3_free: m3(moles[s]),
            },
        )
    };
    Species::ALL
        .into_iter()
        .filter(|s| moles[*s] != 0.0)
        .map(amount)
        .collect()
}

fn unwell(inputs: &Inputs<'_>) -> Vec<UnwellSummary> {
    let subject = inputs.subject;
    let row = |one: &Unwell| UnwellSummary {
        diver: subject.initials(one.diver),
        hurt: one.hurt(),
        worst: one.worst.to.words(),
        of: one.worst.cause.words(),
        from: subject.time.clock(one.worst.at_s),
        from_s: one.worst.at_s,
        in_the_end: one.now.words(),
        changes: one.count,
    };
    inputs.record.harm.unwell().map(row).collect()
}

fn gas(inputs: &Inputs<'_>) -> GasSummary {
    let (subject, record) = (inputs.subject, inputs.record);
    let mut totals = BTreeMap::new();
    let mut purposes: BTreeMap<_, BTreeMap<_, _>> = BTreeMap::new();
    for flow in Flow::ALL {
        let all = record.ledger.sum_where(|l| flow.counts(l.from, l.to));
        totals.insert(flow.words(), by_species(&all));
        for purpose in Purpose::ALL {
            let moved = record.ledger.moved(flow, purpose);
            if moved != Amounts::ZERO {
                purposes
                    .entry(purpose.words())
                    .or_default()
                    .insert(flow.words(), by_species(&moved));
            }
        }
    }
    let bank = |(i, label): (u8, &crate::subject::BankLabel)| {
        let id = BankId(i);
        let state = BankState::of(inputs, id, label);
        let (start, end) = (state.start.map(|a| a.total()), state.end.map(|a| a.total()));
        let percent = |o2: f64| round(o2 * 100.0, 1e3);
        let mut gauges = record
            .log
            .banks()
            .iter()
            .filter(|b| b.bank == id)
            .map(|b| round(b.gauge_bar, 1e2));
        let first = gauges.next();
        BankSummary {
            bank: label.name.clone(),
            duty: label.duty.words(),
            label_o2_percent: percent(label.label_o2),
            analysed_o2_percent: state.analysed_o2.map(percent),
            true_o2_start_percent: state.start_o2().map(percent),
            true_o2_end_percent: state.end_o2().map(percent),
            start_mol: start.map(|m| round(m, 1e3)),
            end_mol: end.map(|m| round(m, 1e3)),
            start_m3_free: start.map(m3),
            end_m3_free: end.map(m3),
            start_gauge_bar: first,
            end_gauge_bar: gauges.next_back().or(first),
        }
    };
    let banks = (0u8..).zip(&subject.banks).map(bank).collect();
    GasSummary {
        free_reference: FREE_WORDS.into(),
        totals,
        purposes,
        banks,
        planned: planned_uses(inputs),
    }
}

fn ledger(inputs: &Inputs<'_>) -> LedgerSummary {
    let closure = inputs.record.ledger.closure();
    let species = |s: Species| SpeciesClosure {
        species: formula(s),
        handled_mol: round(closure.handled[s], 1e6),
        residual_mol: three_figures(closure.residual[s]),
        relative: three_figures(closure.relative[s]),
    };
    LedgerSummary {
        closes: closure.holds(LEDGER_TOLERANCE),
        tolerance: LEDGER_TOLERANCE,
        worst_relative: three_figures(closure.worst()),
        species: Species::ALL.into_iter().map(species).collect(),
        not_closed: closure
            .unclosed
            .iter()
            .map(|p| inputs.subject.place(*p))
            .collect(),
    }
}

fn limits(inputs: &Inputs<'_>, of: impl Fn(Severity) -> bool) -> Vec<LimitSummary> {
    let line = |l: deepstay_core::record::LimitTotal| {
        let scale = Units::Metric.scale(l.key.name.quantity);
        LimitSummary {
            compartment: inputs.subject.compartment(l.key.name.compartment),
            quantity: limited(&l.key.name),
            side: l.key.name.bound.words(),
            severity: l.key.name.severity.words(),
            by: l.key.truth.words(),
            limit: round(scale.of(l.limit), 1e6),
            furthest: round(scale.of(l.furthest), 1e6),
            unit: limit_unit(&l.key.name, Units::Metric),
            times: l.times,
            minutes_outside: round(l.outside_s as f64 / 60.0, 1e2),
            first: inputs.subject.time.clock(l.first_s),
            total: l,
        }
    };
    let mut totals = inputs.record.limits.totals(inputs.outcome.ended_s);
    totals.retain(|l| of(l.key.name.severity));
    totals.sort_by_key(|l| std::cmp::Reverse(l.key.name.severity));
    totals.into_iter().map(line).collect()
}

/// Specific heat of sea water, J/(kg K) (textbook, recalled).
pub(crate) const SEA_WATER_J_KG_K: f64 = 3990.0;

fn bell(inputs: &Inputs<'_>) -> BellSummary {
    let runs = inputs.record.bell.runs();
    let count = |end: RunEnd| runs.iter().filter(|r| r.end() == end).count() as u64;
    let mut because = BTreeMap::new();
    for (why, _) in runs.iter().filter_map(|r| r.stopped) {
        *because.entry(why.words()).or_default() += 1;
    }
    let hot_water = || {
        runs.iter().filter_map(|r| {
            let water = inputs.subject.hot_water.iter().find(|w| w.bell == r.bell)?;
            Some((water.kg_s * r.water_s as f64, water))
        })
    };
    let sealed = || runs.iter().filter_map(|r| r.seal_to_seal_s());
    let hours = |s: i64| round(s as f64 / 3600.0, 1e2);
    BellSummary {
        made: count(RunEnd::Made),
        aborted: count(RunEnd::Aborted),
        cancelled: count(RunEnd::Cancelled),
        still_out: count(RunEnd::Running),
        because,
        seal_to_seal_h: hours(sealed().sum()),
        longest_seal_to_seal_h: hours(sealed().max().unwrap_or(0)),
        in_water_h: hours(runs.iter().map(|r| r.water_s).sum()),
        hot_water_t: round(hot_water().map(|(kg, _)| kg).sum::<f64>() / 1e3, 1e1),
        hot_water_kwh: round(
            hot_water()
                .map(|(kg, w)| kg * SEA_WATER_J_KG_K * w.warmer_k)
                .sum::<f64>()
                / 3.6e6,
            1.0,
        ),
    }
}

fn decompressions(inputs: &Inputs<'_>) -> Vec<DecompressionSummary> {
    let (subject, end_s) = (inputs.subject, inputs.outcome.ended_s);
    let phases = inputs.record.timeline.phases();
    let surfaced = |at: CompartmentId, then: i64| {
        phases
            .iter()
            .any(|p| p.compartment == at && p.phase == Phase::Surface && p.from_s == then)
    };
    phases
        .iter()
        .filter(|p| p.phase == Phase::Decompression)
        .map(|p| DecompressionSummary {
            compartment: subject.compartment(p.compartment),
            from: subject.time.clock(p.from_s),
            hours: round((p.to_s.unwrap_or(end_s) - p.from_s) as f64 / 3600.0, 1e2),
            surfaced: p.to_s.is_some_and(|then| surfaced(p.compartment, then)),
            seconds: p.to_s.unwrap_or(end_s) - p.from_s,
        })
        .collect()
}

fn rules(inputs: &Inputs<'_>) -> Vec<RuleSummary> {
    let line = |p: &crate::provenance::ProvenanceRow| RuleSummary {
        id: p.id.clone(),
        what: p.what.clone(),
        figures: p.figures.clone(),
        document: p.document.clone(),
        status: p.status.into(),
    };
    inputs.provenance.iter().map(line).collect()
}
