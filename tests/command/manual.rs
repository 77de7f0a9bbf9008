//! Manual pages, completions and the topics of help, all made from the command itself.

use super::{folder, run};

const VERBS: [&str; 11] = [
    "run",
    "rota",
    "stock",
    "sums",
    "check",
    "list",
    "new",
    "schema",
    "man",
    "completions",
    "help",
];

#[test]
fn every_verb_has_a_page_and_the_first_page_has_the_topics() {
    let f = folder();
    let (code, out, err) = run(&f, &["man", "--out", "pages"]);
    assert_eq!((code, err.as_str()), (0, ""), "{out}");
    let page = |name: &str| {
        std::fs::read_to_string(f.path().join("pages").join(name))
            .unwrap_or_else(|e| panic!("{name}: {e}"))
    };
    for verb in VERBS {
        let text = page(&format!("deepstay-{verb}.1"));
        assert!(text.contains(".TH") && text.contains("SYNOPSIS"), "{verb}");
        assert_eq!(
            run(&f, &["man", verb]).1.trim_end(),
            text.trim_end(),
            "{verb}"
        );
    }
    let first = page("deepstay.1");
    for words in [
        ".SH CONVENTIONS",
        ".SH UNITS",
        ".SH STATUS",
        ".SH \"EXIT CODES\"",
        "Exit codes:",
    ] {
        assert!(first.contains(words), "{words}");
    }
    // Pages that are there are not written over unasked.
    let (code, _, err) = run(&f, &["man", "--out", "pages"]);
    assert_eq!(code, 3, "{err}");
    assert_eq!(run(&f, &["man", "--out", "pages", "--replace"]).0, 0);
    assert_eq!(run(&f, &["man", "dive"]).0, 3);
}

#[test]
fn each_shell_is_given_the_verbs_and_the_sums() {
    let f = folder();
    for shell in ["bash", "zsh", "fish"] {
        let (code, out, err) = run(&f, &["completions", shell]);
        assert_eq!((code, err.as_str()), (0, ""));
        for word in VERBS
            .into_iter()
            .chain(["gas-available", "conventions", "--gas-law"])
        {
            // fish names options without their dashes.
            assert!(
                out.contains(word.trim_start_matches('-')),
                "{shell}: {word}"
            );
        }
    }
    assert_eq!(run(&f, &["completions", "tcsh"]).0, 3);
    // Where there is a bash, it reads what it is given.
    let script = f.path().join("deepstay.bash");
    std::fs::write(&script, run(&f, &["completions", "bash"]).1).expect("written");
    if let Ok(read) = std::process::Command::new("bash")
        .arg("-n")
        .arg(&script)
        .status()
    {
        assert!(read.success());
    }
}

#[test]
fn help_speaks_of_topics_and_of_verbs() {
    let f = folder();
    for (topic, says) in [
        ("conventions", "1 msw is 0.1 bar"),
        ("units", "a gauge pressure: bar"),
        ("status", "house rule"),
        ("exit-codes", "5  a broken invariant"),
    ] {
        let (code, out, err) = run(&f, &["help", topic]);
        assert_eq!((code, err.as_str()), (0, ""), "{topic}");
        assert!(
            out.contains(says) && out.contains("it prescribes"),
            "{topic}: {out}"
        );
        assert!(out.lines().all(|l| l.chars().count() <= 80), "{topic}");
    }
    let (code, out, _) = run(&f, &["help"]);
    assert!(code == 0 && out.contains("Exit codes:") && out.contains("sums"));
    for verb in VERBS {
        let (code, out, _) = run(&f, &["help", verb]);
        assert!(
            code == 0 && out.contains(&format!("Usage: deepstay {verb}")),
            "{verb}: {out}"
        );
    }
    let (code, _, err) = run(&f, &["help", "unit"]);
    assert!(code == 3 && err.contains("units"), "{err}");
}
