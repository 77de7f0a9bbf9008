//! The links of estimates over all jobs: mean, spread of the values, quantiles with their intervals, and how the demand of
//! a gas goes with what was drawn for a job.

use super::jobs::{Values, gas, plain};
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, program};
use crate::explain::table::Column;
use deepstay_stock::{Estimate, PROBABILITIES, estimate, rank_correlation, told_apart};

const OVER_JOBS: Link = Link {
    path: "",
    unit: "m3 of free gas",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: mean,
    inputs: &["study"],
    rules: &[],
    cautioned: true,
};

const MEAN: &str = "sum over the jobs / number of jobs";
const MEAN_ENDS: &str =
    "mean -/+ Student's t at 95 % x standard deviation / square root of the number of jobs";
const SD: &str = "square root of (sum of squares about the mean / (number of jobs - 1))";
const LEAST: &str = "the least of the jobs";
const MOST: &str = "the greatest of the jobs";
const QUANTILE: &str = "median-unbiased quantile of the jobs (Hyndman and Fan 1996, definition 8)";
const QUANTILE_ENDS: &str = "the narrowest pair of ordered jobs that holds the quantile with 95 % (exact binomial coverage)";
const COVERS: &str = "binomial coverage of the pair of ordered jobs; where there is no such pair, the most that so few jobs reach";

/// The figures of one estimate, and those of its quantiles.
macro_rules! estimate {
    ($path:literal, $unit:literal, $what:literal, $with:expr) => {
        &[
            Link {
                path: concat!($path, "/mean"),
                unit: $unit,
                says: concat!("mean of ", $what),
                formula: MEAN,
                count: mean,
                ..$with
            },
            Link {
                path: concat!($path, "/mean_low_95"),
                unit: $unit,
                says: concat!("lower end of the 95 % interval of the mean of ", $what),
                formula: MEAN_ENDS,
                count: mean_low,
                ..$with
            },
            Link {
                path: concat!($path, "/mean_high_95"),
                unit: $unit,
                says: concat!("upper end of the 95 % interval of the mean of ", $what),
                formula: MEAN_ENDS,
                count: mean_high,
                ..$with
            },
            Link {
                path: concat!($path, "/sd"),
                unit: $unit,
                says: concat!("standard deviation of ", $what),
                formula: SD,
                count: sd,
                ..$with
            },
            Link {
                path: concat!($path, "/least"),
                unit: $unit,
                says: concat!("least of ", $what),
                formula: LEAST,
                count: least,
                ..$with
            },
            Link {
                path: concat!($path, "/most"),
                unit: $unit,
                says: concat!("maximum of ", $what),
                formula: MOST,
                count: most,
                ..$with
            },
        ]
    };
}
macro_rules! quantiles {
    ($path:literal, $unit:literal, $what:literal, $with:expr) => {
        &[
            Link {
                path: concat!($path, "/quantiles/{quantile}/p"),
                unit: "",
                says: concat!("share of the jobs under {quantile} of ", $what),
                formula: "one of the shares that every estimate has",
                count: share,
                ..$with
            },
            Link {
                path: concat!($path, "/quantiles/{quantile}/value"),
                unit: $unit,
                says: concat!("{quantile} of ", $what),
                formula: QUANTILE,
                count: quantile,
                ..$with
            },
            Link {
                path: concat!($path, "/quantiles/{quantile}/low"),
                unit: $unit,
                says: concat!("lower end of the interval of {quantile} of ", $what),
                formula: QUANTILE_ENDS,
                count: quantile_low,
                ..$with
            },
            Link {
                path: concat!($path, "/quantiles/{quantile}/high"),
                unit: $unit,
                says: concat!("upper end of the interval of {quantile} of ", $what),
                formula: QUANTILE_ENDS,
                count: quantile_high,
                ..$with
            },
            Link {
                path: concat!($path, "/quantiles/{quantile}/interval_covers"),
                unit: "",
                says: concat!(
                    "how surely the interval holds {quantile} of ",
                    $what,
                    ", 0 to 1"
                ),
                formula: COVERS,
                count: covers,
                ..$with
            },
        ]
    };
}

