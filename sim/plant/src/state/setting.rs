//! Settings of one compartment and of one door: valves, machines, lines, what is wrong, who is there.

use super::load::{Load, PathLoad};
use crate::steel::Steel;
use deepstay_core::record::LineName;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// A valve as set, and what its flow is booked under.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct ValveState {
    /// What was ordered, 0 to 1.
    pub ordered: f64,
    /// What it is stuck at, if it is stuck.
    pub stuck: Option<f64>,
    /// What its flow is for.
    pub purpose: Purpose,
    /// Its hull stop is shut: nothing passes, however it stands.
    pub stopped: bool,
}

impl ValveState {
    /// Shut, and free to move.
    pub fn shut(purpose: Purpose) -> Self {
        ValveState {
            ordered: 0.0,
            stuck: None,
            purpose,
            stopped: false,
        }
    }

    /// True opening, 0 to 1.
    #[inline]
    pub fn opening(&self) -> f64 {
        if self.stopped {
            0.0
        } else {
            self.stuck.unwrap_or(self.ordered)
        }
    }

    /// Whether it stands open though its handle is shut.
    pub fn passes(&self) -> bool {
        self.ordered == 0.0 && self.stuck.is_some_and(|stuck| stuck > 0.0)
    }
}

/// The valves of a compartment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Valves {
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
}

/// Automatic oxygen make-up.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct OxygenControl {
    /// Switched on.
    pub on: bool,
    /// Adding at the moment.
    pub adding: bool,
    /// Adds below this reading, bar.
    pub set_bar: f64,
    /// Stops at this much above, bar.
    pub band_bar: f64,
}

/// The scrubber's fan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Fan {
    /// Switched on.
    pub on: bool,
    /// Tripped.
    pub failed: bool,
}

impl Fan {
    /// Switched on and not tripped.
    pub fn runs(&self) -> bool {
        self.on && !self.failed
    }
}

/// The climate unit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct ClimateControl {
    /// Switched on.
    pub on: bool,
    /// Out of order.
    pub failed: bool,
    /// Temperature to hold, K.
    pub t_k: f64,
    /// Humidity to hold, 0 to 1.
    pub humidity: f64,
}

/// Reclaim of the gas of divers from a bell.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct ReclaimControl {
    /// Running.
    pub on: bool,
    /// Out of order: divers breathe open circuit.
    pub failed: bool,
}

/// Banks lined up to a compartment's lines.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Lines {
    /// Supply line.
    pub supply: Option<BankId>,
    /// Oxygen line.
    pub oxygen: Option<BankId>,
    /// Masks.
    pub bibs: Option<BankId>,
    /// Divers' main gas.
    pub main: Option<BankId>,
    /// Divers' secondary gas.
    pub secondary: Option<BankId>,
}

impl Lines {
    /// Whether one of them comes from a bank.
    pub fn come_from(&self, bank: BankId) -> bool {
        let Lines {
            supply,
            oxygen,
            bibs,
            main,
            secondary,
        } = *self;
        [supply, oxygen, bibs, main, secondary].contains(&Some(bank))
    }
}

/// Regulators of a compartment's lines: each holds so much over the pressure of the vessel, or of the divers, that it
/// leads to, Pa.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Regulators {
    /// Supply line.
    pub supply: f64,
    /// Oxygen line.
    pub oxygen: f64,
    /// Masks.
    pub bibs: f64,
    /// Divers' main gas.
    pub main: f64,
    /// Divers' secondary gas.
    pub secondary: f64,
}

impl Regulators {
    /// As they are fitted.
    pub fn fitted(steel: &Steel, c: CompartmentId) -> Regulators {
        Regulators {
            supply: steel.regulator_fitted_pa(LineName::Supply(c)),
            oxygen: steel.regulator_fitted_pa(LineName::Oxygen(c)),
            bibs: steel.regulator_fitted_pa(LineName::Bibs(c)),
            main: steel.regulator_fitted_pa(LineName::DiverMain(c)),
            secondary: steel.regulator_fitted_pa(LineName::DiverSecondary(c)),
        }
    }
}

/// What people do to a compartment and to its breathing paths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct PeopleLoad {
    /// Of those breathing its gas.
    pub inside: Load,
    /// On its masks.
    pub bibs: PathLoad,
    /// On divers' main gas.
    pub main: PathLoad,
    /// On divers' secondary gas.
    pub secondary: PathLoad,
    /// Liquid water that evaporates in it, mol/s.
    pub evaporating_mol_s: f64,
}

