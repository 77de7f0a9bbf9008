//! Deepstay computes a whole saturation-diving job before anyone is sealed in: chamber pressure,
//! oxygen, carbon dioxide, heat, humidity, every bank of gas, the bell runs and the decompression.
//!
//! **For planning, rehearsal and training. It prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.** Limits, schedules, gas and
//! oxygen figures are shown with the document they come from and how it came to us.
//!
//! # Open a scenario
//!
//! A built-in job by its name, or a job's file by its path. Whatever is wrong with a file comes back at once, each
//! error with its place and what would be right.
//!
//! ```
//! let scenario = deepstay::open("short")?;
//! assert_eq!((scenario.crew.len(), scenario.site.working_msw), (6, 60.0));
//!
//! let error = deepstay::open("shrot").unwrap_err();
//! assert_eq!(error.remedy().as_deref(), Some("did you mean `short`?"));
//! # Ok::<(), deepstay::Error>(())
//! ```
//!
//! # Run a job with a sink of one's own
//!
//! [`run`] goes through the whole job. Whatever happens is a [`record::Entry`] and goes to a [`record::Sink`]; the
//! library's own [`record::Recorder`] keeps ledger, log, alarms, bell log and divers' hours, and any other sink may
//! stand in its place.
//!
//! ```no_run
//! use deepstay::record::{Entry, Sink, What};
//!
//! #[derive(Default)]
//! struct Alarms(usize);
//!
//! impl Sink for Alarms {
//!     fn take(&mut self, entry: Entry) {
//!         self.0 += usize::from(matches!(entry.what, What::Alarm { .. }));
//!     }
//! }
//!
//! let mut alarms = Alarms::default();
//! let job = deepstay::run(deepstay::open("six-man")?, &mut alarms);
//! println!("{:?} after {} s, alarms changed {} times", job.ended(), job.now(), alarms.0);
//! # Ok::<(), deepstay::Error>(())
//! ```
//!
//! Who wants to stop on the way, look, or act, keeps the clock: [`job::Job::advance_to`] is the only way time
//! passes, and says why it stopped.
//!
//! ```
//! use deepstay::job::{Halt, Job, Options};
//! use deepstay::record::Recorder;
//! use std::sync::Arc;
//!
//! let scenario = Arc::new(deepstay::open("short")?);
//! let mut record = Recorder::new(scenario.start_second_of_day);
//! let mut job = Job::new(scenario.clone(), Options::default());
//! let halt = job.advance_to(6 * 3600, &mut record);
//! assert_eq!((halt, job.now()), (Halt::Reached, 6 * 3600));
//! let job = job.finish(&mut record);
//! # #[cfg(feature = "report")]
//! # {
//!
//! // Write a report: page, tables and job.json, each figure of the rules with its source.
//! use deepstay::report::{JobPapers, Summary, screen};
//! use deepstay::units::Units;
//!
//! let papers = JobPapers::of(&job, &record, "stopped after six hours");
//! let summary = Summary::of(&papers.inputs(&record, Units::Metric));
//! assert!(screen(&summary, 80).contains("it prescribes nothing"));
//! # let folder = std::env::temp_dir().join(format!("deepstay-doc-{}", std::process::id()));
//! papers.write(&folder, &record, Units::Metric, false)?;
//! # std::fs::remove_dir_all(&folder).expect("taken away");
//! # }
//! # Ok::<(), deepstay::Error>(())
//! ```
//!
//! # Go on from today
//!
//! A page of what gauges, analysers and head count say at one moment ([`scenario::WholePresent`]) takes a job up where it
//! stands. What contradicts itself is an error with its place; what one page cannot tell is assumed, and can be asked for.
//!
//! ```
//! use deepstay::job::{Halt, Job, Options};
//! use deepstay::record::NoRecord;
//! use deepstay::scenario::{PRESENTS, whole_present_from_text};
//! use std::sync::Arc;
//!
//! let scenario = Arc::new(deepstay::open("six-man")?);
//! let present = whole_present_from_text(PRESENTS[0].text, "today.ron", &scenario)?;
//! let mut job = Job::from_present(scenario, &present, Options::default());
//! assert_eq!(job.advance_to(present.at_s + 600, &mut NoRecord), Halt::Reached);
//! let assumed = &job.taken_up().expect("from a present").assumed;
//! assert!(assumed.iter().any(|words| words.starts_with("walls")));
//! # Ok::<(), deepstay::Error>(())
//! ```
//!
//! # Make and judge a rota
//!
//! [`make_rota`] searches for as long as it is told to; every rota, whoever made it, is judged by a checker that
//! shares nothing with the search but the rules.
//!
//! ```no_run
//! let scenario = deepstay::open("six-man")?;
//! let made = deepstay::make_rota(&scenario, |found| found.tried < 20)?;
//! assert!(made.verdict.legal());
//!
//! let table = std::fs::read("our-rota.csv").expect("a table of ours");
//! let ours = deepstay::judge_rota(&scenario, "our-rota.csv", &table)?;
//! for breach in &ours.verdict.breaches {
//!     println!("{} ({})", breach.words, breach.rule.source.document);
//! }
//! # Ok::<(), deepstay::Error>(())
//! ```
//!
#![cfg_attr(
    feature = "study",
    doc = r#"
