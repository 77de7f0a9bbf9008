//! Dates and times of a rota's files: seconds of the job to the ship's civil clock and back. The ship's
//! clock keeps one offset from UTC for the whole job; a time with an offset of its own names its instant,
//! a time with a zone's name does not always, and is refused.

use super::inputs::Subject;
use jiff::Timestamp;
use jiff::civil::{Date, DateTime, Time};
use jiff::tz::Offset;

/// A written time and whether it carried another offset than the ship's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Second of the job.
    pub at_s: i64,
    /// The offset it carried where that is not the ship's, s.
    pub other_offset_s: Option<i64>,
}

/// Why a time cannot be used, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strange {
    /// What is wrong.
    pub words: String,
    /// What would be right.
    pub help: Option<String>,
}

fn strange<T>(words: String, help: impl Into<String>) -> Result<T, Strange> {
    Err(Strange {
        words,
        help: Some(help.into()),
    })
}

fn offset(s: i64) -> Option<Offset> {
    i32::try_from(s)
        .ok()
        .and_then(|s| Offset::from_seconds(s).ok())
}

/// Date and time of the ship's clock at a second of the job: `2031-06-03 14:30`, seconds where there are
/// any; empty where the calendar does not reach.
pub fn civil(subject: &Subject, at_s: i64) -> String {
    let time = Timestamp::from_second(subject.start_unix_s.saturating_add(at_s)).ok();
    match (time, offset(subject.utc_offset_s)) {
        (Some(time), Some(offset)) => {
            let there = offset.to_datetime(time);
            let clock = super::rota_csv::clock_time(second_of_day(there.time()));
            format!("{} {clock}", there.date())
        }
        _ => String::new(),
    }
}

/// The same without seconds, for people.
pub fn civil_minute(subject: &Subject, at_s: i64) -> String {
    civil(
        subject,
        at_s.saturating_sub((at_s + subject.start_second_of_day).rem_euclid(60)),
    )
}

/// Day of the week and date of a day of the ship's clock, such as `Tue 3 Jun`; empty where the calendar
/// does not reach.
pub fn weekday(subject: &Subject, day: i64) -> String {
    let noon = day * 86_400 + 43_200 - subject.start_second_of_day;
    let time = Timestamp::from_second(subject.start_unix_s.saturating_add(noon)).ok();
    match (time, offset(subject.utc_offset_s)) {
        (Some(time), Some(offset)) => {
            let date = offset.to_datetime(time).date();
            let week = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
            let months = [
                "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
            ];
            let name = |names: &[&'static str], n: i8| {
                names[usize::try_from(n).unwrap_or(0) % names.len()]
            };
            format!(
                "{} {} {}",
                name(&week, date.weekday().to_monday_zero_offset()),
                date.day(),
                name(&months, date.month() - 1)
            )
        }
        _ => String::new(),
    }
}

fn second_of_day(time: Time) -> i64 {
    i64::from(time.hour()) * 3600 + i64::from(time.minute()) * 60 + i64::from(time.second())
}

