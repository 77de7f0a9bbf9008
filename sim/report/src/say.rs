//! Times as a reader sees them: on the ship's clock and by its calendar.

use super::inputs::Subject;

impl Subject {
    /// The ship's day and clock at a second of the run: `D03 14:30`.
    pub fn clock(&self, at: i64) -> String {
        let second = at.saturating_add(self.start_second_of_day);
        let (day, rest) = (second.div_euclid(86_400) + 1, second.rem_euclid(86_400));
        format!("D{day:02} {:02}:{:02}", rest / 3600, rest / 60 % 60)
    }

    /// The ship's hour and minute at a second of the run: `14:30`.
    pub fn hour_and_minute(&self, at: i64) -> String {
        let second = at
            .saturating_add(self.start_second_of_day)
            .rem_euclid(86_400);
        format!("{:02}:{:02}", second / 3600, second / 60 % 60)
    }

    /// The ship's civil date and time at a second of the run, with its offset; empty where the
    /// calendar does not reach.
    pub fn civil(&self, at: i64) -> String {
        let offset = i32::try_from(self.utc_offset_s)
            .ok()
            .and_then(|s| jiff::tz::Offset::from_seconds(s).ok());
        let time = jiff::Timestamp::from_second(self.start_unix_s.saturating_add(at)).ok();
        match (time, offset) {
            (Some(time), Some(offset)) => {
                let (sign, away) = (
                    if self.utc_offset_s < 0 { '-' } else { '+' },
                    self.utc_offset_s.abs() / 60,
                );
                let there = offset.to_datetime(time);
                format!(
                    "{} {:02}:{:02} UTC{sign}{:02}:{:02}",
                    there.date(),
                    there.hour(),
                    there.minute(),
                    away / 60,
                    away % 60
                )
            }
            _ => String::new(),
        }
    }

    /// The civil date of a day number of the ship's clock.
    pub fn date_of_day(&self, day: i64) -> String {
        let noon = (day - 1) * 86_400 + 43_200 - self.start_second_of_day;
        self.civil(noon).chars().take(10).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::sample;

    #[test]
    fn the_clock_is_the_ships() {
        let subject = sample::subject();
        assert_eq!(subject.clock(0), "D01 06:00");
        assert_eq!(subject.clock(18 * 3600), "D02 00:00");
        assert_eq!(subject.civil(0), "2027-03-01 06:00 UTC+02:00");
        assert_eq!(subject.date_of_day(3), "2027-03-03");
    }
}
