//! Figures of a rule file on the edge of what can be meant: the last that is taken and the first that is refused, for
//! each check of a table. A set that is wrong in what it prints would be wrong in every job.

use deepstay_rules::{RuleSet, builtin_text};

/// A built-in set with one text put in the place of another, once.
fn with(set: &str, from: &str, to: &str) -> Result<(), String> {
    let text = builtin_text(set).expect("built in");
    assert!(text.contains(from), "{set}: {from}");
    RuleSet::from_ron(&text.replacen(from, to, 1), "x.ron")
        .map(drop)
        .map_err(|bad| bad.to_string())
}

/// A set of one row.
fn row(section: &str, figures: &str) -> Result<(), String> {
    let text = format!(
        "(format: 1, name: \"x\", title: \"x\", {section}: [(id: \"x\", source: (document: \"d\", status: Seen), figures: {figures})])"
    );
    RuleSet::from_ron(&text, "x.ron")
        .map(drop)
        .map_err(|bad| bad.to_string())
}

fn edge(what: &str, taken: Result<(), String>, refused: Result<(), String>, why: &str) {
    assert_eq!(taken, Ok(()), "{what}");
    let told = refused.expect_err(what);
    assert!(told.contains(why), "{what}: {told}");
}

#[test]
fn numbers_of_a_minimum_are_positive_and_below_a_thousand() {
    for (figures, what) in [
        ("PressAgain(times: N)", "times"),
        ("Bill(times: N, reconstruction: true)", "times of a bill"),
        (
            "SeveredUmbilical(only_means: \"12 h\", otherwise: \"1 h\", retrievals: N)",
            "retrievals",
        ),
        ("BailOut(flow: \"40 L/min\", return_m_min: N)", "way back"),
    ] {
        let at = |n: &str| row("gas_minimums", &figures.replace('N', n));
        for (taken, refused) in [("0.001", "0"), ("999.9", "1000")] {
            edge(what, at(taken), at(refused), "positive numbers");
        }
    }
}

#[test]
fn every_flow_of_a_minimum_is_more_than_nothing() {
    let diver = |a: &str, b: &str, c: &str, up: &str, free: &str| {
        format!(
            "DiverFlow(at_work: (\"{a}\", \"{b}\", \"{c}\"), coming_up: \"{up}\", free_flow: (\"65 L/min\", \"100 L/min\", \"{free}\"))"
        )
    };
    let (some, none) = ("1 L/min", "0 L/min");
    let all = diver(some, some, some, some, some);
    for (what, taken, refused) in [
        (
            "mask",
            format!("MaskFlow(flow: \"{some}\")"),
            format!("MaskFlow(flow: \"{none}\")"),
        ),
        (
            "least supply",
            format!("LeastSupply(flow: \"{some}\")"),
            format!("LeastSupply(flow: \"{none}\")"),
        ),
        (
            "bail-out",
            format!("BailOut(flow: \"{some}\", return_m_min: 10)"),
            format!("BailOut(flow: \"{none}\", return_m_min: 10)"),
        ),
        (
            "escape",
            format!("EscapeSets(time: \"30 min\", flow: \"{some}\")"),
            format!("EscapeSets(time: \"30 min\", flow: \"{none}\")"),
        ),
        ("light", all.clone(), diver(none, some, some, some, some)),
        ("moderate", all.clone(), diver(some, none, some, some, some)),
        ("heavy", all.clone(), diver(some, some, none, some, some)),
        (
            "coming up",
            all.clone(),
            diver(some, some, some, none, some),
        ),
        (
            "free flow",
            all.clone(),
            diver(some, some, some, some, none),
        ),
    ] {
        let of = |figures: &str| row("gas_minimums", figures);
        edge(what, of(&taken), of(&refused), "more than nothing");
    }
}

