//! Each row of a rule set worked out: its inputs found, its sum made by [`deepstay_sums`].

use super::basis::Basis;
use super::whole::{SIZING, absolute, bail_out, bill, given_hours, given_minutes, hours, locks};
use super::{COUNTED_AT, Event, Holding, Line, Origin, Outcome, Requirement, Term};
use deepstay_plant::Scrubber;
use deepstay_rules::{GasMinimum, PersonFlow, Row, RuleSet};
use deepstay_sums::*;

pub(super) fn lines(basis: &Basis) -> Vec<Line> {
    let rows = basis.set.gas_minimums().iter();
    rows.filter(|row| !matches!(row.figures, GasMinimum::Ask { .. }))
        .map(|row| line(basis, row))
        .collect()
}

fn line(basis: &Basis, row: &Row<GasMinimum>) -> Line {
    let (terms, outcome) = match row.usable(&basis.scenario.accepted) {
        Ok(figures) => worked(basis, &row.id, figures),
        Err(missing) => (Vec::new(), Outcome::Not(missing.to_string())),
    };
    let reconstruction =
        matches!(row.figures, GasMinimum::Bill { reconstruction, .. } if reconstruction);
    Line {
        id: row.id.clone(),
        says: row.words(),
        formula: row.figures.formula(),
        terms,
        outcome,
        source: row.source.clone(),
        reconstruction,
    }
}

fn worked(basis: &Basis, id: &str, figures: &GasMinimum) -> (Vec<Term>, Outcome) {
    let inputs = basis.inputs;
    let rule = || Origin::Rule(id.to_owned());
    match figures {
        GasMinimum::PressAgain { times } => press_again(basis, *times, &rule),
        GasMinimum::BellKeeps {
            time,
            beyond_the_dive,
            to,
        } => {
            let reach = to.map(|d| d.plain(basis.set.feet()));
            if let Some(to) = reach.filter(|to| basis.working_msw > *to) {
                return (
                    Vec::new(),
                    Outcome::Not(format!("it speaks of depths to {to:.0} msw")),
                );
            }
            let mut terms = vec![hours("t", "time by the rule", time.get(), rule())];
            let mut keep_s = time.get();
            if *beyond_the_dive {
                keep_s += inputs.dive_s.value;
                terms.push(given_hours("t", "and the planned dive", inputs.dive_s));
            }
            bell_keeps(basis, keep_s, terms)
        }
        GasMinimum::SeveredUmbilical {
            only_means,
            otherwise,
            retrievals,
        } => {
            if inputs.second_means != Some(true) {
                let (only, from) = match inputs.second_means {
                    Some(_) => ("means of retrieval beside the umbilical", Origin::Planner),
                    None => (
                        "means of retrieval beside the umbilical: none is named, none taken",
                        Origin::Assumed,
                    ),
                };
                let terms = vec![
                    hours(
                        "t",
                        "the umbilical is the only means",
                        only_means.get(),
                        rule(),
                    ),
                    Term::new("n", only, 0.0, "", from),
                ];
                return bell_keeps(basis, only_means.get(), terms);
            }
            let keep_s = severed_s(otherwise.get(), *retrievals, inputs.retrieval_s.value);
            let terms = vec![
                hours(
                    "t",
                    "with two means, to begin with",
                    otherwise.get(),
                    rule(),
                ),
                Term::new("t", "times the retrieval", *retrievals, "", rule()),
                given_hours("t", "a retrieval with its hook-up", inputs.retrieval_s),
            ];
            bell_keeps(basis, keep_s, terms)
        }
        GasMinimum::ChamberKeeps { time } => {
            let people = basis.people();
            let mut terms = vec![
                people.clone(),
                hours("t", "time by the rule", time.get(), rule()),
            ];
            let needs = life_support(
                (basis, basis.set),
                (people.value, time.get()),
                &basis.chamber_scrubbers(),
                (
                    Holding::Oxygen,
                    Holding::ChamberAbsorbent,
                    Event::LifeSupportFails,
                ),
                &mut terms,
            );
            (terms, Outcome::Held(needs))
        }
        GasMinimum::Bypass => {
            let (terms, m3) = open_circuit(basis);
            let need = Requirement::gas(Holding::DiverGas, m3, Event::DiveEnds);
            held_if_any(terms, vec![need], basis)
        }
        GasMinimum::Masks { time, .. } => {
            let (people, flow) = (basis.people(), basis.mask_flow());
            let m3 = breathed_m3(people.value, flow.value, basis.storage_msw, time.get());
            let terms = vec![
                people,
                flow,
                absolute(basis.storage_msw),
                hours("t", "time by the rule", time.get(), rule()),
            ];
            (
                terms,
                Outcome::Held(vec![Requirement::gas(Holding::MaskGas, m3, Event::FoulGas)]),
            )
        }
        GasMinimum::LeastSupply { flow } => {
            let l_min = flow.get() * 6e4;
            let terms = vec![
                Term::new("q", "least flow at depth", l_min, "L/min", rule()),
                absolute(basis.working_msw),
            ];
            (
                terms,
                Outcome::Flow {
                    l_min: supply_l_min(l_min, basis.working_msw),
                },
            )
        }
        GasMinimum::BailOut { flow, return_m_min } => {
            bail_out(basis, flow.get() * 6e4, *return_m_min, &rule)
        }
        GasMinimum::EscapeSets { time, flow } => {
            let sets = inputs.escape_sets;
            let l_min = flow.get() * 6e4;
            let terms = vec![
                Term::new("N", "escape sets", sets.value, "", sets.origin()),
                Term::new("q", "flow", l_min, "L/min", rule()),
                Term::new("t", "time", time.get() / 60.0, "min", rule()),
            ];
            let m3 = breathed_m3(sets.value, l_min, 0.0, time.get());
            (
                terms,
                Outcome::Held(vec![Requirement::gas(
                    Holding::EscapeAir,
                    m3,
                    Event::FoulControlRoom,
                )]),
            )
        }
        GasMinimum::LockRuns => locks(basis),
        GasMinimum::Bill { times, .. } => bill(basis, *times, &rule),
        GasMinimum::MaskFlow { .. } | GasMinimum::DiverFlow { .. } | GasMinimum::Ask { .. } => {
            (Vec::new(), Outcome::Figures)
        }
    }
}

