//! One body judged at a second: what each of its numbers makes of him on both sides of each edge, which cause is named,
//! how long a convulsion lasts, and who dies of what. Display and training only.

use super::*;
use crate::harm::Nature;
use crate::{Rate, Surroundings};
use deepstay_core::gas::Amounts;
use deepstay_core::units::BAR_PA;

const P_PA: f64 = 12.0 * BAR_PA;

/// An average man who breathes as he does at rest, dry, with the surface at one atmosphere.
pub(in crate::harm) fn man(figures: &HarmFigures, effort: Effort) -> Man<'_> {
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
        surface_pa: ATM_PA,
    }
}

/// Thin gas of so much oxygen at 12 bar, in which he keeps his temperature.
fn gas(ppo2_pa: f64) -> Air {
    Air {
        ppo2_pa,
        density_kg_m3: 0.0,
        ..Air::of(&Amounts::heliox(0.04), P_PA, 303.0)
    }
}

fn good() -> Air {
    gas(0.4 * BAR_PA)
}

fn body(figures: &HarmFigures) -> Body {
    Body::in_gas(figures, good().ppo2_pa, P_PA, 0)
}

/// What a body that was changed so is judged to be at second 0, of what.
fn judged(man: &Man, air: &Air, change: impl FnOnce(&mut Body)) -> (Fitness, HarmCause) {
    let mut body = body(man.figures);
    change(&mut body);
    body.judge(man, air, 0);
    (body.fitness, body.cause)
}

fn near(ours: f64, by_hand: f64, share: f64) {
    assert!((ours / by_hand - 1.0).abs() < share, "{ours}, {by_hand}");
}

/// By hand: water vapour takes 0.0627 of 12 bar, so that 0.4 bar are 0.39791 in the lung; what he was found at he is
/// saturated at. An hour at 1.6 atm is a dose of 60 x 1.6^3.4 = 296.59.
#[test]
fn its_numbers_are_told() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Rest);
    let mut body = body(f);
    near(body.lung_pa(), 0.397_91 * BAR_PA, 1e-9);
    assert_eq!(body.saturated_pa(), P_PA);
    assert_eq!(body.oxygen_dose(), 0.0);
    let rich = gas(1.6 * ATM_PA);
    body.follow(&man, &rich, &rich, 0, 3600);
    near(body.oxygen_dose(), 296.5918, 1e-6);
    let edge_pa = body.pressure_edge_pa(&man);
    assert!(
        Edges::holds_pressure(&man, body.saturated_pa, edge_pa)
            && !Edges::holds_pressure(&man, body.saturated_pa, edge_pa - 2.0)
    );
}

/// At rest he is only with more oxygen in the lung than the edge, less carbon monoxide than a twentieth, and a core less
/// than a degree off.
#[test]
fn at_an_edge_he_is_not_at_rest() {
    let mut figures = HarmFigures::built_in().clone();
    figures.core_rest = 310.0;
    let man = man(&figures, Effort::Rest);
    let rests = |change: &dyn Fn(&mut Body)| {
        let mut body = body(&figures);
        change(&mut body);
        body.at_rest(&man, &good())
    };
    assert!(rests(&|_| {}));
    let edge_pa = in_lung_pa(Edges::of(&man, &good()).ppo2_low_pa, P_PA);
    assert!(!rests(&|b| b.lung_pa = edge_pa) && rests(&|b| b.lung_pa = edge_pa.next_up()));
    assert!(!rests(&|b| b.haemoglobin = 0.05) && rests(&|b| b.haemoglobin = 0.05_f64.next_down()));
    assert!(!rests(&|b| b.core_k = 311.0) && rests(&|b| b.core_k = 310.999));
    assert!(!rests(&|b| b.core_k = 309.0) && rests(&|b| b.core_k = 309.001));
}

/// A span from good gas to none is gone through second by second, as if each had been asked for.
#[test]
fn a_span_that_ends_in_danger_is_followed_closely() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Rest);
    let (from, to) = (good(), gas(0.0));
    let (mut once, mut often) = (body(f), body(f));
    once.follow(&man, &from, &to, 1000, 512);
    // In halves of 512 no share is rounded.
    let between = |s: i64| gas(from.ppo2_pa * (512 - s) as f64 / 512.0);
    for s in 0..512 {
        often.follow(&man, &between(s), &between(s + 1), 1000 + s, 1);
    }
    assert!(once.fitness >= Fitness::Out, "{once:?}");
    assert_eq!(once.fitness, often.fitness);
    near(once.lung_pa, often.lung_pa, 1e-6);
    near(once.low_oxygen, often.low_oxygen, 1e-6);
    assert_eq!(once.faint_since_s, often.faint_since_s);
}

