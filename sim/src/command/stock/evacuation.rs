//! From today: how long people would live in the evacuation unit.

use super::Arguments;
use crate::command::exit::Exit;
use crate::command::say;
use crate::report::{EnduranceSummary, endurance_screen};
use crate::scenario;
use crate::stock::endurance;
use std::path::Path;

/// Reads the whole page, and says how long each supply lasts.
pub fn act(args: &Arguments, path: &Path) -> Exit {
    let scenario = match scenario::load(&args.scenario) {
        Ok(scenario) => scenario,
        Err(bad) => return say::complaints(&bad),
    };
    let present = match scenario::whole_present(path, &scenario) {
        Ok(present) => present,
        Err(bad) => return say::complaints(&bad),
    };
    let Some(sheet) = endurance(&scenario, &present) else {
        return say::bad_input("--evacuation: nobody is under pressure on this page");
    };
    let summary = EnduranceSummary::of(&scenario, &sheet, &present.assumed);
    let said = if args.json {
        say::json(summary.json())
    } else if args.quiet {
        Exit::Done
    } else {
        say::out(endurance_screen(&summary, say::columns()).trim_end())
    };
    said.or_else(|| Exit::of_endurance(&sheet))
}
