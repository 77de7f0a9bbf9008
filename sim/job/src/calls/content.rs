//! What is answered, made at the second at which it is said: of what whoever answers feels, hears, sees and can do
//! there, or of nothing where the answer is wrong.

use super::book::Due;
use super::grants::{self, granted};
use crate::people::People;
use crate::random::Streams;
use deepstay_core::order::{Order, PeopleOrder, SteelOrder};
use deepstay_core::record::{
    Answer, BreathingPath, Callee, Fitness, LineName, Phrase, Refused, Request, Spoken, ValveName,
    Whereabouts, heads,
};
use deepstay_core::units::*;
use deepstay_core::words::{Names, Words};
use deepstay_crew::voices::{Gauge, Manner};
use deepstay_plant::{Plant, leaks_m2, lets_by};
use deepstay_scenario::Scenario;

/// What somebody who answers has round him.
pub struct Around<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// The plant.
    pub plant: &'a Plant,
    /// The people.
    pub people: &'a People,
    /// The other station, as it knows the ship.
    pub known: grants::Board<'a>,
    /// The second.
    pub now_s: i64,
}

/// What comes of a call.
#[derive(Clone, Debug, PartialEq)]
pub enum Meant {
    /// Nothing: he cannot answer any more.
    Nothing,
    /// Something is said.
    Says(Answer),
    /// Something is done, and then said; or it is said why it cannot be done.
    Does(Vec<Order>, Answer),
    /// The other station grants what was asked for.
    Grants(Request),
}

/// What an answer is.
pub fn meant(due: &Due, around: &Around) -> Meant {
    match due.from {
        Callee::Diver(diver) => {
            if around.people.crew.fitness(diver) > Fitness::Confused {
                return Meant::Nothing;
            }
            match due.manner {
                Manner::Right | Manner::Late => right(diver, due, around),
                Manner::Wrong => Meant::Says(wrong(diver, due, around)),
                Manner::Nothing => Meant::Nothing,
            }
        }
        Callee::DiveControl
        | Callee::SaturationControl
        | Callee::OutsideHand
        | Callee::Bridge
        | Callee::Superintendent
        | Callee::Doctor
        | Callee::Place(_) => of_others(due, around),
    }
}

/// What is so, as far as he can tell; or what he was told to do.
fn right(diver: DiverId, due: &Due, around: &Around) -> Meant {
    let crew = &around.people.crew;
    let at = crew.whereabouts(diver);
    let breathes = |path| {
        let order = PeopleOrder::Breathe { diver, path };
        Meant::Does(vec![Order::People(order)], Answer::Done)
    };
    let goes = |to: CompartmentId| {
        let to = Whereabouts::In(to);
        let order = PeopleOrder::Go { diver, to };
        Meant::Does(vec![Order::People(order)], Answer::Done)
    };
    match due.phrase {
        Phrase::HowAreYou => Meant::Says(Answer::Is(feels(diver, around))),
        Phrase::Listen => Meant::Says(Answer::Noise(hears_gas(at, around))),
        Phrase::HeadCount => Meant::Says(Answer::Heads(with_him(diver, around))),
        Phrase::BibsOn => breathes(BreathingPath::Bibs),
        Phrase::BibsOff => breathes(BreathingPath::Ambient),
        Phrase::BailOut => breathes(BreathingPath::BailOut),
        Phrase::OnBoardGas => on_board_gas(diver, at, around),
        Phrase::ReadYourGauge(quantity) => Meant::Says(match reads(diver, quantity, around) {
            Some((value, gauge)) => Answer::Reads(quantity, to_the_step(value, gauge, quantity)),
            None => Answer::NoGauge(quantity),
        }),
        Phrase::CheckValve(valve) => check_valve(diver, valve, at, around),
        Phrase::LeaveFor(c) => goes(c),
        Phrase::ComeBack => match at {
            Whereabouts::Water(bell) => goes(bell),
            Whereabouts::In(_) | Whereabouts::Deck => {
                goes(around.scenario.crew[diver.index()].chamber)
            }
        },
        Phrase::StandBy | Phrase::RequestGranted | Phrase::Wait => Meant::Says(Answer::Understood),
        Phrase::Ask(_)
        | Phrase::TreatmentAdvice
        | Phrase::Abandon
        | Phrase::Weather
        | Phrase::Position
        | Phrase::ReadBank(_)
        | Phrase::GasDelivery
        | Phrase::Inform => Meant::Says(Answer::Silly),
    }
}

