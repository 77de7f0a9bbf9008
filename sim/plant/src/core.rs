//! The plant itself: clusters of compartments that exchange gas, each with an anchor (time and
//! state) and a course from it, from which it is evaluated at any later second; banks.

use super::bench::Bench;
use super::course::{Course, Flow};
use super::freeze::Film;
use super::instrument::Probe;
use super::monitor::{Gate, Monitor};
use super::slots::{Account, SLOTS};
use super::state::{BankState, BellState, DoorSetting, Node, Physics, Setting, ValveState};
use crate::{Compartment, MAX_COMPARTMENTS, Steel};
use deepstay_core::gas::flow::Nozzle;
use deepstay_core::gas::{self, Amounts, SPECIES, Species};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};
use std::cell::Cell;
use std::sync::Arc;

/// A pipe or doorway between two compartments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    pub kind: EdgeKind,
    pub a: usize,
    pub b: usize,
}

/// What an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum EdgeKind {
    /// A door, with its equalising valve.
    Door(usize),
    /// The drain of a compartment into its tank.
    Drain(usize),
}

/// How two compartments hang together along an edge.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub(super) struct Way {
    /// Part of a cluster's coupling.
    pub joined: bool,
    /// One pressure on both sides over the interval.
    pub level: bool,
}

/// Compartments that exchange gas at present; they share an anchor.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Cluster {
    /// Members, ascending.
    pub members: Vec<usize>,
    /// Edges among them that are open.
    pub edges: Vec<usize>,
    /// Second of the anchor.
    pub t_s: i64,
    /// Length of the interval, s.
    pub h_s: i64,
    /// Sub-steps were taken; only the end of the interval is known.
    pub rushed: bool,
    /// Length that the last interval suggests for the next, s; none after something was changed.
    pub next_h_s: Option<f64>,
    /// Length of the last step, s, if the next goes on from it; none after something was changed.
    pub went_s: Option<f64>,
    /// Second at which it must be looked at again: end of interval or a monitor met.
    pub next_s: i64,
    /// A new step must be taken.
    pub dirty: bool,
}

/// State of a cluster's members at some second after the anchor.
#[derive(Clone, Debug)]
pub(super) struct Evaluated {
    pub node: [Node; MAX_COMPARTMENTS],
    /// Pressure of each compartment once somebody has asked for it, Pa; not a number before.
    pressure: [Cell<f64>; MAX_COMPARTMENTS],
}

impl Evaluated {
    /// Takes a compartment's state.
    pub fn put(&mut self, i: usize, node: Node) {
        self.node[i] = node;
        self.pressure[i].set(f64::NAN);
    }

    /// Pressure of a compartment, computed by `find` the first time.
    pub fn pressure_pa(&self, i: usize, find: impl FnOnce(&Node) -> f64) -> f64 {
        if self.pressure[i].get().is_nan() {
            self.pressure[i].set(find(&self.node[i]));
        }
        self.pressure[i].get()
    }
}

/// Most edges (doors and drains) of a spread.
pub const MAX_EDGES: usize = 40;

impl Default for Evaluated {
    fn default() -> Self {
        Evaluated {
            node: [Node::default(); MAX_COMPARTMENTS],
            pressure: [const { Cell::new(f64::NAN) }; MAX_COMPARTMENTS],
        }
    }
}

