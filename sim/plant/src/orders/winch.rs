//! The bell's winch.

use super::hand::Hand;
use crate::state::bell::BellState;
use deepstay_core::record::{Refused, Sink};
use deepstay_core::units::*;

impl<S: Sink> Hand<'_, S> {
    /// Sends a bell to a sea depth; zero is the mating position on deck.
    pub fn send_bell(&mut self, bell: CompartmentId, to_msw: f64) -> Result<(), Refused> {
        let i = self.index(bell)?;
        let steel = &self.steel().compartments[i];
        let Some(b) = steel.bell else {
            return Err(Refused::NoSuchThing);
        };
        if !(0.0..=steel.rating_msw).contains(&to_msw) {
            return Err(Refused::Rating);
        }
        let mut doors = self.steel().doors.iter().zip(self.controls().doors());
        let made = doors.any(|(d, s)| d.clamp && d.touches(bell) && s.clamped);
        if made {
            return Err(Refused::ClampInterlock);
        }
        self.touch(i);
        self.touch_loop();
        let t_s = self.t_s;
        let from_msw = self.controls().bell(i).msw(t_s as f64);
        let crosses = from_msw == 0.0 || to_msw == 0.0;
        let to = BellState {
            t_s,
            from_msw,
            to_msw,
            takes_s: ((to_msw - from_msw).abs() / b.winch_msw_s).ceil() as i64,
            handling_s: if crosses && from_msw != to_msw {
                b.handling_s
            } else {
                0
            },
        };
        self.controls_mut().send_bell(i, to);
        Ok(())
    }
}
