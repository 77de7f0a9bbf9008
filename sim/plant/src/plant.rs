//! The plant itself: its parts put together, and the few ways in which they act on each other: an anchor
//! moves, compartments are grouped anew, a step is taken, the next second to look at is found.

use crate::advance::{Advance, StepRoom};
use crate::amounts::{self, BelowZero};
use crate::bits::bits;
use crate::books::account::Accounts;
use crate::books::keeping::{Keeper, give_cluster};
use crate::flows::film::Film;
use crate::found::{Found, FoundRoom};
use crate::instruments::panel::Instruments;
use crate::model::Setup;
use crate::monitors::list::Monitors;
use crate::monitors::monitor::Watched;
use crate::monitors::watching::Watching;
use crate::positions::Positions;
use crate::state::banks::BankStock;
use crate::state::node::Node;
use crate::state::physics::Physics;
use crate::state::sea::Sea;
use crate::steel::Steel;
use crate::trajectory::evaluated::Evaluated;
use crate::trajectory::trajectories::Trajectories;
use crate::view::View;
use deepstay_core::gas::Amounts;
use deepstay_core::record::Sink;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The steel in motion.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Plant {
    setup: Setup,
    stock: BankStock,
    trajectories: Trajectories,
    /// Film at the wall at an interval's start and at its three points.
    films: Vec<[Film; 4]>,
    accounts: Accounts,
    /// The first amount that was found below nothing.
    below_zero: Option<BelowZero>,
    instruments: Instruments,
    monitors: Monitors,
    /// How it is looked at, and how often it was, change no bit of what comes: no part of the state.
    #[serde(skip, default = "leaps")]
    leap: bool,
    #[serde(skip)]
    evaluations: u64,
    #[serde(skip)]
    room: Box<StepRoom>,
}

fn leaps() -> bool {
    true
}

/// The parts of a plant that something from outside may change.
pub(crate) struct Changing<'a> {
    /// What is set on the steel.
    pub setup: &'a mut Setup,
    /// The banks, to be drawn from by hand.
    pub stock: &'a mut BankStock,
    /// The instruments.
    pub instruments: &'a mut Instruments,
    /// The anchors of what has been touched.
    pub trajectories: &'a mut Trajectories,
}

impl Plant {
    /// A plant at rest: every compartment full of deck air at surface pressure, a reclaim's tank charged, valves shut,
    /// doors as the steel says.
    pub fn new(steel: Arc<Steel>, physics: Physics) -> Plant {
        let found = Found::at_start(&steel, physics);
        Plant::found(steel, physics, found)
    }

    /// A plant as it is found at a second: valves are shut, bells are on their trunks, and every instrument has shown for
    /// long what is there.
    pub fn found(steel: Arc<Steel>, physics: Physics, found: Found) -> Plant {
        let at_s = found.at_s;
        let node = |room: &FoundRoom| Node {
            n_mol: room.n_mol.0,
            gas_k: room.gas_k,
            wall_k: room.wall_k,
            bed_mol: room.bed_mol,
            bed_s: room.bed_s,
        };
        let nodes: Vec<Node> = found.rooms.iter().map(node).collect();
        let mut setup = Setup::new(Arc::clone(&steel), physics);
        let fans = found.rooms.iter().map(|room| room.fan);
        setup.controls.find(&steel, &found.doors, fans);
        let model = setup.model();
        let (count, edges) = (nodes.len(), model.edges.len());
        let stock = BankStock::found(found.banks);
        let mut trajectories = Trajectories::new(nodes, edges);
        trajectories.regroup(model.edges, |edge| model.controls.joins(edge), at_s);
        let view = View {
            model,
            trajectories: &trajectories,
            stock: &stock,
        };
        let instruments = Instruments::new(&view, at_s);
        let mut plant = Plant {
            films: vec![Default::default(); count],
            accounts: Accounts::new(count, edges),
            below_zero: None,
            monitors: Monitors::new(),
            leap: true,
            evaluations: 0,
            room: Box::default(),
            setup,
            stock,
            trajectories,
            instruments,
        };
        plant.gather_gates();
        for i in 0..count {
            watch_relief(&mut plant, i, at_s);
        }
        plant
    }

    /// Puts the steel back after a restore; it is not saved with the state.
    pub fn with_steel(mut self, steel: Arc<Steel>) -> Plant {
        self.setup = self.setup.with_steel(steel);
        self.gather_gates();
        self
    }

    /// Sea temperature at depth, K, and tide (amplitude in m, period in s).
    pub fn set_sea(&mut self, sea_k: f64, tide_m: f64, period_s: f64) {
        self.setup.sea = Sea {
            t_k: sea_k,
            tide_m,
            period_s,
        };
    }

