//! Arguments and exit codes.

use super::{folder, run};
use std::time::{Duration, Instant};

#[test]
fn help_carries_the_table_and_the_caution() {
    let f = folder();
    let (code, out, err) = run(&f, &["--help"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("Exit codes:") && out.contains("3  bad input"));
    assert!(out.contains("it prescribes nothing"));
    assert_eq!(run(&f, &["--version"]).0, 0);
}

#[test]
fn wrong_arguments_are_bad_input() {
    let f = folder();
    for arguments in [
        &[][..],
        &["dive"],
        &["check", "a", "b"],
        &["new"],
        &["schema", "poem"],
        &["--no-such"],
    ] {
        let (code, out, err) = run(&f, arguments);
        assert_eq!((code, out.as_str()), (3, ""), "{arguments:?}");
        assert!(!err.is_empty());
    }
}

#[test]
fn help_starts_at_once() {
    let f = folder();
    run(&f, &["--help"]);
    let best = (0..10)
        .map(|_| {
            let start = Instant::now();
            run(&f, &["--help"]);
            start.elapsed()
        })
        .min();
    // Started, read and ended; the bench has the exact figure.
    assert!(best < Some(Duration::from_millis(100)), "{best:?}");
}
