//! The way home: what ends the dive under way and brings everybody to the surface. No document gives an amount for it.
//! Each row is a derived sum over the plan and the job's own rule set, and adds to what the sets ask for as a reserve.

use super::basis::{Basis, Pressed};
use super::lines::{life_support, open_circuit};
use super::whole::hours;
use super::{Event, Holding, Line, Origin, Outcome, Requirement, Term};
use deepstay_core::units::CompartmentId;
use deepstay_rules::{DecompressionPlan, OxygenHold, Source, Status};
use deepstay_scenario::Ascent;
use deepstay_sums::{decompression_oxygen_m3, gas_for_rise, leak_m3, press_m3, school_bar};

const TO_FINISH: &str = "SOR/88-600, s. 22(1), wants gas to finish beside a reserve and an emergency (seen), and gives no amount; the sum is derived";

pub(super) fn lines(basis: &Basis) -> Vec<Line> {
    if basis.pressed.is_empty() && basis.bells.is_empty() {
        return Vec::new();
    }
    let ways: Vec<Way> = basis.pressed.iter().map(|p| Way::of(basis, p)).collect();
    vec![
        dive(basis),
        trunks(basis),
        up(basis, &ways),
        hold(basis, &ways),
    ]
}

fn line(id: &str, says: &str, formula: &'static str, made: (Vec<Term>, Outcome)) -> Line {
    let (terms, outcome) = made;
    Line {
        id: id.to_owned(),
        says: says.to_owned(),
        formula,
        terms,
        outcome,
        source: Source {
            document: TO_FINISH.to_owned(),
            status: Status::Derived,
        },
        reconstruction: false,
    }
}

fn not(why: &str) -> (Vec<Term>, Outcome) {
    (Vec::new(), Outcome::Not(why.to_owned()))
}

/// The dive under way is ended: those in the water come back to their bell, on open circuit where reclaim is what stops.
fn dive(basis: &Basis) -> Line {
    let made = match basis.bells.is_empty() {
        true => not("no bell dives in the plan"),
        false => {
            let (terms, m3) = open_circuit(basis);
            let need = Requirement::gas(Holding::DiverGas, m3, Event::DiveEnds);
            (terms, Outcome::Held(vec![need]))
        }
    };
    let says = "those in the water come back to their bell";
    line("home.dive", says, "N q P t", made)
}

/// Each bell is sealed to its trunk once more, which is pressed for it.
fn trunks(basis: &Basis) -> Line {
    let steel = &basis.scenario.steel;
    let trunk = |bell: CompartmentId| Some(steel.compartments.get(bell.index())?.bell?.trunk);
    let mut trunks: Vec<CompartmentId> = basis.bells.iter().filter_map(|b| trunk(b.id)).collect();
    trunks.sort_unstable();
    trunks.dedup();
    let depth = basis.storage_msw;
    let mut terms = vec![Term::new(
        "D",
        "deepest storage",
        depth,
        "msw",
        Origin::Scenario,
    )];
    let mut m3 = 0.0;
    for at in trunks {
        let plate = &steel.compartments[at.index()];
        let (name, volume_m3) = (plate.name.clone(), plate.volume_m3);
        terms.push(Term::new("V", name, volume_m3, "m3", Origin::Scenario));
        m3 += press_m3(volume_m3, depth);
    }
    let made = match m3 > 0.0 {
        true => {
            let need = Requirement::gas(Holding::PressingMix, m3, Event::WayHome);
            (terms, Outcome::Held(vec![need]))
        }
        false => not("no bell dives in the plan"),
    };
    let says = "each bell is sealed to its trunk once more";
    line("home.trunk", says, "\u{3a3} V D/10", made)
}

/// A level's way to the surface by the job's own rule set: the longest, whatever the hour at which it begins.
struct Way<'a> {
    pressed: &'a Pressed,
    plan: Option<DecompressionPlan>,
    wait_s: f64,
    wait_row: Option<String>,
}

