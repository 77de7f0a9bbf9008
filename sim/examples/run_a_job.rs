//! Runs a job with a sink of one's own, which adds up how much gas was moved for what.
//!
//! `cargo run --release --example run_a_job -- six-man`
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use deepstay::record::{Entry, Sink, What};
use deepstay::units::{FreeReference, Moles, Purpose};
use deepstay::words::Words;
use std::collections::BTreeMap;

#[derive(Default)]
struct Moved(BTreeMap<Purpose, f64>);

impl Sink for Moved {
    fn take(&mut self, entry: Entry) {
        if let What::Moved { purpose, moles, .. } = entry.what {
            *self.0.entry(purpose).or_default() += moles.total();
        }
    }
}

/// What was moved for what, a line each.
pub fn moved(name: &str) -> Result<Vec<String>, deepstay::Error> {
    let mut moved = Moved::default();
    let job = deepstay::run(deepstay::open(name)?, &mut moved);
    let mut lines = vec![format!("{name}: {:?} after {} s", job.ended(), job.now())];
    lines.extend(moved.0.into_iter().map(|(purpose, moles)| {
        let m3 = Moles(moles).free_m3(FreeReference::Bar15);
        format!("{m3:>10.1} m3  {}", purpose.words())
    }));
    Ok(lines)
}

fn main() -> Result<(), deepstay::Error> {
    let name = std::env::args().nth(1);
    for line in moved(name.as_deref().unwrap_or("short"))? {
        println!("{line}");
    }
    println!("{}", deepstay::CAUTION);
    Ok(())
}
