//! Alarm limits by phase and depth. They belong to one set; regimes are never mixed.

use super::edge;
use super::quantities::{Degrees, Depth, Duration, Pressure, Share};
use super::row::Printed;
use super::{Limit, Row, RuleSet, builtin};
use deepstay_core::record::{Bound, Phase, Severity};
use deepstay_core::units::{FswConvention, Quantity};
use serde::Deserialize;
use std::sync::LazyLock;

/// When a limit holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum During {
    /// While pressing.
    Compression,
    /// In storage.
    Storage,
    /// While coming up.
    Decompression,
}

/// A quantity with a value.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Reach {
    /// Oxygen partial pressure.
    PpO2(Pressure),
    /// Oxygen by volume.
    FO2(Share),
    /// Carbon dioxide partial pressure.
    PpCo2(Pressure),
    /// Gas temperature.
    Temperature(Degrees),
    /// Relative humidity.
    Humidity(Share),
    /// How far the depth is off what was ordered: under it on the low side, over it on the high one.
    DepthDeviation(Depth),
}

/// One limit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LimitFigures {
    /// In plain words.
    pub label: String,
    /// Phases in which it holds.
    pub during: Vec<During>,
    /// Only at or deeper than this.
    #[serde(default)]
    pub from: Option<Depth>,
    /// Only shallower than this.
    #[serde(default)]
    pub shallower_than: Option<Depth>,
    /// Lower or upper.
    pub bound: Bound,
    /// The value.
    pub reach: Reach,
    /// How grave.
    pub kind: Severity,
    /// How long it must stand to count.
    #[serde(default)]
    pub stands: Option<Duration>,
}

impl Reach {
    fn quantity(self, feet: FswConvention) -> (Quantity, f64) {
        match self {
            Reach::DepthDeviation(d) => (Quantity::Depth, d.plain(feet)),
            Reach::PpO2(p) => (Quantity::PpO2, p.get()),
            Reach::FO2(s) => (Quantity::FO2, s.get()),
            Reach::PpCo2(p) => (Quantity::PpCo2, p.get()),
            Reach::Temperature(t) => (Quantity::Temperature, t.get()),
            Reach::Humidity(s) => (Quantity::Humidity, s.get()),
        }
    }
}

impl Printed for LimitFigures {
    fn printed(&self) -> String {
        let value = match self.reach {
            Reach::PpO2(p) => format!("ppO2 {p}"),
            Reach::FO2(s) => format!("oxygen {s} by volume"),
            Reach::PpCo2(p) => format!("ppCO2 {p}"),
            Reach::Temperature(t) => format!("temperature {t}"),
            Reach::Humidity(s) => format!("humidity {s}"),
            Reach::DepthDeviation(d) => format!("depth off what was ordered by {d}"),
        };
        let side = if self.bound == Bound::High {
            "high"
        } else {
            "low"
        };
        let stands = self.stands.map_or(String::new(), |s| format!(" for {s}"));
        let from = self
            .from
            .map_or(String::new(), |d| format!(", from {d} down"));
        let to = self
            .shallower_than
            .map_or(String::new(), |d| format!(", shallower than {d}"));
        format!("{}: {side} {value}{stands}{from}{to}", self.label)
    }
}

fn during(phase: Phase) -> Option<During> {
    match phase {
        Phase::Surface => None,
        Phase::Compression => Some(During::Compression),
        Phase::Storage => Some(During::Storage),
        Phase::Decompression => Some(During::Decompression),
    }
}

