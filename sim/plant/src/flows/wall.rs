//! The wall: natural convection from the gas, heat to the surroundings, and condensation under the dew point
//! by the Lewis analogy.

use super::film::Film;
use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::state::node::Contents;
use crate::state::physics::WallModel;
use deepstay_core::gas::{self, Amounts, SPECIES, Species};

/// A wall in sea water loses heat this many times faster than in air (house rule, order of magnitude).
const SEA_COOLING: f64 = 3.0;

/// Heat between gas, wall and surroundings, and water on the wall.
pub(crate) fn find(
    model: &Model,
    i: usize,
    contents: &Contents,
    x: &Amounts,
    film: &mut Film,
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
    let at_wall_mol = gas::water::saturation_pa(node.wall_k) / gas.p_pa * gas.n_mol;
    if h > 0.0 && water_mol > at_wall_mol {
        // Lewis analogy with Lewis number 1: mass conductance = h / (rho cp).
        let k = f.wall.w_k / (gas.n_mol * gas.cp_j_mol_k);
        let mut fixed = [0.0; SPECIES];
        fixed[Species::H2o.index()] = -k * at_wall_mol;
        f.set(
            Slot::WallWater,
            Rate {
                k,
                only: Some(Species::H2o),
                fixed,
            },
        );
        let latent_j_mol = gas::water::latent_j_mol(node.wall_k);
        f.wall.heat_w = k * (water_mol - at_wall_mol) * latent_j_mol;
        f.wet.stays_mol_s_k = k * at_wall_mol * gas::water::saturation_slope_k(node.wall_k);
        f.wet.wall_w_mol = k * latent_j_mol;
        f.wet.wall_w_k = f.wet.stays_mol_s_k * latent_j_mol;
    }
}
