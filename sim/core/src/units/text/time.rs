//! Lengths of time and times of day as text.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::error::TextError;
use super::kinds::as_text;
use super::number::split;
#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};

const MINUTE_S: i64 = 60;
const HOUR_S: i64 = 3600;
const DAY_S: i64 = 86_400;
/// Longest length of time that can be meant, s: ten years.
const LONGEST_S: i64 = 3653 * DAY_S;

/// A length of time, or a time since the job's start, in whole seconds: `"25 d"`, `"6 h"`,
/// `"90 min"`, `"1.5 h"`, `"45 s"`, `"1 h 30 min"`, `"06:30"` (hours and minutes), `"06:30:15"`,
/// `"2d 06:30"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Duration(pub i64);

/// A time of day in whole seconds after midnight of the ship's clock: `"06:30"`, `"06:30:15"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct TimeOfDay(pub i64);

/// A time of day in whole seconds after midnight, up to the end of the day: `"14:00"`, `"24:00"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct ClockTime(pub i64);

as_text!(ClockTime, "a time of day", "14:00");
as_text!(Duration, "a length of time", "2d 06:30");
as_text!(TimeOfDay, "a time of day", "06:30");

fn duration_fault(text: &str, fault: &'static str) -> TextError {
    TextError::Shape {
        text: text.to_owned(),
        fault,
        noun: "a length of time",
        like: "\"25 d\", \"6 h\", \"90 min\", \"45 s\", \"06:30\" or \"2d 06:30\"",
    }
}

fn day_fault(text: &str, fault: &'static str) -> TextError {
    let like = "\"06:30\" or \"06:30:15\", from 00:00 to 23:59:59";
    TextError::Shape {
        text: text.to_owned(),
        fault,
        noun: "a time of day",
        like,
    }
}

/// Hours, minutes and seconds of `HH:MM` or `HH:MM:SS`; minutes and seconds of two digits below 60.
fn clock(text: &str) -> Option<(i64, i64)> {
    let mut parts = text.split(':');
    let hours = parts.next()?;
    let minutes = parts.next()?;
    let seconds = parts.next().unwrap_or("00");
    let plain = |s: &str, longest: usize| {
        (!s.is_empty() && s.len() <= longest && s.bytes().all(|b| b.is_ascii_digit()))
            .then(|| s.parse::<i64>().ok())
            .flatten()
    };
    let sixty = |s: &str| plain(s, 2).filter(|n| s.len() == 2 && *n < 60);
    if parts.next().is_some() {
        return None;
    }
    let hours = plain(hours, 4)?;
    Some((
        hours,
        hours * HOUR_S + sixty(minutes)? * MINUTE_S + sixty(seconds)?,
    ))
}

/// Seconds of a unit of time and its place from long to short.
fn unit(name: &str) -> Option<(i64, usize)> {
    match name {
        "d" | "day" | "days" => Some((DAY_S, 0)),
        "h" | "hour" | "hours" => Some((HOUR_S, 1)),
        "min" | "minute" | "minutes" => Some((MINUTE_S, 2)),
        "s" | "second" | "seconds" => Some((1, 3)),
        _ => None,
    }
}

impl FromStr for Duration {
    type Err = TextError;

    fn from_str(written: &str) -> Result<Self, TextError> {
        let text = written.trim();
        let fault = |what| duration_fault(text, what);
        if text.is_empty() {
            return Err(TextError::Empty {
                noun: "a length of time",
                example: "2d 06:30",
            });
        }
        let mut rest = text;
        let mut total_s = 0.0;
        let mut next_place = 0;
        while !rest.is_empty() {
            if rest.contains(':') && rest.bytes().all(|b| b.is_ascii_digit() || b == b':') {
                let (hours, seconds) =
                    clock(rest).ok_or_else(|| fault("has a clock part that is no HH:MM"))?;
                if next_place > 1 || (next_place == 1 && hours > 23) {
                    return Err(fault(
                        "has more than 23 hours after its days, or hours twice",
                    ));
                }
                total_s += seconds as f64;
                break;
            }
            let (number, after) = split(rest);
            let number: f64 = number
                .parse()
                .map_err(|_| fault("has no number where one belongs"))?;
            if number < 0.0 {
                return Err(fault("is negative"));
            }
            let end = after
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(after.len());
            let (name, after) = after.split_at(end);
            let (seconds, place) = unit(name).ok_or_else(|| match name {
                "" => fault("has no unit of time"),
                "m" => fault("has \"m\", which may be metres or months; write \"min\""),
                _ => fault("has an unknown unit of time"),
            })?;
            if place < next_place {
                return Err(fault("has its units out of order"));
            }
            next_place = place + 1;
            total_s += number * seconds as f64;
            rest = after.trim_start();
        }
        if !(0.0..=LONGEST_S as f64).contains(&total_s) {
            return Err(fault("is longer than ten years"));
        }
        let whole = total_s.round();
        if (total_s - whole).abs() > 1e-6 * whole.max(1.0) {
            return Err(fault("is not a whole number of seconds"));
        }
        Ok(Duration(whole as i64))
    }
}

impl FromStr for TimeOfDay {
    type Err = TextError;

    fn from_str(written: &str) -> Result<Self, TextError> {
        let text = written.trim();
        if text.is_empty() {
            return Err(TextError::Empty {
                noun: "a time of day",
                example: "06:30",
            });
        }
        match clock(text) {
            Some((hours, seconds)) if hours < 24 => Ok(TimeOfDay(seconds)),
            Some(_) => Err(day_fault(text, "is past the end of the day")),
            None => Err(day_fault(text, "is no HH:MM")),
        }
    }
}

impl FromStr for ClockTime {
    type Err = TextError;

    fn from_str(written: &str) -> Result<Self, TextError> {
        if written.trim() == "24:00" {
            return Ok(ClockTime(DAY_S));
        }
        written.parse().map(|TimeOfDay(second)| ClockTime(second))
    }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write_clock(f, self.0)
    }
}

/// `HH:MM`, with `:SS` where there are seconds.
fn write_clock(f: &mut fmt::Formatter, second_of_day: i64) -> fmt::Result {
    let (h, m, s) = (
        second_of_day / HOUR_S,
        second_of_day % HOUR_S / MINUTE_S,
        second_of_day % MINUTE_S,
    );
    write!(f, "{h:02}:{m:02}")?;
    if s != 0 { write!(f, ":{s:02}") } else { Ok(()) }
}

impl fmt::Display for Duration {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let seconds = self.0.checked_abs().unwrap_or(i64::MAX);
        write!(f, "{sign}")?;
        if seconds >= DAY_S {
            write!(f, "{}d ", seconds / DAY_S)?;
        }
        write_clock(f, seconds % DAY_S)
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write_clock(f, self.0.rem_euclid(DAY_S))
    }
}
