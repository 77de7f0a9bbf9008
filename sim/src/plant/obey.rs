//! What each order does to the steel, and when the steel refuses.

use super::core::Plant;
use super::frozen::NEAR_PA;
use super::monitor::{PLANT_OWNER, Watched};
use super::state::{BellState, ValveState};
use crate::gas::{Amounts, Species};
use crate::plant::{Load, PathLoad, SamplePoint, SteelOrder};
use crate::record::{DoorState, Entry, LineName, Machine, Refused, Sink, ValveName, What};
use crate::units::*;

/// Sample of a calibration or analysis, mol: about 2.5 L of free gas (house rule).
const SAMPLE_MOL: f64 = 0.11;
/// ppO2 of the calibration gas as the analyser sees it, bar (house rule).
const CALIBRATION_PPO2_BAR: f64 = 0.4;
/// ppCO2 of the calibration gas, bar (house rule).
const CALIBRATION_PPCO2_BAR: f64 = 0.005;
/// Depth at which a depth gauge is set against the standard gauge, msw.
const STANDARD_GAUGE_MSW: f64 = 100.0;

/// A bank set aside for reclaimed gas, and empty at the start, is filled to this, Pa absolute (house rule).
const RECLAIM_UP_TO_PA: f64 = 1.5e7;

impl Plant {
    /// Carries out an order at `t_s`.
    ///
    /// # Errors
    /// What the steel refuses: a door under pressure, an interlock, a thing that is not there.
    pub fn order(&mut self, t_s: i64, order: SteelOrder, sink: &mut impl Sink) -> Result<(), Refused> {
        match order {
            SteelOrder::Valve { valve, opening, purpose } => self.valve(t_s, valve, opening, purpose, sink),
            SteelOrder::LineUp { line, bank } => self.line_up(t_s, line, bank, sink),
            SteelOrder::Door { door, open } => self.door(t_s, door, open, sink),
            SteelOrder::Clamp { door, made } => self.clamp(t_s, door, made, sink),
            SteelOrder::Switch { compartment, machine, on } => self.switch(t_s, compartment, machine, on, sink),
            SteelOrder::ClimateSet { compartment, t_k, humidity } => {
                if !(250.0..330.0).contains(&t_k) || !(0.0..=1.0).contains(&humidity) {
                    return Err(Refused::OutOfRange);
                }
                let i = self.index(compartment)?;
                self.touch(i, t_s);
                self.settings[i].climate_k = t_k;
                self.settings[i].climate_rh = humidity;
                Ok(())
            }
            SteelOrder::OxygenSet { compartment, ppo2_bar, band_bar } => {
                if !(0.0..3.0).contains(&ppo2_bar) || !(0.0..1.0).contains(&band_bar) {
                    return Err(Refused::OutOfRange);
                }
                let i = self.index(compartment)?;
                self.settings[i].auto_oxygen.set_bar = ppo2_bar;
                self.settings[i].auto_oxygen.band_bar = band_bar;
                self.watch_oxygen(i, t_s);
                Ok(())
            }
            SteelOrder::ChangeCanister { compartment } => self.change_canister(t_s, compartment, sink),
            SteelOrder::Calibrate { instrument } => self.calibrate(t_s, instrument, sink),
            SteelOrder::Analyse { bank } => self.analyse(t_s, bank, sink),
            SteelOrder::Bell { bell, to_msw } => self.send_bell(t_s, bell, to_msw),
        }
    }

    fn index(&self, c: CompartmentId) -> Result<usize, Refused> {
        if c.index() < self.nodes.len() { Ok(c.index()) } else { Err(Refused::NoSuchThing) }
    }

    fn give_and_touch(&mut self, i: usize, t_s: i64, sink: &mut impl Sink) {
        self.give_cluster(self.cluster_of[i], t_s, sink);
        self.touch(i, t_s);
    }