/// What is not so; and whatever he says is done, is not.
fn wrong(diver: DiverId, due: &Due, around: &Around) -> Answer {
    let [first, second] = due.variates;
    let at = around.people.crew.whereabouts(diver);
    match due.phrase {
        Phrase::HowAreYou if first < 0.5 && feels(diver, around) != Spoken::Well => {
            Answer::Is(Spoken::Well)
        }
        Phrase::Listen => Answer::Noise(!hears_gas(at, around)),
        Phrase::HeadCount => {
            Answer::Heads(miscounted(with_him(diver, around), diver, [first, second]))
        }
        Phrase::ReadYourGauge(quantity) => match reads(diver, quantity, around) {
            Some((value, gauge)) => {
                let voices = &around.scenario.voices;
                let by = voices.wrong_least + first * (voices.wrong_most - voices.wrong_least);
                Answer::Reads(quantity, misread(value, gauge, quantity, by, second < 0.5))
            }
            None => Answer::Silly,
        },
        Phrase::CheckValve(_) => Answer::Valve(0.0),
        Phrase::BibsOn
        | Phrase::BibsOff
        | Phrase::LeaveFor(_)
        | Phrase::ComeBack
        | Phrase::OnBoardGas
        | Phrase::BailOut => Answer::Done,
        Phrase::HowAreYou
        | Phrase::StandBy
        | Phrase::RequestGranted
        | Phrase::Wait
        | Phrase::Ask(_)
        | Phrase::TreatmentAdvice
        | Phrase::Abandon
        | Phrase::Weather
        | Phrase::Position
        | Phrase::ReadBank(_)
        | Phrase::GasDelivery
        | Phrase::Inform => Answer::Silly,
    }
}

/// How he says he is.
fn feels(diver: DiverId, around: &Around) -> Spoken {
    let (people, plant) = (around.people, around.plant);
    let air = people.breathed_by(diver, around.now_s, plant);
    if !air.flows {
        return Spoken::NoGas;
    }
    let warm_suit = people.is_suit_warm(diver, plant);
    let complaint = people.crew.complains_of(diver, &air, warm_suit);
    complaint.unwrap_or(Spoken::Well)
}

/// Whether gas is heard to leak where somebody is: through a hole, or past a shut handle.
fn hears_gas(at: Whereabouts, around: &Around) -> bool {
    let Whereabouts::In(c) = at else { return false };
    let voices = &around.scenario.voices;
    let depth_msw = around.plant.truth(c, Quantity::Depth, around.now_s);
    depth_msw > voices.gas_rushes && leaks_m2(around.plant, c) >= voices.gas_heard
}

/// Who is where a diver is, himself among them.
fn with_him(diver: DiverId, around: &Around) -> u64 {
    let crew = &around.people.crew;
    let at = crew.whereabouts(diver);
    heads(crew.ids().filter(|d| crew.whereabouts(*d) == at))
}

/// A count that is not so: who counts forgets himself, or one of the others.
fn miscounted(bits: u64, himself: DiverId, [first, second]: [f64; 2]) -> u64 {
    let own = heads([himself]);
    let others: Vec<DiverId> = deepstay_core::record::counted(bits & !own).collect();
    let k = (second * others.len() as f64) as usize;
    match others.get(k) {
        Some(other) if first < 0.5 => bits & !heads([*other]),
        _ => bits & !own,
    }
}

