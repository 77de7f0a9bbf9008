//! What a fault does to the steel as it comes, and as it goes.

use crate::instruments::probe::Probe;
use crate::instruments::quantity;
use crate::orders::hand::Hand;
use crate::plant::{Changing, Plant};
use crate::state::setting::Hole;
use crate::steel::SamplePoint;
use deepstay_core::fault::FaultKind;
use deepstay_core::gas::{self, Amounts};
use deepstay_core::record::{Sink, ValveName};
use deepstay_core::units::*;

impl Plant {
    /// A fault comes (`on`), or goes. Wrong contents are none that comes: see [`Plant::fill_with`].
    pub fn fault(&mut self, t_s: i64, what: &FaultKind, on: bool, sink: &mut impl Sink) {
        let mut hand = Hand::new(self, t_s, sink);
        match *what {
            FaultKind::Leak {
                compartment,
                area_m2,
                hull_stop,
            } => {
                hand.give_flows();
                hand.touch(compartment.index());
                hand.setting_mut(compartment.index()).hole = Hole {
                    area_m2: if on { area_m2 } else { 0.0 },
                    has_stop: hull_stop,
                    stopped: false,
                };
            }
            FaultKind::FanStop { compartment } => {
                hand.touch(compartment.index());
                hand.setting_mut(compartment.index()).fan.failed = on;
            }
            FaultKind::ClimateStop { compartment } => {
                hand.touch(compartment.index());
                hand.setting_mut(compartment.index()).climate.failed = on;
            }
            FaultKind::ReclaimStop => hand.stop_reclaim(on),
            FaultKind::StuckValve { valve, opening } => {
                hand.stick_valve(valve, on.then_some(opening));
            }
            FaultKind::WrongContents { .. } => {}
            FaultKind::Drift {
                instrument,
                span_per_s,
                zero_per_s,
            } => {
                let (span, zero) = if on {
                    (span_per_s, zero_per_s)
                } else {
                    (0.0, 0.0)
                };
                hand.probe_mut(instrument).drift(t_s, span, zero);
                hand.look_again_at(instrument);
            }
            FaultKind::Frozen { instrument } => {
                let shows = hand.plant.read(instrument, t_s);
                hand.probe_mut(instrument).stick(on.then_some(shows));
                hand.look_again_at(instrument);
            }
            FaultKind::CrossConnected { instrument, to } => {
                hand.connect(instrument, on.then_some(to));
            }
        }
    }

    /// A bank holds something else than its label says, at the pressure that its gauge has now. It was filled so
    /// before the job, or before whatever is to be found of it begins: no mole appears from nowhere.
    pub fn fill_with(&mut self, t_s: i64, bank: BankId, mix: Amounts) {
        for i in 0..self.steel().compartments.len() {
            self.touch(i, t_s);
        }
        let p_pa = self.bank_pa(bank, t_s);
        let b = &self.steel().banks[bank.index()];
        let n = gas::state::total_moles(&mix, p_pa, b.volume_m3, b.t_k);
        let Changing { stock, .. } = self.changing();
        stock.fill(bank, mix.scaled(n));
    }

    /// Sets the errors of an instrument at the start: relative span, zero in its unit, and their drift per second.
    pub fn set_errors(
        &mut self,
        id: InstrumentId,
        span: f64,
        zero: f64,
        span_drift_per_s: f64,
        zero_drift_per_s: f64,
    ) {
        let probe = self.changing().instruments.probe_mut(id);
        probe.set_errors(span, zero, span_drift_per_s, zero_drift_per_s);
    }
}

impl<S: Sink> Hand<'_, S> {
    /// An instrument, to be changed.
    pub(crate) fn probe_mut(&mut self, id: InstrumentId) -> &mut Probe {
        self.plant.changing().instruments.probe_mut(id)
    }

    /// The line of an instrument really leads to another compartment, or to what its label says again.
    fn connect(&mut self, id: InstrumentId, to: Option<CompartmentId>) {
        let labelled = self.steel().instruments[id.index()].labelled;
        let own_line = to.map_or(labelled, SamplePoint::Compartment);
        let leads_to = self.probe_mut(id).lead_own_line(own_line);
        self.join(id, leads_to);
    }

    /// An instrument is really connected to something from now on.
    pub(crate) fn join(&mut self, id: InstrumentId, connected: SamplePoint) {
        let ins = &self.steel().instruments[id.index()];
        let quantity = quantity::measured(ins.quantity, connected);
        if let SamplePoint::Compartment(c) | SamplePoint::Sea(c) = connected {
            self.touch(c.index());
            let (t_s, here) = (self.t_s, self.plant.truth(c, quantity, self.t_s));
            self.probe_mut(id).connect(connected, t_s, here);
        } else {
            self.probe_mut(id).reconnect(connected);
        }
        let compartments = self.steel().compartments.len();
        self.plant.changing().instruments.list(compartments);
        self.plant.gather_gates();
    }

    /// Reclaim stops, or runs again: divers in the water breathe open circuit meanwhile.
    fn stop_reclaim(&mut self, failed: bool) {
        for i in 0..self.steel().compartments.len() {
            if self.steel().compartments[i].bell.is_some() {
                self.give_and_touch(i);
                self.setting_mut(i).reclaim.failed = failed;
            }
        }
        self.touch_loop();
        self.plant.gather_gates();
    }

    /// A valve stays at an opening, or moves again.
    fn stick_valve(&mut self, valve: ValveName, stuck: Option<f64>) {
        self.give_flows();
        for i in self.valve_ends(valve).into_iter().flatten() {
            self.touch(i);
        }
        if let Ok(state) = self.controls_mut().valve_mut(valve) {
            state.stuck = stuck;
            state.stopped = false;
        }
        self.plant.regroup(self.t_s);
    }
}
