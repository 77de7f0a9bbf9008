//! Why a figure cannot be explained: the folder, its files, or a figure that is not there.

/// Why a figure cannot be explained.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ExplainError {
    /// The folder cannot be read.
    #[error("{action} {path}: {cause}")]
    Folder {
        /// What was attempted.
        action: &'static str,
        /// On what.
        path: String,
        /// What the system said.
        cause: String,
    },
    /// There is none of the three files in it.
    #[error(
        "{folder} holds no job.json, rota.json or stock.json: name the folder that `run`, `rota` or `stock` wrote with --out"
    )]
    NoSummary {
        /// The folder.
        folder: String,
    },
    /// A file is no summary.
    #[error("{file} in {folder} is no summary of this program: {why}")]
    NotASummary {
        /// The folder.
        folder: String,
        /// The file.
        file: &'static str,
        /// What is wrong with it.
        why: String,
    },
    /// A file is of another shape.
    #[error(
        "{file} in {folder} has format {found}{}; this program explains format {reads}: write it again with this version ({own}), or ask the version that wrote it",
        version(.by)
    )]
    OtherFormat {
        /// The folder.
        folder: String,
        /// The file.
        file: &'static str,
        /// The format that it has.
        found: String,
        /// The version that wrote it, where it says so.
        by: Option<String>,
        /// The format that is read.
        reads: u32,
        /// This version.
        own: &'static str,
    },
    /// There is no such figure.
    #[error("there is no figure `{asked}` in these files{}", near(.nearest))]
    Unknown {
        /// What was asked for.
        asked: String,
        /// The nearest that there is.
        nearest: Option<String>,
    },
    /// A figure without a chain: a fault of the program.
    #[error("the figure {0} has no chain: a fault of the program")]
    NoChain(String),
}

fn version(by: &Option<String>) -> String {
    by.as_ref()
        .map_or_else(String::new, |v| format!(", written by version {v}"))
}

fn near(nearest: &Option<String>) -> String {
    nearest.as_ref().map_or_else(
        || ": `deepstay explain` alone lists what there is".to_owned(),
        |id| format!("; the nearest is `{id}`"),
    )
}
