//! Whether the ways between two depths are laxer: pressing, coming up, in need too, and excursions. The same ways are
//! asked of both sets, from every depth at which a table may change to the next and to the surface.

use super::{Finds, SAME_BAR, SAME_SHARE, Told, hours, hpa, is_own, of_law, wider};
use crate::bleeding_table::DecompressionScheme;
use crate::{
    CompressionPlan, DecompressionPlan, OxygenHold, PressGas, Provenance, RuleSet, StorageChange,
    edge,
};
use deepstay_core::units::{ATM_PA, MSW_PA};

/// Ways are asked for in pieces of this length, msw.
const PIECE_MSW: u16 = 5;
/// The deepest storage asked for, msw: deeper than any table.
const DEEPEST_MSW: u16 = 400;
/// The ship's clock at which a way up is asked for, s: a morning, before hours of rest by day and by night.
const MORNING_S: i64 = 6 * 3600;

/// A set with its rows at hand.
struct Side<'a> {
    set: &'a RuleSet,
    rows: Vec<Provenance>,
}

impl<'a> Side<'a> {
    fn of(set: &'a RuleSet) -> Side<'a> {
        Side {
            set,
            rows: set.provenance(),
        }
    }

    fn row(&self, id: &str) -> Option<&Provenance> {
        self.rows.iter().find(|row| row.id == id)
    }

    /// Of the rows that an answer was made of, one that the other answer has not, or has with other figures, and that so
    /// makes the difference: one of law before others; where all are the same, the first.
    fn differing(&self, ids: &[String], other: (&Side<'_>, &[String])) -> Option<&Provenance> {
        let figures = |row: Option<&'_ Provenance>| row.map(|row| row.figures.clone());
        let rows = || ids.iter().filter_map(|id| self.row(id));
        let differs = |row: &&Provenance| {
            !other.1.contains(&row.id) || Some(row.figures.clone()) != figures(other.0.row(&row.id))
        };
        let of_law = |row: &&Provenance| of_law(&row.source);
        let mut law = rows().filter(differs).filter(of_law);
        law.next()
            .or_else(|| rows().find(differs))
            .or_else(|| rows().next())
    }
}

/// Both sets, the base first.
struct Both<'a>(Side<'a>, Side<'a>);

impl Both<'_> {
    /// Tells that the rows of the second ask less than those of the first.
    fn tell(&self, ids: (&[String], &[String]), found: &mut Finds, words: impl FnOnce() -> String) {
        let than = self.0.differing(ids.0, (&self.1, ids.1));
        let by = self.1.differing(ids.1, (&self.0, ids.0));
        if let (Some(than), Some(by)) = (than, by) {
            found.tell(Told(&than.id, &than.source), &by.id, words);
        }
    }
}

/// What of its ways a set says itself.
struct Own {
    up: bool,
    in_need: bool,
    down: bool,
    excursions: bool,
}

impl Own {
    fn of(set: &RuleSet) -> Own {
        let feet = set.feet.as_ref().is_some_and(is_own);
        let scheme = |all: &[DecompressionScheme]| all.iter().any(|s| is_own(&s.rates));
        let pressing = [
            set.compression.iter().any(is_own),
            set.oxygen_first.as_ref().is_some_and(is_own),
            set.leak_check.as_ref().is_some_and(is_own),
        ];
        let travel = set.excursion_travel.as_ref().is_some_and(is_own);
        Own {
            up: feet || scheme(&set.decompression),
            in_need: feet || scheme(&set.emergency),
            down: feet || pressing.contains(&true),
            excursions: feet || travel || set.excursions.iter().any(is_own),
        }
    }
}

pub(super) fn ways(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    let both = Both(Side::of(base), Side::of(set));
    let own = Own::of(set);
    for from in (PIECE_MSW..=DEEPEST_MSW).step_by(usize::from(PIECE_MSW)) {
        let from_msw = f64::from(from);
        let next_msw = f64::from(from - PIECE_MSW);
        if own.up {
            let piece = |s: &RuleSet| match s.change_storage(from_msw, next_msw, MORNING_S, all) {
                Ok(StorageChange::Bleed(plan)) => Some(plan),
                _ => None,
            };
            let whole = |s: &RuleSet| s.decompression(from_msw, MORNING_S, all).ok();
            up(
                &both,
                (from_msw, next_msw),
                (piece(base), piece(set)),
                found,
            );
            let (b, s) = (whole(base), whole(set));
            oxygen_up(&both, from_msw, (&b, &s), found);
            up(&both, (from_msw, 0.0), (b, s), found);
        }
        if own.in_need {
            let in_need = |s: &RuleSet| s.emergency_decompression(from_msw, MORNING_S, all).ok();
            up(&both, (from_msw, 0.0), (in_need(base), in_need(set)), found);
        }
        if own.down {
            let press = |s: &RuleSet| s.compression(from_msw, all).ok();
            if let (Some(b), Some(s)) = (press(base), press(set)) {
                down(&both, (&b, &s), found);
            }
        }
        if own.excursions {
            excursions(&both, from_msw, all, found);
        }
    }
    start(base, set, all, found);
}

fn up(
    both: &Both<'_>,
    (from_msw, to_msw): (f64, f64),
    (base, set): (Option<DecompressionPlan>, Option<DecompressionPlan>),
    found: &mut Finds,
) {
    let (Some(b), Some(s)) = (base, set) else {
        return;
    };
    if s.total_s < b.total_s {
        both.tell((&b.rows, &s.rows), found, || {
            let (ours, theirs) = (hours(s.total_s), hours(b.total_s));
            format!("{from_msw:.0} to {to_msw:.0} msw in {ours} for {theirs}")
        });
    }
}

/// The oxygen of a way up at the depth where it begins.
fn oxygen_up(
    both: &Both<'_>,
    from_msw: f64,
    (base, set): (&Option<DecompressionPlan>, &Option<DecompressionPlan>),
    found: &mut Finds,
) {
    let (Some(b), Some(s)) = (base, set) else {
        return;
    };
    let of = |side: &Side<'_>, plan: &DecompressionPlan| {
        let mut schemes = side.set.decompression.iter();
        let scheme = schemes.find(|scheme| plan.rows.contains(&scheme.rates.id));
        scheme.map(|s: &DecompressionScheme| vec![s.oxygen.id.clone()])
    };
    let held = held_bar(b, from_msw).zip(held_bar(s, from_msw));
    let rows = of(&both.0, b).zip(of(&both.1, s));
    let (Some((theirs, ours)), Some((their_row, our_row))) = (held, rows) else {
        return;
    };
    if wider(ours, theirs, SAME_BAR) {
        both.tell((&their_row, &our_row), found, || {
            let (ours, theirs) = (hpa(ours), hpa(theirs));
            format!("oxygen of {ours} for {theirs} on the way up at {from_msw:.0} msw")
        });
    }
}

