//! `stock` as a planner types it: a small study leaves all its papers, says the same on any number of threads,
//! tells what an input set otherwise does, starts from a gas status sheet, and keeps what it has when stopped.

use super::{folder, run};
use deepstay::report::{CAUTION, STOCK_FILES};
use serde_json::json;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// What the study of the short job below varies.
const STUDY: &str = "    study: (
        uncertain: [
            (
                name: \"breathing\", inputs: [\"crew.breathing\"], source: \"assumed\",
                law: LogNormal(median: \"1\", factor: 1.15), least: \"0.6\", most: \"1.7\",
            ),
            (
                name: \"recovery\", inputs: [\"stock.reclaim.recovery\"], source: \"assumed\",
                law: Triangular(low: \"80 %\", likely: \"88 %\", high: \"95 %\"),
            ),
        ],
        breakdowns: [(
            name: \"reclaim out of order\", what: ReclaimStop, mean_between: \"2 d\",
            lasts: LogNormal(median: \"6 h\", factor: 2), source: \"assumed\",
        )],
        reserve: [\"canada\", \"industry\"],
        supplier: \"north-quay\",
    ),
";

/// Writes `mine.ron`: the short job cut to a day and a half with two bell runs, and a study of it.
pub fn job(folder: &tempfile::TempDir) -> String {
    job_with(folder, "", "")
}

/// The same with one thing changed.
pub fn job_with(folder: &tempfile::TempDir, from: &str, to: &str) -> String {
    assert_eq!(run(folder, &["new", "mine", "--from", "short"]).0, 0);
    let path = folder.path().join("mine.ron");
    let mut text = fs::read_to_string(&path).expect("readable");
    let cuts = [
        ("at: \"3d 16:00\"", "at: \"1d 06:00\""),
        ("last: \"3d 08:00\"", "last: \"16 h\""),
        ("end: \"8 d\"", "end: \"1d 12:00\""),
    ];
    for (long, short) in cuts {
        assert!(text.contains(long), "{long}");
        text = text.replace(long, short);
    }
    text.truncate(text.find("    study: (").expect("a study of its own"));
    text.push_str(STUDY);
    text.push_str(")\n");
    assert!(text.contains(from), "{from}");
    fs::write(
        &path,
        text.replacen(from, to, usize::from(!from.is_empty())),
    )
    .expect("written");
    "mine.ron".to_owned()
}

/// The job changes one canister of the bell, 6 kg: with so much spare on deck it lasts, with less what is wanting is told
/// first; with the study silent of it no chance speaks of absorbent, and that is said.
#[test]
fn too_little_absorbent_aboard_is_told_first() {
    let f = folder();
    let supplier = "supplier: \"north-quay\",";
    for (spare, wanting) in [("5.9 kg", "100.0 %"), ("6 kg", "0.0 %")] {
        let planner = format!("{supplier} planner: (spare_absorbent: \"{spare}\"),");
        let mine = job_with(&f, supplier, &planner);
        let asked = ["stock", mine.as_str(), "--replicates", "2", "--no-alone"];
        let (code, out, err) = run(&f, &asked);
        assert_eq!(code, 1, "{err}");
        let line = format!("Too little absorbent for a canister: {wanting} of the jobs");
        assert!(out.contains(&line), "{out}");
        let first = out.find("TOO LITTLE ABSORBENT ABOARD in 100.0 %");
        assert_eq!(first.is_some(), spare == "5.9 kg", "{out}");
        assert!(first.is_none_or(|at| at < out.find("demand").expect("a table")));
        fs::remove_file(f.path().join("mine.ron")).expect("there");
    }
    let mine = job(&f);
    let (_, out, _) = run(&f, &["stock", &mine, "--replicates", "2", "--no-alone"]);
    assert!(
        out.contains("spare not given") && out.contains("does not say what absorbent is aboard"),
        "{out}"
    );
}

/// All files of a folder by their names.
pub fn files(of: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(of)
        .expect("a folder")
        .map(|e| e.expect("an entry"));
    let each = |e: fs::DirEntry| {
        (
            e.file_name().to_string_lossy().into_owned(),
            fs::read(e.path()).expect("readable"),
        )
    };
    entries.map(each).collect()
}

/// Holds that two folders hold the same files, byte for byte.
pub fn alike(folder: &tempfile::TempDir, a: &str, b: &str) {
    let (a, b) = (files(&folder.path().join(a)), files(&folder.path().join(b)));
    assert_eq!(a.keys().collect::<Vec<_>>(), b.keys().collect::<Vec<_>>());
    for (name, bytes) in &a {
        assert!(*bytes == b[name], "{name} is not the same");
    }
}

fn read(text: &str) -> serde_json::Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

fn page(folder: &tempfile::TempDir, out: &str) -> String {
    fs::read_to_string(folder.path().join(out).join("stock.html")).expect("a page")
}

#[test]
fn a_study_leaves_all_its_papers() {
    let f = folder();
    let mine = job(&f);
    let (code, out, err) = run(
        &f,
        &["stock", &mine, "--replicates", "3", "--out", "o", "--json"],
    );
    // Canada's minimums want oxygen and absorbent on the bell that this stock has not.
    assert_eq!(code, 1, "{err}");
    let summary = read(&out);
    assert_eq!(summary["caution"], CAUTION);
    assert_eq!(
        (&summary["jobs"], &summary["interrupted"]),
        (&json!(3), &json!(false))
    );
    assert!(
        summary["minimums"]
            .as_array()
            .expect("a list")
            .iter()
            .any(|m| m["met"] == false),
        "{out}"
    );
    let mut names: Vec<&str> = STOCK_FILES.to_vec();
    names.sort_unstable();
    let written = files(&f.path().join("o"));
    assert_eq!(written.keys().collect::<Vec<_>>(), names);
    assert!(written.values().all(|bytes| !bytes.is_empty()));
    assert_eq!(
        read(&String::from_utf8_lossy(&written["stock.json"])),
        summary
    );
    for paper in ["stock.html", "minimum-to-post.html"] {
        assert!(
            String::from_utf8_lossy(&written[paper]).contains(CAUTION),
            "{paper}"
        );
    }
    for said in [
        "breathing",
        "recovery",
        "reclaim out of order",
        "95 %",
        "assumed",
    ] {
        assert!(page(&f, "o").contains(said), "{said}");
    }

    let (code, text, err) = run(&f, &["stock", &mine, "--replicates", "3", "--out", "o"]);
    assert_eq!((code, text.as_str()), (3, ""), "{err}");
    assert!(err.contains("--replace"), "{err}");
}

/// The code is 0 where nothing is crossed, and a rule set without amounts is not told as one that is met.
#[test]
fn a_rule_set_that_asks_for_no_amount_is_not_called_met() {
    let f = folder();
    let mine = job(&f);
    let asked = |out: &str| {
        let asked = ["stock", &mine, "--replicates", "1", "--no-alone"];
        run(
            &f,
            &[&asked[..], &["--reserve", "uk", "--out", out]].concat(),
        )
    };
    // Nobody says that there is absorbent to spare, and the canisters that are filled do not last the way home.
    let (code, out, err) = asked("unsaid");
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("absorbent in the chambers"), "{out}");
    let text = fs::read_to_string(f.path().join(&mine)).expect("text");
    let spare = "study: (planner: (spare_absorbent: \"400 kg\"), ";
    fs::write(f.path().join(&mine), text.replacen("study: (", spare, 1)).expect("written");
    let (code, out, err) = asked("o");
    assert_eq!(code, 0, "{err}{out}");
    assert!(out.contains("it prescribes nothing"), "{out}");
    assert!(
        out.lines()
            .filter(|l| !l.contains("workbook are in"))
            .all(|l| l.chars().count() <= 80),
        "{out}"
    );
    assert!(
        out.contains("Rule set uk asks for no amount") && !out.contains("all met"),
        "{out}"
    );
    assert!(page(&f, "o").contains("asked for by rule set uk"));
}

#[test]
fn the_answer_is_the_same_on_any_number_of_threads() {
    let f = folder();
    let mine = job(&f);
    for threads in ["1", "2"] {
        let (code, _, err) = run(
            &f,
            &[
                "stock",
                &mine,
                "--replicates",
                "3",
                "--threads",
                threads,
                "--out",
                threads,
                "-q",
            ],
        );
        assert_eq!(code, 1, "{err}");
    }
    alike(&f, "1", "2");
}

#[test]
fn another_seed_is_another_study() {
    let f = folder();
    let mine = job(&f);
    for seed in ["1", "2"] {
        let (code, _, err) = run(
            &f,
            &[
                "stock",
                &mine,
                "--replicates",
                "1",
                "--no-alone",
                "--seed",
                seed,
                "--out",
                seed,
                "-q",
            ],
        );
        assert_eq!(code, 1, "{err}");
    }
    let jobs = |seed: &str| files(&f.path().join(seed))["jobs.csv"].clone();
    assert!(jobs("1") != jobs("2"));
}

/// A worse recovery costs divers' gas and nothing else; the way may be written with its part or without.
#[test]
fn what_if_is_told_as_a_difference() {
    let f = folder();
    let mine = job(&f);
    for way in ["reclaim.recovery=0.8", "stock.reclaim.recovery=80 %"] {
        let (code, out, err) = run(
            &f,
            &[
                "stock",
                &mine,
                "--replicates",
                "2",
                "--no-alone",
                "--set",
                way,
                "--json",
                "--seed",
                "3",
            ],
        );
        assert_eq!(code, 1, "{err}");
        let summary = read(&out);
        let differences = summary["what_if"].as_array().expect("a list");
        let by = |gas: &str| {
            let found = differences
                .iter()
                .find(|d| d["gas"].as_str().is_some_and(|g| g.starts_with(gas)));
            found.unwrap_or_else(|| panic!("{gas} in {out}"))["difference_m3_free"]["mean"]
                .as_f64()
                .expect("a number")
        };
        assert!(by("divers' gas") > 1.0, "{out}");
        // Nothing of it is drawn for the loop: what is left is rounding, for all that is drawn at one time shares steps.
        assert!(by("bottom mix").abs() < 1e-5, "{out}");
        // What is lost from the loop is made up with the same mix; the oxygen trickled in hardly moves.
        assert!(by("oxygen").abs() < 1.0, "{out}");
    }
}

/// A run's gas status sheet of this very job says that all goes as simulated.
#[test]
fn a_study_starts_from_the_gas_status_sheet_of_a_run() {
    let f = folder();
    let mine = job(&f);
    // The plan is over before the divers are up, which `run` does not call done.
    let (code, _, err) = run(&f, &["run", &mine, "--out", "r", "-q"]);
    assert_eq!(code, 2, "{err}");
    let (code, out, err) = run(
        &f,
        &[
            "stock",
            &mine,
            "--replicates",
            "2",
            "--no-alone",
            "--from",
            "r/gas-status.csv",
            "--at",
            "1 d",
            "--boat",
            "1d 06:00",
            "--out",
            "o",
        ],
    );
    assert_eq!(code, 1, "{err}");
    assert!(out.contains("it prescribes nothing"), "{out}");
    let page = page(&f, "o");
    assert!(page.contains("From day 1") && page.contains("What is believed of each assumption"));
}

#[test]
#[cfg(unix)]
fn interrupted_it_keeps_the_jobs_that_are_over() {
    let f = folder();
    let mine = job(&f);
    let child = Command::new(env!("CARGO_BIN_EXE_deepstay"))
        .args([
            "stock",
            &mine,
            "--replicates",
            "100000",
            "--out",
            "o",
            "--save",
            "kept",
            "-q",
        ])
        .current_dir(f.path())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("it starts");
    std::thread::sleep(Duration::from_secs(8));
    let pid = child.id().to_string();
    assert!(
        Command::new("sh")
            .args(["-c", "kill -INT $0", &pid])
            .status()
            .expect("a shell")
            .success()
    );
    let code = child.wait_with_output().expect("it ends").status.code();
    assert_eq!(code, Some(4));
    let written = files(&f.path().join("o"));
    assert_eq!(written.len(), STOCK_FILES.len());
    let summary = read(&String::from_utf8_lossy(&written["stock.json"]));
    assert_eq!(summary["interrupted"], true);
    let jobs = summary["jobs"].as_u64().expect("a count");
    assert!((1..100_000).contains(&jobs), "{jobs}");
    assert!(page(&f, "o").contains("are missing: it was interrupted"));
    // What was kept can be merged, and says again what is missing.
    let (code, _, err) = run(
        &f,
        &[
            "stock",
            &mine,
            "--merge",
            "kept",
            "--no-alone",
            "--out",
            "m",
            "-q",
        ],
    );
    assert_eq!(code, 1, "{err}");
    let merged = files(&f.path().join("m"));
    assert!(merged["jobs.csv"] == written["jobs.csv"] && merged["days.csv"] == written["days.csv"]);
    assert!(page(&f, "m").contains("of the jobs asked for are missing"));
}

/// Hours of jobs are not run for papers that cannot be written.
#[test]
#[cfg(target_os = "linux")]
fn what_cannot_be_written_is_refused_before_the_first_job() {
    let f = folder();
    fs::write(f.path().join("file"), "").expect("written");
    fs::create_dir(f.path().join("strange")).expect("made");
    fs::write(f.path().join("strange/letter"), "").expect("written");
    let refused = [
        (["--out", "file/o"], "cannot"),
        (["--out", "/proc/no/such/o"], "cannot"),
        (["--out", "strange"], "letter"),
        (["--out", "file"], "is no folder"),
        (["--save", "file"], "--replace"),
        (["--save", "strange"], "is a folder"),
        (["--save", "no/such/kept"], "could not be written"),
    ];
    for (flags, words) in refused {
        let (code, out, err) = run(
            &f,
            &[&["stock", "six-man", "--replicates", "100000"], &flags[..]].concat(),
        );
        assert_eq!((code, out.as_str()), (3, ""), "{flags:?}: {err}");
        assert!(err.contains(words), "{flags:?}: {err}");
    }
    let (code, _, err) = run(&f, &["stock", "six-man", "--out", "strange", "--replace"]);
    assert_eq!(code, 3, "{err}");
    assert!(err.contains("letter"), "{err}");
    assert_eq!(files(&f.path().join("strange")).len(), 1);
}