pub(super) const DEMAND: &[Link] = estimate!(
    "gases/{gas}/demand_m3_free",
    "m3 of free gas",
    "the demand of {gas}: the most by which its stock fell below the start, at the ends of days",
    OVER_JOBS
);
pub(super) const DEMAND_QUANTILES: &[Link] = quantiles!(
    "gases/{gas}/demand_m3_free",
    "m3 of free gas",
    "the demand of {gas}",
    OVER_JOBS
);
pub(super) const DRAWN: &[Link] = estimate!(
    "gases/{gas}/purposes_m3_free/{purpose}",
    "m3 of free gas",
    "what is drawn of {gas} for {purpose}",
    OVER_JOBS
);
pub(super) const DRAWN_QUANTILES: &[Link] = quantiles!(
    "gases/{gas}/purposes_m3_free/{purpose}",
    "m3 of free gas",
    "what is drawn of {gas} for {purpose}",
    OVER_JOBS
);
pub(super) const BACK: &[Link] = estimate!(
    "gases/{gas}/brought_back_m3_free",
    "m3 of free gas",
    "what comes back to the banks of {gas}",
    OVER_JOBS
);
pub(super) const BACK_QUANTILES: &[Link] = quantiles!(
    "gases/{gas}/brought_back_m3_free",
    "m3 of free gas",
    "what comes back to the banks of {gas}",
    OVER_JOBS
);
pub(super) const ABSORBENT: &[Link] = estimate!(
    "absorbent/changed_kg",
    "kg",
    "the absorbent that a job changes, beside the first filling",
    OVER_JOBS
);
pub(super) const ABSORBENT_QUANTILES: &[Link] = quantiles!(
    "absorbent/changed_kg",
    "kg",
    "the absorbent that a job changes, beside the first filling",
    OVER_JOBS
);
pub(super) const CANISTERS: &[Link] = estimate!(
    "absorbent/canisters/{size}/changed",
    "canisters",
    "the canisters of {size} that a job changes",
    OVER_JOBS
);
pub(super) const CANISTERS_QUANTILES: &[Link] = quantiles!(
    "absorbent/canisters/{size}/changed",
    "canisters",
    "the canisters of {size} that a job changes",
    OVER_JOBS
);
pub(super) const OTHERS: &[Link] =
    estimate!("others/{what}/over_all_jobs", "{unit}", "{what}", OVER_JOBS);
pub(super) const OTHERS_QUANTILES: &[Link] =
    quantiles!("others/{what}/over_all_jobs", "{unit}", "{what}", OVER_JOBS);

const OTHERWISE: Link = Link {
    count: not_kept,
    ..OVER_JOBS
};
macro_rules! otherwise {
    ($($last:literal),*) => { &[$(Link {
        path: concat!("what_if/{gas}/difference_m3_free/", $last),
        says: concat!($last, " of the difference in demand of {gas} by what was set, over the jobs"),
        formula: "the same estimate over the differences job by job",
        ..OTHERWISE
    }),*] };
}
pub(super) const WHAT_IF: &[Link] =
    otherwise!("mean", "mean_low_95", "mean_high_95", "sd", "least", "most");
pub(super) const WHAT_IF_QUANTILES: &[Link] = otherwise!(
    "quantiles/{quantile}/p",
    "quantiles/{quantile}/value",
    "quantiles/{quantile}/low",
    "quantiles/{quantile}/high",
    "quantiles/{quantile}/interval_covers"
);
pub(super) const MEANS: &[Link] = &[
    Link {
        path: "what_if/{gas}/base_mean_m3_free",
        says: "mean demand of {gas} as the scenario has it",
        formula: MEAN,
        ..OVER_JOBS
    },
    Link {
        path: "what_if/{gas}/changed_mean_m3_free",
        says: "mean demand of {gas} with what was set",
        formula: MEAN,
        ..OTHERWISE
    },
];

const RANK: Link = Link {
    unit: "",
    formula: "Spearman's rank correlation over the jobs, ties at their middle ranks",
    ..OVER_JOBS
};
const RANK_ENDS: &str = "Fisher's transform of the rank correlation, with its 95 % interval";
pub(super) const RANKS: &[Link] = &[
    Link {
        path: "gases/{gas}/rank_correlation/{assumption}/rho",
        says: "rank correlation of the demand of {gas} with {assumption}, -1 to 1",
        count: rho,
        ..RANK
    },
    Link {
        path: "gases/{gas}/rank_correlation/{assumption}/low",
        says: "lower end of the 95 % interval of the rank correlation of the demand of {gas} with {assumption}",
        formula: RANK_ENDS,
        count: rank_low,
        ..RANK
    },
    Link {
        path: "gases/{gas}/rank_correlation/{assumption}/high",
        says: "upper end of the 95 % interval of the rank correlation of the demand of {gas} with {assumption}",
        formula: RANK_ENDS,
        count: rank_high,
        ..RANK
    },
];

