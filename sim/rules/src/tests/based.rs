//! Sets laid on others, all of them made up: which rows are taken, what is said of it, and where a base is told that
//! cannot be had.

use super::RuleSet;
use deepstay_read::Wrong;
use std::fs;
use std::path::Path;

fn row(id: &str, figures: &str) -> String {
    format!("(id: \"{id}\", source: (document: \"a document\", status: Seen), figures: {figures})")
}

fn rest(id: &str, length: &str) -> String {
    row(id, &format!("(unbroken: \"{length}\")"))
}

fn scheme(id: &str, rate: &str) -> String {
    let bands =
        format!("(deepest: \"50 msw\", bands: [(deeper_than: \"0 msw\", rate: \"{rate}\")])");
    let oxygen = "ByDepth([(deeper_than: \"0 msw\", hold: Partial(\"50 kPa\"))])";
    format!(
        "(rates: {}, travel: {}, oxygen: {})",
        row(id, &bands),
        row(&format!("{id}.travel"), "Linear(every: \"1 msw\")"),
        row(&format!("{id}.oxygen"), oxygen),
    )
}

fn write(folder: &Path, name: &str, sections: &str) {
    let text = format!("(format: 1, name: \"{name}\", title: \"a set\", {sections})");
    fs::write(folder.join(format!("{name}.ron")), text).expect("written");
}

fn read(folder: &Path, name: &str) -> RuleSet {
    let path = folder.join(format!("{name}.ron"));
    RuleSet::from_path(&path).unwrap_or_else(|bad| panic!("{bad}"))
}

/// Id of each row, and whether it is said to be taken.
fn rows(set: &RuleSet, what: &str) -> Vec<(String, bool)> {
    let all = set.provenance().into_iter();
    let mine = all.filter(|row| row.what.starts_with(what));
    mine.map(|row| (row.id, row.what.ends_with("(taken from law)")))
        .collect()
}

/// A row of an id that the set writes itself is not taken, the others are; where none is left nothing is said to be.
#[test]
fn rows_of_other_ids_are_taken_behind_its_own() {
    let folder = tempfile::tempdir().expect("a folder");
    let law = format!(
        "rest: [{}, {}], decompression: [{}, {}]",
        rest("law.first", "12 h"),
        rest("law.second", "11 h"),
        scheme("law.slow", "1 msw/h"),
        scheme("law.fast", "2 msw/h"),
    );
    write(folder.path(), "law", &law);
    let based = "based_on: [(set: \"law.ron\")]";
    let one = format!(
        "{based}, rest: [{}], decompression: [{}]",
        rest("law.first", "13 h"),
        scheme("law.slow", "1 msw/h"),
    );
    write(folder.path(), "one", &one);
    let one = read(folder.path(), "one");
    let owned = |all: &[(&str, bool)]| -> Vec<(String, bool)> {
        all.iter()
            .map(|&(id, taken)| (id.to_owned(), taken))
            .collect()
    };
    assert_eq!(
        rows(&one, "rest"),
        owned(&[("law.first", false), ("law.second", true)])
    );
    let rates: Vec<(String, bool)> = rows(&one, "decompression")
        .into_iter()
        .filter(|(id, _)| !id.ends_with(".travel") && !id.ends_with(".oxygen"))
        .collect();
    assert_eq!(rates, owned(&[("law.slow", false), ("law.fast", true)]));
    assert_eq!(
        one.taken_words().as_deref(),
        Some("one takes from law: decompression, working time")
    );
    let both = format!(
        "{based}, rest: [{}, {}], decompression: [{}, {}]",
        rest("law.first", "13 h"),
        rest("law.second", "13 h"),
        scheme("law.slow", "1 msw/h"),
        scheme("law.fast", "2 msw/h"),
    );
    write(folder.path(), "both", &both);
    let both = read(folder.path(), "both");
    assert!(both.taken().is_empty(), "{:?}", both.taken());
    assert_eq!(both.taken_words(), None);
    assert_eq!(rows(&both, "rest").len(), 2);
}

/// Of two bases each part is said to be of the one that gave it.
#[test]
fn what_is_taken_is_said_base_by_base() {
    let folder = tempfile::tempdir().expect("a folder");
    let every = |id: &str| row(id, "(every: \"1 h\")");
    write(
        folder.path(),
        "law",
        &format!("rest: [{}]", rest("law.rest", "12 h")),
    );
    write(
        folder.path(),
        "trade",
        &format!("logging: [{}]", every("trade.log")),
    );
    write(
        folder.path(),
        "house",
        "based_on: [(set: \"law.ron\"), (set: \"trade.ron\")]",
    );
    assert_eq!(
        read(folder.path(), "house").taken_words().as_deref(),
        Some("house takes from law: working time; from trade: routine")
    );
}

