//! The parts of a sheet of minimum stocks by hand: which banks count towards what and from which pressure on, what each row
//! is told from, what is wanted beside the stock, what is asked on board, and what two sets say beside each other.

use super::reserve::{job_at, m3, sheet_of};
use approx::assert_abs_diff_eq as close;
use deepstay_core::units::CompartmentKind;
use deepstay_plant::Duty;
use deepstay_rules::RuleSet;
use deepstay_scenario::Scenario;
use deepstay_stock::heat_at_rest_w;
use deepstay_stock::reserve::*;

/// Free gas at 15 degC and 1 bar, mol in a cubic metre: 1e5 / (8.314463 x 288.15).
const MOL_M3: f64 = 41.739_5;

/// Storage at 100 msw and work at 120.
fn job() -> Scenario {
    let mut s = job_at(100.0);
    s.site.working_msw = 120.0;
    s
}

fn line<'a>(sheet: &'a Sheet, id: &str) -> &'a Line {
    sheet.lines.iter().find(|l| l.id == id).expect(id)
}

fn term<'a>(line: &'a Line, symbol: &str) -> &'a Term {
    line.terms
        .iter()
        .find(|t| t.symbol == symbol)
        .unwrap_or_else(|| panic!("{}: {symbol}", line.id))
}

fn names(s: &Scenario, held: &Held) -> Vec<String> {
    let banks = held.gases.iter().flat_map(|g| &g.banks);
    banks
        .map(|b| s.steel.banks[b.index()].name.clone())
        .collect()
}

/// Fifteen bar over the bottom (the house's) and the depth: 27 bar for what is used at 120 msw, 25 for what is at 100, 15 for
/// air. Blow-down mix is nine banks of 3.2 m3 at 200 bar, by hand 9 x 3.2 x 175 m3.
#[test]
fn what_counts_towards_each_and_from_which_pressure_on() {
    let s = job();
    let sheet = sheet_of(&s, "demonstration", &ReserveInputs::default());
    use Holding::{BellGas, BellOxygen, DiverGas, EscapeAir, MaskGas, Oxygen, PressingMix};
    // Beside a loop divers' gas is the bank for open circuit alone; treatment gas of 17 % and more is no gas for masks at
    // 100 msw, where 17 % come to 1.87 ata.
    let mix: Vec<String> = (1..=9).map(|k| format!("M-{k}")).collect();
    let mix: Vec<&str> = mix.iter().map(String::as_str).collect();
    let table: [(Holding, f64, f64, &[&str]); 7] = [
        (DiverGas, 120.0, 27.0, &["D-3"]),
        (BellGas, 120.0, 27.0, &["OB-1"]),
        (BellOxygen, 120.0, 27.0, &["OB-2"]),
        (PressingMix, 100.0, 25.0, &mix),
        (MaskGas, 100.0, 25.0, &["E-1"]),
        (Oxygen, 100.0, 25.0, &["O-1", "O-2", "O-3", "O-4"]),
        (EscapeAir, 0.0, 15.0, &["A-1"]),
    ];
    for (holding, depth_msw, heel_bar, banks) in table {
        let held = sheet.held(holding).expect("asked for");
        assert_eq!(held.depth_msw, depth_msw, "{holding}");
        close!(held.heel_bar.expect("a gas"), heel_bar, epsilon = 1e-9);
        assert_eq!(names(&s, held), banks, "{holding}");
    }
    let by_hand = sheet.held(PressingMix).and_then(|h| h.by_hand_m3);
    close!(by_hand.expect("a gas"), 9.0 * 3.2 * 175.0, epsilon = 1e-6);
    let mut open = s.clone();
    open.plan.reclaim = false;
    let sheet = sheet_of(&open, "demonstration", &ReserveInputs::default());
    let held = sheet.held(DiverGas).expect("asked for");
    assert_eq!(names(&open, held), ["D-1", "D-2", "D-3", "D-4", "D-5"]);
}

