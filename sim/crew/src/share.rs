//! What each diver puts on the gas he breathes and on the room he is in, added up. A load changes only when an
//! order changes it, and says so.

use super::load::{BreathesFrom, Changes, Loads, breathes_from};
use super::people::{Crew, State};
use super::rates::{MOL_S_PER_L_MIN, Rate, WATER_KG_MOL};
use deepstay_core::record::{BreathingPath, LineName, Whereabouts};
use deepstay_core::units::CompartmentId;
use deepstay_plant::{Load, PathLoad};

/// What one diver puts on the room he is in, and on the line he breathes from.
fn shares(state: &State, rate: &Rate, factor: f64) -> (Load, PathLoad) {
    let mol_s = |g_h: f64| factor * g_h * 1e-3 / 3600.0 / WATER_KG_MOL;
    let gases = Load {
        o2_mol_s: factor * rate.o2_l_min * MOL_S_PER_L_MIN,
        co2_mol_s: factor * rate.co2_l_min * MOL_S_PER_L_MIN,
        h2o_mol_s: 0.0,
        heat_w: 0.0,
    };
    let sensible_w = factor * (rate.heat_w - rate.evaporation_w());
    let from = breathes_from(state.at, state.path);
    let breathes_room = matches!(from, BreathesFrom::Compartment(_));
    let room = match state.at {
        Whereabouts::In(_) if breathes_room => Load {
            h2o_mol_s: mol_s(rate.water_g_h),
            heat_w: sensible_w,
            ..gases
        },
        Whereabouts::In(_) => Load {
            h2o_mol_s: mol_s(rate.water_g_h - rate.breath_water_g_h()),
            heat_w: sensible_w,
            ..Load::default()
        },
        Whereabouts::Deck | Whereabouts::Water(_) => Load::default(),
    };
    let line = match from {
        BreathesFrom::Line(_) => PathLoad {
            ventilation_m3_s: factor * rate.ventilation_m3_s(),
            load: Load {
                h2o_mol_s: mol_s(rate.breath_water_g_h()),
                ..gases
            },
        },
        BreathesFrom::Deck | BreathesFrom::Compartment(_) | BreathesFrom::BailOut => {
            PathLoad::default()
        }
    };
    (room, line)
}

impl Crew {
    /// The load on a compartment's gas: oxygen, carbon dioxide, water and heat of those who breathe it,
    /// and the heat and skin water of those in it who breathe from a line.
    pub fn load(&self, at: CompartmentId) -> Load {
        self.loads
            .rooms
            .get(at.index())
            .copied()
            .unwrap_or_default()
    }

    /// The load on a breathing path: masks of a compartment, or divers' main or secondary gas of a bell.
    /// Its heat is zero: what breath carries off is in [`super::respiratory_heat_w`]. Other lines carry none.
    pub fn path_load(&self, line: LineName) -> PathLoad {
        let (loads, at) = match line {
            LineName::Bibs(at) => (&self.loads.bibs, at),
            LineName::DiverMain(at) => (&self.loads.main, at),
            LineName::DiverSecondary(at) => (&self.loads.secondary, at),
            LineName::Supply(_) | LineName::Oxygen(_) => return PathLoad::default(),
        };
        loads.get(at.index()).copied().unwrap_or_default()
    }

    /// Which loads orders have changed since this was last asked; asking clears it.
    pub fn take_changes(&mut self) -> Changes {
        std::mem::take(&mut self.changes)
    }

    /// Adds up every load again, in the order of the crew list, and marks what changed.
    pub(super) fn add_up(&mut self) {
        let mut loads = Loads::default();
        for (i, state) in self.states.iter().enumerate() {
            let (Whereabouts::In(at) | Whereabouts::Water(at)) = state.at else {
                continue;
            };
            let rate = &self.rates[state.activity as usize];
            let (room, line) = shares(state, rate, self.factor(i));
            loads.rooms[at.index()] = loads.rooms[at.index()].plus(room);
            let slot = match state.path {
                BreathingPath::Bibs => &mut loads.bibs[at.index()],
                BreathingPath::Main => &mut loads.main[at.index()],
                BreathingPath::Secondary => &mut loads.secondary[at.index()],
                BreathingPath::Ambient | BreathingPath::BailOut => continue,
            };
            slot.ventilation_m3_s += line.ventilation_m3_s;
            slot.load = slot.load.plus(line.load);
        }
        self.changes.mark(&self.loads, &loads);
        self.loads = loads;
    }
}
