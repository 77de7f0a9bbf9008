//! The standard set of instruments, made from the spread and a few figures.

use crate::file::{InstrumentsFile, LetDown};
use deepstay_core::units::*;
use deepstay_plant::{Door, Instrument, SamplePoint, Steel};

/// Full scale of a bank's gauge, bar.
const BANK_CEILING_BAR: f64 = 400.0;
/// Accuracy of a bank's gauge, bar (0.25 % of full scale; common practice, no source).
const BANK_ACCURACY_BAR: f64 = 1.0;
/// Accuracy of a thermometer, K, and of a hygrometer (common practice, no source).
const CLIMATE_ACCURACY: (f64, f64) = (0.2, 0.02);
/// How far past its compartment's rating a depth gauge reads.
const GAUGE_RESERVE: f64 = 1.2;

/// All instruments of a spread, in the order of its compartments, then its banks. What a spread has beside the one of each
/// comes last, evacuation units that stand by and second analysers, so that the errors that a job draws for the rest are the
/// same with them and without.
pub fn standard(file: &InstrumentsFile, steel: &Steel) -> Vec<Instrument> {
    let mut set = Vec::new();
    let ids = || (0u8..).map(CompartmentId).take(steel.compartments.len());
    for id in ids().filter(|id| !stands_by(steel, *id)) {
        of_compartment((file, steel), id, &mut set);
    }
    of_banks(file, steel, &mut set);
    for id in ids().filter(|id| stands_by(steel, *id)) {
        of_compartment((file, steel), id, &mut set);
    }
    if file.second_carbon_dioxide {
        let second = |i: &&Instrument| i.quantity == Quantity::PpCo2 && is_lived_in(steel, i);
        let seconds: Vec<Instrument> = set.iter().filter(second).map(second_of).collect();
        set.extend(seconds);
    }
    set
}

/// Whether a compartment is an evacuation unit behind doors that are shut at the start.
fn stands_by(steel: &Steel, id: CompartmentId) -> bool {
    let is_unit = steel.compartments[id.index()].kind == CompartmentKind::Rescue;
    let open = |d: &Door| d.touches(id) && d.open_at_start;
    is_unit && !steel.doors.iter().any(open)
}

fn of_compartment(
    (file, steel): (&InstrumentsFile, &Steel),
    id: CompartmentId,
    set: &mut Vec<Instrument>,
) {
    let c = &steel.compartments[id.index()];
    let point = SamplePoint::Compartment(id);
    let lived_in = lived_in(c.kind);
    let mut add = |quantity, channel, lag_s: f64, accuracy, resolution, ceiling, sampled: bool| {
        let line = sampled && c.sample_mol_s > 0.0;
        set.push(Instrument {
            name: tag(&c.name, quantity, channel),
            quantity,
            labelled: point,
            connected: point,
            channel,
            lag_s,
            line_m3: if line { line_m3(file) } else { 0.0 },
            line_mol_s: if line { c.sample_mol_s } else { 0.0 },
            let_down_at_penetrator: file.let_down == LetDown::Penetrator,
            span: 0.0,
            zero: 0.0,
            span_drift_per_s: 0.0,
            zero_drift_per_s: 0.0,
            accuracy,
            resolution,
            ceiling,
        });
    };
    let (gauge, analyser, slow) = (
        file.gauge_lag.0 as f64,
        file.analyser_lag.0 as f64,
        file.climate_lag.0 as f64,
    );
    let deepest = c.rating_msw * GAUGE_RESERVE;
    let both = [Channel::Primary, Channel::Secondary];
    let bar = |p: deepstay_core::units::text::Partial| p.0 / BAR_PA;
    for channel in both {
        let second = channel == Channel::Secondary;
        if !second || lived_in || c.kind == CompartmentKind::Trunk {
            add(
                Quantity::Depth,
                channel,
                gauge,
                file.depth_accuracy.0,
                file.depth_step.0,
                deepest,
                false,
            );
        }
    }
    if lived_in || c.kind == CompartmentKind::ReclaimTank {
        for channel in both {
            let (accuracy, step) = (bar(file.oxygen_accuracy), bar(file.oxygen_step));
            add(
                Quantity::PpO2,
                channel,
                analyser,
                accuracy,
                step,
                bar(file.oxygen_ceiling),
                true,
            );
        }
        let (accuracy, step) = (
            bar(file.carbon_dioxide_accuracy),
            bar(file.carbon_dioxide_step),
        );
        let ceiling = bar(file.carbon_dioxide_ceiling);
        add(
            Quantity::PpCo2,
            Channel::Primary,
            analyser,
            accuracy,
            step,
            ceiling,
            true,
        );
    }
    if lived_in {
        let (t, rh) = CLIMATE_ACCURACY;
        add(
            Quantity::Temperature,
            Channel::Primary,
            slow,
            t,
            0.1,
            400.0,
            false,
        );
        add(
            Quantity::Humidity,
            Channel::Primary,
            slow,
            rh,
            0.01,
            1.0,
            false,
        );
    }
    if c.kind == CompartmentKind::Bell {
        add(
            Quantity::SeaDepth,
            Channel::Primary,
            gauge,
            file.depth_accuracy.0,
            file.depth_step.0,
            deepest,
            false,
        );
        if let Some(sea) = set.last_mut() {
            sea.labelled = SamplePoint::Sea(id);
            sea.connected = SamplePoint::Sea(id);
        }
    }
}