/// On the bell what is nine parts of ten oxygen or less is gas, and what is more is oxygen; what its own line is fed from
/// counts whatever the label says, and oxygen on deck does not.
#[test]
fn gas_and_oxygen_on_the_bell() {
    let on_bell = |change: fn(&mut Scenario)| {
        let mut s = job();
        change(&mut s);
        let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
        [Holding::BellGas, Holding::BellOxygen].map(|h| names(&s, sheet.held(h).expect("asked")))
    };
    let bank = |s: &mut Scenario, name: &str, change: fn(&mut deepstay_plant::Bank)| {
        change(
            s.steel
                .banks
                .iter_mut()
                .find(|b| b.name == name)
                .expect("there"),
        );
    };
    let as_it_is = on_bell(|_| {});
    assert_eq!(as_it_is, [vec!["OB-1"], vec!["OB-2"]]);
    // Nine tenths cannot be breathed at 120 msw, and so is neither.
    let nine_tenths = on_bell(|s| {
        let two = s.steel.banks.iter_mut().find(|b| b.name == "OB-2");
        two.expect("there").label_o2 = 0.9;
    });
    assert_eq!(nine_tenths, [vec!["OB-1".to_owned()], Vec::new()]);
    let more = on_bell(|s| {
        let two = s.steel.banks.iter_mut().find(|b| b.name == "OB-2");
        two.expect("there").label_o2 = 0.91;
    });
    assert_eq!(more, as_it_is);
    let mut s = job();
    bank(&mut s, "OB-1", |b| b.duty = Duty::Emergency);
    let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
    let gas = sheet.held(Holding::BellGas).expect("asked for");
    let fed = s.steel.compartments.iter().find_map(|c| c.bell?.on_board);
    let fed = fed.map(|b| s.steel.banks[b.index()].name.clone());
    assert_eq!(names(&s, gas), fed.into_iter().collect::<Vec<_>>());
}

/// Absorbent: what is in the scrubbers and what is spare. 24 h of two people in the bell at 0.5 L/min of carbon dioxide each
/// (France, order of 30 October 2012, art. 33), over the litres that a kilogram takes.
#[test]
fn absorbent_of_bell_and_chambers() {
    let mut s = job();
    let inputs = ReserveInputs {
        spare_absorbent_bell_kg: 7.0,
        spare_absorbent_kg: 11.0,
        ..ReserveInputs::default()
    };
    let bell = s.plan.bell_runs[0].bell;
    let living = s.plan.levels[0].members[0];
    let of = |s: &Scenario, at: deepstay_core::units::CompartmentId| {
        s.steel.compartments[at.index()].scrubber.expect("fitted")
    };
    let (in_bell, in_living) = (of(&s, bell), of(&s, living));
    let sheet = sheet_of(&s, "canada", &inputs);
    let held = |h: Holding| sheet.held(h).expect("asked for").amount;
    close!(
        held(Holding::BellAbsorbent),
        in_bell.absorbent_kg + 7.0,
        epsilon = 1e-9
    );
    close!(
        held(Holding::ChamberAbsorbent),
        in_living.absorbent_kg + 11.0,
        epsilon = 1e-9
    );
    let l_kg = in_bell.capacity_mol_kg / MOL_M3 * 1e3;
    let total = sheet.total(Holding::BellAbsorbent).expect("asked for");
    close!(
        total.amount,
        2.0 * 0.5 * 60.0 * 24.0 / l_kg,
        epsilon = 1e-4 * total.amount
    );
    let keeps = line(&sheet, "canada1988.gas.bell");
    close!(term(keeps, "c").value, l_kg, epsilon = 1e-4 * l_kg);
    close!(term(keeps, "k").value, 1.0, epsilon = 1e-12);
    close!(term(keeps, "t").value, 24.0, epsilon = 1e-12);
    // Two for a bell of two, one of them in the water; and what the rule asks for by kind, m3 of gas and none of absorbent.
    for need in keeps.needs() {
        let by_hand = match need.holding {
            Holding::BellOxygen => Some(2.0 * 0.72),
            Holding::BellAbsorbent => None,
            _ => need.m3(),
        };
        match (need.m3(), by_hand) {
            (Some(found), Some(by_hand)) => close!(found, by_hand, epsilon = 1e-9),
            (found, by_hand) => assert_eq!(found, by_hand),
        }
    }
    // Without a scrubber, or with one that takes nothing, no absorbent is asked for.
    let asked = |s: &Scenario| {
        let sheet = sheet_of(s, "canada", &inputs);
        sheet.total(Holding::BellAbsorbent).is_some()
    };
    assert!(asked(&s));
    s.steel.compartments[bell.index()].scrubber = Some(deepstay_plant::Scrubber {
        capacity_mol_kg: 0.0,
        ..in_bell
    });
    assert!(!asked(&s));
    s.steel.compartments[bell.index()].scrubber = None;
    assert!(!asked(&s));
}

