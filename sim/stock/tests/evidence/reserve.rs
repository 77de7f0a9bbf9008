//! Minimum stock: the rows of the built-in sets, worked out for a built-in job, against the figures that the
//! documents print and the sums made from them by hand; and, as own arithmetic and labelled so, a campaign
//! on open circuit term by term.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use approx::assert_abs_diff_eq as close;
use deepstay_rules::{GasMinimum, builtin};
use deepstay_scenario::{LevelDo, Scenario, load};
use deepstay_stock::reserve::{Origin, *};
use deepstay_sums::*;

/// The six-man job with its storage and its work at a depth, and 60 m3 of chambers.
pub fn job_at(depth_msw: f64) -> Scenario {
    let mut s = load("six-man").expect("built in");
    let living = s.plan.levels[0].members[0];
    s.plan.levels[0].members = vec![living];
    s.steel.compartments[living.index()].volume_m3 = 60.0;
    for step in &mut s.plan.levels[0].steps {
        if let LevelDo::Press(to) = &mut step.what {
            *to = depth_msw;
        }
    }
    s.site.working_msw = depth_msw;
    for run in &mut s.plan.bell_runs {
        run.depth_msw = depth_msw;
    }
    s
}

pub fn sheet_of(s: &Scenario, set: &str, inputs: &ReserveInputs) -> Sheet {
    sheet(s, &builtin(set).expect("built in"), inputs)
}

/// What rules ask for of a gas, without the way home, m3.
pub fn m3(sheet: &Sheet, holding: Holding) -> f64 {
    let total = sheet.total(holding).expect("asked for");
    total
        .free_m3(total.amount - total.way_home())
        .expect("a gas")
}

/// What of a minimum is for the way home: m3 of free gas, kg of absorbent.
fn home(sheet: &Sheet, holding: Holding) -> f64 {
    let total = sheet.total(holding).expect("asked for");
    let amount = total.way_home();
    total.free_m3(amount).unwrap_or(amount)
}

/// Canada, SOR/88-600, s. 22(1)(a)(iii)(D): twice the press. 60 m3: 1,200, 2,400, 3,600 m3 at 100, 200, 300 m.
#[test]
fn twice_the_press() {
    for (depth, gas) in [(100.0, 1200.0), (200.0, 2400.0), (300.0, 3600.0)] {
        let sheet = sheet_of(&job_at(depth), "canada", &ReserveInputs::default());
        close!(m3(&sheet, Holding::PressingMix), gas, epsilon = 1e-9);
    }
}

/// AODC 014 (July 1983), 4 h on masks; with 20 L/min from memory, accepted: 53, 101, 149 m3 for one at 100, 200,
/// 300 m.
#[test]
fn four_hours_on_masks() {
    for (depth, gas) in [(100.0, 53.0), (200.0, 101.0), (300.0, 149.0)] {
        let mut s = job_at(depth);
        s.accepted.push("imca2000.gas.mask-flow".into());
        let one = ReserveInputs {
            people: Some(1.0),
            ..ReserveInputs::default()
        };
        let sheet = sheet_of(&s, "industry", &one);
        close!(m3(&sheet, Holding::MaskGas), gas, epsilon = 0.5);
        close!(
            m3(&sheet, Holding::MaskGas),
            breathed_m3(1.0, 20.0, depth, 4.0 * 3600.0),
            epsilon = 1e-9
        );
    }
}

/// Boyle's law: locks of 0.03, 0.06, 0.10 m3 lose 0.9, 1.8, 3.0 m3 a run at 300 m.
#[test]
fn a_run_of_a_lock() {
    let mut s = job_at(300.0);
    for (volume, lost) in [(0.03, 0.9), (0.06, 1.8), (0.10, 3.0)] {
        let lock = s
            .steel
            .compartments
            .iter_mut()
            .find(|c| c.name == "Medical lock")
            .expect("there");
        lock.volume_m3 = volume;
        let sheet = sheet_of(&s, "demonstration", &ReserveInputs::default());
        let found = sheet.lines.iter().find_map(|line| match &line.outcome {
            Outcome::Lost { locks } => locks
                .iter()
                .find(|(name, _)| name == "Medical lock")
                .cloned(),
            _ => None,
        });
        close!(found.expect("a lock").1, lost, epsilon = 1e-9);
    }
}

