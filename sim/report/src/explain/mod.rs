//! The chain behind a figure: for each number of `job.json`, `rota.json` and `stock.json` the rows that it was counted
//! from, the formula, the rule rows with their sources, and the inputs with file and line. What the files of the
//! folder still hold is added up again here, apart from how it was counted first, and held against what is printed.
//!
//! Each number has its [`link::Link`] in one list per file (`job`, `rota`, `stock`), found by a pattern of its path;
//! a test walks all numbers of the built-in jobs and finds each in exactly one.

mod cells;
mod chain;
mod error;
mod figures;
mod folder;
mod ground;
mod heads;
mod id;
mod job;
mod link;
mod rota;
mod screen;
mod stock;
mod table;

pub(crate) use cells::{Cells, apart, cell_apart};
pub use chain::{Again, Chain, ChainInput, ChainRule, Origin, Term};
pub use error::ExplainError;
pub use folder::Folder;
pub(crate) use heads::Heads;
pub(crate) use id::id;
pub use screen::{chain_screen, figures_screen};

use figures::Found;
use folder::Kind;
use ground::Ground;
use link::Link;

/// The list of a file's links.
fn links(kind: Kind) -> &'static [&'static [Link]] {
    match kind {
        Kind::Job => job::LINKS,
        Kind::Rota => rota::LINKS,
        Kind::Stock => stock::LINKS,
    }
}

/// The ids of all figures of a folder that begin with `prefix`, each with its value; a prefix ends where a part of
/// an id ends.
///
/// # Errors
/// What is wrong with the folder.
pub fn figures(folder: &Folder, prefix: &str) -> Result<Vec<(String, String)>, ExplainError> {
    let prefix = figures::asked(prefix);
    let mut all = Vec::new();
    for (kind, root) in folder.summaries()? {
        for found in figures::all(kind, &root) {
            if figures::is_below(&found.id, &prefix) {
                all.push((found.id, found.written));
            }
        }
    }
    Ok(all)
}

/// The chain of a figure.
///
/// # Errors
/// What is wrong with the folder; that there is no such figure, with the nearest that there is.
pub fn explain(folder: &Folder, figure: &str) -> Result<Chain, ExplainError> {
    let asked = figures::asked(figure);
    let mut ids = Vec::new();
    for (kind, root) in folder.summaries()? {
        let all = figures::all(kind, &root);
        let found = figures::named(&all, kind, &asked);
        if let Some(found) = found {
            let ground = Ground::of(folder, kind, &root);
            return chain(&ground, found);
        }
        ids.extend(all.into_iter().map(|found| found.id));
    }
    Err(ExplainError::Unknown {
        asked: figure.to_owned(),
        nearest: figures::nearest_to(&asked, &ids),
    })
}

/// The chains of some figures of files that are about to be written; none where they cannot be made.
pub(crate) fn heads(files: &[(&str, &[u8])], ids: &[String]) -> Heads {
    let owned = files.iter().map(|(n, b)| ((*n).to_owned(), b.to_vec()));
    let folder = Folder::of(owned);
    let mut chains = Vec::new();
    for (kind, root) in folder.summaries().unwrap_or_default() {
        let ground = Ground::of(&folder, kind, &root);
        let all = figures::all(kind, &root);
        let asked = all.iter().filter(|found| ids.contains(&found.id));
        chains.extend(asked.filter_map(|found| chain(&ground, found).ok()));
    }
    Heads::of(chains)
}

/// The chains of all figures of a folder.
///
/// # Errors
/// What is wrong with the folder.
pub fn explain_all(folder: &Folder) -> Result<Vec<Chain>, ExplainError> {
    let mut chains = Vec::new();
    for (kind, root) in folder.summaries()? {
        let ground = Ground::of(folder, kind, &root);
        for found in figures::all(kind, &root) {
            chains.push(chain(&ground, &found)?);
        }
    }
    Ok(chains)
}

fn chain(ground: &Ground<'_>, found: &Found<'_>) -> Result<Chain, ExplainError> {
    let mut fitting = links(ground.kind)
        .iter()
        .copied()
        .flatten()
        .filter_map(|link| Some((link, link.catches(found)?)));
    let Some((link, caught)) = fitting.next() else {
        return Err(ExplainError::NoChain(found.id.clone()));
    };
    match fitting.next() {
        None => Ok(link.chain(ground, found, &caught)),
        Some(_) => Err(ExplainError::NoChain(found.id.clone())),
    }
}
