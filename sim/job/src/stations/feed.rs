//! Oxygen into one chamber by timed doses, each sized for the chamber's own volume and waited for until it has
//! mixed and shown. Oxygen is never fed into doubt: what climbs without a dose is shut off at the bank and from
//! then on let in by the line; what does not answer is shut off, analysed, and tried by another way.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use super::banks::{Banks, Need};
use super::context::Look;
use super::house_figures;
use super::oxygen_read::{self, Reading};
use super::valves;
use deepstay_core::record::{Finding, LineName, ValveName};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// What is to be shown: a dose is given under `set_bar` and brings the chamber to `to_bar`; over `high_bar` it
/// stands too high.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Aim {
    /// Dosed under this, bar.
    pub set_bar: f64,
    /// Up to this, bar.
    pub to_bar: f64,
    /// Highest that is to be held, bar.
    pub high_bar: f64,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum Doing {
    #[default]
    Watching,
    /// A dose runs until this second.
    Dosing { until: i64, dose: Dose },
    /// It is given; whether it shows is looked at then.
    Mixing { until: i64, dose: Dose },
    /// Nothing answers: left alone until then.
    Waiting { until: i64 },
}

/// A dose: what was shown before it and at what depth, by how much it raises the chamber it goes into, and by how much the level
/// when it has spread, bar.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
struct Dose {
    from_bar: f64,
    from_msw: f64,
    rise_bar: f64,
    gives_bar: f64,
    /// Depth was being lost since: nothing can be told of it.
    unsteady: bool,
}

/// What a dose is let in by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
enum By {
    /// The chamber's oxygen valve, the line standing under its bank.
    #[default]
    Valve,
    /// The line itself, shut off at the bank between doses: the valve does not shut.
    Line,
}

/// State of one chamber's oxygen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Feed {
    /// The chamber whose analysers are looked at.
    pub chamber: CompartmentId,
    /// The chamber whose valve and line are used: another of the level where its own do not answer.
    via: CompartmentId,
    by: By,
    doing: Doing,
    /// Lowest shown since the last dose had mixed, bar.
    lowest_bar: Option<f64>,
    unanswered: u8,
    /// Doublings of a dose let in by the line, whose valve may hang only a little open.
    doubled: u8,
    differ: bool,
    unfit: bool,
}

impl Feed {
    /// For a chamber.
    pub fn new(chamber: CompartmentId) -> Feed {
        Feed {
            chamber,
            via: chamber,
            by: By::default(),
            doing: Doing::default(),
            lowest_bar: None,
            unanswered: 0,
            doubled: 0,
            differ: false,
            unfit: false,
        }
    }

    /// Whether what is shown is not to be breathed.
    pub fn wants_masks(&self) -> bool {
        self.unfit
    }

    /// The chamber whose line is to stand under a bank between doses.
    pub fn stands_ready(&self) -> Option<CompartmentId> {
        let ready = self.by == By::Valve && !matches!(self.doing, Doing::Waiting { .. });
        ready.then_some(self.via)
    }

    /// Ends a dose that runs.
    pub fn stop(&mut self, look: &mut Look) {
        look.valve(ValveName::Oxygen(self.via), 0.0, Purpose::Oxygen);
        if self.by == By::Line {
            look.line_off(LineName::Oxygen(self.via));
        }
        self.doing = Doing::Watching;
        self.lowest_bar = None;
    }

