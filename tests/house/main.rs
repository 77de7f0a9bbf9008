//! The order of the house, read from its own source: which room may use which, what only the report
//! and the command may know, where a clock may be read, how a file opens, and what lies at the top.

mod packages;
mod shape;
mod vocabulary;
mod words;

use words::{Source, root, sources, words};

/// The rooms; each may use the rooms before it, which the packages' manifests hold.
const ROOMS: [&str; 12] = [
    "core", "read", "sums", "rules", "plant", "crew", "scenario", "job", "rota", "stock", "report",
    "command",
];
/// Formats that only the report, and the command that calls it, may know.
const FORMATS: [&str; 2] = ["maud", "csv"];
/// Tables that a room writes and reads itself, because what it reads must be what it writes.
const TABLES: [&str; 1] = ["sim/rota/src/table/"];
/// What belongs to a terminal, and so to the command alone.
const TERMINAL: [&str; 12] = [
    "indicatif",
    "clap",
    "clap_complete",
    "clap_mangen",
    "ctrlc",
    "miette",
    "stdout",
    "stdin",
    "stderr",
    "println",
    "eprintln",
    "ExitCode",
];
/// The machine's clocks.
const CLOCKS: [&str; 2] = ["SystemTime", "Instant"];
/// Functions of floats whose last bit differs by platform: in `sim` they come from `libm`.
const BY_PLATFORM: [&str; 27] = [
    "exp", "exp2", "exp_m1", "ln", "ln_1p", "log", "log2", "log10", "powf", "powi", "cbrt",
    "hypot", "sin", "cos", "tan", "sin_cos", "asin", "acos", "atan", "atan2", "sinh", "cosh",
    "tanh", "asinh", "acosh", "atanh", "gamma",
];
/// What may lie at the top of the repository.
const TOP: [&str; 20] = [
    ".ci",
    ".git",
    ".git-blame-ignore-revs",
    ".github",
    ".gitignore",
    ".pictures",
    "CHANGELOG.md",
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "clippy.toml",
    "deny.toml",
    "rust-toolchain.toml",
    "rustfmt.toml",
    "scenarios",
    "sim",
    "tests",
    "viz",
];

fn place(room: &str) -> Option<usize> {
    ROOMS.iter().position(|r| *r == room)
}

/// Fails with one line for each breach.
fn nothing_in(breaches: Vec<String>) {
    assert!(breaches.is_empty(), "\n{}", breaches.join("\n"));
}

/// Breaches by words that only rooms from `room` on may use; code that only tests compile is let be.
fn known_above(files: &[Source], forbidden: &[&str], room: &str) -> Vec<String> {
    let first = place(room).expect("a room");
    let above = |f: &&Source| f.room().and_then(place).is_some_and(|here| here < first) && !f.test;
    let mut breaches = Vec::new();
    for file in files.iter().filter(above) {
        for word in file
            .words_without_tests()
            .iter()
            .filter(|w| forbidden.contains(&w.as_str()))
        {
            breaches.push(format!(
                "{}: knows {word}, which belongs to {room}",
                file.path
            ));
        }
    }
    breaches
}

#[test]
fn only_the_report_knows_its_formats() {
    let own_table = |path: &str| TABLES.iter().any(|t| path.starts_with(t));
    let (tables, others): (Vec<Source>, Vec<Source>) = sources(&["sim"])
        .into_iter()
        .partition(|f| own_table(&f.path));
    assert!(!tables.is_empty());
    nothing_in(known_above(&others, &FORMATS, "report"));
    nothing_in(known_above(&tables, &["maud"], "report"));
}

#[test]
fn only_the_command_knows_a_terminal() {
    nothing_in(known_above(&sources(&["sim"]), &TERMINAL, "command"));
}

/// Who may look at the wall's clock: the bars of progress, the screen that a watch is sat at, and its session, which asks
/// how much work has passed since its last save and last mark; when it saves changes nothing of what it does.
const LOOKS_AT_THE_CLOCK: [&str; 5] = [
    "sim/src/command/progress",
    "sim/src/command/watch/",
    "sim/watch/src/clock.rs",
    "sim/watch/src/on_watch.rs",
    "sim/watch/src/session.rs",
];

