//! The alarm panel: what the spread's file fits, or what is common where it says nothing.

use super::{Names, Part};
use crate::file::{AlarmFile, AlarmPlace, SpreadFile};
use deepstay_core::record::{AlarmOf, Bound, BreathingLine, Severity, Sounds, SoundsAt};
use deepstay_core::units::text::{Depth, DepthRate, Gauge, Partial, Share, Temperature, TextError};
use deepstay_core::units::*;
use deepstay_core::words::Words;
use deepstay_plant::{Alarm, Instrument, SetPoint, Steel};
use deepstay_read::{Diagnostics, Wrong};

/// What every vessel has that shows the quantity, where the file says nothing (common practice, no source).
const COMMON: [(AlarmOf, Bound); 10] = [
    (AlarmOf::PpO2, Bound::Low),
    (AlarmOf::PpO2, Bound::High),
    (AlarmOf::PpCo2, Bound::High),
    (AlarmOf::DepthDeviation, Bound::Low),
    (AlarmOf::DepthDeviation, Bound::High),
    (AlarmOf::Depth, Bound::High),
    (AlarmOf::Temperature, Bound::Low),
    (AlarmOf::Temperature, Bound::High),
    (AlarmOf::Humidity, Bound::Low),
    (AlarmOf::Humidity, Bound::High),
];
/// What every line has that is breathed from, where the file says nothing: at how much over what it needs to give a
/// breath it rings, bar (house figures). Divers' main gas is changed over before that; masks and a bell's on-board
/// gas are drawn from banks that hold little, and have nothing to be changed over to.
const COMMON_SUPPLY_BAR: [(BreathingLine, f64); BreathingLine::ALL.len()] = [
    (BreathingLine::Bibs, 10.0),
    (BreathingLine::Main, 4.0),
    (BreathingLine::Secondary, 10.0),
];
/// Longest delay of an alarm, s: what is beyond its set point for an hour has to ring.
const LONGEST_S: i64 = 3600;

/// The alarms of a spread, in the order of its file.
pub fn panel(
    spread: &Part<SpreadFile>,
    names: &Names,
    steel: &Steel,
    diagnostics: &mut Diagnostics,
) -> Vec<Alarm> {
    let Some(list) = &spread.file.alarms else {
        return common(steel);
    };
    let mut fitted: Vec<Alarm> = Vec::new();
    for (i, file) in list.iter().enumerate() {
        let entry = Entry {
            spread,
            steel,
            file,
            path: format!("alarms[{i}]"),
        };
        let new = entry.alarms(names, diagnostics);
        let twice = new
            .iter()
            .find(|new| fitted.iter().any(|old| old.same_as(new)));
        if let Some(twice) = twice {
            let words = format!(
                "{} {} of `{}` rings by an alarm above it already",
                words(twice.of),
                twice.bound.words(),
                steel.compartments[twice.at.index()].name
            );
            entry.wrong("", Wrong::Contradiction(words), diagnostics);
        }
        fitted.extend(new);
    }
    fitted
}

fn common(steel: &Steel) -> Vec<Alarm> {
    let mut fitted = Vec::new();
    for at in (0..steel.compartments.len() as u8).map(CompartmentId) {
        let mut fit = |of, bound, set, delay_s| {
            if goes_by(steel, at, of).is_ok() {
                fitted.push(Alarm {
                    at,
                    of,
                    bound,
                    set,
                    delay_s,
                    sounds: common_sounds(steel, at),
                    latches: false,
                });
            }
        };
        for (of, bound) in COMMON {
            fit(of, bound, SetPoint::Rules(None), None);
        }
        for (line, value) in COMMON_SUPPLY_BAR {
            let severity = Severity::Limit;
            let set = SetPoint::Own { value, severity };
            fit(AlarmOf::Supply(line), Bound::Low, set, Some(0));
        }
    }
    fitted
}

fn common_sounds(steel: &Steel, at: CompartmentId) -> Sounds {
    let bell = steel.compartments[at.index()].kind == CompartmentKind::Bell;
    let dive = bell.then_some(SoundsAt::DiveControl);
    [SoundsAt::SaturationControl]
        .into_iter()
        .chain(dive)
        .collect()
}

