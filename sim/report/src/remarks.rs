//! What was done and what happened, as the remarks of a log.

use super::inputs::{Subject, Units};
use super::words::Words;
use deepstay_core::record::{
    AlarmSource, AlarmState, Entry, LineName, Phase, Routine, Spoken, ValveName, What, Whereabouts,
};
use deepstay_core::units::fixed;
use deepstay_core::units::{CompartmentId, Quantity};

/// Which compartment an act is written beside; none for what concerns the ship.
pub fn beside(subject: &Subject, what: &What) -> Option<CompartmentId> {
    match *what {
        What::Door { door, .. }
        | What::Valve {
            valve: ValveName::Equalise(door),
            ..
        } => subject.door_of.get(door.index()).copied(),
        What::Valve { valve, .. } => match valve {
            ValveName::BlowDown(c) | ValveName::Oxygen(c) | ValveName::Exhaust(c) => Some(c),
            ValveName::Bleed(c) | ValveName::Drain(c) => Some(c),
            ValveName::Equalise(_) => None,
        },
        What::LinedUp { line, .. } => match line {
            LineName::Supply(c) | LineName::Oxygen(c) | LineName::Bibs(c) => Some(c),
            LineName::DiverMain(c) | LineName::DiverSecondary(c) => Some(c),
        },
        What::Canister { compartment, .. }
        | What::Machine { compartment, .. }
        | What::Calibrated { compartment, .. }
        | What::Limit { compartment, .. }
        | What::Alarm { compartment, .. }
        | What::Phase { compartment, .. }
        | What::Step { compartment, .. }
        | What::Routine { compartment, .. } => Some(compartment),
        What::BellPhase { bell, .. } | What::BellStopped { bell, .. } => Some(bell),
        What::Diver {
            to: Whereabouts::In(c) | Whereabouts::Water(c),
            ..
        } => Some(c),
        _ => None,
    }
}

/// A calibration in words, for the column of its own.
pub fn calibration(what: &What, units: Units) -> Option<String> {
    let What::Calibrated {
        quantity,
        as_found,
        as_left,
        ..
    } = *what
    else {
        return None;
    };
    let scale = units.scale(quantity);
    let (found, left) = (scale.digits(as_found), scale.digits(as_left));
    Some(format!(
        "{} as found {found}, as left {left} {}",
        quantity.words(),
        scale.plain
    ))
}

/// An act in words; none where a column of the log already tells it.
pub fn remark(subject: &Subject, units: Units, entry: &Entry) -> Option<String> {
    let depth = units.scale(Quantity::Depth);
    Some(match entry.what {
        What::Door { door, state } => format!("{} {}", subject.door(door), state.words()),
        What::Valve { valve, opening } if opening > 0.0 => {
            format!(
                "{} opened {} %",
                subject.valve(valve),
                fixed(opening * 100.0, 0)
            )
        }
        What::Valve { valve, .. } => format!("{} shut", subject.valve(valve)),
        What::LinedUp { line, bank } => format!(
            "bank {} lined up to {}",
            subject.bank(bank),
            line_words(line)
        ),
        What::Canister { hours, .. } => format!("absorbent changed after {} h", fixed(hours, 1)),
        What::Machine { machine, on, .. } => {
            format!("{} {}", machine.words(), if on { "on" } else { "off" })
        }
        What::Analysed { bank, o2 } => format!(
            "bank {} analysed: O2 {} %",
            subject.bank(bank),
            fixed(o2 * 100.0, 2)
        ),
        What::Limit {
            quantity,
            side,
            limit,
            truth,
            outside,
            ..
        } => {
            let how = if outside { "past" } else { "back within" };
            let by = truth.words();
            format!(
                "{} {how} {} limit {} ({by})",
                quantity.words(),
                side.words(),
                plain(units, quantity, limit)
            )
        }
        What::Alarm {
            quantity,
            side,
            state,
            value,
            ..
        } => match state {
            AlarmState::Unacknowledged => {
                format!(
                    "ALARM {} {} at {}",
                    quantity.words(),
                    side.words(),
                    plain(units, quantity, value)
                )
            }
            AlarmState::Acknowledged => return None,
            AlarmState::Normal => {
                format!("alarm {} {} back to normal", quantity.words(), side.words())
            }
        },
        What::BankAlarm {
            bank,
            state,
            gauge_bar,
        } => match state {
            AlarmState::Unacknowledged => {
                let at = plain(units, Quantity::GaugePressure, gauge_bar);
                format!("ALARM {} at {at}", subject.alarm(AlarmSource::Bank(bank)))
            }
            AlarmState::Acknowledged => return None,
            AlarmState::Normal => format!(
                "alarm {} back to normal",
                subject.alarm(AlarmSource::Bank(bank))
            ),
        },
        What::BellPhase { run, phase, .. } => format!("bell run {run}: {}", phase.words()),
        What::BellStopped { run, why, .. } => {
            format!("bell run {run} stopped or not made: {}", why.words())
        }
        What::Diver { diver, to } => {
            format!("{} {}", subject.initials(diver), subject.whereabouts(to))
        }
        What::Breathing { diver, path } => format!("{} {}", subject.initials(diver), path.words()),
        What::Said {
            report: Spoken::Well | Spoken::Seal,
            ..
        } => return None,
        What::Said { diver, report } => {
            format!("{} says: {}", subject.initials(diver), report.words())
        }
        What::Phase { compartment, phase } => {
            format!(
                "phase: {}{}",
                phase.words(),
                by_table(subject, entry.at, compartment, phase)
            )
        }
        What::Step { to_msw, .. } => format!("step to {} {}", depth.digits(to_msw), depth.plain),
        What::Routine {
            routine: Routine::Toilet | Routine::Shower,
            ..
        } => return None,
        What::Routine { routine, diver, .. } => match diver {
            Some(diver) => format!("{} {}", routine.words(), subject.initials(diver)),
            None => routine.words().into(),
        },
        What::Handover { station } => format!("handover of {}", station.words()),
        What::Weather { hs_m, stopped } => {
            let stop = if stopped {
                ", over the launch limit"
            } else {
                ""
            };
            format!("waves {} m{stop}", fixed(hs_m, 1))
        }
        What::Refused { station, why } => {
            format!("order of {} refused: {}", station.words(), why.words())
        }
        _ => return None,
    })
}

/// A value with its unit in plain letters.
pub fn plain(units: Units, quantity: Quantity, value: f64) -> String {
    let scale = units.scale(quantity);
    format!("{} {}", scale.digits(value), scale.plain)
}

fn line_words(line: LineName) -> &'static str {
    match line {
        LineName::Supply(_) => "supply",
        LineName::Oxygen(_) => "oxygen",
        LineName::Bibs(_) => "BIBS",
        LineName::DiverMain(_) => "divers' main gas",
        LineName::DiverSecondary(_) => "divers' secondary gas",
    }
}

/// The rule set's rows that a phase goes by, if the plan's step says which.
fn by_table(subject: &Subject, at_s: i64, compartment: CompartmentId, phase: Phase) -> String {
    let step = subject
        .tables
        .iter()
        .rfind(|t| t.from_s <= at_s && t.phase == phase && t.members.contains(&compartment));
    match step {
        Some(step) if !step.rows.is_empty() => {
            format!(", by {} of {}", step.rows.join(", "), subject.rule_set)
        }
        _ => String::new(),
    }
}
