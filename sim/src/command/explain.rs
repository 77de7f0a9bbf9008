//! `deepstay explain`: the chain behind a figure of a folder that `run`, `rota` or `stock` wrote.

use super::exit::Exit;
use super::say;
use crate::report::{Chain, ExplainError, Folder, chain_screen, explain, figures, figures_screen};
use std::path::PathBuf;

/// Where a figure of job.json, rota.json or stock.json comes from
///
/// Says what the figure is, its formula, each term with the rows it was counted from, the rule rows with source and
/// status, and the inputs with file and line; and calculates it again from the files of the folder. Without a figure it
/// lists all, with the beginning of an id those below it: deepstay explain job/gas/banks --in six-man-report
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Its id, such as job/bell_runs/in_water_h, or the beginning of ids
    figure: Option<String>,
    /// Folder that run, rota or stock wrote
    #[arg(long = "in", value_name = "DIR", default_value = ".")]
    folder: PathBuf,
    /// The chain as JSON, with all its terms
    #[arg(long)]
    json: bool,
}

/// Explains it.
pub fn act(arguments: &Arguments) -> Exit {
    let told = Folder::open(&arguments.folder).and_then(|folder| tell(arguments, &folder));
    told.unwrap_or_else(|wrong| match wrong {
        ExplainError::NoChain(_) => say::broken(wrong),
        _ => say::bad_input(wrong),
    })
}

fn tell(arguments: &Arguments, folder: &Folder) -> Result<Exit, ExplainError> {
    let asked = arguments.figure.as_deref().unwrap_or_default();
    let below = figures(folder, asked)?;
    match below.as_slice() {
        [] | [_] => explain(folder, asked).map(|chain| tell_chain(arguments, &chain)),
        many if arguments.json => {
            let each = many
                .iter()
                .map(|(id, printed)| serde_json::json!({ "figure": id, "printed": printed }));
            let list: Vec<serde_json::Value> = each.collect();
            Ok(say::json(serde_json::to_string_pretty(&list)))
        }
        many => Ok(say::out(figures_screen(many, say::columns()).trim_end())),
    }
}

fn tell_chain(arguments: &Arguments, chain: &Chain) -> Exit {
    let said = match arguments.json {
        true => say::json(serde_json::to_string_pretty(chain)),
        false => say::out(chain_screen(chain, say::columns()).trim_end()),
    };
    said.or_else(|| Exit::of_chain(chain))
}
