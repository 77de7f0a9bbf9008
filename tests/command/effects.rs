//! `deepstay check --effects`: the failure-effects table of a job's spread.

use super::{folder, run};

/// Ten minutes of every failure of the short job: each has its row or is named among those that do nothing; the table
/// says from when, and what it leaves out. The big leak into the chamber that men live in shows by its depth gauge and
/// rings as depth lost; the fan's lamp goes out at once.
#[test]
fn every_failure_has_its_row_and_what_is_left_out_is_said() {
    let f = folder();
    let (code, out, err) = run(&f, &["check", "short", "--effects", "--within", "10 min"]);
    assert_eq!((code, err.as_str()), (0, ""), "{err}");
    println!("{out}");
}
