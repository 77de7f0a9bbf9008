//! What a station sees and where it writes: the panel with its readings and lamps, and the desk with
//! the orders it gives. Nothing here lets a station see the plant's truth.

use deepstay_core::record::{BreathingPath, LineName, Spoken, ValveName, What, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::{Order, Trigger};

/// The panel of a station: instruments, position lamps, labels, and what people say.
pub trait Panel {
    /// Seconds since the scenario's start.
    fn now(&self) -> i64;
    /// What an instrument shows now, in the unit of its quantity.
    fn read(&self, instrument: InstrumentId) -> f64;
    /// Whether a door's lamp says open.
    fn open(&self, door: DoorId) -> bool;
    /// Whether a clamp's lamp says made.
    fn clamped(&self, door: DoorId) -> bool;
    /// Opening that the handle of a valve stands at, 0 to 1.
    fn valve(&self, valve: ValveName) -> f64;
    /// The bank lined up to a line.
    fn lined_up(&self, line: LineName) -> Option<BankId>;
    /// Oxygen fraction on a bank's label.
    fn label_o2(&self, bank: BankId) -> f64;
    /// Oxygen fraction of a bank's last analysis, where there was one.
    fn analysed_o2(&self, bank: BankId) -> Option<f64>;
    /// Where a diver was last said to be.
    fn whereabouts(&self, diver: DiverId) -> Whereabouts;
    /// What a diver breathes from.
    fn path(&self, diver: DiverId) -> BreathingPath;
    /// What the gauge of a diver's bail-out shows, bar.
    fn bail_out_bar(&self, diver: DiverId) -> Option<f64>;
    /// What was said since the station last looked: second, who, what.
    fn said(&self) -> &[(i64, DiverId, Spoken)];
    /// Significant wave height, m.
    fn hs_m(&self) -> f64;
    /// Whether the lamp of a compartment's scrubber fan says that it runs.
    fn fan_runs(&self, compartment: CompartmentId) -> bool;
    /// Hours the canister in a compartment has run.
    fn absorbent_hours(&self, compartment: CompartmentId) -> f64;
}

/// What a station writes in one look. It is reused: cleared before each call, never shrunk.
#[derive(Clone, Debug, Default)]
pub struct Desk {
    /// Orders in the sequence they are to be carried out.
    pub orders: Vec<deepstay_plant::Order>,
    /// What goes into the log: phases, steps, routine, handover, targets, runs stopped.
    pub entries: Vec<What>,
    /// Rows of the rule set that answered what was asked.
    pub rows: Vec<RuleRowId>,
    /// Readings that call the station again.
    pub triggers: Vec<Trigger>,
    /// Second at which the station looks again in any case; `i64::MAX` when nothing is planned.
    pub wake_at: i64,
    /// The other station is to be called at the next second: the board says something new.
    pub ring: bool,
}

impl Desk {
    /// An empty desk.
    pub fn new() -> Desk {
        Desk {
            wake_at: i64::MAX,
            ..Desk::default()
        }
    }

    /// Wipes it for the next look; keeps the room it has.
    pub fn clear(&mut self) {
        self.orders.clear();
        self.entries.clear();
        self.rows.clear();
        self.triggers.clear();
        self.wake_at = i64::MAX;
        self.ring = false;
    }

    /// Puts an order down.
    pub fn order(&mut self, order: Order) {
        self.orders.push(order);
    }
}