/// Free gas a minute at depth for 40, 50, 62.5, 65 and 75 L/min: 40 is Brazil's bail-out, 62.5 Canada-NL's least
/// supply, 65 heavy work of GB 18985-2021, 4.2. The products are own arithmetic, to 5 L/min as tabulated.
#[test]
fn free_gas_a_minute() {
    let table = [
        (50.0, [240.0, 300.0, 375.0, 390.0, 450.0]),
        (100.0, [440.0, 550.0, 688.0, 715.0, 825.0]),
        (150.0, [640.0, 800.0, 1000.0, 1040.0, 1200.0]),
        (200.0, [840.0, 1050.0, 1313.0, 1365.0, 1575.0]),
        (300.0, [1240.0, 1550.0, 1938.0, 2015.0, 2325.0]),
    ];
    for (depth, answers) in table {
        for (flow, answer) in [40.0, 50.0, 62.5, 65.0, 75.0].into_iter().zip(answers) {
            close!(
                1e3 * breathed_m3(1.0, flow, depth, 60.0),
                answer,
                epsilon = 0.6
            );
        }
        let sheet = sheet_of(&job_at(depth), "canada-nl", &ReserveInputs::default());
        let least = sheet.lines.iter().find_map(|l| match l.outcome {
            Outcome::Flow { l_min } => Some(l_min),
            _ => None,
        });
        close!(least.expect("a flow"), answers[2], epsilon = 0.6);
    }
}

/// GB 18985-2021, 4.1 and 4.2: the printed rates stand in the set as printed.
#[test]
fn rates_by_work() {
    let set = builtin("china-2021").expect("built in");
    let row = set
        .gas_minimums()
        .iter()
        .find(|r| r.id == "gb2021.gas.flow")
        .expect("there");
    let GasMinimum::DiverFlow {
        at_work: (a, b, c),
        coming_up,
        free_flow,
    } = row.figures
    else {
        panic!("no flows")
    };
    let l_min = [a.get(), b.get(), c.get(), coming_up.expect("printed").get()].map(|x| x * 6e4);
    for (ours, printed) in l_min.into_iter().zip([30.0, 40.0, 65.0, 20.0]) {
        close!(ours, printed, epsilon = 1e-9);
    }
    let (a, b, c) = free_flow.expect("printed");
    for (ours, printed) in [a, b, c].into_iter().zip([65.0, 100.0, 190.0]) {
        close!(ours.get() * 6e4, printed, epsilon = 1e-9);
    }
}

/// GB 18985-2021, 5.6: the terms of the reconstruction, each worked out by hand from the printed list of inputs.
/// The equations were not seen: this holds our algebra against our reading, not against the standard.
#[test]
fn terms_of_the_bill() {
    let bill = bill_of_gas(&BillOf {
        chambers_m3: 60.0,
        storage_msw: 100.0,
        mix_o2: 0.02,
        days: 21.0,
        made_up_per_day: 0.01,
        people: 12.0,
        bell_m3: 5.0,
        deeper_msw: 20.0,
        runs: 63.0,
        divers: 2.0,
        l_min: 40.0,
        working_msw: 120.0,
        in_water_s: 6.0 * 3600.0,
        recovery: 0.9,
        ppo2_bar: 0.5,
        share: 0.21,
    });
    close!(bill.press_inert_m3, 588.0, epsilon = 1e-9);
    close!(bill.press_oxygen_m3, 12.0, epsilon = 1e-9);
    close!(bill.hold_m3, 21.0 * 0.01 * 60.0 * 11.0, epsilon = 1e-9);
    close!(bill.oxygen_used_m3, 12.0 * 0.72 * 21.0, epsilon = 1e-9);
    close!(bill.bell_m3, 5.0 * 2.0 * 63.0, epsilon = 1e-9);
    close!(
        bill.divers_m3,
        2.0 * 0.040 * 13.0 * 360.0 * 63.0 * 0.1,
        epsilon = 1e-6
    );
    // 86.0 m3 for 100 m3 of chambers from 100 m: derived once by hand.
    close!(bill.decompression_m3, 0.6 * 86.0, epsilon = 0.1);
    let set = builtin("china-2021").expect("built in");
    let row = set
        .gas_minimums()
        .iter()
        .find(|r| r.id == "gb2021.gas.bill")
        .expect("there");
    assert_eq!(
        row.figures,
        GasMinimum::Bill {
            times: 2.0,
            reconstruction: true
        }
    );
    let sheet = sheet_of(&job_at(100.0), "china-2021", &ReserveInputs::default());
    let line = sheet
        .lines
        .iter()
        .find(|l| l.reconstruction)
        .expect("marked");
    let Outcome::Bill { terms, times, m3 } = &line.outcome else {
        panic!("no bill")
    };
    close!(
        times * terms.iter().map(|t| t.2).sum::<f64>(),
        *m3,
        epsilon = 1e-9
    );
    assert!(
        sheet
            .totals
            .iter()
            .all(|t| t.rules().iter().all(|r| r.starts_with("home."))),
        "a bill is no minimum"
    );
}

