//! What people of the trade, and of the sciences beside it, already say: labels, columns, headings and errors are read in
//! the source, in the files that are built in and in the README, and private words of old may not come back.

use super::words::{root, sources, texts};

/// What was said once, and what is said.
const SAY: [(&str, &str); 47] = [
    ("turns", "bell runs"),
    ("a turn", "a bell run"),
    ("the turn", "the bell run"),
    ("this turn", "this bell run"),
    ("turn-round", "turnaround"),
    ("seat", "position; of the watch, station"),
    ("seats", "positions; of the watch, stations"),
    ("pressing mix", "blow-down mix"),
    ("off the trunk", "bell utilisation, locked off"),
    (
        "may be missing to the best",
        "short of the best at most (optimality gap)",
    ),
    ("Binds", "limiting rule"),
    ("given up", "cancelled"),
    ("broken off", "aborted"),
    ("sea over the launch limit", "waiting on weather"),
    ("side of the plan", "storage level"),
    ("sides of the plan", "storage levels"),
    ("runs of stores", "equipment-lock runs"),
    ("stores runs", "equipment-lock runs"),
    ("as shown", "as indicated"),
    ("shown (", "indicated ("),
    ("Shown", "Indicated"),
    ("recalled", "from memory, not verified"),
    ("RECALLED", "from memory, not verified"),
    ("hangs most on", "is most sensitive to"),
    ("half of the jobs", "median (P50)"),
    ("CUT SHORT", "stopped on minimum gas"),
    ("demand is cut short", "stopped on minimum gas"),
    ("bodies", "divers"),
    ("on masks", "on BIBS"),
    ("off masks", "off BIBS"),
    ("masks on", "BIBS on"),
    ("way in", "outer door"),
    ("inner valve", "inboard hull stop"),
    ("inhibit", "shelve"),
    ("real less hand", "real-gas correction"),
    ("came in", "received"),
    ("by its way", "by its path"),
    ("lies in banks", "held in banks"),
    ("trouble told", "trouble reported"),
    ("drawn alike", "common random numbers"),
    ("complaint", "error"),
    ("complaints", "errors"),
    ("worked out", "calculated"),
    ("ship's clock", "vessel time"),
    ("damp", "high humidity"),
    (
        "No dive starts, and a dive stops",
        "Do not start a dive, and stop diving",
    ),
    ("0 true, 0 shown", "No limit crossed (true or indicated)"),
];

/// A word as part of a longer one, or of a name, is another word.
fn says(text: &str, words: &str) -> bool {
    let part = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == '-');
    text.match_indices(words).any(|(at, _)| {
        let (before, after) = (&text[..at], &text[at + words.len()..]);
        let open = words.ends_with(|c: char| !c.is_alphanumeric());
        !part(before.chars().next_back()) && (open || !part(after.chars().next()))
    })
}

fn breaches(place: &str, text: &str) -> Vec<String> {
    let said = SAY.iter().filter(|(old, _)| says(text, old));
    said.map(|(old, new)| format!("{place}: `{old}` is no word of the trade, say {new}: {text}"))
        .collect()
}

/// A value that is put into a text is no word of it.
fn without_values(text: &str) -> String {
    let mut out = String::new();
    let mut deep = 0_usize;
    for c in text.chars() {
        match c {
            '{' => deep += 1,
            '}' => deep = deep.saturating_sub(1),
            c if deep == 0 => out.push(c),
            _ => {}
        }
    }
    out
}

#[test]
fn what_is_printed_speaks_as_the_trade_does() {
    let mut found = Vec::new();
    for file in sources(&["sim"]).iter().filter(|f| !f.test) {
        if file.path.contains("/benches/") || file.path.contains("/sample") {
            continue;
        }
        for (line, text) in texts(&file.text) {
            found.extend(breaches(
                &format!("{}:{line}", file.path),
                &without_values(&text),
            ));
        }
    }
    super::nothing_in(found);
}

/// What `--help` says is written as remarks on the arguments.
#[test]
fn help_speaks_as_the_trade_does() {
    let mut found = Vec::new();
    let mut seen = 0;
    for file in sources(&["sim/src/command"]) {
        let mut remarks: Vec<(usize, &str)> = Vec::new();
        let mut inside = false;
        for (k, line) in file.text.lines().enumerate() {
            let trimmed = line.trim_start();
            if let Some(remark) = trimmed.strip_prefix("///") {
                remarks.push((k + 1, remark));
            } else if line.contains("struct Arguments")
                || line.contains("derive(Clone, Copy, Debug, clap::ValueEnum)")
            {
                inside = true;
            } else if line == "}" && inside {
                inside = false;
                seen += remarks.len();
                for (at, remark) in remarks.drain(..) {
                    found.extend(breaches(&format!("{}:{at}", file.path), remark));
                }
            } else if !inside && !trimmed.starts_with("#[") {
                remarks.clear();
            }
        }
    }
    assert!(seen > 60, "{seen}");
    super::nothing_in(found);
}

#[test]
fn what_is_built_in_and_the_readme_speak_as_the_trade_does() {
    let mut found = Vec::new();
    let mut folders = vec![root().join("scenarios")];
    let mut files = vec![root().join("README.md")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).expect("a folder").flatten() {
            match entry.path() {
                path if path.is_dir() => folders.push(path),
                path => files.push(path),
            }
        }
    }
    assert!(files.len() > 10);
    files.sort();
    for path in files {
        let text = std::fs::read_to_string(&path).expect("it reads");
        for (k, line) in text.lines().enumerate() {
            found.extend(breaches(&format!("{}:{}", path.display(), k + 1), line));
        }
    }
    super::nothing_in(found);
}

/// The reader sees what it must and no more.
#[test]
fn a_private_word_is_seen_and_a_part_of_a_name_is_not() {
    assert_eq!(breaches("x", "half of the jobs").len(), 1);
    assert_eq!(breaches("x", "depth shown (msw)").len(), 1);
    assert_eq!(breaches("x", "Two turns at its limit").len(), 1);
    for fine in [
        "turn-1",
        "seat-bellman",
        "accept_recalled",
        "house.rota.turn-round.x",
        "returns",
        "each in turn",
    ] {
        let named = fine.contains("turn-round");
        assert!(breaches("x", fine).is_empty() || named, "{fine}");
    }
    assert_eq!(without_values("{turns} bell runs of {}"), " bell runs of ");
    let source = "fn f() { \"one\"; '\"'; // \"two\"\n \"thr\\\n   ee\" }\n#[cfg(test)]\nmod tests { \"four\" }";
    let seen: Vec<(usize, String)> = texts(source);
    assert_eq!(seen, [(1, "one".to_owned()), (2, "three".to_owned())]);
}
