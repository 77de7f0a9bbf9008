//! From today: how a job under way stands, from a file or a table of gauges.

use super::{Arguments, counted};
use crate::command::exit::Exit;
use crate::command::{interrupt, say};
use crate::scenario;
use crate::stock::{Ensemble, Underway, UnderwayError};
use crate::units::text::Duration;
use std::path::Path;

/// Reads the present and holds it against the ensemble, which then draws from what is believed after it.
pub fn underway(args: &Arguments, path: &Path, ensemble: &mut Ensemble) -> Result<Underway, Exit> {
    let at = time(args.at.as_deref(), "--at")?;
    let boat = time(args.boat.as_deref(), "--boat")?;
    let is_table = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let made = if is_table {
        let name = path.display().to_string();
        let bytes = scenario::file_bytes(path, scenario::LARGEST_FILE)
            .map_err(|wrong| say::bad_input(format!("{name}: {wrong}")))?;
        scenario::present_from_gauges(&name, &bytes, &ensemble.base, at)
    } else {
        scenario::present(path, &ensemble.base)
    };
    let mut present = made.map_err(|bad| say::complaints(&bad))?;
    if let (Some(at), false) = (at, is_table) {
        return Err(say::bad_input(format!(
            "--at {at} s: a present of its own says its time itself; --at is for a table of gauges"
        )));
    }
    if boat.is_some_and(|b| b <= present.at_s) {
        return Err(say::bad_input(
            "--boat: the next boat comes after the present",
        ));
    }
    present.boat_s = boat.or(present.boat_s);
    let count = 1 + 2 * ensemble.sources.len() as u64;
    let made = counted(args, count, "looking at the present", |done| {
        Underway::assimilate(ensemble, present, &interrupt::came, done)
    });
    made.map_err(|e| match e {
        UnderwayError::Interrupted => say::interrupted(e),
        _ => say::bad_input(e),
    })
}

fn time(text: Option<&str>, flag: &str) -> Result<Option<i64>, Exit> {
    let read = |text: &str| {
        let time = text.parse::<Duration>();
        time.map(|d| d.0)
            .map_err(|e| say::bad_input(format!("{flag} {text}: {e}")))
    };
    text.map(read).transpose()
}
