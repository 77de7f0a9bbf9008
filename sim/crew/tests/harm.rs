//! How a person fails, against what sources say of it: each row of `harm_checks.csv` gone through by a body, second by
//! second, and printed (`--nocapture`). Display and training only.
//!
//! Of its kinds only `independent` and `cross` are checks; `fit` and `regression` say that the program does what the
//! law says, `bound` that it lies between two laws, and `shown` is printed with its difference and not passed or failed.

#[path = "../../../tests/check_values.rs"]
mod check_values;

use check_values::check_values;
use deepstay_core::gas::Amounts;
use deepstay_core::record::{Fitness, HarmCause};
use deepstay_core::units::{ATM_PA, BAR_PA, ZERO_C_K};
use deepstay_crew::harm::{
    Body, Effort, HarmFigures, Heard, Man, Nature, Skin, haemoglobin_percent_min, late_after_s,
    seizure_chance, seizure_dose_step,
};
use deepstay_crew::{Air, RADIANT_W_M2K, Rate, Surroundings};

#[derive(serde::Deserialize)]
struct Row {
    id: String,
    course: String,
    quantity: String,
    unit: String,
    expect_lo: Option<f64>,
    expect_hi: Option<f64>,
    model: f64,
    kind: String,
    status: String,
    source: String,
}

const MBAR_PA: f64 = 1e-3 * BAR_PA;

fn man(figures: &HarmFigures, effort: Effort) -> Man<'_> {
    Man {
        figures,
        nature: Nature::average(figures),
        mass_kg: 75.0,
        rate: Rate {
            o2_l_min: 0.3,
            co2_l_min: 0.26,
            ventilation_l_min: 8.0,
            heat_w: 105.0,
            water_g_h: 0.0,
        },
        effort,
        wet: false,
        surface_pa: 0.0,
    }
}

/// Gas of so much oxygen at a pressure, and no thicker than nothing.
fn gas(ppo2_pa: f64, p_pa: f64) -> Air {
    Air {
        ppo2_pa,
        density_kg_m3: 0.0,
        ..Air::of(&Amounts::heliox(0.2), p_pa, 303.0)
    }
}

/// Seconds until a body that was long in one gas is out in another.
fn time_to_out(man: &Man, before: &Air, then: &Air) -> f64 {
    let mut body = Body::in_gas(man.figures, before.ppo2_pa, before.p_pa, 0);
    for s in 0.. {
        if body.fitness() >= Fitness::Out {
            return f64::from(s);
        }
        assert!(s < 1_000_000, "never out");
        body.follow(man, then, then, s.into(), 1);
    }
    unreachable!()
}

fn steady(f: &HarmFigures, effort: Effort, air: &Air) -> f64 {
    time_to_out(&man(f, effort), air, air)
}

/// Flight level 250 and 400: dry oxygen and pressure, mbar.
const FL250: (f64, f64) = (78.8, 376.0);
const FL400: (f64, f64) = (39.3, 187.5);

fn flight_level((ppo2_mbar, p_mbar): (f64, f64)) -> Air {
    gas(ppo2_mbar * MBAR_PA, p_mbar * MBAR_PA)
}

fn dioxide(share: f64) -> Air {
    Air {
        ppco2_pa: share * ATM_PA,
        ..gas(0.21 * ATM_PA, ATM_PA)
    }
}

fn monoxide(f: &HarmFigures, ppm: f64, minutes: u32, breathed_l_min: f64) -> f64 {
    let mut man = man(f, Effort::Rest);
    man.rate.ventilation_l_min = breathed_l_min;
    let air = Air {
        trace_pa: ppm * 1e-6 * ATM_PA,
        ..gas(0.21 * ATM_PA, ATM_PA)
    };
    let mut body = Body::in_gas(f, air.ppo2_pa, air.p_pa, 0);
    for s in 0..i64::from(minutes) * 60 {
        body.follow(&man, &air, &air, s, 1);
    }
    100.0 * body.haemoglobin()
}

