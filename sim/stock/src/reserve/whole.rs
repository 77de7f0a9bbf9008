//! Sums that ask for no stock of their own: a bail-out, a lock's run, the bill of the whole job; and the
//! inputs that many sums share.

use super::basis::Basis;
use super::{Given, Origin, Outcome, Term};
use deepstay_core::units::CompartmentKind;
use deepstay_sums::{
    BillOf, SIZING_L_MIN, bail_out_s, bail_out_umbilical_m, bill_of_gas, lock_cycle_m3, school_bar,
};

/// Where the sizing rates of oxygen and carbon dioxide per person come from.
pub(super) const SIZING: Origin =
    Origin::Document("France, order of 30 October 2012, art. 33: 30 L/h each (seen)");

pub(super) fn bail_out(
    basis: &Basis,
    l_min: f64,
    return_m_min: f64,
    rule: &dyn Fn() -> Origin,
) -> (Vec<Term>, Outcome) {
    let inputs = basis.inputs;
    let (bottle, fill, regulator) = (
        inputs.bail_out_l,
        inputs.bail_out_bar,
        inputs.bail_out_regulator_bar,
    );
    let terms = vec![
        Term::new(
            "V",
            "water volume of the bottle",
            bottle.value,
            "L",
            bottle.origin(),
        ),
        Term::new("p_fill", "its fill", fill.value, "bar", fill.origin()),
        Term::new(
            "p_reg",
            "working pressure of its regulator",
            regulator.value,
            "bar",
            regulator.origin(),
        ),
        absolute(basis.working_msw),
        Term::new("q", "breathing on bail-out", l_min, "L/min", rule()),
        Term::new(
            "v",
            "way back along the umbilical",
            return_m_min,
            "m/min",
            rule(),
        ),
    ];
    let lasts_s = bail_out_s(
        bottle.value,
        fill.value,
        regulator.value,
        basis.working_msw,
        l_min,
    );
    (
        terms,
        Outcome::BailOut {
            lasts_s,
            umbilical_m: bail_out_umbilical_m(return_m_min, lasts_s),
        },
    )
}

pub(super) fn locks(basis: &Basis) -> (Vec<Term>, Outcome) {
    let kinds = [CompartmentKind::MedicalLock, CompartmentKind::EquipmentLock];
    let compartments = basis.scenario.steel.compartments.iter();
    let mut terms = vec![Term::new(
        "D",
        "deepest storage",
        basis.storage_msw,
        "msw",
        Origin::Scenario,
    )];
    let mut lost = Vec::new();
    for lock in compartments.filter(|c| kinds.contains(&c.kind)) {
        terms.push(Term::new(
            "V",
            lock.name.clone(),
            lock.volume_m3,
            "m3",
            Origin::Scenario,
        ));
        lost.push((
            lock.name.clone(),
            lock_cycle_m3(lock.volume_m3, basis.storage_msw),
        ));
    }
    (terms, Outcome::Lost { locks: lost })
}

pub(super) fn bill(basis: &Basis, times: f64, rule: &dyn Fn() -> Origin) -> (Vec<Term>, Outcome) {
    let (scenario, inputs) = (basis.scenario, basis.inputs);
    let (Some(bell), false) = (basis.bells.first(), basis.pressed.is_empty()) else {
        return (
            Vec::new(),
            Outcome::Not("no chamber is pressed or no bell dives in the plan".to_owned()),
        );
    };
    let mix = scenario
        .steel
        .banks
        .iter()
        .find(|b| b.duty == deepstay_plant::Duty::BottomMix);
    let flow = basis.diver_flow();
    let reclaim = scenario.steel.reclaim.filter(|_| scenario.plan.reclaim);
    let of = BillOf {
        chambers_m3: basis.pressed.iter().map(|p| p.volume_m3).sum(),
        storage_msw: basis.storage_msw,
        mix_o2: mix.map_or(0.0, |b| b.label_o2),
        days: scenario.plan.end_s as f64 / 86_400.0,
        made_up_per_day: inputs.leak_per_day.value,
        people: basis.people().value,
        bell_m3: basis.bells.iter().map(|b| b.volume_m3).sum(),
        deeper_msw: (basis.working_msw - basis.storage_msw).max(0.0),
        runs: basis.bells.iter().map(|b| b.runs).sum(),
        divers: bell.people,
        l_min: flow.value,
        working_msw: basis.working_msw,
        in_water_s: basis.bells.iter().map(|b| b.in_water_s).fold(0.0, f64::max),
        recovery: reclaim.map_or(0.0, |r| r.recovery),
        ppo2_bar: inputs.ppo2_bar.value,
        share: inputs.share.value,
    };
    let own =
        |symbol, what: &str, value, unit| Term::new(symbol, what, value, unit, Origin::Scenario);
    let terms = vec![
        Term::new(
            "K",
            "factor of the reserve, read for air diving",
            times,
            "",
            rule(),
        ),
        own("V", "the chambers", of.chambers_m3, "m3"),
        own("D", "deepest storage", of.storage_msw, "msw"),
        own("C", "oxygen of the blow-down mix", of.mix_o2 * 100.0, "%"),
        own("d", "days of the plan", of.days, "d"),
        Term::new(
            "k",
            "made up in a day",
            of.made_up_per_day * 100.0,
            "%",
            inputs.leak_per_day.origin(),
        ),
        basis.people(),
        Term::new("q_O", "oxygen of a person", SIZING_L_MIN, "L/min", SIZING),
        own("V_b", "the bells", of.bell_m3, "m3"),
        own("\u{394}D", "work deeper than storage", of.deeper_msw, "msw"),
        own("n", "bell runs", of.runs, ""),
        own("N", "divers who change places in the water", of.divers, ""),
        flow,
        absolute(of.working_msw),
        own(
            "t",
            "longest time of one in the water",
            of.in_water_s / 3600.0,
            "h",
        ),
        own("R", "what reclaim brings back", of.recovery * 100.0, "%"),
        Term::new(
            "p",
            "oxygen held while coming up",
            of.ppo2_bar,
            "bar",
            inputs.ppo2_bar.origin(),
        ),
        Term::new(
            "f",
            "share at which it gives way; P2 = p/f",
            of.share * 100.0,
            "%",
            inputs.share.origin(),
        ),
    ];
    let bill = bill_of_gas(&of);
    (
        terms,
        Outcome::Bill {
            terms: bill.terms().to_vec(),
            times,
            m3: times * bill.sum_m3(),
        },
    )
}

pub(super) fn absolute(depth_msw: f64) -> Term {
    Term::new(
        "P",
        format!("absolute pressure at {depth_msw:.1} msw"),
        school_bar(depth_msw),
        "bar",
        Origin::Scenario,
    )
}

pub(super) fn hours(symbol: &'static str, what: &str, s: f64, from: Origin) -> Term {
    Term::new(symbol, what, s / 3600.0, "h", from)
}

pub(super) fn given_hours(symbol: &'static str, what: &str, given: Given) -> Term {
    hours(symbol, what, given.value, given.origin())
}

pub(super) fn given_minutes(symbol: &'static str, what: &str, given: Given) -> Term {
    Term::new(symbol, what, given.value / 60.0, "min", given.origin())
}
