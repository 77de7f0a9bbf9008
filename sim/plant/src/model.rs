//! The steel with its settings and sea at present: all that decides what flows in a state. A view
//! that is borrowed for a moment; it holds no gas.

use crate::state::banks::BankGas;
use crate::state::controls::Controls;
use crate::state::node::Node;
use crate::state::physics::{GasModel, Physics, WallModel};
use crate::state::sea::Sea;
use crate::steel::edge::{Edge, EdgeKind, edges_of};
use crate::steel::{Compartment, Reclaim, Steel};
use deepstay_core::gas::{self, Amounts};
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// The steel, and everything that is set on it.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Setup {
    #[serde(skip)]
    steel: Arc<Steel>,
    #[serde(skip)]
    edges: Vec<Edge>,
    #[serde(skip)]
    coil_pa: Vec<f64>,
    physics: Physics,
    /// How it is set.
    pub controls: Controls,
    /// What bells go into.
    pub sea: Sea,
}

impl Setup {
    /// At rest, in a sea without tide.
    pub fn new(steel: Arc<Steel>, physics: Physics) -> Setup {
        Setup {
            edges: Vec::new(),
            coil_pa: Vec::new(),
            physics,
            controls: Controls::at_rest(&steel),
            sea: Sea::default(),
            steel: Arc::default(),
        }
        .with_steel(steel)
    }

    /// Puts the steel back, and works out what only follows from it.
    pub fn with_steel(mut self, steel: Arc<Steel>) -> Setup {
        self.edges = edges_of(&steel);
        let coil_pa = |c: &Compartment| {
            c.climate
                .map_or(0.0, |u| gas::water::saturation_pa(u.coil_t_k))
        };
        self.coil_pa = steel.compartments.iter().map(coil_pa).collect();
        self.steel = steel;
        self
    }

    /// The steel.
    pub fn steel(&self) -> &Arc<Steel> {
        &self.steel
    }

    /// All of it, borrowed.
    #[inline]
    pub fn model(&self) -> Model<'_> {
        Model {
            steel: &self.steel,
            edges: &self.edges,
            coil_pa: &self.coil_pa,
            physics: self.physics,
            controls: &self.controls,
            sea: &self.sea,
        }
    }
}

/// What decides what flows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Model<'a> {
    /// What there is.
    pub steel: &'a Steel,
    /// Its doors and drains.
    pub edges: &'a [Edge],
    /// Saturation pressure at each compartment's coil, Pa.
    pub coil_pa: &'a [f64],
    /// How gas and walls are treated.
    pub physics: Physics,
    /// How it is set.
    pub controls: &'a Controls,
    /// What bells go into.
    pub sea: &'a Sea,
}

