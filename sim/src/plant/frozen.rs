//! Coefficients of a compartment's balances, frozen over an interval: what flows through each
//! slot, and the heat balance of gas and wall.
//!
//! Physics: regulated and bank-limited supply, choked and subcritical openings, a canister as a
//! Bohart-Adams bed (efficiency 1 - exp(-b (1 - taken/capacity)), exact for a varying inlet), a
//! drying coil with a contact factor, condensation on a wall under the dew point by the Lewis
//! analogy, natural convection to the wall.

use super::core::Plant;
use super::slots::{DIRECTION, Rate, SLOTS, Slot};
use super::state::{GasModel, Node, Setting, WallModel};
use crate::gas::{self, Amounts, SPECIES, Species};
use crate::plant::{Compartment, PathLoad};
use crate::units::*;
use serde::{Deserialize, Serialize};

/// Heat given to the gas per mole of carbon dioxide absorbed when the water leaves as vapour, J
/// (derived from standard formation enthalpies, from memory).
pub const ABSORPTION_J_MOL: f64 = 69_000.0;
/// Height of the vertical plate that stands for a chamber wall, m.
pub const WALL_HEIGHT_M: f64 = 2.0;
/// Relative humidity below which absorbent loses capacity in proportion (from memory, weak).
pub const DRY_BED_RH: f64 = 0.3;
/// Band of relative humidity over which the drying coil goes from idle to full duty.
const COIL_BAND_RH: f64 = 0.1;
/// Temperature at which breathed gas is counted, K: 15 degC, as the trade counts free gas.
const BREATHED_K: f64 = ZERO_C_K + 15.0;

/// Everything frozen for one compartment.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(super) struct Frozen {
    pub rates: [Rate; SLOTS],
    pub active: u32,
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
    /// Pressure, Pa, and moles at the freeze.
    pub p_pa: f64,
    pub n_mol: f64,
    /// Work of the moles that come and go, (h - u) = Z R T each, W/K.
    pub push_w_k: f64,
}

impl Default for Frozen {
    fn default() -> Self {
        Frozen {
            rates: [Rate::default(); SLOTS],
            active: 0,
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
            push_w_k: 0.0,
        }
    }
}

impl Frozen {
    fn set(&mut self, slot: Slot, rate: Rate) {
        self.rates[slot as usize] = rate;
        self.active |= 1 << slot as usize;
    }

    fn set_share(&mut self, slot: Slot, k: f64) {
        if k > 0.0 {
            self.set(slot, Rate::share(k));
        }
    }

    /// Moles gained in the state of the freeze, mol/s; neighbours, and what takes one species only, apart.
    pub fn gain_mol_s(&self) -> f64 {
        self.source.iter().sum::<f64>() - self.k_all * self.n_mol
    }

    /// Heat gained in the state of the freeze, W; neighbours and the work of moles that come and go apart.
    pub fn gain_w(&self, node: &Node) -> f64 {
        self.heat_w - self.heat_w_k * node.gas_k + self.wall_w_k * (node.wall_k - node.gas_k)
    }

    /// Share per second by which what hangs on contents and temperature changes in the state of the freeze,
    /// with the heat that neighbours give. What they give of gas is judged way by way.
    pub fn change_per_s(&self, node: &Node, from_neighbours_w: f64) -> f64 {
        let moles = self.gain_mol_s().abs() / self.n_mol;
        let warming_k_s = (self.gain_w(node) + from_neighbours_w).abs() / self.c_j_k;
        // Temperature relaxes exactly within a step; only what hangs on it is frozen, and the film at the wall,
        // which hangs on it most, on its difference from the wall's.
        let warming_k = LARGEST_WARMING_K.max(LARGEST_FILM_CHANGE * (node.wall_k - node.gas_k).abs());
        moles.max((LARGEST_CHANGE * warming_k_s / warming_k).min(LARGEST_CHANGE))
    }

    /// Slots with a flow.
    pub fn slots(&self) -> impl Iterator<Item = usize> + use<> {
        let active = self.active;
        (0..SLOTS).filter(move |s| active & (1 << s) != 0)
    }

