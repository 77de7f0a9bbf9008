//! From today: where the stock goes by the plan, one job from a whole page.

use super::{Arguments, ensemble, tell};
use crate::command::exit::Exit;
use crate::command::{interrupt, say};
use crate::report::{ForecastSummary, forecast_screen};
use crate::scenario;
use crate::stock::reserve::sheet;
use crate::stock::{Basis, floors, outlook, reserve_inputs};
use std::path::Path;

/// Reads the whole page, runs the plan from it, and holds the stock against the first rule set's minimums.
pub fn act(args: &Arguments, path: &Path) -> Exit {
    told(args, path).unwrap_or_else(|end| end)
}

fn told(args: &Arguments, path: &Path) -> Result<Exit, Exit> {
    let ensemble = ensemble(args, Vec::new(), args.seed)?;
    let base = &ensemble.base;
    let present = scenario::whole_present(path, base).map_err(|bad| say::complaints(&bad))?;
    let basis = Basis::of_scenario(&args.scenario).reserve(&args.reserve);
    let sets = basis.rule_sets(base).map_err(tell::not_answered)?;
    let Some(set) = sets.first() else {
        return Err(say::bad_input("--forecast: no rule set is named"));
    };
    let inputs = reserve_inputs(&base.study.planner);
    let sheet = sheet(base, set, &inputs);
    let floors = floors(&ensemble, &sheet, &inputs);
    interrupt::at_work();
    let Some(outlook) = outlook(&ensemble, &floors, &present, &interrupt::came) else {
        return Err(say::interrupted("interrupted before the job was over"));
    };
    let summary = ForecastSummary::of(
        base,
        &ensemble.gases,
        &outlook,
        &sheet.set,
        &present.assumed,
        args.units.into(),
    );
    let said = if args.json {
        say::json(summary.json())
    } else if args.quiet {
        Exit::Done
    } else {
        say::out(forecast_screen(&summary, say::columns()).trim_end())
    };
    Ok(said.or_else(|| Exit::of_outlook(&outlook)))
}
