//! The job's clock: from event to event, and what happens at each.

use super::faults::FaultBook;
use super::limits::LimitBook;
use super::logrow::LogClock;
use super::panel::JobPanel;
use super::random::{Source, Streams};
use super::sea::Sea;
use super::showers::Showers;
use super::weather::WeatherState;
use crate::crew::Crew;
use crate::plant::{Order, Physics, Plant, Watched};
use crate::record::{Entry, Seat as SeatName, Sink, Spoken, What};
use crate::scenario::{Chance, Scenario};
use crate::units::*;
use crate::watch::{Board, Desk, DiveControl, SaturationControl, Seat};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Owners of the seats' monitors.
const SATURATION: u32 = 1;
const DIVE: u32 = 2;
/// First owner number of limits; the limit's place in the book is added.
pub(super) const LIMITS: u32 = 1000;
/// Seconds between looks at people's bodies and complaints when nothing else happens.
const BODIES_EVERY_S: i64 = 600;

/// How a job is run, beside its scenario.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Options {
    /// Skip seconds in which nothing can be met.
    pub leap: bool,
    /// Anything but the default is for checks.
    pub physics: Physics,
    /// Let the automatic watch act; without it orders come from outside only.
    pub watch: bool,
}

impl Default for Options {
    fn default() -> Self {
        Options {
            leap: true,
            physics: Physics::default(),
            watch: true,
        }
    }
}

/// How a job ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Ended {
    /// Every side is back at the surface.
    Surfaced,
    /// The plan's last second came first.
    PlanOver,
    /// A diver breathed less oxygen than a body lives on.
    Hypoxia(DiverId),
    /// A diver breathed more carbon dioxide than a body stands.
    Hypercapnia(DiverId),
}

/// One job under way.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Job {
    #[serde(skip)]
    pub(super) scenario: Arc<Scenario>,
    pub(super) options: Options,
    pub(super) now_s: i64,
    started: bool,
    ended: Option<Ended>,
    pub(super) plant: Plant,
    pub(super) crew: Crew,
    pub(super) weather: WeatherState,
    pub(super) saturation: SaturationControl,
    pub(super) dive: DiveControl,
    pub(super) board: Board,
    saturation_wake_s: i64,
    dive_wake_s: i64,
    saturation_rung: bool,
    dive_rung: bool,
    said: Vec<(i64, DiverId, Spoken)>,
    saturation_heard: usize,
    dive_heard: usize,
    pub(super) limits: LimitBook,
    pub(super) log: LogClock,
    pub(super) faults: FaultBook,
    bodies_s: i64,
    pub(super) showers: Showers,
    pub(super) below_since: Vec<Option<i64>>,
    journal: Vec<(i64, Order)>,
    #[serde(skip)]
    desk: Desk,
    #[serde(skip)]
    owners: Vec<u32>,
    #[serde(skip)]
    pub(super) airs: Vec<crate::crew::Air>,
    #[serde(skip)]
    outside_orders: Vec<(SeatName, Order)>,
}

impl Job {
    /// A job at its second 0, nothing pressed, everybody on deck.
    pub fn new(scenario: Arc<Scenario>, options: Options) -> Job {
        let instruments = Streams::new(scenario.seed_of(Chance::Instruments));
        let steel = Arc::new(scenario.steel.clone());
        let mut plant = Plant::new(steel, options.physics);
        plant.set_leap(options.leap);
        let sea = Sea::new(&scenario.site);
        plant.set_sea(
            sea.temperature_k(),
            scenario.site.tide_amplitude_m,
            super::sea::TIDE_PERIOD_S,
        );
        draw_errors(&scenario, &instruments, &mut plant);
        let weather = Streams::new(scenario.seed_of(Chance::Weather)).stream(Source::Weather);
        let weather = WeatherState::new(&scenario.site.weather, weather);
        Job {
            crew: super::people::crew(&scenario),
            saturation: SaturationControl::new(&scenario),
            dive: DiveControl::new(&scenario),
            board: Board::new(&scenario),
            limits: LimitBook::new(&scenario),
            log: LogClock::new(scenario.log_every_s),
            faults: FaultBook::new(&scenario),
            below_since: vec![None; scenario.crew.len()],
            options,
            now_s: 0,
            started: false,
            ended: None,
            plant,
            weather,
            saturation_wake_s: 0,
            dive_wake_s: 0,
            saturation_rung: false,
            dive_rung: false,
            said: Vec::new(),
            saturation_heard: 0,
            dive_heard: 0,
            bodies_s: BODIES_EVERY_S,
            showers: Showers::default(),
            journal: Vec::new(),
            desk: Desk::new(),
            owners: Vec::new(),
            airs: Vec::new(),
            outside_orders: Vec::new(),
            scenario,
        }
    }

