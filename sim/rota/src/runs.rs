//! From a rota to the plan: its turns as bell runs that the job runs, and as text of a file that a plan names.

use super::types::{BellRun, Position, Problem, Rota};
use deepstay_core::units::DiverId;
use deepstay_core::units::text::{Depth, Duration};
use deepstay_plant::Activity;
use deepstay_scenario::BellRun as PlannedRun;

/// The turns as bell runs of a plan, in order of start. A run begins with its checks.
pub fn bell_runs(rota: &Rota, problem: &Problem, work: Activity) -> Vec<PlannedRun> {
    let mut runs: Vec<PlannedRun> = rota.runs.iter().map(|t| run(t, problem, work)).collect();
    runs.sort_by_key(|r| (r.at, r.bell));
    runs
}

fn run(turn: &BellRun, problem: &Problem, work: Activity) -> PlannedRun {
    let lead_s = problem.bell(turn.bell).map_or(0, |b| b.lead_s);
    let pause = |s: &Position| s.wet.windows(2).map(|w| w[1].from_s - w[0].to_s).sum();
    let pause_s = if turn.positions.len() > 2 {
        turn.positions.iter().map(pause).max().unwrap_or(0)
    } else {
        0
    };
    PlannedRun {
        at: turn.first - lead_s,
        bell: turn.bell,
        divers: in_order(turn),
        depth_msw: turn.depth_msw,
        in_water_s: turn
            .positions
            .iter()
            .map(Position::wet_s)
            .max()
            .unwrap_or(0),
        pause_s,
        work,
    }
}

/// In order of leaving the bell; who stays in it comes last.
fn in_order(turn: &BellRun) -> Vec<DiverId> {
    let mut seats: Vec<&Position> = turn.positions.iter().collect();
    seats.sort_by_key(|s| s.wet.first().map_or(i64::MAX, |w| w.from_s));
    seats.into_iter().map(|s| s.diver).collect()
}

/// The turns as a rota's file, which a plan names as its `bell_runs`. `start` is when the job starts, by the
/// ship's clock: the file fits no job that starts at another time.
pub fn plan_text(rota: &Rota, problem: &Problem, work: Activity, start: &str) -> String {
    let mut text = format!("(\n    format: 1,\n    start: \"{start}\",\n    bell_runs: [\n");
    for run in bell_runs(rota, problem, work) {
        let who = |d: &DiverId| {
            let known = problem.divers.get(d.index());
            format!("\"{}\"", known.map_or("", |d| d.initials.as_str()))
        };
        let divers: Vec<String> = run.divers.iter().map(who).collect();
        let bell = problem.bell(run.bell).map_or("", |b| b.name.as_str());
        let pause = if run.pause_s > 0 {
            format!("pause: \"{}\", ", Duration(run.pause_s))
        } else {
            String::new()
        };
        text.push_str(&format!(
            "        (at: \"{}\", bell: \"{bell}\", divers: [{}], depth: \"{}\", in_water: \"{}\", {pause}work: {work:?}),\n",
            Duration(run.at),
            divers.join(", "),
            Depth(run.depth_msw),
            Duration(run.in_water_s),
        ));
    }
    text.push_str("    ],\n)\n");
    text
}