/// What the program makes of a row.
fn ours(id: &str) -> f64 {
    let f = HarmFigures::built_in();
    let deep = |ppo2_bar: f64| gas(ppo2_bar * BAR_PA, 16.0 * BAR_PA);
    let mut hard_alone = f.clone();
    hard_alone.useful_time_at_work = 1.0;
    match id {
        // Breathing hard without working.
        "1" => time_to_out(
            &man(&hard_alone, Effort::Hard),
            &gas(0.2095 * ATM_PA, ATM_PA),
            &gas(0.0, ATM_PA),
        ),
        "2" => steady(f, Effort::Rest, &flight_level(FL250)),
        "3" => steady(f, Effort::Hard, &flight_level(FL250)),
        "4" => steady(f, Effort::Rest, &flight_level(FL400)),
        "5a" => steady(f, Effort::Rest, &deep(0.08)),
        "5b" => steady(f, Effort::Hard, &deep(0.08)),
        "6a" => time_to_out(&man(f, Effort::Rest), &deep(0.40), &deep(0.0)),
        "6b" => time_to_out(&man(f, Effort::Light), &deep(0.40), &deep(0.0)),
        "6c" => time_to_out(&man(&hard_alone, Effort::Hard), &deep(0.40), &deep(0.0)),
        "7" => time_to_out(&man(f, Effort::Rest), &deep(0.40), &deep(0.05)),
        "8" => steady(f, Effort::Rest, &dioxide(0.09)),
        "9" => {
            let (man, air) = (man(f, Effort::Rest), dioxide(0.05));
            let mut body = Body::in_gas(f, air.ppo2_pa, air.p_pa, 0);
            body.follow(&man, &air, &air, 0, 1800);
            assert_eq!(body.fitness(), Fitness::Confused);
            body.carbon_dioxide()
        }
        "10a" => steady(f, Effort::Rest, &dioxide(0.07)),
        "10b" => steady(f, Effort::Rest, &dioxide(0.10)),
        "11a" => monoxide(f, 3782.0, 5, 8.5),
        "11b" => monoxide(f, 6705.0, 3, 8.5),
        "11c" => monoxide(f, 18_087.0, 1, 8.5),
        "12" => 30.0 / haemoglobin_percent_min(f, 12_800.0, 25.0),
        "13a" => 100.0 * seizure_chance(f, oxygen_dose(f)),
        "13b" => seizure_dose_step(f, oxygen_dose(f), 0.4 * ATM_PA, 0.4 * ATM_PA, 60.0),
        "14" => hours_to_forty(f),
        "15a" => late_min(f, 45.0),
        "15b" => late_min(f, 55.0),
        "15c" => late_min(f, 65.0),
        "16" => {
            let man = man(f, Effort::Rest);
            let mut body = Body::in_gas(f, 0.40 * BAR_PA, 16.0 * BAR_PA, 0);
            let at = |s: i64| deep((0.40 - 8.10e-3 * s as f64 / 3600.0).max(0.0));
            let mut s = 0;
            while body.fitness() < Fitness::Out {
                body.follow(&man, &at(s), &at(s + 1), s, 1);
                s += 1;
            }
            s as f64 / 3600.0
        }
        other => panic!("no course is known by the number {other}"),
    }
}

fn oxygen_dose(f: &HarmFigures) -> f64 {
    seizure_dose_step(f, 0.0, 1.6 * ATM_PA, 1.6 * ATM_PA, 60.0)
}

fn late_min(f: &HarmFigures, fsw: f64) -> f64 {
    late_after_s(f, fsw / 25.5) / 60.0
}

/// A body that can lose no heat: a film that carries none, in saturated gas of the skin's temperature.
fn hours_to_forty(f: &HarmFigures) -> f64 {
    let mut man = man(f, Effort::Rest);
    (man.rate.heat_w, man.rate.ventilation_l_min) = (100.0, 0.0);
    let around = Surroundings {
        t_k: f.core_rest - f.core_skin_below,
        rho_cp_j_m3k: 1200.0,
        film_w_m2k: 1e-9 - RADIANT_W_M2K,
        conductivity_w_mk: 0.026,
    };
    let air = Air {
        skin: Skin::Gas(around, 1e5),
        ..gas(0.21 * ATM_PA, ATM_PA)
    };
    let mut body = Body::in_gas(f, air.ppo2_pa, air.p_pa, 0);
    let mut s = 0;
    while body.core_k() < ZERO_C_K + 40.0 {
        body.follow(&man, &air, &air, s, 1);
        s += 1;
    }
    assert_eq!(body.fitness(), Fitness::Confused, "from 40 degC on");
    s as f64 / 3600.0
}

