//! Care of canisters and analysers, and what it takes from the banks.

use super::hand::Hand;
use crate::steel::SamplePoint;
use deepstay_core::gas::Species;
use deepstay_core::record::{Refused, Sink, What};
use deepstay_core::units::*;

/// Sample of a calibration or analysis, mol: about 2.5 L of free gas (house rule).
const SAMPLE_MOL: f64 = 0.11;
/// ppO2 of the calibration gas as the analyser sees it, bar (house rule).
const CALIBRATION_PPO2_BAR: f64 = 0.4;
/// ppCO2 of the calibration gas, bar (house rule).
const CALIBRATION_PPCO2_BAR: f64 = 0.005;
/// Depth at which a depth gauge is set against the standard gauge, msw.
const STANDARD_GAUGE_MSW: f64 = 100.0;

impl<S: Sink> Hand<'_, S> {
    /// Puts a fresh canister in.
    pub fn change_canister(&mut self, c: CompartmentId) -> Result<(), Refused> {
        let i = self.index(c)?;
        if self.steel().compartments[i].scrubber.is_none() {
            return Err(Refused::NoSuchThing);
        }
        self.touch(i);
        let node = self.plant.changing().trajectories.anchor_mut(i);
        let what = What::Canister {
            compartment: c,
            hours: node.bed_s / 3600.0,
            moles: node.bed_mol,
        };
        (node.bed_mol, node.bed_s) = (0.0, 0.0);
        self.tell(what);
        Ok(())
    }

    /// Calibrates an analyser against its calibration gas, or a depth gauge against the standard gauge.
    pub fn calibrate(&mut self, id: InstrumentId) -> Result<(), Refused> {
        let ins = self
            .steel()
            .instruments
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?;
        let quantity = ins.quantity;
        let (SamplePoint::Compartment(compartment) | SamplePoint::Sea(compartment)) = ins.labelled
        else {
            return Err(Refused::NoSuchThing);
        };
        let standard = match quantity {
            Quantity::PpO2 => CALIBRATION_PPO2_BAR,
            Quantity::PpCo2 => CALIBRATION_PPCO2_BAR,
            Quantity::Depth | Quantity::SeaDepth => STANDARD_GAUGE_MSW,
            _ => return Err(Refused::NoSuchThing),
        };
        let by_gas = matches!(quantity, Quantity::PpO2 | Quantity::PpCo2);
        let t_s = self.t_s;
        let instruments = self.plant.changing().instruments;
        let as_found = instruments.probe_mut(id).calibrate(t_s, standard);
        self.tell(What::Calibrated {
            instrument: id,
            quantity,
            compartment,
            as_found,
            as_left: standard,
        });
        let bottle = (0u8..)
            .zip(&self.steel().banks)
            .find(|(_, b)| b.duty == Duty::Calibration)
            .map(|(b, _)| BankId(b));
        if let (true, Some(bank)) = (by_gas, bottle) {
            self.sample_bank(bank);
        }
        self.plant.look_again(t_s);
        Ok(())
    }

    /// Takes a sample of a bank to the panel's analyser.
    pub fn analyse(&mut self, bank: BankId) -> Result<(), Refused> {
        if bank.index() >= self.steel().banks.len() {
            return Err(Refused::NoSuchThing);
        }
        let o2 = self.plant.view().bank(bank, self.t_s).fractions()[Species::O2];
        self.plant.changing().stock.set_analysed_o2(bank, o2);
        self.sample_bank(bank);
        self.tell(What::Analysed { bank, o2 });
        Ok(())
    }

    fn sample_bank(&mut self, bank: BankId) {
        let view = self.plant.view();
        let n_mol = view.bank(bank, self.t_s);
        if n_mol.total() <= 10.0 * SAMPLE_MOL {
            return;
        }
        let moles = n_mol.fractions().scaled(SAMPLE_MOL);
        self.plant.changing().stock.add(bank, &moles, -1.0);
        self.tell(What::Moved {
            from: Place::Bank(bank),
            to: Place::Atmosphere,
            purpose: Purpose::Sample,
            moles,
        });
    }
}
