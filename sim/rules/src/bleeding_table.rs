//! Decompression as a file holds it: rates by band, steps, rest hours, oxygen and the last stop, each
//! a row of a scheme with its own source.

use super::edge;
use super::quantities::{ClockTime, Depth, Duration, Pressure, Rate, Share, end_words};
use super::row::Printed;
use super::set::Lines;
use super::timetable::Timetable;
use super::{Missing, MissingRow, OxygenBand, OxygenHold, Row};
use deepstay_core::units::{ATM_PA, FswConvention, MSW_PA};
use serde::Deserialize;

/// Everything one way of coming up is made of; it may be used only where each of its rows may.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DecompressionScheme {
    /// Rates by depth.
    pub rates: Row<RateTable>,
    /// Steps or linear.
    pub travel: Row<Travel>,
    /// Oxygen.
    pub oxygen: Row<OxygenPlan>,
    /// Hours without travel; without the row it goes round the clock.
    #[serde(default)]
    pub rest: Option<Row<RestHours>>,
    /// The last stop.
    #[serde(default)]
    pub last_stop: Option<Row<LastStop>>,
}

/// Rates as printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RateTable {
    /// Deepest start the table is printed for.
    pub deepest: Depth,
    /// Bands, deepest first.
    pub bands: Vec<RateBand>,
}

/// A rate while deeper than a depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RateBand {
    /// Upper end of the band.
    pub deeper_than: Depth,
    /// Rate.
    pub rate: Rate,
}

/// How the way is travelled.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Travel {
    /// Steps, each made at its own rate and then waited out.
    Steps {
        /// Size of a step.
        step: Depth,
        /// Greatest rate inside a step.
        at_most: Rate,
    },
    /// Straight; the timetable gives points this far apart.
    Linear {
        /// Distance of two points.
        every: Depth,
    },
}

/// Hours without travel.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RestHours {
    /// From and to, ship's clock, each within one day.
    pub hours: Vec<(ClockTime, ClockTime)>,
}

/// The last stop.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LastStop {
    /// Where.
    pub at: Depth,
    /// How long, from the start of the step to it.
    pub hold: Duration,
    /// Rate from there to the surface.
    pub then: Rate,
}

/// Oxygen through a decompression.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum OxygenPlan {
    /// Partial pressure until the greatest of it is the greatest share, then the share.
    UntilShare {
        /// Lower and upper edge of the partial pressure.
        partial: (Pressure, Pressure),
        /// Lower and upper edge of the share by volume.
        share: (Share, Share),
    },
    /// As printed by depth, deepest first.
    ByDepth(Vec<OxygenAtDepth>),
}

/// One printed row of oxygen.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OxygenAtDepth {
    /// Upper end of the row.
    pub deeper_than: Depth,
    /// What is held.
    pub hold: HoldText,
}

/// What is held, as printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum HoldText {
    /// Partial pressure.
    Partial(Pressure),
    /// Share by volume.
    Share(Share),
}

/// How a decompression may start.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StartFigures {
    /// Whether an upward excursion may begin it.
    pub upward_excursion: bool,
    /// Rate of that excursion.
    #[serde(default)]
    pub travel: Option<Rate>,
    /// Hold after it: for storage at or shallower than, how long.
    #[serde(default)]
    pub hold: Option<(Depth, Duration)>,
    /// Hold before a decompression that follows an excursion dive.
    #[serde(default)]
    pub hold_after_dive: Option<Duration>,
}

impl Printed for RateTable {
    fn printed(&self) -> String {
        let mut from = self.deepest;
        let mut parts = Vec::new();
        for band in &self.bands {
            parts.push(format!("{from} to {}: {}", band.deeper_than, band.rate));
            from = band.deeper_than;
        }
        parts.join("; ")
    }
}

impl Printed for Travel {
    fn printed(&self) -> String {
        match self {
            Travel::Steps { step, at_most } => format!("steps of {step} at no more than {at_most}"),
            Travel::Linear { every } => format!("linear, a point every {every}"),
        }
    }
}

impl Printed for RestHours {
    fn printed(&self) -> String {
        let hours: Vec<_> = self
            .hours
            .iter()
            .map(|(from, to)| format!("{from} to {to}"))
            .collect();
        format!("no travel {}", hours.join(" and "))
    }
}

impl Printed for LastStop {
    fn printed(&self) -> String {
        format!("{} at {}, then {}", self.hold, self.at, self.then)
    }
}

impl Printed for OxygenPlan {
    fn printed(&self) -> String {
        match self {
            OxygenPlan::UntilShare { partial, share } => {
                format!(
                    "{} to {} until {}, then {} to {} by volume",
                    partial.0, partial.1, share.1, share.0, share.1
                )
            }
            OxygenPlan::ByDepth(rows) => {
                let words = |hold: &HoldText| match hold {
                    HoldText::Partial(p) => p.to_string(),
                    HoldText::Share(s) => format!("{s} by volume"),
                };
                let parts: Vec<_> = rows
                    .iter()
                    .map(|r| format!("to {}: {}", r.deeper_than, words(&r.hold)))
                    .collect();
                parts.join("; ")
            }
        }
    }
}

