//! Everything that acts on a compartment in a state, in the order in which it is added up.

use super::breathing::{self, Exhaled, Path};
use super::film::Film;
use super::flow::Flows;
use super::moment::Moment;
use super::{climate, outflow, people, reclaim, scrubber, supply, wall};
use crate::books::slot::Slot;
use crate::model::Model;
use crate::state::load::PathLoad;
use crate::state::node::{Contents, Node};

/// Finds flows and heat of a compartment in a state, and what its gas is like there. The film is brought to the state
/// if that has moved.
pub(crate) fn find(
    model: &Model,
    i: usize,
    node: &Node,
    at: &Moment,
    film: &mut Film,
    f: &mut Flows,
) -> Contents {
    let c = &model.steel.compartments[i];
    let set = model.controls.of(i);
    let (contents, x) = Contents::of(*node, c.volume_m3, model.pressure_pa(i, node));
    f.clear();
    if set.open_outside && c.bell.is_none() {
        outflow::open_lock(model.steel, &contents.gas, f);
    } else {
        outflow::find(model, i, &contents, &x, at, f);
        supply::find(model, i, contents.gas.p_pa, at, f);
    }
    if let Some(loop_of) = model.reclaim_of(i) {
        reclaim::find(model, (loop_of, i), &contents, &x, at, f);
    }
    people::find(&set.people, node, f);
    let rh = if set.fan.on || set.climate.on || node.may_be_damp(contents.gas.p_pa) {
        node.humidity(contents.gas.p_pa)
    } else {
        0.0
    };
    scrubber::find(c, set.fan, node, rh, f);
    climate::find(c, model.coil_pa[i], &set.climate, &contents, rh, f);
    wall::find(model, i, &contents, &x, (film, rh), at.in_sea, f);
    if let (Some(bell), true) = (c.bell, set.hot_water) {
        let w_k = bell.hot_water_w / (bell.hot_water_t_k - model.sea.t_k).max(1.0);
        f.heat.add(w_k, bell.hot_water_t_k);
    }
    let masks = if c.bell.is_some() {
        Exhaled::Inside
    } else {
        Exhaled::Overboard
    };
    let p_pa = contents.gas.p_pa;
    let mut breathe = |slot, bank, load, p_pa, exhaled| {
        let path = Path {
            slot,
            bank,
            load,
            p_pa,
            exhaled,
        };
        breathing::find(model, &path, &at.banks, f);
    };
    breathe(Slot::BibsGas, set.lines.bibs, &set.people.bibs, p_pa, masks);
    let drawn = |load: &PathLoad| load.ventilation_m3_s > 0.0;
    if c.bell.is_some() && (drawn(&set.people.main) || drawn(&set.people.secondary)) {
        let sea_pa = model.sea_pa(i, at.t_s);
        if !set.reclaims() {
            breathe(
                Slot::MainGas,
                set.lines.main,
                &set.people.main,
                sea_pa,
                Exhaled::Overboard,
            );
        }
        breathe(
            Slot::SecondaryGas,
            set.lines.secondary,
            &set.people.secondary,
            sea_pa,
            Exhaled::Overboard,
        );
    }
    contents
}