    /// Looks and acts. `moved` says that gas other than oxygen is being let into the level, `unsteady` that its depth
    /// is being lost, or only just held again.
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        aim: Aim,
        moved: bool,
        unsteady: bool,
        banks: &mut Banks,
    ) {
        let Some(reading) = oxygen_read::read(look, level, self.chamber) else {
            return;
        };
        self.compare(look, reading, moved);
        self.fit(look, reading);
        let analyser = look.kit.layout.gauges[self.chamber.index()].ppo2[0];
        if let Some(shown) = reading.to_dose_by() {
            self.climbs(look, aim, shown, moved);
        }
        if let Doing::Dosing { dose, .. } | Doing::Mixing { dose, .. } = &mut self.doing {
            dose.unsteady |= unsteady;
        }
        match self.doing {
            Doing::Watching => {
                if let Some(shown) = reading.to_dose_by() {
                    let borne_out = self.both_agree(look, shown);
                    self.watch(look, level, aim, (shown, borne_out), banks);
                } else {
                    let at = look.now + 60;
                    look.wake(at);
                }
            }
            Doing::Dosing { until, dose } => {
                let enough = reading.to_dose_by().is_none_or(|s| s >= aim.high_bar);
                if look.now >= until || enough {
                    self.stop(look);
                    let until = look.now + valves::oxygen_shows_s(look, self.chamber) + MIX_S;
                    self.doing = Doing::Mixing { until, dose };
                    look.wake(until);
                } else {
                    look.when(analyser, true, aim.high_bar);
                    look.wake(until);
                }
            }
            Doing::Mixing { until, dose } => {
                if look.now >= until {
                    self.doing = Doing::Watching;
                    if let Some(shown) = reading.to_dose_by() {
                        self.judge(look, level, dose, shown, banks);
                    }
                    let soon = look.now + 1;
                    look.wake(soon);
                } else {
                    look.wake(until);
                }
            }
            Doing::Waiting { until } => {
                if look.now >= until {
                    self.doing = Doing::Watching;
                    let soon = look.now + 1;
                    look.wake(soon);
                } else {
                    look.wake(until);
                }
            }
        }
    }

    /// Analysers that differ, with no gas coming in that may have done it, are written down and set against the
    /// calibration gas.
    fn compare(&mut self, look: &mut Look, reading: Reading, moved: bool) {
        let differ = !moved && !matches!(reading, Reading::First(_));
        if differ && !self.differ {
            look.found(self.chamber, Finding::AnalysersDiffer);
            let both = look.kit.layout.gauges[self.chamber.index()].ppo2;
            for instrument in both.into_iter().flatten() {
                look.steel(SteelOrder::Calibrate { instrument });
            }
        }
        self.differ = differ;
    }

    fn fit(&mut self, look: &mut Look, reading: Reading) {
        let (low, high) = house_figures::EMERGENCY_PPO2_BAR;
        let (back_low, back_high) = house_figures::MASKS_OFF_PPO2_BAR;
        let unfit = if self.unfit {
            reading.unfit((back_low, back_high))
        } else {
            reading.unfit((low, high))
        };
        if unfit && !self.unfit {
            look.found(self.chamber, Finding::OxygenEmergency);
        }
        self.unfit = unfit;
        let analyser = look.kit.layout.gauges[self.chamber.index()].ppo2[0];
        if unfit {
            look.when(analyser, false, back_high);
        } else {
            look.when(analyser, true, high);
            look.when(analyser, false, low);
        }
    }

    /// Whether both analysers of the chamber show the same: then a dose may be larger.
    fn both_agree(&self, look: &Look, shown: f64) -> bool {
        let both = look.kit.layout.gauges[self.chamber.index()].ppo2;
        both.iter().all(|i| {
            let reads = look.shown(*i);
            reads.is_some_and(|r| (r - shown).abs() <= house_figures::ANALYSERS_AGREE_BAR)
        })
    }

    fn watch(
        &mut self,
        look: &mut Look,
        level: usize,
        aim: Aim,
        (shown, borne_out): (f64, bool),
        banks: &mut Banks,
    ) {
        if shown < aim.set_bar {
            self.dose(look, level, aim, (shown, borne_out), banks);
        }
        let analyser = look.kit.layout.gauges[self.chamber.index()].ppo2[0];
        look.when(analyser, false, aim.set_bar);
    }

    /// Shuts off at the bank what climbs without a dose or beyond one. While other gas comes in it must stand out
    /// farther, for that may bring oxygen too.
    fn climbs(&mut self, look: &mut Look, aim: Aim, shown: f64, moved: bool) {
        let climb = house_figures::OXYGEN_CLIMB_BAR;
        let besides = match self.doing {
            Doing::Dosing { dose, .. } | Doing::Mixing { dose, .. } => {
                dose.from_bar + dose.rise_bar + climb
            }
            Doing::Watching | Doing::Waiting { .. } if moved => {
                self.lowest_bar = None;
                aim.high_bar + house_figures::OXYGEN_DOSE_BAR
            }
            Doing::Watching | Doing::Waiting { .. } => {
                let lowest = self.lowest_bar.map_or(shown, |l| l.min(shown));
                self.lowest_bar = Some(lowest);
                lowest + climb
            }
        };
        let too_high = aim.high_bar.max(besides);
        let line = LineName::Oxygen(self.via);
        if look.panel.lined_up(line).is_none() {
            return;
        }
        if shown > too_high {
            look.found(self.chamber, Finding::OxygenClimbs);
            look.valve(ValveName::Oxygen(self.via), 0.0, Purpose::Oxygen);
            look.line_off(line);
            self.by = By::Line;
            (self.unanswered, self.doubled) = (0, 0);
            self.doing = Doing::Watching;
        } else {
            let analyser = look.kit.layout.gauges[self.chamber.index()].ppo2[0];
            look.when(analyser, true, too_high);
        }
    }

    /// Opens the valve, or the line, for the time that the dose takes.
    fn dose(
        &mut self,
        look: &mut Look,
        level: usize,
        aim: Aim,
        (shown, borne_out): (f64, bool),
        banks: &mut Banks,
    ) {
        let line = LineName::Oxygen(self.via);
        if !banks.keep(look, line, &need(look, self.via)) {
            let at = look.now + 60;
            look.wake(at);
            return;
        }
        let plate = &look.kit.scenario.steel.compartments[self.via.index()];
        let far_off = aim.set_bar - shown > 2.0 * house_figures::OXYGEN_DOSE_BAR;
        let most_bar = if borne_out && far_off && self.unanswered == 0 {
            house_figures::OXYGEN_LARGE_DOSE_BAR
        } else {
            house_figures::OXYGEN_DOSE_BAR
        };
        let rise_bar = (aim.to_bar - shown).clamp(0.0, most_bar);
        let moles = valves::mol_for(plate.volume_m3, rise_bar);
        let full = valves::oxygen_mol_s(look, self.via);
        if full <= 0.0 {
            return;
        }
        let (opening, takes_s) = match self.by {
            By::Valve => {
                let opening = (moles / DOSE_S / full).min(1.0);
                (opening, moles / (full * opening))
            }
            By::Line => (0.0, moles / full * f64::from(1u32 << self.doubled)),
        };
        look.valve(ValveName::Oxygen(self.via), opening, Purpose::Oxygen);
        let until = look.now + (takes_s.max(1.0) as i64);
        let share = plate.volume_m3 / look.volume_m3(level);
        let dose = Dose {
            from_bar: shown,
            from_msw: look.depth(self.chamber),
            rise_bar,
            gives_bar: rise_bar * share,
            unsteady: false,
        };
        self.doing = Doing::Dosing { until, dose };
        look.wake(until);
    }

    /// Whether a dose showed. Two running that did not, and the bank is analysed anew; a good bank leaves the
    /// valve, and another chamber's is taken; where there is none, it is left alone for a while.
    fn judge(&mut self, look: &mut Look, level: usize, dose: Dose, shown: f64, banks: &mut Banks) {
        if dose.unsteady {
            return;
        }
        // A step up between the two has thinned everything alike.
        let surface_pa = look.kit.scenario.steel.surface_pa;
        let at_pa = |msw: f64| surface_pa + msw * MSW_PA;
        let thinned = at_pa(look.depth(self.chamber)) / at_pa(dose.from_msw);
        if shown - dose.from_bar * thinned.min(1.0)
            >= house_figures::OXYGEN_ANSWERS * dose.gives_bar
        {
            self.unanswered = 0;
            return;
        }
        if self.by == By::Line {
            if self.doubled < DOUBLED_MOST {
                if self.doubled == 0 {
                    look.found(self.chamber, Finding::OxygenLineAnswersNot);
                }
                self.doubled += 1;
            } else {
                look.found(self.chamber, Finding::OxygenValveShuts);
                self.doubled = 0;
                self.by = By::Valve;
            }
            return;
        }
        self.unanswered += 1;
        if self.unanswered % 2 == 1 {
            return;
        }
        look.found(self.chamber, Finding::OxygenUnanswered);
        let line = LineName::Oxygen(self.via);
        let bank = look.panel.lined_up(line);
        look.line_off(line);
        if let (Some(bank), 2) = (bank, self.unanswered) {
            banks.analyse_again(look, bank);
            self.wait(look, 120);
            return;
        }
        let next = next_way(look, level, self.via);
        match next {
            Some(via) if self.unanswered <= 4 => {
                self.via = via;
                self.wait(look, 120);
            }
            _ => {
                self.via = self.chamber;
                self.unanswered = 0;
                self.wait(look, house_figures::OXYGEN_LEFT_ALONE_S);
            }
        }
    }

    fn wait(&mut self, look: &mut Look, for_s: i64) {
        let until = look.now + for_s;
        self.doing = Doing::Waiting { until };
        look.wake(until);
    }
}

