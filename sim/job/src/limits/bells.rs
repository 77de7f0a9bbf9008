//! A bell with people in it, or out of it: how it stands (mated, shut, its bottom door open) and which limits hold
//! then. Shut, it keeps the depth it was shut at; sent to a depth or clamped to its trunk, it may go from there to
//! where it is to be opened. With its bottom door open it is held to the sea's depth there.

use super::kept::Wanted;
use super::panel;
use super::people::Occupied;
use super::{Ordered, Sight, of_rules};
use deepstay_core::record::{AlarmOf, Aspect, Bound};
use deepstay_core::units::*;
use deepstay_plant::Steel;
use serde::{Deserialize, Serialize};

/// How a bell stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
struct Stands {
    used: bool,
    clamped: bool,
    hatch_open: bool,
    bottom_open: bool,
    /// The sea at its open bottom door, in steps of half a metre: tide and winch move it.
    sea_half_msw: Option<i64>,
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
        let sea_msw = || {
            sight
                .plant
                .truth(self.bell, Quantity::SeaDepth, sight.now_s)
        };
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
            sea_half_msw: bottom_open.then(|| libm::round(2.0 * sea_msw()) as i64),
            sent_msw: self.sent_msw,
            home_msw: home,
        }
    }

    fn limits(&self, sight: &Sight) -> BellLimits {
        let Stands {
            used,
            clamped,
            hatch_open,
            bottom_open,
            sea_half_msw: _,
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
        let (truly, indicated) = match bottom_open {
            // What it holds stands at the sea's pressure, or water comes in, or gas goes out.
            true => {
                let (truly, indicated) = measured(self.bell, Quantity::SeaDepth, sight);
                ((truly, truly), (indicated, indicated))
            }
            false => (between(self.shut_at.0), between(self.shut_at.1)),
        };
        for w in &mut depth {
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
                .find(|(_, d)| (d.a == bell || d.b == Some(bell)) && d.b.is_none() == outside)
                .map(|(i, _)| DoorId(i))
        };
        Doors {
            hatch: of(false),
            bottom: of(true),
        }
    }
}
