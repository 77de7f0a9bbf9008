//! The links of what happened: limits crossed and values that called for attention, people unwell, decompressions,
//! waits on weather and orders refused; counted from `events.csv`, a row an event.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, program};
use crate::explain::table::{Column, Row, Table};

const OUTSIDE: Link = Link {
    path: "",
    unit: "{unit}",
    says: "",
    formula: "",
    printed: Printed::Parts(1e6),
    count: limit,
    inputs: &[],
    rules: &[],
    cautioned: true,
};
const LIMIT_SAYS: &str =
    "the value past which {compartment} {quantity} is too {side} ({severity}, by what was {by})";
const FURTHEST_SAYS: &str =
    "{compartment} {quantity} at its furthest past the {side} limit ({severity}, by what was {by})";
const TIMES_SAYS: &str =
    "how often {compartment} {quantity} was too {side} ({severity}, by what was {by})";
const MINUTES_SAYS: &str =
    "how long {compartment} {quantity} was too {side} ({severity}, by what was {by})";
const LIMIT_IS: &str = "as the rule row or the rating has it, in the last of its events";
const FURTHEST_IS: &str = "the furthest of the values of its events";
const TIMES_IS: &str = "number of its events";
const MINUTES_IS: &str =
    "sum of the lengths of its events; what lasted at the end is counted to the end";

/// The four figures of a list of limits.
macro_rules! outside {
    ($list:literal) => {
        [
            Link {
                path: concat!($list, "/{one}/limit"),
                says: LIMIT_SAYS,
                formula: LIMIT_IS,
                ..OUTSIDE
            },
            Link {
                path: concat!($list, "/{one}/furthest"),
                says: FURTHEST_SAYS,
                formula: FURTHEST_IS,
                count: furthest,
                ..OUTSIDE
            },
            Link {
                path: concat!($list, "/{one}/times"),
                unit: "",
                says: TIMES_SAYS,
                formula: TIMES_IS,
                printed: Printed::Whole,
                count: times,
                ..OUTSIDE
            },
            Link {
                path: concat!($list, "/{one}/minutes_outside"),
                unit: "min",
                says: MINUTES_SAYS,
                formula: MINUTES_IS,
                printed: Printed::Parts(1e2),
                count: minutes,
                ..OUTSIDE
            },
        ]
    };
}

pub(super) const CROSSED: &[Link] = &outside!("limits_crossed");
pub(super) const ATTENTIONS: &[Link] = &outside!("attentions");

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "people_unwell/{diver}/from_s",
        unit: "s",
        says: "when the worst state of {diver} began (true; display and training only)",
        formula: "the first of the diver's events with that state",
        printed: Printed::Whole,
        count: worst_from,
        inputs: &["harm"],
        ..OUTSIDE
    },
    Link {
        path: "people_unwell/{diver}/changes",
        unit: "",
        says: "how often the state of {diver} changed (true; display and training only)",
        formula: "number of the diver's events",
        printed: Printed::Whole,
        count: changes,
        inputs: &["harm"],
        ..OUTSIDE
    },
    Link {
        path: "decompressions/{one}/hours",
        unit: "h",
        says: "length of the decompression of {compartment} that began at {from}",
        formula: "end of the phase - its beginning",
        printed: Printed::Parts(1e2),
        count: decompression,
        inputs: &["plan.levels[*].steps[*]"],
        rules: &[".decompression."],
        ..OUTSIDE
    },
    Link {
        path: "weather_stop_h",
        unit: "h",
        says: "time waiting on weather: the sea above the launch limit",
        formula: "sum of the waits; what lasted at the end is counted to the end",
        printed: Printed::Parts(1e2),
        count: weather,
        inputs: &["site.launch_limit", "site.weather"],
        ..OUTSIDE
    },
    Link {
        path: "work/{task}/needed_h",
        unit: "h",
        says: "time in the water that {task} takes with all its divers at it",
        formula: "as the work list has it",
        printed: Printed::Whole,
        count: needed,
        inputs: &["work.tasks[*].in_water"],
        ..OUTSIDE
    },
    Link {
        path: "work/{task}/had_h",
        unit: "h",
        says: "time in the water that {task} had",
        formula: "sum of the runs' work at it: what their divers had in the water, dealt out in the order of the list as far as the divers can do it and what comes before is done, in seconds; / 3600",
        printed: Printed::Whole,
        count: had,
        inputs: &["work.tasks[*]"],
        ..OUTSIDE
    },
    Link {
        path: "orders_refused",
        unit: "",
        says: "orders that were refused",
        formula: "number of such events",
        printed: Printed::Whole,
        count: refused,
        ..OUTSIDE
    },
];

/// The events and their columns.
struct Events<'t> {
    table: &'t Table,
    event: Column<'t>,
    place: Column<'t>,
    of: Column<'t>,
    from: Column<'t>,
    clock: Column<'t>,
    to: Column<'t>,
    end_s: f64,
}

impl<'t> Events<'t> {
    fn of(ground: &'t Ground<'_>) -> Result<Events<'t>, String> {
        let table = ground.table("events.csv")?;
        Ok(Events {
            table,
            event: table.column("event")?,
            place: table.column("place")?,
            of: table.column("of")?,
            from: table.column("from (s)")?,
            clock: table.column("from (vessel time)")?,
            to: table.column("to (s)")?,
            end_s: ground.number("/ended_s")?,
        })
    }

    fn picked(&self, event: &str, also: impl Fn(&Row) -> bool) -> Vec<&'t Row> {
        self.table
            .pick(|row| self.event.text(row) == event && also(row))
    }

    /// How long an event lasted, s, counted to the end where it lasts still.
    fn lasted_s(&self, row: &Row) -> Result<f64, String> {
        Ok(self.to.maybe(row)?.unwrap_or(self.end_s) - self.from.number(row)?)
    }

    /// When it began, for a reader.
    fn began(&self, row: &Row) -> String {
        format!("from {}", self.clock.text(row))
    }

    /// The lengths of events, added up and told one by one.
    fn lengths(&self, rows: &[&Row], unit: &str, unit_s: f64) -> Result<Counted, String> {
        let (mut sum_s, mut terms) = (0.0, Vec::new());
        for row in rows {
            let lasted_s = self.lasted_s(row)?;
            sum_s += lasted_s;
            let column = self.to;
            terms.push(column.term(self.began(row), lasted_s / unit_s, unit, row));
        }
        Counted::of(sum_s / unit_s, 0.0, terms)
    }
}

