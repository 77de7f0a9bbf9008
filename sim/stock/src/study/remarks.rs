//! What a reader of a study has to be told before its figures.

use super::Study;
use crate::reserve::{Sheet, Total};
use crate::{Answer, Gas, burning_tasks, ranks};
use deepstay_plant::Duty;

/// What a reader has to be told before the figures.
pub(super) fn remarks(study: &Study, answer: &Answer, sheets: &[Sheet]) -> Vec<String> {
    let mut all = Vec::new();
    if study.underway.is_some() {
        all.push("Demand and the mobilisation list are of a whole job from its start, with what is believed now; what to order now stands under the supply boats.".to_owned());
    }
    // Of several sets a minimum that is not met stands first, whichever asks for it: the first's stand in their own table.
    for sheet in sheets.iter().skip(1) {
        for total in sheet.totals.iter().filter(|t| !t.met) {
            let told = |amount: f64| match total.free_m3(amount) {
                Some(m3) => format!("{m3:.0} m3 of free gas"),
                None => format!("{amount:.0} kg"),
            };
            all.push(format!(
                "The minimum of {} by rule set {} is not met: it asks for {}, and {} are held ({}).",
                total.holding,
                sheet.set,
                told(total.amount),
                told(total.held),
                total.rules().join(", ")
            ));
        }
    }
    let torches: Vec<&str> = burning_tasks(&study.ensemble.base)
        .map(|t| t.name.as_str())
        .collect();
    let oxygen = |g: &Gas| g.duty == Duty::Oxygen;
    if !torches.is_empty() && study.ensemble.base.study.burning.is_none() {
        all.push(format!(
            "Tasks of the work list burn oxygen ({}), and the study has no figure for it: none is in demand, chances or load. Give it burning: (m3_per_hour: ..., source: ...).",
            torches.join(", ")
        ));
    } else if !torches.is_empty() && !study.ensemble.gases.iter().any(oxygen) {
        all.push("Tasks of the work list burn oxygen, and the stock has no bank of it: it is in no demand and no chance.".to_owned());
    }
    let mut nothing: Vec<&Total> = sheets.iter().flat_map(Sheet::held_in_nothing).collect();
    nothing.sort_by_key(|t| t.holding);
    nothing.dedup_by_key(|t| t.holding);
    for total in nothing {
        all.push(format!(
            "No gas of the stock counts towards the minimum of {} ({}): it is in no line of the load. Give the stock a bank for it; gas for masks and divers must lie within 0.16 to 1.25 ata of oxygen at the depth.",
            total.holding,
            total.rules().join(", ")
        ));
    }
    for span in sheets
        .iter()
        .take(1)
        .flat_map(|s| &s.lines)
        .flat_map(|l| l.untreated())
    {
        all.push(format!(
            "Treatment gas is short from {:.0} to {:.0} msw: what is held there lasts everybody {:.1} h.",
            span.from_msw,
            span.to_msw,
            span.lasts_h()
        ));
    }
    if answer
        .absorbent
        .as_ref()
        .is_some_and(|a| a.stock.spare_kg.is_none())
    {
        all.push("The study does not say what absorbent is aboard beside the scrubbers' first filling: no chance speaks of it. Give planner: (spare_absorbent: ...), as \"1.2 t\".".to_owned());
    }
    let missing = (answer.asked.1 - answer.asked.0).saturating_sub(answer.jobs as u64);
    if missing > 0 {
        let why = if study.interrupted {
            "it was interrupted"
        } else {
            "they are in no file, or could not be run"
        };
        all.push(format!("{missing} of the jobs asked for are missing: {why}. The figures are of the {} there are.", answer.jobs));
    }
    let covered = study.ensemble.base.study.covered;
    if ranks(answer.jobs, covered).is_err() {
        let enough = (answer.jobs..10_000).find(|n| ranks(*n, covered).is_ok());
        let enough = enough.map_or(String::new(), |n| format!(": {n} jobs are enough"));
        all.push(format!(
            "So few jobs cannot bound the demand that {:.0} % of them do not exceed{enough}.",
            covered * 100.0
        ));
    }
    if answer.cut_short.hits > 0 {
        let words = "so demand, load and price are at least what stands here, and a smaller stock would show less; --ample 10 takes that limit away";
        all.push(format!("In {} of the {} jobs the stock ran out (an order or run failed, a gas came within 2 % of its heel by a house rule, or another stood in): {words}.", answer.cut_short.hits, answer.jobs));
    }
    if study.ensemble.ample() > 1.0 {
        let times = study.ensemble.ample();
        all.push(format!("Every bank was taken {times} times as large as it is, so that no job is stopped on minimum gas; chances by day are of that stock."));
    }
    if study.ensemble.sources.is_empty() {
        all.push(
            "The scenario has no study: nothing was drawn, and every job is the same.".to_owned(),
        );
    }
    all
}
