//! The links of what is held, what must be held and what is to be loaded.

use crate::explain::chain::Term;
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, input, program};
use crate::explain::table::{Column, Row, Table};
use crate::stock::words::gas_name;
use deepstay_core::units::{BAR_PA, FREE, Units};
use deepstay_scenario::{JobTexts, Patch, To};
use deepstay_stock::{Basis, Ensemble, floors, gases, reserve, reserve_inputs};
use serde_json::{Value, json};

const HELD: Link = Link {
    path: "",
    unit: "m3 of free gas",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: loaded,
    inputs: &["stock.banks[*].bottles"],
    rules: &[],
    cautioned: true,
};
const LOAD: Link = Link {
    unit: "",
    inputs: &["study.supplier"],
    ..HELD
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "gases/{gas}/loaded_m3_free",
        says: "what is held in the banks of {gas} at the start",
        formula: "real gas (density virial) of its bottles at their fill: the first day of days.csv",
        ..HELD
    },
    Link {
        path: "gases/{gas}/loaded_by_hand_m3",
        unit: "m3",
        says: "the same of {gas} by hand",
        formula: "sum over its banks: gauge (bar) x floodable volume",
        count: by_hand,
        ..HELD
    },
    Link {
        path: "gases/{gas}/minimum_m3_free",
        says: "the highest minimum that {gas} alone is held against, with what cannot be drawn",
        formula: "minimum of the rule row + what cannot be drawn below the change-over pressure; only minimums that the stock meets at the start",
        count: minimum_of_gas,
        ..HELD
    },
    Link {
        path: "gases/{gas}/cannot_be_drawn_m3_free",
        says: "what cannot be drawn of {gas}: below the change-over pressure (heel)",
        formula: "real gas of its banks at the change-over pressure",
        count: heel,
        ..HELD
    },
    // Of both lists: the minimums of the first set, and what is posted.
    Link {
        path: "{list}/{of}/minimum",
        unit: "{unit}",
        says: "minimum stock of {of} ({list}), by rule set {rule_set}",
        formula: "sum of that set's rows that count: of several against the same event the largest; posted is the greatest that a rule set asked for wants",
        count: minimum,
        inputs: &[
            "spread.compartments[*].volume",
            "site.working_depth",
            "crew.divers",
        ],
        ..HELD
    },
    Link {
        path: "{list}/{of}/way_home",
        unit: "{unit}",
        says: "what of the minimum of {of} ({list}) is for the way home, to end the dive and bring everybody to the surface",
        formula: "sum of the rows home that count",
        count: way_home,
        inputs: &["plan.levels", "crew.divers"],
        ..HELD
    },
    Link {
        path: "{list}/{of}/held_at_start",
        unit: "{unit}",
        says: "what is held of {of} at the start ({list}), above the change-over pressure",
        formula: "as reserve.csv has it beside the rows",
        count: held,
        ..HELD
    },
    Link {
        path: "load/{item}/count",
        says: "units of {item} to load, for whichever gas",
        formula: "sum over the rows of load.csv",
        count: units,
        ..LOAD
    },
    Link {
        path: "load/{item}/mass_full_kg",
        unit: "kg",
        says: "mass of all units of {item}, full",
        formula: "sum over the rows of load.csv",
        count: mass,
        ..LOAD
    },
    Link {
        path: "load/{item}/price",
        unit: "{currency}",
        says: "price of all units of {item}",
        formula: "sum over the rows of load.csv",
        count: price,
        ..LOAD
    },
];

/// The column of an amount of gas, and what one of it is in cubic metres.
fn gas_column<'t>(table: &'t Table, head: &str) -> Result<(Column<'t>, f64), String> {
    for units in [Units::Metric, Units::Imperial] {
        let scale = units.free_scale();
        if let Ok(column) = table.column(&format!("{head} ({})", scale.plain)) {
            return Ok((column, 1.0 / scale.of(FREE.mol_per_m3())));
        }
    }
    table.column_of(head).map(|column| (column, 1.0))
}

fn loaded(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("days.csv")?;
    let (gas, day) = (table.column("gas")?, table.column("end of day")?);
    let (least, m3) = gas_column(table, "least")?;
    let name = caught.get("gas");
    let rows = table.pick(|row| gas.text(row) == name && day.text(row) == "0");
    let row = rows.first().ok_or("days.csv does not hold it")?;
    let value = least.number(row)? * m3;
    let term = least.term("at the start", value, "m3 free", row);
    Counted::of(value, 0.0051 * m3, vec![term])
}

