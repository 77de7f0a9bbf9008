//! The truth of the plant for those who may know it: the job (for people's bodies and for the
//! record), tests and debriefs. No one who decides looks here. Evaluates, and stores nothing.

use crate::instruments::quantity;
use crate::model::Model;
use crate::monitors::monitor::Watched;
use crate::plant::Plant;
use crate::steel::MAX_COMPARTMENTS;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::{LineName, ValveName, Whereabouts};
use deepstay_core::units::*;

/// The air of a compartment, true.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Oxygen partial pressure, Pa.
    pub ppo2_pa: f64,
    /// Carbon dioxide partial pressure, Pa.
    pub ppco2_pa: f64,
    /// Temperature, K.
    pub t_k: f64,
    /// Wall temperature, K.
    pub wall_k: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Moles of gas.
    pub n_mol: Amounts,
}

/// A person can go between deck and a compartment whose pressure is no further from the deck's, Pa.
const DECK_PA: f64 = 5_000.0;

impl Plant {
    /// The air of a compartment at a second.
    pub fn air(&self, c: CompartmentId, t_s: i64) -> Air {
        let view = self.view();
        let node = view.trajectories.node_at(c.index(), t_s);
        let total: f64 = node.total_mol();
        let alone_pa = view.model.pressure_pa(c.index(), &node);
        let p_pa = view.model.felt_pa(c.index(), alone_pa, t_s as f64);
        Air {
            p_pa,
            ppo2_pa: node.n_mol[Species::O2.index()] / total * p_pa,
            ppco2_pa: node.n_mol[Species::Co2.index()] / total * p_pa,
            t_k: node.gas_k,
            wall_k: node.wall_k,
            humidity: node.humidity(p_pa),
            n_mol: Amounts(node.n_mol),
        }
    }

    /// What surrounds a diver in the water at a bell: the sea's pressure, and the bell's gas as what he
    /// would breathe from it.
    pub fn water_at(&self, bell: CompartmentId, t_s: i64) -> Air {
        let inside = self.air(bell, t_s);
        let p_pa = self.view().model.sea_pa(bell.index(), t_s as f64);
        let by = p_pa / inside.p_pa;
        Air {
            p_pa,
            ppo2_pa: inside.ppo2_pa * by,
            ppco2_pa: inside.ppco2_pa * by,
            ..inside
        }
    }

    /// True value of a quantity in a compartment at a second.
    pub fn truth(&self, at: CompartmentId, quantity: Quantity, t_s: i64) -> f64 {
        let (view, i) = (self.view(), at.index());
        let node = view.trajectories.node_at(i, t_s);
        quantity::of(&view.model, i, &node, quantity, t_s as f64)
    }

    /// Fan running time on the canister in use, s, whether the fan is switched on, and what it took, mol.
    pub fn canister(&self, c: CompartmentId, t_s: i64) -> (f64, bool, f64) {
        let view = self.view();
        let node = view.trajectories.node_at(c.index(), t_s);
        let fan = view.model.controls.of(c.index()).fan;
        (node.bed_s, fan.on, node.bed_mol)
    }

    /// Whether the scrubber's fan runs: switched on and not failed.
    pub fn fan_runs(&self, c: CompartmentId) -> bool {
        self.view().model.controls.of(c.index()).fan.runs()
    }

    /// Absolute pressure in a bank, Pa.
    pub fn bank_pa(&self, bank: BankId, t_s: i64) -> f64 {
        self.view().bank_pa(bank, t_s)
    }

    /// Moles in a bank at a second.
    pub fn bank_moles(&self, bank: BankId, t_s: i64) -> f64 {
        self.view().bank(bank, t_s).total()
    }

    /// Moles in a bank at a second, species by species: what was put in, less what was taken out.
    pub fn bank(&self, bank: BankId, t_s: i64) -> Amounts {
        self.view().bank(bank, t_s)
    }

    /// Fractions that a breathing line, or the loop behind it, gives at a second. None where it is dead: nothing lined up,
    /// or the bank without the pressure that its regulator wants over those who breathe.
    pub fn breath(&self, line: LineName, t_s: i64) -> Option<Amounts> {
        let view = self.view();
        (view.breath_over_pa(line, t_s) > 0.0).then(|| view.breath_mix(line, t_s))
    }

    /// Everything that lies somewhere on board as of `t_s`: banks and compartments.
    pub fn holdings(&self, t_s: i64) -> Vec<(Place, Amounts)> {
        let view = self.view();
        let banks = (0..view.stock.count() as u8)
            .map(|b| (Place::Bank(BankId(b)), view.bank(BankId(b), t_s)));
        let compartments = (0..view.trajectories.compartments()).map(|i| {
            let place = Place::Compartment(CompartmentId(i as u8));
            (place, Amounts(view.trajectories.node_at(i, t_s).n_mol))
        });
        banks.chain(compartments).collect()
    }

    /// Whether a person can get from one place to another through open doors.
    pub fn passage(&self, from: Whereabouts, to: Whereabouts, t_s: i64) -> bool {
        let model = self.view().model;
        match (from, to) {
            (Whereabouts::In(a), Whereabouts::In(b)) => {
                joined_by_doors(&model, a.index(), b.index())
            }
            (Whereabouts::In(a), Whereabouts::Water(b))
            | (Whereabouts::Water(a), Whereabouts::In(b)) => {
                a == b
                    && model.controls.of(a.index()).open_outside
                    && model.bell_msw(a.index(), t_s as f64) > 0.0
            }
            (Whereabouts::Deck, Whereabouts::In(c)) | (Whereabouts::In(c), Whereabouts::Deck) => {
                (self.air(c, t_s).p_pa - model.steel.surface_pa).abs() < DECK_PA
            }
            (a, b) => a == b,
        }
    }
}

/// The value of something that can be waited for, at a second.
pub fn truly(plant: &Plant, watched: Watched, t_s: i64) -> f64 {
    plant.watching().at(watched, t_s)
}

/// Whether open doors lead from one compartment to another.
fn joined_by_doors(model: &Model, from: usize, to: usize) -> bool {
    let mut reached = [false; MAX_COMPARTMENTS];
    reached[from] = true;
    for _ in 0..model.steel.compartments.len() {
        for (door, _) in model
            .steel
            .doors
            .iter()
            .zip(model.controls.doors())
            .filter(|(_, s)| s.open)
        {
            if let Some(b) = door.b {
                let either = reached[door.a.index()] || reached[b.index()];
                reached[door.a.index()] = either;
                reached[b.index()] = either;
            }
        }
    }
    reached[to]
}

/// Open area through which gas leaks outward from a compartment against what was ordered, m2: a hole, and valves that
/// pass though their handles are shut. It is what somebody beside it hears.
pub fn leaks_m2(plant: &Plant, c: CompartmentId) -> f64 {
    let model = plant.view().model;
    let plate = &model.steel.compartments[c.index()];
    let set = model.controls.of(c.index());
    let outward = [
        (set.valves.exhaust, plate.exhaust_m2),
        (set.valves.bleed, plate.bleed_m2),
        (set.valves.drain, plate.drain_m2),
    ];
    let passing = outward.iter().filter(|(valve, _)| valve.passes());
    let passing_m2: f64 = passing.map(|(valve, m2)| valve.opening() * m2).sum();
    set.hole.open_m2() + passing_m2
}

/// Whether a valve lets gas by though its handle is shut.
pub fn lets_by(plant: &Plant, valve: ValveName) -> bool {
    let valve = plant.view().model.controls.valve(valve);
    valve.is_ok_and(|v| v.passes() && !v.stopped)
}
