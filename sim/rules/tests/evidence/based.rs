//! Sets that are based on others: what they change, what they take, and what they may not be.

use deepstay_read::Wrong;
use deepstay_rules::{Missing, RulePart, RuleSet, builtin};
use std::fs;
use std::path::Path;

const HOUR: i64 = 3600;

/// A house's own set on the demonstration set.
fn house(more: &str) -> Result<RuleSet, String> {
    let text = format!(
        "(format: 1, name: \"house\", title: \"a house\", based_on: [(set: \"demonstration\")], {more})"
    );
    RuleSet::from_ron(&text, "house.ron").map_err(|bad| bad.to_string())
}

fn rest(id: &str, length: &str) -> String {
    format!(
        "rest: [(id: \"{id}\", source: (document: \"our manual\", status: Seen), figures: (unbroken: \"{length}\", between: (Home, Checks)))]"
    )
}

#[test]
fn a_set_says_only_what_differs() {
    let base = builtin("demonstration").expect("built in");
    for id in ["uk.rest", "house.rest"] {
        let own = house(&rest(id, "16 h")).expect("stricter");
        let time = own.working_time(118.0, &[]).expect("answered");
        assert_eq!(time.rest_s, Some(16 * HOUR));
        assert_eq!(time.rest_by.map(|row| row.id).as_deref(), Some(id));
        // Everything else is the base's, and says so.
        assert_eq!(time.bell_run_s, Some(8 * HOUR));
        assert_eq!(
            own.decompression(118.0, 0, &[]),
            base.decompression(118.0, 0, &[])
        );
        let printed = own.provenance();
        let of = |id: &str| {
            let found = printed.iter().find(|row| row.id == id);
            found.map(|row| row.what.as_str())
        };
        assert_eq!(of(id), Some("rest"));
        assert_eq!(
            of("france2012.bell-run"),
            Some("bell run (taken from demonstration)")
        );
        let words = own.taken_words().expect("it took something");
        assert!(words.contains("from demonstration"), "{words}");
    }
}

/// Twelve hours of rest are law (UK, HSE, DVIS 7): a house may ask for more, and for less only where it says so.
#[test]
fn laxer_than_a_row_of_law_only_where_it_is_accepted() {
    for id in ["uk.rest", "house.rest"] {
        let told = house(&rest(id, "10 h")).expect_err("laxer");
        assert!(
            told.contains("laxer than `uk.rest` of demonstration: rest 10.0 h for 12.0 h"),
            "{told}"
        );
        assert!(told.contains("accepts: [\"uk.rest\"]"), "{told}");
        let accepted = format!("accepts: [\"uk.rest\"], {}", rest(id, "10 h"));
        assert!(house(&accepted).is_ok());
        assert!(house(&rest(id, "12 h")).is_ok());
    }
    let row = |section: &str, id: &str, figures: &str| {
        format!(
            "{section}: [(id: \"{id}\", source: (document: \"our manual\", status: Seen), figures: {figures})]"
        )
    };
    let co2 = |value: &str| {
        let figures = format!(
            "(label: \"carbon dioxide high\", during: [Compression, Storage, Decompression], bound: High, reach: PpCo2(\"{value}\"), kind: Limit)"
        );
        row("limits", "usn.limit.co2.high", &figures)
    };
    let minimum = |times: &str| {
        let figures = format!("PressAgain(times: {times})");
        row("gas_minimums", "canada1988.gas.chamber", &figures)
    };
    let saturation = |days: &str| {
        let figures =
            format!("(longest: \"{days} d\", counted: UnderPressure, per_year: \"100 d\")");
        row("saturation", "house.saturation", &figures)
    };
    let log = |every: &str| row("logging", "house.log", &format!("(every: \"{every}\")"));
    for (strict, lax, than) in [
        (co2("0.01 ata"), co2("0.03 ata"), "usn.limit.co2.high"),
        (minimum("3"), minimum("1"), "canada1988.gas.chamber"),
        (saturation("21"), saturation("31"), "france2012.saturation"),
        (log("15 min"), log("1 h"), "canada1988.log"),
    ] {
        assert_eq!(house(&strict).map(drop), Ok(()));
        let told = house(&lax).expect_err(than);
        assert!(told.contains(&format!("laxer than `{than}`")), "{told}");
        assert!(house(&format!("accepts: [\"{than}\"], {lax}")).is_ok());
    }
}

