//! The alarms of what feeds the lines that are breathed from: a bank, or the loop, that has no more than so much over
//! what the line needs to give a breath. In force while somebody breathes from the line, so that whoever sits there
//! hears it before those who breathe feel it; a line that nothing feeds rings at once.

use super::kept::Group;
use super::panel;
use super::people::Occupied;
use super::{LimitBook, Sight};
use deepstay_core::record::{AlarmOf, Sink};
use deepstay_core::units::*;

impl LimitBook {
    /// Somebody has begun to breathe from a line, or nobody does any longer.
    pub(super) fn look_at_supplies(
        &mut self,
        before: &Occupied,
        sight: &mut Sight,
        sink: &mut impl Sink,
    ) {
        for c in (0..sight.scenario.steel.compartments.len() as u8).map(CompartmentId) {
            let now = self.at;
            if now.breathed_lines(c).eq(before.breathed_lines(c)) {
                continue;
            }
            let breathed = |of| match of {
                AlarmOf::Supply(line) => now.breathed_lines(c).any(|l| l == line),
                _ => false,
            };
            let wanted = panel::own(&sight.scenario.steel, c, None, breathed);
            self.keep(c, Group::Supply, &wanted, sight, sink);
        }
    }
}
