//! What a document asks of gas: amounts to be held, flows to be proven, and questions that are answered
//! with yes or no. The sums themselves are in the room of the sums; a row says which sum, with which figures.

use super::quantities::{Depth, Duration, Flow};
use super::row::Printed;
use super::{Row, RuleSet};
use deepstay_core::units::FswConvention;
use serde::Deserialize;

/// One demand of a document.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub enum GasMinimum {
    /// Gas that presses the chambers anew: so many times `V D/10`.
    PressAgain {
        /// How many times.
        times: f64,
    },
    /// What a bell's people need without the surface: oxygen, absorbent and gas against the bell's leak.
    BellKeeps {
        /// How long.
        time: Duration,
        /// Whether the time begins when the planned dive is over, and not with its start.
        #[serde(default)]
        beyond_the_dive: bool,
        /// Deepest depth that the document speaks of, where it names one.
        #[serde(default)]
        to: Option<Depth>,
    },
    /// What the people of the chambers need from a back-up: oxygen and absorbent.
    ChamberKeeps {
        /// How long.
        time: Duration,
    },
    /// What a bell's people need after the umbilical is severed.
    SeveredUmbilical {
        /// How long, where the umbilical is the only means of retrieval.
        only_means: Duration,
        /// With two independent means: this,
        otherwise: Duration,
        /// and so many times the retrieval from the greatest depth.
        retrievals: f64,
    },
    /// Open-circuit gas that stands ready while reclaim is in use: `N q P t`.
    Bypass,
    /// Gas for all people on masks: `N q P t`.
    Masks {
        /// How long.
        time: Duration,
        /// Whether the document says that it is held on top of other reserves.
        on_top_of_other_reserves: bool,
    },
    /// Flow to one person on a mask at rest, at depth. Rows of masks take it where a job accepts it.
    MaskFlow {
        /// The flow.
        flow: Flow,
    },
    /// Flow to one diver by how hard he works, at depth. Rows of open circuit take the middle one.
    DiverFlow {
        /// Light, moderate and heavy work.
        at_work: (Flow, Flow, Flow),
        /// Coming up in the water.
        #[serde(default)]
        coming_up: Option<Flow>,
        /// With free flow in place of demand: light, moderate and heavy work.
        #[serde(default)]
        free_flow: Option<(Flow, Flow, Flow)>,
    },
    /// Least that a supply delivers to one diver, at depth: a flow to be proven.
    LeastSupply {
        /// The flow.
        flow: Flow,
    },
    /// What a diver carries limits his umbilical.
    BailOut {
        /// Breathing on it, at depth.
        flow: Flow,
        /// Way back along the umbilical, m/min.
        return_m_min: f64,
    },
    /// Air of the escape sets in a control room.
    EscapeSets {
        /// How long.
        time: Duration,
        /// Breathing on one.
        flow: Flow,
    },
    /// What a run of a lock loses: `V D/10`.
    LockRuns,
    /// The whole job's gas, term by term.
    Bill {
        /// The sum is multiplied by this.
        times: f64,
        /// Whether the terms were put together from the printed list of inputs, the equations not being seen.
        reconstruction: bool,
    },
    /// A question with yes or no.
    Ask {
        /// What it is about, so that the scenario may be looked at.
        topic: Topic,
        /// The question.
        question: String,
        /// What counts as evidence.
        evidence: String,
        /// Whether the answer is to be found in a scenario.
        in_scenario: InScenario,
    },
}

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Topic {
    /// Enough to finish, a reserve and an emergency, before the start and all along.
    EnoughThroughout,
    /// The minimum is on display, and dives stop below it.
    Displayed,
    /// Two supplies to each diver, apart from other divers'.
    TwoSupplies,
    /// Which people and vessels the supplies cover.
    Coverage,
    /// Leakage, waste and what was not planned is allowed for.
    Losses,
}

