//! Bad input to `stock`: laws that cannot be, ways that lead nowhere, a stock that contradicts itself, a
//! supplier without the mix, a present of another job. Each is told with its place, before the first job is run.

use super::stock::{job, job_with};
use super::{folder, run};
use std::fs;

/// More jobs than would be over before anybody's patience is: what is refused here is refused before them.
const MANY: &str = "1000000";

/// Runs a study that is to be refused, and gives what it says.
fn refused(f: &tempfile::TempDir, arguments: &[&str]) -> String {
    let (code, out, err) = run(
        f,
        &[&["stock"], arguments, &["--replicates", MANY]].concat(),
    );
    assert_eq!((code, out.as_str()), (3, ""), "{arguments:?}: {err}");
    err
}

/// Line and column of a piece of text, both from 1.
fn place(text: &str, piece: &str) -> String {
    let at = text.find(piece).unwrap_or_else(|| panic!("{piece}"));
    let line = text[..at].lines().count();
    let column = text[..at]
        .rsplit('\n')
        .next()
        .unwrap_or_default()
        .chars()
        .count()
        + 1;
    let line = if column == 1 { line + 1 } else { line };
    format!("mine.ron:{line}:{column}:")
}

/// Holds that a job with one thing changed is refused at `at` with `words`.
fn bad(from: &str, to: &str, at: &str, words: &str) {
    let f = folder();
    let mine = job_with(&f, from, to);
    let text = fs::read_to_string(f.path().join(&mine)).expect("readable");
    let err = refused(&f, &[&mine]);
    let place = place(&text, at);
    assert!(
        err.contains(&place) && err.contains(words),
        "{to}: wanted {place} and {words}: {err}"
    );
}

const BREATHING: &str =
    "law: LogNormal(median: \"1\", factor: 1.15), least: \"0.6\", most: \"1.7\"";
const RECOVERY: &str = "law: Triangular(low: \"80 %\", likely: \"88 %\", high: \"95 %\")";

#[test]
fn laws_that_cannot_be() {
    let laws = [
        (
            "Uniform(low: \"1.2\", high: \"0.8\")",
            "low must be below high",
        ),
        (
            "Triangular(low: \"0.8\", likely: \"1.3\", high: \"1.2\")",
            "likely is 1.3; it must lie between",
        ),
        (
            "Normal(mean: \"1\", sd: \"-0.1\")",
            "sd is -0.1; it must be over 0",
        ),
        ("Normal(mean: \"NaN\", sd: \"0.1\")", "is no number"),
        ("LogNormal(median: \"1\", factor: 0.9)", "factor is 0.9"),
        ("LogNormal(median: \"-1\", factor: 1.2)", "must be over 0"),
        (
            "Gamma(mean: \"-1\", sd: \"0.1\")",
            "mean is -1; it must be over 0",
        ),
        (
            "Beta(low: \"0.5\", high: \"1.5\", mean: \"1\", sd: \"3\")",
            "too large for the mean",
        ),
        (
            "Weibull(scale: \"1\", shape: 0)",
            "shape is 0; it must be over 0",
        ),
        ("Exponential(mean: \"0\")", "mean is 0; it must be over 0"),
        ("Poisson(mean: \"-2\")", "mean is -2; it must be over 0"),
        ("Choice([])", "the list is empty"),
        ("Choice([(\"1\", -1)])", "the weight of 1 is -1"),
        ("Choice([(\"1\", 0)])", "all weights are 0"),
        (
            "Uniform(low: \"0.8\", high: \"120 %\")",
            "all figures of a law have one unit",
        ),
        (
            "LogNormal(median: \"1\", factor: 1.15), least: \"1.7\", most: \"0.6\"",
            "least must not be above most",
        ),
        (
            "LogNormal(median: \"1\", factor: 1.15), least: \"50\", most: \"60\"",
            "limits",
        ),
    ];
    for (law, words) in laws {
        let law = format!("law: {law}");
        // The place is that of the law itself, behind the name of its field.
        bad(BREATHING, &law, &law["law: ".len()..], words);
    }
}

