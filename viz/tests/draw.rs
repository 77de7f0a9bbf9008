//! The program as a user meets it: pictures in files, the one in the README as it is drawn, and input that cannot be used.

use std::path::Path;
use std::process::{Command, Output};

fn draw(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_deepstay-viz"))
        .current_dir(folder)
        .arg("draw")
        .args(args)
        .output()
        .expect("it runs")
}

/// The README's picture is what the program draws (`DEEPSTAY_BLESS=1` draws it anew, to be looked at).
#[test]
fn the_picture_of_the_readme_is_real() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("pictures/crew-change.svg");
    let folder = tempfile::tempdir().expect("a folder");
    let args = ["twelve-man", "--at", "D12 10:05", "--out", "picture.svg"];
    let out = draw(folder.path(), &args);
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let drawn = std::fs::read_to_string(folder.path().join("picture.svg")).expect("drawn");
    if std::env::var_os("DEEPSTAY_BLESS").is_some() {
        std::fs::write(&kept, &drawn).expect("written");
    }
    let known = std::fs::read_to_string(&kept).expect("kept");
    assert!(known == drawn, "{} is not what is drawn", kept.display());
    for words in [
        "Transfer 2",
        "make-up",
        "bell runs",
        "nothing rings",
        "prescribes nothing",
    ] {
        assert!(drawn.contains(words), "{words}");
    }
}

#[test]
fn what_cannot_be_drawn_is_told_with_its_reason() {
    let folder = tempfile::tempdir().expect("a folder");
    for (args, reason) in [
        (["sixman", "--at", "D02 04:00", "--out", "a.svg"], "six-man"),
        (
            ["short", "--at", "D99 04:00", "--out", "a.svg"],
            "the job is over at",
        ),
        (["short", "--at", "soon", "--out", "a.svg"], "--at soon"),
        (
            ["short", "--at", "D01 08:00", "--out", "no/such/a.svg"],
            "no/such/a.svg",
        ),
    ] {
        let out = draw(folder.path(), &args);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(3), "{said}");
        assert!(said.contains(reason), "{reason}: {said}");
    }
    let left = std::fs::read_dir(folder.path()).expect("there").count();
    assert_eq!(left, 0, "nothing is left half drawn");
}

#[test]
fn a_day_and_an_hour_can_be_looked_at_closer() {
    let folder = tempfile::tempdir().expect("a folder");
    for (zoom, words) in [("day", "22:00"), ("hour", "20:55")] {
        let args = [
            "short",
            "--at",
            "D01 20:07",
            "--out",
            "a.svg",
            "--timeline",
            zoom,
            "--units",
            "imperial",
        ];
        let out = draw(folder.path(), &args);
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        let drawn = std::fs::read_to_string(folder.path().join("a.svg")).expect("drawn");
        assert!(drawn.contains(words), "{zoom}");
        assert!(drawn.contains("fsw"));
    }
}
