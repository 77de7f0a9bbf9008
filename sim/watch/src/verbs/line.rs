//! An act as the line that asks for it.

use super::calls::call_line;
use super::parse::LOADS;
use deepstay_core::order::{Order, PeopleOrder, SteelOrder};
use deepstay_core::record::{
    AlarmDeed, BreathingPath, LineName, Machine, Phase, Sitter, Station, ValveName, Whereabouts,
};
use deepstay_core::units::text::{FreeFlow, Gauge};
use deepstay_core::units::{Channel, FREE, InstrumentId, Purpose, Quantity, Units, fixed};
use deepstay_core::words::{Names, Words, limit_words};
use deepstay_job::Act;
use deepstay_plant::SamplePoint;
use deepstay_scenario::Scenario;

/// An act in the words of the order line. What an alarm is called by is its name: its number on the list changes.
pub fn in_words(act: &Act, scenario: &Scenario, words: Option<&str>) -> String {
    match *act {
        Act::Order(Order::Steel(order)) => steel(order, scenario),
        Act::Order(Order::People(order)) => people(order, scenario),
        Act::Aim {
            compartment,
            phase,
            depth_msw,
        } => {
            let at = scenario.compartment(compartment);
            let depth = Units::Metric.scale(Quantity::Depth).plain_text(depth_msw);
            match phase {
                Phase::Surface => format!("surface {at}"),
                Phase::Compression => format!("compression {at} {depth}"),
                Phase::Storage => format!("storage {at} {depth}"),
                Phase::Decompression => format!("decompression {at} {depth}"),
            }
        }
        Act::Alarm { name, deed } => {
            let at = scenario.compartment(name.compartment);
            let of = format!("{at} {}", limit_words(&name));
            match deed {
                AlarmDeed::Acknowledge => format!("ack {of}"),
                AlarmDeed::Shelve { for_s: Some(s) } => format!("shelve {of} for {s} s"),
                AlarmDeed::Shelve { for_s: None } => format!("shelve {of} once"),
                AlarmDeed::Unshelve => format!("unshelve {of}"),
                AlarmDeed::Suppress => format!("suppress {of}"),
                AlarmDeed::Restore => format!("restore {of}"),
                AlarmDeed::Reset => format!("reset {of}"),
            }
        }
        Act::AcknowledgeAll => "ack all".to_owned(),
        Act::Silence => "silence".to_owned(),
        Act::Sign { compartment, .. } => format!("row {}", scenario.compartment(compartment)),
        Act::LockRun { lock, routine } => {
            let load = LOADS.iter().find(|(_, r)| *r == routine);
            let load = load.map_or("stores", |(name, _)| *name);
            format!("lock-run {} {load}", scenario.compartment(lock))
        }
        Act::Camera { compartment } => format!("camera {}", scenario.compartment(compartment)),
        Act::Note(_) => format!("write {}", words.unwrap_or_default()),
        Act::Sheet { item, .. } => {
            let name = words.unwrap_or("a sheet");
            match item {
                Some(item) => format!("tick {name} {}", u32::from(item) + 1),
                None => format!("sign {name}"),
            }
        }
        Act::Sit { station, sitter } => {
            let station = match station {
                Station::Dive => "dive",
                Station::Saturation | Station::Student | Station::Script => "saturation",
            };
            match sitter {
                Sitter::Person => format!("take {station}"),
                Sitter::Automatic => format!("hand-over {station}"),
                Sitter::Nobody => format!("leave {station}"),
            }
        }
        Act::Call { to, phrase } => call_line(to, phrase, scenario),
        Act::Fault(_) => "something goes wrong".to_owned(),
        Act::Cure(k) => format!("fault {} put right", k + 1),
    }
}

/// An opening as it is said.
fn opening(opening: f64) -> String {
    if opening == 0.0 {
        return "shut".to_owned();
    }
    let percent = opening * 100.0;
    let digits = if percent < 10.0 { 1 } else { 0 };
    let text = fixed(percent, digits);
    let text = text.strip_suffix(".0").unwrap_or(&text);
    format!("{text} %")
}

fn on_off(on: bool) -> &'static str {
    if on { "on" } else { "off" }
}

fn line(line: LineName, scenario: &Scenario) -> String {
    let of = match line {
        LineName::Supply(_) => "supply",
        LineName::Oxygen(_) => "oxygen",
        LineName::Bibs(_) => "BIBS",
        LineName::DiverMain(_) => "main",
        LineName::DiverSecondary(_) => "secondary",
    };
    format!("{of} {}", scenario.compartment(line.compartment()))
}

