//! What leaves a compartment by its own openings (leaks, exhaust, bleed, analysers' lines), and the deck air
//! that goes through a lock open to the deck. Openings are choked or subcritical nozzles.

use super::flow::Flows;
use super::moment::Moment;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::opening::through_mol_s;
use crate::state::node::{Contents, Properties};
use crate::steel::Steel;
use deepstay_core::gas::Amounts;
use deepstay_core::gas::flow::Nozzle;
use std::cell::LazyCell;

/// Analysers draw their full flow from this gauge pressure on, and less below in
/// proportion, Pa (house rule).
const SAMPLE_FULL_PA: f64 = 2e4;

/// Flows out of a compartment that is shut.
pub(crate) fn find(
    model: &Model,
    i: usize,
    contents: &Contents,
    x: &Amounts,
    at: &Moment,
    f: &mut Flows,
) {
    let (c, set) = (&model.steel.compartments[i], model.controls.of(i));
    let Properties { p_pa, n_mol, .. } = contents.gas;
    let nozzle = LazyCell::new(|| Nozzle::with_cp(x, contents.gas.cp_j_mol_k));
    let share = |area_m2: f64, down_pa: f64| {
        if area_m2 > 0.0 && p_pa > down_pa {
            through_mol_s(area_m2, &nozzle, p_pa, contents.node.gas_k, down_pa) / n_mol
        } else {
            0.0
        }
    };
    let surface = model.steel.surface_pa;
    let outside_pa = model.outside_pa(i, at.t_s);
    f.set_share(Slot::Leak, share(c.leak_m2, outside_pa));
    f.set_share(Slot::FaultLeak, share(set.hole.open_m2(), outside_pa));
    if let Some(relief) = c.relief.filter(|_| set.relief.lifted && !set.relief.gagged) {
        f.set_share(Slot::Relief, share(relief.area_m2, outside_pa));
    }
    if !at.let_down {
        let recovered = match model.steel.recovery {
            Some(r)
                if set.recovery
                    && model.recovery_bank().is_some()
                    && p_pa - surface > r.lowest_gauge_pa =>
            {
                r.recovered
            }
            _ => 0.0,
        };
        let exhaust = share(set.valves.exhaust.opening() * c.exhaust_m2, surface);
        let bleed = share(set.valves.bleed.opening() * c.bleed_m2, surface);
        f.set_share(Slot::Exhaust, exhaust * (1.0 - recovered));
        f.set_share(Slot::Bleed, bleed * (1.0 - recovered));
        f.set_share(Slot::RecoveredExhaust, exhaust * recovered);
        f.set_share(Slot::RecoveredBleed, bleed * recovered);
    }
    let driven = ((p_pa - surface) / SAMPLE_FULL_PA).clamp(0.0, 1.0);
    f.set_share(Slot::Sample, c.sample_mol_s * driven / n_mol);
}

/// Deck air walks in as the lock's gas walks out, mole for mole, one change a minute, booked as what it nets to: what
/// only goes round, because it warms or cools inside, is no movement.
pub(crate) fn open_lock(steel: &Steel, gas: &Properties, f: &mut Flows) {
    let k = 1.0 / 60.0;
    let in_mol_s = k * gas.n_mol;
    f.set(
        Slot::Outward,
        Rate {
            k,
            only: None,
            fixed: steel.deck_air().scaled(-in_mol_s).0,
        },
    );
    f.heat.add(in_mol_s * gas.cp_j_mol_k, steel.deck_t_k);
}
