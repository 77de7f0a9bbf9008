//! Who goes in the bell when, for the whole job: built, checked by an independent judge, bounded, and
//! planned again when something changes. Called by the command, never by the job.
//!
//! The rules come from the rule set in use; where it has none, house figures named in the scenario stand
//! in and are called so.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

mod answer;
mod appraisal;
mod ask;
mod check;
pub mod fatigue;
mod limiting;
mod limits;
mod margin;
mod no_rota;
mod planner;
mod questions;
mod replan;
mod rule;
mod runs;
pub mod seafarer;
mod solve;
mod sums;
pub mod table;
pub mod tired;
mod types;
mod under;
mod work_done;
mod worked;

pub use answer::*;
pub use appraisal::{Appraisal, MadeBy};
pub use ask::{Asked, ask, ask_under};
pub use check::check;
pub use limits::{Limit, Limits, LongWater};
pub use margin::{Margin, Nearest};
pub use planner::{JobPlanner, turn_of};
pub use questions::{Answer, Answered, WorkQuestion};
pub use replan::{Event, Replanned, replan, with_events};
pub use rule::{House, RuleName};
pub use runs::{bell_runs, plan_text};
pub use solve::{Found, Made, Proven, make, make_until, proven, proven_as_wished, solve};
pub use sums::{Sums, sums};
pub use types::*;
pub use under::{Against, JudgedBy, NotAsked, Under, UnderRota, against, known_rows};
pub use work_done::{Given, TaskDone, WorkDone};
pub use worked::Worked;
pub use worked::after::{AfterSurfacing, RoutineADay, Until};
