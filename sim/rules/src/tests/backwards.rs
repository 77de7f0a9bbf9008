//! The latest start of a decompression worked out by hand, on a table that is made up: an hour for each metre, from
//! one whole metre to the next without a halt between, and nobody travels from 00:00 to 06:00.

use super::{RuleSet, made_up, text_of};

const H: i64 = 3600;
const MIN: i64 = 60;

fn hourly_rows(rest: &str) -> String {
    let row = |id: &str, figures: &str| {
        format!(
            "(id: \"x.{id}\", source: (document: \"a document\", status: Seen), figures: {figures})"
        )
    };
    let rest = match rest {
        "" => String::new(),
        hours => format!(", rest: {}", row("rest", &format!("(hours: [{hours}])"))),
    };
    format!(
        "decompression: [(rates: {}, travel: {}, oxygen: {}{rest})]",
        row(
            "rates",
            "(deepest: \"50 msw\", bands: [(deeper_than: \"0 msw\", rate: \"1 msw/h\")])"
        ),
        row("travel", "Linear(every: \"1 msw\")"),
        row(
            "oxygen",
            "ByDepth([(deeper_than: \"0 msw\", hold: Partial(\"50 kPa\"))])"
        ),
    )
}

/// Without rest hours it begins as many hours before as there are metres, at any hour of the day.
#[test]
fn round_the_clock_it_begins_its_own_length_before() {
    let set = made_up(&hourly_rows(""));
    for start_of_day_s in [0, 5 * H] {
        assert_eq!(
            set.latest_decompression_start(6.0, 30 * H, start_of_day_s, &[]),
            Ok((24 * H, 6 * H))
        );
    }
}

/// From 3 msw. A metre is begun only where its hour is over before the rest.
#[test]
fn the_night_is_left_out() {
    let set = made_up(&hourly_rows("(\"00:00\", \"06:00\")"));
    for (by_s, start_of_day_s, start_s, length_s) in [
        // By 02:00 of the next day: 21:00, 22:00 and 23:00 end with the day; ten minutes later the third metre waits
        // for the morning.
        (26 * H, 0, 21 * H, 3 * H),
        // The same with the clock at 05:00 when seconds begin.
        (21 * H, 5 * H, 16 * H, 3 * H),
        // By 07:00: two metres before midnight, the third from 06:00 on, so that it begins at 22:00 and takes nine hours.
        (31 * H, 0, 22 * H, 9 * H),
        // By 07:05 the starts that are looked at lie at five past: 22:05 is too late, 21:55 is over at 07:00.
        (31 * H + 5 * MIN, 0, 22 * H - 5 * MIN, 9 * H + 5 * MIN),
        // By 12:00: three metres of the same morning.
        (36 * H, 0, 33 * H, 3 * H),
    ] {
        assert_eq!(
            set.latest_decompression_start(3.0, by_s, start_of_day_s, &[]),
            Ok((start_s, length_s)),
            "by {by_s} s, the clock at {start_of_day_s} s"
        );
    }
}

/// A step that takes less than half a second still ends a second after it begins.
#[test]
fn a_step_takes_a_second_at_the_least() {
    use super::super::timetable::Timetable;
    let table = |travel_s_per_msw: f64| Timetable {
        from_msw: 2.0,
        to_msw: 0.0,
        bands: vec![(0.0, 100.0)],
        step_msw: 1.0,
        travel_s_per_msw: Some(travel_s_per_msw),
        rest: Vec::new(),
        last_stop: None,
        start_second_of_day: 0,
    };
    for (travel_s_per_msw, takes_s) in [(0.2, 1), (1.0, 1), (2.0, 2)] {
        let steps = table(travel_s_per_msw).steps();
        let all: Vec<(i64, i64)> = steps.iter().map(|s| (s.start_s, s.by_s)).collect();
        assert_eq!(
            all,
            [(0, takes_s), (100, 100 + takes_s)],
            "{travel_s_per_msw} s"
        );
    }
}

/// Rest hours begin before they end, and one that ends as the next begins is in order.
#[test]
fn rest_hours_are_in_order() {
    let loads = |hours: &str| RuleSet::from_ron(&text_of(&hourly_rows(hours)), "x.ron").is_ok();
    assert!(loads("(\"06:00\", \"06:01\")") && !loads("(\"06:00\", \"06:00\")"));
    assert!(!loads("(\"06:01\", \"06:00\")"));
    assert!(loads("(\"00:00\", \"02:00\"), (\"02:00\", \"04:00\")"));
    assert!(!loads("(\"00:00\", \"02:00\"), (\"01:59\", \"04:00\")"));
}
