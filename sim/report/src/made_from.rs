//! What a summary was made of: the version of the program, and each file of the scenario with a digest of its text,
//! so that whoever asks where a figure comes from hears whether a file has changed since.

use deepstay_scenario::MadeFrom;
use serde::{Deserialize, Serialize};

/// Version of the program.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A file that a scenario was made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MadeFromSummary {
    /// The file as it was named, or the name of what is built in.
    pub file: String,
    /// Digest of its text then, hexadecimal digits in fours.
    pub digest: String,
}

impl From<&MadeFrom> for MadeFromSummary {
    fn from(of: &MadeFrom) -> MadeFromSummary {
        MadeFromSummary {
            file: of.file.clone(),
            digest: [48, 32, 16, 0]
                .map(|shift| format!("{:04x}", of.digest >> shift & 0xffff))
                .join("-"),
        }
    }
}
