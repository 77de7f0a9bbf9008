//! A watch under way: the job, what the watch has been told of it, saves to go back to, and the journal.

use crate::feed::Feed;
use crate::hands::Hands;
use crate::journal::{Head, Journal, JournalError, Line, Recall};
use crate::kept::{Kept, Shelf};
use crate::sheets::Sheets;
use crate::trend::Trend;
use crate::verbs::{Asked, NotUnderstood, Verb, parse};
use deepstay_core::record::{Fitness, NoRecord, Refused, Sink, Sitter, Station};
use deepstay_core::units::DiverId;
use deepstay_job::{Act, Ended, Halt, Indicated, Job, Options, RestoreError, fingerprint};
use deepstay_scenario::{Scenario, WholePresent};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};
use thiserror::Error;

/// Longest stretch between two saves, s.
const SAVED_EVERY_S: i64 = 3600;
/// Longest work between two saves: going back anywhere takes at most so much, and a restore.
const SAVED_EVERY: Duration = Duration::from_millis(40);
/// How often how far time has passed is written, where nothing else is.
const MARKED_EVERY: Duration = Duration::from_secs(1);

/// Why a session cannot go on.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum SessionError {
    /// The journal cannot be written or read.
    #[error(transparent)]
    Journal(#[from] JournalError),
    /// The second lies before the job's first or after the present.
    #[error("{asked} s is not between the job's start and now ({now} s)")]
    NotThere {
        /// The second asked for.
        asked: i64,
        /// The present.
        now: i64,
    },
    /// A save of its own cannot be taken up.
    #[error(transparent)]
    Restore(#[from] RestoreError),
}

/// What came of an act.
pub type Done = Result<(), Refused>;

/// Where a watch begins.
#[derive(Clone, Debug)]
pub enum Start {
    /// At a second of the job, to which the automatic watch brings it.
    At(i64),
    /// With what a present says.
    Present(Arc<WholePresent>),
}

impl Start {
    fn job(&self, scenario: Arc<Scenario>, options: Options) -> Job {
        match self {
            Start::At(_) => Job::new(scenario, options),
            Start::Present(present) => Job::from_present(scenario, present, options),
        }
    }
}

/// A branch of the watch: 0 is the first, each jump back begins the next.
pub type BranchId = usize;

/// What a twin is without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Twin {
    /// Nobody acts from now on.
    NobodyActs,
    /// The automatic watch acts at both stations from now on.
    Automatic,
    /// The same acts from the job's start, and none of its faults.
    NoFault,
}

#[derive(Debug)]
struct Save {
    at: i64,
    bytes: Box<[u8]>,
    scenario: Arc<Scenario>,
    told: usize,
}

/// An act given, with all that the journal says of it.
#[derive(Clone, Debug, PartialEq)]
struct Given {
    at: i64,
    by: Station,
    act: Act,
    takes_s: i64,
    words: Option<String>,
}

impl Given {
    /// When it is done.
    fn due_s(&self) -> i64 {
        self.at + self.takes_s
    }

    /// Whether it is done on the way from one second to a later one, each as [`Session::at`] has it: before any act of
    /// that second, but after those that were under way and done at it.
    fn is_done_between(&self, from_s: i64, to_s: i64) -> bool {
        match self.takes_s {
            0 => self.at >= from_s && self.at < to_s,
            _ => self.at < to_s && self.due_s() > from_s,
        }
    }

    /// Whether it is something that goes wrong, or is put right, of itself.
    fn is_fault(&self) -> bool {
        matches!(self.act, Act::Fault(_) | Act::Cure(_))
    }

    fn line(&self) -> Line {
        Line::Act {
            at: self.at,
            by: self.by,
            act: self.act,
            takes_s: self.takes_s,
            words: self.words.clone(),
        }
    }
}

/// The watch as it was at a second.
struct Back {
    job: Job,
    /// How many acts had been given.
    acts: usize,
    /// Those of them that took time and were not done yet.
    under_way: Vec<usize>,
    /// How much of the feed had been told at the save it was taken up from, and what was told since.
    told: usize,
    told_s: i64,
    since: Feed,
}

