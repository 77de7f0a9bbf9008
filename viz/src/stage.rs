//! What is looked at: a job that the automatic watch keeps, a watch that a person keeps, or a watch that is over and looked
//! back on. It owns the session; time passes here and nowhere else, and what a picture is made of is handed out as data.

mod truth;
mod work;

pub use truth::Truth;
use work::Work;

use crate::timeline::Told;
use deepstay::job::{Indicated, Job};
use deepstay::record::{AlarmState, BellPhase, Entry, What};
use deepstay::scenario::Scenario;
use deepstay::units::{CompartmentId, Units};
use deepstay::watch::{CannotSit, Hands, Keys, Left, OnWatch, SitDown, TakeUp, Trend, Twin, shown};
use deepstay::words::Names;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Speeds at which time may pass.
pub const SPEEDS: &[u32] = &[1, 2, 5, 10, 30, 60, 120, 300, 600, 1200, 3600];
/// How far a job is run ahead at a time, s.
const AHEAD_S: i64 = 60;
/// Lines of the log that are handed out.
const LOG_LINES: usize = 80;
/// Seconds between two samples of a twin.
const TWIN_S: i64 = 60;

/// What is written is no time of the job.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{written}`: {why}")]
pub struct NoTime {
    /// What is written.
    written: String,
    /// What is wrong with it.
    why: String,
}

/// How one came in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WayIn {
    /// A job is looked at: the automatic watch keeps it.
    Look,
    /// Somebody sits on the watch.
    Sit,
    /// A watch is looked back on: what was true stands beside what was indicated.
    Back,
}

/// How a watch that is looked back on would have gone on without something.
#[derive(Debug)]
pub struct TwinRun {
    /// Without what.
    pub twin: Twin,
    job: Job,
    /// What its instruments show.
    pub trend: Trend,
}

/// The stage.
pub struct Stage {
    watch: OnWatch,
    way: WayIn,
    /// The job at the second that is shown, where that is not the present of the session.
    other: Option<Job>,
    seen: Indicated,
    truth: Option<Truth>,
    told: Told,
    work: Work,
    at_work: Vec<(CompartmentId, String)>,
    log: Vec<(String, String)>,
    units: Units,
    twins: Vec<TwinRun>,
}

impl Stage {
    /// A job to be looked at, at its first second.
    ///
    /// # Errors
    /// [`CannotSit`], as where one sits down.
    pub fn look(job: &str) -> Result<Stage, CannotSit> {
        let down = SitDown {
            stations: Some(Vec::new()),
            ..SitDown::at(job, SPEEDS)
        };
        let mut stage = Stage::new(down.sit(|_, _| true)?, WayIn::Look);
        stage.watch.session.keep_whole_trend();
        stage.show(0);
        Ok(stage)
    }

    /// A watch that somebody sits down to.
    ///
    /// # Errors
    /// [`CannotSit`]: what is wrong, where, and what would be right.
    pub fn sit(down: SitDown, go_on: impl FnMut(i64, i64) -> bool) -> Result<Stage, CannotSit> {
        let down = SitDown {
            speeds: SPEEDS,
            ..down
        };
        Ok(Stage::new(down.sit(go_on)?, WayIn::Sit))
    }

    /// A watch that was broken off, to go on with.
    ///
    /// # Errors
    /// [`CannotSit`]: what is wrong, where, and what would be right.
    pub fn take_up(
        journal: &Path,
        hands: Hands,
        keys: Keys,
        go_on: impl FnMut(i64, i64) -> bool,
    ) -> Result<Stage, CannotSit> {
        let up = TakeUp {
            journal: journal.to_owned(),
            only_looked_at: false,
            hands,
            keys,
            speeds: SPEEDS,
        };
        Ok(Stage::new(up.sit(go_on)?, WayIn::Sit))
    }

