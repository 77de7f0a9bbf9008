//! From a rota and what is known of it to what its papers are made of.

use super::inputs::RotaInputs;
use super::rests_on::rota_provenance;
use crate::provenance::ProvenanceRow;
use crate::subject::Subject;
use deepstay_core::units::Units;
use deepstay_plant::Activity;
use deepstay_rota::seafarer::Worst;
use deepstay_rota::tired::{Tired, tired, watch_rest};
use deepstay_rota::{Appraisal, JudgedBy, Sums, Under, sums};
use deepstay_scenario::Scenario;

/// All that a rota's papers are made of.
#[derive(Clone, Debug)]
pub struct RotaPapers<'a> {
    subject: &'a Subject,
    scenario: &'a Scenario,
    appraisal: &'a Appraisal,
    under: &'a [Under],
    sums: Sums,
    tired: Vec<Tired>,
    watches: [Vec<Worst>; 2],
    provenance: Vec<ProvenanceRow>,
}

impl<'a> RotaPapers<'a> {
    /// Works out what the papers tell beside the rota itself.
    pub fn of(
        (subject, scenario): (&'a Subject, &'a Scenario),
        appraisal: &'a Appraisal,
        by: &JudgedBy,
        under: &'a [Under],
    ) -> RotaPapers<'a> {
        let (problem, rota) = (&appraisal.problem, &appraisal.rota);
        let days = problem.day(problem.last_s) - problem.day(problem.first_s);
        RotaPapers {
            subject,
            scenario,
            appraisal,
            under,
            sums: sums(rota, problem),
            tired: tired(problem, rota, scenario.plan.night_s),
            watches: watch_rest(scenario.plan.handover_s, days),
            provenance: rota_provenance(problem, &by.rules, &appraisal.verdict, &appraisal.binding),
        }
    }

    /// As the pages take it, in units.
    pub fn inputs(&self, units: Units) -> RotaInputs<'_> {
        let (sums, appraisal) = (&self.sums, self.appraisal);
        let plan = &self.scenario.plan;
        RotaInputs {
            subject: self.subject,
            problem: &appraisal.problem,
            rota: &appraisal.rota,
            made_by: &appraisal.made_by,
            verdict: &appraisal.verdict,
            progress: &sums.progress,
            divers: &sums.divers,
            bells: &sums.bells,
            fairness: sums.fairness,
            worth: appraisal.worth,
            binding: &appraisal.binding,
            prices: &appraisal.prices,
            tired: &self.tired,
            watches: &self.watches,
            under: self.under,
            remarks: &appraisal.remarks,
            provenance: &self.provenance,
            work: plan
                .bell_runs
                .first()
                .map_or(Activity::WaterModerate, |r| r.work),
            night_s: plan.night_s,
            units,
        }
    }
}