/// What a gauge shows where a diver is, its own error with it, and what it is read to.
fn reads(diver: DiverId, quantity: Quantity, around: &Around) -> Option<(f64, Gauge)> {
    let (scenario, plant, now_s) = (around.scenario, around.plant, around.now_s);
    let gauge = scenario.voices.gauge(quantity)?;
    let of = scenario.initials(diver);
    if quantity == Quantity::GaugePressure {
        let bar = around.people.bail_out_bar(diver)?;
        return Some((with_error(bar, gauge, scenario, &of, quantity), gauge));
    }
    match around.people.crew.whereabouts(diver) {
        Whereabouts::In(c) if scenario.inside_gauges.contains(&quantity) => {
            let value = plant.truth(c, quantity, now_s);
            let of = scenario.compartment(c);
            Some((with_error(value, gauge, scenario, &of, quantity), gauge))
        }
        Whereabouts::Water(bell) if quantity == Quantity::Depth => {
            let value = plant.truth(bell, Quantity::SeaDepth, now_s);
            Some((with_error(value, gauge, scenario, &of, quantity), gauge))
        }
        Whereabouts::In(_) | Whereabouts::Water(_) | Whereabouts::Deck => None,
    }
}

/// A value as one gauge shows it: by its own error, which is the same for the whole job.
fn with_error(value: f64, gauge: Gauge, scenario: &Scenario, of: &str, quantity: Quantity) -> f64 {
    let name = format!("gauge inside, {of}, {}", quantity.words());
    let mut draw = Streams::new(scenario.seed).named(&name, 0);
    (value + draw.between(-gauge.error, gauge.error)).max(0.0)
}

/// Where a scale begins, in the unit of its quantity.
fn zero_of(quantity: Quantity) -> f64 {
    match quantity {
        Quantity::Temperature => ZERO_C_K,
        Quantity::Depth
        | Quantity::PpO2
        | Quantity::FO2
        | Quantity::PpCo2
        | Quantity::Humidity
        | Quantity::GaugePressure
        | Quantity::SeaDepth => 0.0,
    }
}

/// A value as it is read: to the nearest step of the scale.
fn to_the_step(value: f64, gauge: Gauge, quantity: Quantity) -> f64 {
    let zero = zero_of(quantity);
    zero + ((value - zero) / gauge.read_to).round() * gauge.read_to
}

/// A value as it is misread: by a share of it, and never by less than two steps.
fn misread(value: f64, gauge: Gauge, quantity: Quantity, by: f64, more: bool) -> f64 {
    let zero = zero_of(quantity);
    let off = ((value - zero).abs() * by).max(2.0 * gauge.read_to);
    let less = value - off;
    let wrong = if more || less < zero {
        value + off
    } else {
        less
    };
    to_the_step(wrong, gauge, quantity)
}

/// The bellman opens the on-board gas where nothing is lined up yet, and the diver goes over to it.
fn on_board_gas(diver: DiverId, at: Whereabouts, around: &Around) -> Meant {
    let steel = &around.scenario.steel;
    let (Whereabouts::In(bell) | Whereabouts::Water(bell)) = at else {
        return Meant::Says(Answer::Cannot(Refused::NotThere));
    };
    if steel.compartments[bell.index()].bell.is_none() {
        return Meant::Says(Answer::Cannot(Refused::NotThere));
    }
    let line = LineName::DiverSecondary(bell);
    let path = BreathingPath::Secondary;
    let over = Order::People(PeopleOrder::Breathe { diver, path });
    if around.known.lamps.lined_up(line).is_some() {
        return Meant::Does(vec![over], Answer::Done);
    }
    let mut banks = (0u8..).map(BankId).zip(&steel.banks);
    match banks.find(|(_, b)| b.duty == Duty::OnBoard) {
        Some((bank, _)) => {
            let open = Order::Steel(SteelOrder::LineUp { line, bank });
            Meant::Does(vec![open, over], Answer::Done)
        }
        None => Meant::Says(Answer::Cannot(Refused::NoSupply)),
    }
}

