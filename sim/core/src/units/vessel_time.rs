//! The vessel's time: seconds of a job as the civil dates and times of the vessel's clock, and back. The
//! clock keeps one offset from UTC for the whole job; a written time with an offset of its own names its
//! instant, a time with a zone's name does not always, and is refused.

use super::text::TimeOfDay;
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::Offset;

/// The vessel's clock: where second 0 of the job lies on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VesselTime {
    /// Civil time of second 0: seconds since 1970-01-01 UTC.
    pub start_unix_s: i64,
    /// Offset of the clock from UTC, s.
    pub utc_offset_s: i64,
}

const DAY_S: i64 = 86_400;

/// A written time and whether it carried another offset than the vessel's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WrittenTime {
    /// Second of the job.
    pub at_s: i64,
    /// The offset it carried where that is not the vessel's, s.
    pub other_offset_s: Option<i64>,
}

/// Why a time cannot be used, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{words}")]
#[non_exhaustive]
pub struct BadTime {
    /// What is wrong.
    pub words: String,
    /// What would be right.
    pub help: Option<String>,
}

impl BadTime {
    /// What is wrong, and what would be right.
    pub fn new(words: String, help: impl Into<String>) -> BadTime {
        BadTime {
            words,
            help: Some(help.into()),
        }
    }
}

fn refuse<T>(words: String, help: impl Into<String>) -> Result<T, BadTime> {
    Err(BadTime::new(words, help))
}

impl VesselTime {
    /// Second of the vessel's day at a second of the job.
    pub fn second_of_day(self, at_s: i64) -> i64 {
        let start = self.start_unix_s.saturating_add(self.utc_offset_s);
        start.saturating_add(at_s).rem_euclid(DAY_S)
    }

    /// Day of the vessel's clock at a second of the job, from 0 on the day of second 0.
    pub fn day(self, at_s: i64) -> i64 {
        at_s.saturating_add(self.second_of_day(0)).div_euclid(DAY_S)
    }

    /// The vessel's day and clock: `D03 14:30`.
    pub fn clock(self, at_s: i64) -> String {
        format!("D{:02} {}", self.day(at_s) + 1, self.hour_and_minute(at_s))
    }

    /// The vessel's hour and minute: `14:30`.
    pub fn hour_and_minute(self, at_s: i64) -> String {
        let second = self.second_of_day(at_s);
        format!("{:02}:{:02}", second / 3600, second / 60 % 60)
    }

    fn there(self, at_s: i64) -> Option<DateTime> {
        let time = Timestamp::from_second(self.start_unix_s.saturating_add(at_s)).ok()?;
        let seconds = i32::try_from(self.utc_offset_s).ok()?;
        Some(Offset::from_seconds(seconds).ok()?.to_datetime(time))
    }

    /// Date and time of the vessel's clock: `2031-06-03 14:30`, seconds where there are any; empty where
    /// the calendar does not reach.
    pub fn civil(self, at_s: i64) -> String {
        self.there(at_s).map_or_else(String::new, |there| {
            format!(
                "{} {}",
                there.date(),
                TimeOfDay(second_of_day(there.time()))
            )
        })
    }

    /// The same without seconds, for people.
    pub fn civil_minute(self, at_s: i64) -> String {
        self.civil(at_s.saturating_sub(self.second_of_day(at_s).rem_euclid(60)))
    }

    /// The same without seconds and with the offset: `2031-06-03 14:30 UTC+02:00`.
    pub fn civil_with_offset(self, at_s: i64) -> String {
        let (sign, away) = (
            if self.utc_offset_s < 0 { '-' } else { '+' },
            self.utc_offset_s.abs() / 60,
        );
        self.there(at_s).map_or_else(String::new, |there| {
            format!(
                "{} {:02}:{:02} UTC{sign}{:02}:{:02}",
                there.date(),
                there.hour(),
                there.minute(),
                away / 60,
                away % 60
            )
        })
    }

