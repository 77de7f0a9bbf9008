//! The links of the posted pages: shift list, umbilical reach and evacuation. They rest on no table of the folder: each is
//! reckoned here again from the scenario, by the formula written out.

use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure, input};
use deepstay_core::units::BAR_PA;
use deepstay_plant::{Activity, Compartment};
use deepstay_rules::{CrewFigures, EvacuationFigures, Post};
use deepstay_scenario::{LevelDo, Scenario};

const PLAIN: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "as the scenario has it",
    printed: Printed::Whole,
    count: people,
    inputs: &[],
    rules: &[],
    cautioned: true,
};
const BAIL_OUT: Link = Link {
    printed: Printed::Parts(1e2),
    count: minutes,
    inputs: &["crew.bail_out", "crew.umbilicals", "site.working_depth"],
    ..PLAIN
};
const UNIT: Link = Link {
    unit: "kg",
    printed: Printed::Parts(1e1),
    count: canister,
    inputs: &["spread.compartments[{unit}]"],
    rules: &[".evacuation.", ".co2-sizing", ".o2-sizing"],
    ..PLAIN
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "posted/shift_list/shifts/{n}/people",
        says: "people at this post in this shift: {post}, {hours}",
        inputs: &["crew.surface"],
        ..PLAIN
    },
    Link {
        path: "posted/shift_list/least_numbers/{one}/least",
        says: "least number asked for: {post}, {manned}",
        formula: "as the row has it",
        count: least,
        rules: &["{rule}"],
        ..PLAIN
    },
    Link {
        path: "posted/shift_list/least_numbers/{one}/found",
        says: "fewest at any minute of the day: {post}",
        formula: "sum over the shifts of the post, the least of all minutes",
        count: fewest,
        inputs: &["crew.surface"],
        rules: &["{rule}"],
        ..PLAIN
    },
    Link {
        path: "posted/umbilical/depth_msw",
        unit: "msw",
        says: "deepest work of the plan",
        formula: "greatest of the site's working depth and the plan's bell runs",
        count: work_depth,
        inputs: &["site.working_depth"],
        ..PLAIN
    },
    Link {
        path: "posted/umbilical/back_m_min",
        unit: "m/min",
        says: "way back along the umbilical",
        formula: "as the scenario or the rule row has it",
        count: back,
        inputs: &["crew.umbilicals"],
        rules: &[".bail-out"],
        ..PLAIN
    },
    Link {
        path: "posted/umbilical/rates/{one}/minutes",
        unit: "min",
        says: "how long the bail-out lasts at {rate}",
        formula: "V (p fill - P - p reg) / (q P), P = 1 + D / 10 bar",
        ..BAIL_OUT
    },
    Link {
        path: "posted/umbilical/rates/{one}/reach_m",
        unit: "m",
        says: "way back that the bail-out is worth at {rate}",
        formula: "way back a minute x minutes",
        printed: Printed::Parts(1e1),
        count: reach,
        ..BAIL_OUT
    },
    Link {
        path: "posted/evacuation/wanted_h",
        unit: "h",
        says: "life support that an evacuation unit is to have",
        formula: "the longest that the rule set asks for",
        count: wanted,
        rules: &[".evacuation."],
        ..PLAIN
    },
    Link {
        path: "posted/evacuation/depth_msw",
        unit: "msw",
        says: "deepest storage of the plan",
        formula: "greatest storage depth of the plan's levels",
        count: storage,
        inputs: &["plan.levels"],
        ..PLAIN
    },
    Link {
        path: "posted/evacuation/units/{one}/places",
        unit: "",
        says: "places in {unit}",
        printed: Printed::Whole,
        count: places,
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/absorbent_kg",
        says: "absorbent in the canister of {unit}",
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/absorbent_needed_kg",
        says: "absorbent that {unit} needs for the hours asked for, every place taken",
        formula: "N q t / c",
        count: absorbent,
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/absorbent_h",
        unit: "h",
        says: "how long the canister of {unit} lasts, every place taken",
        formula: "M c / (N q)",
        count: canister_h,
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/oxygen_needed_m3",
        unit: "m3 free",
        says: "oxygen that {unit} needs for the hours asked for, every place taken",
        formula: "N q t",
        printed: Printed::Parts(1e2),
        count: oxygen,
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/leak_needed_m3",
        unit: "m3 free",
        says: "gas that {unit} needs for its leak over the hours asked for",
        formula: "k V P t, P = 1 + D / 10 bar",
        printed: Printed::Parts(1e2),
        count: leak,
        ..UNIT
    },
    Link {
        path: "posted/evacuation/units/{one}/ends_degc",
        unit: "degC",
        says: "where the temperature of {unit} ends on the spread's deck, every place taken",
        formula: "T deck + N w / UA",
        count: ends,
        ..UNIT
    },
];

