//! Life at storage depth: oxygen, climate, absorbent, calibration, log, hygiene, rates per person.

use super::edge;
use super::quantities::{Degrees, Depth, Duration, Flow, Pressure, Share, Span};
use super::row::{Printed, pick};
use super::{
    AbsorbentChange, ClimateBand, Hygiene, Interval, Missing, MissingRow, PersonFlow, Question,
    Row, RuleRefusal, RuleSet, StorageOxygen,
};
use serde::Deserialize;

/// Oxygen between two edges.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OxygenRange {
    /// Lower edge.
    pub low: Pressure,
    /// Upper edge.
    pub high: Pressure,
}

/// Temperature bands by living depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ClimateTable {
    /// From this depth.
    pub from: Depth,
    /// To this depth.
    pub to: Depth,
    /// Depth, lower and upper edge; shallow first. Before the first and after the last (inside `from`
    /// and `to`) the edges stay.
    pub bands: Vec<(Depth, Degrees, Degrees)>,
    /// How far past an edge is still within the rule.
    #[serde(default)]
    pub tolerance: Option<Span>,
    /// Relative humidity, lower and upper edge.
    #[serde(default)]
    pub humidity: Option<(Share, Share)>,
}

/// How edges go between two printed depths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Between {
    /// Straight from one to the other.
    Straight,
}

impl Printed for Between {
    fn printed(&self) -> String {
        "straight between two printed depths".to_owned()
    }
}

/// A partial pressure that stands for a time.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct StoodFigures {
    /// The partial pressure of carbon dioxide.
    pub ppco2: Pressure,
    /// How long.
    pub stood: Duration,
}

/// An interval.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct IntervalFigures {
    /// Time between two.
    pub every: Duration,
}

/// Ear drops and washing.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HygieneFigures {
    /// Ear drops, times a day.
    pub ear_drops_per_day: u8,
    /// Time for each ear.
    pub per_ear: Duration,
    /// Washing, times a day.
    pub wash_per_day: u8,
    /// And after each dive.
    pub wash_after_dive: bool,
}

/// Free gas per person.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PerPerson {
    /// Flow.
    pub flow: Flow,
}

impl Printed for OxygenRange {
    fn printed(&self) -> String {
        format!("{} to {}", self.low, self.high)
    }
}

impl Printed for ClimateTable {
    fn printed(&self) -> String {
        let mut parts: Vec<_> = self
            .bands
            .iter()
            .map(|(d, lo, hi)| format!("{d}: {lo} to {hi}"))
            .collect();
        parts.insert(0, format!("{} to {}", self.from, self.to));
        parts.extend(self.tolerance.map(|t| format!("within {t}")));
        parts.extend(
            self.humidity
                .map(|(lo, hi)| format!("humidity {lo} to {hi}")),
        );
        parts.join("; ")
    }
}

impl Printed for StoodFigures {
    fn printed(&self) -> String {
        format!("after {} at {}", self.stood, self.ppco2)
    }
}

impl Printed for IntervalFigures {
    fn printed(&self) -> String {
        format!("every {}", self.every)
    }
}

impl Printed for HygieneFigures {
    fn printed(&self) -> String {
        let dive = if self.wash_after_dive {
            " and after each dive"
        } else {
            ""
        };
        format!(
            "ear drops {} a day, {} per ear; wash {} a day{dive}",
            self.ear_drops_per_day, self.per_ear, self.wash_per_day
        )
    }
}

impl Printed for PerPerson {
    fn printed(&self) -> String {
        format!("{} per person", self.flow)
    }
}

