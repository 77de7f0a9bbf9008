//! Absorbent and masks: a canister is changed when ppCO2 has stood at the rule's value for its time,
//! or by hours as a house rule; masks go on when ppCO2 is out of hand.

use super::asked;
use super::context::Look;
use super::house_figures;
use deepstay_core::record::{BreathingPath, Routine, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// State of a level's scrubbers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Absorbent {
    /// By member: since when ppCO2 has stood over the value.
    over_since: Vec<Option<i64>>,
    masks: bool,
}

impl Absorbent {
    /// For a level of so many members.
    pub fn new(members: usize) -> Absorbent {
        Absorbent {
            over_since: vec![None; members],
            masks: false,
        }
    }

    /// A round over all scrubbers.
    pub fn round(&mut self, look: &mut Look, level: usize) {
        let kit = look.kit;
        let (limit_bar, stood_s) = asked::absorbent_change(look);
        let layout = &kit.layout.levels[level];
        for (i, &c) in layout.members.iter().enumerate() {
            if kit.scenario.steel.compartments[c.index()]
                .scrubber
                .is_none()
            {
                continue;
            }
            let shown = look.shown(look.co2_analyser(c)).unwrap_or(0.0);
            let since = match self.over_since[i] {
                _ if shown < limit_bar => None,
                None => Some(look.now),
                since => since,
            };
            self.over_since[i] = since;
            if let Some(since) = since {
                look.wake(since + stood_s);
            }
            let stood = since.is_some_and(|s| look.now >= s + stood_s);
            if stood || look.panel.absorbent_hours(c) >= hours_allowed(look, level, c) {
                change(look, c);
                self.over_since[i] = None;
            }
        }
        self.masks(look, level, layout.living);
    }

    fn masks(&mut self, look: &mut Look, level: usize, c: CompartmentId) {
        let shown = look.shown(look.co2_analyser(c)).unwrap_or(0.0);
        let put_on = !self.masks && shown > house_figures::MASKS_PPCO2_BAR;
        let take_off = self.masks && shown < 0.5 * house_figures::MASKS_PPCO2_BAR;
        if !put_on && !take_off {
            return;
        }
        self.masks = put_on;
        let (from, to) = if put_on {
            (BreathingPath::Ambient, BreathingPath::Bibs)
        } else {
            (BreathingPath::Bibs, BreathingPath::Ambient)
        };
        let members = &look.kit.layout.levels[level].members;
        for diver in look.crew() {
            let here = matches!(look.panel.whereabouts(diver), Whereabouts::In(at) if members.contains(&at));
            if here && look.panel.path(diver) == from {
                look.breathe(diver, to);
            }
        }
    }
}

/// Puts a fresh canister in and writes the stores run down.
pub fn change(look: &mut Look, c: CompartmentId) {
    look.steel(SteelOrder::ChangeCanister { compartment: c });
    look.write(What::Routine {
        compartment: c,
        routine: Routine::Stores,
        diver: None,
    });
}

/// Hours after which a canister is changed whatever ppCO2 says: its capacity at the sizing rate of
/// those in the level, shared among the level's scrubbers.
fn hours_allowed(look: &Look, level: usize, c: CompartmentId) -> f64 {
    let steel = &look.kit.scenario.steel;
    let Some(scrubber) = steel.compartments[c.index()].scrubber else {
        return f64::MAX;
    };
    let members = &look.kit.layout.levels[level].members;
    let scrubbers = members
        .iter()
        .filter(|m| steel.compartments[m.index()].scrubber.is_some())
        .count();
    let heads = look.heads(level).max(1) as f64 / scrubbers.max(1) as f64;
    let capacity = scrubber.absorbent_kg * scrubber.capacity_mol_kg * house_figures::CANISTER_SHARE;
    capacity / (heads * house_figures::CO2_SIZING_MOL_S) / 3600.0
}
