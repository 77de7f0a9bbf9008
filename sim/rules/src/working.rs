//! Working time, rest and days under pressure, country by country.

use super::edge;
use super::quantities::{Depth, Duration};
use super::row::{Printed, pick};
use super::{
    Cited, Counted, Question, Row, RuleRefusal, RuleSet, SaturationLength, SurfaceInterval,
    ThreeManBell, WorkingTime,
};
use serde::Deserialize;

/// A range of working depths; none means no end.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Depths {
    /// Deeper than this.
    #[serde(default)]
    pub deeper_than: Option<Depth>,
    /// To this.
    #[serde(default)]
    pub to: Option<Depth>,
}

/// Longest bell run.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BellRunFigures {
    /// Working depths.
    #[serde(default)]
    pub depths: Depths,
    /// Longest run.
    pub longest: Duration,
    /// What starts and stops the clock.
    pub clock: String,
    /// Runs in a day.
    #[serde(default)]
    pub runs_per_day: Option<u8>,
    /// Window in which the longest run is counted over all runs.
    #[serde(default)]
    pub window: Option<Duration>,
    /// Whether the clock runs on when the bell comes home and leaves again with the same divers.
    #[serde(default)]
    pub clock_runs_on: bool,
}

/// Longest time in the water.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WaterFigures {
    /// Working depths.
    #[serde(default)]
    pub depths: Depths,
    /// Longest time in a run, or in the window.
    pub longest: Duration,
    /// Window in which it is counted.
    #[serde(default)]
    pub window: Option<Duration>,
    /// Longer time with three in the bell.
    #[serde(default)]
    pub three_man: Option<ThreeManFigures>,
}

/// Longer time in the water with three in the bell.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ThreeManFigures {
    /// Longest time, the break counted.
    pub longest: Duration,
    /// Break in the bell, hat off.
    pub pause: Duration,
    /// The break lies between these times in the water.
    pub pause_between: (Duration, Duration),
    /// A dry day as bellman at least every so many days.
    pub bellman_every_days: u8,
}

/// Rest between runs.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RestFigures {
    /// Unbroken.
    pub unbroken: Duration,
    /// Longest work in any 24 h.
    #[serde(default)]
    pub work_in_day: Option<Duration>,
}

/// Longest saturation.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LengthFigures {
    /// Working depths.
    #[serde(default)]
    pub depths: Depths,
    /// Longest.
    pub longest: Duration,
    /// What is counted.
    pub counted: Counted,
    /// Most in twelve months.
    #[serde(default)]
    pub per_year: Option<Duration>,
}

/// Surface interval.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct IntervalRule {
    /// Working depths.
    #[serde(default)]
    pub depths: Depths,
    /// The rule.
    pub least: IntervalText,
}

/// A surface interval as printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum IntervalText {
    /// Times the saturation before.
    TimesLast(f64),
    /// By its length.
    Steps {
        /// Where the saturation before was no longer than this.
        up_to: Duration,
        /// So long.
        then: Duration,
        /// Otherwise so long.
        otherwise: Duration,
    },
}

impl Depths {
    fn words(&self) -> String {
        match (self.deeper_than, self.to) {
            (Some(from), Some(to)) => format!("deeper than {from} to {to}: "),
            (Some(from), None) => format!("deeper than {from}: "),
            (None, Some(to)) => format!("to {to}: "),
            (None, None) => String::new(),
        }
    }
}

impl Printed for BellRunFigures {
    fn printed(&self) -> String {
        let runs = self
            .runs_per_day
            .map_or(String::new(), |n| format!(", {n} in a day"));
        let window = self
            .window
            .map_or(String::new(), |w| format!(" in any {w}"));
        let on = if self.clock_runs_on {
            ", the clock is not set back by coming home"
        } else {
            ""
        };
        format!(
            "{}{}{window} ({}){runs}{on}",
            self.depths.words(),
            self.longest,
            self.clock
        )
    }
}

impl Printed for WaterFigures {
    fn printed(&self) -> String {
        let window = self
            .window
            .map_or(String::new(), |w| format!(" in any {w}"));
        let three = self.three_man.as_ref().map_or(String::new(), |t| {
            format!(
                "; three-man bell {} with {} break between {} and {}",
                t.longest, t.pause, t.pause_between.0, t.pause_between.1
            )
        });
        format!("{}{}{window}{three}", self.depths.words(), self.longest)
    }
}

impl Printed for RestFigures {
    fn printed(&self) -> String {
        let work = self.work_in_day.map_or(String::new(), |w| {
            format!(", at most {w} of work in any 24 h")
        });
        format!("{} unbroken{work}", self.unbroken)
    }
}

impl Printed for LengthFigures {
    fn printed(&self) -> String {
        let counted = if self.counted == Counted::AtDepth {
            "at working depth"
        } else {
            "under pressure"
        };
        let year = self
            .per_year
            .map_or(String::new(), |d| format!(", {d} in twelve months"));
        format!("{}{} {counted}{year}", self.depths.words(), self.longest)
    }
}

