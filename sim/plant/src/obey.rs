//! What each order does to the steel, and when the steel refuses.

use super::core::Plant;
use super::monitor::{PLANT_OWNER, Watched};
use super::state::ValveState;
use crate::{SamplePoint, SteelOrder};
use deepstay_core::gas::Species;
use deepstay_core::record::{Entry, LineName, Machine, Refused, Sink, ValveName, What};
use deepstay_core::units::*;

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
    pub fn order(
        &mut self,
        t_s: i64,
        order: SteelOrder,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        match order {
            SteelOrder::Valve {
                valve,
                opening,
                purpose,
            } => self.valve(t_s, valve, opening, purpose, sink),
            SteelOrder::LineUp { line, bank } => self.line_up(t_s, line, bank, sink),
            SteelOrder::Door { door, open } => self.door(t_s, door, open, sink),
            SteelOrder::Clamp { door, made } => self.clamp(t_s, door, made, sink),
            SteelOrder::Switch {
                compartment,
                machine,
                on,
            } => self.switch(t_s, compartment, machine, on, sink),
            SteelOrder::ClimateSet {
                compartment,
                t_k,
                humidity,
            } => {
                if !(250.0..330.0).contains(&t_k) || !(0.0..=1.0).contains(&humidity) {
                    return Err(Refused::OutOfRange);
                }
                let i = self.index(compartment)?;
                self.touch(i, t_s);
                self.settings[i].climate_k = t_k;
                self.settings[i].climate_rh = humidity;
                Ok(())
            }
            SteelOrder::OxygenSet {
                compartment,
                ppo2_bar,
                band_bar,
            } => {
                if !(0.0..3.0).contains(&ppo2_bar) || !(0.0..1.0).contains(&band_bar) {
                    return Err(Refused::OutOfRange);
                }
                let i = self.index(compartment)?;
                self.settings[i].auto_oxygen.set_bar = ppo2_bar;
                self.settings[i].auto_oxygen.band_bar = band_bar;
                self.watch_oxygen(i, t_s);
                Ok(())
            }
            SteelOrder::ChangeCanister { compartment } => {
                self.change_canister(t_s, compartment, sink)
            }
            SteelOrder::Calibrate { instrument } => self.calibrate(t_s, instrument, sink),
            SteelOrder::Analyse { bank } => self.analyse(t_s, bank, sink),
            SteelOrder::Bell { bell, to_msw } => self.send_bell(t_s, bell, to_msw),
        }
    }

    pub(super) fn index(&self, c: CompartmentId) -> Result<usize, Refused> {
        if c.index() < self.nodes.len() {
            Ok(c.index())
        } else {
            Err(Refused::NoSuchThing)
        }
    }

    pub(super) fn give_and_touch(&mut self, i: usize, t_s: i64, sink: &mut impl Sink) {
        self.give_cluster(self.cluster_of[i], t_s, sink);
        self.touch(i, t_s);
    }

    fn valve(
        &mut self,
        t_s: i64,
        valve: ValveName,
        opening: f64,
        purpose: Purpose,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
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
        sink.take(Entry {
            at: t_s,
            what: What::Valve { valve, opening },
        });
        Ok(())
    }

    /// Compartments a valve works on.
    pub(super) fn valve_ends(&self, valve: ValveName) -> [Option<usize>; 2] {
        match valve {
            ValveName::BlowDown(c)
            | ValveName::Oxygen(c)
            | ValveName::Exhaust(c)
            | ValveName::Bleed(c) => [Some(c.index()), None],
            ValveName::Drain(c) => [
                Some(c.index()),
                self.steel.compartments[c.index()]
                    .drain_to
                    .map(CompartmentId::index),
            ],
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
            ValveName::Equalise(d) => {
                self.doors
                    .get(d.index())
                    .ok_or(Refused::NoSuchThing)?
                    .equalise
            }
        })
    }

    pub(super) fn valve_state_mut(&mut self, valve: ValveName) -> Result<&mut ValveState, Refused> {
        let settings = &mut self.settings;
        Ok(match valve {
            ValveName::BlowDown(c) => {
                &mut settings
                    .get_mut(c.index())
                    .ok_or(Refused::NoSuchThing)?
                    .blow_down
            }
            ValveName::Oxygen(c) => {
                &mut settings
                    .get_mut(c.index())
                    .ok_or(Refused::NoSuchThing)?
                    .oxygen
            }
            ValveName::Exhaust(c) => {
                &mut settings
                    .get_mut(c.index())
                    .ok_or(Refused::NoSuchThing)?
                    .exhaust
            }
            ValveName::Bleed(c) => {
                &mut settings
                    .get_mut(c.index())
                    .ok_or(Refused::NoSuchThing)?
                    .bleed
            }
            ValveName::Drain(c) => {
                &mut settings
                    .get_mut(c.index())
                    .ok_or(Refused::NoSuchThing)?
                    .drain
            }
            ValveName::Equalise(d) => {
                &mut self
                    .doors
                    .get_mut(d.index())
                    .ok_or(Refused::NoSuchThing)?
                    .equalise
            }
        })
    }

    fn line_up(
        &mut self,
        t_s: i64,
        line: LineName,
        bank: BankId,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
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
        self.list_gates();
        sink.take(Entry {
            at: t_s,
            what: What::LinedUp { line, bank },
        });
        Ok(())
    }

    /// Reclaimed gas goes to the reclaim's own bank while that holds less than it was filled with.
    pub(super) fn choose_reclaim_bank(&mut self, i: usize, t_s: i64) {
        let set = &self.settings[i];
        self.settings[i].reclaim_to = self
            .steel
            .reclaim
            .filter(|_| set.reclaim && !set.reclaim_failed)
            .and_then(|r| {
                let filled_pa =
                    self.steel.banks[r.bank.index()].fill_gauge_pa + self.steel.surface_pa;
                let room = self.bank_pa(r.bank, t_s) < filled_pa.max(RECLAIM_UP_TO_PA);
                if room { Some(r.bank) } else { set.main_bank }
            });
    }

    pub(super) fn now_pa(&self, i: usize, t_s: i64) -> f64 {
        self.pressure_pa(i, &self.node_at(i, t_s))
    }

    fn switch(
        &mut self,
        t_s: i64,
        c: CompartmentId,
        machine: Machine,
        on: bool,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
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
                self.list_gates();
            }
            Machine::Recovery => {
                set.recovery = on;
                self.list_gates();
            }
            Machine::OxygenControl => {
                set.auto_oxygen.on = on;
                set.auto_oxygen.adding = false;
                self.watch_oxygen(i, t_s);
            }
        }
        sink.take(Entry {
            at: t_s,
            what: What::Machine {
                compartment: c,
                machine,
                on,
            },
        });
        Ok(())
    }

    /// Waits for the reading at which automatic oxygen starts or stops.
    fn watch_oxygen(&mut self, i: usize, t_s: i64) {
        let auto = self.settings[i].auto_oxygen;
        let id = CompartmentId(i as u8);
        let analyser = self
            .steel
            .instrument(id, Quantity::PpO2, Channel::Primary)
            .filter(|_| auto.on);
        let monitor = analyser.map(|k| {
            let value = if auto.adding {
                auto.set_bar + auto.band_bar
            } else {
                auto.set_bar
            };
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

    fn change_canister(
        &mut self,
        t_s: i64,
        c: CompartmentId,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let i = self.index(c)?;
        if self.steel.compartments[i].scrubber.is_none() {
            return Err(Refused::NoSuchThing);
        }
        self.touch(i, t_s);
        let node = &mut self.nodes[i];
        let what = What::Canister {
            compartment: c,
            hours: node.bed_s / 3600.0,
            moles: node.bed_mol,
        };
        node.bed_mol = 0.0;
        node.bed_s = 0.0;
        sink.take(Entry { at: t_s, what });
        Ok(())
    }

    fn calibrate(
        &mut self,
        t_s: i64,
        id: InstrumentId,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let ins = self
            .steel
            .instruments
            .get(id.index())
            .ok_or(Refused::NoSuchThing)?;
        let quantity = ins.quantity;
        let (SamplePoint::Compartment(compartment) | SamplePoint::Sea(compartment)) = ins.labelled
        else {
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
        let what = What::Calibrated {
            instrument: id,
            quantity,
            compartment,
            as_found,
            as_left: standard,
        };
        sink.take(Entry { at: t_s, what });
        let bottle = (0u8..)
            .zip(&self.steel.banks)
            .find(|(_, b)| b.duty == crate::Duty::Calibration);
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
        sink.take(Entry {
            at: t_s,
            what: What::Analysed { bank, o2 },
        });
        Ok(())
    }

    fn sample_bank(&mut self, t_s: i64, bank: BankId, sink: &mut impl Sink) {
        if self.bank_at(bank, t_s).total() <= 10.0 * SAMPLE_MOL {
            return;
        }
        let state = &mut self.banks[bank.index()];
        let moles = self.bank_mixes[bank.index()].scaled(SAMPLE_MOL);
        state.n_mol = state.n_mol.plus(&moles.scaled(-1.0));
        let what = What::Moved {
            from: Place::Bank(bank),
            to: Place::Atmosphere,
            purpose: Purpose::Sample,
            moles,
        };
        sink.take(Entry { at: t_s, what });
    }
}