    /// A second in the middle of a day of the vessel's clock, days from 0.
    fn noon_s(self, day: i64) -> i64 {
        day * DAY_S + DAY_S / 2 - self.second_of_day(0)
    }

    /// Civil date of a day of the vessel's clock, days from 0.
    pub fn date(self, day: i64) -> String {
        self.there(self.noon_s(day))
            .map_or_else(String::new, |there| there.date().to_string())
    }

    /// Day of the week and date of a day of the vessel's clock, days from 0, such as `Tue 3 Jun`; empty
    /// where the calendar does not reach.
    pub fn weekday(self, day: i64) -> String {
        let week = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
        let months = [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ];
        let name =
            |names: &[&'static str], n: i8| names[usize::try_from(n).unwrap_or(0) % names.len()];
        self.there(self.noon_s(day))
            .map_or_else(String::new, |there| {
                let date = there.date();
                format!(
                    "{} {} {}",
                    name(&week, date.weekday().to_monday_zero_offset()),
                    date.day(),
                    name(&months, date.month() - 1)
                )
            })
    }

    /// Reads a time: `2031-06-03 14:30`, with `T` or a blank between, seconds if wanted, and an offset
    /// (`+02:00`, `Z`) if it is not the ship's clock; or `D03 14:30`, the job's day.
    ///
    /// # Errors
    /// [`BadTime`] says what is wrong and what would be right.
    pub fn read(self, text: &str) -> Result<WrittenTime, BadTime> {
        let text = text.trim();
        let like =
            "a time is written like 2031-06-03 14:30, or D03 14:30 for the third day of the job";
        if text.is_empty() {
            return refuse("there is no time here".into(), like);
        }
        if let Some(zone) = zone_name(text) {
            return refuse(
                format!(
                    "`{zone}` is the name of a zone, whose clock has one hour twice in autumn and skips one in spring"
                ),
                "write the offset from UTC instead, like 2031-10-26 02:30+02:00, or vessel time without any",
            );
        }
        let Some((date, clock)) = text
            .split_once(['T', 't', ' '])
            .map(|(d, c)| (d.trim(), c.trim()))
        else {
            return if text.contains(':') {
                refuse(format!("`{text}` has no date"), like)
            } else {
                refuse(format!("`{text}` has no time of day"), like)
            };
        };
        let (clock, carried) = split_offset(clock, text)?;
        let seconds = time_of_day(clock, date, text)?;
        let job_day = date
            .strip_prefix(['D', 'd'])
            .and_then(|n| n.parse::<i64>().ok());
        if let Some(day) = job_day {
            if carried.is_some() {
                return refuse(format!("`{text}` has an offset and no date"), like);
            }
            let at_s = (day - 1) * DAY_S + seconds - self.second_of_day(0);
            return near(at_s, text, self).map(|at_s| WrittenTime {
                at_s,
                other_offset_s: None,
            });
        }
        let date = calendar_date(date, text)?;
        let local = DateTime::from_parts(date, Time::midnight());
        let Some(start) = Offset::UTC
            .to_timestamp(local)
            .ok()
            .map(Timestamp::as_second)
        else {
            return refuse(format!("`{text}` lies outside the calendar"), like);
        };
        let offset_s = carried.unwrap_or(self.utc_offset_s);
        let at_s = start + seconds - offset_s - self.start_unix_s;
        let other_offset_s = carried.filter(|o| *o != self.utc_offset_s);
        near(at_s, text, self).map(|at_s| WrittenTime {
            at_s,
            other_offset_s,
        })
    }
}

/// A length of time as hours and minutes, with seconds where there are any: `2:40`.
pub fn clock_length(s: i64) -> String {
    if s % 60 == 0 {
        format!("{}:{:02}", s / 3600, s / 60 % 60)
    } else {
        format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    }
}

fn second_of_day(time: Time) -> i64 {
    i64::from(time.hour()) * 3600 + i64::from(time.minute()) * 60 + i64::from(time.second())
}

/// A time far from the job is a slip of the pen.
fn near(at_s: i64, text: &str, time: VesselTime) -> Result<i64, BadTime> {
    const MOST_S: i64 = 400 * DAY_S;
    let start = time.civil(0);
    if at_s < 0 {
        return refuse(
            format!("`{text}` lies before the job begins"),
            format!("the job begins at {start}, vessel time; is the year right?"),
        );
    }
    if at_s > MOST_S {
        return refuse(
            format!("`{text}` lies more than 400 days after the job begins"),
            format!("the job begins at {start}, vessel time; is the year right?"),
        );
    }
    Ok(at_s)
}

/// `[Zone/Name]` or letters after the time of day.
fn zone_name(text: &str) -> Option<&str> {
    if let Some((_, rest)) = text.split_once('[') {
        return Some(rest.trim_end_matches(']'));
    }
    let word = text
        .rsplit([' ', ':'])
        .next()?
        .trim_start_matches(|c: char| c.is_ascii_digit());
    let letters = text.contains(|c: char| c.is_ascii_digit())
        && word.len() >= 2
        && word
            .chars()
            .all(|c| c.is_alphabetic() || c == '/' || c == '_');
    (letters && !["UTC", "am", "pm", "AM", "PM"].contains(&word)).then_some(word)
}

/// The clock and the offset after it, s.
fn split_offset<'a>(clock: &'a str, text: &str) -> Result<(&'a str, Option<i64>), BadTime> {
    if let Some(clock) = clock.strip_suffix(['Z', 'z']) {
        return Ok((clock.trim_end(), Some(0)));
    }
    if let Some(clock) = clock.strip_suffix("UTC") {
        return Ok((clock.trim_end(), Some(0)));
    }
    let Some(at) = clock.find(['+', '-', '\u{2212}']) else {
        return Ok((clock, None));
    };
    let (before, after) = clock.split_at(at);
    let negative = !after.starts_with('+');
    let digits: String = after.chars().filter(char::is_ascii_digit).collect();
    let minutes = match digits.len() {
        2 => digits.parse::<i64>().ok().map(|h| h * 60),
        4 => digits[..2]
            .parse::<i64>()
            .ok()
            .zip(digits[2..].parse::<i64>().ok())
            .map(|(h, m)| h * 60 + m),
        _ => None,
    };
    match minutes.filter(|m| *m <= 14 * 60) {
        Some(m) => {
            let before = before.trim_end();
            let before = before.strip_suffix("UTC").unwrap_or(before).trim_end();
            Ok((before, Some(if negative { -m * 60 } else { m * 60 })))
        }
        None => refuse(
            format!("`{after}` in `{text}` is no offset from UTC"),
            "an offset is written like +02:00 or Z",
        ),
    }
}