# Study the gas

[`open_study`] samples what the scenario says is uncertain. Its jobs run on all threads of the machine, and the
answer is the same, bit for bit, on any number.

```no_run
use deepstay::stock::Basis;

let mut study = deepstay::open_study("six-man")?;
study.run(0..200, &|| false, &|| ());
let conclusion = study.conclude(&Basis::of_scenario("six-man"))?;
for gas in &conclusion.answer.gases {
    println!("{:?}: {:.0} mol drawn on average", gas.gas.duty, gas.demand.mean);
}
println!("runs short: {}", conclusion.runs_short());
# Ok::<(), deepstay::Error>(())
```
"#
)]
#![cfg_attr(
    feature = "watch",
    doc = r#"
# Sit on the watch

A [`watch::Session`] is a job with a person at a station: the automatic watch brings it to an hour, the person takes
his station, says lines in the words of the trade, and sees no more than panel and speaker tell.

```
use deepstay::job::Options;
use deepstay::record::Station;
use deepstay::watch::{Session, Sheets, Start};
use std::sync::Arc;

let scenario = Arc::new(deepstay::open("short")?);
let mut watch = Session::begin(scenario, Options::default(), Start::At(20 * 3600), |_| true);
for line in ["take saturation", "open transfer to trunk"] {
    for (act, takes_s) in watch.understand(line, Sheets::built_in())?.acts {
        // Done, or refused by the interlock: there are sixty metres across that door.
        let came = watch.act(Station::Saturation, act, takes_s, None)?;
        assert_eq!(came.is_ok(), line == "take saturation");
    }
}
watch.advance_to(20 * 3600 + 60)?;
assert_eq!(watch.indicated().at_s, 72_060);
# Ok::<(), Box<dyn std::error::Error>>(())
```
"#
)]
//!
//! # Rooms
//!
//! These calls are a line or two over the rooms below; each may use the rooms above it in this list, never one below
//! it. `sim/examples` has programs to begin with: `run_a_job`, `own_report`, `sit_on_the_watch`, `study`.

pub use deepstay_core::{CAUTION, aside, digest, fault, gas, order, plain, record, units, words};
pub use deepstay_crew as crew;
pub use deepstay_job as job;
pub use deepstay_job::stations;
pub use deepstay_plant as plant;
#[cfg(feature = "report")]
pub use deepstay_report as report;
pub use deepstay_rota as rota;
pub use deepstay_rules as rules;
pub use deepstay_scenario as scenario;
#[cfg(feature = "study")]
pub use deepstay_stock as stock;
pub use deepstay_sums as sums;
#[cfg(feature = "watch")]
pub use deepstay_watch as watch;

mod error;
mod way_in;

pub use error::Error;
#[cfg(feature = "study")]
pub use way_in::open_study;
pub use way_in::{judge_rota, make_rota, open, run};

#[cfg(feature = "command")]
pub mod command;