impl Model<'_> {
    /// Pressure of a compartment's gas, Pa.
    #[inline]
    pub fn pressure_pa(&self, i: usize, node: &Node) -> f64 {
        let v = self.steel.compartments[i].volume_m3;
        match self.physics.gas {
            GasModel::Real => gas::state::pressure_pa(&Amounts(node.n_mol), v, node.gas_k),
            GasModel::Ideal => gas::state::pressure_ideal_pa(&Amounts(node.n_mol), v, node.gas_k),
        }
    }

    /// Whether gas stays at its temperature.
    #[inline]
    pub fn isothermal(&self) -> bool {
        self.physics.wall == WallModel::Isothermal
    }

    /// Whether a compartment is a bell.
    #[inline]
    pub fn is_bell(&self, i: usize) -> bool {
        self.steel.compartments[i].bell.is_some()
    }

    /// Depth of a bell in the sea, msw.
    pub fn bell_msw(&self, i: usize, t_s: f64) -> f64 {
        let z = self.controls.bell(i).msw(t_s);
        if z > 0.0 {
            (z + self.sea.above_mean_m(t_s)).max(0.0)
        } else {
            0.0
        }
    }

    /// Pressure of the sea at a bell, Pa.
    pub fn sea_pa(&self, i: usize, t_s: f64) -> f64 {
        self.pa_at(self.bell_msw(i, t_s))
    }

    /// Pressure of the sea at a depth, Pa.
    pub fn pa_at(&self, msw: f64) -> f64 {
        self.steel.surface_pa + msw * MSW_PA
    }

    /// Pressure outside a compartment, Pa.
    pub fn outside_pa(&self, i: usize, t_s: f64) -> f64 {
        if self.is_bell(i) {
            self.sea_pa(i, t_s)
        } else {
            self.steel.surface_pa
        }
    }

    /// Absolute pressure of so many moles of a bank's gas in it, Pa.
    pub fn bank_holding_pa(&self, bank: BankId, gas: &BankGas, mol: f64) -> f64 {
        self.holding_pa(bank, &gas.mix.scaled(mol))
    }

    /// Absolute pressure of moles in a bank, Pa.
    pub fn holding_pa(&self, bank: BankId, n: &Amounts) -> f64 {
        let b = &self.steel.banks[bank.index()];
        if n.total() <= 0.0 {
            return 0.0;
        }
        gas::state::pressure_pa(n, b.volume_m3, b.t_k)
    }

    /// Moles of a bank's gas that it holds at a pressure, Pa: what no line at that pressure can draw.
    pub fn held_mol(&self, bank: BankId, gas: &BankGas, p_pa: f64) -> f64 {
        let b = &self.steel.banks[bank.index()];
        gas::state::total_moles(&gas.mix, p_pa, b.volume_m3, b.t_k)
    }

    /// Temperature of a bank's gas let down to a pressure, K.
    pub fn arrives_k(&self, bank: BankId, gas: &BankGas, bank_pa: f64, p_pa: f64) -> f64 {
        let t_k = self.steel.banks[bank.index()].t_k;
        match self.physics.gas {
            GasModel::Real => gas::state::throttled_t_k(&gas.mix, bank_pa, t_k, p_pa),
            GasModel::Ideal => t_k,
        }
    }

    /// The loop whose volume tank a compartment is, if it is one.
    pub fn reclaim_of(&self, i: usize) -> Option<&Reclaim> {
        let reclaim = self.steel.reclaim.as_ref();
        reclaim.filter(|r| r.tank.index() == i)
    }

    /// Bells whose divers breathe from the loop.
    pub fn bells_on_loop(&self) -> impl Iterator<Item = usize> {
        let bells = 0..self.steel.compartments.len();
        bells.filter(|b| self.is_bell(*b) && self.controls.of(*b).reclaims())
    }

    /// Whether the loop runs, for the divers of any bell.
    pub fn loop_runs(&self) -> bool {
        self.bells_on_loop().next().is_some()
    }

    /// Pressure at which divers of the deepest bell are given the loop's gas, Pa: what its analysers are set for.
    pub fn supplied_pa(&self, t_s: f64) -> f64 {
        let bells = (0..self.steel.compartments.len()).filter(|b| self.is_bell(*b));
        let at_bells = bells.map(|b| self.sea_pa(b, t_s));
        at_bells.fold(self.steel.surface_pa, f64::max)
    }

    /// Nobody in a compartment, nothing running, no valve open; of a loop's tank, nobody on the loop.
    pub fn is_at_rest(&self, i: usize) -> bool {
        self.controls.of(i).is_at_rest() && (self.reclaim_of(i).is_none() || !self.loop_runs())
    }

    /// Whether nobody is in a compartment, nor breathes from its lines.
    pub fn is_empty(&self, i: usize) -> bool {
        self.controls.of(i).is_empty()
    }

    /// Bank of the gas recovery, where there is one and its stop is open.
    pub fn recovery_bank(&self) -> Option<BankId> {
        let bank = self.steel.recovery.map(|r| r.bank);
        bank.filter(|b| !self.controls.bank_stopped(*b))
    }

    /// Opening of the valve along an edge, m2; nothing where a door stands open.
    pub fn valve_area_m2(&self, x: usize) -> f64 {
        match self.edges[x].kind {
            EdgeKind::Door(d) if self.controls.door(d).open => 0.0,
            EdgeKind::Door(d) => {
                self.controls.door(d).equalise.opening() * self.steel.doors[d].equalise_m2
            }
            EdgeKind::Drain(c) => {
                self.controls.of(c).valves.drain.opening() * self.steel.compartments[c].drain_m2
            }
        }
    }
}
