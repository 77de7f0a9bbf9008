//! Whether people lost their pressure: from where they were, what was ordered, and the true depths told of.
//!
//! All figures here are choices of the house, made for this tool; common practice has none. They judge a
//! record after the fact and allow nothing: the law, the company's manual and licensed people decide what
//! anybody may be exposed to.

use super::{Aspect, Bound, Entry, LimitName, Phase, Sink, What, Whereabouts};
use crate::units::{CompartmentId, DiverId, Quantity, Truth};
use std::collections::{BTreeMap, BTreeSet};

/// A chamber's people have lost their pressure where it is this much shallower than ordered, msw (house
/// figure), or half way to the surface, whichever comes first.
const LOST_MSW: f64 = 10.0;
/// Less than this is never called lost: the last stop before the surface, msw (house figure).
const LEAST_MSW: f64 = 2.0;
/// A bell works shallower than its divers' chamber; they have lost their pressure when less than this share
/// of the depth ordered there is left (house figure; upward excursions of the published tables end deeper).
const BELL_KEEPS: f64 = 1.0 / 3.0;
/// Nor does any timetable bring people up this fast, msw/h (house figure: more than half again over the
/// 1 fsw/min, 18.3 msw/h, of a single exhaust step, US Navy Diving Manual, saturation chapter).
const FASTEST_MSW_H: f64 = 30.0;
/// The shortest time between two rows of the log over which a rate is taken, s.
const RATE_OVER_S: i64 = 600;

/// People in a vessel that lost its pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct LostPressure {
    /// The vessel.
    pub compartment: CompartmentId,
    /// When it was first known, s.
    pub at_s: i64,
    /// Who was inside, then or later.
    pub divers: BTreeSet<DiverId>,
    /// The depth they should have had then, or had before it fell too fast, msw.
    pub from_msw: f64,
    /// The least true depth while they were inside, msw.
    pub to_msw: f64,
}

#[derive(Clone, Copy, Debug, Default)]
struct Meant {
    pressing: bool,
    target_msw: f64,
    /// Deepest true depth of a pressing.
    reached_msw: f64,
}

impl Meant {
    /// The depth its people should have now: on the way down what has been reached.
    fn depth_msw(&self) -> f64 {
        if self.pressing {
            self.target_msw.min(self.reached_msw)
        } else {
            self.target_msw
        }
    }
}

/// The sink that follows people's pressure.
#[derive(Clone, Debug, Default)]
pub struct PressureBook {
    at: BTreeMap<DiverId, CompartmentId>,
    home: BTreeMap<DiverId, CompartmentId>,
    meant: BTreeMap<CompartmentId, Meant>,
    last: BTreeMap<CompartmentId, (i64, f64)>,
    lost: BTreeMap<CompartmentId, LostPressure>,
}

impl PressureBook {
    /// Every vessel in which people lost their pressure.
    pub fn lost(&self) -> impl Iterator<Item = &LostPressure> {
        self.lost.values()
    }

    fn inside(&self, at: CompartmentId) -> BTreeSet<DiverId> {
        let inside = self.at.iter().filter(|(_, c)| **c == at);
        inside.map(|(d, _)| *d).collect()
    }

    /// The depth that people in a vessel should have, and the least that is left of it before it is lost.
    fn least(&self, at: CompartmentId, inside: &BTreeSet<DiverId>) -> Option<(f64, f64)> {
        if let Some(meant) = self.meant.get(&at) {
            let depth = meant.depth_msw();
            return Some((depth, depth - (0.5 * depth).clamp(LEAST_MSW, LOST_MSW)));
        }
        let homes = inside.iter().filter_map(|d| self.home.get(d));
        let depth = homes
            .filter_map(|c| self.meant.get(c))
            .map(Meant::depth_msw)
            .reduce(f64::min)?;
        Some((depth, (BELL_KEEPS * depth).min(depth - LEAST_MSW)))
    }

    fn depth(&mut self, now_s: i64, at: CompartmentId, true_msw: f64, row: bool) {
        let inside = self.inside(at);
        let before = if inside.is_empty() {
            self.last.remove(&at)
        } else if row {
            self.last.insert(at, (now_s, true_msw))
        } else {
            None
        };
        if inside.is_empty() {
            return;
        }
        if let Some(meant) = self.meant.get_mut(&at).filter(|m| m.pressing) {
            meant.reached_msw = meant.reached_msw.max(true_msw);
        }
        if let Some((depth, least)) = self.least(at, &inside)
            && true_msw < least
        {
            self.lose(now_s, at, &inside, depth, true_msw);
        }
        // A bell may be brought up from a downward excursion; a chamber keeps to its timetable.
        if let Some((then_s, then_msw)) = before.filter(|_| self.meant.contains_key(&at)) {
            let (passed_s, fell) = (now_s - then_s, then_msw - true_msw);
            if passed_s >= RATE_OVER_S && fell * 3600.0 > FASTEST_MSW_H * passed_s as f64 {
                self.lose(now_s, at, &inside, then_msw, true_msw);
            }
        }
    }

