//! Gas that warms or cools, the open bell, altitude, and the closed-circuit set.

use crate::convention::Choice;
use crate::error::SumError;
use crate::formulas::{
    gauge_at_temperature, lasts, sea_level_equivalent, standard_atmosphere_pa, volume_at,
};
use crate::kind::Kind;
use crate::name::Name;
use crate::sum::{Ask, Formulas, How, MIX, NITROGEN, SURFACE, Sum, need, only, usual};
use deepstay_core::Status;
use deepstay_core::gas::state;
use deepstay_core::units::FreeReference;

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "quad-temperature",
        says: "what the gauge of a shut quad shows at another temperature",
        asks: &[
            need(Name::Gauge),
            need(Name::Temperature),
            need(Name::Warmer),
            MIX,
            NITROGEN,
        ],
        answers: &[Name::Final],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "(p + 1) T2/T1 - 1, T = degC + 273",
            imperial: "(p + 14.7) T2/T1 - 14.7, T = degF + 460",
            real: "the pressure at which the density virial has the same density",
        },
        document: "Gay-Lussac's law; problems of the US Navy Diving Manual, chapter 2",
        status: Status::Recalled,
        work: |f| {
            let (from, to) = (f.kelvin(Name::Temperature), f.kelvin(Name::Warmer));
            if f.real() {
                let mix = f.mix(Name::Mix)?;
                let density = state::density_mol_m3(&mix, f.si(Name::Gauge) + f.surface_pa(), from);
                let pa = state::pressure_pa(&mix.fractions().scaled(density), 1.0, to);
                return Ok(vec![Kind::Gauge.unit(f.units).number(pa - f.surface_pa())]);
            }
            Ok(vec![gauge_at_temperature(
                f.n(Name::Gauge),
                f.gauge_atmosphere(),
                from,
                to,
            )])
        },
        example: "gauge=180bar temperature=35degC temperature-2=12degC",
        imperial_example: "gauge=2600psi temperature=95degF temperature-2=54degF",
    },
    Sum {
        name: "gas-at-temperature",
        says: "free gas that bottles hold, counted at another temperature than they stand at",
        asks: &[
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::Temperature),
            usual(
                Name::Warmer,
                "15 degC",
                "70 degF",
                "at which free gas is counted: the trade; US Navy Diving Manual, chapter 2, from memory",
            ),
            usual(Name::Bottles, "1", "1", "one bottle"),
            SURFACE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p + 1) T2/T1, T = degC + 273",
            imperial: "N FV (p + 14.7)/14.7 T2/T1, T = degF + 460",
            real: "",
        },
        document: "Boyle's and Charles's laws; problems of the US Navy Diving Manual, chapter 2",
        status: Status::Recalled,
        work: |f| {
            let floodable = f.si(Name::Bottles) * f.n(Name::BottleVolume) * f.litre();
            let (stands, counted) = (f.kelvin(Name::Temperature), f.kelvin(Name::Warmer));
            let absolute = f.absolute_of(Name::Gauge);
            Ok(vec![volume_at(floodable, absolute, 1.0, stands, counted)])
        },
        example: "bottles=16 volume=50L gauge=180bar temperature=35degC",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=2600psi temperature=95degF",
    },
    Sum {
        name: "open-bell",
        says: "gas volume of an open bell at another depth and temperature",
        asks: &[
            need(Name::Bell),
            need(Name::To),
            usual(Name::From, "0 msw", "0 fsw", "from the surface"),
            usual(
                Name::Temperature,
                "15 degC",
                "59 degF",
                "no source; cancels unless temperature-2 is given",
            ),
            Ask {
                name: Name::Warmer,
                how: How::As(Name::Temperature),
            },
            SURFACE,
        ],
        answers: &[Name::GasLeft],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "V P1/P2 T2/T1, T = degC + 273",
            imperial: "V P1/P2 T2/T1, T = degF + 460",
            real: "",
        },
        document: "Boyle's and Charles's laws; problems of the US Navy Diving Manual, chapter 2",
        status: Status::Recalled,
        work: |f| {
            Ok(vec![volume_at(
                f.n(Name::Bell),
                f.absolute(Name::From),
                f.absolute(Name::To),
                f.kelvin(Name::Temperature),
                f.kelvin(Name::Warmer),
            )])
        },
        example: "bell=5m3 to=40msw",
        imperial_example: "bell=180ft3 to=130fsw",
    },
    Sum {
        name: "altitude-depth",
        says: "depth at sea level that a depth at altitude is worth",
        asks: &[need(Name::Depth), need(Name::Barometer)],
        answers: &[Name::Equivalent],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "D 1.01325 bar/p",
            imperial: "D 1 ata/p",
            real: "",
        },
        document: "US Navy Diving Manual, altitude diving: from memory, not verified",
        status: Status::Recalled,
        work: |f| {
            let barometer = f.si(Name::Barometer);
            Ok(vec![sea_level_equivalent(f.n(Name::Depth), barometer)])
        },
        example: "depth=30msw barometer=800mbar",
        imperial_example: "depth=100fsw barometer=0.8ata",
    },
    Sum {
        name: "barometer",
        says: "pressure of the standard atmosphere at a height",
        asks: &[need(Name::Altitude)],
        answers: &[Name::Barometer],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "1.01325 (1 - 0.0065 h/288.15)^5.25588, h in m",
            imperial: "(1 - 0.0065 h/288.15)^5.25588, h in m",
            real: "",
        },
        document: "International Standard Atmosphere (ISO 2533): from memory, not verified",
        status: Status::Recalled,
        work: |f| {
            if f.si(Name::Altitude) > 11_000.0 {
                return Err(SumError::Impossible(
                    "the formula holds to 11,000 m".to_owned(),
                ));
            }
            let pa = standard_atmosphere_pa(f.si(Name::Altitude));
            Ok(vec![Kind::Absolute.unit(f.units).number(pa)])
        },
        example: "altitude=1800m",
        imperial_example: "altitude=5900ft",
    },
    Sum {
        name: "closed-circuit",
        says: "how long the oxygen flask of a closed-circuit set lasts",
        asks: &[
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::ChangeOver),
            usual(
                Name::OxygenRate,
                "1.4 L/min",
                "0.049 ft3/min",
                "US Navy Diving Manual, Revision 4, p. 17-11: a swimmer at 0.85 kt",
            ),
            usual(Name::Temperature, "15 degC", "59 degF", "of the water"),
            usual(Name::Bottles, "1", "1", "one flask"),
            only(Choice::Gas, Name::Mix, "100 %", "100 %", "oxygen"),
            NITROGEN,
            SURFACE,
        ],
        answers: &[Name::Time, Name::Gas],
        choices: &[Choice::Gas],
        handbook: &[],
        formula: Formulas {
            metric: "V (p - p_reserve) 273/T/q, free gas at 0 degC",
            imperial: "FV (p - p_reserve)/14.7 492/T/q, free gas at 32 degF",
            real: "V (r(p) - r(p_reserve))/q, free gas at 0 degC and 1 atm",
        },
        document: "figures: US Navy Diving Manual, Revision 4, p. 17-11 (seen); the formula from memory, not verified",
        status: Status::Recalled,
        work: |f| {
            let drawn = f.available()?;
            let free = if f.real() {
                let counted = match f.metric() {
                    true => FreeReference::Bar15,
                    false => FreeReference::Normal15,
                };
                drawn * counted.mol_per_m3() / FreeReference::Stpd.mol_per_m3()
            } else {
                let one = f.absolute_at(0.0);
                let water = f.kelvin(Name::Temperature);
                volume_at(drawn, one, one, water, f.freezing_k())
            };
            let minute = f.n(Name::OxygenRate) * f.litre();
            Ok(vec![lasts(free, minute), free])
        },
        example: "volume=3L gauge=180bar change-over=35bar",
        imperial_example: "volume=0.1ft3 gauge=2600psi change-over=500psi",
    },
];
