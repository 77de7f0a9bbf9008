//! What one simulated job of an ensemble leaves behind: amounts by gas and purpose, the stock day by day,
//! and how it ended. Small enough for ten thousand of them to be held at once.

use deepstay_core::units::Purpose;
use serde::{Deserialize, Serialize};

/// An amount of a gas for one purpose.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drawn {
    /// Place in the list of gases.
    pub gas: u8,
    /// What for.
    pub purpose: Purpose,
    /// How much, mol of all species together.
    pub mol: f64,
}

/// The scrubber of one compartment in one job.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Canister {
    /// Place of the compartment in the spread.
    pub compartment: u8,
    /// Absorbent in it, kg.
    pub kg: f64,
    /// How often it was changed.
    pub changed: u32,
}

/// How a replicate ended.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// All divers at the surface.
    Surfaced,
    /// The plan's last second came first.
    #[default]
    PlanOver,
    /// A diver's body failed: the job could not be lived through.
    BodyFailed,
}

/// What one simulated job left behind.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Replicate {
    /// Its number in the ensemble, from 0.
    pub number: u64,
    /// What was drawn for each source of the study, in its unit, in their order.
    pub draws: Vec<f64>,
    /// How it ended.
    pub how: How,
    /// Its last second.
    pub ended_s: i64,
    /// Out of banks to anything but banks, by gas and purpose.
    pub drawn: Vec<Drawn>,
    /// Back into banks from anything but banks, by gas and purpose.
    pub returned: Vec<Drawn>,
    /// Moles left of each gas at the start and at the end of each day since the start: gas by gas within
    /// a day. After the last second the stock stays as it was.
    pub left_mol: Vec<f64>,
    /// Moles left of each gas at the present that the ensemble was told of; empty without one, or where the
    /// job was over before.
    pub at_present_mol: Vec<f64>,
    /// What was used by the end of each day since the start, use by use ([`super::USES`]) within a day, mol.
    pub used_mol: Vec<f64>,
    /// Lost to the sea and the air on deck, by purpose, mol.
    pub lost: Vec<Drawn>,
    /// First second at which an order was refused for want of a gas, or a run was lost to it.
    pub stopped_s: Option<i64>,
    /// Whether divers in the water breathed a gas that is not theirs: it stood in for what had run out.
    pub stood_in: bool,
    /// Bell runs gone through.
    pub runs_made: u32,
    /// Bell runs lost or aborted because of weather.
    pub runs_weather: u32,
    /// Bell runs lost or aborted for want of gas.
    pub runs_gas: u32,
    /// Bell runs lost or aborted for other reasons.
    pub runs_other: u32,
    /// Time for which the sea was over the launch limit, s.
    pub weather_s: i64,
    /// Divers' time in the water, s.
    pub water_s: i64,
    /// Carbon dioxide that absorbent took, in chambers, bell and reclaim, mol.
    pub absorbed_mol: f64,
    /// Absorbent put in: canisters changed and filled at the start, kg.
    pub absorbent_kg: f64,
    /// Absorbent in the canisters changed by the start and by the end of each day since it, kg.
    pub absorbent_changed_kg: Vec<f64>,
    /// The scrubbers, each with its canister and how often it was changed.
    pub canisters: Vec<Canister>,
    /// Oxygen taken from the stock for burning, mol; no bank's ledger holds it.
    pub burnt_mol: f64,
    /// The last second of a bell run: after it the way home is under way.
    pub last_dive_s: i64,
    /// Oxygen that bodies used, mol.
    pub oxygen_used_mol: f64,
    /// Oxygen drawn from oxygen banks from the beginning of the last decompression on, mol.
    pub oxygen_bleeding_mol: f64,
}
