//! What a job must have beside the stock of its chambers: an evacuation unit that keeps everybody alive for its hours, and
//! treatment gas that everybody can breathe at each depth. What is held of the one goes with the unit, and for the other
//! no document gives hours: so neither is a minimum that is posted, unless the planner says how long.

use super::basis::Basis;
use super::held::usable_mol;
use super::lines::sized;
use super::whole::{absolute, hours};
use super::{COUNTED_AT, Line, Origin, Outcome, Term, Treated, Want};
use crate::unit::{WantedEndurance, heat_at_rest_w};
use deepstay_core::record::{Bound, Phase};
use deepstay_core::units::{ATM_PA, BAR_PA, CompartmentKind, MSW_PA, Quantity, ZERO_C_K};
use deepstay_plant::{Bank, Compartment, Duty};
use deepstay_rules::{Source, Status};
use deepstay_sums::{absorbent_kg, breathed_m3, leak_m3, metabolic_m3};

pub(super) fn lines(basis: &Basis) -> Vec<Line> {
    if basis.pressed.is_empty() {
        return Vec::new();
    }
    let rescue = |c: &&Compartment| c.kind == CompartmentKind::Rescue;
    let units = basis.scenario.steel.compartments.iter().filter(rescue);
    let mut all: Vec<Line> = units.map(|unit| evacuation(basis, unit)).collect();
    all.push(treatment(basis));
    all
}

/// Where the hours of a unit are from, for a term; the row's own source says it whole.
const WANTED_BY: &str =
    "the longest that the job's rule set asks for, or IMCA D 052 as it is quoted";

/// What the unit needs for its hours with every place taken.
fn evacuation(basis: &Basis, unit: &Compartment) -> Line {
    let depth = basis.storage_msw;
    let scenario = basis.scenario;
    let wanted = WantedEndurance::of(&scenario.rules, &scenario.accepted);
    let (people, time_s) = (f64::from(unit.places), wanted.hours * 3600.0);
    let leak = format!("leak of {} in heliox of 4 %", unit.name);
    let leak = scenario.inputs.iter().find(|i| i.name == leak);
    let share = leak.map_or(0.0, |i| i.value / 100.0);
    let own =
        |symbol, what: &str, value, unit| Term::new(symbol, what, value, unit, Origin::Scenario);
    let (rules, accepted) = (&scenario.rules, &scenario.accepted);
    let oxygen = sized("q_O", "oxygen of a person", rules.o2_sizing(accepted).ok());
    let co2 = sized(
        "q_C",
        "carbon dioxide of a person",
        rules.co2_sizing(accepted).ok(),
    );
    let (oxygen_l_min, co2_l_min) = (oxygen.value, co2.value);
    let mut terms = vec![
        own("N", "places of the unit", people, ""),
        hours(
            "t",
            "time that it is to last",
            time_s,
            Origin::Document(WANTED_BY),
        ),
        oxygen,
        co2,
        own("V", "its gas volume", unit.volume_m3, "m3"),
        absolute(depth),
        own("k", "its leak in a day", share * 100.0, "%"),
    ];
    let mut wants = vec![
        Want {
            what: "oxygen",
            amount: metabolic_m3(people, oxygen_l_min, time_s),
            unit: "m3",
        },
        Want {
            what: "carbon dioxide to absorb",
            amount: metabolic_m3(people, co2_l_min, time_s),
            unit: "m3",
        },
        Want {
            what: "gas against its leak",
            amount: leak_m3(unit.volume_m3, depth, share, time_s),
            unit: "m3",
        },
    ];
    if let Some(scrubber) = unit.scrubber.filter(|s| s.capacity_mol_kg > 0.0) {
        let l_kg = scrubber.capacity_mol_kg / COUNTED_AT.mol_per_m3() * 1e3;
        terms.push(own(
            "c",
            "capacity of its absorbent, at 15 \u{b0}C and 1 bar",
            l_kg,
            "L/kg",
        ));
        wants.insert(
            2,
            Want {
                what: "absorbent",
                amount: absorbent_kg(people, co2_l_min, time_s, l_kg),
                unit: "kg",
            },
        );
    }
    let (ua, outside_k) = (unit.wall_ua_w_k, scenario.steel.deck_t_k);
    let bodies_w = people * heat_at_rest_w(scenario);
    terms.extend([
        own("UA", "loss of its wall", ua, "W/K"),
        own(
            "To",
            "what surrounds it: the spread's deck",
            outside_k - ZERO_C_K,
            "degC",
        ),
        own(
            "w",
            "heat of a person at rest, without what evaporates, with the absorbent's",
            heat_at_rest_w(scenario),
            "W",
        ),
    ]);
    let rules = &scenario.rules;
    let limits = rules.limits(Phase::Storage, depth, &scenario.accepted);
    for (bound, what) in [(Bound::Low, "heating"), (Bound::High, "cooling")] {
        let edge = limits
            .iter()
            .find(|l| l.quantity == Quantity::Temperature && l.bound == bound);
        let Some(edge) = edge else { continue };
        terms.push(Term::new(
            "Tl",
            edge.label.clone(),
            edge.value - ZERO_C_K,
            "degC",
            Origin::Rule(edge.id.clone()),
        ));
        let lost_w = ua * (edge.value - outside_k) - bodies_w;
        let needed_w = if bound == Bound::Low { lost_w } else { -lost_w };
        wants.push(Want {
            what,
            amount: needed_w.max(0.0) * wanted.hours / 1e3,
            unit: "kWh",
        });
    }
    Line {
        id: format!("evacuation.{}", unit.name.to_lowercase().replace(' ', "-")),
        says: format!(
            "{} keeps those in it for {:.0} h with every place taken; what goes with it is told by a page of today (stock --evacuation)",
            unit.name, wanted.hours
        ),
        formula: "oxygen N q_O t, carbon dioxide N q_C t; absorbent N q_C t / c; gas k V P t; heating (UA (Tl \u{2212} To) \u{2212} N w) t, cooling its opposite",
        terms,
        outcome: Outcome::Wanted(wants),
        source: wanted.source,
        reconstruction: false,
    }
}

