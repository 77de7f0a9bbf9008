//! The latest start of a decompression, held to looking at every start one after the other.

use deepstay_rules::builtin;

const STEP_S: i64 = 600;

#[test]
fn the_latest_start_in_time_is_the_last_of_all_that_are() {
    let set = builtin("demonstration").expect("built in");
    let mut waits = 0;
    for depth_msw in [12.0, 31.0, 60.0] {
        for (by_s, start_of_day_s) in [
            (20 * 86_400, 0),
            (20 * 86_400 + 7 * 3600, 0),
            (20 * 86_400 + 15 * 3600 + 300, 0),
            (20 * 86_400, 5 * 3600),
            (20 * 86_400 + 1, 23 * 3600),
        ] {
            let (start_s, length_s) = set
                .latest_decompression_start(depth_msw, by_s, start_of_day_s, &[])
                .expect("printed");
            let length = |at_s: i64| {
                let second = (start_of_day_s + at_s).rem_euclid(86_400);
                set.decompression(depth_msw, second, &[])
                    .expect("printed")
                    .total_s
            };
            // From the very end backwards, the first start that is in time, and no later one is.
            let latest = (0..)
                .map(|step| by_s - step * STEP_S)
                .find(|at_s| at_s + length(*at_s) <= by_s)
                .expect("one");
            let case = format!("{depth_msw} msw by {by_s} from {start_of_day_s}");
            assert_eq!((start_s, length_s), (latest, length(latest)), "{case}");
            assert!(start_s + length_s <= by_s, "{case}");
            waits += i32::from(start_s + length_s < by_s - STEP_S);
        }
    }
    assert!(waits > 0, "a rest at the end makes it arrive early");
}

/// Nothing to come up from: it may begin at the last second.
#[test]
fn from_the_surface_the_start_is_the_end() {
    let set = builtin("demonstration").expect("built in");
    assert_eq!(
        set.latest_decompression_start(0.0, 1000, 0, &[]),
        Ok((1000, 0))
    );
}
