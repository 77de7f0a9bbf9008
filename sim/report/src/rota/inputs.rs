//! What the rota's papers are made of: the rota and what was judged and proven of it, the names of the
//! job, how tired each turn is likely to find its divers, and the rules' sources.

use crate::provenance::ProvenanceRow;
use crate::subject::Subject;
use crate::working::WorkingTimeSummary;
use deepstay_core::units::{DiverId, Units};
use deepstay_plant::Activity;
use deepstay_rota::seafarer::Worst;
use deepstay_rota::tired::Tired;
use deepstay_rota::{
    BellRun, BellSums, DiverSums, Fairness, LimitingRule, MadeBy, Price, Problem, Progress, Rota,
    Under, Verdict, Worth,
};

/// A row of the table of rule sets: what it is, and each set's cell.
pub(super) type UnderRow<'r> = (&'static str, &'r dyn Fn(&Under) -> String);

/// Everything that the rota's papers are made of.
#[derive(Clone, Copy, Debug)]
#[non_exhaustive]
pub struct RotaInputs<'a> {
    /// Names and clock of the job.
    pub subject: &'a Subject,
    /// What the rota is for.
    pub problem: &'a Problem,
    /// The rota.
    pub rota: &'a Rota,
    /// Where it comes from.
    pub made_by: &'a MadeBy,
    /// The checker's word on it.
    pub verdict: &'a Verdict,
    /// Each task's completion.
    pub progress: &'a [Progress],
    /// Each diver's sums.
    pub divers: &'a [DiverSums],
    /// Each bell's sums.
    pub bells: &'a [BellSums],
    /// How even it is.
    pub fairness: Fairness,
    /// What was proven; none for a rota that was read and not searched for.
    pub worth: Option<Worth>,
    /// Where rules bind.
    pub binding: &'a [LimitingRule],
    /// What each wish costs.
    pub prices: &'a [Price],
    /// Sleepiness and rest of each diver.
    pub tired: &'a [Tired],
    /// Rest of the two watches of dive control and saturation control.
    pub watches: &'a [Vec<Worst>],
    /// The same crew under other rule sets; empty where none was asked.
    pub under: &'a [Under],
    /// What else is to be told, a line each: what was presumed of a file, what a new plan changed.
    pub remarks: &'a [String],
    /// Every rule figure that was used.
    pub provenance: &'a [ProvenanceRow],
    /// How hard the work is, for the turns as bell runs of a plan.
    pub work: Activity,
    /// The ship's night, seconds of the day.
    pub night_s: (i64, i64),
    /// Which units the pages speak in.
    pub units: Units,
}

impl RotaInputs<'_> {
    /// What the judge says of working time, as it is told.
    pub(crate) fn working_time(&self) -> WorkingTimeSummary {
        let initials = |diver| self.initials(diver).to_owned();
        WorkingTimeSummary::of(self.verdict, self.subject.time, initials)
    }

    /// A diver's initials.
    pub fn initials(&self, diver: DiverId) -> &str {
        self.problem
            .divers
            .get(diver.index())
            .map_or("?", |d| d.initials.as_str())
    }

    /// The initials of a turn's crew in order of leaving the bell.
    pub fn crew(&self, turn: &BellRun) -> String {
        turn.positions
            .iter()
            .map(|s| self.initials(s.diver))
            .collect::<Vec<_>>()
            .join(" ")
    }

    /// A bell's name.
    pub fn bell(&self, turn: &BellRun) -> &str {
        self.problem
            .bell(turn.bell)
            .map_or("bell", |b| b.name.as_str())
    }

    /// Share that may be missing to the best that keeps the wishes, where something was proven.
    pub fn gap(&self) -> Option<f64> {
        self.worth.map(|w| w.gap(self.problem.first_s))
    }

    /// Share that may be missing to the best of all legal rotas.
    pub fn gap_to_any(&self) -> Option<f64> {
        self.worth.map(|w| w.gap_to_any(self.problem.first_s))
    }

    /// What a wish costs, in words: sooner done, or more time in the water.
    pub fn price_words(&self, price: &Price) -> String {
        let h = |s: i64| deepstay_core::units::fixed(s as f64 / 3600.0, 1);
        let done = self.worth.and_then(|w| w.done_s);
        match (price.costs_s, done, price.done_s) {
            (0, ..) => "no better rota was found without it".to_owned(),
            (_, Some(_), Some(then)) => format!(
                "without it done {} h sooner, by {}",
                h(price.costs_s),
                self.subject.time.clock(then)
            ),
            (_, None, Some(then)) => {
                format!(
                    "without it the work is done, by {}",
                    self.subject.time.clock(then)
                )
            }
            _ => format!(
                "without it {} h more, {} h",
                h(price.costs_s),
                h(price.useful_s)
            ),
        }
    }

    /// What was proven, in words: of the days needed where the work gets done, else of the useful time.
    pub fn proof_words(&self) -> Option<String> {
        let worth = self.worth?;
        let h = |s: i64| deepstay_core::units::fixed(s as f64 / 3600.0, 1);
        Some(match (worth.done_s, worth.earliest_s) {
            (Some(done), Some(earliest)) => format!(
                "work done by {}, by none with the same wishes before {}, by no legal rota before {}",
                self.subject.time.clock(done),
                worth
                    .wished_earliest_s
                    .map_or("the end".to_owned(), |s| self.subject.time.clock(s)),
                self.subject.time.clock(earliest)
            ),
            _ => format!(
                "{} h of useful time in the water, in none with the same wishes more than {} h, in no legal rota more than {} h",
                h(worth.useful_s),
                h(worth.wished_s),
                h(worth.bound_s)
            ),
        })
    }

    /// Off the trunk as a share of the time there was, over all bells, 0 to 1.
    pub fn away(&self) -> f64 {
        let (away, open) = self
            .bells
            .iter()
            .fold((0, 0), |(a, o), b| (a + b.away_s, o + b.open_s));
        if open > 0 {
            away as f64 / open as f64
        } else {
            0.0
        }
    }

    /// Time in the water of all divers, s.
    pub fn water_s(&self) -> i64 {
        self.divers.iter().map(|d| d.water_s).sum()
    }

    /// First and last day of the job that have a turn, days of the ship's clock from 0.
    pub fn days(&self) -> Option<(i64, i64)> {
        let first = self
            .rota
            .runs
            .iter()
            .map(|t| self.problem.day(t.first))
            .min()?;
        let last = self
            .rota
            .runs
            .iter()
            .map(|t| self.problem.day(t.last))
            .max()?;
        Some((first, last))
    }

    /// Second at which a day of the ship's clock begins.
    pub fn day_start_s(&self, day: i64) -> i64 {
        day * 86_400 - self.problem.start_second_of_day
    }
}
