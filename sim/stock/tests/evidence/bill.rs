//! From an ensemble's answer and a sheet of minimums to what is asked of a supplier, by hand: a small stock of its own, three
//! jobs laid out day by day, and a sheet of round amounts. What a bank holds is asked of the real gas, which
//! `sim/core/tests` holds to published tables.

use super::ensemble::text;
use approx::assert_relative_eq as close;
use deepstay_core::gas::{Amounts, state};
use deepstay_core::units::Purpose;
use deepstay_plant::{Bank, Duty};
use deepstay_scenario::{JobTexts, Planner};
use deepstay_stock::reserve::{Event, Given, Held, Holding, Part, ReserveInputs, Sheet, Total};
use deepstay_stock::supply::{Course, Need};
use deepstay_stock::{
    AbsorbentStock, Drawn, Ensemble, Floors, Gas, Replicate, USES, Use, answer, floors, gases,
    needs, reclaimed_a_day_mol, reserve_inputs,
};
use std::sync::Arc;

const SURFACE_PA: f64 = 101_325.0;
const T_K: f64 = 288.15;

fn bank(name: &str, duty: Duty, o2: f64, volume_m3: f64, fill_bar: f64) -> Bank {
    Bank {
        name: name.to_owned(),
        duty,
        volume_m3,
        fill_gauge_pa: fill_bar * 1e5,
        t_k: T_K,
        true_mix: Amounts::heliox(o2),
        label_o2: o2,
        analysed_o2: None,
    }
}

/// Places of the gases in the list.
const MIX: usize = 0;
const DIVERS: usize = 1;
const TREATMENT: usize = 2;
const EMERGENCY: usize = 3;
const AIR: usize = 4;
const OXYGEN: usize = 5;
const ON_BOARD: usize = 6;
const HELIUM: usize = 7;
const CALIBRATION: usize = 8;

/// A study of three days over a stock of nine gases, in which three jobs of four are to be covered and the planner wants 3 bar
/// across a regulator.
fn ensemble(ample: f64) -> Ensemble {
    let texts = JobTexts::of(&text(3, &[], ""), "mine.ron", None, None);
    let mut made =
        Ensemble::new(texts, Vec::new(), Some(1), ample).unwrap_or_else(|bad| panic!("{bad}"));
    let base = Arc::make_mut(&mut made.base);
    base.steel.surface_pa = SURFACE_PA;
    base.steel.banks = vec![
        bank("M-1", Duty::BottomMix, 0.02, 3.2, 200.0),
        bank("M-2", Duty::BottomMix, 0.02, 1.6, 180.0),
        bank("D-1", Duty::DiverGas, 0.05, 3.2, 200.0),
        bank("T-1", Duty::Treatment, 0.30, 0.8, 200.0),
        bank("E-1", Duty::Emergency, 0.08, 1.6, 150.0),
        bank("A-1", Duty::Air, 0.21, 0.8, 200.0),
        bank("O-1", Duty::Oxygen, 1.0, 0.8, 180.0),
        bank("OB-1", Duty::OnBoard, 0.05, 0.6, 200.0),
        // Lower than what must stand there to deliver.
        bank("H-1", Duty::Helium, 0.0, 3.2, 20.0),
        bank("C-1", Duty::Calibration, 0.04, 0.2, 150.0),
    ];
    base.study.covered = 0.75;
    base.study.planner.regulator_bar = Some(3.0);
    made.gases = gases(&made.base.steel);
    assert_eq!(made.gases.len(), 9);
    assert_eq!(made.days(), 3);
    made
}

/// 14 bar over the bottom.
fn inputs() -> ReserveInputs {
    ReserveInputs {
        over_bottom_bar: Given::by_planner(14.0),
        ..ReserveInputs::default()
    }
}

/// What a bank holds at a gauge pressure, mol.
fn holds(bank: &Bank, gauge_bar: f64) -> f64 {
    state::total_moles(
        &bank.true_mix,
        gauge_bar * 1e5 + SURFACE_PA,
        bank.volume_m3,
        T_K,
    )
}

/// What the banks of a gas hold at a gauge pressure, none above its fill, mol.
fn of_gas(made: &Ensemble, gas: usize, gauge_bar: f64) -> f64 {
    let banks = made.gases[gas].banks_of(&made.base.steel);
    banks
        .map(|b| holds(b, gauge_bar.min(b.fill_gauge_pa / 1e5)))
        .sum()
}

