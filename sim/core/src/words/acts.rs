//! What was done and what happened, in the words of a log.

use super::names::{Names, limit_unit, limit_words, limited};
use super::terms::Words;
use crate::record::{
    AlarmDeed, AlarmState, BreathingPath, Callee, Entry, LineName, Routine, Severity, Spoken,
    ValveName, What, Whereabouts, counted,
};
use crate::units::{CompartmentId, Quantity, Units, fixed};

/// Which compartment an act is written beside; none for what concerns the ship.
pub fn beside(names: &impl Names, what: &What) -> Option<CompartmentId> {
    match *what {
        What::Door { door, .. }
        | What::Valve {
            valve: ValveName::Equalise(door),
            ..
        } => names.compartment_of(door),
        What::Valve { valve, .. } => match valve {
            ValveName::BlowDown(c) | ValveName::Oxygen(c) | ValveName::Exhaust(c) => Some(c),
            ValveName::Bleed(c) | ValveName::Drain(c) => Some(c),
            ValveName::Equalise(_) => None,
        },
        What::LinedUp { line, .. } | What::LineOff { line } | What::RegulatorSet { line, .. } => {
            match line {
                LineName::Supply(c) | LineName::Oxygen(c) | LineName::Bibs(c) => Some(c),
                LineName::DiverMain(c) | LineName::DiverSecondary(c) => Some(c),
            }
        }
        What::Canister { compartment, .. }
        | What::Machine { compartment, .. }
        | What::OxygenSet { compartment, .. }
        | What::Relief { compartment, .. }
        | What::Gagged { compartment, .. }
        | What::HullStop { compartment, .. }
        | What::InboardStop { compartment, .. }
        | What::Camera { compartment, .. }
        | What::SampleTurned {
            of: compartment, ..
        }
        | What::Adjusted { compartment, .. }
        | What::Told { compartment, .. }
        | What::ClimateSet { compartment, .. }
        | What::Calibrated { compartment, .. }
        | What::Phase { compartment, .. }
        | What::Found { compartment, .. }
        | What::Step { compartment, .. }
        | What::Routine { compartment, .. } => Some(compartment),
        What::Limit { name, .. }
        | What::LimitBand { name, .. }
        | What::LimitFurther { name, .. }
        | What::AlarmActed { name, .. }
        | What::AlarmUnshelved { name }
        | What::Alarm { name, .. } => Some(name.compartment),
        What::BellPhase { bell, .. }
        | What::BellStopped { bell, .. }
        | What::BellSent { bell, .. } => Some(bell),
        What::Diver {
            to: Whereabouts::In(c) | Whereabouts::Water(c),
            ..
        } => Some(c),
        What::Diver {
            to: Whereabouts::Deck,
            ..
        }
        | What::Opening { .. }
        | What::TakenUp
        | What::Closing { .. }
        | What::Moved { .. }
        | What::Logged { .. }
        | What::BankLogged { .. }
        | What::ScrubberLogged { .. }
        | What::Headcount { .. }
        | What::Target { .. }
        | What::LogRow
        | What::RuleRow { .. }
        | What::Analysed { .. }
        | What::BankStop { .. }
        | What::BailOut { .. }
        | What::Breathing { .. }
        | What::Said { .. }
        | What::Called { .. }
        | What::Answered { .. }
        | What::Fitness { .. }
        | What::Handover { .. }
        | What::Sits { .. }
        | What::Noted { .. }
        | What::OnSheet { .. }
        | What::Silenced { .. }
        | What::Weather { .. }
        | What::Fault { .. }
        | What::Refused { .. }
        | What::DiverTotals { .. } => None,
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
pub fn remark(names: &impl Names, units: Units, entry: &Entry) -> Option<String> {
    let depth = units.scale(Quantity::Depth);
    Some(match entry.what {
        What::Door { door, state } => format!("{} {}", names.door(door), state.words()),
        // Doses are in columns of their own.
        What::Valve {
            valve: ValveName::Oxygen(_),
            ..
        } => return None,
        What::Valve { valve, opening } if opening > 0.0 => {
            format!(
                "{} opened {} %",
                names.valve(valve),
                fixed(opening * 100.0, 0)
            )
        }
        What::Valve { valve, .. } => format!("{} shut", names.valve(valve)),
        What::LinedUp { line, bank } => {
            format!("bank {} lined up to {}", names.bank(bank), names.line(line))
        }
        What::LineOff { line } => format!("{} shut off at the bank", names.line(line)),
        What::BankStop { bank, shut } => {
            let how = if shut { "shut" } else { "opened" };
            format!("stop of bank {} {how}", names.bank(bank))
        }
        What::RegulatorSet { line, over_bar } => {
            let over = units.scale(Quantity::GaugePressure).plain_text(over_bar);
            format!("regulator of {} set to {over} over", names.line(line))
        }
        What::SampleTurned {
            quantity, of, from, ..
        } => {
            let (of, to) = (names.compartment(of), names.compartment(from));
            let back = if of == to { "back " } else { "" };
            format!("{} analyser of {of} turned {back}to {to}", quantity.words())
        }
        What::Camera { station, seen, .. } => {
            let initials: Vec<String> = counted(seen).map(|d| names.initials(d)).collect();
            let whom = if initials.is_empty() {
                "nobody in view".to_owned()
            } else {
                format!("{} in view", initials.join(", "))
            };
            format!("camera: {whom}, by {}", station.words())
        }
        What::Adjusted {
            quantity,
            bank,
            part,
            as_found,
            as_left,
            ..
        } => {
            let scale = units.scale(quantity);
            format!(
                "{} {} by {}: as found {}, as left {} {}",
                quantity.words(),
                part.words(),
                names.bank(bank),
                scale.digits(as_found),
                scale.digits(as_left),
                scale.plain
            )
        }
        What::Canister { hours, .. } => format!("absorbent changed after {} h", fixed(hours, 1)),
        What::Machine { machine, on, .. } => {
            format!("{} {}", machine.words(), if on { "on" } else { "off" })
        }
        What::OxygenSet {
            station, ppo2_bar, ..
        } => format!(
            "ppO2 set to {}, by {}",
            units.scale(Quantity::PpO2).plain_text(ppo2_bar),
            station.words()
        ),
        What::ClimateSet {
            station,
            t_k,
            humidity,
            ..
        } => format!(
            "climate set to {} and {}, by {}",
            units.scale(Quantity::Temperature).plain_text(t_k),
            units.scale(Quantity::Humidity).plain_text(humidity),
            station.words()
        ),
        What::BellSent {
            station, to_msw, ..
        } if to_msw > 0.0 => format!(
            "bell sent to {}, by {}",
            depth.plain_text(to_msw),
            station.words()
        ),
        What::BellSent { station, .. } => {
            format!("bell called to the deck, by {}", station.words())
        }
        What::Relief { lifted: true, .. } => "relief valve lifted".to_owned(),
        What::Relief { lifted: false, .. } => "relief valve reseated".to_owned(),
        What::Gagged { station, shut, .. } => {
            let how = if shut { "shut" } else { "opened" };
            format!(
                "gag valve of the relief valve {how}, by {}",
                station.words()
            )
        }
        What::HullStop { station, shut, .. } => {
            let how = if shut { "shut" } else { "opened" };
            format!("hull stop {how} from outside, by {}", station.words())
        }
        What::InboardStop { diver, shut, .. } => {
            let how = if shut { "shut" } else { "opened" };
            format!("inboard hull stop {how} by {}", names.initials(diver))
        }
        What::BailOut {
            diver,
            gauge_bar,
            exchanged,
        } => {
            let gauge = units.scale(Quantity::GaugePressure).plain_text(gauge_bar);
            let how = if exchanged { "exchanged, now" } else { "reads" };
            format!("bail-out of {} {how} {gauge}", names.initials(diver))
        }
        What::Told { to, finding, .. } => match to {
            Callee::OutsideHand => format!("{} sent: {}", names.callee(to), finding.words()),
            Callee::DiveControl
            | Callee::SaturationControl
            | Callee::Diver(_)
            | Callee::Place(_)
            | Callee::Bridge
            | Callee::Superintendent
            | Callee::Doctor => format!("{} told: {}", names.callee(to), finding.words()),
        },
        What::Called {
            station,
            to,
            phrase,
        } => format!(
            "{} to {}: {}",
            station.words(),
            names.callee(to),
            names.phrase(phrase)
        ),
        What::Answered {
            from,
            to,
            answer,
            after_s,
            ..
        } => format!(
            "{} to {}, {after_s} s later: {}",
            names.callee(from),
            to.words(),
            names.answer(answer, units)
        ),
        What::Analysed { bank, o2 } => format!(
            "bank {} analysed: O2 {} %",
            names.bank(bank),
            fixed(o2 * 100.0, 2)
        ),
        What::Limit {
            name,
            limit,
            truth,
            outside,
            ..
        } => {
            let how = if outside { "past" } else { "back within" };
            let of = match name.severity {
                Severity::Attention => "attention value",
                Severity::Limit => "limit",
                Severity::Emergency => "emergency limit",
            };
            let digits = units.scale(name.quantity).digits(limit);
            format!(
                "{} {how} {} {of} {digits} {} ({})",
                limited(&name),
                name.bound.words(),
                limit_unit(&name, units),
                truth.words()
            )
        }
        What::LimitBand { .. } | What::LimitFurther { .. } => return None,
        What::Alarm {
            name, state, value, ..
        } => {
            let severity = name.severity.words();
            let words = limit_words(&name);
            match state {
                AlarmState::Unacknowledged => {
                    let digits = units.scale(name.quantity).digits(value);
                    let unit = limit_unit(&name, units);
                    format!("ALARM ({severity}) {words} at {digits} {unit}")
                }
                AlarmState::Acknowledged => return None,
                AlarmState::ReturnedUnacknowledged => {
                    format!("alarm ({severity}) {words} returned, not acknowledged yet")
                }
                AlarmState::Normal => format!("alarm ({severity}) {words} over and acknowledged"),
                AlarmState::Latched => format!("alarm ({severity}) {words} over, to be reset"),
            }
        }
        What::AlarmActed {
            station,
            name,
            deed,
        } => {
            let words = limit_words(&name);
            let how = match deed {
                AlarmDeed::Acknowledge => "acknowledged".to_owned(),
                AlarmDeed::Shelve { for_s: None } => "shelved until its cause is gone".to_owned(),
                AlarmDeed::Shelve { for_s: Some(s) } => {
                    format!("shelved for {} min", fixed(s as f64 / 60.0, 0))
                }
                AlarmDeed::Unshelve => "shelved no longer".to_owned(),
                AlarmDeed::Suppress => "suppressed".to_owned(),
                AlarmDeed::Restore => "suppressed no longer".to_owned(),
                AlarmDeed::Reset => "reset".to_owned(),
            };
            format!("alarm {words} {how}, by {}", station.words())
        }
        What::AlarmUnshelved { name } => {
            format!("alarm {} shelved no longer, by itself", limit_words(&name))
        }
        What::Silenced { station } => format!("sounder silenced, by {}", station.words()),
        What::BellPhase { run, phase, .. } => {
            format!("bell run {}: {}", numbered(run), phase.words())
        }
        What::BellStopped { run, why, .. } => {
            format!(
                "bell run {} aborted or cancelled: {}",
                numbered(run),
                why.words()
            )
        }
        What::Diver { diver, to } => {
            format!("{} {}", names.initials(diver), names.whereabouts(to))
        }
        What::Breathing { diver, from, path } => {
            let gas = match (from, path) {
                // Who comes out of a helmet was on no mask: in the bell he breathes its gas.
                (
                    BreathingPath::Main | BreathingPath::Secondary | BreathingPath::BailOut,
                    BreathingPath::Ambient,
                ) => "hat off",
                (BreathingPath::Bibs | BreathingPath::Ambient, BreathingPath::Ambient)
                | (
                    _,
                    BreathingPath::Bibs
                    | BreathingPath::Main
                    | BreathingPath::Secondary
                    | BreathingPath::BailOut,
                ) => path.words(),
            };
            format!("{} {gas}", names.initials(diver))
        }
        What::Said {
            report: Spoken::Well | Spoken::Seal,
            ..
        } => return None,
        What::Said {
            diver,
            report: report @ (Spoken::SlowAnswers | Spoken::NoAnswer),
        } => format!("{} heard: {}", names.initials(diver), report.words()),
        What::Said { diver, report } => {
            format!("{} says: {}", names.initials(diver), report.words())
        }
        What::Fitness {
            diver, to, cause, ..
        } => format!(
            "{} {}: {} (true)",
            names.initials(diver),
            to.words(),
            cause.words()
        ),
        What::Phase { phase, .. } => format!("phase: {}", phase.words()),
        What::Step { to_msw, .. } => format!("step to {} {}", depth.digits(to_msw), depth.plain),
        What::Routine {
            routine: Routine::Toilet | Routine::Shower,
            ..
        } => return None,
        What::Routine { routine, diver, .. } => match diver {
            Some(diver) => format!("{} {}", routine.words(), names.initials(diver)),
            None => routine.words().into(),
        },
        What::Found {
            station, finding, ..
        } => format!("{}, found by {}", finding.words(), station.words()),
        What::Handover { station } => format!("handover of {}", station.words()),
        What::Sits { station, sitter } => format!("at {}: {}", station.words(), sitter.words()),
        What::Noted { note, .. } => format!("note {} written by hand", note + 1),
        What::OnSheet {
            station,
            sheet,
            item,
        } => {
            let sheet = u32::from(sheet) + 1;
            match item {
                Some(item) => format!("sheet {sheet}: item {} gone through", u32::from(item) + 1),
                None => format!("sheet {sheet} signed, by {}", station.words()),
            }
        }
        What::TakenUp => "taken up from a present".to_owned(),
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
        What::Opening { .. }
        | What::Closing { .. }
        | What::Moved { .. }
        | What::Logged { .. }
        | What::BankLogged { .. }
        | What::ScrubberLogged { .. }
        | What::Headcount { .. }
        | What::Target { .. }
        | What::LogRow
        | What::RuleRow { .. }
        | What::Calibrated { .. }
        | What::Fault { .. }
        | What::DiverTotals { .. } => return None,
    })
}

/// The number of a bell run as people count: from 1.
pub fn numbered(run: u16) -> u32 {
    u32::from(run) + 1
}