/// Reads a time: `2031-06-03 14:30`, with `T` or a blank between, seconds if wanted, and an offset
/// (`+02:00`, `Z`) if it is not the ship's clock; or `D03 14:30`, the job's day.
///
/// # Errors
/// [`Strange`] says what is wrong and what would be right.
pub fn read(text: &str, subject: &Subject) -> Result<Written, Strange> {
    let text = text.trim();
    let like = "a time is written like 2031-06-03 14:30, or D03 14:30 for the third day of the job";
    if text.is_empty() {
        return strange("there is no time here".into(), like);
    }
    if let Some(zone) = zone_name(text) {
        return strange(
            format!(
                "`{zone}` is the name of a zone, whose clock has one hour twice in autumn and skips one in spring"
            ),
            "write the offset from UTC instead, like 2031-10-26 02:30+02:00, or the ship's clock without any",
        );
    }
    let Some((date, clock)) = text
        .split_once(['T', 't', ' '])
        .map(|(d, c)| (d.trim(), c.trim()))
    else {
        return if text.contains(':') {
            strange(format!("`{text}` has no date"), like)
        } else {
            strange(format!("`{text}` has no time of day"), like)
        };
    };
    let (clock, carried) = split_offset(clock, text)?;
    let seconds = time_of_day(clock, date, text)?;
    let job_day = date
        .strip_prefix(['D', 'd'])
        .and_then(|n| n.parse::<i64>().ok());
    if let Some(day) = job_day {
        if carried.is_some() {
            return strange(format!("`{text}` has an offset and no date"), like);
        }
        let at_s = (day - 1) * 86_400 + seconds - subject.start_second_of_day;
        return near(at_s, text, subject).map(|at_s| Written {
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
        return strange(format!("`{text}` lies outside the calendar"), like);
    };
    let offset_s = carried.unwrap_or(subject.utc_offset_s);
    let at_s = start + seconds - offset_s - subject.start_unix_s;
    let other_offset_s = carried.filter(|o| *o != subject.utc_offset_s);
    near(at_s, text, subject).map(|at_s| Written {
        at_s,
        other_offset_s,
    })
}

/// A time far from the job is a slip of the pen.
fn near(at_s: i64, text: &str, subject: &Subject) -> Result<i64, Strange> {
    const MOST_S: i64 = 400 * 86_400;
    let start = civil(subject, 0);
    if at_s < 0 {
        return strange(
            format!("`{text}` lies before the job begins"),
            format!("the job begins at {start} of the ship's clock; is the year right?"),
        );
    }
    if at_s > MOST_S {
        return strange(
            format!("`{text}` lies more than 400 days after the job begins"),
            format!("the job begins at {start} of the ship's clock; is the year right?"),
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
fn split_offset<'a>(clock: &'a str, text: &str) -> Result<(&'a str, Option<i64>), Strange> {
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
        None => strange(
            format!("`{after}` in `{text}` is no offset from UTC"),
            "an offset is written like +02:00 or Z",
        ),
    }
}

/// Second of the day of `HH:MM` or `HH:MM:SS`.
pub fn time_of_day(clock: &str, date: &str, text: &str) -> Result<i64, Strange> {
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
            strange(
                format!("`{text}` is past the end of a day"),
                format!("midnight is the first minute of the next day: {next} 00:00"),
            )
        }
        Some((h, m, s)) if h < 24 && m < 60 && s < 60 => Ok(h * 3600 + m * 60 + s),
        _ => strange(
            format!("`{clock}` in `{text}` is no time of day"),
            "a time of day is written like 06:30, from 00:00 to 23:59",
        ),
    }
}

fn calendar_date(date: &str, text: &str) -> Result<Date, Strange> {
    if date.contains(['/', '.']) {
        return strange(
            format!("`{date}` does not say which number is the day and which the month"),
            "a date is written year first, like 2031-06-03",
        );
    }
    match date.parse::<Date>() {
        Ok(date) => Ok(date),
        Err(_) => strange(
            format!("`{date}` in `{text}` is no date"),
            "a date is written year first, like 2031-06-03",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn times_come_back_as_they_were_written() {
        // The sample begins 2027-03-01 06:00 at UTC+02:00.
        let subject = sample::subject();
        for at in [0, 59, 3600, 18 * 3600, 40 * 86_400 + 61] {
            let text = civil(&subject, at);
            assert_eq!(
                read(&text, &subject),
                Ok(Written {
                    at_s: at,
                    other_offset_s: None
                }),
                "{text}"
            );
        }
        let at = |text: &str| read(text, &subject).expect(text).at_s;
        assert_eq!(at("2027-03-02T00:00"), 18 * 3600);
        assert_eq!(at("2027-03-01 04:00Z"), 0);
        assert_eq!(at("2027-03-01T05:00:00+01:00"), 0);
        assert_eq!(at("2027-03-01 06:00 UTC+02:00"), 0);
        assert_eq!(at("D01 06:00"), 0);
        assert_eq!(at("D2 00:00"), 18 * 3600);
        assert_eq!(
            read("2027-03-01T05:30+01:00", &subject)
                .expect("read")
                .other_offset_s,
            Some(3600)
        );
        assert_eq!(weekday(&subject, 0), "Mon 1 Mar");
    }

    #[test]
    fn strange_times_are_told_what_they_lack() {
        let subject = sample::subject();
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
            let strange = read(text, &subject).expect_err(text);
            assert!(strange.words.contains(words), "{text}: {strange:?}");
            assert!(strange.help.is_some());
        }
        let midnight = read("2027-03-31 24:00", &subject).expect_err("past the end");
        assert!(
            midnight
                .help
                .is_some_and(|h| h.contains("2027-04-01 00:00"))
        );
    }
}
