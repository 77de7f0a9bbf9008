//! Carbon dioxide: its rise, its trend, what it is at the surface, and the absorbent that takes it up.

use super::oxygen::fall;
use crate::convention::Choice;
use crate::error::SumError;
use crate::formulas::{
    absorbent_kg, absorbent_lasts_s, mm_hg, surface_equivalent_percent, trend_reaches,
};
use crate::kind::Kind;
use crate::name::Name;
use crate::sum::{Ask, CHAMBER_TEMPERATURE, Formulas, Sum, need, usual};
use deepstay_core::Status;
use deepstay_core::units::{ATM_PA, Units};

const SIZING: Ask = usual(
    Name::Co2Rate,
    "0.5 L/min",
    "0.0177 ft3/min",
    "France, order of 30 October 2012, art. 33 (30 L/h)",
);
/// Its litres a minute, whatever the system.
fn l_min(f: &crate::frame::Frame) -> f64 {
    Kind::Flow.unit(Units::Metric).number(f.si(Name::Co2Rate))
}

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "co2-rise",
        says: "carbon dioxide partial pressure after people have breathed a chamber without scrubber for a time",
        asks: &[
            need(Name::Chamber),
            need(Name::People),
            need(Name::Time),
            usual(Name::Earlier, "0 mbar", "0 ata", "none at the start"),
            usual(
                Name::Co2Rate,
                "0.45 L/min",
                "0.0159 ft3/min",
                "0.5 L/min of oxygen at a respiratory quotient of 0.9; from memory",
            ),
            CHAMBER_TEMPERATURE,
        ],
        answers: &[Name::PpCo2],
        choices: &[Choice::Litres],
        handbook: &[],
        formula: Formulas {
            metric: "p + N q t/V",
            imperial: "p + N q t/V",
            real: "",
        },
        document: "mass balance of a closed volume",
        status: Status::Derived,
        work: |f| {
            let rise = fall(f, Name::Co2Rate);
            let to_unit = if f.metric() { 1e3 } else { 1.0 };
            Ok(vec![f.n(Name::Earlier) + rise * to_unit])
        },
        example: "chamber=18m3 people=6 time=30min",
        imperial_example: "chamber=640ft3 people=6 time=30min",
    },
    Sum {
        name: "co2-trend",
        says: "time until carbon dioxide reaches the limit at which absorbent is changed, by the trend of two readings",
        asks: &[
            need(Name::Earlier),
            need(Name::PpCo2),
            need(Name::Apart),
            usual(
                Name::Limit,
                "0.005 ata",
                "0.005 ata",
                "US Navy Diving Manual, 15-14 (stood for 1 h); read in a copy",
            ),
        ],
        answers: &[Name::Time],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "(limit - now)/(now - earlier) t",
            imperial: "(limit - now)/(now - earlier) t",
            real: "",
        },
        document: "a straight line through two readings; a spent bed climbs faster than that",
        status: Status::Derived,
        work: |f| {
            if f.si(Name::PpCo2) <= f.si(Name::Earlier) {
                return Err(SumError::Impossible(
                    "ppco2 does not rise between the two readings: the trend reaches no limit"
                        .to_owned(),
                ));
            }
            f.not_above(Name::PpCo2, Name::Limit, "the limit is passed already")?;
            Ok(vec![trend_reaches(
                f.n(Name::Earlier),
                f.n(Name::PpCo2),
                f.n(Name::Apart),
                f.n(Name::Limit),
            )])
        },
        example: "earlier=2.1mbar ppco2=2.9mbar apart=3h",
        imperial_example: "earlier=0.0021ata ppco2=0.0029ata apart=3h",
    },
    Sum {
        name: "co2-equivalent",
        says: "carbon dioxide as surface equivalent value and in millimetres of mercury",
        asks: &[need(Name::PpCo2)],
        answers: &[Name::Sev, Name::Mercury],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "100 p/1.01325 %; 760 p/1.01325 mmHg, p in bar",
            imperial: "100 p %; 760 p mmHg, p in ata",
            real: "",
        },
        document: "US Navy Diving Manual, 15-14: 0.005 ata = 0.5 % = 3.8 mmHg",
        status: Status::Seen,
        work: |f| {
            let ata = f.si(Name::PpCo2) / ATM_PA;
            Ok(vec![surface_equivalent_percent(ata), mm_hg(ata)])
        },
        example: "ppco2=6mbar",
        imperial_example: "ppco2=0.006ata",
    },
    Sum {
        name: "absorbent-needed",
        says: "mass of absorbent that lasts people for a time",
        asks: &[
            need(Name::People),
            need(Name::Time),
            need(Name::Capacity),
            SIZING,
        ],
        answers: &[Name::Absorbent],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "N q t/c",
            imperial: "N q t/c",
            real: "",
        },
        document: "from France, order of 30 October 2012, art. 33; measured capacities 44 to 153 L/kg (Diving Hyperb Med 2016;46:92, Aviat Space Environ Med 2009;80:561)",
        status: Status::Derived,
        work: |f| {
            let kg = absorbent_kg(
                f.si(Name::People),
                l_min(f),
                f.si(Name::Time),
                f.n(Name::Capacity),
            );
            Ok(vec![Kind::Mass.unit(f.units).number(kg)])
        },
        example: "people=6 time=24h capacity=120L/kg",
        imperial_example: "people=6 time=24h capacity=120L/kg",
    },
    Sum {
        name: "absorbent-left",
        says: "time for which a canister lasts people on",
        asks: &[
            need(Name::Absorbent),
            need(Name::Capacity),
            need(Name::People),
            usual(Name::Used, "0 h", "0 h", "fresh"),
            SIZING,
        ],
        answers: &[Name::Time],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "M c/(N q) - used",
            imperial: "M c/(N q) - used",
            real: "",
        },
        document: "from France, order of 30 October 2012, art. 33; the capacity is yours",
        status: Status::Derived,
        work: |f| {
            let whole_s = absorbent_lasts_s(
                f.si(Name::Absorbent),
                f.si(Name::People),
                l_min(f),
                f.n(Name::Capacity),
            );
            if whole_s < f.si(Name::Used) {
                return Err(SumError::Impossible(format!(
                    "the canister lasts {} in all and was used for longer",
                    Kind::Time.words(whole_s, f.units)
                )));
            }
            Ok(vec![(whole_s - f.si(Name::Used)) / 60.0])
        },
        example: "absorbent=8kg capacity=120L/kg people=3 used=4h",
        imperial_example: "absorbent=18lb capacity=120L/kg people=3 used=4h",
    },
];
