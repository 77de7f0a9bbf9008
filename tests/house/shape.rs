//! What no compiler counts: how many methods a type of the plant has, and which files of a package hang on each
//! other in a circle. Read from the words of the source; files that only tests compile are left out.

use super::words::Source;
use std::collections::{BTreeMap, BTreeSet};

/// Methods of each type of some files: every `fn` directly inside an `impl` block of it, in whichever file.
pub fn methods(files: &[&Source]) -> BTreeMap<String, usize> {
    let mut found = BTreeMap::new();
    for file in files {
        let w = file.words_without_tests();
        let mut i = 0;
        while i < w.len() {
            if w[i] != "impl" || (i > 0 && !matches!(w[i - 1].as_str(), "}" | ";" | "]" | "unsafe"))
            {
                i += 1;
                continue;
            }
            let Some(open) = (i..w.len()).find(|k| w[*k] == "{" || w[*k] == ";") else {
                break;
            };
            let name = type_of(&w[i + 1..open]);
            let (mut deep, mut k) = (1, open + 1);
            while k < w.len() && deep > 0 {
                match w[k].as_str() {
                    "{" => deep += 1,
                    "}" => deep -= 1,
                    "fn" if deep == 1 => *found.entry(name.clone()).or_insert(0) += 1,
                    _ => {}
                }
                k += 1;
            }
            i = k;
        }
    }
    found
}

/// The type that a head such as `<'a> Trait for some::Type<'a>` speaks of: its last plain name outside brackets.
fn type_of(head: &[String]) -> String {
    let from = head.iter().rposition(|w| w == "for").map_or(0, |k| k + 1);
    let (mut deep, mut name) = (0, String::new());
    for w in &head[from..] {
        match w.as_str() {
            "<" => deep += 1,
            ">" => deep -= 1,
            "where" => break,
            w if deep == 0 && w.starts_with(|c: char| c.is_alphabetic()) => name = w.to_owned(),
            _ => {}
        }
    }
    name
}

/// A path as it is written, by its names; a glob ends with `*`.
type Path = Vec<String>;

/// One file as a module of its package.
struct Module<'a> {
    path: &'a str,
    /// Names that it defines.
    defines: BTreeSet<String>,
    /// Name as it is known there, and the path it stands for. A glob is known as `*`.
    imports: Vec<(String, Path)>,
    /// Every path of its code that begins in its own package.
    paths: Vec<Path>,
}

/// The circles of files of one package: sets of files each of which reaches every other by what it names. That a
/// folder's front names its parts does not count: it is what a front is for.
pub fn circles(files: &[&Source]) -> Vec<Vec<String>> {
    let mut modules: BTreeMap<Path, Module> = BTreeMap::new();
    for file in files {
        let Some((_, inside)) = file.path.split_once("/src/") else {
            continue;
        };
        let mut at: Path = inside
            .trim_end_matches(".rs")
            .split('/')
            .map(str::to_owned)
            .collect();
        if at
            .last()
            .is_some_and(|l| ["mod", "lib", "main"].contains(&l.as_str()))
        {
            at.pop();
        }
        modules.insert(at.clone(), module(file, &at));
    }
    let names: Vec<&Path> = modules.keys().collect();
    let place = |path: &Path| names.iter().position(|n| *n == path);
    let edges: Vec<BTreeSet<usize>> = modules
        .iter()
        .enumerate()
        .map(|(here, (at, module))| {
            let reached = module
                .paths
                .iter()
                .filter_map(|path| resolve(&modules, path, 8));
            reached
                .filter(|m| !m.starts_with(at))
                .filter_map(|m| place(&m))
                .filter(|to| *to != here)
                .collect()
        })
        .collect();
    let reach: Vec<BTreeSet<usize>> = (0..names.len())
        .map(|from| reachable(&edges, from))
        .collect();
    let mut seen = BTreeSet::new();
    let mut found = Vec::new();
    for a in 0..names.len() {
        let circle: Vec<usize> = (0..names.len())
            .filter(|b| reach[a].contains(b) && reach[*b].contains(&a))
            .collect();
        if circle.len() > 1 && seen.insert(circle.clone()) {
            found.push(
                circle
                    .iter()
                    .map(|k| modules[names[*k]].path.to_owned())
                    .collect(),
            );
        }
    }
    found
}

fn reachable(edges: &[BTreeSet<usize>], from: usize) -> BTreeSet<usize> {
    let (mut seen, mut next) = (BTreeSet::new(), vec![from]);
    while let Some(at) = next.pop() {
        for to in &edges[at] {
            if seen.insert(*to) {
                next.push(*to);
            }
        }
    }
    seen
}

