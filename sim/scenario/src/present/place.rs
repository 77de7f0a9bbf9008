//! Where a level is in its plan and in what it does: which step of the plan comes next, and which step of a
//! decompression's timetable a depth belongs to.

use crate::{Ascent, Level, LevelDo, Scenario};
use deepstay_core::record::Phase;
use deepstay_core::units::fixed_short;
use deepstay_rules::DecompressionPlan;
use serde::{Deserialize, Serialize};

/// Two depths of a plan are one within this, msw.
pub(super) const SAME_MSW: f64 = 0.5;
/// How far the gauge may be from the place that the timetable has for it, msw: a step late, and a gauge's step (house
/// figure).
const OFF_PLACE_MSW: f64 = 1.5;

/// What a level does.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub enum LevelStands {
    /// At surface pressure.
    Surface,
    /// Being pressed from a depth to another, msw.
    Compression {
        /// Depth it left.
        from_msw: f64,
        /// Depth it goes to.
        to_msw: f64,
    },
    /// Held at a depth, msw.
    Storage {
        /// Which.
        depth_msw: f64,
    },
    /// Coming up.
    Decompression {
        /// Depth it left, msw.
        from_msw: f64,
        /// Depth it comes up to, msw; nought for the surface.
        to_msw: f64,
        /// When it left, s.
        began_s: i64,
        /// Why, and so by which timetable.
        why: Ascent,
        /// Step of the timetable that comes next, or is under way.
        step: usize,
        /// Depth that is held until then, msw.
        held_msw: f64,
    },
}

impl LevelStands {
    /// The phase that it is in.
    pub fn phase(&self) -> Phase {
        match self {
            LevelStands::Surface => Phase::Surface,
            LevelStands::Compression { .. } => Phase::Compression,
            LevelStands::Storage { .. } => Phase::Storage,
            LevelStands::Decompression { .. } => Phase::Decompression,
        }
    }

    /// The depth it left and the one that it is to have now, msw.
    pub fn ordered_msw(&self) -> (f64, f64) {
        match *self {
            LevelStands::Surface => (0.0, 0.0),
            LevelStands::Compression { from_msw, to_msw } => (from_msw, to_msw),
            LevelStands::Storage { depth_msw } => (depth_msw, depth_msw),
            LevelStands::Decompression { held_msw, .. } => (held_msw, held_msw),
        }
    }
}

/// The step of a level's plan that comes after what it does, and what had to be made of the plan for it.
pub(super) struct NextStep {
    pub step: usize,
    /// Steps that are late, or were taken early.
    pub remark: Option<String>,
}

/// Finds the next step of a level that does something at a second; none where the plan has nothing like it.
pub(super) fn next_step(level: &Level, at_s: i64, stands: &LevelStands) -> Option<NextStep> {
    let steps = &level.steps;
    let due = steps.iter().take_while(|s| s.at <= at_s).count();
    let near = |a: f64, b: f64| (a - b).abs() <= SAME_MSW;
    let leads_here = |what: LevelDo| match (*stands, what) {
        (LevelStands::Surface, LevelDo::Decompress | LevelDo::Abort) => true,
        (
            LevelStands::Compression { to_msw, .. },
            LevelDo::Press(d) | LevelDo::ChangeStorage(d),
        ) => near(d, to_msw),
        (LevelStands::Storage { depth_msw }, LevelDo::Press(d) | LevelDo::ChangeStorage(d)) => {
            near(d, depth_msw)
        }
        (LevelStands::Decompression { to_msw, .. }, LevelDo::ChangeStorage(d)) => near(d, to_msw),
        (LevelStands::Decompression { to_msw, .. }, LevelDo::Decompress | LevelDo::Abort) => {
            to_msw == 0.0
        }
        (LevelStands::Surface, LevelDo::Press(_) | LevelDo::ChangeStorage(_))
        | (
            LevelStands::Compression { .. } | LevelStands::Storage { .. },
            LevelDo::Decompress | LevelDo::Abort,
        )
        | (LevelStands::Decompression { .. }, LevelDo::Press(_)) => false,
    };
    let taken = steps[..due].iter().rposition(|s| leads_here(s.what));
    let step = match (taken, *stands) {
        (Some(k), _) => k + 1,
        (None, LevelStands::Surface) => 0,
        // What the plan has for later has been begun early.
        (None, _) => due + steps[due..].iter().position(|s| leads_here(s.what))? + 1,
    };
    let remark = match step {
        step if step < due => Some(format!(
            "{} of the plan {} late, and {} taken at once",
            count(due - step),
            if due - step == 1 { "is" } else { "are" },
            if due - step == 1 { "is" } else { "are" },
        )),
        step if step > due => Some("what it does was begun before the plan has it".to_owned()),
        _ => None,
    };
    Some(NextStep { step, remark })
}

fn count(steps: usize) -> String {
    match steps {
        1 => "a step".to_owned(),
        n => format!("{n} steps"),
    }
}

/// Why a level comes up, by the last step of its plan that did.
pub(super) fn why_up(level: &Level, next: usize, from_msw: f64, to_msw: f64) -> Ascent {
    if to_msw > 0.0 {
        return Ascent::Change;
    }
    let taken = &level.steps[..next.min(level.steps.len())];
    match taken.last().map(|s| s.what) {
        Some(LevelDo::Abort) => {
            let stored = taken.iter().any(|s| match s.what {
                LevelDo::Press(d) | LevelDo::ChangeStorage(d) => (d - from_msw).abs() <= SAME_MSW,
                LevelDo::Decompress | LevelDo::Abort => false,
            });
            match stored {
                true => Ascent::Emergency,
                false => Ascent::StillPressing,
            }
        }
        _ => Ascent::Planned,
    }
}

