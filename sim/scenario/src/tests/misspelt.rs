//! One cause is one error: a name that is misspelt once is complained of once, at its place, and nothing that follows
//! from it is.

use super::*;

/// The places of the quoted texts of a file, between their quotes, but for those in remarks.
fn quoted(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let mut open = None;
        let mut slash = false;
        for (k, c) in line.char_indices() {
            match (c, open) {
                ('"', None) => open = Some(k + 1),
                ('"', Some(from)) => {
                    found.push(at + from..at + k);
                    open = None;
                }
                ('/', None) if slash => break,
                _ => {}
            }
            slash = c == '/' && open.is_none();
        }
        at += line.len();
    }
    found
}

/// Whether it is here that a thing gets its name: all who call it by that are wrong then, each by itself.
fn names_something(before: &str) -> bool {
    ["name: \"", "initials: \""]
        .iter()
        .any(|field| before.ends_with(field))
}

/// Misspells each text once, and counts those that are complained of and those that are not.
fn misspell(
    text: &str,
    name: &str,
    read: impl Fn(&str) -> Result<Scenario, Diagnostics>,
) -> [usize; 2] {
    let mut counts = [0; 2];
    for at in quoted(text) {
        let (before, written) = (&text[..at.start], &text[at.clone()]);
        if names_something(before) || written.is_empty() {
            continue;
        }
        match read(&format!("{before}{written}q{}", &text[at.end..])) {
            Ok(_) => counts[1] += 1,
            Err(complaints) => {
                counts[0] += 1;
                let all = &complaints.all;
                assert_eq!(all.len(), 1, "{name}, \"{written}q\": {all:#?}");
            }
        }
    }
    counts
}

#[test]
fn a_text_of_a_job_that_is_misspelt_is_complained_of_once() {
    for job in JOBS {
        let [wrong, right] = misspell(job.text, job.name, |t| from_text(t, "my.ron", None));
        assert!(wrong > 100, "{}: {wrong} wrong, {right} right", job.name);
    }
}

#[test]
fn a_text_of_a_spread_that_is_misspelt_is_complained_of_once() {
    let folder = tempfile::tempdir().expect("a folder");
    for job in JOBS {
        let field = format!("spread: \"{}\"", job.name);
        if !job.text.contains(&field) {
            continue;
        }
        let spread = SPREADS
            .iter()
            .find(|s| s.name == job.name)
            .expect("built in");
        let text = job.text.replacen(&field, "spread: \"spread.ron\"", 1);
        let [wrong, right] = misspell(spread.text, job.name, |spread| {
            fs::write(folder.path().join("spread.ron"), spread).expect("written");
            from_text(&text, "my.ron", Some(folder.path()))
        });
        assert!(wrong > 100, "{}: {wrong} wrong, {right} right", job.name);
    }
}
