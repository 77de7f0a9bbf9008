//! `deepstay list`.

use super::{folder, run};

#[test]
fn names_what_is_built_in() {
    let (code, out, err) = run(&folder(), &["list"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for words in [
        "Jobs",
        "six-man",
        "taken where none is named",
        "Spreads",
        "Rule sets",
        "demonstration",
        "Tables of waves",
    ] {
        assert!(out.contains(words), "{words}");
    }
}

#[test]
fn names_alone() {
    let (_, out, _) = run(&folder(), &["list", "--names"]);
    assert!(out.lines().all(|l| !l.contains(' ')));
    assert_eq!(out.lines().next(), Some("six-man"));
}
