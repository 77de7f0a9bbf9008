//! A line in the words of the trade, read into acts; or why it was not understood, and what would be.

use super::table::{Part, TABLE, Verb, VerbInfo};
use crate::names::{NotFound, find};
use crate::sheets::Sheets;
use deepstay_core::order::{PeopleOrder, SteelOrder};
use deepstay_core::record::{
    Adjusted, AlarmDeed, BreathingPath, LimitName, LineName, Machine, Phase, Routine, Sitter,
    Station, ValveName, Whereabouts,
};
use deepstay_core::units::text::{Depth, Duration, FreeFlow, Gauge, Partial, Share, Temperature};
use deepstay_core::units::*;
use deepstay_job::{Act, Indicated};
use deepstay_plant::{Order, SamplePoint};
use deepstay_read::nearest;
use deepstay_scenario::Scenario;
use thiserror::Error;

/// An opening that is only just one (house figure).
pub const CRACK: f64 = 0.02;
/// Band over the set point of the automatic oxygen make-up where none is said, bar (house figure).
pub const BAND_BAR: f64 = 0.01;

/// What a line asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The verb.
    pub verb: Verb,
    /// Acts in the sequence they are given, each with how long after the line it is done, s.
    pub acts: Vec<(Act, i64)>,
    /// The words of a note, or the name of a sheet.
    pub words: Option<String>,
}

/// Why a line was not understood.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{what}{}", self.instead())]
pub struct NotUnderstood {
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub right: Option<String>,
}

impl NotUnderstood {
    fn instead(&self) -> String {
        self.right
            .as_ref()
            .map_or(String::new(), |right| format!("; {right}"))
    }
}

pub(super) fn wrong<T>(what: impl Into<String>, right: Option<String>) -> Result<T, NotUnderstood> {
    Err(NotUnderstood {
        what: what.into(),
        right,
    })
}

/// What a line is read against.
pub(super) struct Reader<'a> {
    pub scenario: &'a Scenario,
    pub seen: &'a Indicated,
    pub sheets: &'a Sheets,
    pub rest: Vec<&'a str>,
    pub row: &'static VerbInfo,
}

/// Reads a line.
///
/// # Errors
/// [`NotUnderstood`]: what is wrong with it, and what would be right.
pub fn parse(
    line: &str,
    scenario: &Scenario,
    seen: &Indicated,
    sheets: &Sheets,
) -> Result<Asked, NotUnderstood> {
    let mut words = line.split_whitespace();
    let Some(first) = words.next() else {
        return wrong(
            "nothing was said",
            Some("a verb first, such as `make-up`".into()),
        );
    };
    let row = verb_of(first)?;
    let mut reader = Reader {
        scenario,
        seen,
        sheets,
        rest: words.collect(),
        row,
    };
    let asked = reader.read()?;
    match reader.rest.first() {
        None => Ok(asked),
        Some(more) => wrong(
            format!("`{more}` is one word too many"),
            Some(format!("the form is `{}`", row.form())),
        ),
    }
}

/// The row of a verb's word, or of the one verb that begins so.
pub(super) fn verb_of(word: &str) -> Result<&'static VerbInfo, NotUnderstood> {
    let plain = word.to_lowercase();
    let is = |row: &&VerbInfo| row.name == plain || row.also.contains(&plain.as_str());
    if let Some(row) = TABLE.iter().find(is) {
        return Ok(row);
    }
    let begins: Vec<&VerbInfo> = TABLE
        .iter()
        .filter(|row| row.name.starts_with(&plain))
        .collect();
    match begins[..] {
        [row] => Ok(row),
        [] => {
            let near = nearest(&plain, TABLE.iter().map(|row| row.name));
            wrong(
                format!("`{word}` is no verb of the watch"),
                near.map(|n| format!("did you mean `{n}`?")),
            )
        }
        _ => {
            let names: Vec<&str> = begins.iter().map(|row| row.name).collect();
            wrong(
                format!("`{word}` begins several verbs"),
                Some(names.join(", ")),
            )
        }
    }
}

