//! The links of what the judge says: margins of rules and breaches, sleepiness. The judge reads `rota.csv` anew, under
//! the rule set that `rota.json` names.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, program};
use crate::rota::known::RotaPapers;
use crate::rota::summary::RotaSummary;
use crate::subject::Subject;
use deepstay_core::units::Units;
use deepstay_rota::{Appraisal, Asked, JudgedBy, table};
use serde_json::Value;

const JUDGED: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "the judge reads rota.csv and asks the rule row",
    printed: Printed::Whole,
    count: judged,
    inputs: &[],
    rules: &["{rule}"],
    cautioned: true,
};
const SLEEPY: Link = Link {
    unit: "on the scale of 1 to 9",
    formula: "three-process equations of sleepiness (Ingre and others, PLoS ONE 9(10), 2014, e108679, as restated in public; fitted on aircrew), over the presumed sleep between the bell runs; beside the verdict, never part of it",
    inputs: &["plan.routine.night"],
    rules: &[],
    ..JUDGED
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "breaches/{n}/bell_run",
        unit: "",
        says: "the bell run that breaks {rule}, counted from 1",
        ..JUDGED
    },
    Link {
        path: "breaches/{n}/margin/found",
        says: "what was found of {rule} where it is broken ({margin.kind}; lengths of time in s): {words}",
        ..JUDGED
    },
    Link {
        path: "breaches/{n}/margin/limit",
        says: "what {rule} allows where it is broken ({margin.kind}; lengths of time in s): {words}",
        ..JUDGED
    },
    Link {
        path: "breaches/{n}/margin/left",
        says: "what is left to the limit of {rule}, below nothing where it is broken ({margin.kind}; lengths of time in s): {words}",
        ..JUDGED
    },
    Link {
        path: "rules/{rule}/margin/found",
        says: "how near the rota comes to {rule}, {words}: what was found ({margin.kind}; lengths of time in s)",
        ..JUDGED
    },
    Link {
        path: "rules/{rule}/margin/limit",
        says: "how near the rota comes to {rule}, {words}: the limit ({margin.kind}; lengths of time in s)",
        ..JUDGED
    },
    Link {
        path: "rules/{rule}/margin/left",
        says: "how near the rota comes to {rule}, {words}: what is left ({margin.kind}; lengths of time in s)",
        ..JUDGED
    },
    Link {
        path: "rules/{rule}/times_at_limit",
        unit: "",
        says: "how often the rota stands at the limit of {rule}, {words}",
        ..JUDGED
    },
    Link {
        path: "bell_runs/{run}/positions/{diver}/sleepiness/{which}",
        says: "highest sleepiness of {diver} in bell run {run}: the {which} over early and late people",
        ..SLEEPY
    },
    Link {
        path: "divers/{diver}/sleepiness_raised",
        unit: "",
        says: "bell runs of {diver} whose sleepiness is in the raised band",
        ..SLEEPY
    },
    Link {
        path: "divers/{diver}/sleepiness_high",
        unit: "",
        says: "bell runs of {diver} whose sleepiness is in the high band",
        ..SLEEPY
    },
];

/// By what the rota was judged, and what was asked of it.
pub(super) fn asked(ground: &Ground<'_>) -> Result<(JudgedBy, Asked), String> {
    let scenario = &ground.read()?.scenario;
    let accepted: Vec<String> = ground
        .list("/accepted")
        .iter()
        .filter_map(|id| id.as_str().map(str::to_owned))
        .collect();
    let set = ground.text("/rule_set").unwrap_or_default();
    let by = match set == scenario.rules.name {
        true => JudgedBy::own(scenario, &accepted),
        false => JudgedBy::named(set, &accepted).map_err(|e| e.to_string())?,
    };
    let asked = by.ask(scenario).map_err(|e| e.to_string())?;
    Ok((by, asked))
}

/// What came between, of a rota that was planned again, is not in the folder.
pub(super) fn not_replanned(ground: &Ground<'_>) -> Result<(), String> {
    let made_by = ground.text("/made_by").unwrap_or_default();
    match made_by.starts_with("planned again") {
        true => Err(format!(
            "the rota was {made_by}, and what came between is not in the folder"
        )),
        false => Ok(()),
    }
}

/// The summary that the judge's reading of the table gives.
fn again(ground: &Ground<'_>) -> Result<Value, String> {
    not_replanned(ground)?;
    let scenario = &ground.read()?.scenario;
    let (by, asked) = asked(ground)?;
    let bytes = ground.bytes("rota.csv")?;
    let first = |bad: deepstay_scenario::Diagnostics| {
        bad.all
            .first()
            .map_or_else(String::new, ToString::to_string)
    };
    let read = table::read("rota.csv", bytes, scenario.time(), &asked.problem).map_err(first)?;
    let appraisal = Appraisal::read("rota.csv".to_owned(), read, &asked, &by);
    let subject = Subject::from(scenario);
    let papers = RotaPapers::of((&subject, scenario), &appraisal, &by, &[]);
    let summary = RotaSummary::of(&papers.inputs(Units::Metric));
    serde_json::to_value(summary).map_err(|e| e.to_string())
}

fn judged(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let made = ground.again(again)?;
    let value = made.pointer(&caught.figure.pointer).and_then(Value::as_f64);
    let value = value.ok_or("the judge finds no such figure in rota.csv")?;
    let set = ground.text("/rule_set").unwrap_or_default();
    let from = format!("rota.csv, judged anew under rule set {set}");
    Counted::of(
        value,
        0.0,
        vec![program("the judge's reading", value, "", &from)],
    )
}
