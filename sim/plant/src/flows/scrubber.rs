//! The scrubber: a fan through a canister as a Bohart-Adams bed (efficiency 1 - exp(-b (1 - taken/capacity)),
//! exact for a varying inlet).

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::state::node::Node;
use crate::state::setting::Fan;
use crate::steel::{Compartment, Scrubber};
use deepstay_core::gas::{SPECIES, Species};
use deepstay_core::units::*;

/// Heat given to the gas per mole of carbon dioxide absorbed when the water leaves as vapour, J
/// (derived from standard formation enthalpies, from memory).
pub const ABSORPTION_J_MOL: f64 = 69_000.0;
/// Relative humidity below which absorbent loses capacity in proportion (from memory, weak).
pub const DRY_BED_RH: f64 = 0.3;

/// Share of the carbon dioxide that a pass through the bed leaves there, at the humidity of what passes.
pub(crate) fn bed_efficiency(s: &Scrubber, node: &Node, rh: f64) -> f64 {
    let capacity_mol = s.absorbent_kg * s.capacity_mol_kg * (rh / DRY_BED_RH).clamp(0.1, 1.0);
    // Reaction rate doubles for each 10 K (rule of thumb, low grade) around 30 degC.
    let bed = s.bed_number * libm::exp2((node.gas_k - (ZERO_C_K + 30.0)) / 10.0);
    let left = (1.0 - node.bed_mol / capacity_mol).max(0.0);
    -libm::expm1(-bed * left)
}

/// Flow into the absorbent, and its heat.
pub(crate) fn find(c: &Compartment, fan: Fan, node: &Node, rh: f64, f: &mut Flows) {
    let (Some(s), true, false) = (c.scrubber, fan.on, fan.failed) else {
        return;
    };
    let k = s.flow_m3_s * bed_efficiency(&s, node, rh) / c.volume_m3;
    let co2_mol_s = k * node.n_mol[Species::Co2.index()];
    let mut fixed = [0.0; SPECIES];
    fixed[Species::H2o.index()] = -co2_mol_s;
    f.set(
        Slot::Absorption,
        Rate {
            k,
            only: Some(Species::Co2),
            fixed,
        },
    );
    f.heat.w += s.fan_w + ABSORPTION_J_MOL * co2_mol_s;
}
