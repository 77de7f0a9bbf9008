//! `deepstay new`.

use super::{folder, run};
use std::fs;

#[test]
fn writes_a_copy_with_its_remarks() {
    let f = folder();
    let (code, out, err) = run(&f, &["new", "my-job"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(
        out.contains("my-job.ron is written") && out.contains("deepstay check ./my-job.ron"),
        "{out}"
    );
    let text = fs::read_to_string(f.path().join("my-job.ron")).expect("the copy");
    assert!(text.starts_with("// Six men") && text.contains("name: \"my-job\""));
    assert_eq!(run(&f, &["check", "my-job.ron"]).0, 0);
    assert_eq!(
        fs::read_dir(f.path()).expect("a folder").count(),
        1,
        "nothing else is left there"
    );
}

#[test]
fn leaves_what_is_there_unless_told() {
    let f = folder();
    let path = f.path().join("my-job.ron");
    fs::write(&path, "mine").expect("written");
    let (code, _, err) = run(&f, &["new", "my-job"]);
    assert_eq!(code, 3);
    assert!(err.contains("--replace"), "{err}");
    assert_eq!(fs::read_to_string(&path).expect("still there"), "mine");
    assert_eq!(run(&f, &["new", "my-job", "--replace"]).0, 0);
    assert!(
        fs::read_to_string(&path)
            .expect("the copy")
            .contains("format: 1")
    );
}

#[test]
fn copies_parts_that_a_job_can_name() {
    let f = folder();
    assert_eq!(
        run(
            &f,
            &["new", "steel", "--kind", "spread", "--from", "six-man"]
        )
        .0,
        0
    );
    assert_eq!(
        run(
            &f,
            &["new", "set", "--kind", "rules", "--from", "demonstration"]
        )
        .0,
        0
    );
    assert_eq!(
        run(
            &f,
            &[
                "new",
                "waves",
                "--kind",
                "weather",
                "--from",
                "norwegian-shelf"
            ]
        )
        .0,
        0
    );
    run(&f, &["new", "job"]);
    let path = f.path().join("job.ron");
    let text = fs::read_to_string(&path).expect("the copy");
    let text = text
        .replace("spread: \"six-man\"", "spread: \"./steel.ron\"")
        .replace("rules: \"demonstration\"", "rules: \"set.ron\"")
        .replace("table: \"norwegian-shelf\"", "table: \"waves.csv\"");
    fs::write(&path, text).expect("changed");
    let (code, out, err) = run(&f, &["check", "job.ron"]);
    assert_eq!(code, 0, "{err}");
    assert!(out.contains("rules       set"), "{out}");
}

#[test]
fn what_cannot_be_written_leaves_nothing() {
    let f = folder();
    let (code, _, err) = run(&f, &["new", "no/such/folder/job"]);
    assert_eq!(code, 3);
    assert!(err.contains("could not be written"), "{err}");
    let (code, _, err) = run(&f, &["new", "job", "--from", "six-men"]);
    assert_eq!(code, 3);
    assert!(err.contains("did you mean `six-man`?"), "{err}");
    assert_eq!(fs::read_dir(f.path()).expect("a folder").count(), 0);
}
