//! Whether a set is laxer than one that it is based on: the same questions are asked of both, at every depth at which
//! either changes, and the answers are held against each other.

mod life;
mod ways;

use super::{
    Cited, Counted, Printed, Row, RuleSet, RunMoment, SaturationLength, Source, SurfaceInterval,
    WorkingTime,
};
use deepstay_core::Status;
use deepstay_core::words::Words;

const DAY_S: i64 = 86_400;
const HOUR: f64 = 3600.0;
/// Oxygen closer than this is the same, bar: but for the rounding of a unit.
const SAME_BAR: f64 = 1e-6;
/// Rates and flows closer than this share are the same.
const SAME_SHARE: f64 = 1e-9;

/// Where one set allows what another does not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Lax {
    /// The row of the base.
    pub than: String,
    /// The row that answers instead.
    pub by: String,
    /// What is asked less of.
    pub words: String,
}

/// Of law: from a document, however it came to us. What a house chose binds nobody else.
fn of_law(source: &Source) -> bool {
    match source.status {
        Status::Seen | Status::SecondHand | Status::Recalled => true,
        Status::Derived | Status::HouseRule => false,
    }
}

/// A row that a set says itself. What it took from a base is that base's to answer for.
fn is_own<T>(row: &Row<T>) -> bool {
    row.from.is_none()
}

/// Everything in which a set is laxer than a base, each pair of rows once.
pub(super) fn than(base: &RuleSet, set: &RuleSet) -> Vec<Lax> {
    let mut found = Finds(Vec::new());
    let all: Vec<String> = [base, set]
        .iter()
        .flat_map(|s| s.provenance())
        .map(|p| p.id)
        .collect();
    // Tables of working time change at whole metres or feet; half a metre finds both sides of each edge.
    for half_metres in 0..=800 {
        let depth_msw = f64::from(half_metres) * 0.5;
        working(base, set, depth_msw, &all, &mut found);
        days(base, set, depth_msw, &all, &mut found);
    }
    routine(base, set, &all, &mut found);
    life::life(base, set, &all, &mut found);
    ways::ways(base, set, &all, &mut found);
    breathed(base, set, &all, &mut found);
    found.0.extend(replacements(base, set));
    found.0
}

/// Rows of one id that ask less than those of a base, where all rows of a section hold beside each other.
fn replacements(base: &RuleSet, set: &RuleSet) -> Vec<Lax> {
    let mut found = Vec::new();
    let (ours, theirs) = (set.feet(), base.feet());
    let limits = replaced(&base.limits, &set.limits);
    found.extend(limits.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(ours, b, theirs))));
    let gas = replaced(&base.gas_minimums, &set.gas_minimums);
    found.extend(gas.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(ours, b, theirs))));
    let crew = replaced(&base.surface_crew, &set.surface_crew);
    found.extend(crew.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(b))));
    let after = replaced(&base.after_surfacing, &set.after_surfacing);
    found.extend(after.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(b))));
    let shown = replaced(&base.monitoring, &set.monitoring);
    found.extend(shown.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(b))));
    let evacuation = replaced(&base.evacuation, &set.evacuation);
    found.extend(evacuation.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(b))));
    let umbilicals = replaced(&base.umbilicals, &set.umbilicals);
    found.extend(umbilicals.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(b))));
    let more = replaced(&base.contaminants, &set.contaminants);
    found.extend(
        more.filter_map(|pair| {
            lax_pair(pair, |a, b| a.of != b.of || a.below.get() > b.below.get())
        }),
    );
    let fire = replaced(&base.fire_zone, &set.fire_zone);
    found.extend(fire.filter_map(|pair| lax_pair(pair, |a, b| a.from.get() > b.from.get())));
    let treatment = replaced(&base.treatment_gas, &set.treatment_gas);
    found.extend(treatment.filter_map(|pair| lax_pair(pair, |a, b| a.laxer_than(ours, b, theirs))));
    found
}

/// A row of law of a base and the row of the same id that stands in its place.
type Pair<'a, T> = (&'a Row<T>, &'a Row<T>);

fn replaced<'a, T>(base: &'a [Row<T>], set: &'a [Row<T>]) -> impl Iterator<Item = Pair<'a, T>> {
    let law = base.iter().filter(|row| of_law(&row.source));
    law.filter_map(|theirs| Some((theirs, set.iter().find(|row| row.id == theirs.id)?)))
}