/// The rows that hold in a phase at a depth, msw, each with the figure as it is printed.
fn in_force(
    rows: &[Row<LimitFigures>],
    feet: FswConvention,
    during: During,
    depth_msw: f64,
    accepted: &[String],
) -> Vec<Limit> {
    let mut limits = Vec::new();
    for row in rows {
        let Ok(figures) = row.usable(accepted) else {
            continue;
        };
        let deep_enough = figures
            .from
            .is_none_or(|d| edge::from(depth_msw, d.plain(feet)));
        let shallow_enough = figures
            .shallower_than
            .is_none_or(|d| !edge::from(depth_msw, d.plain(feet)));
        if !(figures.during.contains(&during) && deep_enough && shallow_enough) {
            continue;
        }
        let (quantity, value) = figures.reach.quantity(feet);
        limits.push(Limit {
            id: row.id.clone(),
            quantity,
            bound: figures.bound,
            value,
            severity: figures.kind,
            stands_s: figures.stands.map_or(0, |d| d.get() as i64),
            label: figures.label.clone(),
            source: row.source.clone(),
        });
    }
    limits
}

impl RuleSet {
    /// Limits of a chamber in a phase at a depth, msw: the set's own, and the edges of its climate
    /// band with the tolerance, in storage and in decompression. Empty where the set has none; rows
    /// that are not accepted are left out.
    pub fn limits(&self, phase: Phase, depth_msw: f64, accepted: &[String]) -> Vec<Limit> {
        let Some(during) = during(phase) else {
            return Vec::new();
        };
        let feet = self.feet();
        let mut limits = in_force(&self.limits, feet, during, depth_msw, accepted);
        limits.retain(|l| l.quantity != Quantity::Depth);
        if during != During::Compression {
            limits.extend(self.climate_limits(depth_msw, accepted));
        }
        limits
    }

    /// Limits of the depth of a chamber that is ordered to be anywhere between two depths, msw: where it is
    /// held the two are one, on the way they are what it left and where it goes. Where the set has no
    /// such row those of the house apply, which are the demonstration set's.
    pub fn depth_limits(
        &self,
        phase: Phase,
        shallow_msw: f64,
        deep_msw: f64,
        accepted: &[String],
    ) -> Vec<Limit> {
        let Some(during) = during(phase) else {
            return Vec::new();
        };
        let set = self.with_depth_limits();
        let mut limits = in_force(&set.limits, set.feet(), during, deep_msw, accepted);
        limits.retain(|l| l.quantity == Quantity::Depth);
        for limit in &mut limits {
            limit.value = match limit.bound {
                Bound::High => deep_msw + limit.value,
                Bound::Low => shallow_msw - limit.value,
            };
        }
        limits
    }

    /// The set that the limits of depth are taken from: itself, or the demonstration set.
    pub fn with_depth_limits(&self) -> &RuleSet {
        static HOUSE: LazyLock<RuleSet> = LazyLock::new(|| {
            builtin("demonstration").expect("a built-in set loads, which its tests hold")
        });
        let own = self
            .limits
            .iter()
            .any(|row| matches!(row.figures.reach, Reach::DepthDeviation(_)));
        if own { self } else { &HOUSE }
    }

    fn climate_limits(&self, depth_msw: f64, accepted: &[String]) -> Vec<Limit> {
        let Ok(band) = self.climate(depth_msw, accepted) else {
            return Vec::new();
        };
        let of = |quantity, bound, value, row: Option<&String>, label: &str| Limit {
            id: row.cloned().unwrap_or_default(),
            quantity,
            bound,
            value,
            severity: Severity::Limit,
            stands_s: 0,
            label: label.to_owned(),
            source: band.source.clone(),
        };
        let row = band.rows.first();
        let mut limits = vec![
            of(
                Quantity::Temperature,
                Bound::Low,
                band.low_k - band.tolerance_k,
                row,
                "chamber cold",
            ),
            of(
                Quantity::Temperature,
                Bound::High,
                band.high_k + band.tolerance_k,
                row,
                "chamber warm",
            ),
        ];
        if let Some((low, high)) = band.humidity {
            let row = band.rows.last();
            limits.push(of(Quantity::Humidity, Bound::Low, low, row, "chamber dry"));
            limits.push(of(
                Quantity::Humidity,
                Bound::High,
                high,
                row,
                "chamber damp",
            ));
        }
        limits
    }
}
