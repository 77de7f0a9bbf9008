//! Fatigue and rest beside the working-time rules: the three-process equations against the printed table
//! for 08:00 to 08:45, further figures worked out from the same equations (own arithmetic, labelled so),
//! and the seafarers' rest of MLC 2006 A2.3 as patterns of watches that just keep it and just break it.

use approx::assert_abs_diff_eq as close;
use deepstay_rota::Span;
use deepstay_rota::fatigue::{
    AFTER_S, BEFORE_S, Band, Processes, SETTLED, SLEEP_S, Sleeper, asleep, awake, in_night_s,
    presumed_sleep,
};
use deepstay_rota::seafarer::{Requirement, Worst, worst};

const H: i64 = 3600;
const D: i64 = 24 * H;

/// Ingre and others 2014 (PLoS ONE 9(10), e108679), as tabled in a public walkthrough of its equations:
/// alertness 7.96 on waking at 08:00. Printed to three digits.
#[test]
#[expect(
    clippy::approx_constant,
    reason = "6.28 is what the table prints, not a circle"
)]
fn printed_table_from_eight_to_a_quarter_to_nine() {
    let printed = [
        (8.0, 7.96, -1.67, -5.72, -0.00274, 6.28, 10.3),
        (8.25, 7.91, -1.55, -3.92, -0.0138, 6.35, 9.14),
        (8.5, 7.86, -1.42, -2.69, -0.0332, 6.41, 8.36),
        (8.75, 7.81, -1.28, -1.84, -0.0606, 6.48, 7.82),
    ];
    for (clock, s, c, w, u, sum, scale) in printed {
        let up = clock - 8.0;
        let p = Processes::at(awake(7.96, up), clock, up, 0.0);
        close!(p.sleep, s, epsilon = 0.005);
        close!(p.daily, c, epsilon = 0.005);
        close!(p.waking, w, epsilon = 0.005);
        close!(p.half_daily, u, epsilon = 0.00005);
        close!(p.sleep + p.daily + p.half_daily, sum, epsilon = 0.005);
        close!(
            p.sleepiness_with_waking(),
            scale,
            epsilon = if scale > 10.0 { 0.05 } else { 0.005 }
        );
    }
    // The trap of that table: its text says the scale comes from S, C and U, its column has W in it as well.
    // Without W 08:00 gives 6.83 (own arithmetic).
    let p = Processes::at(7.96, 8.0, 0.0, 0.0);
    close!(p.sleepiness(), 6.83, epsilon = 0.005);
    // The same walkthrough, waking at 07:00.
    let p = Processes::at(7.96, 7.0, 0.0, 0.0);
    close!(p.daily, -2.10, epsilon = 0.005);
    close!(p.half_daily, -0.0432, epsilon = 0.00005);
    let p = Processes::at(awake(7.96, 0.75), 7.75, 0.75, 0.0);
    close!(p.sleep, 7.81, epsilon = 0.005);
    close!(p.daily, -1.79, epsilon = 0.005);
    close!(p.half_daily, -0.000171, epsilon = 0.0000005);
}

/// Someone who has slept in the same hours for weeks; second 0 is midnight.
fn settled(from_h: i64, length_h: i64) -> Sleeper {
    let sleeps: Vec<Span> = (0..60)
        .map(|d| Span::new(d * D + from_h * H, d * D + (from_h + length_h) * H))
        .collect();
    Sleeper::new(0, 0, SETTLED, &sleeps)
}

