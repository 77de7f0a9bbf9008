//! One look of a station: panel, board and desk together, with the small words the stations are written in.

use super::board::Board;
use super::layout::{Layout, neighbours};
use super::panel::{Desk, Panel};
use deepstay_core::record::{
    BreathingPath, Callee, Finding, LineName, Machine, Station, ValveName, What, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::OwnRun;
use deepstay_plant::{Activity, Order, PeopleOrder, SteelOrder, Trigger};
use deepstay_rules::RowNumbers;
use deepstay_scenario::Scenario;
use std::sync::Arc;

/// The papers a station holds: the scenario and where things are. Not part of a saved state.
#[derive(Clone, Debug)]
pub struct Kit {
    /// The scenario.
    pub scenario: Arc<Scenario>,
    /// Where things are.
    pub layout: Layout,
    /// Each diver's own bell runs, by diver.
    pub own_runs: Vec<Vec<OwnRun>>,
    /// Numbers of the rule set's rows.
    pub rows: RowNumbers,
}

impl Kit {
    /// Reads the scenario once.
    pub fn new(scenario: Arc<Scenario>) -> Arc<Kit> {
        let layout = Layout::new(&scenario);
        let own_runs = super::own_runs::own_runs(&scenario);
        let rows = scenario.rules.row_numbers();
        Arc::new(Kit {
            scenario,
            layout,
            own_runs,
            rows,
        })
    }

    /// Second of the ship's day at a second of the job.
    pub fn second_of_day(&self, at: i64) -> i64 {
        (self.scenario.start_second_of_day + at).rem_euclid(86_400)
    }

    /// The next second after `after` at which the ship's clock shows `second_of_day`.
    pub fn next_daily(&self, after: i64, second_of_day: i64) -> i64 {
        let wait = (second_of_day - self.second_of_day(after)).rem_euclid(86_400);
        after + if wait == 0 { 86_400 } else { wait }
    }
}

/// One look.
pub struct Look<'a> {
    /// The scenario and where things are.
    pub kit: &'a Kit,
    /// What is seen.
    pub panel: &'a dyn Panel,
    /// Between the stations.
    pub board: &'a mut Board,
    /// What is given.
    pub desk: &'a mut Desk,
    /// The second.
    pub now: i64,
}

impl<'a> Look<'a> {
    /// At the panel, now.
    pub fn at(
        kit: &'a Kit,
        panel: &'a dyn Panel,
        board: &'a mut Board,
        desk: &'a mut Desk,
    ) -> Look<'a> {
        Look {
            kit,
            now: panel.now(),
            panel,
            board,
            desk,
        }
    }
}

