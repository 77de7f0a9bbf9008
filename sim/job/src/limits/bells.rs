//! A bell with people in it, or out of it: how it stands (mated, shut, its bottom door open) and which limits hold
//! then. Shut, it keeps the depth it was shut at; sent to a depth or clamped to its trunk, it may go from there to
//! where it is to be opened. With its bottom door open it is held to the sea's depth there: with more gas than that
//! some goes out, and for what it has too little of water comes in.

use super::kept::Wanted;
use super::panel;
use super::people::Occupied;
use super::{Ordered, Sight, of_rules};
use deepstay_core::record::{AlarmOf, Aspect, Bound, LimitBy};
use deepstay_core::units::*;
use deepstay_plant::Steel;
use serde::{Deserialize, Serialize};

/// Seconds between two looks at the sea at an open bell: a tide moves it by less than its limits are wide.
const SEA_EVERY_S: i64 = 600;

/// How a bell stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Stands {
    used: bool,
    clamped: bool,
    hatch_open: bool,
    bottom_open: bool,
    /// The sea at its open bottom door when that was last looked at, true and indicated, msw.
    sea_msw: Option<(f64, f64)>,
    /// Where it was last sent, msw; zero is the deck.
    sent_msw: f64,
    /// The least and the greatest depth ordered of the chambers of its divers.
    home_msw: Option<(f64, f64)>,
}

/// One bell.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(super) struct BellWatch {
    bell: CompartmentId,
    stands: Stands,
    sent_msw: f64,
    /// Depth when it was last opened or shut, true and indicated.
    shut_at: (f64, f64),
}

/// What holds in a bell from now on.
pub(super) struct BellLimits {
    pub atmosphere: Vec<Wanted>,
    pub depth: Vec<Wanted>,
    pub rate: Vec<Wanted>,
}

impl BellWatch {
    pub fn new(bell: CompartmentId) -> BellWatch {
        BellWatch {
            bell,
            stands: Stands::default(),
            sent_msw: 0.0,
            shut_at: (0.0, 0.0),
        }
    }

    pub fn bell(&self) -> CompartmentId {
        self.bell
    }

    /// The bell is sent to a depth.
    pub fn sent(&mut self, to_msw: f64) {
        self.sent_msw = to_msw;
    }

    /// The limits that hold from now on; none where those in force go on.
    pub fn look(
        &mut self,
        at: &Occupied,
        ordered: &[Ordered],
        sight: &Sight,
    ) -> Option<BellLimits> {
        let now = self.stands(at, ordered, sight);
        let before = std::mem::replace(&mut self.stands, now);
        if now == before {
            return None;
        }
        let moved = |s: &Stands| (s.used, s.hatch_open, s.bottom_open);
        if moved(&now) != moved(&before) {
            self.shut_at = depths(self.bell, sight);
        }
        Some(self.limits(sight))
    }

    fn stands(&self, at: &Occupied, ordered: &[Ordered], sight: &Sight) -> Stands {
        if !at.uses(self.bell) {
            return Stands::default();
        }
        let positions = sight.plant.positions();
        let doors = Doors::of(sight.plant.steel(), self.bell);
        let bottom_open = doors.bottom.is_some_and(|d| positions.door_open(d));
        let home = ordered
            .iter()
            .filter(|o| at.keeps(o.compartment))
            .map(|o| (o.to_msw, o.to_msw))
            .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        Stands {
            used: true,
            clamped: doors.hatch.is_some_and(|d| positions.door_clamped(d)),
            hatch_open: doors.hatch.is_some_and(|d| positions.door_open(d)),
            bottom_open,
            sea_msw: bottom_open.then(|| self.sea(sight)),
            sent_msw: self.sent_msw,
            home_msw: home,
        }
    }

    /// The sea at its open bottom door: tide and winch move it, and it is looked at again every so often.
    fn sea(&self, sight: &Sight) -> (f64, f64) {
        match self.stands.sea_msw {
            Some(known) if sight.now_s % SEA_EVERY_S != 0 => known,
            _ => measured(self.bell, Quantity::SeaDepth, sight),
        }
    }