    /// Whether to skip seconds in which nothing can be met (true) or to evaluate each one.
    pub fn set_leap(&mut self, leap: bool) {
        self.leap = leap;
    }

    /// The first amount of anything, anywhere, that was found below nothing; there is none in a plant that can be
    /// believed.
    pub fn below_zero(&self) -> Option<BelowZero> {
        self.below_zero
    }

    /// How many seconds of clusters have been evaluated so far.
    pub fn evaluations(&self) -> u64 {
        self.evaluations
    }

    /// The steel.
    pub fn steel(&self) -> &Arc<Steel> {
        self.setup.steel()
    }

    /// Sets a compartment's gas and wall, for a start other than deck air. Only before second 0 has passed.
    pub fn set_air(&mut self, c: CompartmentId, n_mol: Amounts, gas_k: f64, wall_k: f64) {
        let i = c.index();
        let node = self.trajectories.anchor_mut(i);
        (node.n_mol, node.gas_k, node.wall_k) = (n_mol.0, gas_k, wall_k);
        let at = self.trajectories.cluster_of(i);
        self.trajectories.cluster_mut(at).dirty = true;
        self.instruments = Instruments::new(&self.view(), 0);
        self.gather_gates();
    }

    /// Takes a step of every cluster that needs one, at `t_s`, and finds when each must be looked at again.
    pub fn refresh(&mut self, t_s: i64) {
        for c in 0..self.trajectories.clusters().len() {
            if self.trajectories.clusters()[c].end_s() <= t_s {
                self.settle(c, t_s);
            }
            let cluster = &self.trajectories.clusters()[c];
            if cluster.dirty {
                self.step(c, t_s);
            } else if cluster.next_s <= t_s {
                self.find_next(c, t_s);
            }
        }
    }

    /// First second after now at which something must be looked at: an interval ends or a monitor is met.
    pub fn next_s(&self) -> i64 {
        self.trajectories.next_s()
    }

    /// Gives the record what has moved since it was last given, as of `t_s`.
    pub fn give_flows(&mut self, t_s: i64, sink: &mut impl Sink) {
        for c in 0..self.trajectories.clusters().len() {
            self.give_cluster(c, t_s, sink);
        }
    }

    /// Replaces an owner's monitors by others, as of `t_s`.
    pub fn set_monitors(
        &mut self,
        owner: u32,
        list: impl IntoIterator<Item = (Watched, bool, f64)>,
        t_s: i64,
    ) {
        let watching = Watching {
            view: View {
                model: self.setup.model(),
                trajectories: &self.trajectories,
                stock: &self.stock,
            },
            instruments: &self.instruments,
        };
        let changed = self.monitors.set(owner, list, &watching);
        self.look_again(changed, t_s);
    }

    /// Owners of the monitors that are met at `t_s`, into `owners` (sorted, once each).
    pub fn met(&mut self, t_s: i64, owners: &mut Vec<u32>) {
        self.evaluations += self.monitors.met(&self.watching(), t_s, owners);
    }

    /// What an instrument shows at a second. Stores nothing.
    pub fn read(&self, instrument: InstrumentId, t_s: i64) -> f64 {
        self.instruments.read(&self.view(), instrument, t_s)
    }