    fn valve(&mut self, t_s: i64, valve: ValveName, opening: f64, purpose: Purpose, sink: &mut impl Sink) -> Result<(), Refused> {
        if !(0.0..=1.0).contains(&opening) {
            return Err(Refused::OutOfRange);
        }
        let state = self.valve_state(valve)?;
        if state.ordered == opening && (state.purpose == purpose || opening == 0.0) {
            return Ok(());
        }
        if let ValveName::Equalise(d) = valve
            && opening > 0.0
            && !self.doors[d.index()].clamped
        {
            return Err(Refused::ClampInterlock);
        }
        let ends = self.valve_ends(valve);
        for i in ends.into_iter().flatten() {
            self.give_and_touch(i, t_s, sink);
        }
        let state = self.valve_state_mut(valve)?;
        state.ordered = opening;
        if opening > 0.0 {
            state.purpose = purpose;
        }
        if matches!(valve, ValveName::Equalise(_) | ValveName::Drain(_)) {
            self.regroup(t_s);
        }
        sink.take(Entry { at: t_s, what: What::Valve { valve, opening } });
        Ok(())
    }

    /// Compartments a valve works on.
    fn valve_ends(&self, valve: ValveName) -> [Option<usize>; 2] {
        match valve {
            ValveName::BlowDown(c) | ValveName::Oxygen(c) | ValveName::Exhaust(c) | ValveName::Bleed(c) => {
                [Some(c.index()), None]
            }
            ValveName::Drain(c) => {
                [Some(c.index()), self.steel.compartments[c.index()].drain_to.map(CompartmentId::index)]
            }
            ValveName::Equalise(d) => {
                let door = &self.steel.doors[d.index()];
                [Some(door.a.index()), door.b.map(CompartmentId::index)]
            }
        }
    }

    fn valve_state(&self, valve: ValveName) -> Result<ValveState, Refused> {
        let of = |c: CompartmentId| self.settings.get(c.index()).ok_or(Refused::NoSuchThing);
        Ok(match valve {
            ValveName::BlowDown(c) => of(c)?.blow_down,
            ValveName::Oxygen(c) => of(c)?.oxygen,
            ValveName::Exhaust(c) => of(c)?.exhaust,
            ValveName::Bleed(c) => of(c)?.bleed,
            ValveName::Drain(c) => of(c)?.drain,
            ValveName::Equalise(d) => self.doors.get(d.index()).ok_or(Refused::NoSuchThing)?.equalise,
        })
    }

    fn valve_state_mut(&mut self, valve: ValveName) -> Result<&mut ValveState, Refused> {
        let settings = &mut self.settings;
        Ok(match valve {
            ValveName::BlowDown(c) => &mut settings.get_mut(c.index()).ok_or(Refused::NoSuchThing)?.blow_down,
            ValveName::Oxygen(c) => &mut settings.get_mut(c.index()).ok_or(Refused::NoSuchThing)?.oxygen,
            ValveName::Exhaust(c) => &mut settings.get_mut(c.index()).ok_or(Refused::NoSuchThing)?.exhaust,
            ValveName::Bleed(c) => &mut settings.get_mut(c.index()).ok_or(Refused::NoSuchThing)?.bleed,
            ValveName::Drain(c) => &mut settings.get_mut(c.index()).ok_or(Refused::NoSuchThing)?.drain,
            ValveName::Equalise(d) => &mut self.doors.get_mut(d.index()).ok_or(Refused::NoSuchThing)?.equalise,
        })
    }

    fn line_up(&mut self, t_s: i64, line: LineName, bank: BankId, sink: &mut impl Sink) -> Result<(), Refused> {
        if bank.index() >= self.banks.len() {
            return Err(Refused::NoSuchThing);
        }
        let (LineName::Supply(c)
        | LineName::Oxygen(c)
        | LineName::Bibs(c)
        | LineName::DiverMain(c)
        | LineName::DiverSecondary(c)) = line;
        let i = self.index(c)?;
        self.give_and_touch(i, t_s, sink);
        let set = &mut self.settings[i];
        let slot = match line {
            LineName::Supply(_) => &mut set.supply_bank,
            LineName::Oxygen(_) => &mut set.oxygen_bank,
            LineName::Bibs(_) => &mut set.bibs_bank,
            LineName::DiverMain(_) => &mut set.main_bank,
            LineName::DiverSecondary(_) => &mut set.secondary_bank,
        };
        *slot = Some(bank);
        self.choose_reclaim_bank(i, t_s);
        sink.take(Entry { at: t_s, what: What::LinedUp { line, bank } });
        Ok(())
    }

    /// Reclaimed gas goes to the reclaim's own bank while that holds less than it was filled with.
    fn choose_reclaim_bank(&mut self, i: usize, t_s: i64) {
        let set = &self.settings[i];
        self.settings[i].reclaim_to = self.steel.reclaim.filter(|_| set.reclaim).and_then(|r| {
            let filled_pa = self.steel.banks[r.bank.index()].fill_gauge_pa + self.steel.surface_pa;
            let room = self.bank_pa(r.bank, t_s) < filled_pa.max(RECLAIM_UP_TO_PA);
            if room { Some(r.bank) } else { set.main_bank }
        });
    }

