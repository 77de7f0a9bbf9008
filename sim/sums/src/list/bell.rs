//! The bell's supply, its on-board gas, and the bail-out.

use crate::convention::Choice;
use crate::error::SumError;
use crate::formulas::{
    ascent_min, bottom_and_ascent, lasts, manifold_minimum_psi, sealed_gauge, step_time,
    supply_minimum,
};
use crate::frame::Frame;
use crate::kind::Kind;
use crate::name::Name;
use crate::sum::{
    Ask, Formulas, MIX, NITROGEN, ONE_PERSON, SURFACE, Sum, TEMPERATURE, need, only, usual,
};
use deepstay_core::Status;

const ALLOWANCE: Ask = usual(
    Name::Allowance,
    "10 bar",
    "185 psi",
    "school exercise (10 bar); US Navy Diving Manual, 15-8 (185 psi over bottom)",
);
const BAIL_OUT: Ask = usual(
    Name::Breathing,
    "40 L/min",
    "1.4 ft3/min",
    "Brazil, NORMAM-222 of January 2025; US Navy Diving Manual, 15-8",
);
const ONE: Ask = usual(Name::Bottles, "1", "1", "one bottle");

/// The regulator's allowance as the convention has it, bar or psi.
fn allowance(f: &Frame) -> f64 {
    if f.convention.is_hand(Choice::Allowance) {
        f.n(Name::Allowance)
    } else {
        0.0
    }
}