/// He goes to a valve and feels whether it is shut, and shuts it.
fn check_valve(diver: DiverId, valve: ValveName, at: Whereabouts, around: &Around) -> Meant {
    let steel = &around.scenario.steel;
    let (here, purpose) = match valve {
        ValveName::BlowDown(c) => (vec![c], Purpose::MakeUp),
        ValveName::Oxygen(c) => (vec![c], Purpose::Oxygen),
        ValveName::Exhaust(c) | ValveName::Bleed(c) => (vec![c], Purpose::Bleed),
        ValveName::Drain(c) => (vec![c], Purpose::Flush),
        ValveName::Equalise(door) => {
            let plate = &steel.doors[door.index()];
            let ends = [Some(plate.a), plate.b].into_iter().flatten();
            (ends.collect(), Purpose::Transfer)
        }
    };
    if !here.iter().any(|c| at == Whereabouts::In(*c)) {
        return Meant::Says(Answer::Cannot(Refused::NotThere));
    }
    if around.people.crew.fitness(diver) > Fitness::Slow {
        return Meant::Says(Answer::Cannot(Refused::Unfit));
    }
    let found = around.known.lamps.valve_ordered(valve);
    if found > 0.0 {
        let order = SteelOrder::Valve {
            valve,
            opening: 0.0,
            purpose,
        };
        return Meant::Does(vec![Order::Steel(order)], Answer::Valve(found));
    }
    if lets_by(around.plant, valve) && hears_gas(at, around) {
        let stop = PeopleOrder::InboardStop { diver, shut: true };
        return Meant::Does(vec![Order::People(stop)], Answer::Passes);
    }
    Meant::Says(Answer::Valve(0.0))
}

/// What those who are no divers answer.
fn of_others(due: &Due, around: &Around) -> Meant {
    let scenario = around.scenario;
    Meant::Says(match due.phrase {
        Phrase::Ask(request) => {
            return match granted(request, &around.known) {
                Ok(()) => Meant::Grants(request),
                Err(why) => Meant::Says(Answer::Waits(why)),
            };
        }
        Phrase::TreatmentAdvice => Answer::DoctorsWord,
        Phrase::Abandon => Answer::MastersWord,
        Phrase::Weather => {
            let hs_m = around.known.hs_m;
            Answer::Sea(hs_m, hs_m > scenario.site.launch_limit_hs_m)
        }
        Phrase::Position => Answer::OnPosition,
        Phrase::GasDelivery => Answer::NoDelivery,
        Phrase::ReadBank(bank) => match scenario.voices.gauge(Quantity::GaugePressure) {
            Some(gauge) => {
                let over_pa = around.plant.bank_pa(bank, around.now_s) - scenario.steel.surface_pa;
                let of = scenario.bank(bank);
                let quantity = Quantity::GaugePressure;
                let shows = with_error(over_pa / BAR_PA, gauge, scenario, &of, quantity);
                Answer::Reads(quantity, to_the_step(shows, gauge, quantity))
            }
            None => Answer::NoGauge(Quantity::GaugePressure),
        },
        Phrase::StandBy | Phrase::Inform | Phrase::RequestGranted | Phrase::Wait => {
            Answer::Understood
        }
        Phrase::HowAreYou
        | Phrase::Listen
        | Phrase::HeadCount
        | Phrase::BibsOn
        | Phrase::BibsOff
        | Phrase::ReadYourGauge(_)
        | Phrase::CheckValve(_)
        | Phrase::LeaveFor(_)
        | Phrase::ComeBack
        | Phrase::OnBoardGas
        | Phrase::BailOut => Answer::Silly,
    })
}