/// Storage at 100 msw and work at 120: by 10 msw to the bar, 14 over the bottom and 3 for the regulator, nothing comes under
/// 27 bar for the chambers and 29 for the divers; of air and calibration gas under 3.
const HEEL_BAR: [f64; 9] = [27.0, 29.0, 27.0, 27.0, 3.0, 27.0, 29.0, 27.0, 3.0];

/// A minimum with its rows, all of which count.
fn total(holding: Holding, held: f64, rows: &[(&str, f64)]) -> Total {
    let amount = rows.iter().map(|r| r.1).sum();
    let part = |&(id, amount): &(&str, f64)| Part {
        id: id.to_owned(),
        event: Event::WayHome,
        amount,
        counts: true,
    };
    Total {
        holding,
        amount,
        held,
        met: held >= amount,
        parts: rows.iter().map(part).collect(),
    }
}

fn held(made: &Ensemble, holding: Holding, gases: &[usize]) -> Held {
    Held {
        holding,
        amount: 0.0,
        by_hand_m3: None,
        depth_msw: 0.0,
        heel_bar: None,
        gases: gases.iter().map(|g| made.gases[*g].clone()).collect(),
        not_breathable: Vec::new(),
    }
}

/// A sheet of round amounts, mol and kg.
fn sheet(made: &Ensemble) -> Sheet {
    Sheet {
        set: "by hand".to_owned(),
        title: String::new(),
        storage_msw: 100.0,
        working_msw: 120.0,
        lines: Vec::new(),
        asked: Vec::new(),
        held: vec![
            held(made, Holding::DiverGas, &[DIVERS]),
            held(made, Holding::MaskGas, &[TREATMENT, EMERGENCY]),
            held(made, Holding::PressingMix, &[MIX]),
            held(made, Holding::Oxygen, &[OXYGEN]),
            held(made, Holding::BellGas, &[ON_BOARD]),
            held(made, Holding::EscapeAir, &[MIX]),
            held(made, Holding::ChamberAbsorbent, &[]),
        ],
        totals: vec![
            total(
                Holding::DiverGas,
                0.0,
                &[("home.dive", 200.0), ("x.bypass", 800.0)],
            ),
            total(Holding::MaskGas, 0.0, &[("x.masks", 500.0)]),
            total(Holding::PressingMix, 0.0, &[("x.press", 700.0)]),
            // A row that asks for nothing is no rule that asks.
            total(Holding::Oxygen, 0.0, &[("x.nothing", 0.0)]),
            total(Holding::BellGas, 0.0, &[("x.bell", 50.0)]),
            total(
                Holding::EscapeAir,
                0.0,
                &[("x.press", 60.0), ("x.sets", 40.0)],
            ),
            // Nothing is held of it.
            total(Holding::BellOxygen, 0.0, &[("x.oxygen", 7.0)]),
            total(
                Holding::ChamberAbsorbent,
                44.0,
                &[("home.decompression", 12.0), ("x.lime", 18.0)],
            ),
        ],
        posted: Vec::new(),
    }
}

/// The planner's figure wherever he gave one, and the house's where not.
#[test]
fn the_planners_figures_come_before_the_houses() {
    assert_eq!(
        reserve_inputs(&Planner::default()),
        ReserveInputs::default()
    );
    let own = Given::by_planner;
    let house = ReserveInputs::default();
    let found = reserve_inputs(&Planner {
        recover_s: Some(1.0),
        retrieval_s: Some(2.0),
        second_means: Some(true),
        diver_l_min: Some(3.0),
        mask_l_min: Some(4.0),
        escape_sets: Some(5.0),
        bail_out_l: Some(6.0),
        bail_out_bar: Some(7.0),
        bail_out_regulator_bar: Some(8.0),
        people: Some(9.0),
        over_bottom_bar: Some(10.0),
        regulator_bar: Some(11.0),
        spare_absorbent_bell_kg: 12.0,
        spare_absorbent_kg: Some(13.0),
        dive_s: Some(14.0),
        treatment_s: Some(15.0),
    });
    let by_hand = ReserveInputs {
        recover_s: own(1.0),
        retrieval_s: own(2.0),
        second_means: Some(true),
        diver_l_min: own(3.0),
        mask_l_min: own(4.0),
        escape_sets: own(5.0),
        bail_out_l: own(6.0),
        bail_out_bar: own(7.0),
        bail_out_regulator_bar: own(8.0),
        people: Some(9.0),
        over_bottom_bar: own(10.0),
        leak_per_day: house.leak_per_day,
        spare_absorbent_bell_kg: 12.0,
        spare_absorbent_kg: 13.0,
        dive_s: own(14.0),
        treatment_s: Some(15.0),
        ppo2_bar: house.ppo2_bar,
        share: house.share,
    };
    assert_eq!(found, by_hand);
}

