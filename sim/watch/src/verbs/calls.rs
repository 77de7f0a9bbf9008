//! Calls in the order line: who may be called, what can be said to whom, and what belongs to the other station and is
//! asked for; read, said back and offered.

use super::parse::{NotUnderstood, Reader, banks, divers, doors, verb_of, vessels, wrong};
use crate::names::find;
use deepstay_core::order::Order;
use deepstay_core::record::{Callee, Phrase, PhraseKind, Request, ValveName};
use deepstay_core::units::*;
use deepstay_core::words::Names;
use deepstay_job::{Act, Indicated, belongs_to};
use deepstay_scenario::Scenario;

/// Those outside the chambers, by their words.
const OTHERS: [(&str, Callee); 6] = [
    ("saturation", Callee::SaturationControl),
    ("dive", Callee::DiveControl),
    ("bridge", Callee::Bridge),
    ("superintendent", Callee::Superintendent),
    ("doctor", Callee::Doctor),
    ("deck", Callee::OutsideHand),
];
/// What the hand on deck does has verbs of its own.
const OF_DECK: [&str; 3] = ["hull-stop", "gag", "line-up"];
/// What can be read inside and on a diver.
const READ: [(&str, Quantity); 6] = [
    ("depth", Quantity::Depth),
    ("temperature", Quantity::Temperature),
    ("humidity", Quantity::Humidity),
    ("ppO2", Quantity::PpO2),
    ("ppCO2", Quantity::PpCo2),
    ("bail-out", Quantity::GaugePressure),
];
/// The valve of a vessel.
type ValveOf = fn(CompartmentId) -> ValveName;
/// Valves of a vessel that can be felt from inside.
const VALVES: [(&str, ValveOf); 5] = [
    ("supply", ValveName::BlowDown),
    ("oxygen", ValveName::Oxygen),
    ("exhaust", ValveName::Exhaust),
    ("bleed", ValveName::Bleed),
    ("drain", ValveName::Drain),
];
/// What may be asked for.
const ASKED: [&str; 7] = ["transfer", "mate", "lower", "recall", "gas", "door", "lock"];

/// A phrase's word in the order line.
fn word(phrase: PhraseKind) -> &'static str {
    match phrase {
        PhraseKind::HowAreYou => "how-are-you",
        PhraseKind::Listen => "listen",
        PhraseKind::HeadCount => "head-count",
        PhraseKind::BibsOn => "bibs-on",
        PhraseKind::BibsOff => "bibs-off",
        PhraseKind::ReadYourGauge => "read",
        PhraseKind::CheckValve => "check",
        PhraseKind::LeaveFor => "leave-for",
        PhraseKind::ComeBack => "come-back",
        PhraseKind::OnBoardGas => "on-board-gas",
        PhraseKind::BailOut => "bail-out",
        PhraseKind::StandBy => "stand-by",
        PhraseKind::Ask => "ask",
        PhraseKind::RequestGranted => "granted",
        PhraseKind::Wait => "wait",
        PhraseKind::TreatmentAdvice => "treatment",
        PhraseKind::Abandon => "abandon",
        PhraseKind::Weather => "weather",
        PhraseKind::Position => "position",
        PhraseKind::ReadBank => "read-bank",
        PhraseKind::GasDelivery => "delivery",
        PhraseKind::Inform => "inform",
    }
}

fn own(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| (*w).to_owned()).collect()
}

/// Vessels that people go into, by their names.
fn manned(scenario: &Scenario) -> Vec<(String, CompartmentId)> {
    let all = (0u8..).map(CompartmentId).zip(&scenario.steel.compartments);
    all.filter(|(_, c)| c.kind.people_go_into())
        .map(|(id, c)| (c.name.clone(), id))
        .collect()
}

/// Everybody who can be called, by his name in the order line.
fn callees(scenario: &Scenario) -> Vec<(String, Callee)> {
    let crew = (0u8..).map(|n| Callee::Diver(DiverId(n)));
    let crew = divers(scenario).into_iter().zip(crew);
    let places = manned(scenario).into_iter();
    let others = OTHERS.iter();
    crew.chain(places.map(|(name, c)| (name, Callee::Place(c))))
        .chain(others.map(|(name, callee)| ((*name).to_owned(), *callee)))
        .collect()
}

/// What can be said to somebody, by its words in the order line.
fn phrases(callee: Callee) -> Vec<&'static str> {
    let phrases = callee.called().understands().iter();
    let of_deck = (callee == Callee::OutsideHand).then_some(OF_DECK);
    phrases
        .map(|phrase| word(*phrase))
        .chain(of_deck.into_iter().flatten())
        .collect()
}

