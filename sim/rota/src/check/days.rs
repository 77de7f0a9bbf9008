//! Days under pressure and at the surface of one diver: length of each saturation, the interval before
//! it, and the sum of twelve months.

use super::judge::{Judge, Point, by_row, d_h, part_of};
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::rule::RuleName;
use crate::types::{Rota, Saturation, Span};
use deepstay_core::units::DiverId;
use deepstay_rules::{Counted, SaturationLength};

/// Judges a diver's days.
pub fn of(rota: &Rota, id: DiverId, judge: &mut Judge) {
    let problem = judge.problem;
    let Some(diver) = problem.divers.get(id.index()) else {
        return;
    };
    let mut before = diver
        .before
        .last
        .map(|(ago_s, length_s)| (-ago_s, length_s, None));
    let mut in_year_s = diver.before.in_year_s;
    for saturation in &diver.saturations {
        let when = Span::new(saturation.pressed_s, saturation.surfaced_s);
        in_year_s += when.length_s();
        let depth_msw = working_depth(rota, id, saturation, judge);
        let Some(depth_msw) = depth_msw else { continue };
        let rule = judge.saturation_length(depth_msw);
        // The interval is the rule of the depth of the saturation that it follows; of one before the
        // job the depth is not known, and the first one's stands for it.
        interval(before, when, id, rule.as_ref(), judge);
        if let Some(rule) = &rule {
            length(saturation, id, rule, judge);
            year(in_year_s, when, id, rule, judge);
        }
        before = Some((saturation.surfaced_s, when.length_s(), rule));
    }
}

/// Deepest of the storage depth and the work of a saturation, msw.
fn working_depth(rota: &Rota, id: DiverId, saturation: &Saturation, judge: &Judge) -> Option<f64> {
    let during = Span::new(saturation.pressed_s, saturation.surfaced_s);
    let stays = judge.problem.divers.get(id.index())?.stays.iter();
    let stored = stays
        .filter(|s| s.span.shared_s(during) > 0)
        .map(|s| s.storage_msw);
    let turns = rota
        .runs
        .iter()
        .filter(|t| t.position_of(id).is_some() && t.span().shared_s(during) > 0);
    stored.chain(turns.map(|t| t.depth_msw)).reduce(f64::max)
}

fn at<'a>(
    (of, rule): (WorkQuestion, &'a RuleName),
    margin: Margin,
    diver: DiverId,
    when: Span,
) -> Point<'a> {
    Point {
        rule,
        margin,
        diver: Some(diver),
        turn: None,
        when,
        of: Some(of),
    }
}

fn length(saturation: &Saturation, id: DiverId, rule: &SaturationLength, judge: &mut Judge) {
    let (when, what) = match rule.counted {
        Counted::UnderPressure => (
            Span::new(saturation.pressed_s, saturation.surfaced_s),
            "under pressure",
        ),
        Counted::AtDepth => (
            Span::new(saturation.arrived_s, saturation.leaves_s),
            "at working depth",
        ),
    };
    let found_s = when.length_s();
    let name = by_row(&rule.longest_by);
    let who = judge.initials(id);
    let margin = Margin::AtMost {
        found_s,
        limit_s: rule.longest_s,
    };
    let of = (WorkQuestion::Saturation, &name);
    judge.hold(at(of, margin, id, when), || {
        format!(
            "{who}: {} {what}; at most {}",
            d_h(found_s),
            d_h(rule.longest_s)
        )
    });
}

fn interval(
    before: Option<(i64, i64, Option<SaturationLength>)>,
    now: Span,
    id: DiverId,
    here: Option<&SaturationLength>,
    judge: &mut Judge,
) {
    let Some((surfaced_s, length_s, rule)) = before else {
        return;
    };
    let Some(rule) = rule.as_ref().or(here) else {
        return;
    };
    let (Some(limit_s), Some(row)) = (rule.interval_after_s(length_s), &rule.interval_by) else {
        judge.silent(WorkQuestion::SurfaceInterval, &rule.no_interval);
        return;
    };
    let name = by_row(row);
    let found_s = now.from_s - surfaced_s;
    let who = judge.initials(id);
    let margin = Margin::AtLeast { found_s, limit_s };
    let of = (WorkQuestion::SurfaceInterval, &name);
    judge.hold(
        at(of, margin, id, Span::new(surfaced_s, now.from_s)),
        || {
            format!(
                "{who}: {} at the surface after {} under pressure; at least {}",
                d_h(found_s),
                d_h(length_s),
                d_h(limit_s)
            )
        },
    );
}

fn year(found_s: i64, when: Span, id: DiverId, rule: &SaturationLength, judge: &mut Judge) {
    let Some(limit_s) = rule.per_year_s else {
        judge.silent(WorkQuestion::YearlySum, &[]);
        return;
    };
    let name = part_of(
        &rule.longest_by,
        "year",
        format!("at most {} in twelve months", d_h(limit_s)),
    );
    let who = judge.initials(id);
    let margin = Margin::AtMost { found_s, limit_s };
    let of = (WorkQuestion::YearlySum, &name);
    judge.hold(at(of, margin, id, when), || {
        format!(
            "{who}: {} under pressure in twelve months; at most {}",
            d_h(found_s),
            d_h(limit_s)
        )
    });
}
