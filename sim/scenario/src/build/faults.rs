//! Planned faults.

use super::{Names, Part, steel::area_m2, stock};
use crate::file::{FaultWhat, FaultsFile, InstrumentFile, ValveFile};
use crate::{Fault, FaultKind};
use deepstay_core::record::ValveName;
use deepstay_core::units::*;
use deepstay_plant::{SamplePoint, Steel};
use deepstay_read::{Diagnostics, Section, Wrong, did_you_mean, nearest};

/// The faults in order of time.
pub fn planned(
    part: &Part<FaultsFile>,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Vec<Fault> {
    let Part { file, section } = part;
    let mut faults = Vec::new();
    for (i, f) in file.planned.iter().enumerate() {
        let path = format!("planned[{i}]");
        if i > 0 && file.planned[i - 1].at > f.at {
            let words =
                "faults are written in order of time, and this one is before the one above it"
                    .to_owned();
            diagnostics.add(section, &format!("{path}.at"), Wrong::Contradiction(words));
        }
        if f.until.is_some_and(|until| until <= f.at) {
            let words = "a fault is put right after it comes".to_owned();
            diagnostics.add(
                section,
                &format!("{path}.until"),
                Wrong::Contradiction(words),
            );
        }
        if let Some(what) = what(&f.what, f.at.0, &path, section, names, steel, diagnostics) {
            faults.push(Fault {
                at: f.at.0,
                until: f.until.map(|u| u.0),
                what,
            });
        }
    }
    faults
}

pub fn what(
    what: &FaultWhat,
    at_s: i64,
    path: &str,
    section: &Section,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Option<FaultKind> {
    let at = format!("{path}.what");
    match what {
        FaultWhat::Leak {
            compartment,
            bore,
            discharge,
            hull_stop,
        } => {
            let found = names.compartment(
                compartment,
                section,
                &format!("{at}.compartment"),
                diagnostics,
            );
            if !(0.1..=1.0).contains(&discharge.0) {
                let words = "a discharge coefficient lies between 0.1 and 1".to_owned();
                diagnostics.add(section, &format!("{at}.discharge"), Wrong::Value(words));
            }
            Some(FaultKind::Leak {
                compartment: found?,
                area_m2: area_m2(bore.0, discharge.0),
                hull_stop: *hull_stop,
            })
        }
        FaultWhat::FanStop(name) => {
            let compartment = names.compartment(name, section, &at, diagnostics)?;
            let scrubber = steel.compartments[compartment.index()].scrubber;
            let words = match scrubber {
                None => Some("has no scrubber"),
                Some(s) if s.flow_m3_s <= 0.0 => Some(
                    "has absorbent and no fan: what divers breathe out is driven through it; ReclaimStop stops that",
                ),
                Some(_) => None,
            };
            if let Some(words) = words {
                let words = format!("`{name}` {words}");
                diagnostics.add(section, &at, Wrong::Contradiction(words));
            }
            Some(FaultKind::FanStop { compartment })
        }
        FaultWhat::ClimateStop(name) => {
            let compartment = names.compartment(name, section, &at, diagnostics)?;
            if steel.compartments[compartment.index()].climate.is_none() {
                diagnostics.add(
                    section,
                    &at,
                    Wrong::Contradiction(format!("`{name}` has no climate unit")),
                );
            }
            Some(FaultKind::ClimateStop { compartment })
        }
        FaultWhat::ReclaimStop => {
            if steel.reclaim.is_none() && !names.reclaim {
                let words = "there is no reclaim that could stop".to_owned();
                let how = Some(
                    "add reclaim: (charge: Heliox(\"5 %\"), open_circuit: \"NAME\", recovery: \"90 %\") to the stock".to_owned(),
                );
                diagnostics.add_with(section, &at, Wrong::Contradiction(words), how);
            }
            Some(FaultKind::ReclaimStop)
        }
        FaultWhat::StuckValve { valve, opening } => {
            let valve = valve_name(
                valve,
                &format!("{at}.valve"),
                section,
                names,
                steel,
                diagnostics,
            )?;
            Some(FaultKind::StuckValve {
                valve,
                opening: opening.0,
            })
        }
        FaultWhat::WrongContents { bank, contents } => {
            let found = names.bank(bank, section, &format!("{at}.bank"), diagnostics);
            let mix = stock::mix(contents, section, &format!("{at}.contents"), diagnostics);
            if at_s != 0 {
                let words = "a wrong fill is there from the start".to_owned();
                diagnostics.add_with(
                    section,
                    &format!("{path}.at"),
                    Wrong::Contradiction(words),
                    Some("write at: \"0 s\"".to_owned()),
                );
            }
            Some(FaultKind::WrongContents { bank: found?, mix })
        }
        FaultWhat::Drift {
            instrument,
            span,
            zero,
            over,
        } => {
            let found = find(
                instrument,
                &format!("{at}.instrument"),
                section,
                names,
                steel,
                diagnostics,
            );
            if over.0 < 60 {
                let words = "a drift takes a minute at least".to_owned();
                diagnostics.add(section, &format!("{at}.over"), Wrong::Value(words));
                return None;
            }
            let over_s = over.0 as f64;
            Some(FaultKind::Drift {
                instrument: found?,
                span_per_s: span.0 / over_s,
                zero_per_s: zero.0 / over_s,
            })
        }
        FaultWhat::Frozen { instrument } => {
            let instrument = find(
                instrument,
                &format!("{at}.instrument"),
                section,
                names,
                steel,
                diagnostics,
            )?;
            Some(FaultKind::Frozen { instrument })
        }
        FaultWhat::CrossConnected { instrument, to } => {
            let found = find(
                instrument,
                &format!("{at}.instrument"),
                section,
                names,
                steel,
                diagnostics,
            );
            let to = names.compartment(to, section, &format!("{at}.to"), diagnostics)?;
            Some(FaultKind::CrossConnected {
                instrument: found?,
                to,
            })
        }
    }
}

fn valve_name(
    valve: &ValveFile,
    path: &str,
    section: &Section,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Option<ValveName> {
    let (ValveFile::BlowDown(name)
    | ValveFile::Oxygen(name)
    | ValveFile::Exhaust(name)
    | ValveFile::Bleed(name)
    | ValveFile::Drain(name)
    | ValveFile::Equalise(name)) = valve;
    let lacks = |diagnostics: &mut Diagnostics| {
        let words = format!("`{name}` has no such valve");
        diagnostics.add(section, path, Wrong::Contradiction(words));
    };
    if matches!(valve, ValveFile::Equalise(_)) {
        let door = names.door(name, section, path, diagnostics)?;
        if steel
            .doors
            .get(door.index())
            .is_some_and(|d| d.equalise_m2 <= 0.0)
        {
            lacks(diagnostics);
            return None;
        }
        return Some(ValveName::Equalise(door));
    }
    let c = names.compartment(name, section, path, diagnostics)?;
    let plate = &steel.compartments[c.index()];
    let (found, area) = match valve {
        ValveFile::BlowDown(_) => (ValveName::BlowDown(c), plate.blow_down_m2),
        ValveFile::Oxygen(_) => (ValveName::Oxygen(c), plate.oxygen_m2),
        ValveFile::Bleed(_) => (ValveName::Bleed(c), plate.bleed_m2),
        ValveFile::Drain(_) => (ValveName::Drain(c), plate.drain_m2),
        _ => (ValveName::Exhaust(c), plate.exhaust_m2),
    };
    if area <= 0.0 {
        lacks(diagnostics);
        return None;
    }
    Some(found)
}

fn find(
    instrument: &InstrumentFile,
    path: &str,
    section: &Section,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Option<InstrumentId> {
    let label = |point: SamplePoint| match point {
        SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
            steel.compartments[c.index()].name.as_str()
        }
        SamplePoint::Bank(b) => steel.banks[b.index()].name.as_str(),
    };
    let of_it = |i: &&deepstay_plant::Instrument| label(i.labelled) == instrument.of;
    if !steel.instruments.iter().any(|i| of_it(&i)) {
        // Nothing has the name: say so among the compartments, or as a bank's name nearly hit.
        let banks = steel.banks.iter().map(|b| b.name.as_str());
        match nearest(&instrument.of, banks) {
            Some(bank) => {
                let wrong = Wrong::NoSuch {
                    kind: "bank",
                    name: instrument.of.clone(),
                    known: vec![bank.to_owned()],
                };
                diagnostics.add_with(
                    section,
                    &format!("{path}.of"),
                    wrong,
                    did_you_mean(Some(bank)),
                );
            }
            None => {
                names.compartment(&instrument.of, section, &format!("{path}.of"), diagnostics);
            }
        }
        return None;
    }
    let found = (0u16..).zip(&steel.instruments).find(|(_, i)| {
        of_it(i) && i.quantity == instrument.quantity && i.channel == instrument.channel
    });
    if found.is_none() {
        let known = steel
            .instruments
            .iter()
            .filter(of_it)
            .map(|i| format!("{:?} {:?}", i.channel, i.quantity))
            .collect();
        let name = format!(
            "{:?} {:?} of {}",
            instrument.channel, instrument.quantity, instrument.of
        );
        diagnostics.add(
            section,
            path,
            Wrong::NoSuch {
                kind: "instrument",
                name,
                known,
            },
        );
    }
    found.map(|(i, _)| InstrumentId(i))
}
