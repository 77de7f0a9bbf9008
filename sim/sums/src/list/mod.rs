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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::formulas::{BAIL_OUT_L_MIN, EMERGENCY_PPO2_ATA, FIRE_ZONE_SHARE, SIZING_L_MIN};
    use crate::name::Name;
    use crate::sum::{How, OfASet};
    use deepstay_core::units::ATM_PA;

    /// A figure that the reserve and the bill use too is the same where a sum takes it as usual.
    #[test]
    fn usual_figures_are_those_of_the_formulas() {
        const L_MIN: f64 = 1e-3 / 60.0;
        let mut seen = 0;
        for (sum, ask) in sums().flat_map(|sum| sum.asks.iter().map(move |ask| (sum, ask))) {
            let How::Usual { metric, .. } = ask.how else {
                continue;
            };
            let wanted = match (ask.of_a_set(), ask.name) {
                (Some(OfASet::OxygenSizing | OfASet::Co2Sizing), _) => SIZING_L_MIN * L_MIN,
                (Some(OfASet::BailOut), _) => BAIL_OUT_L_MIN * L_MIN,
                (Some(OfASet::FireZone), _) => FIRE_ZONE_SHARE,
                (Some(OfASet::Co2Measured), _) => continue,
                (None, Name::Low) => EMERGENCY_PPO2_ATA.0 * ATM_PA,
                (None, Name::High) => EMERGENCY_PPO2_ATA.1 * ATM_PA,
                (None, _) => continue,
            };
            let (usual, _) = ask.name.kind().read(metric).expect("it reads");
            assert!((usual / wanted - 1.0).abs() < 1e-12, "{}", sum.name);
            seen += 1;
        }
        assert!(seen >= 10, "{seen}");
    }
}
