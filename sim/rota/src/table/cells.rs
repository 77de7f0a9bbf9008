//! What single cells of a rota's table say: who, when, as what, in which bell, how deep, when in the
//! water and at what. A cell that says nothing that can be meant is told with its place.

use crate::types::{Problem, Role, Span};
use deepstay_core::units::text::{Depth, Duration, TimeOfDay};
use deepstay_core::units::{
    BadTime, CompartmentId, DiverId, VesselTime, clock_length, read_time_of_day,
};
use deepstay_core::words::Words;
use deepstay_scenario::{CsvCell, CsvTable, Diagnostic, Wrong};

/// What a line says of the time in the water.
pub(super) enum Wet {
    Unsaid,
    Length(i64),
    Spans(Vec<Span>),
}

/// What may be known of one reading.
pub(super) struct Reader<'a> {
    pub(super) table: &'a CsvTable,
    pub(super) time: VesselTime,
    pub(super) problem: &'a Problem,
    pub(super) diagnostics: Vec<Diagnostic>,
    /// Other offsets from UTC that times carried, s.
    pub(super) offsets: Vec<i64>,
}

impl Reader<'_> {
    pub(super) fn complain(
        &mut self,
        line: usize,
        column: usize,
        words: String,
        help: Option<String>,
    ) {
        self.diagnostics.push(
            self.table
                .diagnostic(line, column, Wrong::Value(words), help),
        );
    }

    pub(super) fn diver(&mut self, line: usize, cell: &CsvCell) -> Option<DiverId> {
        let known: Vec<&str> = self
            .problem
            .divers
            .iter()
            .map(|d| d.initials.as_str())
            .collect();
        let found = known
            .iter()
            .position(|k| k.eq_ignore_ascii_case(cell.text.trim()));
        if let Some(i) = found {
            return u8::try_from(i).ok().map(DiverId);
        }
        let wrong = Wrong::NoSuch {
            kind: "diver",
            name: cell.text.trim().into(),
            known: known.iter().map(|k| (*k).to_owned()).collect(),
        };
        let help = nearest(cell.text.trim(), known).map(|n| format!("did you mean `{n}`?"));
        self.diagnostics
            .push(self.table.diagnostic(line, cell.column, wrong, help));
        None
    }

    pub(super) fn time(&mut self, line: usize, cell: &CsvCell) -> Option<i64> {
        match self.time.read(&cell.text) {
            Ok(written) => {
                self.offsets.extend(written.other_offset_s);
                Some(written.at_s)
            }
            Err(BadTime { words, help, .. }) => {
                self.complain(line, cell.column, words, help);
                None
            }
        }
    }

    pub(super) fn role(&mut self, line: usize, cell: &CsvCell) -> Option<Role> {
        let text = cell.text.trim().to_lowercase();
        let found = [Role::Diver, Role::Bellman]
            .into_iter()
            .find(|r| r.words() == text);
        if found.is_none() {
            let near = nearest(&text, ["diver", "bellman"]).map(|n| format!("did you mean `{n}`?"));
            self.complain(
                line,
                cell.column,
                format!("`{text}` is no role; there are diver and bellman"),
                near,
            );
        }
        found
    }

    pub(super) fn bell(
        &mut self,
        line: usize,
        cell: Option<&CsvCell>,
        column: usize,
    ) -> Option<CompartmentId> {
        let known: Vec<&str> = self.problem.bells.iter().map(|b| b.name.as_str()).collect();
        match (cell, &self.problem.bells[..]) {
            (None, [only]) => Some(only.id),
            (None, _) => {
                let words = format!(
                    "the spread has {} bells and this line names none",
                    known.len()
                );
                let help = format!("a column `bell` says which: {}", known.join(", "));
                self.complain(line, column, words, Some(help));
                None
            }
            (Some(cell), bells) => {
                let found = bells
                    .iter()
                    .find(|b| b.name.eq_ignore_ascii_case(cell.text.trim()));
                if found.is_none() {
                    let help = nearest(cell.text.trim(), known.iter().copied());
                    let wrong = Wrong::NoSuch {
                        kind: "bell",
                        name: cell.text.trim().into(),
                        known: known.iter().map(|k| (*k).to_owned()).collect(),
                    };
                    let help = help.map(|n| format!("did you mean `{n}`?"));
                    self.diagnostics
                        .push(self.table.diagnostic(line, cell.column, wrong, help));
                }
                found.map(|b| b.id)
            }
        }
    }

    pub(super) fn depth(&mut self, line: usize, cell: &CsvCell) -> Option<f64> {
        match cell.text.trim().parse::<Depth>() {
            Ok(depth) => Some(depth.0),
            Err(e) => {
                self.complain(line, cell.column, e.to_string(), None);
                None
            }
        }
    }

    /// Leaving before returning, and no turn of days.
    pub(super) fn order(&mut self, line: usize, cell: &CsvCell, span: Span) {
        const LONGEST_S: i64 = 24 * 3600;
        let length = span.length_s();
        if length <= 0 {
            let next = span.to_s + 86_400;
            let help = (next > span.from_s && length > -86_400)
                .then(|| format!("if it crosses midnight: {}", self.time.civil(next)));
            self.complain(
                line,
                cell.column,
                "this bell run returns before it leaves".into(),
                help,
            );
        } else if length > LONGEST_S {
            let words = format!(
                "this bell run is {} h long; are the dates right?",
                clock_length(length)
            );
            self.complain(line, cell.column, words, None);
        }
    }

    /// `08:10-10:50 11:20-13:00` of the ship's clock, or a length of time.
    pub(super) fn wet(&mut self, line: usize, cell: &CsvCell, turn: Span) -> Wet {
        let text = cell.text.trim().replace('\u{2013}', "-");
        if !text.contains('-') {
            return match text.parse::<Duration>() {
                Ok(d) if d.0 <= turn.length_s() => Wet::Length(d.0),
                Ok(_) => {
                    self.complain(
                        line,
                        cell.column,
                        "the time in the water is longer than the bell run".into(),
                        None,
                    );
                    Wet::Unsaid
                }
                Err(e) => {
                    let help = "spans like 08:10-10:50, or a length like 2 h 40 min";
                    self.complain(line, cell.column, e.to_string(), Some(help.into()));
                    Wet::Unsaid
                }
            };
        }
        let (mut spans, mut at) = (Vec::new(), turn.from_s);
        for part in text.split([' ', ';']).filter(|p| !p.is_empty()) {
            let ends = part
                .split_once('-')
                .map(|(a, b)| [a, b].map(read_time_of_day));
            let Some([Ok(from), Ok(to)]) = ends else {
                let help = "spans of vessel time like 08:10-10:50, with a blank between two";
                self.complain(
                    line,
                    cell.column,
                    format!("`{part}` is no span of time"),
                    Some(help.into()),
                );
                return Wet::Unsaid;
            };
            // The first such time of the clock that is not before what came last.
            let next = |after: i64, clock: i64| {
                after + (clock - after - self.time.second_of_day(0)).rem_euclid(86_400)
            };
            let from = next(at, from);
            let to = next(from, to);
            at = to;
            spans.push(Span::new(from, to));
        }
        if at > turn.to_s {
            let clock = |s: i64| TimeOfDay(self.time.second_of_day(s));
            let words = format!(
                "`{text}` is not all between {} and {}",
                clock(turn.from_s),
                clock(turn.to_s)
            );
            self.complain(line, cell.column, words, None);
            return Wet::Unsaid;
        }
        Wet::Spans(spans)
    }

    /// Tasks parted by `;`, each with its time in the water after the name where it is said.
    pub(super) fn tasks(&mut self, line: usize, cell: &CsvCell) -> Vec<(usize, Option<i64>)> {
        let mut found = Vec::new();
        for part in cell
            .text
            .split(';')
            .map(str::trim)
            .filter(|p| !p.is_empty())
        {
            let split = part.rsplit_once(' ').and_then(|(name, length)| {
                Some((
                    name.trim(),
                    length
                        .parse::<Duration>()
                        .ok()
                        .filter(|_| length.contains(':'))?
                        .0,
                ))
            });
            let (name, length) = split.map_or((part, None), |(name, s)| (name, Some(s)));
            match self
                .problem
                .tasks
                .iter()
                .position(|t| t.name.eq_ignore_ascii_case(name))
            {
                Some(i) => found.push((i, length)),
                None => {
                    let known: Vec<String> =
                        self.problem.tasks.iter().map(|t| t.name.clone()).collect();
                    let help = nearest(name, known.iter().map(String::as_str))
                        .map(|n| format!("did you mean `{n}`?"));
                    let wrong = Wrong::NoSuch {
                        kind: "task",
                        name: name.into(),
                        known,
                    };
                    self.diagnostics
                        .push(self.table.diagnostic(line, cell.column, wrong, help));
                }
            }
        }
        found
    }
}

/// The nearest of some names, if it is near enough to have been meant.
pub(super) fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = name.to_lowercase();
    let near = known
        .into_iter()
        .map(|k| (strsim::osa_distance(&plain, &k.to_lowercase()), k));
    near.filter(|(d, k)| *d <= 1 + k.chars().count() / 3)
        .min()
        .map(|(_, k)| k)
}
