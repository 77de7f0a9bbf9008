//! Who plans the bell runs anew while a job is under way. A job takes a planner as it takes a sink: it is told
//! what of the runs is done, what is lost and from which second it may plan, and gives the runs from then on.
//! What it gives is part of the job's state and saved with it; a job that is to be made again is given the same
//! planner.

use deepstay_core::record::{BellPhase, Stopped, What};
use deepstay_scenario::{BellRun, Scenario};
use serde::{Deserialize, Serialize};

/// How a run of the plan stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum RunStands {
    /// Not begun.
    #[default]
    Ahead,
    /// Begun with its checks at that second, s, and not home.
    UnderWay {
        /// When, s.
        from_s: i64,
    },
    /// Home.
    Home {
        /// When its checks began, s.
        from_s: i64,
        /// When it was over, s.
        to_s: i64,
        /// Why it was broken off, where it was.
        stopped: Option<Stopped>,
    },
    /// Never begun.
    Lost {
        /// Why.
        why: Stopped,
        /// When that was told, s.
        at_s: i64,
    },
}

/// What a planner is told.
#[derive(Clone, Copy, Debug)]
pub struct Standing<'a> {
    /// The scenario with the runs that are in force.
    pub scenario: &'a Scenario,
    /// From which second on it plans.
    pub from_s: i64,
    /// How the first of the runs stand: those that are begun or lost, and what comes before them in the list. They
    /// stay; all after them are given anew.
    pub runs: &'a [RunStands],
}

/// Plans the runs of a job anew.
pub trait Planner {
    /// The runs after those that stand, in order of start, none before [`Standing::from_s`]; none at all: those of
    /// the plan stay.
    fn runs_from(&mut self, standing: &Standing<'_>) -> Option<Vec<BellRun>>;
}

/// Nobody plans, or somebody.
impl<P: Planner> Planner for Option<P> {
    fn runs_from(&mut self, standing: &Standing<'_>) -> Option<Vec<BellRun>> {
        self.as_mut()?.runs_from(standing)
    }
}

/// Leaves the plan as it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct KeepPlan;

impl Planner for KeepPlan {
    fn runs_from(&mut self, _: &Standing<'_>) -> Option<Vec<BellRun>> {
        None
    }
}

/// How all runs stand, kept from what the stations write.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub(super) struct RunBook {
    runs: Vec<RunStands>,
    /// A run was lost since anybody planned.
    lost: bool,
    /// The runs that are in force, where they are not the scenario's.
    given: Option<Vec<BellRun>>,
    /// The runs of the plan, where others are in force.
    planned: Option<Vec<BellRun>>,
}

impl RunBook {
    /// Hears what a station writes.
    pub fn hear(&mut self, what: &What, now_s: i64) {
        match *what {
            What::BellPhase { run, phase, .. } => {
                let stands = self.of(run);
                match (phase, *stands) {
                    (BellPhase::Done, RunStands::UnderWay { from_s }) => {
                        *stands = RunStands::Home {
                            from_s,
                            to_s: now_s,
                            stopped: None,
                        };
                    }
                    (
                        BellPhase::Done,
                        RunStands::Home {
                            from_s, stopped, ..
                        },
                    ) => {
                        *stands = RunStands::Home {
                            from_s,
                            to_s: now_s,
                            stopped,
                        };
                    }
                    (_, RunStands::Ahead) => *stands = RunStands::UnderWay { from_s: now_s },
                    _ => {}
                }
            }
            What::BellStopped { run, why, .. } => {
                let stands = self.of(run);
                match *stands {
                    RunStands::UnderWay { from_s } => {
                        *stands = RunStands::Home {
                            from_s,
                            to_s: now_s,
                            stopped: Some(why),
                        };
                    }
                    RunStands::Ahead => {
                        *stands = RunStands::Lost { why, at_s: now_s };
                    }
                    RunStands::Home { .. } | RunStands::Lost { .. } => {}
                }
                self.lost = true;
            }
            _ => {}
        }
    }

    fn of(&mut self, run: u16) -> &mut RunStands {
        let place = usize::from(run);
        if self.runs.len() <= place {
            self.runs.resize(place + 1, RunStands::Ahead);
        }
        &mut self.runs[place]
    }

    /// Whether a run was lost since this was last asked.
    pub fn take_lost(&mut self) -> bool {
        std::mem::take(&mut self.lost)
    }

    /// Other runs are in force than those that were.
    pub fn give(&mut self, before: &[BellRun], runs: Vec<BellRun>) {
        self.planned.get_or_insert_with(|| before.to_vec());
        self.given = Some(runs);
    }

    /// The runs that are in force, where they are not the scenario's.
    pub fn given(&self) -> Option<&[BellRun]> {
        self.given.as_deref()
    }

    /// The runs of the plan, where others are in force.
    pub fn planned(&self) -> Option<&[BellRun]> {
        self.planned.as_deref()
    }

    /// How the first runs stand.
    pub fn runs(&self) -> &[RunStands] {
        &self.runs
    }
}