#[test]
fn every_row_of_the_table_of_harm() {
    println!(
        "{:>4} {:<62} {:>11} {:>8} {:>9} {:>7}  kind, source",
        "row", "course", "source", "sketch", "ours", "unit"
    );
    let mut rows = 0;
    for row in check_values("harm_checks.csv").deserialize::<Row>() {
        let row = row.expect("a row");
        rows += 1;
        let ours = ours(&row.id);
        let shown = |v: Option<f64>| v.map(|v| v.to_string()).unwrap_or_default();
        let band = format!("{}..{}", shown(row.expect_lo), shown(row.expect_hi));
        println!(
            "{:>4} {:<62} {band:>11} {:>8} {ours:>9.2} {:>7}  {}; {}: {} ({})",
            row.id, row.course, row.model, row.unit, row.kind, row.quantity, row.source, row.status
        );
        // Whole seconds against the sketch's continuous time.
        let step = if row.unit == "s" { 1.0 } else { 0.0 };
        let off = (ours - row.model).abs();
        assert!(off <= 0.015 * row.model + step, "row {}: {ours}", row.id);
        let low = row.expect_lo.is_none_or(|low| ours >= low);
        let high = row.expect_hi.is_none_or(|high| ours <= high);
        match row.kind.as_str() {
            "independent" | "cross" | "bound" => {
                assert!(low && high, "row {}: {ours} outside {band}", row.id);
            }
            "fit" => {
                let (low, high) = (row.expect_lo.unwrap(), row.expect_hi.unwrap());
                let within = 0.98 * low <= ours && ours <= 1.02 * high;
                assert!(within, "row {}: {ours} outside {band}", row.id);
            }
            "regression" => assert!(low && high, "row {}", row.id),
            "shown" => {
                let nearest = ours.clamp(row.expect_lo.unwrap(), row.expect_hi.unwrap());
                println!(
                    "{:>67} {:+.1} %",
                    "differs by",
                    100.0 * (ours / nearest - 1.0)
                );
            }
            other => panic!("no kind is called {other}"),
        }
    }
    assert_eq!(rows, 25);
}

#[test]
fn pure_helium_to_a_diver_at_hard_work_takes_him_out_in_about_twenty_seconds() {
    let f = HarmFigures::built_in();
    let p_pa = 12.9 * BAR_PA;
    for (ppo2_bar, within) in [(0.40, 19.0..=22.0), (0.65, 19.0..=24.0)] {
        let out = time_to_out(
            &man(f, Effort::Hard),
            &gas(ppo2_bar * BAR_PA, p_pa),
            &gas(0.0, p_pa),
        );
        println!("from {ppo2_bar} bar: {out} s");
        assert!(within.contains(&out), "{out}");
    }
}

#[test]
fn a_thousand_spans_or_one_make_the_same_body_of_a_man_at_rest() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Rest);
    let air = gas(0.42 * BAR_PA, 12.0 * BAR_PA);
    let richer = gas(0.60 * BAR_PA, 12.0 * BAR_PA);
    let (mut once, mut often) = (
        Body::in_gas(f, 0.42 * BAR_PA, 12.0 * BAR_PA, 0),
        Body::in_gas(f, 0.42 * BAR_PA, 12.0 * BAR_PA, 0),
    );
    once.follow(&man, &richer, &richer, 0, 600);
    for s in 0..600 {
        often.follow(&man, &richer, &richer, s, 1);
    }
    for (a, b) in [
        (once.lung_pa(), often.lung_pa()),
        (once.saturated_pa(), often.saturated_pa()),
        (once.core_k(), often.core_k()),
    ] {
        assert!((a / b - 1.0).abs() < 1e-9, "{a} {b}");
    }
    assert!(once.at_rest(&man, &air) && often.at_rest(&man, &air));
}

