//! The climate unit: heater and chiller by a band around the temperature to hold, and a drying coil with a
//! contact factor.

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::state::node::Contents;
use crate::state::setting::ClimateControl;
use crate::steel::Compartment;
use deepstay_core::gas::{self, SPECIES, Species};

/// Band of relative humidity over which the drying coil goes from idle to full duty.
const COIL_BAND_RH: f64 = 0.1;

/// Heat by heater and chiller, heat and water by the coil, whose saturation pressure is `coil_pa`.
pub(crate) fn find(
    c: &Compartment,
    coil_pa: f64,
    set: &ClimateControl,
    contents: &Contents,
    rh: f64,
    f: &mut Flows,
) {
    let (Some(u), true, false) = (c.climate, set.on, set.failed) else {
        return;
    };
    let Contents { node, gas } = contents;
    let upper_k = set.t_k + u.band_k / 2.0;
    let below = (upper_k - node.gas_k) / u.band_k;
    if below >= 1.0 {
        f.heat.w += u.heater_w;
    } else if below > 0.0 {
        f.heat.add(u.heater_w / u.band_k, upper_k);
    } else if below <= -1.0 {
        f.heat.w -= u.chiller_w;
    } else {
        f.heat.add(u.chiller_w / u.band_k, upper_k);
    }
    let duty = ((rh - set.humidity) / COIL_BAND_RH + 0.5).clamp(0.0, 1.0);
    if duty <= 0.0 {
        return;
    }
    let full_m3_s = u.coil_m3_s * u.coil_contact;
    let flow_m3_s = full_m3_s * duty;
    let heat_j_m3_k = gas.n_mol / c.volume_m3 * gas.cp_j_mol_k;
    f.heat.add(heat_j_m3_k * flow_m3_s, u.coil_t_k);
    let water_mol = node.n_mol[Species::H2o.index()];
    // What a mole more of water and a warmer gas add to the coil's flow, m3/(s mol) and m3/(s K).
    let band_m3_s = if duty < 1.0 {
        full_m3_s / COIL_BAND_RH * rh
    } else {
        0.0
    };
    let by_mol = band_m3_s / water_mol.max(f64::MIN_POSITIVE);
    let by_k = band_m3_s * (1.0 / node.gas_k - gas::water::saturation_slope_k(node.gas_k));
    let cooled_j_m3 = heat_j_m3_k * (u.coil_t_k - node.gas_k);
    f.wet.heat_w_mol += cooled_j_m3 * by_mol;
    f.wet.heat_w_k -= cooled_j_m3 * by_k;
    let at_coil_mol = coil_pa / gas.p_pa * gas.n_mol;
    if water_mol > at_coil_mol {
        let k = flow_m3_s / c.volume_m3;
        let dried_mol_m3 = (water_mol - at_coil_mol) / c.volume_m3;
        f.wet.leaves_s += dried_mol_m3 * by_mol;
        f.wet.leaves_mol_s_k += dried_mol_m3 * by_k;
        let mut fixed = [0.0; SPECIES];
        fixed[Species::H2o.index()] = -k * at_coil_mol;
        f.set(
            Slot::Coil,
            Rate {
                k,
                only: Some(Species::H2o),
                fixed,
            },
        );
    }
}