    /// The next look at the sea.
    pub fn next_s(&self, now_s: i64) -> i64 {
        match self.stands.sea_msw {
            Some(_) => now_s - now_s.rem_euclid(SEA_EVERY_S) + SEA_EVERY_S,
            None => i64::MAX,
        }
    }

    fn limits(&self, sight: &Sight) -> BellLimits {
        let Stands {
            used,
            clamped,
            hatch_open,
            bottom_open,
            sea_msw,
            sent_msw,
            home_msw,
        } = self.stands;
        let (mut atmosphere, mut depth, mut rate) = (Vec::new(), Vec::new(), Vec::new());
        if used {
            let (rules, accepted) = (&sight.scenario.rules, &sight.scenario.accepted);
            let all = rules.bell_limits(bottom_open, accepted);
            for wanted in of_rules(&all, self.bell, true, sight.rows) {
                match (wanted.name.quantity, wanted.name.aspect) {
                    (_, Aspect::Rate) => rate.push(wanted),
                    (Quantity::Depth, _) => depth.push(wanted),
                    _ => atmosphere.push(wanted),
                }
            }
            let own =
                |of: fn(AlarmOf) -> bool| panel::own(&sight.scenario.steel, self.bell, None, of);
            atmosphere.extend(own(panel::of_atmosphere));
            depth.extend(own(|of| of == AlarmOf::DepthDeviation));
            rate.extend(own(|of| of == AlarmOf::DepthRate));
        }
        // Open to the chambers its depth is theirs.
        if hatch_open {
            depth.clear();
        }
        let goes_to = [
            Some(sent_msw)
                .filter(|d| *d > 0.0 && !clamped)
                .map(|d| (d, d)),
            home_msw.filter(|_| clamped),
        ];
        let between = |from: f64| {
            let ends = goes_to.iter().flatten();
            ends.fold((from, from), |a, b| (a.0.min(b.0), a.1.max(b.1)))
        };
        let from = |off: f64, bound, (shallow, deep): (f64, f64)| match bound {
            Bound::High => deep + off,
            Bound::Low => shallow - off,
        };
        // What an open bell holds stands at the sea's pressure, or water comes in, or gas goes out.
        let (truly, indicated) = sea_msw.unwrap_or(self.shut_at);
        let (truly, indicated) = (between(truly), between(indicated));
        for w in &mut depth {
            let by_rules = matches!(w.name.by, LimitBy::Row(_));
            if sea_msw.is_some() && by_rules && w.name.bound == Bound::Low {
                // Its gauge shows the sea's depth all the same: what lacks is under water.
                (w.name.aspect, w.name.bound) = (Aspect::Water, Bound::High);
                continue;
            }
            w.truly = from(w.truly, w.name.bound, truly);
            w.indicated = from(w.indicated, w.name.bound, indicated);
        }
        BellLimits {
            atmosphere,
            depth,
            rate,
        }
    }
}

/// Depth of a vessel, true and as its gauge indicates.
pub(super) fn depths(at: CompartmentId, sight: &Sight) -> (f64, f64) {
    measured(at, Quantity::Depth, sight)
}

/// A quantity of a vessel, true and as its instrument indicates.
fn measured(at: CompartmentId, quantity: Quantity, sight: &Sight) -> (f64, f64) {
    let truly = sight.plant.truth(at, quantity, sight.now_s);
    let gauge = sight
        .plant
        .steel()
        .instrument(at, quantity, Channel::Primary);
    let indicated = gauge.map_or(truly, |id| sight.plant.read(id, sight.now_s));
    (truly, indicated)
}

/// The doors of a bell.
struct Doors {
    hatch: Option<DoorId>,
    bottom: Option<DoorId>,
}

impl Doors {
    fn of(steel: &Steel, bell: CompartmentId) -> Doors {
        let of = |outside: bool| {
            (0u8..)
                .zip(&steel.doors)
                .find(|(_, d)| d.touches(bell) && d.b.is_none() == outside)
                .map(|(i, _)| DoorId(i))
        };
        Doors {
            hatch: of(false),
            bottom: of(true),
        }
    }
}
