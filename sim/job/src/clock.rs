//! The job's clock: from event to event, and what happens at each.

use super::breath::changes_breath;
use super::calls::{self, Around, CallBook, Hearers, Meant, Stands, belongs_to, makes_sense};
use super::camera;
use super::deeds::Deeds;
use super::ended::{Ended, Halt};
use super::errors::errors_of;
use super::faults::{FaultBook, heard};
use super::fingerprint::fingerprint;
use super::limits::{LIMITS, LimitBook, Sight};
use super::log_rows::{LogClock, Seen};
use super::outside::{Act, OutsideAct};
use super::panel::JobPanel;
use super::people::People;
use super::planner::{KeepPlan, Planner, RunBook, RunStands, Standing};
use super::random::{Source, Streams};
use super::rule_rows::RuleRows;
use super::sea::TIDE_PERIOD_S;
use super::showers::Showers;
use super::taken_up::TakenUp;
use super::weather::WeatherState;
use crate::stations::{Board, Desk, DiveControl, SaturationControl};
use deepstay_core::record::{
    Answer, Because, Callee, Entry, Fitness, Phase, Phrase, Refused, Request, Routine, Sink,
    Sitter, Spoken, Station, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::Crew;
use deepstay_plant::{Order, PeopleOrder, Physics, Plant, SteelOrder, Watched};
use deepstay_rules::RowNumbers;
use deepstay_scenario::{BellRun, Chance, Fault, FaultKind, LevelStands, Scenario, Slip};
use serde::{Deserialize, Serialize};
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

/// Owners of the stations' monitors.
const SATURATION: u32 = 1;
const DIVE: u32 = 2;
/// Owner of the monitors that wait on behalf of people's bodies.
const PEOPLE: u32 = 3;

/// Whether harm to people ends the job.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Harm {
    /// The first death does; somebody who is out may be brought back, and the job goes on.
    #[default]
    EndsJob,
    /// It goes on whoever dies, for those who would see the rest.
    GoesOn,
}

/// How a job is run, beside its scenario.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[non_exhaustive]
pub struct Options {
    /// Skip seconds in which nothing can be met.
    pub leap: bool,
    /// Anything but the default is for checks.
    pub physics: Physics,
    /// Who sits at saturation control.
    pub saturation: Sitter,
    /// Who sits at dive control.
    pub dive: Sitter,
    /// Whether harm to people ends it.
    pub harm: Harm,
}

impl Default for Options {
    fn default() -> Self {
        Options {
            leap: true,
            physics: Physics::default(),
            saturation: Sitter::Automatic,
            dive: Sitter::Automatic,
            harm: Harm::default(),
        }
    }
}

impl Options {
    /// Whether seconds in which nothing can be met are skipped.
    #[must_use]
    pub fn leap(self, leap: bool) -> Options {
        Options { leap, ..self }
    }

    /// Other physics than the default, for checks.
    #[must_use]
    pub fn physics(self, physics: Physics) -> Options {
        Options { physics, ..self }
    }

    /// Who sits at both stations.
    #[must_use]
    pub fn stations(self, sitter: Sitter) -> Options {
        self.saturation(sitter).dive(sitter)
    }

    /// Who sits at saturation control.
    #[must_use]
    pub fn saturation(self, saturation: Sitter) -> Options {
        Options { saturation, ..self }
    }

    /// Who sits at dive control.
    #[must_use]
    pub fn dive(self, dive: Sitter) -> Options {
        Options { dive, ..self }
    }

    /// Whether harm to people ends it.
    #[must_use]
    pub fn harm(self, harm: Harm) -> Options {
        Options { harm, ..self }
    }

    /// Whether the automatic watch sits at saturation control, and at dive control.
    pub(super) fn sat_at(self) -> [bool; 2] {
        [self.saturation, self.dive].map(|s| s == Sitter::Automatic)
    }

    /// Who sits at a station; nobody sits at what is none.
    pub fn sitter(self, station: Station) -> Sitter {
        match station {
            Station::Saturation => self.saturation,
            Station::Dive => self.dive,
            Station::Student | Station::Script => Sitter::Nobody,
        }
    }
}

/// What calls a station, and what it has not heard yet.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
struct Call {
    /// It looks again by itself at this second.
    wake_s: i64,
    /// The other station has rung, or somebody spoke.
    rung: bool,
    unheard: Vec<(i64, DiverId, Spoken)>,
}

/// One job under way. What is saved of it is its state: what it goes on from, and nothing of what it has done.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Job {
    #[serde(skip)]
    scenario: Arc<Scenario>,
    #[serde(skip)]
    options: Options,
    now_s: i64,
    started: bool,
    ended: Option<Ended>,
    /// What it was taken up from, where it did not begin at second 0.
    taken_up: Option<TakenUp>,
    plant: Plant,
    people: People,
    weather: WeatherState,
    saturation: SaturationControl,
    dive: DiveControl,
    board: Board,
    runs: RunBook,
    call_saturation: Call,
    call_dive: Call,
    limits: LimitBook,
    rule_rows: RuleRows,
    log: LogClock,
    faults: FaultBook,
    showers: Showers,
    calls: CallBook,
    /// Acts from outside, to be carried out when time next passes.
    waiting: Vec<(Station, Act)>,
    /// All of them so far, for a replay.
    #[serde(skip)]
    outside: Vec<OutsideAct>,
    /// What the automatic stations did, where it is kept.
    #[serde(skip)]
    deeds: Option<Deeds>,
    #[serde(skip)]
    row_numbers: RowNumbers,
    #[serde(skip)]
    desk: Desk,
    #[serde(skip)]
    owners: Vec<u32>,
    /// The scenario's fingerprint, once it was asked for: it is long to take, and the scenario seldom changes.
    #[serde(skip)]
    fingerprint: OnceLock<u64>,
}

