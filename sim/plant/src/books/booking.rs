//! What a slot's flow is booked under at present: from where, to where, for what.

use super::slot::Slot;
use crate::model::Model;
use deepstay_core::units::*;

/// Places and purpose that a slot is booked under.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Booking {
    /// Where it comes from.
    pub from: Place,
    /// Where it goes.
    pub to: Place,
    /// What it is for.
    pub purpose: Purpose,
}

impl Booking {
    /// Banks that the flow draws from (-1) or fills (+1).
    pub fn banks(&self) -> impl Iterator<Item = (BankId, f64)> {
        [(self.from, -1.0), (self.to, 1.0)]
            .into_iter()
            .filter_map(|(place, sign)| match place {
                Place::Bank(bank) => Some((bank, sign)),
                _ => None,
            })
    }
}

/// Places and purpose a slot's flow is booked under now; none while it has no bank.
pub(crate) fn booking(model: &Model, i: usize, slot: Slot) -> Option<Booking> {
    let set = model.controls.of(i);
    let c = &model.steel.compartments[i];
    let id = CompartmentId(i as u8);
    let here = Place::Compartment(id);
    let in_bell = c.bell.is_some();
    let air = Place::Atmosphere;
    let outside = if in_bell { Place::Sea } else { air };
    let book = |from, to, purpose| Some(Booking { from, to, purpose });
    match slot {
        Slot::Leak => book(here, outside, Purpose::Leak),
        Slot::FaultLeak => book(here, outside, Purpose::Fault),
        Slot::Relief => book(here, outside, Purpose::Relief),
        Slot::Exhaust => book(here, air, set.valves.exhaust.purpose),
        Slot::Bleed => book(here, air, set.valves.bleed.purpose),
        Slot::RecoveredExhaust | Slot::RecoveredBleed => book(
            here,
            Place::Bank(model.steel.recovery?.bank),
            Purpose::Recovery,
        ),
        Slot::Sample => book(here, air, Purpose::Sample),
        Slot::Supply => {
            let purpose = match model.reclaim_of(i) {
                Some(_) => Purpose::DiverGas,
                None => set.valves.blow_down.purpose,
            };
            book(Place::Bank(set.lines.supply?), here, purpose)
        }
        Slot::Oxygen => book(Place::Bank(set.lines.oxygen?), here, Purpose::Oxygen),
        Slot::Metabolism => book(here, Place::Body, Purpose::Metabolism),
        Slot::Absorption => book(here, Place::Absorbent(id), Purpose::Absorption),
        Slot::Coil | Slot::WallWater => book(here, Place::Drained(id), Purpose::Water),
        Slot::Evaporation => book(Place::LiquidWater, here, Purpose::Water),
        Slot::Spill if in_bell && set.open_outside => book(here, Place::Sea, Purpose::BellSpill),
        Slot::Spill if set.open_outside => book(here, air, Purpose::LockRun),
        Slot::Spill => book(here, air, set.valves.exhaust.purpose),
        Slot::TopUp => book(Place::Bank(set.lines.supply?), here, Purpose::BellAndTrunk),
        Slot::Outward => book(here, air, Purpose::LockRun),
        Slot::BibsGas => book(
            Place::Bank(set.lines.bibs?),
            if in_bell { here } else { air },
            Purpose::Bibs,
        ),
        Slot::BibsBody => book(Place::Bank(set.lines.bibs?), Place::Body, Purpose::Bibs),
        Slot::BibsBreath => book(
            Place::Body,
            if in_bell { here } else { air },
            Purpose::Metabolism,
        ),
        Slot::MainGas => book(Place::Bank(set.lines.main?), Place::Sea, Purpose::DiverGas),
        Slot::MainBody => book(Place::Bank(set.lines.main?), Place::Body, Purpose::DiverGas),
        Slot::MainBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
        Slot::SecondaryGas => book(
            Place::Bank(set.lines.secondary?),
            Place::Sea,
            Purpose::DiverGas,
        ),
        Slot::SecondaryBody => book(
            Place::Bank(set.lines.secondary?),
            Place::Body,
            Purpose::DiverGas,
        ),
        Slot::SecondaryBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
        Slot::LoopLost => book(here, Place::Sea, Purpose::DiverGas),
        Slot::LoopBody => book(here, Place::Body, Purpose::DiverGas),
        Slot::LoopReturned => book(here, here, Purpose::Reclaimed),
        Slot::LoopBreath => book(Place::Body, here, Purpose::Metabolism),
        Slot::LoopBreathLost => book(Place::Body, Place::Sea, Purpose::Metabolism),
    }
}