/// What cannot be drawn of each gas, and each minimum on top of it; with banks ten times as large ten times as much.
#[test]
fn a_floor_is_the_minimum_on_top_of_what_cannot_be_drawn() {
    for ample in [1.0, 10.0] {
        let made = ensemble(ample);
        let found = floors(&made, &sheet(&made), &inputs());
        let heel: Vec<f64> = (0..9)
            .map(|g| ample * of_gas(&made, g, HEEL_BAR[g]))
            .collect();
        for (g, by_hand) in heel.iter().enumerate() {
            close!(found.heel_mol[g], *by_hand, max_relative = 1e-9);
        }
        let told: Vec<(&str, &[usize])> = found
            .posted
            .iter()
            .map(|f| (f.words.as_str(), &f.gases[..]))
            .collect();
        assert_eq!(
            told,
            [
                ("divers' gas", &[DIVERS][..]),
                ("gas for BIBS", &[TREATMENT, EMERGENCY]),
                ("blow-down mix", &[MIX]),
                ("gas on the bell", &[ON_BOARD]),
                ("air of escape sets", &[MIX]),
            ]
        );
        for (floor, amount, home) in [
            (&found.posted[0], 1000.0, 200.0),
            (&found.posted[1], 500.0, 0.0),
            (&found.posted[2], 700.0, 0.0),
        ] {
            let gases = floor.gases.iter().map(|g| heel[*g]);
            close!(floor.mol, amount + gases.sum::<f64>(), max_relative = 1e-9);
            assert_eq!(floor.home_mol, home, "{}", floor.words);
        }
        // What no gas is held of cannot be met.
        assert_eq!(found.unmet.len(), 1);
        assert_eq!(found.unmet[0].words, "oxygen on the bell");
    }
    let mut made = ensemble(1.0);
    Arc::make_mut(&mut made.base).study.planner.regulator_bar = None;
    let found = floors(&made, &sheet(&made), &inputs());
    close!(
        found.heel(DIVERS),
        of_gas(&made, DIVERS, 26.0),
        max_relative = 1e-9
    );
    assert_eq!(found.heel(AIR), of_gas(&made, AIR, 0.0));
}

/// A minimum that the stock just meets at the start is posted; one a thousandth of a mole more is not met.
#[test]
fn a_minimum_that_is_just_met_is_posted() {
    for ample in [1.0, 10.0] {
        let made = ensemble(ample);
        let usable = ample * (of_gas(&made, DIVERS, 200.0) - of_gas(&made, DIVERS, 29.0));
        for (more, met) in [(-1e-3, true), (1e-3, false)] {
            let mut sheet = sheet(&made);
            sheet.totals[0].amount = usable + more;
            let found = floors(&made, &sheet, &inputs());
            let posted = found.posted.iter().any(|f| f.words == "divers' gas");
            let unmet = found.unmet.iter().any(|f| f.words == "divers' gas");
            assert_eq!((posted, unmet), (met, !met), "{ample}, {more}");
        }
    }
}

/// Absorbent in every scrubber, what the planner says is spare, and the minimum of the chambers.
#[test]
fn absorbent_aboard() {
    let mut made = ensemble(1.0);
    let planner = &mut Arc::make_mut(&mut made.base).study.planner;
    (planner.spare_absorbent_kg, planner.spare_absorbent_bell_kg) = (Some(25.0), 4.0);
    let fitted = made.base.steel.compartments.iter();
    let kg: f64 = fitted.filter_map(|c| Some(c.scrubber?.absorbent_kg)).sum();
    assert!(kg > 0.0);
    let mut sheet = sheet(&made);
    let found = floors(&made, &sheet, &inputs()).absorbent;
    let by_hand = AbsorbentStock {
        in_scrubbers_kg: kg,
        spare_kg: Some(25.0),
        in_bell_kg: 4.0,
        counts_kg: 44.0,
        minimum_kg: 30.0,
        home_kg: 12.0,
    };
    assert_eq!(found, by_hand);
    sheet.totals.pop();
    let none = floors(&made, &sheet, &inputs()).absorbent;
    assert_eq!(
        (none.counts_kg, none.minimum_kg, none.home_kg),
        (0.0, 0.0, 0.0)
    );
}