/// Second of the day of `HH:MM` or `HH:MM:SS`, as a table has it.
///
/// # Errors
/// [`BadTime`] says what is wrong and what would be right.
pub fn read_time_of_day(text: &str) -> Result<i64, BadTime> {
    time_of_day(text, "", text)
}

/// Second of the day of `HH:MM` or `HH:MM:SS`.
fn time_of_day(clock: &str, date: &str, text: &str) -> Result<i64, BadTime> {
    let parts: Vec<Option<i64>> = clock
        .split(':')
        .map(|p| {
            (p.len() <= 2 && !p.is_empty() && p.bytes().all(|b| b.is_ascii_digit()))
                .then(|| p.parse().ok())
                .flatten()
        })
        .collect();
    let whole = match parts[..] {
        [Some(h), Some(m)] => Some((h, m, 0)),
        [Some(h), Some(m), Some(s)] => Some((h, m, s)),
        _ => None,
    };
    match whole {
        Some((24, 0, 0)) => {
            let next = date.parse::<Date>().ok().and_then(|d| d.tomorrow().ok());
            let next = next.map_or("the next day".to_owned(), |d| d.to_string());
            refuse(
                format!("`{text}` is past the end of a day"),
                format!("midnight is the first minute of the next day: {next} 00:00"),
            )
        }
        Some((h, m, s)) if h < 24 && m < 60 && s < 60 => Ok(h * 3600 + m * 60 + s),
        _ => refuse(
            format!("`{clock}` in `{text}` is no time of day"),
            "a time of day is written like 06:30, from 00:00 to 23:59",
        ),
    }
}

