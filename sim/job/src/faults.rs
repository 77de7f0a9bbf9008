//! Planned faults: when each comes and goes, and what it does to the steel.

use deepstay_core::record::{Entry, Sink, What};
use deepstay_plant::Plant;
use deepstay_scenario::{FaultKind, Scenario};
use serde::{Deserialize, Serialize};

/// Which faults have come and gone.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct FaultBook {
    come: Vec<bool>,
    gone: Vec<bool>,
}

impl FaultBook {
    pub(super) fn new(scenario: &Scenario) -> Self {
        let n = scenario.faults.len();
        FaultBook {
            come: vec![false; n],
            gone: vec![false; n],
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
