//! What the plant remembers: gas and wall of each compartment at its anchor, banks, settings of
//! valves, doors and machines. Everything here is saved with a job.

use crate::{Load, PathLoad};
use deepstay_core::gas::{Amounts, SPECIES};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Gas and wall of a compartment at one second.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Node {
    /// Moles by species.
    pub n_mol: [f64; SPECIES],
    /// Gas temperature, K.
    pub gas_k: f64,
    /// Wall temperature, K.
    pub wall_k: f64,
    /// Carbon dioxide that the canister in use has taken, mol.
    pub bed_mol: f64,
    /// Time that the fan has blown through the canister in use, s.
    pub bed_s: f64,
}

/// A bank's contents, without what open intervals still draw.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BankState {
    /// Moles by species.
    pub n_mol: Amounts,
    /// Oxygen fraction of the last analysis at the panel.
    pub analysed_o2: Option<f64>,
}

/// A valve as set, and what its flow is booked under.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ValveState {
    /// What was ordered, 0 to 1.
    pub ordered: f64,
    /// What it is stuck at, if it is stuck.
    pub stuck: Option<f64>,
    /// What its flow is for.
    pub purpose: Purpose,
}

impl ValveState {
    pub(super) fn shut(purpose: Purpose) -> Self {
        ValveState {
            ordered: 0.0,
            stuck: None,
            purpose,
        }
    }

    /// True opening, 0 to 1.
    pub fn opening(&self) -> f64 {
        self.stuck.unwrap_or(self.ordered)
    }
}

/// Automatic oxygen make-up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct OxygenControl {
    /// Switched on.
    pub on: bool,
    /// Adding at the moment.
    pub adding: bool,
    /// Adds below this reading, bar.
    pub set_bar: f64,
    /// Stops at this much above, bar.
    pub band_bar: f64,
}

/// Settings of one compartment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Setting {
    /// Supply valve.
    pub blow_down: ValveState,
    /// Manual oxygen valve.
    pub oxygen: ValveState,
    /// Main exhaust.
    pub exhaust: ValveState,
    /// Bleed.
    pub bleed: ValveState,
    /// Drain to the holding tank.
    pub drain: ValveState,
    /// Automatic oxygen.
    pub auto_oxygen: OxygenControl,
    /// Scrubber fan switched on.
    pub fan: bool,
    /// Scrubber fan tripped.
    pub fan_failed: bool,
    /// Climate unit switched on.
    pub climate: bool,
    /// Climate unit failed.
    pub climate_failed: bool,
    /// Temperature to hold, K.
    pub climate_k: f64,
    /// Humidity to hold, 0 to 1.
    pub climate_rh: f64,
    /// Chamber gas recovery running.
    pub recovery: bool,
    /// Reclaim running for divers from this bell.
    pub reclaim: bool,
    /// Reclaim out of order: divers breathe open circuit.
    pub reclaim_failed: bool,
    /// Bank that reclaimed gas goes to: the reclaim's own while it is not full, else the one in use.
    pub reclaim_to: Option<BankId>,
    /// Hot water running to the divers from this bell.
    pub hot_water: bool,
    /// Bank on the supply line.
    pub supply_bank: Option<BankId>,
    /// Bank on the oxygen line.
    pub oxygen_bank: Option<BankId>,
    /// Bank on the masks.
    pub bibs_bank: Option<BankId>,
    /// Bank on divers' main gas.
    pub main_bank: Option<BankId>,
    /// Bank on divers' secondary gas.
    pub secondary_bank: Option<BankId>,
    /// Hole of a fault, effective m2.
    pub fault_leak_m2: f64,
    /// Open to the deck through an outer door (a lock), or to the sea (a bell).
    pub open_outside: bool,
    /// Load of those breathing its gas.
    pub load: Load,
    /// Load on its masks.
    pub bibs: PathLoad,
    /// Load on divers' main gas.
    pub main: PathLoad,
    /// Load on divers' secondary gas.
    pub secondary: PathLoad,
    /// Liquid water that evaporates in it, mol/s.
    pub evaporating_mol_s: f64,
}

impl Setting {
    /// Nobody in it, nothing running, no valve open, nothing wrong.
    pub(super) fn at_rest_now(&self) -> bool {
        let valves = [
            &self.blow_down,
            &self.oxygen,
            &self.exhaust,
            &self.bleed,
            &self.drain,
        ];
        valves.iter().all(|v| v.opening() == 0.0)
            && !self.fan
            && !self.climate
            && !self.auto_oxygen.adding
            && !self.open_outside
            && self.fault_leak_m2 == 0.0
            && self.load == Load::default()
            && [self.bibs, self.main, self.secondary]
                .iter()
                .all(|p| *p == PathLoad::default())
            && self.evaporating_mol_s == 0.0
    }

