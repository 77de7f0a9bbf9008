//! `deepstay schema`: a JSON Schema of the files, for editors.

use super::exit::Exit;
use super::say;
use crate::scenario::{self, SchemaOf};
use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

/// Prints a JSON Schema of a kind of file, for editors
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Which kind of file
    #[arg(default_value = SchemaOf::Job.words().0, value_parser = kinds())]
    kind: SchemaOf,
}

/// The kinds that there are, by their names.
fn kinds() -> impl TypedValueParser<Value = SchemaOf> {
    let each = SchemaOf::ALL.map(|of| {
        let (name, words) = of.words();
        PossibleValue::new(name).help(words)
    });
    let named = |name: String| SchemaOf::named(&name).ok_or("there is no such kind of file");
    PossibleValuesParser::new(each).try_map(named)
}

pub fn act(arguments: &Arguments) -> Exit {
    match serde_json::to_string_pretty(&scenario::schema(arguments.kind)) {
        Ok(text) => say::out(&text),
        Err(error) => {
            say::err(&format!(
                "deepstay: the schema could not be written: {error}"
            ));
            Exit::BrokenInvariant
        }
    }
}