/// A test that times itself is let be.
#[test]
fn nothing_else_reads_the_machine_s_clock() {
    let mut breaches = Vec::new();
    for file in sources(&["sim"]) {
        let may = LOOKS_AT_THE_CLOCK.iter().any(|p| file.path.starts_with(p));
        if file.test || may {
            continue;
        }
        let words = file.words_without_tests();
        for word in words.iter().filter(|w| CLOCKS.contains(&w.as_str())) {
            breaches.push(format!("{}: reads {word}", file.path));
        }
        for w in words.windows(4).filter(|w| w[1] == ":" && w[3] == "now") {
            breaches.push(format!("{}: asks {} for the time now", file.path, w[0]));
        }
    }
    nothing_in(breaches);
}

/// Called as a method, as `x.exp()`, or by path, as `f64::exp`; `libm`'s own are functions of a path.
#[test]
fn no_float_function_of_the_platform_decides_a_bit() {
    let mut breaches = Vec::new();
    for file in sources(&["sim"]).iter().filter(|f| !f.test) {
        let words = file.words_without_tests();
        for w in words.windows(4) {
            let named = |name: &String| BY_PLATFORM.contains(&name.as_str());
            let method = w[0] == "." && named(&w[1]) && w[2] == "(";
            let path =
                (w[0] == "f64" || w[0] == "f32") && w[1] == ":" && w[2] == ":" && named(&w[3]);
            if method || path {
                breaches.push(format!("{}: {}", file.path, w[1..].join("")));
            }
        }
    }
    nothing_in(breaches);
}

/// The watch decides by readings and acts by orders; it never holds the plant, which knows the truth.
#[test]
fn the_watch_never_holds_the_plant() {
    let mut breaches = Vec::new();
    for file in sources(&["sim"])
        .iter()
        .filter(|f| f.path.starts_with("sim/job/src/stations/"))
    {
        if file.words.iter().any(|w| w == "Plant") {
            breaches.push(format!("{}: holds Plant", file.path));
        }
    }
    nothing_in(breaches);
}

/// A formula that nobody calls is one that was written anew where it was wanted.
#[test]
fn every_formula_of_the_hand_sums_is_called() {
    const FORMULAS: &str = "sim/sums/src/formulas/";
    let files: Vec<Source> = sources(&["sim"]).into_iter().filter(|f| !f.test).collect();
    let mut breaches = Vec::new();
    for file in files.iter().filter(|f| f.path.starts_with(FORMULAS)) {
        let written = file.words_without_tests().windows(3);
        for name in written
            .filter(|w| w[0] == "pub" && w[1] == "fn")
            .map(|w| &w[2])
        {
            let calls = |f: &Source| {
                let twice = f.words_without_tests().windows(2);
                twice.filter(|w| w[0] != "fn" && w[1] == *name).count()
            };
            if files.iter().map(calls).sum::<usize>() == 0 {
                breaches.push(format!("{}: {name} is called nowhere", file.path));
            }
        }
    }
    nothing_in(breaches);
}

#[test]
fn each_file_opens_by_saying_what_it_is() {
    let mut breaches = Vec::new();
    for file in sources(&["sim", "viz", "tests"]) {
        if !file.text.starts_with("//!") {
            breaches.push(format!("{}: does not open by saying what it is", file.path));
        }
    }
    nothing_in(breaches);
}

/// Build folders and the like, which `.gitignore` names, may lie there too.
#[test]
fn the_top_holds_nothing_unexpected() {
    let ignored = ignored();
    let mut breaches = Vec::new();
    for entry in std::fs::read_dir(root()).expect("the root").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if !TOP.contains(&name.as_str()) && !ignored.contains(&name) && !name.ends_with(".profraw")
        {
            breaches.push(format!("{name}: not expected at the top"));
        }
    }
    nothing_in(breaches);
}

