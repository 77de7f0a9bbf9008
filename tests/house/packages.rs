//! What a program takes along that has the library alone, without the command and its papers.

use std::collections::BTreeSet;
use std::process::Command;

/// The library by itself is built from fewer packages than this, its own rooms among them.
const FEWER_THAN: usize = 45;

fn packages(features: &[&str]) -> BTreeSet<String> {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/..");
    let tree = Command::new(env!("CARGO"))
        .current_dir(root)
        .args(["tree", "--offline", "--locked", "-p", "deepstay"])
        .args(["-e", "normal", "--prefix", "none", "--no-dedupe"])
        .args(["--no-default-features", "--format", "{p}"])
        .args(features)
        .output()
        .expect("cargo runs");
    assert!(
        tree.status.success(),
        "{}",
        String::from_utf8_lossy(&tree.stderr)
    );
    let name = |line: &str| line.split(' ').next().unwrap_or_default().to_owned();
    String::from_utf8_lossy(&tree.stdout)
        .lines()
        .map(name)
        .collect()
}

#[test]
fn the_library_alone_is_small_and_each_feature_adds_what_it_says() {
    let alone = packages(&[]);
    assert!(
        alone.len() < FEWER_THAN,
        "{} packages: {alone:?}",
        alone.len()
    );
    for (feature, brings) in [
        ("study", "deepstay-stock"),
        ("report", "deepstay-report"),
        ("schema", "schemars"),
        ("watch", "deepstay-watch"),
        ("command", "clap"),
    ] {
        assert!(!alone.contains(brings), "{brings} without {feature}");
        assert!(
            packages(&["--features", feature]).contains(brings),
            "{feature} brings no {brings}"
        );
    }
}
