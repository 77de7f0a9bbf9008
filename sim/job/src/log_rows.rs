//! The log's clock and its rows: at each cadence the readings and the truth of every chamber that
//! somebody lives or works in, every bank, every canister. Writing changes nothing but the books'
//! note of what has been given.

use crate::stations::Board;
use deepstay_core::record::{Entry, Sink, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::Crew;
use deepstay_plant::Plant;
use deepstay_scenario::Scenario;
use serde::{Deserialize, Serialize};

/// When the log is written.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(super) struct LogClock {
    every_s: i64,
    next_s: i64,
}

impl LogClock {
    pub(super) fn new(every_s: i64) -> Self {
        LogClock { every_s, next_s: 0 }
    }

    pub(super) fn next_s(&self) -> i64 {
        self.next_s
    }

    pub(super) fn due(&mut self, now_s: i64) -> bool {
        let due = now_s >= self.next_s;
        if due {
            self.next_s = now_s - now_s.rem_euclid(self.every_s) + self.every_s;
        }
        due
    }
}

/// What a chamber's row holds.
const QUANTITIES: [Quantity; 5] = [
    Quantity::Depth,
    Quantity::PpO2,
    Quantity::PpCo2,
    Quantity::Temperature,
    Quantity::Humidity,
];

/// What the row of a reclaim's tank holds: what its gas is to the divers it is given to.
const SUPPLIED: &[Quantity] = &[Quantity::PpO2, Quantity::PpCo2];

/// What a log row is written from.
pub(super) struct Seen<'a> {
    pub scenario: &'a Scenario,
    pub crew: &'a Crew,
    pub board: &'a Board,
}

impl Seen<'_> {
    /// Writes the row of a second; the plant notes what it has given.
    pub fn write_row(&self, at: i64, plant: &mut Plant, sink: &mut impl Sink) {
        let Seen {
            scenario,
            crew,
            board,
        } = *self;
        let mut put = |what| sink.take(Entry { at, what });
        for (i, c) in (0u8..).zip(&scenario.steel.compartments) {
            let compartment = CompartmentId(i);
            let logged = matches!(
                c.kind,
                CompartmentKind::Living
                    | CompartmentKind::Transfer
                    | CompartmentKind::Bell
                    | CompartmentKind::Rescue
                    | CompartmentKind::ReclaimTank
            );
            if !logged {
                continue;
            }
            let quantities = match c.kind {
                CompartmentKind::ReclaimTank => SUPPLIED,
                _ => &QUANTITIES[..],
            };
            for quantity in quantities.iter().copied() {
                for channel in [Channel::Primary, Channel::Secondary] {
                    // One that is turned to another vessel says nothing of this one.
                    let own = scenario.steel.instrument(compartment, quantity, channel);
                    if let Some(id) = own.filter(|id| plant.positions().turned_to(*id).is_none()) {
                        let value = plant.read(id, at);
                        put(What::Logged {
                            compartment,
                            quantity,
                            channel,
                            truth: Truth::Shown,
                            value,
                        });
                    }
                }
                let value = plant.truth(compartment, quantity, at);
                put(What::Logged {
                    compartment,
                    quantity,
                    channel: Channel::Primary,
                    truth: Truth::True,
                    value,
                });
            }
            let divers = (0..scenario.crew.len() as u8)
                .filter(|d| crew.whereabouts(DiverId(*d)) == Whereabouts::In(compartment))
                .count() as u8;
            put(What::Headcount {
                compartment,
                divers,
            });
            if c.scrubber.is_some() {
                let (run_s, fan, _) = plant.canister(compartment, at);
                put(What::ScrubberLogged {
                    compartment,
                    fan,
                    hours: run_s / 3600.0,
                });
            }
            let level = scenario
                .plan
                .levels
                .iter()
                .position(|s| s.members.contains(&compartment));
            if let Some(word) = level.and_then(|s| board.levels.get(s)) {
                put(What::Target {
                    compartment,
                    depth_msw: word.target_msw,
                });
            }
        }
        for (b, _) in (0u8..).zip(&scenario.steel.banks) {
            let bank = BankId(b);
            if let Some(id) = scenario.steel.bank_gauge(bank) {
                let gauge_bar = plant.read(id, at);
                put(What::BankLogged {
                    bank,
                    gauge_bar,
                    moles: plant.bank(bank, at),
                });
            }
        }
        put(What::LogRow);
        plant.give_flows(at, sink);
    }
}