/// What a base says that was not seen is not seen in the set either, with its own before it.
#[test]
fn what_was_not_seen_is_carried_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let gap = |id: &str| {
        format!("not_seen: [(id: \"{id}\", question: Excursion, note: \"on another page\")]")
    };
    write(folder.path(), "law", &gap("law.gap"));
    write(
        folder.path(),
        "house",
        &format!("based_on: [(set: \"law.ron\")], {}", gap("house.gap")),
    );
    let house = read(folder.path(), "house");
    let ids: Vec<&str> = house.not_seen().iter().map(|gap| gap.id.as_str()).collect();
    assert_eq!(ids, ["house.gap", "law.gap"]);
}

/// A base that is not there is told where it is named, and a fault in one where it stands.
#[test]
fn a_base_that_is_not_there_is_told_where_it_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "lost", "based_on: [(set: \"nowhere.ron\")]");
    write(folder.path(), "typo", "based_on: [(set: \"norwey\")]");
    write(
        folder.path(),
        "bad",
        &format!("rest: [{}]", rest("bad.rest", "12 bar")),
    );
    write(folder.path(), "on-bad", "based_on: [(set: \"bad.ron\")]");
    for (name, in_file, at) in [
        ("lost", "lost.ron", "based_on[0].set"),
        ("typo", "typo.ron", "based_on[0].set"),
        ("on-bad", "bad.ron", "rest[0].figures.unbroken"),
    ] {
        let bad = RuleSet::from_path(&folder.path().join(format!("{name}.ron")));
        let bad = bad.expect_err(name);
        let place = &bad.all[0].place;
        assert!(place.file.ends_with(in_file), "{bad}");
        assert_eq!(place.path, at, "{bad}");
        let kind = match &bad.all[0].wrong {
            Wrong::Unreadable(_) => "lost",
            Wrong::NoSuch { .. } => "typo",
            _ => "on-bad",
        };
        assert_eq!(kind, name, "{bad}");
    }
}

/// A set is had by its name, or by the path of its file.
#[test]
fn a_set_is_had_by_name_or_by_path() {
    let folder = tempfile::tempdir().expect("a folder");
    write(
        folder.path(),
        "law",
        &format!("rest: [{}]", rest("law.rest", "12 h")),
    );
    let path = folder.path().join("law.ron");
    let had = |name: &str| super::named(name).map(|set| set.name);
    assert_eq!(had("uk").as_deref(), Ok("uk"));
    assert_eq!(had(&path.display().to_string()).as_deref(), Ok("law"));
    assert!(had("uk.ron").is_err() && had("ukk").is_err());
}

/// A row is found in the file that it is written in, whichever of them that is; the house's where neither has it.
#[test]
fn a_row_is_found_where_it_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let law = format!(
        "\n rest: [\n  {},\n  {}]",
        rest("law.first", "12 h"),
        rest("law.second", "12 h")
    );
    write(folder.path(), "law", &law);
    let ours = rest("house.rest", "12 h");
    let house = format!("\n based_on: [(set: \"law.ron\")],\n rest: [{ours}]");
    write(folder.path(), "house", &house);
    let set = read(folder.path(), "house");
    // The feet of the demonstration set stand on that line of its file that has their id.
    let text = super::builtin_text("demonstration").expect("built in");
    let feet = "id: \"usn.unit-table.foot\"";
    let feet_line = text.lines().position(|line| line.contains(feet));
    let feet_line = feet_line.expect("a line") + 1;
    for (id, file, line) in [
        ("house.rest", "house.ron", 3),
        ("law.first", "law.ron", 3),
        ("law.second", "law.ron", 4),
        ("usn.unit-table.foot", "demonstration", feet_line),
    ] {
        let place = set.place_of(id).expect(id);
        assert!(place.file.ends_with(file), "{id}: {}", place.file);
        assert_eq!(place.line, line, "{id}");
        let id = format!("id: \"{id}\"");
        assert!(place.excerpt.contains(&id), "{}", place.excerpt);
    }
    assert_eq!(set.place_of("law.third"), None);
}
