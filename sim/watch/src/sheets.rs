//! The sheets of a watch as data: the columns of the log sheet, check sheets gone through item by item, and what the
//! handover sheet holds. A company has its own in a file.

use deepstay_core::Status;
use deepstay_core::record::Station;
use deepstay_core::units::{Channel, Duty, Quantity};
use deepstay_core::words::Words;
use deepstay_read::{Diagnostics, Document, Section, Wrong, did_you_mean, nearest, whole};
use serde::Deserialize;
use std::sync::OnceLock;

const BUILT_IN: &str = include_str!("../../../scenarios/people/sheets.ron");
/// The name by which the handover sheet is ticked and signed.
pub const HANDOVER: &str = "handover";
/// Most items of one sheet.
const MOST_ITEMS: usize = 99;
/// Longest head of a column of the log sheet.
const LONGEST_HEAD: usize = 10;

/// What a column of the log sheet holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnOf {
    /// What an instrument of the vessel showed at the hour.
    Reading(Quantity, Channel),
    /// How often the oxygen valve was opened by hand in the hour.
    Doses,
    /// How often the supply was opened in the hour.
    MadeUp,
    /// How often bleed or exhaust were opened in the hour.
    Bled,
    /// Runs begun in the hour through locks that open into the vessel.
    LockRuns,
}

/// A column of the log sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What stands over it.
    pub head: String,
    /// What it holds.
    pub of: ColumnOf,
}

/// A reading that stands beside an item, as indicated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Beside {
    /// Both depth gauges of the vessel.
    Depths,
    /// Both oxygen analysers.
    Oxygen,
    /// The carbon dioxide analyser.
    CarbonDioxide,
    /// Temperature and humidity.
    Climate,
    /// Hours of the absorbent.
    Absorbent,
    /// Valves that stand open.
    Valves,
    /// Lines and the banks lined up to them.
    Lines,
    /// Gauges of the banks of a duty.
    Bank(Duty),
    /// Where the bell was sent and what its wire shows.
    Winch,
}

/// An item of a sheet.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// What is looked at or done.
    pub what: String,
    /// What is shown beside it.
    #[serde(default)]
    pub shows: Vec<Beside>,
}

/// A check sheet.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CheckSheet {
    /// The word that it is ticked and signed by.
    pub name: String,
    /// What stands over it.
    pub title: String,
    /// Whose it is.
    pub station: Station,
    /// How it came to us.
    pub status: Status,
    /// Where it is from.
    pub source: String,
    /// Its items.
    pub items: Vec<Item>,
}

/// A part of the handover sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum HandoverPart {
    /// Each vessel with people or held: depth, gas, valves open.
    Vessels,
    /// Every bank's gauge.
    Gas,
    /// What stands otherwise than it is fitted.
    SetByHand,
    /// What rings.
    Alarms,
    /// Alarms set aside.
    SetAside,
    /// Acts that are not done yet.
    UnderWay,
    /// What was found, and told to others.
    Found,
    /// What was written by hand.
    Written,
    /// Check sheets begun and not signed.
    OpenSheets,
}

/// The handover sheet.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandoverSheet {
    /// Its parts, in their order.
    pub sections: Vec<HandoverPart>,
    /// What the two who hand over go through together.
    pub items: Vec<Item>,
}

/// All sheets of a watch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheets {
    /// Columns of the log sheet.
    pub log: Vec<Column>,
    /// Check sheets.
    pub checks: Vec<CheckSheet>,
    /// The handover sheet.
    pub handover: HandoverSheet,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetsFile {
    #[expect(
        dead_code,
        reason = "read before the rest, to name a newer file as such"
    )]
    format: u32,
    log: Vec<ColumnFile>,
    checks: Vec<CheckSheet>,
    handover: HandoverSheet,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ColumnFile {
    head: String,
    of: ColumnOfFile,
}

#[derive(Deserialize)]
enum ColumnOfFile {
    Reading {
        quantity: String,
        #[serde(default)]
        second: bool,
    },
    Doses,
    MadeUp,
    Bled,
    LockRuns,
}

/// Quantities that a log sheet may hold.
const LOGGED: [Quantity; 6] = [
    Quantity::Depth,
    Quantity::PpO2,
    Quantity::PpCo2,
    Quantity::Temperature,
    Quantity::Humidity,
    Quantity::SeaDepth,
];

impl Sheets {
    /// The built-in ones.
    pub fn built_in() -> &'static Sheets {
        static MADE: OnceLock<Sheets> = OnceLock::new();
        MADE.get_or_init(|| Sheets::read("sheets", BUILT_IN).unwrap_or_else(|bad| panic!("{bad}")))
    }

    /// Of the text of a file.
    ///
    /// # Errors
    /// Everything found wrong, each at its place.
    pub fn read(file: &str, text: &str) -> Result<Sheets, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let document = Document::parse(file, text)?;
        let written: Option<SheetsFile> = whole(&document, &[], &mut diagnostics);
        let section = Section::whole(document.into());
        let made = written.map(|written| {
            let log = columns(&written.log, &section, &mut diagnostics);
            names(&written.checks, &section, &mut diagnostics);
            for (i, sheet) in written.checks.iter().enumerate() {
                items(
                    &sheet.items,
                    &format!("checks[{i}].items"),
                    &section,
                    &mut diagnostics,
                );
            }
            items(
                &written.handover.items,
                "handover.items",
                &section,
                &mut diagnostics,
            );
            Sheets {
                log,
                checks: written.checks,
                handover: written.handover,
            }
        });
        diagnostics.close(made)
    }

    /// The names that sheets are ticked and signed by: the check sheets in their order, then the handover sheet.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let checks = self.checks.iter().map(|c| c.name.as_str());
        checks.chain([HANDOVER])
    }

    /// The items of a sheet, by its place among the names.
    pub fn items(&self, sheet: usize) -> &[Item] {
        self.checks
            .get(sheet)
            .map_or(&self.handover.items, |check| &check.items)
    }
}