/// Brazil, NORMAM-222 of January 2025 (surface-supplied section and 11.7): 40 L/min, 10 m/min; 12 L at 200 bar
/// and 10 bar of regulator at 100 msw hold the 2,148 L of the published school exercise, which last
/// 2,148/440 = 4.88 min and cover 48.8 m (own arithmetic); an escape set is 1.8 m3.
#[test]
fn bail_out_and_escape_sets() {
    let inputs = ReserveInputs {
        bail_out_l: Given::by_planner(12.0),
        escape_sets: Given::by_planner(3.0),
        ..ReserveInputs::default()
    };
    let sheet = sheet_of(&job_at(100.0), "brazil-2025", &inputs);
    let found = sheet.lines.iter().find_map(|l| match l.outcome {
        Outcome::BailOut {
            lasts_s,
            umbilical_m,
        } => Some((lasts_s, umbilical_m)),
        _ => None,
    });
    let (lasts_s, umbilical_m) = found.expect("a bail-out");
    close!(lasts_s / 60.0, 2148.0 / 440.0, epsilon = 1e-9);
    close!(umbilical_m, 48.8, epsilon = 0.05);
    close!(m3(&sheet, Holding::EscapeAir), 5.4, epsilon = 1e-9);
}

/// France, order of 30 October 2012, art. 33, 30 L/h: a bell's 24 h are 0.72 m3 of oxygen a person; 46 CFR
/// 197.330(a)(8) beside it asks for 12 h of the same.
#[test]
fn oxygen_of_a_bell() {
    let s = job_at(100.0);
    let inputs = ReserveInputs {
        second_means: Some(false),
        ..ReserveInputs::default()
    };
    close!(
        m3(&sheet_of(&s, "canada", &inputs), Holding::BellOxygen),
        2.0 * 0.72,
        epsilon = 1e-9
    );
    close!(
        m3(&sheet_of(&s, "united-states", &inputs), Holding::BellOxygen),
        0.72,
        epsilon = 1e-9
    );
}

/// Own arithmetic, no outside check: 12 men, 100 msw, 60 m3, 21 days, three runs a day of two divers for 6 h at
/// 35 L/min, 30 lock runs of 50 L, a trunk of 2 m3 vented three times, 36 flushes of 10 L, a leak of 4 m3 a day.
#[test]
fn own_arithmetic_a_campaign_on_open_circuit() {
    let divers = 3.0 * breathed_m3(2.0, 35.0, 100.0, 6.0 * 3600.0);
    let trunk = 3.0 * press_m3(2.0, 100.0);
    let locks = 30.0 * lock_cycle_m3(0.05, 100.0);
    let flushes = 36.0 * press_m3(0.010, 100.0);
    let (leak, days, diver_days) = (4.0, 21.0, 252.0);
    for (ours, table) in [
        (divers, 832.0),
        (trunk, 60.0),
        (locks, 15.0),
        (flushes, 3.6),
    ] {
        close!(ours, table, epsilon = 0.5);
    }
    for (recovery, table) in [(0.95, 42.0), (0.90, 83.0), (0.80, 166.0)] {
        close!(divers * (1.0 - recovery), table, epsilon = 0.5);
    }
    close!(person_sizing_m3(12.0, 86_400.0), 8.6, epsilon = 0.05);
    let blow_down = press_m3(60.0, 100.0);
    close!(blow_down, 600.0, epsilon = 1e-9);
    let rest = trunk + locks + flushes + leak;
    let campaign = |recovery: f64| blow_down + days * (divers * (1.0 - recovery) + rest);
    close!(campaign(0.9), 4080.0, epsilon = 5.0);
    close!(campaign(0.0), 19_800.0, epsilon = 10.0);
    close!(campaign(0.9) / diver_days, 16.0, epsilon = 0.5);
    close!(campaign(0.0) / diver_days, 79.0, epsilon = 0.5);
    close!(divers * 0.9, 750.0, epsilon = 2.0);
    assert!(
        trunk > divers * 0.05,
        "with 95 % the trunk takes more than the divers"
    );
}

