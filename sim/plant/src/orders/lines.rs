//! Lines.

use super::hand::Hand;
use deepstay_core::record::{LineName, Refused, Sink, What};
use deepstay_core::units::*;

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
        self.controls_mut().line_up(line, bank);
        self.plant.gather_gates();
        Ok(())
    }
}
