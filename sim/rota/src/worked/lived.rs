//! A job as it was lived, from its record: when each run's checks began and its divers were home, who was in the water
//! when, from when to when everybody was under pressure and at depth, and how often the log was written.

use super::Worked;
use crate::ask::as_planned;
use crate::check::{Breathed, Moments, Routine};
use crate::types::{BellRun, Position, Rota, Saturation, Span};
use deepstay_core::record::{
    BellPhase, BellRun as MadeRun, BreathingPath, Phase, PhaseSpan, Pressed, Recorder, What,
};
use deepstay_core::units::{CompartmentId, DiverId, InstrumentId, Quantity};
use deepstay_rules::RuleRefusal;
use deepstay_scenario::lengths::phase::CLAMP_S;
use deepstay_scenario::{BellRun as PlannedRun, Scenario};
use std::collections::BTreeMap;

impl Worked {
    /// A job as its record has it, up to the second at which it ended; `planned` are the runs that were in force at the
    /// last, planned anew or not. Of one taken up from a present the days before are the plan's.
    ///
    /// # Errors
    /// A refusal where the set does not say how to press or come up as the plan does.
    pub fn lived(
        scenario: &Scenario,
        record: &Recorder,
        planned: &[PlannedRun],
        (from_s, end_s): (i64, i64),
    ) -> Result<Worked, RuleRefusal> {
        let mut problem = as_planned(scenario)?;
        let mut made: Vec<(BellRun, Moments)> = record
            .bell
            .runs()
            .iter()
            .filter_map(|run| turn(run, scenario, record, planned, end_s))
            .collect();
        made.sort_by_key(|(run, _)| (run.first, run.bell));
        let (runs, moments) = made.into_iter().unzip();
        for (id, diver) in (0u8..).map(DiverId).zip(&mut problem.divers) {
            let planned = std::mem::take(&mut diver.saturations);
            diver.saturations = saturations(record, id, end_s);
            // Whoever was found under pressure had been pressed as the plan has it.
            if let Some(found) = diver.saturations.first_mut()
                && from_s > 0
                && found.pressed_s <= from_s
                && let Some(plan) = planned.iter().find(|s| s.surfaced_s > from_s)
            {
                found.pressed_s = plan.pressed_s.min(found.pressed_s);
                found.arrived_s = plan.arrived_s.min(found.arrived_s);
            }
        }
        Ok(Worked {
            problem,
            rota: Rota { runs },
            moments,
            breathed: Breathed {
                masks: on_masks(record, end_s),
                ..super::by_the_labels(scenario)
            },
            routine: Routine {
                log: longest_log(record),
                calibration: longest_calibration(scenario, record, end_s),
            },
        })
    }
}

/// A run that was begun, with its divers sealed in; none of others, for nobody left his chamber.
fn turn(
    run: &MadeRun,
    scenario: &Scenario,
    record: &Recorder,
    planned: &[PlannedRun],
    end_s: i64,
) -> Option<(BellRun, Moments)> {
    let sealed_in_s = run.began_s(BellPhase::Seal)?;
    let home_s = run.done_s().unwrap_or(end_s);
    let ready_s = run.began_s(BellPhase::TransferBack).unwrap_or(home_s);
    let clamped_on_s = run.began_s(BellPhase::TrunkPressed).unwrap_or(ready_s);
    let clamp_off_s = run
        .began_s(BellPhase::Lowering)
        .map_or(clamped_on_s, |s| s - CLAMP_S)
        .clamp(sealed_in_s, clamped_on_s);
    let planned = planned.get(usize::from(run.run));
    let during = Span::new(sealed_in_s, home_s);
    let wet = |diver: DiverId| -> Vec<Span> {
        let his = record
            .divers
            .wet()
            .iter()
            .filter(|w| w.diver == diver && w.bell == run.bell);
        let spans = his.map(|w| Span::new(w.from_s, w.to_s.unwrap_or(end_s)));
        spans.filter(|s| s.shared_s(during) > 0).collect()
    };
    let position = |&diver: &DiverId| Position::of(diver, wet(diver));
    let moments = Moments {
        checks_s: run.from_s().unwrap_or(sealed_in_s),
        sealed_in_s,
        clamp_off_s,
        clamped_on_s,
        ready_s,
        home_s,
    };
    let made = BellRun {
        bell: run.bell,
        first: sealed_in_s,
        last: clamped_on_s,
        depth_msw: planned.map_or(scenario.site.working_msw, |p| p.depth_msw),
        positions: run.divers.iter().map(position).collect(),
        tasks: Vec::new(),
    };
    Some((made, moments))
}

