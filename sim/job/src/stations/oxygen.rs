//! Oxygen of a level: on the way down by the make-up, whose set point follows the depth; from there on by timed
//! doses into each chamber that is lived in. Control acts on readings: an analyser that drifts takes everybody
//! with it as far as no other shows it up.

use super::banks::Banks;
use super::context::Look;
use super::feed::{Aim, Feed, need};
use super::house_figures;
use super::valves;
use deepstay_core::record::{Finding, LineName, Machine};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use deepstay_rules::OxygenHold;
use serde::{Deserialize, Serialize};

/// State of a level's oxygen.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Oxygen {
    /// What is held by doses; none on the way down and at the surface.
    aim: Option<Aim>,
    /// Set point of the make-up given last, bar, and whether it runs.
    make_up_bar: f64,
    make_up: bool,
    /// The chambers that people live in, each dosed by its own analysers.
    feeds: Vec<Feed>,
}

impl Oxygen {
    /// Nothing known of the doses somebody else gave; the make-up may stand as he set it.
    pub fn begin_anew(&mut self) {
        *self = Oxygen {
            make_up: true,
            ..Oxygen::default()
        };
    }

    /// Holds oxygen by doses, for a depth; the make-up is switched off.
    pub fn aim(&mut self, look: &mut Look, level: usize, hold: Option<OxygenHold>, depth_msw: f64) {
        let Some(hold) = hold else { return };
        self.make_up_off(look, level);
        let surface_pa = look.kit.scenario.steel.surface_pa;
        let (set_bar, band_bar) = setting(hold, surface_pa, depth_msw, 0.0);
        self.aim = Some(Aim {
            set_bar,
            to_bar: set_bar + band_bar,
            high_bar: edges(hold, surface_pa, depth_msw).1,
        });
        if self.feeds.is_empty() {
            self.feeds = lived_in(look, level).into_iter().map(Feed::new).collect();
        }
    }

    /// Doses for less, before pressing brings so much more, but never for less than is to be held.
    pub fn aim_before_pressing(
        &mut self,
        look: &mut Look,
        level: usize,
        hold: OxygenHold,
        depth_msw: f64,
        brings_bar: f64,
    ) {
        self.aim(look, level, Some(hold), depth_msw);
        let (low_bar, _) = edges(hold, look.kit.scenario.steel.surface_pa, depth_msw);
        if let Some(aim) = &mut self.aim {
            let less_bar = brings_bar.min(aim.set_bar - low_bar).max(0.0);
            aim.set_bar -= less_bar;
            aim.to_bar -= less_bar;
        }
    }

    /// Sets the make-up for what is to be shown on the way down, and switches it on.
    pub fn make_up(&mut self, look: &mut Look, level: usize, hold: OxygenHold, depth_msw: f64) {
        self.rest(look);
        let c = look.home(level);
        let late_bar = valves::oxygen_shown_late_bar(look, c);
        let surface_pa = look.kit.scenario.steel.surface_pa;
        let (set_bar, band_bar) = setting(hold, surface_pa, depth_msw, late_bar);
        if (set_bar - self.make_up_bar).abs() > 0.001 {
            look.steel(SteelOrder::OxygenSet {
                compartment: c,
                ppo2_bar: set_bar,
                band_bar,
            });
            self.make_up_bar = set_bar;
        }
        if !self.make_up {
            look.switch(c, Machine::OxygenControl, true);
            self.make_up = true;
        }
    }

    /// Nothing is added any more.
    pub fn off(&mut self, look: &mut Look, level: usize) {
        self.make_up_off(look, level);
        self.rest(look);
        *self = Oxygen::default();
    }

    fn make_up_off(&mut self, look: &mut Look, level: usize) {
        if self.make_up {
            let c = look.home(level);
            look.switch(c, Machine::OxygenControl, false);
            self.make_up = false;
            self.make_up_bar = 0.0;
        }
    }

    /// Ends all doses.
    fn rest(&mut self, look: &mut Look) {
        if self.aim.take().is_some() {
            for feed in &mut self.feeds {
                feed.stop(look);
            }
        }
    }

    /// Looks at every chamber that is lived in, and doses it; one that nobody is in or joined to is left alone. `moved`
    /// and `unsteady` as in [`Feed::act`].
    pub fn act(
        &mut self,
        look: &mut Look,
        level: usize,
        moved: bool,
        unsteady: bool,
        banks: &mut Banks,
    ) {
        let Some(aim) = self.aim else { return };
        let home = look.home(level);
        if !self.feeds.iter().any(|f| f.chamber == home) && can_be_tended(look, home) {
            self.feeds.push(Feed::new(home));
        }
        for feed in &mut self.feeds {
            if look.is_joined(level, feed.chamber) || look.people_in(feed.chamber) > 0 {
                feed.act(look, level, aim, moved, unsteady, banks);
            } else {
                feed.stop(look);
            }
        }
    }