/// A quarter of the way between two gases, by hand. Whether gas flows is the later one's to say.
#[test]
fn between_two_gases_everything_lies_between() {
    let skin = |t_k: f64, vapour_pa: f64| {
        let gas = Surroundings {
            t_k,
            rho_cp_j_m3k: 1e4,
            film_w_m2k: 10.0,
            conductivity_w_mk: 0.15,
        };
        Skin::Gas(gas, vapour_pa)
    };
    let from = Air {
        p_pa: 8e5,
        ppo2_pa: 4e4,
        ppco2_pa: 400.0,
        trace_pa: 4.0,
        t_k: 300.0,
        density_kg_m3: 2.0,
        flows: true,
        skin: skin(300.0, 1000.0),
    };
    let to = Air {
        p_pa: 12e5,
        ppo2_pa: 8e4,
        ppco2_pa: 0.0,
        trace_pa: 8.0,
        t_k: 304.0,
        density_kg_m3: 6.0,
        flows: false,
        skin: skin(304.0, 3000.0),
    };
    let by_hand = Air {
        p_pa: 9e5,
        ppo2_pa: 5e4,
        ppco2_pa: 300.0,
        trace_pa: 5.0,
        t_k: 301.0,
        density_kg_m3: 3.0,
        flows: false,
        skin: skin(301.0, 1500.0),
    };
    assert_eq!(from.towards(&to, 0.25), by_hand);
    assert_eq!(from.towards(&to, 1.0), to);
}

/// Slow below 0.14 bar in the lung, at hard work below 0.16 bar; at the edge he is well.
#[test]
fn oxygen_slows_him_below_its_edge() {
    let f = HarmFigures::built_in();
    for (effort, edge_bar) in [
        (Effort::Rest, 0.14),
        (Effort::Light, 0.14),
        (Effort::Hard, 0.16),
    ] {
        let man = man(f, effort);
        let edge_pa = edge_bar * BAR_PA;
        let at = |lung_pa| judged(&man, &good(), |b| b.lung_pa = lung_pa).0;
        assert_eq!(at(edge_pa), Fitness::Well, "{effort:?}");
        assert_eq!(at(edge_pa.next_down()), Fitness::Slow, "{effort:?}");
    }
}

/// Confused once it has been below 0.10 bar for a minute, of one who stands twice as long for two. At 0.10 bar nobody is.
#[test]
fn a_minute_of_little_oxygen_confuses() {
    let f = HarmFigures::built_in();
    for (times, after_s) in [(1.0, 60), (2.0, 120), (0.5, 30)] {
        let mut man = man(f, Effort::Rest);
        man.nature.times = times;
        let thin = gas(0.0999 * BAR_PA * P_PA / (P_PA - 6270.0));
        let mut body = Body::in_gas(f, thin.ppo2_pa, P_PA, 1000);
        near(body.lung_pa, 0.0999 * BAR_PA, 1e-9);
        // Faint from the first second that is judged, 1001.
        body.follow(&man, &thin, &thin, 1000, after_s);
        assert_eq!(body.fitness, Fitness::Slow, "{times}");
        body.follow(&man, &thin, &thin, 1000 + after_s, 1);
        assert_eq!(body.fitness, Fitness::Confused, "{times}");
    }
    let man = man(f, Effort::Rest);
    let mut body = body(f);
    body.lung_pa = f.confused_below;
    body.judge(&man, &good(), 10);
    assert_eq!(body.faint_since_s, None);
    body.lung_pa = f.confused_below.next_down();
    body.judge(&man, &good(), 11);
    assert_eq!(body.faint_since_s, Some(11));
}

