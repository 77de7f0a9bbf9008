//! When a crew may go again while turns are laid: by rest, by runs a day, and by sliding windows.

use super::form::Form;
use super::lay::{Laid, Next, Table};
use super::setup::Setup;
use crate::types::Span;

/// Starts are tried this far apart where a window stands in the way, s.
const STEP_S: i64 = 300;

impl Table {
    /// When a crew may begin again by rest and by runs a day, s.
    pub fn rested_s(
        &self,
        setup: &Setup,
        crew: usize,
        depth: usize,
        want_s: i64,
        form: &Form,
    ) -> i64 {
        let limits = setup.depths[depth];
        let had = &self.had[crew];
        let Some(last) = had.last().map(|&i| &self.laid[i]) else {
            return i64::MIN;
        };
        let before = setup.depths[last.depth];
        let long = form.inside(want_s).is_some_and(|i| i.long);
        let was_long = setup
            .form(crew, last.bell, last.depth)
            .and_then(|f| f.inside(last.last - last.first))
            .is_some_and(|i| i.long);
        let rest_s = last.last + limits.rest.s.max(before.rest.s);
        let spacing_s = last.first + setup.spacing_s(depth, long || was_long);
        let runs = limits
            .runs_per_day
            .as_ref()
            .map_or(usize::MAX, |(n, _)| usize::from(*n).max(1));
        let by_day_s = had
            .len()
            .checked_sub(runs)
            .map_or(i64::MIN, |i| self.laid[had[i]].first + 86_400);
        rest_s.max(spacing_s).max(by_day_s)
    }

    /// Where a sliding window is too full for a turn, a later second at which to try again.
    pub fn window_wait(&self, setup: &Setup, next: &Next) -> Option<i64> {
        let limits = setup.depths[next.depth];
        let had: Vec<&Laid> = self.had[next.crew]
            .iter()
            .rev()
            .take(6)
            .map(|&i| &self.laid[i])
            .collect();
        let later = Some(next.first + STEP_S);
        if let Some((limit, window_s)) = &limits.bell_in_window {
            let (before_s, after_s) = limits.around_s;
            let counted = |l: &Laid| Span::new(l.first - before_s, l.last + after_s);
            let own = Span::new(next.first - before_s, next.last + after_s);
            let window = Span::new(own.to_s - window_s, own.to_s);
            let used: i64 = had.iter().map(|l| counted(l).shared_s(window)).sum();
            if used + own.length_s() > limit.s {
                return later;
            }
        }
        let window_s = limits.water_window_s?;
        let bell = &setup.problem.bells[next.bell];
        let wet = |first: i64, last: i64| {
            let depth = limits.depth_msw;
            Span::new(first + bell.way_out_s(depth), last - bell.way_home_s(depth))
        };
        // From one first dip to the next a whole window, and with two in the bell, who keep their order,
        // what the second goes sooner: then no window holds more than one turn's.
        let mine = wet(next.first, next.last);
        let two = setup.crews[next.crew].members.len() == 2;
        let near = had.iter().any(|l| {
            let theirs = wet(l.first, l.last);
            let sooner_s = if two {
                (theirs.length_s() - mine.length_s()).max(0) / 2
            } else {
                0
            };
            mine.from_s < theirs.from_s + window_s + sooner_s && mine.to_s - window_s < theirs.to_s
        });
        if near { later } else { None }
    }
}
