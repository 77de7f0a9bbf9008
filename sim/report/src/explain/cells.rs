//! The cells of a page's tables that show a number: each carries, where a mouse rests on it, the id that `explain` takes, or
//! says where the number stands if it is none of the summary's figures.

use super::figures;
use super::folder::Kind;
use super::id::id;
use maud::{Markup, Render, html};
use serde::Serialize;
use std::collections::BTreeSet;

/// Where numbers stand that are no figures of a summary.
pub(crate) mod apart {
    /// Sums that the job's summary leaves out.
    pub const LEDGER: &str = "no figure of job.json: added up from ledger.csv";
    /// What the summary leaves out because there is nothing of it.
    pub const NOTHING: &str = "no figure of job.json: there was none";
    /// Sums over the banks of what was planned and used.
    pub const PLAN: &str = "no figure of job.json: added up from gas-plan.csv";
    /// What each diver did.
    pub const DIVERS: &str = "no figure of job.json: a row of divers.csv";
    /// What the judge of working time found.
    pub const WORKING: &str = "no figure in these words: working_time of job.json has it in hours, and working.csv for each diver";
    /// What is posted, in words.
    pub const POSTED: &str = "no figure of its own: in words under posted, from the scenario, its rule set and events.csv";
    /// An alarm.
    pub const ALARMS: &str = "no figure of job.json: a row of alarms.csv";
    /// What happened when.
    pub const EVENTS: &str = "no figure of job.json: from the rows of events.csv";
    /// A planned fault.
    pub const FAULTS: &str = "no figure of job.json: a row of faults.csv";
    /// A figure of a rule set or of the steel, beside its source.
    pub const LIMIT: &str = "no figure of job.json: what the source in this row sets";
    /// What two cells come to.
    pub const RATIO: &str = "no figure of its own: what two cells of this row come to";
    /// Sums that the rota's summary leaves out.
    pub const ROTA: &str = "no figure of rota.json: added up from rota.csv";
    /// What the scenario asks of a task.
    pub const WORK: &str = "no figure of rota.json: the scenario's work list asks for it";
    /// What the search found.
    pub const SEARCH: &str = "no figure of rota.json: found by the search, and kept in no file";
    /// What the judge found.
    pub const JUDGED: &str =
        "no figure of its own: in words under working_time, judged from rota.csv";
    /// What holds under another rule set.
    pub const UNDER: &str =
        "no figure of rota.json: of the rota under that set, which is in no file here";
    /// What is left by day.
    pub const DAYS: &str = "no figure of stock.json: a row of days.csv";
    /// What is left of absorbent by day.
    pub const ABSORBENT: &str = "no figure of stock.json: a row of absorbent.csv";
    /// One assumption at a time.
    pub const WHY: &str = "no figure of stock.json: a row of why.csv";
    /// Items of the load.
    pub const LOAD: &str = "no figure of stock.json: from load.csv and the supplier's list";
    /// Rows of the rules.
    pub const RESERVE: &str = "no figure of stock.json: from reserve.csv";
    /// Gauges of a minimum that is posted.
    pub const GAUGES: &str = "no figure of stock.json: the gauge pressures at which the banks hold the minimum, kept in no file";
    /// Counted over all jobs.
    pub const JOBS: &str = "no figure of stock.json: counted over the jobs, and kept in no file";
    /// What a present says.
    pub const PRESENT: &str =
        "no figure of stock.json: held against the present, and kept in no file";
}

/// The figures of the summary beside a page.
pub(crate) struct Cells {
    file: &'static str,
    ids: BTreeSet<String>,
}

impl Cells {
    /// Those of a job.
    pub fn of_job(summary: &impl Serialize) -> Cells {
        Cells::of(Kind::Job, summary)
    }

    /// Those of a rota.
    pub fn of_rota(summary: &impl Serialize) -> Cells {
        Cells::of(Kind::Rota, summary)
    }

    /// Those of a gas study.
    pub fn of_stock(summary: &impl Serialize) -> Cells {
        Cells::of(Kind::Stock, summary)
    }

    /// None: a page with no summary of a gas study beside it.
    pub fn without_stock() -> Cells {
        Cells {
            file: Kind::Stock.word(),
            ids: BTreeSet::new(),
        }
    }

    fn of(kind: Kind, summary: &impl Serialize) -> Cells {
        let root = serde_json::to_value(summary).unwrap_or_default();
        let ids = figures::all(kind, &root).into_iter().map(|found| found.id);
        Cells {
            file: kind.word(),
            ids: ids.collect(),
        }
    }

    /// The id of a figure; none where the summary has no such number.
    pub fn id(&self, names: &[&str]) -> Option<String> {
        Some(id(self.file, names)).filter(|id| self.ids.contains(id))
    }

    /// The beginning of the ids of several figures; none where the summary has none of them.
    pub fn below(&self, names: &[&str]) -> Option<String> {
        let begins = id(self.file, names);
        let within = format!("{begins}/");
        let mut after = self.ids.range(within.clone()..);
        after
            .next()
            .is_some_and(|id| id.starts_with(&within))
            .then_some(begins)
    }

    /// The cell of a figure.
    pub fn figure(&self, names: &[&str], text: impl Render) -> Markup {
        html! { td.n title=[self.id(names)] { (text) } }
    }

    /// The cell of a figure that the summary has only where there is something.
    pub fn figure_if_any(&self, names: &[&str], text: impl Render) -> Markup {
        html! { td.n title=(self.id(names).as_deref().unwrap_or(apart::NOTHING)) { (text) } }
    }
}

/// The cell of a number that is no figure of the summary: where it stands.
pub(crate) fn cell_apart(where_else: &str, text: impl Render) -> Markup {
    html! { td.n title=(where_else) { (text) } }
}
