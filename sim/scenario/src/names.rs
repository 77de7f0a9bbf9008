//! What things on board and people are called, by their ids, and the vessel's time.

use crate::Scenario;
use deepstay_core::units::{BankId, CompartmentId, DiverId, DoorId, VesselTime};
use deepstay_core::words::Names;

impl Scenario {
    /// The vessel's clock.
    pub fn time(&self) -> VesselTime {
        VesselTime {
            start_unix_s: self.start_unix_s,
            utc_offset_s: self.utc_offset_s,
        }
    }
}

impl Names for Scenario {
    fn compartment_name(&self, id: CompartmentId) -> Option<&str> {
        self.steel.compartment_name(id)
    }

    fn bank_name(&self, id: BankId) -> Option<&str> {
        self.steel.bank_name(id)
    }

    fn door_name(&self, id: DoorId) -> Option<&str> {
        self.steel.door_name(id)
    }

    fn diver_initials(&self, id: DiverId) -> Option<&str> {
        self.crew.get(id.index()).map(|d| d.initials.as_str())
    }

    fn compartment_of(&self, door: DoorId) -> Option<CompartmentId> {
        self.steel.compartment_of(door)
    }
}
