//! The timetables that the rule set gave for what is under way. They are not saved: they follow from
//! the state and are asked again after a restore.

use super::asked;
use super::context::Look;
use super::decompress::Decompress;
use deepstay_rules::{CompressionPlan, DecompressionPlan};

/// One level's timetables.
#[derive(Clone, Debug, Default)]
struct Taken {
    press: Option<(f64, f64, CompressionPlan)>,
    up: Option<(i64, f64, DecompressionPlan)>,
}

/// The timetables of all levels.
#[derive(Clone, Debug, Default)]
pub struct Timetables {
    levels: Vec<Taken>,
}

impl Timetables {
    /// How to press; none if the rule set refuses.
    pub fn compression(
        &mut self,
        look: &mut Look,
        level: usize,
        from: f64,
        to: f64,
    ) -> Option<&CompressionPlan> {
        let taken = self.of(level);
        if !matches!(taken.press, Some((f, t, _)) if f == from && t == to) {
            taken.press = asked::compression(look, from, to).map(|plan| (from, to, plan));
        }
        taken.press.as_ref().map(|(.., plan)| plan)
    }

    /// How to come up; none if the rule set refuses.
    pub fn decompression(
        &mut self,
        look: &mut Look,
        level: usize,
        d: &Decompress,
    ) -> Option<&DecompressionPlan> {
        let taken = self.of(level);
        if !matches!(taken.up, Some((at, from, _)) if at == d.began && from == d.from_msw) {
            let plan = asked::decompression(look, d.ascent, d.from_msw, d.end_msw, d.began);
            taken.up = plan.map(|plan| (d.began, d.from_msw, plan));
        }
        taken.up.as_ref().map(|(.., plan)| plan)
    }

    fn of(&mut self, level: usize) -> &mut Taken {
        if self.levels.len() <= level {
            self.levels.resize_with(level + 1, Taken::default);
        }
        &mut self.levels[level]
    }
}
