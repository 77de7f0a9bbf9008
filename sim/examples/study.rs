//! Studies the gas of a job: many whole jobs under sampled inputs, what they drew, and whether the stock runs short.
//!
//! `cargo run --release --example study -- six-man 100`
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use deepstay::stock::Basis;
use deepstay::units::{FreeReference, Moles};
use deepstay::words::Words;

/// What was drawn of each gas, and whether the stock runs short, a line each.
pub fn demand(name: &str, jobs: u64) -> Result<Vec<String>, deepstay::Error> {
    let mut study = deepstay::open_study(name)?;
    study.run(0..jobs, &|| false, &|| ());
    let conclusion = study.conclude(&Basis::of_scenario(name))?;

    let mut lines = Vec::new();
    for gas in &conclusion.answer.gases {
        let m3 = |moles| Moles(moles).free_m3(FreeReference::Bar15);
        let parts = gas.demand.quantiles.iter();
        let parts: Vec<String> = parts
            .map(|q| format!("P{:.0} {:.0} m3", q.p * 100.0, m3(q.value)))
            .collect();
        lines.push(format!("{}: {}", gas.gas.duty.words(), parts.join(", ")));
    }
    for total in &conclusion.sheet().totals {
        let met = if total.met { "met" } else { "NOT met" };
        lines.push(format!(
            "minimum of {} is {met} at the start",
            total.holding
        ));
    }
    lines.extend(conclusion.remarks.iter().cloned());
    Ok(lines)
}

fn main() -> Result<(), deepstay::Error> {
    let mut given = std::env::args().skip(1);
    let name = given.next();
    let jobs = given.next().and_then(|n| n.parse().ok());
    for line in demand(name.as_deref().unwrap_or("six-man"), jobs.unwrap_or(20))? {
        println!("{line}");
    }
    println!("{}", deepstay::CAUTION);
    Ok(())
}
