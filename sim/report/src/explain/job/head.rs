//! The links of a job's head: when it ended, and how much was looked at and written down.

use crate::explain::ground::Ground;
use crate::explain::link::{
    Caught, Counted, Link, Printed, figure, format_written, seed_of_the_scenario,
};

const PLAIN: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "counted by the program while the job ran",
    printed: Printed::Whole,
    count: not_kept,
    inputs: &[],
    rules: &[],
    cautioned: false,
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "format",
        says: "version of the shape of job.json",
        formula: "the version that this program writes",
        count: format,
        ..PLAIN
    },
    Link {
        path: "seed",
        says: "seed of every draw of the job",
        formula: "as the scenario has it, or as --seed gave it",
        count: seed,
        inputs: &["seed"],
        ..PLAIN
    },
    Link {
        path: "ended_s",
        unit: "s",
        says: "last second of the job, from its start",
        formula: "the second of the event \"end\"",
        count: ended_s,
        inputs: &["plan.end"],
        cautioned: true,
        ..PLAIN
    },
    Link {
        path: "ended_hour",
        unit: "h",
        says: "last second of the job in hours from its start",
        formula: "last second / 3600",
        printed: Printed::Parts(1e2),
        count: ended_hour,
        inputs: &["plan.end"],
        cautioned: true,
        ..PLAIN
    },
    Link {
        path: "from_present/at_s",
        unit: "s",
        says: "second at which the job was taken up from a present, from its start",
        formula: "the second of the event \"taken up from a present\"",
        count: taken_up,
        cautioned: true,
        ..PLAIN
    },
    Link {
        path: "seconds_evaluated",
        unit: "s",
        says: "seconds of plant time that were evaluated one by one",
        ..PLAIN
    },
    Link {
        path: "entries",
        says: "entries that the run gave",
        ..PLAIN
    },
    Link {
        path: "left_out",
        says: "entries that were counted and not kept one by one",
        ..PLAIN
    },
];

fn not_kept(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let job = ground.text("/scenario").unwrap_or("the job");
    Err(format!(
        "no file keeps what was counted; the same job ({job}, same seed) run again gives the same figure"
    ))
}

fn format(_: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    format_written(crate::job::summary::JOB_FORMAT)
}

fn seed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    seed_of_the_scenario(ground, caught, "the job was run")
}

fn ended_s(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    second_of(ground, "end")
}

fn taken_up(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    second_of(ground, "taken up from a present")
}

/// The second of an event that comes once.
fn second_of(ground: &Ground<'_>, of: &str) -> Result<Counted, String> {
    let events = ground.table("events.csv")?;
    let (event, from) = (events.column("event")?, events.column("from (s)")?);
    let rows = events.pick(|row| event.text(row) == of);
    let [row] = rows.as_slice() else {
        return Err(format!(
            "events.csv has {} rows \"{of}\", not one",
            rows.len()
        ));
    };
    let at = from.number(row)?;
    Counted::of(at, 0.0, vec![from.term(of, at, "s", row)])
}

fn ended_hour(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let end = ended_s(ground, caught)?;
    let term = figure("last second", end.value, "s", caught.beside("ended_s"));
    Counted::of(end.value / 3600.0, 0.0, vec![term])
}