/// What a job begins with.
pub(super) struct Beginning {
    pub at_s: i64,
    pub plant: Plant,
    pub people: People,
    pub saturation: SaturationControl,
    pub dive: DiveControl,
    pub limits: LimitBook,
    pub faults: FaultBook,
    pub taken_up: Option<TakenUp>,
}

/// A job whose closing amounts are written. It can be asked whatever a job can be asked; no time passes in it any
/// more, and it cannot be closed again.
#[derive(Clone, Debug)]
pub struct Finished(Job);

impl Deref for Finished {
    type Target = Job;

    fn deref(&self) -> &Job {
        &self.0
    }
}

impl Job {
    /// A job at its second 0, nothing pressed, everybody on deck.
    pub fn new(scenario: Arc<Scenario>, options: Options) -> Job {
        let mut plant = Plant::new(Arc::new(scenario.steel.clone()), options.physics);
        for (id, errors) in errors_of(&scenario) {
            errors.put_on(id, &mut plant);
        }
        let beginning = Beginning {
            at_s: 0,
            plant,
            people: People::new(&scenario, 0),
            saturation: SaturationControl::new(&scenario),
            dive: DiveControl::new(&scenario),
            limits: LimitBook::new(&scenario, options.sat_at()),
            faults: FaultBook::new(&scenario),
            taken_up: None,
        };
        Job::of(scenario, options, beginning)
    }

    /// A job with what it begins with.
    pub(super) fn of(scenario: Arc<Scenario>, options: Options, beginning: Beginning) -> Job {
        let Beginning {
            at_s,
            mut plant,
            people,
            saturation,
            dive,
            limits,
            faults,
            taken_up,
        } = beginning;
        plant.set_leap(options.leap);
        plant.set_sea(
            scenario.site.sea_t_k,
            scenario.site.tide_amplitude_m,
            TIDE_PERIOD_S,
        );
        let weather = Streams::new(scenario.seed_of(Chance::Weather)).stream(Source::Weather);
        let mut weather = WeatherState::new(&scenario.site.weather, weather);
        weather.advance(&scenario.site.weather, at_s);
        Job {
            people,
            saturation,
            dive,
            board: Board::new(&scenario),
            runs: RunBook::default(),
            limits,
            rule_rows: RuleRows::default(),
            row_numbers: scenario.rules.row_numbers(),
            log: LogClock::new(scenario.log_every_s),
            faults,
            options,
            now_s: at_s,
            started: false,
            ended: None,
            taken_up,
            plant,
            weather,
            call_saturation: Call::default(),
            call_dive: Call::default(),
            showers: Showers::default(),
            calls: CallBook::default(),
            waiting: Vec::new(),
            outside: Vec::new(),
            deeds: None,
            desk: Desk::new(),
            owners: Vec::new(),
            fingerprint: OnceLock::new(),
            scenario,
        }
    }

    /// A state that was read, with the scenario and the options it belongs to.
    pub(super) fn with(mut self, scenario: Arc<Scenario>, options: Options) -> Job {
        self.plant = self.plant.with_steel(Arc::new(scenario.steel.clone()));
        self.plant.set_leap(options.leap);
        self.people.attach(&scenario);
        self.saturation.attach(&scenario);
        self.dive.attach(&scenario);
        self.row_numbers = scenario.rules.row_numbers();
        self.take_scenario(scenario);
        self.options = options;
        if let Some(runs) = self.runs.given().map(<[BellRun]>::to_vec) {
            self.take_runs(runs);
        }
        self
    }

    /// The job as it stands, going on apart from this one, its physics the same: with others on the watch, and where
    /// one is given with a fault that comes in the next second and stays. A bank that is not what its label says has
    /// then been so all along.
    #[must_use]
    pub fn fork(&self, options: Options, fault: Option<FaultKind>) -> Job {
        let mut job = self.clone();
        job.options = Options {
            physics: self.options.physics,
            ..options
        };
        job.plant.set_leap(options.leap);
        job.limits.sit(options.sat_at(), job.now_s);
        for (sitter, owner) in [(options.saturation, SATURATION), (options.dive, DIVE)] {
            if sitter != Sitter::Automatic {
                job.plant.set_monitors(owner, None, job.now_s);
            }
        }
        let sits_down =
            |before: Sitter, now: Sitter| before != Sitter::Automatic && now == Sitter::Automatic;
        if sits_down(self.options.saturation, options.saturation) {
            job.saturation.displaced();
            job.call_saturation = Call::default();
        }
        if sits_down(self.options.dive, options.dive) {
            job.dive.displaced();
            job.call_dive = Call::default();
        }
        if let Some(what) = fault {
            job.put_fault(what);
        }
        job
    }

    /// Something goes wrong from the next second on, and stays. A bank that is not what its label says has been so
    /// all along.
    fn put_fault(&mut self, what: FaultKind) {
        if let (true, FaultKind::WrongContents { bank, mix }) = (self.started, what) {
            self.plant.fill_with(self.now_s, bank, mix);
            self.plant.refresh(self.now_s);
        }
        let fault = Fault {
            at: self.now_s + 1,
            until: None,
            what,
        };
        self.take_scenario(Arc::new((*self.scenario).clone().with_fault(fault)));
        self.faults.attach(&self.scenario);
    }

    fn take_scenario(&mut self, scenario: Arc<Scenario>) {
        self.scenario = scenario;
        self.fingerprint = OnceLock::new();
    }

