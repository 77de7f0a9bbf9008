//! The sheet of a job by the built-in sets.

use super::*;
use deepstay_core::units::BankId;
use deepstay_plant::Duty;
use deepstay_rules::builtin;
use deepstay_scenario::load;

fn six_man() -> Scenario {
    load("six-man").expect("built in")
}

fn of(scenario: &Scenario, set: &str) -> Sheet {
    sheet(
        scenario,
        &builtin(set).expect("built in"),
        &ReserveInputs::default(),
    )
}

/// What rules ask for of a gas, without the way home.
fn m3(sheet: &Sheet, holding: Holding) -> f64 {
    let total = sheet.total(holding).expect("asked for");
    total
        .free_m3(total.amount - total.way_home())
        .expect("a gas")
}

#[test]
fn every_set_gives_a_sheet_and_every_line_shows_its_inputs() {
    let scenario = six_man();
    for name in deepstay_rules::builtin_names() {
        let sheet = of(&scenario, name);
        for line in &sheet.lines {
            let shown = matches!(line.outcome, Outcome::Figures | Outcome::Not(_));
            assert!(
                shown || !line.formula.is_empty() && !line.terms.is_empty(),
                "{}",
                line.id
            );
            assert!(
                line.terms.iter().all(|t| t.value.is_finite()),
                "{}",
                line.id
            );
        }
        for total in &sheet.totals {
            assert!(
                total.amount > 0.0 && total.amount.is_finite(),
                "{:?}",
                total.holding
            );
        }
    }
}

#[test]
fn a_recalled_flow_is_used_only_where_it_is_accepted() {
    let mut scenario = six_man();
    let house = m3(&of(&scenario, "demonstration"), Holding::MaskGas);
    let line = |sheet: &Sheet| {
        sheet
            .lines
            .iter()
            .find(|l| l.id == "imca2000.gas.mask-flow")
            .expect("there")
            .clone()
    };
    assert!(
        matches!(line(&of(&scenario, "demonstration")).outcome, Outcome::Not(why) if why.contains("recalled"))
    );
    scenario.accepted.push("imca2000.gas.mask-flow".into());
    let accepted = m3(&of(&scenario, "demonstration"), Holding::MaskGas);
    assert!(
        (house / accepted - 1.5).abs() < 1e-12,
        "30 against 20 L/min"
    );
    let own = ReserveInputs {
        mask_l_min: Given::by_planner(40.0),
        ..ReserveInputs::default()
    };
    let own = sheet(
        &scenario,
        &builtin("demonstration").expect("built in"),
        &own,
    );
    assert!((m3(&own, Holding::MaskGas) / accepted - 2.0).abs() < 1e-12);
}

#[test]
fn what_is_posted_holds_just_the_minimum() {
    let scenario = six_man();
    let sheet = of(&scenario, "demonstration");
    let surface = scenario.steel.surface_pa;
    let mut seen = 0;
    for posted in sheet.posted.iter().filter(|p| !p.last.is_empty()) {
        let heel = posted.heel_bar.expect("a gas") * 1e5;
        let usable = |at: &AtGauge| {
            held::usable_mol(
                &scenario.steel.banks[at.bank.index()],
                at.gauge_bar * 1e5,
                heel,
                surface,
            )
        };
        let one_by_one: f64 = posted.last.iter().map(usable).sum();
        let gauge_bar = posted.alike_bar.expect("a gas");
        let alike: f64 = posted
            .banks
            .iter()
            .map(|&bank| usable(&AtGauge { bank, gauge_bar }))
            .sum();
        for mol in [one_by_one, alike] {
            assert!(
                (mol / posted.amount - 1.0).abs() < 1e-9,
                "{:?}",
                posted.holding
            );
        }
        seen += 1;
    }
    assert!(seen >= 4, "{seen}");
}

#[test]
fn a_gas_that_cannot_be_breathed_at_the_depth_does_not_count() {
    let mut scenario = six_man();
    let before = of(&scenario, "demonstration");
    let masks = before.held(Holding::MaskGas).expect("asked for");
    // 10, 20 and 50 % are 1.27, 2.5 and 6.4 ata of oxygen at 118 msw: named, and not counted.
    assert_eq!(masks.not_breathable.len(), 3);
    let emergency = scenario
        .steel
        .banks
        .iter()
        .position(|b| b.duty == Duty::Emergency)
        .expect("there");
    scenario.steel.banks[emergency].label_o2 = 0.5;
    let after = of(&scenario, "demonstration");
    let masks_after = after.held(Holding::MaskGas).expect("asked for");
    assert!(
        masks_after
            .not_breathable
            .contains(&BankId(emergency as u8))
    );
    assert!(masks_after.amount < masks.amount);
}

#[test]
fn rows_against_one_event_overlap_and_others_add() {
    let scenario = six_man();
    // Two sets together: 24 h, and 24 h beyond an 8-h dive. The larger counts, once.
    let text = deepstay_rules::builtin_text("industry").expect("built in");
    let more = text.replace(
        "gas_minimums: [",
        "gas_minimums: [\n (id: \"x.bell\", source: (document: \"an invented rule\", status: HouseRule), figures: BellKeeps(time: \"24 h\")),",
    );
    let set = RuleSet::from_ron(&more, "more.ron").expect("a set");
    let sheet = sheet(&scenario, &set, &ReserveInputs::default());
    let total = sheet.total(Holding::BellOxygen).expect("asked for");
    assert_eq!(total.rules(), ["lr2022.gas.bell"]);
    assert_eq!(total.parts.len(), 2);
    // Two people, 32 h, 0.5 L/min.
    assert!((m3(&sheet, Holding::BellOxygen) - 2.0 * 0.03 * 32.0).abs() < 1e-9);
}

#[test]
fn the_severed_umbilical_goes_by_its_means_of_retrieval() {
    let scenario = six_man();
    let set = builtin("united-states").expect("built in");
    let with = |inputs| m3(&sheet(&scenario, &set, &inputs), Holding::BellOxygen) / (2.0 * 0.03);
    let hours = 3600.0;
    let two = ReserveInputs {
        retrieval_s: Given::by_planner(3.0 * hours),
        second_means: Some(true),
        ..ReserveInputs::default()
    };
    assert!((with(two) - 7.0).abs() < 1e-9, "1 h and twice 3 h");
    assert!(
        (with(ReserveInputs {
            second_means: Some(false),
            ..two
        }) - 12.0)
            .abs()
            < 1e-9
    );
}

#[test]
fn two_sets_side_by_side() {
    let scenario = six_man();
    let pairs = beside(&of(&scenario, "canada"), &of(&scenario, "united-states"));
    let pair = |subject| pairs.iter().find(|p| p.subject == subject).expect("there");
    let oxygen = pair(Subject::Minimum(Holding::BellOxygen));
    assert!(oxygen.a > oxygen.b && oxygen.b_rows == ["uscg.gas.severed"]);
    assert_eq!(pair(Subject::Minimum(Holding::PressingMix)).b, None);
    assert!(!pairs.iter().any(|p| p.subject == Subject::Bill));
}

#[test]
fn a_job_without_steel_gives_no_numbers() {
    let sheet = of(&Scenario::default(), "demonstration");
    assert!(sheet.totals.iter().all(|t| t.amount.is_finite()));
    assert!(
        sheet
            .lines
            .iter()
            .any(|l| matches!(l.outcome, Outcome::Not(_)))
    );
    assert!(!sheet.asked.is_empty());
}
