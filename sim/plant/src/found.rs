//! The steel as somebody finds it at a second: what lies in every compartment and bank, which doors stand open, which
//! fans run. Nothing is known of what came before.

use crate::state::banks::{BankStock, FoundBank};
use crate::state::physics::{GasModel, Physics};
use crate::steel::{Compartment, Steel};
use deepstay_core::gas::{self, Amounts};
use deepstay_core::units::*;

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

impl Found {
    /// A plant at rest at second 0: every compartment full of deck air at surface pressure, a reclaim's tank charged,
    /// doors as the steel says, banks as they were filled.
    pub fn at_start(steel: &Steel, physics: Physics) -> Found {
        let room = |(i, c)| filled_at_start(steel, i, c, physics);
        Found {
            at_s: 0,
            rooms: steel.compartments.iter().enumerate().map(room).collect(),
            doors: steel.doors.iter().map(|d| d.open_at_start).collect(),
            banks: BankStock::of(steel).all().to_vec(),
        }
    }
}

/// Full of deck air, or, of a reclaim's tank, of what it is charged with.
fn filled_at_start(steel: &Steel, i: usize, c: &Compartment, physics: Physics) -> FoundRoom {
    let charged = steel.reclaim.filter(|r| r.tank.index() == i);
    let (gauge_pa, mix) =
        charged.map_or((0.0, steel.deck_air()), |r| (r.working_gauge_pa, r.charge));
    let (p_pa, t_k) = (steel.surface_pa + gauge_pa, steel.deck_t_k);
    let moles = match physics.gas {
        GasModel::Real => gas::state::total_moles(&mix, p_pa, c.volume_m3, t_k),
        GasModel::Ideal => p_pa * c.volume_m3 / (R * t_k),
    };
    FoundRoom {
        n_mol: mix.scaled(moles),
        gas_k: t_k,
        wall_k: t_k,
        bed_s: 0.0,
        bed_mol: 0.0,
        fan: false,
    }
}
