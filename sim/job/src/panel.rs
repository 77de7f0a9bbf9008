//! The panel that the automatic stations look at: readings, lamps, labels and what people say.

use super::weather::WeatherState;
use crate::stations::Panel;
use deepstay_core::record::{BreathingPath, LineName, Spoken, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_crew::Crew;
use deepstay_plant::Plant;
use deepstay_scenario::Scenario;

/// The panel at one second.
pub(super) struct JobPanel<'a> {
    pub now_s: i64,
    pub scenario: &'a Scenario,
    pub plant: &'a Plant,
    pub crew: &'a Crew,
    pub weather: &'a WeatherState,
    pub said: &'a [(i64, DiverId, Spoken)],
}

impl Panel for JobPanel<'_> {
    fn now(&self) -> i64 {
        self.now_s
    }

    fn read(&self, instrument: InstrumentId) -> f64 {
        self.plant.read(instrument, self.now_s)
    }

    fn open(&self, door: DoorId) -> bool {
        self.plant.positions().door_open(door)
    }

    fn clamped(&self, door: DoorId) -> bool {
        self.plant.positions().door_clamped(door)
    }

    fn valve(&self, valve: ValveName) -> f64 {
        self.plant.positions().valve_ordered(valve)
    }

    fn lined_up(&self, line: LineName) -> Option<BankId> {
        self.plant.positions().lined_up(line)
    }

    fn label_o2(&self, bank: BankId) -> f64 {
        self.scenario.steel.banks[bank.index()].label_o2
    }

    fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.plant.positions().analysed_o2(bank)
    }

    fn whereabouts(&self, diver: DiverId) -> Whereabouts {
        self.crew.whereabouts(diver)
    }

    fn path(&self, diver: DiverId) -> BreathingPath {
        self.crew.path(diver)
    }

    fn bail_out_bar(&self, diver: DiverId) -> Option<f64> {
        self.crew.bail_out_gauge_pa(diver).map(|pa| pa / BAR_PA)
    }

    fn said(&self) -> &[(i64, DiverId, Spoken)] {
        self.said
    }

    fn hs_m(&self) -> f64 {
        self.weather.hs_m()
    }

    fn fan_runs(&self, compartment: CompartmentId) -> bool {
        self.plant.fan_runs(compartment)
    }

    fn absorbent_hours(&self, compartment: CompartmentId) -> f64 {
        self.plant.canister(compartment, self.now_s).0 / 3600.0
    }
}
