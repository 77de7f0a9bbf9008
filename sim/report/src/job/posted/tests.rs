//! The posted pages by hand, from built-in jobs: just kept and just broken.

use super::*;
use deepstay_core::units::{Channel, Quantity};
use deepstay_rules::{Post, builtin};
use deepstay_scenario::{Scenario, load};
use std::sync::Arc;

fn six_man() -> Scenario {
    load("six-man").expect("built in")
}

/// Every answer of every posted sheet that is broken, as its row and what was found.
fn broken(name: &str) -> Vec<String> {
    let scenario = load(name).unwrap_or_else(|bad| panic!("{bad}"));
    let end_s = scenario.plan.end_s;
    let record = Recorder::new(scenario.start_second_of_day);
    let posted = PostedSummary::of(&scenario, &record, None, (end_s, Units::Metric));
    let sheets = serde_json::to_value(&posted).expect("plain data");
    let mut found = Vec::new();
    look(&sheets, &mut found);
    found
}

fn look(value: &serde_json::Value, found: &mut Vec<String>) {
    match value {
        serde_json::Value::Object(fields) => {
            let said = |name: &str| fields.get(name).map_or_else(String::new, |v| v.to_string());
            if said("answer") == "\"broken\"" || said("as_asked") == "false" {
                found.push(format!(
                    "{} {}: {}",
                    said("asked"),
                    said("rule"),
                    said("found")
                ));
            }
            fields.values().for_each(|v| look(v, found));
        }
        serde_json::Value::Array(all) => all.iter().for_each(|v| look(v, found)),
        _ => {}
    }
}

/// What is built in is good practice under its own rule set: two evacuation units with places for all, a back-up of each
/// analyser, a treatment mix for every metre, minimum crews, umbilicals.
#[test]
fn nothing_that_is_posted_of_a_built_in_job_is_broken() {
    for job in deepstay_scenario::JOBS {
        let found = broken(job.name);
        assert!(found.is_empty(), "{}: {found:#?}", job.name);
    }
}

fn under(set: &str) -> Scenario {
    let mut scenario = six_man();
    scenario.rules = Arc::new(builtin(set).expect("built in"));
    scenario
}

/// Canada, SOR/88-600, ss. 43 and 44: a supervisor, a standby diver and an attendant at every minute.
#[test]
fn a_minute_without_a_supervisor_is_found() {
    let answers = |scenario: &Scenario| -> Vec<(String, Option<u8>, &str)> {
        let lines = ShiftSummary::of(scenario).least_numbers.into_iter();
        lines.map(|l| (l.rule, l.found, l.answer)).collect()
    };
    let mut scenario = six_man();
    for (rule, found, answer) in answers(&scenario) {
        assert_eq!((found, answer), (Some(1), "kept"), "{rule}");
    }
    // The second shift begins a minute late.
    let mut supervisors = scenario
        .surface
        .iter_mut()
        .filter(|s| s.post == Post::Supervisor);
    supervisors.nth(1).expect("two shifts").from_s += 60;
    let supervisor = answers(&scenario).swap_remove(0);
    assert_eq!(
        supervisor,
        ("canada1988.crew.supervisor".to_owned(), Some(0), "broken")
    );
    scenario.surface.clear();
    assert!(
        answers(&scenario)
            .iter()
            .all(|(_, found, a)| found.is_none() && *a == "not judged")
    );
    let silent = ShiftSummary::of(&under("norway")).not_judged;
    assert_eq!(silent.as_deref(), Some("the set says nothing of it"));
    // Two rows of open circuit, and a job that breathes from the loop.
    let france = ShiftSummary::of(&under("france-2012"));
    assert!(
        france
            .least_numbers
            .iter()
            .all(|l| l.answer == "not judged")
    );
    let mut open = under("france-2012");
    open.plan.reclaim = false;
    assert!(
        ShiftSummary::of(&open)
            .least_numbers
            .iter()
            .all(|l| l.answer == "broken")
    );
}

