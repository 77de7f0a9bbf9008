//! The bell log: each run with its phases, how long each lasted, who was in the bell, and the gas.
//!
//! Gas counts for a run when it was moved for a bell's purpose, or in or out of the bell itself. What
//! is given at second t tells of the time before t, so it belongs to the phase that ran until t. With
//! two bells out at once, gas that names neither is shared by their divers in the water. What was moved
//! likewise while no run was going on (the first pressing of bell and trunk, their last vent) stands beside
//! the runs, so that both together are all.

use super::bell_gas::one_way;
use super::kept::Kept;
use super::{BellGas, BellPhase, Entry, Flow, Sink, Stopped, What, Whereabouts};
use crate::units::{CompartmentId, DiverId, Place, Purpose};
use std::collections::BTreeMap;

/// Most runs kept; those beyond are counted only.
const MOST: usize = 20_000;

/// One phase of a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhaseRow {
    /// Which.
    pub phase: BellPhase,
    /// When it began, s.
    pub from_s: i64,
    /// When the next began, s; none while it is the last.
    pub to_s: Option<i64>,
    /// Gas drawn from banks in it, mol.
    pub drawn_mol: f64,
    /// Gas lost to the sea or the air in it, mol.
    pub lost_mol: f64,
    /// Gas that came back to a bank in it, mol.
    pub returned_mol: f64,
}

/// One bell run.
#[derive(Clone, Debug, PartialEq)]
pub struct BellRun {
    /// Which bell.
    pub bell: CompartmentId,
    /// Which run of the plan.
    pub run: u16,
    /// Its phases, in order; none if it was never begun.
    pub phases: Vec<PhaseRow>,
    /// Why it was aborted or cancelled, and when, s.
    pub stopped: Option<(Stopped, i64)>,
    /// Divers who were in the bell or in the water from it.
    pub divers: Vec<DiverId>,
    /// Time in the water, all divers together, s.
    pub water_s: i64,
    /// Gas moved during the run.
    pub gas: BellGas,
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RunEnd {
    /// Gone through to the end.
    Made,
    /// Begun, and aborted.
    Aborted,
    /// Never begun.
    Cancelled,
    /// Still going when the record ended.
    Running,
}

impl BellRun {
    /// How it ended.
    pub fn end(&self) -> RunEnd {
        match (
            self.phases.is_empty(),
            self.stopped.is_some(),
            self.done_s().is_some(),
        ) {
            (true, ..) => RunEnd::Cancelled,
            (_, true, _) => RunEnd::Aborted,
            (_, _, true) => RunEnd::Made,
            _ => RunEnd::Running,
        }
    }

    /// When its first phase began, s.
    pub fn from_s(&self) -> Option<i64> {
        self.phases.first().map(|p| p.from_s)
    }

    /// When it was over, s.
    pub fn done_s(&self) -> Option<i64> {
        self.phases
            .iter()
            .find(|p| p.phase == BellPhase::Done)
            .map(|p| p.from_s)
    }

    /// When a phase began, s.
    pub fn began_s(&self, phase: BellPhase) -> Option<i64> {
        self.phases
            .iter()
            .find(|p| p.phase == phase)
            .map(|p| p.from_s)
    }

    /// Seal to seal: from the doors shut before lock-off to the trunk pressed after lock-on, s.
    pub fn seal_to_seal_s(&self) -> Option<i64> {
        Some(self.began_s(BellPhase::TrunkPressed)? - self.began_s(BellPhase::Seal)?)
    }

    fn new(bell: CompartmentId, run: u16) -> BellRun {
        BellRun {
            bell,
            run,
            phases: Vec::new(),
            stopped: None,
            divers: Vec::new(),
            water_s: 0,
            gas: BellGas::default(),
        }
    }

    /// Whether it was going on just before `at`.
    fn ran_before(&self, at: i64) -> bool {
        self.from_s().is_some_and(|t| t < at) && self.done_s().is_none_or(|t| t >= at)
    }

    fn book(&mut self, at: i64, from: Place, to: Place, purpose: Purpose, mol: f64) {
        let Some(phase) = self.phases.iter_mut().rev().find(|p| p.from_s < at) else {
            return;
        };
        if Flow::Drawn.counts(from, to) {
            phase.drawn_mol += mol;
        }
        if Flow::Lost.counts(from, to) {
            phase.lost_mol += mol;
        }
        if Flow::Returned.counts(from, to) {
            phase.returned_mol += mol;
        }
        self.gas.book(from, to, purpose, mol);
    }
}

/// The sink that keeps the bell log.
#[derive(Clone, Debug, Default)]
pub struct BellBook {
    runs: Kept<BellRun, MOST>,
    outside: BTreeMap<(Place, Place, Purpose), f64>,
    going: Vec<usize>,
    ended_at: i64,
    water: Vec<(DiverId, CompartmentId, i64)>,
    water_before: Vec<(DiverId, CompartmentId, i64)>,
    water_at: i64,
}

impl BellBook {
    /// Every run, in order of being first spoken of.
    pub fn runs(&self) -> &[BellRun] {
        &self.runs
    }

