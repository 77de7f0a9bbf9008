//! The links of what was proven of a rota, of the use of the bells, and of what other rule sets would give.

use super::judge::{asked, not_replanned};
use super::lines::{Lines, calendar_s};
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, program};
use deepstay_rota::{NoRota, Problem, Proven, proven, proven_as_wished};
use serde_json::Value;

const PROOF: Link = Link {
    path: "",
    unit: "h",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: useful,
    inputs: &["work.tasks[*].in_water", "work.weather_allowance"],
    rules: &[],
    cautioned: true,
};
const UNDER: Link = Link {
    unit: "",
    formula: "a search of its own under that rule set",
    count: another,
    inputs: &[],
    ..PROOF
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "proof/useful_h",
        says: "time in the water that serves the work list",
        formula: "sum over the tasks of the time that is given; without a work list, the time with a diver out",
        ..PROOF
    },
    Link {
        path: "proof/bound_h",
        says: "useful time in the water that no legal rota exceeds",
        formula: "counted over rules and steel alone, bell by bell and diver by diver, with rest and turnaround in the count, and no more than the work list needs; what the count leaves out can only make it too high",
        count: bound,
        ..PROOF
    },
    Link {
        path: "proof/wished_h",
        says: "useful time in the water that no rota exceeds that keeps the wishes too",
        formula: "counted bell by bell and crew by crew, at the hours, with the teams and for the time in the water that are wished, and no more than proof/bound_h",
        count: wished,
        inputs: &[
            "work.tasks[*].in_water",
            "work.weather_allowance",
            "work.hours",
            "work.bells",
            "work.teams",
            "work.in_water",
        ],
        ..PROOF
    },
    Link {
        path: "proof/gap",
        unit: "",
        says: "by how much the rota is short of the best that keeps the wishes at most (optimality gap), 0 to 1",
        formula: "(work done - earliest possible with the wishes) / (work done - first bell run possible); where the work does not get done, (wished - useful) / wished",
        count: gap,
        ..PROOF
    },
    Link {
        path: "proof/gap_to_any",
        unit: "",
        says: "by how much the rota is short of the best of all legal rotas at most, 0 to 1",
        formula: "(work done - earliest possible) / (work done - first bell run possible); where the work does not get done, (bound - useful) / bound",
        count: gap_to_any,
        ..PROOF
    },
    Link {
        path: "wishes/{wish}/useful_h",
        unit: "h",
        says: "useful time in the water of the best rota found without the wish that {wish}, all others kept",
        formula: "a search of its own without it, of a few tries",
        count: without,
        ..UNDER
    },
    Link {
        path: "bell_off_trunk",
        unit: "",
        says: "bell utilisation: locked off as a share of the time there was a bell, 0 to 1",
        formula: "sum of the bell runs' lengths / time in which there was a bell",
        count: utilisation,
        inputs: &["work.first", "work.last"],
        ..PROOF
    },
    Link {
        path: "under/{set}/bell_runs",
        says: "bell runs of the best rota found under {set}",
        ..UNDER
    },
    Link {
        path: "under/{set}/useful_h",
        unit: "h",
        says: "useful time in the water of the best rota found under {set}",
        ..UNDER
    },
    Link {
        path: "under/{set}/bound_h",
        unit: "h",
        says: "useful time in the water that no legal rota under {set} exceeds",
        ..UNDER
    },
    Link {
        path: "under/{set}/gap",
        says: "by how much the rota under {set} is short of the best at most, 0 to 1",
        ..UNDER
    },
    Link {
        path: "under/{set}/breaches_of_this_rota",
        says: "breaches of {set} by the rota of this folder",
        ..UNDER
    },
];

fn useful(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (mut sum, mut terms) = (0.0, Vec::new());
    for task in ground.list("/work") {
        let name = task.get("task").and_then(Value::as_str);
        let given = task.get("given_h").and_then(Value::as_f64);
        let (Some(name), Some(given)) = (name, given) else {
            return Err("a task has no figure".to_owned());
        };
        sum += given;
        let id = crate::explain::figures::asked(&format!("rota/work/{name}/given_h"));
        terms.push(figure(name, given, "h", id));
    }
    match terms.is_empty() {
        true => time_with_a_diver_out(ground),
        false => Counted::of(sum, 1e-6, terms),
    }
}

/// Without a work list all time with a diver out is useful.
fn time_with_a_diver_out(ground: &Ground<'_>) -> Result<Counted, String> {
    let lines = Lines::of(ground)?;
    let column = lines.table.column("in water")?;
    let (mut sum, mut terms) = (0, Vec::new());
    for (i, run) in lines.runs().iter().enumerate() {
        let mut spans: Vec<(i64, i64)> = run.iter().flat_map(|l| l.water.clone()).collect();
        spans.sort_unstable();
        let (mut out_s, mut reached) = (0, i64::MIN);
        for (from, to) in spans {
            out_s += (to - from.max(reached)).max(0);
            reached = reached.max(to);
        }
        sum += out_s;
        let rows: Vec<_> = run.iter().map(|l| l.row).collect();
        let what = format!("a diver out in bell run {}", i + 1);
        terms.push(column.of_rows(what, Some(out_s as f64 / 3600.0), "h", &rows));
    }
    Counted::of(sum as f64 / 3600.0, 0.0, terms)
}