/// Own arithmetic from the published equations, not printed figures.
#[test]
fn further_figures_by_own_arithmetic() {
    let day = settled(23, 8);
    let at = |s: &Sleeper, h: f64| s.at(50 * D + (h * 3600.0) as i64, 0.0);
    close!(at(&day, 7.0).sleep, 13.820, epsilon = 0.0005);
    close!(at(&day, 7.0).sleep, SETTLED, epsilon = 0.00001);
    close!(at(&day, 23.0).sleep, 8.892, epsilon = 0.0005);
    for (clock, scale) in [(12.0, 3.43), (21.0, 4.36), (23.0, 5.68)] {
        close!(at(&day, clock).sleepiness(), scale, epsilon = 0.006);
    }
    let night = settled(9, 7);
    for (clock, scale) in [
        (0.0, 5.11),
        (3.0, 6.55),
        (5.0, 6.74),
        (6.0, 6.67),
        (8.0, 6.40),
    ] {
        close!(
            at(&night, 24.0 + clock).sleepiness(),
            scale,
            epsilon = 0.006
        );
    }
    // A first night: awake since 07:00.
    for (clock, scale) in [(24.0, 6.34), (27.0, 7.66), (29.0, 7.77), (31.0, 7.51)] {
        let p = Processes::at(awake(SETTLED, clock - 7.0), clock, clock - 7.0, 0.0);
        close!(p.sleepiness(), scale, epsilon = 0.006);
    }
    for (length_h, s) in [(6, 12.548), (5, 10.595), (4, 8.726)] {
        close!(
            at(&settled(1, length_h), 1.0 + length_h as f64).sleep,
            s,
            epsilon = 0.0006
        );
    }
    close!(asleep(7.96, 8.0), 13.5516, epsilon = 0.00005);
    // The straight rise ends at 12.2 after 5.2944 h.
    close!(asleep(7.96, 5.2944), 12.2, epsilon = 0.0001);
    close!(asleep(12.2, 1e3), 14.3, epsilon = 1e-9);
}

/// Turns from 22:00 to 06:00 after days of sleeping at night: legal everywhere by hours, and tiring.
#[test]
fn a_first_night_in_the_bell_is_tiring_and_a_morning_is_not() {
    let turns = |first_h: i64| -> Vec<Span> {
        (1..5)
            .map(|d| Span::new(d * D + first_h * H, d * D + (first_h + 8) * H))
            .collect()
    };
    let peak = |turns: &[Span], which: usize| {
        let sleep = presumed_sleep(turns, 0, 6 * D, 0, (22 * H, 6 * H));
        Sleeper::new(0, -17 * H, SETTLED, &sleep).peak(turns[which])
    };
    let (night, morning) = (turns(22), turns(6));
    let first = peak(&night, 0);
    assert_eq!(Band::of(first.middle), Band::High);
    assert!(
        first.least < first.middle && first.middle < first.most,
        "a band, not a line: {first:?}"
    );
    assert!(peak(&night, 3).middle < first.middle);
    assert_eq!(Band::of(peak(&morning, 0).middle), Band::Low);
    assert!(
        worst(&night)
            .iter()
            .filter(|w| !w.asked.is_of_work())
            .all(Worst::kept)
    );
}

#[test]
fn presumed_sleep_lies_in_the_rest_and_at_night_where_it_can() {
    let turns = [
        Span::new(D + 6 * H, D + 14 * H),
        Span::new(2 * D + 6 * H, 2 * D + 14 * H),
    ];
    let sleeps = presumed_sleep(&turns, 0, 3 * D, 0, (22 * H, 6 * H));
    assert!(
        sleeps.contains(&Span::new(D + 22 * H, D + 29 * H))
            || sleeps.contains(&Span::new(D + 21 * H, D + 29 * H))
    );
    for s in &sleeps {
        assert!(s.to_s - s.from_s <= SLEEP_S);
        for t in &turns {
            assert!(
                s.to_s <= t.from_s - BEFORE_S || s.from_s >= t.to_s + AFTER_S,
                "{s:?} {t:?}"
            );
        }
    }
    // After a night there is no night left: as soon as may be.
    let turns = [Span::new(22 * H, 30 * H), Span::new(46 * H, 54 * H)];
    let sleeps = presumed_sleep(&turns, 0, 60 * H, 0, (22 * H, 6 * H));
    assert!(
        sleeps.contains(&Span::new(30 * H + AFTER_S, 30 * H + AFTER_S + SLEEP_S)),
        "{sleeps:?}"
    );
    assert_eq!(
        in_night_s(Span::new(21 * H, 31 * H), 0, (22 * H, 6 * H)),
        8 * H
    );
    assert_eq!(
        in_night_s(Span::new(0, 3 * D), 6 * H, (22 * H, 6 * H)),
        24 * H
    );
}

