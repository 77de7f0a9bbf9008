//! Each diver after surfacing: until when he stays near a chamber, when he may fly, when he may be pressed again, each by a
//! row or not judged; and the ear drops and washings of his days under pressure.

use super::asked_by::AskedBy;
use deepstay_core::record::Recorder;
use deepstay_core::units::span;
use deepstay_core::words::Words;
use deepstay_rota::{Until, Worked};
use deepstay_rules::AfterDemand;
use deepstay_scenario::Scenario;
use serde::Serialize;

/// Divers after surfacing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct AfterSummary {
    /// Divers who are at the surface again.
    pub divers: Vec<AfterLine>,
    /// Why demands after surfacing are not judged, where the set has none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_judged: Option<String>,
    /// Rows from memory that the job does not accept.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_accepted: Vec<String>,
    /// Hygiene under pressure.
    pub hygiene: HygieneSummary,
    /// The rows behind the dates.
    pub rows: Vec<AskedBy>,
}

/// A diver.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AfterLine {
    /// Initials.
    pub diver: String,
    /// When he surfaced, vessel time.
    pub surfaced: String,
    /// How long he had been under pressure.
    pub under_pressure: String,
    /// What holds until when.
    pub until: Vec<UntilLine>,
    /// The first date on which he may be pressed again, or why that is not judged.
    pub pressed_again: String,
    /// The row of that; none where it is not judged.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub pressed_again_by: String,
}

/// A demand and its date.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct UntilLine {
    /// What.
    pub what: &'static str,
    /// Until when, vessel time.
    pub until: String,
    /// The row.
    pub rule: String,
}

/// Ear drops and washing.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct HygieneSummary {
    /// What the set asks; why that is not judged, where it asks nothing.
    pub asked: String,
    /// The row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<AskedBy>,
    /// What each diver had on the whole day that had least.
    pub divers: Vec<HygieneLine>,
}

/// A diver's least day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HygieneLine {
    /// Initials.
    pub diver: String,
    /// In words.
    pub least: String,
    /// Whether that is as often as is asked; none where nothing is asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_asked: Option<bool>,
}

impl AfterSummary {
    /// Of a job.
    pub fn of(
        scenario: &Scenario,
        record: &Recorder,
        lived: Option<&Worked>,
        end_s: i64,
    ) -> AfterSummary {
        let (rules, accepted, time) = (&scenario.rules, &scenario.accepted, scenario.time());
        let initials = |id: deepstay_core::units::DiverId| {
            let known = scenario.crew.get(id.index());
            known.map_or_else(String::new, |d| d.initials.clone())
        };
        let all = rules.after_surfacing(accepted);
        let after = lived.map_or_else(Vec::new, |l| l.after_surfacing(end_s, rules, accepted));
        let mut rows: Vec<AskedBy> = Vec::new();
        let mut keep = |until: &Until| {
            let row = AskedBy::from(&until.by);
            if rows.iter().all(|known| known.rule != row.rule) {
                rows.push(row);
            }
        };
        for diver in &after {
            diver.demands.iter().for_each(|(_, until)| keep(until));
            diver.again.iter().for_each(&mut keep);
        }
        let line = |d: &deepstay_rota::AfterSurfacing| {
            let until = |(demand, until): &(AfterDemand, Until)| UntilLine {
                what: demand.words(),
                until: time.civil_minute(until.at_s),
                rule: until.by.id.clone(),
            };
            let (pressed_again, pressed_again_by) = match &d.again {
                Ok(again) => (time.civil_minute(again.at_s), again.by.id.clone()),
                Err(why) => (format!("not judged: {why}"), String::new()),
            };
            AfterLine {
                diver: initials(d.diver),
                surfaced: time.civil_minute(d.surfaced_s),
                under_pressure: span(d.under_s),
                until: d.demands.iter().map(until).collect(),
                pressed_again,
                pressed_again_by,
            }
        };
        let hygiene = rules.hygiene(accepted);
        let days = lived.map_or_else(Vec::new, |l| l.hygiene(record, time, end_s));
        let least = |d: &deepstay_rota::RoutineADay| HygieneLine {
            diver: initials(d.diver),
            least: format!(
                "{} ear drops, {} washings; {} whole days",
                d.ear_drops, d.washed, d.days
            ),
            as_asked: hygiene.as_ref().ok().map(|h| {
                d.ear_drops >= u32::from(h.ear_drops_per_day)
                    && d.washed >= u32::from(h.wash_per_day)
            }),
        };
        AfterSummary {
            divers: after.iter().map(line).collect(),
            not_judged: all.silent(),
            not_accepted: all.missing.iter().map(ToString::to_string).collect(),
            rows,
            hygiene: HygieneSummary {
                divers: days.iter().map(least).collect(),
                asked: match &hygiene {
                    Ok(h) => format!(
                        "ear drops {} times a day, {} each ear; washed {} a day{}",
                        h.ear_drops_per_day,
                        span(h.per_ear_s),
                        match h.wash_per_day {
                            1 => "once".to_owned(),
                            n => format!("{n} times"),
                        },
                        if h.wash_after_dive {
                            " and after each dive"
                        } else {
                            ""
                        }
                    ),
                    Err(refusal) => format!("not judged: {refusal}"),
                },
                by: hygiene.ok().map(|h| AskedBy {
                    rule: h.id,
                    document: h.source.document,
                    status: h.source.status.into(),
                }),
            },
        }
    }
}