fn bound(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |problem| Ok(proven(problem)))
}

fn wished(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, proven_as_wished)
}

fn without(_: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Err("the rota without the wish is not in the folder; a job without it makes one, with a chain of its own".to_owned())
}

fn counted(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    of: impl Fn(&Problem) -> Result<Proven, NoRota>,
) -> Result<Counted, String> {
    not_replanned(ground)?;
    let (_, asked) = asked(ground)?;
    let told = |problem: &Problem| {
        let proven = of(problem).map_err(|none| none.to_string())?;
        Ok::<f64, String>(proven.useful_s as f64 / 3600.0)
    };
    let value = told(&asked.problem)?;
    let from = "counted anew from the scenario and the rule set";
    let term = |value| vec![program("bound", value, "h", from)];
    if (value - caught.figure.value).abs() > 1e-9 * value {
        // A rota that long bell runs would have made illegal is made, and bounded, without them.
        let mut plain = asked.problem.clone();
        for limits in &mut plain.limits {
            limits.long_water = None;
        }
        let other = told(&plain)?;
        if (other - caught.figure.value).abs() <= 1e-9 * other {
            return Counted::of(other, 0.0, term(other));
        }
    }
    Counted::of(value, 0.0, term(value))
}

fn gap(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    short(ground, "wished_no_earlier_than", "wished_h")
}

fn gap_to_any(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    short(ground, "no_earlier_than", "bound_h")
}

/// By how much the rota is short of what is at most, with the earliest end and the bound by their names.
fn short(ground: &Ground<'_>, earliest: &str, bound: &str) -> Result<Counted, String> {
    let time = |path: &str| match ground.text(path) {
        Some(text) => calendar_s(text)
            .map(Some)
            .ok_or(format!("{path} is no time")),
        None => Ok(None),
    };
    let (done, earliest) = (time("/proof/done")?, time(&format!("/proof/{earliest}"))?);
    let scenario = &ground.read()?.scenario;
    let (_, asked) = asked(ground)?;
    let first = asked.problem.first_s + scenario.start_unix_s + scenario.utc_offset_s;
    if let (Some(done), Some(earliest)) = (done, earliest)
        && done > first
    {
        let (late, whole) = ((done - earliest).max(0) as f64, (done - first) as f64);
        let terms = vec![
            program(
                "work done - earliest possible",
                late / 3600.0,
                "h",
                "rota.json, proof",
            ),
            program(
                "work done - first bell run possible",
                whole / 3600.0,
                "h",
                "rota.json, proof, and the scenario",
            ),
        ];
        return Counted::of(late / whole, 0.0, terms);
    }
    let id = format!("rota/proof/{bound}");
    let (useful, bound) = (
        ground.number("/proof/useful_h")?,
        ground.number(&format!("/proof/{bound}"))?,
    );
    let terms = vec![
        figure("bound", bound, "h", id),
        figure("useful", useful, "h", "rota/proof/useful_h".to_owned()),
    ];
    Counted::of(
        (bound - useful).max(0.0) / bound.max(1.0 / 3600.0),
        1e-9,
        terms,
    )
}

fn utilisation(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    not_replanned(ground)?;
    let lines = Lines::of(ground)?;
    let (_, asked) = asked(ground)?;
    let problem = &asked.problem;
    let rows: Vec<_> = lines.runs().iter().map(|run| run[0].row).collect();
    let away: i64 = lines
        .runs()
        .iter()
        .map(|run| run[0].r#return - run[0].leave)
        .sum();
    let down = |bell: &deepstay_rota::Bell| {
        let within = |span: &deepstay_rota::Span| {
            (span.to_s.min(problem.last_s) - span.from_s.max(problem.first_s)).max(0)
        };
        bell.down.iter().map(within).sum::<i64>()
    };
    let open: i64 = problem
        .bells
        .iter()
        .map(|bell| problem.last_s - problem.first_s - down(bell))
        .sum();
    let terms = vec![
        lines.table.column("return")?.of_rows(
            "locked off, all bell runs",
            Some(away as f64 / 3600.0),
            "h",
            &rows,
        ),
        program(
            "time in which there was a bell",
            open as f64 / 3600.0,
            "h",
            "the scenario's plan and work list",
        ),
    ];
    Counted::of(away as f64 / open.max(1) as f64, 0.0, terms)
}

fn another(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let job = ground.text("/scenario").unwrap_or("JOB");
    Err(format!(
        "the rota under {set} is not in the folder; `deepstay rota {job} --rules {set} --out FOLDER` makes it, with a chain of its own",
        set = caught.get("set")
    ))
}