/// Whether a scenario holds the answer to a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum InScenario {
    /// All of it.
    Yes,
    /// Nothing of it.
    No,
    /// Part of it; the rest is asked of the people on board.
    Ask,
}

impl InScenario {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            InScenario::Yes => "yes",
            InScenario::No => "no",
            InScenario::Ask => "in part; ask on board",
        }
    }
}

impl GasMinimum {
    /// The sum in symbols; empty for figures that other rows take, and for questions.
    pub fn formula(&self) -> &'static str {
        match self {
            GasMinimum::PressAgain { .. } => "k \u{3a3} V D/10",
            GasMinimum::BellKeeps { .. } | GasMinimum::SeveredUmbilical { .. } => {
                "oxygen N q_O t; absorbent N q_C t / c; gas k V P t"
            }
            GasMinimum::ChamberKeeps { .. } => "oxygen N q_O t; absorbent N q_C t / c",
            GasMinimum::Bypass | GasMinimum::Masks { .. } => "N q P t",
            GasMinimum::LeastSupply { .. } => "q P",
            GasMinimum::BailOut { .. } => {
                "t = V (p_fill \u{2212} P \u{2212} p_reg) / (q P); L = v t"
            }
            GasMinimum::EscapeSets { .. } => "N q t",
            GasMinimum::LockRuns => "V D/10",
            GasMinimum::Bill { .. } => {
                "K [V D/10 (1 \u{2212} C); V D/10 C; d k V P; N q_O d; V_b \u{394}D/10 n; n q P t (1 \u{2212} R); oxygen of the decompression]"
            }
            GasMinimum::MaskFlow { .. } | GasMinimum::DiverFlow { .. } | GasMinimum::Ask { .. } => {
                ""
            }
        }
    }

    /// Whether these figures ask less of anything than others that they stand in the place of. Figures of another kind ask
    /// something else, which is less of what was asked.
    pub(super) fn laxer_than(
        &self,
        feet: FswConvention,
        other: &GasMinimum,
        their_feet: FswConvention,
    ) -> bool {
        use GasMinimum as M;
        let hours = |d: &Duration| d.get() / 3600.0;
        let given = |yes: &bool| f64::from(u8::from(*yes));
        // Each pair is ours and theirs: less of it is laxer.
        let figures = match (self, other) {
            (M::PressAgain { times: a }, M::PressAgain { times: b })
            | (M::Bill { times: a, .. }, M::Bill { times: b, .. }) => vec![(*a, *b)],
            (
                M::BellKeeps {
                    time: a,
                    beyond_the_dive: c,
                    to: e,
                },
                M::BellKeeps {
                    time: b,
                    beyond_the_dive: d,
                    to: f,
                },
            ) => {
                let deep = |to: &Option<Depth>, feet| to.map_or(f64::INFINITY, |d| d.plain(feet));
                vec![
                    (hours(a), hours(b)),
                    (given(c), given(d)),
                    (deep(e, feet), deep(f, their_feet)),
                ]
            }
            (M::ChamberKeeps { time: a }, M::ChamberKeeps { time: b }) => {
                vec![(hours(a), hours(b))]
            }
            (
                M::Masks {
                    time: a,
                    on_top_of_other_reserves: c,
                },
                M::Masks {
                    time: b,
                    on_top_of_other_reserves: d,
                },
            ) => vec![(hours(a), hours(b)), (given(c), given(d))],
            (
                M::SeveredUmbilical {
                    only_means: a,
                    otherwise: c,
                    retrievals: e,
                },
                M::SeveredUmbilical {
                    only_means: b,
                    otherwise: d,
                    retrievals: f,
                },
            ) => vec![(hours(a), hours(b)), (hours(c), hours(d)), (*e, *f)],
            (M::MaskFlow { flow: a }, M::MaskFlow { flow: b })
            | (M::LeastSupply { flow: a }, M::LeastSupply { flow: b }) => {
                vec![(a.get(), b.get())]
            }
            (
                M::DiverFlow {
                    at_work: a,
                    coming_up: c,
                    free_flow: e,
                },
                M::DiverFlow {
                    at_work: b,
                    coming_up: d,
                    free_flow: f,
                },
            ) => {
                let at_work = |f: &(Flow, Flow, Flow)| [f.0.get(), f.1.get(), f.2.get()];
                let up = |f: &Option<Flow>| f.map_or(0.0, |f| f.get());
                let free = |f: &Option<(Flow, Flow, Flow)>| f.as_ref().map_or([0.0; 3], at_work);
                let pairs = |a: [f64; 3], b: [f64; 3]| a.into_iter().zip(b);
                pairs(at_work(a), at_work(b))
                    .chain(pairs(free(e), free(f)))
                    .chain([(up(c), up(d))])
                    .collect()
            }
            (
                M::BailOut {
                    flow: a,
                    return_m_min: c,
                },
                M::BailOut {
                    flow: b,
                    return_m_min: d,
                },
            ) => vec![(a.get(), b.get()), (-c, -d)],
            (M::EscapeSets { time: a, flow: c }, M::EscapeSets { time: b, flow: d }) => {
                vec![(hours(a), hours(b)), (c.get(), d.get())]
            }
            (M::Ask { topic: a, .. }, M::Ask { topic: b, .. }) => {
                vec![(given(&(a == b)), 1.0)]
            }
            (a, b) => {
                let same = std::mem::discriminant(a) == std::mem::discriminant(b);
                vec![(given(&same), 1.0)]
            }
        };
        figures.into_iter().any(|(a, b)| a < b)
    }

    /// Why the figures cannot be meant, if they cannot.
    pub(super) fn wrong(&self) -> Option<&'static str> {
        let number = |x: f64| x.is_finite() && x > 0.0 && x < 1e3;
        let numbers = match self {
            GasMinimum::PressAgain { times } | GasMinimum::Bill { times, .. } => number(*times),
            GasMinimum::SeveredUmbilical { retrievals, .. } => number(*retrievals),
            GasMinimum::BailOut { return_m_min, .. } => number(*return_m_min),
            _ => true,
        };
        let flows: Vec<Flow> = match self {
            GasMinimum::MaskFlow { flow }
            | GasMinimum::LeastSupply { flow }
            | GasMinimum::BailOut { flow, .. }
            | GasMinimum::EscapeSets { flow, .. } => vec![*flow],
            GasMinimum::DiverFlow {
                at_work: (a, b, c),
                coming_up,
                free_flow,
            } => {
                let free = free_flow.map(|(a, b, c)| [a, b, c]);
                let beside = coming_up.iter().copied().chain(free.into_iter().flatten());
                [*a, *b, *c].into_iter().chain(beside).collect()
            }
            _ => Vec::new(),
        };
        let silent = matches!(self, GasMinimum::Ask { question, evidence, .. }
            if question.trim().is_empty() || evidence.trim().is_empty());
        if !numbers {
            Some("times and speeds are positive numbers")
        } else if flows.iter().any(|flow| flow.get() <= 0.0) {
            Some("a flow is more than nothing")
        } else if silent {
            Some("a question has words, and so has its evidence")
        } else {
            None
        }
    }
}

