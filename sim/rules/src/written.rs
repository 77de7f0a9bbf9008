//! Where the rows of a set are written: file, line and column, for whoever asks where a figure comes from.

use super::RuleSet;
use super::limits::house;
use deepstay_read::{Place, Section};
use std::fmt;

/// Where a set was read from. What it says is the same wherever that is.
#[derive(Clone, Default)]
pub(super) struct Written(Option<Section>);

/// Nothing of the file: the fingerprint of a scenario is taken of all that is printed here, and does not change with the
/// place that a set was read from.
impl fmt::Debug for Written {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("Written")
    }
}

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
    /// Where the id of a row is written: in this set's file, in that of one it is based on, or in the house's where the set has no row of that id. None where
    /// neither has it, or where the set was put together and not read.
    pub fn place_of(&self, id: &str) -> Option<Place> {
        let own = self.written.place_of(id);
        own.or_else(|| self.bases_written.iter().find_map(|base| base.place_of(id)))
            .or_else(|| house().written.place_of(id))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_read::Document;

    #[test]
    fn where_a_set_was_read_from_is_not_part_of_what_it_says() {
        let read = |file: &str, text: &str| {
            let document = Document::parse(file, text).expect("a list");
            Written::within(&Section::whole(document.into()))
        };
        let (ours, theirs) = (
            read("ours.ron", "[1]"),
            read("theirs.ron", "// a copy\n[1]"),
        );
        assert_eq!(ours, theirs);
        assert_eq!(format!("{ours:?}"), "Written");
        assert_eq!(format!("{ours:?}"), format!("{:?}", Written::default()));
        assert_eq!(format!("{ours:?}"), format!("{theirs:?}"));
    }
}