    /// The fingerprint of the scenario as it now is.
    pub(super) fn fingerprint(&self) -> u64 {
        *self.fingerprint.get_or_init(|| fingerprint(&self.scenario))
    }

    /// Keeps a fingerprint that was taken of this very scenario.
    pub(super) fn keep_fingerprint(&self, of_this: u64) {
        let _ = self.fingerprint.set(of_this);
    }

    /// Other bell runs are in force from now on. The scenario is called by the fingerprint of its own.
    fn take_runs(&mut self, runs: Vec<BellRun>) {
        let of_this = self.fingerprint();
        let changed = (*self.scenario).clone().with_bell_runs(runs);
        self.take_scenario(Arc::new(changed));
        self.keep_fingerprint(of_this);
        self.saturation.attach(&self.scenario);
        self.dive.attach(&self.scenario);
    }

    /// A run was lost: whoever plans is asked for those from now on.
    fn plan_anew(&mut self, planner: &mut impl Planner) {
        if !self.runs.take_lost() || self.scenario.plan.slip != Slip::Replan {
            return;
        }
        let kept = self.runs.runs().len();
        let standing = Standing {
            scenario: &self.scenario,
            from_s: self.now_s,
            runs: self.runs.runs(),
        };
        let Some(new) = planner.runs_from(&standing) else {
            return;
        };
        let mut runs = self.scenario.plan.bell_runs[..kept].to_vec();
        runs.extend(new);
        let before = Arc::clone(&self.scenario);
        self.take_runs(runs.clone());
        self.runs.give(&before.plan.bell_runs, runs);
        self.dive.planned_anew(kept);
        self.call_dive.rung = true;
    }

    /// What went wrong is put right at the next second.
    fn cure(&mut self, fault: u16) -> Result<(), Refused> {
        let i = usize::from(fault);
        let now_s = self.now_s;
        let known = self.scenario.faults.get(i).ok_or(Refused::NoSuchThing)?;
        if known.at > now_s || known.until.is_some_and(|t| t <= now_s) {
            return Err(Refused::NotThere);
        }
        let cured = (*self.scenario).clone().with_fault_over(i, now_s + 1);
        self.take_scenario(Arc::new(cured));
        Ok(())
    }

    /// Seconds since the scenario's start.
    pub fn now(&self) -> i64 {
        self.now_s
    }

    /// How it ended, once it has.
    pub fn ended(&self) -> Option<Ended> {
        self.ended
    }

    /// How it is run.
    pub fn options(&self) -> Options {
        self.options
    }

    /// The book of limits and alarms.
    pub(super) fn limits(&self) -> &LimitBook {
        &self.limits
    }

    /// The book of calls.
    pub(super) fn calls(&self) -> &CallBook {
        &self.calls
    }

    /// Significant wave height, m.
    pub fn hs_m(&self) -> f64 {
        self.weather.hs_m()
    }

    /// The plant, for those who may see the truth.
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// The divers.
    pub fn crew(&self) -> &Crew {
        &self.people.crew
    }

