//! Small things that files are made of: what stands for another file, plain numbers, a value with its
//! range, the ship's clock.

use deepstay_core::units::text::TextError;
#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, MapAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// A part of a job: the name of a built-in one, a path relative to the file, or written in place.
#[derive(Clone, Debug, PartialEq)]
pub enum Ref<T> {
    /// By name or path.
    Named(String),
    /// In place.
    Here(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Ref<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Either<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Either<T> {
            type Value = Ref<T>;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("the name of a built-in part, a path, or the fields in round brackets")
            }

            fn visit_str<E>(self, name: &str) -> Result<Ref<T>, E> {
                Ok(Ref::Named(name.to_owned()))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Ref<T>, A::Error> {
                T::deserialize(MapAccessDeserializer::new(map)).map(Ref::Here)
            }
        }
        from.deserialize_any(Either(PhantomData))
    }
}

#[cfg(feature = "schema")]
impl<T: JsonSchema> JsonSchema for Ref<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{}_or_name", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let here = generator.subschema_for::<T>();
        json_schema!({
            "description": "The name of a built-in part, a path relative to this file, or the fields in place",
            "anyOf": [{ "type": "string" }, here],
        })
    }
}

/// A plain number, finite and not larger than a million.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "f64")]
#[cfg_attr(feature = "schema", schemars(with = "f64"))]
pub struct Number(pub f64);

impl TryFrom<f64> for Number {
    type Error = String;
    fn try_from(value: f64) -> Result<Self, String> {
        if value.is_finite() && value.abs() <= 1e6 {
            Ok(Number(value))
        } else {
            Err(format!(
                "{value} is not a number that can be meant here; write one between -1000000 and 1000000"
            ))
        }
    }
}

/// A value and the range it may lie in: `"90 %"` alone, or `"90 % from 80 % to 95 %"`.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
#[serde(try_from = "String", bound(deserialize = "T: Quantity"))]
pub struct Ranged<T> {
    /// What is reckoned with.
    pub value: T,
    /// Lower end; the value itself where no range is given.
    pub low: T,
    /// Upper end.
    pub high: T,
}

/// A quantity of the units room that can have a range.
pub trait Quantity: Copy + PartialOrd + FromStr<Err = TextError> {}

impl<T: Copy + PartialOrd + FromStr<Err = TextError>> Quantity for T {}

impl<T: Quantity> TryFrom<String> for Ranged<T> {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let read = |part: &str| part.parse::<T>().map_err(|e| e.to_string());
        let Some((value, range)) = text.split_once(" from ") else {
            let value = read(&text)?;
            return Ok(Ranged {
                value,
                low: value,
                high: value,
            });
        };
        let (low, high) = range.split_once(" to ").ok_or_else(|| {
            format!("\"{text}\" begins a range without end; write \"VALUE from LOW to HIGH\"")
        })?;
        let ranged = Ranged {
            value: read(value)?,
            low: read(low)?,
            high: read(high)?,
        };
        if ranged.low <= ranged.value && ranged.value <= ranged.high {
            Ok(ranged)
        } else {
            Err(format!(
                "in \"{text}\" the value does not lie within its range"
            ))
        }
    }
}

#[cfg(feature = "schema")]
impl<T: JsonSchema> JsonSchema for Ranged<T> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{}_with_range", T::schema_name()).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "A quantity with its unit, alone or with its range: \"90 %\" or \"90 % from 80 % to 95 %\"",
        })
    }
}

/// A date and a time of day of the ship's clock: `"2031-05-04 06:00"`. Seconds since 1970-01-01 00:00 of
/// that clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "String")]
#[cfg_attr(feature = "schema", schemars(with = "String"))]
pub struct ClockDate(pub i64);

impl TryFrom<String> for ClockDate {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        jiff::civil::DateTime::strptime("%Y-%m-%d %H:%M", text.trim())
            .ok()
            .filter(|d| (1900..2200).contains(&d.year()))
            .and_then(|d| d.to_zoned(jiff::tz::TimeZone::UTC).ok())
            .map(|z| ClockDate(z.timestamp().as_second()))
            .ok_or_else(|| {
                format!("\"{text}\" is no date and time of the years 1900 to 2199; write it like \"2031-05-04 06:00\"")
            })
    }
}

impl fmt::Display for ClockDate {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match jiff::Timestamp::from_second(self.0) {
            Ok(at) => write!(f, "{}", at.strftime("%Y-%m-%d %H:%M")),
            Err(_) => write!(f, "second {}", self.0),
        }
    }
}

/// How far the ship's clock is ahead of UTC: `"+02:00"`. Seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "String")]
#[cfg_attr(feature = "schema", schemars(with = "String"))]
pub struct Offset(pub i64);

impl TryFrom<String> for Offset {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let wrong = || {
            format!(
                "\"{text}\" is no offset from UTC; write it like \"+02:00\", from -14:00 to +14:00"
            )
        };
        let (sign, clock) = match text.as_bytes().first() {
            Some(b'+') => (1, &text[1..]),
            Some(b'-') => (-1, &text[1..]),
            _ => return Err(wrong()),
        };
        let two = |s: &str| {
            (s.len() == 2)
                .then(|| s.parse::<u8>().ok())
                .flatten()
                .map(i64::from)
        };
        let (hours, minutes) = clock.split_once(':').ok_or_else(wrong)?;
        match (two(hours), two(minutes)) {
            (Some(h), Some(m)) if h <= 14 && m < 60 => Ok(Offset(sign * (h * 3600 + m * 60))),
            _ => Err(wrong()),
        }
    }
}
