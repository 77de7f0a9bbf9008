//! Planned faults in words, for the course of the job: what went wrong, where, and by how much.

use crate::{FaultKind, Scenario};
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::{InstrumentId, Units, fixed};
use deepstay_core::words::{Names, Words};
use deepstay_plant::{Instrument, SamplePoint};

/// Square metres in a square millimetre.
const MM2: f64 = 1e-6;
/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

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
                let valve = self.valve(valve);
                match opening > 0.0 {
                    true => format!("{valve} valve stuck {} % open", fixed(opening * 100.0, 0)),
                    false => format!("{valve} valve stuck shut"),
                }
            }
            FaultKind::WrongContents { bank, mix } => {
                format!("bank {} holds {}", self.bank(bank), mixture(&mix))
            }
            FaultKind::Drift {
                instrument,
                span_per_s,
                zero_per_s,
            } => format!(
                "{} drifts{}",
                shown(instrument),
                drift(self, instrument, span_per_s, zero_per_s)
            ),
            FaultKind::Frozen { instrument } => format!("{} stands still", shown(instrument)),
            FaultKind::CrossConnected { instrument, to } => {
                format!("{} reads {}", shown(instrument), self.compartment(to))
            }
        }
    }
}

/// How fast an instrument drifts, and which way.
fn drift(scenario: &Scenario, id: InstrumentId, span_per_s: f64, zero_per_s: f64) -> String {
    let sign = |v: f64| if v < 0.0 { "down" } else { "up" };
    let mut words = String::new();
    if zero_per_s != 0.0
        && let Some(plate) = scenario.steel.instruments.get(id.index())
    {
        let scale = Units::Metric.scale(plate.quantity);
        let an_hour = (scale.of(zero_per_s * HOUR_S) - scale.of(0.0)).abs();
        let (by, unit) = (figures(an_hour), scale.plain);
        words += &format!(" {} by {by} {unit} an hour", sign(zero_per_s));
    }
    if span_per_s != 0.0 {
        let an_hour = figures((span_per_s * HOUR_S * 100.0).abs());
        words += &format!(
            " {} by {an_hour} % of what it reads an hour",
            sign(span_per_s)
        );
    }
    words
}

/// A number above nothing to two figures.
fn figures(value: f64) -> String {
    let decimals = (0..6).find(|d| value * libm::pow(10.0, f64::from(*d)) >= 10.0);
    fixed(value, decimals.unwrap_or(6) as usize)
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
