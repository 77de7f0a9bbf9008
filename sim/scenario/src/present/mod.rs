//! How a job under way stands, read from a file and held against the scenario it follows: its gas alone, as a study
//! wants it, or the whole page ([`whole_present`]), from which a job is taken up.

mod place;
mod whole;

pub use whole::*;

use super::Scenario;
use super::file::{
    BankNow, BellNow, CompartmentNow, DiverNow, DoorNow, LevelNow, Number, PresentFile,
};
use deepstay_core::units::text::Duration;
use deepstay_core::units::{BadTime, BankId};
use deepstay_read::{
    Diagnostics, Document, Section, Wrong, did_you_mean, fault, file_text, nearest, suggest_file,
    whole,
};
use std::path::Path;
use std::sync::Arc;

const PARTS: &[deepstay_read::Part] = &[
    ("banks[]", fault::<BankNow>),
    ("levels[]", fault::<LevelNow>),
    ("compartments[]", fault::<CompartmentNow>),
    ("divers[]", fault::<DiverNow>),
    ("doors[]", fault::<DoorNow>),
    ("bells[]", fault::<BellNow>),
];

/// How a job stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Present {
    /// Seconds since the start.
    pub at_s: i64,
    /// What gauges show.
    pub banks: Vec<BankStands>,
    /// Metered uses, m3 of free gas, in the order breathed, reclaimed, make-up, oxygen, leaked.
    pub used_m3: [Option<f64>; 5],
    /// Divers' time in the water so far, s.
    pub in_water_s: Option<i64>,
    /// Relative error of what was metered.
    pub error: f64,
    /// Error of a gauge, Pa.
    pub gauge_error_pa: f64,
    /// When the next boat comes, s since the start.
    pub boat_s: Option<i64>,
}

/// A bank as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankStands {
    /// Which.
    pub bank: BankId,
    /// What its gauge shows, Pa.
    pub gauge_pa: f64,
    /// Temperature of its bottles, K.
    pub t_k: f64,
    /// Taken on since the start, m3 of free gas.
    pub taken_on_m3: f64,
    /// Oxygen by its last analysis, fraction; none where nothing is said of one.
    pub analysed_o2: Option<f64>,
}

/// Reads how a job stands from a file.
///
/// # Errors
/// Everything found wrong, among it that the file speaks of another scenario.
pub fn present(path: &Path, scenario: &Scenario) -> Result<Present, Diagnostics> {
    let (name, text) = read(path)?;
    present_from_text(&text, &name, scenario)
}

fn read(path: &Path) -> Result<(String, String), Diagnostics> {
    let name = path.display().to_string();
    match file_text(path) {
        Ok(text) => Ok((name, text)),
        Err(wrong) => Err(Diagnostics::alone(&name, wrong, suggest_file(path))),
    }
}

/// As [`present`], from a text; `name` is its file's, for messages.
///
/// # Errors
/// Everything found wrong.
pub fn present_from_text(
    text: &str,
    name: &str,
    scenario: &Scenario,
) -> Result<Present, Diagnostics> {
    let mut diagnostics = Diagnostics::default();
    let section = Section::whole(Arc::new(Document::parse(name, text)?));
    let made = whole::<PresentFile>(section.document(), PARTS, &mut diagnostics)
        .map(|file| check(&file, &section, scenario, &mut diagnostics));
    diagnostics.close(made)
}

