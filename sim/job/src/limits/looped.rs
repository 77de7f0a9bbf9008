//! The alarms of the loop that brings divers' gas back: set points of its own on what its analysers and its tank's
//! gauge indicate, for as long as anybody is fed by it. They ring in dive control, by either analyser, whoever sits there or nobody.

use super::kept::{Group, Wanted};
use super::{LimitBook, Sight};
use deepstay_core::record::{Aspect, Bound, LimitBy, LimitName, Severity, Sink};
use deepstay_core::units::*;
use deepstay_plant::Reclaim;

impl LimitBook {
    /// Puts the loop's alarms in force when it begins to feed somebody, and out of force when it no longer does.
    pub(super) fn look_at_loop(&mut self, sight: &mut Sight, sink: &mut impl Sink) {
        let Some(reclaim) = sight.scenario.steel.reclaim else {
            return;
        };
        let positions = sight.plant.positions();
        let feeds = (0u8..)
            .zip(&sight.scenario.steel.compartments)
            .filter(|(_, c)| c.kind == CompartmentKind::Bell)
            .any(|(i, _)| positions.on_reclaim(CompartmentId(i)));
        if feeds != self.loop_in_force {
            self.loop_in_force = feeds;
            let wanted = match feeds {
                true => set_points(&reclaim),
                false => Vec::new(),
            };
            self.keep(reclaim.tank, Group::Loop, &wanted, sight, sink);
        }
    }
}

fn set_points(reclaim: &Reclaim) -> Vec<Wanted> {
    let alarms = &reclaim.alarms;
    let (o2, co2) = (Quantity::PpO2, Quantity::PpCo2);
    let wanted = |quantity, bound, set: f64, channel| Wanted {
        name: LimitName {
            compartment: reclaim.tank,
            quantity,
            aspect: Aspect::Inside,
            bound,
            severity: Severity::Limit,
            by: LimitBy::SetPoint,
        },
        stands_s: 0,
        truly: set,
        indicated: set,
        manned: false,
        listed: false,
        channel,
    };
    let both = [Channel::Primary, Channel::Secondary];
    let of_each = |channel| {
        [
            wanted(o2, Bound::Low, alarms.low_o2_pa / BAR_PA, channel),
            wanted(o2, Bound::High, alarms.high_o2_pa / BAR_PA, channel),
            wanted(co2, Bound::High, alarms.co2_pa / BAR_PA, channel),
        ]
    };
    // The tank's pressure is shown by a gauge that reads in depth.
    let least_msw = alarms.least_gauge_pa / MSW_PA;
    let pressure = wanted(Quantity::Depth, Bound::Low, least_msw, Channel::Primary);
    let gases = both.into_iter().flat_map(of_each);
    gases.chain([pressure]).collect()
}