    fn sum_up(&mut self) {
        for s in self.slots() {
            let rate = &self.rates[s];
            let d = DIRECTION[s];
            if d == 0.0 {
                continue;
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
    }
}

/// Properties of the gas film at a wall, kept until pressure, temperature or mixture has moved by
/// more than makes a difference.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub(super) struct Film {
    p_pa: f64,
    t_k: f64,
    x: [f64; 3],
    plate: gas::transport::Plate,
}

/// Relative change of pressure, or change of a fraction, that calls for new film properties.
const FILM_SHARE: f64 = 3e-5;
/// Change of film temperature that does, K.
const FILM_K: f64 = 0.01;

impl Plant {
    /// Film properties for a state: those kept, if they still hold.
    pub(super) fn film(&self, i: usize, node: &Node) -> Film {
        let kept = self.films[i];
        if self.physics.wall != WallModel::Natural {
            return kept;
        }
        let n = Amounts(node.n_mol);
        let x = n.fractions();
        let (p_pa, t_k) = (self.pressure_pa(i, node), 0.5 * (node.gas_k + node.wall_k));
        let same = (p_pa - kept.p_pa).abs() <= FILM_SHARE * p_pa
            && (t_k - kept.t_k).abs() <= FILM_K
            && kept.x.iter().zip(x.0).all(|(a, b)| (a - b).abs() <= FILM_SHARE);
        if same {
            return kept;
        }
        let plate = gas::transport::Plate::new(&x, p_pa, t_k, WALL_HEIGHT_M);
        Film { p_pa, t_k, x: [x.0[0], x.0[1], x.0[2]], plate }
    }

    /// Pressure of a compartment's gas, Pa.
    pub(super) fn pressure_pa(&self, i: usize, node: &Node) -> f64 {
        let v = self.steel.compartments[i].volume_m3;
        match self.physics.gas {
            GasModel::Real => gas::state::pressure_pa(&Amounts(node.n_mol), v, node.gas_k),
            GasModel::Ideal => gas::state::pressure_ideal_pa(&Amounts(node.n_mol), v, node.gas_k),
        }
    }

    /// Freezes the coefficients of one compartment in a state at a second.
    pub(super) fn freeze(&self, i: usize, node: &Node, t_s: i64) -> Frozen {
        let c = &self.steel.compartments[i];
        let set = &self.settings[i];
        let n = Amounts(node.n_mol);
        let total = n.total();
        let x = n.scaled(1.0 / total);
        let p_pa = self.pressure_pa(i, node);
        let mut f = Frozen { p_pa, cp_j_mol_k: gas::state::cp_j_mol_k(&x), ..Frozen::default() };
        f.c_j_k = gas::state::cv_j_k(&n, node.gas_k);
        if set.open_outside && c.bell.is_none() {
            self.freeze_open_lock(c, &mut f, p_pa);
        } else {
            self.freeze_outflows(i, c, set, node, &x, &mut f, t_s);
            self.freeze_supplies(c, set, &mut f, t_s);
        }
        self.freeze_people(set, &n, &mut f);
        self.freeze_bed(c, set, node, &mut f);
        self.freeze_climate(c, set, node, &mut f);
        self.freeze_wall(i, c, node, &mut f, t_s);
        self.freeze_path(Slot::BibsGas, set.bibs_bank, &set.bibs, p_pa, c.bell.is_none(), &mut f, t_s);
        if c.bell.is_some() {
            let sea_pa = self.sea_pa(i, t_s);
            self.freeze_path(Slot::MainGas, set.main_bank, &set.main, sea_pa, true, &mut f, t_s);
            self.freeze_path(Slot::SecondaryGas, set.secondary_bank, &set.secondary, sea_pa, true, &mut f, t_s);
            if set.reclaim {
                self.reclaim(set, &mut f);
            }
        }
        f.sum_up();
        f.n_mol = total;
        let z = p_pa * c.volume_m3 / (total * R * node.gas_k);
        let removed = f.k_all * total + f.k_co2 * n[Species::Co2] + f.k_h2o * n[Species::H2o];
        f.push_w_k = (f.source.iter().sum::<f64>() - removed) * z * R;
        f
    }

