//! The types: one a kind of quantity, each over a table of units.

use std::fmt;
use std::str::FromStr;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use super::error::TextError;
use super::{number, tables};
use crate::units::{self, Msw};

/// Reading and writing as a string, and the description for a JSON Schema, of a type that has
/// `FromStr` and `Display`.
macro_rules! as_text {
    ($name:ident, $noun:expr, $example:expr) => {
        impl TryFrom<String> for $name {
            type Error = TextError;
            fn try_from(text: String) -> Result<Self, TextError> {
                text.parse()
            }
        }

        impl From<$name> for String {
            fn from(value: $name) -> String {
                value.to_string()
            }
        }

        #[cfg(feature = "schema")]
        impl JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({
                    "type": "string",
                    "description": format!("{} with its unit, as text, like \"{}\"", $noun, $example),
                    "examples": [$example],
                })
            }
        }
    };
}
pub(super) use as_text;

macro_rules! text_quantities {
    ($($(#[$doc:meta])* $name:ident: $kind:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "String", into = "String")]
        pub struct $name(pub f64);

        impl FromStr for $name {
            type Err = TextError;
            fn from_str(text: &str) -> Result<Self, TextError> {
                number::read(&tables::$kind, text).map(Self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str(&tables::$kind.units[0].write(self.0))
            }
        }

        as_text!($name, tables::$kind.noun, tables::$kind.example);
    )*};
}

text_quantities! {
    /// A depth, msw: `"118 msw"`, `"387 fsw"`; 0 to 1000 msw; 1 fsw is 0.30643 msw.
    Depth: DEPTH;
    /// An absolute pressure, Pa: `"12.8 bar"`, `"1 ata"`; 0 to 1000 bar.
    Absolute: ABSOLUTE;
    /// A pressure above the surroundings, Pa: `"200 bar"`, `"3000 psi"`; 0 to 1000 bar.
    Gauge: GAUGE;
    /// A partial pressure, Pa: `"0.42 bar"`, `"0.44 ata"`, `"400 mbar"`, `"45.6 mmHg"`; 0 to 100 bar.
    Partial: PARTIAL;
    /// A temperature, K: `"7 degC"`, `"85 degF"`, `"300 K"`; 200 to 500 K.
    Temperature: TEMPERATURE;
    /// A temperature difference, K: `"1.5 K"`; 0 to 200 K.
    TemperatureSpan: TEMPERATURE_SPAN;
    /// An actual volume, m3: `"20 m3"`, `"425 ft3"`, `"50 L"`; 0 to 100 000 m3.
    Volume: VOLUME;
    /// A volume of free gas, m3, at the reference the field states: `"4000 m3"`, `"1500 scf"`.
    FreeVolume: FREE_VOLUME;
    /// A rate of depth, msw/s: `"6 fsw/h"`, `"3 msw/min"`, `"3 m/min"`; 0 to 10 msw/s.
    DepthRate: DEPTH_RATE;
    /// A speed, m/s: `"30 m/min"`, `"0.8 kt"`; 0 to 100 m/s.
    Speed: SPEED;
    /// A volume flow at the pressure it flows at, m3/s: `"35 L/min"`, `"1 m3/min"`.
    ActualFlow: ACTUAL_FLOW;
    /// A flow of free gas, m3/s, at the reference the field states: `"0.5 L/min"`, `"20 scfm"`.
    FreeFlow: FREE_FLOW;
    /// A share, 0 to 1: `"4 %"`, `"0.04"`, `"400 ppm"`.
    Share: SHARE;
    /// A share lost per second: `"1 %/d"`; 0 to 1000 % a day.
    Leak: LEAK;
    /// A mass, kg: `"12 kg"`, `"20 t"`.
    Mass: MASS;
    /// Free gas taken up by a mass of absorbent, m3/kg (dry, 0 degC, 1 atm): `"153 L/kg"`.
    Capacity: CAPACITY;
    /// Diameter of a hole or line, m: `"12.7 mm"`; 0 to 5 m.
    Bore: BORE;
    /// A length or height, m: `"2 m"`, `"6 ft"`; 0 to 100 km.
    Length: LENGTH;
    /// An area, m2: `"45 m2"`.
    Area: AREA;
    /// Heat lost per degree of difference, W/K: `"100 W/K"`.
    Conductance: CONDUCTANCE;
    /// A power, W: `"3 kW"`.
    Power: POWER;
}

macro_rules! stands_for {
    ($($text:ident => $quantity:path;)*) => {$(
        impl From<$text> for $quantity {
            fn from(value: $text) -> Self {
                Self(value.0)
            }
        }
    )*};
}

stands_for! {
    Depth => Msw;
    Absolute => units::AbsPressure;
    Gauge => units::GaugePressure;
    Partial => units::PartialPressure;
    Temperature => units::Temperature;
    Volume => units::Volume;
    Share => units::Fraction;
    DepthRate => units::DepthRate;
}