fn found(all: &[Worst], asked: Requirement) -> &Worst {
    all.iter()
        .find(|w| w.asked == asked)
        .expect("everything is asked")
}

/// MLC 2006 A2.3, seen in summaries: 12 h on and 12 h off keeps the rest (84 of 77 h a week) and breaks the
/// hours of work (84 of 72): the rule is one or the other.
#[test]
fn twelve_hour_watches_keep_the_rest() {
    let work: Vec<Span> = (0..14).map(|d| Span::new(d * D, d * D + 12 * H)).collect();
    let all = worst(&work);
    assert_eq!(found(&all, Requirement::RestInDay).margin_s(), 2 * H);
    assert_eq!(found(&all, Requirement::RestInWeek).margin_s(), 7 * H);
    assert_eq!(found(&all, Requirement::WorkInWeek).margin_s(), -12 * H);
    assert!(
        all.iter()
            .filter(|w| !w.asked.is_of_work())
            .all(Worst::kept)
    );
}

/// Six on, six off: two pieces of six from the start of a duty, just kept; counted from any other second
/// they would be three, which is why the count starts with a duty.
#[test]
fn six_on_six_off_just_keeps_its_pieces_and_a_minute_more_breaks_them() {
    let watches = |on_s: i64| -> Vec<Span> {
        (0..28)
            .map(|i| Span::new(i * 12 * H, i * 12 * H + on_s))
            .collect()
    };
    let all = worst(&watches(6 * H));
    assert_eq!(found(&all, Requirement::LongestPiece).margin_s(), 0);
    assert_eq!(found(&all, Requirement::TwoPieces).margin_s(), 2 * H);
    let all = worst(&watches(6 * H + 60));
    assert!(!found(&all, Requirement::LongestPiece).kept());
}

/// The window slides: 14 h of work on one day and an early start on the next are each lawful by the
/// calendar's day and not together.
#[test]
fn the_day_slides() {
    let all = worst(&[Span::new(10 * H, 23 * H), Span::new(29 * H, 37 * H)]);
    assert_eq!(found(&all, Requirement::RestInDay).found_s, 6 * H);
    assert!(!found(&all, Requirement::RestInDay).kept());
    // Fourteen hours and ten: just kept; a minute more, broken.
    let just = |on_s: i64| {
        worst(
            &(0..3)
                .map(|d| Span::new(d * D, d * D + on_s))
                .collect::<Vec<_>>(),
        )
    };
    assert_eq!(found(&just(14 * H), Requirement::RestInDay).margin_s(), 0);
    assert_eq!(
        found(&just(14 * H), Requirement::BetweenRests).margin_s(),
        0
    );
    assert_eq!(
        found(&just(14 * H + 60), Requirement::RestInDay).margin_s(),
        -60
    );
    // The old reading, 10 h cut to 6 for two days, is gone.
    assert!(!found(&just(18 * H), Requirement::RestInDay).kept());
}

/// Seven days of 13 h work are 91 h: 77 h of rest, just kept; a minute a day more is broken.
#[test]
fn seven_days_of_thirteen_hours_are_the_most() {
    let week = |on_s: i64| {
        worst(
            &(0..9)
                .map(|d| Span::new(d * D, d * D + on_s))
                .collect::<Vec<_>>(),
        )
    };
    assert_eq!(found(&week(13 * H), Requirement::RestInWeek).margin_s(), 0);
    assert!(!found(&week(13 * H + 60), Requirement::RestInWeek).kept());
}

/// A pause of less than an hour is no rest (guidance).
#[test]
fn a_short_pause_is_no_rest() {
    let all = worst(&[Span::new(0, 8 * H), Span::new(8 * H + 50 * 60, 14 * H + 60)]);
    assert_eq!(found(&all, Requirement::BetweenRests).margin_s(), -60);
    assert!(worst(&[]).is_empty());
}
