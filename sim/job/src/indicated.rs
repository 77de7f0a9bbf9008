//! What whoever sits on the watch can see: readings, lamps, handles, labels, alarms, what people were told to do and
//! where they said they went. It is data of its own, made for one second; nothing true can be reached from it.

use super::calls::OpenRequest;
use super::clock::Job;
use super::handles::handles;
use super::limits::AlarmNow;
use deepstay_core::record::{
    BreathingPath, LimitName, LineName, Machine, Phase, Sitter, Station, ValveName, Whereabouts,
};
use deepstay_core::units::*;
use deepstay_crew::in_water;
use deepstay_plant::{Activity, Compartment, Lamp, SamplePoint, Steel};
use serde::{Deserialize, Serialize};

/// The panel and the speaker at one second.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Indicated {
    /// Seconds since the scenario's start.
    pub at_s: i64,
    /// The job is over: no time passes any more.
    pub over: bool,
    /// Who sits at saturation control, and at dive control.
    pub sitters: [Sitter; 2],
    /// Whether the sounder of saturation control, and of dive control, sounds.
    pub sounding: [bool; 2],
    /// Each vessel, by its id.
    pub vessels: Vec<Vessel>,
    /// Each door, by its id.
    pub doors: Vec<DoorLamp>,
    /// Each bank, by its id.
    pub banks: Vec<BankPlate>,
    /// Each diver, by his id.
    pub divers: Vec<DiverHeard>,
    /// Alarms that ring, or have rung and wait; the longest standing first.
    pub alarms: Vec<AlarmNow>,
    /// Alarms set aside that do not ring, with until when, s.
    pub shelved: Vec<(LimitName, Option<i64>)>,
    /// Limits in force of what instruments show, in the unit of their quantity.
    pub limits: Vec<(LimitName, f64)>,
    /// Significant wave height, m.
    pub hs_m: f64,
    /// Height of the tide above mean level by the tide table, m.
    pub tide_m: f64,
    /// What a person has been asked for by the other station and has not answered.
    pub requests: Vec<OpenRequest>,
}

/// A vessel as its part of the panel shows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Vessel {
    /// What it was last said to do.
    pub phase: Phase,
    /// The depth it is said to have, msw.
    pub target_msw: f64,
    /// What its instruments show.
    pub readings: Vec<Shown>,
    /// Its handles: which, and how far open, 0 to 1.
    pub handles: Vec<(ValveName, f64)>,
    /// Its lines, and the bank lined up to each.
    pub lines: Vec<(LineName, Option<BankId>)>,
    /// Regulators of those lines, with the gauges behind them.
    pub regulators: Vec<RegulatorPlate>,
    /// Its machines.
    pub machines: Vec<(Machine, Lamp)>,
    /// What the automatic oxygen make-up is set to, where there is one: ppO2 and band, bar.
    pub oxygen_set: Option<(f64, f64)>,
    /// What its climate unit is set to, where there is one: temperature, K, and humidity, 0 to 1.
    pub climate_set: Option<(f64, f64)>,
    /// Hours that its absorbent has run, where there is a scrubber.
    pub absorbent_h: Option<f64>,
    /// Whether the gag valve before its relief valve is shut, where it has one.
    pub gagged: Option<bool>,
    /// Of a bell, where the winch was sent and what its wire shows, msw.
    pub winch_msw: Option<(f64, f64)>,
}

/// What an instrument shows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shown {
    /// Which.
    pub instrument: InstrumentId,
    /// Of what.
    pub quantity: Quantity,
    /// First or second instrument.
    pub channel: Channel,
    /// The value, in the unit of the quantity; none where the instrument is dark.
    pub value: Option<f64>,
    /// It stands at the end of its scale.
    pub at_ceiling: bool,
    /// The vessel whose gas it is turned to, where that is not its own.
    pub turned_to: Option<CompartmentId>,
}

/// A line's regulator as set, and the gauge behind it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct RegulatorPlate {
    /// Whose it is.
    pub line: LineName,
    /// What it is set to over the pressure behind it, bar.
    pub over_bar: f64,
    /// What the gauge behind it shows, bar over the deck's pressure; none where nothing feeds the line.
    pub gauge_bar: Option<f64>,
}

/// A door's lamps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct DoorLamp {
    /// Open.
    pub open: bool,
    /// Its clamp is made.
    pub clamped: bool,
}

