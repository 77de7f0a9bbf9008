//! Quantities kept as they are written, for tables whose figures are printed again and in which what a foot
//! of sea water is belongs to the table: turned into plain numbers only when they are asked for.

use super::error::TextError;
use super::number;
use super::tables::{Kind, Unit};
use crate::units::{FswConvention, MSW_PA};
#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, de};
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// A kind of quantity, and the unit in which its plain value is.
pub trait Plain: Copy + fmt::Debug + PartialEq + 'static {
    /// What it is, in which units and within which bounds it is written.
    const KIND: &'static Kind;
    /// Unit of the plain value.
    const UNIT: &'static str;
}

/// A quantity of one kind as it is written: a number and a unit.
#[derive(Clone, Copy)]
pub struct Written<K: Plain> {
    number: f64,
    unit: &'static Unit,
    spelling: &'static str,
    kind: PhantomData<K>,
}

impl<K: Plain> Written<K> {
    /// The plain value, with feet of sea water by `feet`.
    pub fn plain(&self, feet: FswConvention) -> f64 {
        let one = K::KIND.find(K::UNIT).map_or(1.0, |unit| unit.scale);
        let (scale, foot) = match self.unit.in_feet {
            Some(scale) => (scale, feet.pa_per_fsw() / MSW_PA),
            None => (self.unit.scale / one, 1.0),
        };
        if self.unit.inverse {
            scale * foot / self.number
        } else {
            (self.number * scale) * foot + self.unit.offset
        }
    }

    /// The plain value of a quantity that knows no feet.
    pub fn get(&self) -> f64 {
        self.plain(FswConvention::default())
    }
}

impl<K: Plain> PartialEq for Written<K> {
    fn eq(&self, other: &Self) -> bool {
        self.number == other.number && self.spelling == other.spelling
    }
}

impl<K: Plain> fmt::Display for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.number, self.spelling)
    }
}

impl<K: Plain> fmt::Debug for Written<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

impl<K: Plain> FromStr for Written<K> {
    type Err = TextError;

    fn from_str(text: &str) -> Result<Self, TextError> {
        let (number, unit, _) = number::parts(K::KIND, text)?;
        let (_, written) = number::split(text.trim());
        let spelling = unit.spellings().find(|s| *s == written);
        Ok(Written {
            number,
            unit,
            spelling: spelling.unwrap_or(unit.name),
            kind: PhantomData,
        })
    }
}

impl<'de, K: Plain> Deserialize<'de> for Written<K> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        String::deserialize(from)?
            .parse()
            .map_err(de::Error::custom)
    }
}

#[cfg(feature = "schema")]
impl<K: Plain> JsonSchema for Written<K> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        std::borrow::Cow::Borrowed(K::KIND.noun)
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": format!("{} with its unit, as text, like \"{}\"", K::KIND.noun, K::KIND.example),
            "examples": [K::KIND.example],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::text::kinds_of as of;

    #[derive(Clone, Copy, Debug, PartialEq)]
    struct Rate;

    impl Plain for Rate {
        const KIND: &'static Kind = &of::DEPTH_RATE;
        const UNIT: &'static str = "msw/s";
    }

    #[derive(Clone, Copy, Debug, PartialEq)]
    struct Pressure;

    impl Plain for Pressure {
        const KIND: &'static Kind = &of::PARTIAL;
        const UNIT: &'static str = "bar";
    }

    #[test]
    fn a_foot_is_what_the_table_says() {
        let rate: Written<Rate> = "6 fsw/h".parse().expect("a rate");
        let by_atmosphere = 6.0 / 3600.0 * (101_325.0 / 33.0 / 1e4);
        let by_table = 6.0 / 3600.0 * 0.30643;
        let per_atmosphere = rate.plain(FswConvention::PerAtmosphere);
        assert!((per_atmosphere - by_atmosphere).abs() < 1e-15);
        assert!((rate.plain(FswConvention::UnitTable) - by_table).abs() < 1e-15);
        assert!((rate.get() - by_table).abs() < 1e-15);
        // Ten minutes a foot are six feet an hour.
        let slow: Written<Rate> = "10 min/fsw".parse().expect("a rate");
        assert!((slow.get() - by_table).abs() < 1e-15);
    }

    #[test]
    fn it_is_printed_as_it_was_written() {
        for text in ["300 hPa", "0.44 ata", "1.5 bar"] {
            let written: Written<Pressure> = text.parse().expect("a pressure");
            assert_eq!(written.to_string(), text);
        }
        let hpa: Written<Pressure> = "300 hPa".parse().expect("a pressure");
        assert_eq!(hpa.get(), 0.3);
    }

    #[test]
    fn another_unit_is_told_from_a_misspelt_one() {
        let told = |text: &str| {
            text.parse::<Written<Pressure>>()
                .expect_err("refused")
                .to_string()
        };
        assert!(
            told("118 msw").contains("is a unit of a depth"),
            "{}",
            told("118 msw")
        );
        assert!(
            told("0.4 barr").contains("did you mean \"bar\"?"),
            "{}",
            told("0.4 barr")
        );
        assert!(told("0.4").contains("has no unit"), "{}", told("0.4"));
    }
}