/// 46 CFR 197.330(a)(8): 12 h where the umbilical is the only means of retrieval. Where nobody names a second means none
/// is taken, and that is an assumption of the house and no figure of the rule's.
#[test]
fn no_second_means_is_taken_that_nobody_names() {
    let s = job_at(100.0);
    let sheet = |inputs: &ReserveInputs| sheet_of(&s, "united-states", inputs);
    let unsaid = sheet(&ReserveInputs::default());
    close!(m3(&unsaid, Holding::BellOxygen), 0.72, epsilon = 1e-9);
    let assumed = |sheet: &Sheet| {
        let terms = sheet.lines.iter().flat_map(|l| &l.terms);
        let of_means = |t: &&Term| t.what.contains("means of retrieval");
        terms.filter(of_means).map(|t| t.from.clone()).next()
    };
    assert_eq!(assumed(&unsaid), Some(Origin::Assumed));
    let only = sheet(&ReserveInputs {
        second_means: Some(false),
        ..ReserveInputs::default()
    });
    assert_eq!(assumed(&only), Some(Origin::Planner));
    // 1 h and twice the house's 2 h of retrieval: 5 of the 12 h.
    let second = sheet(&ReserveInputs {
        second_means: Some(true),
        ..ReserveInputs::default()
    });
    close!(
        m3(&second, Holding::BellOxygen),
        0.72 * 5.0 / 12.0,
        epsilon = 1e-9
    );
}

/// Several sets together ask of each kind of stock what the one asks that asks for most: whoever keeps the posted minimum
/// keeps each set's. SOR/88-600 asks for 24 h of a bell, 46 CFR 197.330(a)(8) for 12 h, Lloyd's Register (July 2022) for 24 h beyond the dive; AODC 014 alone for masks' gas.
#[test]
fn sets_together_ask_for_the_most_of_each() {
    let s = job_at(100.0);
    let inputs = ReserveInputs::default();
    let sheets = ["united-states", "canada", "industry"].map(|set| sheet_of(&s, set, &inputs));
    let all = together(&sheets).expect("there are some");
    assert_eq!(all.set, "united-states and canada and industry");
    // 24 h beyond a planned dive of eight.
    close!(
        m3(&all, Holding::BellOxygen),
        2.0 * 0.72 * 32.0 / 24.0,
        epsilon = 1e-9
    );
    close!(m3(&all, Holding::PressingMix), 1200.0, epsilon = 1e-9);
    for sheet in &sheets {
        for total in &sheet.totals {
            let most = all.total(total.holding).expect("asked for by one of them");
            assert!(most.amount >= total.amount, "{}", total.holding);
        }
        assert!(!all.all_met() || sheet.all_met(), "{}", sheet.set);
    }
    let asked = |s: &Sheet, h: Holding| s.total(h).is_some();
    for posted in &all.posted {
        let own = sheets
            .iter()
            .find(|s| s.set == posted.set)
            .expect("one of them");
        let total = own.total(posted.holding).expect("asked for");
        assert_eq!(total.amount, posted.amount, "{}", posted.holding);
    }
    assert!(asked(&all, Holding::MaskGas) && !asked(&sheets[0], Holding::MaskGas));
    let posted: Vec<Holding> = all.posted.iter().map(|p| p.holding).collect();
    assert!(posted.contains(&Holding::MaskGas) && posted.contains(&Holding::PressingMix));
    assert!(together(&[]).is_none());
}