/// What rows are told from: half an hour, by the house; one of two in the water, two of three; and of the bill (GB 18985-2021,
/// 5.6) mix, days, runs and depth below storage as the plan has them.
#[test]
fn what_rows_are_told_from() {
    let mut s = job();
    let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
    let bypass = line(&sheet, "canada1988.gas.bypass");
    let time = term(bypass, "t");
    assert_eq!(
        (time.value, time.unit, &time.from),
        (30.0, "min", &Origin::Assumed)
    );
    assert_eq!(term(bypass, "N").value, 1.0);
    let china = sheet_of(&s, "china-2021", &ReserveInputs::default());
    let bill = china.lines.iter().find(|l| l.reconstruction).expect("one");
    close!(term(bill, "C").value, 2.0, epsilon = 1e-9);
    close!(term(bill, "d").value, 31.0, epsilon = 1e-9);
    close!(term(bill, "\u{394}D").value, 20.0, epsilon = 1e-9);
    assert_eq!(term(bill, "n").value, s.plan.bell_runs.len() as f64);
    // GB 18985-2021, 4.2: 40 L/min at moderate work, by its row.
    let flow = bill.terms.iter().find(|t| t.symbol == "q").expect("a flow");
    close!(flow.value, 40.0, epsilon = 1e-9);
    assert_eq!(flow.from, Origin::Rule("gb2021.gas.flow".to_owned()));
    let men: Vec<_> = s.plan.bell_runs[..2]
        .iter()
        .flat_map(|r| r.divers.clone())
        .collect();
    s.plan.bell_runs[0].divers = men[..3].to_vec();
    let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
    assert_eq!(term(line(&sheet, "canada1988.gas.bypass"), "N").value, 2.0);
}

/// A level that is never pressed has no part in what presses again, and a bell that dives without one is sealed to its trunk
/// all the same.
#[test]
fn what_is_not_pressed_and_who_does_not_dive() {
    let mut s = job();
    let mut level = s.plan.levels[0].clone();
    level.steps.clear();
    s.plan.levels.push(level);
    let volumes = |s: &Scenario| {
        let sheet = sheet_of(s, "canada", &ReserveInputs::default());
        let press = sheet
            .lines
            .iter()
            .find(|l| l.needs().iter().any(|n| n.event == Event::PressureLost));
        let terms = press.expect("asked for").terms.iter();
        terms.filter(|t| t.symbol == "V").count()
    };
    assert_eq!(volumes(&s), 1);
    s.plan.bell_runs.clear();
    let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
    for (id, why) in [
        ("home.dive", "no bell dives in the plan"),
        ("home.trunk", "no bell dives in the plan"),
    ] {
        assert_eq!(line(&sheet, id).outcome, Outcome::Not(why.to_owned()));
    }
    assert!(matches!(
        line(&sheet, "home.decompression").outcome,
        Outcome::Held(_)
    ));
}

