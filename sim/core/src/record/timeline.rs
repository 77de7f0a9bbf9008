//! The course of the job: phases and steps of each chamber, weather, faults, and when it ended.

use super::kept::Kept;
use super::{Entry, Phase, Refused, Sink, Station, What};
use crate::units::CompartmentId;
use std::collections::BTreeMap;

/// Most moments kept of each kind.
const MOST: usize = 50_000;

/// A phase of a chamber from first to last second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseSpan {
    /// Which chamber.
    pub compartment: CompartmentId,
    /// Which phase.
    pub phase: Phase,
    /// When it began, s.
    pub from_s: i64,
    /// When the next began, s; none if it was the last.
    pub to_s: Option<i64>,
}

/// A stretch of a fault being active, or of the sea being over the launch limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Which fault of the scenario's list; 0 for weather.
    pub which: u16,
    /// When it began, s.
    pub from_s: i64,
    /// When it was over, s; none if it never was.
    pub to_s: Option<i64>,
}

/// The sink that follows the course of the job.
#[derive(Clone, Debug, Default)]
pub struct Timeline {
    phases: Kept<PhaseSpan, MOST>,
    steps: BTreeMap<CompartmentId, u32>,
    weather: Kept<Span, MOST>,
    faults: Kept<Span, MOST>,
    refused: u64,
    last_refused: Option<(i64, Station, Refused)>,
    last_s: i64,
    entries: u64,
}

impl Timeline {
    /// The phases of every chamber, in order of beginning.
    pub fn phases(&self) -> &[PhaseSpan] {
        &self.phases
    }

    /// Decompression steps that a chamber made.
    pub fn steps(&self, at: CompartmentId) -> u32 {
        self.steps.get(&at).copied().unwrap_or(0)
    }

    /// Times in which the sea was over the launch limit.
    pub fn weather(&self) -> &[Span] {
        &self.weather
    }

    /// Times in which a fault was active.
    pub fn faults(&self) -> &[Span] {
        &self.faults
    }

    /// Orders that were refused, and the last of them.
    pub fn refused(&self) -> (u64, Option<(i64, Station, Refused)>) {
        (self.refused, self.last_refused)
    }

    /// Phases, waits and faults that were counted and not kept.
    pub fn left_out(&self) -> u64 {
        self.phases.beyond() + self.weather.beyond() + self.faults.beyond()
    }

    /// Second of the last entry.
    pub fn last_s(&self) -> i64 {
        self.last_s
    }

    /// How many entries there were.
    pub fn entries(&self) -> u64 {
        self.entries
    }

    /// Time a chamber spent in a phase up to `end_s`, s.
    pub fn in_phase_s(&self, at: CompartmentId, phase: Phase, end_s: i64) -> i64 {
        let spans = self
            .phases
            .iter()
            .filter(|p| p.compartment == at && p.phase == phase);
        spans.map(|p| p.to_s.unwrap_or(end_s) - p.from_s).sum()
    }

    fn phase(&mut self, at: i64, compartment: CompartmentId, phase: Phase) {
        if let Some(last) = self
            .phases
            .iter_mut()
            .rev()
            .find(|p| p.compartment == compartment)
        {
            if last.phase == phase {
                return;
            }
            last.to_s.get_or_insert(at);
        }
        self.phases.keep(PhaseSpan {
            compartment,
            phase,
            from_s: at,
            to_s: None,
        });
    }
}

fn mark(spans: &mut Kept<Span, MOST>, at: i64, which: u16, active: bool) {
    let open = spans
        .iter()
        .rposition(|s| s.which == which && s.to_s.is_none());
    match (active, open) {
        (true, None) => {
            spans.keep(Span {
                which,
                from_s: at,
                to_s: None,
            });
        }
        (false, Some(i)) => spans[i].to_s = Some(at),
        _ => {}
    }
}

impl Sink for Timeline {
    fn take(&mut self, entry: Entry) {
        self.entries += 1;
        self.last_s = self.last_s.max(entry.at);
        match entry.what {
            What::Phase { compartment, phase } => self.phase(entry.at, compartment, phase),
            What::Step { compartment, .. } => *self.steps.entry(compartment).or_default() += 1,
            What::Weather { stopped, .. } => mark(&mut self.weather, entry.at, 0, stopped),
            What::Fault { fault, active } => mark(&mut self.faults, entry.at, fault, active),
            What::Refused { station, why } => {
                self.refused += 1;
                self.last_refused = Some((entry.at, station, why));
            }
            _ => {}
        }
    }
}
