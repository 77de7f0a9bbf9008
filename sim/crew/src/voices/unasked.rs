//! What divers say by themselves: which, how likely, and how long after it is the matter.

use super::answers::{LONGEST_S, within};
use deepstay_core::record::Spoken;
use deepstay_core::units::text::{Duration, Share};
use deepstay_read::{Diagnostics, Section, Wrong};
use deepstay_rules::Status;
use serde::Deserialize;

/// What a diver says by himself; what has to be the matter for it stands beside each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Unasked {
    /// It is too cold for him, by the bands of comfort, his breath or his suit.
    Cold,
    /// It is too warm for him, by the bands of comfort.
    Hot,
    /// He breathes more carbon dioxide than the figure.
    ShortOfBreath,
    /// What was the matter is over.
    Well,
    /// Gas begins to rush where he is.
    GasNoise,
    /// His mask or helmet gives nothing.
    NoGas,
    /// He is being pressed; said to a person on the watch only.
    Ears,
    /// Water comes up in the bell in which he is.
    Water,
}

impl Unasked {
    /// All of them.
    pub const ALL: [Unasked; 8] = [
        Unasked::Cold,
        Unasked::Hot,
        Unasked::ShortOfBreath,
        Unasked::Well,
        Unasked::GasNoise,
        Unasked::NoGas,
        Unasked::Ears,
        Unasked::Water,
    ];

    /// What is then heard.
    pub fn spoken(self) -> Spoken {
        match self {
            Unasked::Cold => Spoken::Cold,
            Unasked::Hot => Spoken::Hot,
            Unasked::ShortOfBreath => Spoken::ShortOfBreath,
            Unasked::Well => Spoken::Well,
            Unasked::GasNoise => Spoken::GasNoise,
            Unasked::NoGas => Spoken::NoGas,
            Unasked::Ears => Spoken::Ears,
            Unasked::Water => Spoken::Water,
        }
    }

    /// Of what is heard; none of what others hear of him.
    pub fn of(report: Spoken) -> Option<Unasked> {
        Unasked::ALL.into_iter().find(|u| u.spoken() == report)
    }
}

/// What a diver says by himself, and when.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct UnaskedFile {
    /// What, and so what has to be the matter.
    pub says: Unasked,
    /// How likely he speaks of it, each time that it is the matter.
    pub chance: Share,
    /// How long until he does, at least.
    pub least: Duration,
    /// At the most.
    pub most: Duration,
    /// How the figures came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

/// A row of what divers say by themselves.
#[derive(Clone, Debug, PartialEq)]
pub struct UnaskedRow {
    /// What.
    pub says: Unasked,
    /// How likely.
    pub chance: f64,
    /// How long until he does, at least, s.
    pub least_s: i64,
    /// At the most, s.
    pub most_s: i64,
    /// How the figures came to us.
    pub status: Status,
    /// Where they come from.
    pub source: String,
}

impl UnaskedRow {
    /// Whether it is said at once and always: then nothing has to be drawn for it.
    pub fn is_certain(&self) -> bool {
        self.chance >= 1.0 && self.most_s == 0
    }

    /// How long after it is the matter he says so, s, by two variates between 0 and 1; none where he says nothing.
    pub fn after_s(&self, whether: f64, when: f64) -> Option<i64> {
        (whether < self.chance).then(|| within(self.least_s, self.most_s, when))
    }

    /// Of what is written, one for each thing that is said, with whatever is wrong told.
    pub(super) fn all(
        written: &[UnaskedFile],
        section: &Section,
        diagnostics: &mut Diagnostics,
    ) -> Vec<UnaskedRow> {
        let mut rows: Vec<UnaskedRow> = Vec::new();
        for (i, row) in written.iter().enumerate() {
            let mut tell = |field: &str, wrong: Wrong| {
                diagnostics.add(section, &format!("unasked[{i}].{field}"), wrong);
            };
            if row.least.0 > row.most.0 {
                let words = "the least is more than the most".to_owned();
                tell("least", Wrong::Value(words));
            }
            if row.most.0 > LONGEST_S {
                let words = "what is the matter is spoken of within an hour, or not".to_owned();
                tell("most", Wrong::Value(words));
            }
            if row.source.trim().is_empty() {
                let words = "a row says where its figures come from".to_owned();
                tell("source", Wrong::Value(words));
            }
            if rows.iter().any(|r| r.says == row.says) {
                let words = format!("{:?} stands above already", row.says);
                tell("says", Wrong::Contradiction(words));
            }
            rows.push(UnaskedRow {
                says: row.says,
                chance: row.chance.0,
                least_s: row.least.0,
                most_s: row.most.0,
                status: row.status,
                source: row.source.clone(),
            });
        }
        for says in Unasked::ALL {
            if !rows.iter().any(|r| r.says == says) {
                let words = format!("no row says how {says:?} is spoken of");
                diagnostics.add(section, "unasked", Wrong::Value(words));
            }
        }
        rows
    }
}