fn columns(
    written: &[ColumnFile],
    section: &Section,
    diagnostics: &mut Diagnostics,
) -> Vec<Column> {
    let mut made = Vec::new();
    for (i, column) in written.iter().enumerate() {
        if column.head.is_empty() || column.head.chars().count() > LONGEST_HEAD {
            let words = format!("a head has 1 to {LONGEST_HEAD} letters");
            diagnostics.add(section, &format!("log[{i}].head"), Wrong::Value(words));
        }
        let of = match &column.of {
            ColumnOfFile::Doses => ColumnOf::Doses,
            ColumnOfFile::MadeUp => ColumnOf::MadeUp,
            ColumnOfFile::Bled => ColumnOf::Bled,
            ColumnOfFile::LockRuns => ColumnOf::LockRuns,
            ColumnOfFile::Reading { quantity, second } => {
                let Some(of) = LOGGED.into_iter().find(|q| q.words() == quantity) else {
                    let known = LOGGED.map(Quantity::words);
                    let near = did_you_mean(nearest(quantity, known));
                    let right = near.unwrap_or_else(|| format!("there are {}", known.join(", ")));
                    let words = format!("nothing logged is called `{quantity}`; {right}");
                    diagnostics.add(section, &format!("log[{i}].of"), Wrong::Value(words));
                    continue;
                };
                let channel = match second {
                    true => Channel::Secondary,
                    false => Channel::Primary,
                };
                ColumnOf::Reading(of, channel)
            }
        };
        let head = column.head.clone();
        made.push(Column { head, of });
    }
    if made.is_empty() {
        let words = "a log sheet has a column at the least".to_owned();
        diagnostics.add(section, "log", Wrong::Value(words));
    }
    made
}

fn names(checks: &[CheckSheet], section: &Section, diagnostics: &mut Diagnostics) {
    for (i, sheet) in checks.iter().enumerate() {
        let at = format!("checks[{i}].name");
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if sheet.name.is_empty() || !sheet.name.chars().all(plain) {
            let words = "a name is one word of small letters, digits and dashes".to_owned();
            diagnostics.add(section, &at, Wrong::Value(words));
        }
        let twice = sheet.name == HANDOVER || checks[..i].iter().any(|c| c.name == sheet.name);
        if twice {
            let words = format!("`{}` is another sheet's name", sheet.name);
            diagnostics.add(section, &at, Wrong::Contradiction(words));
        }
        if !matches!(sheet.station, Station::Saturation | Station::Dive) {
            let words = "a sheet is Saturation's or Dive's".to_owned();
            diagnostics.add(
                section,
                &format!("checks[{i}].station"),
                Wrong::Value(words),
            );
        }
    }
}

fn items(items: &[Item], at: &str, section: &Section, diagnostics: &mut Diagnostics) {
    if items.is_empty() || items.len() > MOST_ITEMS {
        let words = format!("a sheet has 1 to {MOST_ITEMS} items");
        diagnostics.add(section, at, Wrong::Value(words));
    }
    for (k, item) in items.iter().enumerate() {
        if item.what.trim().is_empty() {
            let words = "an item says what is looked at".to_owned();
            diagnostics.add(section, &format!("{at}[{k}].what"), Wrong::Value(words));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_sheets_are_whole() {
        let sheets = Sheets::built_in();
        let names: Vec<&str> = sheets.names().collect();
        assert_eq!(names.last(), Some(&HANDOVER));
        assert!(names.len() >= 5);
        for k in 0..names.len() {
            assert!(!sheets.items(k).is_empty());
        }
        let stations: Vec<Station> = sheets.checks.iter().map(|c| c.station).collect();
        assert!(stations.contains(&Station::Saturation) && stations.contains(&Station::Dive));
    }

    #[test]
    fn what_is_wrong_in_a_file_is_told_at_its_place() {
        let file = |log: &str, name: &str, item: &str| {
            format!(
                "(format: 1, log: [{log}],\nchecks: [(name: \"{name}\", title: \"t\", station: Dive, status: HouseRule, source: \"ours\",\nitems: [(what: \"{item}\")])],\nhandover: (sections: [Gas], items: [(what: \"x\")]))"
            )
        };
        let depth = "(head: \"depth\", of: Reading(quantity: \"depth\"))";
        assert!(Sheets::read("ours.ron", &file(depth, "bell", "look")).is_ok());
        for (text, line, words) in [
            (
                file(
                    "(head: \"d\", of: Reading(quantity: \"dephth\"))",
                    "bell",
                    "look",
                ),
                1,
                "did you mean `depth`?",
            ),
            (
                file("(head: \"\", of: Doses)", "bell", "look"),
                1,
                "1 to 10 letters",
            ),
            (file("", "bell", "look"), 1, "a column at the least"),
            (file(depth, "Bell checks", "look"), 2, "one word"),
            (file(depth, "handover", "look"), 2, "another sheet's name"),
            (file(depth, "bell", " "), 3, "says what is looked at"),
            (file(depth, "bell", "look").replace("Gas", "Gass"), 4, "Gas"),
        ] {
            let bad = Sheets::read("ours.ron", &text).expect_err("it is wrong");
            let first = &bad.all[0];
            assert_eq!(first.place.line, line, "{bad}");
            assert!(bad.to_string().contains(words), "{words}: {bad}");
        }
    }
}