    fn freeze_open_lock(&self, c: &Compartment, f: &mut Frozen, p_pa: f64) {
        // Deck air walks in as the lock's gas walks out: one change a minute, booked as what it nets to.
        let k = 1.0 / 60.0;
        let air = gas::state::total_moles(&Amounts::air(), p_pa, c.volume_m3, self.steel.deck_t_k);
        f.set(Slot::Outward, Rate { k, only: None, fixed: Amounts::air().scaled(-k * air).0 });
        f.heat_w += k * air * f.cp_j_mol_k * self.steel.deck_t_k;
        f.heat_w_k += k * air * f.cp_j_mol_k;
    }

    #[expect(clippy::too_many_arguments, reason = "the pieces of one state, unpacked once by the caller")]
    fn freeze_outflows(&self, i: usize, c: &Compartment, set: &Setting, node: &Node, x: &Amounts, f: &mut Frozen, t_s: i64) {
        let outside_pa = self.outside_pa(i, t_s);
        let total: f64 = node.n_mol.iter().sum();
        let share = |area_m2: f64, down_pa: f64| {
            if area_m2 > 0.0 && f.p_pa > down_pa {
                gas::flow::mol_s(area_m2, x, f.p_pa, node.gas_k, down_pa) / total
            } else {
                0.0
            }
        };
        let surface = self.steel.surface_pa;
        let leak = share(c.leak_m2, outside_pa);
        let fault = share(set.fault_leak_m2, outside_pa);
        // As at the anchor: an interval that ends below must still let the gas out that brings it there.
        let near = self.pressure_pa(i, &self.nodes[i]) - surface < NEAR_PA;
        let exhaust = if near { 0.0 } else { share(set.exhaust.opening() * c.exhaust_m2, surface) };
        let bleed = if near { 0.0 } else { share(set.bleed.opening() * c.bleed_m2, surface) };
        let recovered = match self.steel.recovery {
            Some(r) if set.recovery && f.p_pa - surface > r.lowest_gauge_pa => r.recovered,
            _ => 0.0,
        };
        f.set_share(Slot::Leak, leak);
        f.set_share(Slot::FaultLeak, fault);
        f.set_share(Slot::Exhaust, exhaust * (1.0 - recovered));
        f.set_share(Slot::Bleed, bleed * (1.0 - recovered));
        f.set_share(Slot::RecoveredExhaust, exhaust * recovered);
        f.set_share(Slot::RecoveredBleed, bleed * recovered);
        if f.p_pa - surface > SAMPLE_FROM_PA {
            f.set_share(Slot::Sample, c.sample_mol_s / total);
        }
    }

    fn freeze_supplies(&self, c: &Compartment, set: &Setting, f: &mut Frozen, t_s: i64) {
        let oxygen_opening = set.oxygen.stuck.unwrap_or(if set.auto_oxygen.on && set.auto_oxygen.adding {
            1.0
        } else {
            set.oxygen.ordered
        });
        for (slot, bank, area_m2) in [
            (Slot::Supply, set.supply_bank, set.blow_down.opening() * c.blow_down_m2),
            (Slot::Oxygen, set.oxygen_bank, oxygen_opening * c.oxygen_m2),
        ] {
            let Some(bank) = bank else { continue };
            if area_m2 <= 0.0 {
                continue;
            }
            let (rate, t_k) = self.supply(bank, area_m2, f.p_pa, c.supply_over_pa, t_s);
            if rate > 0.0 {
                f.set(slot, Rate::fixed(self.bank_mix(bank).scaled(rate)));
                let w_k = rate * gas::state::cp_j_mol_k(&self.bank_mix(bank));
                f.heat_w += w_k * t_k;
                f.heat_w_k += w_k;
            }
        }
    }

    /// Molar flow from a bank through a regulator and a valve, mol/s, and the temperature it arrives at, K.
    fn supply(&self, bank: BankId, area_m2: f64, p_pa: f64, over_pa: f64, t_s: i64) -> (f64, f64) {
        let b = &self.steel.banks[bank.index()];
        let bank_pa = self.bank_pa(bank, t_s);
        let up_pa = bank_pa.min(p_pa + over_pa);
        if up_pa <= p_pa {
            return (0.0, b.t_k);
        }
        let mix = self.bank_mix(bank);
        let contents = self.banks[bank.index()].at(t_s).total();
        let rate = gas::flow::mol_s(area_m2, &mix, up_pa, b.t_k, p_pa).min(0.05 * contents);
        let t_k = match self.physics.gas {
            GasModel::Real => gas::state::throttled_t_k(&mix, bank_pa, b.t_k, p_pa),
            GasModel::Ideal => b.t_k,
        };
        (rate, t_k)
    }