fn lax_pair<T: Printed>(
    (theirs, ours): Pair<'_, T>,
    laxer: impl Fn(&T, &T) -> bool,
) -> Option<Lax> {
    laxer(&ours.figures, &theirs.figures).then(|| Lax {
        than: theirs.id.clone(),
        by: ours.id.clone(),
        words: format!("{} for {}", ours.words(), theirs.words()),
    })
}

/// A row of the base that is asked less of: its id, and where its figures come from.
#[derive(Clone, Copy)]
struct Told<'a>(&'a str, &'a Source);

struct Finds(Vec<Lax>);

impl Finds {
    /// Takes a pair of rows of which the second, by its id, asks less: each pair once, and only where the first is law.
    fn tell(&mut self, than: Told<'_>, by: &str, words: impl FnOnce() -> String) {
        let Told(id, source) = than;
        let known = |l: &Lax| l.than == id && l.by == by;
        if of_law(source) && !self.0.iter().any(known) {
            self.0.push(Lax {
                than: id.to_owned(),
                by: by.to_owned(),
                words: words(),
            });
        }
    }

    /// Takes a pair of figures where the second may be no more than the first.
    fn at_most(&mut self, what: &str, base: Option<(i64, &Cited)>, set: Option<(i64, &Cited)>) {
        self.hold(what, base, set, |b, s| s > b);
    }

    /// The same where it may be no less.
    fn at_least(&mut self, what: &str, base: Option<(i64, &Cited)>, set: Option<(i64, &Cited)>) {
        self.hold(what, base, set, |b, s| s < b);
    }

    fn hold(
        &mut self,
        what: &str,
        base: Option<(i64, &Cited)>,
        set: Option<(i64, &Cited)>,
        lax: impl Fn(i64, i64) -> bool,
    ) {
        let (Some((b, than)), Some((s, by))) = (base, set) else {
            return;
        };
        if than != by && lax(b, s) {
            self.tell(Told(&than.id, &than.source), &by.id, || {
                format!("{what} {} for {}", hours(s), hours(b))
            });
        }
    }
}

fn working(base: &RuleSet, set: &RuleSet, depth_msw: f64, all: &[String], found: &mut Finds) {
    let (Ok(b), Ok(s)) = (
        base.working_time(depth_msw, all),
        set.working_time(depth_msw, all),
    ) else {
        return;
    };
    let run = |t: &WorkingTime| t.bell_run_s;
    found.at_most(
        "bell run",
        run(&b).zip(b.bell_run_by.as_ref()),
        run(&s).zip(s.bell_run_by.as_ref()),
    );
    found.at_most(
        "time in the water",
        b.in_water_s.zip(b.in_water_by.as_ref()),
        s.in_water_s.zip(s.in_water_by.as_ref()),
    );
    found.at_least(
        "rest",
        b.rest_s.zip(b.rest_by.as_ref()),
        s.rest_s.zip(s.rest_by.as_ref()),
    );
    counted(&b, &s, found);
    let work = |t: &WorkingTime| t.work_in_day_s.unwrap_or(DAY_S);
    found.at_most(
        "work in a day",
        b.rest_by.as_ref().map(|row| (work(&b), row)),
        s.rest_by.as_ref().map(|row| (work(&s), row)),
    );
}

/// What of a bell run, and of the rest after it, counts: where less of the run or more of the rest does, the same hours are
/// laxer. More runs in a day, and a clock that stops between them, are too.
fn counted(b: &WorkingTime, s: &WorkingTime, found: &mut Finds) {
    let words =
        |(from, to): (RunMoment, RunMoment)| format!("from {} to {}", from.words(), to.words());
    if let (Some(than), Some(by)) = (&b.bell_run_by, &s.bell_run_by) {
        let than = Told(&than.id, &than.source);
        let ((from, to), (our_from, our_to)) = (b.bell_run_counted, s.bell_run_counted);
        if s.bell_run_s >= b.bell_run_s && (our_from > from || our_to < to) {
            found.tell(than, &by.id, || {
                let (ours, theirs) = (words((our_from, our_to)), words((from, to)));
                format!("a bell run counted {ours} for {theirs}")
            });
        }
        if b.clock_runs_on && !s.clock_runs_on {
            found.tell(than, &by.id, || {
                "a clock that stops when the bell comes home for one that runs on".to_owned()
            });
        }
        if let Some(theirs) = b.runs_per_day
            && s.runs_per_day.is_none_or(|ours| ours > theirs)
        {
            found.tell(than, &by.id, || {
                let ours = s
                    .runs_per_day
                    .map_or("any number of".to_owned(), |n| n.to_string());
                format!("{ours} bell runs a day for {theirs}")
            });
        }
    }
    if let (Some(than), Some(by)) = (&b.rest_by, &s.rest_by) {
        let ((from, to), (our_from, our_to)) = (b.rest_between, s.rest_between);
        if s.rest_s <= b.rest_s && (our_from < from || our_to > to) {
            found.tell(Told(&than.id, &than.source), &by.id, || {
                let (ours, theirs) = (words((our_from, our_to)), words((from, to)));
                format!("rest counted {ours} for {theirs}")
            });
        }
    }
}

