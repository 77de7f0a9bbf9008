//! What people breathe from masks, helmets and bail-out: it has limits of its own, true only, for what reaches a
//! mouth no instrument shows. Looked at every minute while somebody breathes from a line.

use super::kept::Group;
use super::people::bit;
use super::{LimitBook, Sight, of_rules};
use deepstay_core::record::{Bound, BreathingPath, Sink, Whereabouts};
use deepstay_core::units::*;

/// Seconds between two looks.
const EVERY_S: i64 = 60;

impl LimitBook {
    pub(super) fn look_at_breathing(&mut self, sight: &mut Sight, sink: &mut impl Sink) {
        if sight.now_s < self.breathed_s {
            return;
        }
        let mut anybody = false;
        for i in 0..sight.scenario.steel.compartments.len() as u8 {
            let c = CompartmentId(i);
            let (now, before) = (self.at.on_lines(c), self.breathed_in & bit(c) != 0);
            if now != before {
                let (rules, accepted) = (&sight.scenario.rules, &sight.scenario.accepted);
                let limits = match now {
                    true => rules.breathed_limits(accepted),
                    false => Vec::new(),
                };
                let wanted = of_rules(&limits, c, false, sight.rows);
                self.keep(c, Group::Breathed, &wanted, sight, sink);
                self.breathed_in ^= bit(c);
            }
            if now {
                anybody = true;
                self.feed_breathed(c, sight, sink);
            }
        }
        self.breathed_s = if anybody {
            sight.now_s + EVERY_S
        } else {
            i64::MAX
        };
    }

    /// The worst that anybody there breathes, by each limit.
    fn feed_breathed(&mut self, c: CompartmentId, sight: &Sight, sink: &mut impl Sink) {
        let people = sight.people;
        let there = |d: &DiverId| {
            let at = people.crew.whereabouts(*d);
            (at == Whereabouts::In(c) || at == Whereabouts::Water(c))
                && people.crew.path(*d) != BreathingPath::Ambient
        };
        let airs: Vec<_> = people
            .crew
            .ids()
            .filter(there)
            .map(|d| people.breathed_by(d, sight.now_s, sight.plant))
            .collect();
        for k in 0..self.kept.len() {
            let kept = &self.kept[k];
            let mine = kept.in_use() && kept.group == Group::Breathed && kept.name.compartment == c;
            if !mine {
                continue;
            }
            let values = airs.iter().map(|air| match kept.name.quantity {
                Quantity::PpCo2 => air.ppco2_pa / BAR_PA,
                _ => air.ppo2_pa / BAR_PA,
            });
            let worst = match kept.name.bound {
                Bound::High => values.reduce(f64::max),
                Bound::Low => values.reduce(f64::min),
            };
            if let Some(worst) = worst {
                self.feed(k, worst, sight, sink);
            }
        }
    }
}
