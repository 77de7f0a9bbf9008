//! The flows and heat of one compartment in one state, added up slot by slot, and the rates they make.

use crate::books::slot::{DIRECTION, Rate, SLOTS, Slot};
use crate::state::node::{Contents, Node, Rates};
use deepstay_core::gas::{SPECIES, Species};

/// Flows and heat of one compartment in one state. Its neighbours, and what keeps one pressure behind open
/// doors, come on top.
#[derive(Clone, Debug)]
pub(crate) struct Flows {
    list: [(Slot, Rate); SLOTS],
    count: usize,
    /// What leaves, as shares of the contents.
    pub leaving: Leaving,
    /// Constant source, mol/s.
    pub source: [f64; SPECIES],
    /// Heat into the gas.
    pub heat: Heat,
    /// Heat of the wall.
    pub wall: Wall,
    /// How the water and the heat that it carries answer a small change.
    pub wet: Wet,
}

/// What leaves a compartment, as shares of its contents, 1/s.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Leaving {
    /// Of all species.
    pub all_s: f64,
    /// More of carbon dioxide.
    pub co2_s: f64,
    /// More of water.
    pub h2o_s: f64,
}

/// Heat into the gas but for what the wall takes.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Heat {
    /// That does not depend on its temperature, W.
    pub w: f64,
    /// The conductance that does, W/K.
    pub w_k: f64,
}

impl Heat {
    /// Adds something that comes at a temperature by a conductance.
    #[inline]
    pub fn add(&mut self, w_k: f64, t_k: f64) {
        self.w += w_k * t_k;
        self.w_k += w_k;
    }
}

/// Heat of the wall.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wall {
    /// Conductance gas to wall, W/K.
    pub w_k: f64,
    /// Conductance wall to surroundings, W/K.
    pub out_w_k: f64,
    /// Temperature of the surroundings, K.
    pub out_k: f64,
    /// Heat into the wall from condensation, W.
    pub heat_w: f64,
}

/// How the balances of water and heat answer a small change of water or temperature, beyond what the shares
/// and conductances say: a coil that cools more where it is damper, a wall that takes up less where it is warmer.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Wet {
    /// More water leaves per mole more of it, 1/s, and per kelvin of warmer gas, mol/(s K).
    pub leaves_s: f64,
    pub leaves_mol_s_k: f64,
    /// Less water leaves per kelvin of warmer wall, mol/(s K).
    pub stays_mol_s_k: f64,
    /// Heat into the gas per mole more of water, W/mol, and out of it per kelvin of warmer gas, W/K.
    pub heat_w_mol: f64,
    pub heat_w_k: f64,
    /// Heat into the wall per mole more of water, W/mol, and out of it per kelvin of warmer wall, W/K.
    pub wall_w_mol: f64,
    pub wall_w_k: f64,
}

impl Default for Flows {
    fn default() -> Self {
        Flows {
            list: [(Slot::Leak, Rate::default()); SLOTS],
            count: 0,
            leaving: Leaving::default(),
            source: [0.0; SPECIES],
            heat: Heat::default(),
            wall: Wall::default(),
            wet: Wet::default(),
        }
    }
}

impl Flows {
    /// Empties it for another state. The list is left as it lies.
    pub fn clear(&mut self) {
        self.count = 0;
        self.leaving = Leaving::default();
        self.source = [0.0; SPECIES];
        self.wet = Wet::default();
        self.heat = Heat::default();
        self.wall.heat_w = 0.0;
    }

    /// Adds a slot's flow.
    #[inline]
    pub fn set(&mut self, slot: Slot, rate: Rate) {
        self.list[self.count] = (slot, rate);
        self.count += 1;
        let d = DIRECTION[slot as usize];
        if d == 0.0 {
            return;
        }
        match rate.only {
            None => self.leaving.all_s -= d * rate.k,
            Some(Species::Co2) => self.leaving.co2_s -= d * rate.k,
            Some(_) => self.leaving.h2o_s -= d * rate.k,
        }
        for (source, fixed) in self.source.iter_mut().zip(rate.fixed) {
            *source += d * fixed;
        }
    }

    /// Adds a share of the contents that leaves by a slot.
    #[inline]
    pub fn set_share(&mut self, slot: Slot, k: f64) {
        if k > 0.0 {
            self.set(slot, Rate::share(k));
        }
    }

    /// Slots with a flow.
    #[inline]
    pub fn list(&self) -> &[(Slot, Rate)] {
        &self.list[..self.count]
    }

    /// Share of a species that leaves, 1/s.
    #[inline]
    pub fn decay_s(&self, s: usize) -> f64 {
        match s {
            CO2 => self.leaving.all_s + self.leaving.co2_s,
            H2O => self.leaving.all_s + self.leaving.h2o_s,
            _ => self.leaving.all_s,
        }
    }

    /// Moles of all species that come, less those that go, in a state, mol/s.
    pub fn net_mol_s(&self, node: &Node) -> f64 {
        let net = |s: usize| self.source[s] - self.decay_s(s) * node.n_mol[s];
        (0..SPECIES).map(net).sum()
    }

    /// How fast the state changes by the compartment's own flows and heat.
    pub fn rates(&self, contents: &Contents, wall_j_k: f64) -> Rates {
        let Contents { node, gas } = contents;
        let mut net = 0.0;
        let n_mol_s = std::array::from_fn(|s| {
            let rate = self.source[s] - self.decay_s(s) * node.n_mol[s];
            net += rate;
            rate
        });
        let Wall {
            w_k,
            out_w_k,
            out_k,
            heat_w: condensing_w,
        } = self.wall;
        let to_wall_w = w_k * (node.gas_k - node.wall_k);
        let heat_w = self.heat.w - self.heat.w_k * node.gas_k - to_wall_w
            + net * gas.push_j_mol_k * node.gas_k;
        let wall_w = to_wall_w + out_w_k * (out_k - node.wall_k) + condensing_w;
        let absorbed = self
            .list()
            .iter()
            .find(|(slot, _)| *slot == Slot::Absorption);
        Rates {
            n_mol_s,
            gas_k_s: heat_w / gas.c_j_k,
            wall_k_s: wall_w / wall_j_k,
            bed_mol_s: absorbed.map_or(0.0, |(_, rate)| rate.mol_s(&node.n_mol)[CO2]),
        }
    }
}

const CO2: usize = Species::Co2 as usize;
const H2O: usize = Species::H2o as usize;
