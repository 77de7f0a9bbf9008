//! The rota as a table: a line a seat, written by the same columns as [`super::rota_read`] reads. The
//! first line is the caution; a line that begins with `#` is no seat.

use super::inputs::CAUTION;
use super::rota_clock::civil;
use super::rota_inputs::RotaInputs;
use super::tables::{bytes, row};
use deepstay_rota::Role;

/// A column of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// Initials.
    Diver,
    /// Sealed in, on the ship's clock.
    Leave,
    /// Sealed to the trunk again, on the ship's clock.
    Return,
    /// `diver` or `bellman`.
    Role,
    /// The bell's name.
    Bell,
    /// Depth of the work.
    Depth,
    /// Spans in the water as clock times, or their length.
    InWater,
    /// Tasks with the time in the water for each.
    Tasks,
}

impl Column {
    /// All, in the order in which they are written.
    pub const ALL: [Column; 8] = [
        Column::Diver,
        Column::Leave,
        Column::Return,
        Column::Role,
        Column::Bell,
        Column::Depth,
        Column::InWater,
        Column::Tasks,
    ];
    /// Those that must be there.
    pub const NEEDED: [Column; 4] = [Column::Diver, Column::Leave, Column::Return, Column::Role];

    /// The head of the column.
    pub fn head(self) -> &'static str {
        match self {
            Column::Diver => "diver",
            Column::Leave => "leave",
            Column::Return => "return",
            Column::Role => "role",
            Column::Bell => "bell",
            Column::Depth => "depth",
            Column::InWater => "in water",
            Column::Tasks => "tasks",
        }
    }
}

/// A role as the table has it.
pub fn role_word(role: Role) -> &'static str {
    match role {
        Role::Diver => "diver",
        Role::Bellman => "bellman",
    }
}

/// The clock time of a second: `14:30`, with seconds where there are any.
pub fn clock_time(second_of_day: i64) -> String {
    let s = second_of_day.rem_euclid(86_400);
    if s % 60 == 0 {
        format!("{:02}:{:02}", s / 3600, s / 60 % 60)
    } else {
        format!("{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    }
}

/// The table.
///
/// # Errors
/// What the writer of CSV says; it writes to memory.
pub fn rota_csv(inputs: &RotaInputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let (subject, problem) = (inputs.subject, inputs.problem);
    // The first line is a remark and no record; records may differ in length from it.
    let mut out = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(format!("# {CAUTION}\n").into_bytes());
    row(&mut out, Column::ALL.map(Column::head))?;
    for turn in &inputs.rota.turns {
        let tasks: Vec<String> = turn
            .tasks
            .iter()
            .filter_map(|(task, s)| {
                Some(format!(
                    "{} {}",
                    problem.tasks.get(*task)?.name,
                    clock_length(*s)
                ))
            })
            .collect();
        for seat in &turn.seats {
            let wet: Vec<String> = seat
                .wet
                .iter()
                .map(|w| {
                    let at = |s: i64| clock_time(s + subject.start_second_of_day);
                    format!("{}-{}", at(w.from_s), at(w.to_s))
                })
                .collect();
            row(
                &mut out,
                [
                    inputs.initials(seat.diver),
                    &civil(subject, turn.first),
                    &civil(subject, turn.last),
                    role_word(seat.role),
                    inputs.bell(turn),
                    &format!("{} msw", turn.depth_msw),
                    &wet.join(" "),
                    &tasks.join("; "),
                ],
            )?;
        }
    }
    bytes(out)
}

/// A length of time as hours and minutes, with seconds where there are any.
pub fn clock_length(s: i64) -> String {
    if s % 60 == 0 {
        format!("{}:{:02}", s / 3600, s / 60 % 60)
    } else {
        format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
    }
}