/// The oxygen that a way up holds at a depth, lower and upper edge, bar.
fn held_bar(plan: &DecompressionPlan, depth_msw: f64) -> Option<(f64, f64)> {
    let mut bands = plan.oxygen.iter();
    let band = bands.find(|band| depth_msw > band.deeper_than_msw)?;
    let bar = (ATM_PA + depth_msw * MSW_PA) / 1e5;
    Some(match band.hold {
        OxygenHold::Partial { low_bar, high_bar } => (low_bar, high_bar),
        OxygenHold::Fraction { low, high } => (low * bar, high * bar),
    })
}

/// Pressing: how fast at each depth, and how long is waited on the way.
fn down(both: &Both<'_>, (b, s): (&CompressionPlan, &CompressionPlan), found: &mut Finds) {
    let rate = |plan: &CompressionPlan, msw: f64| {
        let mut legs = plan.legs.iter();
        legs.find(|leg| edge::to(msw, leg.to_msw))
            .map(|leg| leg.rate_msw_s)
    };
    let to_msw = b.legs.last().map_or(0.0, |leg| leg.to_msw);
    let mut at_msw = 0.5;
    while at_msw < to_msw {
        if let (Some(theirs), Some(ours)) = (rate(b, at_msw), rate(s, at_msw))
            && ours > theirs * (1.0 + SAME_SHARE)
        {
            return both.tell((&b.rows, &s.rows), found, || {
                let (ours, theirs) = (ours * 60.0, theirs * 60.0);
                format!("pressed at {ours:.2} msw/min for {theirs:.2} msw/min at {at_msw:.1} msw")
            });
        }
        at_msw += 1.0;
    }
    let on_air_to = |plan: &CompressionPlan| {
        let air = plan.legs.iter().filter(|leg| leg.gas == PressGas::Air);
        air.map(|leg| leg.to_msw).fold(0.0, f64::max)
    };
    if !edge::to(on_air_to(s), on_air_to(b)) {
        both.tell((&b.rows, &s.rows), found, || {
            let (ours, theirs) = (on_air_to(s), on_air_to(b));
            format!("pressed with air to {ours:.1} msw for {theirs:.1} msw")
        });
    }
    let waits = |plan: &CompressionPlan| plan.legs.iter().map(|leg| leg.hold_s).sum::<i64>();
    if waits(s) < waits(b) {
        both.tell((&b.rows, &s.rows), found, || {
            let (ours, theirs) = (waits(s) / 60, waits(b) / 60);
            format!("{ours} min of holds while pressing to {to_msw:.0} msw for {theirs} min")
        });
    }
}

