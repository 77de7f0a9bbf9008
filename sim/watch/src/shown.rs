//! Readings, handles, lamps, alarms and what was told, in the short words of a panel: the same on every screen.

use crate::on_watch::OnWatch;
use deepstay_core::record::{
    AlarmState, Entry, LineName, Machine, Severity, Sitter, Station, ValveName, What, Whereabouts,
};
use deepstay_core::units::{BankId, Channel, CompartmentId, InstrumentId, Quantity, Units, fixed};
use deepstay_core::words::{Names, Words, beside, limit_unit, remark};
use deepstay_job::{AlarmNow, Indicated, OpenRequest, Shown, Vessel};
use deepstay_scenario::Scenario;

/// A reading in its digits; dashes where there is no instrument, and words where it shows no number, or looks at the gas
/// of another vessel.
pub fn cell(
    seen: &Indicated,
    units: Units,
    at: CompartmentId,
    quantity: Quantity,
    channel: Channel,
) -> String {
    let of = |s: &&Shown| (s.quantity, s.channel) == (quantity, channel);
    let Some(shown) = vessel(seen, at).readings.iter().find(of) else {
        return "-".to_owned();
    };
    match shown.value {
        _ if shown.turned_to.is_some() => "other".to_owned(),
        None => "dark".to_owned(),
        Some(_) if shown.at_ceiling => "over".to_owned(),
        Some(value) => units.scale(quantity).digits(value),
    }
}

/// A vessel.
pub fn vessel(seen: &Indicated, at: CompartmentId) -> &Vessel {
    &seen.vessels[at.index()]
}

/// An opening in words.
pub fn opening(by: f64) -> String {
    match by {
        _ if by <= 0.0 => "shut".to_owned(),
        _ if by >= 1.0 => "FULL".to_owned(),
        _ => format!("{} %", fixed(by * 100.0, if by < 0.1 { 1 } else { 0 })),
    }
}

/// What a handle is called on the panel.
pub fn handle(valve: ValveName) -> &'static str {
    match valve {
        ValveName::BlowDown(_) => "make-up",
        ValveName::Oxygen(_) => "oxygen",
        ValveName::Bleed(_) => "bleed",
        ValveName::Exhaust(_) => "exhaust",
        ValveName::Drain(_) => "drain",
        ValveName::Equalise(_) => "equalise",
    }
}

/// A machine's switch and lamp in a word.
pub fn lamp(seen: &Indicated, at: CompartmentId, machine: Machine) -> Option<&'static str> {
    let machines = &vessel(seen, at).machines;
    let (_, lamp) = machines.iter().find(|(m, _)| *m == machine)?;
    Some(match (lamp.switched, lamp.running) {
        (true, true) => "on",
        (true, false) => "TRIPPED",
        (false, _) => "off",
    })
}

/// How many are in a vessel, as they said, and how many of a bell's are in the water.
pub fn heads(seen: &Indicated, at: CompartmentId) -> String {
    let inside = seen.divers_in(at).count();
    let out = seen.divers_at(Whereabouts::Water(at)).count();
    match (inside, out) {
        (0, 0) => String::new(),
        (inside, 0) => inside.to_string(),
        (inside, out) => format!("{inside}+{out} out"),
    }
}

/// Who sits at a station.
pub fn who(sitter: Sitter) -> &'static str {
    match sitter {
        Sitter::Person => "you",
        Sitter::Automatic => "automatic",
        Sitter::Nobody => "NOBODY",
    }
}

/// An alarm in words, without its sign.
pub fn alarm_words(scenario: &Scenario, units: Units, now_s: i64, alarm: &AlarmNow) -> String {
    let scale = units.scale(alarm.name.quantity);
    let value = scale.digits(alarm.value);
    let set = scale.digits(alarm.setting.set_point);
    let unit = limit_unit(&alarm.name, units);
    let time = scenario.time();
    let state = match alarm.state {
        _ if alarm.suppressed => "suppressed".to_owned(),
        _ if alarm.shelved => match alarm.shelved_until_s {
            Some(until) => {
                let left = (until - now_s).max(0) as f64 / 60.0;
                format!("shelved (inhibited), {} min", fixed(left.ceil(), 0))
            }
            None => "shelved (inhibited) until its cause is gone".to_owned(),
        },
        AlarmState::Unacknowledged => "not acknowledged".to_owned(),
        AlarmState::Acknowledged => "acknowledged".to_owned(),
        AlarmState::ReturnedUnacknowledged => "returned, not acknowledged".to_owned(),
        AlarmState::Latched => "over, to be reset".to_owned(),
        AlarmState::Normal => "over".to_owned(),
    };
    format!(
        "{} {} {value} {unit} (set {set})  {state}",
        time.hour_and_minute(alarm.raised_s),
        scenario.limit(&alarm.name),
    )
}

