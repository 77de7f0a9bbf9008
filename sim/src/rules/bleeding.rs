//! Decompression: rates by band, steps, rest hours, oxygen and the last stop, as rows of a scheme,
//! and the timetables made of them.

use super::row::Printed;
use super::set::Lines;
use super::timetable::Timetable;
use super::written::{ClockTime, Depth, Duration, Pressure, Rate, Share};
use super::{
    DecompressionPlan, DecompressionStep, Missing, MissingRow, OxygenBand, OxygenHold, Question,
    Row, RuleRefusal, RuleSet, Source, StartRule, StorageChange,
};
use crate::units::{ATM_PA, FswConvention, MSW_PA};
use schemars::JsonSchema;
use serde::Deserialize;

/// Everything one way of coming up is made of; it may be used only where each of its rows may.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RateTable {
    /// Deepest start the table is printed for.
    pub deepest: Depth,
    /// Bands, deepest first.
    pub bands: Vec<RateBand>,
}

/// A rate while deeper than a depth.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RateBand {
    /// Upper end of the band.
    pub deeper_than: Depth,
    /// Rate.
    pub rate: Rate,
}

/// How the way is travelled.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RestHours {
    /// From and to, ship's clock, each within one day.
    pub hours: Vec<(ClockTime, ClockTime)>,
}

/// The last stop.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
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
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OxygenAtDepth {
    /// Upper end of the row.
    pub deeper_than: Depth,
    /// What is held.
    pub hold: HoldText,
}

/// What is held, as printed.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
pub enum HoldText {
    /// Partial pressure.
    Partial(Pressure),
    /// Share by volume.
    Share(Share),
}