    /// Runs that were counted and not kept, because there were too many.
    pub fn left_out(&self) -> u64 {
        self.runs.beyond()
    }

    /// Gas moved for a bell's purpose, or in or out of a bell that makes runs, while no run went on that it
    /// could belong to.
    pub fn outside_runs(&self) -> BellGas {
        let is_bell = |place: Place| {
            let mut bells = self.runs.iter().map(|run| Place::Compartment(run.bell));
            bells.any(|bell| bell == place)
        };
        let mut gas = BellGas::default();
        for (&(from, to, purpose), &mol) in &self.outside {
            if is_for_a_bell(purpose) || is_bell(from) || is_bell(to) {
                gas.book(from, to, purpose, mol);
            }
        }
        gas
    }

    /// All gas of the bells: of every run, and outside them.
    pub fn all_gas(&self) -> BellGas {
        let mut gas = self.outside_runs();
        self.runs.iter().for_each(|run| gas.add(&run.gas));
        gas
    }

    fn find(&mut self, bell: CompartmentId, run: u16) -> Option<usize> {
        let known = self
            .runs
            .iter()
            .rposition(|r| r.bell == bell && r.run == run);
        known.or_else(|| self.runs.keep(BellRun::new(bell, run)))
    }

    fn phase(&mut self, at: i64, bell: CompartmentId, run: u16, phase: BellPhase) {
        let Some(i) = self.find(bell, run) else {
            return;
        };
        let run = &mut self.runs[i];
        if let Some(last) = run.phases.last_mut() {
            last.to_s = Some(at);
        }
        let to_s = (phase == BellPhase::Done).then_some(at);
        run.phases.push(PhaseRow {
            phase,
            from_s: at,
            to_s,
            drawn_mol: 0.0,
            lost_mol: 0.0,
            returned_mol: 0.0,
        });
        if !self.going.contains(&i) {
            self.going.push(i);
        }
        self.ended_at = self.ended_at.max(at);
    }

    fn moved(&mut self, at: i64, from: Place, to: Place, purpose: Purpose, mol: f64) {
        let runs = &self.runs;
        self.going
            .retain(|i| runs[*i].done_s().is_none_or(|t| t >= at));
        let named = self.going.iter().copied().find(|i| {
            let bell = Place::Compartment(self.runs[*i].bell);
            (from == bell || to == bell) && self.runs[*i].ran_before(at)
        });
        if let Some(i) = named {
            return self.runs[i].book(at, from, to, purpose, mol);
        }
        let out: Vec<usize> = self
            .going
            .iter()
            .copied()
            .filter(|i| self.runs[*i].ran_before(at))
            .collect();
        if out.is_empty() || !is_for_a_bell(purpose) {
            *self.outside.entry((from, to, purpose)).or_default() += mol;
            return;
        }
        let water = if self.water_at < at {
            &self.water
        } else {
            &self.water_before
        };
        let wet = |i: usize| water.iter().filter(|w| w.1 == self.runs[i].bell).count() as f64;
        let weights: Vec<f64> = out.iter().map(|i| wet(*i)).collect();
        let all: f64 = weights.iter().sum();
        for (i, weight) in out.iter().zip(&weights) {
            let share = if all > 0.0 {
                weight / all
            } else {
                1.0 / out.len() as f64
            };
            self.runs[*i].book(at, from, to, purpose, mol * share);
        }
    }

    fn diver(&mut self, at: i64, diver: DiverId, to: Whereabouts) {
        if self.water_at < at {
            self.water_before.clone_from(&self.water);
            self.water_at = at;
        }
        if let Some(i) = self.water.iter().position(|w| w.0 == diver) {
            let (_, bell, since) = self.water.remove(i);
            if let Some(run) = self
                .runs
                .iter_mut()
                .rev()
                .find(|r| r.bell == bell && r.from_s().is_some())
            {
                run.water_s += at - since;
            }
        }
        let bell = match to {
            Whereabouts::Water(bell) => {
                self.water.push((diver, bell, at));
                bell
            }
            Whereabouts::In(bell) => bell,
            Whereabouts::Deck => return,
        };
        let going = self
            .going
            .iter()
            .rev()
            .find(|i| self.runs[**i].bell == bell)
            .copied();
        if let Some(run) = going.map(|i| &mut self.runs[i])
            && run.done_s().is_none()
            && !run.divers.contains(&diver)
        {
            run.divers.push(diver);
        }
    }
}

fn is_for_a_bell(purpose: Purpose) -> bool {
    matches!(
        purpose,
        Purpose::DiverGas
            | Purpose::Reclaimed
            | Purpose::BellAndTrunk
            | Purpose::TrunkVent
            | Purpose::BellSpill
    )
}

impl Sink for BellBook {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::BellPhase { bell, run, phase } => self.phase(entry.at, bell, run, phase),
            What::BellStopped { bell, run, why } => {
                if let Some(i) = self.find(bell, run) {
                    self.runs[i].stopped.get_or_insert((why, entry.at));
                }
            }
            What::Moved {
                from,
                to,
                purpose,
                moles,
            } => {
                for (from, to, mol) in one_way(from, to, &moles) {
                    if mol > 0.0 {
                        self.moved(entry.at, from, to, purpose, mol);
                    }
                }
            }
            What::Diver { diver, to } => self.diver(entry.at, diver, to),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gas::Amounts;
    use crate::units::BankId;