/// The events of the row of limits that a figure is in.
fn outside<'t>(events: &Events<'t>, caught: &Caught<'_>) -> Result<Vec<&'t Row>, String> {
    let named = [
        ("place", "compartment"),
        ("of", "quantity"),
        ("side", "side"),
        ("severity", "severity"),
        ("by", "by"),
    ];
    let mut wanted = Vec::new();
    for (column, field) in named {
        wanted.push((events.table.column(column)?, caught.get(field)));
    }
    let is = |row: &Row| wanted.iter().all(|(column, text)| column.text(row) == text);
    let rows = events.picked("outside a limit", is);
    match rows.is_empty() {
        true => Err("events.csv has no such event".to_owned()),
        false => Ok(rows),
    }
}

/// With the rule rows that the events name.
fn ruled(events: &Events<'_>, rows: &[&Row], counted: Counted) -> Result<Counted, String> {
    let rule = events.table.column("rule row")?;
    let mut rules: Vec<String> = rows.iter().map(|r| rule.text(r).to_owned()).collect();
    rules.sort();
    rules.dedup();
    Ok(Counted { rules, ..counted })
}

fn limit(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = outside(&events, caught)?;
    let column = events.table.column("limit")?;
    let last = rows.last().ok_or("no event")?;
    let value = column.number(last)?;
    let term = column.term(events.began(last), value, &caught.get("unit"), last);
    ruled(&events, &rows, Counted::of(value, 0.0, vec![term])?)
}

fn furthest(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = outside(&events, caught)?;
    let column = events.table.column("value")?;
    let low = caught.get("side") == "low";
    let mut best: Option<(f64, &Row)> = None;
    for row in &rows {
        let value = column.number(row)?;
        let further = best.is_none_or(|(so_far, _)| match low {
            true => value < so_far,
            false => value > so_far,
        });
        if further {
            best = Some((value, row));
        }
    }
    let (value, row) = best.ok_or("no event")?;
    let term = column.term(
        format!("the furthest of {}, {}", rows.len(), events.began(row)),
        value,
        &caught.get("unit"),
        row,
    );
    ruled(&events, &rows, Counted::of(value, 0.0, vec![term])?)
}

fn counted(column: Column<'_>, what: &str, rows: &[&Row]) -> Result<Counted, String> {
    let count = rows.len() as f64;
    Counted::of(
        count,
        0.0,
        vec![column.of_rows(what, Some(count), "", rows)],
    )
}

fn times(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = outside(&events, caught)?;
    ruled(&events, &rows, counted(events.event, "events", &rows)?)
}

fn minutes(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = outside(&events, caught)?;
    ruled(&events, &rows, events.lengths(&rows, "min", 60.0)?)
}

fn of_diver<'t>(events: &Events<'t>, caught: &Caught<'_>) -> Vec<&'t Row> {
    let diver = caught.get("diver");
    events.picked("state of a diver", |row| events.place.text(row) == diver)
}

fn worst_from(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let worst = caught.get("worst");
    let rows = of_diver(&events, caught);
    let first = rows.iter().find(|row| events.of.text(row) == worst);
    let first = first.ok_or("events.csv has no such event")?;
    let from = events.from.number(first)?;
    let term = events.from.term(events.began(first), from, "s", first);
    Counted::of(from, 0.0, vec![term])
}

fn changes(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    counted(events.event, "changes", &of_diver(&events, caught))
}

fn decompression(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let (chamber, from) = (caught.get("compartment"), caught.get("from"));
    let rows = events.picked("phase", |row| {
        events.place.text(row) == chamber
            && events.clock.text(row) == from
            && events.of.text(row) == "decompression"
    });
    match rows.as_slice() {
        [_] => events.lengths(&rows, "h", 3600.0),
        rows => Err(format!(
            "events.csv has {} such phases, not one",
            rows.len()
        )),
    }
}

fn weather(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = events.picked("waiting on weather", |_| true);
    events.lengths(&rows, "h", 3600.0)
}

fn needed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let name = caught.get("task");
    let tasks = &ground.read()?.scenario.work.tasks;
    let task = tasks.iter().find(|t| t.name == name);
    let hours = task.ok_or("the scenario has no such task")?.in_water_s as f64 / 3600.0;
    let term = program("in the work list", hours, "h", "the scenario");
    Counted::of(hours, 1e-9, vec![term])
}

fn had(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let name = caught.get("task");
    let rows = events.picked("work", |row| events.of.text(row) == name);
    let column = events.table.column("value")?;
    let (mut sum, mut terms) = (0.0, Vec::new());
    for row in &rows {
        let seconds = column.number(row)?;
        sum += seconds;
        terms.push(column.term(events.began(row), seconds, "s", row));
    }
    Counted::of(sum / 3600.0, 1e-9, terms)
}

fn refused(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let events = Events::of(ground)?;
    let rows = events.picked("order refused", |_| true);
    counted(events.event, "orders refused", &rows)
}