/// Lloyd's Register (July 2022) speaks of depths to 185 msw: of 185 still, of a metre more not.
#[test]
fn a_rule_that_speaks_of_depths_to_a_last_one() {
    let answered = |working_msw: f64| {
        let mut s = job_at(100.0);
        s.site.working_msw = working_msw;
        let sheet = sheet_of(&s, "industry", &ReserveInputs::default());
        let keeps = line(&sheet, "lr2022.gas.bell").outcome.clone();
        match keeps {
            Outcome::Held(_) => String::new(),
            Outcome::Not(why) => why,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(answered(185.0), "");
    assert_eq!(answered(186.0), "it speaks of depths to 185 msw");
}

/// A hold of two hours before the way up, written into a set of one's own: it is told, everybody breathes two hours longer,
/// and 1 % a day leaks out of 60 m3 at 11 bar meanwhile.
#[test]
fn a_wait_before_the_way_up() {
    let text = r#"(format: 1, name: "ours", title: "ours", based_on: [(set: "demonstration")],
        decompression_start: [(id: "ours.start", source: (document: "an invented rule", status: HouseRule),
            figures: (upward_excursion: false, hold_after_dive: "2 h"))])"#;
    let ours = RuleSet::from_ron(text, "ours.ron").unwrap_or_else(|bad| panic!("{bad}"));
    let mut s = job();
    let waits = |sheet: &Sheet| {
        let up = line(sheet, "home.decompression").terms.iter();
        let waits = up.filter(|t| t.what == "wait after the last dive");
        waits.map(|t| t.value).collect::<Vec<_>>()
    };
    let before = sheet_of(&s, "canada", &ReserveInputs::default());
    assert!(waits(&before).is_empty());
    s.rules = ours.into();
    let after = sheet_of(&s, "canada", &ReserveInputs::default());
    assert_eq!(waits(&after), [2.0]);
    let hold = line(&after, "home.hold");
    close!(term(hold, "k").value, 1.0, epsilon = 1e-12);
    // At its stops, by the timetable of the hour that makes it longest: 1 % a day of 60 m3 at the pressure of each.
    let plans = (0..24i64).map(|hour| {
        let second = (s.start_second_of_day + hour * 3600) % 86_400;
        let plan = s.rules.decompression(100.0, second, &s.accepted);
        plan.expect("there")
    });
    let longest = plans.max_by_key(|plan| plan.total_s).expect("hours");
    let stops: Vec<(f64, f64)> = longest
        .steps
        .windows(2)
        .map(|two| {
            (
                two[0].to_msw,
                (two[1].start_s - two[0].by_s) as f64 / 3600.0,
            )
        })
        .collect();
    let hours: f64 = stops.iter().map(|(_, hours)| hours).sum();
    assert!(hours > 24.0, "it rests and it steps");
    close!(term(hold, "t").value, hours + 2.0, epsilon = 1e-6);
    let leaks = stops
        .iter()
        .map(|(depth, hours)| 0.6 * (depth / 10.0 + 1.0) * hours / 24.0);
    let leaked: f64 = leaks.sum();
    let held = |sheet: &Sheet| line(sheet, "home.hold").needs()[0].m3().expect("a gas");
    close!(held(&before), leaked, epsilon = 1e-6);
    close!(
        held(&after),
        leaked + 0.6 * 11.0 * 2.0 / 24.0,
        epsilon = 1e-6
    );
    let more = |holding: Holding| {
        let home = |s: &Sheet| {
            let total = s.total(holding).expect("asked for");
            total.free_m3(total.way_home()).expect("a gas")
        };
        home(&after) - home(&before)
    };
    close!(more(Holding::Oxygen), 6.0 * 0.030 * 2.0, epsilon = 1e-6);
}

/// A bell that dives from a job in which nobody is pressed, and a leak of nothing: depth is held nowhere that costs gas.
#[test]
fn what_costs_no_gas_is_not_asked_for() {
    let none = ReserveInputs {
        leak_per_day: Given::by_planner(0.0),
        ..ReserveInputs::default()
    };
    let found = sheet_of(&job(), "canada", &none);
    let nowhere = Outcome::Not("depth is held nowhere on the way up".to_owned());
    assert_eq!(line(&found, "home.hold").outcome, nowhere);
    // Minimums of gas that nothing aboard counts towards, and no others.
    let nothing = |s: &Scenario| {
        let sheet = sheet_of(s, "canada", &ReserveInputs::default());
        let held = sheet.held_in_nothing().map(|t| t.holding);
        held.collect::<Vec<_>>()
    };
    assert_eq!(nothing(&job()), []);
    let mut s = job();
    for bank in &mut s.steel.banks {
        if bank.duty == Duty::Oxygen {
            bank.duty = Duty::Air;
        }
    }
    assert_eq!(nothing(&s), [Holding::Oxygen]);
}

/// What everybody in the unit wants for 72 h (IMCA D 052, as an encyclopaedia quotes it), by hand: its leak at 11 bar,
/// absorbent for 0.5 L/min each, and warmth between the set's limits, UA (Tl - To) less what people give, or its opposite.
#[test]
fn the_evacuation_unit_by_hand() {
    for (deck_c, wants_heat) in [(-15.0, true), (45.0, false)] {
        let mut s = job_at(100.0);
        s.steel.deck_t_k = 273.15 + deck_c;
        let at = s.steel.compartments.iter().position(|c| c.name == "Rescue");
        let unit = &mut s.steel.compartments[at.expect("there")];
        (unit.places, unit.volume_m3, unit.wall_ua_w_k) = (8, 12.0, 400.0);
        let capacity = unit.scrubber.expect("fitted").capacity_mol_kg;
        for input in &mut s.inputs {
            if input.name.starts_with("leak of ") {
                input.value = if input.name.contains("Rescue in") {
                    2.5
                } else {
                    70.0
                };
            }
        }
        let sheet = sheet_of(&s, "demonstration", &ReserveInputs::default());
        let line = line(&sheet, "evacuation.rescue");
        let Outcome::Wanted(wants) = &line.outcome else {
            panic!("no amounts")
        };
        let told: Vec<&str> = wants.iter().map(|w| w.what).collect();
        assert_eq!(
            told,
            [
                "oxygen",
                "carbon dioxide to absorb",
                "absorbent",
                "gas against its leak",
                "heating",
                "cooling"
            ]
        );
        let of = |what: &str| wants.iter().find(|w| w.what == what).expect(what).amount;
        let l_kg = capacity / MOL_M3 * 1e3;
        let kg = 8.0 * 0.5 * 60.0 * 72.0 / l_kg;
        close!(of("absorbent"), kg, epsilon = 1e-4 * kg);
        close!(
            of("gas against its leak"),
            0.025 * 12.0 * 11.0 * 3.0,
            epsilon = 1e-9
        );
        close!(term(line, "k").value, 2.5, epsilon = 1e-9);
        close!(term(line, "c").value, l_kg, epsilon = 1e-4 * l_kg);
        close!(term(line, "To").value, deck_c, epsilon = 1e-9);
        let edges: Vec<f64> = line
            .terms
            .iter()
            .filter(|t| t.symbol == "Tl")
            .map(|t| t.value)
            .collect();
        let [low_c, high_c] = edges[..] else {
            panic!("{edges:?}")
        };
        assert!(20.0 < low_c && low_c < high_c && high_c < 40.0, "{edges:?}");
        let bodies_w = 8.0 * heat_at_rest_w(&s);
        let heating = (400.0 * (low_c - deck_c) - bodies_w) * 72.0 / 1e3;
        let cooling = (400.0 * (deck_c - high_c) + bodies_w) * 72.0 / 1e3;
        assert_eq!((heating > 0.0, cooling > 0.0), (wants_heat, !wants_heat));
        close!(of("heating"), heating.max(0.0), epsilon = 1e-6);
        close!(of("cooling"), cooling.max(0.0), epsilon = 1e-6);
    }
}

/// A unit whose absorbent takes nothing, or that has none, wants none by weight.
#[test]
fn a_unit_without_absorbent() {
    let wants = |capacity_mol_kg: Option<f64>| {
        let mut s = job_at(100.0);
        let mut units = s.steel.compartments.iter_mut();
        let unit = units.find(|c| c.name == "Rescue").expect("there");
        let fitted = unit.scrubber.expect("fitted");
        unit.scrubber = capacity_mol_kg.map(|capacity_mol_kg| deepstay_plant::Scrubber {
            capacity_mol_kg,
            ..fitted
        });
        let sheet = sheet_of(&s, "demonstration", &ReserveInputs::default());
        match &line(&sheet, "evacuation.rescue").outcome {
            Outcome::Wanted(wants) => wants.iter().any(|w| w.what == "absorbent"),
            other => panic!("{other:?}"),
        }
    };
    assert!(wants(Some(4.0)));
    assert!(!wants(Some(0.0)) && !wants(None));
}

/// Two banks of 20 % and of 3.2 and 0.8 m3 serve over one span of depth, above 118 msw and 15 bar; the hours that everybody
/// can breathe it are what the planner's are held against.
#[test]
fn how_long_treatment_gas_lasts() {
    let mut s = job_at(118.0);
    let mut volumes = [3.2, 0.8, 0.0].into_iter();
    for bank in &mut s.steel.banks {
        if bank.duty == Duty::Treatment {
            bank.label_o2 = 0.20;
            bank.volume_m3 = volumes.next().expect("three");
        }
    }
    let sheet = |hours: Option<f64>| {
        let inputs = ReserveInputs {
            treatment_s: hours.map(|h| h * 3600.0),
            ..ReserveInputs::default()
        };
        sheet_of(&s, "canada", &inputs)
    };
    let treated = |sheet: &Sheet| match &line(sheet, "usn.treatment").outcome {
        Outcome::Treatment { spans, wanted_h } => (spans.clone(), *wanted_h),
        other => panic!("{other:?}"),
    };
    let (spans, wanted) = treated(&sheet(None));
    assert_eq!(wanted, None);
    assert!(spans.iter().all(|t| t.to_msw > t.from_msw), "{spans:?}");
    let deepest = spans.last().expect("one");
    let real: f64 = s
        .steel
        .banks
        .iter()
        .filter(|b| b.duty == Duty::Treatment && b.volume_m3 > 0.0)
        .map(|b| {
            let at = |gauge_pa: f64| {
                let p_pa = gauge_pa + s.steel.surface_pa;
                deepstay_core::gas::state::total_moles(&b.true_mix, p_pa, b.volume_m3, b.t_k)
            };
            at(b.fill_gauge_pa) - at((11.8 + 15.0) * 1e5)
        })
        .sum();
    close!(
        deepest.held_m3,
        real / MOL_M3,
        epsilon = 1e-4 * deepest.held_m3
    );
    let lasts_h = deepest.held_m3 / (6.0 * 0.030 * 12.8 * 60.0);
    close!(deepest.lasts_h(), lasts_h, epsilon = 1e-9);
    assert!(lasts_h > 1.0);
    let short_at_depth = |hours: f64| {
        let sheet = sheet(Some(hours));
        close!(treated(&sheet).1.expect("wanted"), hours, epsilon = 1e-12);
        let found = line(&sheet, "usn.treatment").untreated();
        found.iter().any(|t| t.to_msw == 118.0)
    };
    assert!(!short_at_depth(lasts_h * (1.0 - 1e-9)));
    assert!(short_at_depth(lasts_h * (1.0 + 1e-9)));
}

/// A sheet is met where every minimum is, and every depth is treated for as long as the planner wants.
#[test]
fn a_sheet_that_is_met() {
    let s = job();
    let met = |hours: Option<f64>, change: fn(&mut Sheet)| {
        let inputs = ReserveInputs {
            treatment_s: hours.map(|h| h * 3600.0),
            ..ReserveInputs::default()
        };
        let mut sheet = sheet_of(&s, "canada", &inputs);
        sheet.totals.iter_mut().for_each(|t| t.met = true);
        change(&mut sheet);
        sheet.all_met()
    };
    assert!(met(None, |_| {}));
    assert!(!met(None, |sheet| sheet.totals[0].met = false));
    assert!(!met(Some(1e6), |_| {}));
    assert!(!met(Some(1e6), |sheet| sheet.totals[0].met = false));
    let asks_nothing =
        |set: &str| sheet_of(&s, set, &ReserveInputs::default()).asks_for_no_amount();
    assert!(asks_nothing("norway") && !asks_nothing("canada"));
}

/// A minimum of nothing is not posted; dive control has what belongs to bell and divers, saturation control the rest.
#[test]
fn what_is_posted_and_where() {
    let s = job();
    let inputs = ReserveInputs {
        escape_sets: Given::by_planner(0.0),
        ..ReserveInputs::default()
    };
    let sheet = sheet_of(&s, "demonstration", &inputs);
    let nothing = sheet.total(Holding::EscapeAir).expect("asked for");
    assert_eq!(nothing.amount, 0.0);
    let posted: Vec<Holding> = sheet.posted.iter().map(|p| p.holding).collect();
    let rest: Vec<Holding> = sheet.totals.iter().map(|t| t.holding).collect();
    assert!(!posted.contains(&Holding::EscapeAir));
    assert_eq!(posted.len(), rest.len() - 1);
    for found in &sheet.posted {
        use Holding::{BellAbsorbent, BellGas, BellOxygen, DiverGas};
        let dive = [DiverGas, BellGas, BellOxygen, BellAbsorbent].contains(&found.holding);
        let wall = if dive {
            "Dive control"
        } else {
            "Saturation control"
        };
        assert_eq!(found.wall.words(), wall, "{}", found.holding);
    }
}

/// The words that sheets are made of.
#[test]
fn words_of_a_sheet() {
    let least = |h: Holding| Subject::Minimum(h).words();
    assert_eq!(least(Holding::DiverGas), "least divers' gas");
    assert_eq!(least(Holding::MaskGas), "least gas for BIBS");
    assert_eq!(
        Subject::Umbilical.words(),
        "umbilical that the bail-out covers"
    );
    assert_eq!(
        Event::PressureLost.to_string(),
        "a chamber loses its pressure"
    );
    assert_eq!(Event::WayHome.to_string(), "everybody is brought home");
    for (finding, words) in [
        (Finding::Yes, "yes, as far as the scenario shows"),
        (Finding::No, "no"),
        (Finding::OnBoard, "ask on board"),
    ] {
        assert_eq!(finding.words(), words);
    }
    for (origin, words) in [
        (Origin::Scenario, "scenario"),
        (Origin::Rule("x.row".to_owned()), "rule x.row"),
        (Origin::Document("a document"), "a document"),
        (Origin::Planner, "planner"),
        (Origin::Assumed, "assumed, house"),
    ] {
        assert_eq!(origin.words(), words);
    }
}

/// What two sets say beside each other, the way home left out: Canada's twice the press, 1 200 m3; 62.5 L/min at 13 bar of
/// Canada-NL; Brazil's bail-out, of 24 L at 200 bar and 10 of regulator at 120 msw; China's bill; and how much is asked.
#[test]
fn two_sets_beside_each_other_by_hand() {
    let s = job();
    let sheet = |set: &str| sheet_of(&s, set, &ReserveInputs::default());
    let found = |a: &str, b: &str, subject: Subject| {
        let pairs = beside(&sheet(a), &sheet(b));
        pairs.into_iter().find(|p| p.subject == subject)
    };
    let press = Subject::Minimum(Holding::PressingMix);
    let pair = found("canada", "norway", press).expect("asked for");
    close!(pair.a.expect("asked for"), 1200.0, epsilon = 1e-9);
    assert_eq!((pair.b, pair.b_rows.len()), (None, 0));
    assert!(
        pair.a_rows.iter().all(|r| r.starts_with("canada1988.")),
        "{pair:?}"
    );
    assert_eq!(found("norway", "norway", press), None);
    let lime = found("canada", "norway", Subject::Minimum(Holding::BellAbsorbent));
    let asked = sheet("canada")
        .total(Holding::BellAbsorbent)
        .expect("asked for")
        .amount;
    assert_eq!(lime.and_then(|p| p.a), Some(asked));
    let flow = found("canada-nl", "canada", Subject::Flow).expect("asked for");
    close!(flow.a.expect("a flow"), 62.5 * 13.0, epsilon = 1e-9);
    assert_eq!((flow.a_rows.len(), flow.b), (1, None));
    // (200 - 10 - 12) bar of 24 L, breathed at 40 L/min and 13 bar; back at 10 m/min.
    let bail_out = found("brazil-2025", "canada", Subject::Umbilical).expect("asked for");
    let minutes = (200.0 - 10.0 - 12.0) * 24.0 / (40.0 * 13.0);
    close!(bail_out.a.expect("a length"), 10.0 * minutes, epsilon = 0.7);
    let bill = found("canada", "china-2021", Subject::Bill).expect("asked for");
    let china = sheet("china-2021");
    let m3 = china.lines.iter().find_map(|l| match &l.outcome {
        Outcome::Bill { terms, times, .. } => Some(times * terms.iter().map(|t| t.2).sum::<f64>()),
        _ => None,
    });
    assert_eq!(bill.a, None);
    close!(bill.b.expect("a bill"), m3.expect("a bill"), epsilon = 1e-6);
    let questions = found("canada-nl", "norway", Subject::Questions).expect("asked");
    let ids: Vec<String> = sheet("canada-nl")
        .asked
        .iter()
        .map(|q| q.id.clone())
        .collect();
    assert_eq!((questions.a, questions.b), (Some(ids.len() as f64), None));
    assert_eq!(questions.a_rows, ids);
    assert!(ids.len() > 1);
}

/// Sheets together hold each row and each question once, and of two that ask for as much the first is posted.
#[test]
fn sheets_together_say_each_thing_once() {
    let s = job();
    let sheets = ["canada", "canada-nl", "demonstration"]
        .map(|set| sheet_of(&s, set, &ReserveInputs::default()));
    let all = together(&sheets).expect("there are some");
    let sorted = |ids: Vec<String>| {
        let mut ids = ids;
        ids.sort();
        ids
    };
    let lines = sorted(all.lines.iter().map(|l| l.id.clone()).collect());
    let asked = sorted(all.asked.iter().map(|q| q.id.clone()).collect());
    for (found, of) in [
        (
            lines,
            (|s: &Sheet| s.lines.iter().map(|l| l.id.clone()).collect())
                as fn(&Sheet) -> Vec<String>,
        ),
        (asked, |s: &Sheet| {
            s.asked.iter().map(|q| q.id.clone()).collect()
        }),
    ] {
        let mut union = sorted(sheets.iter().flat_map(of).collect());
        union.dedup();
        assert_eq!(found, union);
    }
    let posted = all.posted.iter().find(|p| p.holding == Holding::BellOxygen);
    assert_eq!(posted.map(|p| p.set.as_str()), Some("canada"));
    assert!(m3(&all, Holding::BellOxygen) > 0.0);
}

/// Each question with what a scenario shows of it: enough at the start, supplies on deck and on the bell, gas for the
/// chambers, vessels that leak.
#[test]
fn what_a_scenario_shows_of_each_question() {
    let topics = [
        "EnoughThroughout",
        "Displayed",
        "TwoSupplies",
        "Coverage",
        "Losses",
    ];
    let row = |topic: &&str| {
        format!(
            "(id: \"x.{topic}\", source: (document: \"an invented rule\", status: HouseRule), figures: Ask(topic: {topic}, question: \"q\", evidence: \"e\", in_scenario: Ask))"
        )
    };
    let rows: Vec<String> = topics.iter().map(row).collect();
    let set = |more: &str| {
        let text = format!(
            "(format: 1, name: \"ours\", title: \"ours\", gas_minimums: [{}{more}])",
            rows.join(", ")
        );
        RuleSet::from_ron(&text, "ours.ron").unwrap_or_else(|bad| panic!("{bad}"))
    };
    let look = |s: &Scenario, set: &RuleSet, topic: &str| {
        let inputs = ReserveInputs {
            spare_absorbent_kg: 1000.0,
            ..ReserveInputs::default()
        };
        let sheet = sheet(s, set, &inputs);
        let id = format!("x.{topic}");
        let found = sheet.asked.into_iter().find(|a| a.id == id).expect("asked");
        (found.answer, found.found)
    };
    let (plain, s) = (set(""), job());
    // The way home alone is asked for, and held.
    let (answer, found) = look(&s, &plain, "EnoughThroughout");
    assert_eq!(answer, Finding::OnBoard, "{found}");
    assert!(
        found.starts_with("at the start the stock meets all"),
        "{found}"
    );
    let much = set(
        ", (id: \"x.press\", source: (document: \"an invented rule\", status: HouseRule), figures: PressAgain(times: 99))",
    );
    let (answer, found) = look(&s, &much, "EnoughThroughout");
    assert_eq!(
        (answer, found.as_str()),
        (Finding::No, "short at the start: blow-down mix")
    );
    let mut still = s.clone();
    still.plan.levels.clear();
    still.plan.bell_runs.clear();
    let (answer, found) = look(&still, &plain, "EnoughThroughout");
    assert_eq!(
        (answer, found.as_str()),
        (Finding::OnBoard, "this set asks for no amount")
    );
    // Divers' gas on deck and on the bell, each wanting by itself.
    let without = |duty: Duty| {
        let mut s = s.clone();
        for bank in &mut s.steel.banks {
            if bank.duty == duty {
                bank.duty = Duty::Recovered;
            }
        }
        s
    };
    let (answer, found) = look(&s, &plain, "TwoSupplies");
    assert_eq!(answer, Finding::OnBoard);
    assert!(
        found.starts_with("divers' gas on deck: D-1, D-2, D-3, D-4, D-5; on the bell: OB-1, OB-2;"),
        "{found}"
    );
    for duty in [Duty::DiverGas, Duty::OnBoard] {
        let (answer, found) = look(&without(duty), &plain, "TwoSupplies");
        assert_eq!(answer, Finding::No, "{found}");
        assert!(found.contains(": none;"), "{found}");
    }
    for (duty, answer) in [
        (Duty::Air, Finding::OnBoard),
        (Duty::DiverGas, Finding::No),
        (Duty::OnBoard, Finding::No),
        (Duty::BottomMix, Finding::No),
    ] {
        assert_eq!(
            look(&without(duty), &plain, "Coverage").0,
            answer,
            "{duty:?}"
        );
    }
    // Three vessels leak, or none.
    let leaking = |count: usize| {
        let mut s = s.clone();
        for (k, c) in s.steel.compartments.iter_mut().enumerate() {
            c.leak_m2 = if k < count { 1e-9 } else { 0.0 };
        }
        look(&s, &plain, "Losses")
    };
    let vessels = s.steel.compartments.len();
    let (answer, found) = leaking(3);
    assert_eq!(answer, Finding::Yes);
    assert!(
        found.starts_with(&format!("3 of {vessels} vessels leak")),
        "{found}"
    );
    assert!(
        found.contains("a leak of 1 % a day is reckoned with (assumed, house)"),
        "{found}"
    );
    let (answer, found) = leaking(0);
    assert_eq!(answer, Finding::OnBoard);
    assert!(
        found.starts_with(&format!("0 of {vessels} vessels leak")),
        "{found}"
    );
    let planner = ReserveInputs {
        leak_per_day: Given::by_planner(0.02),
        ..ReserveInputs::default()
    };
    let told = deepstay_stock::reserve::sheet(&s, &plain, &planner);
    let losses = told
        .asked
        .iter()
        .find(|a| a.id == "x.Losses")
        .expect("asked");
    assert!(
        losses
            .found
            .contains("a leak of 2 % a day is reckoned with (planner)"),
        "{}",
        losses.found
    );
    let rescue = s
        .steel
        .compartments
        .iter()
        .any(|c| c.kind == CompartmentKind::Rescue);
    assert!(rescue);
}
