//! The job along its time: depth of each level, bell runs, weather that stops the bell, and alarms, as the watch was told
//! them; what was planned stands behind, and what is to come is empty.

use crate::drawing::{Anchor, Drawing, Ink, Type, rounded, through};
use crate::scene::sign;
use deepstay::plant::SamplePoint;
use deepstay::record::{
    AlarmState, BellBook, BellPhase, BellRun, Entry, Phase, Severity, Sink, What,
};
use deepstay::scenario::Scenario;
use deepstay::units::{Channel, CompartmentId, InstrumentId, Quantity};
use deepstay::watch::{Feed, Trend};
use deepstay::words::{Names, Words};
use kurbo::Rect;

/// Height of the strips, px.
pub const HEIGHT: f64 = 128.0;
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

/// What has been told, as far as it is drawn here. It takes nothing that only looking back may show.
#[derive(Clone, Debug, Default)]
pub struct Told {
    depths: Vec<(CompartmentId, i64, f64)>,
    runs: Vec<Run>,
    /// Since when, and until when, the sea stopped the bell.
    storms: Vec<(i64, Option<i64>)>,
    alarms: Vec<(i64, Severity)>,
    phases: Vec<(CompartmentId, i64, Phase)>,
    taken: usize,
    book: BellBook,
    /// How often divers have gone out on a run, and runs have ended: what is worked at can only change with it.
    turns: usize,
}

impl Told {
    /// Takes what a feed has been told since it was last looked at. Of a feed that has gone back it begins anew.
    pub fn follow(&mut self, feed: &Feed) {
        if feed.len() < self.taken || feed.depths().len() < self.depths.len() {
            *self = Told::default();
        }
        for entry in &feed.entries()[self.taken..] {
            self.take(entry);
        }
        self.taken = feed.len();
        let known = self.depths.len();
        self.depths.extend_from_slice(&feed.depths()[known..]);
    }

    /// Bell runs as they were told, and how often they have been told of.
    pub fn bell_runs(&self) -> (&[BellRun], usize) {
        (self.book.runs(), self.turns)
    }

    fn take(&mut self, entry: &Entry) {
        let at = entry.at;
        if let What::BellPhase { .. } | What::BellStopped { .. } | What::Diver { .. } = entry.what {
            self.book.take(*entry);
        }
        if let What::BellPhase {
            phase: BellPhase::FirstOut | BellPhase::Done,
            ..
        }
        | What::BellStopped { .. } = entry.what
        {
            self.turns += 1;
        }
        match entry.what {
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
            What::Phase { compartment, phase } => self.phases.push((compartment, at, phase)),
            _ => {}
        }
    }
}

/// What is drawn.
#[derive(Clone, Copy)]
pub struct Course<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// What has been told.
    pub told: &'a Told,
    /// What instruments have shown, minute by minute, as far as it is kept.
    pub trend: &'a Trend,
    /// When somebody did something by hand, s.
    pub acts: &'a [i64],
    /// The second shown.
    pub now_s: i64,
    /// How far time has passed, s: what is planned after it has not come yet.
    pub reached_s: i64,
    /// How much of the job is shown.
    pub zoom: Zoom,
}

/// What is drawn, and where.
struct Strips<'a> {
    of: Course<'a>,
    from_s: i64,
    to_s: i64,
    left: f64,
    right: f64,
    top: f64,
}