/// By hand: 15 % of haemoglobin are 0.375 of what takes a man at rest out (slow), 0.75 at hard work (confused). To a dose
/// of low oxygen of 0.2 carbon monoxide's 0.2 adds, and 0.4 is slow; without any low oxygen it is carbon monoxide's own.
#[test]
fn carbon_monoxide_adds_to_low_oxygen() {
    let f = HarmFigures::built_in();
    let (rest, hard) = (man(f, Effort::Rest), man(f, Effort::Hard));
    let with = |man: &Man, haemoglobin, low_oxygen| {
        judged(man, &good(), |b| {
            (b.haemoglobin, b.low_oxygen) = (haemoglobin, low_oxygen);
        })
    };
    let monoxide = HarmCause::CarbonMonoxide;
    assert_eq!(with(&rest, 0.15, 0.0), (Fitness::Slow, monoxide));
    assert_eq!(with(&hard, 0.15, 0.0), (Fitness::Confused, monoxide));
    assert_eq!(
        with(&rest, 0.08, 0.2),
        (Fitness::Slow, HarmCause::LowOxygen)
    );
    assert_eq!(with(&rest, 0.08, 0.0).0, Fitness::Well);
    assert_eq!(with(&rest, 0.0, 0.2).0, Fitness::Well);
}

/// What it came from stands as long as it is among the worst, and of one who is well again too; else it is the first of
/// the worst.
#[test]
fn a_cause_stands_as_long_as_it_is_among_the_worst() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Rest);
    let slow_of_oxygen = 0.13 * BAR_PA;
    let mut body = body(f);
    body.cause = HarmCause::CarbonMonoxide;
    let mut now_s = 0;
    let mut judge = |body: &mut Body| {
        now_s += 1;
        body.judge(&man, &good(), now_s);
        (body.fitness, body.cause)
    };
    (body.haemoglobin, body.lung_pa) = (0.15, slow_of_oxygen);
    assert_eq!(judge(&mut body), (Fitness::Slow, HarmCause::CarbonMonoxide));
    body.haemoglobin = 0.0;
    assert_eq!(judge(&mut body), (Fitness::Slow, HarmCause::LowOxygen));
    body.core_k = ZERO_C_K + 31.0;
    assert_eq!(judge(&mut body), (Fitness::Confused, HarmCause::Cold));
    (body.core_k, body.lung_pa) = (f.core_rest, 0.4 * BAR_PA);
    assert_eq!(judge(&mut body), (Fitness::Well, HarmCause::Cold));
}

/// Of each cause that kills while it lasts: 300 s from the first second that he is out in it, of one who stands twice as
/// long 600; and nobody dies of it in good gas.
#[test]
fn who_is_out_dies_while_it_lasts() {
    let f = HarmFigures::built_in();
    type Change = fn(&mut Body);
    let deadly: [(HarmCause, Air, Change); 4] = [
        (HarmCause::LowOxygen, good(), |b| {
            (b.low_oxygen, b.lung_pa) = (1.0, 0.109 * BAR_PA);
        }),
        (
            HarmCause::CarbonMonoxide,
            Air {
                trace_pa: 1e-3 * ATM_PA,
                ..good()
            },
            |b| b.haemoglobin = 0.45,
        ),
        (
            HarmCause::CarbonDioxide,
            Air {
                ppco2_pa: 0.09 * ATM_PA,
                ..good()
            },
            |b| b.dioxide = 1.0,
        ),
        (HarmCause::PressureLoss, good(), |b| {
            (b.loss, b.saturated_pa) = (1.0, 20.0 * BAR_PA);
        }),
    ];
    for (cause, air, change) in deadly {
        for (times, after_s) in [(1.0, 300), (2.0, 600)] {
            let mut man = man(f, Effort::Rest);
            man.nature.times = times;
            let mut body = body(f);
            change(&mut body);
            for (now_s, fitness) in [
                (1000, Fitness::Out),
                (1000 + after_s - 1, Fitness::Out),
                (1000 + after_s, Fitness::Dead),
            ] {
                body.judge(&man, &air, now_s);
                assert_eq!((body.fitness, body.cause), (fitness, cause), "at {now_s}");
            }
        }
        let man = man(f, Effort::Rest);
        let mut body = body(f);
        change(&mut body);
        (body.lung_pa, body.saturated_pa) = (0.4 * BAR_PA, P_PA);
        for now_s in [1000, 5000] {
            body.judge(&man, &good(), now_s);
            assert_eq!((body.fitness, body.cause), (Fitness::Out, cause));
            assert_eq!(body.exposed_since_s, None, "{cause:?}");
        }
    }
    // Oxygen at the figure itself does him no more harm.
    let man = man(f, Effort::Rest);
    let mut body = body(f);
    (body.low_oxygen, body.lung_pa) = (1.0, f.low_oxygen_below);
    body.judge(&man, &good(), 1000);
    assert_eq!((body.fitness, body.exposed_since_s), (Fitness::Out, None));
}

