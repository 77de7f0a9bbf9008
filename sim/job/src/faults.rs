//! Planned faults: when each comes and goes, and what it does to the steel.

use deepstay_core::record::{Entry, Sink, ValveName, What};
use deepstay_core::units::CompartmentId;
use deepstay_plant::{Plant, Steel};
use deepstay_scenario::{Fault, FaultKind, Scenario};
use serde::{Deserialize, Serialize};

/// Which faults have come and gone.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct FaultBook {
    come: Vec<bool>,
    gone: Vec<bool>,
}

/// Where a fault makes a noise that people beside it hear, if gas rushes there and the hole is no smaller than what is
/// heard, m2.
fn heard_in(what: &FaultKind, steel: &Steel, heard_m2: f64) -> Option<CompartmentId> {
    let plate = |c: CompartmentId| &steel.compartments[c.index()];
    let (c, area_m2) = match *what {
        FaultKind::Leak {
            compartment,
            area_m2,
            ..
        } => (compartment, area_m2),
        FaultKind::StuckValve { valve, opening } => match valve {
            ValveName::Exhaust(c) => (c, opening * plate(c).exhaust_m2),
            ValveName::Bleed(c) => (c, opening * plate(c).bleed_m2),
            ValveName::Drain(c) => (c, opening * plate(c).drain_m2),
            ValveName::BlowDown(_) | ValveName::Oxygen(_) | ValveName::Equalise(_) => return None,
        },
        FaultKind::FanStop { .. }
        | FaultKind::ClimateStop { .. }
        | FaultKind::ReclaimStop
        | FaultKind::WrongContents { .. }
        | FaultKind::Drift { .. }
        | FaultKind::Frozen { .. }
        | FaultKind::CrossConnected { .. } => return None,
    };
    (area_m2 >= heard_m2).then_some(c)
}

/// Where the faults that come at a second are heard.
pub(super) fn heard(scenario: &Scenario, now_s: i64) -> impl Iterator<Item = CompartmentId> {
    let come = scenario.faults.iter().filter(move |f| f.at == now_s);
    come.filter_map(|f| heard_in(&f.what, &scenario.steel, scenario.voices.gas_heard))
}

impl FaultBook {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let n = scenario.faults.len();
        FaultBook {
            come: vec![false; n],
            gone: vec![false; n],
        }
    }

    /// Of a job that is taken up at a second: what was over before has been, and does nothing.
    pub(super) fn taken_up(scenario: &Scenario, at_s: i64) -> Self {
        let over = |fault: &Fault| fault.until.is_some_and(|until| until <= at_s);
        let over: Vec<bool> = scenario.faults.iter().map(over).collect();
        FaultBook {
            come: over.clone(),
            gone: over,
        }
    }

    /// Wrong contents lie in a bank from before the start: no mole appears from nowhere.
    pub(super) fn before_start(&self, scenario: &Scenario, plant: &mut Plant) {
        for fault in &scenario.faults {
            if let FaultKind::WrongContents { bank, mix } = fault.what {
                plant.fill_with(0, bank, mix);
            }
        }
    }

    /// The scenario that it belongs to has more faults than before, after those it had.
    pub(super) fn attach(&mut self, scenario: &Scenario) {
        let n = scenario.faults.len();
        self.come.resize(n, false);
        self.gone.resize(n, false);
    }

    /// The next second at which one comes or goes.
    pub(super) fn next_s(&self, scenario: &Scenario) -> i64 {
        let coming = scenario
            .faults
            .iter()
            .zip(&self.come)
            .filter(|(_, come)| !**come)
            .map(|(f, _)| f.at);
        let going = scenario
            .faults
            .iter()
            .zip(&self.gone)
            .filter(|(_, gone)| !**gone)
            .filter_map(|(f, _)| f.until);
        coming.chain(going).min().unwrap_or(i64::MAX)
    }

    pub(super) fn act(
        &mut self,
        now_s: i64,
        scenario: &Scenario,
        plant: &mut Plant,
        sink: &mut impl Sink,
    ) {
        for (k, fault) in scenario.faults.iter().enumerate() {
            let number = u16::try_from(k).unwrap_or(u16::MAX);
            if !self.come[k] && fault.at <= now_s {
                self.come[k] = true;
                plant.fault(now_s, &fault.what, true, sink);
                sink.take(Entry {
                    at: now_s,
                    what: What::Fault {
                        fault: number,
                        active: true,
                    },
                });
            }
            if !self.gone[k] && fault.until.is_some_and(|t| t <= now_s) {
                self.gone[k] = true;
                plant.fault(now_s, &fault.what, false, sink);
                sink.take(Entry {
                    at: now_s,
                    what: What::Fault {
                        fault: number,
                        active: false,
                    },
                });
            }
        }
    }
}
