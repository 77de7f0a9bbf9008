//! Lines.

use super::hand::Hand;
use deepstay_core::record::{LineName, Refused, Sink, What};
use deepstay_core::units::*;
use std::sync::Arc;

/// What a regulator can be set to at the most over the pressure behind it, Pa (house figure).
const MOST_OVER_PA: f64 = 50e5;

impl<S: Sink> Hand<'_, S> {
    /// Lines a bank up to a line.
    pub fn line_up(&mut self, line: LineName, bank: BankId) -> Result<(), Refused> {
        if bank.index() >= self.steel().banks.len() {
            return Err(Refused::NoSuchThing);
        }
        self.lead(line, Some(bank))?;
        self.tell(What::LinedUp { line, bank });
        Ok(())
    }

    /// Shuts a line off at its bank.
    pub fn line_off(&mut self, line: LineName) -> Result<(), Refused> {
        self.lead(line, None)?;
        self.tell(What::LineOff { line });
        Ok(())
    }

    fn lead(&mut self, line: LineName, bank: Option<BankId>) -> Result<(), Refused> {
        let i = self.index(line.compartment())?;
        self.give_and_touch(i);
        let steel = Arc::clone(self.plant.changing().setup.steel());
        self.controls_mut().line_up(line, bank, &steel);
        self.plant.gather_gates();
        Ok(())
    }

    /// Shuts or opens the stop of a bank. Whatever draws from it, or fills it, is booked until now.
    pub fn stop_bank(&mut self, bank: BankId, shut: bool) -> Result<(), Refused> {
        if bank.index() >= self.steel().banks.len() {
            return Err(Refused::NoSuchThing);
        }
        if self.controls().bank_stopped(bank) == shut {
            return Ok(());
        }
        self.give_flows();
        for i in 0..self.steel().compartments.len() {
            self.touch(i);
        }
        let steel = Arc::clone(self.plant.changing().setup.steel());
        self.controls_mut().stop_bank(bank, shut, &steel);
        self.plant.gather_gates();
        self.tell(What::BankStop { bank, shut });
        Ok(())
    }

    /// Sets the regulator of a line.
    pub fn regulate(&mut self, line: LineName, over_pa: f64) -> Result<(), Refused> {
        if !(0.0..=MOST_OVER_PA).contains(&over_pa) {
            return Err(Refused::OutOfRange);
        }
        let i = self.index(line.compartment())?;
        if self.controls().regulator_pa(line) == over_pa {
            return Ok(());
        }
        self.give_and_touch(i);
        let steel = Arc::clone(self.plant.changing().setup.steel());
        self.controls_mut().set_regulator(line, over_pa, &steel);
        self.plant.gather_gates();
        let over_bar = over_pa / BAR_PA;
        self.tell(What::RegulatorSet { line, over_bar });
        Ok(())
    }
}