impl RuleSet {
    /// Oxygen to keep in storage.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn storage_oxygen(&self, accepted: &[String]) -> Result<StorageOxygen, RuleRefusal> {
        let row = self.first(Question::StorageOxygen, &self.storage_oxygen, accepted)?;
        let (low_bar, high_bar) = (row.figures.low.get(), row.figures.high.get());
        Ok(StorageOxygen {
            low_bar,
            high_bar,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Temperature and humidity to keep at a living depth, msw.
    ///
    /// # Errors
    /// A refusal where no table reaches the depth or the row that does is not accepted.
    pub fn climate(&self, depth_msw: f64, accepted: &[String]) -> Result<ClimateBand, RuleRefusal> {
        let feet = self.feet();
        let reaches = |table: &ClimateTable| {
            if edge::from(depth_msw, table.from.plain(feet))
                && edge::to(depth_msw, table.to.plain(feet))
                && !table.bands.is_empty()
            {
                Ok(())
            } else {
                Err(format!("is given for {} to {}", table.from, table.to))
            }
        };
        let mut missing = Vec::new();
        let row = pick(&self.climate, accepted, reaches, &mut missing);
        let row = row.ok_or_else(|| self.refuse(Question::Climate, missing))?;
        let points: Vec<_> = row
            .figures
            .bands
            .iter()
            .map(|(d, lo, hi)| (d.plain(feet), lo.get(), hi.get()))
            .collect();
        let (low_k, high_k) = between(&points, depth_msw);
        let humidity = row
            .figures
            .humidity
            .or_else(|| self.climate.iter().find_map(|other| other.figures.humidity));
        let mut rows = vec![row.id.clone()];
        if row.figures.humidity.is_none() {
            rows.extend(
                self.climate
                    .iter()
                    .find(|other| other.figures.humidity.is_some())
                    .map(|other| other.id.clone()),
            );
        }
        let first_and_last = points
            .first()
            .zip(points.last())
            .map(|(first, last)| first.0..last.0);
        if first_and_last.is_some_and(|r| r.contains(&depth_msw))
            && points
                .iter()
                .all(|point| (point.0 - depth_msw).abs() > edge::SAME)
        {
            let missing = || MissingRow {
                id: format!("{}.between", self.name),
                why: Missing::NotInSet,
            };
            let between = self
                .climate_between
                .as_ref()
                .ok_or_else(|| self.refuse(Question::Climate, vec![missing()]))?;
            between
                .usable(accepted)
                .map_err(|gap| self.refuse(Question::Climate, vec![gap]))?;
            rows.insert(1, between.id.clone());
        }
        Ok(ClimateBand {
            low_k,
            set_k: 0.5 * (low_k + high_k),
            high_k,
            tolerance_k: row.figures.tolerance.map_or(0.0, |span| span.get()),
            humidity: humidity.map(|(lo, hi)| (lo.get(), hi.get())),
            rows,
            source: row.source.clone(),
        })
    }

    /// When absorbent is changed: (ppCO2, how long it stood).
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn absorbent_change(&self, accepted: &[String]) -> Result<AbsorbentChange, RuleRefusal> {
        let row = self.first(Question::Absorbent, &self.absorbent, accepted)?;
        Ok(AbsorbentChange {
            ppco2_bar: row.figures.ppco2.get(),
            stood_s: row.figures.stood.get() as i64,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Time between two calibrations of an analyser in use.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn calibration_every_s(&self, accepted: &[String]) -> Result<Interval, RuleRefusal> {
        self.interval(Question::Calibration, &self.calibration, accepted)
    }

    /// Time between two rows of the chamber log.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn log_every_s(&self, accepted: &[String]) -> Result<Interval, RuleRefusal> {
        self.interval(Question::Logging, &self.logging, accepted)
    }

    /// Ear drops and washing.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn hygiene(&self, accepted: &[String]) -> Result<Hygiene, RuleRefusal> {
        let row = self.first(Question::Hygiene, &self.hygiene, accepted)?;
        Ok(Hygiene {
            ear_drops_per_day: row.figures.ear_drops_per_day,
            per_ear_s: row.figures.per_ear.get() as i64,
            wash_per_day: row.figures.wash_per_day,
            wash_after_dive: row.figures.wash_after_dive,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Carbon dioxide per person for sizing absorbent: deliberately high.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn co2_sizing(&self, accepted: &[String]) -> Result<PersonFlow, RuleRefusal> {
        self.person_flow(Question::Co2Sizing, &self.co2_sizing, accepted)
    }

    /// Carbon dioxide per person as measured, for a model that simulates.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn co2_actual(&self, accepted: &[String]) -> Result<PersonFlow, RuleRefusal> {
        self.person_flow(Question::Co2Actual, &self.co2_actual, accepted)
    }

    /// Oxygen per person for sizing a stock: deliberately high.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn o2_sizing(&self, accepted: &[String]) -> Result<PersonFlow, RuleRefusal> {
        self.person_flow(Question::O2Sizing, &self.o2_sizing, accepted)
    }

    fn interval(
        &self,
        question: Question,
        rows: &[Row<IntervalFigures>],
        accepted: &[String],
    ) -> Result<Interval, RuleRefusal> {
        let row = self.first(question, rows, accepted)?;
        Ok(Interval {
            every_s: row.figures.every.get() as i64,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    fn person_flow(
        &self,
        question: Question,
        rows: &[Row<PerPerson>],
        accepted: &[String],
    ) -> Result<PersonFlow, RuleRefusal> {
        let row = self.first(question, rows, accepted)?;
        Ok(PersonFlow {
            m3_s: row.figures.flow.get(),
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// First row that the job may use, of rows without a range.
    pub(super) fn first<'a, T>(
        &self,
        question: Question,
        rows: &'a [Row<T>],
        accepted: &[String],
    ) -> Result<&'a Row<T>, RuleRefusal> {
        let mut missing = Vec::new();
        pick(rows, accepted, |_| Ok(()), &mut missing).ok_or_else(|| self.refuse(question, missing))
    }
}

/// Both edges at a depth, straight between the points around it.
fn between(points: &[(f64, f64, f64)], depth: f64) -> (f64, f64) {
    let mut before: Option<(f64, f64, f64)> = None;
    for &(d, low, high) in points {
        if depth <= d {
            return match before {
                Some((d0, low0, high0)) => {
                    let share = (depth - d0) / (d - d0);
                    (low0 + share * (low - low0), high0 + share * (high - high0))
                }
                None => (low, high),
            };
        }
        before = Some((d, low, high));
    }
    before.map_or((0.0, 0.0), |(_, low, high)| (low, high))
}
