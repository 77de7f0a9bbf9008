//! Reads a rota from a table, ours or anybody's: who, when he leaves, when he returns, as what; and where
//! it is said, in which bell, how deep, when in the water and at which task. Complaints carry line and
//! column; what is not said is presumed and told.

use super::cells::{Reader, Wet, nearest};
use super::columns::Column;
use super::presume::{Placed, presume};
use crate::types::{BellRun, Position, Problem, Role, Rota, Span};
use deepstay_core::units::{CompartmentId, DiverId, VesselTime, clock_length};
use deepstay_scenario::{CsvCell, CsvTable, Diagnostics};

/// Which columns the first line has to name.
const HEADS: &str = "the first line names the columns: diver, leave, return, role";

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

/// Reads the table. `name` is the file as the user named it.
///
/// # Errors
/// Everything that is wrong with it, each with line and column.
pub fn read(
    name: &str,
    bytes: &[u8],
    time: VesselTime,
    problem: &Problem,
) -> Result<ReadRota, Diagnostics> {
    let table = CsvTable::new(name, bytes, HEADS)?;
    let mut reader = Reader {
        table: &table,
        time,
        problem,
        diagnostics: Vec::new(),
        offsets: Vec::new(),
    };
    let columns = reader.columns();
    let mut lines = Vec::new();
    if let Some(columns) = columns {
        for (number, cells) in table.rows() {
            lines.extend(reader.line(number, cells, &columns));
        }
        if table.rows().next().is_none() {
            let at = table.heads();
            reader.complain(at.0, 1, "there is no bell run under the heads".into(), None);
        }
    }
    reader.twice(&lines);
    let mut turns = reader.turns(lines);
    if !reader.diagnostics.is_empty() {
        return Err(reader.diagnostics.into());
    }
    let mut remarks = Vec::new();
    reader.offsets.sort_unstable();
    reader.offsets.dedup();
    for offset in &reader.offsets {
        let sign = |s: i64| if s < 0 { '-' } else { '+' };
        let (o, ship) = (*offset, time.utc_offset_s);
        let say = |s: i64| format!("UTC{}{:0>5}", sign(s), clock_length(s.abs()));
        remarks.push(format!(
            "Some times carry {}; vessel time is {} throughout. They were read as the instants they name.",
            say(o),
            say(ship)
        ));
    }
    remarks.extend(presume(problem, &mut turns));
    Ok(ReadRota {
        rota: Rota {
            runs: turns.into_iter().map(|t| t.turn).collect(),
        },
        remarks,
    })
}

impl Reader<'_> {
    /// Which cell each column is, in the order of [`Column::ALL`].
    fn columns(&mut self) -> Option<Vec<Option<usize>>> {
        let (number, heads) = self.table.heads();
        let plain = |s: &str| s.trim().to_lowercase().replace(['_', '-'], " ");
        let mut found = vec![None; Column::ALL.len()];
        for (i, head) in heads.iter().enumerate() {
            let Some(k) = Column::ALL
                .iter()
                .position(|c| c.head() == plain(&head.text))
            else {
                continue;
            };
            if found[k].is_some() {
                self.complain(
                    number,
                    head.column,
                    format!("the column `{}` is there twice", head.text),
                    None,
                );
            }
            found[k] = Some(i);
        }
        let mut whole = true;
        for (k, column) in Column::ALL.into_iter().enumerate() {
            if found[k].is_none() && Column::NEEDED.contains(&column) {
                whole = false;
                let unknown = heads.iter().map(|h| h.text.as_str());
                let near = nearest(column.head(), unknown).map(|n| format!("is `{n}` meant?"));
                let help = near.unwrap_or_else(|| HEADS.into());
                self.complain(
                    number,
                    1,
                    format!("there is no column `{}`", column.head()),
                    Some(help),
                );
            }
        }
        whole.then_some(found)
    }

    fn line(
        &mut self,
        number: usize,
        cells: &[CsvCell],
        columns: &[Option<usize>],
    ) -> Option<Line> {
        let before = self.diagnostics.len();
        let absent = CsvCell {
            text: String::new(),
            column: cells.last().map_or(1, |c| c.column),
        };
        let cell = |c: Column| {
            let k = Column::ALL.iter().position(|x| *x == c).unwrap_or(0);
            columns[k]
                .map(|i| cells.get(i).unwrap_or(&absent))
                .filter(|c| !c.text.trim().is_empty())
        };
        // An empty cell that must not be empty is complained of at its own place.
        let needed = |c: Column| {
            let k = Column::ALL.iter().position(|x| *x == c).unwrap_or(0);
            columns[k].and_then(|i| cells.get(i)).unwrap_or(&absent)
        };
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
        if self.diagnostics.len() > before {
            return None;
        }
        let column = needed(Column::Diver).column;
        Some(Line {
            number,
            column,
            diver: diver?,
            span: span?,
            role: role?,
            bell: bell?,
            depth_msw,
            wet,
            tasks,
        })
    }

    /// A diver who is listed twice: the same turn twice, or two turns at one time.
    fn twice(&mut self, lines: &[Line]) {
        for (i, b) in lines.iter().enumerate() {
            let other = lines[..i]
                .iter()
                .find(|a| a.diver == b.diver && a.span.shared_s(b.span) > 0);
            let Some(a) = other else { continue };
            let initials = &self.problem.divers[b.diver.index()].initials;
            let words = if a.span == b.span {
                format!(
                    "{initials} is listed twice for this bell run; the first is on line {}",
                    a.number
                )
            } else {
                format!(
                    "{initials} is still away on the bell run of line {}",
                    a.number
                )
            };
            self.complain(b.number, b.column, words, None);
        }
    }

    /// Lines of one bell that leave and return together are a turn.
    fn turns(&mut self, lines: Vec<Line>) -> Vec<Placed> {
        let mut turns: Vec<Placed> = Vec::new();
        for line in lines {
            let same = |t: &&mut Placed| t.turn.bell == line.bell && t.turn.span() == line.span;
            if turns.iter_mut().find(same).is_none() {
                let overlap = turns
                    .iter()
                    .find(|t| t.turn.bell == line.bell && t.turn.span().shared_s(line.span) > 0);
                if let Some(other) = overlap {
                    let name = self
                        .problem
                        .bell(line.bell)
                        .map_or("the bell", |b| b.name.as_str());
                    let words = format!(
                        "{name} is still away on the bell run of line {}",
                        other.line
                    );
                    let help = "those who go together leave and return at the same times";
                    self.complain(line.number, line.column, words, Some(help.into()));
                    continue;
                }
                turns.push(Placed {
                    line: line.number,
                    turn: BellRun {
                        bell: line.bell,
                        first: line.span.from_s,
                        last: line.span.to_s,
                        depth_msw: line.depth_msw.unwrap_or(self.problem.working_msw),
                        positions: Vec::new(),
                        tasks: Vec::new(),
                    },
                    lengths: Vec::new(),
                    tasks: line.tasks.clone(),
                });
            }
            let Some(placed) = turns.iter_mut().find(same) else {
                continue;
            };
            let (wet, length) = match line.wet {
                Wet::Spans(spans) => (spans, Some(None)),
                Wet::Length(s) => (Vec::new(), Some(Some(s))),
                Wet::Unsaid => (Vec::new(), None),
            };
            placed.lengths.push(length);
            placed.turn.positions.push(Position {
                diver: line.diver,
                role: line.role,
                wet,
            });
        }
        turns.sort_by_key(|t| (t.turn.first, t.turn.bell));
        turns
    }
}
