//! Everything that hands and machines have set: valves, doors, lines, machines, bells, by their names.

use super::bell::BellState;
use super::setting::{DoorSetting, Setting, ValveState};
use crate::steel::Steel;
use crate::steel::edge::EdgeKind;
use deepstay_core::record::{LineName, Refused, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// The settings of a spread.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Controls {
    settings: Vec<Setting>,
    doors: Vec<DoorSetting>,
    bells: Vec<BellState>,
}

impl Controls {
    /// Everything shut and off, doors as the steel says, bells on deck.
    pub fn at_rest(steel: &Steel) -> Controls {
        let mut settings: Vec<Setting> = steel
            .compartments
            .iter()
            .map(|c| {
                let mut setting = Setting::at_rest(steel.deck_t_k);
                setting.relief.gagged = c.relief.is_some_and(|relief| relief.gagged);
                setting
            })
            .collect();
        for door in steel
            .doors
            .iter()
            .filter(|d| d.b.is_none() && d.open_at_start)
        {
            settings[door.a.index()].open_outside = true;
        }
        let doors = steel.doors.iter().map(|d| DoorSetting {
            open: d.open_at_start,
            clamped: true,
            equalise: ValveState::shut(Purpose::Transfer),
        });
        Controls {
            doors: doors.collect(),
            bells: vec![BellState::on_deck(); settings.len()],
            settings,
        }
    }

    /// Doors and fans are as they are found; all else is at rest.
    pub fn find(&mut self, steel: &Steel, doors: &[bool], fans: impl Iterator<Item = bool>) {
        for (set, fan) in self.settings.iter_mut().zip(fans) {
            set.fan.on = fan;
            set.open_outside = false;
        }
        for ((set, door), &open) in self.doors.iter_mut().zip(&steel.doors).zip(doors) {
            set.open = open;
            self.settings[door.a.index()].open_outside |= open && door.b.is_none();
        }
    }

    /// Settings of a compartment.
    #[inline]
    pub fn of(&self, i: usize) -> &Setting {
        &self.settings[i]
    }

    /// The same, to be changed.
    pub fn of_mut(&mut self, i: usize) -> &mut Setting {
        &mut self.settings[i]
    }

    /// A door.
    #[inline]
    pub fn door(&self, d: usize) -> &DoorSetting {
        &self.doors[d]
    }

    /// A door, to be changed.
    pub fn door_mut(&mut self, d: usize) -> &mut DoorSetting {
        &mut self.doors[d]
    }

    /// All doors.
    pub fn doors(&self) -> &[DoorSetting] {
        &self.doors
    }

    /// Where a bell is.
    #[inline]
    pub fn bell(&self, i: usize) -> &BellState {
        &self.bells[i]
    }

    /// Sends a bell.
    pub fn send_bell(&mut self, i: usize, to: BellState) {
        self.bells[i] = to;
    }

    /// A valve.
    pub fn valve(&self, valve: ValveName) -> Result<&ValveState, Refused> {
        let of = |c: CompartmentId| {
            let setting = self.settings.get(c.index()).ok_or(Refused::NoSuchThing);
            setting.map(|set| &set.valves)
        };
        Ok(match valve {
            ValveName::BlowDown(c) => &of(c)?.blow_down,
            ValveName::Oxygen(c) => &of(c)?.oxygen,
            ValveName::Exhaust(c) => &of(c)?.exhaust,
            ValveName::Bleed(c) => &of(c)?.bleed,
            ValveName::Drain(c) => &of(c)?.drain,
            ValveName::Equalise(d) => {
                &self
                    .doors
                    .get(d.index())
                    .ok_or(Refused::NoSuchThing)?
                    .equalise
            }
        })
    }

    /// A valve, to be changed.
    pub fn valve_mut(&mut self, valve: ValveName) -> Result<&mut ValveState, Refused> {
        let (ValveName::BlowDown(c)
        | ValveName::Oxygen(c)
        | ValveName::Exhaust(c)
        | ValveName::Bleed(c)
        | ValveName::Drain(c)) = valve
        else {
            let ValveName::Equalise(d) = valve else {
                return Err(Refused::NoSuchThing);
            };
            let door = self.doors.get_mut(d.index()).ok_or(Refused::NoSuchThing)?;
            return Ok(&mut door.equalise);
        };
        let valves = &mut self
            .settings
            .get_mut(c.index())
            .ok_or(Refused::NoSuchThing)?
            .valves;
        Ok(match valve {
            ValveName::BlowDown(_) => &mut valves.blow_down,
            ValveName::Oxygen(_) => &mut valves.oxygen,
            ValveName::Exhaust(_) => &mut valves.exhaust,
            ValveName::Bleed(_) => &mut valves.bleed,
            _ => &mut valves.drain,
        })
    }

    /// Bank lined up to a line.
    pub fn line(&self, line: LineName) -> Option<BankId> {
        let of = |c: CompartmentId| &self.settings[c.index()].lines;
        match line {
            LineName::Supply(c) => of(c).supply,
            LineName::Oxygen(c) => of(c).oxygen,
            LineName::Bibs(c) => of(c).bibs,
            LineName::DiverMain(c) => of(c).main,
            LineName::DiverSecondary(c) => of(c).secondary,
        }
    }

    /// Lines a bank up to a line, or shuts it off.
    pub fn line_up(&mut self, line: LineName, bank: Option<BankId>) {
        let lines = &mut self.settings[line.compartment().index()].lines;
        let slot = match line {
            LineName::Supply(_) => &mut lines.supply,
            LineName::Oxygen(_) => &mut lines.oxygen,
            LineName::Bibs(_) => &mut lines.bibs,
            LineName::DiverMain(_) => &mut lines.main,
            LineName::DiverSecondary(_) => &mut lines.secondary,
        };
        *slot = bank;
    }

    /// Whether gas can pass along an edge.
    pub fn joins(&self, edge: EdgeKind) -> bool {
        match edge {
            EdgeKind::Door(d) => self.doors[d].open || self.doors[d].equalise.opening() > 0.0,
            EdgeKind::Drain(c) => self.settings[c].valves.drain.opening() > 0.0,
        }
    }

    /// What passes along an edge is for.
    pub fn purpose(&self, edge: EdgeKind) -> Purpose {
        match edge {
            EdgeKind::Door(d) => self.doors[d].equalise.purpose,
            EdgeKind::Drain(c) => self.settings[c].valves.drain.purpose,
        }
    }

    /// Banks that compartments draw from or fill, as bits; `recovery` is the bank of the gas recovery.
    pub fn banks_of(&self, members: &[usize], recovery: Option<BankId>) -> u32 {
        let mut used = 0u32;
        for set in members.iter().map(|i| &self.settings[*i]) {
            let lines = [
                set.lines.supply,
                set.lines.oxygen,
                set.lines.bibs,
                set.lines.main,
                set.lines.secondary,
                recovery.filter(|_| set.recovery),
            ];
            for bank in lines.into_iter().flatten() {
                used |= 1 << bank.index();
            }
        }
        used
    }
}