/// The steel in motion.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Plant {
    #[serde(skip)]
    pub(super) steel: Arc<Steel>,
    #[serde(skip)]
    pub(super) edges: Vec<Edge>,
    pub(super) physics: Physics,
    /// Tidal amplitude, m, and period, s.
    pub(super) tide: (f64, f64),
    pub(super) sea_k: f64,
    pub(super) nodes: Vec<Node>,
    pub(super) ends: Vec<Node>,
    pub(super) courses: Vec<Course>,
    pub(super) edge_flows: Vec<Flow>,
    /// Part of them that keeps one pressure, net a to b at the points, mol/s, and what goes out for it.
    pub(super) edge_level: Vec<[f64; 3]>,
    pub(super) level_out: Vec<[f64; 3]>,
    pub(super) ways: Vec<Way>,
    pub(super) settings: Vec<Setting>,
    pub(super) doors: Vec<DoorSetting>,
    pub(super) bells: Vec<BellState>,
    pub(super) banks: Vec<BankState>,
    pub(super) bank_mixes: Vec<Amounts>,
    /// How each bank's gas flows through an opening; made from its mixture.
    #[serde(skip)]
    pub(super) bank_nozzles: Vec<Nozzle>,
    /// Saturation pressure at each compartment's coil, Pa; made from the steel.
    #[serde(skip)]
    pub(super) coil_pa: Vec<f64>,
    pub(super) clusters: Vec<Cluster>,
    pub(super) cluster_of: Vec<usize>,
    pub(super) accounts: Vec<[Account; SLOTS]>,
    pub(super) edge_accounts: Vec<Account>,
    /// Film at the wall at an interval's start and at its three points.
    pub(super) films: Vec<[Film; 4]>,
    #[serde(skip)]
    pub(super) spare: Vec<Box<Evaluated>>,
    #[serde(skip)]
    pub(super) bench: Option<Box<Bench>>,
    /// What sub-steps of a rushed second moved, waiting for the second to be over, and which slots did.
    pub(super) pending: Vec<[[f64; SPECIES]; SLOTS]>,
    pub(super) pending_active: Vec<u32>,
    pub(super) pending_edges: Vec<[f64; SPECIES]>,
    pub(super) probes: Vec<Probe>,
    pub(super) probes_at: Vec<Vec<u16>>,
    pub(super) monitors: Vec<Monitor>,
    /// The monitors by cluster; made from them.
    #[serde(skip)]
    pub(super) gates: Vec<Vec<Gate>>,
    /// How it is looked at, and how often it was, change no bit of what comes: no part of the state.
    #[serde(skip, default = "leaps")]
    pub(super) leap: bool,
    #[serde(skip)]
    pub(super) evaluations: u64,
}

fn leaps() -> bool {
    true
}

impl Plant {
    /// A plant at rest: every compartment full of deck air at surface pressure, valves shut, doors as
    /// the steel says.
    pub fn new(steel: Arc<Steel>, physics: Physics) -> Plant {
        let count = steel.compartments.len();
        let edges = edges_of(&steel);
        let node = |c: &Compartment| Node {
            n_mol: Amounts::air()
                .scaled(match physics.gas {
                    super::GasModel::Real => gas::state::total_moles(
                        &Amounts::air(),
                        steel.surface_pa,
                        c.volume_m3,
                        steel.deck_t_k,
                    ),
                    super::GasModel::Ideal => steel.surface_pa * c.volume_m3 / (R * steel.deck_t_k),
                })
                .0,
            gas_k: steel.deck_t_k,
            wall_k: steel.deck_t_k,
            bed_mol: 0.0,
            bed_s: 0.0,
        };
        let nodes: Vec<Node> = steel.compartments.iter().map(node).collect();
        let banks = steel
            .banks
            .iter()
            .map(|b| BankState {
                n_mol: b.true_mix.scaled(gas::state::total_moles(
                    &b.true_mix,
                    b.fill_gauge_pa + steel.surface_pa,
                    b.volume_m3,
                    b.t_k,
                )),
                analysed_o2: b.analysed_o2,
            })
            .collect();
        let doors = steel
            .doors
            .iter()
            .map(|d| DoorSetting {
                open: d.open_at_start,
                clamped: true,
                equalise: ValveState::shut(Purpose::Transfer),
            })
            .collect();
        let mut settings: Vec<Setting> = steel
            .compartments
            .iter()
            .map(|_| Setting::at_rest(steel.deck_t_k))
            .collect();
        for door in steel
            .doors
            .iter()
            .filter(|d| d.b.is_none() && d.open_at_start)
        {
            settings[door.a.index()].open_outside = true;
        }
        let mut plant = Plant {
            physics,
            tide: (0.0, 44_714.0),
            sea_k: 283.15,
            ends: nodes.clone(),
            nodes,
            courses: vec![Course::default(); count],
            edge_flows: vec![Flow::default(); edges.len()],
            edge_level: vec![[0.0; 3]; edges.len()],
            level_out: vec![[0.0; 3]; count],
            ways: vec![Way::default(); edges.len()],
            settings,
            doors,
            bells: vec![BellState::on_deck(); count],
            banks,
            bank_mixes: steel.banks.iter().map(|b| b.true_mix).collect(),
            bank_nozzles: Vec::new(),
            coil_pa: Vec::new(),
            clusters: Vec::with_capacity(2 * count),
            cluster_of: vec![0; count],
            accounts: vec![[Account::default(); SLOTS]; count],
            edge_accounts: vec![Account::default(); edges.len()],
            films: vec![Default::default(); count],
            spare: Vec::new(),
            bench: None,
            pending_active: vec![0; count],
            pending: vec![[[0.0; SPECIES]; SLOTS]; count],
            pending_edges: vec![[0.0; SPECIES]; edges.len()],
            probes: Vec::new(),
            probes_at: Vec::new(),
            monitors: Vec::with_capacity(256),
            gates: Vec::new(),
            leap: true,
            evaluations: 0,
            edges,
            steel,
        };
        plant.make_ready();
        plant.regroup(0);
        plant.start_probes();
        plant
    }