/// The values that an estimate is made of, one a job.
fn values<'t>(ground: &'t Ground<'_>, caught: &Caught<'_>) -> Result<Values<'t>, String> {
    let (name, purpose) = (caught.get("gas"), caught.get("purpose"));
    let names = &caught.figure.names;
    let has = |part: &str| names.iter().any(|n| n == part);
    if has("brought_back_m3_free") {
        return gas(ground, &format!("brought back of {name}"));
    }
    if has("purposes_m3_free") {
        return gas(ground, &format!("drawn for {purpose} of {name}"));
    }
    if has("changed_kg") {
        return plain(ground, "absorbent changed (kg)", (1.0, 0.51e-4));
    }
    if has("canisters") {
        let head = format!("canisters of {} changed", caught.get("size"));
        return plain(ground, &head, (1.0, 0.0));
    }
    if !name.is_empty() {
        return gas(ground, &format!("demand: {name}"));
    }
    const HOUR: (f64, f64) = (1.0, 0.51e-4);
    match caught.get("what").as_str() {
        "length of the job" => plain(ground, "last second (s)", (1.0 / 86_400.0, 0.0)),
        "bell runs gone through" => plain(ground, "runs made", (1.0, 0.0)),
        "bell runs lost to weather" => plain(ground, "lost to weather", (1.0, 0.0)),
        "bell runs lost for want of gas" => plain(ground, "lost for want of gas", (1.0, 0.0)),
        "bell runs lost otherwise" => plain(ground, "lost otherwise", (1.0, 0.0)),
        "waiting on weather" => plain(ground, "waiting on weather (h)", HOUR),
        "divers' time in the water" => plain(ground, "water (h)", HOUR),
        "absorbent" => plain(ground, "absorbent (kg)", (1.0, 0.51e-4)),
        "oxygen for burning" => burnt(ground),
        other => gas(ground, other),
    }
}

/// Oxygen for burning: the hours of the work list at which it burns, cut where a job has less time in the water.
fn burnt<'t>(ground: &'t Ground<'_>) -> Result<Values<'t>, String> {
    let scenario = &ground.read()?.scenario;
    let (m3_h, _) = scenario
        .study
        .burning
        .as_ref()
        .ok_or("the study has no burning")?;
    let hours = |burns: bool| -> f64 {
        let is = |gas: &Option<String>| {
            gas.as_deref()
                .is_some_and(|g| g.eq_ignore_ascii_case("oxygen"))
        };
        let tasks = scenario.work.tasks.iter().filter(|t| !burns || is(&t.gas));
        tasks.map(|t| t.in_water_s as f64 / 3600.0).sum()
    };
    let (asked, burning) = (hours(false), hours(true));
    let water = plain(ground, "water (h)", (1.0, 0.51e-4))?;
    let of = |h: &f64| burning * (h / asked.max(1e-9)).min(1.0) * m3_h;
    Ok(Values {
        all: water.all.iter().map(of).collect(),
        slack: water.slack * burning / asked.max(1e-9) * m3_h,
        ..water
    })
}

fn over(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    (what, of): (&str, impl Fn(&Estimate) -> Option<f64>),
) -> Result<Counted, String> {
    let values = values(ground, caught)?;
    let made = estimate(&values.all);
    let value = of(&made).ok_or("so few jobs give no such figure")?;
    counted(&values, what, value, values.slack * times_off(&made))
}

/// How many times further off than a value a figure made of all of them can be. Values that are each off by no more than s
/// move their mean by s at the most, their standard deviation by s sqrt(n/(n - 1)), and so an end of the mean's interval
/// by s (1 + t/sqrt(n - 1)): of two values 13.7 times. The other figures are off by a few of the values.
fn times_off(made: &Estimate) -> f64 {
    let n = made.n as f64;
    let t = match made.mean_high {
        Some(high) if made.sd > 0.0 => (high - made.mean) * n.sqrt() / made.sd,
        _ => 0.0,
    };
    (1.0 + t / (n - 1.0).max(1.0).sqrt()).max(6.0)
}

fn counted(values: &Values<'_>, what: &str, value: f64, slack: f64) -> Result<Counted, String> {
    let n = values.all.len() as f64;
    let sum: f64 = values.all.iter().sum();
    let column: Column<'_> = values.column;
    let terms = vec![
        column.of_rows("sum over the jobs", Some(sum), values.unit, &values.rows),
        figure("jobs", n, "", "stock/jobs".to_owned()),
        program(what, value, values.unit, "calculated anew from the column"),
    ];
    Counted::of(value, slack, terms)
}

fn mean(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let values = values(ground, caught)?;
    let n = values.all.len() as f64;
    let value = values.all.iter().sum::<f64>() / n;
    counted(&values, "mean", value, values.slack)
}