/// By hand: a third of 10 bar is 3.3 bar by the figure of 33 %. Below it within ten seconds of having been held he is
/// dead; at it, or after ten seconds, he is not killed at once.
#[test]
fn pressure_that_goes_at_once_kills_at_once() {
    let f = HarmFigures::built_in();
    let killed = |p_pa: f64, hit: bool, held_s: i64, now_s: i64| {
        let mut body = body(f);
        (body.saturated_pa, body.held_s) = (10.0 * BAR_PA, held_s);
        let air = Air { p_pa, ..good() };
        (body.killed_at_once(f, &air, hit, now_s), body.held_s)
    };
    assert_eq!(killed(3.29e5, true, 100, 109), (true, 100));
    assert_eq!(killed(3.29e5, true, 100, 110), (false, 100));
    assert_eq!(killed(3.4e5, true, 100, 101), (false, 100));
    assert_eq!(killed(3.29e5, false, 100, 101), (false, 101));
    let share_pa = f.loss_sudden_share * (10.0 * BAR_PA);
    assert_eq!(killed(share_pa, true, 100, 101), (false, 100));
    assert_eq!(killed(share_pa.next_down(), true, 100, 101), (true, 100));
}

/// By hand, of one whose place is two standard deviations under the middle: signs from exp(9.63 - 2 x 2.02) = 267.74 on.
/// The law convulses 6 % of those with signs where 7.1 % have them, at 1.16235 standard deviations more (scipy), so from
/// exp(9.63 - 0.83765 x 2.02) = 2,801.6 on; dry and at rest a fifth as many, at 1.66911 more, from 7,798 on.
#[test]
fn signs_and_convulsion_come_at_their_doses() {
    let f = HarmFigures::built_in();
    let rich = gas(1.5 * ATM_PA);
    let of = |effort, wet, dose: f64, air: &Air| {
        let mut man = man(f, effort);
        (man.wet, man.nature.oxygen) = (wet, -2.0);
        judged(&man, air, |b| b.oxygen = dose).0
    };
    for (effort, wet, convulsed) in [
        (Effort::Hard, true, 2801.6),
        (Effort::Rest, true, 2801.6),
        (Effort::Light, false, 2801.6),
        (Effort::Rest, false, 7797.8),
    ] {
        let at = |dose| of(effort, wet, dose, &rich);
        assert_eq!(at(0.0), Fitness::Well);
        assert_eq!(at(267.0), Fitness::Well, "{effort:?} {wet}");
        assert_eq!(at(268.5), Fitness::Slow, "{effort:?} {wet}");
        assert_eq!(at(0.997 * convulsed), Fitness::Slow, "{effort:?} {wet}");
        assert_eq!(at(1.003 * convulsed), Fitness::Out, "{effort:?} {wet}");
    }
    // Nobody convulses under the figure's 1 atm, and at it he does.
    let at = |ppo2_pa| of(Effort::Hard, true, 4000.0, &gas(ppo2_pa));
    assert_eq!(at(ATM_PA.next_down()), Fitness::Slow);
    assert_eq!(at(ATM_PA), Fitness::Out);
}

/// Out for 120 s, confused for half an hour after it, however much oxygen there is, and then as his dose has it: a second
/// convulsion in rich gas, signs in good gas.
#[test]
fn a_convulsion_lasts_two_minutes_and_half_an_hour_of_confusion_follows() {
    let f = HarmFigures::built_in();
    let mut man = man(f, Effort::Hard);
    man.nature.oxygen = -2.0;
    let rich = gas(1.5 * ATM_PA);
    let mut body = body(f);
    body.oxygen = 4000.0;
    let mut judge = |air: &Air, now_s| {
        body.judge(&man, air, now_s);
        body.fitness
    };
    for (now_s, fitness) in [
        (5000, Fitness::Out),
        (5119, Fitness::Out),
        (5120, Fitness::Confused),
        (6919, Fitness::Confused),
        (6920, Fitness::Out),
        (7039, Fitness::Out),
        (7040, Fitness::Confused),
    ] {
        assert_eq!(judge(&rich, now_s), fitness, "at {now_s}");
    }
    assert_eq!(judge(&good(), 6920 + 1919), Fitness::Confused);
    assert_eq!(judge(&good(), 6920 + 1920), Fitness::Slow);
}