#[test]
fn a_law_that_reaches_past_what_can_be() {
    let f = folder();
    let mine = job_with(&f, RECOVERY, "law: Normal(mean: \"88 %\", sd: \"8 %\")");
    let err = refused(&f, &[&mine]);
    assert!(
        err.contains("stock.reclaim.recovery")
            && err.contains("a share lies between 0 % and 100 %"),
        "{err}"
    );
    assert!(
        err.contains("recovery at 112.7") && err.contains("least and most"),
        "{err}"
    );
    let text = std::fs::read_to_string(f.path().join(&mine)).expect("written");
    let lines = text.lines().enumerate();
    let places = lines.filter_map(|(k, line)| Some((k + 1, line.find("recovery: \"")? + 11)));
    let mut told = places.map(|(line, column)| format!("mine.ron:{line}:{column}:"));
    assert!(told.any(|place| err.contains(&place)), "{err}");
}

#[test]
fn two_sources_of_one_name() {
    bad(
        "name: \"reclaim out of order\"",
        "name: \"recovery\"",
        "\"recovery\", what",
        "the source of chance `recovery` is named twice",
    );
}

#[test]
fn laws_say_where_they_are_from() {
    bad(
        "source: \"assumed\",\n                law: Log",
        "source: \" \",\n                law: Log",
        "\" \"",
        "where it is from",
    );
    let missing = "name: \"breathing\", inputs: [\"crew.breathing\"],\n";
    bad(
        "name: \"breathing\", inputs: [\"crew.breathing\"], source: \"assumed\",\n",
        missing,
        "(\n                name: \"breathing\"",
        "`source` is missing",
    );
    bad(
        ", source: \"assumed\",\n        )]",
        ",\n        )]",
        "(\n            name: \"reclaim out",
        "`source` is missing",
    );
}

#[test]
fn what_a_study_asks_that_cannot_be() {
    for (from, to, at, words) in [
        (
            "reserve: [",
            "covered: \"40 %\", reserve: [",
            "\"40 %\"",
            "between 50 % and less than 100 %",
        ),
        (
            "[\"canada\"",
            "[\"canda\"",
            "\"canda\"",
            "did you mean `canada`?",
        ),
        (
            "lasts: LogNormal(median: \"6 h\"",
            "lasts: LogNormal(median: \"6\"",
            "LogNormal(median: \"6\"",
            "a length of time",
        ),
        (
            "mean_between: \"2 d\"",
            "mean_between: \"10 min\"",
            "\"10 min\"",
            "every hour",
        ),
        (
            "inputs: [\"crew.breathing\"]",
            "inputs: [\"study.covered\"]",
            "\"study.covered\"",
            "does not vary itself",
        ),
        (
            "inputs: [\"crew.breathing\"]",
            "inputs: [\"crew breathing\"]",
            "\"crew breathing\"",
            "no path to an input",
        ),
        (
            "inputs: [\"crew.breathing\"]",
            "inputs: []",
            "[]",
            "says which inputs",
        ),
        (
            RECOVERY,
            "drawn: Times, law: Uniform(low: \"80 %\", high: \"90 %\")",
            "Uniform",
            "multiplied by has no unit",
        ),
        (
            "least: \"0.6\"",
            "leest: \"0.6\"",
            "leest",
            "did you mean `least`?",
        ),
        (
            "supplier: \"north-quay\"",
            "suplier: \"north-quay\"",
            "suplier",
            "did you mean `supplier`?",
        ),
    ] {
        bad(from, to, at, words);
    }
}

#[test]
fn a_stock_that_contradicts_itself() {
    let oxygen = "bottles: \"16 x 50 L at 180 bar\", contents: Oxygen";
    for (from, to, at, words) in [
        (
            "name: \"M-2\"",
            "name: \"M-1\"",
            "\"M-1\", duty: BottomMix, bottles: \"64 x 50 L at 200 bar\", contents: Heliox(\"2 %\"), analysed: \"2 %\"),\n            (name: \"M-3\"",
            "the bank `M-1` is named twice",
        ),
        (
            oxygen,
            "bottles: \"16 x 50 L at 180 bar\", contents: Heliox(\"20 %\")",
            "Oxygen, bottles",
            "at least 90 %",
        ),
        (
            "open_circuit: \"D-2\"",
            "open_circuit: \"D-9\"",
            "\"D-9\"",
            "did you mean `D-1`?",
        ),
        (
            "open_circuit: \"D-2\"",
            "open_circuit: \"A-1\"",
            "\"A-1\", trickle",
            "not for divers' gas",
        ),
        (
            "recovery: \"88 % from 80 % to 95 %\"",
            "recovery: \"108 %\"",
            "\"108 %\"",
            "a share lies between",
        ),
        (
            "\"64 x 50 L at 200 bar\"",
            "\"64 x 50 L at 900 bar\"",
            "\"64 x 50 L at 900 bar\"",
            "350 bar",
        ),
    ] {
        bad(from, to, at, words);
    }
}