fn days(base: &RuleSet, set: &RuleSet, depth_msw: f64, all: &[String], found: &mut Finds) {
    let (Ok(b), Ok(s)) = (
        base.saturation_length(depth_msw, all),
        set.saturation_length(depth_msw, all),
    ) else {
        return;
    };
    found.at_most(
        "saturation",
        Some((b.longest_s, &b.longest_by)),
        Some((s.longest_s, &s.longest_by)),
    );
    if (b.counted, s.counted) == (Counted::UnderPressure, Counted::AtDepth)
        && s.longest_s >= b.longest_s
    {
        let than = Told(&b.longest_by.id, &b.longest_by.source);
        found.tell(than, &s.longest_by.id, || {
            "a saturation counted at depth for one counted under pressure".to_owned()
        });
    }
    let year = |l: &SaturationLength| l.per_year_s.unwrap_or(i64::MAX);
    if b.per_year_s.is_some() {
        found.at_most(
            "twelve months' sum",
            Some((year(&b), &b.longest_by)),
            Some((year(&s).min(366 * DAY_S), &s.longest_by)),
        );
    }
    for length_d in [1, 7, 14, 15, 21, 28] {
        let after = |rule: &Option<SurfaceInterval>, l: &SaturationLength| {
            rule.as_ref()
                .and_then(|_| l.interval_after_s(length_d * DAY_S))
        };
        found.at_least(
            "surface interval",
            after(&b.interval, &b).zip(b.interval_by.as_ref()),
            after(&s.interval, &s).zip(s.interval_by.as_ref()),
        );
    }
}

/// What is breathed: the time on a mask, density, and oxygen at work of each printed length.
fn breathed(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    if let (Ok(b), Ok(s)) = (base.mask_time(all), set.mask_time(all)) {
        let (b, s) = ((b.longest_s, &b.by), (s.longest_s, &s.by));
        found.at_most("time on a mask", Some(b), Some(s));
    }
    if let (Ok(b), Ok(s)) = (base.gas_density(all), set.gas_density(all))
        && s.most_g_l > b.most_g_l
    {
        found.tell(Told(&b.by.id, &b.by.source), &s.by.id, || {
            format!("density {} g/L for {} g/L", s.most_g_l, b.most_g_l)
        });
    }
    for work_s in (1..=24).map(|half_hours| half_hours * 1800) {
        let (Ok(b), Ok(s)) = (base.work_oxygen(work_s, all), set.work_oxygen(work_s, all)) else {
            continue;
        };
        if s.most_bar > b.most_bar {
            found.tell(Told(&b.id, &b.source), &s.id, || {
                let (ours, theirs) = (s.most_bar * 1e3, b.most_bar * 1e3);
                format!("oxygen at work {ours:.0} hPa for {theirs:.0} hPa")
            });
        }
    }
}

fn routine(base: &RuleSet, set: &RuleSet, all: &[String], found: &mut Finds) {
    for (what, b, s) in [
        ("log interval", base.log_every_s(all), set.log_every_s(all)),
        (
            "calibration interval",
            base.calibration_every_s(all),
            set.calibration_every_s(all),
        ),
    ] {
        if let (Ok(b), Ok(s)) = (b, s)
            && s.every_s > b.every_s
        {
            found.tell(Told(&b.id, &b.source), &s.id, || {
                format!("{what} {} for {}", hours(s.every_s), hours(b.every_s))
            });
        }
    }
}

fn hours(s: i64) -> String {
    format!("{:.1} h", s as f64 / HOUR)
}

/// Oxygen between two edges, bar, in words.
fn hpa((low_bar, high_bar): (f64, f64)) -> String {
    format!("{:.0} to {:.0} hPa", low_bar * 1e3, high_bar * 1e3)
}

/// Whether a band reaches past another on either side by more than what is still the same.
fn wider(ours: (f64, f64), theirs: (f64, f64), same: f64) -> bool {
    ours.0 < theirs.0 - same || ours.1 > theirs.1 + same
}
