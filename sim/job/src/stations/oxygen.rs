//! Oxygen: the automatic make-up is set by the rule's band, its bank is kept, and what it does is
//! looked at on each round. Control acts on the reading: a drifted analyser takes everybody with it.

use super::banks::{Banks, Need};
use super::context::Look;
use super::house_figures;
use super::valves;
use deepstay_core::record::{LineName, Machine};
use deepstay_core::units::*;
use deepstay_plant::{Duty, SteelOrder};
use deepstay_rules::OxygenHold;
use serde::{Deserialize, Serialize};

/// State of a level's oxygen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Oxygen {
    /// Set point given last, bar, and the band over it.
    set_bar: f64,
    band_bar: f64,
    on: bool,
    /// Switched off because the reading ran away upwards.
    runaway: bool,
    /// Rounds in a row on which it stayed low.
    low_rounds: u8,
}

impl Oxygen {
    /// Sets the make-up for what is to be held at a depth, and switches it on.
    pub fn aim(&mut self, look: &mut Look, level: usize, hold: Option<OxygenHold>, depth_msw: f64) {
        let Some(hold) = hold else { return };
        let c = look.kit.layout.levels[level].living;
        let late_bar = valves::oxygen_shown_late_bar(look, c);
        let (set_bar, band_bar) = setting(
            hold,
            look.kit.scenario.steel.surface_pa,
            depth_msw,
            late_bar,
        );
        if (set_bar - self.set_bar).abs() > 0.001 {
            look.steel(SteelOrder::OxygenSet {
                compartment: c,
                ppo2_bar: set_bar,
                band_bar,
            });
            self.set_bar = set_bar;
            self.band_bar = band_bar;
        }
        if !self.on && !self.runaway {
            look.switch(c, Machine::OxygenControl, true);
            self.on = true;
        }
    }

    /// Switches the make-up off.
    pub fn off(&mut self, look: &mut Look, level: usize) {
        if self.on {
            let c = look.kit.layout.levels[level].living;
            look.switch(c, Machine::OxygenControl, false);
        }
        *self = Oxygen::default();
    }

    /// A round: the bank is good, and the reading neither runs away nor stays low.
    pub fn round(&mut self, look: &mut Look, level: usize, banks: &mut Banks) {
        self.supply(look, level, banks);
        let c = look.kit.layout.levels[level].living;
        let (Some(shown), true) = (look.ppo2(c), self.set_bar > 0.0) else {
            return;
        };
        if self.on && shown > self.set_bar + self.band_bar + 0.03 {
            look.switch(c, Machine::OxygenControl, false);
            self.on = false;
            self.runaway = true;
        } else if self.runaway && shown < self.set_bar {
            look.switch(c, Machine::OxygenControl, true);
            self.on = true;
            self.runaway = false;
        }
        self.low_rounds = if self.on && shown < self.set_bar - 0.03 {
            self.low_rounds + 1
        } else {
            0
        };
        if self.low_rounds >= 2 {
            // It runs and the reading does not rise.
            self.doubt_bank(look, level, banks);
            self.low_rounds = 0;
        }
    }

    /// Keeps a bank on the oxygen line.
    pub fn supply(&self, look: &mut Look, level: usize, banks: &mut Banks) {
        let c = look.kit.layout.levels[level].living;
        banks.keep(look, LineName::Oxygen(c), &need(look, c));
    }

    /// Whether it runs and a reading is under its set point.
    pub fn short(&self, shown_bar: f64) -> bool {
        self.on && shown_bar < self.set_bar
    }

    /// The bank does not hold what its label says: another is taken.
    pub fn doubt_bank(&self, look: &mut Look, level: usize, banks: &mut Banks) {
        let c = look.kit.layout.levels[level].living;
        if let Some(bank) = look.panel.lined_up(LineName::Oxygen(c)) {
            banks.turn_down(bank);
            self.supply(look, level, banks);
        }
    }
}

/// What the oxygen line of a chamber wants of a bank.
pub fn need<'a>(look: &Look, c: CompartmentId) -> Need<'a> {
    Need {
        duties: &[Duty::Oxygen],
        above_bar: look.depth(c) * MSW_PA / BAR_PA + 2.0 * house_figures::HEEL_BAR,
        o2: (0.9, 1.0),
        best_o2: 1.0,
        but: None,
    }
}

/// Set point and band over it, bar, that keep the reading inside what is to be held, where so much more is
/// added before it shows.
pub fn setting(hold: OxygenHold, surface_pa: f64, depth_msw: f64, late_bar: f64) -> (f64, f64) {
    let (half_bar, half_share) = house_figures::OXYGEN_HALF_BAND;
    let p_bar = (surface_pa + depth_msw * MSW_PA) / BAR_PA;
    let (low_bar, high_bar, half_bar) = match hold {
        OxygenHold::Partial { low_bar, high_bar } => (low_bar, high_bar, half_bar),
        OxygenHold::Fraction { low, high } => (low * p_bar, high * p_bar, half_share * p_bar),
    };
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