    pub(super) fn at_rest(t_k: f64) -> Self {
        Setting {
            blow_down: ValveState::shut(Purpose::BlowDown),
            oxygen: ValveState::shut(Purpose::Oxygen),
            exhaust: ValveState::shut(Purpose::Bleed),
            bleed: ValveState::shut(Purpose::Bleed),
            drain: ValveState::shut(Purpose::Flush),
            auto_oxygen: OxygenControl {
                on: false,
                adding: false,
                set_bar: 0.0,
                band_bar: 0.0,
            },
            fan: false,
            fan_failed: false,
            climate: false,
            climate_failed: false,
            climate_k: t_k,
            climate_rh: 0.6,
            recovery: false,
            reclaim: false,
            reclaim_failed: false,
            reclaim_to: None,
            hot_water: false,
            supply_bank: None,
            oxygen_bank: None,
            bibs_bank: None,
            main_bank: None,
            secondary_bank: None,
            fault_leak_m2: 0.0,
            open_outside: false,
            load: Load::default(),
            bibs: PathLoad::default(),
            main: PathLoad::default(),
            secondary: PathLoad::default(),
            evaporating_mol_s: 0.0,
        }
    }
}

/// A door and its equalising valve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DoorSetting {
    /// Open.
    pub open: bool,
    /// Clamp made; always true where there is no clamp.
    pub clamped: bool,
    /// Equalising valve.
    pub equalise: ValveState,
}

/// Where a bell is: linear in time while the winch runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BellState {
    /// Second at which it was at `from_msw`.
    pub t_s: i64,
    /// Where it was then, msw of sea.
    pub from_msw: f64,
    /// Where it goes, msw of sea.
    pub to_msw: f64,
    /// Seconds it takes.
    pub takes_s: i64,
    /// Seconds of handling between deck and water before (going down) or after (coming up).
    pub handling_s: i64,
}

impl BellState {
    /// On deck, at rest.
    pub fn on_deck() -> Self {
        BellState {
            t_s: 0,
            from_msw: 0.0,
            to_msw: 0.0,
            takes_s: 0,
            handling_s: 0,
        }
    }

    /// Winch depth at a second, msw.
    pub fn msw(&self, t_s: f64) -> f64 {
        let since = t_s - self.moves_s() as f64;
        if since <= 0.0 {
            self.from_msw
        } else if since >= self.takes_s as f64 {
            self.to_msw
        } else {
            self.from_msw + (self.to_msw - self.from_msw) * since / self.takes_s as f64
        }
    }

    /// Second at which the winch starts to move it: handled first on its way down, last on its way up.
    fn moves_s(&self) -> i64 {
        self.t_s
            + if self.to_msw > self.from_msw {
                self.handling_s
            } else {
                0
            }
    }

    /// Seconds at which its depth in time bends.
    pub fn bends_s(&self) -> [i64; 3] {
        [
            self.moves_s(),
            self.moves_s() + self.takes_s,
            self.arrives_s(),
        ]
    }

    /// Second at which it has arrived (handling included).
    pub fn arrives_s(&self) -> i64 {
        self.t_s + self.takes_s + self.handling_s
    }

    /// On deck at the mating position.
    pub fn on_deck_at(&self, t_s: i64) -> bool {
        self.to_msw == 0.0 && t_s >= self.arrives_s()
    }
}

/// How the plant treats gas and walls; anything but the default is for checks against closed forms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Physics {
    /// Equation of state.
    pub gas: GasModel,
    /// Heat exchange between gas and wall.
    pub wall: WallModel,
    /// Re-anchor every compartment every second: a check on the leaping, slow.
    pub anchor_each_second: bool,
}

/// Equation of state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum GasModel {
    /// Density virial.
    #[default]
    Real,
    /// Ideal gas.
    Ideal,
}

/// Heat exchange between gas and wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum WallModel {
    /// Natural convection.
    #[default]
    Natural,
    /// Gas stays at its temperature.
    Isothermal,
    /// No heat passes.
    Adiabatic,
    /// Fixed coefficient, W/(m2 K).
    Fixed(f64),
}