/// Names that `.gitignore` has.
fn ignored() -> Vec<String> {
    let text = std::fs::read_to_string(root().join(".gitignore")).unwrap_or_default();
    text.lines()
        .map(|l| l.trim().trim_matches('/').to_owned())
        .collect()
}

/// Whoever follows the README in a clone leaves reports and jobs at its top, and passes the tests after that.
#[test]
fn what_the_readme_leaves_at_the_top_is_ignored() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("the README");
    let words: Vec<&str> = readme
        .split([' ', '\n', '`'])
        .filter(|w| !w.is_empty())
        .collect();
    let after = |sign: &str| {
        let pairs = words
            .windows(2)
            .filter(|w| w[0] == sign)
            .map(|w| w[1].trim_end_matches('.').to_owned());
        pairs.collect::<Vec<String>>()
    };
    let made = after("new")
        .into_iter()
        .filter(|w| words.contains(&format!("{w}.ron").as_str()));
    let left: Vec<String> = after("--out")
        .into_iter()
        .chain(made.map(|w| format!("{w}.ron")))
        .collect();
    assert!(
        left.contains(&"six-man-report".to_owned()) && left.contains(&"my-job.ron".to_owned()),
        "{left:?}"
    );
    let ignored = ignored();
    nothing_in(
        left.into_iter()
            .filter(|l| !ignored.contains(l))
            .map(|l| format!("{l}: not ignored"))
            .collect(),
    );
}

/// No type of the plant has more methods than a reader can hold. The aim is about forty; the bound is what there is,
/// and comes down with it.
#[test]
fn no_type_of_the_plant_has_more_methods_than_today() {
    const MOST: usize = 49;
    let files = sources(&["sim/plant/src"]);
    let of = shape::methods(&files.iter().filter(|f| !f.test).collect::<Vec<_>>());
    let mut by_count: Vec<(usize, String)> = of.into_iter().map(|(name, n)| (n, name)).collect();
    by_count.sort_unstable_by(|a, b| b.cmp(a));
    println!("most methods: {:?}", &by_count[..by_count.len().min(5)]);
    assert!(by_count[0].0 <= MOST, "{by_count:?}");
}

/// Files of a package that name each other in a circle can only be read together. Four circles at most in the
/// whole house.
#[test]
fn no_more_circles_of_files_than_today() {
    const MOST: usize = 4;
    let mut by_package: std::collections::BTreeMap<String, Vec<Source>> = Default::default();
    for file in sources(&["sim", "viz"]) {
        if let Some((package, _)) = file.path.split_once("/src/").filter(|_| !file.test) {
            by_package.entry(package.to_owned()).or_default().push(file);
        }
    }
    let mut all = Vec::new();
    for files in by_package.values() {
        all.extend(shape::circles(&files.iter().collect::<Vec<_>>()));
    }
    for circle in &all {
        println!("a circle of {}: {}", circle.len(), circle.join(", "));
    }
    println!("{} circles", all.len());
    assert!(all.len() <= MOST, "{all:#?}");
}

/// The counters see what they are to see.
#[test]
fn methods_and_circles_are_seen() {
    let a = invented(
        "x/src/a.rs",
        "use super::b::{B, c::C as D}; impl<'a> A<'a> { fn f() {} pub fn g() { fn inner() {} } } struct A;",
    );
    let b = invented(
        "x/src/b.rs",
        "impl fmt::Display for A<'_> { fn h() {} } struct B; fn f(x: impl Fn()) -> crate::A {}",
    );
    let lib = invented("x/src/lib.rs", "mod a; mod b; pub use a::A;");
    let apart = invented("x/src/d.rs", "use crate::b::B; use std::fmt; struct Z;");
    let files = [&a, &b, &lib, &apart];
    assert_eq!(shape::methods(&files).get("A"), Some(&3));
    let found = shape::circles(&files);
    assert_eq!(found, [["x/src/a.rs", "x/src/b.rs"]]);
}