fn check(
    file: &PresentFile,
    section: &Section,
    scenario: &Scenario,
    diagnostics: &mut Diagnostics,
) -> Present {
    if file.scenario != scenario.name {
        let words = format!(
            "this present is of a job that follows \"{}\", and the scenario is \"{}\"",
            file.scenario, scenario.name
        );
        let how = Some("take the present of this scenario's job, or name that scenario".to_owned());
        diagnostics.add_with(section, "scenario", Wrong::Contradiction(words), how);
    }
    let at_s = time_of(&file.at, "at", section, scenario, diagnostics).unwrap_or(1);
    if at_s <= 0 || at_s >= scenario.plan.end_s {
        let last = scenario.plan.end_s as f64 / 86_400.0;
        let words =
            format!("a look at the present is between the start and the plan's end ({last:.1} d)");
        let time = scenario.time();
        let how = format!(
            "give a time after {} and before {}, vessel time",
            time.civil_minute(0),
            time.civil_minute(scenario.plan.end_s)
        );
        diagnostics.add_with(section, "at", Wrong::Value(words), Some(how));
    }
    if file.boat.is_some_and(|b| b.0 <= at_s) {
        diagnostics.add(
            section,
            "boat",
            Wrong::Contradiction("the next boat comes after the present".to_owned()),
        );
    }
    if !(0.001..=0.5).contains(&file.error.0) {
        let words = "the error of a meter lies between 0.1 % and 50 %".to_owned();
        diagnostics.add(section, "error", Wrong::Value(words));
    }
    if !(1e3..=2e6).contains(&file.gauge_error.0) {
        let words = "the error of a gauge lies between 0.01 bar and 20 bar".to_owned();
        diagnostics.add(section, "gauge_error", Wrong::Value(words));
    }
    if file
        .in_water
        .is_some_and(|t| t.0 > at_s * scenario.crew.len() as i64)
    {
        let words =
            "so much time in the water does not fit into the time since the start".to_owned();
        diagnostics.add(section, "in_water", Wrong::Contradiction(words));
    }
    let used = &file.used;
    let metered = [
        ("breathed", used.breathed),
        ("reclaimed", used.reclaimed),
        ("make_up", used.make_up),
        ("oxygen", used.oxygen),
        ("leaked", used.leaked),
    ];
    for (field, amount) in metered {
        if amount.is_some_and(|n| n.0 < 0.0) {
            diagnostics.add(
                section,
                &format!("used.{field}"),
                Wrong::Value("what was used is not negative".to_owned()),
            );
        }
    }
    if let (Some(Number(back)), Some(Number(out))) = (used.reclaimed, used.breathed)
        && back > out
    {
        let words = "more came back by reclaim than was breathed: a recovery above 1".to_owned();
        diagnostics.add(section, "used.reclaimed", Wrong::Contradiction(words));
    }
    let mut banks: Vec<BankStands> = Vec::new();
    for (i, b) in file.banks.iter().enumerate() {
        banks.extend(bank(
            b,
            &format!("banks[{i}]"),
            section,
            scenario,
            diagnostics,
        ));
        if file.banks[..i].iter().any(|before| before.name == b.name) {
            let wrong = Wrong::Duplicate {
                kind: "bank",
                name: b.name.clone(),
            };
            diagnostics.add(section, &format!("banks[{i}].name"), wrong);
        }
    }
    Present {
        at_s,
        banks,
        used_m3: metered.map(|(_, n)| n.map(|n| n.0)),
        in_water_s: file.in_water.map(|t| t.0),
        error: file.error.0,
        gauge_error_pa: file.gauge_error.0,
        boat_s: file.boat.map(|b| b.0),
    }
}

/// The second of the job that a text means: vessel time, or the time since the start.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn second_of(text: &str, scenario: &Scenario) -> Result<i64, BadTime> {
    let since_start = text.parse::<Duration>();
    let of_the_vessel = text.contains('-') || text.trim_start().starts_with(['D', 'd']);
    match since_start {
        Ok(length) => Ok(length.0),
        Err(_) if of_the_vessel => scenario.time().read(text).map(|time| time.at_s),
        Err(bad) => Err(BadTime::new(
            bad.to_string(),
            "vessel time is written like \"D12 06:00\" or \"2031-06-13 06:00\"",
        )),
    }
}

/// As [`second_of`], with what is wrong told at its place.
fn time_of(
    text: &str,
    path: &str,
    section: &Section,
    scenario: &Scenario,
    diagnostics: &mut Diagnostics,
) -> Option<i64> {
    match second_of(text, scenario) {
        Ok(at_s) => Some(at_s),
        Err(bad) => {
            diagnostics.add_with(section, path, Wrong::Value(bad.words), bad.help);
            None
        }
    }
}

fn bank(
    b: &BankNow,
    path: &str,
    section: &Section,
    scenario: &Scenario,
    diagnostics: &mut Diagnostics,
) -> Option<BankStands> {
    let steel = &scenario.steel.banks;
    let Some(at) = steel.iter().position(|s| s.name == b.name) else {
        let known: Vec<String> = steel.iter().map(|s| s.name.clone()).collect();
        let near = did_you_mean(nearest(&b.name, known.iter().map(String::as_str)));
        let wrong = Wrong::NoSuch {
            kind: "bank",
            name: b.name.clone(),
            known,
        };
        diagnostics.add_with(section, &format!("{path}.name"), wrong, near);
        return None;
    };
    let loaded = &steel[at];
    let most = loaded.fill_gauge_pa.max(350e5);
    if b.gauge.0 > most {
        let words = format!("no bank is filled to {:.0} bar", b.gauge.0 / 1e5);
        diagnostics.add(section, &format!("{path}.gauge"), Wrong::Value(words));
    }
    Some(BankStands {
        bank: BankId(u8::try_from(at).ok()?),
        gauge_pa: b.gauge.0,
        t_k: b.temperature.map_or(loaded.t_k, |t| t.0),
        taken_on_m3: b.taken_on.map_or(0.0, |n| n.0),
        analysed_o2: b.analysis.map(|o2| o2.0),
    })
}