/// What the other station asks for, and how it is answered.
pub fn asked(scenario: &Scenario, request: &OpenRequest) -> String {
    let other = match request.by {
        Station::Dive => "dive",
        Station::Saturation | Station::Student | Station::Script => "saturation",
    };
    format!(
        "{} asks for {}: `call {other} granted`, or `wait`",
        request.by.words(),
        scenario.request(request.request)
    )
}

/// What needs somebody, each with its number on the list of alarms: what waits before what was acknowledged, and of each
/// the gravest first. Nothing that rings may stand behind what does not.
pub fn what_needs(seen: &Indicated) -> Vec<(usize, &AlarmNow)> {
    let mut list: Vec<(usize, &AlarmNow)> =
        (1..).zip(&seen.alarms).filter(|(_, a)| a.shows()).collect();
    list.sort_by_key(|(_, a)| {
        let grave = Severity::ALL.iter().position(|s| *s == a.name.severity);
        (!a.state.waits(), grave, a.raised_s)
    });
    list
}

/// What feeds a line: its bank, what its regulator is set to, and the gauge behind it.
pub fn fed(
    scenario: &Scenario,
    seen: &Indicated,
    units: Units,
    line: LineName,
    bank: Option<BankId>,
) -> String {
    let Some(bank) = bank else {
        return "shut off".to_owned();
    };
    let name = scenario.bank(bank);
    if seen.banks[bank.index()].stopped {
        return format!("{name}: its stop is SHUT");
    }
    let regulators = &vessel(seen, line.compartment()).regulators;
    let Some(plate) = regulators.iter().find(|r| r.line == line) else {
        return name;
    };
    let scale = units.scale(Quantity::GaugePressure);
    let over = scale.digits(plate.over_bar);
    let gauge = plate
        .gauge_bar
        .map_or("-".to_owned(), |bar| scale.plain_text(bar));
    format!("{name:<6} {over} over, gauge {gauge}")
}

/// When an instrument was last calibrated, and as what it was found.
pub fn calibrated(watch: &OnWatch, units: Units, of: InstrumentId, quantity: Quantity) -> String {
    let entries = watch.session.feed().entries().iter().rev();
    let mut found = entries.filter_map(|e| match e.what {
        What::Calibrated {
            instrument,
            as_found,
            ..
        }
        | What::Adjusted {
            instrument,
            as_found,
            ..
        } if instrument == of => Some((e.at, as_found)),
        _ => None,
    });
    match found.next() {
        Some((at, as_found)) => {
            let time = watch.session.scenario().time();
            let digits = units.scale(quantity).digits(as_found);
            format!("{} {digits}", time.hour_and_minute(at))
        }
        None => "not on this job".to_owned(),
    }
}

/// When an entry was told, and its words in the watch's log; none of what is told elsewhere.
pub fn told(watch: &OnWatch, units: Units, entry: &Entry) -> Option<(String, String)> {
    let scenario = watch.session.scenario();
    let words = match entry.what {
        What::Noted { note, .. } => format!("you: {}", watch.session.note(note)?),
        What::OnSheet { sheet, item, .. } => on_sheet(watch, sheet, item),
        _ => remark(&**scenario, units, entry)?,
    };
    let at = beside(&**scenario, &entry.what);
    let at = at.map(|c| scenario.compartment(c));
    let at = at.filter(|name| !words.starts_with(name.as_str()));
    let at = at.map_or(String::new(), |name| format!("{name}: "));
    let clock = scenario.time().hour_and_minute(entry.at);
    Some((clock, format!("{at}{words}")))
}

fn on_sheet(watch: &OnWatch, sheet: u16, item: Option<u16>) -> String {
    let sheet = usize::from(sheet);
    let sheets = &watch.kit.sheets;
    let name = sheets.names().nth(sheet).unwrap_or("a sheet");
    match item.map(usize::from) {
        None => format!("you: {name} signed"),
        Some(k) => match sheets.items(sheet).get(k) {
            Some(item) => format!("you: {name} {}: {}", k + 1, item.what),
            None => format!("you: {name} {}", k + 1),
        },
    }
}
