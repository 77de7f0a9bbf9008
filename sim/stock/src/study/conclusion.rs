//! What is made of a study's jobs: the minimums, the answer, the load, the forecast from today.

use super::remarks::remarks;
use super::{Basis, Study, StudyError};
use crate::reserve::{self, Pair, ReserveInputs, Sheet};
use crate::supply::{self, By, Course, Load, LostReclaim, Need, Terms};
use crate::{
    Answer, Assimilation, Floors, Forecast, answer, floors, forecast, needs, quantile_of,
    reclaimed_a_day_mol, reserve_inputs,
};
use deepstay_core::gas::Amounts;
use deepstay_plant::Duty;
use deepstay_scenario::{Present, Supplier};

/// From today.
#[derive(Clone, Debug)]
pub struct Today {
    /// How the job stands.
    pub present: Present,
    /// What that says of the inputs.
    pub look: Assimilation,
    /// Where the stock goes.
    pub forecast: Forecast,
}

/// What to load, worked out from a supplier's list.
#[derive(Clone, Debug)]
pub struct ToLoad {
    /// The list.
    pub supplier: Supplier,
    /// What each gas is needed for.
    pub needs: Vec<Need>,
    /// Each need's course by day.
    pub courses: Vec<Course>,
    /// What to load, and when to send for more.
    pub load: Load,
    /// Which need lives on reclaim, and what losing it costs.
    pub lost: Option<(usize, LostReclaim)>,
    /// What the demand covers, in words.
    pub demand: String,
    /// What is held in reserve, in words.
    pub reserve: String,
}

/// Everything that is made of a study.
#[derive(Clone, Debug)]
pub struct Conclusion {
    /// The minimums, by each rule set asked for: one, or two.
    pub sheets: Vec<Sheet>,
    /// The sets together, of each kind of stock the one that asks for most: what is posted, and what the jobs are held
    /// against.
    pub together: Sheet,
    /// The second set's minimums beside the first's.
    pub beside: Option<Vec<Pair>>,
    /// Demand, chances, and what moves them.
    pub answer: Answer,
    /// From today, where the job is under way.
    pub today: Option<Today>,
    /// What to load, where there is a supplier.
    pub load: Option<ToLoad>,
    /// What a reader has to be told before the figures, a sentence each.
    pub remarks: Vec<String>,
}

impl Conclusion {
    pub(super) fn of(study: &Study, basis: &Basis) -> Result<Conclusion, StudyError> {
        let base = &study.ensemble.base;
        let inputs = reserve_inputs(&base.study.planner);
        let sheets: Vec<Sheet> = basis
            .rule_sets(base)?
            .iter()
            .map(|set| reserve::sheet(base, set, &inputs))
            .collect();
        let together = reserve::together(&sheets).unwrap_or_else(|| sheets[0].clone());
        let floors = floors(&study.ensemble, &together, &inputs);
        let answer = answer(&study.ensemble, &study.jobs, study.asked, &floors);
        let today = today(study, &floors);
        let by = LoadBy {
            answer: &answer,
            sheet: &together,
            inputs: &inputs,
            floors: &floors,
            today: today.as_ref(),
        };
        Ok(Conclusion {
            load: to_load(study, basis, &by)?,
            remarks: remarks(study, &answer, &sheets),
            beside: sheets
                .get(1)
                .map(|other| reserve::beside(&sheets[0], other)),
            sheets,
            together,
            answer,
            today,
        })
    }

    /// The minimums by the first rule set.
    pub fn sheet(&self) -> &Sheet {
        &self.sheets[0]
    }

    /// Whether a minimum is not met at the start, or a job went below one or ran out.
    pub fn runs_short(&self) -> bool {
        let below = self
            .answer
            .chance
            .last()
            .is_some_and(|c| c.minimum.hits > 0);
        let absorbent = self.answer.absorbent.as_ref();
        let short = absorbent
            .and_then(|a| a.chance.last())
            .is_some_and(|c| c.stopped.hits > 0);
        !self.together.all_met() || self.answer.cut_short.hits > 0 || below || short
    }
}

fn today(study: &Study, floors: &Floors) -> Option<Today> {
    let underway = study.underway.as_ref()?;
    Some(Today {
        present: underway.present.clone(),
        look: underway.assimilation.clone(),
        forecast: forecast(
            &study.ensemble,
            &study.jobs,
            &underway.present,
            &underway.assimilation.now_mol,
            floors,
        ),
    })
}

/// What a load is reckoned from.
struct LoadBy<'a> {
    answer: &'a Answer,
    sheet: &'a Sheet,
    inputs: &'a ReserveInputs,
    floors: &'a Floors,
    today: Option<&'a Today>,
}

fn to_load(study: &Study, basis: &Basis, by: &LoadBy<'_>) -> Result<Option<ToLoad>, StudyError> {
    let base = &study.ensemble.base;
    let pairs = needs(
        &study.ensemble,
        by.answer,
        &study.jobs,
        by.sheet,
        by.inputs,
        by.floors,
    );
    let (needs, mut courses): (Vec<Need>, Vec<Course>) = pairs.into_iter().unzip();
    let asked: Vec<(Duty, Amounts)> = needs.iter().map(|n| (n.gas.duty, n.mix)).collect();
    let Some(mut supplier) = basis.list(base, &asked)? else {
        return Ok(None);
    };
    if let Some(today) = by.today {
        courses.clone_from(&today.forecast.courses);
        if let (Some(calls), Some(boat)) = (&mut supplier.boat, today.present.boat_s) {
            calls.first_s = boat;
        }
    }
    let load = supply::load(
        &needs,
        &courses,
        &supplier,
        &Terms {
            by: By::default(),
            absorbent_kg: absorbent_kg(study, by.sheet),
            earliest_order_s: by.today.map(|t| t.present.at_s),
        },
    );
    let lost = needs
        .iter()
        .position(|n| n.gas.duty == Duty::DiverGas)
        .and_then(|i| {
            let a_day = reclaimed_a_day_mol(&study.jobs)?;
            Some((i, supply::lost_reclaim(&needs[i], a_day, &supplier)?))
        });
    Ok(Some(ToLoad {
        supplier,
        needs,
        courses,
        load,
        lost,
        demand: format!(
            "what {:.0} % of {} simulated jobs do not exceed",
            base.study.covered * 100.0,
            study.jobs.len()
        ),
        reserve: format!("the minimums of rule set {}", by.sheet.set),
    }))
}

/// What is drawn of it and what is to be held, kg.
fn absorbent_kg(study: &Study, sheet: &Sheet) -> f64 {
    let drawn_kg = quantile_of(
        study.jobs.iter().map(|r| r.absorbent_kg).collect(),
        study.ensemble.base.study.covered,
    );
    let minimum_kg: f64 = sheet
        .totals
        .iter()
        .filter(|t| !t.holding.is_gas())
        .map(|t| t.amount)
        .sum();
    drawn_kg + minimum_kg
}
