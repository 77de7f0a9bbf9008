//! Closed forms through the plant itself: each test builds the smallest steel that the closed form
//! speaks of, gives it orders, lets it run, and holds what came out against the published or derived
//! figure. Ids such as C1 or T2 are rows of `closed_form_checks.csv` (exact solutions worked out and
//! checked by independent integration).
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod bell;
mod breathing;
mod instruments;
mod leaping;
mod openings;
mod oxygen;
mod warmth;

use deepstay::fault::FaultKind;
use deepstay::gas::Amounts;
use deepstay::plant::*;
use deepstay::record::{Entry, LineName, ValveName};
use deepstay::units::*;
use deepstay_tests::{bare_chamber, check_values};
use std::sync::Arc;

/// The chamber of most tests.
pub const CHAMBER: CompartmentId = CompartmentId(0);

/// Litres a minute at 273.15 K and 1 atm, ideal, as mol/s.
pub fn stpd(l_min: f64) -> f64 {
    l_min * 1e-3 / 60.0 * ATM_PA / (R * ZERO_C_K)
}

/// Ideal gas at its temperature for ever: what most closed forms suppose.
pub const ISOTHERMAL_IDEAL: Physics = Physics {
    gas: GasModel::Ideal,
    wall: WallModel::Isothermal,
    anchor_each_second: false,
};

/// The figure of a row of the closed-form table.
pub fn closed_form(id: &str) -> f64 {
    let row = check_values("closed_form_checks.csv")
        .records()
        .map(|r| r.unwrap())
        .find(|r| &r[0] == id);
    row.unwrap_or_else(|| panic!("no row {id}"))[3]
        .parse()
        .unwrap()
}

/// A bank so large that nothing drawn from it changes its pressure.
pub fn endless_bank(mix: Amounts, bar: f64, t_k: f64) -> Bank {
    Bank {
        name: "endless".into(),
        duty: Duty::BottomMix,
        volume_m3: 1e9,
        fill_gauge_pa: bar * BAR_PA,
        t_k,
        true_mix: mix,
        label_o2: mix.0[1],
        analysed_o2: None,
    }
}

/// The bare chamber of 20 m3 with round figures for its steel, at a surface pressure.
pub fn twenty_cubic_metres(surface_pa: f64) -> Steel {
    Steel {
        surface_pa,
        ..bare_chamber(20.0, 45.0, 9.6e6, 80.0)
    }
}

/// A plant and how far it has run.
pub struct Stage {
    pub plant: Plant,
    pub t_s: i64,
    pub entries: Vec<Entry>,
}

impl Stage {
    pub fn new(steel: Steel, physics: Physics) -> Stage {
        Stage {
            plant: Plant::new(Arc::new(steel), physics),
            t_s: 0,
            entries: Vec::new(),
        }
    }

    /// Lets it run to a second.
    pub fn to(&mut self, end_s: i64) {
        let mut owners = Vec::new();
        while self.t_s < end_s {
            self.plant.refresh(self.t_s);
            self.t_s = self.plant.next_s().max(self.t_s + 1).min(end_s);
            self.plant.met(self.t_s, &mut owners);
            for owner in owners.clone() {
                self.plant.own_monitor(owner, self.t_s, &mut self.entries);
            }
        }
    }

    /// Lets it run until a value is met; gives the first whole second at which it is.
    pub fn until(&mut self, watched: Watched, above: bool, value: f64, latest_s: i64) -> i64 {
        const MINE: u32 = 7;
        self.plant
            .set_monitors(MINE, [(watched, above, value)], self.t_s);
        let mut owners = Vec::new();
        while self.t_s < latest_s {
            self.plant.refresh(self.t_s);
            self.t_s = self.plant.next_s().max(self.t_s + 1).min(latest_s);
            self.plant.met(self.t_s, &mut owners);
            if owners.contains(&MINE) {
                self.plant.set_monitors(MINE, [], self.t_s);
                return self.t_s;
            }
        }
        panic!("{watched:?} did not reach {value} by {latest_s} s");
    }

    pub fn order(&mut self, order: SteelOrder) {
        self.plant
            .order(self.t_s, order, &mut self.entries)
            .unwrap_or_else(|e| panic!("{order:?}: {e:?}"));
    }

    pub fn valve(&mut self, valve: ValveName, opening: f64) {
        self.order(SteelOrder::Valve {
            valve,
            opening,
            purpose: Purpose::MakeUp,
        });
    }

    pub fn line_up(&mut self, line: LineName, bank: u8) {
        self.order(SteelOrder::LineUp {
            line,
            bank: BankId(bank),
        });
    }

    pub fn air(&self) -> Air {
        self.plant.air(CHAMBER, self.t_s)
    }
}

/// Relative distance.
pub fn apart(ours: f64, theirs: f64) -> f64 {
    (ours / theirs - 1.0).abs()
}