fn mean_low(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("lower end", |e| e.mean_low))
}

fn mean_high(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("upper end", |e| e.mean_high))
}

fn sd(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over(ground, caught, ("standard deviation", |e| Some(e.sd)))
}

fn least(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    extreme(ground, caught, f64::INFINITY, f64::min)
}

fn most(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    extreme(ground, caught, f64::NEG_INFINITY, f64::max)
}

fn extreme(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    from: f64,
    of: fn(f64, f64) -> f64,
) -> Result<Counted, String> {
    let values = values(ground, caught)?;
    let value = values.all.iter().copied().fold(from, of);
    let row = values
        .all
        .iter()
        .position(|v| *v == value)
        .map(|i| values.rows[i]);
    let row = row.ok_or("there are no jobs")?;
    let what = format!("of {} jobs", values.all.len());
    Counted::of(
        value,
        values.slack,
        vec![values.column.term(what, value, values.unit, row)],
    )
}

/// The share that a quantile is of.
fn p(caught: &Caught<'_>) -> Result<f64, String> {
    caught.number("p")
}

fn share(_: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let name = caught.get("quantile");
    let named = |p: &&f64| format!("P{:.0}", **p * 100.0) == name;
    let p = PROBABILITIES
        .iter()
        .find(named)
        .ok_or("no estimate has such a share")?;
    Counted::of(
        *p,
        0.0,
        vec![program("share", *p, "", "the shares of all estimates")],
    )
}

fn at(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    what: &str,
    of: impl Fn(&deepstay_stock::Quantile) -> Option<f64>,
) -> Result<Counted, String> {
    let p = p(caught)?;
    over(
        ground,
        caught,
        (what, |e: &Estimate| {
            of(e.quantiles.iter().find(|q| q.p == p)?)
        }),
    )
}

fn quantile(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    // By hand: the place (n + 1/3) p + 1/3 in the rising order, straight between two jobs.
    let values = values(ground, caught)?;
    let mut rising: Vec<(f64, usize)> = values.all.iter().copied().zip(0..).collect();
    rising.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = rising.len();
    if n == 0 {
        return Err("there are no jobs".to_owned());
    }
    let place = ((n as f64 + 1.0 / 3.0) * p(caught)? + 1.0 / 3.0).clamp(1.0, n as f64);
    let below = place.floor() as usize - 1;
    let above = (below + 1).min(n - 1);
    let part = place - place.floor();
    let value = rising[below].0 + part * (rising[above].0 - rising[below].0);
    let term = |at: usize, what: String| {
        values
            .column
            .term(what, rising[at].0, values.unit, values.rows[rising[at].1])
    };
    let mut terms = vec![
        program("place in the rising order", place, "", "(n + 1/3) p + 1/3"),
        term(below, format!("job in place {}", below + 1)),
    ];
    if part > 0.0 {
        terms.push(term(above, format!("job in place {}", above + 1)));
    }
    Counted::of(value, values.slack, terms)
}

fn quantile_low(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    at(ground, caught, "lower end", |q| q.low)
}

fn quantile_high(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    at(ground, caught, "upper end", |q| q.high)
}

fn covers(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    at(ground, caught, "coverage", |q| Some(q.covers))
}

fn ranked(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    of: fn(&deepstay_stock::RankCorrelation) -> f64,
) -> Result<Counted, String> {
    let demand = gas(ground, &format!("demand: {}", caught.get("gas")))?;
    let name = caught.get("assumption");
    let drawn = plain(ground, &format!("drawn: {name}"), (1.0, 0.0))?;
    let rank = rank_correlation(&drawn.all, &told_apart(&demand.all));
    let value = of(&rank.ok_or("one side is the same in all jobs, or they are too few")?);
    let terms = vec![
        drawn
            .column
            .of_rows("what was drawn", None, "", &drawn.rows),
        demand.column.of_rows("demand", None, "", &demand.rows),
        program(
            "rank correlation",
            value,
            "",
            "calculated anew from the columns",
        ),
    ];
    Counted::of(value, 1e-9, terms)
}

fn rho(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    ranked(ground, caught, |r| r.rho)
}

fn rank_low(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    ranked(ground, caught, |r| r.low)
}

fn rank_high(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    ranked(ground, caught, |r| r.high)
}

fn not_kept(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let set: Vec<&str> = ground
        .list("/set")
        .iter()
        .filter_map(|s| s.as_str())
        .collect();
    Err(format!(
        "the jobs with {} are not in the folder; the same study run again gives the same figure",
        if set.is_empty() {
            "what was set".to_owned()
        } else {
            set.join(", ")
        }
    ))
}
