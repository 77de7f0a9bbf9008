//! The course of bell runs, weather and breakdowns without a plant: when each run begins and comes home, or why it
//! is lost. What the sea makes of a run that is due is decided here once, for dive control as for this course; the
//! weather is that of the job of the same seed. Lengths are those that are planned with, so that a course takes
//! microseconds where a job takes seconds, and who is in the water when the sea rises is called in; `tests/course.rs` holds it beside whole jobs.

use super::planner::{Planner, RunStands, Standing};
use super::random::{Source, Streams};
use super::weather::WeatherState;
use deepstay_core::record::Stopped;
use deepstay_core::units::CompartmentId;
use deepstay_scenario::lengths::{self, whole_s};
use deepstay_scenario::{BellRun, Chance, LevelDo, Scenario, Slip};

/// The sea is looked at again so long after it kept a bell on its trunk, s (house figure).
pub const LOOK_AGAIN_S: i64 = 1800;

/// What the sea makes of a run that is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sea {
    /// It goes.
    Goes,
    /// It waits for the sea.
    Waits,
    /// It is lost.
    Loses,
}

/// What the sea makes of a run that is due, and perhaps has waited for it.
pub fn sea(slip: Slip, over_limit: bool, waited: bool) -> Sea {
    match (over_limit, slip) {
        (true, Slip::Skip) => Sea::Loses,
        (true, Slip::Shift | Slip::Replan) => Sea::Waits,
        (false, Slip::Replan) if waited => Sea::Loses,
        (false, Slip::Skip | Slip::Shift | Slip::Replan) => Sea::Goes,
    }
}

/// A bell that is out of order from a second to a later one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Breakdown {
    /// Which bell.
    pub bell: CompartmentId,
    /// From when, s.
    pub from_s: i64,
    /// Until when, s.
    pub to_s: i64,
}

/// A course: the runs that were in force, and how each ended.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Course {
    /// The runs.
    pub runs: Vec<BellRun>,
    /// How each stands, in the same order; those that the course did not come to are ahead.
    pub stands: Vec<RunStands>,
}

/// A bell on the way through its runs.
struct Bell {
    id: CompartmentId,
    next: usize,
    shift_s: i64,
    home_s: i64,
    /// When it looks at its next run.
    look_s: i64,
    /// Whether that run waits for the sea.
    waits: bool,
}

/// Goes through the runs of a scenario.
pub fn follow(scenario: &Scenario, breakdowns: &[Breakdown], planner: &mut impl Planner) -> Course {
    let stream = Streams::new(scenario.seed_of(Chance::Weather)).stream(Source::Weather);
    let mut weather = WeatherState::new(&scenario.site.weather, stream);
    let mut scenario = scenario.clone();
    let mut stands: Vec<RunStands> = vec![RunStands::Ahead; scenario.plan.bell_runs.len()];
    let steel = scenario.steel.compartments.iter();
    let mut bells: Vec<Bell> = (0u8..)
        .map(CompartmentId)
        .zip(steel)
        .filter(|(_, c)| c.bell.is_some())
        .map(|(id, _)| Bell {
            id,
            next: 0,
            shift_s: 0,
            home_s: i64::MIN,
            look_s: i64::MIN,
            waits: false,
        })
        .collect();
    while let Some((look_s, place)) = next_look(&scenario, &mut bells) {
        if look_s >= scenario.plan.end_s {
            break;
        }
        weather.advance(&scenario.site.weather, look_s);
        let over = weather.hs_m() > scenario.site.launch_limit_hs_m;
        let bell = &mut bells[place];
        let run = scenario.plan.bell_runs[bell.next].clone();
        let due_s = run.at + bell.shift_s;
        let out = breakdowns
            .iter()
            .find(|b| b.bell == bell.id && b.from_s <= look_s && look_s < b.to_s);
        let takes_s = whole_s(&run, &scenario.steel);
        let lost = match sea(scenario.plan.slip, over, bell.waits) {
            Sea::Waits => {
                (bell.look_s, bell.waits) = (look_s + LOOK_AGAIN_S, true);
                continue;
            }
            Sea::Loses => Some(Stopped::Weather),
            Sea::Goes if out.is_some() => Some(Stopped::Checks),
            Sea::Goes if leaves_before(&scenario, &run, look_s, look_s + takes_s) => {
                let held_up =
                    !leaves_before(&scenario, &run, due_s, due_s + takes_s) && bell.home_s > due_s;
                Some(if held_up {
                    Stopped::Late
                } else {
                    Stopped::Leaves
                })
            }
            Sea::Goes => None,
        };
        bell.waits = false;
        match lost {
            None => {
                if scenario.plan.slip == Slip::Shift {
                    bell.shift_s = look_s - run.at;
                }
                let recalled_s = recalled(&scenario, &run, &weather, look_s);
                let home_s = recalled_s.map_or(look_s + takes_s, |at| {
                    at + lengths::recalled_s(&run, &scenario.steel)
                });
                (bell.home_s, bell.look_s) = (home_s, home_s);
                stands[bell.next] = RunStands::Home {
                    from_s: look_s,
                    to_s: home_s,
                    stopped: recalled_s.map(|_| Stopped::Weather),
                };
                bell.next += 1;
                if let (Some(at_s), Slip::Replan) = (recalled_s, scenario.plan.slip) {
                    plan_anew(&mut scenario, &mut stands, &mut bells, at_s, planner);
                }
            }
            Some(why) => {
                stands[bell.next] = RunStands::Lost { why, at_s: look_s };
                bell.next += 1;
                bell.look_s = look_s + 1;
                if scenario.plan.slip == Slip::Replan {
                    plan_anew(&mut scenario, &mut stands, &mut bells, look_s, planner);
                }
            }
        }
    }
    Course {
        runs: scenario.plan.bell_runs.clone(),
        stands,
    }
}

