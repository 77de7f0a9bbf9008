//! The rota's summary: what `rota.json` holds and the terminal shows. Always metric, units in the names
//! of the fields.

use super::inputs::RotaInputs;
use crate::made_from::{MadeFromSummary, VERSION};
use crate::provenance::StatusWord;
use crate::working::WorkLine;
use deepstay_core::CAUTION;
use deepstay_core::words::Words;
use deepstay_rota::fatigue::Band;
use deepstay_rota::{MadeBy, UnderRota};
use deepstay_rota::{Margin, RuleName};
use serde::Serialize;

/// Version of the shape of `rota.json`. In the first one bell runs were `turns` and positions `seats`; in the
/// second the bound was one inside the wishes.
pub const ROTA_FORMAT: u32 = 3;

/// The summary of a rota.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[non_exhaustive]
pub struct RotaSummary {
    /// Version of this file's shape.
    pub format: u32,
    /// What the tool is for, and what it is not.
    pub caution: String,
    /// Short name of the scenario.
    pub scenario: String,
    /// One line on what it is.
    pub title: String,
    /// Name of the rule set.
    pub rule_set: String,
    /// What the set took from those that it is based on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rules_taken: Option<String>,
    /// Version of the program.
    pub version: String,
    /// The files that the scenario was made of, the job's own first; none where whoever made the rota did not say.
    pub made_from: Vec<MadeFromSummary>,
    /// Rows from memory that may be used, by their ids.
    pub accepted: Vec<String>,
    /// `search`, `stopped search`, `planned again from` a time, or the file it was read from.
    pub made_by: String,
    /// Whether the checker found no breach.
    pub legal: bool,
    /// Every breach.
    pub breaches: Vec<BreachLine>,
    /// Bell runs.
    pub bell_runs: Vec<BellRunLine>,
    /// What was proven; none for a rota that was read.
    pub proof: Option<Proof>,
    /// What each wish costs.
    pub wishes: Vec<WishLine>,
    /// Off the trunk as a share of the time there was a bell, 0 to 1.
    pub bell_off_trunk: f64,
    /// Tasks.
    pub work: Vec<TaskLine>,
    /// Divers.
    pub divers: Vec<DiverLine>,
    /// Greatest less least over the divers.
    pub spread: Spread,
    /// Every question of working time: kept, broken or not judged.
    pub working_time: Vec<WorkLine>,
    /// How near each rule came.
    pub rules: Vec<RuleLine>,
    /// The same crew under other sets.
    pub under: Vec<UnderLine>,
    /// What was presumed or changed.
    pub remarks: Vec<String>,
}

/// A breach.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct BreachLine {
    pub rule: String,
    pub document: String,
    pub status: StatusWord,
    pub diver: Option<String>,
    /// Which of `bell_runs`, counted from 1.
    pub bell_run: Option<usize>,
    pub from: String,
    pub words: String,
    pub margin: MarginLine,
}

/// What a rule found, what it allows, and what is left; seconds or a count.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct MarginLine {
    /// `at most`, `at least`, `count` or `demand`.
    pub kind: &'static str,
    pub found: Option<i64>,
    pub limit: Option<i64>,
    pub left: Option<i64>,
}

/// A bell run.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct BellRunLine {
    pub bell: String,
    pub leave: String,
    pub leave_s: i64,
    pub r#return: String,
    pub return_s: i64,
    pub depth_msw: f64,
    pub positions: Vec<PositionLine>,
}

/// A position.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct PositionLine {
    pub diver: String,
    pub role: &'static str,
    pub in_water_h: f64,
    /// Highest sleepiness in the bell run: least, middle and most over early and late people.
    pub sleepiness: Option<[f64; 3]>,
}

/// What was proven.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct Proof {
    pub useful_h: f64,
    /// By rules and steel alone.
    pub bound_h: f64,
    /// With the wishes kept.
    pub wished_h: f64,
    /// To the best that keeps the wishes.
    pub gap: f64,
    /// To the best of all legal rotas.
    pub gap_to_any: f64,
    pub done: Option<String>,
    /// By rules and steel alone.
    pub no_earlier_than: Option<String>,
    /// With the wishes kept.
    pub wished_no_earlier_than: Option<String>,
}

/// A wish and its price.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct WishLine {
    pub wish: &'static str,
    pub useful_h: f64,
    pub done: Option<String>,
}

