//! Every sum, in the order in which a watch meets them.

mod absorbent;
mod bell;
mod chamber;
mod clock;
mod divers;
mod elsewhere;
mod oxygen;
mod quads;

use crate::error::SumError;
use crate::sum::Sum;

/// Sums that belong together.
#[derive(Clone, Copy, Debug)]
pub struct Group {
    /// What they are about.
    pub title: &'static str,
    /// They.
    pub sums: &'static [Sum],
}

/// Every sum, by what it is about.
pub const GROUPS: [Group; 8] = [
    Group {
        title: "Pressure, quads and gas status",
        sums: quads::SUMS,
    },
    Group {
        title: "Divers' gas",
        sums: divers::SUMS,
    },
    Group {
        title: "Bell and bail-out",
        sums: bell::SUMS,
    },
    Group {
        title: "Oxygen",
        sums: oxygen::SUMS,
    },
    Group {
        title: "Carbon dioxide and absorbent",
        sums: absorbent::SUMS,
    },
    Group {
        title: "Depth changes, locks and leaks",
        sums: chamber::SUMS,
    },
    Group {
        title: "Decompression clock",
        sums: clock::SUMS,
    },
    Group {
        title: "Temperature, altitude, closed circuit",
        sums: elsewhere::SUMS,
    },
];

/// Every sum.
pub fn sums() -> impl Iterator<Item = &'static Sum> {
    GROUPS.iter().flat_map(|group| group.sums)
}

/// The sum of a name.
///
/// # Errors
/// There is none of that name; a near one, if any.
pub fn sum(name: &str) -> Result<&'static Sum, SumError> {
    sums()
        .find(|s| s.name == name)
        .ok_or_else(|| SumError::UnknownSum {
            name: name.to_owned(),
            nearest: deepstay_read::nearest(name, sums().map(|s| s.name)),
        })
}