impl<'a> Way<'a> {
    fn of(basis: &Basis, pressed: &'a Pressed) -> Way<'a> {
        let scenario = basis.scenario;
        let from = (pressed.deepest_msw, 0.0);
        let at = |hour: i64| scenario.ascent(Ascent::Planned, from, hour * 3600);
        let start = scenario.rules.decompression_start(&scenario.accepted).ok();
        Way {
            pressed,
            plan: (0..24).filter_map(at).max_by_key(|plan| plan.total_s),
            wait_s: start.as_ref().map_or(0.0, |s| s.hold_after_dive_s as f64),
            wait_row: start.map(|s| s.id),
        }
    }

    fn takes_s(&self, plan: &DecompressionPlan) -> f64 {
        self.wait_s + plan.total_s as f64
    }

    fn rows(plan: &DecompressionPlan) -> Origin {
        Origin::Rule(plan.rows.join(", "))
    }

    /// Oxygen that is bled with the gas, beside what people use, m3: band by band of the partial pressure that is held,
    /// nothing where a share is held.
    fn bled_m3(&self, basis: &Basis, plan: &DecompressionPlan, terms: &mut Vec<Term>) -> f64 {
        let volume_m3 = self.pressed.volume_m3;
        let names = self.pressed.names.clone();
        terms.push(Term::new("V", names, volume_m3, "m3", Origin::Scenario));
        let mut bands = plan.oxygen.clone();
        bands.sort_by(|a, b| b.deeper_than_msw.total_cmp(&a.deeper_than_msw));
        let (mut from_msw, mut m3, mut first) = (self.pressed.deepest_msw, 0.0, true);
        let top_msw = from_msw;
        for band in bands.iter().filter(|b| b.deeper_than_msw < top_msw) {
            let to_msw = band.deeper_than_msw.max(0.0);
            if let OxygenHold::Partial { high_bar, .. } = band.hold {
                let span = format!("oxygen held from {from_msw:.1} to {to_msw:.1} msw");
                terms.push(Term::new("p", span, high_bar, "bar", Way::rows(plan)));
                m3 += decompression_oxygen_m3(
                    volume_m3,
                    high_bar,
                    school_bar(from_msw),
                    school_bar(to_msw),
                );
                if first {
                    m3 += self.raised_m3(basis, high_bar, terms);
                }
            }
            first = false;
            from_msw = to_msw;
        }
        m3
    }

    /// Oxygen that brings the chambers from what is held in storage to what is held on the way up.
    fn raised_m3(&self, basis: &Basis, to_bar: f64, terms: &mut Vec<Term>) -> f64 {
        let scenario = basis.scenario;
        let Ok(storage) = scenario.rules.storage_oxygen(&scenario.accepted) else {
            return 0.0;
        };
        let rise = (to_bar - storage.low_bar).max(0.0);
        let what = "oxygen held in storage, at the least";
        let rule = Origin::Rule(storage.id);
        terms.push(Term::new("p0", what, storage.low_bar, "bar", rule));
        gas_for_rise(self.pressed.volume_m3, rise)
    }
}

/// Oxygen and absorbent of everybody until the last is at the surface.
fn up(basis: &Basis, ways: &[Way]) -> Line {
    let says = "everybody comes to the surface, by the job's own rule set, from the deepest storage and at the hour that makes it longest";
    let formula = "oxygen N q_O t + \u{3a3} V p ln((P1 \u{2212} p)/(P2 \u{2212} p)) + V (p \u{2212} p0), P = D/10 + 1; absorbent N q_C t / c";
    let made = || {
        let people = basis.people();
        let mut terms = vec![people.clone()];
        let (mut longest_s, mut bled_m3) = (0.0_f64, 0.0);
        for way in ways {
            let Some(plan) = &way.plan else {
                return not("the job's rule set has no decompression from its storage depth");
            };
            if let (true, Some(row)) = (way.wait_s > 0.0, &way.wait_row) {
                let what = "wait after the last dive";
                terms.push(hours("t", what, way.wait_s, Origin::Rule(row.clone())));
            }
            let what = format!(
                "decompression of {} from {:.1} msw",
                way.pressed.names, way.pressed.deepest_msw
            );
            terms.push(hours("t", &what, plan.total_s as f64, Way::rows(plan)));
            longest_s = longest_s.max(way.takes_s(plan));
            bled_m3 += way.bled_m3(basis, plan, &mut terms);
        }
        let kinds = (Holding::Oxygen, Holding::ChamberAbsorbent, Event::WayHome);
        let mut needs = life_support(
            (basis, &basis.scenario.rules),
            (people.value, longest_s),
            &basis.chamber_scrubbers(),
            kinds,
            &mut terms,
        );
        needs.push(Requirement::gas(Holding::Oxygen, bled_m3, Event::WayHome));
        (terms, Outcome::Held(summed(needs)))
    };
    let made = match ways.is_empty() {
        true => not("no chamber is pressed in the plan"),
        false => made(),
    };
    line("home.decompression", says, formula, made)
}

/// Of one kind of stock a row asks once.
fn summed(needs: Vec<Requirement>) -> Vec<Requirement> {
    let mut all: Vec<Requirement> = Vec::new();
    for need in needs {
        match all.iter_mut().find(|n| n.holding == need.holding) {
            Some(known) => known.amount += need.amount,
            None => all.push(need),
        }
    }
    all
}

/// Gas against leaks while depth is held: before the way up begins, and at its stops.
fn hold(basis: &Basis, ways: &[Way]) -> Line {
    let leak = basis.inputs.leak_per_day;
    let percent = leak.value * 100.0;
    let mut terms = vec![Term::new("k", "leak in a day", percent, "%", leak.origin())];
    let mut m3 = 0.0;
    for way in ways {
        let volume_m3 = way.pressed.volume_m3;
        let names = way.pressed.names.clone();
        terms.push(Term::new("V", names, volume_m3, "m3", Origin::Scenario));
        let mut held = vec![(way.pressed.deepest_msw, way.wait_s)];
        let steps = way.plan.iter().flat_map(|p| p.steps.windows(2));
        held.extend(steps.map(|two| (two[0].to_msw, (two[1].start_s - two[0].by_s).max(0) as f64)));
        let held_s: f64 = held.iter().map(|(_, s)| s).sum();
        let rows = way.plan.as_ref().map_or(Origin::Scenario, Way::rows);
        terms.push(hours("t", "depth is held, at P of each stop", held_s, rows));
        m3 += held
            .iter()
            .map(|(depth, s)| leak_m3(volume_m3, *depth, leak.value, *s))
            .sum::<f64>();
    }
    let made = match m3 > 0.0 {
        true => {
            let need = Requirement::gas(Holding::PressingMix, m3, Event::WayHome);
            (terms, Outcome::Held(vec![need]))
        }
        false => not("depth is held nowhere on the way up"),
    };
    let says = "depth is held before the way up begins and at its stops; while it goes on, leaks cost nothing";
    line("home.hold", says, "\u{3a3} k V P t", made)
}
