//! The wall, and water that leaves the gas: natural convection from the gas, heat to the surroundings, dew on a wall
//! under the dew point by the Lewis analogy, and fog where the gas itself is under it.

use super::film::Film;
use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::state::node::Contents;
use crate::state::physics::WallModel;
use deepstay_core::gas::{self, Amounts, Species};

/// A wall in sea water loses heat this many times faster than in air (house rule, order of magnitude).
const SEA_COOLING: f64 = 3.0;

/// What gas holds well beyond its saturation turns to fog within about this time, s, and settles with the dew (order of
/// magnitude, from memory: drops on what dust there is take up such water in seconds; house rule).
const FOG_S: f64 = 1.0;
/// Below about this supersaturation fog forms more slowly the less there is of it (house rule): gas that is just at its
/// dew point is not torn between fog and none.
const FOG_OVER: f64 = 0.5;

/// Heat between gas, wall and surroundings, and water on the wall and in the fog. `rh` is the relative humidity.
pub(crate) fn find(
    model: &Model,
    i: usize,
    contents: &Contents,
    x: &Amounts,
    (film, rh): (&mut Film, f64),
    in_sea: bool,
    f: &mut Flows,
) {
    let (c, Contents { node, gas }) = (&model.steel.compartments[i], contents);
    (f.wall.out_k, f.wall.out_w_k) = if in_sea {
        (model.sea.t_k, c.wall_ua_w_k * SEA_COOLING)
    } else {
        (model.steel.deck_t_k, c.wall_ua_w_k)
    };
    let h = match model.physics.wall {
        WallModel::Natural => film
            .plate(node, x, gas.p_pa)
            .w_m2_k(node.gas_k, node.wall_k),
        WallModel::Fixed(h) => h,
        WallModel::Adiabatic | WallModel::Isothermal => 0.0,
    };
    f.wall.w_k = h * c.wall_m2;
    let water_mol = node.n_mol[Species::H2o.index()];
    let held_mol = |vapour_pa: f64| vapour_pa / gas.p_pa * gas.n_mol;
    let mut water = Rate {
        only: Some(Species::H2o),
        ..Rate::default()
    };
    // A wall that is warm enough by far is dry, and what it would hold need not be known.
    let is_dry = h <= 0.0 || water_mol < held_mol(gas::water::saturation_at_least_pa(node.wall_k));
    let at_wall_mol = match is_dry {
        true => f64::INFINITY,
        false => held_mol(gas::water::saturation_pa(node.wall_k)),
    };
    if water_mol > at_wall_mol {
        // Lewis analogy with Lewis number 1: mass conductance = h / (rho cp).
        let k = f.wall.w_k / (gas.n_mol * gas.cp_j_mol_k);
        water.k = k;
        water.fixed[Species::H2o.index()] = -k * at_wall_mol;
        let latent_j_mol = gas::water::latent_j_mol(node.wall_k);
        f.wall.heat_w = k * (water_mol - at_wall_mol) * latent_j_mol;
        f.wet.stays_mol_s_k = k * at_wall_mol * gas::water::saturation_slope_k(node.wall_k);
        f.wet.wall_w_mol = k * latent_j_mol;
        f.wet.wall_w_k = f.wet.stays_mol_s_k * latent_j_mol;
    }
    // A gas that is kept at its temperature for ever is that of a closed form, which holds whatever it holds.
    if rh > 1.0 && model.physics.wall != WallModel::Isothermal {
        fog(contents, water_mol / rh, &mut water, f);
    }
    if water.k > 0.0 {
        f.set(Slot::WallWater, water);
    }
}

/// Water beyond what the gas holds at its own temperature, and the heat that it gives to the gas.
fn fog(contents: &Contents, holds_mol: f64, water: &mut Rate, f: &mut Flows) {
    let node = &contents.node;
    let water_mol = node.n_mol[Species::H2o.index()];
    let over = water_mol / holds_mol - 1.0;
    let reach = over + FOG_OVER;
    let (forms, slope) = (
        over * over / reach,
        over * (reach + FOG_OVER) / (reach * reach),
    );
    let forms_mol_s = holds_mol * forms / FOG_S;
    let k = slope / FOG_S;
    water.k += k;
    water.fixed[Species::H2o.index()] += forms_mol_s - k * water_mol;
    let latent_j_mol = gas::water::latent_j_mol(node.gas_k);
    f.heat.w += forms_mol_s * latent_j_mol;
    let less_mol_s_k = (k * water_mol - forms_mol_s) * gas::water::saturation_slope_k(node.gas_k);
    f.wet.leaves_mol_s_k -= less_mol_s_k;
    f.wet.heat_w_mol += k * latent_j_mol;
    f.wet.heat_w_k += less_mol_s_k * latent_j_mol;
}
