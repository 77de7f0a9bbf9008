//! `watch` on a real terminal (tmux): a person presses keys, reads the screen, is cut off, and goes on.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

static COUNT: AtomicU32 = AtomicU32::new(0);

/// A terminal with the watch in it.
struct Terminal {
    server: String,
}

impl Terminal {
    fn start(folder: &Path, args: &[&str], size: (u16, u16)) -> Terminal {
        let quoted: Vec<String> = args.iter().map(|a| format!("'{a}'")).collect();
        let bin = env!("CARGO_BIN_EXE_deepstay");
        // The shell says how it ended: what a pane says of a process that is gone comes late, or not at all.
        let line = format!(
            "XDG_CACHE_HOME='{}' '{bin}' watch {}; echo ended with $?.; exec sleep 600",
            folder.join("cache").display(),
            quoted.join(" ")
        );
        Terminal::run(folder, &line, size)
    }

    fn run(folder: &Path, line: &str, (width, height): (u16, u16)) -> Terminal {
        let count = COUNT.fetch_add(1, Ordering::SeqCst);
        let server = format!("deepstay-{}-{count}", std::process::id());
        let terminal = Terminal { server };
        let (width, height) = (width.to_string(), height.to_string());
        let folder = folder.to_string_lossy();
        let made = terminal.tmux(&[
            "-f",
            "/dev/null",
            "new-session",
            "-d",
            "-x",
            &width,
            "-y",
            &height,
            "-c",
            &folder,
            line,
        ]);
        assert!(
            made.status.success(),
            "{}",
            String::from_utf8_lossy(&made.stderr)
        );
        terminal
    }

    fn tmux(&self, args: &[&str]) -> Output {
        Command::new("tmux")
            .args(["-L", &self.server])
            .args(args)
            .output()
            .expect("tmux is installed; `.ci/test` installs it")
    }

    fn screen(&self) -> String {
        String::from_utf8_lossy(&self.tmux(&["capture-pane", "-p", "-J", "-S", "-50"]).stdout)
            .into_owned()
    }

    /// Waits until the screen says something.
    fn says(&self, words: &str) -> String {
        self.until(words, |screen| screen.contains(words))
    }

    fn until(&self, what: &str, is: impl Fn(&str) -> bool) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if is(&screen) {
                return screen;
            }
            assert!(
                begun.elapsed() < Duration::from_secs(90),
                "{what}:\n{screen}"
            );
            std::thread::sleep(Duration::from_millis(40));
        }
    }

    /// Types signs as they are.
    fn types(&self, keys: &str) {
        self.tmux(&["send-keys", "-l", keys]);
    }

    fn enter(&self) {
        self.tmux(&["send-keys", "Enter"]);
    }

    /// Says a line, and waits for what comes of it.
    fn order(&self, line: &str, comes: &str) -> String {
        self.types(":");
        self.says(" > ");
        self.types(line);
        self.says(&format!(" > {line}"));
        self.enter();
        self.says(comes)
    }

    /// Says a line that takes time until it is done, while time passes. One that is begun is not asked for again: it would
    /// be done once more when something else has been done meanwhile.
    fn order_until_done(&self, line: &str, done: &str) {
        // What came of it stands under the order line; the log above tells of earlier ones too.
        let told = |screen: &str| {
            let (_, below) = screen.rsplit_once(" : order")?;
            Some(below.trim().to_owned())
        };
        for _ in 0..60 {
            let before = told(&self.screen());
            self.types(":");
            self.says(" > ");
            self.types(line);
            self.enter();
            let screen = self.until("done or refused", |s| {
                told(s).is_some_and(|told| {
                    let came = told.contains("done: ") || told.contains("refused: ");
                    came && Some(told) != before
                })
            });
            if told(&screen).is_some_and(|told| told.contains(done)) {
                return;
            }
            std::thread::sleep(Duration::from_millis(500));
        }
        panic!("{line}:\n{}", self.screen());
    }

    /// The watch itself, the only child of the shell.
    fn pid(&self) -> String {
        let out = self.tmux(&["list-panes", "-F", "#{pane_pid}"]).stdout;
        let shell = String::from_utf8_lossy(&out).trim().to_owned();
        let children = fs::read_to_string(format!("/proc/{shell}/task/{shell}/children"));
        children.expect("it is there").trim().to_owned()
    }

    /// The exit code, once the watch has ended.
    fn ended(&self) -> String {
        let screen = self.says("ended with ");
        let code = screen.split("ended with ").nth(1).unwrap_or("");
        code.split('.').next().unwrap_or("").to_owned()
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        self.tmux(&["kill-server"]);
    }
}

fn kill(signal: &str, pid: &str) {
    let sent = Command::new("kill").args([signal, pid]).status();
    assert!(sent.expect("kill is there").success());
}

fn lives(pid: &str) -> bool {
    let sent = Command::new("kill").args(["-0", pid]).output();
    sent.expect("kill is there").status.success()
}

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().to_owned();
    (folder, path)
}