/// What those in the water breathe on open circuit until they are back.
pub(super) fn open_circuit(basis: &Basis) -> (Vec<Term>, f64) {
    let (flow, recover_s) = (basis.diver_flow(), basis.inputs.recover_s);
    let time = given_minutes("t", "time to bring the divers back", recover_s);
    let mut terms = vec![flow.clone(), time];
    let mut m3 = 0.0;
    for bell in &basis.bells {
        terms.push(Term::new(
            "N",
            format!("in the water from {}", bell.name),
            bell.in_water,
            "",
            Origin::Scenario,
        ));
        terms.push(absolute(bell.deepest_msw));
        m3 += breathed_m3(bell.in_water, flow.value, bell.deepest_msw, recover_s.value);
    }
    (terms, m3)
}

fn press_again(basis: &Basis, times: f64, rule: &dyn Fn() -> Origin) -> (Vec<Term>, Outcome) {
    let mut terms = vec![Term::new("k", "how many times", times, "", rule())];
    let mut m3 = 0.0;
    for side in &basis.pressed {
        terms.push(Term::new(
            "V",
            side.names.clone(),
            side.volume_m3,
            "m3",
            Origin::Scenario,
        ));
        terms.push(Term::new(
            "D",
            "deepest storage",
            side.deepest_msw,
            "msw",
            Origin::Scenario,
        ));
        m3 += press_again_m3(times, side.volume_m3, side.deepest_msw);
    }
    if basis.pressed.is_empty() {
        return (
            terms,
            Outcome::Not("no chamber is pressed in the plan".to_owned()),
        );
    }
    (
        terms,
        Outcome::Held(vec![Requirement::gas(
            Holding::PressingMix,
            m3,
            Event::PressureLost,
        )]),
    )
}

