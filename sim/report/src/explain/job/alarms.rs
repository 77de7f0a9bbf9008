//! The links of a job's alarms: how many, how often, floods and standing ones; counted from `alarms.csv`.

use crate::explain::chain::Term;
use crate::explain::ground::Ground;
use crate::explain::link::{Caught, Counted, Link, Printed, figure};
use crate::explain::table::{Column, Row, Table};
use std::collections::BTreeMap;

/// A window of the clock, s.
const WINDOW_S: f64 = 600.0;
const DAY_S: f64 = 86_400.0;
/// A flood begins at so many new alarms in ten minutes, and is over below so many (ISA-18.2, from memory).
const FLOOD: (usize, usize) = (10, 5);

const COUNTED: Link = Link {
    path: "",
    unit: "",
    says: "",
    formula: "",
    printed: Printed::Whole,
    count: all,
    inputs: &["spread.alarms"],
    rules: &[],
    cautioned: true,
};
const RATE: Link = Link {
    printed: Printed::Parts(1e4),
    ..COUNTED
};

pub(super) const LINKS: &[Link] = &[
    Link {
        path: "alarms/count",
        says: "alarms raised",
        formula: "number of alarms",
        ..COUNTED
    },
    Link {
        path: "alarms/emergency",
        says: "alarms of severity emergency",
        formula: "number of such alarms",
        count: emergency,
        ..COUNTED
    },
    Link {
        path: "alarms/limit",
        says: "alarms of severity limit",
        formula: "number of such alarms",
        count: limit,
        ..COUNTED
    },
    Link {
        path: "alarms/attention",
        says: "alarms of severity attention",
        formula: "number of such alarms",
        count: attention,
        ..COUNTED
    },
    Link {
        path: "alarms/per_10_min",
        unit: "in 10 min",
        says: "alarms in ten minutes, on average",
        formula: "alarms x 600 s / length of the job",
        count: per_ten_minutes,
        ..RATE
    },
    Link {
        path: "alarms/per_day",
        unit: "a day",
        says: "alarms a day, on average",
        formula: "alarms x 86 400 s / length of the job",
        count: per_day,
        ..RATE
    },
    Link {
        path: "alarms/most_in_10_min",
        says: "most alarms in one ten-minute window of the clock",
        formula: "the fullest window that begins at a multiple of 600 s",
        count: most_in_ten_minutes,
        ..COUNTED
    },
    Link {
        path: "alarms/most_in_an_hour",
        says: "most alarms in one hour of the clock",
        formula: "the fullest window that begins at a multiple of 3600 s",
        count: most_in_an_hour,
        ..COUNTED
    },
    Link {
        path: "alarms/share_of_10_min_over_10",
        says: "share of the ten-minute windows with more than ten alarms, 0 to 1",
        formula: "windows with more than ten / all windows of the job",
        count: windows_over_ten,
        ..RATE
    },
    Link {
        path: "alarms/floods",
        says: "alarm floods: from ten new alarms within ten minutes until fewer than five",
        formula: "number of floods, by a window that slides (ISA-18.2, from memory)",
        count: floods,
        ..COUNTED
    },
    Link {
        path: "alarms/flood_min",
        unit: "min",
        says: "time in alarm flood",
        formula: "sum of the floods' lengths, by a window that slides (ISA-18.2, from memory)",
        count: flood_min,
        ..RATE
    },
    Link {
        path: "alarms/mean_standing",
        says: "alarms standing at once, on average",
        formula: "sum of the times that alarms stood / length of the job",
        count: mean_standing,
        ..RATE
    },
    Link {
        path: "alarms/most_standing",
        says: "most alarms standing at once",
        formula: "the most that had been raised and had not returned",
        count: most_standing,
        ..COUNTED
    },
    Link {
        path: "alarms/stale",
        says: "alarms that stood for longer than a day",
        formula: "number of such alarms",
        count: stale,
        ..COUNTED
    },
    Link {
        path: "alarms/standing_at_end",
        says: "alarms standing at the end",
        formula: "number of such alarms",
        count: standing_at_end,
        ..COUNTED
    },
];

