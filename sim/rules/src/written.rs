//! Quantities as a rule file writes them: a number and a unit in text, kept as printed and turned
//! into plain numbers only when a question is asked, because what a foot of sea water is belongs to
//! the rule set.

use deepstay_core::units::{ATM_PA, BAR_PA, FswConvention, MSW_PA, ZERO_C_K};
#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer, de};
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// A unit that a kind of quantity may be written in.
#[derive(Debug)]
pub struct WrittenUnit {
    name: &'static str,
    scale: f64,
    offset: f64,
    feet: bool,
    inverse: bool,
}

impl WrittenUnit {
    const fn of(name: &'static str, scale: f64) -> Self {
        WrittenUnit {
            name,
            scale,
            offset: 0.0,
            feet: false,
            inverse: false,
        }
    }

    const fn offset(name: &'static str, scale: f64, offset: f64) -> Self {
        WrittenUnit {
            name,
            scale,
            offset,
            feet: false,
            inverse: false,
        }
    }

    const fn feet(name: &'static str, scale: f64) -> Self {
        WrittenUnit {
            name,
            scale,
            offset: 0.0,
            feet: true,
            inverse: false,
        }
    }

    const fn inverse(name: &'static str, scale: f64, feet: bool) -> Self {
        WrittenUnit {
            name,
            scale,
            offset: 0.0,
            feet,
            inverse: true,
        }
    }
}

/// A kind of quantity: its name, the units it may be written in and the range it may have.
pub trait Kind: Copy + fmt::Debug + PartialEq + 'static {
    /// What it is, for messages.
    const WHAT: &'static str;
    /// Units, the plain one first.
    const UNITS: &'static [WrittenUnit];
    /// Smallest and greatest plain value.
    const RANGE: (f64, f64);
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $alias:ident $kind:ident $what:literal $range:expr, [$($unit:expr),+ $(,)?];)*) => {$(
        #[doc = concat!("Kind of quantity: ", $what, ".")]
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $kind;

        impl Kind for $kind {
            const WHAT: &'static str = $what;
            const UNITS: &'static [WrittenUnit] = &[$($unit),+];
            const RANGE: (f64, f64) = $range;
        }

        $(#[$doc])*
        pub type $alias = Written<$kind>;
    )*};
}

kinds! {
    /// A depth; plain value in msw.
    Depth DepthKind "depth" (0.0, 1_000.0), [WrittenUnit::of("msw", 1.0), WrittenUnit::feet("fsw", 1.0)];
    /// A rate of change of depth; plain value in msw/s.
    Rate RateKind "rate" (1e-6, 2.0), [
        WrittenUnit::of("msw/s", 1.0),
        WrittenUnit::of("msw/min", 1.0 / 60.0),
        WrittenUnit::of("msw/h", 1.0 / 3600.0),
        WrittenUnit::feet("fsw/min", 1.0 / 60.0),
        WrittenUnit::feet("fsw/h", 1.0 / 3600.0),
        WrittenUnit::inverse("min/fsw", 1.0 / 60.0, true),
    ];
    /// A partial pressure; plain value in bar.
    Pressure PressureKind "partial pressure" (0.0, 10.0), [
        WrittenUnit::of("bar", 1.0),
        WrittenUnit::of("mbar", 1e-3),
        WrittenUnit::of("hPa", 1e-3),
        WrittenUnit::of("kPa", 1e-2),
        WrittenUnit::of("ata", ATM_PA / BAR_PA),
        WrittenUnit::of("mmHg", ATM_PA / BAR_PA / 760.0),
    ];
    /// A length of time; plain value in s.
    Duration DurationKind "length of time" (0.0, 4e7), [
        WrittenUnit::of("s", 1.0),
        WrittenUnit::of("min", 60.0),
        WrittenUnit::of("h", 3600.0),
        WrittenUnit::of("d", 86_400.0),
    ];
    /// A temperature; plain value in K.
    Degrees DegreesKind "temperature" (230.0, 350.0), [
        WrittenUnit::of("K", 1.0),
        WrittenUnit::offset("degC", 1.0, ZERO_C_K),
    ];
    /// A difference of temperature; plain value in K.
    Span SpanKind "temperature difference" (0.0, 50.0), [WrittenUnit::of("K", 1.0)];
    /// A share; plain value 0 to 1.
    Share ShareKind "share" (0.0, 1.0), [WrittenUnit::of("%", 0.01)];
    /// A flow of gas; plain value in m3/s.
    Flow FlowKind "flow" (0.0, 1.0), [
        WrittenUnit::of("m3/s", 1.0),
        WrittenUnit::of("L/min", 1e-3 / 60.0),
        WrittenUnit::of("L/h", 1e-3 / 3600.0),
    ];
}

