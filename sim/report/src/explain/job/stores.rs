//! The links of absorbent and lock runs: counted from `events.csv`, with the carbon dioxide from `ledger.csv`.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, input};
use crate::explain::table::Row;
use deepstay_core::units::FREE;
use serde_json::Value;

const CANISTERS: Link = Link {
    path: "",
    unit: "kg",
    says: "",
    formula: "",
    printed: Printed::Parts(1e3),
    count: canister,
    inputs: &[
        "spread.compartments[{compartment}].scrubber.absorbent",
        "spread.compartments[{compartment}].scrubber.capacity",
        "spread.reclaim.absorbent",
    ],
    rules: &[".absorbent."],
    cautioned: true,
};
const COUNT: Link = Link {
    unit: "",
    printed: Printed::Whole,
    count: changed,
    ..CANISTERS
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "stores/absorbent/{one}/canister_kg",
        says: "absorbent in one canister of {compartment}",
        formula: "as the spread has it",
        ..CANISTERS
    },
    Link {
        path: "stores/absorbent/{one}/changed",
        says: "canisters of {compartment} changed",
        formula: "number of such events",
        ..COUNT
    },
    Link {
        path: "stores/absorbent/{one}/kg",
        says: "absorbent used in {compartment}: the first filling and those changed",
        formula: "absorbent in a canister x (canisters changed + 1)",
        count: used,
        ..CANISTERS
    },
    Link {
        path: "stores/absorbent/{one}/mean_hours",
        unit: "h",
        says: "hours that the changed canisters of {compartment} had run, on average",
        formula: "sum of their hours / canisters changed",
        printed: Printed::Parts(1e2),
        count: mean_hours,
        ..CANISTERS
    },
    Link {
        path: "stores/absorbent/{one}/co2_mol",
        unit: "mol",
        says: "carbon dioxide taken by the absorbent of {compartment}",
        formula: "sum of the ledger's lines to it",
        count: co2,
        ..CANISTERS
    },
    Link {
        path: "stores/absorbent/{one}/co2_l_per_kg",
        unit: "L/kg",
        says: "carbon dioxide taken to each kilogram used in {compartment}, as free gas",
        formula: "carbon dioxide taken / absorbent used",
        printed: Printed::Parts(1e1),
        count: loading,
        ..CANISTERS
    },
    Link {
        path: "stores/canisters_changed",
        says: "canisters changed, all together",
        formula: "sum over the scrubbers",
        count: all_changed,
        inputs: &[],
        ..COUNT
    },
    Link {
        path: "stores/absorbent_kg",
        says: "absorbent used, all together",
        formula: "sum over the scrubbers",
        count: all_used,
        inputs: &[],
        ..CANISTERS
    },
    Link {
        path: "stores/lock_runs/{one}/runs",
        says: "runs of {lock} for: {what}",
        formula: "number of such events",
        count: lock_runs,
        inputs: &[
            "plan.routine.meals",
            "plan.routine.laundry",
            "plan.routine.stores",
            "plan.routine.stores_per_day",
        ],
        rules: &[],
        ..COUNT
    },
];

fn events<'t>(
    ground: &'t Ground<'_>,
    event: &str,
    also: &[(&str, String)],
) -> Result<Vec<&'t Row>, String> {
    let table = ground.table("events.csv")?;
    let kind = table.column("event")?;
    let mut wanted = Vec::new();
    for (head, text) in also {
        wanted.push((table.column(head)?, text));
    }
    let is = |row: &Row| {
        wanted
            .iter()
            .all(|(column, text)| column.text(row) == *text)
    };
    Ok(table.pick(|row| kind.text(row) == event && is(row)))
}

fn canister(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let name = caught.get("compartment");
    let scenario = &ground.read()?.scenario;
    let mut vessels = scenario.steel.compartments.iter();
    let vessel = vessels.find(|c| c.name == name);
    let scrubber = vessel.and_then(|c| c.scrubber);
    let kg = scrubber
        .ok_or("the spread has no such scrubber")?
        .absorbent_kg;
    let path = format!("spread.compartments[{name}].scrubber.absorbent");
    let path = match ground.inputs(&path).is_empty() {
        true => "spread.reclaim.absorbent".to_owned(),
        false => path,
    };
    Counted::of(
        kg,
        0.0,
        vec![input("absorbent in a canister", kg, "kg", path)],
    )
}