    /// A watch that is over, by its journal, which is left as it is.
    ///
    /// # Errors
    /// [`CannotSit`]: what is wrong, where, and what would be right.
    pub fn back(journal: &Path, go_on: impl FnMut(i64, i64) -> bool) -> Result<Stage, CannotSit> {
        let up = TakeUp {
            journal: journal.to_owned(),
            only_looked_at: true,
            hands: Hands::built_in().clone(),
            keys: Keys::default(),
            speeds: SPEEDS,
        };
        let mut stage = Stage::new(up.sit(go_on)?, WayIn::Back);
        let from_s = stage.watch.session.from_s();
        for twin in [Twin::NoFault, Twin::NobodyActs, Twin::Automatic] {
            if let Ok(job) = stage.watch.session.twin_at(twin, from_s) {
                let trend = Trend::default();
                stage.twins.push(TwinRun { twin, job, trend });
            }
        }
        stage.show(from_s);
        Ok(stage)
    }

    fn new(watch: OnWatch, way: WayIn) -> Stage {
        let seen = watch.session.indicated();
        let mut stage = Stage {
            watch,
            way,
            other: None,
            seen,
            truth: None,
            told: Told::default(),
            work: Work::default(),
            at_work: Vec::new(),
            log: Vec::new(),
            units: Units::Metric,
            twins: Vec::new(),
        };
        stage.refresh();
        stage
    }

    /// How one came in.
    pub fn way(&self) -> WayIn {
        self.way
    }

    /// The scenario.
    pub fn scenario(&self) -> &Arc<Scenario> {
        self.watch.session.scenario()
    }

    /// What the watch sees at the second shown.
    pub fn seen(&self) -> &Indicated {
        &self.seen
    }

    /// What was true at the second shown: of a watch that is looked back on, and of no other.
    pub fn truth(&self) -> Option<&Truth> {
        self.truth.as_ref()
    }

    /// What has been told, for the timeline.
    pub fn told(&self) -> &Told {
        &self.told
    }

    /// What the divers of each bell that is out work at, by the work list.
    pub fn work(&self) -> &[(CompartmentId, String)] {
        &self.at_work
    }

    /// When somebody did something by hand, s.
    pub fn acts(&self) -> Vec<i64> {
        self.watch.session.acts().map(|(at, _, _)| at).collect()
    }

    /// What has been said and done until the second shown, the newest first.
    pub fn log(&self) -> &[(String, String)] {
        &self.log
    }

    /// What has been told until the second shown.
    pub fn feed(&self) -> &[Entry] {
        let entries = self.watch.session.feed().entries();
        let until = entries.partition_point(|e| e.at <= self.seen.at_s);
        &entries[..until]
    }

    /// What instruments have shown.
    pub fn trend(&self) -> &Trend {
        self.watch.session.trend()
    }

    /// Twins of a watch that is looked back on, as far as they have run.
    pub fn twins(&self) -> &[TwinRun] {
        &self.twins
    }

    /// Units.
    pub fn units(&self) -> Units {
        self.units
    }

    /// Sets them.
    pub fn set_units(&mut self, units: Units) {
        self.units = units;
        self.refresh();
    }

    /// The second shown.
    pub fn shown_s(&self) -> i64 {
        self.seen.at_s
    }

    /// How far time has passed: nothing after it can be shown.
    pub fn reached_s(&self) -> i64 {
        self.watch.session.now()
    }

    /// Whether another second than the present of a person's watch is shown.
    pub fn shows_the_past(&self) -> bool {
        self.way == WayIn::Sit && self.other.is_some()
    }

    /// What was said last, of an order or of what cannot be done, and whether it is bad news.
    pub fn said(&self) -> Option<(&str, bool)> {
        self.watch.last_line()
    }

    /// A digest of all that decides how the watch goes on.
    pub fn state_hash(&self) -> u64 {
        match &self.other {
            Some(job) => job.state_hash(),
            None => self.watch.session.state_hash(),
        }
    }

    /// What the watch is: the stations that a person sits at, keys, sheets.
    pub fn keys(&self) -> &Keys {
        &self.watch.kit.keys
    }

    /// What an unfinished order may go on with.
    pub fn offers(&self, line: &str) -> Vec<String> {
        let sheets = &self.watch.kit.sheets;
        deepstay::watch::complete(line, self.scenario(), &self.seen, sheets).offers
    }

    /// Whether time passes, and how fast.
    pub fn pace(&self) -> (bool, u32) {
        (self.watch.clock.runs(), self.watch.clock.speed())
    }