/// A task.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct TaskLine {
    pub task: String,
    pub given_h: f64,
    pub needed_h: f64,
    pub done: Option<String>,
}

/// A diver.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct DiverLine {
    pub diver: String,
    pub bell_runs: u32,
    pub bellman: u32,
    pub nights: u32,
    pub in_water_h: f64,
    pub seal_to_seal_h: f64,
    pub shortest_rest_h: Option<f64>,
    pub unwanted: u32,
    pub sleepiness_raised: usize,
    pub sleepiness_high: usize,
    /// Whether the seafarers' hours of rest are kept.
    pub seafarers_rest_kept: bool,
}

/// How even the rota is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct Spread {
    pub in_water_h: f64,
    pub seal_to_seal_h: f64,
    pub nights: i64,
    pub bellman: i64,
}

/// How near a rule came.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct RuleLine {
    pub rule: String,
    pub words: String,
    pub document: String,
    pub status: StatusWord,
    pub margin: MarginLine,
    pub times_at_limit: u32,
}

/// The same crew under another set.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct UnderLine {
    pub rule_set: String,
    pub bell_runs: Option<usize>,
    pub useful_h: Option<f64>,
    pub bound_h: Option<f64>,
    pub gap: Option<f64>,
    pub breaches_of_this_rota: Option<usize>,
    pub note: String,
}

fn h(s: i64) -> f64 {
    s as f64 / 3600.0
}

impl From<Margin> for MarginLine {
    fn from(margin: Margin) -> MarginLine {
        let (kind, found, limit) = match margin {
            Margin::AtMost { found_s, limit_s } => ("at most", Some(found_s), Some(limit_s)),
            Margin::AtLeast { found_s, limit_s } => ("at least", Some(found_s), Some(limit_s)),
            Margin::Count { found, limit } => ("count", Some(found), Some(limit)),
            Margin::Value {
                found_milli,
                limit_milli,
                ..
            } => ("thousandths", Some(found_milli), Some(limit_milli)),
            Margin::Demand => ("demand", None, None),
        };
        MarginLine {
            kind,
            found,
            limit,
            left: found.map(|_| margin.left()),
        }
    }
}

impl RotaSummary {
    /// Sums it up.
    pub fn of(inputs: &RotaInputs<'_>) -> RotaSummary {
        let subject = inputs.subject;
        let rule = |r: &RuleName| {
            (
                r.id.clone(),
                r.source.document.clone(),
                StatusWord::from(r.source.status),
            )
        };
        RotaSummary {
            format: ROTA_FORMAT,
            caution: CAUTION.into(),
            scenario: subject.scenario.clone(),
            title: subject.title.clone(),
            rule_set: subject.rule_set.clone(),
            rules_taken: subject.rules_taken.clone(),
            version: VERSION.to_owned(),
            made_from: subject.made_from.iter().map(Into::into).collect(),
            accepted: subject.accepted.clone(),
            made_by: match inputs.made_by {
                MadeBy::Search => "search".into(),
                MadeBy::StoppedSearch => "stopped search".into(),
                MadeBy::File(name) => name.clone(),
                MadeBy::PlannedAgain(from) => format!("planned again from {from}"),
            },
            legal: inputs.verdict.legal(),
            breaches: inputs
                .verdict
                .breaches
                .iter()
                .map(|b| {
                    let (rule, document, status) = rule(&b.rule);
                    BreachLine {
                        rule,
                        document,
                        status,
                        diver: b.diver.map(|d| inputs.initials(d).into()),
                        bell_run: b.turn.map(|turn| turn + 1),
                        from: subject.time.civil(b.when.from_s),
                        words: b.words.clone(),
                        margin: b.margin.into(),
                    }
                })
                .collect(),
            bell_runs: bell_runs(inputs),
            proof: inputs.worth.map(|w| Proof {
                useful_h: h(w.useful_s),
                bound_h: h(w.bound_s),
                wished_h: h(w.wished_s),
                gap: w.gap(inputs.problem.first_s),
                gap_to_any: w.gap_to_any(inputs.problem.first_s),
                done: w.done_s.map(|s| subject.time.civil(s)),
                no_earlier_than: w.earliest_s.map(|s| subject.time.civil(s)),
                wished_no_earlier_than: w.wished_earliest_s.map(|s| subject.time.civil(s)),
            }),
            wishes: inputs
                .prices
                .iter()
                .map(|p| WishLine {
                    wish: p.wish.words(),
                    useful_h: h(p.useful_s),
                    done: p.done_s.map(|s| subject.time.civil(s)),
                })
                .collect(),
            bell_off_trunk: inputs.away(),
            work: inputs
                .problem
                .tasks
                .iter()
                .zip(inputs.progress)
                .map(|(task, p)| TaskLine {
                    task: task.name.clone(),
                    given_h: h(p.given_s),
                    needed_h: h(p.needed_s),
                    done: p.done_s.map(|s| subject.time.civil(s)),
                })
                .collect(),
            divers: divers(inputs),
            spread: Spread {
                in_water_h: h(inputs.fairness.water_s),
                seal_to_seal_h: h(inputs.fairness.bell_s),
                nights: inputs.fairness.nights,
                bellman: inputs.fairness.bellman,
            },
            working_time: inputs.working_time().answers,
            rules: inputs
                .verdict
                .nearest
                .iter()
                .map(|n| {
                    let (rule, document, status) = rule(&n.rule);
                    RuleLine {
                        rule,
                        words: n.rule.words.clone(),
                        document,
                        status,
                        margin: n.margin.into(),
                        times_at_limit: n.binds,
                    }
                })
                .collect(),
            under: inputs.under.iter().map(under).collect(),
            remarks: inputs.remarks.to_vec(),
        }
    }

