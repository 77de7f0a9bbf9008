//! A passage between two vessels over a step: an open door, through which their gas turns over, or a valve.

use crate::opening::{nozzle, through_mol_s};
use crate::state::node::Contents;
use deepstay_core::gas::Amounts;

/// How two vessels hang together over a step.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Passage {
    /// They have one pressure.
    pub one_pressure: bool,
    /// Through an open door: share of the contents of the one that goes to the other per second, and back.
    pub turnover: Option<(f64, f64)>,
    /// Opening of a valve, m2; zero at an open door, and where they have one pressure.
    pub area_m2: f64,
}

impl Passage {
    /// Share of a's contents that goes to b per second, and of b's to a.
    pub fn shares(&self, a: &Contents, b: &Contents) -> (f64, f64) {
        if let Some(turnover) = self.turnover {
            return turnover;
        }
        if self.area_m2 <= 0.0 {
            return (0.0, 0.0);
        }
        let downhill = a.gas.p_pa > b.gas.p_pa;
        let (up, down) = if downhill { (a, b) } else { (b, a) };
        let nozzle = nozzle(&Amounts(up.node.n_mol), up.gas.cp_j_mol_k);
        let share = through_mol_s(
            self.area_m2,
            &nozzle,
            up.gas.p_pa,
            up.node.gas_k,
            down.gas.p_pa,
        ) / up.gas.n_mol;
        if downhill { (share, 0.0) } else { (0.0, share) }
    }
}
