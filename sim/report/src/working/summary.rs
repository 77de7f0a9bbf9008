//! Working time, rest, days under pressure and routine as a judge of rules answers of them: every question kept, broken or
//! not judged, for a screen, a page and a summary. Planned and lived work, and a rota, are told in the same words.

use crate::margins::margin_words;
use crate::provenance::{ProvenanceRow, StatusWord, rows_of};
use deepstay_core::units::{DiverId, VesselTime};
use deepstay_core::words::Words;
use deepstay_rota::{Answer, Answered, Breach, Margin, Verdict};
use deepstay_rules::RuleSet;
use serde::Serialize;

/// A question of working time and its answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WorkLine {
    /// What is asked.
    pub question: &'static str,
    /// `kept`, `broken` or `not judged`.
    pub answer: &'static str,
    /// What was found where it came nearest to the limit, or furthest past it; left out of what was not judged.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub found: String,
    /// What is allowed.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub allowed: String,
    /// What is left to it, below nothing where it is broken.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub margin: String,
    /// Whose it was.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub diver: String,
    /// The row.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub rule: String,
    /// Its document.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub document: String,
    /// How it came to us; none of what was not judged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub status: Option<StatusWord>,
    /// Why nothing was judged.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// The same as numbers, in the summary of a job, whose table of working time they can be held against.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub figures: Option<WorkFigures>,
}

/// What was found, what is allowed, and what is left to it, below nothing where it is broken.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(untagged)]
#[expect(missing_docs, reason = "named by what they are, with their unit")]
pub enum WorkFigures {
    /// Lengths of time.
    Hours {
        found_h: f64,
        allowed_h: f64,
        left_h: f64,
    },
    /// Numbers of things.
    Number { found: i64, allowed: i64, left: i64 },
    /// Values in a unit.
    Value {
        found: f64,
        allowed: f64,
        left: f64,
        unit: &'static str,
    },
}

impl WorkFigures {
    /// Those of a margin; none of a demand, which is met or not.
    pub fn of(margin: Margin) -> Option<WorkFigures> {
        // To a ten-thousandth of an hour, which no second is smaller than.
        let hours = |s: i64| (s as f64 / 0.36).round() / 1e4;
        match margin {
            Margin::AtMost { found_s, limit_s } | Margin::AtLeast { found_s, limit_s } => {
                Some(WorkFigures::Hours {
                    found_h: hours(found_s),
                    allowed_h: hours(limit_s),
                    left_h: hours(margin.left()),
                })
            }
            Margin::Count { found, limit } => Some(WorkFigures::Number {
                found,
                allowed: limit,
                left: margin.left(),
            }),
            Margin::Value {
                found_milli,
                limit_milli,
                unit,
            } => Some(WorkFigures::Value {
                found: found_milli as f64 / 1e3,
                allowed: limit_milli as f64 / 1e3,
                left: margin.left() as f64 / 1e3,
                unit,
            }),
            Margin::Demand => None,
        }
    }
}

/// A breach of a rule of working time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[expect(missing_docs, reason = "named as on the page")]
pub struct WorkBreach {
    pub from: String,
    pub words: String,
    pub margin: String,
    pub rule: String,
    pub document: String,
    pub status: StatusWord,
}

/// What is answered of working time.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct WorkingTimeSummary {
    /// Every question with its answer.
    pub answers: Vec<WorkLine>,
    /// Every breach, in order of time.
    pub breaches: Vec<WorkBreach>,
}

impl WorkingTimeSummary {
    /// Of what a judge says; `initials` gives a diver's.
    pub fn of(
        verdict: &Verdict,
        time: VesselTime,
        initials: impl Fn(DiverId) -> String,
    ) -> WorkingTimeSummary {
        WorkingTimeSummary {
            answers: verdict.answers.iter().map(|a| line(a, &initials)).collect(),
            breaches: verdict.breaches.iter().map(|b| breach(b, time)).collect(),
        }
    }

    /// With its answers as numbers too.
    #[must_use]
    pub(crate) fn with_figures(mut self, verdict: &Verdict) -> WorkingTimeSummary {
        for (line, answer) in self.answers.iter_mut().zip(&verdict.answers) {
            line.figures = match &answer.answered {
                Answered::Kept(nearest) | Answered::Broken { worst: nearest, .. } => {
                    WorkFigures::of(nearest.margin)
                }
                Answered::NotJudged(_) => None,
            };
        }
        self
    }

