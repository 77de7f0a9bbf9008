//! The shift list, and each least number of a rule set against the fewest who are on shift at any minute of the day.

use super::asked_by::AskedBy;
use deepstay_core::units::text::TimeOfDay;
use deepstay_core::words::Words;
use deepstay_rules::{Asked, CrewFigures, Manned, Post};
use deepstay_scenario::Scenario;
use serde::Serialize;

/// The shift list.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ShiftSummary {
    /// Shifts as the scenario has them.
    pub shifts: Vec<ShiftLine>,
    /// Divers by team.
    pub teams: Vec<String>,
    /// Each least number.
    pub least_numbers: Vec<CrewLine>,
    /// Why nothing is judged, where nothing is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_judged: Option<String>,
}

/// A shift.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShiftLine {
    /// The post.
    pub post: &'static str,
    /// From and to, vessel time.
    pub hours: String,
    /// How many.
    pub people: u8,
}

/// A least number and what there is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrewLine {
    /// The row's id, by which the line is known.
    pub rule: String,
    /// The post.
    pub post: &'static str,
    /// When it is manned.
    pub manned: &'static str,
    /// At least so many.
    pub least: u8,
    /// The fewest at any minute; none where that is not judged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub found: Option<u8>,
    /// `kept`, `broken` or `not judged`.
    pub answer: &'static str,
    /// Why it was not judged.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
    /// The row.
    pub by: AskedBy,
}

impl ShiftSummary {
    /// Of a scenario.
    pub fn of(scenario: &Scenario) -> ShiftSummary {
        let all = scenario.rules.surface_crew(&scenario.accepted);
        let shifts = scenario.surface.iter().map(|s| ShiftLine {
            post: s.post.words(),
            hours: format!("{} to {}", TimeOfDay(s.from_s), TimeOfDay(s.to_s)),
            people: s.people,
        });
        let mut teams: Vec<u8> = scenario.crew.iter().map(|d| d.team).collect();
        teams.sort_unstable();
        teams.dedup();
        let team = |team: u8| {
            let of_it = scenario.crew.iter().filter(|d| d.team == team);
            let initials: Vec<&str> = of_it.map(|d| d.initials.as_str()).collect();
            format!("team {team}: {}", initials.join(", "))
        };
        ShiftSummary {
            shifts: shifts.collect(),
            teams: teams.into_iter().map(team).collect(),
            not_judged: all.silent(),
            least_numbers: all.of.iter().map(|a| line(scenario, a)).collect(),
        }
    }
}

fn line(scenario: &Scenario, asked: &Asked<CrewFigures>) -> CrewLine {
    let CrewFigures {
        post,
        least,
        manned,
    } = asked.figures;
    let why = match (manned, scenario.surface.is_empty()) {
        (_, true) => "the scenario says nothing of who is on shift at the surface",
        (Manned::OpenCircuit, _) if scenario.plan.reclaim => "divers breathe from the loop",
        (Manned::UntilSaturated, _) => {
            "the list is of every day alike: who stands by for the first is asked on board"
        }
        (Manned::Diving | Manned::UnderPressure | Manned::OpenCircuit, _) => "",
    };
    let found = why.is_empty().then(|| fewest(scenario, post));
    CrewLine {
        rule: asked.by.id.clone(),
        post: post.words(),
        manned: manned.words(),
        least,
        found,
        answer: match found {
            None => "not judged",
            Some(found) if found < least => "broken",
            Some(_) => "kept",
        },
        why: why.to_owned(),
        by: (&asked.by).into(),
    }
}

/// The fewest at a post at any minute of the day.
fn fewest(scenario: &Scenario, post: Post) -> u8 {
    let at = |minute: i64| {
        let there = scenario.surface.iter().filter(|s| s.post == post);
        there.map(|s| s.at(minute * 60)).fold(0, u8::saturating_add)
    };
    (0..24 * 60).map(at).min().unwrap_or(0)
}