    fn now_pa(&self, i: usize, t_s: i64) -> f64 {
        self.pressure_pa(i, &self.node_at(i, t_s))
    }

    fn door(&mut self, t_s: i64, id: DoorId, open: bool, sink: &mut impl Sink) -> Result<(), Refused> {
        let door = self.steel.doors.get(id.index()).ok_or(Refused::NoSuchThing)?.clone();
        if self.doors[id.index()].open == open {
            return Ok(());
        }
        let a = door.a.index();
        if open {
            if !self.doors[id.index()].clamped {
                return Err(Refused::ClampInterlock);
            }
            let other = door.b.map_or_else(|| self.outside_pa(a, t_s), |b| self.now_pa(b.index(), t_s));
            if (self.now_pa(a, t_s) - other).abs() > door.open_below_pa {
                return Err(Refused::DoorUnderPressure);
            }
            let lock_to_deck = door.b.is_none() && self.steel.compartments[a].bell.is_none();
            if lock_to_deck && self.another_way_open(id) {
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
        let state = if open { DoorState::Open } else { DoorState::Shut };
        sink.take(Entry { at: t_s, what: What::Door { door: id, state } });
        Ok(())
    }

    /// Whether a lock has another door or its equalising valve open to a chamber under pressure.
    fn another_way_open(&self, outer: DoorId) -> bool {
        let lock = self.steel.doors[outer.index()].a;
        self.steel.doors.iter().zip(&self.doors).enumerate().any(|(d, (door, set))| {
            d != outer.index()
                && (door.a == lock || door.b == Some(lock))
                && (set.open || set.equalise.opening() > 0.0)
        })
    }

    fn clamp(&mut self, t_s: i64, id: DoorId, made: bool, sink: &mut impl Sink) -> Result<(), Refused> {
        let door = self.steel.doors.get(id.index()).ok_or(Refused::NoSuchThing)?.clone();
        let (true, Some(b)) = (door.clamp, door.b) else { return Err(Refused::NoSuchThing) };
        if self.doors[id.index()].clamped == made {
            return Ok(());
        }
        let (a, b) = (door.a.index(), b.index());
        let (bell, trunk) = if self.steel.compartments[a].bell.is_some() { (a, b) } else { (b, a) };
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
        let state = if made { DoorState::Clamped } else { DoorState::Unclamped };
        sink.take(Entry { at: t_s, what: What::Door { door: id, state } });
        Ok(())
    }

    fn switch(&mut self, t_s: i64, c: CompartmentId, machine: Machine, on: bool, sink: &mut impl Sink) -> Result<(), Refused> {
        let i = self.index(c)?;
        let steel = &self.steel.compartments[i];
        let there = match machine {
            Machine::Fan => steel.scrubber.is_some(),
            Machine::Climate => steel.climate.is_some(),
            Machine::OxygenControl => steel.oxygen_m2 > 0.0,
            Machine::HotWater => steel.bell.is_some(),
            Machine::Reclaim => steel.bell.is_some() && self.steel.reclaim.is_some(),
            Machine::Recovery => self.steel.recovery.is_some(),
        };
        if !there {
            return Err(Refused::NoSuchThing);
        }
        self.give_and_touch(i, t_s, sink);
        let set = &mut self.settings[i];
        match machine {
            Machine::Fan => set.fan = on,
            Machine::Climate => set.climate = on,
            Machine::HotWater => set.hot_water = on,
            Machine::Reclaim => {
                set.reclaim = on;
                self.choose_reclaim_bank(i, t_s);
            }
            Machine::Recovery => set.recovery = on,
            Machine::OxygenControl => {
                set.auto_oxygen.on = on;
                set.auto_oxygen.adding = false;
                self.watch_oxygen(i, t_s);
            }
        }
        sink.take(Entry { at: t_s, what: What::Machine { compartment: c, machine, on } });
        Ok(())
    }

    /// Waits for the reading at which automatic oxygen starts or stops.
    fn watch_oxygen(&mut self, i: usize, t_s: i64) {
        let auto = self.settings[i].auto_oxygen;
        let id = CompartmentId(i as u8);
        let analyser = self.steel.instrument(id, Quantity::PpO2, Channel::Primary).filter(|_| auto.on);
        let monitor = analyser.map(|k| {
            let value = if auto.adding { auto.set_bar + auto.band_bar } else { auto.set_bar };
            (Watched::Shown(k), auto.adding, value)
        });
        self.set_monitors(PLANT_OWNER + i as u32, monitor, t_s);
    }

    /// Acts on one of the plant's own monitors; false when the owner is somebody else.
    pub fn own_monitor(&mut self, owner: u32, t_s: i64, sink: &mut impl Sink) -> bool {
        if owner < PLANT_OWNER {
            return false;
        }
        let i = (owner - PLANT_OWNER) as usize;
        self.give_and_touch(i, t_s, sink);
        self.settings[i].auto_oxygen.adding = !self.settings[i].auto_oxygen.adding;
        self.watch_oxygen(i, t_s);
        true
    }

    fn change_canister(&mut self, t_s: i64, c: CompartmentId, sink: &mut impl Sink) -> Result<(), Refused> {
        let i = self.index(c)?;
        if self.steel.compartments[i].scrubber.is_none() {
            return Err(Refused::NoSuchThing);
        }
        self.touch(i, t_s);
        let node = &mut self.nodes[i];
        let what = What::Canister { compartment: c, hours: node.bed_s / 3600.0, moles: node.bed_mol };
        node.bed_mol = 0.0;
        node.bed_s = 0.0;
        sink.take(Entry { at: t_s, what });
        Ok(())
    }

    fn calibrate(&mut self, t_s: i64, id: InstrumentId, sink: &mut impl Sink) -> Result<(), Refused> {
        let ins = self.steel.instruments.get(id.index()).ok_or(Refused::NoSuchThing)?;
        let quantity = ins.quantity;
        let (SamplePoint::Compartment(compartment) | SamplePoint::Sea(compartment)) = ins.labelled else {
            return Err(Refused::NoSuchThing);
        };
        let standard = match quantity {
            Quantity::PpO2 => CALIBRATION_PPO2_BAR,
            Quantity::PpCo2 => CALIBRATION_PPCO2_BAR,
            Quantity::Depth | Quantity::SeaDepth => STANDARD_GAUGE_MSW,
            _ => return Err(Refused::NoSuchThing),
        };
        let by_gas = matches!(quantity, Quantity::PpO2 | Quantity::PpCo2);
        let probe = &mut self.probes[id.index()];
        let since = (t_s - probe.since_s) as f64;
        let as_found = standard * (1.0 + probe.span + probe.span_drift_per_s * since)
            + probe.zero
            + probe.zero_drift_per_s * since;
        probe.span = 0.0;
        probe.zero = 0.0;
        probe.since_s = t_s;
        let what = What::Calibrated { instrument: id, quantity, compartment, as_found, as_left: standard };
        sink.take(Entry { at: t_s, what });
        let bottle = (0u8..).zip(&self.steel.banks).find(|(_, b)| b.duty == crate::plant::Duty::Calibration);
        if let (true, Some(bank)) = (by_gas, bottle.map(|(b, _)| BankId(b))) {
            self.sample_bank(t_s, bank, sink);
        }
        self.look_again(t_s);
        Ok(())
    }

    fn analyse(&mut self, t_s: i64, bank: BankId, sink: &mut impl Sink) -> Result<(), Refused> {
        if bank.index() >= self.banks.len() {
            return Err(Refused::NoSuchThing);
        }
        let o2 = self.bank_mix(bank)[Species::O2];
        self.banks[bank.index()].analysed_o2 = Some(o2);
        self.sample_bank(t_s, bank, sink);
        sink.take(Entry { at: t_s, what: What::Analysed { bank, o2 } });
        Ok(())
    }

    fn sample_bank(&mut self, t_s: i64, bank: BankId, sink: &mut impl Sink) {
        let state = &mut self.banks[bank.index()];
        if state.at(t_s).total() <= 10.0 * SAMPLE_MOL {
            return;
        }
        let moles = self.bank_mixes[bank.index()].scaled(SAMPLE_MOL);
        state.n_mol = state.n_mol.plus(&moles.scaled(-1.0));
        let what = What::Moved { from: Place::Bank(bank), to: Place::Atmosphere, purpose: Purpose::Sample, moles };
        sink.take(Entry { at: t_s, what });
    }

    fn send_bell(&mut self, t_s: i64, bell: CompartmentId, to_msw: f64) -> Result<(), Refused> {
        let i = self.index(bell)?;
        let Some(b) = self.steel.compartments[i].bell else { return Err(Refused::NoSuchThing) };
        if !(0.0..=self.steel.compartments[i].rating_msw).contains(&to_msw) {
            return Err(Refused::Rating);
        }
        let made = self.steel.doors.iter().zip(&self.doors).any(|(d, s)| {
            d.clamp && (d.a == bell || d.b == Some(bell)) && s.clamped
        });
        if made {
            return Err(Refused::ClampInterlock);
        }
        self.touch(i, t_s);
        let from_msw = self.bells[i].msw(t_s);
        let crosses = from_msw == 0.0 || to_msw == 0.0;
        self.bells[i] = BellState {
            t_s,
            from_msw,
            to_msw,
            takes_s: ((to_msw - from_msw).abs() / b.winch_msw_s).ceil() as i64,
            handling_s: if crosses && from_msw != to_msw { b.handling_s } else { 0 },
        };
        Ok(())
    }

    /// Sets what people put on a compartment's gas.
    pub fn set_load(&mut self, t_s: i64, c: CompartmentId, load: Load) {
        let i = c.index();
        if self.settings[i].load != load {
            self.touch(i, t_s);
            self.settings[i].load = load;
        }
    }

    /// Sets what people put on a breathing path.
    pub fn set_path(&mut self, t_s: i64, line: LineName, path: PathLoad) {
        let (LineName::Bibs(c) | LineName::DiverMain(c) | LineName::DiverSecondary(c)) = line else { return };
        let i = c.index();
        let now = match line {
            LineName::Bibs(_) => self.settings[i].bibs,
            LineName::DiverMain(_) => self.settings[i].main,
            _ => self.settings[i].secondary,
        };
        if now != path {
            self.touch(i, t_s);
            let set = &mut self.settings[i];
            match line {
                LineName::Bibs(_) => set.bibs = path,
                LineName::DiverMain(_) => set.main = path,
                _ => set.secondary = path,
            }
        }
    }

    /// Lets liquid water evaporate in a compartment, mol/s.
    pub fn set_evaporating(&mut self, t_s: i64, c: CompartmentId, mol_s: f64) {
        let i = c.index();
        if self.settings[i].evaporating_mol_s != mol_s {
            self.touch(i, t_s);
            self.settings[i].evaporating_mol_s = mol_s;
        }
    }

    /// Looks for the next met monitor in every cluster that is not about to be frozen anew.
    pub(super) fn look_again(&mut self, t_s: i64) {
        for c in 0..self.clusters.len() {
            if !self.clusters[c].dirty {
                self.find_next(c, t_s);
            }
        }
    }

    /// Whether gas can still be breathed from a line at the pressure where it is breathed.
    pub fn line_alive(&self, line: LineName, t_s: i64) -> bool {
        let (bank, p_pa) = match line {
            LineName::Bibs(c) => (self.settings[c.index()].bibs_bank, self.now_pa(c.index(), t_s)),
            LineName::DiverMain(c) => (self.settings[c.index()].main_bank, self.sea_pa(c.index(), t_s)),
            LineName::DiverSecondary(c) => (self.settings[c.index()].secondary_bank, self.sea_pa(c.index(), t_s)),
            LineName::Supply(c) => (self.settings[c.index()].supply_bank, self.now_pa(c.index(), t_s)),
            LineName::Oxygen(c) => (self.settings[c.index()].oxygen_bank, self.now_pa(c.index(), t_s)),
        };
        bank.is_some_and(|b| self.bank_pa(b, t_s) > p_pa)
    }

    /// Fractions a line delivers, none where nothing is lined up.
    pub fn line_mix(&self, line: LineName) -> Option<Amounts> {
        let bank = match line {
            LineName::Bibs(c) => self.settings[c.index()].bibs_bank,
            LineName::DiverMain(c) => self.settings[c.index()].main_bank,
            LineName::DiverSecondary(c) => self.settings[c.index()].secondary_bank,
            LineName::Supply(c) => self.settings[c.index()].supply_bank,
            LineName::Oxygen(c) => self.settings[c.index()].oxygen_bank,
        };
        bank.map(|b| self.bank_mix(b))
    }
}