impl Printed for StartFigures {
    fn printed(&self) -> String {
        let mut text = if self.upward_excursion {
            "upward excursion allowed"
        } else {
            "no upward excursion"
        }
        .to_owned();
        if let Some(rate) = self.travel {
            text += &format!(", at {rate}");
        }
        if let Some((depth, hold)) = self.hold {
            text += &format!(", then {hold} hold where storage is {depth} or shallower");
        }
        if let Some(hold) = self.hold_after_dive {
            text += &format!(", {hold} hold after an excursion dive");
        }
        text
    }
}

impl DecompressionScheme {
    pub(super) fn list(&self, what: &str, lines: &mut Lines) {
        lines.rows(&format!("{what} rates"), [&self.rates]);
        lines.rows(&format!("{what} travel"), [&self.travel]);
        lines.rows(&format!("{what} oxygen"), [&self.oxygen]);
        lines.rows(&format!("{what} rest hours"), &self.rest);
        lines.rows(&format!("{what} last stop"), &self.last_stop);
    }

    /// Ids of its rows.
    pub(super) fn ids(&self) -> Vec<String> {
        let mut lines = Lines { all: Vec::new() };
        self.list("", &mut lines);
        lines.all.into_iter().map(|line| line.id).collect()
    }

    /// What stands in the way of using it from a depth.
    pub(super) fn gaps(
        &self,
        from_msw: f64,
        feet: FswConvention,
        accepted: &[String],
    ) -> Vec<MissingRow> {
        let deepest = self.rates.figures.deepest;
        if !edge::to(from_msw, deepest.plain(feet)) {
            let why =
                Missing::OutOfRange(format!("is printed from {} up", end_words(&deepest, feet)));
            return vec![MissingRow {
                id: self.rates.id.clone(),
                why,
            }];
        }
        let mut gaps: Vec<MissingRow> = Vec::new();
        gaps.extend(self.rates.usable(accepted).err());
        gaps.extend(self.travel.usable(accepted).err());
        gaps.extend(self.oxygen.usable(accepted).err());
        gaps.extend(
            self.rest
                .as_ref()
                .and_then(|row| row.usable(accepted).err()),
        );
        gaps.extend(
            self.last_stop
                .as_ref()
                .and_then(|row| row.usable(accepted).err()),
        );
        gaps
    }

    pub(super) fn timetable(
        &self,
        from_msw: f64,
        to_msw: f64,
        start_second_of_day: i64,
        feet: FswConvention,
    ) -> Timetable {
        let pace = |rate: Rate| 1.0 / rate.plain(feet);
        let (step_msw, travel_s_per_msw) = match &self.travel.figures {
            Travel::Steps { step, at_most } => (step.plain(feet), Some(pace(*at_most))),
            Travel::Linear { every } => (every.plain(feet), None),
        };
        let bands = &self.rates.figures.bands;
        let rest = self
            .rest
            .iter()
            .flat_map(|row| &row.figures.hours)
            .map(|&(from, to)| (from.0, to.0));
        let last = self.last_stop.as_ref().map(|row| &row.figures);
        Timetable {
            from_msw,
            to_msw,
            bands: bands
                .iter()
                .map(|b| (b.deeper_than.plain(feet), pace(b.rate)))
                .collect(),
            step_msw,
            travel_s_per_msw,
            rest: rest.collect(),
            last_stop: last.map(|stop| (stop.at.plain(feet), stop.hold.get(), pace(stop.then))),
            start_second_of_day,
        }
    }

    pub(super) fn oxygen_bands(&self, feet: FswConvention) -> Vec<OxygenBand> {
        match &self.oxygen.figures {
            OxygenPlan::UntilShare { partial, share } => {
                let (low_bar, high_bar) = (partial.0.get(), partial.1.get());
                let surface_msw = ATM_PA / MSW_PA;
                let switch = high_bar / share.1.get() * 10.0 - surface_msw;
                vec![
                    OxygenBand {
                        deeper_than_msw: switch.max(0.0),
                        hold: OxygenHold::Partial { low_bar, high_bar },
                    },
                    OxygenBand {
                        deeper_than_msw: 0.0,
                        hold: OxygenHold::Fraction {
                            low: share.0.get(),
                            high: share.1.get(),
                        },
                    },
                ]
            }
            OxygenPlan::ByDepth(rows) => rows
                .iter()
                .map(|row| OxygenBand {
                    deeper_than_msw: row.deeper_than.plain(feet),
                    hold: match row.hold {
                        HoldText::Partial(p) => OxygenHold::Partial {
                            low_bar: p.get(),
                            high_bar: p.get(),
                        },
                        HoldText::Share(s) => OxygenHold::Fraction {
                            low: s.get(),
                            high: s.get(),
                        },
                    },
                })
                .collect(),
        }
    }
}