#[test]
fn the_steps_of_a_table_rise_or_fall_and_are_never_equal() {
    let oxygen = |steps: &str| row("work_oxygen", &format!("(steps: [{steps}])"));
    let falls = "(\"3 h\", \"1 bar\"), (\"4 h\", \"0.9 bar\")";
    for refused in [
        "(\"3 h\", \"1 bar\"), (\"4 h\", \"1 bar\")",
        "(\"3 h\", \"1 bar\"), (\"3 h\", \"0.9 bar\")",
        "",
    ] {
        edge(refused, oxygen(falls), oxygen(refused), "oxygen falls");
    }
    let range = |low: &str, high: &str| {
        row(
            "storage_oxygen",
            &format!("(low: \"{low}\", high: \"{high}\")"),
        )
    };
    edge(
        "storage oxygen",
        range("0.44 bar", "0.4401 bar"),
        range("0.44 bar", "0.44 bar"),
        "lower edge is below the upper",
    );
    let set = "demonstration";
    for (what, from, taken, refused, why) in [
        (
            "compression cases",
            "storage_to: \"100 msw\", inclusive: true, bands: [(down_to: \"100 msw\"",
            "storage_to: \"179 msw\", inclusive: true, bands: [(down_to: \"179 msw\"",
            "storage_to: \"180 msw\", inclusive: true, bands: [(down_to: \"180 msw\"",
            "shallow to deep",
        ),
        (
            "compression bands",
            "down_to: \"60 fsw\"",
            "down_to: \"249 fsw\"",
            "down_to: \"250 fsw\"",
            "shallow to deep",
        ),
        (
            "the last compression band",
            "down_to: \"1000 fsw\", rate",
            "down_to: \"1000 fsw\", rate",
            "down_to: \"999 fsw\", rate",
            "shallow to deep",
        ),
        (
            "decompression bands",
            "deeper_than: \"100 fsw\"",
            "deeper_than: \"199 fsw\"",
            "deeper_than: \"200 fsw\"",
            "deepest start to 0",
        ),
        (
            "the last decompression band",
            "deeper_than: \"0 fsw\"",
            "deeper_than: \"0 msw\"",
            "deeper_than: \"1 fsw\"",
            "deepest start to 0",
        ),
        (
            "the first decompression band",
            "deepest: \"1600 fsw\"",
            "deepest: \"201 fsw\"",
            "deepest: \"200 fsw\"",
            "deepest start to 0",
        ),
        (
            "steps",
            "Steps(step: \"1 fsw\"",
            "Steps(step: \"0.01 msw\"",
            "Steps(step: \"0.009 msw\"",
            "at least 0.01 msw",
        ),
        (
            "points",
            "Linear(every: \"0.1 msw\"",
            "Linear(every: \"0.01 msw\"",
            "Linear(every: \"0.009 msw\"",
            "at least 0.01 msw",
        ),
        (
            "climate bands",
            "(\"100 msw\", \"25 degC\"",
            "(\"51 msw\", \"25 degC\"",
            "(\"50 msw\", \"25 degC\"",
            "shallow to deep",
        ),
        (
            "climate edges",
            "\"25 degC\", \"29 degC\"",
            "\"25 degC\", \"25.1 degC\"",
            "\"25 degC\", \"25 degC\"",
            "lower edge below the upper",
        ),
        (
            "excursion constant",
            "constant_fsw2: 829.0",
            "constant_fsw2: 999999",
            "constant_fsw2: 1000000",
            "positive numbers",
        ),
        (
            "excursion slope",
            "slope_fsw: 25.34",
            "slope_fsw: 0.1",
            "slope_fsw: 0",
            "positive numbers",
        ),
    ] {
        edge(what, with(set, from, taken), with(set, from, refused), why);
    }
}

#[test]
fn rest_hours_leave_four_hours_to_travel() {
    let rest = |hours: &str| {
        with(
            "demonstration",
            "[(\"00:00\", \"06:00\"), (\"14:00\", \"16:00\")]",
            hours,
        )
    };
    let why = "leave four hours to travel";
    for (what, taken, refused) in [
        (
            "twenty hours",
            "[(\"00:00\", \"12:00\"), (\"13:00\", \"21:00\")]",
            "[(\"00:00\", \"12:00\"), (\"13:00\", \"21:01\")]",
        ),
        (
            "one after the other",
            "[(\"00:00\", \"06:00\"), (\"06:00\", \"08:00\")]",
            "[(\"00:00\", \"06:00\"), (\"05:59\", \"08:00\")]",
        ),
        (
            "some length",
            "[(\"05:59\", \"06:00\")]",
            "[(\"06:00\", \"06:00\")]",
        ),
    ] {
        edge(what, rest(taken), rest(refused), why);
    }
}
