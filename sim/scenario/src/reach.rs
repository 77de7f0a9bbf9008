//! From which chambers a bell is reached: by doors, through chambers of the same level, to the trunk that
//! the bell is clamped to.

use crate::Level;
use deepstay_core::units::CompartmentId;
use deepstay_plant::Steel;

/// The chambers from which divers reach a bell by its trunk. A chamber of another level lies at another
/// depth and is no way; a bell without a hatch to its trunk is reached from nowhere.
pub fn reached_from(steel: &Steel, levels: &[Level], bell: CompartmentId) -> Vec<CompartmentId> {
    let plate = steel.compartments.get(bell.index());
    let trunk = plate.and_then(|c| c.bell.as_ref()).map(|b| b.trunk);
    let Some(trunk) = trunk.filter(|&t| steel.neighbours(bell).any(|c| c == t)) else {
        return Vec::new();
    };
    let at_trunk = |c: CompartmentId| steel.neighbours(c).any(|n| n == trunk);
    let reached = levels.iter().flat_map(|level| {
        let mut here: Vec<CompartmentId> = level
            .members
            .iter()
            .copied()
            .filter(|&c| at_trunk(c))
            .collect();
        let mut head = 0;
        while let Some(&c) = here.get(head) {
            head += 1;
            for next in steel.neighbours(c) {
                if level.members.contains(&next) && !here.contains(&next) {
                    here.push(next);
                }
            }
        }
        here
    });
    let mut all: Vec<CompartmentId> = reached.collect();
    all.sort_unstable();
    all.dedup();
    all
}