    /// Time passes, or stands.
    pub fn play(&mut self, runs: bool) {
        let over = self.seen.over;
        self.watch.clock.run(runs && !over, Instant::now());
        let marked = self.watch.session.mark();
        self.watch.written(marked);
    }

    /// Faster, or slower.
    pub fn change_speed(&mut self, faster: bool) {
        self.watch.clock.change(faster);
    }

    /// A second of what is written, such as "D12 06:40".
    ///
    /// # Errors
    /// [`NoTime`].
    pub fn time(&self, written: &str) -> Result<i64, NoTime> {
        let time = self.scenario().time();
        match time.read(written) {
            Ok(time) => Ok(time.at_s.max(0)),
            Err(bad) => Err(NoTime {
                written: written.to_owned(),
                why: bad.to_string(),
            }),
        }
    }

    /// Time passes until `now` of the wall's clock. A job that is looked at is run ahead of what is shown for about as long
    /// as `room`.
    pub fn tick(&mut self, now: Instant, room: Duration) {
        match self.way {
            WayIn::Sit => {
                let before = self.watch.session.now();
                self.watch.tick(now);
                if self.watch.session.now() != before && self.other.is_none() {
                    self.refresh();
                }
            }
            WayIn::Look | WayIn::Back => {
                let begun = Instant::now();
                while begun.elapsed() < room && self.run_ahead() {}
                let passed = self.watch.clock.passed(now);
                if passed > 0 {
                    self.show(self.seen.at_s + passed);
                }
            }
        }
    }

    /// Somebody's watch goes on to a second, whatever the clock of the wall says: for whoever keeps the time himself.
    pub fn live_to(&mut self, at_s: i64) {
        if self.way == WayIn::Sit {
            let done = self.watch.session.advance_to(at_s);
            self.watch.written(done);
            self.watch.tell_what_came();
            self.refresh();
        }
    }

    /// Runs a little further ahead; whether there was anything left to run.
    fn run_ahead(&mut self) -> bool {
        let session = &mut self.watch.session;
        match self.way {
            WayIn::Sit => false,
            WayIn::Look => {
                if session.is_over() {
                    return false;
                }
                let done = session.advance_to(session.now() + AHEAD_S);
                self.watch.written(done);
                self.told.follow(self.watch.session.feed());
                true
            }
            WayIn::Back => {
                let reached_s = session.now();
                let Some(run) = self
                    .twins
                    .iter_mut()
                    .filter(|run| run.job.now() < reached_s && run.job.ended().is_none())
                    .min_by_key(|run| run.job.now())
                else {
                    return false;
                };
                let to_s = (run.job.now() / TWIN_S + 1) * TWIN_S;
                session.bring_twin(run.twin, &mut run.job, to_s.min(reached_s));
                let seen = run.job.indicated();
                run.trend
                    .look(&seen, session.scenario().steel.instruments.len());
                true
            }
        }
    }

    /// Runs a job that is looked at to a second at least, or to its end; of a watch that is looked back on, its twins.
    pub fn run_ahead_to(&mut self, at_s: i64) {
        let reached = |stage: &Stage| match stage.way {
            WayIn::Sit => true,
            WayIn::Look => stage.reached_s() >= at_s,
            WayIn::Back => stage.twins.iter().all(|run| run.job.now() >= at_s),
        };
        while !reached(self) && self.run_ahead() {}
    }

    /// Shows a second: of a person's watch one that is past or the present, of a job one that has been reached.
    pub fn show(&mut self, at_s: i64) {
        let first_s = match self.way {
            WayIn::Look => 0,
            WayIn::Sit | WayIn::Back => self.watch.session.from_s(),
        };
        let reached_s = self.reached_s();
        if self.way == WayIn::Sit && at_s >= reached_s {
            self.other = None;
            self.refresh();
            return;
        }
        if at_s >= reached_s {
            self.watch.clock.run(
                self.watch.clock.runs() && !self.watch.session.is_over() && self.way == WayIn::Look,
                Instant::now(),
            );
        }
        let at_s = at_s.clamp(first_s, reached_s);
        let near = self
            .other
            .as_mut()
            .filter(|job| (job.now()..=job.now() + 2 * 3600).contains(&at_s));
        match near {
            Some(job) => self.watch.session.bring(job, at_s),
            None => match self.watch.session.at(at_s) {
                Ok(job) => self.other = Some(job),
                Err(error) => self.watch.say(error.to_string(), true),
            },
        }
        self.refresh();
    }

