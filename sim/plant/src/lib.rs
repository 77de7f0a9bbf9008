//! The steel of a saturation spread and what flows in it: orders in, readings out. It knows no diver, only a
//! load per compartment and per breathing path.
//!
//! # The journey of a second
//!
//! **Steel and settings.** [`Steel`] is what there is: compartments, doors, banks, instruments, with their sizes.
//! `state` is what it holds and how it is set: gas and wall of each compartment, valves, lines, machines, bells,
//! banks. Both are data. A `Model` borrows them together for a moment.
//!
//! **State to flows to rates.** `flows` says what flows in one compartment in one state: through its openings, from
//! banks, by people, absorbent, climate unit and wall, along breathing paths. Each flow has a slot of a fixed list
//! (`books::slot`), and the rates of moles and heat are summed from the slots.
//!
//! **Rates to a step.** Compartments that exchange gas form a cluster with one anchor, a second and a state.
//! `balances` puts a cluster's rates, with what passes between its compartments, as a problem to the `solver`, which
//! steps any balances by collocation at three Radau points, of fifth order: it predicts, corrects by Newton's method,
//! estimates its error, and says how long the next step may be or why it stopped. It knows no valve, no door and no
//! species.
//!
//! **Pressure.** Compartments behind open doors have one pressure, an open lock has the deck's, an open bell the sea's.
//! `pressure` brings pressures to one at once where a way has just been opened, finds the flows that keep them one
//! over a step, and valves' flows where pressures have nearly come together. It asks vessels for their pressure and
//! knows no ship. A bell whose supply has no gas to keep the sea's pressure takes in water (`water`).
//!
//! **A step to any second.** What a step found is kept as an interpolant (`trajectory`): from it the state, and what
//! each slot has moved, follow at any second of the interval. Where gas rushes, a second is taken in parts and known
//! at its end alone. Evaluating stores nothing: polled every second or never, the same bits. Only an order, a fault, a
//! change of load or the end of an interval moves an anchor.
//!
//! **Books.** What the slots moved goes to accounts and banks as the anchor moves, and to the record, as
//! [`Moved`](deepstay_core::record::What::Moved) entries, whenever it asks. Balance and books are made of the same
//! slots, so what one side loses the other gets.
//!
//! **Readings.** `instruments` lag, wait for gas to come through their line, drift, stick and may be connected to
//! another compartment than their label says. [`Plant::read`] and [`Plant::positions`] are all that whoever decides may
//! see; [`Plant::air`] and its like are the truth, for bodies, books and tests. [`Plant::set_monitors`] waits for a
//! reading or a truth: seconds in which none can be met are leapt over.
//!
//! # An example
//!
//! A chamber of 20 cubic metres with a hole in it: the caller owns the clock, and asks when it must look again.
//!
//! ```
//! use deepstay_core::{fault::FaultKind, gas::Amounts, record::NoRecord, units::*};
//! use deepstay_plant::{Compartment, Physics, Plant, Steel};
//!
//! let steel = Steel {
//!     compartments: vec![Compartment {
//!         name: "chamber".into(), kind: CompartmentKind::Living, volume_m3: 20.0, rating_msw: 300.0,
//!         bunks: 6, places: 12, wall_m2: 45.0, wall_j_k: 9.6e6, wall_ua_w_k: 80.0, leak_m2: 0.0,
//!         blow_down_m2: 1e-4, exhaust_m2: 1e-4, bleed_m2: 1e-5, drain_m2: 0.0, oxygen_m2: 1e-6,
//!         supply_over_pa: 1e6, sample_mol_s: 0.0, drain_to: None, scrubber: None, climate: None, bell: None, relief: None,
//!     }],
//!     deck_t_k: 303.15,
//!     surface_pa: 101_325.0,
//!     ..Steel::default()
//! };
//! let chamber = CompartmentId(0);
//! let mut plant = Plant::new(steel.into(), Physics::default());
//! let contents = Amounts::heliox(0.04).scaled(8_000.0);
//! plant.set_air(chamber, contents, 303.15, 303.15);
//! let hole = FaultKind::Leak { compartment: chamber, area_m2: 1e-4, hull_stop: false };
//! plant.fault(0, &hole, true, &mut NoRecord);
//! let mut now = 0;
//! while now < 60 {
//!     plant.refresh(now);
//!     now = plant.next_s().min(60);
//! }
//! assert!(plant.air(chamber, 60).p_pa < plant.air(chamber, 0).p_pa.max(1e6));
//! ```

#![expect(
    clippy::needless_range_loop,
    reason = "a point's number picks from several lists at once"
)]

mod advance;
mod amounts;
mod balances;
mod bits;
mod books;
mod faults;
mod flows;
mod found;
mod instruments;
mod layout;
mod loads;
mod model;
mod monitors;
mod names;
mod opening;
mod orders;
mod plant;
mod positions;
mod pressure;
mod reading;
mod solver;
mod state;
mod steel;
mod trajectory;
mod truth;
mod view;
mod water;

pub use advance::LONGEST_INTERVAL_S;
pub use amounts::BelowZero;
pub use balances::open::LONGEST_REST_S;
pub use deepstay_core::order::*;
pub use deepstay_core::units::Duty;
pub use flows::film::WALL_HEIGHT_M;
pub use flows::scrubber::{ABSORPTION_J_MOL, DRY_BED_RH};
pub use found::{Found, FoundRoom};
pub use monitors::monitor::{Breath, Monitor, Watched};
pub use plant::Plant;
pub use positions::{Lamp, Positions};
pub use reading::*;
pub use state::banks::FoundBank;
pub use state::load::{Load, PathLoad};
pub use state::physics::{GasModel, Physics, WallModel};
pub use steel::*;
pub use truth::{Air, leaks_m2, lets_by, truly};
