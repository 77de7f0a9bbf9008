//! The rota as a table: a line a seat, written by the same columns as [`super::read`] reads. The
//! first line is the caution; a line that begins with `#` is no seat.

use super::columns::Column;
use crate::types::{Problem, Rota};
use deepstay_core::CAUTION;
use deepstay_core::plain::cell;
use deepstay_core::units::text::TimeOfDay;
use deepstay_core::units::{VesselTime, clock_length};
use deepstay_core::words::Words;

/// The table.
///
/// # Errors
/// What the writer of CSV says; it writes to memory.
pub fn write(rota: &Rota, problem: &Problem, time: VesselTime) -> Result<Vec<u8>, csv::Error> {
    // The first line is a remark and no record; records may differ in length from it.
    let mut out = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(format!("# {CAUTION}\n").into_bytes());
    out.write_record(Column::ALL.map(Column::head))?;
    for turn in &rota.runs {
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
        for seat in &turn.positions {
            let wet: Vec<String> = seat
                .wet
                .iter()
                .map(|w| {
                    let at = |s: i64| TimeOfDay(time.second_of_day(s));
                    format!("{}-{}", at(w.from_s), at(w.to_s))
                })
                .collect();
            let cells = [
                problem.initials(seat.diver),
                &time.civil(turn.first),
                &time.civil(turn.last),
                seat.role.words(),
                problem.bell_name(turn.bell),
                &format!("{} msw", turn.depth_msw),
                &wet.join(" "),
                &tasks.join("; "),
            ];
            out.write_record(cells.map(|text| cell(text).into_owned()))?;
        }
    }
    out.flush()?;
    out.into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))
}
