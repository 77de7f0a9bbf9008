//! From a study and what was concluded of it to its papers.

use super::inputs::{StockInputs, StockPapers};
use super::load::inputs::StockLoadInputs;
use crate::subject::Subject;
use deepstay_core::units::Units;
use deepstay_stock::{Conclusion, Study};

impl<'a> StockPapers<'a> {
    /// The papers of a study, under the names of its job.
    pub fn of(
        subject: &'a Subject,
        study: &'a Study,
        conclusion: &'a Conclusion,
        units: Units,
    ) -> StockPapers<'a> {
        let base = &study.ensemble.base.study;
        let alone = study.alone.as_ref();
        StockPapers {
            study: StockInputs {
                subject,
                head: &study.head,
                gases: &study.ensemble.gases,
                sources: &study.ensemble.sources,
                answer: &conclusion.answer,
                jobs: &study.jobs,
                failed: &study.failed,
                interrupted: study.interrupted,
                covered: base.covered,
                alone: alone.map(|(swings, demand)| (swings.as_slice(), demand.as_slice())),
                what_if: study.what_if.as_ref(),
                today: conclusion.today.as_ref(),
                burning: base.burning.as_ref(),
                remarks: &conclusion.remarks,
                units,
            },
            sheet: conclusion.sheet(),
            posted: &conclusion.together,
            beside: conclusion.sheets.get(1).zip(conclusion.beside.as_deref()),
            load: conclusion.load.as_ref().map(|l| StockLoadInputs {
                title: &subject.title,
                load: &l.load,
                supplier: &l.supplier,
                needs: &l.needs,
                courses: &l.courses,
                demand: &l.demand,
                reserve: &l.reserve,
                boats_from: match &conclusion.today {
                    Some(_) => "from what lies in the banks today",
                    None => "if the job starts with the stock that the scenario has",
                },
                lost_reclaim: l.lost,
                units,
            }),
        }
    }
}
