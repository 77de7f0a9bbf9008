//! Masks of a level: one hand puts them on and takes them off, for whatever reasons there are, so that none takes
//! off what another wants on.

use super::banks::Banks;
use super::bell_gas;
use super::context::Look;
use super::surface;
use deepstay_core::record::{BreathingPath, LineName, Whereabouts};
use deepstay_core::units::CompartmentId;
use serde::{Deserialize, Serialize};

/// State of a level's masks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Masks {
    on: bool,
}

impl Masks {
    /// As somebody else left them.
    pub fn found(on: bool) -> Masks {
        Masks { on }
    }

    /// Keeps a bank that can be breathed at the depth shown on the masks of every chamber of the level, so that whoever
    /// puts one on has gas at once.
    pub fn keep_fed(look: &mut Look, level: usize, banks: &mut Banks) {
        let kit = look.kit;
        for &c in &kit.layout.levels[level].members {
            let depth_msw = look.depth(c);
            surface::masks_line(look, c, depth_msw, banks);
        }
    }

    /// Has everybody in the level on masks, by lines whose bank still gives a breath, or off them again.
    pub fn act(&mut self, look: &mut Look, level: usize, wanted: bool, banks: &mut Banks) {
        if !wanted && !self.on {
            return;
        }
        let members = &look.kit.layout.levels[level].members;
        let mut lined = vec![None; members.len()];
        let mut sent = false;
        for diver in look.crew() {
            sent |= look.is_sent(diver);
            let Whereabouts::In(c) = look.panel.whereabouts(diver) else {
                continue;
            };
            let Some(at) = members.iter().position(|&m| m == c) else {
                continue;
            };
            match look.panel.path(diver) {
                BreathingPath::Ambient if wanted && !look.is_sent(diver) => {
                    let fed = *lined[at].get_or_insert_with(|| {
                        surface::masks_line(look, c, look.depth(c), banks) || gives_breath(look, c)
                    });
                    if fed {
                        look.breathe(diver, BreathingPath::Bibs);
                    }
                }
                BreathingPath::Bibs if !wanted => look.breathe(diver, BreathingPath::Ambient),
                _ => {}
            }
        }
        self.on = wanted;
        if wanted {
            let soon = look.now + if sent { 1 } else { 60 };
            look.wake(soon);
        }
    }
}

/// Whether the bank that a chamber's masks are lined up to gives a breath there, as far as its gauge tells: on an empty
/// one people are worse off than without.
fn gives_breath(look: &Look, c: CompartmentId) -> bool {
    let least_bar = bell_gas::breath_bar(look, look.depth(c));
    let bank = look.panel.lined_up(LineName::Bibs(c));
    bank.is_some_and(|bank| look.bank_bar(bank).is_none_or(|bar| bar > least_bar))
}
