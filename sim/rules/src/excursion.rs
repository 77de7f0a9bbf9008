//! Excursions from storage. No printed row was seen, so the one curve there is stands in as recalled.

use super::edge;
use super::quantities::{Depth, Rate, end_words};
use super::row::{Printed, pick};
use super::{Excursion, Missing, MissingRow, Question, RuleRefusal, RuleSet};
use deepstay_core::units::MSW_PA;
use serde::Deserialize;

/// Unlimited excursion as a curve in feet: distance squared = constant + slope times the shallower depth.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ExcursionCurve {
    /// Deepest depth on either end.
    pub deepest: Depth,
    /// Constant, fsw2.
    pub constant_fsw2: f64,
    /// Slope, fsw.
    pub slope_fsw: f64,
}

/// Rate of travel in an excursion.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ExcursionTravel {
    /// Not faster than this.
    pub at_most: Rate,
}

impl Printed for ExcursionCurve {
    fn printed(&self) -> String {
        format!(
            "distance squared = {} + {} x shallower depth (fsw), to {}",
            self.constant_fsw2, self.slope_fsw, self.deepest
        )
    }
}

impl Printed for ExcursionTravel {
    fn printed(&self) -> String {
        format!("at most {}", self.at_most)
    }
}

impl ExcursionCurve {
    /// Deepest depth from a storage depth, both fsw.
    pub fn down_fsw(&self, storage: f64) -> f64 {
        storage + (self.constant_fsw2 + self.slope_fsw * storage).sqrt()
    }

    /// Shallowest depth from a storage depth, both fsw: the inverse of [`ExcursionCurve::down_fsw`].
    pub fn up_fsw(&self, storage: f64) -> f64 {
        let (a, b) = (self.constant_fsw2, self.slope_fsw);
        let half = storage + 0.5 * b;
        (half - (half * half - storage * storage + a).max(0.0).sqrt()).max(0.0)
    }
}

impl RuleSet {
    /// Whether a diver may go from storage to a depth, both msw, without a time limit; upward that
    /// is the excursion a decompression may start with (from the deepest depth of the last 48 h).
    /// A depth equal to storage needs no row.
    ///
    /// # Errors
    /// A refusal where the depth is past the limit or no row may be used.
    pub fn excursion(
        &self,
        storage_msw: f64,
        to_msw: f64,
        accepted: &[String],
    ) -> Result<Excursion, RuleRefusal> {
        let feet = self.feet();
        let msw_per_fsw = feet.pa_per_fsw() / MSW_PA;
        let deepest_msw = storage_msw.max(to_msw);
        let reaches = |curve: &ExcursionCurve| {
            let ok = edge::to(deepest_msw, curve.deepest.plain(feet));
            ok.then_some(())
                .ok_or_else(|| format!("reaches {}", end_words(&curve.deepest, feet)))
        };
        if storage_msw == to_msw {
            return Ok(Excursion {
                storage_msw,
                limit_msw: to_msw,
                travel_msw_s: None,
                rows: Vec::new(),
                source: super::Source {
                    document: "no excursion".to_owned(),
                    status: super::Status::Derived,
                },
            });
        }
        let mut missing = Vec::new();
        let row = pick(&self.excursions, accepted, reaches, &mut missing);
        let row = row.ok_or_else(|| self.refuse(Question::Excursion, missing))?;
        let storage_fsw = storage_msw / msw_per_fsw;
        let down = to_msw > storage_msw;
        // Rows of the table are whole feet.
        let limit_fsw = if down {
            row.figures.down_fsw(storage_fsw)
        } else {
            row.figures.up_fsw(storage_fsw)
        }
        .round();
        let limit_msw = limit_fsw * msw_per_fsw;
        if down && !edge::to(to_msw, limit_msw) || !down && !edge::from(to_msw, limit_msw) {
            let why = Missing::OutOfRange(format!(
                "allows {limit_msw:.1} msw from {storage_msw:.1} msw"
            ));
            return Err(self.refuse(
                Question::Excursion,
                vec![MissingRow {
                    id: row.id.clone(),
                    why,
                }],
            ));
        }
        let travel = self
            .excursion_travel
            .as_ref()
            .filter(|travel| travel.usable(accepted).is_ok());
        let mut rows = vec![row.id.clone()];
        rows.extend(travel.map(|travel| travel.id.clone()));
        Ok(Excursion {
            storage_msw,
            limit_msw,
            travel_msw_s: travel.map(|travel| travel.figures.at_most.plain(feet)),
            rows,
            source: row.source.clone(),
        })
    }
}
