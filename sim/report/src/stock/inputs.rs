//! What the pages and tables of a stock study are made from.

use super::load::inputs::StockLoadInputs;
use crate::subject::Subject;
use deepstay_core::units::Units;
use deepstay_scenario::{Source, Spreading};
use deepstay_stock::reserve::{Pair, Sheet};
use deepstay_stock::{Answer, Failed, Gas, Head, OneAtATime, Replicate, Today, WhatIf};

/// Everything a study's papers are made from.
#[non_exhaustive]
pub struct StockInputs<'a> {
    /// Names.
    pub subject: &'a Subject,
    /// What the jobs belong to.
    pub head: &'a Head,
    /// The gases of the stock.
    pub gases: &'a [Gas],
    /// What was drawn anew for each job.
    pub sources: &'a [Source],
    /// The answer.
    pub answer: &'a Answer,
    /// The jobs.
    pub jobs: &'a [Replicate],
    /// Jobs that could not be run.
    pub failed: &'a [Failed],
    /// Whether it was interrupted before all jobs were run.
    pub interrupted: bool,
    /// Share of all jobs whose demand is to be covered, 0 to 1.
    pub covered: f64,
    /// What each source alone does, gas by gas, and the demand without any; none where it was left out.
    pub alone: Option<(&'a [Vec<OneAtATime>], &'a [f64])>,
    /// What if.
    pub what_if: Option<&'a WhatIf>,
    /// From today.
    pub today: Option<&'a Today>,
    /// Oxygen for burning: m3 of free gas an hour, and where the figure is from.
    pub burning: Option<&'a (f64, String)>,
    /// What a reader has to be told first, a sentence each.
    pub remarks: &'a [String],
    /// Units of pages and tables.
    pub units: Units,
}

/// All papers of a study: the ensemble, the minimums, and what to load where there is a supplier.
#[non_exhaustive]
pub struct StockPapers<'a> {
    /// The ensemble's part.
    pub study: StockInputs<'a>,
    /// The minimums by the first rule set.
    pub sheet: &'a Sheet,
    /// The minimums that are posted: of every set asked for the greatest.
    pub posted: &'a Sheet,
    /// A second set beside it.
    pub beside: Option<(&'a Sheet, &'a [Pair])>,
    /// What to load.
    pub load: Option<StockLoadInputs<'a>>,
}

impl<'a> StockPapers<'a> {
    /// The sheets of all sets asked for, the first's first.
    pub(super) fn sheets(&self) -> Vec<&'a Sheet> {
        let other = self.beside.map(|(sheet, _)| sheet);
        std::iter::once(self.sheet).chain(other).collect()
    }
}

impl StockInputs<'_> {
    /// Every source with its law in one line.
    pub fn law(source: &Source) -> String {
        use deepstay_scenario::{DrawnFor, Varied};
        match &source.varied {
            Varied::Input {
                drawn, law, unit, ..
            } => {
                let does = match drawn {
                    DrawnFor::Becomes => "",
                    DrawnFor::Times => "times ",
                    DrawnFor::Plus => "plus ",
                };
                let (law, unit) = if unit == "s" {
                    in_days_or_hours(law)
                } else {
                    (law.clone(), unit.as_str())
                };
                let unit = if unit.is_empty() {
                    String::new()
                } else {
                    format!(", in {unit}")
                };
                format!("{does}{law}{unit}")
            }
            Varied::Chance(_) => "drawn anew for each job".to_owned(),
            Varied::Breakdown {
                mean_between_s,
                lasts,
                ..
            } => {
                let days = mean_between_s / 86_400.0;
                let (lasts, unit) = in_days_or_hours(lasts);
                format!(
                    "once in {} d on average (exponential); stands for {lasts}, in {unit}",
                    deepstay_core::units::fixed_short(days)
                )
            }
        }
    }
}

/// A law of lengths of time in the unit that a reader would take.
fn in_days_or_hours(law: &Spreading) -> (Spreading, &'static str) {
    // Whole days are days; all else is hours, whose digits end.
    let in_days = law.scaled(1.0 / 86_400.0);
    let (scale, unit) = if in_days.to_string().contains('.') {
        (3600.0, "h")
    } else {
        (86_400.0, "d")
    };
    let mut scaled = law.scaled(1.0 / scale);
    // The floor of a minute that keeps a breakdown from lasting no time at all says nothing to a reader.
    scaled.least = scaled.least.filter(|_| law.least != Some(60.0));
    (scaled, unit)
}