fn of_banks(file: &InstrumentsFile, steel: &Steel, set: &mut Vec<Instrument>) {
    for (i, b) in (0u8..).zip(&steel.banks) {
        let point = SamplePoint::Bank(BankId(i));
        set.push(Instrument {
            name: format!("{} gauge", b.name),
            quantity: Quantity::GaugePressure,
            labelled: point,
            connected: point,
            channel: Channel::Primary,
            lag_s: file.gauge_lag.0 as f64,
            line_m3: 0.0,
            line_mol_s: 0.0,
            let_down_at_penetrator: true,
            span: 0.0,
            zero: 0.0,
            span_drift_per_s: 0.0,
            zero_drift_per_s: 0.0,
            accuracy: BANK_ACCURACY_BAR,
            resolution: 0.1,
            ceiling: BANK_CEILING_BAR,
        });
    }
}

/// Whether an instrument is labelled for a compartment that people are in.
fn is_lived_in(steel: &Steel, instrument: &Instrument) -> bool {
    let SamplePoint::Compartment(at) = instrument.labelled else {
        return false;
    };
    lived_in(steel.compartments[at.index()].kind)
}

/// An instrument like another, beside it.
fn second_of(first: &Instrument) -> Instrument {
    Instrument {
        name: format!("{} 2", first.name),
        channel: Channel::Secondary,
        ..first.clone()
    }
}

fn lived_in(kind: CompartmentKind) -> bool {
    matches!(
        kind,
        CompartmentKind::Living
            | CompartmentKind::Transfer
            | CompartmentKind::Rescue
            | CompartmentKind::Bell
    )
}

fn line_m3(file: &InstrumentsFile) -> f64 {
    std::f64::consts::PI / 4.0 * file.line_bore.0 * file.line_bore.0 * file.line.0
}

fn tag(compartment: &str, quantity: Quantity, channel: Channel) -> String {
    let what = match quantity {
        Quantity::Depth => "depth",
        Quantity::PpO2 => "ppO2",
        Quantity::FO2 => "FO2",
        Quantity::PpCo2 => "ppCO2",
        Quantity::Temperature => "temperature",
        Quantity::Humidity => "humidity",
        Quantity::GaugePressure => "gauge",
        Quantity::SeaDepth => "sea depth",
    };
    let which = if channel == Channel::Secondary {
        " 2"
    } else {
        ""
    };
    format!("{compartment} {what}{which}")
}
