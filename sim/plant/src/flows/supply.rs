//! What comes from banks by the supply and the oxygen line: through a regulator that follows the
//! compartment's pressure, as far as the bank's own pressure goes, and throttled on its way.

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::opening::through_mol_s;
use crate::steel::MAX_BANKS;
use deepstay_core::gas;
use deepstay_core::units::*;

/// Flows into a compartment.
pub(crate) fn find(model: &Model, i: usize, p_pa: f64, bank_mol: &[f64; MAX_BANKS], f: &mut Flows) {
    let (c, set) = (&model.steel.compartments[i], model.controls.of(i));
    for (slot, bank, area_m2) in [
        (
            Slot::Supply,
            set.lines.supply,
            set.valves.blow_down.opening() * c.blow_down_m2,
        ),
        (
            Slot::Oxygen,
            set.lines.oxygen,
            set.oxygen_opening() * c.oxygen_m2,
        ),
    ] {
        let Some(bank) = bank else { continue };
        if area_m2 <= 0.0 {
            continue;
        }
        let contents = bank_mol[bank.index()];
        let (rate, t_k) = through_regulator(model, bank, area_m2, p_pa, c.supply_over_pa, contents);
        if rate > 0.0 {
            let mix = model.gases.mix(bank);
            f.set(slot, Rate::fixed(mix.scaled(rate)));
            f.heat.add(rate * gas::state::cp_j_mol_k(mix), t_k);
        }
    }
}

/// Molar flow from a bank through a regulator and a valve, mol/s, and the temperature it arrives at, K.
fn through_regulator(
    model: &Model,
    bank: BankId,
    area_m2: f64,
    p_pa: f64,
    over_pa: f64,
    contents_mol: f64,
) -> (f64, f64) {
    let b = &model.steel.banks[bank.index()];
    let bank_pa = model.bank_holding_pa(bank, contents_mol);
    let up_pa = bank_pa.min(p_pa + over_pa);
    if up_pa <= p_pa {
        return (0.0, b.t_k);
    }
    let rate = through_mol_s(area_m2, model.gases.nozzle(bank), up_pa, b.t_k, p_pa)
        .min(0.05 * contents_mol);
    (rate, model.arrives_k(bank, bank_pa, p_pa))
}