fn steel(order: SteelOrder, scenario: &Scenario) -> String {
    let at = |c| scenario.compartment(c);
    match order {
        SteelOrder::Valve {
            valve,
            opening: by,
            purpose,
        } => {
            let (verb, of) = match valve {
                ValveName::BlowDown(c) if purpose == Purpose::MakeUp => ("make-up", at(c)),
                ValveName::BlowDown(c) => ("blow-down", at(c)),
                ValveName::Oxygen(c) => ("oxygen", at(c)),
                ValveName::Exhaust(c) => ("exhaust", at(c)),
                ValveName::Bleed(c) => ("bleed", at(c)),
                ValveName::Drain(c) => ("drain", at(c)),
                ValveName::Equalise(d) => ("equalise", scenario.door(d)),
            };
            format!("{verb} {of} {}", opening(by))
        }
        SteelOrder::LineUp { line: l, bank } => {
            format!("line-up {} {}", line(l, scenario), scenario.bank(bank))
        }
        SteelOrder::LineOff { line: l } => format!("isolate {}", line(l, scenario)),
        SteelOrder::Door { door, open } => {
            let verb = if open { "open" } else { "shut" };
            format!("{verb} {}", scenario.door(door))
        }
        SteelOrder::Clamp { door, made } => {
            format!("clamp {} {}", scenario.door(door), on_off(made))
        }
        SteelOrder::Switch {
            compartment,
            machine,
            on,
        } => {
            let verb = match machine {
                Machine::Fan => "fan",
                Machine::Climate => "climate",
                Machine::OxygenControl => "auto-oxygen",
                Machine::HotWater => "hot-water",
                Machine::Reclaim => "reclaim",
                Machine::Recovery => "recovery",
            };
            format!("{verb} {} {}", at(compartment), on_off(on))
        }
        SteelOrder::ClimateSet {
            compartment,
            t_k,
            humidity,
        } => {
            let t = Units::Metric.scale(Quantity::Temperature).plain_text(t_k);
            let humidity = fixed(humidity * 100.0, 0);
            format!("climate {} {t} {humidity} %", at(compartment))
        }
        SteelOrder::OxygenSet {
            compartment,
            ppo2_bar,
            band_bar,
        } => format!(
            "auto-oxygen {} {} bar band {} bar",
            at(compartment),
            fixed(ppo2_bar, 3),
            fixed(band_bar, 3)
        ),
        SteelOrder::Gag { compartment, shut } => {
            let how = if shut { "shut" } else { "open" };
            format!("gag {} {how}", at(compartment))
        }
        SteelOrder::HullStop { compartment, shut } => {
            let how = if shut { "shut" } else { "open" };
            format!("hull-stop {} {how}", at(compartment))
        }
        SteelOrder::ChangeCanister { compartment } => format!("absorbent {}", at(compartment)),
        SteelOrder::Calibrate { instrument: id } => {
            format!("calibrate {}", instrument(id, scenario))
        }
        SteelOrder::Adjust {
            instrument: id,
            bank,
            part,
        } => format!(
            "{} {} by {}",
            part.words(),
            instrument(id, scenario),
            scenario.bank(bank)
        ),
        SteelOrder::SampleFrom {
            instrument: id,
            from,
        } => format!("sample {} from {}", instrument(id, scenario), at(from)),
        SteelOrder::BankStop { bank, shut } => {
            let how = if shut { "shut" } else { "open" };
            format!("bank-stop {} {how}", scenario.bank(bank))
        }
        SteelOrder::Regulator { line: l, over_pa } => {
            format!("regulator {} {}", line(l, scenario), Gauge(over_pa))
        }
        SteelOrder::Trickle { compartment, mol_s } => {
            let flow = FreeFlow(mol_s / FREE.mol_per_m3());
            format!("trickle {} {flow}", at(compartment))
        }
        SteelOrder::Analyse { bank } => format!("analyse {}", scenario.bank(bank)),
        SteelOrder::Bell { bell, to_msw } if to_msw > 0.0 => format!(
            "bell {} to {}",
            at(bell),
            Units::Metric.scale(Quantity::Depth).plain_text(to_msw)
        ),
        SteelOrder::Bell { bell, .. } => format!("bell {} up", at(bell)),
    }
}

fn instrument(id: InstrumentId, scenario: &Scenario) -> String {
    let Some(plate) = scenario.steel.instruments.get(id.index()) else {
        return "?".to_owned();
    };
    let second = match plate.channel {
        Channel::Primary => "",
        Channel::Secondary => " second",
    };
    let of = match plate.labelled {
        SamplePoint::Compartment(c) | SamplePoint::Sea(c) => scenario.compartment(c),
        SamplePoint::Bank(b) => scenario.bank(b),
    };
    let quantity = match plate.quantity {
        Quantity::SeaDepth => "sea",
        other => other.words(),
    };
    format!("{of} {quantity}{second}")
}

fn people(order: PeopleOrder, scenario: &Scenario) -> String {
    let who = scenario.initials(order.diver());
    match order {
        PeopleOrder::Go { to, .. } => match to {
            Whereabouts::Deck => format!("send {who} deck"),
            Whereabouts::In(c) => format!("send {who} {}", scenario.compartment(c)),
            Whereabouts::Water(bell) => format!("send {who} water {}", scenario.compartment(bell)),
        },
        PeopleOrder::Breathe { path, .. } => match path {
            BreathingPath::Ambient => format!("breathe {who} bell"),
            BreathingPath::Main => format!("breathe {who} main"),
            BreathingPath::Secondary => format!("breathe {who} secondary"),
            BreathingPath::Bibs => format!("bibs {who} on"),
            BreathingPath::BailOut => format!("breathe {who} bail-out"),
        },
        PeopleOrder::Shower { at, .. } => format!("shower {who} {}", scenario.compartment(at)),
        PeopleOrder::ExchangeBailOut { .. } => format!("bail-out {who}"),
        PeopleOrder::InboardStop { shut, .. } => {
            let how = if shut { "shut" } else { "open" };
            format!("inboard-stop {who} {how}")
        }
        PeopleOrder::Do { activity, .. } => format!("{who}: {activity:?}"),
    }
}