/// A relief valve and the gag valve before it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct ReliefState {
    /// Open.
    pub lifted: bool,
    /// Its gag valve is shut.
    pub gagged: bool,
}

/// A hole that a fault made, and its hull stop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Hole {
    /// Effective area, m2.
    pub area_m2: f64,
    /// It is a penetrator's, and has a hull stop.
    pub has_stop: bool,
    /// The hull stop is shut.
    pub stopped: bool,
}

impl Hole {
    /// What is open of it, m2.
    #[inline]
    pub fn open_m2(&self) -> f64 {
        if self.stopped { 0.0 } else { self.area_m2 }
    }
}

/// Settings of one compartment.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Setting {
    /// Its valves.
    pub valves: Valves,
    /// Automatic oxygen.
    pub auto_oxygen: OxygenControl,
    /// Scrubber fan.
    pub fan: Fan,
    /// Climate unit.
    pub climate: ClimateControl,
    /// Chamber gas recovery running.
    pub recovery: bool,
    /// Reclaim for divers from this bell.
    pub reclaim: ReclaimControl,
    /// Hot water running to the divers from this bell.
    pub hot_water: bool,
    /// Banks that its lines draw from: lined up, their stops open, behind a regulator that gives enough.
    pub lines: Lines,
    /// Banks lined up to its lines, as the panel says.
    pub lined_up: Lines,
    /// Regulators of its lines.
    pub regulators: Regulators,
    /// Hole of a fault.
    pub hole: Hole,
    /// Its relief valve.
    pub relief: ReliefState,
    /// Open to the deck through an outer door (a lock), or to the sea (a bell).
    pub open_outside: bool,
    /// People.
    pub people: PeopleLoad,
}

impl Setting {
    /// Nobody there, everything shut and off, in air of a temperature.
    pub fn at_rest(t_k: f64) -> Self {
        Setting {
            valves: Valves {
                blow_down: ValveState::shut(Purpose::BlowDown),
                oxygen: ValveState::shut(Purpose::Oxygen),
                exhaust: ValveState::shut(Purpose::Bleed),
                bleed: ValveState::shut(Purpose::Bleed),
                drain: ValveState::shut(Purpose::Flush),
            },
            auto_oxygen: OxygenControl {
                on: false,
                adding: false,
                set_bar: 0.0,
                band_bar: 0.0,
            },
            fan: Fan::default(),
            climate: ClimateControl {
                on: false,
                failed: false,
                t_k,
                humidity: 0.6,
            },
            recovery: false,
            reclaim: ReclaimControl::default(),
            hot_water: false,
            lines: Lines::default(),
            lined_up: Lines::default(),
            regulators: Regulators::default(),
            hole: Hole::default(),
            relief: ReliefState::default(),
            open_outside: false,
            people: PeopleLoad::default(),
        }
    }

    /// Nobody in it, nothing running, no valve open, nothing wrong.
    pub fn is_at_rest(&self) -> bool {
        let Valves {
            blow_down,
            oxygen,
            exhaust,
            bleed,
            drain,
        } = &self.valves;
        [blow_down, oxygen, exhaust, bleed, drain]
            .iter()
            .all(|v| v.opening() == 0.0)
            && !self.fan.on
            && !self.climate.on
            && !self.auto_oxygen.adding
            && !self.open_outside
            && self.hole.open_m2() == 0.0
            && !self.relief.lifted
            && self.is_empty()
    }

    /// Whether nobody is inside, nor breathes from its lines.
    pub fn is_empty(&self) -> bool {
        self.people == PeopleLoad::default()
    }

    /// Opening of the oxygen valve, by hand or by the automatic make-up.
    pub fn oxygen_opening(&self) -> f64 {
        let OxygenControl { on, adding, .. } = self.auto_oxygen;
        let valve = &self.valves.oxygen;
        valve
            .stuck
            .unwrap_or(if on && adding { 1.0 } else { valve.ordered })
    }

    /// Whether divers from this bell breathe from the loop.
    pub fn reclaims(&self) -> bool {
        self.reclaim.on && !self.reclaim.failed
    }
}

/// A door and its equalising valve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct DoorSetting {
    /// Open.
    pub open: bool,
    /// Clamp made; always true where there is no clamp.
    pub clamped: bool,
    /// Equalising valve.
    pub equalise: ValveState,
}
