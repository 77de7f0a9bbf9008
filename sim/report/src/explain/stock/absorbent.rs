//! The links of absorbent aboard: the scrubbers' filling and what the study says is spare, against the posted minimum.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, input};
use serde_json::Value;

const ABOARD: Link = Link {
    path: "",
    unit: "kg",
    says: "",
    formula: "as the study has it",
    printed: Printed::Whole,
    count: spare,
    inputs: &["study.planner.spare_absorbent"],
    rules: &[],
    cautioned: true,
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "absorbent/in_scrubbers_kg",
        says: "absorbent in the scrubbers at the start: the first filling of each",
        formula: "sum over the scrubbers of the spread, the loop's among them",
        count: filling,
        inputs: &[
            "spread.compartments[*].scrubber.absorbent",
            "spread.reclaim.absorbent",
        ],
        ..ABOARD
    },
    Link {
        path: "absorbent/spare_kg",
        says: "absorbent on deck beside the scrubbers' filling",
        ..ABOARD
    },
    Link {
        path: "absorbent/in_bell_kg",
        says: "absorbent spare in the bell, which stays there",
        count: in_bell,
        inputs: &["study.planner.spare_absorbent_bell"],
        ..ABOARD
    },
    Link {
        path: "absorbent/minimum_kg",
        says: "minimum stock of absorbent in the chambers, the way home in it",
        formula: "the posted minimum",
        printed: Printed::Parts(1e3),
        count: minimum,
        inputs: &[],
        ..ABOARD
    },
    Link {
        path: "absorbent/counts_kg",
        says: "absorbent that counts towards the minimum of the chambers at the start",
        formula: "filling of the scrubbers of the chambers that are pressed + spare on deck",
        printed: Printed::Parts(1e3),
        count: counts,
        inputs: &[
            "spread.compartments[*].scrubber.absorbent",
            "study.planner.spare_absorbent",
        ],
        ..ABOARD
    },
    Link {
        path: "absorbent/canisters/{size}/kg",
        says: "absorbent in a canister of {size}",
        formula: "as the spread has it",
        count: size,
        inputs: &[
            "spread.compartments[*].scrubber.absorbent",
            "spread.reclaim.absorbent",
        ],
        ..ABOARD
    },
    Link {
        path: "absorbent/canisters/{size}/scrubbers",
        unit: "scrubbers",
        says: "scrubbers that take a canister of {size}",
        formula: "number of them in the spread, the loop's among them",
        count: scrubbers,
        inputs: &[
            "spread.compartments[*].scrubber.absorbent",
            "spread.reclaim.absorbent",
        ],
        ..ABOARD
    },
    Link {
        path: "absorbent/canisters/{size}/spare_fills",
        unit: "canisters",
        says: "canisters of {size} that the spare on deck fills, were all of it for this size",
        formula: "spare on deck / absorbent in a canister, whole canisters",
        count: fills,
        ..ABOARD
    },
];

/// The scrubbers of the spread: whose, and what is in the canister, kg.
fn fitted(ground: &Ground<'_>) -> Result<Vec<(String, f64)>, String> {
    let compartments = &ground.read()?.scenario.steel.compartments;
    let of = |c: &deepstay_plant::Compartment| Some((c.name.clone(), c.scrubber?.absorbent_kg));
    Ok(compartments.iter().filter_map(of).collect())
}

fn filling(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let all = fitted(ground)?;
    let sum = all.iter().map(|(_, kg)| kg).sum();
    let path = |name: &str| format!("spread.compartments[{name}].scrubber.absorbent");
    let term =
        |(name, kg): &(String, f64)| input(format!("scrubber of {name}"), *kg, "kg", path(name));
    Counted::of(sum, 1e-9, all.iter().map(term).collect())
}

fn spare(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let planner = &ground.read()?.scenario.study.planner;
    let kg = planner
        .spare_absorbent_kg
        .ok_or("the study does not say what is spare")?;
    let path = "study.planner.spare_absorbent".to_owned();
    Counted::of(kg, 0.0, vec![input("spare on deck", kg, "kg", path)])
}

fn in_bell(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let kg = ground
        .read()?
        .scenario
        .study
        .planner
        .spare_absorbent_bell_kg;
    let path = "study.planner.spare_absorbent_bell".to_owned();
    Counted::of(kg, 0.0, vec![input("spare in the bell", kg, "kg", path)])
}

/// A figure of the posted minimum of absorbent in the chambers.
fn posted(ground: &Ground<'_>, field: &str) -> Result<Counted, String> {
    const OF: &str = "absorbent in the chambers";
    let of = |row: &&Value| row.get("of").and_then(Value::as_str) == Some(OF);
    let Some(row) = ground.list("/posted").iter().find(of) else {
        return Counted::of(0.0, 0.0, Vec::new());
    };
    let value = row.get(field).and_then(Value::as_f64);
    let value = value.ok_or("the posted minimum has no such figure")?;
    let id = crate::explain::figures::asked(&format!("stock/posted/{OF}/{field}"));
    Counted::of(value, 0.0, vec![figure(OF, value, "kg", id)])
}

fn minimum(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    posted(ground, "minimum")
}

fn counts(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    posted(ground, "held_at_start")
}

/// The scrubbers that take the canister of a row.
fn of_size(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Vec<(String, f64)>, String> {
    let name = caught.get("size");
    let mut all = fitted(ground)?;
    all.retain(|(_, kg)| format!("{} kg", deepstay_core::units::fixed_short(*kg)) == name);
    Ok(all)
}

fn size(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let all = of_size(ground, caught)?;
    let (name, kg) = all.first().ok_or("no scrubber takes this size")?;
    let path = format!("spread.compartments[{name}].scrubber.absorbent");
    Counted::of(
        *kg,
        0.0,
        vec![input(format!("scrubber of {name}"), *kg, "kg", path)],
    )
}

fn scrubbers(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let all = of_size(ground, caught)?;
    let path = |name: &str| format!("spread.compartments[{name}].scrubber.absorbent");
    let term =
        |(name, _): &(String, f64)| input(format!("scrubber of {name}"), 1.0, "", path(name));
    Counted::of(all.len() as f64, 0.0, all.iter().map(term).collect())
}

fn fills(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let spare = ground.number("/absorbent/spare_kg")?;
    let kg = caught.number("kg")?;
    let terms = vec![
        figure(
            "spare on deck",
            spare,
            "kg",
            "stock/absorbent/spare_kg".to_owned(),
        ),
        figure("a canister", kg, "kg", caught.beside("kg")),
    ];
    Counted::of((spare / kg + 1e-9).floor(), 0.0, terms)
}