/// Times under pressure of a diver, with when the chamber that he was pressed in reached its depth, and when the one he
/// came up in left it for good.
fn saturations(record: &Recorder, id: DiverId, end_s: i64) -> Vec<Saturation> {
    let his = record.divers.pressed().iter().filter(|p| p.diver == id);
    let at = |c: CompartmentId| {
        let phases = record.timeline.phases().iter();
        phases.filter(move |p| p.compartment == c)
    };
    let saturation = |p: &Pressed| {
        let surfaced_s = p.to_s.unwrap_or(end_s);
        let stored = |span: &&PhaseSpan| {
            span.phase == Phase::Storage && span.from_s >= p.from_s && span.from_s < surfaced_s
        };
        let leaving = |span: &&PhaseSpan| {
            span.phase == Phase::Decompression && (p.from_s..surfaced_s).contains(&span.from_s)
        };
        let leaves = at(p.last).rfind(leaving);
        let went_on = |s: &PhaseSpan| {
            at(p.last)
                .filter(stored)
                .any(|stored| stored.from_s >= s.from_s)
        };
        Saturation {
            pressed_s: p.from_s,
            arrived_s: at(p.first).find(stored).map_or(surfaced_s, |s| s.from_s),
            leaves_s: leaves
                .filter(|s| !went_on(s))
                .map_or(surfaced_s, |s| s.from_s),
            surfaced_s,
        }
    };
    his.map(saturation).collect()
}

/// The longest time between two rows of the log with somebody under pressure.
fn longest_log(record: &Recorder) -> Option<Span> {
    let rows = record.log.periods();
    let pressed = record.divers.pressed();
    let gaps = rows.windows(2).map(|w| Span::new(w[0].at, w[1].at));
    let under = |gap: &Span| {
        let mut all = pressed.iter();
        all.any(|p| p.from_s <= gap.from_s && p.to_s.is_none_or(|to| gap.to_s <= to))
    };
    gaps.filter(under).max_by_key(|gap| gap.length_s())
}

/// The longest time between two calibrations of one analyser, in one phase under pressure of a chamber that people live in:
/// these are in use all the time, a bell's before each dive.
fn longest_calibration(scenario: &Scenario, record: &Recorder, end_s: i64) -> Option<Span> {
    let lived_in = |c: CompartmentId| {
        let mut levels = scenario.plan.levels.iter();
        levels.any(|level| level.members.contains(&c))
    };
    let mut last: BTreeMap<InstrumentId, i64> = BTreeMap::new();
    let mut longest: Option<Span> = None;
    for entry in record.log.acts() {
        let What::Calibrated {
            instrument,
            quantity,
            compartment,
            ..
        } = entry.what
        else {
            continue;
        };
        let analysed = matches!(quantity, Quantity::PpO2 | Quantity::FO2 | Quantity::PpCo2);
        if !(analysed && lived_in(compartment)) {
            continue;
        }
        let Some(before_s) = last.insert(instrument, entry.at) else {
            continue;
        };
        let gap = Span::new(before_s, entry.at);
        let in_use = record.timeline.phases().iter().any(|p| {
            let during = Span::new(p.from_s, p.to_s.unwrap_or(end_s));
            let under = p.compartment == compartment && p.phase != Phase::Surface;
            under && during.from_s <= gap.from_s && gap.to_s <= during.to_s
        });
        if in_use && longest.is_none_or(|l| l.length_s() < gap.length_s()) {
            longest = Some(gap);
        }
    }
    longest
}

/// Each time that somebody was on a mask without a break, until the end where he still was.
fn on_masks(record: &Recorder, end_s: i64) -> Vec<(DiverId, Span)> {
    let mut since: BTreeMap<DiverId, i64> = BTreeMap::new();
    let mut all = Vec::new();
    for entry in record.log.acts() {
        let What::Breathing { diver, path, .. } = entry.what else {
            continue;
        };
        match path {
            BreathingPath::Bibs => {
                since.entry(diver).or_insert(entry.at);
            }
            BreathingPath::Ambient
            | BreathingPath::Main
            | BreathingPath::Secondary
            | BreathingPath::BailOut => {
                let from = since.remove(&diver);
                all.extend(from.map(|s| (diver, Span::new(s, entry.at))));
            }
        }
    }
    let still = since.into_iter();
    all.extend(still.map(|(diver, s)| (diver, Span::new(s, end_s))));
    all
}
