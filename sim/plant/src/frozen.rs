//! What acts on one compartment's gas in one state: the flow through each slot, and the heat balance
//! of gas and wall.

use super::slots::{DIRECTION, Rate, SLOTS, Slot};
use super::state::Node;
use deepstay_core::gas::{SPECIES, Species};

/// Flows and heat of one compartment in one state. Its neighbours, and what keeps one pressure behind open
/// doors, come on top.
#[derive(Clone, Debug)]
pub(super) struct Frozen {
    list: [(Slot, Rate); SLOTS],
    count: usize,
    /// Share leaving that acts on all species, and the extra for carbon dioxide and water, 1/s.
    pub k_all: f64,
    pub k_co2: f64,
    pub k_h2o: f64,
    /// Constant source, mol/s.
    pub source: [f64; SPECIES],
    /// Gas heat capacity at constant volume, J/K.
    pub c_j_k: f64,
    /// Gas molar heat capacity at constant pressure, J/(mol K).
    pub cp_j_mol_k: f64,
    /// Conductance gas to wall, W/K.
    pub wall_w_k: f64,
    /// Conductance wall to surroundings, W/K, and their temperature, K.
    pub out_w_k: f64,
    pub out_k: f64,
    /// Heat into the gas that does not depend on its temperature, W, and the conductance that does, W/K.
    pub heat_w: f64,
    pub heat_w_k: f64,
    /// Heat into the wall from condensation, W.
    pub wall_heat_w: f64,
    /// Pressure, Pa, and moles.
    pub p_pa: f64,
    pub n_mol: f64,
    /// Work of a mole that comes or goes, (h - u) over temperature: Z R, J/(mol K).
    pub push_j_mol_k: f64,
    /// How the water and the heat that it carries answer a small change.
    pub wet: Wet,
}

/// How the balances of water and heat answer a small change of water or temperature, beyond what the shares
/// and conductances say: a coil that cools more where it is damper, a wall that takes up less where it is warmer.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Wet {
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

impl Default for Frozen {
    fn default() -> Self {
        Frozen {
            list: [(Slot::Leak, Rate::default()); SLOTS],
            count: 0,
            k_all: 0.0,
            k_co2: 0.0,
            k_h2o: 0.0,
            source: [0.0; SPECIES],
            c_j_k: 1.0,
            cp_j_mol_k: 0.0,
            wall_w_k: 0.0,
            out_w_k: 0.0,
            out_k: 0.0,
            heat_w: 0.0,
            heat_w_k: 0.0,
            wall_heat_w: 0.0,
            p_pa: 0.0,
            n_mol: 0.0,
            push_j_mol_k: 0.0,
            wet: Wet::default(),
        }
    }
}

/// How fast a compartment's state changes.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Rates {
    pub n_mol_s: [f64; SPECIES],
    pub gas_k_s: f64,
    pub wall_k_s: f64,
    pub bed_mol_s: f64,
}

impl Rates {
    /// Where nothing changes its temperature.
    pub fn keep_warmth(&mut self) {
        (self.gas_k_s, self.wall_k_s) = (0.0, 0.0);
    }
}

impl Frozen {
    /// Empties it for another state. The list is left as it lies.
    pub fn clear(&mut self) {
        self.count = 0;
        (self.k_all, self.k_co2, self.k_h2o) = (0.0, 0.0, 0.0);
        self.source = [0.0; SPECIES];
        self.wet = Wet::default();
        (self.heat_w, self.heat_w_k, self.wall_heat_w) = (0.0, 0.0, 0.0);
    }

    /// Adds a slot's flow.
    pub fn set(&mut self, slot: Slot, rate: Rate) {
        self.list[self.count] = (slot, rate);
        self.count += 1;
        let d = DIRECTION[slot as usize];
        if d == 0.0 {
            return;
        }
        match rate.only {
            None => self.k_all -= d * rate.k,
            Some(Species::Co2) => self.k_co2 -= d * rate.k,
            Some(_) => self.k_h2o -= d * rate.k,
        }
        for (source, fixed) in self.source.iter_mut().zip(rate.fixed) {
            *source += d * fixed;
        }
    }

    /// Adds a share of the contents that leaves by a slot.
    pub fn set_share(&mut self, slot: Slot, k: f64) {
        if k > 0.0 {
            self.set(slot, Rate::share(k));
        }
    }

    /// Slots with a flow.
    pub fn flows(&self) -> &[(Slot, Rate)] {
        &self.list[..self.count]
    }

    /// Share of a species that leaves, 1/s.
    pub fn dies_s(&self, s: usize) -> f64 {
        match s {
            CO2 => self.k_all + self.k_co2,
            H2O => self.k_all + self.k_h2o,
            _ => self.k_all,
        }
    }

    /// How fast the state changes by the compartment's own flows and heat.
    pub fn rates(&self, node: &Node, wall_j_k: f64) -> Rates {
        let mut net = 0.0;
        let n_mol_s = std::array::from_fn(|s| {
            let rate = self.source[s] - self.dies_s(s) * node.n_mol[s];
            net += rate;
            rate
        });
        let to_wall_w = self.wall_w_k * (node.gas_k - node.wall_k);
        let heat_w = self.heat_w - self.heat_w_k * node.gas_k - to_wall_w
            + net * self.push_j_mol_k * node.gas_k;
        let wall_w = to_wall_w + self.out_w_k * (self.out_k - node.wall_k) + self.wall_heat_w;
        let absorbed = self
            .flows()
            .iter()
            .find(|(slot, _)| *slot == Slot::Absorption);
        Rates {
            n_mol_s,
            gas_k_s: heat_w / self.c_j_k,
            wall_k_s: wall_w / wall_j_k,
            bed_mol_s: absorbed.map_or(0.0, |(_, rate)| rate.k * node.n_mol[CO2]),
        }
    }
}

const CO2: usize = Species::Co2 as usize;
const H2O: usize = Species::H2o as usize;