impl Printed for GasMinimum {
    fn printed(&self) -> String {
        match self {
            GasMinimum::PressAgain { times } => format!(
                "{times} times the gas that presses the chambers to their deepest depth of use"
            ),
            GasMinimum::BellKeeps {
                time,
                beyond_the_dive,
                to,
            } => {
                let from = if *beyond_the_dive {
                    " beyond the planned dive"
                } else {
                    ""
                };
                let depth = to.map(|d| format!(", down to {d}")).unwrap_or_default();
                format!("the bell keeps its people {time}{from}{depth}")
            }
            GasMinimum::ChamberKeeps { time } => {
                format!("back-up of the chambers' life support for {time}")
            }
            GasMinimum::SeveredUmbilical {
                only_means,
                otherwise,
                retrievals,
            } => format!(
                "the bell keeps its people {only_means} where the umbilical is the only means of retrieval, else {otherwise} and {retrievals} times the retrieval"
            ),
            GasMinimum::Bypass => {
                "open-circuit gas at hand while reclaim or a blender is in use".to_owned()
            }
            GasMinimum::Masks {
                time,
                on_top_of_other_reserves,
            } => {
                let top = if *on_top_of_other_reserves {
                    ", on top of other reserves"
                } else {
                    ""
                };
                format!("{time} on BIBS for each diver{top}")
            }
            GasMinimum::MaskFlow { flow } => format!("{flow} to a mask at rest, at depth"),
            GasMinimum::DiverFlow {
                at_work: (light, moderate, heavy),
                coming_up,
                free_flow,
            } => {
                let up = coming_up
                    .map(|f| format!("; coming up {f}"))
                    .unwrap_or_default();
                let free = free_flow
                    .map(|(a, b, c)| format!("; free flow {a}, {b}, {c}"))
                    .unwrap_or_default();
                format!(
                    "demand at light, moderate, heavy work {light}, {moderate}, {heavy}{up}{free}"
                )
            }
            GasMinimum::LeastSupply { flow } => format!("at least {flow} to each diver, at depth"),
            GasMinimum::BailOut { flow, return_m_min } => {
                format!("bail-out at {flow}, way back at {return_m_min} m/min")
            }
            GasMinimum::EscapeSets { time, flow } => {
                format!("{time} at {flow} for each escape set")
            }
            GasMinimum::LockRuns => "V D/10 a run of a lock, unless it is recovered".to_owned(),
            GasMinimum::Bill {
                times,
                reconstruction,
            } => {
                let how = if *reconstruction {
                    "a reconstruction, equations not seen: "
                } else {
                    ""
                };
                format!("{how}the job's gas term by term, {times} times the sum")
            }
            GasMinimum::Ask {
                question,
                evidence,
                in_scenario,
                ..
            } => {
                format!(
                    "{question} Evidence: {evidence} In the scenario: {}.",
                    in_scenario.words()
                )
            }
        }
    }
}