impl Reader<'_> {
    /// Whom a line calls.
    fn callee(&mut self) -> Result<Callee, NotUnderstood> {
        let all = callees(self.scenario);
        let names: Vec<String> = all.iter().map(|(name, _)| name.clone()).collect();
        let k = self.named("person or place to call", &names)?;
        let callee = all[k].1;
        if callee.station().is_some() {
            self.takes("control");
        }
        Ok(callee)
    }

    /// A call: somebody, and what is said to him. What the hand on deck is to do is read as the verb that it is, with
    /// its row.
    pub(super) fn call(&mut self) -> Result<Option<Act>, NotUnderstood> {
        let to = self.callee()?;
        let can = phrases(to);
        let who = self.scenario.callee(to);
        let Some(said) = self.rest.first().copied() else {
            return self.missing(&format!("what to say to {who}: {}", can.join(", ")));
        };
        if to == Callee::OutsideHand && OF_DECK.contains(&said.to_lowercase().as_str()) {
            self.row = verb_of(said)?;
            self.rest.remove(0);
            return Ok(None);
        }
        let kinds = to.called().understands();
        let words: Vec<String> = kinds.iter().map(|k| word(*k).to_owned()).collect();
        let Ok((k, taken)) = find(&self.rest, &words) else {
            let makes_sense = PhraseKind::ALL.iter().any(|kind| word(*kind) == said);
            let what = if makes_sense {
                format!("`{said}` makes no sense to {who}")
            } else {
                format!("`{said}` is nothing that can be said to {who}")
            };
            return wrong(what, Some(format!("what can be is {}", can.join(", "))));
        };
        self.rest.drain(..taken);
        let phrase = self.phrase(kinds[k])?;
        Ok(Some(Act::Call { to, phrase }))
    }

    /// What is asked of the station whose it is.
    pub(super) fn ask(&mut self) -> Result<Act, NotUnderstood> {
        let request = self.request()?;
        let to = request.owner().callee();
        let to = to.expect("what is asked for belongs to a station that can be called");
        let phrase = Phrase::Ask(request);
        Ok(Act::Call { to, phrase })
    }

    fn request(&mut self) -> Result<Request, NotUnderstood> {
        let k = self.named("thing to ask for", &own(&ASKED))?;
        Ok(match ASKED[k] {
            "transfer" => Request::Transfer(self.diver()?),
            "mate" => Request::Mate(self.only_bell()?),
            "lower" => Request::Lower(self.only_bell()?),
            "recall" => Request::Recall(self.only_bell()?),
            "gas" => Request::Pressure(self.vessel()?),
            "door" => Request::Door(self.door()?),
            _ => Request::Lock(self.vessel()?),
        })
    }

    fn phrase(&mut self, kind: PhraseKind) -> Result<Phrase, NotUnderstood> {
        Ok(match kind {
            PhraseKind::HowAreYou => Phrase::HowAreYou,
            PhraseKind::Listen => Phrase::Listen,
            PhraseKind::HeadCount => Phrase::HeadCount,
            PhraseKind::BibsOn => Phrase::BibsOn,
            PhraseKind::BibsOff => Phrase::BibsOff,
            PhraseKind::ReadYourGauge => {
                let names = READ.map(|(name, _)| name.to_owned());
                let k = self.named("gauge to read", &names)?;
                Phrase::ReadYourGauge(READ[k].1)
            }
            PhraseKind::CheckValve => Phrase::CheckValve(self.valve_to_check()?),
            PhraseKind::LeaveFor => {
                let all = manned(self.scenario);
                let names: Vec<String> = all.iter().map(|(name, _)| name.clone()).collect();
                let k = self.named("vessel that people go into", &names)?;
                Phrase::LeaveFor(all[k].1)
            }
            PhraseKind::ComeBack => Phrase::ComeBack,
            PhraseKind::OnBoardGas => Phrase::OnBoardGas,
            PhraseKind::BailOut => Phrase::BailOut,
            PhraseKind::StandBy => Phrase::StandBy,
            PhraseKind::Ask => Phrase::Ask(self.request()?),
            PhraseKind::RequestGranted => Phrase::RequestGranted,
            PhraseKind::Wait => Phrase::Wait,
            PhraseKind::TreatmentAdvice => Phrase::TreatmentAdvice,
            PhraseKind::Abandon => Phrase::Abandon,
            PhraseKind::Weather => Phrase::Weather,
            PhraseKind::Position => Phrase::Position,
            PhraseKind::ReadBank => Phrase::ReadBank(self.bank()?),
            PhraseKind::GasDelivery => Phrase::GasDelivery,
            PhraseKind::Inform => Phrase::Inform,
        })
    }

    fn valve_to_check(&mut self) -> Result<ValveName, NotUnderstood> {
        let valve = if self.takes("equalise") {
            ValveName::Equalise(self.door()?)
        } else {
            let names = VALVES.map(|(name, _)| name.to_owned());
            let k = self.named("valve (or equalise and a door)", &names)?;
            (VALVES[k].1)(self.vessel()?)
        };
        match self.seen.handle(valve) {
            Some(_) => Ok(valve),
            None => wrong(
                format!("there is no valve `{}`", self.scenario.valve(valve)),
                None,
            ),
        }
    }
}