    const BELL: CompartmentId = CompartmentId(3);

    fn phase(at: i64, phase: BellPhase) -> Entry {
        Entry {
            at,
            what: What::BellPhase {
                bell: BELL,
                run: 4,
                phase,
            },
        }
    }

    fn breathed(at: i64, mol: f64) -> Entry {
        let (from, to) = (Place::Bank(BankId(0)), Place::Sea);
        let moles = Amounts::heliox(0.08).scaled(mol);
        Entry {
            at,
            what: What::Moved {
                from,
                to,
                purpose: Purpose::DiverGas,
                moles,
            },
        }
    }

    #[test]
    fn gas_belongs_to_the_phase_that_ran_until_it_was_given() {
        let diver = DiverId(7);
        let went = |at, to| Entry {
            at,
            what: What::Diver { diver, to },
        };
        let mut book = BellBook::default();
        for e in [
            phase(0, BellPhase::Checks),
            phase(100, BellPhase::Seal),
            phase(200, BellPhase::FirstOut),
            went(200, Whereabouts::Water(BELL)),
            breathed(900, 50.0),
            phase(1000, BellPhase::FirstBack),
            went(1000, Whereabouts::In(BELL)),
            breathed(1000, 10.0),
            phase(1500, BellPhase::TrunkPressed),
            phase(1600, BellPhase::Done),
            breathed(1600, 1.0),
            breathed(1601, 5.0),
        ] {
            book.take(e);
        }
        let run = &book.runs()[0];
        assert_eq!(
            (run.end(), run.seal_to_seal_s(), run.water_s),
            (RunEnd::Made, Some(1400), 800)
        );
        assert_eq!(run.divers, vec![diver]);
        let drawn: Vec<f64> = run.phases.iter().map(|p| p.drawn_mol).collect();
        assert_eq!(drawn, vec![0.0, 0.0, 60.0, 0.0, 1.0, 0.0]);
        assert_eq!(run.gas.drawn_mol(Purpose::DiverGas), 61.0);
        assert_eq!(run.gas.lost_mol(Purpose::DiverGas), 61.0);
        let outside = book.outside_runs();
        let near = |mol: f64, wanted: f64| assert!((mol - wanted).abs() < 1e-9, "{mol}");
        near(outside.drawn_mol(Purpose::DiverGas), 5.0);
        near(book.all_gas().drawn_mol(Purpose::DiverGas), 66.0);
    }

    /// The first pressing and the last vent of the trunk lie before and after every run; gas of a chamber is no
    /// bell's, and a leak of the bell is its own.
    #[test]
    fn what_no_run_used_stands_beside_the_runs() {
        let (bank, air) = (Place::Bank(BankId(0)), Place::Atmosphere);
        let [trunk, living] = [2, 0].map(|i| Place::Compartment(CompartmentId(i)));
        let gave = |at, from, to, purpose, moles| Entry {
            at,
            what: What::Moved {
                from,
                to,
                purpose,
                moles,
            },
        };
        let mix = |mol: f64| Amounts::heliox(0.25).scaled(mol);
        let swapped = Amounts([6.0, 0.0, -4.0, 0.0, 0.0, 0.0]);
        let mut book = BellBook::default();
        for e in [
            gave(10, bank, trunk, Purpose::BellAndTrunk, mix(80.0)),
            gave(20, bank, living, Purpose::MakeUp, mix(50.0)),
            phase(100, BellPhase::Checks),
            gave(150, bank, trunk, Purpose::BellAndTrunk, mix(8.0)),
            gave(160, bank, living, Purpose::MakeUp, mix(9.0)),
            phase(200, BellPhase::Done),
            gave(300, trunk, air, Purpose::TrunkVent, swapped),
            gave(
                310,
                Place::Compartment(BELL),
                Place::Sea,
                Purpose::Leak,
                mix(1.0),
            ),
        ] {
            book.take(e);
        }
        let (run, outside) = (&book.runs()[0].gas, book.outside_runs());
        assert_eq!((run.all_drawn_mol(), run.all_lost_mol()), (8.0, 0.0));
        assert_eq!(outside.all_drawn_mol(), 80.0);
        assert_eq!(outside.lost_mol(Purpose::TrunkVent), 6.0);
        assert_eq!(outside.all_lost_mol(), 7.0);
    }

    #[test]
    fn a_run_never_begun_is_missed() {
        let mut book = BellBook::default();
        let why = Stopped::Weather;
        book.take(Entry {
            at: 5,
            what: What::BellStopped {
                bell: BELL,
                run: 9,
                why,
            },
        });
        assert_eq!(book.runs()[0].end(), RunEnd::Cancelled);
        assert_eq!(book.runs()[0].stopped, Some((why, 5)));
    }
}