/// A job whose stock is 1 000 mol of every gas at the start and falls by so much of the mix, of oxygen and of on-board gas, in
/// the first day.
fn job(number: u64, mix: f64, oxygen: f64, on_board: f64, burnt_mol: f64) -> Replicate {
    let mut left = vec![vec![1000.0; 9]; 4];
    for day in &mut left[1..] {
        day[MIX] -= mix;
        day[OXYGEN] -= oxygen;
        day[ON_BOARD] -= on_board;
        // Of air the list says that some is gone, and nothing was drawn.
        day[AIR] -= 5.0;
    }
    let drawn = [(MIX, mix), (OXYGEN, oxygen), (ON_BOARD, on_board)];
    Replicate {
        number,
        left_mol: left.concat(),
        drawn: drawn
            .map(|(gas, mol)| Drawn {
                gas: gas as u8,
                purpose: Purpose::MakeUp,
                mol,
            })
            .to_vec(),
        burnt_mol,
        ..Replicate::default()
    }
}

/// Draws of 100, 150 and 400 of the mix: three quarters of jobs draw no more than 150 + 5/6 of the next 250, by the place
/// (3 + 1/3) 0.75 + 1/3 (Hyndman and Fan, type 8).
fn jobs() -> Vec<Replicate> {
    vec![
        job(0, 400.0, 30.0, 8.0, 300.0),
        job(1, 100.0, 30.0, 8.0, 100.0),
        job(2, 150.0, 30.0, 8.0, 200.0),
    ]
}

fn asked(made: &Ensemble, sheet: &Sheet) -> (Vec<(Need, Course)>, Floors) {
    let floors = floors(made, sheet, &inputs());
    let (jobs, inputs) = (jobs(), inputs());
    let answer = answer(made, &jobs, (0, 3), &floors);
    (needs(made, &answer, &jobs, sheet, &inputs, &floors), floors)
}

#[test]
fn what_is_asked_of_a_supplier_for_each_gas() {
    let made = ensemble(1.0);
    let sheet = sheet(&made);
    let (found, floors) = asked(&made, &sheet);
    let need = |g: usize| &found[g].0;
    let of: Vec<&Gas> = found.iter().map(|(n, _)| &n.gas).collect();
    assert_eq!(of, made.gases.iter().collect::<Vec<_>>());
    for (g, (need, _)) in found.iter().enumerate() {
        let deepest = match g {
            DIVERS | ON_BOARD => 120.0,
            AIR | CALIBRATION => 0.0,
            _ => 100.0,
        };
        assert_eq!(need.deepest_msw, deepest, "{g}");
        let over = if deepest == 0.0 { 0.0 } else { 14e5 };
        assert_eq!((need.over_bottom_pa, need.regulator_pa), (over, 3e5), "{g}");
        assert_eq!((need.surface_pa, need.bank_t_k), (SURFACE_PA, T_K));
        let bank = made.gases[g]
            .banks_of(&made.base.steel)
            .next()
            .expect("one");
        assert_eq!(need.mix, bank.true_mix);
    }
    // Of the mix: drawn, and held against two minimums, 700 and 100; a rule that asks twice is named once.
    close!(
        need(MIX).demand_mol,
        150.0 + 250.0 * 5.0 / 6.0,
        max_relative = 1e-12
    );
    close!(need(MIX).reserve_mol, 800.0, max_relative = 1e-12);
    assert_eq!(
        need(MIX).note,
        "75 % of the jobs draw no more; reserve by x.press, x.sets"
    );
    // Of divers' gas nothing was drawn, and a rule asks for it.
    assert_eq!(
        (need(DIVERS).demand_mol, need(DIVERS).reserve_mol),
        (0.0, 1000.0)
    );
    assert_eq!(
        need(DIVERS).note,
        "75 % of the jobs draw no more; reserve by home.dive, x.bypass"
    );
    // Oxygen is drawn and no rule asks; 200 + 5/6 of the next 100 mol of it burn, 6.8 m3 at 41.74 mol each.
    assert_eq!(
        (need(OXYGEN).demand_mol, need(OXYGEN).reserve_mol),
        (30.0, 0.0)
    );
    assert_eq!(
        need(OXYGEN).note,
        "75 % of the jobs draw no more; no rule of the set asks for a reserve; 7 m3 of the demand are for burning"
    );
    // What nobody draws and nobody asks for is kept as it was loaded, above what cannot be drawn.
    let loaded = |g: usize| of_gas(&made, g, 1e9) - of_gas(&made, g, HEEL_BAR[g]);
    for g in [AIR, CALIBRATION] {
        assert_eq!(need(g).demand_mol, 0.0);
        close!(need(g).reserve_mol, loaded(g), max_relative = 1e-9);
        assert_eq!(
            need(g).note,
            "no job draws it and no rule of the set asks for it: kept as it was loaded (house rule)"
        );
    }
    assert!(need(HELIUM).reserve_mol.abs() < 1e-9);
    // The bell's own bottles are kept, drawn or not.
    assert_eq!(need(ON_BOARD).demand_mol, 8.0);
    close!(
        need(ON_BOARD).reserve_mol,
        loaded(ON_BOARD),
        max_relative = 1e-9
    );
    assert_eq!(
        need(ON_BOARD).note,
        "the bell's own bottles, kept full as they were loaded (house rule)"
    );
    // The course without a boat: in the middle, and at the share that is planned by, 600 + 1/6 of the next 250.
    let course = &found[MIX].1;
    let planned = 600.0 + 250.0 / 6.0;
    assert_eq!(course.median_mol, [1000.0, 850.0, 850.0, 850.0]);
    for (day, by_hand) in [1000.0, planned, planned, planned].into_iter().enumerate() {
        close!(course.planned_mol[day], by_hand, max_relative = 1e-12);
    }
    close!(
        course.minimum_mol,
        700.0 + floors.heel(MIX),
        max_relative = 1e-12
    );
    // Where no minimum stands on a gas alone it is what cannot be drawn.
    assert_eq!(found[TREATMENT].1.minimum_mol, floors.heel(TREATMENT));
}