/// A quantity of one kind as written.
#[derive(Clone, Copy, PartialEq)]
pub struct Written<K: Kind> {
    value: f64,
    unit: usize,
    kind: PhantomData<K>,
}

impl<K: Kind> Written<K> {
    fn unit(&self) -> &'static WrittenUnit {
        &K::UNITS[self.unit]
    }

    /// The plain value (see the alias for its unit), with feet of sea water by `feet`.
    pub fn plain(&self, feet: FswConvention) -> f64 {
        let unit = self.unit();
        let foot = if unit.feet {
            feet.pa_per_fsw() / MSW_PA
        } else {
            1.0
        };
        if unit.inverse {
            unit.scale * foot / self.value
        } else {
            (self.value * unit.scale) * foot + unit.offset
        }
    }

    /// The plain value of a quantity that knows no feet.
    pub fn get(&self) -> f64 {
        self.plain(FswConvention::PerAtmosphere)
    }
}

impl<K: Kind> fmt::Display for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit().name)
    }
}

impl<K: Kind> fmt::Debug for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl<K: Kind> FromStr for Written<K> {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let units = || {
            K::UNITS
                .iter()
                .map(|u| u.name)
                .collect::<Vec<_>>()
                .join(", ")
        };
        let text = text.trim();
        let split = text
            .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
            .unwrap_or(text.len());
        let (number, unit) = (&text[..split], text[split..].trim());
        let value: f64 = number.parse().map_err(|_| {
            format!(
                "`{text}` is no {}: write a number and a unit ({})",
                K::WHAT,
                units()
            )
        })?;
        let unit = K::UNITS
            .iter()
            .position(|u| u.name == unit)
            .ok_or_else(|| format!("`{text}`: a {} is written in {}", K::WHAT, units()))?;
        let written = Written {
            value,
            unit,
            kind: PhantomData,
        };
        let plain = written.get();
        let (least, most) = K::RANGE;
        if !plain.is_finite() || plain < least * 0.999_999 || plain > most {
            return Err(format!("`{text}`: out of range for a {}", K::WHAT));
        }
        Ok(written)
    }
}

impl<'de, K: Kind> Deserialize<'de> for Written<K> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?
            .parse()
            .map_err(de::Error::custom)
    }
}

#[cfg(feature = "schema")]
impl<K: Kind> JsonSchema for Written<K> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        std::borrow::Cow::Borrowed(K::WHAT)
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        String::json_schema(generator)
    }
}

/// A time of the ship's day, written `14:00`; plain value in seconds after midnight, up to 24:00.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "String")]
#[cfg_attr(feature = "schema", schemars(with = "String"))]
pub struct ClockTime(pub i64);

impl TryFrom<String> for ClockTime {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let parts = text
            .split_once(':')
            .and_then(|(h, m)| Some((h.parse::<u8>().ok()?, m.parse::<u8>().ok()?)));
        match parts {
            Some((h, m)) if h < 24 && m < 60 || h == 24 && m == 0 => {
                Ok(ClockTime(i64::from(h) * 3600 + i64::from(m) * 60))
            }
            _ => Err(format!("`{text}` is no time of day: write it like 14:00")),
        }
    }
}

impl fmt::Display for ClockTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 3600, self.0 / 60 % 60)
    }
}
