//! How the summary is made from the record.

use super::ending::Ending;
use super::inputs::{CAUTION, Inputs, LEDGER_TOLERANCE, Units};
use super::say::{FREE, FREE_WORDS};
use super::summary::*;
use super::words::{Words, formula};
use crate::gas::{Amounts, Species};
use crate::record::{Flow, Phase, RunEnd};
use crate::units::{BankId, CompartmentId, Moles, Place, Purpose};
use std::collections::BTreeMap;

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
            format: 1,
            caution: CAUTION.into(),
            scenario: subject.scenario.clone(),
            title: subject.title.clone(),
            spread: subject.spread.clone(),
            rule_set: subject.rule_set.clone(),
            seed: subject.seed,
            start: subject.civil(0),
            how_it_ended: ending,
            complete: ending.complete(),
            ended_because: reason,
            ended_s: end_s,
            ended_clock: subject.clock(end_s),
            ended_hour: round(end_s as f64 / 3600.0, 1e2),
            seconds_evaluated: outcome.seconds_evaluated,
            entries: record.timeline.entries(),
            left_out: record.left_out(),
            gas: gas(inputs),
            ledger: ledger(inputs),
            limits_crossed: limits(inputs),
            alarms: record.alarms.rates(end_s).into(),
            bell_runs: bell(inputs),
            decompressions: decompressions(inputs),
            weather_stop_h: round(weather as f64 / 3600.0, 1e2),
            orders_refused: record.timeline.refused().0,
            rules_used: rules(inputs),
            units: inputs.units,
        }
    }

    /// Whether any limit was truly crossed, or shown to be.
    pub fn crossed_limits(&self) -> bool {
        !self.limits_crossed.is_empty()
    }

    /// Whether bell runs were not made, or were broken off.
    pub fn lost_runs(&self) -> bool {
        self.bell_runs.not_made + self.bell_runs.broken_off > 0
    }

    /// The summary as `job.json` holds it.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

fn round(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
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
    let bank = |(i, label): (u8, &super::BankLabel)| {
        let id = BankId(i);
        let start = record.ledger.opening(Place::Bank(id)).map(|a| a.total());
        let end = record.ledger.closing(Place::Bank(id)).map(|a| a.total());
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
            label_o2_percent: round(label.label_o2 * 100.0, 1e3),
            true_o2_percent: round(label.true_o2 * 100.0, 1e3),
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
    }
}

fn ledger(inputs: &Inputs<'_>) -> LedgerSummary {
    let closure = inputs.record.ledger.closure();
    let species = |s: Species| SpeciesClosure {
        species: formula(s),
        handled_mol: closure.handled[s],
        residual_mol: closure.residual[s],
        relative: closure.relative[s],
    };
    LedgerSummary {
        closes: closure.holds(LEDGER_TOLERANCE),
        tolerance: LEDGER_TOLERANCE,
        worst_relative: closure.worst(),
        species: Species::ALL.into_iter().map(species).collect(),
        not_closed: closure
            .unclosed
            .iter()
            .map(|p| inputs.subject.place(*p))
            .collect(),
    }
}

fn limits(inputs: &Inputs<'_>) -> Vec<LimitSummary> {
    let line = |l: crate::record::LimitTotal| {
        let scale = Units::Metric.scale(l.key.quantity);
        LimitSummary {
            compartment: inputs.subject.vessel(l.key.compartment),
            quantity: l.key.quantity.words(),
            side: l.key.side.words(),
            by: l.key.truth.words(),
            limit: round(scale.of(l.limit), 1e6),
            furthest: round(scale.of(l.furthest), 1e6),
            unit: scale.plain,
            times: l.times,
            minutes_outside: round(l.outside_s as f64 / 60.0, 1e2),
            first: inputs.subject.clock(l.first_s),
            total: l,
        }
    };
    inputs
        .record
        .limits
        .totals(inputs.outcome.ended_s)
        .into_iter()
        .map(line)
        .collect()
}

/// Specific heat of sea water, J/(kg K) (textbook, recalled).
const SEA_WATER_J_KG_K: f64 = 3990.0;

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
        broken_off: count(RunEnd::BrokenOff),
        not_made: count(RunEnd::Missed),
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
            compartment: subject.vessel(p.compartment),
            from: subject.clock(p.from_s),
            hours: round((p.to_s.unwrap_or(end_s) - p.from_s) as f64 / 3600.0, 1e2),
            surfaced: p.to_s.is_some_and(|then| surfaced(p.compartment, then)),
        })
        .collect()
}

fn rules(inputs: &Inputs<'_>) -> Vec<RuleSummary> {
    let line = |p: &super::ProvenanceRow| RuleSummary {
        id: p.id.clone(),
        what: p.what.clone(),
        figures: p.figures.clone(),
        document: p.document.clone(),
        status: p.status.into(),
    };
    inputs.provenance.iter().map(line).collect()
}
