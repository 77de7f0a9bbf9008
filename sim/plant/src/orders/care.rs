//! Care of canisters and analysers, and what it takes from the banks.

use super::hand::Hand;
use crate::instruments::probe::Bottle;
use crate::monitors::monitor::Watched;
use crate::steel::SamplePoint;
use deepstay_core::gas::Species;
use deepstay_core::record::{Adjusted, Refused, Sink, What};
use deepstay_core::units::*;

/// Sample of a calibration or analysis, mol: about 2.5 L of free gas (house rule).
const SAMPLE_MOL: f64 = 0.11;
/// A bank with no more than so many samples in it gives none (house rule).
const LEAST_SAMPLES: f64 = 10.0;
/// How far the zero of an oxygen analyser can be turned, bar (house figure).
const ZERO_MOST_O2_BAR: f64 = 0.1;
/// How far the zero of a carbon dioxide analyser can be turned, bar (house figure).
const ZERO_MOST_CO2_BAR: f64 = 0.005;
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
        let (as_found, as_left) = instruments.probe_mut(id).calibrate(t_s, standard);
        self.tell(What::Calibrated {
            instrument: id,
            quantity,
            compartment,
            as_found,
            as_left,
        });
        let bottle = (0u8..)
            .zip(&self.steel().banks)
            .find(|(_, b)| b.duty == Duty::Calibration)
            .map(|(b, _)| BankId(b));
        if let (true, Some(bank)) = (by_gas, bottle) {
            self.sample_bank(bank);
        }
        self.look_again_at(id);
        Ok(())
    }

    /// Leads a bottle's gas to an analyser and turns its zero or span until it shows what the bottle is said to hold,
    /// reckoned as all its readings are to the pressure of its vessel.
    pub fn adjust(
        &mut self,
        id: InstrumentId,
        bank: BankId,
        part: Adjusted,
    ) -> Result<(), Refused> {
        let (quantity, compartment) = self.analyser(id)?;
        let plate = self.steel().banks.get(bank.index());
        let label_o2 = plate.ok_or(Refused::NoSuchThing)?.label_o2;
        let (view, t_s) = (self.plant.view(), self.t_s);
        let contents = view.bank(bank, t_s);
        if contents.total() <= LEAST_SAMPLES * SAMPLE_MOL {
            return Err(Refused::NoSupply);
        }
        let bar = match view.model.reclaim_of(compartment.index()) {
            Some(_) => view.model.supplied_pa(t_s as f64),
            None => view.pressure_pa(compartment.index(), t_s),
        } / BAR_PA;
        let gas = match quantity {
            Quantity::PpO2 => Bottle {
                truly: contents.fractions()[Species::O2] * bar,
                said: view.stock.analysed_o2(bank).unwrap_or(label_o2) * bar,
                zero_most: ZERO_MOST_O2_BAR,
            },
            // No label speaks of carbon dioxide: a bottle is said to hold none.
            _ => Bottle {
                truly: contents.fractions()[Species::Co2] * bar,
                said: 0.0,
                zero_most: ZERO_MOST_CO2_BAR,
            },
        };
        if part == Adjusted::Span && gas.said <= 0.0 {
            return Err(Refused::HoldsNone);
        }
        let turned = self.probe_mut(id).adjust(t_s, part, &gas);
        self.sample_bank(bank);
        let (as_found, as_left) = turned.ok_or(Refused::EndOfScrew)?;
        self.tell(What::Adjusted {
            instrument: id,
            quantity,
            compartment,
            bank,
            part,
            as_found,
            as_left,
        });
        self.look_again_at(id);
        Ok(())
    }

    /// Turns an analyser to the sample line of another vessel, or back to its own.
    pub fn sample_from(&mut self, id: InstrumentId, from: CompartmentId) -> Result<(), Refused> {
        let (quantity, own) = self.analyser(id)?;
        // Who has an analyser of his own has a sample line that another can be turned to.
        let line = self.steel().instrument(from, quantity, Channel::Primary);
        line.ok_or(Refused::NoSuchThing)?;
        let to = (from != own).then_some(from);
        if self.probe_mut(id).turned() == to {
            return Ok(());
        }
        let leads_to = self.probe_mut(id).turn(to);
        self.join(id, leads_to);
        self.tell(What::SampleTurned {
            instrument: id,
            quantity,
            of: own,
            from,
        });
        self.look_again_at(id);
        Ok(())
    }

    /// What an analyser of a vessel's gas is for, and the vessel.
    fn analyser(&self, id: InstrumentId) -> Result<(Quantity, CompartmentId), Refused> {
        let plate = self.steel().instruments.get(id.index());
        let plate = plate.ok_or(Refused::NoSuchThing)?;
        match (plate.quantity, plate.labelled) {
            (Quantity::PpO2 | Quantity::PpCo2, SamplePoint::Compartment(c)) => {
                Ok((plate.quantity, c))
            }
            _ => Err(Refused::NoSampleLine),
        }
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

    /// An instrument shows something else from now on.
    pub(crate) fn look_again_at(&mut self, id: InstrumentId) {
        let clusters = self.plant.watching().clusters(Watched::Shown(id));
        self.plant.look_again(clusters, self.t_s);
    }

    fn sample_bank(&mut self, bank: BankId) {
        let view = self.plant.view();
        let n_mol = view.bank(bank, self.t_s);
        if n_mol.total() <= LEAST_SAMPLES * SAMPLE_MOL {
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
        let clusters = self.plant.watching().bank_clusters(bank);
        self.plant.look_again(clusters, self.t_s);
    }
}
