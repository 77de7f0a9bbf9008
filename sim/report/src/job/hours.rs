//! Each diver's hours and limits as they were lived: days under pressure, bell runs, hours in the water, the least rest, and
//! what the judge of working time answers of him by himself, with the rows.

use super::inputs::Inputs;
use crate::kit::table::{bytes, row, table};
use crate::margins::margin_words;
use crate::working::WorkFigures;
use deepstay_core::words::{Names, Words};
use deepstay_rota::{Answered, DiverAnswer, Nearest, WorkQuestion};
use serde::Serialize;

/// A diver's hours and limits.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DiverHours {
    /// Initials.
    pub diver: String,
    /// Time under pressure, h.
    pub under_pressure_h: f64,
    /// Time in the bell and in the water, h.
    pub in_bell_and_water_h: f64,
    /// Time in the water, h.
    pub in_water_h: f64,
    /// Bell runs.
    pub bell_runs: u32,
    /// Longest time in bell and water, h.
    pub longest_in_bell_and_water_h: f64,
    /// Shortest rest between two runs, h; none of fewer than two.
    pub shortest_rest_h: Option<f64>,
    /// What is asked of him by the rule set, each where he came nearest to the limit.
    pub limits: Vec<DiverLimit>,
}

/// A limit of one diver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DiverLimit {
    /// What is asked.
    pub question: &'static str,
    /// `kept` or `broken`.
    pub answer: &'static str,
    /// As numbers; none of a demand that is met or not.
    pub figures: Option<WorkFigures>,
    /// The row.
    pub rule: String,
    /// In words: found, allowed, left.
    #[serde(skip)]
    pub words: [String; 3],
}

/// Every diver who was spoken of.
pub fn divers(inputs: &Inputs<'_>) -> Vec<DiverHours> {
    let hours = |s: i64| (s as f64 / 36.0).round() / 100.0;
    let rows = inputs.record.divers.rows(inputs.outcome.ended_s);
    let one = |d: &deepstay_core::record::DiverRow| DiverHours {
        diver: inputs.subject.initials(d.diver),
        under_pressure_h: hours(d.pressure_s),
        in_bell_and_water_h: hours(d.bell_s),
        in_water_h: hours(d.water_s),
        bell_runs: d.bell_runs,
        longest_in_bell_and_water_h: hours(d.longest_bell_s),
        shortest_rest_h: d.shortest_rest_s.map(hours),
        limits: inputs
            .working
            .of_divers
            .iter()
            .filter(|a| a.diver == d.diver)
            .map(limit)
            .collect(),
    };
    rows.iter().map(one).collect()
}

fn limit(answer: &DiverAnswer) -> DiverLimit {
    DiverLimit {
        question: answer.question.words(),
        answer: word(answer.kept),
        figures: WorkFigures::of(answer.nearest.margin),
        rule: answer.nearest.rule.id.clone(),
        words: margin_words(answer.nearest.margin),
    }
}

fn word(kept: bool) -> &'static str {
    if kept { "kept" } else { "broken" }
}

/// The table of working time: each question of each diver where he came nearest to its limit, and those that are asked of
/// nobody by himself; lengths in hours, to four places.
pub fn working_csv(inputs: &Inputs<'_>) -> Result<Vec<u8>, csv::Error> {
    let mut out = table();
    row(
        &mut out,
        [
            "question",
            "diver (initials)",
            "answer",
            "found",
            "allowed",
            "left (below nothing where it is broken)",
            "unit",
            "rule row",
            "document",
            "status",
        ],
    )?;
    let mut write = |question: WorkQuestion, diver: String, kept: bool, nearest: &Nearest| {
        let number = |x: f64| x.to_string();
        let [found, allowed, left, unit] = match WorkFigures::of(nearest.margin) {
            Some(WorkFigures::Hours {
                found_h,
                allowed_h,
                left_h,
            }) => [
                number(found_h),
                number(allowed_h),
                number(left_h),
                "h".into(),
            ],
            Some(WorkFigures::Number {
                found,
                allowed,
                left,
            }) => [
                found.to_string(),
                allowed.to_string(),
                left.to_string(),
                String::new(),
            ],
            Some(WorkFigures::Value {
                found,
                allowed,
                left,
                unit,
            }) => [number(found), number(allowed), number(left), unit.into()],
            None => Default::default(),
        };
        row(
            &mut out,
            [
                question.words().to_owned(),
                diver,
                word(kept).to_owned(),
                found,
                allowed,
                left,
                unit,
                nearest.rule.id.clone(),
                nearest.rule.source.document.clone(),
                nearest.rule.source.status.to_string(),
            ],
        )
    };
    for a in &inputs.working.of_divers {
        write(
            a.question,
            inputs.subject.initials(a.diver),
            a.kept,
            &a.nearest,
        )?;
    }
    for a in &inputs.working.answers {
        let (nearest, kept) = match &a.answered {
            Answered::Kept(nearest) => (nearest, true),
            Answered::Broken { worst, .. } => (worst, false),
            Answered::NotJudged(_) => continue,
        };
        let his = |d: &DiverAnswer| nearest.diver == Some(d.diver) && d.question == a.question;
        if !inputs.working.of_divers.iter().any(his) {
            let who = nearest
                .diver
                .map_or_else(String::new, |d| inputs.subject.initials(d));
            write(a.question, who, kept, nearest)?;
        }
    }
    bytes(out)
}