/// The instrument that an alarm goes by, none where it is a switch in a line; or why there can be no such alarm.
fn goes_by(steel: &Steel, at: CompartmentId, of: AlarmOf) -> Result<Option<&Instrument>, String> {
    if let AlarmOf::Supply(line) = of {
        return match has_line(steel.compartments[at.index()].kind, line) {
            true => Ok(None),
            false => Err(format!(
                "`{}` has no {}",
                steel.compartments[at.index()].name,
                line_words(line)
            )),
        };
    }
    let vessel = &steel.compartments[at.index()];
    let name = &vessel.name;
    if vessel.kind == CompartmentKind::ReclaimTank {
        return Err(format!(
            "`{name}` belongs to a loop, whose alarms stand with it (`reclaim.alarms`)"
        ));
    }
    let Some(id) = steel.instrument(at, of.quantity(), Channel::Primary) else {
        return Err(format!(
            "no instrument shows the {} of `{name}`, and an alarm goes by one",
            of.quantity().words()
        ));
    };
    let ordered = vessel.kind.people_go_into();
    if !ordered && matches!(of, AlarmOf::DepthDeviation | AlarmOf::DepthRate) {
        return Err(format!(
            "`{name}` is held at no depth and brought to none at a rate; it may have an alarm of Depth"
        ));
    }
    Ok(Some(&steel.instruments[id.index()]))
}

/// Whether people breathe from a line of a vessel of a kind.
fn has_line(kind: CompartmentKind, line: BreathingLine) -> bool {
    match line {
        BreathingLine::Bibs => kind.people_go_into(),
        BreathingLine::Main | BreathingLine::Secondary => kind == CompartmentKind::Bell,
    }
}

fn line_words(line: BreathingLine) -> &'static str {
    match line {
        BreathingLine::Bibs => "masks",
        BreathingLine::Main => "divers' main gas",
        BreathingLine::Secondary => "divers' secondary gas",
    }
}

/// One entry of the list.
struct Entry<'a> {
    spread: &'a Part<SpreadFile>,
    steel: &'a Steel,
    file: &'a AlarmFile,
    path: String,
}

