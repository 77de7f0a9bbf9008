//! The steel as somebody finds it at a second: what lies in every compartment and bank, which doors stand open, which
//! fans run. Nothing is known of what came before.

use crate::plant::{Plant, filled_at_start};
use crate::state::banks::BankStock;
use crate::state::node::Node;
use crate::state::physics::Physics;
use crate::steel::Steel;
use deepstay_core::gas::Amounts;
use deepstay_core::units::InstrumentId;
use std::sync::Arc;

/// Everything as it is found at a second.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The second.
    pub at_s: i64,
    /// Compartments in the steel's order.
    pub rooms: Vec<FoundRoom>,
    /// Whether each door stands open, in the steel's order.
    pub doors: Vec<bool>,
    /// Banks in the steel's order.
    pub banks: Vec<FoundBank>,
}

/// A compartment as it is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundRoom {
    /// Its gas, mol.
    pub n_mol: Amounts,
    /// Temperature of the gas, K.
    pub gas_k: f64,
    /// Temperature of the wall, K.
    pub wall_k: f64,
    /// Time that the fan has blown through the canister in use, s.
    pub bed_s: f64,
    /// Carbon dioxide that the canister in use has taken, mol.
    pub bed_mol: f64,
    /// Its scrubber's fan runs.
    pub fan: bool,
}

/// A bank as it is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundBank {
    /// What lies in it, mol.
    pub n_mol: Amounts,
    /// Oxygen fraction of the last analysis at the panel.
    pub analysed_o2: Option<f64>,
}

impl Found {
    /// A plant at rest at second 0: every compartment full of deck air at surface pressure, a reclaim's tank charged,
    /// doors as the steel says, banks as they were filled.
    pub(crate) fn at_start(steel: &Steel, physics: Physics) -> Found {
        let room = |(i, c)| {
            let Node {
                n_mol,
                gas_k,
                wall_k,
                ..
            } = filled_at_start(steel, i, c, physics);
            FoundRoom {
                n_mol: Amounts(n_mol),
                gas_k,
                wall_k,
                bed_s: 0.0,
                bed_mol: 0.0,
                fan: false,
            }
        };
        Found {
            at_s: 0,
            rooms: steel.compartments.iter().enumerate().map(room).collect(),
            doors: steel.doors.iter().map(|d| d.open_at_start).collect(),
            banks: BankStock::of(steel).found(),
        }
    }
}

impl Plant {
    /// A plant as it is found at a second. What the lists leave out is as at the start; valves are shut, bells are on
    /// their trunks, and every instrument has shown for long what is there.
    pub fn found(steel: Arc<Steel>, physics: Physics, found: &Found) -> Plant {
        let mut whole = Found::at_start(&steel, physics);
        whole.at_s = found.at_s;
        for (room, as_found) in whole.rooms.iter_mut().zip(&found.rooms) {
            *room = *as_found;
        }
        for (open, as_found) in whole.doors.iter_mut().zip(&found.doors) {
            *open = *as_found;
        }
        for (bank, as_found) in whole.banks.iter_mut().zip(&found.banks) {
            *bank = *as_found;
        }
        Plant::of(steel, physics, &whole)
    }

    /// An instrument is as if it had been set against the standard at a second: it errs from then on.
    pub fn calibrated(&mut self, id: InstrumentId, t_s: i64) {
        self.changing()
            .instruments
            .probe_mut(id)
            .calibrate(t_s, 0.0);
    }
}