/// Brazil, NORMAM-222: t = V (p fill - P - p reg) / (q P), L = 10 m/min x t. Twice 12 L at 300 bar, 10 bar, 118 msw:
/// 24 x (300 - 12.8 - 10) / (q x 12.8) is 14.85 min at 35, 12.99 at 40, 8.32 at 62.5 L/min.
#[test]
fn reach_by_the_published_rates() {
    let mut scenario = six_man();
    let reach = UmbilicalSummary::of(&scenario, Units::Metric);
    let found: Vec<(f64, f64)> = reach.rates.iter().map(|r| (r.minutes, r.reach_m)).collect();
    assert_eq!(found, [(14.85, 148.5), (12.99, 129.9), (8.32, 83.2)]);
    assert!(reach.rates.iter().all(|r| r.answer == "reaches"));
    assert_eq!(
        (reach.asked[0].answer, reach.asked[0].found.as_str()),
        ("kept", "5 m longer")
    );
    let mut lengths = scenario.umbilicals.expect("given");
    lengths.excursion_m = 100.0;
    lengths.bellman_m = 47.9;
    scenario.umbilicals = Some(lengths);
    let short = UmbilicalSummary::of(&scenario, Units::Metric);
    let answers: Vec<&str> = short.rates.iter().map(|r| r.answer).collect();
    assert_eq!(answers, ["reaches", "reaches", "short"]);
    assert_eq!(short.asked[0].answer, "broken", "Canada, s. 43(d): 3 m");
    scenario.umbilicals = None;
    let unknown = UmbilicalSummary::of(&scenario, Units::Metric);
    assert!(unknown.rates.iter().all(|r| r.answer == "not judged"));
    assert_eq!(unknown.asked[0].answer, "not judged");
    // From memory: 10 min at 62.5 L/min, a minute for ten metres, 2 m.
    let mut industry = under("industry");
    industry.accepted = [
        "norsok.umbilical.bail-out",
        "imca.umbilical.bail-out",
        "imca.umbilical.standby",
    ]
    .map(str::to_owned)
    .into();
    let remembered = UmbilicalSummary::of(&industry, Units::Metric);
    let answers: Vec<&str> = remembered.asked.iter().map(|a| a.answer).collect();
    assert_eq!(answers, ["kept", "broken", "kept"]);
}

/// Sizing at 30 L/h (France, 2012, art. 33): oxygen for 72 h is 2.16 m3 a place; IMCA D 052, second-hand: 72 h.
#[test]
fn evacuation_by_hand() {
    let scenario = six_man();
    let found = EvacuationSummary::of(&scenario, Units::Metric);
    assert!((found.wanted_h - 72.0).abs() < 1e-9 && (found.depth_msw - 118.0).abs() < 1e-9);
    let unit = &found.units[0];
    let people = f64::from(unit.places);
    assert!(
        (unit.oxygen_needed_m3 - 2.16 * people).abs() < 0.01,
        "{unit:?}"
    );
    let (held, needed) = unit
        .absorbent_kg
        .zip(unit.absorbent_needed_kg)
        .expect("a scrubber");
    let lasts_h = unit.absorbent_h.expect("a scrubber");
    // The same canister and people: hours go as kilograms.
    assert!((held / needed - lasts_h / 72.0).abs() < 0.02, "{unit:?}");
    // Norway, s. 41a: two units, each for all; the spread has two of eight places for six men.
    assert_eq!(found.asked[0].answer, "kept");
    for (places, answer) in [(6, "kept"), (5, "broken")] {
        let mut scenario = six_man();
        let mut units = scenario.steel.compartments.iter_mut();
        let second = units.find(|c| c.name == "Rescue 2").expect("there");
        second.places = places;
        let found = EvacuationSummary::of(&scenario, Units::Metric);
        assert_eq!(found.asked[0].answer, answer, "{places} places");
    }
    let silent = EvacuationSummary::of(&under("uk"), Units::Metric);
    assert!(
        silent
            .wanted_source
            .contains("the rule set says nothing of it")
    );
}

