//! What the automatic stations do, written down as acts from outside: a person who gives them at the same seconds has
//! done what the automatic watch did.

use super::outside::{Act, OutsideAct};
use crate::stations::Desk;
use deepstay_core::record::{Phase, Station, What};
use deepstay_core::units::CompartmentId;
use std::collections::BTreeMap;

/// The acts so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Deeds {
    acts: Vec<OutsideAct>,
    /// What each chamber was last said to do, and the depth it was said to have.
    said: BTreeMap<CompartmentId, (Phase, f64)>,
}

impl Deeds {
    /// What they are.
    pub(super) fn acts(&self) -> &[OutsideAct] {
        &self.acts
    }

    /// What a station has put on its desk in one look: its orders, and what it says of phases and depths.
    pub(super) fn add(&mut self, at: i64, station: Station, desk: &Desk) {
        let mut acts: Vec<Act> = desk.orders.iter().map(|order| Act::Order(*order)).collect();
        for entry in &desk.entries {
            let (compartment, phase, depth_msw) = match *entry {
                What::Phase { compartment, phase } => (compartment, Some(phase), None),
                What::Target {
                    compartment,
                    depth_msw,
                } => (compartment, None, Some(depth_msw)),
                _ => continue,
            };
            let said = self
                .said
                .entry(compartment)
                .or_insert((Phase::Surface, 0.0));
            *said = (phase.unwrap_or(said.0), depth_msw.unwrap_or(said.1));
            acts.push(Act::Aim {
                compartment,
                phase: said.0,
                depth_msw: said.1,
            });
        }
        let given = acts.into_iter().map(|act| OutsideAct { at, station, act });
        self.acts.extend(given);
    }
}
