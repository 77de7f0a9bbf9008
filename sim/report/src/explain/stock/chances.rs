//! The links of chances: jobs that came so far, of all jobs, with the exact interval.

use super::jobs::{days, jobs};
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, program};
use deepstay_stock::Chance;

const CHANCE: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: share,
    inputs: &["study"],
    rules: &[],
    cautioned: true,
};
const SHARE: &str = "jobs that came so far / all jobs";
const ENDS: &str = "exact binomial interval of 95 % (Clopper and Pearson)";
const HITS: &str = "number of jobs that came so far";
const OF: &str = "number of jobs";

macro_rules! chance {
    ($path:literal, $what:literal) => {
        &[
            Link {
                path: concat!($path, "/p"),
                says: concat!("share of the jobs ", $what, ", 0 to 1"),
                formula: SHARE,
                ..CHANCE
            },
            Link {
                path: concat!($path, "/low"),
                says: concat!(
                    "lower end of the 95 % interval of the chance of a job ",
                    $what
                ),
                formula: ENDS,
                count: low,
                ..CHANCE
            },
            Link {
                path: concat!($path, "/high"),
                says: concat!(
                    "upper end of the 95 % interval of the chance of a job ",
                    $what
                ),
                formula: ENDS,
                count: high,
                ..CHANCE
            },
            Link {
                path: concat!($path, "/hits"),
                says: concat!("jobs ", $what),
                formula: HITS,
                count: hits,
                ..CHANCE
            },
            Link {
                path: concat!($path, "/of"),
                says: "jobs that were counted",
                formula: OF,
                count: of,
                ..CHANCE
            },
        ]
    };
}

pub(super) const OF_A_GAS: &[Link] = chance!(
    "gases/{gas}/chance/{day}/below_minimum",
    "in which {gas} has been below a minimum by the end of {day}"
);
pub(super) const OF_A_GAS_STOPPED: &[Link] = chance!(
    "gases/{gas}/chance/{day}/stopped",
    "in which {gas} has been below what cannot be drawn by the end of {day}"
);
pub(super) const OF_ABSORBENT: &[Link] = chance!(
    "absorbent/chance/{day}/below_minimum",
    "in which absorbent has been below the minimum of the chambers by the end of {day}"
);
pub(super) const OF_ABSORBENT_SHORT: &[Link] = chance!(
    "absorbent/chance/{day}/too_little",
    "in which there was too little spare absorbent for a canister by the end of {day}"
);
pub(super) const OF_ANY: &[Link] = chance!(
    "chance/{day}/below_minimum",
    "in which any gas, or absorbent, has been below a minimum by the end of {day}"
);
pub(super) const OF_ANY_STOPPED: &[Link] = chance!(
    "chance/{day}/stopped",
    "in which the work has been stopped for want of gas by the end of {day}"
);
pub(super) const NOT_SURFACED: &[Link] =
    chance!("not_surfaced", "that did not come to the surface");
pub(super) const CUT_SHORT: &[Link] = chance!(
    "cut_short",
    "stopped on minimum gas: an order or a bell run failed for want of gas, a gas came to its change-over pressure, or another stood in"
);
pub(super) const DAYS: &[Link] = &[
    Link {
        path: "gases/{gas}/chance/{one}/day",
        says: "the day that the chances beside it are of",
        formula: "days from the start of the job, counted from 0",
        count: day,
        ..CHANCE
    },
    Link {
        path: "absorbent/chance/{one}/day",
        says: "the day that the chances beside it are of",
        formula: "days from the start of the job, counted from 0",
        count: day,
        ..CHANCE
    },
    Link {
        path: "chance/{one}/day",
        says: "the day that the chances beside it are of",
        formula: "days from the start of the job, counted from 0",
        count: day,
        ..CHANCE
    },
];

fn day(_: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let name = caught.get("one");
    let number = name
        .strip_prefix("day ")
        .and_then(|d| d.parse::<f64>().ok());
    let number = number.ok_or("it is of no day")?;
    Counted::of(
        number,
        0.0,
        vec![program("day", number, "", "the row of the list")],
    )
}

/// The column that tells whether a job came so far, and how many did.
fn came(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<(String, u64, u64), String> {
    let names = &caught.figure.names;
    let has = |part: &str| names.iter().any(|n| n == part);
    let table = jobs(ground)?;
    let all = table.rows.len() as u64;
    let count = |head: &str, is: &dyn Fn(&str) -> bool| {
        let column = table.column(head)?;
        let rows = table.pick(|row| is(column.text(row)));
        Ok((head.to_owned(), rows.len() as u64, all))
    };
    if has("not_surfaced") {
        return count("ended", &|text| text != "at the surface");
    }
    if has("cut_short") {
        return count("stopped on minimum gas", &|text| text == "yes");
    }
    let gas = caught.get("gas");
    let head = match (gas.is_empty(), has("below_minimum")) {
        (true, true) if has("absorbent") => "first day below the minimum of absorbent".to_owned(),
        (true, false) if has("absorbent") => {
            "first day with too little absorbent for a canister".to_owned()
        }
        (true, true) => "first day below any minimum".to_owned(),
        (true, false) => "first day on which the work was stopped for want of gas".to_owned(),
        (false, true) => format!("first day below a minimum of {gas}"),
        (false, false) => format!("first day below what cannot be drawn of {gas}"),
    };
    let day = caught.get("day");
    let by = day.strip_prefix("day ").unwrap_or(&day).parse::<f64>();
    let by = by.map_err(|_| "it is of no day")?;
    let first = days(ground, &head)?;
    let hits = first.iter().filter(|d| d.is_some_and(|d| d <= by)).count();
    Ok((head, hits as u64, all))
}

fn counted(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    value: fn(&Chance) -> f64,
) -> Result<Counted, String> {
    let (head, hits, of) = came(ground, caught)?;
    let table = jobs(ground)?;
    let column = table.column(&head)?;
    let rows: Vec<_> = table.rows.iter().collect();
    let terms = vec![
        column.of_rows("jobs that came so far", Some(hits as f64), "", &rows),
        column.of_rows("all jobs", Some(of as f64), "", &rows),
    ];
    Counted::of(value(&Chance::of(hits, of)), 0.0, terms)
}

fn share(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |c| c.hits as f64 / c.of as f64)
}

fn low(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |c| c.low)
}

fn high(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |c| c.high)
}

fn hits(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |c| c.hits as f64)
}

fn of(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    counted(ground, caught, |c| c.of as f64)
}