impl Look<'_> {
    /// Looks again at the latest at `at`.
    pub fn wake(&mut self, at: i64) {
        self.desk.wake_at = self.desk.wake_at.min(at.max(self.now + 1));
    }

    /// Looks again when a gauge is at or beyond a value.
    pub fn when(&mut self, instrument: Option<InstrumentId>, above: bool, value: f64) {
        if let Some(instrument) = instrument {
            self.desk.triggers.push(Trigger {
                instrument,
                above,
                value,
            });
        }
    }

    /// What an instrument shows, if there is one and it shows a number.
    pub fn shown(&self, instrument: Option<InstrumentId>) -> Option<f64> {
        instrument
            .map(|i| self.panel.read(i))
            .filter(|v| v.is_finite())
    }

    /// The depth gauge gone by: the one shown first, or of a manned chamber the one that others bear out against it.
    pub fn depth_gauge(&self, c: CompartmentId) -> Option<InstrumentId> {
        let [first, second] = self.kit.layout.gauges[c.index()].depth;
        let mut levels = self.board.levels.iter();
        let borne_out = levels.find(|word| word.home == c).and_then(|w| w.by_gauge);
        borne_out.or(first).or(second)
    }

    /// The chamber in which the people of a level are kept.
    pub fn home(&self, level: usize) -> CompartmentId {
        self.board.levels[level].home
    }

    /// The members of a level that are open to each other with its manned chamber, that one first.
    pub fn joined(&self, level: usize) -> Vec<CompartmentId> {
        let mut joined = vec![self.home(level)];
        let mut next = 0;
        while let Some(&c) = joined.get(next) {
            next += 1;
            for m in self.beside(level, c) {
                if !joined.contains(&m) {
                    joined.push(m);
                }
            }
        }
        joined
    }

    /// Whether every door within a level is open.
    pub fn is_whole(&self, level: usize) -> bool {
        let within = &self.kit.layout.levels[level].within;
        within.iter().all(|&door| self.panel.open(door))
    }

    /// Whether a member of a level is its manned chamber, or open to it.
    pub fn is_joined(&self, level: usize, c: CompartmentId) -> bool {
        self.is_whole(level) || self.joined(level).contains(&c)
    }

    /// Where a diver of a level lives now: in his own chamber, or where a loss of depth called its people together for
    /// as long as his own is shut off.
    pub fn bunk(&self, level: usize, diver: DiverId) -> CompartmentId {
        let own = self.kit.scenario.crew[diver.index()].chamber;
        let lives_here = self.kit.layout.levels[level].members.contains(&own);
        let given_up = self.board.levels[level].called_in && !self.is_joined(level, own);
        match lives_here && !given_up {
            true => own,
            false => self.home(level),
        }
    }

    /// Gas volume of all that is open to a level's manned chamber within it, m3.
    pub fn volume_m3(&self, level: usize) -> f64 {
        if self.is_whole(level) {
            return self.kit.layout.levels[level].volume_m3;
        }
        let plates = &self.kit.scenario.steel.compartments;
        let joined = self.joined(level);
        joined.iter().map(|m| plates[m.index()].volume_m3).sum()
    }

    /// Depth shown for a compartment, msw; zero where it has no gauge.
    pub fn depth(&self, c: CompartmentId) -> f64 {
        self.shown(self.depth_gauge(c)).unwrap_or(0.0)
    }

    /// Temperature shown for a compartment, K.
    pub fn temperature_k(&self, c: CompartmentId) -> Option<f64> {
        self.shown(self.kit.layout.gauges[c.index()].temperature)
    }

    /// ppO2 shown by the analyser that control acts on, bar.
    pub fn ppo2(&self, c: CompartmentId) -> Option<f64> {
        self.shown(self.kit.layout.gauges[c.index()].ppo2[0])
    }

    /// The carbon dioxide analyser shown first.
    pub fn co2_analyser(&self, c: CompartmentId) -> Option<InstrumentId> {
        self.kit.layout.gauges[c.index()].ppco2[0]
    }

    /// Sea depth shown for a bell, msw.
    pub fn sea(&self, bell: CompartmentId) -> f64 {
        self.shown(self.kit.layout.gauges[bell.index()].sea)
            .unwrap_or(0.0)
    }

    /// Gauge pressure of a bank, bar; none where it has no gauge.
    pub fn bank_bar(&self, bank: BankId) -> Option<f64> {
        self.shown(*self.kit.layout.bank_gauges.get(bank.index())?)
    }

    /// Gives an order to the steel.
    pub fn steel(&mut self, order: SteelOrder) {
        self.desk.order(Order::Steel(order));
    }

    /// What the last order of this look that `of` knows makes of something.
    fn ordered<T>(&self, of: impl Fn(SteelOrder) -> Option<T>) -> Option<T> {
        let mut orders = self.desk.orders.iter().rev();
        orders.find_map(|order| match *order {
            Order::Steel(order) => of(order),
            Order::People(_) => None,
        })
    }

    /// Where a handle stands once what was ordered in this look is done.
    fn handle(&self, valve: ValveName) -> f64 {
        let ordered = self.ordered(|order| match order {
            SteelOrder::Valve {
                valve: v, opening, ..
            } if v == valve => Some(opening),
            _ => None,
        });
        ordered.unwrap_or_else(|| self.panel.valve(valve))
    }

    /// Whether a door is open once what was ordered in this look is done.
    fn is_to_be_open(&self, door: DoorId) -> bool {
        let ordered = self.ordered(|order| match order {
            SteelOrder::Door { door: d, open } if d == door => Some(open),
            _ => None,
        });
        ordered.unwrap_or_else(|| self.panel.open(door))
    }

    /// The bank on a line once what was ordered in this look is done.
    pub fn is_to_be_lined_up(&self, line: LineName) -> Option<BankId> {
        let ordered = self.ordered(|order| match order {
            SteelOrder::LineUp { line: l, bank } if l == line => Some(Some(bank)),
            SteelOrder::LineOff { line: l } if l == line => Some(None),
            _ => None,
        });
        ordered.unwrap_or_else(|| self.panel.lined_up(line))
    }

    /// Sets a valve, unless its handle already stands there.
    pub fn valve(&mut self, valve: ValveName, opening: f64, purpose: Purpose) {
        if self.handle(valve) != opening {
            self.steel(SteelOrder::Valve {
                valve,
                opening,
                purpose,
            });
        }
    }

    /// Opens or shuts a door, unless its lamp already says so.
    pub fn door(&mut self, door: DoorId, open: bool) {
        if self.is_to_be_open(door) != open {
            self.steel(SteelOrder::Door { door, open });
        }
    }

    /// Switches a machine.
    pub fn switch(&mut self, compartment: CompartmentId, machine: Machine, on: bool) {
        self.steel(SteelOrder::Switch {
            compartment,
            machine,
            on,
        });
    }

    /// Lines a bank up, unless it is.
    pub fn line_up(&mut self, line: LineName, bank: BankId) {
        if self.is_to_be_lined_up(line) != Some(bank) {
            self.steel(SteelOrder::LineUp { line, bank });
        }
    }

    /// Shuts a line off at its bank, unless it is.
    pub fn line_off(&mut self, line: LineName) {
        if self.is_to_be_lined_up(line).is_some() {
            self.steel(SteelOrder::LineOff { line });
        }
    }

    /// Writes down what was made of the panel.
    pub fn found(&mut self, compartment: CompartmentId, finding: Finding) {
        self.write(What::Found {
            station: Station::Saturation,
            compartment,
            finding,
        });
    }

    /// Tells somebody what was found, or sends him there.
    pub fn tell(&mut self, to: Callee, compartment: CompartmentId, finding: Finding) {
        self.write(What::Told {
            station: Station::Saturation,
            to,
            compartment,
            finding,
        });
    }

    /// Members of a level that are open to a compartment by one door.
    pub fn beside(&self, level: usize, c: CompartmentId) -> Vec<CompartmentId> {
        let within = &self.kit.layout.levels[level].within;
        let open = |(d, _): &(DoorId, CompartmentId)| within.contains(d) && self.panel.open(*d);
        let beside = neighbours(&self.kit.scenario.steel, c).filter(open);
        beside.map(|(_, member)| member).collect()
    }

    /// Sends a diver somewhere, unless he is there.
    pub fn go(&mut self, diver: DiverId, to: Whereabouts) {
        if self.panel.whereabouts(diver) != to {
            self.desk
                .order(Order::People(PeopleOrder::Go { diver, to }));
        }
    }

    /// Whether a diver has just been sent somewhere, in this look.
    pub fn is_sent(&self, diver: DiverId) -> bool {
        let sent = |order: &Order| matches!(order, Order::People(PeopleOrder::Go { diver: d, .. }) if *d == diver);
        self.desk.orders.iter().any(sent)
    }

    /// Gives a diver something to do.
    pub fn give(&mut self, diver: DiverId, activity: Activity) {
        self.desk
            .order(Order::People(PeopleOrder::Do { diver, activity }));
    }

    /// Has a diver breathe from a path, unless he does.
    pub fn breathe(&mut self, diver: DiverId, path: BreathingPath) {
        if self.panel.path(diver) != path {
            self.desk
                .order(Order::People(PeopleOrder::Breathe { diver, path }));
        }
    }

    /// Notes the rows that answered a question asked of the rule set.
    pub fn goes_by<'i>(&mut self, ids: impl IntoIterator<Item = &'i String>) {
        let rows = ids.into_iter().filter_map(|id| self.kit.rows.of(id));
        self.desk.rows.extend(rows);
    }

    /// Writes into the log.
    pub fn write(&mut self, what: What) {
        self.desk.entries.push(what);
    }

    /// The divers of the crew, as ids.
    pub fn crew(&self) -> impl Iterator<Item = DiverId> + use<> {
        let count = u8::try_from(self.kit.scenario.crew.len()).unwrap_or(u8::MAX);
        (0..count).map(DiverId)
    }

    /// How many divers are in a compartment.
    pub fn people_in(&self, c: CompartmentId) -> usize {
        let there = |d: &DiverId| self.panel.whereabouts(*d) == Whereabouts::In(c);
        self.crew().filter(there).count()
    }

    /// How many divers are in the members of a level.
    pub fn heads(&self, level: usize) -> usize {
        let members = &self.kit.layout.levels[level].members;
        self.crew()
            .filter(|&d| matches!(self.panel.whereabouts(d), Whereabouts::In(c) if members.contains(&c)))
            .count()
    }
}
