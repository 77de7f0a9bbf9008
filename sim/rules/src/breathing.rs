//! What is breathed beside a chamber's oxygen: oxygen at work by how long the work lasts, the density of gas, how long a
//! mask is worn, what else may be in the gas, and gas for treatment.
//!
//! Oxygen at work is a printed table of most partial pressures. It speaks of the gas at the mouth of a diver who works,
//! never of a chamber; the chamber's limits stand apart.

use super::edge;
use super::quantities::{Depth, Duration, Pressure, Share};
use super::row::{Printed, pick};
use super::{All, Cited, Question, RuleRefusal, RuleSet, Source};
use deepstay_core::units::FswConvention;
use deepstay_core::words::Words;
use serde::Deserialize;

/// Most oxygen at work by its continuous duration, from short to long.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WorkOxygenFigures {
    /// Work that lasts no longer than the first, at most so much.
    pub steps: Vec<(Duration, Pressure)>,
}

/// Most oxygen at work of a given length.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkOxygen {
    /// Most partial pressure, bar.
    pub most_bar: f64,
    /// The printed duration that the work falls under, s.
    pub up_to_s: i64,
    /// Id of the row used.
    pub id: String,
    /// Where it comes from.
    pub source: Source,
}

impl WorkOxygenFigures {
    /// Whether longer work has a longer duration and less oxygen.
    pub(super) fn in_order(&self) -> bool {
        let fall = |pair: &[(Duration, Pressure)]| {
            pair[0].0.get() < pair[1].0.get() && pair[0].1.get() > pair[1].1.get()
        };
        !self.steps.is_empty() && self.steps.windows(2).all(fall)
    }

    fn of(&self, work_s: i64) -> Option<&(Duration, Pressure)> {
        self.steps
            .iter()
            .find(|(up_to, _)| work_s as f64 <= up_to.get())
    }
}

impl Printed for WorkOxygenFigures {
    fn printed(&self) -> String {
        let steps = self.steps.iter();
        let words: Vec<String> = steps
            .map(|(up_to, most)| format!("{up_to}: {most}"))
            .collect();
        format!("at most, by length of work: {}", words.join("; "))
    }
}

/// Most density of a gas at the pressure at which it is breathed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DensityFigures {
    /// Grams in a litre.
    pub most_g_l: f64,
}

/// Most density of a gas that is breathed.
#[derive(Clone, Debug, PartialEq)]
pub struct GasDensity {
    /// Grams in a litre, which are kilograms in a cubic metre.
    pub most_g_l: f64,
    /// The row.
    pub by: Cited,
}

/// Longest time on a mask without a break.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct MaskTimeFigures {
    /// Then a break in an atmosphere that can be breathed.
    pub longest: Duration,
}

/// Longest time on a mask without a break.
#[derive(Clone, Debug, PartialEq)]
pub struct MaskTime {
    /// The time, s.
    pub longest_s: i64,
    /// The row.
    pub by: Cited,
}

/// Something in a gas that is not meant to be there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Contaminant {
    /// Carbon monoxide.
    CarbonMonoxide,
    /// Vapour of oil, as methane.
    OilVapour,
    /// Nitrogen.
    Nitrogen,
}

impl Words for Contaminant {
    fn words(self) -> &'static str {
        match self {
            Contaminant::CarbonMonoxide => "carbon monoxide",
            Contaminant::OilVapour => "oil vapour, as methane",
            Contaminant::Nitrogen => "nitrogen",
        }
    }
}

/// Most of a contaminant in what is breathed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ContaminantFigures {
    /// Of what.
    pub of: Contaminant,
    /// Partial pressure that it stays below.
    pub below: Pressure,
}

/// Gas to treat a diver with.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum TreatmentFigures {
    /// Oxygen that it has at the depth of treatment, at least and at most.
    Oxygen(Pressure, Pressure),
    /// Share of oxygen by depth: down to the first, so much.
    Mixes(Vec<(Depth, Share)>),
}

impl Printed for DensityFigures {
    fn printed(&self) -> String {
        format!("at most {} g/L at the pressure of use", self.most_g_l)
    }
}

impl Printed for MaskTimeFigures {
    fn printed(&self) -> String {
        format!("{} on a mask, then a break", self.longest)
    }
}

impl Printed for ContaminantFigures {
    fn printed(&self) -> String {
        format!("{} below {}", self.of.words(), self.below)
    }
}

impl Printed for TreatmentFigures {
    fn printed(&self) -> String {
        match self {
            TreatmentFigures::Oxygen(low, high) => {
                format!("{low} to {high} of oxygen at the depth of treatment")
            }
            TreatmentFigures::Mixes(mixes) => {
                let words: Vec<String> = mixes
                    .iter()
                    .map(|(to, o2)| format!("to {to} {o2}"))
                    .collect();
                format!("oxygen by depth: {}", words.join("; "))
            }
        }
    }
}