impl Reader<'_> {
    fn read(&mut self) -> Result<Asked, NotUnderstood> {
        let mut words = None;
        let acts = match self.row.verb {
            Verb::MakeUp => self.valve(ValveName::BlowDown, Purpose::MakeUp)?,
            Verb::BlowDown => self.valve(ValveName::BlowDown, Purpose::BlowDown)?,
            Verb::Bleed => self.valve(ValveName::Bleed, Purpose::Bleed)?,
            Verb::Exhaust => {
                let at = self.vessel()?;
                let purpose = self.vented_for(at);
                let opening = self.opening()?;
                self.set(ValveName::Exhaust(at), opening, purpose, None)?
            }
            Verb::Oxygen => {
                let at = self.vessel()?;
                let opening = self.opening()?;
                let for_s = self.for_time()?;
                self.set(ValveName::Oxygen(at), opening, Purpose::Oxygen, for_s)?
            }
            Verb::Trickle => {
                let compartment = self.vessel()?;
                let flow: FreeFlow = self.quantity("a flow of free gas", "L/min")?;
                let mol_s = flow.0 * FREE.mol_per_m3();
                steel(SteelOrder::Trickle { compartment, mol_s })
            }
            Verb::Drain => {
                let at = self.vessel()?;
                let opening = self.opening()?;
                let for_s = self.for_time()?;
                self.set(ValveName::Drain(at), opening, Purpose::Flush, for_s)?
            }
            Verb::Equalise => {
                let door = self.door()?;
                let opening = self.opening()?;
                self.set(ValveName::Equalise(door), opening, Purpose::Transfer, None)?
            }
            Verb::Stop => {
                let at = self.vessel()?;
                self.stop(at)
            }
            Verb::AutoOxygen => self.auto_oxygen()?,
            Verb::LineUp => {
                let line = self.line()?;
                let bank = self.bank()?;
                steel(SteelOrder::LineUp { line, bank })
            }
            Verb::Isolate => {
                let line = self.line()?;
                steel(SteelOrder::LineOff { line })
            }
            Verb::BankStop => {
                let (bank, shut) = (self.bank()?, !self.open_shut()?);
                steel(SteelOrder::BankStop { bank, shut })
            }
            Verb::Regulator => {
                let line = self.line()?;
                let over: Gauge = self.quantity("a pressure", "bar")?;
                let over_pa = over.0;
                steel(SteelOrder::Regulator { line, over_pa })
            }
            Verb::Open | Verb::Shut => {
                let (door, open) = (self.door()?, self.row.verb == Verb::Open);
                steel(SteelOrder::Door { door, open })
            }
            Verb::Clamp => {
                let (door, made) = (self.door()?, self.on_off()?);
                steel(SteelOrder::Clamp { door, made })
            }
            Verb::Fan => self.switch(Machine::Fan)?,
            Verb::Recovery => self.switch(Machine::Recovery)?,
            Verb::HotWater => self.switch(Machine::HotWater)?,
            Verb::Reclaim => self.switch(Machine::Reclaim)?,
            Verb::Climate => self.climate()?,
            Verb::Absorbent => {
                let compartment = self.vessel()?;
                steel(SteelOrder::ChangeCanister { compartment })
            }
            Verb::Analyse => {
                let bank = self.bank()?;
                steel(SteelOrder::Analyse { bank })
            }
            Verb::Calibrate => {
                let instrument = self.instrument()?;
                steel(SteelOrder::Calibrate { instrument })
            }
            Verb::Zero => self.adjust(Adjusted::Zero)?,
            Verb::Span => self.adjust(Adjusted::Span)?,
            Verb::SamplePoint => self.sample_point()?,
            Verb::LockRun => {
                let lock = self.vessel()?;
                let k = self.named("load", &LOADS.map(|(name, _)| name.to_owned()))?;
                let routine = LOADS[k].1;
                vec![(Act::LockRun { lock, routine }, 0)]
            }
            Verb::Camera => {
                let compartment = self.vessel()?;
                vec![(Act::Camera { compartment }, 0)]
            }
            Verb::InboardStop => {
                let (diver, shut) = (self.diver()?, !self.open_shut()?);
                people(PeopleOrder::InboardStop { diver, shut })
            }
            Verb::HullStop | Verb::Gag => {
                let (compartment, shut) = (self.vessel()?, !self.open_shut()?);
                steel(match self.row.verb {
                    Verb::Gag => SteelOrder::Gag { compartment, shut },
                    _ => SteelOrder::HullStop { compartment, shut },
                })
            }
            Verb::Bibs => self.bibs()?,
            Verb::Breathe => {
                let (diver, path) = (self.diver()?, self.path()?);
                people(PeopleOrder::Breathe { diver, path })
            }
            Verb::Send => {
                let (diver, to) = (self.diver()?, self.place()?);
                people(PeopleOrder::Go { diver, to })
            }
            Verb::Shower => {
                let (diver, at) = (self.diver()?, self.vessel()?);
                people(PeopleOrder::Shower { diver, at })
            }
            Verb::BailOut => {
                let diver = self.diver()?;
                people(PeopleOrder::ExchangeBailOut { diver })
            }
            Verb::Bell => self.bell()?,
            Verb::Compression => self.aim(Phase::Compression)?,
            Verb::Storage => self.aim(Phase::Storage)?,
            Verb::Decompression => self.aim(Phase::Decompression)?,
            Verb::Surface => {
                let at = self.vessel()?;
                self.aims(at, Phase::Surface, 0.0)
            }
            Verb::Acknowledge => {
                if self.takes("all") {
                    vec![(Act::AcknowledgeAll, 0)]
                } else {
                    self.alarm(AlarmDeed::Acknowledge)?
                }
            }
            Verb::Silence => vec![(Act::Silence, 0)],
            Verb::Shelve => {
                let name = self.alarm_name()?;
                let for_s = if self.takes("once") {
                    None
                } else {
                    match self.for_time()? {
                        Some(for_s) => Some(for_s),
                        None => return self.missing("for 20 min, or once"),
                    }
                };
                let deed = AlarmDeed::Shelve { for_s };
                vec![(Act::Alarm { name, deed }, 0)]
            }
            Verb::Unshelve => self.alarm(AlarmDeed::Unshelve)?,
            Verb::Suppress => self.alarm(AlarmDeed::Suppress)?,
            Verb::Restore => self.alarm(AlarmDeed::Restore)?,
            Verb::Reset => self.alarm(AlarmDeed::Reset)?,
            Verb::Write => {
                if self.rest.is_empty() {
                    return self.missing("what is to be written");
                }
                words = Some(std::mem::take(&mut self.rest).join(" "));
                // Whoever keeps the notes gives it its number.
                vec![(Act::Note(0), 0)]
            }
            Verb::Row => {
                let compartment = self.vessel()?;
                let routine = Routine::Readings;
                let act = Act::Sign {
                    compartment,
                    routine,
                };
                vec![(act, 0)]
            }
            Verb::Call => match self.call()? {
                Some(act) => vec![(act, 0)],
                // The hand on deck is sent by the verb that it is.
                None => return self.read(),
            },
            Verb::Ask => vec![(self.ask()?, 0)],
            Verb::Tick | Verb::Sign => {
                let (acts, name) = self.on_sheet()?;
                words = Some(name);
                acts
            }
            Verb::Take => self.sit(Sitter::Person)?,
            Verb::HandOver => self.sit(Sitter::Automatic)?,
            Verb::Leave => self.sit(Sitter::Nobody)?,
        };
        Ok(Asked {
            verb: self.row.verb,
            acts,
            words,
        })
    }

    pub(super) fn missing<T>(&self, what: &str) -> Result<T, NotUnderstood> {
        wrong(
            format!("`{}` wants {what}", self.row.name),
            Some(format!("such as `{}`", self.row.example)),
        )
    }

    /// Takes a word off the line where it stands there.
    pub(super) fn takes(&mut self, word: &str) -> bool {
        let there = self
            .rest
            .first()
            .is_some_and(|w| w.eq_ignore_ascii_case(word));
        if there {
            self.rest.remove(0);
        }
        there
    }

    /// The thing whose name the line goes on with.
    pub(super) fn named(&mut self, kind: &str, names: &[String]) -> Result<usize, NotUnderstood> {
        if self.rest.is_empty() {
            return self.missing(&format!("a {kind}"));
        }
        match find(&self.rest, names) {
            Ok((k, taken)) => {
                self.rest.drain(..taken);
                Ok(k)
            }
            Err(NotFound::Nothing(near)) => wrong(
                format!("no {kind} is called `{}`", self.rest[0]),
                Some(match near {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("there are {}", names.join(", ")),
                }),
            ),
            Err(NotFound::Several(several)) => wrong(
                format!("more than one {kind} begins with `{}`", self.rest[0]),
                Some(several.join(", ")),
            ),
        }
    }

    pub(super) fn vessel(&mut self) -> Result<CompartmentId, NotUnderstood> {
        let k = self.named("vessel", &vessels(self.scenario))?;
        Ok(CompartmentId(k as u8))
    }

    pub(super) fn door(&mut self) -> Result<DoorId, NotUnderstood> {
        let k = self.named("door", &doors(self.scenario))?;
        Ok(DoorId(k as u8))
    }

    pub(super) fn bank(&mut self) -> Result<BankId, NotUnderstood> {
        let k = self.named("bank", &banks(self.scenario))?;
        Ok(BankId(k as u8))
    }

    pub(super) fn diver(&mut self) -> Result<DiverId, NotUnderstood> {
        let k = self.named("diver", &divers(self.scenario))?;
        Ok(DiverId(k as u8))
    }

    fn line(&mut self) -> Result<LineName, NotUnderstood> {
        let k = self.named("line", &LINES.map(String::from))?;
        let at = self.vessel()?;
        Ok([
            LineName::Supply(at),
            LineName::Oxygen(at),
            LineName::Bibs(at),
            LineName::DiverMain(at),
            LineName::DiverSecondary(at),
        ][k])
    }

    fn place(&mut self) -> Result<Whereabouts, NotUnderstood> {
        if self.takes("deck") {
            return Ok(Whereabouts::Deck);
        }
        if self.takes("water") {
            return Ok(Whereabouts::Water(self.only_bell()?));
        }
        Ok(Whereabouts::In(self.vessel()?))
    }

    fn path(&mut self) -> Result<BreathingPath, NotUnderstood> {
        let k = self.named("path", &PATHS.map(String::from))?;
        Ok([
            BreathingPath::Ambient,
            BreathingPath::Main,
            BreathingPath::Secondary,
            BreathingPath::Bibs,
            BreathingPath::BailOut,
        ][k])
    }

    /// The bell that a line means: the one it names, or the only one there is.
    pub(super) fn only_bell(&mut self) -> Result<CompartmentId, NotUnderstood> {
        let steel = &self.scenario.steel;
        let mut bells = (0u8..)
            .zip(&steel.compartments)
            .filter(|(_, c)| c.bell.is_some())
            .map(|(i, _)| CompartmentId(i));
        let first = bells.next();
        let others = bells.next().is_some();
        match first {
            Some(bell) if !others => {
                if find(&self.rest, &vessels(self.scenario)) == Ok((bell.index(), 1)) {
                    self.rest.remove(0);
                }
                Ok(bell)
            }
            _ => self.vessel(),
        }
    }

    fn opening(&mut self) -> Result<f64, NotUnderstood> {
        let Some(word) = self.rest.first().copied() else {
            return self.missing("an opening");
        };
        let by_word = match word.to_lowercase().as_str() {
            "shut" => Some(0.0),
            "crack" => Some(CRACK),
            "quarter" => Some(0.25),
            "half" => Some(0.5),
            "full" | "open" => Some(1.0),
            _ => None,
        };
        if let Some(opening) = by_word {
            self.rest.remove(0);
            return Ok(opening);
        }
        let number = word.trim_end_matches('%');
        let Ok(percent) = number.parse::<f64>() else {
            return wrong(
                format!("`{word}` is no opening"),
                Some("percent, or crack, quarter, half, full, shut".into()),
            );
        };
        self.rest.remove(0);
        self.takes("%");
        if !(0.0..=100.0).contains(&percent) {
            return wrong(
                format!("a valve does not open {percent} %"),
                Some("0 to 100 %".into()),
            );
        }
        Ok(percent / 100.0)
    }

    fn one_of(&mut self, yes: &str, no: &str) -> Result<bool, NotUnderstood> {
        if self.takes(yes) {
            return Ok(true);
        }
        if self.takes(no) {
            return Ok(false);
        }
        self.missing(&format!("`{yes}` or `{no}`"))
    }

    fn on_off(&mut self) -> Result<bool, NotUnderstood> {
        self.one_of("on", "off")
    }

    fn open_shut(&mut self) -> Result<bool, NotUnderstood> {
        self.one_of("open", "shut")
    }

    /// A quantity with its unit: a number that a unit may follow as a word of its own.
    fn quantity<T: std::str::FromStr>(&mut self, kind: &str, unit: &str) -> Result<T, NotUnderstood>
    where
        T::Err: std::fmt::Display,
    {
        let Some(first) = self.rest.first().copied() else {
            return self.missing(kind);
        };
        if let Some(second) = self.rest.get(1)
            && let Ok(value) = format!("{first} {second}").parse::<T>()
        {
            self.rest.drain(..2);
            return Ok(value);
        }
        let bare = first.parse::<f64>().is_ok();
        if let Some(second) = self.rest.get(1)
            && bare
            && second.starts_with(|c: char| c.is_alphabetic())
            && !["for", "band"].contains(second)
            && let Err(error) = format!("{first} {second}").parse::<T>()
        {
            return wrong(
                format!("`{first} {second}` is not {kind}: {error}"),
                Some(format!("such as `{}`", self.row.example)),
            );
        }
        let text = if bare {
            format!("{first} {unit}")
        } else {
            first.to_owned()
        };
        match text.parse::<T>() {
            Ok(value) => {
                self.rest.remove(0);
                Ok(value)
            }
            Err(error) => wrong(
                format!("`{first}` is not {kind}: {error}"),
                Some(format!("such as `{}`", self.row.example)),
            ),
        }
    }

    fn for_time(&mut self) -> Result<Option<i64>, NotUnderstood> {
        if !self.takes("for") {
            return Ok(None);
        }
        let time: Duration = self.quantity("a time", "s")?;
        Ok(Some(time.0))
    }

    fn valve(
        &mut self,
        valve: impl Fn(CompartmentId) -> ValveName,
        purpose: Purpose,
    ) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let at = self.vessel()?;
        let purpose = match self.scenario.steel.compartments[at.index()].kind {
            CompartmentKind::Bell | CompartmentKind::Trunk
                if matches!(purpose, Purpose::MakeUp | Purpose::BlowDown) =>
            {
                Purpose::BellAndTrunk
            }
            _ => purpose,
        };
        let opening = self.opening()?;
        self.set(valve(at), opening, purpose, None)
    }

    /// What an exhaust lets out for.
    fn vented_for(&self, at: CompartmentId) -> Purpose {
        match self.scenario.steel.compartments[at.index()].kind {
            CompartmentKind::Bell | CompartmentKind::Trunk => Purpose::TrunkVent,
            CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock => Purpose::LockRun,
            CompartmentKind::Living
            | CompartmentKind::Transfer
            | CompartmentKind::Rescue
            | CompartmentKind::HoldingTank
            | CompartmentKind::ReclaimTank => Purpose::Bleed,
        }
    }

    fn set(
        &self,
        valve: ValveName,
        opening: f64,
        purpose: Purpose,
        for_s: Option<i64>,
    ) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        if self.seen.handle(valve).is_none() {
            use deepstay_core::words::Names;
            return wrong(
                format!("there is no valve `{}`", self.scenario.valve(valve)),
                None,
            );
        }
        let order = |opening| {
            Act::Order(Order::Steel(SteelOrder::Valve {
                valve,
                opening,
                purpose,
            }))
        };
        let mut acts = vec![(order(opening), 0)];
        acts.extend(for_s.map(|s| (order(0.0), s)));
        Ok(acts)
    }

    fn stop(&self, at: CompartmentId) -> Vec<(Act, i64)> {
        let valves = [
            (ValveName::BlowDown(at), Purpose::MakeUp),
            (ValveName::Oxygen(at), Purpose::Oxygen),
            (ValveName::Bleed(at), Purpose::Bleed),
            (ValveName::Exhaust(at), self.vented_for(at)),
            (ValveName::Drain(at), Purpose::Flush),
        ];
        let there = valves
            .into_iter()
            .filter(|(valve, _)| self.seen.handle(*valve).is_some());
        there
            .map(|(valve, purpose)| {
                let order = SteelOrder::Valve {
                    valve,
                    opening: 0.0,
                    purpose,
                };
                (Act::Order(Order::Steel(order)), 0)
            })
            .collect()
    }

    fn auto_oxygen(&mut self) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let compartment = self.vessel()?;
        let switch = |on| {
            Act::Order(Order::Steel(SteelOrder::Switch {
                compartment,
                machine: Machine::OxygenControl,
                on,
            }))
        };
        if self.takes("off") {
            return Ok(vec![(switch(false), 0)]);
        }
        let set: Partial = self.quantity("a ppO2, or off", "bar")?;
        let band_bar = if self.takes("band") {
            let band: Partial = self.quantity("a band of ppO2", "bar")?;
            band.0 / BAR_PA
        } else {
            BAND_BAR
        };
        let order = SteelOrder::OxygenSet {
            compartment,
            ppo2_bar: set.0 / BAR_PA,
            band_bar,
        };
        Ok(vec![
            (Act::Order(Order::Steel(order)), 0),
            (switch(true), 0),
        ])
    }

    fn switch(&mut self, machine: Machine) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let compartment = match machine {
            Machine::HotWater | Machine::Reclaim => self.only_bell()?,
            _ => self.vessel()?,
        };
        let on = self.on_off()?;
        Ok(steel(SteelOrder::Switch {
            compartment,
            machine,
            on,
        }))
    }

    fn climate(&mut self) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let compartment = self.vessel()?;
        let machine = Machine::Climate;
        for (word, on) in [("on", true), ("off", false)] {
            if self.takes(word) {
                return Ok(steel(SteelOrder::Switch {
                    compartment,
                    machine,
                    on,
                }));
            }
        }
        let t: Temperature = self.quantity("a temperature, or on or off", "degC")?;
        let before = self.seen.vessels[compartment.index()].climate_set;
        let humidity = if self.rest.is_empty() {
            before.map_or(0.5, |(_, humidity)| humidity)
        } else {
            let share: Share = self.quantity("a humidity", "%")?;
            share.0
        };
        Ok(steel(SteelOrder::ClimateSet {
            compartment,
            t_k: t.0,
            humidity,
        }))
    }

    fn instrument(&mut self) -> Result<InstrumentId, NotUnderstood> {
        let at = self.vessel()?;
        let k = self.named("quantity", &QUANTITIES.map(|(name, _)| name.to_owned()))?;
        let quantity = QUANTITIES[k].1;
        let channel = if self.takes("second") {
            Channel::Secondary
        } else {
            Channel::Primary
        };
        match self.scenario.steel.instrument(at, quantity, channel) {
            Some(id) => Ok(id),
            None => wrong("there is no such instrument", None),
        }
    }

    /// Items of a sheet gone through, or the sheet signed.
    fn on_sheet(&mut self) -> Result<(Vec<(Act, i64)>, String), NotUnderstood> {
        let names: Vec<String> = self.sheets.names().map(str::to_owned).collect();
        let k = self.named("sheet", &names)?;
        let act = |item| {
            let sheet = u16::try_from(k).unwrap_or(u16::MAX);
            (Act::Sheet { sheet, item }, 0)
        };
        let name = names[k].clone();
        if self.row.verb == Verb::Sign {
            return Ok((vec![act(None)], name));
        }
        let count = self.sheets.items(k).len();
        if self.takes("all") {
            let items = (0..count).filter_map(|i| u16::try_from(i).ok());
            return Ok((items.map(|i| act(Some(i))).collect(), name));
        }
        let Some(word) = self.rest.first().copied() else {
            return self.missing("an item's number, or all");
        };
        let number = word.parse::<u16>().ok();
        let item = number.and_then(|n| n.checked_sub(1));
        match item.filter(|i| usize::from(*i) < count) {
            Some(item) => {
                self.rest.remove(0);
                Ok((vec![act(Some(item))], name))
            }
            None => wrong(
                format!("`{name}` has no item `{word}`"),
                Some(format!("1 to {count}, or all")),
            ),
        }
    }

    fn adjust(&mut self, part: Adjusted) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let instrument = self.instrument()?;
        if !self.takes("by") {
            return self.missing("`by` and a bank");
        }
        let bank = self.bank()?;
        Ok(steel(SteelOrder::Adjust {
            instrument,
            bank,
            part,
        }))
    }

    fn sample_point(&mut self) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let instrument = self.instrument()?;
        if !self.takes("from") {
            return self.missing("`from` and a vessel, or `own`");
        }
        let own = self.scenario.steel.instruments[instrument.index()].labelled;
        let from = match own {
            SamplePoint::Compartment(c) | SamplePoint::Sea(c) if self.takes("own") => c,
            _ => self.vessel()?,
        };
        Ok(steel(SteelOrder::SampleFrom { instrument, from }))
    }

    fn bibs(&mut self) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let vessels = vessels(self.scenario);
        let who: Vec<DiverId> = if find(&self.rest, &vessels).is_ok() {
            let at = self.vessel()?;
            self.seen.divers_in(at).collect()
        } else {
            vec![self.diver()?]
        };
        let path = if self.on_off()? {
            BreathingPath::Bibs
        } else {
            BreathingPath::Ambient
        };
        if who.is_empty() {
            return wrong("nobody is known to be in there", None);
        }
        let order = |diver| {
            (
                Act::Order(Order::People(PeopleOrder::Breathe { diver, path })),
                0,
            )
        };
        Ok(who.into_iter().map(order).collect())
    }

    fn bell(&mut self) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let bell = self.only_bell()?;
        let to_msw = if self.takes("up") {
            0.0
        } else {
            self.takes("to");
            let depth: Depth = self.quantity("a depth of the sea, or up", "msw")?;
            depth.0
        };
        Ok(steel(SteelOrder::Bell { bell, to_msw }))
    }

    fn aim(&mut self, phase: Phase) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let at = self.vessel()?;
        self.takes("to");
        self.takes("at");
        let depth: Depth = self.quantity("a depth", "msw")?;
        Ok(self.aims(at, phase, depth.0))
    }

    /// Every chamber of the level that a vessel belongs to is said to do it.
    fn aims(&self, at: CompartmentId, phase: Phase, depth_msw: f64) -> Vec<(Act, i64)> {
        let levels = &self.scenario.plan.levels;
        let mine = levels.iter().find(|l| l.members.contains(&at));
        let members = mine.map_or_else(|| vec![at], |l| l.members.clone());
        let aim = |compartment| Act::Aim {
            compartment,
            phase,
            depth_msw,
        };
        members.into_iter().map(|c| (aim(c), 0)).collect()
    }

    fn alarm_name(&mut self) -> Result<LimitName, NotUnderstood> {
        let Some(word) = self.rest.first().copied() else {
            return self.missing("an alarm by its number on the list");
        };
        let shelved = self.seen.shelved.iter().map(|(name, _)| *name);
        let names = self.seen.alarms.iter().map(|a| a.name).chain(shelved);
        let list: Vec<LimitName> = names.collect();
        let number = word.parse::<usize>().ok().filter(|n| *n >= 1);
        match number.and_then(|n| list.get(n - 1)) {
            Some(name) => {
                self.rest.remove(0);
                Ok(*name)
            }
            None if list.is_empty() => wrong("no alarm is on the list", None),
            None => wrong(
                format!("`{word}` is no alarm on the list"),
                Some(format!("1 to {}", list.len())),
            ),
        }
    }

    fn alarm(&mut self, deed: AlarmDeed) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let name = self.alarm_name()?;
        Ok(vec![(Act::Alarm { name, deed }, 0)])
    }

    fn sit(&mut self, sitter: Sitter) -> Result<Vec<(Act, i64)>, NotUnderstood> {
        let station = if self.one_of("saturation", "dive")? {
            Station::Saturation
        } else {
            Station::Dive
        };
        Ok(vec![(Act::Sit { station, sitter }, 0)])
    }
}

