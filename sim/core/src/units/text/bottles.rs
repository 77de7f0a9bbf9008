//! A number of bottles, quads or tubes as text.

use std::fmt;
use std::str::FromStr;

#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use super::error::TextError;
use super::kinds::{Gauge, Volume, as_text};

const MOST: u32 = 100_000;

/// Bottles of one size at one pressure: `"64 x 50 L at 200 bar"`; the volume is of one bottle, the
/// pressure is a gauge's.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Bottles {
    /// How many.
    pub count: u32,
    /// Water volume of one.
    pub each: Volume,
    /// Pressure above the surroundings.
    pub pressure: Gauge,
}

impl Bottles {
    /// Water volume of all of them, m3.
    pub fn total_m3(&self) -> f64 {
        f64::from(self.count) * self.each.0
    }
}

as_text!(
    Bottles,
    "bottles: number, volume of one and gauge pressure,",
    "64 x 50 L at 200 bar"
);

impl FromStr for Bottles {
    type Err = TextError;

    fn from_str(written: &str) -> Result<Self, TextError> {
        let text = written.trim();
        let fault = |what| TextError::Shape {
            text: text.to_owned(),
            fault: what,
            noun: "a set of bottles",
            like: "\"64 x 50 L at 200 bar\"",
        };
        if text.is_empty() {
            return Err(TextError::Empty {
                noun: "a set of bottles",
                example: "64 x 50 L at 200 bar",
            });
        }
        let (stock, pressure) = text
            .split_once(" at ")
            .ok_or_else(|| fault("does not say \"at\" which pressure"))?;
        let (count, each) = stock
            .split_once(['x', '\u{d7}'])
            .ok_or_else(|| fault("does not say how many \"x\" which volume"))?;
        let count = count.trim_end();
        let plain = !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit());
        let count = count
            .parse()
            .ok()
            .filter(|n| plain && (1..=MOST).contains(n));
        let count =
            count.ok_or_else(|| fault("does not begin with a whole number from 1 to 100000"))?;
        Ok(Bottles {
            count,
            each: each.parse()?,
            pressure: pressure.parse()?,
        })
    }
}

impl fmt::Display for Bottles {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let litres = self.each.0 * 1000.0;
        write!(f, "{} x {litres} L at {}", self.count, self.pressure)
    }
}