impl TreatmentFigures {
    /// Whether it is laxer than figures that it stands in the place of: oxygen beyond their edges, another kind, or of a
    /// mix that goes by depth anywhere another share, since neither more nor less of it treats as well.
    pub(super) fn laxer_than(
        &self,
        feet: FswConvention,
        other: &TreatmentFigures,
        their_feet: FswConvention,
    ) -> bool {
        match (self, other) {
            (TreatmentFigures::Oxygen(low, high), TreatmentFigures::Oxygen(least, most)) => {
                low.get() < least.get() || high.get() > most.get()
            }
            (TreatmentFigures::Mixes(ours), TreatmentFigures::Mixes(theirs)) => {
                let at = |mixes: &[(Depth, Share)], feet, depth_msw: f64| {
                    let mut mixes = mixes.iter();
                    let reaches = |(to, _): &&(Depth, Share)| edge::to(depth_msw, to.plain(feet));
                    mixes.find(reaches).map(|(_, o2)| o2.get())
                };
                let edges = ours.iter().map(|(to, _)| to.plain(feet));
                let edges = edges.chain(theirs.iter().map(|(to, _)| to.plain(their_feet)));
                edges.into_iter().any(|depth_msw| {
                    let theirs = at(theirs, their_feet, depth_msw);
                    theirs.is_some() && at(ours, feet, depth_msw) != theirs
                })
            }
            (TreatmentFigures::Oxygen(..), _) | (TreatmentFigures::Mixes(_), _) => true,
        }
    }

    /// Whether edges and depths rise.
    pub(super) fn in_order(&self, feet: FswConvention) -> bool {
        match self {
            TreatmentFigures::Oxygen(low, high) => low.get() < high.get(),
            TreatmentFigures::Mixes(mixes) => {
                let rise = |w: &[(Depth, Share)]| w[0].0.plain(feet) < w[1].0.plain(feet);
                !mixes.is_empty() && mixes.windows(2).all(rise)
            }
        }
    }
}

impl RuleSet {
    /// Most oxygen that may be breathed in continuous work of that length, s. Between two printed durations the
    /// longer one holds, which is the stricter. Nothing is carried past the end of a table.
    ///
    /// # Errors
    /// A refusal where the set has no such figure that this job may use, or where the work is longer than the last
    /// printed duration.
    pub fn work_oxygen(&self, work_s: i64, accepted: &[String]) -> Result<WorkOxygen, RuleRefusal> {
        let reaches = |figures: &WorkOxygenFigures| match figures.of(work_s) {
            Some(_) => Ok(()),
            None => Err(match figures.steps.last() {
                Some((last, _)) => format!("is printed for work of up to {last}"),
                None => "has no durations".to_owned(),
            }),
        };
        let mut missing = Vec::new();
        let row = pick(&self.work_oxygen, accepted, reaches, &mut missing);
        let found = row.and_then(|row| Some((row, row.figures.of(work_s)?)));
        let (row, (up_to, most)) =
            found.ok_or_else(|| self.refuse(Question::WorkOxygen, missing))?;
        Ok(WorkOxygen {
            most_bar: most.get(),
            up_to_s: up_to.get() as i64,
            id: row.id.clone(),
            source: row.source.clone(),
        })
    }

    /// Most density of a gas that is breathed.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn gas_density(&self, accepted: &[String]) -> Result<GasDensity, RuleRefusal> {
        let row = self.first(Question::GasDensity, &self.gas_density, accepted)?;
        Ok(GasDensity {
            most_g_l: row.figures.most_g_l,
            by: Cited::of(row),
        })
    }

    /// Longest time on a mask without a break.
    ///
    /// # Errors
    /// A refusal where the set has no row that this job may use.
    pub fn mask_time(&self, accepted: &[String]) -> Result<MaskTime, RuleRefusal> {
        let row = self.first(Question::MaskTime, &self.mask_time, accepted)?;
        Ok(MaskTime {
            longest_s: row.figures.longest.get() as i64,
            by: Cited::of(row),
        })
    }

    /// What else may be in what is breathed, and how much of it.
    pub fn contaminants(&self, accepted: &[String]) -> All<ContaminantFigures> {
        All::of(&self.contaminants, accepted)
    }

    /// Gas to treat divers with; a page holds the banks against it, and nothing is prescribed.
    pub fn treatment_gas(&self, accepted: &[String]) -> All<TreatmentFigures> {
        All::of(&self.treatment_gas, accepted)
    }
}
