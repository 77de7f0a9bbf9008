//! Oxygen of a chamber: what arrives, what is added, what people take up.

use crate::convention::Choice;
use crate::formulas::{gas_for_rise, pp_change, ppo2_after_pressing, used};
use crate::name::Name;
use crate::sum::{Ask, CHAMBER_TEMPERATURE, Formulas, How, ONE_PERSON, Sum, need, usual};
use deepstay_core::Status;

/// Oxygen of the air that a chamber holds at the surface.
pub(super) const BEFORE: Ask = Ask {
    name: Name::Before,
    how: How::AirAtSurface,
};

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "ppo2-on-arrival",
        says: "oxygen partial pressure after blow-down with a mix",
        asks: &[
            need(Name::To),
            need(Name::Mix),
            usual(Name::From, "0 msw", "0 fsw", "from the surface"),
            BEFORE,
        ],
        answers: &[Name::PpO2],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "p + f (D2 - D1)/10",
            imperial: "p + f (D2 - D1)/33",
            real: "",
        },
        document: "Dalton's law; US Navy Diving Manual, chapter 15: 20 % mix, 0.44 ata at 37.95 fsw (from memory)",
        status: Status::Derived,
        work: |f| {
            f.not_above(
                Name::From,
                Name::To,
                "blow-down goes deeper; `bleed` comes up",
            )?;
            f.within(Name::Before, f.absolute(Name::From))?;
            let (before, rise) = (f.n(Name::Before), f.span(Name::From, Name::To));
            Ok(vec![ppo2_after_pressing(before, f.si(Name::Mix), rise)])
        },
        example: "to=118msw mix=1.8%",
        imperial_example: "to=390fsw mix=1.8%",
    },
    Sum {
        name: "oxygen-to-add",
        says: "free oxygen that raises the oxygen partial pressure of a chamber",
        asks: &[need(Name::Chamber), need(Name::Rise), CHAMBER_TEMPERATURE],
        answers: &[Name::Oxygen],
        choices: &[Choice::Litres],
        handbook: &[],
        formula: Formulas {
            metric: "V dp",
            imperial: "V dp",
            real: "",
        },
        document: "Dalton's law",
        status: Status::Derived,
        work: |f| {
            let free = gas_for_rise(f.n(Name::Chamber), f.n(Name::Rise)) / f.warmth();
            Ok(vec![free / f.litre()])
        },
        example: "chamber=18m3 rise=0.04bar",
        imperial_example: "chamber=640ft3 rise=0.04ata",
    },
    Sum {
        name: "metabolic-oxygen",
        says: "free oxygen that people take up in a time",
        asks: &[need(Name::People), need(Name::Time), ONE_PERSON],
        answers: &[Name::OxygenUsed],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "N q t",
            imperial: "N q t",
            real: "",
        },
        document: "France, order of 30 October 2012, art. 33",
        status: Status::Seen,
        work: |f| Ok(vec![by_people(f, Name::OxygenRate)]),
        example: "people=6 time=12h",
        imperial_example: "people=6 time=12h",
    },
    Sum {
        name: "ppo2-fall",
        says: "oxygen partial pressure after people have breathed a closed chamber for a time",
        asks: &[
            need(Name::Chamber),
            need(Name::People),
            need(Name::Before),
            need(Name::Time),
            ONE_PERSON,
            CHAMBER_TEMPERATURE,
        ],
        answers: &[Name::PpO2],
        choices: &[Choice::Litres],
        handbook: &[],
        formula: Formulas {
            metric: "p - N q t/V",
            imperial: "p - N q t/V",
            real: "",
        },
        document: "mass balance of a closed volume",
        status: Status::Derived,
        work: |f| {
            let fall = fall(f, Name::OxygenRate);
            let left = f.n(Name::Before) - fall;
            if left < 0.0 {
                return Err(crate::error::SumError::Impossible(
                    "there is not so much oxygen in the chamber: it is gone before that time"
                        .to_owned(),
                ));
            }
            Ok(vec![left])
        },
        example: "chamber=18m3 people=6 before=0.42bar time=6h",
        imperial_example: "chamber=640ft3 people=6 before=0.44ata time=6h",
    },
];

/// What people take up or give off in the time, m3 or ft3 of free gas.
fn by_people(f: &crate::frame::Frame, rate: Name) -> f64 {
    used(f.si(Name::People), f.n(rate) * f.litre(), f.n(Name::Time))
}

/// Change of a partial pressure in the chamber by people, bar or ata.
pub(super) fn fall(f: &crate::frame::Frame, rate: Name) -> f64 {
    pp_change(by_people(f, rate), f.warmth(), f.n(Name::Chamber))
}
