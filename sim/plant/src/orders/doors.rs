//! Doors and clamps, with the interlocks that refuse them.

use super::hand::Hand;
use crate::monitors::monitor::Watched;
use crate::opening::NEAR_PA;
use crate::truth::truly;
use deepstay_core::record::{DoorState, Refused, Sink, What};
use deepstay_core::units::*;

/// With more water than this share of a bell its bottom door is not shut: it would stay inside (house figure).
const WATER_OVER_DOOR: f64 = 0.02;

impl<S: Sink> Hand<'_, S> {
    /// Opens or shuts a door.
    pub fn door(&mut self, id: DoorId, open: bool) -> Result<(), Refused> {
        let door = self
            .steel()
            .doors
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?;
        let (a, b, open_below_pa) = (
            door.a.index(),
            door.b.map(CompartmentId::index),
            door.open_below_pa,
        );
        let now = self.controls().door(id.index());
        if now.open == open {
            return Ok(());
        }
        if open {
            if !now.clamped {
                return Err(Refused::ClampInterlock);
            }
            let other = b.map_or_else(|| self.outside_pa(a), |b| self.pressure_pa(b));
            if (self.pressure_pa(a) - other).abs() > open_below_pa {
                return Err(Refused::DoorUnderPressure);
            }
            let lock_to_deck = b.is_none() && self.steel().compartments[a].bell.is_none();
            if lock_to_deck && self.pressure_behind(id) {
                return Err(Refused::OtherDoorOpen);
            }
        }
        if !open
            && b.is_none()
            && truly(self.plant, Watched::Flooded(door.a), self.t_s) > WATER_OVER_DOOR
        {
            return Err(Refused::UnderWater);
        }
        self.give_and_touch(a);
        if let Some(b) = b {
            self.give_and_touch(b);
        }
        self.controls_mut().door_mut(id.index()).open = open;
        if b.is_none() {
            self.setting_mut(a).open_outside = open;
        }
        self.plant.regroup(self.t_s);
        let state = if open {
            DoorState::Open
        } else {
            DoorState::Shut
        };
        self.tell(What::Door { door: id, state });
        Ok(())
    }

    /// Whether another door of a lock, or its equalising valve, stands open to gas that is not at the deck's
    /// pressure and so would blow through. Doors open to each other at the surface are no danger: that is
    /// how people go in and come out.
    fn pressure_behind(&self, outer: DoorId) -> bool {
        let doors = &self.steel().doors;
        let lock = doors[outer.index()].a;
        let deck_pa = self.outside_pa(lock.index());
        let near_pa = doors[outer.index()].open_below_pa;
        let mut others = doors.iter().zip(self.controls().doors()).enumerate();
        others.any(|(d, (door, set))| {
            let beyond = if door.a == lock {
                door.b
            } else {
                Some(door.a).filter(|_| door.b == Some(lock))
            };
            d != outer.index()
                && (set.open || set.equalise.opening() > 0.0)
                && beyond.is_some_and(|c| (self.pressure_pa(c.index()) - deck_pa).abs() > near_pa)
        })
    }

    /// Makes or breaks a clamp.
    pub fn clamp(&mut self, id: DoorId, made: bool) -> Result<(), Refused> {
        let door = self
            .steel()
            .doors
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?;
        let (true, Some(b)) = (door.clamp, door.b) else {
            return Err(Refused::NoSuchThing);
        };
        let (a, b) = (door.a.index(), b.index());
        if self.controls().door(id.index()).clamped == made {
            return Ok(());
        }
        let (bell, trunk) = if self.steel().compartments[a].bell.is_some() {
            (a, b)
        } else {
            (b, a)
        };
        if made {
            if !self.controls().bell(bell).on_deck_at(self.t_s) {
                return Err(Refused::ClampInterlock);
            }
        } else {
            let pressed = (self.pressure_pa(trunk) - self.steel().surface_pa).abs() > NEAR_PA;
            let set = self.controls().door(id.index());
            let open = |(d, s): (&crate::steel::Door, &crate::state::setting::DoorSetting)| {
                (d.a.index() == trunk || d.b.map(CompartmentId::index) == Some(trunk))
                    && (s.open || s.equalise.opening() > 0.0)
            };
            let mut doors = self.steel().doors.iter().zip(self.controls().doors());
            if pressed || set.open || doors.any(open) {
                return Err(Refused::ClampInterlock);
            }
        }
        self.give_and_touch(trunk);
        self.controls_mut().door_mut(id.index()).clamped = made;
        self.setting_mut(trunk).open_outside = !made;
        let state = if made {
            DoorState::Clamped
        } else {
            DoorState::Unclamped
        };
        self.tell(What::Door { door: id, state });
        Ok(())
    }
}