/// How a decompression may start.
#[derive(Clone, Debug, PartialEq, Deserialize, JsonSchema)]
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
    fn ids(&self) -> Vec<String> {
        let mut lines = Lines { all: Vec::new() };
        self.list("", &mut lines);
        lines.all.into_iter().map(|line| line.id).collect()
    }

    /// What stands in the way of using it from a depth.
    fn gaps(&self, from_msw: f64, feet: FswConvention, accepted: &[String]) -> Vec<MissingRow> {
        let deepest = self.rates.figures.deepest;
        if from_msw > deepest.plain(feet) + 1e-9 {
            let why = Missing::OutOfRange(format!("is printed from {deepest} up"));
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

    fn timetable(
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

    fn oxygen_bands(&self, feet: FswConvention) -> Vec<OxygenBand> {
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

impl RuleSet {
    /// The whole timetable from a storage depth, msw, to the surface, for a start at a second of the
    /// ship's day.
    ///
    /// # Errors
    /// A refusal that names the rows which do not reach, were not seen or are not accepted.
    pub fn decompression(
        &self,
        from_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.come_up(
            Question::Decompression,
            from_msw,
            0.0,
            start_second_of_day,
            accepted,
        )
    }

    /// The way up in need, where the normal way takes longer than there is.
    ///
    /// # Errors
    /// As [`RuleSet::decompression`].
    pub fn emergency_decompression(
        &self,
        from_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.come_up(
            Question::Emergency,
            from_msw,
            0.0,
            start_second_of_day,
            accepted,
        )
    }

    /// The way back when pressing is broken off at a depth: the people count as saturated there, and
    /// come up by the set's own decompression. No printed rule for the case was seen.
    ///
    /// # Errors
    /// As [`RuleSet::decompression`].
    pub fn abort_compression(
        &self,
        at_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        self.decompression(at_msw, start_second_of_day, accepted)
    }

    /// A move from one storage depth to another, msw: deeper by the compression rates, shallower by
    /// the decompression's (its last stop and share of oxygen apply only on the way to the surface).
    ///
    /// # Errors
    /// As [`RuleSet::compression`] and [`RuleSet::decompression`].
    pub fn change_storage(
        &self,
        from_msw: f64,
        to_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<StorageChange, RuleRefusal> {
        if to_msw > from_msw {
            self.press(from_msw, to_msw, accepted)
                .map(StorageChange::Press)
        } else if to_msw < from_msw {
            self.come_up(
                Question::Decompression,
                from_msw,
                to_msw,
                start_second_of_day,
                accepted,
            )
            .map(StorageChange::Bleed)
        } else {
            Ok(StorageChange::None)
        }
    }

    /// How a decompression may start: with an upward excursion or not, and the holds.
    ///
    /// # Errors
    /// A refusal where the set says nothing of it or the row is not accepted.
    pub fn decompression_start(&self, accepted: &[String]) -> Result<StartRule, RuleRefusal> {
        let row = self.first(
            Question::DecompressionStart,
            &self.decompression_start,
            accepted,
        )?;
        let feet = self.feet();
        let figures = &row.figures;
        Ok(StartRule {
            upward_excursion: figures.upward_excursion,
            travel_msw_s: figures.travel.map(|rate| rate.plain(feet)),
            hold: figures
                .hold
                .map(|(depth, hold)| (depth.plain(feet), hold.get() as i64)),
            hold_after_dive_s: figures.hold_after_dive.map_or(0, |hold| hold.get() as i64),
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Hold after an upward excursion from a storage depth, msw, before travel goes on, s.
    ///
    /// # Errors
    /// As [`RuleSet::decompression_start`].
    pub fn post_excursion_hold_s(
        &self,
        storage_msw: f64,
        accepted: &[String],
    ) -> Result<i64, RuleRefusal> {
        let start = self.decompression_start(accepted)?;
        Ok(start
            .hold
            .filter(|&(at_most, _)| storage_msw <= at_most)
            .map_or(0, |(_, hold)| hold))
    }

    /// A decompression that starts with an upward excursion to a depth, msw, by the set's limit, rate
    /// and hold, where the set allows that. `deepest_msw` is the deepest any diver was in the last 48 h.
    ///
    /// # Errors
    /// A refusal where the set does not allow it, the excursion is too far, or a row is missing.
    pub fn decompression_by_excursion(
        &self,
        (storage_msw, deepest_msw, to_msw): (f64, f64, f64),
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        let start = self.decompression_start(accepted)?;
        let refuse = |why: &str| {
            let why = Missing::OutOfRange(why.to_owned());
            self.refuse(
                Question::DecompressionStart,
                vec![MissingRow {
                    id: start.id.clone(),
                    why,
                }],
            )
        };
        if !start.upward_excursion {
            return Err(refuse("allows no upward excursion at the start"));
        }
        let rate = start
            .travel_msw_s
            .ok_or_else(|| refuse("gives no rate of travel"))?;
        let excursion = self.excursion(deepest_msw, to_msw, accepted)?;
        let travel_s = ((storage_msw - to_msw) / rate).ceil() as i64;
        let hold_s = self.post_excursion_hold_s(storage_msw, accepted)?;
        let lead_s = travel_s + hold_s;
        let second = (start_second_of_day + lead_s).rem_euclid(86_400);
        let mut plan = self.decompression(to_msw, second, accepted)?;
        for step in &mut plan.steps {
            step.start_s += lead_s;
            step.by_s += lead_s;
        }
        plan.steps.insert(
            0,
            DecompressionStep {
                start_s: 0,
                to_msw,
                by_s: travel_s,
            },
        );
        plan.total_s += lead_s;
        plan.rows.push(start.id);
        plan.rows.extend(excursion.rows);
        Ok(plan)
    }

    fn come_up(
        &self,
        question: Question,
        from_msw: f64,
        to_msw: f64,
        start_second_of_day: i64,
        accepted: &[String],
    ) -> Result<DecompressionPlan, RuleRefusal> {
        let feet = self.feet();
        let schemes = if question == Question::Emergency {
            &self.emergency
        } else {
            &self.decompression
        };
        let mut missing = Vec::new();
        let mut found: Option<&DecompressionScheme> = None;
        for scheme in schemes {
            let gaps = scheme.gaps(from_msw, feet, accepted);
            if gaps.is_empty() {
                found = Some(scheme);
                break;
            }
            missing.extend(gaps);
        }
        let scheme = found.ok_or_else(|| self.refuse(question, missing))?;
        let steps = scheme
            .timetable(from_msw, to_msw, start_second_of_day, feet)
            .steps();
        let source: Source = scheme.rates.source.clone();
        let total_s = steps.last().map_or(0, |step| step.by_s);
        let mut rows = scheme.ids();
        rows.extend(self.feet.as_ref().map(|row| row.id.clone()));
        Ok(DecompressionPlan {
            steps,
            total_s,
            oxygen: scheme.oxygen_bands(feet),
            source,
            rows,
        })
    }
}
