//! The links of a rota's plain sums: bell runs, hours of divers, work given, and how even it is; from `rota.csv`.

use super::judge::asked;
use super::lines::{Line, Lines};
use crate::explain::chain::Term;
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, format_written, input};
use crate::explain::table::Row;
use serde_json::Value;

const COUNT: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "number of the diver's rows in rota.csv",
    printed: Printed::Whole,
    count: bell_runs,
    inputs: &[],
    rules: &[],
    cautioned: true,
};
const HOURS: Link = Link {
    unit: "h",
    formula: "sum over the diver's rows in rota.csv",
    ..COUNT
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "format",
        says: "version of the shape of rota.json",
        formula: "the version that this program writes",
        count: format,
        cautioned: false,
        ..COUNT
    },
    Link {
        path: "bell_runs/{run}/leave_s",
        unit: "s",
        says: "when bell run {run} is sealed in ({leave}), from the start of the job",
        formula: "\"leave\" of its rows - start of the job",
        count: leave,
        inputs: &["start"],
        ..COUNT
    },
    Link {
        path: "bell_runs/{run}/return_s",
        unit: "s",
        says: "when bell run {run} is sealed to the trunk again ({return}), from the start of the job",
        formula: "\"return\" of its rows - start of the job",
        count: back,
        inputs: &["start"],
        ..COUNT
    },
    Link {
        path: "bell_runs/{run}/depth_msw",
        unit: "msw",
        says: "depth of the work of bell run {run}",
        formula: "\"depth\" of its rows",
        count: depth,
        inputs: &["site.working_depth", "work.tasks[*].depth"],
        ..COUNT
    },
    Link {
        path: "bell_runs/{run}/positions/{diver}/in_water_h",
        says: "time in the water of {diver} in bell run {run}",
        formula: "sum of the spans of \"in water\" of the row",
        count: water_of_position,
        inputs: &["work.in_water"],
        rules: &[".in-water"],
        ..HOURS
    },
    Link {
        path: "work/{task}/given_h",
        says: "time in the water that the rota gives to {task}",
        formula: "sum over the bell runs of what \"tasks\" gives to it",
        count: given,
        inputs: &["work.tasks[{task}].in_water"],
        ..HOURS
    },
    Link {
        path: "work/{task}/needed_h",
        says: "time in the water that {task} takes, with the weather's share",
        formula: "time in the water / (1 - weather allowance), to the second above",
        count: needed,
        inputs: &["work.tasks[{task}].in_water", "work.weather_allowance"],
        ..HOURS
    },
    Link {
        path: "divers/{diver}/bell_runs",
        says: "bell runs of {diver}",
        ..COUNT
    },
    Link {
        path: "divers/{diver}/bellman",
        says: "bell runs of {diver} as bellman",
        formula: "number of the diver's rows with the role bellman",
        count: bellman,
        ..COUNT
    },
    Link {
        path: "divers/{diver}/nights",
        says: "bell runs of {diver} at night: more than half of it between 00:00 and 06:00 of vessel time (a rule of the house)",
        formula: "number of such rows",
        count: nights,
        ..COUNT
    },
    Link {
        path: "divers/{diver}/in_water_h",
        says: "time in the water of {diver}",
        count: water,
        rules: &[".in-water"],
        ..HOURS
    },
    Link {
        path: "divers/{diver}/seal_to_seal_h",
        says: "seal to seal (lock-off to lock-on) of {diver}",
        count: seal_to_seal,
        rules: &[".bell-run"],
        ..HOURS
    },
    Link {
        path: "divers/{diver}/shortest_rest_h",
        says: "shortest rest of {diver} between two bell runs",
        formula: "the least of: \"leave\" of a row - \"return\" of the row before",
        count: rest,
        rules: &[".rest"],
        ..HOURS
    },
    Link {
        path: "divers/{diver}/unwanted",
        says: "bell runs of {diver} that begin outside the hours that the diver prefers",
        formula: "number of such rows",
        count: unwanted,
        inputs: &["crew.divers[{diver}].prefers"],
        ..COUNT
    },
];

const UNEVEN: Link = Link {
    formula: "greatest - least over the divers who have a bell run",
    ..HOURS
};

