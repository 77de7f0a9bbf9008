//! `deepstay schema`: a JSON Schema of the files, for editors.

use super::exit::Exit;
use super::say;
use crate::scenario::{self, SchemaOf};

/// Prints a JSON Schema of a kind of file, for editors
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Which kind of file
    #[arg(value_enum, default_value_t = Kind::Job)]
    kind: Kind,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Kind {
    /// A job
    Job,
    /// A spread
    Spread,
    /// A rule set
    Rules,
    /// A site
    Site,
    /// A crew
    Crew,
    /// A stock of gas
    Stock,
    /// A plan
    Plan,
    /// A work list
    Work,
    /// A set of faults
    Faults,
    /// What a study of the stock varies
    Study,
    /// A supplier's list
    Supplier,
}

pub fn act(arguments: &Arguments) -> Exit {
    let of = match arguments.kind {
        Kind::Job => SchemaOf::Job,
        Kind::Spread => SchemaOf::Spread,
        Kind::Rules => SchemaOf::Rules,
        Kind::Site => SchemaOf::Site,
        Kind::Crew => SchemaOf::Crew,
        Kind::Stock => SchemaOf::Stock,
        Kind::Plan => SchemaOf::Plan,
        Kind::Work => SchemaOf::Work,
        Kind::Faults => SchemaOf::Faults,
        Kind::Study => SchemaOf::Study,
        Kind::Supplier => SchemaOf::Supplier,
    };
    match serde_json::to_string_pretty(&scenario::schema(of)) {
        Ok(text) => say::out(&text),
        Err(error) => {
            say::err(&format!(
                "deepstay: the schema could not be written: {error}"
            ));
            Exit::BrokenInvariant
        }
    }
}