/// The alarms and their columns.
struct Alarms<'t> {
    table: &'t Table,
    alarm: Column<'t>,
    raised: Column<'t>,
    stood: Column<'t>,
    /// From when and until when the job was followed, s.
    from_s: f64,
    end_s: f64,
}

impl<'t> Alarms<'t> {
    fn of(ground: &'t Ground<'_>) -> Result<Alarms<'t>, String> {
        let table = ground.table("alarms.csv")?;
        Ok(Alarms {
            table,
            alarm: table.column("alarm")?,
            raised: table.column("raised (s)")?,
            stood: table.column("stood (s)")?,
            from_s: ground.number("/from_present/at_s").unwrap_or(0.0),
            end_s: ground.number("/ended_s")?,
        })
    }

    /// Length of the job, s; of one that was taken up from a present, from there.
    fn length_s(&self) -> f64 {
        (self.end_s - self.from_s).max(1.0)
    }

    /// The figures that the length comes from.
    fn length(&self) -> Vec<Term> {
        let end = figure("end of the job", self.end_s, "s", "job/ended_s".to_owned());
        let from = (self.from_s > 0.0).then(|| {
            let id = "job/from_present/at_s".to_owned();
            figure("taken up at", self.from_s, "s", id)
        });
        std::iter::once(end).chain(from).collect()
    }

    fn rows(&self) -> Vec<&'t Row> {
        self.table.rows.iter().collect()
    }

    fn count(&self, what: &str, picked: impl Fn(&Row) -> bool) -> Result<Counted, String> {
        let rows = self.table.pick(picked);
        let count = rows.len() as f64;
        Counted::of(
            count,
            0.0,
            vec![self.alarm.of_rows(what, Some(count), "", &rows)],
        )
    }

    /// Seconds at which alarms were raised, in order.
    fn raised_s(&self) -> Result<Vec<f64>, String> {
        let raised = self.table.rows.iter().map(|r| self.raised.number(r));
        let mut raised: Vec<f64> = raised.collect::<Result<_, String>>()?;
        raised.sort_by(f64::total_cmp);
        Ok(raised)
    }

    /// All rows as one term, for what is found by going through them.
    fn gone_through(&self, value: f64, unit: &str) -> Result<Counted, String> {
        let rows = self.rows();
        let term = self
            .raised
            .of_rows("alarms by when they were raised", None, "s", &rows);
        let counted = self
            .raised
            .of_rows("found in them", Some(value), unit, &rows);
        Counted::of(value, 0.0, vec![term, counted])
    }

    /// The rate of all alarms over the job.
    fn rate(&self, over_s: f64) -> Result<Counted, String> {
        let count = self.table.rows.len() as f64;
        let id = "job/alarms/count".to_owned();
        let mut terms = vec![figure("alarms", count, "", id)];
        terms.extend(self.length());
        Counted::of(count * over_s / self.length_s(), 0.0, terms)
    }

    fn fullest(&self, window_s: f64) -> Result<Counted, String> {
        let windows = windows(&self.raised_s()?, window_s);
        let most = windows.values().max().copied().unwrap_or(0);
        self.gone_through(most as f64, "")
    }
}

/// Alarms by the window of the clock that they came in.
fn windows(raised_s: &[f64], window_s: f64) -> BTreeMap<i64, usize> {
    let mut windows = BTreeMap::new();
    for at in raised_s {
        *windows.entry((at / window_s).floor() as i64).or_insert(0) += 1;
    }
    windows
}

fn all(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Alarms::of(ground)?.count("alarms", |_| true)
}

fn of_severity(ground: &Ground<'_>, severity: &str) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let column = alarms.table.column("severity")?;
    alarms.count("alarms", |row| column.text(row) == severity)
}

fn emergency(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    of_severity(ground, "emergency")
}

fn limit(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    of_severity(ground, "limit")
}

fn attention(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    of_severity(ground, "attention")
}