fn steel(order: SteelOrder) -> Vec<(Act, i64)> {
    vec![(Act::Order(Order::Steel(order)), 0)]
}

fn people(order: PeopleOrder) -> Vec<(Act, i64)> {
    vec![(Act::Order(Order::People(order)), 0)]
}

/// Lines by their words, in the order of their names in the trade.
pub(super) const LINES: [&str; 5] = ["supply", "oxygen", "BIBS", "main", "secondary"];
/// Paths by their words.
pub(super) const PATHS: [&str; 5] = ["bell", "main", "secondary", "BIBS", "bail-out"];
/// What instruments that can be calibrated show.
pub(super) const QUANTITIES: [(&str, Quantity); 4] = [
    ("ppO2", Quantity::PpO2),
    ("ppCO2", Quantity::PpCo2),
    ("depth", Quantity::Depth),
    ("sea", Quantity::SeaDepth),
];

/// What a lock is run for.
pub(super) const LOADS: [(&str, Routine); 3] = [
    ("meal", Routine::Meal),
    ("laundry", Routine::Laundry),
    ("stores", Routine::Stores),
];

pub(super) fn vessels(scenario: &Scenario) -> Vec<String> {
    let all = scenario.steel.compartments.iter();
    all.map(|c| c.name.clone()).collect()
}