/// A person's watch.
#[derive(Debug)]
pub struct Session {
    scenario: Arc<Scenario>,
    options: Options,
    start: Start,
    from_s: i64,
    job: Job,
    feed: Feed,
    trend: Trend,
    saves: Vec<Save>,
    worked: Duration,
    /// Acts of this branch, in their order.
    given: Vec<Given>,
    /// Of those, which take time and are not done yet.
    under_way: Vec<usize>,
    /// What came of acts that took time, since this was last asked.
    came: Vec<(Station, Act, Done)>,
    branches: Vec<Vec<Given>>,
    journal: Option<Journal>,
    marked_s: i64,
    marked: Instant,
}

impl Session {
    /// Brings a job to where the watch begins, with the automatic watch at both stations; whoever is to sit there then
    /// takes his station by [`Act::Sit`]. `go_on` is asked on the way, with the second reached; when it says no, the
    /// session begins where the job then is.
    pub fn begin(
        scenario: Arc<Scenario>,
        options: Options,
        start: Start,
        mut go_on: impl FnMut(i64) -> bool,
    ) -> Session {
        let job = start.job(Arc::clone(&scenario), options);
        let from_s = match start {
            Start::At(from_s) => from_s,
            Start::Present(_) => job.now(),
        };
        let mut session = Session {
            job,
            scenario,
            options,
            start,
            from_s,
            feed: Feed::default(),
            trend: Trend::default(),
            saves: Vec::new(),
            worked: Duration::ZERO,
            given: Vec::new(),
            under_way: Vec::new(),
            came: Vec::new(),
            branches: Vec::new(),
            journal: None,
            marked_s: from_s,
            marked: Instant::now(),
        };
        session.save();
        session.go_there(from_s, &mut go_on);
        session
    }

    /// The same at a second of a job as it is run of itself, where it is kept; else it is brought there, and kept.
    pub fn begin_kept(
        scenario: Arc<Scenario>,
        from_s: i64,
        shelf: &Shelf,
        mut go_on: impl FnMut(i64) -> bool,
    ) -> Session {
        let start = Start::At(from_s);
        let options = Options::default();
        if let Some(kept) = shelf.take(&scenario, from_s)
            && let Ok(job) = Job::restore(&kept.job, Arc::clone(&scenario))
            && job.options() == options
        {
            let mut session = Session::begin(scenario, options, Start::At(0), |_| false);
            session.saves.clear();
            (session.start, session.job) = (start, job);
            (session.feed, session.trend) = (kept.feed, kept.trend);
            session.save();
            session.go_there(from_s, &mut go_on);
            return session;
        }
        let session = Session::begin(Arc::clone(&scenario), options, start, go_on);
        if session.now() == from_s && !session.is_over() {
            let kept = Kept {
                at: from_s,
                job: session.job.save(),
                feed: session.feed.clone(),
                trend: session.trend.clone(),
            };
            // What cannot be kept is run to again the next time.
            let _ = shelf.keep(&scenario, &kept);
        }
        session
    }

    fn go_there(&mut self, from_s: i64, go_on: &mut impl FnMut(i64) -> bool) {
        while self.now() < from_s && !self.is_over() {
            let next = from_s.min(self.now() + 6 * 3600);
            self.run_to(next);
            if !go_on(self.now()) {
                break;
            }
        }
        self.from_s = self.now();
        self.marked_s = self.now();
    }

    /// What the head of this session's journal says.
    pub fn head(&self, scenario: impl Into<String>, seed: Option<u64>) -> Head {
        let print = fingerprint(&self.scenario);
        Head::new(scenario, print, seed, self.options, self.from_s)
    }

    /// Keeps a journal in a new file from here on.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where the file is there already or cannot be written.
    pub fn keep_journal(&mut self, path: &Path, head: &Head) -> Result<(), SessionError> {
        let mut journal = Journal::begin(path, head)?;
        for given in &self.given {
            journal.write(&given.line())?;
        }
        self.journal = Some(journal);
        Ok(())
    }