/// How far, and how fast, an excursion from a storage depth may go, both ways.
fn excursions(both: &Both<'_>, storage_msw: f64, all: &[String], found: &mut Finds) {
    for to_msw in [storage_msw + 0.1, (storage_msw - 0.1).max(0.0)] {
        let ask = |side: &Side<'_>| side.set.excursion(storage_msw, to_msw, all).ok();
        let (Some(b), Some(s)) = (ask(&both.0), ask(&both.1)) else {
            continue;
        };
        let far = |limit_msw: f64| (limit_msw - storage_msw).abs();
        let rate = |travel: Option<f64>| travel.unwrap_or(f64::INFINITY);
        if !edge::to(far(s.limit_msw), far(b.limit_msw)) {
            both.tell((&b.rows, &s.rows), found, || {
                format!(
                    "an excursion from {storage_msw:.0} msw to {:.1} msw for {:.1} msw",
                    s.limit_msw, b.limit_msw
                )
            });
        }
        if rate(s.travel_msw_s) > rate(b.travel_msw_s) * (1.0 + SAME_SHARE) {
            both.tell((&b.rows, &s.rows), found, || {
                let a_minute = |travel: Option<f64>| {
                    travel.map_or("any rate".to_owned(), |r| {
                        format!("{:.1} msw/min", r * 60.0)
                    })
                };
                let (ours, theirs) = (a_minute(s.travel_msw_s), a_minute(b.travel_msw_s));
                format!("an excursion travelled at {ours} for {theirs}")
            });
        }
    }
}

/// How a way up may begin.
fn start(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    let (Ok(b), Ok(s)) = (base.decompression_start(all), set.decompression_start(all)) else {
        return;
    };
    let than = Told(&b.id, &b.source);
    if s.upward_excursion && !b.upward_excursion {
        found.tell(than, &s.id, || {
            "a way up that begins with an upward excursion for one that does not".to_owned()
        });
    }
    let minutes = |hold_s: i64| format!("{} min", hold_s / 60);
    for storage_msw in (1..=DEEPEST_MSW).map(f64::from) {
        let hold = |s: &RuleSet| s.post_excursion_hold_s(storage_msw, all).unwrap_or(0);
        let (theirs, ours) = (hold(base), hold(set));
        if s.upward_excursion && ours < theirs {
            found.tell(than, &s.id, || {
                let (ours, theirs) = (minutes(ours), minutes(theirs));
                format!("a hold of {ours} for {theirs} after an upward excursion from {storage_msw:.0} msw")
            });
        }
    }
    if s.hold_after_dive_s < b.hold_after_dive_s {
        found.tell(than, &s.id, || {
            let (ours, theirs) = (minutes(s.hold_after_dive_s), minutes(b.hold_after_dive_s));
            format!("a hold of {ours} for {theirs} after a dive")
        });
    }
}