    /// Whether a rule of working time was broken.
    pub fn broken(&self) -> bool {
        !self.breaches.is_empty()
    }

    /// How many rules were broken how often, and the first of them; none where none was.
    pub fn told(&self) -> Option<String> {
        let first = self.breaches.first()?;
        let times = match self.breaches.len() {
            1 => "once".to_owned(),
            n => format!("{n} times, first"),
        };
        Some(format!(
            "rules of working time broken {times}: {} ({})",
            first.words, first.rule
        ))
    }
}

fn line(answer: &Answer, initials: &impl Fn(DiverId) -> String) -> WorkLine {
    let question = answer.question.words();
    let (word, nearest) = match &answer.answered {
        Answered::NotJudged(why) => {
            return WorkLine {
                question,
                answer: "not judged",
                found: String::new(),
                allowed: String::new(),
                margin: String::new(),
                diver: String::new(),
                rule: String::new(),
                document: String::new(),
                status: None,
                why: why.clone(),
                figures: None,
            };
        }
        Answered::Kept(nearest) => ("kept", nearest),
        Answered::Broken { worst, .. } => ("broken", worst),
    };
    let [found, allowed, margin] = margin_words(nearest.margin);
    WorkLine {
        question,
        answer: word,
        found,
        allowed,
        margin,
        diver: nearest.diver.map_or_else(String::new, initials),
        rule: nearest.rule.id.clone(),
        document: nearest.rule.source.document.clone(),
        status: Some(nearest.rule.source.status.into()),
        why: String::new(),
        figures: None,
    }
}

fn breach(breach: &Breach, time: VesselTime) -> WorkBreach {
    let [_, _, margin] = margin_words(breach.margin);
    WorkBreach {
        from: time.civil_minute(breach.when.from_s),
        words: breach.words.clone(),
        margin,
        rule: breach.rule.id.clone(),
        document: breach.rule.source.document.clone(),
        status: breach.rule.source.status.into(),
    }
}

/// Breaches as a terminal shows them, all of them; nothing where there are none.
pub(crate) fn breach_lines(s: &WorkingTimeSummary) -> Vec<String> {
    if s.breaches.is_empty() {
        return Vec::new();
    }
    let mut lines = vec![format!(
        "RULES OF WORKING TIME BROKEN: {}",
        s.breaches.len()
    )];
    lines.extend(s.breaches.iter().map(|b| {
        let margin = match b.margin.as_str() {
            "" => String::new(),
            margin => format!(" (margin {margin})"),
        };
        format!("  {}: {}{margin} [{}]", b.from, b.words, b.rule)
    }));
    lines
}

/// Every question with its answer as a terminal shows it: those kept, then those not judged by their reason.
pub(crate) fn answer_lines(s: &WorkingTimeSummary) -> Vec<String> {
    let of = |word| s.answers.iter().filter(move |a| a.answer == word);
    let kept: Vec<String> = of("kept")
        .map(|a| match a.found.as_str() {
            "" => a.question.to_owned(),
            found => format!("{} {found} ({})", a.question, a.allowed),
        })
        .collect();
    let mut lines = Vec::new();
    if !kept.is_empty() {
        lines.push(format!("Working time, kept: {}", kept.join(", ")));
    }
    let mut reasons: Vec<&str> = Vec::new();
    for a in of("not judged") {
        if !reasons.contains(&a.why.as_str()) {
            reasons.push(&a.why);
        }
    }
    for why in reasons {
        let asked: Vec<&str> = of("not judged")
            .filter(|a| a.why == why)
            .map(|a| a.question)
            .collect();
        lines.push(format!("Not judged, {why}: {}", asked.join(", ")));
    }
    lines
}

/// The rows of a set that working time was judged by, beside those in a list.
pub(crate) fn rows_beside(
    known: &[ProvenanceRow],
    verdict: &Verdict,
    rules: &RuleSet,
) -> Vec<ProvenanceRow> {
    let asked = verdict.answers.iter().filter_map(|a| match &a.answered {
        Answered::Kept(nearest) | Answered::Broken { worst: nearest, .. } => Some(&nearest.rule.id),
        Answered::NotJudged(_) => None,
    });
    let ids: Vec<&str> = asked.map(|id| id.split('#').next().unwrap_or(id)).collect();
    rows_of(known, &ids, rules)
}