    /// The scenario.
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.scenario
    }

    /// What it was taken up from; none of a job that began at second 0.
    pub fn taken_up(&self) -> Option<&TakenUp> {
        self.taken_up.as_ref()
    }

    /// What each level does by the board of saturation control, in the plan's order.
    pub fn levels_stand(&self) -> impl Iterator<Item = LevelStands> + '_ {
        self.saturation.stands()
    }

    /// The bell runs of the plan, whatever is in force.
    pub fn planned_runs(&self) -> &[BellRun] {
        let own = &self.scenario.plan.bell_runs;
        self.runs.planned().unwrap_or(own)
    }

    /// How each run of the plan stands, as far as any was begun or lost; in a job that was taken up, since then.
    pub fn runs_stand(&self) -> &[RunStands] {
        self.runs.runs()
    }

    /// For each bell, the place in the plan of the run that dive control makes, or makes next.
    pub fn next_runs(&self) -> impl Iterator<Item = usize> + '_ {
        self.dive.next_runs()
    }

    /// Gives an act from outside (a student, a test, a script) at the present second; it is carried out when
    /// time next passes.
    pub fn act(&mut self, station: Station, act: Act) {
        let at = self.now_s;
        self.waiting.push((station, act));
        self.outside.push(OutsideAct { at, station, act });
    }

    /// The acts from outside since the job was begun or taken up from a save: with its scenario and options they
    /// make it again ([`Job::replay`]).
    pub fn outside_acts(&self) -> &[OutsideAct] {
        &self.outside
    }

    /// Keeps from now on what the automatic stations do, as acts that a person could give at the same seconds.
    pub fn keep_deeds(&mut self) {
        self.deeds = Some(Deeds::default());
    }

    /// What the automatic stations have done since that is kept, a person's acts in their place.
    pub fn deeds(&self) -> &[OutsideAct] {
        self.deeds.as_ref().map_or(&[], Deeds::acts)
    }

    /// The job that these acts make, and why it stopped: a new one, to which each is given at its second, up to a
    /// last second.
    pub fn replay(
        scenario: Arc<Scenario>,
        options: Options,
        acts: &[OutsideAct],
        until_s: i64,
        sink: &mut impl Sink,
    ) -> (Job, Halt) {
        let mut job = Job::new(scenario, options);
        for act in acts.iter().filter(|act| act.at <= until_s) {
            // At its very beginning nothing has happened yet, and the act waits with the job.
            if act.at > job.now()
                && let ended @ Halt::Ended(_) = job.advance_to(act.at, sink)
            {
                return (job, ended);
            }
            job.act(act.station, act.act);
        }
        let halt = job.advance_to(until_s, sink);
        (job, halt)
    }

    /// Gives an order from outside, as [`Job::act`] does.
    pub fn order(&mut self, station: Station, order: Order) {
        self.act(station, Act::Order(order));
    }

    /// What a person at saturation control says that a chamber is to do from the present second on: its phase, and
    /// the depth it is to have, msw. Its limits follow. It is heard when time next passes.
    pub fn aim(&mut self, compartment: CompartmentId, phase: Phase, depth_msw: f64) {
        let act = Act::Aim {
            compartment,
            phase,
            depth_msw,
        };
        self.act(Station::Saturation, act);
    }

    /// Lets time pass to `t_s`, or to the end of the job if that comes first; says which it was. The bell runs are
    /// those of the plan, whatever comes between.
    pub fn advance_to(&mut self, t_s: i64, sink: &mut impl Sink) -> Halt {
        self.advance_planned(t_s, sink, &mut KeepPlan)
    }

    /// The same with somebody who plans the bell runs anew where the plan's rule for a run that is lost asks for it
    /// ([`Slip::Replan`]).
    pub fn advance_planned(
        &mut self,
        t_s: i64,
        sink: &mut impl Sink,
        planner: &mut impl Planner,
    ) -> Halt {
        if !self.started {
            self.start(sink);
        }
        self.carry_out_waiting(sink);
        loop {
            self.plan_anew(planner);
            if let Some(ended) = self.ended {
                return Halt::Ended(ended);
            }
            if self.now_s >= t_s {
                return Halt::Reached;
            }
            self.now_s = self.next_s().clamp(self.now_s + 1, t_s);
            self.second(sink);
        }
    }

    /// Writes the closing amounts, when the job is over or stopped.
    pub fn finish(mut self, sink: &mut impl Sink) -> Finished {
        if !self.started {
            self.start(sink);
        }
        let at = self.now_s;
        self.limits.close(at, &self.plant, sink);
        self.plant.give_flows(at, sink);
        for (place, moles) in self.plant.holdings(at) {
            sink.take(Entry {
                at,
                what: What::Closing { place, moles },
            });
        }
        self.people.give_totals(at, &self.plant, sink);
        Finished(self)
    }

    fn start(&mut self, sink: &mut impl Sink) {
        self.started = true;
        let at = self.now_s;
        if self.taken_up.is_none() {
            self.faults.before_start(&self.scenario, &mut self.plant);
        }
        for (place, moles) in self.plant.holdings(at) {
            let what = What::Opening { place, moles };
            sink.take(Entry { at, what });
        }
        if self.taken_up.is_some() {
            let what = What::TakenUp;
            sink.take(Entry { at, what });
            for (diver, to) in self.people.under_pressure() {
                let what = What::Diver { diver, to };
                sink.take(Entry { at, what });
            }
        }
        self.tell_weather(sink);
        let (limits, mut sight) = self.limits_in_sight();
        limits.start(&mut sight, sink);
        self.second(sink);
    }

    /// Does an act from outside at the present second, and says whether it was done.
    ///
    /// # Errors
    /// The interlock or the reason that refused it.
    pub fn act_at_once(
        &mut self,
        station: Station,
        act: Act,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        if !self.started {
            self.start(sink);
        }
        self.carry_out_waiting(sink);
        if self.ended.is_some() {
            return Err(Refused::NotThere);
        }
        let at = self.now_s;
        self.outside.push(OutsideAct { at, station, act });
        self.do_act(station, act, sink)
    }

    fn carry_out_waiting(&mut self, sink: &mut impl Sink) {
        let mut acts = std::mem::take(&mut self.waiting);
        for (station, act) in acts.drain(..) {
            // That it was refused is in the stream.
            let _ = self.do_act(station, act, sink);
        }
        self.waiting = acts;
    }

    fn do_act(&mut self, station: Station, act: Act, sink: &mut impl Sink) -> Result<(), Refused> {
        let done = match act {
            Act::Order(order) => self.carry_out_own(station, order, sink),
            Act::Aim {
                compartment,
                phase,
                depth_msw,
            } => {
                self.aim_at(compartment, phase, depth_msw, sink);
                Ok(())
            }
            Act::Alarm { name, deed } => {
                let now_s = self.now_s;
                self.limits.deed(station, name, deed, now_s, sink)
            }
            Act::AcknowledgeAll => {
                self.limits.acknowledge_all(station, self.now_s, sink);
                Ok(())
            }
            Act::Silence => {
                self.limits.silence(station, self.now_s, sink);
                Ok(())
            }
            Act::Sign {
                compartment,
                routine,
            } => {
                let diver = None;
                self.write(
                    What::Routine {
                        compartment,
                        routine,
                        diver,
                    },
                    sink,
                );
                Ok(())
            }
            Act::LockRun { lock, .. } if !self.may(station, Request::Lock(lock)) => {
                Err(Refused::NotYours)
            }
            Act::LockRun { lock, routine } => {
                let asked = self.saturation.ask_run(lock, routine);
                self.call_saturation.rung |= asked.is_ok();
                asked
            }
            Act::Camera { compartment } => self.look_in(station, compartment, sink),
            Act::Note(note) => {
                self.write(What::Noted { station, note }, sink);
                Ok(())
            }
            Act::Sheet { sheet, item } => {
                let what = What::OnSheet {
                    station,
                    sheet,
                    item,
                };
                self.write(what, sink);
                Ok(())
            }
            Act::Sit { station, sitter } => self.let_sit(station, sitter, sink),
            Act::Fault(what) => {
                self.put_fault(what);
                Ok(())
            }
            Act::Cure(fault) => self.cure(fault),
            Act::Call { to, phrase } => self.call(station, to, phrase, sink),
        };
        if let (Err(why), false) = (done, matches!(act, Act::Order(_))) {
            self.write(What::Refused { station, why }, sink);
        }
        self.people.put_loads(self.now_s, &mut self.plant);
        self.plant.refresh(self.now_s);
        self.look_at_limits(sink);
        done
    }

    /// Somebody looks at the screen of a vessel's camera.
    fn look_in(
        &mut self,
        station: Station,
        compartment: CompartmentId,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let plates = &self.scenario.steel.compartments;
        let plate = plates.get(compartment.index());
        if !plate.is_some_and(|c| c.kind.people_go_into()) {
            return Err(Refused::NoSuchThing);
        }
        let (seed, now_s) = (self.scenario.seed, self.now_s);
        let seen = camera::seen(seed, compartment, now_s, &self.people.crew);
        self.calls.see(seen);
        let what = What::Camera {
            station,
            compartment,
            seen,
        };
        self.write(what, sink);
        Ok(())
    }

    /// What a person says that a chamber is to do: it stands in the log, and on the board for the other station.
    fn aim_at(
        &mut self,
        compartment: CompartmentId,
        phase: Phase,
        depth_msw: f64,
        sink: &mut impl Sink,
    ) {
        if self.options.saturation != Sitter::Automatic {
            self.board
                .said(&self.scenario, compartment, phase, depth_msw);
            self.call_dive.rung = true;
        }
        self.write(What::Phase { compartment, phase }, sink);
        let target = What::Target {
            compartment,
            depth_msw,
        };
        self.write(target, sink);
    }

    /// Somebody else sits at a station from now on.
    fn let_sit(
        &mut self,
        station: Station,
        sitter: Sitter,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let (seat, owner, call) = match station {
            Station::Saturation => (
                &mut self.options.saturation,
                SATURATION,
                &mut self.call_saturation,
            ),
            Station::Dive => (&mut self.options.dive, DIVE, &mut self.call_dive),
            Station::Student | Station::Script => return Err(Refused::NoSuchThing),
        };
        let before = std::mem::replace(seat, sitter);
        if before == sitter {
            return Ok(());
        }
        if before == Sitter::Automatic {
            self.plant.set_monitors(owner, None, self.now_s);
            if station == Station::Saturation {
                self.saturation.leave_locks();
            }
        }
        *call = Call::default();
        self.calls.forget_requests_of(station);
        self.limits.sit(self.options.sat_at(), self.now_s);
        self.write(What::Sits { station, sitter }, sink);
        if sitter == Sitter::Automatic {
            match station {
                Station::Saturation => self.saturation.displaced(),
                _ => self.dive.displaced(),
            }
            self.sit(station, sink);
        }
        Ok(())
    }

    /// Enters what a station, or a person in its place, writes into the log; the limits follow it.
    fn write(&mut self, what: What, sink: &mut impl Sink) {
        self.runs.hear(&what, self.now_s);
        let (limits, mut sight) = self.limits_in_sight();
        limits.hear(&what, &mut sight, sink);
        self.tell_rows(sink);
        sink.take(Entry {
            at: self.now_s,
            what,
        });
    }

    /// The book of limits, and what it may look at.
    fn limits_in_sight(&mut self) -> (&mut LimitBook, Sight<'_>) {
        let sight = Sight {
            now_s: self.now_s,
            scenario: &self.scenario,
            rows: &self.row_numbers,
            plant: &mut self.plant,
            people: &self.people,
        };
        (&mut self.limits, sight)
    }

    fn look_at_limits(&mut self, sink: &mut impl Sink) {
        let (limits, mut sight) = self.limits_in_sight();
        limits.look(&mut sight, sink);
        self.tell_rows(sink);
    }

    /// Tells of the rows that limits come from, each once.
    fn tell_rows(&mut self, sink: &mut impl Sink) {
        for row in self.limits.answered.drain(..) {
            self.rule_rows.answered(row, self.now_s, sink);
        }
    }

    fn next_s(&self) -> i64 {
        let called = |call: &Call| {
            if call.rung {
                self.now_s + 1
            } else {
                call.wake_s
            }
        };
        let at = |acts: bool, call: &Call| if acts { called(call) } else { i64::MAX };
        let stations = at(self.saturation_acts(), &self.call_saturation)
            .min(at(self.dive_acts(), &self.call_dive));
        [
            self.plant.next_s(),
            stations,
            self.weather.next_change().unwrap_or(i64::MAX),
            self.faults.next_s(&self.scenario),
            self.log.next_s(),
            self.limits.next_s(self.now_s),
            self.people.next_s(),
            self.calls.next_s(),
            self.showers.next_s(),
            self.scenario.plan.end_s,
        ]
        .into_iter()
        .min()
        .unwrap_or(i64::MAX)
    }

    /// Whether saturation control acts by itself: the automatic watch, or for whoever sits there a hand at a lock.
    fn saturation_acts(&self) -> bool {
        self.options.saturation == Sitter::Automatic || self.saturation.a_lock_runs()
    }

    fn dive_acts(&self) -> bool {
        self.options.dive == Sitter::Automatic
    }

    fn second(&mut self, sink: &mut impl Sink) {
        let now = self.now_s;
        let mut owners = std::mem::take(&mut self.owners);
        self.plant.met(now, &mut owners);
        if owners.contains(&PEOPLE) {
            self.people.roused(now, &self.plant);
        }
        self.blow_weather(sink);
        self.showers.end(now, &self.scenario.plan, &mut self.plant);
        if self.faults.next_s(&self.scenario) <= now {
            // A fault may change at once what is breathed: up to now it was as it was.
            self.people.advance(now, &self.plant);
        }
        self.faults.act(now, &self.scenario, &mut self.plant, sink);
        self.tell_noise(sink);
        self.answer_calls(sink);
        let (mut saturation, mut dive) = (false, false);
        for owner in owners.iter().copied() {
            match owner {
                SATURATION => saturation = true,
                DIVE => dive = true,
                PEOPLE => {}
                _ if owner >= LIMITS && self.plant.own_monitor(owner, now, sink) => {}
                _ => self
                    .limits
                    .crossed(owner - LIMITS, now, &mut self.plant, sink),
            }
        }
        self.owners = owners;
        let called = |call: &mut Call| now >= call.wake_s || std::mem::take(&mut call.rung);
        saturation |= called(&mut self.call_saturation);
        dive |= called(&mut self.call_dive);
        if saturation && self.saturation_acts() {
            self.sit(Station::Saturation, sink);
        }
        if dive && self.dive_acts() {
            self.sit(Station::Dive, sink);
        }
        let person = [self.options.saturation, self.options.dive].contains(&Sitter::Person);
        let limits = &self.limits;
        let pressed = |c: CompartmentId| person && limits.said_of(c).0 == Phase::Compression;
        if let Some(said) = self.people.look(now, &self.plant, &pressed, sink) {
            for (diver, report) in said {
                self.remark(diver, report, sink);
            }
            self.people.put_loads(now, &mut self.plant);
            let waited = self.people.waits_for(&self.plant);
            self.plant.set_monitors(PEOPLE, waited, now);
        }
        self.plant.refresh(now);
        self.look_at_limits(sink);
        if self.log.due(now) {
            let seen = Seen {
                scenario: &self.scenario,
                crew: &self.people.crew,
                board: &self.board,
            };
            seen.write_row(now, &mut self.plant, sink);
        }
        if self.ended.is_none() {
            self.ended = self.is_over();
        }
    }

    /// Whoever is where gas begins to rush, and can speak, says so.
    fn tell_noise(&mut self, sink: &mut impl Sink) {
        let scenario = Arc::clone(&self.scenario);
        for place in heard(&scenario, self.now_s) {
            let depth_msw = self.plant.truth(place, Quantity::Depth, self.now_s);
            let rushes = depth_msw > scenario.voices.gas_rushes;
            let crew = &self.people.crew;
            let hears = |d: &DiverId| {
                crew.whereabouts(*d) == Whereabouts::In(place) && crew.fitness(*d) <= Fitness::Slow
            };
            let speaker = crew.ids().find(hears);
            if let Some(diver) = speaker.filter(|_| rushes) {
                self.remark(diver, Spoken::GasNoise, sink);
            }
        }
    }

    fn blow_weather(&mut self, sink: &mut impl Sink) {
        if self.weather.next_change().is_some_and(|t| t <= self.now_s) {
            self.weather
                .advance(&self.scenario.site.weather, self.now_s);
            self.tell_weather(sink);
        }
    }

    fn tell_weather(&self, sink: &mut impl Sink) {
        let hs_m = self.weather.hs_m();
        let stopped = hs_m > self.scenario.site.launch_limit_hs_m;
        sink.take(Entry {
            at: self.now_s,
            what: What::Weather { hs_m, stopped },
        });
    }

    fn sit(&mut self, station: Station, sink: &mut impl Sink) {
        let mut desk = std::mem::take(&mut self.desk);
        desk.clear();
        let (call, other, owner) = if station == Station::Saturation {
            (&mut self.call_saturation, &mut self.call_dive, SATURATION)
        } else {
            (&mut self.call_dive, &mut self.call_saturation, DIVE)
        };
        let said = std::mem::take(&mut call.unheard);
        if self.options.dive != Sitter::Automatic {
            self.board
                .see_bells(&self.scenario.steel, self.plant.positions());
        }
        let panel = JobPanel {
            now_s: self.now_s,
            scenario: &self.scenario,
            plant: &self.plant,
            crew: &self.people.crew,
            weather: &self.weather,
            said: &said,
        };
        if station == Station::Saturation {
            let automatic = self.options.saturation == Sitter::Automatic;
            if automatic {
                self.saturation.act(&panel, &mut self.board, &mut desk);
            } else {
                self.saturation
                    .run_locks(&panel, &mut self.board, &mut desk);
            }
        } else {
            self.dive.act(&panel, &mut self.board, &mut desk);
        }
        call.wake_s = desk.wake_at.max(self.now_s + 1);
        other.rung |= desk.ring;
        if let Some(deeds) = &mut self.deeds {
            deeds.add(self.now_s, station, &desk);
        }
        for order in desk.orders.drain(..) {
            // What was refused is in the stream, and the station sees by its panel what came of it.
            let _ = self.carry_out(station, order, sink);
        }
        self.people.put_loads(self.now_s, &mut self.plant);
        for row in desk.rows.drain(..) {
            self.rule_rows.answered(row, self.now_s, sink);
        }
        for what in desk.entries.drain(..) {
            self.rule_rows.hear(&what);
            self.write(what, sink);
        }
        let triggers = desk
            .triggers
            .iter()
            .map(|t| (Watched::Shown(t.instrument), t.above, t.value));
        self.plant.set_monitors(owner, triggers, self.now_s);
        self.desk = desk;
    }

    /// Carries out an order of whoever sits at a station, if it is his to give.
    fn carry_out_own(
        &mut self,
        station: Station,
        order: Order,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let crew = &self.people.crew;
        let request = belongs_to(order, &self.scenario.steel, |d| crew.whereabouts(d));
        if request.is_some_and(|request| !self.may(station, request)) {
            let why = Refused::NotYours;
            self.write(What::Refused { station, why }, sink);
            return Err(why);
        }
        self.carry_out(station, order, sink)
    }

    /// Whether what belongs to one station may be done by whoever acts: it is his, or it was granted to him. A script
    /// and a test may do everything.
    fn may(&self, station: Station, request: Request) -> bool {
        match station {
            Station::Student | Station::Script => true,
            Station::Saturation | Station::Dive => {
                request.owner() == station || self.calls.is_granted(station, request, self.now_s)
            }
        }
    }

    fn carry_out(
        &mut self,
        station: Station,
        order: Order,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let done = self.obey(station, order, false, sink);
        if let Err(why) = done {
            self.write(What::Refused { station, why }, sink);
        }
        done
    }

    /// Does an order and tells of it; `in_his_time` where a diver has already taken his time over it.
    fn obey(
        &mut self,
        station: Station,
        order: Order,
        in_his_time: bool,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let done = match order {
            Order::Steel(order) => {
                if changes_breath(order) {
                    self.people.advance(self.now_s, &self.plant);
                }
                self.plant.order(self.now_s, order, sink)
            }
            Order::People(order) => {
                let now_s = self.now_s;
                let done = if in_his_time {
                    self.people
                        .obey_in_his_time(now_s, order, &self.plant, sink)
                } else {
                    self.people.obey(now_s, station, order, &self.plant, sink)
                };
                done.and_then(|()| self.inboard_stop(order, sink))
            }
        };
        if let (Ok(()), Order::People(PeopleOrder::Shower { at, .. })) = (done, order) {
            let plan = &self.scenario.plan;
            self.showers.begin(at, self.now_s, plan, &mut self.plant);
        }
        if let (Ok(()), Some(what)) = (done, self.told_of(station, order)) {
            self.write(what, sink);
        }
        done
    }

    /// A station calls somebody.
    fn call(
        &mut self,
        station: Station,
        to: Callee,
        phrase: Phrase,
        sink: &mut impl Sink,
    ) -> Result<(), Refused> {
        let steel = &self.scenario.steel;
        makes_sense(station, to, phrase, steel, &self.people.crew)?;
        let answered = match (to.station(), phrase) {
            (Some(other), Phrase::RequestGranted | Phrase::Wait) => {
                let asked = self.calls.asked_of(station, other);
                Some(asked.ok_or(Refused::NothingAsked)?)
            }
            _ => None,
        };
        self.write(
            What::Called {
                station,
                to,
                phrase,
            },
            sink,
        );
        let other = to.station();
        let hearers = Hearers {
            scenario: &self.scenario,
            crew: &self.people.crew,
            sitter: other.map_or(Sitter::Nobody, |other| self.options.sitter(other)),
            now_s: self.now_s,
        };
        self.calls.give(station, to, phrase, &hearers);
        if let (Some(asked), Some(from)) = (answered, station.callee()) {
            let answer = match phrase {
                Phrase::RequestGranted => Answer::Granted,
                _ => Answer::Waits(Because::Said),
            };
            self.calls.close(asked);
            if answer == Answer::Granted {
                self.grant(asked.by, asked.request);
            }
            let what = What::Answered {
                from,
                to: asked.by,
                phrase: Phrase::Ask(asked.request),
                answer,
                after_s: seconds(self.now_s - asked.since_s),
            };
            self.write(what, sink);
        }
        Ok(())
    }

    fn grant(&mut self, to: Station, request: Request) {
        let until_s = self.now_s + self.scenario.voices.granted_for as i64;
        self.calls.grant(to, request, until_s);
    }

    /// Whatever is due to be answered at this second is; and what nobody answered in time is told.
    fn answer_calls(&mut self, sink: &mut impl Sink) {
        let now_s = self.now_s;
        if self.calls.next_s() > now_s {
            return;
        }
        while let Some(due) = self.calls.take_due(now_s) {
            let Some(answer) = self.answer(&due, sink) else {
                continue;
            };
            self.calls.answered(due.call);
            let scenario = &self.scenario;
            let chamber = |d: DiverId| scenario.crew[d.index()].chamber;
            self.calls.hear(&due, &answer, &self.people.crew, chamber);
            let what = What::Answered {
                from: due.from,
                to: due.station,
                phrase: due.phrase,
                answer,
                after_s: seconds(now_s - due.asked_s),
            };
            self.write(what, sink);
        }
        while let Some((station, to, phrase, asked_s)) = self.calls.take_unanswered(now_s) {
            let what = What::Answered {
                from: to,
                to: station,
                phrase,
                answer: Answer::Nothing,
                after_s: seconds(now_s - asked_s),
            };
            self.write(what, sink);
        }
        while let Some((diver, report)) = self.calls.take_remark(now_s) {
            if self.people.crew.fitness(diver) <= Fitness::Slow {
                self.say(diver, report, sink);
            }
        }
        self.people.put_loads(now_s, &mut self.plant);
    }

    /// What somebody answers, when he has done what he was told.
    fn answer(&mut self, due: &calls::Due, sink: &mut impl Sink) -> Option<Answer> {
        let crew = &self.people.crew;
        let manned = |bell: CompartmentId| {
            let there = [Whereabouts::In(bell), Whereabouts::Water(bell)];
            crew.ids().any(|d| there.contains(&crew.whereabouts(d)))
        };
        let around = Around {
            scenario: &self.scenario,
            plant: &self.plant,
            people: &self.people,
            known: Stands {
                scenario: &self.scenario,
                board: &self.board,
                lamps: self.plant.positions(),
                manned: &manned,
                hs_m: self.weather.hs_m(),
                now_s: self.now_s,
            },
            now_s: self.now_s,
        };
        match calls::meant(due, &around) {
            Meant::Nothing => None,
            Meant::Says(answer) => Some(answer),
            Meant::Grants(request) => {
                self.grant(due.station, request);
                if let Request::Recall(bell) = request {
                    self.dive.recall(bell);
                    self.call_dive.rung = true;
                }
                Some(Answer::Granted)
            }
            Meant::Does(orders, answer) => {
                for order in orders {
                    if let Err(why) = self.obey(due.station, order, true, sink) {
                        return Some(Answer::Cannot(why));
                    }
                }
                Some(answer)
            }
        }
    }

    /// What a diver says by himself: at once, or when the time has come that the scenario's voices give.
    fn remark(&mut self, diver: DiverId, report: Spoken, sink: &mut impl Sink) {
        let now_s = self.now_s;
        if let Some(report) = self.calls.remark(&self.scenario, now_s, diver, report) {
            self.say(diver, report, sink);
        }
    }

    /// The hull stop that a diver turns where he is.
    fn inboard_stop(&mut self, order: PeopleOrder, sink: &mut impl Sink) -> Result<(), Refused> {
        let PeopleOrder::InboardStop { diver, shut } = order else {
            return Ok(());
        };
        let Whereabouts::In(compartment) = self.people.crew.whereabouts(diver) else {
            return Err(Refused::NotThere);
        };
        let stop = SteelOrder::HullStop { compartment, shut };
        self.plant.order(self.now_s, stop, sink)
    }

    /// What is told of an order that was carried out, where plant and people tell nothing of it themselves.
    fn told_of(&self, station: Station, order: Order) -> Option<What> {
        match order {
            Order::Steel(order) => setting(station, order),
            Order::People(order) => match order {
                PeopleOrder::Shower { diver, at } => Some(What::Routine {
                    compartment: at,
                    routine: Routine::Shower,
                    diver: Some(diver),
                }),
                PeopleOrder::ExchangeBailOut { diver } => {
                    let gauge_bar = self.people.bail_out_bar(diver)?;
                    let exchanged = true;
                    Some(What::BailOut {
                        diver,
                        gauge_bar,
                        exchanged,
                    })
                }
                PeopleOrder::InboardStop { diver, shut } => {
                    let Whereabouts::In(compartment) = self.people.crew.whereabouts(diver) else {
                        return None;
                    };
                    Some(What::InboardStop {
                        diver,
                        compartment,
                        shut,
                    })
                }
                PeopleOrder::Go { .. } | PeopleOrder::Do { .. } | PeopleOrder::Breathe { .. } => {
                    None
                }
            },
        }
    }

    fn say(&mut self, diver: DiverId, report: Spoken, sink: &mut impl Sink) {
        sink.take(Entry {
            at: self.now_s,
            what: What::Said { diver, report },
        });
        for (sitter, call) in [
            (self.options.saturation, &mut self.call_saturation),
            (self.options.dive, &mut self.call_dive),
        ] {
            if sitter == Sitter::Automatic {
                call.unheard.push((self.now_s, diver, report));
                call.rung = true;
            }
        }
    }

    fn is_over(&self) -> Option<Ended> {
        if let Some(found) = self.plant.below_zero() {
            return Some(Ended::BelowZero(found));
        }
        let died = self.people.died();
        if let Some((diver, cause)) = died.filter(|_| self.options.harm == Harm::EndsJob) {
            return Some(Ended::Died(diver, cause));
        }
        if self.board.all_surfaced() && self.people.everybody_on_deck() {
            return Some(Ended::Surfaced);
        }
        (self.now_s >= self.scenario.plan.end_s).then_some(Ended::PlanOver)
    }
}

