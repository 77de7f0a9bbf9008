//! Compression: rates by storage depth and band, oxygen first, leak check.

use super::edge;
use super::quantities::{Depth, Duration, Pressure, Rate, Share, end_words};
use super::row::{Printed, pick};
use super::{CompressionPlan, MissingRow, PressGas, PressLeg, Question, Row, RuleRefusal, RuleSet};
use serde::Deserialize;

/// Greatest rates of compression as printed.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CompressionTable {
    /// Shallowest storage depth the table is for.
    pub shallowest: Depth,
    /// Cases by storage depth, shallow first.
    pub cases: Vec<CompressionCase>,
    /// Oxygen share of the pressing mix that the document names.
    #[serde(default)]
    pub mix: Option<Share>,
}

/// Rates for storage depths up to a limit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CompressionCase {
    /// Deepest storage depth of the case.
    pub storage_to: Depth,
    /// Whether that depth itself belongs to the case.
    pub inclusive: bool,
    /// Rates from the surface down.
    pub bands: Vec<PressBand>,
}

/// A rate down to a depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PressBand {
    /// Down to here.
    pub down_to: Depth,
    /// Not faster than this.
    pub rate: Rate,
}

/// Oxygen established on air before helium.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct OxygenFirst {
    /// Depth reached on air.
    pub on_air_to: Depth,
}

/// A hold on the way down to look for leaks.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LeakCheck {
    /// Where.
    pub at: Depth,
    /// How long.
    pub hold: Duration,
}

/// Oxygen partial pressure to land on, where it is not the storage band's lower edge.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LandOn {
    /// The partial pressure.
    pub ppo2: Pressure,
}

impl Printed for CompressionTable {
    fn printed(&self) -> String {
        let mut from = self.shallowest;
        let mut parts = Vec::new();
        for case in &self.cases {
            let bands: Vec<_> = case
                .bands
                .iter()
                .map(|b| format!("{} to {}", b.rate, b.down_to))
                .collect();
            let edge = if case.inclusive { "" } else { " (not itself)" };
            parts.push(format!(
                "storage {from} to {}{edge}: {}",
                case.storage_to,
                bands.join(", ")
            ));
            from = case.storage_to;
        }
        if let Some(mix) = self.mix {
            parts.push(format!("blow-down mix {mix} oxygen"));
        }
        parts.join("; ")
    }
}

impl Printed for OxygenFirst {
    fn printed(&self) -> String {
        format!("air to {}, then helium", self.on_air_to)
    }
}

impl Printed for LeakCheck {
    fn printed(&self) -> String {
        format!("hold {} at {}", self.hold, self.at)
    }
}

impl Printed for LandOn {
    fn printed(&self) -> String {
        format!("land on {}", self.ppo2)
    }
}

impl RuleSet {
    /// How a chamber is pressed from the surface to a storage depth, msw.
    ///
    /// # Errors
    /// A refusal that names the rows which do not reach, were not seen or are not accepted.
    pub fn compression(
        &self,
        to_msw: f64,
        accepted: &[String],
    ) -> Result<CompressionPlan, RuleRefusal> {
        self.press(0.0, to_msw, accepted)
    }

    /// How a chamber is pressed from one depth to a deeper one, msw.
    ///
    /// # Errors
    /// As [`RuleSet::compression`].
    pub fn press(
        &self,
        from_msw: f64,
        to_msw: f64,
        accepted: &[String],
    ) -> Result<CompressionPlan, RuleRefusal> {
        let feet = self.feet();
        let mut missing = Vec::new();
        let row = pick(
            &self.compression,
            accepted,
            |t| self.case_for(t, to_msw).map(|_| ()),
            &mut missing,
        );
        let row = row.ok_or_else(|| self.refuse(Question::Compression, missing))?;
        let case = self
            .case_for(&row.figures, to_msw)
            .map_err(|_| self.refuse(Question::Compression, Vec::new()))?;
        let refuse = |gap: MissingRow| self.refuse(Question::Compression, vec![gap]);
        let mut rows = vec![row.id.clone()];

        let air_to = match &self.oxygen_first {
            Some(first) if from_msw == 0.0 && self.belongs_to(first, row) => {
                let depth = first
                    .usable(accepted)
                    .map_err(refuse)?
                    .on_air_to
                    .plain(feet);
                rows.push(first.id.clone());
                Some(depth.min(to_msw))
            }
            _ => None,
        };
        let check = match &self.leak_check {
            Some(check) if from_msw == 0.0 => {
                let figures = check.usable(accepted).map_err(refuse)?;
                rows.push(check.id.clone());
                Some((figures.at.plain(feet), figures.hold.get() as i64))
            }
            _ => None,
        };
        let ppo2_bar = match &self.land_on {
            Some(land) => {
                rows.push(land.id.clone());
                land.usable(accepted).map_err(refuse)?.ppo2.get()
            }
            None => {
                let storage = self.storage_oxygen(accepted)?;
                rows.push(storage.id);
                storage.low_bar
            }
        };

        let mut stops: Vec<f64> = case.bands.iter().map(|b| b.down_to.plain(feet)).collect();
        stops.extend(air_to);
        stops.extend(check.map(|(at, _)| at));
        stops.push(to_msw);
        stops.retain(|&d| d > from_msw + edge::SAME && d <= to_msw + edge::SAME);
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|b, a| edge::to(*b, *a));
        let gas_at = |depth: f64| match air_to {
            Some(air) if edge::to(depth, air) => PressGas::Air,
            Some(_) => PressGas::Helium,
            None => PressGas::Mix,
        };
        let legs = stops
            .iter()
            .map(|&to| {
                let band = case
                    .bands
                    .iter()
                    .find(|b| edge::to(to, b.down_to.plain(feet)))
                    .or(case.bands.last());
                let hold = check
                    .filter(|&(at, _)| (at - to).abs() <= edge::SAME)
                    .map_or(0, |(_, hold)| hold);
                PressLeg {
                    to_msw: to,
                    rate_msw_s: band.map_or(0.0, |b| b.rate.plain(feet)),
                    hold_s: hold,
                    leak_check: hold > 0,
                    gas: gas_at(to),
                }
            })
            .collect();
        let mix_o2 = row.figures.mix.map(|mix| mix.get());
        Ok(CompressionPlan {
            legs,
            ppo2_bar,
            mix_o2,
            source: row.source.clone(),
            rows,
        })
    }

    fn case_for<'a>(
        &self,
        table: &'a CompressionTable,
        to_msw: f64,
    ) -> Result<&'a CompressionCase, String> {
        let feet = self.feet();
        let fits = |case: &&CompressionCase| {
            let last = case.storage_to.plain(feet);
            !edge::from(to_msw, last) || case.inclusive && edge::to(to_msw, last)
        };
        let reach = || match table.cases.last() {
            Some(last) => {
                let up_to = if last.inclusive { "to" } else { "to short of" };
                format!(
                    "is printed for storage at {} {up_to} {}",
                    table.shallowest,
                    end_words(&last.storage_to, feet)
                )
            }
            None => "is empty".to_owned(),
        };
        if !edge::from(to_msw, table.shallowest.plain(feet)) {
            return Err(reach());
        }
        table.cases.iter().find(fits).ok_or_else(reach)
    }

    /// Oxygen first belongs to the rates of its own document: ids that share the first word.
    fn belongs_to<A, B>(&self, part: &Row<A>, whole: &Row<B>) -> bool {
        part.id.split('.').next() == whole.id.split('.').next()
    }
}