    /// As JSON.
    ///
    /// # Errors
    /// What the writer of JSON says.
    pub fn json(&self) -> Result<String, serde_json::Error> {
        serde_json::to_string_pretty(self)
    }
}

fn bell_runs(inputs: &RotaInputs<'_>) -> Vec<BellRunLine> {
    let (subject, tired) = (inputs.subject, inputs.tired);
    let peak = |turn: usize, diver| {
        let of = tired
            .iter()
            .find(|t| t.diver == diver)?
            .runs
            .iter()
            .find(|t| t.turn == turn)?;
        Some([of.peak.least, of.peak.middle, of.peak.most])
    };
    let turns = inputs.rota.runs.iter().enumerate();
    turns
        .map(|(i, t)| BellRunLine {
            bell: inputs.bell(t).into(),
            leave: subject.time.civil(t.first),
            leave_s: t.first,
            r#return: subject.time.civil(t.last),
            return_s: t.last,
            depth_msw: t.depth_msw,
            positions: t
                .positions
                .iter()
                .map(|s| PositionLine {
                    diver: inputs.initials(s.diver).into(),
                    role: s.role.words(),
                    in_water_h: h(s.wet_s()),
                    sleepiness: peak(i, s.diver),
                })
                .collect(),
        })
        .collect()
}

fn divers(inputs: &RotaInputs<'_>) -> Vec<DiverLine> {
    let lines = inputs.divers.iter();
    lines
        .map(|d| {
            let tired = inputs.tired.iter().find(|t| t.diver == d.diver);
            DiverLine {
                diver: inputs.initials(d.diver).into(),
                bell_runs: d.runs,
                bellman: d.bellman,
                nights: d.nights,
                in_water_h: h(d.water_s),
                seal_to_seal_h: h(d.bell_s),
                shortest_rest_h: d.shortest_rest_s.map(h),
                unwanted: d.unwanted,
                sleepiness_raised: tired.map_or(0, |t| t.count(Band::Raised)),
                sleepiness_high: tired.map_or(0, |t| t.count(Band::High)),
                seafarers_rest_kept: tired.is_none_or(|t| {
                    t.rest
                        .iter()
                        .filter(|w| !w.asked.is_of_work())
                        .all(|w| w.kept())
                }),
            }
        })
        .collect()
}

fn under(u: &deepstay_rota::Under) -> UnderLine {
    let of = |value: fn(&UnderRota) -> f64| u.rota.as_ref().map(value);
    UnderLine {
        rule_set: u.set.clone(),
        bell_runs: u.rota.as_ref().map(|r| r.runs),
        useful_h: of(|r| h(r.useful_s)),
        bound_h: u.rota.as_ref().and_then(|r| r.bound_s).map(h),
        gap: u.rota.as_ref().and_then(|r| r.gap),
        breaches_of_this_rota: u.breaches,
        note: u.note.clone(),
    }
}