#[test]
fn what_is_set_is_tried_before_the_first_job() {
    let f = folder();
    let mine = job(&f);
    for (set, words) in [
        ("reclaim.recovery=1.2", "a share lies between 0 and 1"),
        (
            "stock.reclaim.recovery=-5 %",
            "a share lies between 0 % and 100 %",
        ),
        ("stock.reclaim.recovery=much", "\"much\""),
        ("nonsense", "write INPUT=VALUE"),
        ("=0.8", "write INPUT=VALUE"),
        ("stock.reclaim.recovery=", "write INPUT=VALUE"),
        ("no.such.input=1", "help: there: format, name"),
        ("stock.reclam.recovery=0.8", "did you mean `reclaim`?"),
        ("crew.divers[ZZ].mass=80 kg", "`ZZ`"),
        ("stock reclaim=1", "no path to an input"),
    ] {
        let err = refused(&f, &[&mine, "--set", set]);
        assert!(err.contains(words), "{set}: {err}");
    }
}

#[test]
fn a_supplier_who_has_not_what_is_needed() {
    let f = folder();
    let mine = job(&f);
    let list = "(format: 1, name: \"thin\", title: \"Oxygen alone\", currency: \"EUR\", items: [(
        name: \"oxygen bottle\", form: Bottle, bottles: \"1 x 50 L at 180 bar\", mix: Oxygen, duties: [Oxygen, OnBoard],
        lead: \"2 d\", mass_full: \"72 kg\", mass_empty: \"60 kg\", price: (each: 55, source: \"assumed\"))])";
    let write = |text: &str| fs::write(f.path().join("thin.ron"), text).expect("written");
    write(list);
    let err = refused(&f, &[&mine, "--supplier", "thin.ron"]);
    assert!(
        err.contains("thin.ron:1:") && err.contains("may serve DiverGas with 8.00 % oxygen"),
        "{err}"
    );
    write(&list.replace("72 kg", "52 kg"));
    let err = refused(&f, &[&mine, "--supplier", "thin.ron"]);
    assert!(
        err.contains("thin.ron:3:") && err.contains("not heavier than an empty one"),
        "{err}"
    );
    write(&list.replace("each: 55", "each: -55"));
    assert!(refused(&f, &[&mine, "--supplier", "thin.ron"]).contains("negative price"));
    let err = refused(&f, &[&mine, "--supplier", "nort-quay"]);
    assert!(err.contains("did you mean `north-quay`?"), "{err}");
    assert!(refused(&f, &[&mine, "--supplier", "gone.ron"]).contains("there is no such file"));
    let err = refused(&f, &[&mine, "--reserve", "canda"]);
    assert!(err.contains("did you mean `canada`?"), "{err}");
}