/// What is known of the gases of the scenario, made again by its own files: minimums and what cannot be drawn.
fn again(ground: &Ground<'_>) -> Result<Value, String> {
    ground.read()?;
    let told = |bad: deepstay_scenario::Diagnostics| {
        bad.all
            .first()
            .map_or_else(String::new, ToString::to_string)
    };
    let job = ground.text("/made_from/0/file").unwrap_or_default();
    let texts = JobTexts::open(job, None).map_err(told)?;
    let mut set = Vec::new();
    for text in ground.list("/set").iter().filter_map(Value::as_str) {
        let (path, to) = text.split_once('=').ok_or("what was set cannot be read")?;
        set.push(Patch {
            path: path.to_owned(),
            to: To::Text(to.to_owned()),
        });
    }
    let ample = ground.number("/ample")?;
    let ensemble = Ensemble::new(texts, set, None, ample).map_err(told)?;
    let table = ground.table("reserve.csv")?;
    let sets = table.column("rule set")?;
    let named: Vec<String> = table
        .rows
        .first()
        .map(|r| sets.text(r).to_owned())
        .into_iter()
        .collect();
    let basis = Basis::of_scenario(job).reserve(&match named.first() {
        Some(set) if *set == ensemble.base.rules.name => Vec::new(),
        _ => named,
    });
    let sets = basis.rule_sets(&ensemble.base).map_err(|e| e.to_string())?;
    let set = sets.first().unwrap_or(&ensemble.base.rules);
    let inputs = reserve_inputs(&ensemble.base.study.planner);
    let sheet = reserve::sheet(&ensemble.base, set, &inputs);
    let floors = floors(&ensemble, &sheet, &inputs);
    let each = ensemble.gases.iter().enumerate().map(|(i, gas)| {
        // A minimum that other gases serve as well is held against none of them alone.
        let alone = |t: &&reserve::Total| {
            sheet
                .held(t.holding)
                .is_some_and(|h| h.gases == [gas.clone()])
        };
        let rules: Vec<&str> = sheet
            .totals
            .iter()
            .filter(alone)
            .flat_map(reserve::Total::rules)
            .collect();
        let of = json!({
            "minimum": floors.of_gas(i) / FREE.mol_per_m3(),
            "heel": floors.heel(i) / FREE.mol_per_m3(),
            "rules": rules,
        });
        (gas_name(gas), of)
    });
    Ok(Value::Object(each.collect()))
}

fn of_gas(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    field: &str,
    what: &str,
) -> Result<Counted, String> {
    let made = ground.again(again)?;
    let found = made.get(caught.get("gas")).and_then(|gas| gas.get(field));
    let value = found
        .and_then(Value::as_f64)
        .ok_or("the scenario has no such gas")?;
    let from = "calculated anew from the scenario and the rule set";
    Counted::of(value, 0.0, vec![program(what, value, "m3 free", from)])
}

fn minimum_of_gas(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let what = "minimum with what cannot be drawn";
    let counted = of_gas(ground, caught, "minimum", what)?;
    let made = ground.again(again)?;
    let rules = made
        .get(caught.get("gas"))
        .and_then(|gas| gas["rules"].as_array());
    let ids = rules.into_iter().flatten().filter_map(Value::as_str);
    Ok(Counted {
        rules: ids.map(str::to_owned).collect(),
        ..counted
    })
}

fn heel(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    of_gas(ground, caught, "heel", "what cannot be drawn")
}

fn by_hand(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let steel = &ground.read()?.scenario.steel;
    let ample = ground.number("/ample")?;
    let name = caught.get("gas");
    let (mut sum, mut terms) = (0.0, Vec::new());
    for gas in gases(steel).iter().filter(|g| gas_name(g) == name) {
        for bank in gas.banks_of(steel) {
            let m3 = bank.fill_gauge_pa / BAR_PA * bank.volume_m3 * ample;
            sum += m3;
            let path = format!("stock.banks[{}].bottles", bank.name);
            terms.push(input(format!("bank {}", bank.name), m3, "m3", path));
        }
    }
    Counted::of(sum, 1e-9, terms)
}