/// A bank as its label, its last analysis and its gauge say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BankPlate {
    /// Oxygen on the label, as a fraction.
    pub label_o2: f64,
    /// Oxygen of the last analysis, as a fraction.
    pub analysed_o2: Option<f64>,
    /// What its gauge shows, bar.
    pub gauge_bar: Option<f64>,
    /// Its stop is shut.
    pub stopped: bool,
}

/// A diver, as he was told and as he said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct DiverHeard {
    /// Where he said he went.
    pub at: Whereabouts,
    /// What he said he breathes from.
    pub path: BreathingPath,
    /// What he was told to do there, or went to do.
    pub does: Activity,
    /// What the gauge of his bail-out was read as, bar.
    pub bail_out_bar: Option<f64>,
}

impl Indicated {
    /// What an instrument of a vessel shows of it; nothing while it is turned to another.
    pub fn reading(&self, c: CompartmentId, quantity: Quantity, channel: Channel) -> Option<f64> {
        let of = |s: &&Shown| (s.quantity, s.channel) == (quantity, channel);
        let shown = self.vessels.get(c.index())?.readings.iter().find(of)?;
        shown.value.filter(|_| shown.turned_to.is_none())
    }

    /// The depth that a vessel's first gauge shows, msw.
    pub fn depth_msw(&self, c: CompartmentId) -> Option<f64> {
        self.reading(c, Quantity::Depth, Channel::Primary)
    }

    /// What the counter of a bell's winch shows of its wire, msw; 0 on deck, and of what is no bell.
    pub fn wire_msw(&self, c: CompartmentId) -> f64 {
        let vessel = self.vessels.get(c.index());
        vessel
            .and_then(|v| v.winch_msw)
            .map_or(0.0, |(_, wire)| wire)
    }

    /// How far a handle stands open; none where there is no such valve.
    pub fn handle(&self, valve: ValveName) -> Option<f64> {
        let mut handles = self.vessels.iter().flat_map(|v| &v.handles);
        handles.find(|(v, _)| *v == valve).map(|(_, o)| *o)
    }

    /// The bank lined up to a line.
    pub fn lined_up(&self, line: LineName) -> Option<BankId> {
        let vessel = self.vessels.get(line.compartment().index())?;
        vessel.lines.iter().find(|(l, _)| *l == line)?.1
    }

    /// Who sits at a station.
    pub fn sitter(&self, station: Station) -> Sitter {
        match station {
            Station::Saturation => self.sitters[0],
            Station::Dive => self.sitters[1],
            Station::Student | Station::Script => Sitter::Nobody,
        }
    }

    /// Divers in a vessel, as they said.
    pub fn divers_in(&self, c: CompartmentId) -> impl Iterator<Item = DiverId> {
        self.divers_at(Whereabouts::In(c))
    }

    /// Divers at a place, as they said.
    pub fn divers_at(&self, to: Whereabouts) -> impl Iterator<Item = DiverId> {
        let divers = (0u8..).map(DiverId).zip(&self.divers);
        divers.filter(move |(_, d)| d.at == to).map(|(id, _)| id)
    }
}

/// What a diver was told to do, as far as it can be done where he said he is.
fn told_to(said: Whereabouts, told: Activity) -> Activity {
    let wet = matches!(said, Whereabouts::Water(_));
    match (wet, in_water(told)) {
        (true, true) | (false, false) => told,
        (true, false) => Activity::WaterRest,
        (false, true) => Activity::Rest,
    }
}

impl Job {
    /// What whoever sits on the watch can see at the present second.
    pub fn indicated(&self) -> Indicated {
        let steel = self.plant().steel();
        let (now_s, lamps) = (self.now(), self.plant().positions());
        let vessels = (0u8..).map(CompartmentId).zip(&steel.compartments);
        let banks = (0u8..).map(BankId).zip(&steel.banks);
        let doors = (0..steel.doors.len() as u8).map(DoorId);
        let crew = self.crew();
        Indicated {
            at_s: now_s,
            over: self.ended().is_some(),
            sitters: [Station::Saturation, Station::Dive].map(|s| self.options().sitter(s)),
            sounding: [Station::Saturation, Station::Dive].map(|s| self.limits().sounds(s)),
            vessels: vessels.map(|(c, plate)| self.vessel(c, plate)).collect(),
            doors: doors
                .map(|d| DoorLamp {
                    open: lamps.door_open(d),
                    clamped: lamps.door_clamped(d),
                })
                .collect(),
            banks: banks
                .map(|(b, plate)| BankPlate {
                    label_o2: plate.label_o2,
                    analysed_o2: lamps.analysed_o2(b),
                    stopped: lamps.bank_stopped(b),
                    gauge_bar: steel
                        .bank_gauge(b)
                        .map(|gauge| self.plant().read(gauge, now_s))
                        .filter(|v| v.is_finite()),
                })
                .collect(),
            divers: crew
                .ids()
                .map(|d| {
                    let said = self.calls().said_to_be(d, crew.whereabouts(d));
                    DiverHeard {
                        at: said,
                        path: crew.path(d),
                        does: told_to(said, crew.activity(d)),
                        bail_out_bar: crew.bail_out_gauge_pa(d).map(|pa| pa / BAR_PA),
                    }
                })
                .collect(),
            alarms: self.limits().alarms(),
            shelved: self.limits().shelved_in_peace(),
            limits: self.limits().bands().collect(),
            hs_m: self.hs_m(),
            tide_m: lamps.tide_m(now_s),
            requests: self.calls().requests().to_vec(),
        }
    }

