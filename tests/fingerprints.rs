//! Fingerprints of what the built command puts out, to show that a move of code left every byte as it was:
//! whatever the verbs make of the built-in jobs, and the runs of random jobs. Two to a file, one of its bytes and
//! one of its numbers alone, so that a renamed word can be told from a changed figure.
//!
//! `write FILE`, `compare FILE`, `compare-numbers FILE`. The command is `deepstay` in the folder above this program's, or what
//! the variable `DEEPSTAY` names.

use deepstay_tests::jobs;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Output};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

const BUILT_IN: [&str; 6] = [
    "six-man",
    "short",
    "bad-night",
    "nine-man",
    "twelve-man",
    "relief",
];
const RANDOM: u64 = 150;
const DAYS: i64 = 2;
const THREADS: usize = 2;
const MOST_ATTEMPTS: u64 = 20;
const SCHEMAS: [&str; 11] = [
    "job", "spread", "rules", "site", "crew", "stock", "plan", "work", "faults", "study",
    "supplier",
];

/// Bytes and numbers of an output.
type Print = (u64, u64);
/// By job and file.
type Prints = BTreeMap<String, Print>;

/// FNV-1a of 64 bits (Fowler, Noll and Vo; parameters from memory, and any would do).
fn hash(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0100_0000_01b3)
    })
}

/// The numbers of a text, a line each. Digits in a word of more than a letter, such as `ppO2`, are no number.
fn numbers(text: &str) -> String {
    let (b, mut out, mut i) = (text.as_bytes(), String::new(), 0);
    let digit = |i: usize| b.get(i).is_some_and(u8::is_ascii_digit);
    let letter = |i: usize| {
        b.get(i)
            .is_some_and(|c| c.is_ascii_alphabetic() || *c == b'_')
    };
    while i < b.len() {
        if digit(i) || (b[i] == b'.' && digit(i + 1)) {
            let signed = i > 0 && (b[i - 1] == b'-' || b[i - 1] == b'+');
            let start = i - usize::from(signed);
            while digit(i) {
                i += 1;
            }
            if b.get(i) == Some(&b'.') && digit(i + 1) {
                i += 1;
                while digit(i) {
                    i += 1;
                }
            }
            if matches!(b.get(i), Some(b'e' | b'E')) {
                let sign = usize::from(matches!(b.get(i + 1), Some(b'-' | b'+')));
                if digit(i + 1 + sign) {
                    i += 1 + sign;
                    while digit(i) {
                        i += 1;
                    }
                }
            }
            out.push_str(&text[start..i]);
            out.push('\n');
        } else if letter(i) && letter(i + 1) {
            while letter(i) || digit(i) {
                i += 1;
            }
        } else {
            i += 1;
        }
    }
    out
}

/// The prints of an output; what is no text has no numbers.
fn print(bytes: &[u8]) -> Print {
    let text = std::str::from_utf8(bytes).unwrap_or("");
    (hash(bytes), hash(numbers(text).as_bytes()))
}

/// Runs the command in a folder, by relative paths only, so that no path of this machine is put out.
fn call(command: &Path, folder: &Path, arguments: &[&str]) -> Output {
    Command::new(command)
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .output()
        .unwrap_or_else(|e| panic!("{}: {e}", command.display()))
}

/// Prints of a run of the command: its two streams and its exit code, and the files of its folder `o`.
fn prints(command: &Path, folder: &Path, name: &str, arguments: &[&str]) -> Prints {
    let out = call(command, folder, arguments);
    let code = out
        .status
        .code()
        .map_or("none".to_owned(), |c| c.to_string());
    let mut prints: Prints = [
        (format!("{name}/stdout"), print(&out.stdout)),
        (format!("{name}/stderr"), print(&out.stderr)),
        (format!("{name}/exit-code"), print(code.as_bytes())),
    ]
    .into();
    let made = folder.join("o");
    if made.is_dir() {
        for path in files(&made) {
            let bytes = std::fs::read(&path).expect("a file just written");
            let within = path.strip_prefix(&made).expect("a path within the folder");
            prints.insert(format!("{name}/{}", within.display()), print(&bytes));
        }
    }
    prints
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).expect("a folder just made") {
        let path = entry.expect("an entry").path();
        match path.is_dir() {
            true => all.extend(files(&path)),
            false => all.push(path),
        }
    }
    all
}

