//! Reads Rust source as far as the house needs it: its words and signs, without comments and texts.

use std::path::{Path, PathBuf};

/// One source file.
pub struct Source {
    /// Path from the repository's root, with `/`.
    pub path: String,
    /// As it stands.
    pub text: String,
    /// Words and signs of the code, comments and texts left out.
    pub words: Vec<String>,
    /// Whether only tests compile it.
    pub test: bool,
}

impl Source {
    /// The room it lies in: the package under `sim`; `command` for what lies in the way in's own
    /// folder of that name, none for the rest of the way in.
    pub fn room(&self) -> Option<&str> {
        let inside = self.path.strip_prefix("sim/")?;
        if inside.starts_with("src/command/") {
            return Some("command");
        }
        let (package, rest) = inside.split_once('/')?;
        rest.starts_with("src/").then_some(package)
    }

    /// The words up to an inline `#[cfg(test)] mod name {`.
    pub fn words_without_tests(&self) -> &[String] {
        const OPENS: [&str; 8] = ["#", "[", "cfg", "(", "test", ")", "]", "mod"];
        let end = self
            .words
            .windows(OPENS.len() + 2)
            .position(|w| w[..8] == OPENS && w[9] == "{");
        &self.words[..end.unwrap_or(self.words.len())]
    }
}

/// The repository's root.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("tests/ lies in the root")
        .to_path_buf()
}

/// Every `.rs` file under some folders of the root, in order of path.
pub fn sources(folders: &[&str]) -> Vec<Source> {
    let (root, mut paths) = (root(), Vec::new());
    for folder in folders {
        gather(&root.join(folder), &mut paths);
    }
    paths.sort();
    let read = |path: &PathBuf| {
        let text =
            std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let inside = path.strip_prefix(&root).expect("under the root");
        let path = inside
            .components()
            .map(|c| c.as_os_str().to_string_lossy())
            .collect::<Vec<_>>()
            .join("/");
        Source {
            path,
            words: words(&text),
            text,
            test: false,
        }
    };
    let mut files: Vec<Source> = paths.iter().map(read).collect();
    let for_tests: Vec<String> = files.iter().flat_map(modules_for_tests).collect();
    for file in &mut files {
        let module = file.path.trim_end_matches(".rs");
        file.test = file.path.contains("/tests/")
            || for_tests
                .iter()
                .any(|t| module == t || module.starts_with(&format!("{t}/")));
    }
    files
}

/// Paths without `.rs` of the modules that a file declares under `#[cfg(test)]`.
fn modules_for_tests(file: &Source) -> Vec<String> {
    const TEST: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let stem = file.path.trim_end_matches(".rs");
    let inside = ["/mod", "/lib", "/main"]
        .iter()
        .find_map(|end| stem.strip_suffix(end))
        .unwrap_or(stem);
    let w = &file.words;
    let declared = (0..w.len().saturating_sub(TEST.len() + 2)).filter_map(|i| {
        let after = w[i..].strip_prefix(&TEST.map(str::to_owned))?;
        let after = after.strip_prefix(&["pub".to_owned()]).unwrap_or(after);
        (after.first()? == "mod" && after.get(2)? == ";").then(|| &after[1])
    });
    declared.map(|name| format!("{inside}/{name}")).collect()
}

fn gather(folder: &Path, paths: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(&path, paths);
        } else if path.extension().is_some_and(|e| e == "rs") {
            paths.push(path);
        }
    }
}

/// Words (identifiers and numbers) and single signs of some source, without comments and texts.
pub fn words(text: &str) -> Vec<String> {
    let c: Vec<char> = text.chars().collect();
    let at = |i: usize| c.get(i).copied().unwrap_or('\0');
    let word = |x: char| x.is_alphanumeric() || x == '_';
    let (mut i, mut found) = (0, Vec::new());
    while i < c.len() {
        if at(i) == '/' && at(i + 1) == '/' {
            while i < c.len() && at(i) != '\n' {
                i += 1;
            }
        } else if at(i) == '/' && at(i + 1) == '*' {
            i = end_of_comment(&c, i);
        } else if at(i) == '"' {
            i = end_of_text(&c, i);
        } else if at(i) == 'r'
            && (at(i + 1) == '"' || (at(i + 1) == '#' && matches!(at(i + 2), '"' | '#')))
        {
            i = end_of_raw(&c, i);
        } else if at(i) == '\'' && (at(i + 1) == '\\' || at(i + 2) == '\'') {
            i += 2;
            while i < c.len() && at(i) != '\'' {
                i += 1;
            }
            i += 1;
        } else if word(at(i)) {
            let from = i;
            while word(at(i)) {
                i += 1;
            }
            found.push(c[from..i].iter().collect());
        } else {
            if !at(i).is_whitespace() {
                found.push(at(i).to_string());
            }
            i += 1;
        }
    }
    found
}

/// The texts between quotation marks of some source, each with its line, lines that are joined by a stroke joined; the
/// source's own tests are left out.
pub fn texts(source: &str) -> Vec<(usize, String)> {
    let end = source
        .find("#[cfg(test)]\nmod tests {")
        .unwrap_or(source.len());
    let c: Vec<char> = source[..end].chars().collect();
    let at = |i: usize| c.get(i).copied().unwrap_or('\0');
    let (mut i, mut line, mut found) = (0, 1, Vec::new());
    while i < c.len() {
        let from = i;
        if at(i) == '/' && at(i + 1) == '/' {
            while i < c.len() && at(i) != '\n' {
                i += 1;
            }
        } else if at(i) == '/' && at(i + 1) == '*' {
            i = end_of_comment(&c, i);
        } else if at(i) == '"' {
            i = end_of_text(&c, i);
            let text: String = c[from + 1..(i - 1).min(c.len())].iter().collect();
            let joined: Vec<&str> = text.split("\\\n").map(str::trim_start).collect();
            found.push((line, joined.concat()));
        } else if at(i) == '\'' && (at(i + 1) == '\\' || at(i + 2) == '\'') {
            i += if at(i + 1) == '\\' { 4 } else { 3 };
        } else {
            i += 1;
        }
        line += c[from..i.min(c.len())]
            .iter()
            .filter(|x| **x == '\n')
            .count();
    }
    found
}

fn end_of_comment(c: &[char], from: usize) -> usize {
    let (mut i, mut deep) = (from, 0);
    while i + 1 < c.len() {
        match (c[i], c[i + 1]) {
            ('/', '*') => (deep, i) = (deep + 1, i + 2),
            ('*', '/') => (deep, i) = (deep - 1, i + 2),
            _ => i += 1,
        }
        if deep == 0 {
            return i;
        }
    }
    c.len()
}

fn end_of_text(c: &[char], from: usize) -> usize {
    let mut i = from + 1;
    while i < c.len() && c[i] != '"' {
        i += if c[i] == '\\' { 2 } else { 1 };
    }
    i + 1
}

fn end_of_raw(c: &[char], from: usize) -> usize {
    let fences = c[from + 1..].iter().take_while(|x| **x == '#').count();
    let mut i = from + fences + 2;
    while i < c.len() {
        let closed = c[i] == '"'
            && c[i + 1..]
                .iter()
                .take(fences)
                .filter(|x| **x == '#')
                .count()
                == fences;
        i += 1;
        if closed {
            return i + fences;
        }
    }
    i
}