fn people(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let at: usize = caught.get("n").parse().map_err(|_| "no such shift")?;
    let shift = at.checked_sub(1).and_then(|k| scenario.surface.get(k));
    let people = f64::from(shift.ok_or("no such shift")?.people);
    let path = format!("crew.surface[{}].people", at - 1);
    Counted::of(people, 0.0, vec![input("people", people, "", path)])
}

/// The figures of the row that the line is known by.
fn row(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<CrewFigures, String> {
    let scenario = &ground.read()?.scenario;
    let (all, id) = (
        scenario.rules.surface_crew(&scenario.accepted),
        caught.get("rule"),
    );
    let mut of = all.of.into_iter();
    let found = of.find(|a| a.by.id == id);
    found
        .map(|a| a.figures)
        .ok_or_else(|| format!("the set has no row {id}"))
}

fn least(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    Counted::of(f64::from(row(ground, caught)?.least), 0.0, Vec::new())
}

/// Shift by shift into the minutes of a day.
fn fewest(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let post: Post = row(ground, caught)?.post;
    let scenario = &ground.read()?.scenario;
    let mut minutes = [0.0; 1440];
    let mut terms = Vec::new();
    for (k, shift) in scenario.surface.iter().enumerate() {
        if shift.post != post {
            continue;
        }
        let (from, to) = (shift.from_s / 60, shift.to_s / 60);
        let length = if to > from {
            to - from
        } else {
            to - from + 1440
        };
        let people = f64::from(shift.people);
        for minute in from..from + length {
            minutes[(minute % 1440) as usize] += people;
        }
        let path = format!("crew.surface[{k}].people");
        terms.push(input("people of a shift", people, "", path));
    }
    let found = minutes.into_iter().fold(f64::INFINITY, f64::min);
    Counted::of(found, 0.0, terms)
}

fn deepest_work(scenario: &Scenario) -> f64 {
    let runs = scenario.plan.bell_runs.iter();
    runs.map(|r| r.depth_msw)
        .fold(scenario.site.working_msw, f64::max)
}

fn work_depth(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let depth = deepest_work(&ground.read()?.scenario);
    let term = input(
        "working depth",
        depth,
        "msw",
        "site.working_depth".to_owned(),
    );
    Counted::of(depth, 1e-9, vec![term])
}

fn back(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let Some(u) = scenario.umbilicals else {
        // Of a row or of Brazil's text, which are printed whole.
        return Counted::of(caught.figure.value, 0.0, Vec::new());
    };
    let path = "crew.umbilicals.back_m_min".to_owned();
    let term = input("way back", u.back_m_min, "m/min", path);
    Counted::of(u.back_m_min, 0.0, vec![term])
}

/// Minutes at a rate, in litres and bar.
fn lasts_min(scenario: &Scenario, l_min: f64) -> f64 {
    let b = scenario.bail_out;
    let p_bar = 1.0 + deepest_work(scenario) / 10.0;
    let usable_bar = b.fill_gauge_pa / BAR_PA - p_bar - b.regulator_pa / BAR_PA;
    (b.volume_m3 * 1e3 * usable_bar / (l_min * p_bar)).max(0.0)
}

fn l_min(caught: &Caught<'_>) -> Result<f64, String> {
    let rate = caught.get("rate");
    let number = rate.split(' ').next().and_then(|n| n.parse().ok());
    number.ok_or_else(|| format!("{rate} is no rate"))
}

fn minutes(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let b = scenario.bail_out;
    let terms = vec![
        input(
            "bottles",
            b.volume_m3 * 1e3,
            "L",
            "crew.bail_out".to_owned(),
        ),
        input(
            "filled to",
            b.fill_gauge_pa / BAR_PA,
            "bar",
            "crew.bail_out".to_owned(),
        ),
        input(
            "regulator",
            b.regulator_pa / BAR_PA,
            "bar",
            "crew.bail_out".to_owned(),
        ),
        figure(
            "depth",
            deepest_work(scenario),
            "msw",
            "job/posted/umbilical/depth_msw".to_owned(),
        ),
    ];
    Counted::of(lasts_min(scenario, l_min(caught)?), 0.0, terms)
}

fn reach(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let min = lasts_min(scenario, l_min(caught)?);
    let m_min = ground.number("/posted/umbilical/back_m_min")?;
    let terms = vec![
        figure("minutes", min, "min", caught.beside("minutes")),
        figure(
            "way back",
            m_min,
            "m/min",
            "job/posted/umbilical/back_m_min".to_owned(),
        ),
    ];
    Counted::of(min * m_min, 0.0, terms)
}

fn hours(scenario: &Scenario) -> f64 {
    let asked = scenario.rules.evacuation(&scenario.accepted).of.into_iter();
    let longest = asked.filter_map(|a| match a.figures {
        EvacuationFigures::Endures(time) => Some(time.get() / 3600.0),
        EvacuationFigures::Units(_) => None,
    });
    longest.reduce(f64::max).unwrap_or(72.0)
}

fn wanted(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Counted::of(hours(&ground.read()?.scenario), 1e-9, Vec::new())
}

fn deepest_storage(scenario: &Scenario) -> f64 {
    let mut deepest = 0.0_f64;
    for level in &scenario.plan.levels {
        for step in &level.steps {
            if let LevelDo::Press(msw) | LevelDo::ChangeStorage(msw) = step.what {
                deepest = deepest.max(msw);
            }
        }
    }
    deepest
}

fn storage(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let depth = deepest_storage(&ground.read()?.scenario);
    Counted::of(depth, 1e-9, Vec::new())
}

/// The unit of the line.
fn unit<'a>(ground: &'a Ground<'_>, caught: &Caught<'_>) -> Result<&'a Compartment, String> {
    let name = caught.get("unit");
    let mut all = ground.read()?.scenario.steel.compartments.iter();
    let found = all.find(|c| c.name == name);
    found.ok_or_else(|| format!("the spread has no {name}"))
}

