//! Whether life at depth is laxer: oxygen of storage, climate, absorbent, hygiene, what a stock is sized by, and who goes
//! in a bell.

use super::{Finds, SAME_BAR, SAME_SHARE, Told, hpa, is_own, wider};
use crate::{ClimateBand, Hygiene, RuleSet};

/// Edges of climate closer than this are the same, K and 0 to 1.
const SAME: f64 = 1e-6;

pub(super) fn life(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    if let (Ok(b), Ok(s)) = (base.storage_oxygen(all), set.storage_oxygen(all)) {
        let (ours, theirs) = ((s.low_bar, s.high_bar), (b.low_bar, b.high_bar));
        if wider(ours, theirs, SAME_BAR) {
            found.tell(Told(&b.id, &b.source), &s.id, || {
                format!("oxygen of storage {} for {}", hpa(ours), hpa(theirs))
            });
        }
    }
    let own_between = set.climate_between.as_ref().is_some_and(is_own);
    if own_between || set.climate.iter().any(is_own) {
        for depth_msw in (0..=400).map(f64::from) {
            climate(base, set, depth_msw, all, found);
        }
    }
    if let (Ok(b), Ok(s)) = (base.absorbent_change(all), set.absorbent_change(all))
        && (s.ppco2_bar > b.ppco2_bar + SAME_BAR || s.stood_s > b.stood_s)
    {
        found.tell(Told(&b.id, &b.source), &s.id, || {
            let words = |bar: f64, stood_s: i64| {
                format!("after {} min at {:.1} hPa", stood_s / 60, bar * 1e3)
            };
            let (ours, theirs) = (words(s.ppco2_bar, s.stood_s), words(b.ppco2_bar, b.stood_s));
            format!("absorbent changed {ours} for {theirs}")
        });
    }
    hygiene(base, set, all, found);
    for (what, b, s) in [
        ("carbon dioxide", base.co2_sizing(all), set.co2_sizing(all)),
        ("oxygen", base.o2_sizing(all), set.o2_sizing(all)),
    ] {
        if let (Ok(b), Ok(s)) = (b, s)
            && s.m3_s < b.m3_s * (1.0 - SAME_SHARE)
        {
            found.tell(Told(&b.id, &b.source), &s.id, || {
                let a_minute = |m3_s: f64| m3_s * 6e4;
                let (ours, theirs) = (a_minute(s.m3_s), a_minute(b.m3_s));
                format!("sized by {ours:.3} L/min of {what} a person for {theirs:.3} L/min")
            });
        }
    }
    if let (Ok(b), Ok(s)) = (base.bell_crew(all), set.bell_crew(all))
        && (s.least < b.least || s.stay < b.stay)
    {
        found.tell(Told(&b.by.id, &b.by.source), &s.by.id, || {
            format!("{} for {}", s.by.figures, b.by.figures)
        });
    }
}

/// Edges with the tolerance past them, at a living depth.
fn climate(base: &RuleSet, set: &RuleSet, depth_msw: f64, all: &[String], found: &mut Finds) {
    let (Ok(b), Ok(s)) = (base.climate(depth_msw, all), set.climate(depth_msw, all)) else {
        return;
    };
    let (Some(than), Some(by)) = (b.rows.first(), s.rows.first()) else {
        return;
    };
    let warm = |band: &ClimateBand| {
        (
            band.low_k - band.tolerance_k,
            band.high_k + band.tolerance_k,
        )
    };
    if wider(warm(&s), warm(&b), SAME) {
        found.tell(Told(than, &b.source), by, || {
            let words = |(low, high): (f64, f64)| {
                format!("{:.1} to {:.1} \u{b0}C", low - 273.15, high - 273.15)
            };
            let (ours, theirs) = (words(warm(&s)), words(warm(&b)));
            format!("a chamber at {depth_msw:.0} msw at {ours} for {theirs}")
        });
    }
    let (Some(theirs), Some(by_humidity)) = (b.humidity, s.rows.last()) else {
        return;
    };
    if wider(s.humidity.unwrap_or((0.0, 1.0)), theirs, SAME) {
        let than = b.rows.last().unwrap_or(than);
        found.tell(Told(than, &b.source), by_humidity, || {
            let words =
                |(low, high): (f64, f64)| format!("{:.0} to {:.0} %", low * 100.0, high * 100.0);
            let ours = s.humidity.map_or("any".to_owned(), words);
            format!("relative humidity {ours} for {}", words(theirs))
        });
    }
}

fn hygiene(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    let (Ok(b), Ok(s)) = (base.hygiene(all), set.hygiene(all)) else {
        return;
    };
    let less = s.ear_drops_per_day < b.ear_drops_per_day
        || s.per_ear_s < b.per_ear_s
        || s.wash_per_day < b.wash_per_day
        || (b.wash_after_dive && !s.wash_after_dive);
    if less {
        found.tell(Told(&b.id, &b.source), &s.id, || {
            let words = |h: &Hygiene| {
                let dive = if h.wash_after_dive {
                    " and after dives"
                } else {
                    ""
                };
                format!(
                    "drops {} times a day, {} min an ear, washing {} times{dive}",
                    h.ear_drops_per_day,
                    h.per_ear_s / 60,
                    h.wash_per_day
                )
            };
            format!("{} for {}", words(&s), words(&b))
        });
    }
}