    /// Shows a second so much later, or earlier.
    pub fn step(&mut self, by_s: i64) {
        self.play(false);
        self.show(self.seen.at_s + by_s);
    }

    /// Shows the next second at which something happened that one looks for, or the last one before.
    pub fn next_event(&mut self, later: bool) {
        let entries = self.watch.session.feed().entries();
        let now_s = self.seen.at_s;
        let mut events = entries.iter().filter(|e| is_event(e)).map(|e| e.at);
        let found = match later {
            true => events.find(|at| *at > now_s),
            false => events.take_while(|at| *at < now_s).last(),
        };
        self.play(false);
        match found {
            Some(at_s) => self.show(at_s),
            None => self.watch.say("no alarm, bell run or phase there", false),
        }
    }

    /// A line of the watch: an order, a call, a note.
    pub fn line(&mut self, line: &str) {
        match self.way {
            WayIn::Sit => {
                self.other = None;
                self.watch.line(line);
                self.refresh();
            }
            WayIn::Look | WayIn::Back => self.watch.say(
                "you only look here; `deepstay-viz sit JOB --from TIME` sits down on the watch",
                true,
            ),
        }
    }

    /// Goes back to a second of a person's watch, and begins another branch there.
    pub fn jump(&mut self, line: &str) {
        match self.way {
            WayIn::Sit => {
                self.watch.jump(line);
                self.other = None;
                self.told = Told::default();
                self.refresh();
            }
            WayIn::Look | WayIn::Back => match self.time(line) {
                Ok(at_s) => {
                    self.run_ahead_to(at_s);
                    self.show(at_s);
                }
                Err(bad) => self.watch.say(bad.to_string(), true),
            },
        }
    }

    /// The watch is left. `goes_on` is the command that takes its journal up again.
    pub fn left(self, goes_on: &str) -> Left {
        self.watch.left(goes_on)
    }

    fn refresh(&mut self) {
        self.seen = match &self.other {
            Some(job) => job.indicated(),
            None => self.watch.session.indicated(),
        };
        self.truth = match (self.way, &self.other) {
            (WayIn::Back, Some(job)) => Some(Truth::of(job)),
            _ => None,
        };
        self.told.follow(self.watch.session.feed());
        let scenario = self.watch.session.scenario();
        self.work.follow(scenario, &self.told);
        self.at_work = self.work.at(scenario, &self.told, self.seen.at_s);
        let newest = self.feed().iter().rev();
        let lines = newest.filter_map(|e| shown::told(&self.watch, self.units, e));
        self.log = lines.take(LOG_LINES).collect();
    }

    /// The scenario's name and, in words, how it is looked at.
    pub fn title(&self) -> String {
        let name = &self.scenario().name;
        match self.way {
            WayIn::Look => format!("Deepstay: {name}"),
            WayIn::Sit => format!("Deepstay: on watch, {name}"),
            WayIn::Back => format!("Deepstay: looking back, {name}"),
        }
    }

    /// Vessel time to the second.
    pub fn clock(&self) -> String {
        self.watch.clock_at(self.seen.at_s)
    }

    /// A vessel's name.
    pub fn vessel(&self, at: deepstay::units::CompartmentId) -> String {
        self.scenario().compartment(at)
    }
}

/// What one looks for on a timeline.
fn is_event(entry: &Entry) -> bool {
    matches!(
        entry.what,
        What::Alarm {
            state: AlarmState::Unacknowledged,
            ..
        } | What::BellPhase {
            phase: BellPhase::Checks
                | BellPhase::Lowering
                | BellPhase::FirstOut
                | BellPhase::SecondOut
                | BellPhase::Recovery
                | BellPhase::Done,
            ..
        } | What::BellStopped { .. }
            | What::Phase { .. }
            | What::Weather { .. }
    )
}