    fn freeze_people(&self, set: &Setting, n: &Amounts, f: &mut Frozen) {
        let load = set.load;
        let breathing = n[Species::O2] > load.o2_mol_s * 60.0;
        let mut taken = Amounts::ZERO;
        if breathing {
            taken[Species::O2] = load.o2_mol_s;
            taken[Species::Co2] = -load.co2_mol_s;
        }
        taken[Species::H2o] = -load.h2o_mol_s;
        if taken != Amounts::ZERO {
            f.set(Slot::Metabolism, Rate::fixed(taken));
        }
        f.heat_w += load.heat_w;
        if set.evaporating_mol_s > 0.0 {
            let mut water = Amounts::ZERO;
            water[Species::H2o] = set.evaporating_mol_s;
            f.set(Slot::Evaporation, Rate::fixed(water));
        }
    }

    fn freeze_bed(&self, c: &Compartment, set: &Setting, node: &Node, f: &mut Frozen) {
        let (Some(s), true, false) = (c.scrubber, set.fan, set.fan_failed) else { return };
        let rh = self.humidity(node, f.p_pa);
        let capacity_mol = s.absorbent_kg * s.capacity_mol_kg * (rh / DRY_BED_RH).clamp(0.1, 1.0);
        // Reaction rate doubles for each 10 K (rule of thumb, low grade) around 30 degC.
        let bed = s.bed_number * libm::exp2((node.gas_k - (ZERO_C_K + 30.0)) / 10.0);
        let left = (1.0 - node.bed_mol / capacity_mol).max(0.0);
        let efficiency = -libm::expm1(-bed * left);
        let k = s.flow_m3_s * efficiency / c.volume_m3;
        let co2_mol_s = k * node.n_mol[Species::Co2.index()];
        let mut fixed = [0.0; SPECIES];
        fixed[Species::H2o.index()] = -co2_mol_s;
        f.set(Slot::Absorption, Rate { k, only: Some(Species::Co2), fixed });
        f.heat_w += s.fan_w + ABSORPTION_J_MOL * co2_mol_s;
    }

    fn freeze_climate(&self, c: &Compartment, set: &Setting, node: &Node, f: &mut Frozen) {
        let (Some(u), true, false) = (c.climate, set.climate, set.climate_failed) else { return };
        let upper_k = set.climate_k + u.band_k / 2.0;
        let below = (upper_k - node.gas_k) / u.band_k;
        if below >= 1.0 {
            f.heat_w += u.heater_w;
        } else if below > 0.0 {
            f.heat_w += u.heater_w / u.band_k * upper_k;
            f.heat_w_k += u.heater_w / u.band_k;
        } else if below <= -1.0 {
            f.heat_w -= u.chiller_w;
        } else {
            f.heat_w += u.chiller_w / u.band_k * upper_k;
            f.heat_w_k += u.chiller_w / u.band_k;
        }
        let duty = ((self.humidity(node, f.p_pa) - set.climate_rh) / COIL_BAND_RH + 0.5).clamp(0.0, 1.0);
        if duty <= 0.0 {
            return;
        }
        let flow_m3_s = u.coil_m3_s * u.coil_contact * duty;
        let n: f64 = node.n_mol.iter().sum();
        let sensible_w_k = n / c.volume_m3 * f.cp_j_mol_k * flow_m3_s;
        f.heat_w += sensible_w_k * u.coil_t_k;
        f.heat_w_k += sensible_w_k;
        let at_coil_mol = gas::water::saturation_pa(u.coil_t_k) / f.p_pa * n;
        if node.n_mol[Species::H2o.index()] > at_coil_mol {
            let k = flow_m3_s / c.volume_m3;
            let mut fixed = [0.0; SPECIES];
            fixed[Species::H2o.index()] = -k * at_coil_mol;
            f.set(Slot::Coil, Rate { k, only: Some(Species::H2o), fixed });
        }
    }

