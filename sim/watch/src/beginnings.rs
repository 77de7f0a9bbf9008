//! Named hours to sit down at: a job, a time and a station each.

use deepstay_core::record::Station;
use deepstay_read::{Diagnostics, Document, whole};
use serde::Deserialize;
use std::sync::OnceLock;

const BUILT_IN: &str = include_str!("../../../scenarios/watches/beginnings.ron");

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct BeginningsFile {
    #[expect(
        dead_code,
        reason = "read before the rest, to name a newer file as such"
    )]
    format: u32,
    beginnings: Vec<Beginning>,
}

/// What is going on at an hour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
pub enum Shows {
    /// People in, nothing pressed yet.
    Surface,
    /// A level on its way down.
    Compression,
    /// Levels held.
    Storage,
    /// A bell off its trunk.
    BellAway,
    /// A bell on deck, its clamp not made yet.
    BellMating,
    /// Divers about to go from one living chamber to another.
    CrewChange,
    /// A storage depth about to be changed.
    StorageChange,
    /// A level on its way up.
    Decompression,
    /// The last metres.
    Surfacing,
    /// Something has gone wrong.
    BadHour,
}

/// A named hour.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beginning {
    /// Its name.
    pub name: String,
    /// The built-in job.
    pub job: String,
    /// When, in vessel time of the job.
    pub at: String,
    /// Where one sits.
    pub station: Station,
    /// What is going on.
    pub shows: Shows,
    /// The same in words.
    pub what: String,
}

impl Beginning {
    /// The built-in ones.
    pub fn built_in() -> &'static [Beginning] {
        static MADE: OnceLock<Vec<Beginning>> = OnceLock::new();
        MADE.get_or_init(|| read("beginnings", BUILT_IN).unwrap_or_else(|bad| panic!("{bad}")))
    }

    /// The built-in one of a name.
    pub fn named(name: &str) -> Option<&'static Beginning> {
        Beginning::built_in().iter().find(|b| b.name == name)
    }
}

fn read(file: &str, text: &str) -> Result<Vec<Beginning>, Diagnostics> {
    let mut diagnostics = Diagnostics::default();
    let document = Document::parse(file, text)?;
    let written: Option<BeginningsFile> = whole(&document, &[], &mut diagnostics);
    diagnostics.close(written.map(|w| w.beginnings))
}