/// Cold and heat, degree by degree: on an edge he is as well as on its good side.
#[test]
fn cold_and_heat_take_him_at_their_edges() {
    let f = HarmFigures::built_in();
    let of = |core_k: f64| {
        let mut body = body(f);
        body.core_k = core_k;
        (body.by_cold(f), body.by_heat(f))
    };
    use Fitness::*;
    for (edge_c, better, worse) in [
        (35.0, Well, Slow),
        (32.0, Slow, Confused),
        (30.0, Confused, Out),
        (25.0, Out, Dead),
    ] {
        let edge_k = ZERO_C_K + edge_c;
        assert_eq!(of(edge_k), (better, Well), "{edge_c}");
        assert_eq!(of(edge_k.next_down()), (worse, Well), "{edge_c}");
    }
    for (edge_c, better, worse) in [
        (38.5, Well, Slow),
        (40.0, Slow, Confused),
        (41.0, Confused, Out),
        (42.5, Out, Dead),
    ] {
        let edge_k = ZERO_C_K + edge_c;
        assert_eq!(of(edge_k), (Well, better), "{edge_c}");
        assert_eq!(of(edge_k.next_up()), (Well, worse), "{edge_c}");
    }
}

/// By hand, in a second: a litre of oxygen at 0 degC is 115,050 Pa in one at 37 degC, so that 0.3 L/min from the 3 L of a
/// lung are 191.75 Pa/s, and from the 7.5 L of lung and helmet 76.70 Pa/s; 0.26 L/min of carbon dioxide are 166.18 and
/// 66.47 Pa/s.
#[test]
fn without_gas_he_lives_on_what_lung_and_helmet_hold() {
    let f = HarmFigures::built_in();
    for (wet, o2_pa_s, co2_pa_s) in [(false, 191.750, 166.183), (true, 76.700, 66.473)] {
        let mut man = man(f, Effort::Rest);
        man.wet = wet;
        let nothing = Air {
            flows: false,
            ..good()
        };
        let mut body = body(f);
        let before_pa = body.lung_pa;
        body.follow(&man, &nothing, &nothing, 0, 10);
        near(before_pa - body.lung_pa, 10.0 * o2_pa_s, 1e-4);
        near(body.trapped_pa, 10.0 * co2_pa_s, 1e-4);
    }
}

/// By hand: 1,000 ppm and 8 L/min are 3.317e-5 x 1000^1.036 x 8 = 0.34028 % a minute; with 5 % carbon dioxide he breathes
/// 2.5896 times as much. Without gas he takes up none.
#[test]
fn carbon_monoxide_is_taken_up_as_he_breathes() {
    let f = HarmFigures::built_in();
    let man = man(f, Effort::Rest);
    let foul = Air {
        trace_pa: 1e-3 * ATM_PA,
        ..good()
    };
    let percent_min = |air: &Air| Body::monoxide_s(&man, air, air) * 60.0 * 100.0;
    near(percent_min(&foul), 0.340_279, 1e-5);
    let with_dioxide = Air {
        ppco2_pa: 0.05 * ATM_PA,
        ..foul
    };
    near(percent_min(&with_dioxide), 0.340_279 * 2.589_591, 1e-5);
    let nothing = Air {
        flows: false,
        ..foul
    };
    assert_eq!(percent_min(&nothing), 0.0);
    assert_eq!(percent_min(&good()), 0.0);
}

/// What is left of a dose is forgotten under a thousandth, once nothing lets it grow; a larger one goes on falling back by
/// its time constant, 300 s of carbon dioxide.
#[test]
fn a_rest_of_a_dose_is_forgotten() {
    let built_in = HarmFigures::built_in();
    let mut figures = built_in.clone();
    // Low oxygen from what is just in the lung.
    figures.low_oxygen_below = in_lung_pa(good().ppo2_pa, P_PA);
    let second = |figures: &HarmFigures, change: fn(&mut Body)| {
        let mut body = body(figures);
        change(&mut body);
        body.second(&man(figures, Effort::Rest), &good(), &good());
        body
    };
    assert_eq!(second(&figures, |b| b.low_oxygen = 5e-4).low_oxygen, 0.0);
    assert_eq!(second(built_in, |b| b.dioxide = 5e-4).dioxide, 0.0);
    assert_eq!(second(built_in, |b| b.loss = 5e-4).loss, 0.0);
    near(
        second(built_in, |b| b.dioxide = 0.5).dioxide,
        0.498_336_1,
        1e-6,
    );
    figures.dioxide_recovery = f64::INFINITY;
    assert_eq!(second(&figures, |b| b.dioxide = 1e-3).dioxide, 1e-3);
    let less = second(&figures, |b| b.dioxide = 1e-3_f64.next_down());
    assert_eq!(less.dioxide, 0.0);
}