pub(super) fn doors(scenario: &Scenario) -> Vec<String> {
    scenario
        .steel
        .doors
        .iter()
        .map(|d| d.name.clone())
        .collect()
}

pub(super) fn banks(scenario: &Scenario) -> Vec<String> {
    scenario
        .steel
        .banks
        .iter()
        .map(|b| b.name.clone())
        .collect()
}

pub(super) fn divers(scenario: &Scenario) -> Vec<String> {
    scenario.crew.iter().map(|d| d.initials.clone()).collect()
}

impl Part {
    /// What may stand in a part, word for word.
    pub(super) fn choices(
        self,
        scenario: &Scenario,
        seen: &Indicated,
        sheets: &Sheets,
    ) -> Vec<String> {
        let own = |words: &[&str]| {
            words
                .iter()
                .map(|w| (*w).to_owned())
                .collect::<Vec<String>>()
        };
        let numbers = || {
            let count = seen.alarms.len() + seen.shelved.len();
            (1..=count).map(|n| n.to_string()).collect::<Vec<String>>()
        };
        match self {
            Part::Vessel | Part::Instrument => vessels(scenario),
            Part::VesselOrDiver => [vessels(scenario), divers(scenario)].concat(),
            Part::Door => doors(scenario),
            Part::Bank => banks(scenario),
            Part::Line => own(&LINES),
            Part::Diver => divers(scenario),
            Part::Place => [vessels(scenario), own(&["water", "deck"])].concat(),
            Part::Path => own(&PATHS),
            Part::Opening => own(&["shut", "crack", "quarter", "half", "full", "10 %"]),
            Part::OnOff => own(&["on", "off"]),
            Part::OpenShut => own(&["open", "shut"]),
            Part::For => own(&["for"]),
            Part::SetOrOff => own(&["off"]),
            Part::Band => own(&["band"]),
            Part::ClimateSet => own(&["on", "off"]),
            Part::BellTo => own(&["to", "up"]),
            Part::Depth | Part::Flow | Part::Over => Vec::new(),
            Part::By => own(&["by"]),
            Part::From => own(&["from"]),
            Part::Load => LOADS.map(|(name, _)| name.to_owned()).into(),
            Part::Alarm => numbers(),
            Part::AlarmOrAll => [own(&["all"]), numbers()].concat(),
            Part::Until => own(&["for", "once"]),
            Part::Sheet => sheets.names().map(str::to_owned).collect(),
            Part::Item => own(&["all"]),
            Part::Words | Part::Call | Part::Request => Vec::new(),
            Part::Station => own(&["saturation", "dive"]),
        }
    }
}