    /// Seconds since the scenario's start.
    pub fn now(&self) -> i64 {
        self.now_s
    }

    /// How it ended, once it has.
    pub fn ended(&self) -> Option<Ended> {
        self.ended
    }

    /// The plant, for those who may see the truth.
    pub fn plant(&self) -> &Plant {
        &self.plant
    }

    /// The limits that were or are in force, in the order in which they came.
    pub fn limits_in_force(&self) -> &[super::InForce] {
        &self.limits.in_force
    }

    /// The divers.
    pub fn crew(&self) -> &Crew {
        &self.crew
    }

    /// The scenario.
    pub fn scenario(&self) -> &Arc<Scenario> {
        &self.scenario
    }

    /// Every order given so far, with its second.
    pub fn journal(&self) -> &[(i64, Order)] {
        &self.journal
    }

    /// Gives an order from outside (a student, a test, a script) at the present second; it is carried
    /// out when time next passes.
    pub fn order(&mut self, seat: SeatName, order: Order) {
        self.outside_orders.push((seat, order));
    }

    /// Lets time pass to `t_s`, or to the end of the job if that comes first.
    pub fn advance_to(&mut self, t_s: i64, sink: &mut impl Sink) {
        if !self.started {
            self.start(sink);
        }
        self.carry_out_outside(sink);
        while self.now_s < t_s && self.ended.is_none() {
            self.now_s = self.next_s().clamp(self.now_s + 1, t_s);
            self.second(sink);
        }
    }

    /// Writes the closing amounts; once, when the run is over or broken off.
    pub fn close(&mut self, sink: &mut impl Sink) {
        let at = self.now_s;
        self.plant.give_flows(at, sink);
        for (place, moles) in self.plant.holdings(at) {
            sink.take(Entry {
                at,
                what: What::Closing { place, moles },
            });
        }
        self.diver_totals(sink);
    }

    fn start(&mut self, sink: &mut impl Sink) {
        self.started = true;
        self.faults.before_start(&self.scenario, &mut self.plant);
        for (place, moles) in self.plant.holdings(0) {
            sink.take(Entry {
                at: 0,
                what: What::Opening { place, moles },
            });
        }
        let hs_m = self.weather.hs_m();
        let stopped = hs_m > self.scenario.site.launch_limit_hs_m;
        sink.take(Entry {
            at: 0,
            what: What::Weather { hs_m, stopped },
        });
        self.second(sink);
    }

    fn carry_out_outside(&mut self, sink: &mut impl Sink) {
        if self.outside_orders.is_empty() {
            return;
        }
        let mut orders = std::mem::take(&mut self.outside_orders);
        for (seat, order) in orders.drain(..) {
            self.carry_out(seat, order, sink);
        }
        self.outside_orders = orders;
        self.put_loads();
        self.plant.refresh(self.now_s);
    }

    fn next_s(&self) -> i64 {
        [
            self.plant.next_s(),
            if self.options.watch {
                self.saturation_wake_s
            } else {
                i64::MAX
            },
            if self.options.watch {
                self.dive_wake_s
            } else {
                i64::MAX
            },
            if self.saturation_rung || self.dive_rung {
                self.now_s + 1
            } else {
                i64::MAX
            },
            self.weather.next_change().unwrap_or(i64::MAX),
            self.faults.next_s(&self.scenario),
            self.log.next_s(),
            self.limits.next_s(),
            self.bodies_s,
            self.showers.next_s(),
            self.scenario.plan.end_s,
        ]
        .into_iter()
        .min()
        .unwrap_or(i64::MAX)
    }

    fn second(&mut self, sink: &mut impl Sink) {
        let now = self.now_s;
        let mut owners = std::mem::take(&mut self.owners);
        self.plant.met(now, &mut owners);
        self.blow_weather(sink);
        self.end_showers();
        self.faults.act(now, &self.scenario, &mut self.plant, sink);
        let (mut saturation, mut dive) = (false, false);
        for owner in owners.iter().copied() {
            match owner {
                SATURATION => saturation = true,
                DIVE => dive = true,
                _ if owner >= LIMITS && self.plant.own_monitor(owner, now, sink) => {}
                _ => self
                    .limits
                    .crossed(owner - LIMITS, now, &mut self.plant, &self.crew, sink),
            }
        }
        self.owners = owners;
        self.limits.count(now, &self.plant, &self.crew, sink);
        if self.options.watch {
            saturation |=
                now >= self.saturation_wake_s || std::mem::take(&mut self.saturation_rung);
            dive |= now >= self.dive_wake_s || std::mem::take(&mut self.dive_rung);
            if saturation {
                self.sit(SeatName::Saturation, sink);
            }
            if dive {
                self.sit(SeatName::Dive, sink);
            }
        }
        if now >= self.bodies_s {
            self.bodies_s = now + BODIES_EVERY_S;
            self.look_at_bodies(sink);
        }
        self.plant.refresh(now);
        if self.log.due(now) {
            self.write_log_row(sink);
        }
        if self.ended.is_none() {
            self.ended = self.is_over();
        }
    }

