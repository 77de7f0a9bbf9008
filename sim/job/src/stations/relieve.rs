//! How an automatic station finds its feet after somebody else sat there: it shuts what it finds open, and goes on
//! from what the panel shows and the board says, wherever its own plan had got to before.

use super::context::Look;
use super::layout::{BellLayout, LevelLayout};
use deepstay_core::record::{BreathingPath, LineName, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;

/// Shuts every handle of a vessel that gas goes through to or from.
fn shut_vessel(look: &mut Look, c: CompartmentId) {
    for (valve, purpose) in [
        (ValveName::BlowDown(c), Purpose::MakeUp),
        (ValveName::Oxygen(c), Purpose::Oxygen),
        (ValveName::Exhaust(c), Purpose::Bleed),
        (ValveName::Bleed(c), Purpose::Bleed),
        (ValveName::Drain(c), Purpose::Flush),
    ] {
        look.valve(valve, 0.0, purpose);
    }
}

/// Shuts every handle of a level's chambers and of the doors in and around it.
pub fn shut_level(look: &mut Look, layout: &LevelLayout) {
    for &c in &layout.members {
        shut_vessel(look, c);
    }
    set_back(look, layout.members.iter().copied());
    for &door in layout.within.iter().chain(&layout.around) {
        look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
    }
}

/// Shuts every handle of a bell, its trunk and their doors.
pub fn shut_bell(look: &mut Look, at: &BellLayout) {
    shut_vessel(look, at.bell);
    shut_vessel(look, at.trunk);
    set_back(look, [at.bell, at.trunk].into_iter());
    let doors = at.trunk_doors.iter().map(|(door, _)| *door);
    for door in doors.chain(at.hatch) {
        look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
    }
}

/// Sets back what it never turns itself: regulators as they are fitted, analysers to their own vessels, the stops of
/// all banks open.
pub fn set_back(look: &mut Look, vessels: impl Iterator<Item = CompartmentId>) {
    let scenario = std::sync::Arc::clone(&look.kit.scenario);
    let steel = &scenario.steel;
    for c in vessels {
        for line in LineName::of(c) {
            let over_pa = steel.regulator_fitted_pa(line);
            look.steel(SteelOrder::Regulator { line, over_pa });
        }
        let gauges = &look.kit.layout.gauges[c.index()];
        for instrument in gauges.ppo2.into_iter().chain(gauges.ppco2).flatten() {
            look.steel(SteelOrder::SampleFrom {
                instrument,
                from: c,
            });
        }
    }
    for bank in (0..steel.banks.len() as u8).map(BankId) {
        look.steel(SteelOrder::BankStop { bank, shut: false });
    }
}

/// Whether anybody in a level's chambers breathes from BIBS.
pub fn on_bibs(look: &Look, layout: &LevelLayout) -> bool {
    look.crew().any(|diver| {
        look.panel.path(diver) == BreathingPath::Bibs
            && matches!(look.panel.whereabouts(diver), Whereabouts::In(c) if layout.members.contains(&c))
    })
}

/// Where a bell is found with somebody to bring home, if there is anybody.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BellFound {
    /// On its trunk, nobody in it.
    Empty,
    /// Divers in the water.
    DiversOut,
    /// Bottom door open, everybody in it.
    BottomOpen,
    /// Shut, off its trunk, in the water or on its way.
    Below,
    /// Shut, at the deck, not mated.
    AtDeck,
    /// Mated, shut off from the chambers.
    Mated,
    /// Mated and open to the chambers.
    Open,
}

/// What lamps, gauges and voices say of a bell.
pub fn find_bell(look: &Look, at: &BellLayout) -> BellFound {
    let there = |to: Whereabouts| look.crew().any(|d| look.panel.whereabouts(d) == to);
    let mated = at.hatch.is_none_or(|hatch| look.panel.clamped(hatch));
    let bottom_open = at.bottom.is_some_and(|door| look.panel.open(door));
    let joined = at.hatch.is_none_or(|hatch| look.panel.open(hatch))
        && at
            .trunk_doors
            .iter()
            .any(|(door, _)| look.panel.open(*door));
    match () {
        () if there(Whereabouts::Water(at.bell)) => BellFound::DiversOut,
        () if !mated && bottom_open => BellFound::BottomOpen,
        () if !mated && look.sea(at.bell) > AT_DECK_MSW => BellFound::Below,
        () if !mated => BellFound::AtDeck,
        () if !there(Whereabouts::In(at.bell)) => BellFound::Empty,
        () if joined => BellFound::Open,
        () => BellFound::Mated,
    }
}

/// What the sea gauge of a bell on deck may show, msw.
const AT_DECK_MSW: f64 = 0.05;
