//! Reads a rota from a table, ours or anybody's: who, when he leaves, when he returns, as what; and where
//! it is said, in which bell, how deep, when in the water and at which task. Complaints carry line and
//! column; what is not said is presumed and told.

use super::inputs::Subject;
use super::rota_clock::{self, Strange};
use super::rota_csv::{Column, clock_length, clock_time, role_word};
use super::rota_line::{Cell, Sheet};
use super::rota_wet;
use crate::rota::{Problem, Role, Rota, Seat, Span, Turn};
use crate::scenario::{BadScenario, Complaint, Wrong};
use crate::units::text::Duration;
use crate::units::{CompartmentId, DiverId};

/// A rota that was read, and what has to be told of the reading.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadRota {
    /// The rota.
    pub rota: Rota,
    /// What was presumed, a line each.
    pub remarks: Vec<String>,
}

/// A seat of the table, before seats become turns.
struct Line {
    number: usize,
    column: usize,
    diver: DiverId,
    span: Span,
    role: Role,
    bell: CompartmentId,
    depth_msw: Option<f64>,
    wet: Wet,
    tasks: Vec<(usize, Option<i64>)>,
}

/// What a line says of the time in the water.
enum Wet {
    Unsaid,
    Length(i64),
    Spans(Vec<Span>),
}

/// What may be known of one reading.
struct Reader<'a> {
    sheet: &'a Sheet,
    subject: &'a Subject,
    problem: &'a Problem,
    complaints: Vec<Complaint>,
    /// Other offsets from UTC that times carried, s.
    offsets: Vec<i64>,
}

/// Reads the table. `name` is the file as the user named it.
///
/// # Errors
/// Everything that is wrong with it, each with line and column.
pub fn read_rota(
    name: &str,
    bytes: &[u8],
    subject: &Subject,
    problem: &Problem,
) -> Result<ReadRota, BadScenario> {
    let sheet = Sheet::new(name, bytes)?;
    let mut reader = Reader { sheet: &sheet, subject, problem, complaints: Vec::new(), offsets: Vec::new() };
    let columns = reader.columns();
    let mut lines = Vec::new();
    if let Some(columns) = columns {
        for (number, cells) in sheet.rows() {
            lines.extend(reader.line(number, cells, &columns));
        }
        if sheet.rows().next().is_none() {
            let at = sheet.heads();
            reader.complain(at.0, 1, "there is no turn under the heads".into(), None);
        }
    }
    reader.twice(&lines);
    let mut turns = reader.turns(lines);
    if !reader.complaints.is_empty() {
        return Err(BadScenario { complaints: reader.complaints });
    }
    let mut remarks = Vec::new();
    reader.offsets.sort_unstable();
    reader.offsets.dedup();
    for offset in &reader.offsets {
        let sign = |s: i64| if s < 0 { '-' } else { '+' };
        let (o, ship) = (*offset, subject.utc_offset_s);
        let say = |s: i64| format!("UTC{}{:0>5}", sign(s), clock_length(s.abs()));
        remarks.push(format!(
            "Some times carry {}; the ship's clock is {} throughout. They were read as the instants they name.",
            say(o),
            say(ship)
        ));
    }
    remarks.extend(rota_wet::presume(problem, &mut turns));
    Ok(ReadRota { rota: Rota { turns: turns.into_iter().map(|t| t.turn).collect() }, remarks })
}

