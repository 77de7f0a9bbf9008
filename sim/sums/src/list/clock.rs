//! The decompression clock.

use crate::error::SumError;
use crate::formulas::{Leg, step_time, travel_time, with_rests};
use crate::name::Name;
use crate::sum::{Formulas, Sum, need, usual};
use deepstay_core::Status;

pub(super) const SUMS: &[Sum] = &[
    Sum {
        name: "next-step",
        says: "time of one step at a rate of travel",
        asks: &[need(Name::Step), need(Name::Rate)],
        answers: &[Name::Time],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "d/r",
            imperial: "d/r",
            real: "",
        },
        document: "US Navy Diving Manual, 15-23: 6 ft/h is a step of a foot every 10 min",
        status: Status::Seen,
        work: |f| Ok(vec![step_time(f.n(Name::Step), f.n(Name::Rate)) * 60.0]),
        example: "step=0.5msw rate=1.5msw/h",
        imperial_example: "step=2fsw rate=5fsw/h",
    },
    Sum {
        name: "decompression-clock",
        says: "time from a depth to the surface or a stop, by rates of travel and hours of travel in a day",
        asks: &[
            need(Name::From),
            need(Name::Rates),
            usual(Name::To, "0 msw", "0 fsw", "to the surface"),
            usual(Name::HoursADay, "24 h", "24 h", "no rest"),
        ],
        answers: &[Name::Time, Name::Travel],
        choices: &[],
        handbook: &[],
        formula: Formulas {
            metric: "sum of (D1 - D2)/r, times 24 over the hours of travel in a day",
            imperial: "sum of (D1 - D2)/r, times 24 over the hours of travel in a day",
            real: "",
        },
        document: "arithmetic on the rates you give; an average, for the clock at the start decides which rest falls in",
        status: Status::Derived,
        work: |f| {
            f.not_above(Name::To, Name::From, "a decompression comes up")?;
            let hours = f.si(Name::HoursADay) / 3600.0;
            if !(hours > 0.0 && hours <= 24.0) {
                return Err(SumError::Impossible(format!(
                    "a day has no {hours} hours of travel"
                )));
            }
            let legs: &[Leg] = &f.values.legs;
            let travel = travel_time(f.si(Name::From), f.si(Name::To), legs).ok_or_else(|| {
                SumError::Impossible(
                    "the last of the rates ends deeper than where the travel goes".to_owned(),
                )
            })?;
            Ok(vec![with_rests(travel, hours) / 60.0, travel / 60.0])
        },
        example: "from=118msw rates=1.5msw/h-to-15msw,0.6msw/h",
        imperial_example: "from=390fsw rates=6fsw/h-to-200fsw,5fsw/h-to-100fsw,3fsw/h hours-a-day=16h",
    },
];
