//! The hand that does what was ordered, at one second, and tells the record.

use crate::plant::Plant;
use crate::state::controls::Controls;
use crate::state::setting::Setting;
use crate::steel::Steel;
use deepstay_core::record::{Entry, Refused, Sink, What};
use deepstay_core::units::*;

/// A hand on the plant.
pub(crate) struct Hand<'a, S> {
    /// What it acts on.
    pub plant: &'a mut Plant,
    /// When.
    pub t_s: i64,
    sink: &'a mut S,
}

impl<'a, S: Sink> Hand<'a, S> {
    /// At a second.
    pub fn new(plant: &'a mut Plant, t_s: i64, sink: &'a mut S) -> Self {
        Hand { plant, t_s, sink }
    }

    /// Number of a compartment, if there is such a one.
    pub fn index(&self, c: CompartmentId) -> Result<usize, Refused> {
        let count = self.steel().compartments.len();
        let there = c.index() < count;
        there.then(|| c.index()).ok_or(Refused::NoSuchThing)
    }

    /// The steel.
    pub fn steel(&self) -> &Steel {
        self.plant.steel()
    }

    /// How it is set.
    pub fn controls(&self) -> &Controls {
        self.plant.view().model.controls
    }

    /// The same, to be changed.
    pub fn controls_mut(&mut self) -> &mut Controls {
        &mut self.plant.changing().setup.controls
    }

    /// Settings of a compartment, to be changed.
    pub fn setting_mut(&mut self, i: usize) -> &mut Setting {
        self.controls_mut().of_mut(i)
    }

    /// Pressure of a compartment now, Pa.
    pub fn pressure_pa(&self, i: usize) -> f64 {
        self.plant.view().pressure_pa(i, self.t_s)
    }

    /// Pressure outside a compartment now, Pa.
    pub fn outside_pa(&self, i: usize) -> f64 {
        self.plant.view().model.outside_pa(i, self.t_s as f64)
    }

    /// Gives the record everything that was booked so far.
    pub fn give_flows(&mut self) {
        self.plant.give_flows(self.t_s, self.sink);
    }

    /// Gives the record what was booked so far in a compartment's cluster, and touches it.
    pub fn give_and_touch(&mut self, i: usize) {
        self.plant.give_and_touch(i, self.t_s, self.sink);
    }

    /// Touches a compartment whose bookings stay as they are.
    pub fn touch(&mut self, i: usize) {
        self.plant.touch(i, self.t_s);
    }

    /// Touches the tank of the loop that divers breathe from, where there is one.
    pub fn touch_loop(&mut self) {
        self.plant.touch_loop(self.t_s);
    }

    /// Tells the record.
    pub fn tell(&mut self, what: What) {
        self.sink.take(Entry { at: self.t_s, what });
    }
}
