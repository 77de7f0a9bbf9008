//! What the steel is called, by its ids.

use crate::Steel;
use deepstay_core::units::{BankId, CompartmentId, DiverId, DoorId};
use deepstay_core::words::Names;

impl Names for Steel {
    fn compartment_name(&self, id: CompartmentId) -> Option<&str> {
        self.compartments.get(id.index()).map(|c| c.name.as_str())
    }

    fn bank_name(&self, id: BankId) -> Option<&str> {
        self.banks.get(id.index()).map(|b| b.name.as_str())
    }

    fn door_name(&self, id: DoorId) -> Option<&str> {
        self.doors.get(id.index()).map(|d| d.name.as_str())
    }

    /// The steel knows no diver.
    fn diver_initials(&self, _id: DiverId) -> Option<&str> {
        None
    }

    fn compartment_of(&self, door: DoorId) -> Option<CompartmentId> {
        self.doors.get(door.index()).map(|d| d.a)
    }
}
