//! Ids of figures: the path in the file, with names written so that a shell takes them as they are.

/// A name as part of an id.
pub(super) fn in_id(name: &str) -> String {
    let mut out = String::new();
    for c in name.chars() {
        match c {
            '\'' | '’' => {}
            c if c.is_alphanumeric() || matches!(c, '.' | '_' | '+') => out.push(c),
            _ if out.ends_with('-') || out.is_empty() => {}
            _ => out.push('-'),
        }
    }
    let kept = out.trim_end_matches('-');
    match kept.is_empty() {
        true => "unnamed".to_owned(),
        false => kept.to_owned(),
    }
}

/// The id of what a page shows: the file and the names on the way, rows by theirs.
pub(crate) fn id(file: &str, names: &[&str]) -> String {
    let names = names.iter().map(|name| in_id(name));
    let parts: Vec<String> = std::iter::once(file.to_owned()).chain(names).collect();
    parts.join("/")
}