    /// Whether some chamber's gas is not to be breathed.
    pub fn wants_masks(&self) -> bool {
        self.feeds.iter().any(Feed::wants_masks)
    }

    /// A round: the lines stand under good banks.
    pub fn round(&self, look: &mut Look, banks: &mut Banks) {
        for c in self.feeds.iter().filter_map(Feed::stands_ready) {
            banks.keep(look, LineName::Oxygen(c), &need(look, c));
        }
    }

    /// Keeps a bank on the oxygen line of the make-up.
    pub fn supply(&self, look: &mut Look, level: usize, banks: &mut Banks) {
        let c = look.home(level);
        banks.keep(look, LineName::Oxygen(c), &need(look, c));
    }

    /// Whether the make-up runs and a reading is under its set point.
    pub fn short(&self, shown_bar: f64) -> bool {
        self.make_up && shown_bar < self.make_up_bar
    }

    /// The bank does not hold what its label says: another is taken.
    pub fn doubt_bank(&self, look: &mut Look, level: usize, banks: &mut Banks) {
        let c = look.home(level);
        if let Some(bank) = look.panel.lined_up(LineName::Oxygen(c)) {
            look.found(c, Finding::OxygenUnanswered);
            banks.turn_down(bank);
            self.supply(look, level, banks);
        }
    }
}

/// The chambers of a level that have bunks in use, with a valve and an analyser of their own; the first in any case.
fn lived_in(look: &Look, level: usize) -> Vec<CompartmentId> {
    let kit = look.kit;
    let layout = &kit.layout.levels[level];
    let plates = &kit.scenario.steel.compartments;
    let at_home = |c: CompartmentId| kit.scenario.crew.iter().any(|d| d.chamber == c);
    let tended = |c: &&CompartmentId| {
        let lived_in = **c == layout.living
            || at_home(**c)
            || plates[c.index()].kind == CompartmentKind::Living;
        lived_in && can_be_tended(look, **c)
    };
    layout.members.iter().filter(tended).copied().collect()
}

/// Whether a chamber has a valve and an analyser of its own.
fn can_be_tended(look: &Look, c: CompartmentId) -> bool {
    look.kit.scenario.steel.compartments[c.index()].oxygen_m2 > 0.0 && look.ppo2(c).is_some()
}

/// Lowest and highest ppO2 to be held at a depth, bar.
fn edges(hold: OxygenHold, surface_pa: f64, depth_msw: f64) -> (f64, f64) {
    let p_bar = (surface_pa + depth_msw * MSW_PA) / BAR_PA;
    match hold {
        OxygenHold::Partial { low_bar, high_bar } => (low_bar, high_bar),
        OxygenHold::Fraction { low, high } => (low * p_bar, high * p_bar),
    }
}

/// Set point and band over it, bar, that keep the reading inside what is to be held, where so much more is
/// added before it shows.
pub fn setting(hold: OxygenHold, surface_pa: f64, depth_msw: f64, late_bar: f64) -> (f64, f64) {
    let (half_bar, half_share) = house_figures::OXYGEN_HALF_BAND;
    let half_bar = match hold {
        OxygenHold::Partial { .. } => half_bar,
        OxygenHold::Fraction { .. } => half_share * (surface_pa + depth_msw * MSW_PA) / BAR_PA,
    };
    let (low_bar, high_bar) = edges(hold, surface_pa, depth_msw);
    let width = high_bar - low_bar;
    if width < half_bar {
        return (low_bar - half_bar, 2.0 * half_bar);
    }
    let (from, over) = house_figures::OXYGEN_WITHIN;
    let within = |share: f64| low_bar + share * width;
    let stop = within(from + over)
        .min(high_bar - late_bar - house_figures::OXYGEN_SHORT * width)
        .max(within(house_figures::OXYGEN_SHORT));
    let set = within(from).min(stop - house_figures::OXYGEN_SHORT * width);
    (set, stop - set)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn set_point_and_band_stay_inside_what_is_to_be_held() {
        let (set, band) = setting(
            OxygenHold::Partial {
                low_bar: 0.44,
                high_bar: 0.48,
            },
            101_325.0,
            100.0,
            0.0,
        );
        assert!(set > 0.44 && set + band < 0.48);
        let hold = OxygenHold::Partial {
            low_bar: 0.44,
            high_bar: 0.48,
        };
        let (set, band) = setting(hold, 101_325.0, 100.0, 0.025);
        assert!(set >= 0.44 && set + band + 0.025 < 0.48, "{set} {band}");
        let (set, band) = setting(
            OxygenHold::Fraction {
                low: 0.19,
                high: 0.23,
            },
            101_325.0,
            5.0,
            0.0,
        );
        let p = 1.51325;
        assert!(set / p > 0.19 && (set + band) / p < 0.23);
    }
}