/// The next second at which a bell looks at a run, and which.
fn next_look(scenario: &Scenario, bells: &mut [Bell]) -> Option<(i64, usize)> {
    let runs = &scenario.plan.bell_runs;
    for bell in bells.iter_mut() {
        while runs.get(bell.next).is_some_and(|r| r.bell != bell.id) {
            bell.next += 1;
        }
    }
    let look = |(place, bell): (usize, &Bell)| {
        let run = runs.get(bell.next)?;
        let due_s = run.at + bell.shift_s;
        Some((due_s.max(bell.home_s).max(bell.look_s), place))
    };
    bells.iter().enumerate().filter_map(look).min()
}

/// When the sea rises while divers of a run are in the water, and they are called in.
fn recalled(
    scenario: &Scenario,
    run: &BellRun,
    weather: &WeatherState,
    from_s: i64,
) -> Option<i64> {
    let steel = &scenario.steel;
    let in_s = from_s + whole_s(run, steel) - lengths::recalled_s(run, steel);
    let out_s = in_s - lengths::wet_s(run);
    let rises_s = weather.until(
        &scenario.site.weather,
        scenario.site.launch_limit_hs_m,
        in_s,
    )?;
    Some(rises_s.max(out_s))
}

/// Whether the level in which a run's divers live is planned to leave its depth within a time.
fn leaves_before(scenario: &Scenario, run: &BellRun, from_s: i64, to_s: i64) -> bool {
    let Some(diver) = run.divers.first() else {
        return false;
    };
    let mut moves = scenario.plan.moves.iter();
    let moved = moves.rfind(|m| m.at <= from_s && m.divers.contains(diver));
    let own = scenario.crew.get(diver.index()).map(|d| d.chamber);
    let Some(chamber) = moved.map(|m| m.to).or(own) else {
        return false;
    };
    let levels = scenario.plan.levels.iter();
    levels
        .filter(|l| l.members.contains(&chamber))
        .flat_map(|l| &l.steps)
        .any(|s| s.at > from_s && s.at < to_s && !matches!(s.what, LevelDo::Press(_)))
}

fn plan_anew(
    scenario: &mut Scenario,
    stands: &mut Vec<RunStands>,
    bells: &mut [Bell],
    from_s: i64,
    planner: &mut impl Planner,
) {
    let known = stands.iter().rposition(|s| *s != RunStands::Ahead);
    let kept = known.map_or(0, |last| last + 1);
    let standing = Standing {
        scenario,
        from_s,
        runs: &stands[..kept],
    };
    let Some(new) = planner.runs_from(&standing) else {
        return;
    };
    let mut runs = scenario.plan.bell_runs[..kept].to_vec();
    runs.extend(new);
    stands.resize(kept, RunStands::Ahead);
    stands.resize(runs.len(), RunStands::Ahead);
    *scenario = scenario.clone().with_bell_runs(runs);
    for bell in bells {
        bell.next = bell.next.min(kept);
        bell.shift_s = 0;
    }
}
