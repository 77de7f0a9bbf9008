//! Alarm limits by phase and depth. They belong to one set; regimes are never mixed.

use super::edge;
use super::quantities::{Degrees, Depth, Duration, Pressure, Rate, Share};
use super::row::Printed;
use super::{Limit, Row, RuleSet, builtin};
use deepstay_core::record::{Aspect, Bound, Phase, Severity};
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
    /// In a bell with people in it, shut or on its trunk.
    Bell,
    /// In a bell whose bottom door is open at depth: divers' gas makes its oxygen wander.
    BellOpen,
    /// Of what people breathe from masks, helmets and bail-out.
    Breathed,
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
    /// How fast the depth changes: shallower on the low side, deeper on the high one.
    DepthRate(Rate),
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
            Reach::DepthRate(r) => (Quantity::Depth, r.plain(feet) * 60.0),
            Reach::PpO2(p) => (Quantity::PpO2, p.get()),
            Reach::FO2(s) => (Quantity::FO2, s.get()),
            Reach::PpCo2(p) => (Quantity::PpCo2, p.get()),
            Reach::Temperature(t) => (Quantity::Temperature, t.get()),
            Reach::Humidity(s) => (Quantity::Humidity, s.get()),
        }
    }
}

impl LimitFigures {
    /// Whether it is laxer than one that it stands in the place of: of something else, further out, less grave, only after
    /// a longer time, in fewer phases, or over less of the depth.
    pub(super) fn laxer_than(
        &self,
        feet: FswConvention,
        other: &LimitFigures,
        their_feet: FswConvention,
    ) -> bool {
        let same_kind = std::mem::discriminant(&self.reach) == std::mem::discriminant(&other.reach);
        let (_, value) = self.reach.quantity(feet);
        let (_, their_value) = other.reach.quantity(their_feet);
        let further = match other.bound {
            Bound::High => value > their_value,
            Bound::Low => value < their_value,
        };
        let stands = |f: &LimitFigures| f.stands.map_or(0.0, |s| s.get());
        let from = |f: &LimitFigures, feet| f.from.map_or(0.0, |d| d.plain(feet));
        let to = |f: &LimitFigures, feet| f.shallower_than.map_or(f64::INFINITY, |d| d.plain(feet));
        !same_kind
            || self.bound != other.bound
            || further
            || self.kind < other.kind
            || stands(self) > stands(other)
            || !other.during.iter().all(|phase| self.during.contains(phase))
            || !edge::to(from(self, feet), from(other, their_feet))
            || !edge::from(to(self, feet), to(other, their_feet))
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
            Reach::DepthRate(r) => format!("rate of depth {r}"),
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

/// The least rate of depth that is allowed is that of coming up, below zero.
fn upwards_below_zero(limits: &mut [Limit]) {
    let up = |l: &&mut Limit| l.aspect == Aspect::Rate && l.bound == Bound::Low;
    for limit in limits.iter_mut().filter(up) {
        limit.value = -limit.value;
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
        let aspect = match (during, figures.reach) {
            (During::Breathed, _) => Aspect::Breathed,
            (_, Reach::DepthRate(_)) => Aspect::Rate,
            _ => Aspect::Inside,
        };
        limits.push(Limit {
            id: row.id.clone(),
            quantity,
            aspect,
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
        limits.retain(|l| l.quantity == Quantity::Depth && l.aspect == Aspect::Inside);
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
        self.or_house(|figures| matches!(figures.reach, Reach::DepthDeviation(_)))
    }

    /// This set where it has a row of a kind, else the demonstration set, whose rows of that kind are the
    /// house's.
    fn or_house(&self, of_kind: impl Fn(&LimitFigures) -> bool) -> &RuleSet {
        match self.limits.iter().any(|row| of_kind(&row.figures)) {
            true => self,
            false => house(),
        }
    }

    /// Limits of a bell with people in it, or out of it: its bottom door open at depth, or not. Those of depth are
    /// how far it may be off where it is to be. Where the set has no such row those of the house apply.
    pub fn bell_limits(&self, open: bool, accepted: &[String]) -> Vec<Limit> {
        let of_bell = |d: &During| matches!(d, During::Bell | During::BellOpen);
        let set = self.or_house(|figures| figures.during.iter().any(of_bell));
        let during = if open { During::BellOpen } else { During::Bell };
        let mut limits = in_force(&set.limits, set.feet(), during, 0.0, accepted);
        upwards_below_zero(&mut limits);
        limits
    }

    /// Limits of what people breathe from masks, helmets and bail-out. Where the set has no such row those of the
    /// house apply.
    pub fn breathed_limits(&self, accepted: &[String]) -> Vec<Limit> {
        let set = self.or_house(|figures| figures.during.contains(&During::Breathed));
        in_force(&set.limits, set.feet(), During::Breathed, 0.0, accepted)
    }

    /// Limits of how fast the depth of a chamber with people in it changes, msw/min, upwards below zero. Where the
    /// set has no such row those of the house apply.
    pub fn rate_limits(&self, phase: Phase, accepted: &[String]) -> Vec<Limit> {
        let Some(during) = during(phase) else {
            return Vec::new();
        };
        let set = self.or_house(|figures| matches!(figures.reach, Reach::DepthRate(_)));
        let mut limits = in_force(&set.limits, set.feet(), during, 0.0, accepted);
        limits.retain(|l| l.aspect == Aspect::Rate);
        upwards_below_zero(&mut limits);
        limits
    }

    /// What a limit of a row is called, in plain words.
    pub fn limit_label(&self, id: &str, quantity: Quantity, bound: Bound) -> String {
        let rows = self.limits.iter().chain(&house().limits);
        if let Some(row) = rows.into_iter().find(|row| row.id == id) {
            return row.figures.label.clone();
        }
        match (quantity, bound) {
            (Quantity::Temperature, Bound::Low) => "chamber cold",
            (Quantity::Temperature, Bound::High) => "chamber warm",
            (Quantity::Humidity, Bound::Low) => "chamber dry",
            (Quantity::Humidity, Bound::High) => "chamber humidity high",
            (Quantity::Depth, Bound::High) => "pressed faster than the rule set has it",
            _ => "",
        }
        .to_owned()
    }

    fn climate_limits(&self, depth_msw: f64, accepted: &[String]) -> Vec<Limit> {
        let Ok(band) = self.climate(depth_msw, accepted) else {
            return Vec::new();
        };
        let of = |quantity, bound, value, row: Option<&String>, label: &str| Limit {
            id: row.cloned().unwrap_or_default(),
            quantity,
            aspect: Aspect::Inside,
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
                "chamber humidity high",
            ));
        }
        limits
    }
}

/// The demonstration set, for what a set has no row of.
pub(super) fn house() -> &'static RuleSet {
    static HOUSE: LazyLock<RuleSet> = LazyLock::new(|| {
        builtin("demonstration").expect("a built-in set loads, which its tests hold")
    });
    &HOUSE
}