#[test]
fn who_is_given_oxygen_again_comes_back_and_who_is_not_dies() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Light);
    let (none, good) = (gas(0.0, 13.0 * BAR_PA), gas(0.5 * BAR_PA, 13.0 * BAR_PA));
    let mut body = Body::in_gas(f, 0.5 * BAR_PA, 13.0 * BAR_PA, 0);
    let mut steps = Vec::new();
    let mut follow = |body: &mut Body, air: &Air, from_s: i64, to_s: i64| {
        for s in from_s..to_s {
            body.follow(&man, air, air, s, 1);
            if let Some(step) = body.take_step() {
                steps.push((s + 1, step.to, step.cause));
            }
        }
    };
    follow(&mut body, &none, 0, 60);
    follow(&mut body, &good, 60, 900);
    assert_eq!(body.fitness(), Fitness::Well);
    assert!(body.at_rest(&man, &good), "{body:?}");
    follow(&mut body, &none, 900, 1500);
    assert_eq!(body.fitness(), Fitness::Dead);
    follow(&mut body, &good, 1500, 2000);
    assert_eq!(body.fitness(), Fitness::Dead);
    let died = steps.iter().find(|(_, to, _)| *to == Fitness::Dead);
    let (out_s, dead_s) = (
        steps.iter().rev().find(|s| s.1 == Fitness::Out).unwrap().0,
        died.unwrap().0,
    );
    assert!((out_s + 300 - dead_s).abs() <= 1, "{steps:?}");
    assert!(steps.iter().all(|s| s.2 == HarmCause::LowOxygen));
}

#[test]
fn a_dead_line_leaves_him_what_lung_and_helmet_hold() {
    let f = HarmFigures::built_in();
    let nothing = |p_pa: f64| Air {
        flows: false,
        ..gas(0.0, p_pa)
    };
    let with = |effort, wet, o2: f64| {
        let mut man = man(f, effort);
        (man.wet, man.rate.o2_l_min, man.rate.co2_l_min) = (wet, o2, 0.85 * o2);
        let p_pa = 12.9 * BAR_PA;
        time_to_out(&man, &gas(0.6 * BAR_PA, p_pa), &nothing(p_pa))
    };
    let (mask, helmet) = (
        with(Effort::Rest, false, 0.3),
        with(Effort::Hard, true, 1.22),
    );
    println!("out after {mask} s on a mask at rest, {helmet} s in a helmet at work");
    assert!((90.0..300.0).contains(&mask), "{mask}");
    assert!((30.0..150.0).contains(&helmet), "{helmet}");
}

#[test]
fn a_man_whose_pressure_goes_at_once_is_dead_and_one_on_a_good_excursion_is_well() {
    let f = HarmFigures::built_in();
    let mut man = man(f, Effort::Rest);
    man.surface_pa = ATM_PA;
    let at = |msw: f64| gas(0.4 * BAR_PA, ATM_PA + msw * 1e4);
    let saturated = || Body::in_gas(f, 0.4 * BAR_PA, ATM_PA + 80e4, 0);
    let mut body = saturated();
    let before = at(80.0);
    body.follow(&man, &before, &before, 0, 600);
    body.follow(&man, &before, &at(0.0), 600, 1);
    assert_eq!(
        body.take_step().map(|s| (s.to, s.cause)),
        Some((Fitness::Dead, HarmCause::PressureLoss))
    );
    // 80 to 62 msw, within the table's upward excursion, and back.
    let mut body = saturated();
    for s in 0..600 {
        body.follow(
            &man,
            &at(80.0 - 0.03 * s as f64),
            &at(80.0 - 0.03 * (s + 1) as f64),
            s,
            1,
        );
    }
    body.follow(&man, &at(62.0), &at(62.0), 600, 6 * 3600);
    assert_eq!(body.fitness(), Fitness::Well);
}

#[test]
fn a_figure_that_cannot_be_is_told_at_its_place() {
    let told = |from: &str, to: &str| {
        let text = deepstay_crew::harm::BUILT_IN_HARM.replacen(from, to, 1);
        assert_ne!(text, deepstay_crew::harm::BUILT_IN_HARM);
        HarmFigures::read("mine.ron", &text)
            .expect_err("refused")
            .to_string()
    };
    let zero = told(
        "washout_rest: (value: \"30 s\"",
        "washout_rest: (value: \"0 s\"",
    );
    assert!(zero.contains("washout_rest.value"), "{zero}");
    assert!(zero.contains("more than nothing"), "{zero}");
    let endless = told(
        "dioxide_constant: (value: 6.1623, low: 6.0, high: 6.3,",
        "dioxide_constant: (value: inf, low: 6.0, high: inf,",
    );
    assert!(endless.contains("more than nothing"), "{endless}");
    let beyond = told("dose_slow: (value: 0.3,", "dose_slow: (value: 0.7,");
    assert!(
        beyond.contains("dose_slow.value") && beyond.contains("dose_confused"),
        "{beyond}"
    );
    let misspelt = told("people_spread:", "people_spred:");
    assert!(misspelt.contains("did you mean"), "{misspelt}");
    let unit = told("lung_gas: (value: \"3 L\"", "lung_gas: (value: \"3 bar\"");
    assert!(unit.contains("lung_gas"), "{unit}");
    let cold = told(
        "cold_slow: (value: \"35 degC\", low: \"34 degC\", high: \"35.5 degC\"",
        "cold_slow: (value: \"38 degC\", low: \"34 degC\", high: \"40 degC\"",
    );
    assert!(cold.contains("core temperatures rise"), "{cold}");
}