fn places(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    Counted::of(f64::from(unit(ground, caught)?.places), 0.0, Vec::new())
}

fn canister(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scrubber = unit(ground, caught)?.scrubber.ok_or("it has no scrubber")?;
    Counted::of(scrubber.absorbent_kg, 0.0, Vec::new())
}

/// Litres of carbon dioxide in an hour from all places, and litres that a kilogram takes, free gas at 15 degC and 1 bar.
fn carbon_dioxide(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<(f64, f64), String> {
    let scenario = &ground.read()?.scenario;
    let of = unit(ground, caught)?;
    let sizing = scenario.rules.co2_sizing(&scenario.accepted);
    let l_h = sizing.map_or(30.0, |flow| flow.m3_s * 3.6e6);
    let scrubber = of.scrubber.ok_or("it has no scrubber")?;
    let mol_l = 1e5 / (8.314_462_618 * 288.15) * 1e-3;
    Ok((f64::from(of.places) * l_h, scrubber.capacity_mol_kg / mol_l))
}

fn absorbent(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let (l_h, l_kg) = carbon_dioxide(ground, caught)?;
    let kg = l_h * hours(&ground.read()?.scenario) / l_kg;
    Counted::of(kg, 1e-6 * kg, Vec::new())
}

fn canister_h(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let (l_h, l_kg) = carbon_dioxide(ground, caught)?;
    let kg = caught.number("absorbent_kg")?;
    let h = kg * l_kg / l_h;
    let term = figure("canister", kg, "kg", caught.beside("absorbent_kg"));
    Counted::of(h, 1e-6 * h, vec![term])
}

fn oxygen(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let sizing = scenario.rules.o2_sizing(&scenario.accepted);
    let m3_h = sizing.map_or(0.03, |flow| flow.m3_s * 3600.0);
    let people = caught.number("places")?;
    let term = figure("places", people, "", caught.beside("places"));
    Counted::of(people * m3_h * hours(scenario), 0.0, vec![term])
}

fn leak(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let of = unit(ground, caught)?;
    let name = format!("leak of {} in heliox of 4 %", of.name);
    let found = scenario.inputs.iter().find(|i| i.name == name);
    let percent_day = found.map_or(0.0, |i| i.value);
    let p_bar = 1.0 + deepest_storage(scenario) / 10.0;
    let m3 = percent_day / 100.0 * of.volume_m3 * p_bar * hours(scenario) / 24.0;
    Counted::of(m3, 0.0, Vec::new())
}

/// A person at rest gives so much heat without what evaporates, and his carbon dioxide's absorbent so much more.
fn ends(ground: &Ground<'_>, caught: &Caught<'_>) -> Result<Counted, String> {
    let scenario = &ground.read()?.scenario;
    let of = unit(ground, caught)?;
    let mut rows = scenario.rates.rows.iter();
    let rest = rows.find(|r| r.activity == Activity::Rest);
    let rate = rest.ok_or("the table of rates has no rest")?.rate;
    // Litres of free gas at 0 degC and 1 atm are 22.414 to the mole.
    let absorbent_w = rate.co2_l_min / 22.414 / 60.0 * deepstay_plant::ABSORPTION_J_MOL;
    let w = rate.heat_w - rate.evaporation_w() + absorbent_w;
    let degc = scenario.steel.deck_t_k - 273.15 + f64::from(of.places) * w / of.wall_ua_w_k;
    Counted::of(degc, 1e-3, Vec::new())
}