#[test]
fn a_present_that_cannot_be_of_this_job() {
    let f = folder();
    let mine = job(&f);
    let present = "(format: 1, scenario: \"mine\", at: \"1 d\", banks: [(name: \"D-1\", gauge: \"150 bar\")])";
    for (from, to, at, words) in [
        (
            "\"mine\"",
            "\"six-man\"",
            23,
            "of a job that follows \"six-man\", and the scenario is \"mine\"",
        ),
        ("\"D-1\"", "\"D-9\"", 57, "there is no bank `D-9`"),
        ("150 bar", "450 bar", 71, "no bank is filled to 450 bar"),
        ("150 bar", "-5 bar", 71, "-5 bar"),
        (
            "\"1 d\"",
            "\"9 d\"",
            35,
            "between the start and the plan's end (1.5 d)",
        ),
        (
            "banks:",
            "boat: \"20 h\", banks:",
            48,
            "comes after the present",
        ),
        (
            "banks:",
            "used: (breathed: 10, reclaimed: 12), banks:",
            74,
            "a recovery above 1",
        ),
        (
            "banks:",
            "in_water: \"900 h\", banks:",
            52,
            "does not fit into the time",
        ),
        (
            ", banks: [(name: \"D-1\", gauge: \"150 bar\")]",
            "",
            1,
            "`banks` is missing",
        ),
    ] {
        fs::write(f.path().join("now.ron"), present.replace(from, to)).expect("written");
        let err = refused(&f, &[&mine, "--from", "now.ron"]);
        assert!(
            err.contains(&format!("now.ron:1:{at}:")) && err.contains(words),
            "{to}: {err}"
        );
    }
    fs::write(
        f.path().join("now.ron"),
        present.replace("(name: \"D-1\", gauge: \"150 bar\")", ""),
    )
    .expect("written");
    assert!(
        refused(&f, &[&mine, "--from", "now.ron"])
            .contains("says nothing that can be held against the scenario")
    );
    assert!(refused(&f, &[&mine, "--from", "gone.ron"]).contains("there is no such file"));
    fs::write(f.path().join("now.ron"), present).expect("written");
    assert!(
        refused(&f, &[&mine, "--from", "now.ron", "--at", "1 d"])
            .contains("--at is for a table of gauges")
    );
    assert!(
        refused(&f, &[&mine, "--from", "now.ron", "--boat", "12 h"])
            .contains("comes after the present")
    );
    assert!(refused(&f, &[&mine, "--from", "now.ron", "--boat", "soon"]).contains("--boat soon"));
}

#[test]
fn a_table_of_gauges_with_bad_lines() {
    let f = folder();
    let mine = job(&f);
    let write = |lines: &str| {
        fs::write(
            f.path().join("g.csv"),
            format!("second (s),bank,gauge (bar)\n0,D-1,200\n{lines}"),
        )
        .expect("written")
    };
    for (line, at, words) in [
        (
            "86400,D-1,abc\n",
            "g.csv:3:11:",
            "\"abc\" is no gauge pressure",
        ),
        ("86400,D-1,-3\n", "g.csv:3:11:", "from 0 to 400 bar"),
        (
            "86400,D-1,NaN\n",
            "g.csv:3:11:",
            "\"NaN\" is no gauge pressure",
        ),
        ("86400,X-1,170\n", "g.csv:3:7:", "there is no bank `X-1`"),
        ("soon,D-1,170\n", "g.csv:3:1:", "is no time since the start"),
        ("86400,D-1\n", "g.csv:3:1:", "has no gauge"),
        (
            "864000,D-1,170\n",
            "g.csv:1:1:",
            "ends 10.0 d after the start",
        ),
    ] {
        write(line);
        let err = refused(&f, &[&mine, "--from", "g.csv"]);
        assert!(err.contains(at) && err.contains(words), "{line}: {err}");
    }
    write("");
    assert!(refused(&f, &[&mine, "--from", "g.csv"]).contains("ends 0.0 d after the start"));
    assert!(refused(&f, &[&mine, "--from", "gone.csv"]).contains("gone.csv: cannot be read"));
    fs::write(f.path().join("g.csv"), "clock,bank,what\n").expect("written");
    assert!(refused(&f, &[&mine, "--from", "g.csv"]).contains("name the columns"));
}

#[test]
fn flags_that_cannot_be() {
    let f = folder();
    for flags in [
        &["--replicates", "0"][..],
        &["--replicates", "5..2"],
        &["--replicates", "many"],
        &["--ample", "0.5"],
        &["--ample", "inf"],
        &["--threads", "0"],
        &["--replicates", "2", "--merge", "a"],
        &["--merge", "a", "--set", "seed=1"],
        &["--merge", "a", "--save", "b"],
        &["--from", "now.ron", "--set", "seed=1"],
        &["--at", "1 d"],
        &["--boat", "1 d"],
        &["no-such-job"],
    ] {
        let (code, out, err) = run(&f, &[&["stock"], flags].concat());
        assert_eq!((code, out.as_str()), (3, ""), "{flags:?}: {err}");
    }
}