    /// Takes up a watch from its journal, and goes on writing it.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where it belongs to another scenario, or cannot be written.
    pub fn resume(
        scenario: Arc<Scenario>,
        path: &Path,
        recall: &Recall,
        present: Option<Arc<WholePresent>>,
        go_on: impl FnMut(i64) -> bool,
    ) -> Result<Session, SessionError> {
        let mut session = Session::recall(scenario, path, recall, present, go_on)?;
        session.journal = Some(Journal::go_on(path, recall)?);
        Ok(session)
    }

    /// The watch of a journal as far as it goes, to be looked at: the file is left as it is.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where it belongs to another scenario.
    pub fn recall(
        scenario: Arc<Scenario>,
        path: &Path,
        recall: &Recall,
        present: Option<Arc<WholePresent>>,
        go_on: impl FnMut(i64) -> bool,
    ) -> Result<Session, SessionError> {
        let head = &recall.head;
        let ours = fingerprint(&scenario);
        if ours != head.fingerprint {
            let error = JournalError::OtherScenario {
                path: path.to_owned(),
                scenario: head.scenario.clone(),
                theirs: head.fingerprint,
                ours,
            };
            return Err(error.into());
        }
        let start = present.map_or(Start::At(head.from_s), Start::Present);
        let mut session = Session::begin(scenario, head.options, start, go_on);
        for line in &recall.lines {
            match line {
                Line::Act {
                    at,
                    by,
                    act,
                    takes_s,
                    words,
                } => {
                    session.run_to(*at);
                    let given = Given {
                        at: *at,
                        by: *by,
                        act: *act,
                        takes_s: *takes_s,
                        words: words.clone(),
                    };
                    // Whether it was done or refused follows from the job, as it did the first time.
                    let _ = session.give(given);
                }
                Line::Reached { at } => session.run_to(*at),
                Line::Jump { to } => {
                    session.go_back(*to)?;
                }
            }
        }
        session.came.clear();
        session.marked_s = session.now();
        Ok(session)
    }

    /// Who sits at a station.
    pub fn sitter(&self, station: Station) -> Sitter {
        self.job.options().sitter(station)
    }

    /// The present second.
    pub fn now(&self) -> i64 {
        self.job.now()
    }

    /// Whether the job is over: no time passes any more.
    pub fn is_over(&self) -> bool {
        self.job.ended().is_some()
    }

    /// How the job ended, once it has: the truth, for when the watch is left.
    pub fn ended(&self) -> Option<Ended> {
        self.job.ended()
    }

    /// Who is truly not well, and how he is: for when the watch is left.
    pub fn not_well(&self) -> impl Iterator<Item = (DiverId, Fitness)> {
        let crew = self.job.crew();
        let all = crew.ids().map(|d| (d, crew.fitness(d)));
        all.filter(|(_, fitness)| *fitness > Fitness::Well)
    }

    /// The second at which the person sat down.
    pub fn from_s(&self) -> i64 {
        self.from_s
    }

