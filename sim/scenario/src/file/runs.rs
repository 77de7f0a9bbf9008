//! Bell runs written one by one: in the plan itself, or in a rota's file that the plan names by its path.

use super::ClockDate;
use deepstay_core::order::Activity;
use deepstay_core::units::text::{Depth, Duration};
#[cfg(feature = "schema")]
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use serde::de::value::SeqAccessDeserializer;
use serde::de::{Deserializer, SeqAccess, Visitor};
use std::fmt;

/// A bell run.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BellRunFile {
    /// Start of the checks, from the start of the job.
    pub at: Duration,
    /// Which bell; the only one where not given.
    #[serde(default)]
    pub bell: Option<String>,
    /// Initials in order of leaving the bell; the last is bellman first.
    pub divers: Vec<String>,
    /// Depth; the site's working depth where not given.
    #[serde(default)]
    pub depth: Option<Depth>,
    /// Time each works in the water.
    pub in_water: Duration,
    /// Break in the bell at half that time, where three or more go.
    #[serde(default)]
    pub pause: Option<Duration>,
    /// How hard.
    #[serde(default = "moderate")]
    pub work: Activity,
}

/// A rota's bell runs as a file of its own, as `rota` writes it.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RunsFile {
    /// Version of the grammar; 1.
    pub format: u32,
    /// When the job starts that they were made for, by the ship's clock; a job that starts at another time
    /// does not take them.
    #[serde(default)]
    pub start: Option<ClockDate>,
    /// The runs, in order of time.
    pub bell_runs: Vec<BellRunFile>,
}

/// The runs of a plan: a list in place, or the path of a rota's file relative to the job's.
#[derive(Clone, Debug)]
pub enum RunsRef {
    /// By path.
    Named(String),
    /// In place.
    Here(Vec<BellRunFile>),
}

impl Default for RunsRef {
    fn default() -> Self {
        RunsRef::Here(Vec::new())
    }
}

impl<'de> Deserialize<'de> for RunsRef {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = RunsRef;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("the path of a rota's file, or bell runs in square brackets")
            }

            fn visit_str<E>(self, path: &str) -> Result<RunsRef, E> {
                Ok(RunsRef::Named(path.to_owned()))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<RunsRef, A::Error> {
                Vec::deserialize(SeqAccessDeserializer::new(list)).map(RunsRef::Here)
            }
        }
        from.deserialize_any(Either)
    }
}

#[cfg(feature = "schema")]
impl JsonSchema for RunsRef {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Runs_or_path".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let here = generator.subschema_for::<Vec<BellRunFile>>();
        json_schema!({
            "description": "The path of a rota's file of bell runs, relative to this file, or the runs in place",
            "anyOf": [{ "type": "string" }, here],
        })
    }
}

pub(super) fn moderate() -> Activity {
    Activity::WaterModerate
}