fn calendar_date(date: &str, text: &str) -> Result<Date, BadTime> {
    if date.contains(['/', '.']) {
        return refuse(
            format!("`{date}` does not say which number is the day and which the month"),
            "a date is written year first, like 2031-06-03",
        );
    }
    match date.parse::<Date>() {
        Ok(date) => Ok(date),
        Err(_) => refuse(
            format!("`{date}` in `{text}` is no date"),
            "a date is written year first, like 2031-06-03",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2027-03-01 06:00 at UTC+02:00.
    const TIME: VesselTime = VesselTime {
        start_unix_s: 1_803_873_600,
        utc_offset_s: 7200,
    };

    #[test]
    fn times_come_back_as_they_were_written() {
        for at in [0, 59, 3600, 18 * 3600, 40 * 86_400 + 61] {
            let text = TIME.civil(at);
            assert_eq!(
                TIME.read(&text),
                Ok(WrittenTime {
                    at_s: at,
                    other_offset_s: None
                }),
                "{text}"
            );
        }
        let at = |text: &str| TIME.read(text).expect(text).at_s;
        assert_eq!(at("2027-03-02T00:00"), 18 * 3600);
        assert_eq!(at("2027-03-01 04:00Z"), 0);
        assert_eq!(at("2027-03-01T05:00:00+01:00"), 0);
        assert_eq!(at("2027-03-01 06:00 UTC+02:00"), 0);
        assert_eq!(at("D01 06:00"), 0);
        assert_eq!(at("D2 00:00"), 18 * 3600);
        assert_eq!(
            TIME.read("2027-03-01T05:30+01:00")
                .expect("read")
                .other_offset_s,
            Some(3600)
        );
        assert_eq!(TIME.weekday(0), "Mon 1 Mar");
    }

    #[test]
    fn bad_times_are_told_what_they_lack() {
        for (text, words) in [
            ("", "no time"),
            ("2027-03-02", "no time of day"),
            ("14:30", "no date"),
            ("2027-03-02 24:00", "past the end"),
            ("2027-03-02 25:10", "no time of day"),
            ("2027-03-02 7.30", "no time of day"),
            ("2027-02-30 10:00", "no date"),
            ("02/03/2027 10:00", "which number is the day"),
            ("2027-10-31T02:30[Europe/Oslo]", "the name of a zone"),
            ("2027-10-31 02:30 CEST", "the name of a zone"),
            ("2017-03-02 10:00", "before the job"),
            ("2037-03-02 10:00", "400 days"),
            ("2027-03-02 10:00+2", "no offset"),
            ("soon", "no time of day"),
        ] {
            let bad = TIME.read(text).expect_err(text);
            assert!(bad.words.contains(words), "{text}: {bad:?}");
            assert!(bad.help.is_some());
        }
        let midnight = TIME.read("2027-03-31 24:00").expect_err("past the end");
        assert!(
            midnight
                .help
                .is_some_and(|h| h.contains("2027-04-01 00:00"))
        );
    }

    #[test]
    fn the_clock_is_the_vessel_s() {
        assert_eq!(TIME.clock(0), "D01 06:00");
        assert_eq!(TIME.clock(18 * 3600), "D02 00:00");
        assert_eq!(TIME.civil_with_offset(0), "2027-03-01 06:00 UTC+02:00");
        assert_eq!(TIME.date(2), "2027-03-03");
    }
}