impl RuleSet {
    /// The set's demands on gas, in the file's order, those that need acceptance among them.
    pub fn gas_minimums(&self) -> &[Row<GasMinimum>] {
        &self.gas_minimums
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{builtin, builtin_names};

    #[test]
    fn every_built_in_row_says_something() {
        let mut kinds = 0;
        for name in builtin_names() {
            for row in builtin(name).expect("built in").gas_minimums() {
                assert!(row.figures.printed().len() > 15, "{}", row.id);
                kinds += 1;
            }
        }
        assert!(kinds >= 20, "{kinds}");
    }

    #[test]
    fn figures_that_cannot_be_meant_are_refused() {
        let set = |figures: &str| {
            let row = format!(
                "(id: \"x\", source: (document: \"a document\", status: Seen), figures: {figures})"
            );
            let text = format!("(format: 1, name: \"x\", title: \"x\", gas_minimums: [{row}])");
            RuleSet::from_ron(&text, "x.ron")
                .map(drop)
                .map_err(|e| e.to_string())
        };
        assert_eq!(set("PressAgain(times: 2)"), Ok(()));
        for (figures, why) in [
            ("PressAgain(times: -2)", "positive numbers"),
            ("PressAgain(times: inf)", "positive numbers"),
            ("LeastSupply(flow: \"0 L/min\")", "more than nothing"),
            ("Masks(time: \"4 d\")", "on_top_of_other_reserves"),
            ("Mask(time: \"4 h\")", "did you mean"),
            (
                "Ask(topic: Losses, question: \"\", evidence: \"x\", in_scenario: Yes)",
                "has words",
            ),
        ] {
            let error = set(figures).expect_err(figures);
            assert!(error.contains(why), "{error}");
        }
    }
}