/// A request as the order line asks for it, after its verb.
fn request_line(request: Request, scenario: &Scenario) -> String {
    match request {
        Request::Transfer(d) => format!("transfer {}", scenario.initials(d)),
        Request::Mate(c) => format!("mate {}", scenario.compartment(c)),
        Request::Lower(c) => format!("lower {}", scenario.compartment(c)),
        Request::Recall(c) => format!("recall {}", scenario.compartment(c)),
        Request::Pressure(c) => format!("gas {}", scenario.compartment(c)),
        Request::Door(d) => format!("door {}", scenario.door(d)),
        Request::Lock(c) => format!("lock {}", scenario.compartment(c)),
    }
}

/// A call as the line that gives it.
pub(super) fn call_line(to: Callee, phrase: Phrase, scenario: &Scenario) -> String {
    if let (Phrase::Ask(request), Some(station)) = (phrase, to.station())
        && station == request.owner()
    {
        return format!("ask {}", request_line(request, scenario));
    }
    let others = OTHERS.iter().find(|(_, callee)| *callee == to);
    let who = others.map_or_else(|| scenario.callee(to), |(name, _)| (*name).to_owned());
    let after = match phrase {
        Phrase::ReadYourGauge(quantity) => {
            let name = READ.iter().find(|(_, q)| *q == quantity);
            name.map_or(String::new(), |(name, _)| format!(" {name}"))
        }
        Phrase::CheckValve(valve) => format!(" {}", valve_line(valve, scenario)),
        Phrase::LeaveFor(c) => format!(" {}", scenario.compartment(c)),
        Phrase::ReadBank(bank) => format!(" {}", scenario.bank(bank)),
        Phrase::Ask(request) => format!(" {}", request_line(request, scenario)),
        Phrase::HowAreYou
        | Phrase::Listen
        | Phrase::HeadCount
        | Phrase::BibsOn
        | Phrase::BibsOff
        | Phrase::ComeBack
        | Phrase::OnBoardGas
        | Phrase::BailOut
        | Phrase::StandBy
        | Phrase::RequestGranted
        | Phrase::Wait
        | Phrase::TreatmentAdvice
        | Phrase::Abandon
        | Phrase::Weather
        | Phrase::Position
        | Phrase::GasDelivery
        | Phrase::Inform => String::new(),
    };
    format!("call {who} {}{after}", word(phrase.kind()))
}

fn valve_line(valve: ValveName, scenario: &Scenario) -> String {
    let (name, c) = match valve {
        ValveName::BlowDown(c) => ("supply", c),
        ValveName::Oxygen(c) => ("oxygen", c),
        ValveName::Exhaust(c) => ("exhaust", c),
        ValveName::Bleed(c) => ("bleed", c),
        ValveName::Drain(c) => ("drain", c),
        ValveName::Equalise(door) => return format!("equalise {}", scenario.door(door)),
    };
    format!("{name} {}", scenario.compartment(c))
}

/// What an act would have to be asked for as, by a station that it does not belong to.
pub fn belongs(act: &Act, scenario: &Scenario, seen: &Indicated) -> Option<Request> {
    match *act {
        Act::Order(order) => asked_for(order, scenario, seen),
        Act::Aim { compartment, .. } => Some(Request::Pressure(compartment)),
        Act::LockRun { lock, .. } => Some(Request::Lock(lock)),
        Act::Call { .. }
        | Act::Camera { .. }
        | Act::Sheet { .. }
        | Act::Alarm { .. }
        | Act::AcknowledgeAll
        | Act::Silence
        | Act::Sign { .. }
        | Act::Note(_)
        | Act::Sit { .. }
        | Act::Fault(_)
        | Act::Cure(_) => None,
    }
}

fn asked_for(order: Order, scenario: &Scenario, seen: &Indicated) -> Option<Request> {
    let at = |d: DiverId| seen.divers[d.index()].at;
    belongs_to(order, &scenario.steel, at)
}

/// The line by which a station asks for what belongs to the other.
pub fn asking(request: Request, scenario: &Scenario) -> String {
    format!("ask {}", request_line(request, scenario))
}

/// How many words of a line a whole call takes.
pub(super) fn call_taken(rest: &[&str], scenario: &Scenario, seen: &Indicated) -> Option<usize> {
    taken_by(rest, &call_offers(&[], scenario, seen, true))
}

/// How many words of a line a whole request takes.
pub(super) fn request_taken(rest: &[&str], scenario: &Scenario) -> Option<usize> {
    taken_by(rest, &request_offers(scenario))
}