fn changes<'t>(ground: &'t Ground<'_>, caught: &Caught<'_>) -> Result<Vec<&'t Row>, String> {
    let place = [("place", caught.get("compartment"))];
    events(ground, "canister changed", &place)
}

fn changed(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let rows = changes(ground, caught)?;
    let column = ground.table("events.csv")?.column("event")?;
    let count = rows.len() as f64;
    let term = column.of_rows("canisters changed", Some(count), "", &rows);
    Counted::of(count, 0.0, vec![term])
}

fn used(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let changed = changed(ground, caught)?.value;
    // To the gram, as it is printed beside it.
    let kg = caught.number("canister_kg")?;
    let terms = vec![
        figure(
            "absorbent in a canister",
            kg,
            "kg",
            caught.beside("canister_kg"),
        ),
        figure("canisters changed", changed, "", caught.beside("changed")),
    ];
    Counted::of(kg * (changed + 1.0), 0.0006 * (changed + 1.0), terms)
}

fn mean_hours(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let rows = changes(ground, caught)?;
    let column = ground.table("events.csv")?.column("value")?;
    let mut sum = 0.0;
    for row in &rows {
        sum += column.number(row)?;
    }
    let terms = vec![
        column.of_rows("hours of the changed canisters", Some(sum), "h", &rows),
        figure(
            "canisters changed",
            rows.len() as f64,
            "",
            caught.beside("changed"),
        ),
    ];
    Counted::of(sum / rows.len() as f64, 0.6e-6, terms)
}

fn co2(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let ledger = ground.table("ledger.csv")?;
    let (record, to) = (ledger.column("record")?, ledger.column("to")?);
    let moles = ledger.column("CO2 (mol)")?;
    let place = format!("absorbent of {}", caught.get("compartment"));
    let rows = ledger.pick(|row| record.text(row) == "moved" && to.text(row) == place);
    let mut sum = 0.0;
    for row in &rows {
        sum += moles.number(row)?;
    }
    let term = moles.of_rows("carbon dioxide to it", Some(sum), "mol", &rows);
    Counted::of(sum, 0.6e-6 * rows.len() as f64, vec![term])
}

fn loading(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let (co2, used) = (co2(ground, caught)?, used(ground, caught)?);
    let litres = co2.value / FREE.mol_per_m3() * 1e3;
    let terms = vec![
        figure(
            "carbon dioxide taken",
            co2.value,
            "mol",
            caught.beside("co2_mol"),
        ),
        figure(
            "the same as free gas",
            litres,
            "L",
            caught.beside("co2_mol"),
        ),
        figure("absorbent used", used.value, "kg", caught.beside("kg")),
    ];
    let value = if used.value > 0.0 {
        litres / used.value
    } else {
        0.0
    };
    Counted::of(value, value * used.slack / used.value.max(1e-9), terms)
}

/// A sum over the scrubbers.
fn over_all(ground: &Ground<'_>, field: &str, unit: &str) -> Result<Counted, String> {
    let (mut sum, mut terms) = (0.0, Vec::new());
    for scrubber in ground.list("/stores/absorbent") {
        let name = scrubber.get("compartment").and_then(Value::as_str);
        let of = scrubber.get(field).and_then(Value::as_f64);
        let (Some(name), Some(of)) = (name, of) else {
            return Err("a scrubber has no figure".to_owned());
        };
        sum += of;
        let id = crate::explain::figures::asked(&format!("job/stores/absorbent/{name}/{field}"));
        terms.push(figure(name, of, unit, id));
    }
    Counted::of(sum, 0.0006 * terms.len() as f64, terms)
}

fn all_changed(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Ok(Counted {
        slack: 0.0,
        ..over_all(ground, "changed", "")?
    })
}

fn all_used(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    over_all(ground, "kg", "kg")
}

fn lock_runs(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let wanted = [("place", caught.get("lock")), ("of", caught.get("what"))];
    let rows = events(ground, "lock run", &wanted)?;
    let column = ground.table("events.csv")?.column("event")?;
    let count = rows.len() as f64;
    let term = column.of_rows("lock runs", Some(count), "", &rows);
    Counted::of(count, 0.0, vec![term])
}
