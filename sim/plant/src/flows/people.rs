//! What people take from a compartment's gas and give to it.

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::state::node::Node;
use crate::state::setting::PeopleLoad;
use deepstay_core::gas::{Amounts, Species};

/// Bodies find their oxygen as long as the gas holds this many seconds of it; below they
/// take less in proportion (house rule).
const LAST_OXYGEN_S: f64 = 60.0;

/// Flows and heat of those inside.
pub(crate) fn find(people: &PeopleLoad, node: &Node, f: &mut Flows) {
    let load = people.inside;
    let mut taken = Amounts::ZERO;
    if load.o2_mol_s > 0.0 {
        let o2_mol = node.n_mol[Species::O2.index()];
        let breathing = (o2_mol / (load.o2_mol_s * LAST_OXYGEN_S)).clamp(0.0, 1.0);
        taken[Species::O2] = load.o2_mol_s * breathing;
        taken[Species::Co2] = -load.co2_mol_s * breathing;
    }
    taken[Species::H2o] = -load.h2o_mol_s;
    if taken != Amounts::ZERO {
        f.set(Slot::Metabolism, Rate::fixed(taken));
    }
    f.heat.w += load.heat_w;
    if people.evaporating_mol_s > 0.0 {
        let mut water = Amounts::ZERO;
        water[Species::H2o] = people.evaporating_mol_s;
        f.set(Slot::Evaporation, Rate::fixed(water));
    }
}