    fn freeze_wall(&self, i: usize, c: &Compartment, node: &Node, f: &mut Frozen, t_s: i64) {
        let (out_k, sea) = self.surroundings(i, t_s);
        f.out_k = out_k;
        f.out_w_k = if sea { c.wall_ua_w_k * SEA_COOLING } else { c.wall_ua_w_k };
        let h = match self.physics.wall {
            WallModel::Natural => self.films[i].plate.w_m2_k(node.gas_k, node.wall_k),
            WallModel::Fixed(h) => h,
            WallModel::Adiabatic | WallModel::Isothermal => 0.0,
        };
        f.wall_w_k = h * c.wall_m2;
        let n: f64 = node.n_mol.iter().sum();
        let at_wall_mol = gas::water::saturation_pa(node.wall_k) / f.p_pa * n;
        if h > 0.0 && node.n_mol[Species::H2o.index()] > at_wall_mol {
            // Lewis analogy with Lewis number 1: mass conductance = h / (rho cp).
            let k = f.wall_w_k / (n * f.cp_j_mol_k);
            let mut fixed = [0.0; SPECIES];
            fixed[Species::H2o.index()] = -k * at_wall_mol;
            f.set(Slot::WallWater, Rate { k, only: Some(Species::H2o), fixed });
            f.wall_heat_w = k * (node.n_mol[Species::H2o.index()] - at_wall_mol) * gas::water::latent_j_mol(node.wall_k);
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one breathing path has this many sides")]
    fn freeze_path(&self, slot: Slot, bank: Option<BankId>, path: &PathLoad, p_pa: f64, dumped: bool, f: &mut Frozen, t_s: i64) {
        let (Some(bank), true) = (bank, path.ventilation_m3_s > 0.0) else { return };
        if self.bank_pa(bank, t_s) <= p_pa {
            return;
        }
        let mix = self.bank_mix(bank);
        let breathed = gas::state::total_moles(&mix, p_pa, path.ventilation_m3_s, BREATHED_K);
        let mut gas_out = mix.scaled(breathed);
        let mut to_body = Amounts::ZERO;
        to_body[Species::O2] = path.load.o2_mol_s.min(gas_out[Species::O2]);
        gas_out[Species::O2] -= to_body[Species::O2];
        let mut breath = Amounts::ZERO;
        breath[Species::Co2] = path.load.co2_mol_s;
        breath[Species::H2o] = path.load.h2o_mol_s;
        let base = slot as usize;
        f.rates[base] = Rate::fixed(gas_out);
        f.rates[base + 1] = Rate::fixed(to_body);
        f.rates[base + 2] = Rate::fixed(breath);
        f.active |= 0b111 << base;
        if !dumped {
            // No overboard dump in a bell: what is breathed out stays inside.
            for (source, (gas, breath)) in f.source.iter_mut().zip(gas_out.0.iter().zip(breath.0)) {
                *source += gas + breath;
            }
        }
    }

    fn reclaim(&self, set: &Setting, f: &mut Frozen) {
        let (Some(r), Some(_), true) = (self.steel.reclaim, set.reclaim_to, f.active & (1 << Slot::MainGas as usize) != 0) else { return };
        let gas = Amounts(f.rates[Slot::MainGas as usize].fixed);
        f.set(Slot::MainReclaimed, Rate::fixed(gas.scaled(r.recovery)));
        f.rates[Slot::MainGas as usize] = Rate::fixed(gas.scaled(1.0 - r.recovery));
    }

}

/// Greatest relative change of moles over which coefficients stay frozen.
pub(super) const LARGEST_CHANGE: f64 = 0.004;
/// Greatest change of gas temperature over which coefficients stay frozen, K.
const LARGEST_WARMING_K: f64 = 0.1;
/// Greatest relative change of the difference between gas and wall over which coefficients stay frozen.
const LARGEST_FILM_CHANGE: f64 = 0.05;
/// Below this pressure difference an opening to the deck or an equalising valve counts as level, Pa.
pub(super) const NEAR_PA: f64 = 500.0;
/// Analysers draw by pressure above this, Pa.
const SAMPLE_FROM_PA: f64 = 2e4;
/// A wall in sea water loses heat this many times faster than in air (house rule, order of magnitude).
const SEA_COOLING: f64 = 3.0;
