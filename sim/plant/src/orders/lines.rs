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
        let (LineName::Supply(c)
        | LineName::Oxygen(c)
        | LineName::Bibs(c)
        | LineName::DiverMain(c)
        | LineName::DiverSecondary(c)) = line;
        let i = self.index(c)?;
        self.give_and_touch(i);
        self.controls_mut().line_up(line, bank);
        self.plant.gather_gates();
        self.tell(What::LinedUp { line, bank });
        Ok(())
    }
}