/// What the unit needs stands on the posted page and among what a study wants beside the stock: the same amounts under
/// every set, whatever its sizing rates.
#[test]
fn the_page_and_the_reserve_want_the_same_of_the_evacuation_unit() {
    use deepstay_stock::reserve::{Outcome, ReserveInputs, sheet};
    let plain = deepstay_rules::builtin_text("demonstration").expect("built in");
    let leaner = plain.replace("(flow: \"30 L/h\")", "(flow: \"36 L/h\")");
    let own = deepstay_rules::RuleSet::from_ron(&leaner, "own.ron").expect("a set");
    let builtins = deepstay_rules::builtin_names().map(|n| (n, builtin(n).expect("built in")));
    let mut oxygen_m3 = Vec::new();
    for (name, set) in builtins.chain([("own", own)]) {
        let mut scenario = six_man();
        scenario.rules = Arc::new(set);
        let page = EvacuationSummary::of(&scenario, Units::Metric);
        let reserve = sheet(&scenario, &scenario.rules, &ReserveInputs::default());
        let unit = &page.units[0];
        let line = reserve.lines.iter().find(|l| l.id == "evacuation.rescue");
        let Some(Outcome::Wanted(wants)) = line.map(|l| &l.outcome) else {
            panic!("{name}: no amounts")
        };
        let wanted = |what: &str| wants.iter().find(|w| w.what == what).expect(what).amount;
        let alike = [
            (unit.oxygen_needed_m3, wanted("oxygen"), 0.005),
            (unit.leak_needed_m3, wanted("gas against its leak"), 0.005),
            (
                unit.absorbent_needed_kg.expect("a scrubber"),
                wanted("absorbent"),
                0.05,
            ),
        ];
        for (on_page, in_reserve, half_digit) in alike {
            assert!(
                (on_page - in_reserve).abs() <= half_digit * 1.001,
                "{name}: {on_page} and {in_reserve}"
            );
        }
        oxygen_m3.push(unit.oxygen_needed_m3 / f64::from(unit.places));
    }
    // 72 h at 30 L/h, and at 36.
    assert!((oxygen_m3[0] - 2.16).abs() < 0.01);
    assert!((oxygen_m3[oxygen_m3.len() - 1] - 2.592).abs() < 0.01);
}

/// IMO A.831(19), 2.11, and Lloyd's Register: an instrument that is taken away is missed, by place and quantity.
#[test]
fn an_instrument_that_is_missing_is_named() {
    let mut scenario = six_man();
    let answer = |scenario: &Scenario, id: &str| {
        let mut lines = MonitoringSummary::of(scenario).asked.into_iter();
        let line = lines.find(|l| l.by.rule == id).expect("asked");
        (line.answer, line.found)
    };
    let chamber = "imo1995.monitoring.chamber";
    let (kept, found) = answer(&scenario, chamber);
    assert_eq!(kept, "kept", "{found}");
    scenario
        .steel
        .instruments
        .retain(|i| i.quantity != Quantity::Temperature);
    let (broken, found) = answer(&scenario, chamber);
    assert!(
        broken == "broken" && found.contains("Living: ") && found.contains("0 of 1"),
        "{found}"
    );
    let mut scenario = six_man();
    scenario
        .steel
        .instruments
        .retain(|i| i.channel == Channel::Primary);
    let (broken, found) = answer(&scenario, "lr2022.monitoring.back-up");
    assert!(broken == "broken" && found.contains("1 of 2"), "{found}");
    assert_eq!(
        answer(&under("canada"), "canada1988.monitoring.recorder").0,
        "not judged"
    );
}

/// US Navy Diving Manual, 15-17: 0.48 ata and 6 % meet at 231 fsw, 70.8 msw; 15-15: 1.5 to 2.8 ata. Of 30 % that is 41 to 84 msw
/// and of 55 % 18 to 41 msw, at 1.01325 bar on deck; without the 30 % there is nothing from 42 to 79 msw.
#[test]
fn fire_zone_and_treatment_gas() {
    let found = TreatmentSummary::of(&six_man(), Units::Metric);
    assert!(
        found.fire_zone[0].contains("shallower than 70.9\u{a0}msw"),
        "{:?}",
        found.fire_zone
    );
    let depths = |name: &str| {
        let bank = found.banks.iter().find(|b| b.bank == name);
        bank.expect("there").depths.as_str()
    };
    assert_eq!(
        (depths("T-2"), depths("T-3")),
        ("41 to 84 msw", "18 to 41 msw")
    );
    assert_eq!(depths("O-1"), "5 to 18 msw");
    assert_eq!(found.asked[0].answer, "kept");
    let mut without = six_man();
    without.steel.banks.retain(|b| b.name != "T-2");
    let found = TreatmentSummary::of(&without, Units::Metric);
    let asked = &found.asked[0];
    let gap = "the first 42.0\u{a0}msw and the last 79.0\u{a0}msw";
    assert!(
        asked.answer == "broken" && asked.found.contains(gap),
        "{asked:?}"
    );
    let silent = TreatmentSummary::of(&under("uk"), Units::Metric);
    assert_eq!(
        silent.not_judged.as_deref(),
        Some("the set says nothing of it")
    );
}