    fn blow_weather(&mut self, sink: &mut impl Sink) {
        if self.weather.next_change().is_some_and(|t| t <= self.now_s) {
            self.weather
                .advance(&self.scenario.site.weather, self.now_s);
            let hs_m = self.weather.hs_m();
            let stopped = hs_m > self.scenario.site.launch_limit_hs_m;
            sink.take(Entry {
                at: self.now_s,
                what: What::Weather { hs_m, stopped },
            });
        }
    }

    fn sit(&mut self, seat: SeatName, sink: &mut impl Sink) {
        let mut desk = std::mem::take(&mut self.desk);
        desk.clear();
        let heard = if seat == SeatName::Saturation {
            self.saturation_heard
        } else {
            self.dive_heard
        };
        let panel = JobPanel {
            now_s: self.now_s,
            scenario: &self.scenario,
            plant: &self.plant,
            crew: &self.crew,
            weather: &self.weather,
            said: &self.said[heard..],
        };
        let owner = if seat == SeatName::Saturation {
            self.saturation.act(&panel, &mut self.board, &mut desk);
            self.saturation_heard = self.said.len();
            self.saturation_wake_s = desk.wake_at.max(self.now_s + 1);
            self.dive_rung |= desk.ring;
            SATURATION
        } else {
            self.dive.act(&panel, &mut self.board, &mut desk);
            self.dive_heard = self.said.len();
            self.dive_wake_s = desk.wake_at.max(self.now_s + 1);
            self.saturation_rung |= desk.ring;
            DIVE
        };
        for order in desk.orders.drain(..) {
            self.carry_out(seat, order, sink);
        }
        self.put_loads();
        for what in desk.entries.drain(..) {
            self.hear_shower(&what);
            self.limits
                .hear(&what, self.now_s, &self.scenario, &mut self.plant, sink);
            sink.take(Entry {
                at: self.now_s,
                what,
            });
        }
        if seat == SeatName::Saturation {
            self.limits.acknowledge(self.now_s, sink);
        }
        let triggers = desk
            .triggers
            .iter()
            .map(|t| (Watched::Shown(t.instrument), t.above, t.value));
        self.plant.set_monitors(owner, triggers, self.now_s);
        self.desk = desk;
    }

    fn carry_out(&mut self, seat: SeatName, order: Order, sink: &mut impl Sink) {
        self.journal.push((self.now_s, order));
        let done = match order {
            Order::Steel(order) => self.plant.order(self.now_s, order, sink),
            Order::People(order) => self.tell(order, sink),
        };
        if let Err(why) = done {
            sink.take(Entry {
                at: self.now_s,
                what: What::Refused { seat, why },
            });
        }
    }

    pub(super) fn say(&mut self, diver: DiverId, report: Spoken, sink: &mut impl Sink) {
        self.said.push((self.now_s, diver, report));
        sink.take(Entry {
            at: self.now_s,
            what: What::Said { diver, report },
        });
        self.saturation_rung = true;
        self.dive_rung = true;
    }

    fn is_over(&self) -> Option<Ended> {
        if let Some(ended) = self.body_failed() {
            return Some(ended);
        }
        if self.options.watch && self.board.all_surfaced() && self.everybody_on_deck() {
            return Some(Ended::Surfaced);
        }
        (self.now_s >= self.scenario.plan.end_s).then_some(Ended::PlanOver)
    }
}

/// Draws each instrument's errors within its accuracy, from the seed's own stream.
fn draw_errors(scenario: &Scenario, streams: &Streams, plant: &mut Plant) {
    let mut draw = streams.stream(Source::Instruments);
    for (id, instrument) in (0u16..).zip(&scenario.steel.instruments) {
        let zero = draw.between(-0.5, 0.5) * instrument.accuracy;
        let drifts = matches!(instrument.quantity, Quantity::PpO2 | Quantity::PpCo2);
        let drift = draw.between(-0.5, 0.5) * instrument.accuracy / DRIFT_TO_ACCURACY_S;
        let drift = if drifts { drift } else { 0.0 };
        plant.set_errors(
            InstrumentId(id),
            instrument.span,
            instrument.zero + zero,
            instrument.span_drift_per_s,
            instrument.zero_drift_per_s + drift,
        );
    }
}

/// Time over which an analyser drifts by half its accuracy at the most, s: a day (house rule). Gauges and
/// thermometers keep the error they have.
const DRIFT_TO_ACCURACY_S: f64 = 86_400.0;
