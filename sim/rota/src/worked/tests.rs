//! What is breathed and how the way up begins, by hand, from a built-in job's plan: just kept and just broken.

use super::Worked;
use crate::questions::{Answered, WorkQuestion};
use crate::types::Span;
use deepstay_core::units::{DiverId, Duty};
use deepstay_rules::AfterDemand;
use deepstay_rules::{RuleSet, builtin};
use deepstay_scenario::{Scenario, load};

const H: i64 = 3600;

fn six_man() -> Scenario {
    load("six-man").expect("built in")
}

/// With divers' gas labelled anew.
fn labelled(o2: f64) -> Worked {
    let mut scenario = six_man();
    let banks = scenario.steel.banks.iter_mut();
    for bank in banks.filter(|b| b.duty == Duty::DiverGas) {
        bank.label_o2 = o2;
    }
    Worked::planned(&scenario).expect("planned")
}

fn answer(work: &Worked, rules: &RuleSet, question: WorkQuestion) -> Answered {
    let answers = work.judged(rules, &[]).answers.into_iter();
    let mut found = answers.filter(|a| a.question == question);
    found.next().expect("every question is answered").answered
}

fn left(answered: &Answered) -> i64 {
    let (Answered::Kept(nearest) | Answered::Broken { worst: nearest, .. }) = answered else {
        panic!("{answered:?}");
    };
    nearest.margin.left()
}

fn house(more: &str) -> RuleSet {
    let text = format!("(format: 1, name: \"house\", title: \"a house\", {more})");
    RuleSet::from_ron(&text, "house.ron").expect("a set")
}

/// France, R4461-19: three hours of work, 1600 hPa. At 118 msw and 1.01325 bar on deck 12.813 bar: 12.48 % are 1599 hPa, 12.50 %
/// are 1602. Sets that say nothing of it are not kept.
#[test]
fn oxygen_at_work_is_judged_by_the_label() {
    let question = WorkQuestion::OxygenAtWork;
    let france = builtin("france-2012").expect("built in");
    let kept = answer(&labelled(0.05), &france, question);
    // 0.05 x 12813.25 = 640.66 hPa; 1600 - 640.66, in thousandths.
    assert!((left(&kept) - 959_338).abs() <= 1, "{kept:?}");
    let just = answer(&labelled(0.1248), &france, question);
    assert!(matches!(just, Answered::Kept(_)), "{just:?}");
    let broken = answer(&labelled(0.1250), &france, question);
    assert!(matches!(broken, Answered::Broken { .. }), "{broken:?}");
    assert!((left(&broken) + 1_656).abs() <= 1, "{broken:?}");
    let norway = builtin("norway").expect("built in");
    let silent = Answered::NotJudged("the set says nothing of it".to_owned());
    assert_eq!(answer(&labelled(0.05), &norway, question), silent);
}

/// France, R4461-17: 9 g/L. By the ideal law heliox of 5 % at 12.813 bar and 7 degC has 1 281 300 x 0.0054024 / (8.3145 x 280.15)
/// = 2.972 kg/m3; helium is a little less dense than that, by under 1 %. A set of a house that asks for less is broken.
#[test]
fn density_is_judged_at_the_depth_of_work() {
    let question = WorkQuestion::GasDensity;
    let france = builtin("france-2012").expect("built in");
    let found = 9.0 - left(&answer(&labelled(0.05), &france, question)) as f64 / 1e3;
    assert!((found - 2.972).abs() < 0.03 && found < 2.972, "{found}");
    let asks = |most: &str| {
        house(&format!(
            "gas_density: [(id: \"house.density\", source: (document: \"our manual\", status: Seen), figures: (most_g_l: {most}))]"
        ))
    };
    let broken = answer(&labelled(0.05), &asks("2.9"), question);
    assert!(matches!(broken, Answered::Broken { .. }), "{broken:?}");
    let kept = answer(&labelled(0.05), &asks("3.0"), question);
    assert!(matches!(kept, Answered::Kept(_)), "{kept:?}");
}

