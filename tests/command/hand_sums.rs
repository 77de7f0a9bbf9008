//! `deepstay sums`: lists, pages, answers, what is asked for, and what is refused.

use super::{deepstay, folder, run};
use serde_json::Value;
use std::time::{Duration, Instant};

fn sums(arguments: &[&str]) -> (i32, String, String) {
    let all: Vec<&str> = ["sums"].iter().chain(arguments).copied().collect();
    run(&folder(), &all)
}

#[test]
fn the_sums_are_listed_and_each_says_what_it_takes() {
    let (code, list, err) = sums(&[]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(list.contains("gas-available") && list.contains("it prescribes nothing"));
    let described = |arguments: &[&str]| {
        let (code, out, err) = sums(arguments);
        assert_eq!(code, 0, "{err}");
        let all: serde_json::Value = serde_json::from_str(&out).expect("JSON");
        all["sums"].as_array().expect("a list").clone()
    };
    assert_eq!(described(&["--json"]).len(), 46);
    let bail_out = described(&["bail-out", "--json"]);
    assert_eq!(
        (bail_out.len(), &bail_out[0]["takes"][0]["name"]),
        (1, &serde_json::json!("volume"))
    );
    let (code, page, _) = sums(&["bail-out"]);
    assert_eq!(code, 0);
    for words in [
        "allowance",
        "--gas-law",
        "NORMAM",
        "Backwards",
        "it prescribes",
    ] {
        assert!(page.contains(words), "{words}: {page}");
    }
}

#[test]
fn one_line_in_one_answer_out() {
    let quad = [
        "gas-available",
        "bottles=48",
        "volume=50L",
        "gauge=164bar",
        "change-over=35bar",
    ];
    let (code, out, err) = sums(&quad);
    assert_eq!((code, err.as_str()), (0, ""));
    // 48 x 50 x 129 L.
    assert!(out.starts_with("gas 309.6 m3\n"), "{out}");
    for words in [
        "N V (p - p_change-over)",
        "real gas",
        "281.7 m3 (-9.0 %); real gas",
        "read in a copy",
    ] {
        assert!(out.contains(words), "{words}: {out}");
    }
    // Backwards, and by real gas: the gauge that the same gas stands at is higher (177.65 by the equation of state).
    let back = [
        "gas-available",
        "bottles=48",
        "volume=50L",
        "change-over=35bar",
        "gas=309.6m3",
    ];
    assert!(sums(&back).1.starts_with("gauge 164 bar\n"));
    let (_, real, _) = sums(&[&back[..], &["--gas-law", "real"]].concat());
    assert!(real.starts_with("gauge 177.6 bar\n"), "{real}");
    // In feet, by the units of the inputs or by the option.
    let (_, feet, _) = sums(&["absolute-pressure", "depth=390fsw"]);
    assert!(feet.starts_with("absolute 12.82 ata\n"), "{feet}");
    let (_, feet, _) = sums(&["absolute-pressure", "depth=118msw", "--units", "imperial"]);
    // 118 msw are 385.1 fsw of the unit table; by hand (385.1 + 33)/33, exactly 1.013 bar and 11.8 bar over 1.01325 bar.
    assert!(
        feet.starts_with("absolute 12.67 ata\n") && feet.contains("12.65 ata"),
        "{feet}"
    );
}

#[test]
fn json_carries_the_answer_and_all_that_it_rests_on() {
    let (code, out, _) = sums(&["fire-zone", "ppo2=0.45ata", "--json"]);
    assert_eq!(code, 0);
    let json: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(json["answer"]["unit"], "fsw");
    // 0.45 x 33/0.06 - 33.
    assert!((json["answer"]["value"].as_f64().expect("a number") - 214.5).abs() < 1e-9);
    assert_eq!(json["status"], "seen");
    assert_eq!(
        json["inputs"][1]["from"],
        "usual: US Navy Diving Manual, 15-17, read in a copy"
    );
    assert_eq!(json["beside"][0]["choice"], "pressure");
    assert!(
        json["caution"]
            .as_str()
            .is_some_and(|c| c.contains("prescribes nothing"))
    );
}

#[test]
fn what_is_missing_is_asked_for() {
    let f = folder();
    let asked = |lines: &str, arguments: &[&str]| {
        let output = deepstay(&f)
            .arg("sums")
            .args(arguments)
            .write_stdin(lines)
            .output()
            .expect("it starts");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
        (
            output.status.code(),
            text(output.stdout),
            text(output.stderr),
        )
    };
    let (code, out, err) = asked("2\n118 msw\n5 h\n", &["divers-gas", "--ask"]);
    assert_eq!(code, Some(0), "{err}");
    // 2 x 35 x 12.8 x 300 L.
    assert!(out.starts_with("gas 268.8 m3\n"), "{out}");
    assert!(err.contains("depth: depth of the divers"), "{err}");
    // A wrong unit is told and asked for again; what is not known is found from the answer.
    let (code, out, err) = asked(
        "2\n118 bar\n118 msw\n?\n268.8 m3\n",
        &["divers-gas", "--ask"],
    );
    assert_eq!(code, Some(0), "{err}");
    assert!(err.contains("a unit of"), "{err}");
    assert!(out.starts_with("time 5 h 00 min"), "{out}");
    // Lines that end too early leave it missing.
    let (code, out, err) = asked("2\n", &["divers-gas", "--ask"]);
    assert_eq!((code, out.as_str()), (Some(3), ""));
    assert!(err.contains("lacks depth and time"), "{err}");
}

#[test]
fn a_job_gives_what_is_not_given() {
    let (code, out, err) = sums(&["divers-gas", "--job", "six-man", "divers=2", "time=6h"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("taken from working depth of the site"),
        "{out}"
    );
    let (code, _, err) = sums(&["gas-available", "--job", "six-man", "--bank", "no such"]);
    assert_eq!(code, 3);
    assert!(
        err.contains("there is no bank `no such` in this job; there are"),
        "{err}"
    );
    assert_eq!(sums(&["gas-available", "--job", "no-such-job"]).0, 3);
}

/// What a job holds of a bank at the start is 3,200 L at 200 bar; at present its gauge shows 150, and 110 bar above the
/// change-over are 352 m3.
#[test]
fn a_present_gives_what_gauges_show_now() {
    let f = folder();
    let present = "(format: 1, scenario: \"six-man\", at: \"4 d\", banks: [(name: \"M-1\", gauge: \"150 bar\")])";
    std::fs::write(f.path().join("present.ron"), present).expect("written");
    let asked = [
        "sums",
        "gas-available",
        "change-over=40bar",
        "--job",
        "six-man",
        "--bank",
        "M-1",
    ];
    let (code, out, err) = run(&f, &asked);
    assert!(code == 0 && out.starts_with("gas 512 m3\n"), "{out}{err}");
    let (code, out, err) = run(&f, &[&asked[..], &["--from", "present.ron"]].concat());
    assert!(code == 0 && out.starts_with("gas 352 m3\n"), "{out}{err}");
    assert!(out.contains("the gauge of `M-1` at present"), "{out}");
    // What is given goes before what the job says.
    let (_, out, _) = run(&f, &[&asked[..], &["gauge=100bar"]].concat());
    assert!(out.starts_with("gas 192 m3\n"), "{out}");
    assert_eq!(
        run(&f, &["sums", "gas-available", "--bank", "M-1"]).0,
        3,
        "of no job"
    );
}

#[test]
fn refusals_are_bad_input_and_say_what_would_be_right() {
    for (arguments, says) in [
        (
            &["gas-availible"][..],
            "a similar value exists: 'gas-available'",
        ),
        (&["bleed", "from=100msw"][..], "--ask asks for it"),
        (
            &["next-step", "step=1msw", "rate=1msw/h", "--gas-law", "real"][..],
            "one convention only",
        ),
        (
            &["ppo2-at-depth", "mix=5%", "depth=9bar"][..],
            "this is a depth",
        ),
        (
            &["divers-gas", "divers=2", "depth=9msw", "time=-1h"][..],
            "time:",
        ),
    ] {
        let (code, out, err) = sums(arguments);
        assert_eq!((code, out.as_str()), (3, ""), "{arguments:?}");
        assert!(err.contains(says), "{arguments:?}: {err}");
    }
}

#[test]
fn a_sum_takes_no_time() {
    let best = (0..10).map(|_| {
        let start = Instant::now();
        let quad = [
            "hours-left",
            "bottles=48",
            "volume=50L",
            "gauge=164bar",
            "change-over=35bar",
        ];
        assert_eq!(sums(&[&quad[..], &["divers=2", "time=4h"]].concat()).0, 0);
        start.elapsed()
    });
    // Started, solved backwards under three conventions, and ended, unoptimised and beside other tests.
    assert!(best.min() < Some(Duration::from_millis(150)));
}

/// Sizing rates of a rule set: six people for a day at 30 L/h are 4.32 m3, at a company's own 36 L/h 5.18 m3, and the row is named.
#[test]
fn a_rule_set_of_one_s_own_gives_its_sizing() {
    let home = folder();
    let set = "(format: 1, name: \"house\", title: \"a house\", based_on: [(set: \"uk\")], o2_sizing: [(id: \"house.o2\", source: (document: \"our manual\", status: Seen), figures: (flow: \"36 L/h\"))])";
    std::fs::write(home.path().join("house.ron"), set).expect("written");
    let asked = ["sums", "metabolic-oxygen", "people=6", "time=24h"];
    let (code, usual, err) = run(&home, &asked);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(usual.contains("4.32"), "{usual}");
    let under = |set: &str| run(&home, &[&asked[..], &["--rules", set]].concat());
    let (code, out, err) = under("house.ron");
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("5.18") && out.contains("row `house.o2` of the rule set"),
        "{out}"
    );
    let (code, out, _) = under("france-2012");
    assert!(code == 0 && out.contains("france2012.o2-sizing"), "{out}");
    // A set that says nothing of it leaves what is usual.
    let (code, out, _) = under("norway");
    assert!(code == 0 && out.contains("4.32"), "{out}");
    for (set, words) in [("nowhere.ron", "nowhere.ron"), ("norwey", "norway")] {
        let (code, _, err) = under(set);
        assert!(code != 0 && err.contains(words), "{set}: {err}");
    }
}