/// The module in which what a path names is defined.
fn resolve(modules: &BTreeMap<Path, Module>, path: &Path, patience: usize) -> Option<Path> {
    let mut at: Path = Vec::new();
    for (k, name) in path.iter().enumerate() {
        at.push(name.clone());
        if modules.contains_key(&at) {
            continue;
        }
        at.pop();
        let module = modules.get(&at)?;
        if name == "*" || module.defines.contains(name) || patience == 0 {
            return Some(at);
        }
        let rest = || path[k + 1..].iter().cloned();
        for (known, to) in &module.imports {
            if known == name {
                let longer: Path = to.iter().cloned().chain(rest()).collect();
                return resolve(modules, &longer, patience - 1);
            }
        }
        for (_, to) in module.imports.iter().filter(|(known, _)| known == "*") {
            let mut inside: Path = to[..to.len() - 1].to_vec();
            inside.push(name.clone());
            let found = resolve(modules, &inside, patience - 1);
            if let Some(found) = found.filter(|f| modules[f].defines.contains(name)) {
                return Some(found);
            }
        }
        return None;
    }
    Some(at)
}

fn module<'a>(file: &'a Source, at: &Path) -> Module<'a> {
    const KINDS: [&str; 8] = [
        "struct", "enum", "fn", "trait", "const", "static", "type", "union",
    ];
    let w = file.words_without_tests();
    let mut found = Module {
        path: &file.path,
        defines: BTreeSet::new(),
        imports: Vec::new(),
        paths: Vec::new(),
    };
    for pair in w.windows(2) {
        if KINDS.contains(&pair[0].as_str()) {
            found.defines.insert(pair[1].clone());
        }
    }
    let mut i = 0;
    while i < w.len() {
        let begins = i == 0 || w[i - 1] != ":";
        if w[i] == "use" {
            i = tree(w, i + 1, at, &mut Vec::new(), &mut found);
        } else if begins && is_name(&w[i]) && next_is_path(w, i) {
            let mut path = Vec::new();
            i = plain(w, i, at, &mut path);
            found.paths.push(path);
        } else {
            i += 1;
        }
    }
    found
}

fn is_name(word: &str) -> bool {
    word.starts_with(|c: char| c.is_alphabetic() || c == '_')
}

fn next_is_path(w: &[String], i: usize) -> bool {
    w.get(i + 1).is_some_and(|x| x == ":") && w.get(i + 2).is_some_and(|x| x == ":")
}

/// Steps one name into a path from a module: `crate`, `super`, `self` or a name.
fn step(path: &mut Path, name: &str, at: &Path, first: bool) {
    match name {
        "crate" => path.clear(),
        "super" if first => *path = at[..at.len().saturating_sub(1)].to_vec(),
        "super" => {
            path.pop();
        }
        "self" if first => *path = at.clone(),
        "self" => {}
        name => {
            if first {
                // A module below this one, or another package: then there is no such module.
                *path = at.clone();
            }
            path.push(name.to_owned());
        }
    }
}

fn plain(w: &[String], mut i: usize, at: &Path, path: &mut Path) -> usize {
    let mut first = true;
    loop {
        step(path, &w[i], at, first);
        first = false;
        let goes_on = next_is_path(w, i)
            && w.get(i + 3)
                .is_some_and(|x| x.starts_with(|c: char| c.is_alphabetic() || c == '_'));
        if !goes_on {
            return i + 1;
        }
        i += 3;
    }
}

/// Reads a tree of `use` from a word on; the word after it. Paths that begin in another package are left out.
fn tree(w: &[String], mut i: usize, at: &Path, prefix: &mut Path, found: &mut Module) -> usize {
    let start = prefix.len();
    let top = start == 0 && !w[i.saturating_sub(1)].starts_with(['{', ',']);
    let (mut own, mut first) = (!top, top);
    let mut last = prefix.last().cloned().unwrap_or_default();
    loop {
        match w.get(i).map(String::as_str) {
            Some("{") => {
                i += 1;
                while w.get(i).is_some_and(|x| x != "}") {
                    i = tree(
                        w,
                        i,
                        at,
                        &mut prefix.clone(),
                        if own { found } else { return skip(w, i) },
                    );
                    if w.get(i).is_some_and(|x| x == ",") {
                        i += 1;
                    }
                }
                return i + 1;
            }
            Some("*") => {
                let mut path = prefix.clone();
                path.push("*".to_owned());
                if own {
                    found.paths.push(path.clone());
                    found.imports.push(("*".to_owned(), path));
                }
                return i + 1;
            }
            Some(":") => i += 1,
            Some("as") => {
                last.clone_from(&w[i + 1]);
                i += 2;
            }
            Some(name) if name.starts_with(|c: char| c.is_alphabetic() || c == '_') => {
                own = true;
                if name != "self" || first {
                    step(prefix, name, at, first);
                    last = name.to_owned();
                }
                first = false;
                i += 1;
            }
            _ => {
                if own && !prefix.is_empty() {
                    found.paths.push(prefix.clone());
                    found.imports.push((last, prefix.clone()));
                }
                return i;
            }
        }
    }
}

/// The word after the `}` of the braces one is in.
fn skip(w: &[String], mut i: usize) -> usize {
    let mut deep = 1;
    while i < w.len() && deep > 0 {
        match w[i].as_str() {
            "{" => deep += 1,
            "}" => deep -= 1,
            _ => {}
        }
        i += 1;
    }
    i
}