/// Figures that belong together: what may be equal is taken equal, and the next beyond is refused.
#[test]
fn figures_that_belong_together_are_held_together() {
    let read = |changes: &[(&str, &str)]| {
        let mut text = deepstay_crew::harm::BUILT_IN_HARM.to_owned();
        for (from, to) in changes {
            assert!(text.contains(from), "{from}");
            text = text.replacen(from, to, 1);
        }
        HarmFigures::read("mine.ron", &text).map_err(|told| told.to_string())
    };
    let refused = |changes: &[(&str, &str)], words: &str| {
        let told = read(changes).expect_err(words);
        assert!(told.contains(words), "{told}");
    };
    let slow = "slow_below: (value: \"0.14 bar\", low: \"0.12 bar\"";
    let oxygen = "oxygen falls from slow at work over slow to confused";
    for equal in [
        "slow_below: (value: \"0.16 bar\", low: \"0.12 bar\"",
        "slow_below: (value: \"0.10 bar\", low: \"0.10 bar\"",
    ] {
        assert!(read(&[(slow, equal)]).is_ok(), "{equal}");
    }
    let high = (
        "high: \"0.16 bar\", status: Seen",
        "high: \"0.2 bar\", status: Seen",
    );
    for beyond in [
        "slow_below: (value: \"0.161 bar\", low: \"0.12 bar\"",
        "slow_below: (value: \"0.099 bar\", low: \"0.09 bar\"",
    ] {
        refused(&[high, (slow, beyond)], oxygen);
    }
    let (share, at) = (
        "seizure_share: (value: \"6 %\", low: \"2 %\", high: \"15 %\"",
        "seizure_share_at: (value: \"7.1 %\", low: \"5 %\", high: \"9 %\"",
    );
    let everybody = "less than everybody convulses or has signs";
    let whole = "seizure_share: (value: \"100 %\", low: \"2 %\", high: \"100 %\"";
    let whole_at = "seizure_share_at: (value: \"100 %\", low: \"5 %\", high: \"100 %\"";
    refused(&[(share, whole)], everybody);
    refused(&[(at, whole_at)], everybody);
    let nearly = "seizure_share: (value: \"99 %\", low: \"2 %\", high: \"100 %\"";
    assert!(read(&[(share, nearly)]).is_ok());
    let cold = "cold_slow: (value: \"35 degC\", low: \"34 degC\", high: \"35.5 degC\"";
    let rising = "core temperatures rise";
    let equal = "cold_slow: (value: \"37 degC\", low: \"34 degC\", high: \"37 degC\"";
    refused(&[(cold, equal)], rising);
    let just = "cold_slow: (value: \"36.9 degC\", low: \"34 degC\", high: \"37 degC\"";
    assert!(read(&[(cold, just)]).is_ok());
}

#[test]
fn every_figure_says_where_it_comes_from_and_low_oxygen_is_heard_not_said() {
    let f = HarmFigures::built_in();
    assert!(
        f.rows
            .iter()
            .all(|r| r.low <= r.value && r.value <= r.high && !r.source.is_empty())
    );
    assert_eq!(
        f.heard(HarmCause::LowOxygen, Fitness::Slow),
        Heard::SlowAnswers
    );
    assert_eq!(
        f.heard(HarmCause::CarbonDioxide, Fitness::Slow),
        Heard::ShortOfBreath
    );
    assert_eq!(
        f.heard(HarmCause::OxygenPoisoning, Fitness::Slow),
        Heard::Nothing
    );
}