/// Gas of bottles that a regulator delivers at a depth, m3 or ft3: metric as the school, ambient taken off in absolute bar;
/// imperial as the handbook, down to its least manifold pressure.
fn delivered(f: &Frame) -> Result<f64, SumError> {
    let fill = f.n(Name::Gauge);
    // Real gas is counted from absolute pressure as it is.
    let one = if f.real() { 0.0 } else { f.plus_one() };
    let (from, to) = if f.metric() {
        let ambient = if f.real() {
            f.depth_gauge(Name::Depth)
        } else {
            f.absolute(Name::Depth)
        };
        (fill + one, sealed_gauge(allowance(f), ambient))
    } else {
        let least =
            if f.convention.is_hand(Choice::Rounding) && f.convention.is_hand(Choice::Pressure) {
                manifold_minimum_psi(f.n(Name::Depth), allowance(f))
            } else {
                sealed_gauge(allowance(f), f.depth_gauge(Name::Depth))
            };
        (fill, least)
    };
    if from <= to {
        return Err(SumError::Impossible(format!(
            "the bottles at {} deliver nothing at {}: ambient and allowance are {}",
            Kind::Gauge.words(f.si(Name::Gauge), f.units),
            Kind::Depth.words(f.si(Name::Depth), f.units),
            Kind::Gauge.words(Kind::Gauge.unit(f.units).si(to), f.units)
        )));
    }
    let drawn = f.drawn(from, to, Name::Mix)?;
    let over = if f.metric() { 0.0 } else { one };
    Ok(drawn + over * f.si(Name::Bottles) * f.n(Name::BottleVolume))
}

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "supply-pressure",
        says: "what the supply gauge must read for a supply set over ambient",
        asks: &[need(Name::OverBottom), need(Name::Depth)],
        answers: &[Name::Reading],
        choices: &[Choice::SealedGauge, Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "sealed gauge: p_over + D/10; gauge open to ambient: p_over",
            imperial: "sealed gauge: p_over + 0.445 D; gauge open to ambient: p_over",
            real: "",
        },
        document: "safety flash on a diver's lost gas: bell at 85 msw, 12 bar over ambient, 20.5 bar",
        status: Status::Seen,
        work: |f| {
            let over = f.n(Name::OverBottom);
            Ok(vec![match f.convention.is_hand(Choice::SealedGauge) {
                true => sealed_gauge(over, f.depth_gauge(Name::Depth)),
                false => over,
            }])
        },
        example: "over-bottom=14bar depth=118msw",
        imperial_example: "over-bottom=190psi depth=390fsw",
    },
    Sum {
        name: "on-board-gas",
        says: "how long the bell's on-board gas lasts",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::Depth),
            need(Name::Divers),
            BAIL_OUT,
            ALLOWANCE,
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Time, Name::Gas],
        choices: &[
            Choice::Gas,
            Choice::Pressure,
            Choice::Allowance,
            Choice::PlusOne,
        ],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p - P - p_allowance)/(n q P)",
            imperial: "N FV (p - 0.445 D - p_allowance)/14.7/(n q P)",
            real: "N V (r(p) - r(heel))/(n q r(P)), heel D/10 + p_allowance",
        },
        document: "Brazil, NORMAM-222 of January 2025; US Navy Diving Manual, 15-8",
        status: Status::Derived,
        work: |f| {
            let gas = delivered(f)?;
            let minute = f.breathed(Name::Breathing, Name::Depth, Name::Mix)?;
            Ok(vec![lasts(gas, f.si(Name::Divers) * minute), gas])
        },
        example: "bottles=4 volume=50L gauge=180bar depth=118msw divers=3",
        imperial_example: "bottles=4 volume=1.6ft3 gauge=2600psi depth=390fsw divers=3",
    },
    Sum {
        name: "bail-out",
        says: "how long a bail-out lasts at a depth, and the gas it gives",
        asks: &[
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::Depth),
            ONE,
            BAIL_OUT,
            ALLOWANCE,
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Time, Name::Gas],
        choices: &[
            Choice::Gas,
            Choice::Pressure,
            Choice::Allowance,
            Choice::PlusOne,
            Choice::Rounding,
        ],
        handbook: &[Choice::PlusOne],
        formula: Formulas {
            metric: "N V (p - P - p_allowance)/(q P)",
            imperial: "N FV ((p - least) + 14.7)/14.7/(q P), least = 0.445 D + p_allowance",
            real: "N V (r(p) - r(heel))/(q r(P)), heel D/10 + p_allowance",
        },
        document: "Brazil, NORMAM-222 of January 2025; US Navy Diving Manual, 15-8",
        status: Status::Seen,
        work: |f| {
            let gas = delivered(f)?;
            let minute = f.breathed(Name::Breathing, Name::Depth, Name::Mix)?;
            Ok(vec![lasts(gas, minute), gas])
        },
        example: "bottles=2 volume=12L gauge=280bar depth=118msw",
        imperial_example: "bottles=2 volume=0.42ft3 gauge=2900psi depth=390fsw",
    },
    Sum {
        name: "emergency-supply-pressure",
        says: "least bottle pressure for a time at depth and the way up",
        asks: &[
            need(Name::BottleVolume),
            need(Name::Depth),
            need(Name::BottomTime),
            need(Name::AscentRate),
            need(Name::Least),
            ONE,
            BAIL_OUT,
            SURFACE,
        ],
        answers: &[Name::Gauge, Name::Gas],
        choices: &[Choice::Rounding, Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "(q P t + q P(D/2) t_ascent)/(N V) + p_least",
            imperial: "(q P t + q P(D/2) t_ascent) 14.7/(N FV) + p_least",
            real: "",
        },
        document: "US Navy Diving Manual, Revision 4, pp. 8-2, 8-3",
        status: Status::Seen,
        work: |f| {
            let q = f.n(Name::Breathing) * f.litre();
            let middle = f.absolute_at(f.si(Name::Depth) / 2.0);
            let absolute = (f.absolute(Name::Depth), middle);
            let (bottom, up) = bottom_and_ascent(q, absolute, (f.n(Name::BottomTime), ascent(f)));
            let gas = bottom + up;
            let floodable = f.si(Name::Bottles) * f.n(Name::BottleVolume) * f.litre();
            let gauge = supply_minimum(gas, floodable, f.n(Name::Least), f.gauge_atmosphere());
            Ok(vec![gauge, gas])
        },
        example: "volume=12L depth=40msw bottom-time=3min ascent-rate=9msw/min least=15bar",
        imperial_example: "volume=0.42ft3 depth=130fsw bottom-time=3min ascent-rate=30fsw/min least=150psi",
    },
    Sum {
        name: "ascent-time",
        says: "time to come up at a rate",
        asks: &[need(Name::Depth), need(Name::AscentRate)],
        answers: &[Name::Time],
        choices: &[Choice::Rounding],
        handbook: &[],
        formula: Formulas {
            metric: "D/r, up to the next whole minute",
            imperial: "D/r, up to the next whole minute",
            real: "",
        },
        document: "US Navy Diving Manual, Revision 4, p. 8-3",
        status: Status::Seen,
        work: |f| Ok(vec![ascent(f)]),
        example: "depth=40msw ascent-rate=9msw/min",
        imperial_example: "depth=130fsw ascent-rate=30fsw/min",
    },
    Sum {
        name: "on-board-oxygen",
        says: "how long on-board oxygen lasts the people in the bell",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::People),
            usual(Name::ChangeOver, "0 bar", "0 psi", "all of it"),
            ONE_PERSON,
            only(Choice::Gas, Name::Mix, "100 %", "100 %", "oxygen"),
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Time, Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p - p_change-over)/(n q)",
            imperial: "N FV (p - p_change-over)/14.7/(n q)",
            real: "N V (r(p) - r(p_change-over))/(n q) by the density virial",
        },
        document: "bookkeeping over gas-available",
        status: Status::Derived,
        work: |f| {
            let gas = f.available()?;
            let minute = f.si(Name::People) * f.n(Name::OxygenRate) * f.litre();
            Ok(vec![lasts(gas, minute), gas])
        },
        example: "bottles=2 volume=50L gauge=150bar people=3",
        imperial_example: "bottles=2 volume=1.6ft3 gauge=2200psi people=3",
    },
];

/// Minutes of an ascent, rounded up where the handbook does.
fn ascent(f: &Frame) -> f64 {
    let (depth, per_min) = (f.n(Name::Depth), f.n(Name::AscentRate) / 60.0);
    if f.convention.is_hand(Choice::Rounding) {
        ascent_min(depth, per_min)
    } else {
        step_time(depth, per_min)
    }
}
