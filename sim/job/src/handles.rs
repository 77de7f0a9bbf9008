//! Which valves a vessel has that somebody can turn.

use deepstay_core::record::ValveName;
use deepstay_core::units::*;
use deepstay_plant::{Compartment, Steel};

/// The handles at a vessel: those of its plate, and the equalising valves of the doors that are counted as its own.
pub(super) fn handles(
    steel: &Steel,
    c: CompartmentId,
    plate: &Compartment,
) -> impl Iterator<Item = ValveName> {
    let own = [
        (ValveName::BlowDown(c), plate.blow_down_m2),
        (ValveName::Oxygen(c), plate.oxygen_m2),
        (ValveName::Bleed(c), plate.bleed_m2),
        (ValveName::Exhaust(c), plate.exhaust_m2),
        (ValveName::Drain(c), plate.drain_m2),
    ];
    let doors = (0u8..).map(DoorId).zip(&steel.doors);
    let equalise = doors
        .filter(move |(_, d)| d.a == c && d.equalise_m2 > 0.0)
        .map(|(id, _)| ValveName::Equalise(id));
    own.into_iter()
        .filter(|(_, area_m2)| *area_m2 > 0.0)
        .map(|(valve, _)| valve)
        .chain(equalise)
}