/// Oxygen between which a treatment gas lies, ata.
const TREATMENT_ATA: (f64, f64) = (1.5, 2.8);
const TREATMENT_SOURCE: &str = "US Navy Diving Manual, 15-15, an older edition: treatment gas of 1.5 to 2.8 ata of oxygen from arrival at depth on, enough for every occupant; no hours are given";

/// Treatment gas by depth, for everybody.
fn treatment(basis: &Basis) -> Line {
    let (people, flow) = (basis.people(), basis.mask_flow());
    let mut terms = vec![people.clone(), flow.clone()];
    if let Some(time_s) = basis.inputs.treatment_s {
        terms.push(hours(
            "t",
            "time that everybody breathes it",
            time_s,
            Origin::Planner,
        ));
    }
    Line {
        id: "usn.treatment".to_owned(),
        says: "treatment gas for every occupant at each depth from storage to where oxygen itself comes to 1.5 ata".to_owned(),
        formula: "N q P t, P at the deep end of each span of depth",
        terms,
        outcome: Outcome::Treatment {
            spans: treated(basis, people.value * flow.value),
            wanted_h: basis.inputs.treatment_s.map(|s| s / 3600.0),
        },
        source: Source { document: TREATMENT_SOURCE.to_owned(), status: Status::Seen },
        reconstruction: false,
    }
}

fn treated(basis: &Basis, l_min: f64) -> Vec<Treated> {
    let steel = &basis.scenario.steel;
    let depth_of = |ata: f64| (ata * ATM_PA - steel.surface_pa) / MSW_PA;
    let mixes: Vec<&Bank> = steel
        .banks
        .iter()
        .filter(|b| b.duty == Duty::Treatment || b.duty == Duty::Oxygen)
        .collect();
    let window = |b: &Bank| {
        let (low, high) = TREATMENT_ATA;
        (
            depth_of(low / b.label_o2.max(1e-6)),
            depth_of(high / b.label_o2.max(1e-6)),
        )
    };
    let (shallow, deep) = (depth_of(TREATMENT_ATA.0), basis.storage_msw);
    let mut edges: Vec<f64> = mixes
        .iter()
        .flat_map(|b| <[f64; 2]>::from(window(b)))
        .collect();
    edges.extend([shallow, deep]);
    edges.retain(|d| (shallow..=deep).contains(d));
    edges.sort_by(f64::total_cmp);
    edges.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let span = |two: &[f64]| {
        let (from_msw, to_msw) = (two[0], two[1]);
        let middle = 0.5 * (from_msw + to_msw);
        let serves = |b: &&&Bank| {
            let (low, high) = window(b);
            (low..=high).contains(&middle)
        };
        let there: Vec<&&Bank> = mixes.iter().filter(serves).collect();
        let heel_pa = to_msw * MSW_PA + basis.inputs.over_bottom_bar.value * BAR_PA;
        let yields = |b: &&&Bank| usable_mol(b, b.fill_gauge_pa, heel_pa, steel.surface_pa);
        Treated {
            from_msw,
            to_msw,
            held_m3: there.iter().map(yields).sum::<f64>() / COUNTED_AT.mol_per_m3(),
            banks: there.iter().map(|b| b.name.clone()).collect(),
            an_hour_m3: breathed_m3(1.0, l_min, to_msw, 3600.0),
        }
    };
    edges.windows(2).map(span).collect()
}
