//! Sits at saturation control of a job for half an hour: makes up the depth by hand, is refused a door, writes it down,
//! and gives the station back to the automatic watch.
//!
//! `cargo run --release --example sit_on_the_watch -- short`
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use deepstay::job::Options;
use deepstay::record::Station;
use deepstay::watch::{Session, Sheets, Start};
use deepstay::words::Words;
use std::sync::Arc;

/// What was said, and what came of it, a line each.
pub fn sit(name: &str) -> Result<Vec<String>, Box<dyn std::error::Error>> {
    let scenario = Arc::new(deepstay::open(name)?);
    let start = Start::At(20 * 3600);
    let mut watch = Session::begin(scenario, Options::default(), start, |_| true);
    let mut lines = Vec::new();
    for (after_s, line) in [
        (0, "take saturation"),
        (60, "make-up living 2 %"),
        (90, "stop living"),
        (300, "open transfer to trunk"),
        (1800, "hand-over saturation"),
    ] {
        watch.advance_to(20 * 3600 + after_s)?;
        let asked = watch.understand(line, Sheets::built_in())?;
        for (act, takes_s) in asked.acts {
            let came = match watch.act(Station::Saturation, act, takes_s, None)? {
                Ok(()) => "done",
                Err(why) => why.words(),
            };
            lines.push(format!("{line}: {came}"));
        }
    }
    Ok(lines)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let name = std::env::args().nth(1);
    for line in sit(name.as_deref().unwrap_or("short"))? {
        println!("{line}");
    }
    println!("{}", deepstay::CAUTION);
    Ok(())
}