impl Reader<'_> {
    fn complain(&mut self, line: usize, column: usize, words: String, help: Option<String>) {
        self.complaints.push(self.sheet.complaint(line, column, Wrong::Value(words), help));
    }

    fn strange(&mut self, line: usize, cell: &Cell, strange: Strange) {
        self.complain(line, cell.column, strange.words, strange.help);
    }

    /// Which cell each column is, in the order of [`Column::ALL`].
    fn columns(&mut self) -> Option<Vec<Option<usize>>> {
        let (number, heads) = self.sheet.heads();
        let plain = |s: &str| s.trim().to_lowercase().replace(['_', '-'], " ");
        let mut found = vec![None; Column::ALL.len()];
        for (i, head) in heads.iter().enumerate() {
            let Some(k) = Column::ALL.iter().position(|c| c.head() == plain(&head.text)) else {
                continue;
            };
            if found[k].is_some() {
                self.complain(number, head.column, format!("the column `{}` is there twice", head.text), None);
            }
            found[k] = Some(i);
        }
        let mut whole = true;
        for (k, column) in Column::ALL.into_iter().enumerate() {
            if found[k].is_none() && Column::NEEDED.contains(&column) {
                whole = false;
                let unknown = heads.iter().map(|h| h.text.as_str());
                let near = nearest(column.head(), unknown).map(|n| format!("is `{n}` meant?"));
                let help = near.unwrap_or("the first line names the columns: diver, leave, return, role".into());
                self.complain(number, 1, format!("there is no column `{}`", column.head()), Some(help));
            }
        }
        whole.then_some(found)
    }

    fn line(&mut self, number: usize, cells: &[Cell], columns: &[Option<usize>]) -> Option<Line> {
        let before = self.complaints.len();
        let absent = Cell { text: String::new(), column: cells.last().map_or(1, |c| c.column) };
        let cell = |c: Column| {
            let k = Column::ALL.iter().position(|x| *x == c).unwrap_or(0);
            columns[k].map(|i| cells.get(i).unwrap_or(&absent)).filter(|c| !c.text.trim().is_empty())
        };
        let needed = |c: Column| cell(c).unwrap_or(&absent);
        let diver = self.diver(number, needed(Column::Diver));
        let leave = self.time(number, needed(Column::Leave));
        let back = self.time(number, needed(Column::Return));
        let role = self.role(number, needed(Column::Role));
        let bell = self.bell(number, cell(Column::Bell), absent.column);
        let depth_msw = cell(Column::Depth).and_then(|c| self.depth(number, c));
        let span = leave.zip(back).map(|(a, b)| Span::new(a, b));
        if let Some(span) = span {
            self.order(number, needed(Column::Return), span);
        }
        let wet = match (cell(Column::InWater), span) {
            (Some(c), Some(span)) => self.wet(number, c, span),
            _ => Wet::Unsaid,
        };
        let tasks = cell(Column::Tasks).map_or(Vec::new(), |c| self.tasks(number, c));
        if self.complaints.len() > before {
            return None;
        }
        let column = needed(Column::Diver).column;
        Some(Line { number, column, diver: diver?, span: span?, role: role?, bell: bell?, depth_msw, wet, tasks })
    }

    fn diver(&mut self, line: usize, cell: &Cell) -> Option<DiverId> {
        let known: Vec<&str> = self.problem.divers.iter().map(|d| d.initials.as_str()).collect();
        let found = known.iter().position(|k| k.eq_ignore_ascii_case(cell.text.trim()));
        if let Some(i) = found {
            return u8::try_from(i).ok().map(DiverId);
        }
        let wrong = Wrong::NoSuch {
            kind: "diver",
            name: cell.text.trim().into(),
            known: known.iter().map(|k| (*k).to_owned()).collect(),
        };
        let help = nearest(cell.text.trim(), known).map(|n| format!("did you mean `{n}`?"));
        self.complaints.push(self.sheet.complaint(line, cell.column, wrong, help));
        None
    }

    fn time(&mut self, line: usize, cell: &Cell) -> Option<i64> {
        match rota_clock::read(&cell.text, self.subject) {
            Ok(written) => {
                self.offsets.extend(written.other_offset_s);
                Some(written.at_s)
            }
            Err(strange) => {
                self.strange(line, cell, strange);
                None
            }
        }
    }

    fn role(&mut self, line: usize, cell: &Cell) -> Option<Role> {
        let text = cell.text.trim().to_lowercase();
        let found = [Role::Diver, Role::Bellman].into_iter().find(|r| role_word(*r) == text);
        if found.is_none() {
            let near = nearest(&text, ["diver", "bellman"]).map(|n| format!("did you mean `{n}`?"));
            self.complain(line, cell.column, format!("`{text}` is no role; there are diver and bellman"), near);
        }
        found
    }

    fn bell(&mut self, line: usize, cell: Option<&Cell>, column: usize) -> Option<CompartmentId> {
        let known: Vec<&str> = self.problem.bells.iter().map(|b| b.name.as_str()).collect();
        match (cell, &self.problem.bells[..]) {
            (None, [only]) => Some(only.id),
            (None, _) => {
                let words = format!("the spread has {} bells and this line names none", known.len());
                let help = format!("a column `bell` says which: {}", known.join(", "));
                self.complain(line, column, words, Some(help));
                None
            }
            (Some(cell), bells) => {
                let found = bells.iter().find(|b| b.name.eq_ignore_ascii_case(cell.text.trim()));
                if found.is_none() {
                    let help = nearest(cell.text.trim(), known.iter().copied());
                    let wrong = Wrong::NoSuch {
                        kind: "bell",
                        name: cell.text.trim().into(),
                        known: known.iter().map(|k| (*k).to_owned()).collect(),
                    };
                    let help = help.map(|n| format!("did you mean `{n}`?"));
                    self.complaints.push(self.sheet.complaint(line, cell.column, wrong, help));
                }
                found.map(|b| b.id)
            }
        }
    }

    fn depth(&mut self, line: usize, cell: &Cell) -> Option<f64> {
        match cell.text.trim().parse::<crate::units::text::Depth>() {
            Ok(depth) => Some(depth.0),
            Err(e) => {
                self.complain(line, cell.column, e.to_string(), None);
                None
            }
        }
    }

    /// Leaving before returning, and no turn of days.
    fn order(&mut self, line: usize, cell: &Cell, span: Span) {
        const LONGEST_S: i64 = 24 * 3600;
        let length = span.length_s();
        if length <= 0 {
            let next = span.to_s + 86_400;
            let help = (next > span.from_s && length > -86_400)
                .then(|| format!("if it crosses midnight: {}", rota_clock::civil(self.subject, next)));
            self.complain(line, cell.column, "this turn returns before it leaves".into(), help);
        } else if length > LONGEST_S {
            let words = format!("this turn is {} h long; are the dates right?", clock_length(length));
            self.complain(line, cell.column, words, None);
        }
    }

    /// `08:10-10:50 11:20-13:00` of the ship's clock, or a length of time.
    fn wet(&mut self, line: usize, cell: &Cell, turn: Span) -> Wet {
        let text = cell.text.trim().replace('\u{2013}', "-");
        if !text.contains('-') {
            return match text.parse::<Duration>() {
                Ok(d) if d.0 <= turn.length_s() => Wet::Length(d.0),
                Ok(_) => {
                    self.complain(line, cell.column, "the time in the water is longer than the turn".into(), None);
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
            let ends = part.split_once('-').map(|(a, b)| [a, b].map(|t| rota_clock::time_of_day(t, "", t)));
            let Some([Ok(from), Ok(to)]) = ends else {
                let help = "spans of the ship's clock like 08:10-10:50, with a blank between two";
                self.complain(line, cell.column, format!("`{part}` is no span of time"), Some(help.into()));
                return Wet::Unsaid;
            };
            // The first such time of the clock that is not before what came last.
            let next = |after: i64, clock: i64| {
                after + (clock - after - self.subject.start_second_of_day).rem_euclid(86_400)
            };
            let from = next(at, from);
            let to = next(from, to);
            at = to;
            spans.push(Span::new(from, to));
        }
        if at > turn.to_s {
            let clock = |s: i64| clock_time(s + self.subject.start_second_of_day);
            let words = format!("`{text}` is not all between {} and {}", clock(turn.from_s), clock(turn.to_s));
            self.complain(line, cell.column, words, None);
            return Wet::Unsaid;
        }
        Wet::Spans(spans)
    }

    /// Tasks parted by `;`, each with its time in the water after the name where it is said.
    fn tasks(&mut self, line: usize, cell: &Cell) -> Vec<(usize, Option<i64>)> {
        let mut found = Vec::new();
        for part in cell.text.split(';').map(str::trim).filter(|p| !p.is_empty()) {
            let split = part.rsplit_once(' ').and_then(|(name, length)| {
                Some((name.trim(), length.parse::<Duration>().ok().filter(|_| length.contains(':'))?.0))
            });
            let (name, length) = split.map_or((part, None), |(name, s)| (name, Some(s)));
            match self.problem.tasks.iter().position(|t| t.name.eq_ignore_ascii_case(name)) {
                Some(i) => found.push((i, length)),
                None => {
                    let known: Vec<String> = self.problem.tasks.iter().map(|t| t.name.clone()).collect();
                    let help = nearest(name, known.iter().map(String::as_str)).map(|n| format!("did you mean `{n}`?"));
                    let wrong = Wrong::NoSuch { kind: "task", name: name.into(), known };
                    self.complaints.push(self.sheet.complaint(line, cell.column, wrong, help));
                }
            }
        }
        found
    }

    /// A diver who is listed twice: the same turn twice, or two turns at one time.
    fn twice(&mut self, lines: &[Line]) {
        for (i, b) in lines.iter().enumerate() {
            let other = lines[..i].iter().find(|a| a.diver == b.diver && a.span.shared_s(b.span) > 0);
            let Some(a) = other else { continue };
            let initials = &self.problem.divers[b.diver.index()].initials;
            let words = if a.span == b.span {
                format!("{initials} is listed twice for this turn; the first is on line {}", a.number)
            } else {
                format!("{initials} is still away on the turn of line {}", a.number)
            };
            self.complain(b.number, b.column, words, None);
        }
    }

    /// Lines of one bell that leave and return together are a turn.
    fn turns(&mut self, lines: Vec<Line>) -> Vec<rota_wet::Placed> {
        let mut turns: Vec<rota_wet::Placed> = Vec::new();
        for line in lines {
            let same = |t: &&mut rota_wet::Placed| t.turn.bell == line.bell && t.turn.span() == line.span;
            if turns.iter_mut().find(same).is_none() {
                let overlap = turns.iter().find(|t| t.turn.bell == line.bell && t.turn.span().shared_s(line.span) > 0);
                if let Some(other) = overlap {
                    let name = self.problem.bell(line.bell).map_or("the bell", |b| b.name.as_str());
                    let words = format!("{name} is still away on the turn of line {}", other.line);
                    let help = "those who go together leave and return at the same times";
                    self.complain(line.number, line.column, words, Some(help.into()));
                    continue;
                }
                turns.push(rota_wet::Placed {
                    line: line.number,
                    turn: Turn {
                        bell: line.bell,
                        first: line.span.from_s,
                        last: line.span.to_s,
                        depth_msw: line.depth_msw.unwrap_or(self.problem.working_msw),
                        seats: Vec::new(),
                        tasks: Vec::new(),
                    },
                    lengths: Vec::new(),
                    tasks: line.tasks.clone(),
                });
            }
            let Some(placed) = turns.iter_mut().find(same) else { continue };
            let (wet, length) = match line.wet {
                Wet::Spans(spans) => (spans, Some(None)),
                Wet::Length(s) => (Vec::new(), Some(Some(s))),
                Wet::Unsaid => (Vec::new(), None),
            };
            placed.lengths.push(length);
            placed.turn.seats.push(Seat { diver: line.diver, role: line.role, wet });
        }
        turns.sort_by_key(|t| (t.turn.first, t.turn.bell));
        turns
    }
}

/// The nearest of some names, if it is near enough to have been meant.
fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = name.to_lowercase();
    let near = known.into_iter().map(|k| (strsim::osa_distance(&plain, &k.to_lowercase()), k));
    near.filter(|(d, k)| *d <= 1 + k.chars().count() / 3).min().map(|(_, k)| k)
}