pub(super) const SPREAD: &[Link] = &[
    Link {
        path: "spread/in_water_h",
        says: "how uneven the time in the water is",
        count: uneven_water,
        ..UNEVEN
    },
    Link {
        path: "spread/seal_to_seal_h",
        says: "how uneven seal to seal is",
        count: uneven_seal,
        ..UNEVEN
    },
    Link {
        path: "spread/nights",
        unit: "",
        says: "how uneven the bell runs at night are",
        count: uneven_nights,
        ..UNEVEN
    },
    Link {
        path: "spread/bellman",
        unit: "",
        says: "how uneven the bell runs as bellman are",
        count: uneven_bellman,
        ..UNEVEN
    },
];

fn format(_: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    format_written(crate::rota::summary::ROTA_FORMAT)
}

/// A term of a row.
fn term(
    lines: &Lines<'_>,
    head: &str,
    what: String,
    value: f64,
    unit: &str,
    row: &Row,
) -> Result<Term, String> {
    Ok(lines.table.column(head)?.term(what, value, unit, row))
}

/// The bell run that a figure is of.
fn run<'l, 't>(lines: &'l Lines<'t>, caught: &Caught<'_>) -> Result<Vec<&'l Line<'t>>, String> {
    let number: usize = caught.get("run").parse().map_err(|_| "no bell run")?;
    let found = number
        .checked_sub(1)
        .and_then(|at| lines.runs().get(at).cloned());
    found.ok_or_else(|| format!("rota.csv has no bell run {number}"))
}

/// The second of the calendar at which the job starts, by the vessel's clock.
fn start_s(ground: &Ground<'_>) -> Result<i64, String> {
    let scenario = &ground.read()?.scenario;
    Ok(scenario.start_unix_s + scenario.utc_offset_s)
}

fn at(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    (head, of): (&str, fn(&Line<'_>) -> i64),
) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let run = run(&lines, caught)?;
    let value = (of(run[0]) - start_s(ground)?) as f64;
    let from = format!("\"{head}\" of bell run {}", caught.get("run"));
    Counted::of(
        value,
        0.0,
        vec![term(&lines, head, from, value, "s", run[0].row)?],
    )
}

fn leave(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    at(ground, caught, ("leave", |l| l.leave))
}

fn back(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    at(ground, caught, ("return", |l| l.r#return))
}

fn depth(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let run = run(&lines, caught)?;
    let value = run[0].depth_msw;
    let what = format!("depth of bell run {}", caught.get("run"));
    Counted::of(
        value,
        0.0,
        vec![term(&lines, "depth", what, value, "msw", run[0].row)?],
    )
}

fn water_of_position(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let diver = caught.get("diver");
    let run = run(&lines, caught)?;
    let mine = run.iter().find(|l| l.diver == diver);
    let mine = mine.ok_or_else(|| format!("{diver} is not in that bell run of rota.csv"))?;
    let value = hours(mine.water_s());
    Counted::of(
        value,
        0.0,
        vec![term(&lines, "in water", diver, value, "h", mine.row)?],
    )
}

fn hours(s: i64) -> f64 {
    s as f64 / 3600.0
}

fn given(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let task = caught.get("task");
    let (mut sum_s, mut terms) = (0, Vec::new());
    for (i, run) in lines.runs().iter().enumerate() {
        let mine = run[0].tasks.iter().filter(|(name, _)| *name == task);
        let s: i64 = mine.map(|(_, s)| s).sum();
        if s != 0 {
            sum_s += s;
            let what = format!("bell run {}", i + 1);
            terms.push(term(&lines, "tasks", what, hours(s), "h", run[0].row)?);
        }
    }
    Counted::of(hours(sum_s), 0.0, terms)
}

fn needed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let work = &ground.read()?.scenario.work;
    let name = caught.get("task");
    let task = work.tasks.iter().find(|t| t.name == name);
    let task = task.ok_or("the work list has no such task")?;
    let wet_s = task.in_water_s as f64;
    let terms = vec![
        input(
            "in the water",
            wet_s / 3600.0,
            "h",
            format!("work.tasks[{name}].in_water"),
        ),
        input(
            "weather allowance",
            work.weather_share,
            "",
            "work.weather_allowance".to_owned(),
        ),
    ];
    Counted::of(
        (wet_s / (1.0 - work.weather_share)).ceil() / 3600.0,
        0.0,
        terms,
    )
}

/// A sum over a diver's rows.
fn over(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    (head, unit): (&str, &str),
    of: impl Fn(&Line<'_>) -> Option<f64>,
) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let column = lines.table.column(head)?;
    let leave = lines.table.column("leave")?;
    let (mut sum, mut terms) = (0.0, Vec::new());
    for line in lines.of_diver(&caught.get("diver")) {
        if let Some(value) = of(line) {
            sum += value;
            let what = format!("bell run of {}", leave.text(line.row));
            terms.push(column.term(what, value, unit, line.row));
        }
    }
    Counted::of(sum, 0.0, terms)
}

fn bell_runs(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("diver", ""), |_| Some(1.0))
}

fn bellman(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("role", ""), |l| {
        (l.role == "bellman").then_some(1.0)
    })
}