/// Two hours at saturation control: a level pressed, an analyser calibrated, a lock run, a bell run seen from there, an
/// alarm, a handover; then the journal, taken up again, stands where it was left.
#[test]
fn a_watch_of_two_hours() {
    let (_kept, path) = folder();
    let args = [
        "short",
        "--from",
        "D01 13:40",
        "--journal",
        "two-hours.journal",
    ];
    let terminal = Terminal::start(&path, &args, (120, 36));
    terminal.says("saturation: you  dive: automatic");

    terminal.order("storage living 61 msw", "done: storage");
    terminal.order("make-up living 5 %", "done: make-up Living 5 %");
    terminal.types("]]]] ");
    let living = |screen: &str| -> f64 {
        let row = screen
            .lines()
            .find(|l| l.starts_with(">Living"))
            .unwrap_or("");
        let mut cells = row.split_whitespace().skip(2);
        cells.next().and_then(|c| c.parse().ok()).unwrap_or(0.0)
    };
    terminal.until("pressed", |s| living(s) >= 60.9);
    terminal.order("stop living", "done: ");

    terminal.order("calibrate living ppO2", "done: calibrate Living ppO2");
    terminal.types("2");
    let page = terminal.says("calibrated, as found");
    assert!(page.contains("Living ppO2 "), "{page}");
    terminal.types("1");

    terminal.order_until_done("open medical lock outer", "done: open Medical lock outer");
    terminal.order(
        "open medical lock inner",
        "refused: open Medical lock inner",
    );
    terminal.order("shut medical lock outer", "done: shut Medical lock outer");
    terminal.order("equalise medical lock inner 15 %", "done: equalise");
    terminal.order_until_done("open medical lock inner", "done: open Medical lock inner");
    terminal.order("equalise medical lock inner shut", "done: equalise");
    terminal.order("shut medical lock inner", "done: shut Medical lock inner");
    terminal.order("exhaust medical lock full", "done: exhaust Medical lock");
    terminal.order_until_done("open medical lock outer", "done: open Medical lock outer");
    terminal.order(
        "write meal out, lock empty",
        "done: write meal out, lock empty",
    );
    terminal.order("shut medical lock outer", "done: shut Medical lock outer");
    terminal.order(
        "lock-run medical lock meal",
        "done: lock-run Medical lock meal",
    );
    terminal.order("row living", "done: row Living");

    terminal.types("4]]]]");
    terminal.says("bell run                    1: ");
    terminal.until("in the water", |s| s.contains("in the water, Bell"));
    terminal.types("1");

    terminal.order("storage living 56 msw", "done: storage");
    terminal.until("the alarm", |s| {
        s.contains("SOUNDER ON") && s.contains("depth high (limit)")
    });
    terminal.types("c");
    let quiet = terminal.until("quiet", |s| {
        !s.contains("SOUNDER ON") && s.contains("acknowledged")
    });
    assert!(
        quiet.contains("  x1  ") || quiet.contains("(x1)"),
        "an alarm slows time: {quiet}"
    );
    terminal.order("storage living 61 msw", "done: storage");

    terminal.types("7");
    // A page is there when all of it is drawn.
    terminal.until("the handover sheet", |s| {
        s.contains("Handover sheet") && s.contains("meal out, lock empty")
    });
    terminal.order(
        "sign handover",
        "not signed: of `handover` items 1, 2, 3, 4, 5, 6",
    );
    terminal.order("tick handover all", "done: tick handover 6");
    terminal.order("sign handover", "done: sign handover");
    terminal.says("Gone through together (signed D01 ");
    terminal.order("hand-over saturation", "saturation: automatic");
    terminal.types("1]]]]]]]]");
    terminal.until("two hours", |s| {
        s.contains("D01 15:4") || s.contains("D01 15:5") || s.contains("D01 16:")
    });
    terminal.types(" ");
    let last = terminal.says("standing");
    let clock = last.split_whitespace().nth(2).expect("a clock").to_owned();
    terminal.types("Q");
    assert_eq!(terminal.ended(), "0");
    terminal.says("--resume two-hours.journal");

    let again = Terminal::start(&path, &["--resume", "two-hours.journal"], (100, 30));
    let screen = again.says("saturation: automatic");
    assert_eq!(
        screen.split_whitespace().nth(2),
        Some(clock.as_str()),
        "{screen}"
    );
    again.types("Q");
    assert_eq!(again.ended(), "0");
}