impl Printed for IntervalRule {
    fn printed(&self) -> String {
        let least = match &self.least {
            IntervalText::TimesLast(times) => format!("{times} x the saturation before"),
            IntervalText::Steps {
                up_to,
                then,
                otherwise,
            } => {
                format!("{then} after a saturation of up to {up_to}, else {otherwise}")
            }
        };
        format!("{}{least}", self.depths.words())
    }
}

impl Cited {
    fn of<T: Printed>(row: &Row<T>) -> Cited {
        Cited {
            id: row.id.clone(),
            figures: row.figures.printed(),
            source: row.source.clone(),
        }
    }
}

impl RuleSet {
    /// Bell run, time in the water and rest at a working depth, msw.
    ///
    /// # Errors
    /// A refusal where the set has none of the three for the depth that this job may use.
    pub fn working_time(
        &self,
        depth_msw: f64,
        accepted: &[String],
    ) -> Result<WorkingTime, RuleRefusal> {
        let mut missing = Vec::new();
        let run = pick(
            &self.bell_run,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut missing,
        );
        let water = pick(
            &self.in_water,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut missing,
        );
        let rest = pick(&self.rest, accepted, |_| Ok(()), &mut missing);
        let source = run
            .map(|r| &r.source)
            .or(water.map(|r| &r.source))
            .or(rest.map(|r| &r.source));
        let Some(source) = source.cloned() else {
            return Err(self.refuse(Question::WorkingTime, missing));
        };
        let seconds = |d: Duration| d.get() as i64;
        let three = water.and_then(|row| row.figures.three_man.as_ref());
        let ids = [
            run.map(|r| &r.id),
            water.map(|r| &r.id),
            rest.map(|r| &r.id),
        ];
        Ok(WorkingTime {
            bell_run_s: run.map(|r| seconds(r.figures.longest)),
            clock: run.map_or(String::new(), |r| r.figures.clock.clone()),
            in_water_s: water.map(|r| seconds(r.figures.longest)),
            in_water_window_s: water.and_then(|r| r.figures.window).map(seconds),
            three_man: three.map(|t| ThreeManBell {
                in_water_s: seconds(t.longest),
                break_s: seconds(t.pause),
                break_between_s: (seconds(t.pause_between.0), seconds(t.pause_between.1)),
                bellman_every_days: t.bellman_every_days,
            }),
            rest_s: rest.map(|r| seconds(r.figures.unbroken)),
            runs_per_day: run.and_then(|r| r.figures.runs_per_day),
            bell_run_window_s: run.and_then(|r| r.figures.window).map(seconds),
            clock_runs_on: run.is_some_and(|r| r.figures.clock_runs_on),
            work_in_day_s: rest.and_then(|r| r.figures.work_in_day).map(seconds),
            bell_run_by: run.map(Cited::of),
            in_water_by: water.map(Cited::of),
            rest_by: rest.map(Cited::of),
            rows: ids.into_iter().flatten().cloned().collect(),
            source,
        })
    }

    /// Longest saturation and the interval after it, for a working depth, msw.
    ///
    /// # Errors
    /// A refusal where the set has no length for the depth that this job may use.
    pub fn saturation_length(
        &self,
        depth_msw: f64,
        accepted: &[String],
    ) -> Result<SaturationLength, RuleRefusal> {
        let mut missing = Vec::new();
        let length = pick(
            &self.saturation,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut missing,
        );
        let length = length.ok_or_else(|| self.refuse(Question::SaturationLength, missing))?;
        let interval: Option<&Row<IntervalRule>> = pick(
            &self.surface_interval,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut Vec::new(),
        );
        let interval_by = interval.map(Cited::of);
        let mut rows = vec![length.id.clone()];
        rows.extend(interval.map(|row| row.id.clone()));
        Ok(SaturationLength {
            longest_s: length.figures.longest.get() as i64,
            counted: length.figures.counted,
            per_year_s: length.figures.per_year.map(|d| d.get() as i64),
            interval: interval.map(|row| match &row.figures.least {
                IntervalText::TimesLast(times) => SurfaceInterval::TimesLast(*times),
                IntervalText::Steps {
                    up_to,
                    then,
                    otherwise,
                } => SurfaceInterval::Steps {
                    up_to_s: up_to.get() as i64,
                    then_s: then.get() as i64,
                    else_s: otherwise.get() as i64,
                },
            }),
            longest_by: Cited::of(length),
            interval_by,
            rows,
            source: length.source.clone(),
        })
    }

    fn within(&self, depths: &Depths, depth_msw: f64) -> Result<(), String> {
        let feet = self.feet();
        let deep = depths
            .deeper_than
            .is_none_or(|d| !edge::to(depth_msw, d.plain(feet)));
        let shallow = depths.to.is_none_or(|d| edge::to(depth_msw, d.plain(feet)));
        if deep && shallow {
            Ok(())
        } else {
            Err(format!("holds {}", depths.words().trim_end_matches(": ")))
        }
    }
}
