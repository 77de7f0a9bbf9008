//! Lines, and the bank that reclaimed gas goes to.

use super::hand::Hand;
use deepstay_core::record::{LineName, Refused, Sink, What};
use deepstay_core::units::*;

/// A bank set aside for reclaimed gas, and empty at the start, is filled to this, Pa absolute (house rule).
const RECLAIM_UP_TO_PA: f64 = 1.5e7;

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
        self.choose_reclaim_bank(i);
        self.plant.gather_gates();
        self.tell(What::LinedUp { line, bank });
        Ok(())
    }

    /// Reclaimed gas goes to the reclaim's own bank while that holds less than it was filled with.
    pub fn choose_reclaim_bank(&mut self, i: usize) {
        let view = self.plant.view();
        let (steel, set) = (view.model.steel, view.model.controls.of(i));
        let reclaim = steel
            .reclaim
            .filter(|_| set.reclaim.on && !set.reclaim.failed);
        let to = reclaim.and_then(|r| {
            let filled_pa = steel.banks[r.bank.index()].fill_gauge_pa + steel.surface_pa;
            let room = view.bank_pa(r.bank, self.t_s) < filled_pa.max(RECLAIM_UP_TO_PA);
            if room { Some(r.bank) } else { set.lines.main }
        });
        self.setting_mut(i).reclaim.to = to;
    }
}
