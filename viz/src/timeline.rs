//! The job along its time: depth of each level, bell runs, weather that stops the bell, and alarms, as the watch was told
//! them; what was planned stands behind, and what is to come is empty.

use crate::drawing::{Anchor, Drawing, Ink, Type, rounded, through};
use crate::scene::sign;
use deepstay::record::{AlarmState, BellPhase, Entry, Severity, Sink, What};
use deepstay::scenario::Scenario;
use deepstay::units::{Channel, CompartmentId, Quantity, Truth};
use kurbo::Rect;

/// Height of the strips, px.
pub const HEIGHT: f64 = 104.0;
/// Where the strips begin, px from the left.
const LEFT: f64 = 96.0;
/// Space right of them, px.
const RIGHT: f64 = 24.0;

/// Checks, transfer, lowering and recovery of a planned run, as it is drawn, s.
const WAYS_S: i64 = 2 * 3600;

/// How much of the job is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Zoom {
    /// All of it.
    Job,
    /// The day.
    Day,
    /// The hour.
    Hour,
}

impl Zoom {
    /// From when to when, s, round a moment.
    pub fn window(self, scenario: &Scenario, now_s: i64) -> (i64, i64) {
        let time = scenario.time();
        let of_day = time.second_of_day(now_s).rem_euclid(86_400);
        match self {
            Zoom::Job => (0, scenario.plan.end_s.max(1)),
            Zoom::Day => (now_s - of_day, now_s - of_day + 86_400),
            Zoom::Hour => {
                let from = now_s - of_day.rem_euclid(3600);
                (from, from + 3600)
            }
        }
    }
}

/// A bell run as it was told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Run {
    bell: CompartmentId,
    run: u16,
    from_s: i64,
    to_s: Option<i64>,
    stopped: bool,
}

/// What has been told until now, as far as it is drawn here. It takes nothing that only looking back may show.
#[derive(Clone, Debug, Default)]
pub struct Told {
    depths: Vec<(CompartmentId, i64, f64)>,
    runs: Vec<Run>,
    /// Since when, and until when, the sea stopped the bell.
    storms: Vec<(i64, Option<i64>)>,
    alarms: Vec<(i64, Severity)>,
}

impl Sink for Told {
    fn take(&mut self, entry: Entry) {
        if !entry.is_known_to_the_watch() {
            return;
        }
        let at = entry.at;
        match entry.what {
            What::Logged {
                compartment,
                quantity: Quantity::Depth,
                channel: Channel::Primary,
                truth: Truth::Shown,
                value,
            } => self.depths.push((compartment, at, value)),
            What::BellPhase { bell, run, phase } => {
                let known = self
                    .runs
                    .iter_mut()
                    .find(|r| (r.bell, r.run) == (bell, run));
                match (known, phase) {
                    (Some(run), BellPhase::Done) => run.to_s = Some(at),
                    (Some(_), _) => {}
                    (None, _) => self.runs.push(Run {
                        bell,
                        run,
                        from_s: at,
                        to_s: None,
                        stopped: false,
                    }),
                }
            }
            What::BellStopped { bell, run, .. } => {
                let known = self
                    .runs
                    .iter_mut()
                    .find(|r| (r.bell, r.run) == (bell, run));
                if let Some(run) = known {
                    run.stopped = true;
                }
            }
            What::Weather { stopped, .. } => match (self.storms.last_mut(), stopped) {
                (Some((_, end @ None)), false) => *end = Some(at),
                (Some((_, None)), true) => {}
                (_, true) => self.storms.push((at, None)),
                (_, false) => {}
            },
            What::Alarm {
                name,
                state: AlarmState::Unacknowledged,
                ..
            } => self.alarms.push((at, name.severity)),
            _ => {}
        }
    }
}

/// What is drawn, and where.
struct Strips<'a> {
    scenario: &'a Scenario,
    told: &'a Told,
    now_s: i64,
    from_s: i64,
    to_s: i64,
    left: f64,
    right: f64,
    top: f64,
}

impl Strips<'_> {
    fn x(&self, at_s: i64) -> f64 {
        let share = (at_s - self.from_s) as f64 / (self.to_s - self.from_s) as f64;
        self.left + share * (self.right - self.left)
    }

    /// A span of time as far as it is shown, between two heights.
    fn block(&self, from_s: i64, to_s: i64, (top, bottom): (f64, f64)) -> Option<Rect> {
        let (from, to) = (from_s.max(self.from_s), to_s.min(self.to_s));
        (from < to).then(|| {
            Rect::new(
                self.x(from),
                top,
                self.x(to).max(self.x(from) + 1.5),
                bottom,
            )
        })
    }
}

/// Draws the strips into a picture, from a height down.
pub fn draw(
    drawing: &mut Drawing,
    (scenario, told): (&Scenario, &Told),
    now_s: i64,
    zoom: Zoom,
    top: f64,
) {
    let (width, _) = drawing.size;
    let (from_s, to_s) = zoom.window(scenario, now_s);
    let strips = Strips {
        scenario,
        told,
        now_s,
        from_s,
        to_s,
        left: LEFT,
        right: width - RIGHT,
        top,
    };
    drawing.fill(&Rect::new(0.0, top, width, top + HEIGHT), Ink::Hull);
    drawing.line(&through(&[(0.0, top), (width, top)]), Ink::Wall, 1.0);
    hours(&strips, zoom, drawing);
    depths(&strips, drawing);
    runs(&strips, drawing);
    alarms(&strips, drawing);
    now(&strips, drawing);
}

