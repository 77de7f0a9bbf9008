//! What comes from banks by the supply and the oxygen line: through a regulator that follows the
//! compartment's pressure, as far as the bank's own pressure goes, and throttled on its way.

use super::flow::Flows;
use super::moment::Moment;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::opening::through_mol_s;
use deepstay_core::gas;
use deepstay_core::units::*;

/// A bank gives at most this share of its contents a second, 1/s (house rule of the model).
const LARGEST_SHARE_S: f64 = 0.05;

/// Flows into a compartment.
pub(crate) fn find(model: &Model, i: usize, p_pa: f64, at: &Moment, f: &mut Flows) {
    let (c, set) = (&model.steel.compartments[i], model.controls.of(i));
    for (slot, bank, over_pa, area_m2) in [
        (
            Slot::Supply,
            set.lines.supply,
            set.regulators.supply,
            set.valves.blow_down.opening() * c.blow_down_m2,
        ),
        (
            Slot::Oxygen,
            set.lines.oxygen,
            set.regulators.oxygen,
            set.oxygen_opening() * c.oxygen_m2,
        ),
    ] {
        let Some(bank) = bank else { continue };
        // The make-up of a reclaim's tank has a regulator of its own.
        if area_m2 <= 0.0 || (slot == Slot::Supply && model.reclaim_of(i).is_some()) {
            continue;
        }
        let valve = Valve {
            area_m2,
            down_pa: p_pa,
            up_most_pa: p_pa + over_pa,
        };
        let (rate, t_k) = through_regulator(model, bank, &valve, at);
        if rate > 0.0 {
            let mix = &at.banks.gas[bank.index()].mix;
            f.set(slot, Rate::fixed(mix.scaled(rate)));
            f.heat.add(rate * gas::state::cp_j_mol_k(mix), t_k);
        }
    }
}

/// A valve behind a regulator.
pub(crate) struct Valve {
    /// Effective area, m2.
    pub area_m2: f64,
    /// Pressure behind it, Pa.
    pub down_pa: f64,
    /// Pressure that the regulator lets through at the most, Pa.
    pub up_most_pa: f64,
}

/// Molar flow from a bank through a regulator and a valve, mol/s, and the temperature it arrives at, K. It ends, within
/// a step too, where the bank has come down to the pressure behind the valve.
pub(crate) fn through_regulator(
    model: &Model,
    bank: BankId,
    valve: &Valve,
    at: &Moment,
) -> (f64, f64) {
    let b = &model.steel.banks[bank.index()];
    let (gas, contents_mol) = (&at.banks.gas[bank.index()], at.banks.mol[bank.index()]);
    let bank_pa = model.bank_holding_pa(bank, gas, contents_mol);
    let up_pa = bank_pa.min(valve.up_most_pa);
    let down_pa = valve.down_pa;
    if up_pa <= down_pa {
        return (0.0, b.t_k);
    }
    let through = through_mol_s(valve.area_m2, &gas.nozzle, up_pa, b.t_k, down_pa)
        .min(LARGEST_SHARE_S * contents_mol);
    let rate = at.h_s.map_or(through, |h_s| {
        let left_mol = gas.spare_mol - through * h_s;
        if left_mol > 0.0 && model.bank_holding_pa(bank, gas, left_mol) > down_pa {
            return through;
        }
        let held_mol = model.held_mol(bank, gas, down_pa);
        ((gas.spare_mol - held_mol) / h_s).clamp(0.0, through)
    });
    if rate <= 0.0 {
        return (0.0, b.t_k);
    }
    (rate, model.arrives_k(bank, gas, bank_pa, down_pa))
}