/// A place on a timetable.
pub(super) struct Place {
    pub step: usize,
    pub held_msw: f64,
}

/// The place that a depth has on a timetable so many seconds after it began, or why it has none, and what would be right.
pub(super) fn place(
    plan: &DecompressionPlan,
    from_msw: f64,
    since_s: i64,
    depth_msw: f64,
) -> Result<Place, (f64, Option<i64>)> {
    let begun = plan
        .steps
        .iter()
        .take_while(|s| s.start_s <= since_s)
        .count();
    let to = |k: usize| plan.steps[k].to_msw;
    let before = |k: usize| if k == 0 { from_msw } else { to(k - 1) };
    let (low, high) = match begun {
        0 => (from_msw, from_msw),
        n => (to(n - 1), before(n - 1)),
    };
    if depth_msw < low - OFF_PLACE_MSW || depth_msw > high + OFF_PLACE_MSW {
        let there = (0..plan.steps.len()).find(|&k| to(k) <= depth_msw);
        return Err((low, there.map(|k| plan.steps[k].start_s)));
    }
    let under_way = begun > 0 && depth_msw > low + 0.05;
    Ok(match under_way {
        true => Place {
            step: begun - 1,
            held_msw: high,
        },
        false => Place {
            step: begun,
            held_msw: low,
        },
    })
}

/// That a depth is off the timetable, and what would be on it.
pub(super) fn off_the_timetable(
    scenario: &Scenario,
    (from_msw, began_s): (f64, i64),
    (at_s, depth_msw): (i64, f64),
    (stands_msw, there_s): (f64, Option<i64>),
) -> (String, Option<String>) {
    let time = scenario.time();
    let words = format!(
        "the timetable from {} msw that began on {} is at {} msw now, and the gauge shows {} msw",
        fixed_short(from_msw),
        time.clock(began_s),
        fixed_short(stands_msw),
        fixed_short(depth_msw)
    );
    let how = there_s.map(|s| {
        format!(
            "it is at {} msw {:.1} h after it began: one that began on {} would be there now, or nearly, as its rests go by the clock",
            fixed_short(depth_msw),
            s as f64 / 3600.0,
            time.clock((at_s - s).max(0))
        )
    });
    (words, how)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::LevelStep;
    use deepstay_rules::{DecompressionStep, Source};

    fn level(steps: &[(i64, LevelDo)]) -> Level {
        let step = |&(at, what): &(i64, LevelDo)| LevelStep { at, what };
        Level {
            members: Vec::new(),
            steps: steps.iter().map(step).collect(),
        }
    }

    #[test]
    fn what_is_late_comes_at_once_and_what_was_early_is_not_done_again() {
        let plan = level(&[
            (0, LevelDo::Press(84.0)),
            (100, LevelDo::ChangeStorage(96.0)),
            (200, LevelDo::Decompress),
        ]);
        let next =
            |at_s, stands| next_step(&plan, at_s, &stands).map(|n| (n.step, n.remark.is_some()));
        let stored = |depth_msw| LevelStands::Storage { depth_msw };
        assert_eq!(next(50, stored(84.0)), Some((1, false)));
        assert_eq!(next(150, stored(96.0)), Some((2, false)));
        assert_eq!(next(150, stored(84.0)), Some((1, true)));
        assert_eq!(next(250, stored(96.0)), Some((2, true)));
        assert_eq!(next(50, stored(60.0)), None);
        let up = |from_msw, to_msw| LevelStands::Decompression {
            from_msw,
            to_msw,
            began_s: 0,
            why: Ascent::Planned,
            step: 0,
            held_msw: from_msw,
        };
        assert_eq!(next(250, up(96.0, 0.0)), Some((3, false)));
        assert_eq!(next(150, up(96.0, 0.0)), Some((3, true)));
        assert_eq!(next(300, LevelStands::Surface), Some((3, false)));
        assert_eq!(next(50, LevelStands::Surface), Some((0, true)));
        let press = LevelStands::Compression {
            from_msw: 84.0,
            to_msw: 96.0,
        };
        assert_eq!(next(150, press), Some((2, false)));
    }

    #[test]
    fn a_depth_has_its_place_on_a_timetable_or_is_told_to_have_none() {
        // A step of 1 msw every ten minutes, by hand.
        let step = |k: i64| DecompressionStep {
            start_s: 600 * k,
            to_msw: 99.0 - k as f64,
            by_s: 600 * k + 300,
        };
        let plan = DecompressionPlan {
            steps: (0..100).map(step).collect(),
            total_s: 60_000,
            oxygen: Vec::new(),
            source: Source::default(),
            rows: Vec::new(),
        };
        // 25 min after it began the third step, to 97 msw, is over.
        let at = |depth| place(&plan, 100.0, 1500, depth).map(|p| (p.step, p.held_msw));
        assert_eq!(at(97.0), Ok((3, 97.0)));
        assert_eq!(at(97.6), Ok((2, 98.0)));
        assert_eq!(at(90.0), Err((97.0, Some(5400))));
        assert_eq!(at(100.1), Err((97.0, Some(0))));
        assert_eq!(place(&plan, 100.0, 0, 100.0).map(|p| p.step), Ok(0));
    }
}
