//! The README's ten minutes, walked: its commands are read out of the page and typed one after another in an empty
//! folder, with the changes that it proposes, so that the walk cannot rot.

use super::{deepstay, folder, run};
use std::fs;
use std::path::Path;

const README: &str = include_str!("../../README.md");

/// The steps of the walk, each from its number to the next.
fn steps() -> Vec<String> {
    let from = README.find("\n## Ten minutes\n").expect("the walk") + 1;
    let walk = README[from..].split("\n## ").next().expect("its text");
    let mut steps: Vec<String> = Vec::new();
    for line in walk.lines() {
        if line.starts_with(&format!("{}. ", steps.len() + 1)) {
            steps.push(String::new());
        }
        if let Some(step) = steps.last_mut() {
            *step += line;
            *step += "\n";
        }
    }
    steps
}

/// What stands between back-ticks.
fn spans(step: &str) -> Vec<&str> {
    step.split('`').skip(1).step_by(2).collect()
}

/// Arguments of the commands of a step; those for cargo and bash are not the program's own.
fn commands(step: &str) -> Vec<Vec<&str>> {
    let typed = spans(step).into_iter().map(|span| span.split_whitespace());
    typed
        .filter_map(|mut words| (words.next() == Some("deepstay")).then(|| words.collect()))
        .collect()
}

/// Types one, as a user in that folder, and gives what it printed.
fn typed(folder: &tempfile::TempDir, arguments: &[&str]) -> String {
    let (code, out, err) = run(folder, arguments);
    assert!(
        code == 0 || code == 1,
        "deepstay {}: code {code}\n{err}",
        arguments.join(" ")
    );
    assert!(!err.contains("panicked"), "{err}");
    out
}

fn text(of: &Path) -> String {
    fs::read_to_string(of).unwrap_or_else(|e| panic!("{}: {e}", of.display()))
}

/// One change in a file; it must find what it changes.
fn change(file: &Path, from: &str, to: &str) {
    let before = text(file);
    assert!(before.contains(from), "{}: no {from}", file.display());
    fs::write(file, before.replace(from, to)).expect("changed");
}

#[test]
fn the_walk_of_the_readme_can_be_walked() {
    let steps = steps();
    assert_eq!(steps.len(), 11);
    let f = folder();
    let mine = f.path().join("my-job.ron");
    let mut typed_in_all = Vec::new();
    for (number, step) in (1..).zip(&steps) {
        for arguments in commands(step) {
            let said = typed(&f, &arguments);
            assert!(!said.trim().is_empty(), "{arguments:?} says nothing");
            typed_in_all.push(arguments.join(" "));
        }
        match number {
            2 => quantities_are_written_so(step, &text(&mine)),
            3 => change_something(step, &mine),
            4 => a_wrong_unit_is_told(&f, &text(&mine)),
            5 => flags_are_known(&f, step),
            _ => {}
        }
    }
    assert_eq!(typed_in_all.len(), 11, "{typed_in_all:?}");
    for out in ["my-report", "bad-night"] {
        let page = text(&f.path().join(out).join("report.html"));
        assert!(page.contains("<h2>Limits crossed"), "{out}");
    }
    let mine = text(&f.path().join("my-report/job.json"));
    // A rougher sea may cost bell runs, but nobody's pressure and not the way home.
    let come_home = [
        "complete",
        "limits-crossed",
        "bell-runs-not-made",
        "work-not-done",
    ];
    assert!(
        mine.contains("\"scenario\": \"my-job\"")
            && come_home
                .iter()
                .any(|end| mine.contains(&format!("\"how_it_ended\": \"{end}\""))),
        "{mine}"
    );
}

/// The quantities of step 2 stand in the copy.
fn quantities_are_written_so(step: &str, copy: &str) {
    let quoted: Vec<&str> = spans(step)
        .into_iter()
        .filter(|s| s.starts_with('"'))
        .collect();
    assert!(quoted.contains(&"\"118 msw\""), "{quoted:?}");
    for quantity in ["\"118 msw\"", "\"64 x 50 L at 200 bar\""] {
        assert!(
            quoted.contains(&quantity) && copy.contains(quantity),
            "{quantity}"
        );
    }
}

/// The changes of step 3: another depth, two banks of mix less, a rougher sea.
fn change_something(step: &str, mine: &Path) {
    let [depth, season] = spans(step)[..] else {
        panic!("a depth and a season: {step}");
    };
    change(mine, "\"118 msw\"", depth);
    change(mine, "season: \"JJA\"", season);
    let taken_away = |line: &&str| line.contains("name: \"M-5\"") || line.contains("name: \"M-6\"");
    let before = text(mine);
    assert_eq!(before.lines().filter(taken_away).count(), 2);
    let kept: Vec<&str> = before.lines().filter(|l| !taken_away(l)).collect();
    fs::write(mine, kept.join("\n")).expect("changed");
}

/// Step 4: the complaint names file, line, column and what would be right.
fn a_wrong_unit_is_told(folder: &tempfile::TempDir, mine: &str) {
    let key = "working_depth: ";
    let (row, line) = (1..)
        .zip(mine.lines())
        .find(|(_, l)| l.contains(key))
        .expect("a depth");
    let column = line.find(key).expect("there") + key.len() + 1;
    let wrong = mine.replace(line, &line.replace("msw", "bar"));
    fs::write(folder.path().join("wrong.ron"), wrong).expect("written");
    let (code, _, err) = run(folder, &["check", "wrong.ron"]);
    assert_eq!(code, 3);
    assert!(err.contains(&format!("wrong.ron:{row}:{column}")), "{err}");
    assert!(err.contains("msw or fsw"), "{err}");
}

/// The options that step 5 names beside its command belong to it.
fn flags_are_known(folder: &tempfile::TempDir, step: &str) {
    let flags: Vec<&str> = spans(step)
        .into_iter()
        .filter(|s| s.starts_with("--"))
        .collect();
    assert_eq!(flags, ["--units imperial"]);
    for flag in flags {
        let ended = deepstay(folder)
            .args(["run", "my-job.ron", "--stop-after", "0.2"])
            .args(flag.split_whitespace())
            .output()
            .expect("it starts");
        assert!(matches!(ended.status.code(), Some(0 | 1)), "{ended:?}");
    }
}