/// France, order of 30 October 2012, art. 33, is the demonstration set's own row for sizing, and its sheet says so; Canada's
/// regulations have none, and the house's choice of the same document is called that.
#[test]
fn sizing_rates_are_the_set_s_own_where_it_has_them() {
    let s = job_at(100.0);
    let from = |set: &str| {
        let sheet = sheet_of(&s, set, &ReserveInputs::default());
        let terms = sheet.lines.iter().flat_map(|l| l.terms.clone());
        let mut rates = terms.filter(|t| t.symbol == "q_O" || t.symbol == "q_C");
        let first = rates.next().expect("a rate per person");
        close!(first.value, 0.5, epsilon = 1e-12);
        first.from
    };
    assert_eq!(
        from("demonstration"),
        Origin::Rule("france2012.o2-sizing".to_owned())
    );
    assert!(matches!(from("canada"), Origin::Document(_)));
}

/// Each set's own rows worked out by hand for the six-man job at 100 msw: a chamber of 60 m3, a bell with two people of whom
/// one works in the water (N), 11 bar of absolute pressure (P) by 10 msw to the bar, 30 L/h of oxygen a person (France, order of 30 October
/// 2012, art. 33). The planner's figures are the house's: 30 min back to the bell at 40 L/min, 30 L/min to a mask, 1 % of a
/// vessel's gas a day, two escape sets, a dive of 8 h. Documents and figures stand in regulations by name of the row.
#[test]
fn the_reserve_of_every_set_by_hand() {
    let s = job_at(100.0);
    let bell = s.plan.bell_runs[0].bell;
    let bell_m3 = s.steel.compartments[bell.index()].volume_m3;
    let crew = 6.0;
    let press_twice = 2.0 * 60.0 * 100.0 / 10.0;
    let bell_o2 = |hours: f64| 2.0 * 0.030 * hours;
    let bell_gas = |hours: f64| 0.01 * bell_m3 * 11.0 * hours / 24.0;
    let masks = crew * 0.030 * 11.0 * 240.0;
    let open_circuit = |in_water: f64| in_water * 0.040 * 11.0 * 30.0;
    let in_water = s
        .plan
        .bell_runs
        .iter()
        .map(|r| r.divers.len())
        .max()
        .expect("runs") as f64;
    // Of two in the bell one stays as bellman where the plan says so; the sheet's own term is held to the plan elsewhere.
    let sheet = |set: &str| sheet_of(&s, set, &ReserveInputs::default());
    let divers = {
        let line = sheet("canada");
        let line = line
            .lines
            .iter()
            .find(|l| l.id == "canada1988.gas.bypass")
            .expect("there")
            .clone();
        line.terms
            .iter()
            .find(|t| t.symbol == "N")
            .expect("a term")
            .value
    };
    assert!(divers >= 1.0 && divers <= in_water);
    use Holding::{BellGas, BellOxygen, DiverGas, EscapeAir, MaskGas, Oxygen, PressingMix};
    let by_hand: [(&str, Vec<(Holding, f64)>); 6] = [
        (
            "demonstration",
            vec![
                (PressingMix, press_twice),
                (BellOxygen, bell_o2(24.0)),
                (BellGas, bell_gas(24.0)),
                (DiverGas, open_circuit(divers)),
                (MaskGas, masks),
                (EscapeAir, 2.0 * 0.060 * 30.0),
            ],
        ),
        (
            "canada",
            vec![
                (PressingMix, press_twice),
                (BellOxygen, bell_o2(24.0)),
                (BellGas, bell_gas(24.0)),
                (DiverGas, open_circuit(divers)),
                (Oxygen, crew * 0.030 * 48.0),
            ],
        ),
        (
            "canada-nl",
            vec![(BellOxygen, bell_o2(24.0)), (BellGas, bell_gas(24.0))],
        ),
        (
            "industry",
            vec![
                (MaskGas, masks),
                (BellOxygen, bell_o2(32.0)),
                (BellGas, bell_gas(32.0)),
            ],
        ),
        (
            "united-states",
            vec![(BellOxygen, bell_o2(12.0)), (BellGas, bell_gas(12.0))],
        ),
        ("brazil-2025", vec![(EscapeAir, 3.6)]),
    ];
    for (set, asks) in &by_hand {
        let sheet = sheet(set);
        for (holding, amount) in asks {
            close!(m3(&sheet, *holding), *amount, epsilon = 1e-6 * amount);
        }
        // What no row of the set asks for is there for the way home alone.
        for total in sheet.totals.iter().filter(|t| t.holding.is_gas()) {
            let asked = asks.iter().any(|(h, _)| *h == total.holding);
            let only_home = total.rules().iter().all(|r| r.starts_with("home."));
            assert_ne!(asked, only_home, "{set}: {}", total.holding);
        }
    }
    let silent = builtin("norway").expect("built in");
    let sheet = reserve_of(&s, &silent);
    assert!(
        sheet
            .totals
            .iter()
            .all(|t| t.rules().iter().all(|r| r.starts_with("home.")))
    );
}