fn invented(path: &str, text: &str) -> Source {
    Source {
        path: path.into(),
        text: text.into(),
        words: words(text),
        test: false,
    }
}

/// The reader of the house sees what it must and no more.
#[test]
fn a_breach_is_seen_and_a_comment_is_not() {
    let file = invented(
        "sim/job/src/a.rs",
        "fn f() {}\n#[cfg(test)]\nmod tests { fn g() { println!(\"\\\"\"); '\"'; csv::x(); } }",
    );
    assert!(known_above(&[file], &["println", "csv"], "report").is_empty());
    let file = invented(
        "sim/job/src/a.rs",
        "// csv\n/* csv /* x */ */ fn f<'a>() { \"csv\"; r#\"csv\"#; csv::Reader }\n#[cfg(test)]\nmod tests;",
    );
    assert_eq!(known_above(&[file], &FORMATS, "report").len(), 1);
    let room = |path: &str| invented(path, "").room().map(str::to_owned);
    assert_eq!(room("sim/src/command/run.rs").as_deref(), Some("command"));
    assert_eq!(room("sim/core/src/gas/mod.rs").as_deref(), Some("core"));
    assert_eq!(room("sim/src/lib.rs"), None);
    assert_eq!(room("sim/benches/speed.rs"), None);
}

/// Errors, and what is handed in by many names, may come to have more: whoever matches or makes them outside their
/// package is told so by the compiler. Vocabularies stay exhaustive on purpose.
#[test]
fn errors_and_what_is_handed_in_may_grow() {
    let mut breaches = Vec::new();
    let mut seen = 0;
    for file in sources(&["sim"])
        .iter()
        .filter(|f| f.path.starts_with("sim/") && !f.test)
    {
        let mut before = "";
        for line in file.text.lines() {
            let mut words = line.split(|c: char| !c.is_alphanumeric());
            if let (Some("pub"), Some(kind), Some(name)) =
                (words.next(), words.next(), words.next())
            {
                let error = kind == "enum" && name.ends_with("Error");
                let handed_in = kind == "struct" && (name == "Options" || name.ends_with("Inputs"));
                // What a planner's figures are is made in tests and by the study alone, each from another.
                if (error || handed_in) && name != "ReserveInputs" {
                    seen += 1;
                    if before != "#[non_exhaustive]" {
                        breaches.push(format!("{}: {name} is not #[non_exhaustive]", file.path));
                    }
                }
            }
            before = line.trim();
        }
    }
    assert!(seen > 15, "{seen}");
    nothing_in(breaches);
}

/// Whatever a test asks of a rule set so that every row answers is asked by some room too: figures that nobody asks for bind
/// nobody. Which rows there are no list says: a set's provenance names every section or does not compile.
#[test]
fn every_question_that_a_row_answers_is_asked() {
    let all = sources(&["sim"]);
    let of = |path: &str| all.iter().find(|f| f.path == path);
    let asked = of("sim/rules/tests/evidence/asked.rs").expect("the test of every row");
    let asks = |f: &Source, of: &[&str]| -> Vec<String> {
        let calls = f
            .words
            .windows(4)
            .filter(|w| of.contains(&w[0].as_str()) && w[1] == "." && w[3] == "(");
        calls.map(|w| w[2].clone()).collect()
    };
    let mut questions = asks(asked, &["set"]);
    questions.retain(|name| name != "provenance");
    questions.sort_unstable();
    questions.dedup();
    assert!(questions.len() > 25, "{questions:?}");
    let rooms = all
        .iter()
        .filter(|f| !f.test && f.path.contains("/src/") && !f.path.starts_with("sim/rules/"));
    let called: Vec<String> = rooms.flat_map(|f| asks(f, &["rules", "set"])).collect();
    let nobody: Vec<&String> = questions.iter().filter(|q| !called.contains(q)).collect();
    assert!(nobody.is_empty(), "nobody asks {nobody:?}");
}
