//! Doors, clamps and the bell's winch, with the interlocks that refuse them.

use super::core::Plant;
use super::freeze::NEAR_PA;
use super::state::BellState;
use deepstay_core::record::{DoorState, Entry, Refused, Sink, What};
use deepstay_core::units::*;

impl Plant {
    pub(super) fn door(
        &mut self,
        t_s: i64,
        id: DoorId,
        open: bool,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let door = self
            .steel
            .doors
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?
            .clone();
        if self.doors[id.index()].open == open {
            return Ok(());
        }
        let a = door.a.index();
        if open {
            if !self.doors[id.index()].clamped {
                return Err(Refused::ClampInterlock);
            }
            let other = door.b.map_or_else(
                || self.outside_pa(a, t_s as f64),
                |b| self.now_pa(b.index(), t_s),
            );
            if (self.now_pa(a, t_s) - other).abs() > door.open_below_pa {
                return Err(Refused::DoorUnderPressure);
            }
            let lock_to_deck = door.b.is_none() && self.steel.compartments[a].bell.is_none();
            if lock_to_deck && self.pressure_behind(id, t_s) {
                return Err(Refused::OtherDoorOpen);
            }
        }
        self.give_and_touch(a, t_s, sink);
        if let Some(b) = door.b {
            self.give_and_touch(b.index(), t_s, sink);
        }
        self.doors[id.index()].open = open;
        if door.b.is_none() {
            self.settings[a].open_outside = open;
        }
        self.regroup(t_s);
        let state = if open {
            DoorState::Open
        } else {
            DoorState::Shut
        };
        sink.take(Entry {
            at: t_s,
            what: What::Door { door: id, state },
        });
        Ok(())
    }

    /// Whether another door of a lock, or its equalising valve, stands open to gas that is not at the deck's
    /// pressure and so would blow through. Doors open to each other at the surface are no danger: that is
    /// how people go in and come out.
    fn pressure_behind(&self, outer: DoorId, t_s: i64) -> bool {
        let lock = self.steel.doors[outer.index()].a;
        let deck_pa = self.outside_pa(lock.index(), t_s as f64);
        let near_pa = self.steel.doors[outer.index()].open_below_pa;
        self.steel
            .doors
            .iter()
            .zip(&self.doors)
            .enumerate()
            .any(|(d, (door, set))| {
                let beyond = if door.a == lock {
                    door.b
                } else {
                    Some(door.a).filter(|_| door.b == Some(lock))
                };
                d != outer.index()
                    && (set.open || set.equalise.opening() > 0.0)
                    && beyond
                        .is_some_and(|c| (self.now_pa(c.index(), t_s) - deck_pa).abs() > near_pa)
            })
    }

    pub(super) fn clamp(
        &mut self,
        t_s: i64,
        id: DoorId,
        made: bool,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let door = self
            .steel
            .doors
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?
            .clone();
        let (true, Some(b)) = (door.clamp, door.b) else {
            return Err(Refused::NoSuchThing);
        };
        if self.doors[id.index()].clamped == made {
            return Ok(());
        }
        let (a, b) = (door.a.index(), b.index());
        let (bell, trunk) = if self.steel.compartments[a].bell.is_some() {
            (a, b)
        } else {
            (b, a)
        };
        if made {
            if !self.bells[bell].on_deck_at(t_s) {
                return Err(Refused::ClampInterlock);
            }
        } else {
            let pressed = (self.now_pa(trunk, t_s) - self.steel.surface_pa).abs() > NEAR_PA;
            let set = &self.doors[id.index()];
            let way_open = self.steel.doors.iter().zip(&self.doors).any(|(d, s)| {
                (d.a.index() == trunk || d.b.map(CompartmentId::index) == Some(trunk))
                    && (s.open || s.equalise.opening() > 0.0)
            });
            if pressed || set.open || way_open {
                return Err(Refused::ClampInterlock);
            }
        }
        self.give_and_touch(trunk, t_s, sink);
        self.doors[id.index()].clamped = made;
        self.settings[trunk].open_outside = !made;
        let state = if made {
            DoorState::Clamped
        } else {
            DoorState::Unclamped
        };
        sink.take(Entry {
            at: t_s,
            what: What::Door { door: id, state },
        });
        Ok(())
    }

    pub(super) fn send_bell(
        &mut self,
        t_s: i64,
        bell: CompartmentId,
        to_msw: f64,
    ) -> Result<(), Refused> {
        let i = self.index(bell)?;
        let Some(b) = self.steel.compartments[i].bell else {
            return Err(Refused::NoSuchThing);
        };
        if !(0.0..=self.steel.compartments[i].rating_msw).contains(&to_msw) {
            return Err(Refused::Rating);
        }
        let made = self
            .steel
            .doors
            .iter()
            .zip(&self.doors)
            .any(|(d, s)| d.clamp && (d.a == bell || d.b == Some(bell)) && s.clamped);
        if made {
            return Err(Refused::ClampInterlock);
        }
        self.touch(i, t_s);
        let from_msw = self.bells[i].msw(t_s as f64);
        let crosses = from_msw == 0.0 || to_msw == 0.0;
        self.bells[i] = BellState {
            t_s,
            from_msw,
            to_msw,
            takes_s: ((to_msw - from_msw).abs() / b.winch_msw_s).ceil() as i64,
            handling_s: if crosses && from_msw != to_msw {
                b.handling_s
            } else {
                0
            },
        };
        Ok(())
    }
}