/// Shortest time a dose is spread over, s.
const DOSE_S: f64 = 60.0;
/// How long a dose is given to spread besides the time it takes to show, s.
const MIX_S: i64 = 180;

/// Most doublings of a dose by the line; that one unanswered, the valve does not hang after all.
const DOUBLED_MOST: u8 = 6;

/// Another member of the level, open to this one, with an oxygen valve.
fn next_way(look: &Look, level: usize, via: CompartmentId) -> Option<CompartmentId> {
    let plates = &look.kit.scenario.steel.compartments;
    let beside = look.beside(level, via);
    beside
        .into_iter()
        .find(|m| plates[m.index()].oxygen_m2 > 0.0)
}

/// What the oxygen line of a chamber wants of a bank.
pub fn need<'a>(look: &Look, c: CompartmentId) -> Need<'a> {
    oxygen_above(look.depth(c) * MSW_PA / BAR_PA + 2.0 * house_figures::HEEL_BAR)
}

/// A bank of oxygen that still stands above a pressure, bar gauge.
pub fn oxygen_above<'a>(above_bar: f64) -> Need<'a> {
    Need {
        duties: &[Duty::Oxygen],
        above_bar,
        o2: (0.9, 1.0),
        best_o2: 1.0,
        but: None,
    }
}
