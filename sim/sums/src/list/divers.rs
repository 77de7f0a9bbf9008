//! What divers breathe, how long gas lasts them, and which mix serves where.

use super::quads::SCHOOL;
use crate::convention::Choice;
use crate::formulas::{absolute_of_share, depth_window, lasts, ppo2_of_mix};
use crate::frame::Frame;
use crate::name::Name;
use crate::sum::{Ask, Formulas, MIX, NITROGEN, SURFACE, Sum, TEMPERATURE, need, usual};
use deepstay_core::Status;

/// A working diver's breathing.
const WORKING: Ask = usual(Name::Breathing, "35 L/min", "1.25 ft3/min", SCHOOL);

/// Divers' gas in a minute, m3 or ft3.
fn in_a_minute(f: &Frame) -> Result<f64, crate::error::SumError> {
    Ok(f.si(Name::Divers) * f.breathed(Name::Breathing, Name::Depth, Name::Mix)?)
}

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "divers-gas",
        says: "free gas that divers breathe in a time at a depth",
        asks: &[
            need(Name::Divers),
            need(Name::Depth),
            need(Name::Time),
            WORKING,
            SURFACE,
        ],
        answers: &[Name::Gas],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "N q P t",
            imperial: "N q P t",
            real: "",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| Ok(vec![in_a_minute(f)? * f.n(Name::Time)]),
        example: "divers=2 depth=118msw time=5h",
        imperial_example: "divers=2 depth=390fsw time=5h",
    },
    Sum {
        name: "hours-left",
        says: "how long the gas of a quad above its change-over pressure lasts divers at a depth",
        asks: &[
            need(Name::Bottles),
            need(Name::BottleVolume),
            need(Name::Gauge),
            need(Name::ChangeOver),
            need(Name::Divers),
            need(Name::Depth),
            WORKING,
            MIX,
            NITROGEN,
            TEMPERATURE,
            SURFACE,
        ],
        answers: &[Name::Time, Name::Gas],
        choices: &[Choice::Gas, Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "N V (p - p_change-over)/(n q P)",
            imperial: "N FV (p - p_change-over)/14.7/(n q P)",
            real: "N V (r(p) - r(p_change-over))/(n q r(P)) by the density virial",
        },
        document: SCHOOL,
        status: Status::Seen,
        work: |f| {
            let gas = f.available()?;
            Ok(vec![lasts(gas, in_a_minute(f)?), gas])
        },
        example: "bottles=48 volume=50L gauge=164bar change-over=35bar divers=2 depth=118msw",
        imperial_example: "bottles=16 volume=1.6ft3 gauge=2350psi change-over=450psi divers=2 depth=390fsw",
    },
    Sum {
        name: "surface-flow",
        says: "free gas a minute that breathing at a depth takes",
        asks: &[
            need(Name::Depth),
            need(Name::Breathing),
            usual(Name::Divers, "1", "1", "one diver"),
            SURFACE,
        ],
        answers: &[Name::SupplyFlow],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "N q P",
            imperial: "N q P",
            real: "",
        },
        document: "US Navy Diving Manual, Revision 4, p. 7-14",
        status: Status::Seen,
        work: |f| Ok(vec![in_a_minute(f)? / f.litre()]),
        example: "depth=118msw breathing=40L/min",
        imperial_example: "depth=390fsw breathing=1.5ft3/min",
    },
    Sum {
        name: "ppo2-at-depth",
        says: "oxygen partial pressure of a mix at a depth; backwards the mix for a partial pressure",
        asks: &[need(Name::Mix), need(Name::Depth), SURFACE],
        answers: &[Name::PpO2],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "f P",
            imperial: "f P",
            real: "",
        },
        document: "Dalton's law (US Navy Diving Manual, 12-5 and 15-8)",
        status: Status::Seen,
        work: |f| Ok(vec![ppo2_of_mix(f.si(Name::Mix), f.absolute(Name::Depth))]),
        example: "mix=6% depth=118msw",
        imperial_example: "mix=6% depth=390fsw",
    },
    Sum {
        name: "depth-window",
        says: "depths between which a mix may be breathed in an emergency",
        asks: &[
            need(Name::Mix),
            usual(
                Name::Low,
                "0.16 ata",
                "0.16 ata",
                "US Navy Diving Manual, 15-15, read in a copy of an older edition that it does not name",
            ),
            usual(
                Name::High,
                "1.25 ata",
                "1.25 ata",
                "US Navy Diving Manual, 15-15, read in a copy of an older edition that it does not name",
            ),
            SURFACE,
        ],
        answers: &[Name::Deepest, Name::Shallowest],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "10 (p/f - 1), from the surface down",
            imperial: "33 (p/f - 1), from the surface down",
            real: "",
        },
        document: "US Navy Diving Manual, 15-15 (printed cut to whole feet); no range to work in",
        status: Status::Seen,
        work: |f| {
            f.not_above(Name::Low, Name::High, "the least lies under the greatest")?;
            let share = f.si(Name::Mix);
            if share <= 0.0 {
                return Err(crate::error::SumError::Impossible(
                    "a mix without oxygen may be breathed nowhere".to_owned(),
                ));
            }
            let ends = (f.n(Name::Low), f.n(Name::High));
            let (shallowest, deepest) = depth_window(share, ends, |p| f.depth_at(p));
            if deepest < 0.0 {
                return Err(crate::error::SumError::Impossible(
                    "that mix is over the greatest oxygen partial pressure even at the surface"
                        .to_owned(),
                ));
            }
            Ok(vec![deepest, shallowest])
        },
        example: "mix=6%",
        imperial_example: "mix=6%",
    },
    Sum {
        name: "fire-zone",
        says: "depth above which a chamber is in the fire zone",
        asks: &[
            need(Name::PpO2),
            usual(
                Name::Share,
                "6 %",
                "6 %",
                "US Navy Diving Manual, 15-17, read in a copy",
            ),
            SURFACE,
        ],
        answers: &[Name::Depth],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "10 (p/f - 1)",
            imperial: "33 p/f - 33",
            real: "",
        },
        document: "US Navy Diving Manual, 15-17",
        status: Status::Seen,
        work: share_takes_over,
        example: "ppo2=0.42bar",
        imperial_example: "ppo2=0.45ata",
    },
    Sum {
        name: "fo2-takes-over",
        says: "depth at which oxygen by volume takes over from a held partial pressure",
        asks: &[
            need(Name::PpO2),
            usual(Name::Share, "23 %", "23 %", "PMC9767825, Table 8"),
            SURFACE,
        ],
        answers: &[Name::Depth],
        choices: &[Choice::Pressure],
        handbook: &[],
        formula: Formulas {
            metric: "10 (p/f - 1)",
            imperial: "33 p/f - 33",
            real: "",
        },
        document: "Dalton's law; PMC9767825, Table 8, prints 16, 20 and 25 msw for 60, 70 and 80 kPa",
        status: Status::Derived,
        work: share_takes_over,
        example: "ppo2=0.5bar",
        imperial_example: "ppo2=0.48ata",
    },
];

/// The depth at which a partial pressure is a share by volume.
fn share_takes_over(f: &Frame) -> Result<Vec<f64>, crate::error::SumError> {
    let depth = f.depth_at(absolute_of_share(f.n(Name::PpO2), f.si(Name::Share)));
    if depth < 0.0 {
        return Err(crate::error::SumError::Impossible(
            "that partial pressure is less than the share even at the surface".to_owned(),
        ));
    }
    Ok(vec![depth])
}