impl Entry<'_> {
    fn wrong(&self, field: &str, wrong: Wrong, diagnostics: &mut Diagnostics) {
        let at = match field {
            "" => self.path.clone(),
            field => format!("{}.{field}", self.path),
        };
        diagnostics.add(&self.spread.section, &at, wrong);
    }

    fn alarms(&self, names: &Names, diagnostics: &mut Diagnostics) -> Vec<Alarm> {
        let file = self.file;
        let delay_s = file.delay.map(|d| d.0);
        if delay_s.is_some_and(|s| s > LONGEST_S) {
            let words = "a delay is an hour at the most".to_owned();
            self.wrong("delay", Wrong::Value(words), diagnostics);
        }
        if file.sounds.as_ref().is_some_and(Vec::is_empty) {
            let words = "an alarm sounds somewhere; leave the whole alarm out where none is fitted";
            self.wrong("sounds", Wrong::Value(words.to_owned()), diagnostics);
        }
        let set = match self.set_point() {
            Ok(set) => set,
            Err(words) => {
                self.wrong("set", Wrong::Value(words), diagnostics);
                return Vec::new();
            }
        };
        if (file.of, file.bound, set)
            == (AlarmOf::Depth, Bound::Low, SetPoint::Rules(file.severity))
        {
            let words = "no rating bounds a depth from below; write a set point of its own, or DepthDeviation";
            self.wrong("bound", Wrong::Contradiction(words.to_owned()), diagnostics);
        }
        if let (AlarmOf::Supply(_), Bound::High) = (file.of, file.bound) {
            let words = "a supply has too little, never too much; write bound: Low";
            self.wrong("bound", Wrong::Contradiction(words.to_owned()), diagnostics);
        }
        let mut fitted = Vec::new();
        for at in self.places(names, diagnostics) {
            let instrument = match goes_by(self.steel, at, file.of) {
                Ok(instrument) => instrument,
                Err(words) => {
                    self.wrong("of", Wrong::Contradiction(words), diagnostics);
                    continue;
                }
            };
            if let Some(instrument) = instrument
                && let Err(words) = self.can_read(instrument, set)
            {
                self.wrong("set", Wrong::Value(words), diagnostics);
                continue;
            }
            fitted.push(Alarm {
                at,
                of: file.of,
                bound: file.bound,
                set,
                delay_s: match set {
                    SetPoint::Rules(_) => delay_s,
                    SetPoint::Own { .. } => Some(delay_s.unwrap_or(0)),
                },
                sounds: file.sounds.as_ref().map_or_else(
                    || common_sounds(self.steel, at),
                    |list| list.iter().copied().collect(),
                ),
                latches: file.latches,
            });
        }
        fitted
    }

    fn places(&self, names: &Names, diagnostics: &mut Diagnostics) -> Vec<CompartmentId> {
        match &self.file.at {
            AlarmPlace::Named(name) => {
                let at = format!("{}.at", self.path);
                let section = &self.spread.section;
                names
                    .compartment(name, section, &at, diagnostics)
                    .into_iter()
                    .collect()
            }
            AlarmPlace::Every(kind) => {
                let vessels = (0u8..).zip(&self.steel.compartments);
                let all: Vec<CompartmentId> = vessels
                    .filter(|(_, c)| c.kind == *kind)
                    .map(|(i, _)| CompartmentId(i))
                    .collect();
                if all.is_empty() {
                    let words = format!("no vessel of the spread is of kind {kind:?}");
                    self.wrong("at", Wrong::Contradiction(words), diagnostics);
                }
                all
            }
        }
    }

    /// The set point in the unit of its quantity.
    fn set_point(&self) -> Result<SetPoint, String> {
        let AlarmFile {
            of, set, severity, ..
        } = self.file;
        if set == "rule" {
            return match of {
                AlarmOf::Supply(_) => Err("no rule says when a supply is low; write how much it \
                     still has over what the line needs, such as \"4 bar\""
                    .to_owned()),
                _ => Ok(SetPoint::Rules(*severity)),
            };
        }
        let value = match of {
            AlarmOf::PpO2 | AlarmOf::PpCo2 => set.parse::<Partial>().map(|p| p.0 / BAR_PA),
            AlarmOf::Temperature => set.parse::<Temperature>().map(|t| t.0),
            AlarmOf::Humidity => set.parse::<Share>().map(|s| s.0),
            AlarmOf::DepthDeviation | AlarmOf::Depth => set.parse::<Depth>().map(|d| d.0),
            AlarmOf::DepthRate => set.parse::<DepthRate>().map(|r| r.0 * 60.0),
            AlarmOf::Supply(_) => set.parse::<Gauge>().map(|g| g.0 / BAR_PA),
        };
        let own = |value| SetPoint::Own {
            value,
            severity: severity.unwrap_or(Severity::Limit),
        };
        value.map(own).map_err(|e: TextError| match of {
            AlarmOf::Supply(_) => e.to_string(),
            _ => format!("{e}; or \"rule\" for the limits of the rules"),
        })
    }

    /// Whether an instrument can tell that a set point of its own is passed.
    fn can_read(&self, instrument: &Instrument, set: SetPoint) -> Result<(), String> {
        let SetPoint::Own { value, .. } = set else {
            return Ok(());
        };
        let scale = Units::Metric.scale(instrument.quantity);
        let tag = &instrument.name;
        match self.file.of {
            AlarmOf::DepthDeviation | AlarmOf::DepthRate if value < instrument.accuracy => {
                Err(format!(
                    "{tag} is good to {}: nothing finer can ring",
                    scale.plain_text(instrument.accuracy)
                ))
            }
            AlarmOf::DepthRate => Ok(()),
            _ if value >= instrument.ceiling => Err(format!(
                "{tag} reads to {}, and a set point lies below that",
                scale.plain_text(instrument.ceiling)
            )),
            _ if value <= 0.0 => Err(format!("{tag} reads no less than nothing")),
            _ => Ok(()),
        }
    }
}

fn words(of: AlarmOf) -> &'static str {
    match of {
        AlarmOf::DepthDeviation => "depth deviation",
        AlarmOf::DepthRate => "rate of depth",
        AlarmOf::Supply(BreathingLine::Bibs) => "supply of the masks",
        AlarmOf::Supply(BreathingLine::Main) => "supply of divers' main gas",
        AlarmOf::Supply(BreathingLine::Secondary) => "supply of divers' secondary gas",
        AlarmOf::PpO2
        | AlarmOf::PpCo2
        | AlarmOf::Temperature
        | AlarmOf::Humidity
        | AlarmOf::Depth => of.quantity().words(),
    }
}
