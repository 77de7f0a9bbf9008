//! What a set says of its figures, held to the file it was read from: the file's text is cut up here by its brackets
//! and quotes, and each quantity that a row has must stand in the row's words, as it is written.

use deepstay_rules::{Provenance, builtin, builtin_names, builtin_text};

/// A file without its remarks.
fn bare(text: &str) -> String {
    let lines = text.lines();
    let kept = lines.filter(|line| !line.trim_start().starts_with("//"));
    kept.collect::<Vec<_>>().join("\n")
}

/// The rows of a file: id, and the text of its figures up to the end of the row.
fn rows(text: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    for part in text.split("id: \"").skip(1) {
        let (id, rest) = part.split_once('"').expect("the id ends");
        let Some((_, rest)) = rest.split_once("figures:") else {
            continue;
        };
        found.push((id, figures(rest)));
    }
    found
}

/// From after `figures:` to where the row's bracket closes, brackets within texts left out of the count.
fn figures(rest: &str) -> &str {
    let (mut deep, mut quoted) = (0, false);
    for (at, sign) in rest.char_indices() {
        match sign {
            '"' => quoted = !quoted,
            '(' | '[' if !quoted => deep += 1,
            ')' | ']' if !quoted && deep == 0 => return &rest[..at],
            ')' | ']' if !quoted => deep -= 1,
            _ => {}
        }
    }
    rest
}

/// The texts of the figures that begin with a digit or a sign.
fn quantities(figures: &str) -> impl Iterator<Item = &str> {
    let texts = figures.split('"').skip(1).step_by(2);
    texts.filter(|text| text.starts_with(|c: char| c.is_ascii_digit() || c == '-'))
}

#[test]
fn each_quantity_of_a_row_stands_in_its_words() {
    let mut seen = 0;
    // What a set takes from others stands in their files.
    let alone = |name: &&str| builtin(name).expect("built in").taken().is_empty();
    for name in builtin_names().filter(alone) {
        let text = bare(builtin_text(name).expect("built in"));
        let told: Vec<Provenance> = builtin(name).expect("built in").provenance();
        let rows = rows(&text);
        assert_eq!(
            rows.iter()
                .map(|r| r.0)
                .collect::<std::collections::BTreeSet<_>>(),
            told.iter().map(|t| t.id.as_str()).collect(),
            "{name}: the same rows"
        );
        for (id, figures) in rows {
            let words = &told.iter().find(|t| t.id == id).expect("told").figures;
            assert!(!words.trim().is_empty(), "{id}");
            for quantity in quantities(figures) {
                let quantity = quantity.replace(".0 ", " ");
                assert!(
                    words.contains(&quantity),
                    "{name}, {id}: {quantity}: {words}"
                );
                seen += 1;
            }
        }
    }
    println!("{seen} quantities");
    assert!(seen > 300, "{seen}");
}

/// Rows without quantities say what they are in words of their own.
#[test]
fn rows_of_one_kind_that_differ_are_told_apart() {
    let mut said: Vec<(String, String, String)> = Vec::new();
    for name in builtin_names() {
        let text = bare(builtin_text(name).expect("built in"));
        let told = builtin(name).expect("built in").provenance();
        for (id, figures) in rows(&text) {
            let line = told.iter().find(|t| t.id == id).expect("told");
            let figures: String = figures.split_whitespace().collect();
            let figures = figures.trim_end_matches(',').to_owned();
            said.push((line.what.clone(), line.figures.clone(), figures));
        }
    }
    for (i, (what, words, figures)) in said.iter().enumerate() {
        let alike = said[..i]
            .iter()
            .find(|(w, s, f)| w == what && s == words && f != figures);
        assert_eq!(alike, None, "{what}: {words}: {figures}");
    }
}
