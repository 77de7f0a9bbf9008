//! Breathing paths: masks, and divers' main and secondary gas. What is breathed comes from a bank; where it
//! goes depends on the path.

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::state::load::PathLoad;
use crate::steel::MAX_BANKS;
use deepstay_core::gas::{self, Amounts, Species};
use deepstay_core::units::*;

/// Temperature at which breathed gas is counted, K: 15 degC, as the trade counts free gas.
const BREATHED_K: f64 = ZERO_C_K + 15.0;

/// Where what is breathed out of a path goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exhaled {
    /// Out of the spread.
    Overboard,
    /// Into the compartment.
    Inside,
    /// To the reclaim.
    Reclaimed,
}

/// A path with those who breathe from it.
pub(crate) struct Path<'a> {
    /// The slot of its gas.
    pub slot: Slot,
    /// Bank lined up to it.
    pub bank: Option<BankId>,
    /// What is breathed.
    pub load: &'a PathLoad,
    /// Pressure at which it is breathed, Pa.
    pub p_pa: f64,
    /// Where it goes.
    pub exhaled: Exhaled,
}

/// Flows along a path.
pub(crate) fn find(model: &Model, path: &Path, bank_mol: &[f64; MAX_BANKS], f: &mut Flows) {
    let (Some(bank), true) = (path.bank, path.load.ventilation_m3_s > 0.0) else {
        return;
    };
    if !model.gives_breath(
        model.bank_holding_pa(bank, bank_mol[bank.index()]),
        path.p_pa,
    ) {
        return;
    }
    let (mix, load) = (model.gases.mix(bank), &path.load.load);
    let breathed = gas::state::total_moles(mix, path.p_pa, path.load.ventilation_m3_s, BREATHED_K);
    let mut gas_out = mix.scaled(breathed);
    let mut to_body = Amounts::ZERO;
    to_body[Species::O2] = load.o2_mol_s.min(gas_out[Species::O2]);
    gas_out[Species::O2] -= to_body[Species::O2];
    let mut breath = Amounts::ZERO;
    breath[Species::Co2] = load.co2_mol_s;
    breath[Species::H2o] = load.h2o_mol_s;
    let [gas_slot, body_slot, breath_slot] = path.slot.of_path();
    let mut kept_out = gas_out;
    if let (Slot::MainGas, Some(r), true) = (
        path.slot,
        model.steel.reclaim,
        path.exhaled == Exhaled::Reclaimed,
    ) {
        f.set(Slot::MainReclaimed, Rate::fixed(gas_out.scaled(r.recovery)));
        kept_out = gas_out.scaled(1.0 - r.recovery);
    }
    f.set(gas_slot, Rate::fixed(kept_out));
    f.set(body_slot, Rate::fixed(to_body));
    f.set(breath_slot, Rate::fixed(breath));
    if path.exhaled == Exhaled::Inside {
        // No overboard dump in a bell: what is breathed out stays inside.
        for (source, (gas, breath)) in f.source.iter_mut().zip(gas_out.0.iter().zip(breath.0)) {
            *source += gas + breath;
        }
    }
}
