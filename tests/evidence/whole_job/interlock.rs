//! The interlock of a lock's door to the deck: what must never happen is that gas under pressure blows through
//! the lock to the deck. Doors open to each other at the surface are how people go in and come out.

use super::built_in;
use deepstay::gas::Amounts;
use deepstay::plant::{Physics, Plant, SteelOrder};
use deepstay::record::{Entry, Refused, ValveName};
use deepstay::units::*;
use std::sync::Arc;

const LIVING: CompartmentId = CompartmentId(0);
const T_K: f64 = 298.15;

struct Stage {
    plant: Plant,
    names: Vec<String>,
    entries: Vec<Entry>,
}

impl Stage {
    fn new() -> Stage {
        let steel = built_in("short").steel.clone();
        let names = steel.doors.iter().map(|d| d.name.clone()).collect();
        Stage {
            plant: Plant::new(Arc::new(steel), Physics::default()),
            names,
            entries: Vec::new(),
        }
    }

    fn door(&mut self, name: &str, open: bool) -> Result<(), Refused> {
        let door = self.id(name);
        self.plant
            .order(0, SteelOrder::Door { door, open }, &mut self.entries)
    }

    fn equalise(&mut self, name: &str, opening: f64) {
        let valve = ValveName::Equalise(self.id(name));
        let order = SteelOrder::Valve {
            valve,
            opening,
            purpose: Purpose::LockRun,
        };
        self.plant
            .order(0, order, &mut self.entries)
            .expect("the valve is there");
    }

    fn press_living(&mut self, msw: f64) {
        self.door("Living to transfer", false).expect("doors shut");
        let plate = &self.plant.steel().compartments[LIVING.index()];
        let n_mol = (ATM_PA + msw * MSW_PA) * plate.volume_m3 / (R * T_K);
        self.plant
            .set_air(LIVING, Amounts::heliox(0.06).scaled(n_mol), T_K, T_K);
    }

    fn id(&self, name: &str) -> DoorId {
        let at = self
            .names
            .iter()
            .position(|n| n == name)
            .expect("the door is on the spread");
        DoorId(u8::try_from(at).expect("few doors"))
    }
}

#[test]
fn at_the_surface_both_doors_of_a_lock_may_stand_open() {
    let mut stage = Stage::new();
    stage
        .door("Medical lock inner", true)
        .expect("one pressure on both sides");
    stage
        .door("Medical lock outer", true)
        .expect("the deck's pressure on both sides");
    stage.door("Way in", false).expect("doors shut");
    stage
        .door("Way in", true)
        .expect("with the chambers beyond open to it, all at the deck's pressure");
}

#[test]
fn a_lock_being_equalised_from_a_pressed_chamber_keeps_its_outer_door_shut() {
    let mut stage = Stage::new();
    stage.press_living(60.0);
    stage
        .door("Medical lock outer", true)
        .expect("nothing stands open to the chamber");
    stage.door("Medical lock outer", false).expect("doors shut");
    stage.equalise("Medical lock inner", 0.1);
    // In this second the lock itself still has the deck's pressure.
    assert_eq!(
        stage.door("Medical lock outer", true),
        Err(Refused::OtherDoorOpen)
    );
    stage.equalise("Medical lock inner", 0.0);
    stage
        .door("Medical lock outer", true)
        .expect("the valve is shut again");
    assert_eq!(
        stage.door("Medical lock inner", true),
        Err(Refused::DoorUnderPressure)
    );
}