fn per_ten_minutes(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Alarms::of(ground)?.rate(WINDOW_S)
}

fn per_day(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Alarms::of(ground)?.rate(DAY_S)
}

fn most_in_ten_minutes(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Alarms::of(ground)?.fullest(WINDOW_S)
}

fn most_in_an_hour(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    Alarms::of(ground)?.fullest(3600.0)
}

fn windows_over_ten(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let full = windows(&alarms.raised_s()?, WINDOW_S);
    let over = full.values().filter(|n| **n > 10).count() as f64;
    let of = (alarms.length_s() / WINDOW_S).floor() + 1.0;
    let mut counted = alarms.gone_through(over, "windows")?;
    counted.terms.extend(alarms.length());
    Counted::of(over / of, 0.0, counted.terms)
}

/// How many of rising seconds have come by one.
fn so_far(rising: &[f64], at: f64) -> usize {
    rising.partition_point(|t| *t <= at)
}

/// Floods as from and to: a window of ten minutes slides over the alarms; one begins with the tenth in it, and is over
/// as soon as fewer than five are left in it.
fn flooded(raised_s: &[f64], end_s: f64) -> Vec<(f64, f64)> {
    let within = |at: f64| so_far(raised_s, at) - so_far(raised_s, at - WINDOW_S);
    // What is in the window changes where an alarm comes into it and where one leaves it.
    let mut changes: Vec<f64> = raised_s.iter().flat_map(|t| [*t, t + WINDOW_S]).collect();
    changes.sort_by(f64::total_cmp);
    let (mut floods, mut since) = (Vec::new(), None);
    for at in changes.into_iter().filter(|at| *at <= end_s) {
        match since {
            None if within(at) >= FLOOD.0 => since = Some(at),
            Some(from) if within(at) < FLOOD.1 => {
                floods.push((from, at));
                since = None;
            }
            _ => {}
        }
    }
    floods.extend(since.map(|from| (from, end_s)));
    floods
}

fn floods(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let found = flooded(&alarms.raised_s()?, alarms.end_s);
    alarms.gone_through(found.len() as f64, "floods")
}

fn flood_min(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let found = flooded(&alarms.raised_s()?, alarms.end_s);
    let lasted_s: f64 = found.iter().map(|(from, to)| to - from).sum();
    alarms.gone_through(lasted_s / 60.0, "min")
}

fn mean_standing(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let rows = alarms.rows();
    let stood = rows.iter().map(|r| alarms.stood.number(r));
    let stood_s = stood.sum::<Result<f64, String>>()?;
    let what = "times that alarms stood";
    let mut terms = vec![alarms.stood.of_rows(what, Some(stood_s), "s", &rows)];
    terms.extend(alarms.length());
    Counted::of(stood_s / alarms.length_s(), 0.0, terms)
}

fn most_standing(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let returned = alarms.table.column("returned after (s)")?;
    let raised = alarms.raised_s()?;
    let mut back = Vec::new();
    for row in &alarms.table.rows {
        let after = returned.maybe(row)?;
        back.extend(after.map(|after| Ok::<f64, String>(alarms.raised.number(row)? + after)));
    }
    let mut back: Vec<f64> = back.into_iter().collect::<Result<_, _>>()?;
    back.sort_by(f64::total_cmp);
    // One that returns in the second in which another is raised does not stand beside it.
    let standing = |at: &f64| so_far(&raised, *at) - so_far(&back, *at);
    let most = raised.iter().map(standing).max();
    alarms.gone_through(most.unwrap_or(0) as f64, "")
}

fn stale(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    alarms.count("alarms that stood for longer than 86 400 s", |row| {
        alarms.stood.number(row).is_ok_and(|s| s > DAY_S)
    })
}

fn standing_at_end(ground: &Ground<'_>, _: &Caught<'_>) -> Result<Counted, String> {
    let alarms = Alarms::of(ground)?;
    let column = alarms.table.column("standing at end")?;
    alarms.count("alarms", |row| column.text(row) == "yes")
}
