//! Deeds of whole jobs, read from their entries alone and held against figures that share no code with the
//! program: what the files of the built-in jobs say, printed tables, and textbook formulas.
//!
//! Small errors that once passed every test, each put in by hand again, and the test that notices it:
//!
//! | error | noticed by |
//! | --- | --- |
//! | reclaim's recovery two points too high | `bill::brought_back_by_reclaim` |
//! | breathed gas counted at 0 degC instead of 15 | `bill::breathed_in_the_water` |
//! | locks a tenth too large | `bill::lock_runs` |
//! | tide with the wrong sign where the bell feels it | `sea::a_bell_at_its_working_depth_feels_the_tide` |
//! | high limits counted only from 2 % beyond | `limits::what_is_shown_beyond_a_limit_rings_however_little_it_is_beyond` |
//! | a launch at 110 % of the wave limit | `limits::the_bell_goes_at_the_launch_limit_and_not_a_decimetre_over_it` |
//! | a compression band's edge taking the next rate | rules, `edges::compression_in_several_bands` |
//! | a limit's tolerance doubled | rules, `edges::limits_of_the_house_set_are_those_printed` |
//! | fairness switched off | rota, `by_hand::where_there_is_slack_the_turns_are_shared_evenly` |
//! | the upper end of a quantile's interval one rank low | stock, `by_hand::the_ends_of_an_interval_are_the_members_at_their_places` |
//! | a what if comparing each job with the next one | stock, `by_hand::a_what_if_compares_each_job_with_itself` |
//! | demand as the drop at the end | stock, `by_hand::demand_is_the_greatest_fall_below_the_start` |
//! | a minimum as the largest of its events | stock, `reserve::totals`, `events_that_share_a_stock_add_and_rows_of_one_event_do_not` |
//! | log.csv: primary and secondary ppO2 swapped; "true" ppO2 the indicated one | report, `columns::each_reading_of_the_log_is_under_its_own_head` |
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod bill;
mod by_hand;
mod by_their_acts;
mod drills;
mod kept;
mod leaks;
mod limits;
mod panel;
mod ready;
mod reclaim;
mod sea;
mod sitters;
mod supply;
mod timetable;
mod watch;

use deepstay_core::record::{Entry, What};
use deepstay_core::units::*;
use deepstay_job::{Ended, Halt, Harm, Job, Options, Sitter};
use deepstay_plant::Activity;
use deepstay_scenario::{Scenario, load};
use std::sync::Arc;

/// Molar gas constant, J/(mol K) (SI 2019).
pub const GAS_J_MOL_K: f64 = 8.314_462_618;
/// Pressure on deck, Pa.
pub const DECK_PA: f64 = 101_325.0;

/// A job that has run to its end.
pub struct Ran {
    /// What it was.
    pub scenario: Arc<Scenario>,
    /// What each diver was seen to do, from when: (second, diver, activity), looked at every few seconds.
    pub doing: Vec<(i64, DiverId, Activity)>,
    /// Its last second.
    pub now_s: i64,
    /// Everything that happened.
    pub entries: Vec<Entry>,
}

/// Runs a scenario to its end, or to a second.
pub fn run_to(scenario: Scenario, end_s: i64) -> Ran {
    run_looking(scenario, end_s, i64::MAX)
}

/// The same, looking at what people do every so many seconds.
pub fn run_looking(scenario: Scenario, end_s: i64, every_s: i64) -> Ran {
    let mut job = Job::new(Arc::new(scenario), Options::default());
    let (mut entries, mut doing) = (Vec::new(), Vec::new());
    let mut last: Vec<Option<Activity>> = vec![None; job.crew().len()];
    let mut halt = Halt::Reached;
    while halt == Halt::Reached && job.now() < end_s {
        halt = job.advance_to(job.now().saturating_add(every_s).min(end_s), &mut entries);
        for diver in job.crew().ids() {
            let now = job.crew().activity(diver);
            if last[diver.index()].replace(now) != Some(now) {
                doing.push((job.now(), diver, now));
            }
        }
    }
    let now_s = job.now();
    let scenario = job.scenario().clone();
    job.finish(&mut entries);
    Ran {
        scenario,
        doing,
        now_s,
        entries,
    }
}

/// The short job: six men at 60 msw for a week on the six-man spread.
pub fn short() -> Scenario {
    load("short").unwrap_or_else(|bad| panic!("{bad}"))
}

/// A compartment of the spread by its name on the panel.
pub fn named(scenario: &Scenario, name: &str) -> CompartmentId {
    let all = &scenario.steel.compartments;
    let at = all.iter().position(|c| c.name == name);
    CompartmentId(at.unwrap_or_else(|| panic!("no {name}")) as u8)
}

impl Ran {
    /// Seconds at which something was entered.
    pub fn when(&self, is: impl Fn(&What) -> bool) -> Vec<i64> {
        self.entries
            .iter()
            .filter(|e| is(&e.what))
            .map(|e| e.at)
            .collect()
    }

    /// Moles that moved in a span of time, by a question about each movement.
    pub fn moved(
        &self,
        (from_s, to_s): (i64, i64),
        counts: impl Fn(Place, Place, Purpose) -> bool,
        of: impl Fn(&deepstay_core::gas::Amounts) -> f64,
    ) -> f64 {
        let each = self.entries.iter().filter_map(|e| match e.what {
            What::Moved {
                from,
                to,
                purpose,
                moles,
            } if e.at > from_s && e.at <= to_s && counts(from, to, purpose) => Some(of(&moles)),
            _ => None,
        });
        each.sum()
    }

    /// The logged true value of a quantity nearest to a second, in its plain unit.
    pub fn truly(&self, at: CompartmentId, of: Quantity, second: i64) -> f64 {
        let logged = self.entries.iter().filter_map(|e| match e.what {
            What::Logged {
                compartment,
                quantity,
                truth: Truth::True,
                value,
                ..
            } if compartment == at && quantity == of => Some(((e.at - second).abs(), value)),
            _ => None,
        });
        logged
            .min_by_key(|(apart, _)| *apart)
            .expect("it is logged")
            .1
    }
}