impl Strips<'_> {
    fn new(of: Course<'_>, width: f64, top: f64) -> Strips<'_> {
        let (from_s, to_s) = of.zoom.window(of.scenario, of.now_s);
        Strips {
            of,
            from_s,
            to_s,
            left: LEFT,
            right: width - RIGHT,
            top,
        }
    }

    fn x(&self, at_s: i64) -> f64 {
        let share = (at_s - self.from_s) as f64 / (self.to_s - self.from_s) as f64;
        self.left + share * (self.right - self.left)
    }

    /// What stands at the moment's foot, and where it begins.
    fn tag(&self) -> (String, f64) {
        let clock = self.of.scenario.time().clock(self.of.now_s);
        let wide = Type::TEXT.strong().width(&clock) + 14.0;
        let x = self.x(self.of.now_s) - 0.5 * wide;
        (
            clock,
            x.clamp(self.left, (self.right - wide).max(self.left)),
        )
    }

    fn shows(&self, at_s: i64) -> bool {
        (self.from_s..=self.to_s).contains(&at_s)
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

/// The second that a place on the strips of a picture stands for.
pub fn second_at(of: Course, width: f64, x: f64) -> i64 {
    let strips = Strips::new(of, width, 0.0);
    let share = ((x - strips.left) / (strips.right - strips.left)).clamp(0.0, 1.0);
    strips.from_s + (share * (strips.to_s - strips.from_s) as f64).round() as i64
}

/// Draws the strips into a picture, from a height down.
pub fn draw(drawing: &mut Drawing, of: Course, top: f64) {
    let (width, _) = drawing.size;
    let strips = Strips::new(of, width, top);
    drawing.fill(&Rect::new(0.0, top, width, top + HEIGHT), Ink::Hull);
    drawing.line(&through(&[(0.0, top), (width, top)]), Ink::Wall, 1.0);
    hours(&strips, drawing);
    depths(&strips, drawing);
    runs(&strips, drawing);
    alarms(&strips, drawing);
    acts(&strips, drawing);
    now(&strips, drawing);
}

/// Lines of days, hours or minutes, with what they are called.
fn hours(strips: &Strips, drawing: &mut Drawing) {
    let zoom = strips.of.zoom;
    let length = strips.to_s - strips.from_s;
    let every = match zoom {
        Zoom::Job => 86_400 * (length / 86_400 / 15).max(1),
        Zoom::Day => 2 * 3600,
        Zoom::Hour => 300,
    };
    let time = strips.of.scenario.time();
    let first = strips.from_s
        - time
            .second_of_day(strips.from_s)
            .rem_euclid(every.min(86_400));
    let mut at = first;
    while at <= strips.to_s {
        if at >= strips.from_s {
            let x = strips.x(at);
            let line = through(&[(x, strips.top + 6.0), (x, strips.top + HEIGHT - 22.0)]);
            drawing.line(&line, Ink::Ghost, 1.0);
            let clock = time.clock(at);
            let words = match zoom {
                Zoom::Job => clock.split(' ').next().unwrap_or_default().to_owned(),
                Zoom::Day | Zoom::Hour => time.hour_and_minute(at),
            };
            let (tag, left) = strips.tag();
            let tag = left - 8.0..left + Type::TEXT.strong().width(&tag) + 22.0;
            let end = x + 4.0 + Type::TEXT.width(&words);
            if x < strips.right - 20.0 && !(tag.contains(&x) || tag.contains(&end)) {
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
        .of
        .scenario
        .plan
        .levels
        .iter()
        .filter_map(|level| level.members.first().copied())
        .collect();
    let deepest = strips.of.scenario.site.seabed_msw.max(1.0);
    let several = homes.len() > 1;
    for home in homes {
        let mut points: Vec<(f64, f64)> = Vec::new();
        for (at, msw) in gauge(strips, home) {
            let x = strips.x(at);
            let y = top + (msw / deepest).clamp(0.0, 1.0) * (bottom - top);
            let near = points.last().is_some_and(|(last_x, last_y)| {
                (x - last_x).abs() < 0.75 && (y - last_y).abs() < 0.5
            });
            if !near {
                points.push((x, y));
            }
        }
        if points.len() > 1 {
            drawing.line(&through(&points), Ink::Line, 2.0);
        }
        phases(strips, home, drawing);
        // Of several, whose it is stands at its end, where there is room.
        if let (true, Some((x, y))) = (several, points.last()) {
            let words = strips.of.scenario.compartment(home);
            let feet = [y + 5.0, y + 15.0, y - 9.0].map(|foot| foot.clamp(top + 9.0, bottom + 3.0));
            let room = x + 8.0 + Type::TEXT.width(&words) < strips.right;
            let free = |foot: &&f64| drawing.is_free((x + 8.0, **foot), &words, Type::TEXT);
            if let Some(foot) = feet.iter().find(free).filter(|_| room) {
                let at = (x + 8.0, *foot);
                drawing.words(at, words, Type::TEXT, Anchor::Start, Ink::Faint);
            }
        }
    }
}

/// What a vessel's first depth gauge showed: at the log's cadence over all of the job, and looked at closer each minute.
fn gauge(strips: &Strips, vessel: CompartmentId) -> Vec<(i64, f64)> {
    let shown = |at: i64| strips.shows(at) && at <= strips.of.reached_s;
    if strips.of.zoom == Zoom::Job {
        let mine = strips
            .of
            .told
            .depths
            .iter()
            .filter(|(c, _, _)| *c == vessel);
        return mine
            .map(|(_, at, msw)| (*at, *msw))
            .filter(|(at, _)| shown(*at))
            .collect();
    }
    let steel = &strips.of.scenario.steel;
    let plates = (0u16..).map(InstrumentId).zip(&steel.instruments);
    let first = plates.into_iter().find(|(_, plate)| {
        plate.labelled == SamplePoint::Compartment(vessel)
            && (plate.quantity, plate.channel) == (Quantity::Depth, Channel::Primary)
    });
    let samples = first.map(|(id, _)| strips.of.trend.of(id, strips.from_s));
    let samples = samples.into_iter().flatten();
    samples
        .map(|(at, msw)| (at, f64::from(msw)))
        .filter(|(at, _)| shown(*at))
        .collect()
}

/// Where a level's phases begin; in words where there is room for them.
fn phases(strips: &Strips, home: CompartmentId, drawing: &mut Drawing) {
    let mine = strips.of.told.phases.iter().filter(|(c, _, _)| *c == home);
    let begun: Vec<(f64, Phase)> = mine
        .filter(|(_, at, _)| strips.shows(*at))
        .map(|(_, at, phase)| (strips.x(*at), *phase))
        .collect();
    for (k, (x, phase)) in begun.iter().enumerate() {
        let tick = through(&[(*x, strips.top + 8.0), (*x, strips.top + 16.0)]);
        drawing.line(&tick, Ink::Faint, 1.2);
        // On the way from one depth to another the line itself would pass through the word.
        if *phase != Phase::Storage {
            continue;
        }
        let words = phase.words();
        let next = begun.get(k + 1).map_or(strips.right, |(x, _)| *x);
        let first_of_levels = strips.of.scenario.plan.levels.first();
        let room = next - x > Type::TEXT.width(words) + 14.0;
        if room && first_of_levels.is_some_and(|level| level.members.contains(&home)) {
            let at = (x + 8.0, strips.top + 31.0);
            drawing.words(at, words, Type::TEXT, Anchor::Start, Ink::Faint);
        }
    }
}

/// Bell runs: as planned behind, as they were made before; and the sea that stopped them.
fn runs(strips: &Strips, drawing: &mut Drawing) {
    let rows = (strips.top + 49.0, strips.top + 61.0);
    name(drawing, strips.top + 60.0, "bell runs");
    for (from_s, to_s) in &strips.of.told.storms {
        let over = strips.block(
            *from_s,
            to_s.unwrap_or(strips.of.reached_s),
            (rows.0 - 3.0, rows.1 + 3.0),
        );
        if let Some(rect) = over {
            drawing.fill(&rect, Ink::Shallow);
            // In words where no run is drawn over it.
            let ends = strips.of.told.runs.iter().filter_map(|run| {
                let end_s = run.to_s.unwrap_or(strips.of.reached_s);
                let block = strips.block(run.from_s, end_s, rows)?;
                (block.x0 < rect.x1 && block.x1 > rect.x0).then_some(block.x1)
            });
            let left = ends.fold(rect.x0, f64::max) + 4.0;
            let (words, set) = ("weather", Type::TEXT);
            if left + set.width(words) < rect.x1 {
                drawing.words((left, rows.1), words, set, Anchor::Start, Ink::Faint);
            }
        }
    }
    for planned in strips
        .of
        .scenario
        .plan
        .bell_runs
        .iter()
        .filter(|r| r.at > strips.of.reached_s)
    {
        // One after another in the water, and the way there and back.
        let end_s = planned.at + planned.divers.len() as i64 * planned.in_water_s + WAYS_S;
        if let Some(rect) = strips.block(planned.at, end_s, rows) {
            drawing.line(&rounded(rect.inset(-0.6), 1.5), Ink::Wall, 1.0);
        }
    }
    for run in &strips.of.told.runs {
        let end_s = run.to_s.unwrap_or(strips.of.reached_s);
        let Some(rect) = strips.block(run.from_s, end_s, rows) else {
            continue;
        };
        let rect = rounded(rect.inset(-0.6), 1.5);
        let later = run.from_s > strips.of.now_s;
        match (run.stopped, later) {
            (true, _) => drawing.shape(&rect, Ink::Ghost, Ink::Line, 1.2),
            (false, true) => drawing.fill(&rect, Ink::Wall),
            (false, false) => drawing.fill(&rect, Ink::Faint),
        }
    }
}

/// Alarms; of those that would lie on each other the gravest.
fn alarms(strips: &Strips, drawing: &mut Drawing) {
    name(drawing, strips.top + 82.0, "alarms");
    let mut signs: Vec<(f64, Severity)> = Vec::new();
    let shown = strips.of.told.alarms.iter();
    for (at, severity) in shown.filter(|(at, _)| strips.shows(*at)) {
        let x = strips.x(*at);
        match signs.last_mut() {
            Some((last, gravest)) if x - *last <= 22.0 => *gravest = (*gravest).max(*severity),
            _ => signs.push((x, *severity)),
        }
    }
    for (x, severity) in signs {
        sign(drawing, (x, strips.top + 76.0), severity);
    }
}

/// What somebody did by hand.
fn acts(strips: &Strips, drawing: &mut Drawing) {
    name(drawing, strips.top + 102.0, "acts");
    let mut last = f64::NEG_INFINITY;
    for at in strips.of.acts.iter().filter(|at| strips.shows(**at)) {
        let x = strips.x(*at);
        if x - last >= 2.0 {
            let tick = through(&[(x, strips.top + 91.0), (x, strips.top + 102.0)]);
            drawing.line(&tick, Ink::Line, 1.6);
            last = x;
        }
    }
}

/// Where the moment is, and when.
fn now(strips: &Strips, drawing: &mut Drawing) {
    let x = strips.x(strips.of.now_s);
    let line = through(&[(x, strips.top), (x, strips.top + HEIGHT - 22.0)]);
    drawing.line(&line, Ink::Line, 2.4);
    let (clock, left) = strips.tag();
    let set = Type::TEXT.strong();
    let wide = set.width(&clock) + 14.0;
    let foot = strips.top + HEIGHT;
    let ground = Rect::new(left, foot - 23.0, left + wide, foot - 2.0);
    drawing.fill(&rounded(ground, 2.0), Ink::Line);
    let at = (left + 7.0, foot - 7.0);
    drawing.words(at, clock, set, Anchor::Start, Ink::Room);
}
