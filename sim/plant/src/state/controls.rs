//! Everything that hands and machines have set: valves, doors, lines, machines, bells, by their names.

use super::bell::BellState;
use super::setting::{DoorSetting, Lines, Regulators, Setting, ValveState};
use crate::steel::Steel;
use crate::steel::edge::EdgeKind;
use deepstay_core::record::{LineName, Refused, ValveName};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// Of lines, one by its name.
fn of_line(lines: &Lines, line: LineName) -> Option<BankId> {
    match line {
        LineName::Supply(_) => lines.supply,
        LineName::Oxygen(_) => lines.oxygen,
        LineName::Bibs(_) => lines.bibs,
        LineName::DiverMain(_) => lines.main,
        LineName::DiverSecondary(_) => lines.secondary,
    }
}

/// The settings of a spread.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Controls {
    settings: Vec<Setting>,
    doors: Vec<DoorSetting>,
    bells: Vec<BellState>,
    /// Banks whose stops are shut, as bits.
    stopped: u32,
}

impl Controls {
    /// Everything shut and off, doors as the steel says, bells on deck.
    pub fn at_rest(steel: &Steel) -> Controls {
        let mut settings: Vec<Setting> = (0u8..)
            .map(CompartmentId)
            .zip(&steel.compartments)
            .map(|(id, c)| {
                let mut setting = Setting::at_rest(steel.deck_t_k);
                setting.relief.gagged = c.relief.is_some_and(|relief| relief.gagged);
                setting.regulators = Regulators::fitted(steel, id);
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
            stopped: 0,
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

    /// Bank lined up to a line, as the panel says.
    pub fn lined_up(&self, line: LineName) -> Option<BankId> {
        of_line(&self.of(line.compartment().index()).lined_up, line)
    }

    /// Bank that a line draws from.
    pub fn line(&self, line: LineName) -> Option<BankId> {
        of_line(&self.of(line.compartment().index()).lines, line)
    }

    /// Lines a bank up to a line, or shuts it off.
    pub fn line_up(&mut self, line: LineName, bank: Option<BankId>, steel: &Steel) {
        let i = line.compartment().index();
        let lined_up = &mut self.settings[i].lined_up;
        *match line {
            LineName::Supply(_) => &mut lined_up.supply,
            LineName::Oxygen(_) => &mut lined_up.oxygen,
            LineName::Bibs(_) => &mut lined_up.bibs,
            LineName::DiverMain(_) => &mut lined_up.main,
            LineName::DiverSecondary(_) => &mut lined_up.secondary,
        } = bank;
        self.draw_from(i, steel);
    }

    /// What the regulator of a line holds over the pressure behind it, Pa.
    pub fn regulator_pa(&self, line: LineName) -> f64 {
        let of = &self.of(line.compartment().index()).regulators;
        match line {
            LineName::Supply(_) => of.supply,
            LineName::Oxygen(_) => of.oxygen,
            LineName::Bibs(_) => of.bibs,
            LineName::DiverMain(_) => of.main,
            LineName::DiverSecondary(_) => of.secondary,
        }
    }

    /// Sets the regulator of a line.
    pub fn set_regulator(&mut self, line: LineName, over_pa: f64, steel: &Steel) {
        let i = line.compartment().index();
        let of = &mut self.settings[i].regulators;
        *match line {
            LineName::Supply(_) => &mut of.supply,
            LineName::Oxygen(_) => &mut of.oxygen,
            LineName::Bibs(_) => &mut of.bibs,
            LineName::DiverMain(_) => &mut of.main,
            LineName::DiverSecondary(_) => &mut of.secondary,
        } = over_pa;
        self.draw_from(i, steel);
    }

    /// Whether the stop of a bank is shut.
    pub fn bank_stopped(&self, bank: BankId) -> bool {
        self.stopped & (1 << bank.index()) != 0
    }

    /// Shuts or opens the stop of a bank.
    pub fn stop_bank(&mut self, bank: BankId, shut: bool, steel: &Steel) {
        let bit = 1 << bank.index();
        self.stopped = if shut {
            self.stopped | bit
        } else {
            self.stopped & !bit
        };
        for i in 0..self.settings.len() {
            self.draw_from(i, steel);
        }
    }

    /// Finds what the lines of a compartment draw from. A breathing regulator that is set too low for its masks or
    /// helmets gives nobody a breath.
    fn draw_from(&mut self, i: usize, steel: &Steel) {
        let stopped = self.stopped;
        let open = |bank: Option<BankId>| bank.filter(|b| stopped & (1 << b.index()) == 0);
        let set = &mut self.settings[i];
        let (at, by) = (set.lined_up, set.regulators);
        let breathed =
            |bank, over_pa: f64| open(bank).filter(|_| over_pa >= steel.breathing_over_pa);
        set.lines = Lines {
            supply: open(at.supply),
            oxygen: open(at.oxygen),
            bibs: breathed(at.bibs, by.bibs),
            main: breathed(at.main, by.main),
            secondary: breathed(at.secondary, by.secondary),
        };
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