    fn lose(
        &mut self,
        at_s: i64,
        compartment: CompartmentId,
        inside: &BTreeSet<DiverId>,
        from_msw: f64,
        to_msw: f64,
    ) {
        let lost = self.lost.entry(compartment).or_insert(LostPressure {
            compartment,
            at_s,
            divers: BTreeSet::new(),
            from_msw,
            to_msw,
        });
        lost.divers.extend(inside);
        lost.to_msw = lost.to_msw.min(to_msw);
    }
}

impl Sink for PressureBook {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::Diver { diver, to } => {
                self.at.remove(&diver);
                if let Whereabouts::In(c) = to {
                    self.at.insert(diver, c);
                    if self.meant.contains_key(&c) {
                        self.home.insert(diver, c);
                    }
                }
            }
            What::Phase { compartment, phase } => {
                let meant = self.meant.entry(compartment).or_default();
                meant.pressing = phase == Phase::Compression;
                meant.reached_msw = meant.target_msw;
                // They went in before the chamber's first phase was spoken of.
                for diver in self.inside(compartment) {
                    self.home.insert(diver, compartment);
                }
            }
            What::Target {
                compartment,
                depth_msw,
            } => {
                if let Some(meant) = self.meant.get_mut(&compartment) {
                    meant.target_msw = depth_msw;
                }
            }
            What::Logged {
                compartment,
                quantity: Quantity::Depth,
                truth: Truth::True,
                value,
                ..
            } => self.depth(entry.at, compartment, value, true),
            What::Limit {
                name:
                    LimitName {
                        compartment,
                        quantity: Quantity::Depth,
                        aspect: Aspect::Inside,
                        bound: Bound::Low,
                        ..
                    },
                truth: Truth::True,
                value,
                outside: true,
                ..
            }
            | What::LimitFurther {
                name:
                    LimitName {
                        compartment,
                        quantity: Quantity::Depth,
                        aspect: Aspect::Inside,
                        bound: Bound::Low,
                        ..
                    },
                truth: Truth::True,
                value,
            } => self.depth(entry.at, compartment, value, false),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIVING: CompartmentId = CompartmentId(0);
    const BELL: CompartmentId = CompartmentId(2);

    fn book(entries: &[(i64, What)]) -> PressureBook {
        let mut book = PressureBook::default();
        for &(at, what) in entries {
            book.take(Entry { at, what });
        }
        book
    }

    fn logged(compartment: CompartmentId, value: f64) -> What {
        What::Logged {
            compartment,
            quantity: Quantity::Depth,
            channel: crate::units::Channel::Primary,
            truth: Truth::True,
            value,
        }
    }

    fn stored(depth_msw: f64) -> Vec<(i64, What)> {
        let (diver, to) = (DiverId(0), Whereabouts::In(LIVING));
        let phase = |phase| What::Phase {
            compartment: LIVING,
            phase,
        };
        vec![
            (0, What::Diver { diver, to }),
            (0, phase(Phase::Compression)),
            (
                0,
                What::Target {
                    compartment: LIVING,
                    depth_msw,
                },
            ),
            (7200, phase(Phase::Storage)),
            (7200, logged(LIVING, depth_msw)),
        ]
    }

    fn lost_after(depth_msw: f64, more: &[(i64, What)]) -> Option<(f64, f64)> {
        let book = book(&[stored(depth_msw), more.to_vec()].concat());
        book.lost().next().map(|l| (l.from_msw, l.to_msw))
    }

    #[test]
    fn a_chamber_at_the_surface_with_a_man_in_it_has_lost_its_pressure() {
        assert_eq!(
            lost_after(60.0, &[(9000, logged(LIVING, 0.1))]),
            Some((60.0, 0.1))
        );
        assert_eq!(lost_after(60.0, &[(9000, logged(LIVING, 52.0))]), None);
        assert_eq!(
            lost_after(6.0, &[(90_000, logged(LIVING, 2.0))]),
            Some((6.0, 2.0))
        );
        assert_eq!(lost_after(60.0, &[(9000, logged(LIVING, 60.0))]), None);
        let (diver, to) = (DiverId(0), Whereabouts::Deck);
        let gone = [
            (8000, What::Diver { diver, to }),
            (9000, logged(LIVING, 0.0)),
        ];
        assert_eq!(lost_after(60.0, &gone), None, "nobody was in it");
    }

    #[test]
    fn a_fall_faster_than_any_timetable_is_a_loss_although_it_ends_at_the_ordered_depth() {
        let fall = |to_msw| {
            [
                (9000, logged(LIVING, 220.0)),
                (10_800, logged(LIVING, to_msw)),
            ]
        };
        assert_eq!(lost_after(60.0, &fall(195.0)), Some((220.0, 195.0)));
        assert_eq!(lost_after(60.0, &fall(211.0)), None, "18 msw/h");
    }

    #[test]
    fn a_bell_may_work_shallower_than_its_divers_live_and_not_at_the_surface() {
        let (diver, to) = (DiverId(0), Whereabouts::In(BELL));
        let run = |to_msw| {
            [
                (8000, What::Diver { diver, to }),
                (9000, logged(BELL, to_msw)),
            ]
        };
        assert_eq!(lost_after(60.0, &run(37.0)), None);
        assert_eq!(lost_after(60.0, &run(0.1)), Some((60.0, 0.1)));
    }
}