/// Time of a bell run between midnight and six, s.
fn at_night_s(line: &Line<'_>) -> i64 {
    let (first, last) = (
        line.leave.div_euclid(86_400),
        line.r#return.div_euclid(86_400),
    );
    let night = |day: i64| {
        let (from, to) = (day * 86_400, day * 86_400 + 6 * 3600);
        (line.r#return.min(to) - line.leave.max(from)).max(0)
    };
    (first..=last).map(night).sum()
}

fn nights(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let at_night = |l: &Line<'_>| 2 * at_night_s(l) > l.r#return - l.leave;
    over(ground, caught, ("leave", ""), |l| {
        at_night(l).then_some(1.0)
    })
}

fn water(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("in water", "h"), |l| {
        Some(hours(l.water_s()))
    })
}

fn seal_to_seal(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("return", "h"), |l| {
        Some(hours(l.r#return - l.leave))
    })
}

fn rest(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let mine = lines.of_diver(&caught.get("diver"));
    let rests = mine
        .windows(2)
        .map(|pair| (pair[1].leave - pair[0].r#return, pair));
    let (least, pair) = rests
        .min_by_key(|(s, _)| *s)
        .ok_or("the diver has no two bell runs")?;
    let leave = lines.table.column("leave")?;
    let what = format!("rest before the bell run of {}", leave.text(pair[1].row));
    let value = hours(least);
    let term = leave.of_rows(what, Some(value), "h", &[pair[0].row, pair[1].row]);
    Counted::of(value, 0.0, vec![term])
}

fn unwanted(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let diver = caught.get("diver");
    let (_, asked) = asked(ground)?;
    let mut crew = asked.problem.divers.iter();
    let prefers = crew.find(|d| d.initials == diver).and_then(|d| d.prefers_s);
    let Some((from, to)) = prefers else {
        return over(ground, caught, ("leave", ""), |_| None);
    };
    let liked = |l: &Line<'_>| {
        let clock = l.leave.rem_euclid(86_400);
        match from <= to {
            true => clock >= from && clock < to,
            false => clock >= from || clock < to,
        }
    };
    over(ground, caught, ("leave", ""), |l| {
        (!liked(l)).then_some(1.0)
    })
}

/// Greatest less least of a figure over the divers.
fn uneven(ground: &Ground<'_>, field: &str, unit: &str) -> Result<Counted, String> {
    let mut terms = Vec::new();
    let mut values = Vec::new();
    for diver in ground.list("/divers") {
        let name = diver
            .get("diver")
            .and_then(Value::as_str)
            .unwrap_or_default();
        let goes = diver.get("bell_runs").and_then(Value::as_u64) > Some(0);
        if let Some(value) = diver.get(field).and_then(Value::as_f64).filter(|_| goes) {
            values.push(value);
            let id = crate::explain::figures::asked(&format!("rota/divers/{name}/{field}"));
            terms.push(figure(name, value, unit, id));
        }
    }
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let value = if values.is_empty() { 0.0 } else { most - least };
    Counted::of(value, 1e-9, terms)
}

fn uneven_water(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    uneven(ground, "in_water_h", "h")
}

fn uneven_seal(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    uneven(ground, "seal_to_seal_h", "h")
}

fn uneven_nights(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    uneven(ground, "nights", "")
}

fn uneven_bellman(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    uneven(ground, "bellman", "")
}
