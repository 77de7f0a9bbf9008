//! Planned faults in words, for the course of the job: what went wrong, where, and by how much.

use crate::{FaultKind, Scenario};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::{InstrumentId, fixed};
use deepstay_core::words::{Names, Words};
use deepstay_plant::{Instrument, SamplePoint};

/// Square metres in a square millimetre.
const MM2: f64 = 1e-6;

impl Scenario {
    /// What goes wrong by a fault, where, and by how much, in words.
    pub fn fault_words(&self, what: &FaultKind) -> String {
        let shown = |id: InstrumentId| {
            let plate = self.steel.instruments.get(id.index());
            plate.map_or_else(|| "an instrument".into(), |i| instrument_words(self, i))
        };
        match *what {
            FaultKind::Leak {
                compartment,
                area_m2,
                hull_stop,
            } => {
                let stop = if hull_stop { ", with a hull stop" } else { "" };
                format!(
                    "leak of {} mm² effective in {}{stop}",
                    fixed(area_m2 / MM2, 2),
                    self.compartment(compartment)
                )
            }
            FaultKind::FanStop { compartment } => {
                format!("scrubber fan of {} stopped", self.compartment(compartment))
            }
            FaultKind::ClimateStop { compartment } => {
                format!("climate unit of {} stopped", self.compartment(compartment))
            }
            FaultKind::ReclaimStop => "diver-gas reclaim stopped".to_owned(),
            FaultKind::StuckValve { valve, opening } => {
                format!(
                    "{} valve stuck at {} %",
                    self.valve(valve),
                    fixed(opening * 100.0, 0)
                )
            }
            FaultKind::WrongContents { bank, mix } => {
                format!("bank {} holds {}", self.bank(bank), mixture(&mix))
            }
            FaultKind::Drift { instrument, .. } => format!("{} drifts", shown(instrument)),
            FaultKind::Frozen { instrument } => format!("{} stands still", shown(instrument)),
            FaultKind::CrossConnected { instrument, to } => {
                format!("{} reads {}", shown(instrument), self.compartment(to))
            }
        }
    }
}

fn instrument_words(scenario: &Scenario, plate: &Instrument) -> String {
    let quantity = plate.quantity.words();
    let channel = plate.channel.words();
    match plate.labelled {
        SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
            format!(
                "{} {quantity}, {channel} instrument,",
                scenario.compartment(c)
            )
        }
        SamplePoint::Bank(b) => format!("{quantity} gauge of bank {}", scenario.bank(b)),
    }
}

fn mixture(mix: &Amounts) -> String {
    let share = |s: Species| mix[s] / mix.total().max(f64::MIN_POSITIVE);
    let o2 = fixed(share(Species::O2) * 100.0, 1);
    match (share(Species::He), share(Species::N2)) {
        (he, n2) if he > n2 => format!("O2 {o2} %, rest He"),
        (_, n2) if n2 > 0.0 => format!("O2 {o2} %, rest N2"),
        _ => format!("O2 {o2} %"),
    }
}