/// A minimum that two gases hold together is shared as they are held above 27 bar; where neither holds anything, evenly. What
/// the bell's bottles must hold counts where that is more than was loaded.
#[test]
fn a_minimum_is_shared_as_it_is_held() {
    let mut made = ensemble(1.0);
    let mut by_hand = sheet(&made);
    let reserve = |found: &[(Need, Course)], g: usize| found[g].0.reserve_mol;
    let usable = |g: usize| of_gas(&made, g, 1e9) - of_gas(&made, g, 27.0);
    let (t, e) = (usable(TREATMENT), usable(EMERGENCY));
    let found = asked(&made, &by_hand).0;
    close!(
        reserve(&found, TREATMENT),
        500.0 * t / (t + e),
        max_relative = 1e-9
    );
    close!(
        reserve(&found, EMERGENCY),
        500.0 * e / (t + e),
        max_relative = 1e-9
    );
    by_hand.totals[4].amount = 1e6;
    let found = asked(&made, &by_hand).0;
    assert_eq!(reserve(&found, ON_BOARD), 1e6);
    for bank in &mut Arc::make_mut(&mut made.base).steel.banks {
        if matches!(bank.duty, Duty::Treatment | Duty::Emergency) {
            bank.fill_gauge_pa = 20e5;
        }
    }
    let found = asked(&made, &by_hand).0;
    assert_eq!(reserve(&found, TREATMENT), 250.0);
    assert_eq!(reserve(&found, EMERGENCY), 250.0);
}

/// Brought back by the end of each day 0, 5, 12 and 13: 7 on the fullest. Beside a job of 3 it is 5 in the mean; one that
/// brings nothing back is left out, and of none there is no figure.
#[test]
fn what_reclaim_brings_back_on_a_full_day() {
    let job = |by_day: &[f64]| {
        let row = |mol: &f64| {
            let mut row = [1e3; USES.len()];
            row[Use::Reclaimed as usize] = *mol;
            row
        };
        Replicate {
            used_mol: by_day.iter().flat_map(row).collect(),
            ..Replicate::default()
        }
    };
    let full = job(&[0.0, 5.0, 12.0, 13.0]);
    let (short, none) = (job(&[0.0, 3.0]), job(&[0.0, 0.0, 0.0]));
    assert_eq!(reclaimed_a_day_mol(std::slice::from_ref(&full)), Some(7.0));
    assert_eq!(reclaimed_a_day_mol(&[full, none.clone(), short]), Some(5.0));
    assert_eq!(reclaimed_a_day_mol(&[none]), None);
    assert_eq!(reclaimed_a_day_mol(&[]), None);
}