/// Norway, s. 94: four hours on a mask, then a break.
#[test]
fn a_mask_is_worn_for_four_hours_at_the_most() {
    let question = WorkQuestion::MaskTime;
    let norway = builtin("norway").expect("built in");
    let mut work = labelled(0.05);
    let nobody = Answered::NotJudged("nobody is on a mask".to_owned());
    assert_eq!(answer(&work, &norway, question), nobody);
    work.breathed.masks = vec![(DiverId(2), Span::new(H, 5 * H))];
    assert_eq!(left(&answer(&work, &norway, question)), 0);
    work.breathed
        .masks
        .push((DiverId(3), Span::new(0, 4 * H + 1)));
    let broken = answer(&work, &norway, question);
    let Answered::Broken { times: 1, worst } = &broken else {
        panic!("{broken:?}");
    };
    assert_eq!((worst.diver, worst.margin.left()), (Some(DiverId(3)), -1));
}

/// A house that wants a hold after the last run: the plan's last run is home some hours before the way up begins.
#[test]
fn the_start_of_a_decompression_is_judged() {
    let question = WorkQuestion::DecompressionStart;
    let work = labelled(0.05);
    let demonstration = builtin("demonstration").expect("built in");
    let Answered::Kept(kept) = answer(&work, &demonstration, question) else {
        panic!("no plan begins with an excursion");
    };
    assert_eq!(kept.rule.id, "house.decompression.start");
    let asks = |hold: &str| {
        house(&format!(
            "based_on: [(set: \"demonstration\")], decompression_start: [(id: \"house.start\", source: (document: \"our manual\", status: Seen), figures: (upward_excursion: false, hold_after_dive: \"{hold}\"))]"
        ))
    };
    let home_s = work.moments.iter().map(|m| m.home_s).max().expect("runs");
    let left_s = work.problem.divers[0].saturations[0].leaves_s - home_s;
    assert!(left_s > H, "{left_s}");
    assert_eq!(left(&answer(&work, &asks("1 h"), question)), left_s - H);
    let broken = answer(&work, &asks("4 d"), question);
    assert!(matches!(broken, Answered::Broken { .. }), "{broken:?}");
}

/// The demonstration set has Canada's 24 h near a chamber and France's 48 h before a flight offshore and as long at the surface as
/// under pressure; under the Norwegian set recompression is at hand for a day, and deeper than 180 m the interval is doubled.
#[test]
fn dates_after_surfacing() {
    let work = labelled(0.05);
    let saturation = work.problem.divers[0].saturations[0];
    let of = |set: &str| {
        let rules = builtin(set).expect("built in");
        work.after_surfacing(saturation.surfaced_s, &rules, &[])
    };
    let hours = |after: &[super::after::AfterSurfacing], demand: AfterDemand| {
        let mut all = after[0].demands.iter();
        let found = all.find(|(d, _)| *d == demand);
        found.map(|(_, until)| (until.at_s - after[0].surfaced_s) / H)
    };
    let house = of("demonstration");
    assert_eq!(house.len(), 6);
    assert_eq!(hours(&house, AfterDemand::NearChamber), Some(24));
    assert_eq!(hours(&house, AfterDemand::NoFlight), Some(48));
    let again = house[0].again.as_ref().expect("France, art. 32");
    let under_s = saturation.surfaced_s - saturation.pressed_s;
    assert_eq!(again.at_s, saturation.surfaced_s + under_s);
    assert_eq!(again.by.id, "france2012.interval");
    let norway = of("norway");
    assert_eq!(hours(&norway, AfterDemand::RecompressionAtHand), Some(24));
    assert_eq!(hours(&norway, AfterDemand::NoFlight), None);
    let uk = of("uk");
    assert!(uk[0].demands.is_empty());
    assert!(
        uk[0]
            .again
            .as_ref()
            .is_err_and(|why| why.contains("uk.saturation is from memory"))
    );
    // A second before he surfaces he is not at the surface.
    let rules = builtin("demonstration").expect("built in");
    assert_eq!(
        work.after_surfacing(saturation.surfaced_s - 1, &rules, &[]),
        []
    );
}