    /// Works out what only follows from the steel and the mixtures.
    pub(super) fn make_ready(&mut self) {
        self.bank_nozzles = self.bank_mixes.iter().map(Nozzle::new).collect();
        let coil_pa = |c: &Compartment| {
            c.climate
                .map_or(0.0, |u| gas::water::saturation_pa(u.coil_t_k))
        };
        self.coil_pa = self.steel.compartments.iter().map(coil_pa).collect();
    }

    /// Puts the steel back after a restore; it is not saved with the state.
    pub fn with_steel(mut self, steel: Arc<Steel>) -> Plant {
        self.edges = edges_of(&steel);
        self.steel = steel;
        self.make_ready();
        self.list_gates();
        self
    }

    /// Sea temperature at depth, K, and tide (amplitude in m, period in s).
    pub fn set_sea(&mut self, sea_k: f64, tide_m: f64, period_s: f64) {
        self.sea_k = sea_k;
        self.tide = (tide_m, period_s);
    }

    /// Whether to skip seconds in which nothing can be met (true) or to evaluate each one.
    pub fn set_leap(&mut self, leap: bool) {
        self.leap = leap;
    }

    /// How many seconds of clusters have been evaluated so far.
    pub fn evaluations(&self) -> u64 {
        self.evaluations
    }

    /// The steel.
    pub fn steel(&self) -> &Arc<Steel> {
        &self.steel
    }

    /// Mixture truly in a bank, fractions.
    pub(super) fn bank_mix(&self, bank: BankId) -> Amounts {
        self.bank_mixes[bank.index()]
    }

    /// Absolute pressure in a bank, Pa.
    pub fn bank_pa(&self, bank: BankId, t_s: i64) -> f64 {
        let n = self.bank_at(bank, t_s);
        self.holding_pa(bank, &n)
    }

    /// Absolute pressure of so many moles of a bank's gas in it, Pa.
    pub(super) fn bank_holding_pa(&self, bank: BankId, mol: f64) -> f64 {
        self.holding_pa(bank, &self.bank_mix(bank).scaled(mol))
    }

    fn holding_pa(&self, bank: BankId, n: &Amounts) -> f64 {
        let b = &self.steel.banks[bank.index()];
        if n.total() <= 0.0 {
            return 0.0;
        }
        gas::state::pressure_pa(n, b.volume_m3, b.t_k)
    }

    /// Tide above mean, m.
    pub fn tide_m(&self, t_s: f64) -> f64 {
        if self.tide.0 == 0.0 {
            return 0.0;
        }
        self.tide.0 * libm::sin(2.0 * std::f64::consts::PI * t_s / self.tide.1)
    }

    /// Depth of a bell in the sea, msw.
    pub fn bell_msw(&self, i: usize, t_s: f64) -> f64 {
        let z = self.bells[i].msw(t_s);
        if z > 0.0 {
            (z + self.tide_m(t_s)).max(0.0)
        } else {
            0.0
        }
    }

    /// Pressure of the sea at a bell, Pa.
    pub(super) fn sea_pa(&self, i: usize, t_s: f64) -> f64 {
        self.steel.surface_pa + self.bell_msw(i, t_s) * MSW_PA
    }

    /// Pressure outside a compartment, Pa.
    pub(super) fn outside_pa(&self, i: usize, t_s: f64) -> f64 {
        if self.steel.compartments[i].bell.is_some() {
            self.sea_pa(i, t_s)
        } else {
            self.steel.surface_pa
        }
    }

    /// Relative humidity of a compartment's gas, 0 to 1 (and above, before it condenses).
    pub(super) fn humidity(&self, node: &Node, p_pa: f64) -> f64 {
        let total: f64 = node.n_mol.iter().sum();
        node.n_mol[Species::H2o.index()] / total * p_pa / gas::water::saturation_pa(node.gas_k)
    }
}

fn edges_of(steel: &Steel) -> Vec<Edge> {
    let doors = steel.doors.iter().enumerate().filter_map(|(d, door)| {
        door.b.map(|b| Edge {
            kind: EdgeKind::Door(d),
            a: door.a.index(),
            b: b.index(),
        })
    });
    let drains = steel.compartments.iter().enumerate().filter_map(|(i, c)| {
        c.drain_to.map(|tank| Edge {
            kind: EdgeKind::Drain(i),
            a: i,
            b: tank.index(),
        })
    });
    doors.chain(drains).collect()
}