/// One thing to run.
enum Task {
    /// A verb with its arguments, under a name.
    Verb(String, Vec<String>),
    /// A random job of two days.
    Random(u64),
}

fn tasks() -> Vec<Task> {
    let verb = |words: &str| {
        let words = words.split(' ').map(str::to_owned).collect::<Vec<_>>();
        Task::Verb(
            words.join("-").replace("---", "-").replace("--", "-"),
            words,
        )
    };
    // The long ones first.
    let mut tasks = vec![
        verb("stock short --replicates 3 --threads 1 --out o"),
        verb("stock six-man --replicates 1 --no-alone --threads 1"),
    ];
    for job in BUILT_IN {
        tasks.push(verb(&format!("run {job} --out o")));
    }
    tasks.push(verb("run short --units imperial --out o"));
    for job in BUILT_IN {
        tasks.push(verb(&format!("check {job}")));
        tasks.push(verb(&format!("rota {job} --out o")));
        tasks.push(verb(&format!("new o/copy --from {job}")));
    }
    tasks.push(verb("rota short --units imperial --out o"));
    tasks.push(verb("new o/copy --kind spread --from nine-man"));
    tasks.push(verb("new o/copy --kind rules --from demonstration"));
    tasks.push(verb("new o/copy --kind weather --from norwegian-shelf"));
    tasks.push(verb("check --matrix"));
    tasks.push(verb("list"));
    tasks.push(verb("list --names"));
    for kind in SCHEMAS {
        tasks.push(verb(&format!("schema {kind}")));
    }
    tasks.extend((0..RANDOM).map(Task::Random));
    tasks
}

/// Prints of a task, and how many random jobs were refused on the way.
fn act(task: &Task, command: &Path, folder: &Path) -> (Prints, usize) {
    match task {
        Task::Verb(name, words) => {
            if words[0] == "new" {
                std::fs::create_dir_all(folder.join("o")).expect("a folder");
            }
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            (prints(command, folder, name, &words), 0)
        }
        Task::Random(seed) => {
            for attempt in 0..MOST_ATTEMPTS {
                let job = jobs::job(*seed, attempt, DAYS);
                job.write(folder).expect("a file");
                let checked = call(command, folder, &["check", "job.ron"]);
                if checked.status.success() {
                    let name = format!("random-{seed:03}");
                    let run = ["run", "job.ron", "--out", "o"];
                    let mut all = prints(command, folder, &name, &run);
                    all.insert(format!("{name}/job.ron"), print(job.text.as_bytes()));
                    all.insert(format!("{name}/check"), print(&checked.stdout));
                    return (all, attempt as usize);
                }
                if std::env::var_os("REFUSALS").is_some() {
                    eprintln!("seed {seed}: {}", String::from_utf8_lossy(&checked.stderr));
                }
            }
            panic!("seed {seed}: {MOST_ATTEMPTS} jobs were refused one after the other");
        }
    }
}

