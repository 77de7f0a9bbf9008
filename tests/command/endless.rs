//! Files that never end and files of which nobody knows when they end: what is no batch is not read through, an
//! interrupt ends a reading at once, and time and words stay within bounds however many faults a file has.

use super::{deepstay, folder, run};
use std::fmt::Write;
use std::fs;
use std::io::Read;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Duration;

/// The command waits for a file, is sent a signal, and its exit code and last words come back.
fn signalled(arguments: &[&str], signal: &str) -> (i32, String) {
    let f = folder();
    let made = Command::new("mkfifo")
        .arg(f.path().join("pipe.ron"))
        .status();
    assert!(made.expect("mkfifo").success());
    let mut waiting = Command::new(env!("CARGO_BIN_EXE_deepstay"))
        .args(arguments)
        .current_dir(f.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    let open = waiting.stdin.take();
    // Long enough to come to the reading; it has no other work.
    sleep(Duration::from_millis(1500));
    assert_eq!(waiting.try_wait().expect("asked"), None, "{arguments:?}");
    let sent = Command::new("sh")
        .args(["-c", "kill -$0 $1", signal, &waiting.id().to_string()])
        .status();
    assert!(sent.expect("kill").success());
    let code = waiting.wait().expect("ends").code().expect("a code");
    drop(open);
    let mut words = String::new();
    let mut err = waiting.stderr.take().expect("piped");
    err.read_to_string(&mut words).expect("text");
    (code, words)
}

#[test]
#[cfg(unix)]
fn an_interrupt_ends_any_reading() {
    for arguments in [
        &["rota", "short", "--check", "-"][..],
        &["run", "pipe.ron"],
        &["check", "pipe.ron"],
        &["stock", "short", "--merge", "pipe.ron"],
        &["stock", "short", "--supplier", "pipe.ron"],
        &["stock", "short", "--from", "pipe.ron"],
    ] {
        for signal in ["INT", "TERM"] {
            let (code, words) = signalled(arguments, signal);
            assert_eq!(code, 4, "{arguments:?} {signal}: {words}");
            assert!(words.contains("interrupted while reading"), "{words}");
        }
    }
}

#[test]
#[cfg(target_os = "linux")]
fn what_never_ends_is_not_read_to_its_end() {
    let f = folder();
    for arguments in [
        &["stock", "short", "--merge", "/dev/zero"][..],
        &["stock", "short", "--supplier", "/dev/zero"],
        &["stock", "short", "--from", "/dev/zero"],
        &["rota", "short", "--check", "/dev/zero"],
        &["check", "/dev/zero"],
    ] {
        let (code, _, err) = run(&f, arguments);
        assert_eq!(code, 3, "{arguments:?}: {err}");
        assert!(err.contains("/dev/zero"), "{err}");
    }
}

/// Of thousands of faults the first twenty are told, and how many more there are.
#[test]
fn many_faults_are_told_of_in_a_few_words() {
    let f = folder();
    let (code, _, err) = run(&f, &["new", "many", "--from", "short"]);
    assert_eq!(code, 0, "{err}");
    let path = f.path().join("many.ron");
    let job = fs::read_to_string(&path).expect("written");
    let mut wrong = String::from("faults: (planned: [\n");
    for _ in 0..8000 {
        writeln!(wrong, "(at: \"1 d\", what: FanStop(\"Nowhere\")),").expect("to memory");
    }
    wrong += "]),\naccept_recalled: [";
    for i in 0..12_000 {
        write!(wrong, "\"no.row.{i}\", ").expect("to memory");
    }
    wrong += "],\n";
    let end = job.rfind(')').expect("an end");
    fs::write(&path, format!("{}{wrong})", &job[..end])).expect("written");
    let output = deepstay(&f)
        .args(["check", "many.ron"])
        .timeout(Duration::from_secs(60))
        .output()
        .expect("it ends by itself");
    let err = String::from_utf8(output.stderr).expect("text");
    assert_eq!(output.status.code(), Some(3), "{err}");
    let told = err.matches("there is no compartment `Nowhere`").count();
    assert_eq!(told, 20, "{err}");
    assert!(
        err.contains("... and 19980 more") && err.contains("20000 errors"),
        "{err}"
    );
}
