//! Writes a report of one's own from the record of a job: the bell runs, the limits that were crossed, and the rule
//! figures that all of it rests on.
//!
//! `cargo run --release --example own_report -- six-man`
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

use deepstay::record::Recorder;
use deepstay::report::provenance;
use deepstay::words::Words;
use std::sync::Arc;

/// The report, as text.
pub fn report(name: &str) -> Result<String, deepstay::Error> {
    let scenario = Arc::new(deepstay::open(name)?);
    let mut record = Recorder::new(scenario.start_second_of_day);
    let job = deepstay::run(scenario.clone(), &mut record);

    let mut lines = vec![format!("# {}", scenario.title), String::new()];
    for run in record.bell.runs() {
        let crew: Vec<&str> = run
            .divers
            .iter()
            .map(|d| scenario.crew[d.index()].initials.as_str())
            .collect();
        lines.push(format!(
            "- bell run {}, {}: {}, {:.1} h in the water",
            run.run + 1,
            crew.join(" "),
            run.end().words(),
            run.water_s as f64 / 3600.0
        ));
    }
    lines.push(String::new());
    for total in record.limits.totals(job.now()) {
        let compartment = &scenario.steel.compartments[total.key.name.compartment.index()].name;
        lines.push(format!(
            "- {compartment}: {} {} ({}) crossed {} times, {} s outside",
            total.key.name.quantity.words(),
            total.key.name.bound.words(),
            total.key.truth.words(),
            total.times,
            total.outside_s
        ));
    }
    lines.push(String::new());
    for row in provenance(&scenario, &record.rule_rows) {
        lines.push(format!("- {}: {} ({})", row.id, row.document, row.status));
    }
    lines.extend([String::new(), deepstay::CAUTION.to_owned()]);
    Ok(lines.join("\n"))
}

fn main() -> Result<(), deepstay::Error> {
    let name = std::env::args().nth(1);
    println!("{}", report(name.as_deref().unwrap_or("short"))?);
    Ok(())
}