/// Prints of everything.
fn all(command: &Path) -> Prints {
    let began = Instant::now();
    let root = std::env::temp_dir().join(format!("fingerprints-{}", std::process::id()));
    let tasks = tasks();
    let (next, refused) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let found = Mutex::new(Prints::new());
    std::thread::scope(|scope| {
        for _ in 0..THREADS {
            scope.spawn(|| {
                loop {
                    let i = next.fetch_add(1, Ordering::Relaxed);
                    let Some(task) = tasks.get(i) else { break };
                    let folder = root.join(i.to_string());
                    std::fs::create_dir_all(&folder).expect("a folder for the outputs");
                    let (prints, again) = act(task, command, &folder);
                    std::fs::remove_dir_all(&folder).expect("the folder just made");
                    refused.fetch_add(again, Ordering::Relaxed);
                    found.lock().expect("no thread failed").extend(prints);
                    if (i + 1) % 20 == 0 {
                        eprintln!(
                            "{} of {} things, {:.0} s",
                            i + 1,
                            tasks.len(),
                            began.elapsed().as_secs_f64()
                        );
                    }
                }
            });
        }
    });
    std::fs::remove_dir_all(&root).expect("the folder just made");
    let prints = found.into_inner().expect("no thread failed");
    eprintln!(
        "{} outputs of {} things in {:.0} s; {} random jobs were refused and drawn again",
        prints.len(),
        tasks.len(),
        began.elapsed().as_secs_f64(),
        refused.into_inner()
    );
    prints
}

fn read(file: &str) -> Result<Prints, String> {
    let text = std::fs::read_to_string(file).map_err(|e| format!("{file}: {e}"))?;
    let line = |line: &str| {
        let mut cells = line.splitn(3, ' ');
        let mut hex = || u64::from_str_radix(cells.next()?, 16).ok();
        let print = (hex()?, hex()?);
        Some((cells.next()?.to_owned(), print))
    };
    let lines = (1..).zip(text.lines());
    lines
        .map(|(n, l)| line(l).ok_or(format!("{file}, line {n}: not BYTES NUMBERS PATH")))
        .collect()
}

/// What differs, a line each.
fn differences(old: &Prints, new: &Prints, numbers_only: bool) -> Vec<String> {
    let told = |p: &Print| if numbers_only { p.1 } else { p.0 };
    let mut lines = Vec::new();
    for (path, print) in old {
        match new.get(path) {
            None => lines.push(format!("gone     {path}")),
            Some(now) if told(now) != told(print) => lines.push(format!("changed  {path}")),
            Some(_) => {}
        }
    }
    let fresh = new.keys().filter(|p| !old.contains_key(*p));
    lines.extend(fresh.map(|p| format!("new      {p}")));
    lines
}

fn command() -> Result<PathBuf, String> {
    let beside = || {
        let own = std::env::current_exe().ok()?;
        Some(
            own.parent()?
                .parent()?
                .join(format!("deepstay{}", std::env::consts::EXE_SUFFIX)),
        )
    };
    let named = std::env::var_os("DEEPSTAY").map(PathBuf::from);
    let path = named.or_else(beside).unwrap_or_default();
    path.canonicalize().map_err(|e| {
        format!(
            "{}: {e}; build it with cargo build --release -p deepstay",
            path.display()
        )
    })
}

fn act_on(arguments: &[String]) -> Result<ExitCode, String> {
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        ["write", file] => {
            let lines: Vec<String> = all(&command()?)
                .iter()
                .map(|(path, (bytes, numbers))| format!("{bytes:016x} {numbers:016x} {path}\n"))
                .collect();
            std::fs::write(file, lines.concat()).map_err(|e| format!("{file}: {e}"))?;
            Ok(ExitCode::SUCCESS)
        }
        [how @ ("compare" | "compare-numbers"), file] => {
            let old = read(file)?;
            let found = differences(&old, &all(&command()?), how == "compare-numbers");
            for line in &found {
                println!("{line}");
            }
            println!("{} of {} outputs differ", found.len(), old.len());
            Ok(ExitCode::from(u8::from(!found.is_empty())))
        }
        _ => Err("fingerprints write FILE | compare FILE | compare-numbers FILE".to_owned()),
    }
}

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    act_on(&arguments).unwrap_or_else(|error| {
        eprintln!("{error}");
        ExitCode::from(3)
    })
}
