//! Breathing paths from banks: masks, and divers' main and secondary gas on open circuit. Where what is breathed goes
//! depends on the path.

use super::flow::Flows;
use crate::books::slot::{Rate, Slot};
use crate::model::Model;
use crate::state::banks::{BankGas, BanksAt};
use crate::state::load::PathLoad;
use deepstay_core::gas::{self, Amounts, Species};
use deepstay_core::units::*;

/// Temperature at which breathed gas is counted, K: 15 degC, as the trade counts free gas.
const BREATHED_K: f64 = ZERO_C_K + 15.0;

/// A line gives nothing any more once less than so many seconds of what is drawn is left in its bank, s.
const LEAST_BREATH_S: f64 = 1.0;

/// Where what is breathed out of a path goes.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exhaled {
    /// Out of the spread.
    Overboard,
    /// Into the compartment.
    Inside,
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

/// Gas drawn along a path, mol/s.
pub(crate) fn breathed_mol_s(mix: &Amounts, p_pa: f64, load: &PathLoad) -> f64 {
    gas::state::total_moles(mix, p_pa, load.ventilation_m3_s, BREATHED_K)
}

/// Whether a bank gives so much a second at a pressure: it holds at least a second of it above what stays behind.
pub(crate) fn gives(model: &Model, bank: BankId, gas: &BankGas, mol_s: f64, p_pa: f64) -> bool {
    over_pa(model, bank, gas, mol_s, p_pa) > 0.0
}

/// What a bank has, less a second of what is drawn, over what its regulator wants for those at a pressure, Pa.
pub(crate) fn over_pa(model: &Model, bank: BankId, gas: &BankGas, mol_s: f64, p_pa: f64) -> f64 {
    let left_mol = (gas.spare_mol - mol_s * LEAST_BREATH_S).max(0.0);
    model.bank_holding_pa(bank, gas, left_mol) - p_pa - model.steel.breathing_over_pa
}

/// Flows along a path.
pub(crate) fn find(model: &Model, path: &Path, banks: &BanksAt, f: &mut Flows) {
    let (Some(bank), true) = (path.bank, path.load.ventilation_m3_s > 0.0) else {
        return;
    };
    let gas = &banks.gas[bank.index()];
    let (mix, load) = (&gas.mix, &path.load.load);
    let breathed = breathed_mol_s(mix, path.p_pa, path.load);
    if !gives(model, bank, gas, breathed, path.p_pa) {
        return;
    }
    let mut gas_out = mix.scaled(breathed);
    let mut to_body = Amounts::ZERO;
    to_body[Species::O2] = load.o2_mol_s.min(gas_out[Species::O2]);
    gas_out[Species::O2] -= to_body[Species::O2];
    let mut breath = Amounts::ZERO;
    breath[Species::Co2] = load.co2_mol_s;
    breath[Species::H2o] = load.h2o_mol_s;
    let [gas_slot, body_slot, breath_slot] = path.slot.of_path();
    f.set(gas_slot, Rate::fixed(gas_out));
    f.set(body_slot, Rate::fixed(to_body));
    f.set(breath_slot, Rate::fixed(breath));
    if path.exhaled == Exhaled::Inside {
        // No overboard dump in a bell: what is breathed out stays inside.
        for (source, (gas, breath)) in f.source.iter_mut().zip(gas_out.0.iter().zip(breath.0)) {
            *source += gas + breath;
        }
    }
}
