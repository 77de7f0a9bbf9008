//! Planned faults in words, for the course of the job: what went wrong, where, and by how much.

use super::inputs::Subject;
use super::words::Words;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::fixed;
use deepstay_core::units::{Channel, InstrumentId};
use deepstay_plant::{Instrument, SamplePoint, Steel};
use deepstay_scenario::FaultKind;

/// Square metres in a square millimetre.
const MM2: f64 = 1e-6;

/// A fault in words.
pub(super) fn fault(subject: &Subject, steel: &Steel, what: &FaultKind) -> String {
    let shown = |id: InstrumentId| {
        let plate = steel.instruments.get(id.index());
        plate.map_or_else(|| "an instrument".into(), |i| instrument(subject, i))
    };
    match *what {
        FaultKind::Leak {
            compartment,
            area_m2,
        } => {
            format!(
                "leak of {} mm² effective in {}",
                fixed(area_m2 / MM2, 2),
                subject.vessel(compartment)
            )
        }
        FaultKind::FanStop { compartment } => {
            format!("scrubber fan of {} stopped", subject.vessel(compartment))
        }
        FaultKind::ClimateStop { compartment } => {
            format!("climate unit of {} stopped", subject.vessel(compartment))
        }
        FaultKind::ReclaimStop => "diver-gas reclaim stopped".to_owned(),
        FaultKind::StuckValve { valve, opening } => {
            format!(
                "{} valve stuck at {} %",
                subject.valve(valve),
                fixed(opening * 100.0, 0)
            )
        }
        FaultKind::WrongContents { bank, mix } => {
            format!("bank {} holds {}", subject.bank(bank), mixture(&mix))
        }
        FaultKind::Drift { instrument, .. } => format!("{} drifts", shown(instrument)),
        FaultKind::Frozen { instrument } => format!("{} stands still", shown(instrument)),
        FaultKind::CrossConnected { instrument, to } => {
            format!("{} reads {}", shown(instrument), subject.vessel(to))
        }
    }
}

fn instrument(subject: &Subject, plate: &Instrument) -> String {
    let quantity = plate.quantity.words();
    let channel = match plate.channel {
        Channel::Primary => "primary",
        Channel::Secondary => "secondary",
    };
    match plate.labelled {
        SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
            format!("{} {quantity}, {channel} instrument,", subject.vessel(c))
        }
        SamplePoint::Bank(b) => format!("{quantity} gauge of bank {}", subject.bank(b)),
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
