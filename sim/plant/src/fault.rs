//! What a planned fault does to the steel.

use super::core::Plant;
use crate::SamplePoint;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{Sink, ValveName};
use deepstay_core::units::*;

impl Plant {
    /// A hole of effective area, m2; zero mends it.
    pub fn fault_leak(&mut self, t_s: i64, c: CompartmentId, area_m2: f64, sink: &mut impl Sink) {
        self.give_flows(t_s, sink);
        self.touch(c.index(), t_s);
        self.settings[c.index()].fault_leak_m2 = area_m2;
    }

    /// The scrubber fan stops, or runs again.
    pub fn fault_fan(&mut self, t_s: i64, c: CompartmentId, failed: bool) {
        self.touch(c.index(), t_s);
        self.settings[c.index()].fan_failed = failed;
    }

    /// The climate unit stops, or runs again.
    pub fn fault_climate(&mut self, t_s: i64, c: CompartmentId, failed: bool) {
        self.touch(c.index(), t_s);
        self.settings[c.index()].climate_failed = failed;
    }

    /// Reclaim stops, or runs again: what divers in the water breathe out goes to the sea meanwhile.
    pub fn fault_reclaim(&mut self, t_s: i64, failed: bool, sink: &mut impl Sink) {
        for i in 0..self.steel.compartments.len() {
            if self.steel.compartments[i].bell.is_some() {
                self.give_and_touch(i, t_s, sink);
                self.settings[i].reclaim_failed = failed;
                self.choose_reclaim_bank(i, t_s);
            }
        }
        self.list_gates();
    }

    /// A valve stays at an opening, or moves again.
    pub fn fault_valve(
        &mut self,
        t_s: i64,
        valve: ValveName,
        stuck: Option<f64>,
        sink: &mut impl Sink,
    ) {
        self.give_flows(t_s, sink);
        let ends = self.valve_ends(valve);
        for i in ends.into_iter().flatten() {
            self.touch(i, t_s);
        }
        if let Ok(state) = self.valve_state_mut(valve) {
            state.stuck = stuck;
        }
        self.regroup(t_s);
    }

    /// A bank was filled with something else than its label says: before the job, so that no mole
    /// appears from nowhere. Same pressure, other gas.
    pub fn fault_contents(&mut self, bank: BankId, mix: Amounts) {
        let b = &self.steel.banks[bank.index()];
        let p_pa = b.fill_gauge_pa + self.steel.surface_pa;
        let n = deepstay_core::gas::state::total_moles(&mix, p_pa, b.volume_m3, b.t_k);
        self.bank_mixes[bank.index()] = mix;
        self.make_ready();
        self.banks[bank.index()].n_mol = mix.scaled(n);
    }

    /// An instrument drifts at these rates from now on; what it has drifted stays.
    pub fn fault_drift(&mut self, t_s: i64, id: InstrumentId, span_per_s: f64, zero_per_s: f64) {
        let probe = &mut self.probes[id.index()];
        let since = (t_s - probe.since_s) as f64;
        probe.span += probe.span_drift_per_s * since;
        probe.zero += probe.zero_drift_per_s * since;
        probe.since_s = t_s;
        probe.span_drift_per_s = span_per_s;
        probe.zero_drift_per_s = zero_per_s;
        self.look_again(t_s);
    }

    /// An instrument keeps showing what it shows now, or lives again.
    pub fn fault_frozen(&mut self, t_s: i64, id: InstrumentId, frozen: bool) {
        let shows = self.read(id, t_s);
        self.probes[id.index()].frozen = frozen.then_some(shows);
        self.look_again(t_s);
    }

    /// An instrument is really connected to another compartment, or to what its label says again.
    pub fn fault_connected(&mut self, t_s: i64, id: InstrumentId, to: Option<CompartmentId>) {
        let ins = &self.steel.instruments[id.index()];
        let quantity = ins.quantity;
        let connected = to.map_or(ins.labelled, SamplePoint::Compartment);
        if let SamplePoint::Compartment(c) | SamplePoint::Sea(c) = connected {
            self.touch(c.index(), t_s);
            let here = self.true_value(c.index(), &self.nodes[c.index()], quantity, t_s as f64);
            let probe = &mut self.probes[id.index()];
            probe.past = [(t_s, here); 40];
            probe.at_s = t_s;
            probe.course = None;
        }
        self.probes[id.index()].connected = connected;
        self.list_probes();
    }
}
