//! Whether the rule set answers what the plan asks: how to press, how to come up, which climate, which
//! oxygen, which excursions. A missing answer is a diagnostic with the row that is missing.

use super::Part;
use super::check::{day_words, side_of, storage_msw};
use super::plan::Planned;
use crate::file::{JobFile, PlanFile};
use crate::{Diver, LevelDo};
use deepstay_core::units::fixed_short;
use deepstay_read::{Diagnostics, Wrong, did_you_mean, nearest};
use deepstay_rules::{Missing, RuleRefusal, RuleSet};
use std::sync::Arc;

/// Depths closer than this need no excursion, msw: tide and the bell's height over the work.
const AT_STORAGE_MSW: f64 = 1.0;

/// Asks all questions of the plan.
pub fn answers(
    job: &Part<JobFile>,
    rules: &Part<Arc<RuleSet>>,
    part: &Part<PlanFile>,
    planned: &Planned,
    crew: &[Diver],
    diagnostics: &mut Diagnostics,
) {
    let set = &rules.file;
    let accepted = &job.file.accept_recalled;
    let ids: Vec<String> = set.provenance().into_iter().map(|p| p.id).collect();
    for (i, id) in accepted.iter().enumerate() {
        if !ids.contains(id) {
            let suggestion = did_you_mean(nearest(id, ids.iter().map(String::as_str)));
            let wrong = Wrong::NoSuch {
                kind: "rule row",
                name: id.clone(),
                known: needing(set),
            };
            diagnostics.add_with(
                &job.section,
                &format!("accept_recalled[{i}]"),
                wrong,
                suggestion,
            );
        }
    }
    // Which rows may answer is not known where one is misspelt.
    if diagnostics.lacks("rule row") {
        return;
    }
    // However many questions a step leaves open, it is one step that is wrong.
    let mut ask = |path: &str, refusals: Vec<RuleRefusal>| {
        if !refusals.is_empty() {
            let how = suggestion(&refusals);
            diagnostics.add_with(&part.section, path, unanswered(&refusals), how);
        }
    };
    let start_of_day = job.file.start.0.rem_euclid(86_400);
    for (i, side) in planned.plan.levels.iter().enumerate() {
        let mut depth = 0.0;
        for (k, step) in side.steps.iter().enumerate() {
            let path = format!("levels[{i}].steps[{k}].what");
            let second = (start_of_day + step.at).rem_euclid(86_400);
            match step.what {
                LevelDo::Press(to) => {
                    let no = [
                        set.compression(to, accepted).err(),
                        set.storage_oxygen(accepted).err(),
                        set.climate(to, accepted).err(),
                    ];
                    ask(&path, no.into_iter().flatten().collect());
                    depth = to;
                }
                LevelDo::ChangeStorage(to) => {
                    let no = [
                        set.change_storage(depth, to, second, accepted).err(),
                        set.climate(to, accepted).err(),
                    ];
                    ask(&path, no.into_iter().flatten().collect());
                    depth = to;
                }
                LevelDo::Decompress => {
                    let no = set.decompression(depth, second, accepted).err();
                    ask(&path, no.into_iter().collect());
                    depth = 0.0;
                }
                LevelDo::Abort => {
                    let normal = set.decompression(depth, second, accepted).err();
                    let need = set.emergency_decompression(depth, second, accepted).err();
                    ask(&path, normal.and(need).into_iter().collect());
                    depth = 0.0;
                }
            }
        }
    }
    let mut said: Vec<(&str, f64)> = Vec::new();
    for (run, path) in planned.plan.bell_runs.iter().zip(&planned.run_paths) {
        let Some(first) = run.divers.first() else {
            continue;
        };
        let side = side_of(planned, crew, *first, run.at);
        let Some(storage) = side.and_then(|s| storage_msw(planned, s, run.at)) else {
            continue;
        };
        let off = run.depth_msw - storage;
        if off.abs() <= AT_STORAGE_MSW || said.contains(&(path.as_str(), storage)) {
            continue;
        }
        said.push((path, storage));
        let at = format!("{path}.depth");
        if let Err(refusal) = set.excursion(storage, run.depth_msw, accepted) {
            let how = suggestion(std::slice::from_ref(&refusal)).or_else(|| {
                Some(format!(
                    "divers in storage at {} msw work there",
                    fixed_short(storage)
                ))
            });
            let wrong = Wrong::Contradiction(format!(
                "on {} divers stored at {} msw are to work at {} msw: {refusal}",
                day_words(run.at),
                fixed_short(storage),
                fixed_short(run.depth_msw)
            ));
            diagnostics.add_with(planned.section(&part.section, path), &at, wrong, how);
        }
    }
}

fn unanswered(refusals: &[RuleRefusal]) -> Wrong {
    let words: Vec<String> = refusals.iter().map(ToString::to_string).collect();
    let missing = refusals.iter().flat_map(|r| &r.missing);
    Wrong::Unanswered {
        words: words.join("; "),
        rows: missing.map(|m| m.id.clone()).collect(),
    }
}

fn needing(set: &RuleSet) -> Vec<String> {
    set.provenance()
        .into_iter()
        .filter(|p| p.needs_acceptance)
        .map(|p| p.id)
        .collect()
}

fn suggestion(refusals: &[RuleRefusal]) -> Option<String> {
    let ids: Vec<String> = refusals
        .iter()
        .flat_map(|r| &r.missing)
        .filter(|m| matches!(m.why, Missing::NeedsAcceptance(_)))
        .map(|m| format!("\"{}\"", m.id))
        .collect();
    (!ids.is_empty()).then(|| {
        format!(
            "to use it knowingly, write accept_recalled: [{}]",
            ids.join(", ")
        )
    })
}
