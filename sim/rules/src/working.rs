//! Working time, rest and days under pressure, country by country.

use super::edge;
use super::quantities::{Depth, Duration};
use super::row::{Printed, pick};
use super::{
    BellCrew, Cited, Counted, MissingRow, Question, Row, RuleRefusal, RuleSet, RunMoment,
    SaturationLength, SurfaceInterval, ThreeManBell, WorkingTime,
};
use deepstay_core::words::Words;
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
    /// What starts and stops the clock, in the document's words.
    pub clock: String,
    /// The same as moments of a run; left out, from sealed in to clamped on again.
    #[serde(default)]
    pub counted: Option<(RunMoment, RunMoment)>,
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
    /// From which moment of one run to which of the next; left out, from the trunk clamped to the next sealing in.
    #[serde(default)]
    pub between: Option<(RunMoment, RunMoment)>,
    /// Longest work in any 24 h.
    #[serde(default)]
    pub work_in_day: Option<Duration>,
}

/// Who goes in a bell, and who stays in it.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BellCrewFigures {
    /// At least so many go.
    pub least: u8,
    /// At least so many stay in the bell while divers are in the water.
    pub stay: u8,
}

impl Printed for BellCrewFigures {
    fn printed(&self) -> String {
        let stay = match self.stay {
            0 => String::new(),
            n => format!(", and {n} in the bell tend the divers in the water"),
        };
        format!("at least {} go{stay}", self.least)
    }
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
        let between = self.between.map_or(String::new(), |(from, to)| {
            format!(", from {} to {}", from.words(), to.words())
        });
        format!("{} unbroken{between}{work}", self.unbroken)
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

/// The rows that stand in the way, where none answers.
fn of_no_use(answered: bool, missing: Vec<MissingRow>) -> Vec<MissingRow> {
    if answered { Vec::new() } else { missing }
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
        let [mut no_run, mut no_water, mut no_rest] = [const { Vec::new() }; 3];
        let run = pick(
            &self.bell_run,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut no_run,
        );
        let water = pick(
            &self.in_water,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut no_water,
        );
        let rest = pick(&self.rest, accepted, |_| Ok(()), &mut no_rest);
        let source = run
            .map(|r| &r.source)
            .or(water.map(|r| &r.source))
            .or(rest.map(|r| &r.source));
        let Some(source) = source.cloned() else {
            let missing = [no_run, no_water, no_rest].concat();
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
            bell_run_counted: run
                .and_then(|r| r.figures.counted)
                .unwrap_or((RunMoment::SealedIn, RunMoment::ClampedOn)),
            in_water_s: water.map(|r| seconds(r.figures.longest)),
            in_water_window_s: water.and_then(|r| r.figures.window).map(seconds),
            three_man: three.map(|t| ThreeManBell {
                in_water_s: seconds(t.longest),
                break_s: seconds(t.pause),
                break_between_s: (seconds(t.pause_between.0), seconds(t.pause_between.1)),
                bellman_every_days: t.bellman_every_days,
            }),
            rest_s: rest.map(|r| seconds(r.figures.unbroken)),
            rest_between: rest
                .and_then(|r| r.figures.between)
                .unwrap_or((RunMoment::ClampedOn, RunMoment::SealedIn)),
            runs_per_day: run.and_then(|r| r.figures.runs_per_day),
            bell_run_window_s: run.and_then(|r| r.figures.window).map(seconds),
            clock_runs_on: run.is_some_and(|r| r.figures.clock_runs_on),
            work_in_day_s: rest.and_then(|r| r.figures.work_in_day).map(seconds),
            bell_run_by: run.map(Cited::of),
            in_water_by: water.map(Cited::of),
            rest_by: rest.map(Cited::of),
            no_bell_run: of_no_use(run.is_some(), no_run),
            no_in_water: of_no_use(water.is_some(), no_water),
            no_rest: of_no_use(rest.is_some(), no_rest),
            rows: ids.into_iter().flatten().cloned().collect(),
            source,
        })
    }

    /// Who goes in a bell, and who stays in it.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn bell_crew(&self, accepted: &[String]) -> Result<BellCrew, RuleRefusal> {
        let row = self.first(Question::BellCrew, &self.bell_crew, accepted)?;
        Ok(BellCrew {
            least: row.figures.least,
            stay: row.figures.stay,
            by: Cited::of(row),
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
        let mut no_interval = Vec::new();
        let interval: Option<&Row<IntervalRule>> = pick(
            &self.surface_interval,
            accepted,
            |f| self.within(&f.depths, depth_msw),
            &mut no_interval,
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
            no_interval: of_no_use(interval.is_some(), no_interval),
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
