//! A study shared out: spans of its jobs kept in files and put together give, byte for byte, what one run gives;
//! what does not belong together is refused with the reason.

use super::stock::{alike, job, job_with};
use super::{folder, run};
use std::fs;

/// Runs a span of the jobs and keeps it.
fn keep(f: &tempfile::TempDir, mine: &str, span: &str, file: &str, more: &[&str]) {
    let kept = [
        &[
            "stock",
            mine,
            "--replicates",
            span,
            "--save",
            file,
            "--no-alone",
            "-q",
        ],
        more,
    ]
    .concat();
    let (code, out, err) = run(f, &kept);
    assert!(matches!(code, 0..=2), "{code} {err}");
    assert_eq!(out, "");
}

fn refused(f: &tempfile::TempDir, arguments: &[&str], words: &[&str]) {
    let (code, out, err) = run(f, &[&["stock"], arguments].concat());
    assert_eq!((code, out.as_str()), (3, ""), "{arguments:?}: {err}");
    for words in words {
        assert!(err.contains(words), "{arguments:?}: {words}: {err}");
    }
}

#[test]
fn merged_batches_give_what_one_run_gives() {
    let f = folder();
    let mine = job(&f);
    keep(&f, &mine, "0..2", "a", &[]);
    keep(&f, &mine, "2..4", "b", &["--threads", "1"]);
    let (one, _, err) = run(
        &f,
        &["stock", &mine, "--replicates", "4", "--out", "one", "-q"],
    );
    assert_eq!(one, 1, "{err}");
    for (out, files) in [("ab", ["a", "b"]), ("ba", ["b", "a"])] {
        let (code, _, err) = run(
            &f,
            &[
                "stock", &mine, "--merge", files[0], files[1], "--out", out, "-q",
            ],
        );
        assert_eq!(code, one, "{err}");
        alike(&f, "one", out);
    }
    let (code, out, err) = run(
        &f,
        &["stock", &mine, "--merge", "b", "--no-alone", "--json"],
    );
    assert_eq!(code, 1, "{err}");
    let summary: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(summary["jobs_asked"], serde_json::json!([2, 4]));
}

#[test]
fn what_does_not_belong_together_is_refused() {
    let f = folder();
    let mine = job(&f);
    keep(&f, &mine, "0..1", "a", &[]);
    keep(&f, &mine, "1..2", "seed", &["--seed", "7"]);
    keep(&f, &mine, "1..2", "ample", &["--ample", "10"]);
    let merge = |files: &[&str], words: &[&str]| {
        refused(&f, &[&[mine.as_str(), "--merge"], files].concat(), words)
    };
    merge(
        &["a", "seed"],
        &[
            "seed belongs to another study",
            "the seed is 7 there and 1 here",
        ],
    );
    merge(
        &["a", "ample"],
        &["ample belongs to another study", "10 there and 1 here"],
    );
    merge(&["a", "a"], &["job 0 is in a and in a"]);
    fs::copy(f.path().join("a"), f.path().join("again")).expect("copied");
    merge(&["a", "again"], &["job 0 is in a and in again"]);
    merge(&["a", "gone"], &["gone: there is no such file"]);
    merge(&["mine.ron"], &["mine.ron is no batch of jobs"]);
    let whole = fs::read(f.path().join("a")).expect("readable");
    let mut bent = whole.clone();
    bent[whole.len() / 2] ^= 4;
    for (name, bytes) in [
        ("bent", bent.as_slice()),
        ("cut", &whole[..whole.len() - 100]),
    ] {
        fs::write(f.path().join(name), bytes).expect("written");
        merge(&[name], &[name, "is damaged"]);
    }
    refused(
        &f,
        &["short", "--merge", "a"],
        &["another study", "the scenario is mine there and short here"],
    );
    // The same job with one figure of it changed.
    let text = fs::read_to_string(f.path().join(&mine)).expect("readable");
    fs::write(
        f.path().join("mine.ron"),
        text.replace("mass: \"84 kg\"", "mass: \"85 kg\""),
    )
    .expect("written");
    merge(
        &["a"],
        &["another study", "the fingerprint of the scenario's files"],
    );
}

/// Two inputs that are each well by themselves may contradict each other in one job of four: that job is told of,
/// and told of again when it comes out of a file.
#[test]
fn a_job_that_cannot_be_run_is_told_of_after_a_merge_too() {
    let f = folder();
    let contrary = "uncertain: [
            (name: \"sooner over\", inputs: [\"plan.end\"], drawn: Plus, law: Choice([(\"0 h\", 1), (\"-4 h\", 1)]), source: \"assumed\"),
            (name: \"later up\", inputs: [\"plan.levels[0].steps[1].at\"], drawn: Plus, law: Choice([(\"0 h\", 1), (\"4 h\", 1)]), source: \"assumed\"),";
    let mine = job_with(&f, "uncertain: [", contrary);
    keep(&f, &mine, "0..2", "a", &[]);
    keep(&f, &mine, "2..8", "b", &[]);
    let all = ["--no-alone", "-q"];
    let (one, _, err) = run(
        &f,
        &[
            &["stock", &mine, "--replicates", "8", "--out", "one"],
            &all[..],
        ]
        .concat(),
    );
    assert_eq!(one, 2, "some of eight jobs cannot be: {err}");
    let (code, _, err) = run(
        &f,
        &[
            &["stock", &mine, "--merge", "a", "b", "--out", "two"],
            &all[..],
        ]
        .concat(),
    );
    assert_eq!(code, one, "{err}");
    alike(&f, "one", "two");
    let page = fs::read_to_string(f.path().join("two/stock.html")).expect("a page");
    assert!(
        page.contains("Jobs that could not be run")
            && page.contains("the job ends before its last step begins")
    );
}
