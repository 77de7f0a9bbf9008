//! The links of hours and limits: what the judge of working time found, from `working.csv`, and each diver's hours, from
//! `divers.csv`.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed};
use crate::explain::table::{Row, Table};

const NEAREST: Link = Link {
    path: "",
    unit: "h",
    says: "",
    formula: "of the rows of working.csv of that question the one with least left",
    printed: Printed::Whole,
    count: answer,
    inputs: &["plan.rota", "plan.bell_runs", "crew.divers"],
    rules: &[],
    cautioned: true,
};
const HIS: Link = Link {
    formula: "his row of working.csv, where he came nearest to the limit",
    count: his,
    ..NEAREST
};
const HOURS: Link = Link {
    formula: "his row of divers.csv",
    printed: Printed::Parts(1e2),
    count: of_diver,
    inputs: &["plan.rota", "plan.bell_runs", "plan.levels"],
    ..NEAREST
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "working_time/answers/{of}/figures/found_h",
        says: "what was found of {question} where it came nearest to the limit, or furthest past it",
        ..NEAREST
    },
    Link {
        path: "working_time/answers/{of}/figures/allowed_h",
        says: "what is allowed of {question} there, by {rule}",
        ..NEAREST
    },
    Link {
        path: "working_time/answers/{of}/figures/left_h",
        says: "what is left to the limit of {question} there, below nothing where it is broken",
        ..NEAREST
    },
    Link {
        path: "working_time/answers/{of}/figures/found",
        unit: "",
        says: "what was found of {question} where it came nearest to the limit, or furthest past it",
        ..NEAREST
    },
    Link {
        path: "working_time/answers/{of}/figures/allowed",
        unit: "",
        says: "what is allowed of {question} there, by {rule}",
        ..NEAREST
    },
    Link {
        path: "working_time/answers/{of}/figures/left",
        unit: "",
        says: "what is left to the limit of {question} there, below nothing where it is broken",
        ..NEAREST
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/found_h",
        says: "what was found of {question} of {diver}",
        ..HIS
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/allowed_h",
        says: "what is allowed of {question} there, by {rule}",
        ..HIS
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/left_h",
        says: "what is left to the limit of {question} of {diver}, below nothing where it is broken",
        ..HIS
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/found",
        unit: "",
        says: "what was found of {question} of {diver}",
        ..HIS
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/allowed",
        unit: "",
        says: "what is allowed of {question} there, by {rule}",
        ..HIS
    },
    Link {
        path: "divers/{diver}/limits/{of}/figures/left",
        unit: "",
        says: "what is left to the limit of {question} of {diver}, below nothing where it is broken",
        ..HIS
    },
    Link {
        path: "divers/{diver}/under_pressure_h",
        says: "time of {diver} under pressure",
        ..HOURS
    },
    Link {
        path: "divers/{diver}/in_bell_and_water_h",
        says: "time of {diver} in the bell and in the water",
        ..HOURS
    },
    Link {
        path: "divers/{diver}/in_water_h",
        says: "time of {diver} in the water",
        ..HOURS
    },
    Link {
        path: "divers/{diver}/bell_runs",
        unit: "",
        says: "bell runs of {diver}",
        printed: Printed::Whole,
        ..HOURS
    },
    Link {
        path: "divers/{diver}/longest_in_bell_and_water_h",
        says: "longest time of {diver} in bell and water",
        ..HOURS
    },
    Link {
        path: "divers/{diver}/shortest_rest_h",
        says: "shortest rest of {diver} between two runs",
        ..HOURS
    },
];

/// The column of `working.csv` of a figure, by its last name.
fn head(figure: &str) -> &'static str {
    match figure.trim_end_matches("_h") {
        "found" => "found",
        "allowed" => "allowed",
        _ => "left (below nothing where it is broken)",
    }
}

fn last<'c>(caught: &'c Caught<'_>) -> &'c str {
    caught.figure.names.last().map_or("", String::as_str)
}

/// The figure of a row, with the rule row that the row names.
fn of_row(table: &Table, row: &Row, caught: &Caught<'_>) -> Result<Counted, String> {
    let name = last(caught);
    let column = table.column(head(name))?;
    let value = column.number(row)?;
    let unit = if name.ends_with("_h") { "h" } else { "" };
    let who = table.column("diver (initials)")?.text(row);
    let rule = table.column("rule row")?.text(row);
    let what = format!(
        "{} of {}",
        head(name),
        if who.is_empty() { "the log" } else { who }
    );
    let rules = rule.split('#').next().map(str::to_owned);
    Ok(Counted {
        rules: rules.into_iter().collect(),
        ..Counted::of(value, 0.0, vec![column.term(what, value, unit, row)])?
    })
}

/// Rows of a question with figures.
fn asked<'t>(table: &'t Table, question: &str) -> Result<Vec<&'t Row>, String> {
    let (of, found) = (table.column("question")?, table.column("found")?);
    Ok(table.pick(|row| of.text(row) == question && !found.text(row).is_empty()))
}

fn answer(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("working.csv")?;
    let left = table.column(head("left"))?;
    let mut nearest: Option<(&Row, f64)> = None;
    for row in asked(table, &caught.get("question"))? {
        let here = left.number(row)?;
        if nearest.is_none_or(|(_, least)| here < least) {
            nearest = Some((row, here));
        }
    }
    let (row, _) = nearest.ok_or("working.csv does not hold it")?;
    of_row(table, row, caught)
}

fn his(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("working.csv")?;
    let (who, name) = (table.column("diver (initials)")?, caught.get("diver"));
    let rows = asked(table, &caught.get("question"))?;
    let row = rows.into_iter().find(|row| who.text(row) == name);
    of_row(table, row.ok_or("working.csv does not hold it")?, caught)
}

fn of_diver(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("divers.csv")?;
    let (who, name) = (table.column("diver (initials)")?, caught.get("diver"));
    let (head, unit) = match last(caught) {
        "under_pressure_h" => ("under pressure (h)", "h"),
        "in_bell_and_water_h" => ("in bell and water (h)", "h"),
        "in_water_h" => ("in water (h)", "h"),
        "longest_in_bell_and_water_h" => ("longest in bell and water (h)", "h"),
        "shortest_rest_h" => ("shortest rest between runs (h)", "h"),
        _ => ("bell runs", ""),
    };
    let column = table.column(head)?;
    let rows = table.pick(|row| who.text(row) == name);
    let row = rows.first().ok_or("divers.csv does not hold him")?;
    let value = column.number(row)?;
    let slack = if unit.is_empty() { 0.0 } else { 0.0051 };
    Counted::of(value, slack, vec![column.term(head, value, unit, row)])
}
