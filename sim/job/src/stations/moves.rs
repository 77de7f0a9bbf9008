//! Transfers of divers between chambers at equal pressure: every compartment on the path is brought to
//! the same depth, the doors are opened, the divers go, and the doors that were shut are shut again.

use super::banks::Banks;
use super::context::Look;
use super::house_figures;
use super::layout::route;
use super::trunk::{self, Joining};
use deepstay_core::record::{ValveName, Whereabouts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// How long a move is tried before it is given up, s.
const GIVE_UP_S: i64 = 6 * 3600;

/// Which move is next, and the doors opened for it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Moves {
    next: usize,
    path: Vec<(DoorId, CompartmentId)>,
    opened: Vec<DoorId>,
    from: Option<CompartmentId>,
    joining: Joining,
    /// A passage that nobody uses any more, being vented.
    venting: Option<CompartmentId>,
}

impl Moves {
    /// Forgets a move that was under way; the plan's next is tried from the start.
    pub fn begin_anew(&mut self) {
        *self = Moves {
            next: self.next,
            ..Moves::default()
        };
    }

    /// So many are over.
    pub fn found(over: usize) -> Moves {
        Moves {
            next: over,
            ..Moves::default()
        }
    }

    /// Looks and acts.
    pub fn act(&mut self, look: &mut Look, banks: &mut Banks) {
        let kit = look.kit;
        if let Some(passage) = self.venting
            && trunk::empty(look, passage)
        {
            // Its exhaust stays open, or what is left in it would rise as it warms.
            self.venting = None;
        }
        let Some(planned) = kit.scenario.plan.moves.get(self.next) else {
            return;
        };
        if look.now < planned.at {
            look.wake(planned.at);
            return;
        }
        let waiting = planned
            .divers
            .iter()
            .copied()
            .find(|&d| look.panel.whereabouts(d) != Whereabouts::In(planned.to));
        let Some(first) = waiting else {
            self.finish(look);
            return;
        };
        if look.now > planned.at + GIVE_UP_S {
            self.finish(look);
            return;
        }
        let Whereabouts::In(from) = look.panel.whereabouts(first) else {
            let at = look.now + 600;
            look.wake(at);
            return;
        };
        if self.from != Some(from) {
            self.path = route(&kit.scenario.steel, from, planned.to).unwrap_or_default();
            self.from = Some(from);
        }
        if self.open_path(look, from, banks) {
            for &diver in &planned.divers {
                look.go(diver, Whereabouts::In(planned.to));
            }
            let at = look.now + 60;
            look.wake(at);
        }
    }

    /// Brings the path to one pressure and opens its doors; true when all are open.
    fn open_path(&mut self, look: &mut Look, from: CompartmentId, banks: &mut Banks) -> bool {
        let mut here = from;
        let wanted = look.depth(from);
        for i in 0..self.path.len() {
            let (door, there) = self.path[i];
            if !look.panel.open(door) {
                self.bring_together(look, door, here, there, wanted, banks);
                return false;
            }
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            here = there;
        }
        !self.path.is_empty()
    }

    fn bring_together(
        &mut self,
        look: &mut Look,
        door: DoorId,
        here: CompartmentId,
        there: CompartmentId,
        wanted: f64,
        banks: &mut Banks,
    ) {
        let lived_in = look.kit.layout.level_of(there).is_some();
        let near = (look.depth(there) - wanted).abs() <= house_figures::LOSS_MSW;
        if near && (lived_in || trunk::still(look, there)) {
            if !self.opened.contains(&door) {
                self.opened.push(door);
            }
            trunk::join(look, door, here, there, &mut self.joining);
        } else if !lived_in {
            // A door joined before is shut off again while the compartment beyond it is equalised.
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            trunk::bring_level(look, there, wanted, banks);
        }
        let at = look.now + 30;
        look.wake(at);
    }

    fn finish(&mut self, look: &mut Look) {
        for i in 0..self.opened.len() {
            let door = self.opened[i];
            look.valve(ValveName::Equalise(door), 0.0, Purpose::Transfer);
            look.door(door, false);
        }
        for i in 0..self.path.len() {
            let (_, there) = self.path[i];
            if look.kit.layout.level_of(there).is_none() {
                trunk::shut(look, there);
                let last = self.next + 1 == look.kit.scenario.plan.moves.len();
                let of_bell = look.kit.layout.bells.iter().any(|b| b.trunk == there);
                if last && !of_bell {
                    self.venting = Some(there);
                }
            }
        }
        self.opened.clear();
        self.path.clear();
        self.from = None;
        self.next += 1;
        let at = look.now + 1;
        look.wake(at);
    }
}
