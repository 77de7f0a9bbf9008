//! From which chambers a bell is reached: by doors, through chambers of the same level, to the trunk that
//! the bell is clamped to.

use deepstay_core::units::CompartmentId;
use deepstay_scenario::Scenario;

/// The chambers from which divers reach a bell by its trunk. A chamber of another level lies at another
/// depth and is no way; a bell without a hatch to its trunk is reached from nowhere.
pub fn of(scenario: &Scenario, bell: CompartmentId, trunk: CompartmentId) -> Vec<CompartmentId> {
    let steel = &scenario.steel;
    let mated = steel.neighbours(bell).any(|c| c == trunk);
    if !mated {
        return Vec::new();
    }
    let at_trunk = |c: CompartmentId| steel.neighbours(c).any(|n| n == trunk);
    let levels = scenario.plan.levels.iter();
    let reached = levels.flat_map(|level| {
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
