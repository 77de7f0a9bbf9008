//! The links of a study's head: what was asked for and how much of it was run.

use super::jobs::jobs;
use crate::explain::chain::{Origin, Term};
use crate::explain::ground::Ground;
use crate::explain::link::{
    Caught, Counted, Link, Printed, format_written, input, program, seed_of_the_scenario,
};
use crate::provenance::StatusWord;
use serde_json::Value;

const PLAIN: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: format,
    inputs: &[],
    rules: &[],
    cautioned: false,
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "format",
        says: "version of the shape of stock.json",
        formula: "the version that this program writes",
        ..PLAIN
    },
    Link {
        path: "seed",
        says: "seed of what is drawn for the jobs",
        formula: "as the scenario has it, or as --seed gave it",
        count: seed,
        inputs: &["seed"],
        ..PLAIN
    },
    Link {
        path: "jobs_asked/first",
        says: "number of the first job asked for",
        formula: "the least number in the column \"job\" of jobs.csv",
        count: first,
        ..PLAIN
    },
    Link {
        path: "jobs_asked/end",
        says: "number after that of the last job asked for",
        formula: "jobs in jobs.csv + jobs that could not be run, from the first on",
        count: end,
        ..PLAIN
    },
    Link {
        path: "jobs",
        says: "jobs in the figures",
        formula: "number of rows of jobs.csv",
        count: run,
        ..PLAIN
    },
    Link {
        path: "jobs_failed",
        says: "jobs that could not be run",
        formula: "jobs asked for - rows of jobs.csv",
        count: failed,
        ..PLAIN
    },
    Link {
        path: "ample",
        says: "by how much the bottles of every bank were multiplied",
        formula: "as --ample gave it; 1 without",
        count: ample,
        ..PLAIN
    },
    Link {
        path: "covered",
        says: "share of jobs that the load is to cover, 0 to 1",
        formula: "as the study has it",
        count: covered,
        inputs: &["study.covered"],
        cautioned: true,
        ..PLAIN
    },
];

fn format(_: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    format_written(crate::stock::summary::STOCK_FORMAT)
}

fn seed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    seed_of_the_scenario(ground, caught, "the jobs were run")
}

/// Least number of a job, and how many there are.
fn numbers(ground: &Ground<'_>) -> Result<(f64, f64, Term), String> {
    if ground.root.get("interrupted").and_then(Value::as_bool) == Some(true) {
        return Err("the study was interrupted before all jobs were run".to_owned());
    }
    let table = jobs(ground)?;
    let column = table.column("job")?;
    let rows: Vec<_> = table.rows.iter().collect();
    let mut least = f64::INFINITY;
    for row in &rows {
        least = least.min(column.number(row)?);
    }
    let count = rows.len() as f64;
    let term = column.of_rows("jobs", Some(count), "", &rows);
    Ok((least, count, term))
}

fn first(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (least, _, term) = numbers(ground)?;
    match ground.number("/jobs_failed")? > 0.0 {
        true => Err("jobs that could not be run are not in jobs.csv".to_owned()),
        false => Counted::of(least, 0.0, vec![term]),
    }
}

fn end(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (_, count, term) = numbers(ground)?;
    let failed = ground.number("/jobs_failed")?;
    let from = ground.number("/jobs_asked/0")?;
    Counted::of(from + count + failed, 0.0, vec![term])
}

fn run(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let table = jobs(ground)?;
    let rows: Vec<_> = table.rows.iter().collect();
    let count = rows.len() as f64;
    let term = table.column("job")?.of_rows("jobs", Some(count), "", &rows);
    Counted::of(count, 0.0, vec![term])
}

fn failed(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let (_, count, term) = numbers(ground)?;
    let asked = ground.number("/jobs_asked/1")? - ground.number("/jobs_asked/0")?;
    let terms = vec![
        program("jobs asked for", asked, "", "stock.json, jobs_asked"),
        term,
    ];
    Counted::of(asked - count, 0.0, terms)
}

fn ample(_: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    match caught.figure.value == 1.0 {
        true => Counted::of(
            1.0,
            0.0,
            vec![program(
                "banks as the scenario has them",
                1.0,
                "",
                "no --ample was given",
            )],
        ),
        false => Err("it was given when the jobs were run".to_owned()),
    }
}

fn covered(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let covered = ground.read()?.scenario.study.covered;
    let written = ground.inputs("study.covered");
    let term = match written.iter().any(|i| i.line.is_some()) {
        true => input("share covered", covered, "", "study.covered".to_owned()),
        false => Term {
            what: "share covered, where the study does not say".to_owned(),
            value: Some(covered),
            unit: String::new(),
            from: Origin::Source {
                document: "a figure of the house; no source".to_owned(),
                status: StatusWord::HouseRule,
            },
        },
    };
    Counted::of(covered, 0.0, vec![term])
}
