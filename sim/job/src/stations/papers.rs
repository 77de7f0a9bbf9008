//! The timetables that the rule set gave for what is under way. They are not saved: they follow from
//! the state and are asked again after a restore.

use super::asked;
use super::context::Look;
use super::decompress::Decompress;
use deepstay_rules::{CompressionPlan, DecompressionPlan};

/// One side's timetables.
#[derive(Clone, Debug, Default)]
struct Sheet {
    press: Option<(f64, f64, CompressionPlan)>,
    up: Option<(i64, f64, DecompressionPlan)>,
}

/// The timetables of all sides.
#[derive(Clone, Debug, Default)]
pub struct Papers {
    sheets: Vec<Sheet>,
}

impl Papers {
    /// How to press; none if the rule set refuses.
    pub fn compression(
        &mut self,
        look: &Look,
        side: usize,
        from: f64,
        to: f64,
    ) -> Option<&CompressionPlan> {
        let sheet = self.sheet(side);
        if !matches!(sheet.press, Some((f, t, _)) if f == from && t == to) {
            sheet.press =
                asked::compression(&look.kit.scenario, from, to).map(|plan| (from, to, plan));
        }
        sheet.press.as_ref().map(|(.., plan)| plan)
    }

    /// How to come up; none if the rule set refuses.
    pub fn decompression(
        &mut self,
        look: &Look,
        side: usize,
        d: &Decompress,
    ) -> Option<&DecompressionPlan> {
        let sheet = self.sheet(side);
        if !matches!(sheet.up, Some((at, from, _)) if at == d.began && from == d.from_msw) {
            let clock = look.kit.second_of_day(d.began);
            let scenario = &look.kit.scenario;
            let plan = asked::decompression(scenario, d.way, d.from_msw, d.end_msw, clock);
            sheet.up = plan.map(|plan| (d.began, d.from_msw, plan));
        }
        sheet.up.as_ref().map(|(.., plan)| plan)
    }

    fn sheet(&mut self, side: usize) -> &mut Sheet {
        if self.sheets.len() <= side {
            self.sheets.resize_with(side + 1, Sheet::default);
        }
        &mut self.sheets[side]
    }
}
