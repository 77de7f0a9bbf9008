//! The program as a user meets it: pictures in files, the one in the README as it is drawn, and input that cannot be used.

use deepstay::watch::{KeptIn, SitDown};
use deepstay_viz::stage::{SPEEDS, Stage};
use std::path::Path;
use std::process::{Command, Output};

fn viz(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_deepstay-viz"));
    command.current_dir(folder).env_remove("DISPLAY");
    command
}

fn draw(folder: &Path, args: &[&str]) -> Output {
    viz(folder)
        .arg("draw")
        .args(args)
        .output()
        .expect("it runs")
}

/// What it said on its way out, and its exit code.
fn told(out: &Output) -> (Option<i32>, String) {
    let said = String::from_utf8_lossy(&out.stderr);
    let own = said.lines().filter(|line| line.starts_with("deepstay-viz"));
    (out.status.code(), own.collect::<Vec<_>>().join("\n"))
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
        "no alarms",
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
        (["short", "--at", "soon", "--out", "a.svg"], "--at `soon`"),
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
            "--gases",
            "us-navy",
        ];
        let out = draw(folder.path(), &args);
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        let drawn = std::fs::read_to_string(folder.path().join("a.svg")).expect("drawn");
        assert!(drawn.contains(words), "{zoom}");
        assert!(drawn.contains("fsw") && drawn.contains(" ft"));
        assert!(drawn.contains("US Navy") && !drawn.contains("EN 1089-3"));
    }
}

#[test]
fn a_shot_and_a_film_are_drawn_without_a_display() {
    let folder = tempfile::tempdir().expect("a folder");
    let shot = ["short", "--at", "D01 20:00", "--shot", "a.png"];
    let out = viz(folder.path()).args(shot).output().expect("it runs");
    assert_eq!(told(&out), (Some(0), String::new()));
    let drawn = image::open(folder.path().join("a.png")).expect("a picture");
    assert_eq!((drawn.width(), drawn.height()), (1280, 720));
    let film = [
        "look",
        "short",
        "--film",
        "film",
        "--from",
        "D01 20:00",
        "--to",
        "D01 20:20",
    ];
    let out = viz(folder.path()).args(film).output().expect("it runs");
    assert_eq!(told(&out), (Some(0), String::new()));
    let mut names: Vec<String> = std::fs::read_dir(folder.path().join("film"))
        .expect("there")
        .map(|file| {
            file.expect("readable")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    assert_eq!(names, ["00001.png", "00002.png", "00003.png"]);
    let open = |name: &str| {
        image::open(folder.path().join(name))
            .expect("a picture")
            .to_rgb8()
    };
    let (first, shot) = (open("film/00001.png"), open("a.png"));
    let apart = first.pixels().zip(shot.pixels()).filter(|(a, b)| a != b);
    // A letter may have been put into its atlas at another place, which changes a few pixels by a hair.
    assert!(apart.count() < 100, "the same moment is the same picture");
}

#[test]
fn what_cannot_be_shown_is_told_with_what_to_install_or_where_it_is_wrong() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("film"), "a file").expect("written");
    let journal = "{\"deepstay\":\"watch\"}";
    std::fs::write(folder.path().join("cut.journal"), journal).expect("written");
    let nowhere = "/nowhere.json";
    for (args, driver, reason) in [
        (&["look", "short"][..], None, "DISPLAY is not set"),
        (
            &["look", "short", "--shot", "a.png"],
            Some(nowhere),
            "mesa-vulkan-drivers",
        ),
        (
            &["look", "short", "--shot", "no/such/a.png"],
            None,
            "no/such/a.png",
        ),
        (
            &["look", "short", "--film", "film", "--to", "D01 08:00"],
            None,
            "film: ",
        ),
        (
            &["look", "short", "--at", "D31 08:00", "--shot", "a.png"],
            None,
            "what is nearest is",
        ),
        (&["back", "none.journal"], None, "none.journal"),
        (&["back", "cut.journal"], None, "cut.journal"),
        (&["sit", "shrot", "--shot", "a.png"], None, "short"),
        (&["sit", "short"], None, "DISPLAY is not set"),
    ] {
        let mut command = viz(folder.path());
        if let Some(driver) = driver {
            command
                .env("VK_DRIVER_FILES", driver)
                .env("VK_ICD_FILENAMES", driver);
        }
        let out = command.args(args).output().expect("it runs");
        let (code, said) = told(&out);
        assert_eq!(code, Some(3), "{args:?}: {said}");
        assert!(said.contains(reason), "{args:?}: {said}");
        assert_eq!(said.lines().count(), 1, "one line: {said}");
    }
    let mut left: Vec<_> = std::fs::read_dir(folder.path())
        .expect("there")
        .map(|file| file.expect("readable").file_name())
        .collect();
    left.sort();
    assert_eq!(left, ["cut.journal", "film"], "nothing is left half drawn");
}

/// A journal that another version wrote is told with both versions, and is left as it is.
#[test]
fn a_journal_of_another_version_is_not_looked_back_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("watch.journal");
    let down = SitDown {
        from: Some("D01 12:00".to_owned()),
        journal: KeptIn::File(path.clone()),
        ..SitDown::at("short", SPEEDS)
    };
    drop(Stage::sit(down, |_, _| true).expect("it begins"));
    let whole = std::fs::read_to_string(&path).expect("there");
    let ours = format!("\"version\":\"{}\"", env!("CARGO_PKG_VERSION"));
    let other = whole.replacen(&ours, "\"version\":\"9.9.9\"", 1);
    assert_ne!(other, whole);
    std::fs::write(&path, &other).expect("written");
    for args in [
        &["back", "watch.journal", "--shot", "a.png"][..],
        &["sit", "--resume", "watch.journal", "--shot", "a.png"],
    ] {
        let out = viz(folder.path()).args(args).output().expect("it runs");
        let (code, said) = told(&out);
        assert_eq!(code, Some(3), "{args:?}: {said}");
        for words in [
            "watch.journal",
            "9.9.9",
            env!("CARGO_PKG_VERSION"),
            "version that wrote it",
        ] {
            assert!(said.contains(words), "{words}: {said}");
        }
        assert_eq!(said.lines().count(), 1, "one line: {said}");
    }
    let left = std::fs::read_to_string(&path).expect("there");
    assert_eq!(left, other);
    assert!(!folder.path().join("a.png").exists());
}

/// A spread without a bell is drawn, and its page says that there is none.
#[test]
fn a_spread_without_a_bell_is_drawn() {
    let folder = tempfile::tempdir().expect("a folder");
    let ours = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/without-a-bell");
    for name in ["dry.ron", "dry-job.ron"] {
        std::fs::copy(ours.join(name), folder.path().join(name)).expect("copied");
    }
    let args = ["dry-job.ron", "--at", "D02 10:00", "--out", "dry.svg"];
    let out = draw(folder.path(), &args);
    assert_eq!(told(&out), (Some(0), String::new()));
    let drawn = std::fs::read_to_string(folder.path().join("dry.svg")).expect("drawn");
    assert!(drawn.contains("Living") && !drawn.contains("Bell"));
}