fn reserve_of(s: &Scenario, set: &deepstay_rules::RuleSet) -> Sheet {
    deepstay_stock::reserve::sheet(s, set, &ReserveInputs::default())
}

/// The way home by hand, at 100 msw: everybody's oxygen and absorbent for as long as the way up by the job's own rule set
/// takes, the oxygen that is bled with the gas while a partial pressure is held, each trunk pressed once more, and what
/// leaks at stops. Every set asked for is posted with it on top, and it is the same for each.
#[test]
fn the_way_home_by_hand() {
    let s = job_at(100.0);
    let sheet = |set: &str| sheet_of(&s, set, &ReserveInputs::default());
    let canada = sheet("canada");
    let hours = (0..24)
        .map(|h| {
            s.rules
                .decompression(
                    100.0,
                    (s.start_second_of_day + h * 3600) % 86_400,
                    &s.accepted,
                )
                .expect("there")
                .total_s
        })
        .max()
        .expect("hours") as f64
        / 3600.0;
    let wait = s
        .rules
        .decompression_start(&s.accepted)
        .map_or(0.0, |r| r.hold_after_dive_s as f64 / 3600.0);
    let plan = s.rules.decompression(100.0, 0, &s.accepted).expect("there");
    // By hand band by band: V p ln((P1 - p)/(P2 - p)).
    let mut bands = plan.oxygen.clone();
    bands.sort_by(|a, b| b.deeper_than_msw.total_cmp(&a.deeper_than_msw));
    let (mut top, mut bled, mut first) = (100.0, 0.0, None);
    for band in bands.iter().filter(|b| b.deeper_than_msw < 100.0) {
        if let deepstay_rules::OxygenHold::Partial { high_bar: p, .. } = band.hold {
            let (p1, p2): (f64, f64) = (1.0 + top / 10.0, 1.0 + band.deeper_than_msw / 10.0);
            bled += 60.0 * p * ((p1 - p) / (p2 - p)).ln();
            first.get_or_insert(p);
        }
        top = band.deeper_than_msw;
    }
    let storage = s.rules.storage_oxygen(&s.accepted).expect("there").low_bar;
    let raised = 60.0 * (first.expect("a partial pressure is held") - storage);
    let oxygen = 6.0 * 0.030 * (hours + wait) + bled + raised;
    close!(
        home(&canada, Holding::Oxygen),
        oxygen,
        epsilon = 1e-6 * oxygen
    );
    assert!(oxygen > 6.0 * 0.72 * 3.0, "days of oxygen: {oxygen}");
    // 0.5 L/min a person, over the litres that a kilogram takes by the leanest scrubber of the chambers.
    let line = canada
        .lines
        .iter()
        .find(|l| l.id == "home.decompression")
        .expect("there");
    let l_kg = line
        .terms
        .iter()
        .find(|t| t.symbol == "c")
        .expect("a term")
        .value;
    let kg = 6.0 * 30.0 * (hours + wait) / l_kg;
    close!(
        home(&canada, Holding::ChamberAbsorbent),
        kg,
        epsilon = 1e-6 * kg
    );
    let trunk = s
        .steel
        .compartments
        .iter()
        .find(|c| c.kind == deepstay_core::units::CompartmentKind::Trunk);
    let pressed = trunk.expect("one").volume_m3 * 10.0;
    let held = home(&canada, Holding::PressingMix) - pressed;
    // Stops of a decompression are hours: no more than the leak of all of it at the deepest.
    assert!(
        (-1e-9..=0.01 * 60.0 * 11.0 * (hours + wait) / 24.0).contains(&held),
        "{held}"
    );
    for set in ["demonstration", "industry", "united-states", "norway"] {
        let other = sheet(set);
        for holding in [
            Holding::Oxygen,
            Holding::ChamberAbsorbent,
            Holding::PressingMix,
        ] {
            close!(
                home(&other, holding),
                home(&canada, holding),
                epsilon = 1e-9
            );
        }
    }
    // The posted amount is both.
    let total = canada.total(Holding::PressingMix).expect("asked for");
    close!(
        total.free_m3(total.amount).expect("a gas"),
        1200.0 + pressed + held,
        epsilon = 1e-6
    );
}

