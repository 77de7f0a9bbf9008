//! What is asked of working time, whoever made the plan and whether it is planned or lived; and what is answered: kept,
//! broken, or not judged.

use super::margin::{Margin, Nearest};
use deepstay_core::words::Words;

/// A question of working time, rest, days under pressure, what is breathed, or routine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkQuestion {
    /// How long a bell run lasts.
    BellRun,
    /// How much of any window is spent on bell runs.
    BellRunInWindow,
    /// How many bell runs begin in a day.
    RunsADay,
    /// How long a diver is in the water.
    InWater,
    /// The break in the bell that a longer time in the water takes.
    BreakInBell,
    /// The dry day that a longer time in the water takes.
    DryDay,
    /// Whether somebody stays in the bell and tends.
    BellTended,
    /// How long is rested between two runs.
    Rest,
    /// How much is worked in a day.
    WorkInDay,
    /// How long a saturation lasts, as the document counts it.
    Saturation,
    /// How much of twelve months is spent under pressure.
    YearlySum,
    /// How long a diver stays at the surface between two saturations.
    SurfaceInterval,
    /// How much oxygen is breathed at work of its length.
    OxygenAtWork,
    /// How dense the gas is that is breathed at work.
    GasDensity,
    /// How long a mask is worn without a break.
    MaskTime,
    /// How the way up begins.
    DecompressionStart,
    /// How often the log is written.
    LogInterval,
    /// How often an analyser in use is calibrated.
    Calibration,
}

impl WorkQuestion {
    /// All, in the order in which they are answered.
    pub const ALL: [WorkQuestion; 18] = [
        WorkQuestion::BellRun,
        WorkQuestion::BellRunInWindow,
        WorkQuestion::RunsADay,
        WorkQuestion::InWater,
        WorkQuestion::BreakInBell,
        WorkQuestion::DryDay,
        WorkQuestion::BellTended,
        WorkQuestion::Rest,
        WorkQuestion::WorkInDay,
        WorkQuestion::Saturation,
        WorkQuestion::YearlySum,
        WorkQuestion::SurfaceInterval,
        WorkQuestion::OxygenAtWork,
        WorkQuestion::GasDensity,
        WorkQuestion::MaskTime,
        WorkQuestion::DecompressionStart,
        WorkQuestion::LogInterval,
        WorkQuestion::Calibration,
    ];
}

impl Words for WorkQuestion {
    fn words(self) -> &'static str {
        match self {
            WorkQuestion::BellRun => "bell run",
            WorkQuestion::BellRunInWindow => "bell runs in a window",
            WorkQuestion::RunsADay => "bell runs a day",
            WorkQuestion::InWater => "time in the water",
            WorkQuestion::BreakInBell => "break in the bell",
            WorkQuestion::DryDay => "dry day as bellman",
            WorkQuestion::BellTended => "bell tended",
            WorkQuestion::Rest => "rest",
            WorkQuestion::WorkInDay => "work in a day",
            WorkQuestion::Saturation => "length of a saturation",
            WorkQuestion::YearlySum => "twelve months' sum",
            WorkQuestion::SurfaceInterval => "surface interval",
            WorkQuestion::OxygenAtWork => "oxygen at work",
            WorkQuestion::GasDensity => "gas density at work",
            WorkQuestion::MaskTime => "time on a mask",
            WorkQuestion::DecompressionStart => "start of a decompression",
            WorkQuestion::LogInterval => "log interval",
            WorkQuestion::Calibration => "calibration interval",
        }
    }
}

/// What is answered.
#[derive(Clone, Debug, PartialEq)]
pub enum Answered {
    /// Kept wherever it was asked, and how near it came; none of a demand that has no margin.
    Kept(Nearest),
    /// Broken: how often, and the worst.
    Broken {
        /// Breaches of it.
        times: usize,
        /// The worst of them.
        worst: Nearest,
    },
    /// Nothing was judged, and why not.
    NotJudged(String),
}

/// A question and what is answered.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The question.
    pub question: WorkQuestion,
    /// The answer.
    pub answered: Answered,
}

/// What was found of one question so far.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    worst: Option<Nearest>,
    broken: usize,
    why_not: Option<String>,
}

impl Tally {
    /// Takes one more thing asked of it, met or not.
    pub fn take(&mut self, found: Nearest, met: bool) {
        self.broken += usize::from(!met);
        let left = |n: &Nearest| match n.margin {
            Margin::Demand => i64::from(met) - 1,
            margin => margin.left(),
        };
        if self.worst.as_ref().is_none_or(|w| left(&found) < left(w)) {
            self.worst = Some(found);
        }
    }

    /// Why nothing is judged where nothing is asked; the first reason is kept.
    pub fn not_judged(&mut self, why: impl FnOnce() -> String) {
        self.why_not.get_or_insert_with(why);
    }

    /// The answer. Where neither a row nor a reason was met, nothing of the plan falls under the question.
    pub fn answered(self) -> Answered {
        match (self.worst, self.broken) {
            (Some(worst), 0) => Answered::Kept(worst),
            (Some(worst), times) => Answered::Broken { times, worst },
            (None, _) => Answered::NotJudged(
                self.why_not
                    .unwrap_or_else(|| "nothing here falls under it".to_owned()),
            ),
        }
    }
}