fn written(folder: &Path, name: &str, based_on: &str) {
    let text = format!(
        "(format: 1, name: \"{name}\", title: \"a house\", based_on: [(set: \"{based_on}\")])"
    );
    fs::write(folder.join(format!("{name}.ron")), text).expect("written");
}

#[test]
fn a_base_that_cannot_be_is_told_with_place_and_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let read = |name: &str| RuleSet::from_path(&at(name)).map(|set| set.name);
    written(folder.path(), "self", "self.ron");
    written(folder.path(), "one", "two.ron");
    written(folder.path(), "two", "three.ron");
    written(folder.path(), "three", "one.ron");
    written(folder.path(), "good", "uk");
    written(folder.path(), "onward", "good.ron");
    assert_eq!(read("onward.ron").as_deref(), Ok("onward"));
    for (name, words) in [
        ("self.ron", "is based on itself"),
        ("one.ron", "is based on a set that is based on it"),
    ] {
        let bad = read(name).expect_err(name);
        assert!(bad.to_string().contains(words), "{bad}");
        assert!(bad.all[0].remedy.is_some());
        assert!(
            bad.all[0].place.file.ends_with(".ron") && bad.all[0].place.path.contains("based_on")
        );
    }
    written(folder.path(), "lost", "nowhere.ron");
    let bad = read("lost.ron").expect_err("no such file");
    assert!(matches!(bad.all[0].wrong, Wrong::Unreadable(_)), "{bad}");
    written(folder.path(), "typo", "norwey");
    let bad = read("typo.ron").expect_err("no such set");
    assert!(bad.to_string().contains("did you mean `norway`"), "{bad}");
    let alone = "(format: 1, name: \"alone\", title: \"a house\", accepts: [\"uk.rest\"])";
    fs::write(at("alone.ron"), alone).expect("written");
    let bad = read("alone.ron").expect_err("it is based on nothing");
    assert!(bad.to_string().contains("has a row `uk.rest`"), "{bad}");
    let told = house("accepts: [\"uk.rests\"]").expect_err("no such row");
    assert!(
        told.contains("has a row `uk.rests`") && told.contains("did you mean `uk.rest`"),
        "{told}"
    );
}

/// Each national set has a companion, with which a job can be run: what the document itself says is kept, what it is silent
/// about is of the demonstration set, and is marked. Of working time and gas minimums nothing is taken.
#[test]
fn companions_fill_what_is_silent_and_mark_it() {
    for name in ["norway", "uk", "brazil-2025", "france-2012", "canada"] {
        let own = builtin(name).expect("built in");
        let set = builtin(&format!("{name}-companion")).expect("built in");
        assert!(set.compression(118.0, &[]).is_ok(), "{name}");
        assert!(set.storage_oxygen(&[]).is_ok() && set.climate(118.0, &[]).is_ok());
        let up = set.decompression(118.0, 0, &[]).expect(name);
        assert!(up.rows.contains(&"usn.decompression.rates".to_owned()));
        assert_eq!(
            set.working_time(150.0, &[]),
            own.working_time(150.0, &[]).map_err(|mut no| {
                no.set.clone_from(&set.name);
                no
            })
        );
        for taken in set.taken().iter().filter(|t| t.from == "demonstration") {
            assert!(
                !matches!(taken.part, RulePart::WorkingTime | RulePart::GasMinimums),
                "{name}: {taken:?}"
            );
        }
        for row in set.provenance() {
            let marked = row.what.contains("(taken from ");
            assert!(marked, "{name}: {}", row.id);
        }
    }
    // What the document prints itself is not carried on by another's table.
    let france = builtin("france-2012-companion").expect("built in");
    let refusal = france.compression(200.0, &["usn.compression.rates".to_owned()]);
    let refusal = refusal.expect_err("the order's table ends above 200 msw");
    assert!(
        refusal
            .missing
            .iter()
            .any(|m| m.id == "france2012.compression.rates"
                && matches!(m.why, Missing::OutOfRange(_))),
        "{refusal}"
    );
}
