//! Where the rows of a set are written: file, line and column, for whoever asks where a figure comes from.

use super::RuleSet;
use super::limits::house;
use deepstay_read::{Place, Section};

/// Where a set was read from. What it says is the same wherever that is.
#[derive(Clone, Debug, Default)]
pub(super) struct Written(Option<Section>);

impl PartialEq for Written {
    fn eq(&self, _: &Written) -> bool {
        true
    }
}

impl Written {
    pub(super) fn within(section: &Section) -> Written {
        Written(Some(section.clone()))
    }

    fn place_of(&self, id: &str) -> Option<Place> {
        let section = self.0.as_ref()?;
        let paths = section.node()?.paths_to("id", id);
        Some(
            section
                .document()
                .place(&section.path().join(paths.first()?)),
        )
    }
}

impl RuleSet {
    /// Where the id of a row is written: in this set's file, or in the house's where the set has no row of that id. None where
    /// neither has it, or where the set was put together and not read.
    pub fn place_of(&self, id: &str) -> Option<Place> {
        let own = self.written.place_of(id);
        own.or_else(|| house().written.place_of(id))
    }
}