/// The rows of `reserve.csv` of a holding, by the rule set of the figure.
fn of_holding<'t>(table: &'t Table, caught: &Caught<'_>) -> Result<Vec<&'t Row>, String> {
    let (of, name) = (table.column("of")?, caught.get("of"));
    let (set, mine) = (table.column("rule set")?, caught.get("rule_set"));
    Ok(table.pick(|row| of.text(row) == name && set.text(row) == mine))
}

/// What one of a row is in the unit of the summary, and what its rounding can do in the table's.
fn unit_of(table: &Table, row: &Row) -> Result<(f64, f64), String> {
    let unit = table.column("unit")?.text(row);
    let metric = Units::Metric.free_scale();
    let imperial = Units::Imperial.free_scale();
    Ok(match unit {
        u if u == imperial.plain => (metric.of(1.0) / imperial.of(1.0), 0.051),
        _ => (1.0, 0.0051),
    })
}

fn minimum(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    summed(ground, caught, |_| true)
}

fn way_home(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    summed(ground, caught, |row| row.starts_with("home."))
}

fn summed(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    is: fn(&str) -> bool,
) -> Result<Counted, String> {
    let table = ground.table("reserve.csv")?;
    let (id, amount) = (table.column("row")?, table.column("amount")?);
    let counting = caught.figure.rows.last().and_then(|row| row.get("rules"));
    let counting = counting
        .and_then(Value::as_array)
        .ok_or("the row names no rule rows")?;
    let (mut sum, mut slack, mut terms) = (0.0, 0.0, Vec::new());
    for row in of_holding(table, caught)? {
        let counts = counting.iter().any(|c| c.as_str() == Some(id.text(row)));
        if counts && is(id.text(row)) {
            let (one, half) = unit_of(table, row)?;
            let value = amount.number(row)? * one;
            sum += value;
            slack += half * one;
            terms.push(amount.term(sourced(table, row)?, value, &caught.get("unit"), row));
        }
    }
    let rules = counting.iter().filter_map(|c| Some(c.as_str()?.to_owned()));
    let rules = rules.filter(|c| !c.starts_with("home."));
    Ok(Counted {
        rules: rules.collect(),
        ..Counted::of(sum, slack, terms)?
    })
}

/// A rule row of `reserve.csv` with formula, inputs, source and status.
fn sourced(table: &Table, row: &Row) -> Result<String, String> {
    let text = |head: &str| table.column(head).map(|c| c.text(row).to_owned());
    Ok(format!(
        "{}: {}, {} [{}; {}]",
        text("row")?,
        text("formula")?,
        text("inputs")?,
        text("document")?,
        text("status")?
    ))
}

fn held(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let table = ground.table("reserve.csv")?;
    let held = table.column("held")?;
    let rows = of_holding(table, caught)?;
    let row = rows.first().ok_or("reserve.csv does not hold it")?;
    let (one, half) = unit_of(table, row)?;
    let value = held.number(row)? * one;
    let term = held.term("held", value, &caught.get("unit"), row);
    Counted::of(value, half * one, vec![term])
}

fn over_items(
    ground: &Ground<'_>,
    caught: &Caught<'_>,
    begins: &str,
    slack: f64,
) -> Result<Counted, String> {
    let table = ground.table("load.csv")?;
    let (gas, item) = (table.column("gas")?, table.column("item")?);
    let (o2, column) = (table.column("oxygen (%)")?, table.column_of(begins)?);
    let name = caught.get("item");
    let (mut sum, mut terms): (f64, Vec<Term>) = (0.0, Vec::new());
    for row in &table.rows {
        // What is mixed to order is told with its mixture.
        let mixed = match o2.maybe(row) {
            Ok(Some(percent)) => format!("{}: {percent:.1} % O2", item.text(row)),
            _ => String::new(),
        };
        let is = item.text(row) == name || !mixed.is_empty() && name.starts_with(&mixed);
        if is {
            let value = column.number(row)?;
            sum += value;
            terms.push(column.term(gas.text(row), value, "", row));
        }
    }
    if terms.is_empty() {
        return Err("load.csv has no such item".to_owned());
    }
    Counted::of(sum, slack * terms.len() as f64, terms)
}

fn units(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over_items(ground, caught, "count", 0.0)
}

fn mass(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over_items(ground, caught, "mass full of all (kg)", 0.051)
}

fn price(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    over_items(ground, caught, "price of all (", 0.0051)
}