    fn vessel(&self, c: CompartmentId, plate: &Compartment) -> Vessel {
        let steel = self.plant().steel();
        let (now_s, lamps) = (self.now(), self.plant().positions());
        let (phase, target_msw) = self.limits().said_of(c);
        let mine = |at: SamplePoint| match at {
            SamplePoint::Compartment(of) | SamplePoint::Sea(of) => of == c,
            SamplePoint::Bank(_) => false,
        };
        let instruments = (0u16..).map(InstrumentId).zip(&steel.instruments);
        let readings = instruments
            .filter(|(_, i)| mine(i.labelled))
            .map(|(id, i)| {
                let value = self.plant().read(id, now_s);
                Shown {
                    instrument: id,
                    quantity: i.quantity,
                    channel: i.channel,
                    value: value.is_finite().then_some(value),
                    at_ceiling: value >= i.ceiling,
                    turned_to: lamps.turned_to(id),
                }
            });
        Vessel {
            phase,
            target_msw,
            readings: readings.collect(),
            handles: handles(steel, c, plate)
                .map(|v| (v, lamps.valve_ordered(v)))
                .collect(),
            lines: lines(c, plate).map(|l| (l, lamps.lined_up(l))).collect(),
            regulators: lines(c, plate)
                .map(|line| RegulatorPlate {
                    line,
                    over_bar: lamps.regulator_pa(line) / BAR_PA,
                    gauge_bar: lamps.line_gauge_bar(line, now_s),
                })
                .collect(),
            machines: machines(steel, c, plate)
                .map(|m| (m, lamps.lamp(c, m)))
                .collect(),
            oxygen_set: (plate.oxygen_m2 > 0.0).then(|| lamps.oxygen_set(c)),
            climate_set: plate.climate.map(|_| lamps.climate_set(c)),
            absorbent_h: plate
                .scrubber
                .map(|_| self.plant().canister(c, now_s).0 / 3600.0),
            gagged: plate.relief.map(|_| lamps.gagged(c)),
            winch_msw: plate.bell.map(|_| lamps.winch(c, now_s)),
        }
    }
}

/// The lines that lead to a vessel.
fn lines(c: CompartmentId, plate: &Compartment) -> impl Iterator<Item = LineName> {
    let (bell, people) = (plate.bell.is_some(), plate.kind.people_go_into());
    [
        (LineName::Supply(c), plate.blow_down_m2 > 0.0),
        (LineName::Oxygen(c), plate.oxygen_m2 > 0.0),
        (LineName::Bibs(c), people),
        (LineName::DiverMain(c), bell),
        (LineName::DiverSecondary(c), bell),
    ]
    .into_iter()
    .filter(|(_, fitted)| *fitted)
    .map(|(line, _)| line)
}

/// The machines at a vessel.
fn machines(steel: &Steel, c: CompartmentId, plate: &Compartment) -> impl Iterator<Item = Machine> {
    let bell = plate.bell.is_some();
    let recovers = steel.recovery.is_some() && plate.exhaust_m2 > 0.0;
    let of_the_loop = steel.reclaim.is_some_and(|r| r.tank == c);
    [
        (Machine::Fan, plate.scrubber.is_some() && !of_the_loop),
        (Machine::Climate, plate.climate.is_some()),
        (Machine::OxygenControl, plate.oxygen_m2 > 0.0),
        (Machine::HotWater, bell),
        (Machine::Reclaim, bell && steel.reclaim.is_some()),
        (Machine::Recovery, recovers),
    ]
    .into_iter()
    .filter(|(_, fitted)| *fitted)
    .map(|(machine, _)| machine)
}
