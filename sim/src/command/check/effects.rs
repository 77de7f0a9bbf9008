//! `deepstay check --effects`: what each failure of a job's spread does while nobody acts.

use super::super::exit::Exit;
use super::super::interrupt;
use super::super::progress::{Counted, Progress};
use super::super::say;
use super::Arguments;
use crate::job::effects::{Effects, Moment, NoMoment, failures};
use crate::report::{EffectsInputs, effects_screen};
use crate::scenario::{self, Scenario};
use std::sync::Arc;

/// Tries every failure, and prints the table of those that were tried.
pub fn act(args: &Arguments) -> Exit {
    let scenario = match scenario::load_under(args.job(), args.rules.as_deref()) {
        Ok(scenario) => Arc::new(scenario),
        Err(bad) => return say::complaints(&bad),
    };
    say::warnings(&scenario);
    interrupt::at_work();
    let moment = match find(args, &scenario) {
        Ok(moment) => moment,
        Err(why) => return none(args, &scenario, why),
    };
    let effects = Effects::from(&moment.job, args.within.0);
    let failures = failures(&moment.job);
    let bar = Counted::new(false, failures.len() as u64, "failures tried");
    let tried = effects.of_each(&failures, &|| !interrupt::came(), &|| bar.one());
    bar.done();
    let untouched = effects.untouched();
    let made = (&effects, &untouched, tried.as_slice());
    let inputs = EffectsInputs::new(&moment, made, failures.len(), args.units.into());
    say::out(&effects_screen(&inputs, say::columns()))
        .or_else(|| Exit::of_effects(&tried, interrupt::came()))
}

fn find(args: &Arguments, scenario: &Arc<Scenario>) -> Result<Moment, NoMoment> {
    let at_s = args.at.map(|at| at.0);
    let first_run = scenario.plan.bell_runs.first().map(|run| run.at);
    let about_s = at_s.or(first_run).unwrap_or(scenario.plan.end_s);
    let bar = Progress::new(false, about_s);
    let moment = Moment::find(scenario, at_s, &|now_s| {
        bar.at(now_s);
        !interrupt::came()
    });
    bar.done();
    moment
}

/// Why nothing was tried.
fn none(args: &Arguments, scenario: &Scenario, why: NoMoment) -> Exit {
    let name = args.job();
    match why {
        NoMoment::LeftOff => say::interrupted("interrupted before any failure was tried"),
        NoMoment::Over(ended) => say::bad_input(format!(
            "`{name}` is over before that: {}; give --at a time before its end",
            ended.words(scenario)
        )),
        NoMoment::NobodyPressed => say::bad_input(format!(
            "nobody is brought under pressure in `{name}`; give --at a time to try failures all the same"
        )),
    }
}