/// A length of time as an entry has it, s.
fn seconds(length_s: i64) -> u32 {
    u32::try_from(length_s).unwrap_or(u32::MAX)
}

/// What is told of an order to the steel: whose it was, and what was set.
fn setting(station: Station, order: SteelOrder) -> Option<What> {
    match order {
        SteelOrder::OxygenSet {
            compartment,
            ppo2_bar,
            band_bar,
        } => Some(What::OxygenSet {
            station,
            compartment,
            ppo2_bar,
            band_bar,
        }),
        SteelOrder::ClimateSet {
            compartment,
            t_k,
            humidity,
        } => Some(What::ClimateSet {
            station,
            compartment,
            t_k,
            humidity,
        }),
        SteelOrder::Bell { bell, to_msw } => Some(What::BellSent {
            station,
            bell,
            to_msw,
        }),
        SteelOrder::Gag { compartment, shut } => Some(What::Gagged {
            station,
            compartment,
            shut,
        }),
        SteelOrder::HullStop { compartment, shut } => Some(What::HullStop {
            station,
            compartment,
            shut,
        }),
        SteelOrder::Valve { .. }
        | SteelOrder::LineUp { .. }
        | SteelOrder::LineOff { .. }
        | SteelOrder::BankStop { .. }
        | SteelOrder::Regulator { .. }
        | SteelOrder::Trickle { .. }
        | SteelOrder::SampleFrom { .. }
        | SteelOrder::Adjust { .. }
        | SteelOrder::Door { .. }
        | SteelOrder::Clamp { .. }
        | SteelOrder::Switch { .. }
        | SteelOrder::ChangeCanister { .. }
        | SteelOrder::Calibrate { .. }
        | SteelOrder::Analyse { .. } => None,
    }
}