fn bell_keeps(basis: &Basis, keep_s: f64, mut terms: Vec<Term>) -> (Vec<Term>, Outcome) {
    let leak = basis.inputs.leak_per_day;
    let people = basis.bells.iter().map(|b| b.people).sum();
    let mut gas_m3 = 0.0;
    for bell in &basis.bells {
        terms.push(Term::new(
            "N",
            format!("people in {}", bell.name),
            bell.people,
            "",
            Origin::Scenario,
        ));
        terms.push(Term::new(
            "V",
            format!("gas volume of {}", bell.name),
            bell.volume_m3,
            "m3",
            Origin::Scenario,
        ));
        terms.push(absolute(bell.deepest_msw));
        gas_m3 += leak_m3(bell.volume_m3, bell.deepest_msw, leak.value, keep_s);
    }
    terms.push(Term::new(
        "k",
        "leak in a day",
        leak.value * 100.0,
        "%",
        leak.origin(),
    ));
    let kinds = (
        Holding::BellOxygen,
        Holding::BellAbsorbent,
        Event::BellCutOff,
    );
    let mut needs = life_support(
        (basis, basis.set),
        (people, keep_s),
        &basis.bell_scrubbers(),
        kinds,
        &mut terms,
    );
    needs.push(Requirement::gas(
        Holding::BellGas,
        gas_m3,
        Event::BellCutOff,
    ));
    held_if_any(terms, needs, basis)
}

fn held_if_any(terms: Vec<Term>, needs: Vec<Requirement>, basis: &Basis) -> (Vec<Term>, Outcome) {
    if basis.bells.is_empty() {
        return (terms, Outcome::Not("no bell dives in the plan".to_owned()));
    }
    (terms, Outcome::Held(needs))
}

/// Oxygen and absorbent of people, at the set's own sizing rates where it has them; the absorbent by the leanest capacity
/// of the scrubbers there are.
pub(super) fn life_support(
    (basis, set): (&Basis, &RuleSet),
    (people, time_s): (f64, f64),
    scrubbers: &[Scrubber],
    (oxygen, absorbent, event): (Holding, Holding, Event),
    terms: &mut Vec<Term>,
) -> Vec<Requirement> {
    let accepted = &basis.scenario.accepted;
    let oxygen_rate = sized("q_O", "oxygen of a person", set.o2_sizing(accepted).ok());
    let m3 = person_sizing_m3(people, time_s) * oxygen_rate.value / SIZING_L_MIN;
    terms.push(oxygen_rate);
    let mut needs = vec![Requirement::gas(oxygen, m3, event)];
    let capacity = scrubbers
        .iter()
        .map(|s| s.capacity_mol_kg)
        .fold(f64::INFINITY, f64::min);
    if capacity.is_finite() && capacity > 0.0 {
        let l_kg = capacity / COUNTED_AT.mol_per_m3() * 1e3;
        let rate = sized(
            "q_C",
            "carbon dioxide of a person",
            set.co2_sizing(accepted).ok(),
        );
        needs.push(Requirement {
            holding: absorbent,
            amount: absorbent_kg(people, rate.value, time_s, l_kg),
            event,
        });
        terms.push(rate);
        terms.push(Term::new(
            "c",
            "capacity of the absorbent, at 15 \u{b0}C and 1 bar",
            l_kg,
            "L/kg",
            Origin::Scenario,
        ));
    }
    needs
}

/// A rate per person for sizing by the set's row, or by the document that the house takes it from.
pub(super) fn sized(symbol: &'static str, what: &'static str, of_set: Option<PersonFlow>) -> Term {
    match of_set {
        Some(flow) => Term::new(
            symbol,
            what,
            flow.m3_s * 6e4,
            "L/min",
            Origin::Rule(flow.id),
        ),
        None => Term::new(symbol, what, SIZING_L_MIN, "L/min", SIZING),
    }
}