    /// The scenario.
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.scenario
    }

    /// What whoever sits on the watch can see.
    pub fn indicated(&self) -> Indicated {
        self.job.indicated()
    }

    /// What a line asks for, read against what the watch now sees.
    ///
    /// # Errors
    /// [`NotUnderstood`]: what is wrong with it, and what would be right.
    pub fn understand(&self, line: &str, sheets: &Sheets) -> Result<Asked, NotUnderstood> {
        parse(line, &self.scenario, &self.indicated(), sheets)
    }

    /// What the watch has been told.
    pub fn feed(&self) -> &Feed {
        &self.feed
    }

    /// What instruments have shown.
    pub fn trend(&self) -> &Trend {
        &self.trend
    }

    /// A digest of all that decides how the watch goes on.
    pub fn state_hash(&self) -> u64 {
        self.job.state_hash()
    }

    /// The words of a note, by its number.
    pub fn note(&self, number: u32) -> Option<&str> {
        let mine = |g: &&Given| g.act == Act::Note(number);
        self.given.iter().find(mine)?.words.as_deref()
    }

    /// The number of the next note.
    pub fn next_note(&self) -> u32 {
        let notes = self.given.iter().filter(|g| matches!(g.act, Act::Note(_)));
        u32::try_from(notes.count()).unwrap_or(u32::MAX)
    }

    /// Items of a sheet gone through since it was last signed, with the second of each.
    pub fn ticked(&self, sheet: u16) -> BTreeMap<u16, i64> {
        let mut ticked = BTreeMap::new();
        for given in &self.given {
            match given.act {
                Act::Sheet { sheet: of, item } if of == sheet => match item {
                    Some(item) => drop(ticked.insert(item, given.at)),
                    None => ticked.clear(),
                },
                _ => {}
            }
        }
        ticked
    }

    /// When a sheet was last signed, and by whom.
    pub fn signed(&self, sheet: u16) -> Option<(i64, Station)> {
        let signs = |g: &&Given| g.act == Act::Sheet { sheet, item: None };
        let last = self.given.iter().rev().find(signs)?;
        Some((last.at, last.by))
    }

    /// The acts of this branch: second, station and what.
    pub fn acts(&self) -> impl Iterator<Item = (i64, Station, Act)> {
        self.given.iter().map(|g| (g.at, g.by, g.act))
    }

    /// Acts that take time and are not done yet: when each is done, by whom, and what.
    pub fn under_way(&self) -> impl Iterator<Item = (i64, Station, Act)> {
        let under_way = self.under_way.iter().map(|k| &self.given[*k]);
        under_way.map(|g| (g.due_s(), g.by, g.act))
    }

    /// What came of acts that took time, since this was last asked.
    pub fn take_came(&mut self) -> Vec<(Station, Act, Done)> {
        std::mem::take(&mut self.came)
    }

    /// The branches before this one: how many acts each had.
    pub fn branches(&self) -> impl Iterator<Item = (BranchId, usize)> {
        self.branches.iter().map(Vec::len).enumerate()
    }

    /// Does an act at the present second, after it is in the journal: done, or refused with the reason. One that takes
    /// time is begun, and what came of it is told by [`Session::take_came`].
    ///
    /// # Errors
    /// [`SessionError::Journal`] where it cannot be written; then nothing is done.
    pub fn act(
        &mut self,
        by: Station,
        act: Act,
        takes_s: i64,
        words: Option<String>,
    ) -> Result<Done, SessionError> {
        if self.is_over() {
            return Ok(Err(Refused::NotThere));
        }
        let given = Given {
            at: self.now(),
            by,
            act,
            takes_s: takes_s.max(0),
            words,
        };
        if let Some(journal) = &mut self.journal {
            journal.write(&given.line())?;
            self.marked_s = given.at;
            self.marked = Instant::now();
        }
        Ok(self.give(given))
    }

    fn give(&mut self, given: Given) -> Done {
        let done = match given.takes_s {
            0 => self.job.act_at_once(given.by, given.act, &mut self.feed),
            _ => {
                self.under_way.push(self.given.len());
                Ok(())
            }
        };
        self.given.push(given);
        done
    }

    /// How long an act of a verb takes, given now, s: sampled under the job's seed.
    pub fn takes_s(&self, verb: Verb, hands: &Hands) -> i64 {
        hands.takes_s(verb, self.scenario.seed, self.given.len())
    }

    /// Somebody takes a station, or gives it to the automatic watch or to nobody.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where it cannot be written; then nothing is done.
    pub fn sit(&mut self, station: Station, sitter: Sitter) -> Result<Done, SessionError> {
        self.act(station, Act::Sit { station, sitter }, 0, None)
    }

    /// Lets time pass to a second, or to the end of the job.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where the journal cannot be written; time stands then where it was last marked, or a
    /// little after.
    pub fn advance_to(&mut self, t_s: i64) -> Result<(), SessionError> {
        self.run_to(t_s);
        if self.marked.elapsed() >= MARKED_EVERY {
            self.mark()?;
        }
        Ok(())
    }

    /// Writes how far time has passed.
    ///
    /// # Errors
    /// [`SessionError::Journal`] where it cannot be written.
    pub fn mark(&mut self) -> Result<(), SessionError> {
        let at = self.now();
        if at > self.marked_s
            && let Some(journal) = &mut self.journal
        {
            journal.write(&Line::Reached { at })?;
            self.marked_s = at;
        }
        self.marked = Instant::now();
        Ok(())
    }

    fn run_to(&mut self, t_s: i64) {
        while self.now() < t_s && !self.is_over() {
            let due = self.under_way.iter().map(|k| self.given[*k].due_s()).min();
            let minute = self.trend.next_sample_s(self.now(), t_s.max(self.from_s));
            let next = t_s
                .min(minute)
                .min(due.unwrap_or(i64::MAX))
                .max(self.now() + 1);
            let begun = Instant::now();
            let halt = self.job.advance_to(next, &mut self.feed);
            self.worked += begun.elapsed();
            if let Halt::Ended(_) = halt {
                self.under_way.clear();
            }
            if self.now() == minute {
                let instruments = self.scenario.steel.instruments.len();
                self.trend.look(&self.job.indicated(), instruments);
            }
            self.finish_what_is_due();
            let last_s = self.saves.last().map_or(i64::MIN, |s| s.at);
            if self.now() - last_s >= SAVED_EVERY_S || self.worked >= SAVED_EVERY {
                self.save();
            }
        }
    }

    fn finish_what_is_due(&mut self) {
        let now = self.now();
        let (due, rest): (Vec<usize>, Vec<usize>) = std::mem::take(&mut self.under_way)
            .into_iter()
            .partition(|k| self.given[*k].due_s() <= now);
        self.under_way = rest;
        for k in due {
            let Given { by, act, .. } = self.given[k];
            let done = self.job.act_at_once(by, act, &mut self.feed);
            self.came.push((by, act, done));
        }
    }

    fn save(&mut self) {
        self.saves.push(Save {
            at: self.now(),
            bytes: self.job.save().into_boxed_slice(),
            scenario: Arc::clone(self.job.scenario()),
            told: self.feed.len(),
        });
        self.worked = Duration::ZERO;
    }

    /// The job as it was at a second of this branch, before any act of that second; read only, apart from the watch.
    ///
    /// # Errors
    /// [`SessionError::NotThere`] for a second after the present.
    pub fn at(&self, t_s: i64) -> Result<Job, SessionError> {
        Ok(self.back_at(t_s)?.job)
    }

    /// Brings a job that [`Session::at`] gave on to a later second of this branch, with the acts between: the same as
    /// asking for that second anew, and faster.
    pub fn bring(&self, job: &mut Job, t_s: i64) {
        let (from_s, to_s) = (job.now(), t_s.min(self.now()));
        let between = |g: &Given| g.is_done_between(from_s, to_s);
        self.do_again(job, to_s, between, &mut NoRecord);
    }

    /// A twin of this branch at a second of it, to be brought on by [`Session::bring_twin`]: how the watch went on from
    /// there without what the twin is without.
    ///
    /// # Errors
    /// [`SessionError::NotThere`] for a second after the present.
    pub fn twin_at(&self, twin: Twin, t_s: i64) -> Result<Job, SessionError> {
        let job = self.at(t_s)?;
        Ok(match twin {
            Twin::NobodyActs => job.fork(self.options.stations(Sitter::Nobody), None),
            Twin::Automatic => job.fork(self.options.stations(Sitter::Automatic), None),
            Twin::NoFault => {
                let mut clean = self.without_faults();
                self.bring_twin(twin, &mut clean, t_s);
                clean
            }
        })
    }

    /// Brings a twin on to a second of this branch: with the acts of the watch, where it is without faults; with what went
    /// wrong, where it is without acts.
    pub fn bring_twin(&self, twin: Twin, job: &mut Job, t_s: i64) {
        let (from_s, to_s) = (job.now(), t_s.min(self.now()));
        let its_own =
            |g: &Given| (twin == Twin::NoFault) != g.is_fault() && g.is_done_between(from_s, to_s);
        self.do_again(job, to_s, its_own, &mut NoRecord);
    }

    fn without_faults(&self) -> Job {
        let clean = Arc::new((*self.scenario).clone().without_faults());
        self.start.job(clean, self.options)
    }

    /// What instruments show is kept from now on for as long as the watch goes, and not for a day: for whoever looks back
    /// over all of it.
    pub fn keep_whole_trend(&mut self) {
        self.trend.keep_whole();
    }

    fn back_at(&self, t_s: i64) -> Result<Back, SessionError> {
        let not_there = || SessionError::NotThere {
            asked: t_s,
            now: self.now(),
        };
        if t_s > self.now() {
            return Err(not_there());
        }
        // Of a beginning that was kept, what came before has no saves: there the job is begun again.
        let save = self.saves.iter().rev().find(|s| s.at <= t_s);
        let (mut job, told) = match save {
            Some(save) => {
                let scenario = Arc::clone(&save.scenario);
                (Job::restore(&save.bytes, scenario)?, save.told)
            }
            None => {
                let scenario = Arc::clone(&self.scenario);
                (self.start.job(scenario, self.options), 0)
            }
        };
        let from_s = job.now();
        if t_s < from_s {
            return Err(not_there());
        }
        let mut since = Feed::default();
        let done_after = |g: &Given| g.is_done_between(from_s, t_s);
        self.do_again(&mut job, t_s, done_after, &mut since);
        let acts = self.given.iter().take_while(|g| g.at < t_s).count();
        let waits = |k: &usize| {
            let given = &self.given[*k];
            given.takes_s > 0 && given.due_s() > t_s
        };
        Ok(Back {
            job,
            acts,
            under_way: (0..acts).filter(waits).collect(),
            told,
            told_s: from_s,
            since,
        })
    }

    /// Goes back to a second and begins another branch there: the acts of that second and after are not done.
    ///
    /// # Errors
    /// [`SessionError`] for a second after the present, or where the journal cannot be written.
    pub fn jump(&mut self, to: i64) -> Result<BranchId, SessionError> {
        if to > self.now() || to < self.from_s {
            return Err(SessionError::NotThere {
                asked: to,
                now: self.now(),
            });
        }
        // Whoever takes the journal up has to have come as far before he can go back.
        self.mark()?;
        if let Some(journal) = &mut self.journal {
            journal.write(&Line::Jump { to })?;
        }
        self.go_back(to)
    }

    fn go_back(&mut self, to: i64) -> Result<BranchId, SessionError> {
        let back = self.back_at(to)?;
        self.branches.push(self.given.clone());
        self.given.truncate(back.acts);
        self.under_way = back.under_way;
        self.came.clear();
        self.job = back.job;
        self.feed.go_back(back.told, back.told_s);
        self.feed.append(back.since);
        self.trend.back_to(to);
        self.saves.retain(|s| s.at <= to);
        self.marked_s = to;
        self.worked = Duration::ZERO;
        Ok(self.branches.len())
    }

    /// The job going on apart from the watch.
    ///
    /// # Errors
    /// [`SessionError::Restore`] cannot come where a session's own saves are whole.
    pub fn twin(&self, twin: Twin) -> Result<Job, SessionError> {
        let options = self.job.options();
        Ok(match twin {
            Twin::NobodyActs => self.job.fork(options.stations(Sitter::Nobody), None),
            Twin::Automatic => self.job.fork(options.stations(Sitter::Automatic), None),
            Twin::NoFault => {
                let mut job = self.without_faults();
                self.do_again(&mut job, self.now(), |g| !g.is_fault(), &mut NoRecord);
                job
            }
        })
    }

    /// Brings a job to a second with some of the acts of this branch, each at the second it was done at; what took time
    /// comes before what was given at that second.
    fn do_again(
        &self,
        job: &mut Job,
        t_s: i64,
        which: impl Fn(&Given) -> bool,
        sink: &mut impl Sink,
    ) {
        let mut deeds: Vec<&Given> = self.given.iter().filter(|g| which(g)).collect();
        deeds.sort_by_key(|g| (g.due_s(), g.takes_s == 0));
        for given in deeds.into_iter().take_while(|g| g.due_s() <= t_s) {
            if let Halt::Ended(_) = job.advance_to(given.due_s(), sink) {
                return;
            }
            // Done or refused as it was the first time.
            let _ = job.act_at_once(given.by, given.act, sink);
        }
        let _ = job.advance_to(t_s, sink);
    }
}