/// How many words the line written out takes that some words begin with.
fn taken_by(rest: &[&str], lines: &[String]) -> Option<usize> {
    let plain = |w: &&str| w.to_lowercase();
    let begins = lines.iter().filter_map(|line| {
        let own: Vec<String> = line.split_whitespace().map(str::to_lowercase).collect();
        let said = rest.iter().map(plain).take(own.len());
        said.eq(own.iter().cloned()).then_some(own.len())
    });
    begins.max()
}

/// What can follow in a call: who; then what makes sense to him; then what it is said of. `whole` gives every call that
/// can be made, and nothing that is only begun.
pub(super) fn call_offers(
    rest: &[&str],
    scenario: &Scenario,
    seen: &Indicated,
    whole: bool,
) -> Vec<String> {
    let all = callees(scenario);
    let names: Vec<String> = all.iter().map(|(name, _)| name.clone()).collect();
    let begun = find(rest, &names).ok();
    if begun.is_none() && !whole {
        return names;
    }
    let mut offers = Vec::new();
    for (k, (name, callee)) in all.iter().enumerate() {
        if begun.is_some_and(|(chosen, _)| chosen != k) {
            continue;
        }
        let said = begun.and_then(|(_, taken)| rest.get(taken).copied());
        if said.is_some_and(|s| OF_DECK.contains(&s)) {
            continue;
        }
        for kind in callee.called().understands() {
            let begins = format!("{name} {}", word(*kind));
            let objects = objects(*kind, *callee, scenario, seen);
            let chosen = whole || said.is_some_and(|s| s.eq_ignore_ascii_case(word(*kind)));
            match objects {
                Some(objects) if chosen => {
                    offers.extend(objects.iter().map(|o| format!("{begins} {o}")));
                }
                Some(_) | None => offers.push(begins),
            }
        }
        if *callee == Callee::OutsideHand && !whole {
            offers.extend(OF_DECK.map(|verb| format!("{name} {verb}")));
        }
    }
    offers
}

/// What a phrase is said of, where it is said of something.
fn objects(
    kind: PhraseKind,
    callee: Callee,
    scenario: &Scenario,
    seen: &Indicated,
) -> Option<Vec<String>> {
    match kind {
        PhraseKind::ReadYourGauge => Some(READ.map(|(name, _)| name.to_owned()).into()),
        PhraseKind::CheckValve => {
            let all = seen.vessels.iter().flat_map(|v| &v.handles);
            Some(all.map(|(v, _)| valve_line(*v, scenario)).collect())
        }
        PhraseKind::LeaveFor => Some(manned(scenario).into_iter().map(|(n, _)| n).collect()),
        PhraseKind::ReadBank => Some(banks(scenario)),
        PhraseKind::Ask => {
            let of = requests(scenario).into_iter();
            let owned = of.filter(|r| r.owner().callee() == Some(callee));
            Some(owned.map(|r| request_line(r, scenario)).collect())
        }
        PhraseKind::HowAreYou
        | PhraseKind::Listen
        | PhraseKind::HeadCount
        | PhraseKind::BibsOn
        | PhraseKind::BibsOff
        | PhraseKind::ComeBack
        | PhraseKind::OnBoardGas
        | PhraseKind::BailOut
        | PhraseKind::StandBy
        | PhraseKind::RequestGranted
        | PhraseKind::Wait
        | PhraseKind::TreatmentAdvice
        | PhraseKind::Abandon
        | PhraseKind::Weather
        | PhraseKind::Position
        | PhraseKind::GasDelivery
        | PhraseKind::Inform => None,
    }
}

/// Everything that one station may ask of the other on this spread.
fn requests(scenario: &Scenario) -> Vec<Request> {
    let crew = (0..divers(scenario).len() as u8).map(|n| Request::Transfer(DiverId(n)));
    let vessels = (0..vessels(scenario).len() as u8).map(CompartmentId);
    let of_vessel = vessels.flat_map(|c| match scenario.steel.compartments[c.index()].kind {
        CompartmentKind::Bell => vec![Request::Mate(c), Request::Lower(c), Request::Recall(c)],
        CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue => {
            vec![Request::Pressure(c)]
        }
        CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock => vec![Request::Lock(c)],
        CompartmentKind::Trunk | CompartmentKind::HoldingTank | CompartmentKind::ReclaimTank => {
            Vec::new()
        }
    });
    let doors = (0..doors(scenario).len() as u8).map(|n| Request::Door(DoorId(n)));
    crew.chain(of_vessel).chain(doors).collect()
}

/// What can be asked for, as the order line asks for it.
pub(super) fn request_offers(scenario: &Scenario) -> Vec<String> {
    let all = requests(scenario).into_iter();
    all.map(|r| request_line(r, scenario)).collect()
}