    /// The panel's handles, lamps, labels and line gauges.
    pub fn positions(&self) -> Positions<'_> {
        Positions::of(self.view(), &self.instruments)
    }

    /// The plant at any second, without a step.
    pub(crate) fn view(&self) -> View<'_> {
        View {
            model: self.setup.model(),
            trajectories: &self.trajectories,
            stock: &self.stock,
        }
    }

    pub(crate) fn watching(&self) -> Watching<'_> {
        Watching {
            view: self.view(),
            instruments: &self.instruments,
        }
    }

    /// What hands, faults and loads change, after what it works on was touched.
    pub(crate) fn changing(&mut self) -> Changing<'_> {
        Changing {
            setup: &mut self.setup,
            stock: &mut self.stock,
            instruments: &mut self.instruments,
            trajectories: &mut self.trajectories,
        }
    }

    /// Marks a compartment's cluster for a new step, after settling it to `t_s`.
    pub(crate) fn touch(&mut self, i: usize, t_s: i64) {
        let c = self.trajectories.cluster_of(i);
        self.settle(c, t_s);
        self.trajectories.cluster_mut(c).touch();
    }

    /// The same for the tank of the loop that divers breathe from, where there is one.
    pub(crate) fn touch_loop(&mut self, t_s: i64) {
        if let Some(tank) = self.steel().reclaim.as_ref().map(|r| r.tank) {
            self.touch(tank.index(), t_s);
        }
    }

    /// The same, after the record has been given what was booked until now.
    pub(crate) fn give_and_touch(&mut self, i: usize, t_s: i64, sink: &mut impl Sink) {
        self.give_cluster(self.trajectories.cluster_of(i), t_s, sink);
        self.touch(i, t_s);
    }

    /// Groups the compartments anew by what is open. What is to be grouped otherwise has been touched before.
    pub(crate) fn regroup(&mut self, t_s: i64) {
        let model = self.setup.model();
        let joins = |edge| model.controls.joins(edge);
        self.trajectories.regroup(model.edges, joins, t_s);
        self.gather_gates();
    }

    /// Gathers what is waited for anew, after connections or lines have changed.
    pub(crate) fn gather_gates(&mut self) {
        let watching = Watching {
            view: View {
                model: self.setup.model(),
                trajectories: &self.trajectories,
                stock: &self.stock,
            },
            instruments: &self.instruments,
        };
        self.monitors.gather(&watching);
    }

    /// Looks for the next met monitor in those clusters, as bits, that are not about to be stepped anew: an instrument
    /// shows something else, or a bank holds something else.
    pub(crate) fn look_again(&mut self, clusters: u32, t_s: i64) {
        for c in bits(clusters) {
            if !self.trajectories.clusters()[c].dirty {
                self.find_next(c, t_s);
            }
        }
    }

    fn give_cluster(&mut self, c: usize, t_s: i64, sink: &mut impl Sink) {
        let (model, accounts) = (self.setup.model(), &mut self.accounts);
        give_cluster(&model, &self.trajectories, accounts, c, t_s, sink);
    }

    /// Stores a cluster's state at `t_s` as its new anchor.
    fn settle(&mut self, c: usize, t_s: i64) {
        if self.trajectories.clusters()[c].t_s == t_s {
            return;
        }
        let mut e = Evaluated::default();
        self.trajectories.evaluate(c, t_s, &mut e);
        let view = View {
            model: self.setup.model(),
            trajectories: &self.trajectories,
            stock: &self.stock,
        };
        self.instruments.settle(&view, c, t_s, &e);
        let mut keeper = Keeper {
            model: self.setup.model(),
            accounts: &mut self.accounts,
            stock: &mut self.stock,
        };
        keeper.cluster(&self.trajectories, c, t_s);
        self.trajectories.move_anchor(c, t_s, &e);
        self.look_for_below_zero(c, t_s);
    }

    /// Looks at the amounts that an anchor's move has just settled.
    fn look_for_below_zero(&mut self, c: usize, t_s: i64) {
        if self.below_zero.is_some() {
            return;
        }
        let members = self.trajectories.clusters()[c].members.iter().copied();
        let found = members
            .map(|i| amounts::in_node(i, self.trajectories.anchor(i), t_s))
            .find(Option::is_some);
        self.below_zero = found
            .flatten()
            .or_else(|| amounts::in_banks(&self.stock, t_s));
    }

    fn step(&mut self, c: usize, t_s: i64) {
        let mut advance = Advance {
            model: self.setup.model(),
            trajectories: &mut self.trajectories,
            accounts: &mut self.accounts,
            stock: &mut self.stock,
            films: &mut self.films,
            room: &mut self.room,
        };
        advance.step(c, t_s);
        let view = View {
            model: self.setup.model(),
            trajectories: &self.trajectories,
            stock: &self.stock,
        };
        self.instruments.follow(&view, c);
        self.evaluations += 1;
        self.trajectories.cluster_mut(c).dirty = false;
        self.find_next(c, t_s);
    }

    fn find_next(&mut self, c: usize, from_s: i64) {
        let found = self.monitors.next(&self.watching(), c, from_s, self.leap);
        self.trajectories.cluster_mut(c).next_s = found.next_s;
        self.evaluations += found.evaluated;
    }
}

/// Owner of the monitors of relief valves: its compartment is added to it.
pub(crate) const RELIEF_OWNER: u32 = (1 << 30) + (1 << 20);

/// Waits for the depth at which a vessel's relief valve lifts, or reseats.
pub(crate) fn watch_relief(plant: &mut Plant, i: usize, t_s: i64) {
    let state = plant.view().model.controls.of(i).relief;
    let fitted = plant.steel().compartments[i].relief;
    let monitor = fitted.filter(|_| !state.gagged).map(|relief| {
        let depth = match state.lifted {
            true => relief.reseat_msw,
            false => relief.set_msw,
        };
        let watched = Watched::True(CompartmentId(i as u8), Quantity::Depth);
        (watched, !state.lifted, depth)
    });
    plant.set_monitors(RELIEF_OWNER + i as u32, monitor, t_s);
}