/// Lines of days, hours or minutes, with what they are called.
fn hours(strips: &Strips, zoom: Zoom, drawing: &mut Drawing) {
    let length = strips.to_s - strips.from_s;
    let every = match zoom {
        Zoom::Job => 86_400 * (length / 86_400 / 15).max(1),
        Zoom::Day => 2 * 3600,
        Zoom::Hour => 300,
    };
    let time = strips.scenario.time();
    let first = strips.from_s
        - time
            .second_of_day(strips.from_s)
            .rem_euclid(every.min(86_400));
    let mut at = first;
    while at <= strips.to_s {
        if at >= strips.from_s {
            let x = strips.x(at);
            let line = through(&[(x, strips.top + 6.0), (x, strips.top + HEIGHT - 20.0)]);
            drawing.line(&line, Ink::Ghost, 1.0);
            let clock = time.clock(at);
            let words = match zoom {
                Zoom::Job => clock.split(' ').next().unwrap_or_default().to_owned(),
                Zoom::Day | Zoom::Hour => time.hour_and_minute(at),
            };
            if x < strips.right - 20.0 {
                let foot = (x + 4.0, strips.top + HEIGHT - 7.0);
                drawing.words(foot, words, Type::TEXT, Anchor::Start, Ink::Faint);
            }
        }
        at += every;
    }
}

fn name(drawing: &mut Drawing, y: f64, words: &str) {
    drawing.words((LEFT - 12.0, y), words, Type::TEXT, Anchor::End, Ink::Line);
}

/// Depth of each level's first chamber as its gauge showed it, the surface above.
fn depths(strips: &Strips, drawing: &mut Drawing) {
    let (top, bottom) = (strips.top + 10.0, strips.top + 42.0);
    name(drawing, strips.top + 30.0, "depth");
    let homes: Vec<CompartmentId> = strips
        .scenario
        .plan
        .levels
        .iter()
        .filter_map(|level| level.members.first().copied())
        .collect();
    let of_homes = strips
        .told
        .depths
        .iter()
        .filter(|(c, _, _)| homes.contains(c));
    let deepest = of_homes.map(|(_, _, msw)| *msw).fold(1.0, f64::max);
    for home in homes {
        let mut points: Vec<(f64, f64)> = Vec::new();
        for (c, at, msw) in &strips.told.depths {
            if *c == home && (strips.from_s..=strips.to_s).contains(at) {
                let y = top + (msw / deepest).clamp(0.0, 1.0) * (bottom - top);
                points.push((strips.x(*at), y));
            }
        }
        if points.len() > 1 {
            drawing.line(&through(&points), Ink::Line, 2.0);
        }
    }
}

/// Bell runs: as planned behind, as they were made before; and the sea that stopped them.
fn runs(strips: &Strips, drawing: &mut Drawing) {
    let rows = (strips.top + 49.0, strips.top + 61.0);
    name(drawing, strips.top + 60.0, "bell runs");
    for (from_s, to_s) in &strips.told.storms {
        let over = strips.block(
            *from_s,
            to_s.unwrap_or(strips.now_s),
            (rows.0 - 3.0, rows.1 + 3.0),
        );
        if let Some(rect) = over {
            drawing.fill(&rect, Ink::Shallow);
        }
    }
    for planned in strips
        .scenario
        .plan
        .bell_runs
        .iter()
        .filter(|r| r.at > strips.now_s)
    {
        // One after another in the water, and the way there and back.
        let end_s = planned.at + planned.divers.len() as i64 * planned.in_water_s + WAYS_S;
        if let Some(rect) = strips.block(planned.at, end_s, rows) {
            drawing.line(&rounded(rect.inset(-0.6), 1.5), Ink::Wall, 1.0);
        }
    }
    for run in &strips.told.runs {
        let Some(rect) = strips.block(run.from_s, run.to_s.unwrap_or(strips.now_s), rows) else {
            continue;
        };
        let rect = rect.inset(-0.6);
        match run.stopped {
            false => drawing.fill(&rounded(rect, 1.5), Ink::Faint),
            true => drawing.shape(&rounded(rect, 1.5), Ink::Ghost, Ink::Line, 1.2),
        }
    }
}

fn alarms(strips: &Strips, drawing: &mut Drawing) {
    name(drawing, strips.top + 80.0, "alarms");
    let mut last = f64::NEG_INFINITY;
    for (at, severity) in &strips.told.alarms {
        let x = strips.x(*at);
        let shown = (strips.from_s..=strips.to_s).contains(at);
        // Signs that would lie on each other are one.
        if shown && x - last > 8.0 {
            sign(drawing, (x, strips.top + 75.0), *severity);
            last = x;
        }
    }
}

/// Where the moment is.
fn now(strips: &Strips, drawing: &mut Drawing) {
    let x = strips.x(strips.now_s);
    let line = through(&[(x, strips.top), (x, strips.top + HEIGHT)]);
    drawing.line(&line, Ink::Line, 2.4);
}