/// IMCA D 052 as an encyclopaedia quotes it, 72 h: at 30 L/h a person 2.16 m3 of oxygen and as much carbon dioxide (France,
/// order of 30 October 2012, art. 33), for every place of the unit.
#[test]
fn the_evacuation_unit_is_a_demand() {
    let s = job_at(100.0);
    let sheet = sheet_of(&s, "canada", &ReserveInputs::default());
    let line = sheet
        .lines
        .iter()
        .find(|l| l.id == "evacuation.rescue")
        .expect("the job has one");
    let Outcome::Wanted(wants) = &line.outcome else {
        panic!("no amounts")
    };
    let of = |what: &str| wants.iter().find(|w| w.what == what).expect(what).amount;
    let unit = s
        .steel
        .compartments
        .iter()
        .find(|c| c.name == "Rescue")
        .expect("there");
    let places = f64::from(unit.places);
    close!(of("oxygen"), 2.16 * places, epsilon = 1e-9);
    close!(
        of("carbon dioxide to absorb"),
        2.16 * places,
        epsilon = 1e-9
    );
    assert!(of("absorbent") > 5.0 * places && of("gas against its leak") > 0.0);
    assert!(of("heating") >= 0.0 && of("cooling") >= 0.0 && of("heating") * of("cooling") == 0.0);
}

/// US Navy Diving Manual, 15-15: treatment gas lies within 1.5 to 2.8 ata. Of 20 % that is 7.5 to 14 ata, 66 to 132 msw; where
/// no mix lies within, that is said, and hours are wanted only where the planner names them.
#[test]
fn treatment_gas_by_depth_for_everybody() {
    let mut s = job_at(118.0);
    for bank in &mut s.steel.banks {
        if bank.duty == deepstay_plant::Duty::Treatment {
            bank.label_o2 = 0.20;
        }
    }
    let with = |hours: Option<f64>| {
        let inputs = ReserveInputs {
            treatment_s: hours.map(|h| h * 3600.0),
            ..ReserveInputs::default()
        };
        sheet_of(&s, "canada", &inputs)
    };
    let spans = |sheet: &Sheet| {
        let line = sheet
            .lines
            .iter()
            .find(|l| l.id == "usn.treatment")
            .expect("there");
        match &line.outcome {
            Outcome::Treatment { spans, .. } => spans.clone(),
            other => panic!("{other:?}"),
        }
    };
    let unsaid = with(None);
    let deepest = spans(&unsaid).last().expect("a span").clone();
    // 7.5 ata less the surface's, at 0.1 bar to the metre.
    let surface = s.steel.surface_pa / 1e5;
    close!(
        deepest.from_msw,
        (7.5 * 1.01325 - surface) * 10.0,
        epsilon = 1e-6
    );
    close!(deepest.to_msw, 118.0, epsilon = 1e-9);
    assert_eq!(deepest.banks.len(), 3);
    close!(
        deepest.an_hour_m3,
        6.0 * 0.030 * 12.8 * 60.0,
        epsilon = 1e-9
    );
    let gap = spans(&unsaid)
        .into_iter()
        .find(|t| t.banks.is_empty())
        .expect("a gap");
    assert!(gap.to_msw <= deepest.from_msw + 1e-9 && gap.held_m3 == 0.0);
    let short = |sheet: &Sheet| {
        sheet
            .lines
            .iter()
            .map(|l| l.untreated().len())
            .sum::<usize>()
    };
    assert_eq!(short(&unsaid), 0);
    assert!(short(&with(Some(1.0))) >= 1 && !with(Some(1.0)).all_met());
}