/// Killed in the middle, the watch goes on with every act that was done; a journal cut or edited says where.
#[test]
fn killed_and_taken_up_again() {
    let (_kept, path) = folder();
    let args = ["short", "--from", "D01 16:00", "--journal", "w.journal"];
    let terminal = Terminal::start(&path, &args, (100, 30));
    terminal.says("saturation: you");
    terminal.order("make-up living 2 %", "done: make-up Living 2 %");
    terminal.order(
        "write just before the lights went",
        "done: write just before",
    );
    kill("-9", &terminal.pid());
    assert_eq!(terminal.ended(), "137");
    drop(terminal);

    let again = Terminal::start(&path, &["--resume", "w.journal"], (100, 30));
    let screen = again.says("make-up 2.0 %");
    assert!(screen.contains("you: just before the"), "{screen}");
    again.types("Q");
    assert_eq!(again.ended(), "0");

    let journal = path.join("w.journal");
    let whole = fs::read_to_string(&journal).expect("there");
    fs::write(&journal, &whole[..whole.len() - 20]).expect("written");
    let cut = Terminal::start(&path, &["--resume", "w.journal"], (100, 30));
    cut.says("was not written to its end");
    cut.types("Q");
    cut.ended();

    fs::write(&journal, whole.replacen("0.02", "0.03", 1)).expect("written");
    let edited = Terminal::start(&path, &["--resume", "w.journal"], (100, 30));
    assert_eq!(edited.ended(), "3");
    edited.says("w.journal, line 3: not as it was written");
}

/// A named beginning is run to once and kept in the user's cache folder; a company's own sheets and keys are read from
/// its files, and what is wrong with one is named at its line.
#[test]
fn beginnings_are_kept_and_sheets_and_keys_are_files() {
    let (_kept, path) = folder();
    let shelf = path.join("cache").join("deepstay").join("beginnings");
    let kept = || fs::read_dir(&shelf).map_or(0, |files| files.count());
    for _ in 0..2 {
        let terminal = Terminal::start(&path, &["blow-down"], (100, 30));
        terminal.says("D01 06:40:00");
        assert_eq!(kept(), 1);
        terminal.types("Q");
        assert_eq!(terminal.ended(), "0");
    }
    let sheets = "(format: 1, log: [(head: \"depth\", of: Reading(quantity: \"depth\"))],\nchecks: [(name: \"ours\", title: \"The company's own\", station: Saturation, status: HouseRule, source: \"ours\",\nitems: [(what: \"look twice\")])],\nhandover: (sections: [Gas], items: [(what: \"read aloud\")]))";
    fs::write(path.join("sheets.ron"), sheets).expect("written");
    let keys = "(format: 1, keys: [(verb: \"make-up\", key: \"a\")])";
    fs::write(path.join("keys.ron"), keys).expect("written");
    let args = [
        "blow-down",
        "--sheets",
        "sheets.ron",
        "--keys",
        "keys.ron",
        "--journal",
        "ours.journal",
    ];
    let terminal = Terminal::start(&path, &args, (100, 30));
    terminal.says("[a] make-up");
    terminal.order("tick ours 1", "done: tick ours 1");
    terminal.types("8");
    terminal.says("The company's own");
    terminal.types("Q");
    assert_eq!(terminal.ended(), "0");
    let again = Terminal::start(&path, &["--resume", "ours.journal"], (100, 30));
    again.says("[m] make-up");
    again.types("8");
    again.says("1 of 1");
    again.types("Q");
    assert_eq!(again.ended(), "0");
    fs::write(path.join("sheets.ron"), sheets.replace("twice", "once")).expect("written");
    let changed = Terminal::start(&path, &["--resume", "ours.journal"], (100, 30));
    assert_eq!(changed.ended(), "3");
    changed.says("the file that the watch began with has changed since");
    fs::write(path.join("keys.ron"), keys.replace("make-up", "make-op")).expect("written");
    let wrong = Terminal::start(&path, &["blow-down", "--keys", "keys.ron"], (100, 30));
    assert_eq!(wrong.ended(), "3");
    wrong.says("did you mean `make-up`?");
    wrong.says("keys.ron:1:");
}

/// The screen is given back, and nothing burns, however the line ends.
#[test]
fn the_terminal_is_given_back_however_it_ends() {
    for signal in ["-TERM", "-INT", "-HUP"] {
        let (_kept, path) = folder();
        let terminal = Terminal::start(&path, &["short", "--from", "D01 06:30"], (100, 30));
        terminal.says("saturation: you");
        kill(signal, &terminal.pid());
        assert_eq!(terminal.ended(), "0", "{signal}");
        terminal.says("--resume watch-short.journal");
        let cursor = terminal.tmux(&["display-message", "-p", "#{cursor_flag} #{alternate_on}"]);
        let cursor = String::from_utf8_lossy(&cursor.stdout).trim().to_owned();
        assert_eq!(cursor, "1 0", "{signal}");
    }
    let (_kept, path) = folder();
    let terminal = Terminal::start(&path, &["short", "--from", "D01 06:30"], (100, 30));
    terminal.says("saturation: you");
    let pid = terminal.pid();
    drop(terminal);
    let closed = Instant::now();
    while lives(&pid) {
        assert!(
            closed.elapsed() < Duration::from_secs(5),
            "it is still there"
        );
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// A terminal that grows and shrinks is followed, and one that is too small is told.
#[test]
fn a_terminal_of_another_size() {
    let (_kept, path) = folder();
    let terminal = Terminal::start(&path, &["short", "--from", "D01 06:30"], (80, 24));
    terminal.says("needs 100 columns and 30 lines; this terminal has 80 and 24");
    terminal.tmux(&["resize-window", "-x", "140", "-y", "40"]);
    terminal.says("How they live");
}
