//! The rows of a rota's table as bell runs, read apart from the reader that judges it: times by the calendar alone.

use crate::explain::ground::Ground;
use crate::explain::table::{Column, Row, Table};

/// A row: one position of a bell run.
pub(super) struct Line<'t> {
    pub row: &'t Row,
    pub diver: &'t str,
    pub role: &'t str,
    pub bell: &'t str,
    /// Seconds of the calendar.
    pub leave: i64,
    pub r#return: i64,
    pub depth_msw: f64,
    /// From when to when in the water, seconds of the calendar.
    pub water: Vec<(i64, i64)>,
    /// Tasks and the time for each, s.
    pub tasks: Vec<(&'t str, i64)>,
}

impl Line<'_> {
    /// In the water, s.
    pub fn water_s(&self) -> i64 {
        self.water.iter().map(|(from, to)| to - from).sum()
    }

    /// Whether both are positions of one bell run.
    pub fn same_run(&self, other: &Line<'_>) -> bool {
        (self.bell, self.leave, self.r#return) == (other.bell, other.leave, other.r#return)
    }
}

/// The table's columns.
pub(super) struct Lines<'t> {
    pub table: &'t Table,
    pub all: Vec<Line<'t>>,
}

impl<'t> Lines<'t> {
    pub fn of(ground: &'t Ground<'_>) -> Result<Lines<'t>, String> {
        let table = ground.table("rota.csv")?;
        let column = |head: &str| table.column(head);
        let (diver, leave, back) = (column("diver")?, column("leave")?, column("return")?);
        let (role, bell, depth) = (column("role")?, column("bell")?, column("depth")?);
        let (water, tasks) = (column("in water")?, column("tasks")?);
        let mut all = Vec::new();
        for row in &table.rows {
            let wrong = |column: Column<'_>| {
                format!(
                    "rota.csv line {}: \"{}\" in the column \"{}\" cannot be read",
                    row.line,
                    column.text(row),
                    column.head()
                )
            };
            let time = |column: Column<'_>| calendar_s(column.text(row)).ok_or(wrong(column));
            let left = time(leave)?;
            let depth_msw = depth
                .text(row)
                .strip_suffix(" msw")
                .and_then(|d| d.parse().ok());
            all.push(Line {
                row,
                diver: diver.text_of(row),
                role: role.text_of(row),
                bell: bell.text_of(row),
                leave: left,
                r#return: time(back)?,
                depth_msw: depth_msw.ok_or(wrong(depth))?,
                water: spans(water.text(row), left).ok_or(wrong(water))?,
                tasks: tasks_of(tasks.text_of(row)).ok_or(wrong(tasks))?,
            });
        }
        Ok(Lines { table, all })
    }

    /// The bell runs in the order of the table, each by its positions.
    pub fn runs(&self) -> Vec<Vec<&Line<'t>>> {
        let mut runs: Vec<Vec<&Line<'t>>> = Vec::new();
        for line in &self.all {
            match runs.last_mut() {
                Some(run) if run[0].same_run(line) => run.push(line),
                _ => runs.push(vec![line]),
            }
        }
        runs
    }

    /// The rows of a diver, in order of time.
    pub fn of_diver(&self, diver: &str) -> Vec<&Line<'t>> {
        let mut mine: Vec<&Line<'t>> = self.all.iter().filter(|l| l.diver == diver).collect();
        mine.sort_by_key(|l| (l.leave, l.r#return));
        mine
    }
}

/// `2031-06-02 18:00` or `2031-06-02 18:00:30` as seconds of the calendar, from 1970-01-01.
pub(super) fn calendar_s(text: &str) -> Option<i64> {
    let (date, clock) = text.split_once(' ')?;
    let mut parts = date.split('-').map(|p| p.parse::<i64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let leap = |y: i64| y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
    let months = [
        31,
        if leap(year) { 29 } else { 28 },
        31,
        30,
        31,
        30,
        31,
        31,
        30,
        31,
        30,
        31,
    ];
    let before: i64 = months.iter().take(usize::try_from(month - 1).ok()?).sum();
    if !(1970..=2400).contains(&year) || !(1..=12).contains(&month) || !(1..=31).contains(&day) {
        return None;
    }
    let years: i64 = (1970..year).map(|y| if leap(y) { 366 } else { 365 }).sum();
    Some((years + before + day - 1) * 86_400 + clock_s(clock)?)
}

/// `18:00` or `18:00:30` as seconds.
fn clock_s(text: &str) -> Option<i64> {
    let mut seconds = 0;
    let parts: Vec<i64> = text
        .split(':')
        .map(|p| p.parse().ok())
        .collect::<Option<_>>()?;
    for (part, unit) in parts.iter().zip([3600, 60, 1]) {
        seconds += part * unit;
    }
    (2..=3).contains(&parts.len()).then_some(seconds)
}

/// Spans of the clock, `21:43:54-00:43:54`, as seconds of the calendar: each time is the first of that clock after the
/// bell left.
fn spans(text: &str, left: i64) -> Option<Vec<(i64, i64)>> {
    let after = |clock: i64, at: i64| at + (clock - at).rem_euclid(86_400);
    let spans = text.split_whitespace().map(|span| {
        let (from, to) = span.split_once('-')?;
        let from = after(clock_s(from)?, left);
        Some((from, after(clock_s(to)?, from)))
    });
    spans.collect()
}

/// `Weld anode straps 3:00; Survey 1:30`.
fn tasks_of(text: &str) -> Option<Vec<(&str, i64)>> {
    let tasks = text.split("; ").filter(|t| !t.is_empty()).map(|task| {
        let (name, length) = task.rsplit_once(' ')?;
        Some((name, clock_s(length)?))
    });
    tasks.collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_those_of_the_calendar() {
        assert_eq!(calendar_s("1970-01-02 00:00:01"), Some(86_401));
        // 2000-03-01 is day 11 017 of the epoch (POSIX.1, seconds since the epoch: 951 868 800).
        assert_eq!(calendar_s("2000-03-01 00:00"), Some(951_868_800));
        assert_eq!(calendar_s("2031-13-01 00:00"), None);
        let wet = spans("21:43:54-00:43:54 02:00-02:30", 18 * 3600).expect("spans");
        assert_eq!(wet[0], (78_234, 89_034));
        assert_eq!(wet.iter().map(|(a, b)| b - a).sum::<i64>(), 12_600);
        assert_eq!(
            tasks_of("A b 3:00; C 0:30"),
            Some(vec![("A b", 10_800), ("C", 1800)])
        );
    }
}
