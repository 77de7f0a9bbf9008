//! Absorbent and masks: a canister is changed when ppCO2 has stood at the rule's value for its time, the one that
//! has run longest first; by hours, as a house figure, only where the rule set has no such row. A fan that does not
//! run is no reason to change a canister. Masks go on when ppCO2 is out of hand, or has stood too long at what can be
//! borne for hours only.

use super::asked;
use super::context::Look;
use super::house_figures;
use deepstay_core::record::{Finding, Machine};
use deepstay_core::units::*;
use deepstay_plant::SteelOrder;
use serde::{Deserialize, Serialize};

/// State of a level's scrubbers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Absorbent {
    /// By member: since when ppCO2 has stood over the value.
    over_since: Vec<Option<i64>>,
    /// By member: its fan has been found stopped.
    stopped: Vec<bool>,
    /// Charges used that the locks have not been asked to replace.
    due: u8,
    masks: bool,
    /// Since when ppCO2 has stood at what is tolerable for hours only.
    hours_since: Option<i64>,
    /// When a value will have stood for its time.
    due_at: Option<i64>,
}

impl Absorbent {
    /// For a level of so many members.
    pub fn new(members: usize) -> Absorbent {
        Absorbent {
            over_since: vec![None; members],
            stopped: vec![false; members],
            due: 0,
            masks: false,
            hours_since: None,
            due_at: None,
        }
    }

    /// The lamps of the fans, looked at whenever the panel is.
    pub fn lamps(&mut self, look: &mut Look, level: usize) {
        let kit = look.kit;
        for (i, &c) in kit.layout.levels[level].members.iter().enumerate() {
            let plate = &kit.scenario.steel.compartments[c.index()];
            if plate.scrubber.is_some() && look.panel.fan_runs(c) == self.stopped[i] {
                self.fan_runs(look, i, c);
            }
        }
        if let Some(at) = self.due_at {
            if look.now >= at {
                self.round(look, level);
            } else {
                look.wake(at);
            }
        }
        self.masks(look, level);
    }

    /// A round over all scrubbers.
    pub fn round(&mut self, look: &mut Look, level: usize) {
        let kit = look.kit;
        let members = &kit.layout.levels[level].members;
        let rule = asked::absorbent_change(look);
        let mut due: Option<(f64, usize, Finding)> = None;
        self.due_at = None;
        for (i, &c) in members.iter().enumerate() {
            if kit.scenario.steel.compartments[c.index()]
                .scrubber
                .is_none()
                || !self.fan_runs(look, i, c)
            {
                continue;
            }
            let hours = look.panel.absorbent_hours(c);
            let allowed = hours_allowed(look, level, c);
            let why = match rule {
                Some(rule) => self
                    .stood(look, i, c, rule)
                    .then_some(Finding::AbsorbentSpent),
                None => (hours >= allowed).then_some(Finding::AbsorbentHours),
            };
            let worn = hours / allowed;
            if let Some(why) = why
                && due.is_none_or(|(most, ..)| worn > most)
            {
                due = Some((worn, i, why));
            }
        }
        if let Some((_, i, why)) = due {
            look.found(members[i], why);
            change(look, members[i]);
            self.due = self.due.saturating_add(1);
            // What one fresh canister does to all is waited for before the next is changed.
            self.over_since.fill(None);
        }
    }

    /// Whether ppCO2 has stood at the rule's value for its time.
    fn stood(&mut self, look: &mut Look, i: usize, c: CompartmentId, rule: (f64, i64)) -> bool {
        let (limit_bar, stood_s) = rule;
        let shown = look.shown(look.co2_analyser(c)).unwrap_or(0.0);
        if shown < limit_bar {
            self.over_since[i] = None;
            return false;
        }
        let since = *self.over_since[i].get_or_insert(look.now);
        let at = since + stood_s;
        if look.now < at {
            self.due_at = Some(self.due_at.map_or(at, |other| other.min(at)));
        }
        look.now >= at
    }

    /// Whether a fan runs; one that does not is written down once, and switched on again.
    fn fan_runs(&mut self, look: &mut Look, i: usize, c: CompartmentId) -> bool {
        let runs = look.panel.fan_runs(c);
        if !runs && !self.stopped[i] {
            look.found(c, Finding::FanStopped);
            look.switch(c, Machine::Fan, true);
        }
        if !runs {
            self.over_since[i] = None;
        }
        self.stopped[i] = !runs;
        runs
    }

    /// Charges used since the last call: each comes in by a lock run.
    pub fn take_due(&mut self) -> u8 {
        std::mem::take(&mut self.due)
    }

    /// Whether masks are to be on for carbon dioxide.
    pub fn wants_masks(&self) -> bool {
        self.masks
    }

    fn masks(&mut self, look: &mut Look, level: usize) {
        let members = &look.kit.layout.levels[level].members;
        let shown = members
            .iter()
            .filter_map(|&c| look.shown(look.co2_analyser(c)))
            .fold(0.0, f64::max);
        let hours_only = shown >= house_figures::HOURS_PPCO2_BAR;
        self.hours_since = hours_only.then(|| self.hours_since.unwrap_or(look.now));
        let too_long = self.hours_since.is_some_and(|since| {
            look.wake(since + house_figures::HOURS_S);
            look.now >= since + house_figures::HOURS_S
        });
        self.masks = if self.masks {
            shown > 0.5 * house_figures::HOURS_PPCO2_BAR
        } else {
            shown > house_figures::MASKS_PPCO2_BAR || too_long
        };
    }
}

/// Puts a fresh canister in, from the store outside.
pub fn change(look: &mut Look, c: CompartmentId) {
    look.steel(SteelOrder::ChangeCanister { compartment: c });
}

/// Hours after which a canister is changed where the rule set has no row for it: its capacity at the sizing rate
/// of those in the level, shared among the level's scrubbers.
fn hours_allowed(look: &mut Look, level: usize, c: CompartmentId) -> f64 {
    let kit = look.kit;
    let steel = &kit.scenario.steel;
    let Some(scrubber) = steel.compartments[c.index()].scrubber else {
        return f64::MAX;
    };
    let each_mol_s = asked::co2_sizing_mol_s(look);
    let members = &kit.layout.levels[level].members;
    let scrubbers = members
        .iter()
        .filter(|m| steel.compartments[m.index()].scrubber.is_some())
        .count();
    let heads = look.heads(level).max(1) as f64 / scrubbers.max(1) as f64;
    let capacity = scrubber.absorbent_kg * scrubber.capacity_mol_kg * house_figures::CANISTER_SHARE;
    capacity / (heads * each_mol_s) / 3600.0
}
