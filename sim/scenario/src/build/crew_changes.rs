//! Crew changes: a chamber is to be at the surface by a date, and its decompression is planned backwards
//! from there under the rule set in use.

use super::check::day_words;
use super::plan::Planned;
use super::{Names, Part};
use crate::file::{JobFile, PlanFile};
use crate::{CrewChange, LevelDo, LevelStep};
use deepstay_read::{Diagnostics, Wrong};
use deepstay_rules::RuleSet;

/// Puts the decompressions of crew changes into the plan's sides.
pub fn plan_back(
    job: &Part<JobFile>,
    rules: &RuleSet,
    part: &Part<PlanFile>,
    planned: &mut Planned,
    names: &Names,
    diagnostics: &mut Diagnostics,
) {
    let Part { file, section } = part;
    for (i, change) in file.crew_changes.iter().enumerate() {
        let path = format!("crew_changes[{i}]");
        let at = format!("{path}.chamber");
        let Some(chamber) = names.compartment(&change.chamber, section, &at, diagnostics) else {
            continue;
        };
        let by_s = change.surface_by.0;
        let Some(side) = planned
            .plan
            .levels
            .iter()
            .position(|s| s.members.first() == Some(&chamber))
        else {
            let words = format!(
                "`{}` is the living chamber of no level of the plan",
                change.chamber
            );
            diagnostics.add(section, &at, Wrong::Contradiction(words));
            continue;
        };
        let steps = &planned.plan.levels[side].steps;
        let pressed = steps
            .iter()
            .rfind(|s| s.at < by_s && matches!(s.what, LevelDo::Press(_)));
        let Some(pressed_s) = pressed.map(|s| s.at) else {
            let words = format!("`{}` is not under pressure by then", change.chamber);
            diagnostics.add(
                section,
                &format!("{path}.surface_by"),
                Wrong::Contradiction(words),
            );
            continue;
        };
        let until_s = steps.iter().map(|s| (s.at, s.what)).find_map(|(at, what)| {
            (at > pressed_s && matches!(what, LevelDo::Press(_))).then_some(at)
        });
        let here = |s: &&LevelStep| s.at >= pressed_s && until_s.is_none_or(|u| s.at < u);
        let mut depths = steps.iter().filter(here).filter_map(|s| match s.what {
            LevelDo::Press(d) | LevelDo::ChangeStorage(d) => Some((s.at, d)),
            LevelDo::Decompress | LevelDo::Abort => None,
        });
        let Some((last_s, depth_msw)) = depths.next_back() else {
            continue;
        };
        let start_of_day = job.file.start.0.rem_euclid(86_400);
        let accepted = &job.file.accept_recalled;
        let latest = rules.latest_decompression_start(depth_msw, by_s, start_of_day, accepted);
        let Ok((latest_s, length_s)) = latest else {
            // That the set does not answer is complained of with the other questions of the plan.
            continue;
        };
        let again = planned
            .plan
            .crew_changes
            .iter()
            .any(|c| c.chamber == chamber && c.surface_by_s > pressed_s);
        let late = until_s.is_some_and(|u| u < by_s);
        if again || late {
            let words = format!(
                "this crew change of `{}` overlaps another: it is not pressed again between them",
                change.chamber
            );
            diagnostics.add(section, &path, Wrong::Contradiction(words));
            continue;
        }
        let written = steps
            .iter()
            .filter(here)
            .find(|s| matches!(s.what, LevelDo::Decompress | LevelDo::Abort));
        let starts_s = match written {
            Some(step) if step.at > latest_s => {
                let words = format!(
                    "`{}` begins to come up on {}; to be at the surface by {} it begins by {} (it takes {:.1} days)",
                    change.chamber,
                    day_words(step.at),
                    day_words(by_s),
                    day_words(latest_s),
                    length_s as f64 / 86_400.0
                );
                diagnostics.add(
                    section,
                    &format!("{path}.surface_by"),
                    Wrong::Contradiction(words),
                );
                continue;
            }
            Some(step) => step.at,
            None if latest_s <= last_s => {
                let words = format!(
                    "to be at the surface by {} `{}` would have to begin on {}, before it is at its depth",
                    day_words(by_s),
                    change.chamber,
                    day_words(latest_s)
                );
                diagnostics.add(
                    section,
                    &format!("{path}.surface_by"),
                    Wrong::Contradiction(words),
                );
                continue;
            }
            None => {
                let steps = &mut planned.plan.levels[side].steps;
                steps.push(LevelStep {
                    at: latest_s,
                    what: LevelDo::Decompress,
                });
                steps.sort_by_key(|s| s.at);
                latest_s
            }
        };
        planned.plan.crew_changes.push(CrewChange {
            chamber,
            surface_by_s: by_s,
            starts_s,
        });
    }
}
