//! Finds what acts on a compartment in a state: flows in and out, people, bed, climate unit, wall.
//!
//! Physics: regulated and bank-limited supply, choked and subcritical openings, a canister as a
//! Bohart-Adams bed (efficiency 1 - exp(-b (1 - taken/capacity)), exact for a varying inlet), a
//! drying coil with a contact factor, condensation on a wall under the dew point by the Lewis
//! analogy, natural convection to the wall.

use super::core::Plant;
use super::frozen::Frozen;
use super::slots::{Rate, Slot};
use super::state::{GasModel, Node, Setting, WallModel};
use crate::{Compartment, MAX_BANKS, PathLoad};
use deepstay_core::gas::flow::Nozzle;
use deepstay_core::gas::{self, Amounts, SPECIES, Species};
use deepstay_core::units::*;
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

/// Below this pressure difference an opening to the deck or an equalising valve counts as level, Pa.
pub(super) const NEAR_PA: f64 = 500.0;
/// Analysers draw their full flow from this gauge pressure on, and less below in
/// proportion, Pa (house rule).
const SAMPLE_FULL_PA: f64 = 2e4;
/// Bodies find their oxygen as long as the gas holds this many seconds of it; below they
/// take less in proportion (house rule).
const LAST_OXYGEN_S: f64 = 60.0;
/// A wall in sea water loses heat this many times faster than in air (house rule, order of magnitude).
const SEA_COOLING: f64 = 3.0;

/// Properties of the gas film at a wall, kept, and brought along by their powers, until pressure, temperature or
/// mixture has moved by more than makes a difference.
#[derive(Clone, Copy, Debug, Default, Serialize, Deserialize)]
pub(super) struct Film {
    p_pa: f64,
    t_k: f64,
    x: [f64; 3],
    plate: gas::transport::Plate,
}

/// Relative change of pressure that calls for new film properties.
const FILM_SHARE: f64 = 1e-3;
/// Change of a fraction that does.
const FILM_FRACTION: f64 = 3e-5;
/// Change of film temperature that does, K.
const FILM_K: f64 = 0.05;

/// What a state is frozen with besides itself.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment<'a> {
    /// Seconds since the start.
    pub t_s: f64,
    /// The compartment is a bell in the sea, over the whole interval.
    pub in_sea: bool,
    /// It was let down to the surface before the interval: its exhaust keeps it there.
    pub let_down: bool,
    /// Moles in each bank that is lined up.
    pub bank_mol: &'a [f64; MAX_BANKS],
}

/// Where what is breathed out of a path goes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum PathEnd {
    Overboard,
    Inside,
    Reclaimed,
}

impl Plant {
    /// The plate that stands for a wall in a state: the film kept for it if that still holds, or a new one.
    fn plate(&self, node: &Node, x: &Amounts, p_pa: f64, film: &mut Film) -> gas::transport::Plate {
        let t_k = 0.5 * (node.gas_k + node.wall_k);
        let (p_share, t_share) = ((p_pa - film.p_pa) / p_pa, (t_k - film.t_k) / t_k);
        let holds = p_share.abs() <= FILM_SHARE
            && (t_k - film.t_k).abs() <= FILM_K
            && film
                .x
                .iter()
                .zip(x.0)
                .all(|(a, b)| (a - b).abs() <= FILM_FRACTION);
        if holds {
            return film.plate.near(x, p_share, t_share);
        }
        let plate = gas::transport::Plate::new(x, p_pa, t_k, WALL_HEIGHT_M);
        *film = Film {
            p_pa,
            t_k,
            x: [x.0[0], x.0[1], x.0[2]],
            plate,
        };
        plate
    }

    /// Pressure of a compartment's gas, Pa.
    pub(super) fn pressure_pa(&self, i: usize, node: &Node) -> f64 {
        let v = self.steel.compartments[i].volume_m3;
        match self.physics.gas {
            GasModel::Real => gas::state::pressure_pa(&Amounts(node.n_mol), v, node.gas_k),
            GasModel::Ideal => gas::state::pressure_ideal_pa(&Amounts(node.n_mol), v, node.gas_k),
        }
    }

    /// Finds flows and heat of a compartment in a state. The film is brought to the state if it has moved.
    pub(super) fn freeze(
        &self,
        i: usize,
        node: &Node,
        at: &Moment,
        film: &mut Film,
        f: &mut Frozen,
    ) {
        let c = &self.steel.compartments[i];
        let set = &self.settings[i];
        let n = Amounts(node.n_mol);
        let total = n.total();
        let x = n.scaled(1.0 / total);
        f.clear();
        f.p_pa = self.pressure_pa(i, node);
        f.n_mol = total;
        f.cp_j_mol_k = gas::state::cp_j_mol_k(&x);
        f.c_j_k = gas::state::cv_j_k(&n, node.gas_k);
        f.push_j_mol_k = f.p_pa * c.volume_m3 / (total * node.gas_k);
        if set.open_outside && c.bell.is_none() {
            self.freeze_open_lock(c, f);
        } else {
            self.freeze_outflows(i, c, set, node, &x, at, f);
            self.freeze_supplies(c, set, at, f);
        }
        freeze_people(set, &n, f);
        let rh = if set.fan || set.climate {
            self.humidity(node, f.p_pa)
        } else {
            0.0
        };
        self.freeze_bed(c, set, node, rh, f);
        self.freeze_climate(i, c, set, node, rh, f);
        self.freeze_wall(c, node, &x, film, at, f);
        if let (Some(bell), true) = (c.bell, set.hot_water) {
            let w_k = bell.hot_water_w / (bell.hot_water_t_k - self.sea_k).max(1.0);
            f.heat_w += w_k * bell.hot_water_t_k;
            f.heat_w_k += w_k;
        }
        let masks = if c.bell.is_some() {
            PathEnd::Inside
        } else {
            PathEnd::Overboard
        };
        self.freeze_path(
            Slot::BibsGas,
            set.bibs_bank,
            &set.bibs,
            f.p_pa,
            masks,
            at,
            f,
        );
        if c.bell.is_some() {
            let sea_pa = self.sea_pa(i, at.t_s);
            let returns = set.reclaim && set.reclaim_to.is_some();
            let exhaled = if returns {
                PathEnd::Reclaimed
            } else {
                PathEnd::Overboard
            };
            self.freeze_path(
                Slot::MainGas,
                set.main_bank,
                &set.main,
                sea_pa,
                exhaled,
                at,
                f,
            );
            self.freeze_path(
                Slot::SecondaryGas,
                set.secondary_bank,
                &set.secondary,
                sea_pa,
                PathEnd::Overboard,
                at,
                f,
            );
        }
    }

    fn freeze_open_lock(&self, c: &Compartment, f: &mut Frozen) {
        // Deck air walks in as the lock's gas walks out: one change a minute, booked as what it nets to.
        let k = 1.0 / 60.0;
        let air =
            gas::state::total_moles(&Amounts::air(), f.p_pa, c.volume_m3, self.steel.deck_t_k);
        f.set(
            Slot::Outward,
            Rate {
                k,
                only: None,
                fixed: Amounts::air().scaled(-k * air).0,
            },
        );
        let w_k = k * air * f.cp_j_mol_k;
        f.heat_w += w_k * self.steel.deck_t_k;
        f.heat_w_k += w_k;
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "the pieces of one state, unpacked once by the caller"
    )]
    fn freeze_outflows(
        &self,
        i: usize,
        c: &Compartment,
        set: &Setting,
        node: &Node,
        x: &Amounts,
        at: &Moment,
        f: &mut Frozen,
    ) {
        let (p_pa, total) = (f.p_pa, f.n_mol);
        let nozzle = Nozzle::with_cp(x, f.cp_j_mol_k);
        let share = |area_m2: f64, down_pa: f64| {
            if area_m2 > 0.0 && p_pa > down_pa {
                through_mol_s(area_m2, &nozzle, p_pa, node.gas_k, down_pa) / total
            } else {
                0.0
            }
        };
        let surface = self.steel.surface_pa;
        let outside_pa = self.outside_pa(i, at.t_s);
        f.set_share(Slot::Leak, share(c.leak_m2, outside_pa));
        f.set_share(Slot::FaultLeak, share(set.fault_leak_m2, outside_pa));
        if !at.let_down {
            let recovered = match self.steel.recovery {
                Some(r) if set.recovery && p_pa - surface > r.lowest_gauge_pa => r.recovered,
                _ => 0.0,
            };
            let exhaust = share(set.exhaust.opening() * c.exhaust_m2, surface);
            let bleed = share(set.bleed.opening() * c.bleed_m2, surface);
            f.set_share(Slot::Exhaust, exhaust * (1.0 - recovered));
            f.set_share(Slot::Bleed, bleed * (1.0 - recovered));
            f.set_share(Slot::RecoveredExhaust, exhaust * recovered);
            f.set_share(Slot::RecoveredBleed, bleed * recovered);
        }
        let driven = ((p_pa - surface) / SAMPLE_FULL_PA).clamp(0.0, 1.0);
        f.set_share(Slot::Sample, c.sample_mol_s * driven / total);
    }

    fn freeze_supplies(&self, c: &Compartment, set: &Setting, at: &Moment, f: &mut Frozen) {
        let oxygen_opening =
            set.oxygen
                .stuck
                .unwrap_or(if set.auto_oxygen.on && set.auto_oxygen.adding {
                    1.0
                } else {
                    set.oxygen.ordered
                });
        for (slot, bank, area_m2) in [
            (
                Slot::Supply,
                set.supply_bank,
                set.blow_down.opening() * c.blow_down_m2,
            ),
            (Slot::Oxygen, set.oxygen_bank, oxygen_opening * c.oxygen_m2),
        ] {
            let Some(bank) = bank else { continue };
            if area_m2 <= 0.0 {
                continue;
            }
            let (rate, t_k) = self.supply(bank, area_m2, f.p_pa, c.supply_over_pa, at);
            if rate > 0.0 {
                let mix = self.bank_mix(bank);
                f.set(slot, Rate::fixed(mix.scaled(rate)));
                let w_k = rate * gas::state::cp_j_mol_k(&mix);
                f.heat_w += w_k * t_k;
                f.heat_w_k += w_k;
            }
        }
    }

    /// Molar flow from a bank through a regulator and a valve, mol/s, and the temperature it arrives at, K.
    fn supply(
        &self,
        bank: BankId,
        area_m2: f64,
        p_pa: f64,
        over_pa: f64,
        at: &Moment,
    ) -> (f64, f64) {
        let b = &self.steel.banks[bank.index()];
        let contents = at.bank_mol[bank.index()];
        let bank_pa = self.bank_holding_pa(bank, contents);
        let up_pa = bank_pa.min(p_pa + over_pa);
        if up_pa <= p_pa {
            return (0.0, b.t_k);
        }
        let rate = through_mol_s(
            area_m2,
            &self.bank_nozzles[bank.index()],
            up_pa,
            b.t_k,
            p_pa,
        )
        .min(0.05 * contents);
        (rate, self.arrives_k(bank, bank_pa, p_pa))
    }

    /// Temperature of a bank's gas let down to a pressure, K.
    pub(super) fn arrives_k(&self, bank: BankId, bank_pa: f64, p_pa: f64) -> f64 {
        let t_k = self.steel.banks[bank.index()].t_k;
        match self.physics.gas {
            GasModel::Real => gas::state::throttled_t_k(&self.bank_mix(bank), bank_pa, t_k, p_pa),
            GasModel::Ideal => t_k,
        }
    }

    fn freeze_bed(&self, c: &Compartment, set: &Setting, node: &Node, rh: f64, f: &mut Frozen) {
        let (Some(s), true, false) = (c.scrubber, set.fan, set.fan_failed) else {
            return;
        };
        let capacity_mol = s.absorbent_kg * s.capacity_mol_kg * (rh / DRY_BED_RH).clamp(0.1, 1.0);
        // Reaction rate doubles for each 10 K (rule of thumb, low grade) around 30 degC.
        let bed = s.bed_number * libm::exp2((node.gas_k - (ZERO_C_K + 30.0)) / 10.0);
        let left = (1.0 - node.bed_mol / capacity_mol).max(0.0);
        let efficiency = -libm::expm1(-bed * left);
        let k = s.flow_m3_s * efficiency / c.volume_m3;
        let co2_mol_s = k * node.n_mol[Species::Co2.index()];
        let mut fixed = [0.0; SPECIES];
        fixed[Species::H2o.index()] = -co2_mol_s;
        f.set(
            Slot::Absorption,
            Rate {
                k,
                only: Some(Species::Co2),
                fixed,
            },
        );
        f.heat_w += s.fan_w + ABSORPTION_J_MOL * co2_mol_s;
    }

    fn freeze_climate(
        &self,
        i: usize,
        c: &Compartment,
        set: &Setting,
        node: &Node,
        rh: f64,
        f: &mut Frozen,
    ) {
        let (Some(u), true, false) = (c.climate, set.climate, set.climate_failed) else {
            return;
        };
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
        let duty = ((rh - set.climate_rh) / COIL_BAND_RH + 0.5).clamp(0.0, 1.0);
        if duty <= 0.0 {
            return;
        }
        let full_m3_s = u.coil_m3_s * u.coil_contact;
        let flow_m3_s = full_m3_s * duty;
        let heat_j_m3_k = f.n_mol / c.volume_m3 * f.cp_j_mol_k;
        let sensible_w_k = heat_j_m3_k * flow_m3_s;
        f.heat_w += sensible_w_k * u.coil_t_k;
        f.heat_w_k += sensible_w_k;
        // What a mole more of water and a warmer gas add to the coil's flow, m3/(s mol) and m3/(s K).
        let band_m3_s = if duty < 1.0 {
            full_m3_s / COIL_BAND_RH * rh
        } else {
            0.0
        };
        let by_mol = band_m3_s / node.n_mol[Species::H2o.index()].max(f64::MIN_POSITIVE);
        let by_k = band_m3_s * (1.0 / node.gas_k - gas::water::saturation_slope_k(node.gas_k));
        let cooled_j_m3 = heat_j_m3_k * (u.coil_t_k - node.gas_k);
        f.wet.heat_w_mol += cooled_j_m3 * by_mol;
        f.wet.heat_w_k -= cooled_j_m3 * by_k;
        let at_coil_mol = self.coil_pa[i] / f.p_pa * f.n_mol;
        if node.n_mol[Species::H2o.index()] > at_coil_mol {
            let k = flow_m3_s / c.volume_m3;
            let dried_mol_m3 = (node.n_mol[Species::H2o.index()] - at_coil_mol) / c.volume_m3;
            f.wet.leaves_s += dried_mol_m3 * by_mol;
            f.wet.leaves_mol_s_k += dried_mol_m3 * by_k;
            let mut fixed = [0.0; SPECIES];
            fixed[Species::H2o.index()] = -k * at_coil_mol;
            f.set(
                Slot::Coil,
                Rate {
                    k,
                    only: Some(Species::H2o),
                    fixed,
                },
            );
        }
    }

    fn freeze_wall(
        &self,
        c: &Compartment,
        node: &Node,
        x: &Amounts,
        film: &mut Film,
        at: &Moment,
        f: &mut Frozen,
    ) {
        (f.out_k, f.out_w_k) = if at.in_sea {
            (self.sea_k, c.wall_ua_w_k * SEA_COOLING)
        } else {
            (self.steel.deck_t_k, c.wall_ua_w_k)
        };
        let h = match self.physics.wall {
            WallModel::Natural => self
                .plate(node, x, f.p_pa, film)
                .w_m2_k(node.gas_k, node.wall_k),
            WallModel::Fixed(h) => h,
            WallModel::Adiabatic | WallModel::Isothermal => 0.0,
        };
        f.wall_w_k = h * c.wall_m2;
        let at_wall_mol = gas::water::saturation_pa(node.wall_k) / f.p_pa * f.n_mol;
        if h > 0.0 && node.n_mol[Species::H2o.index()] > at_wall_mol {
            // Lewis analogy with Lewis number 1: mass conductance = h / (rho cp).
            let k = f.wall_w_k / (f.n_mol * f.cp_j_mol_k);
            let mut fixed = [0.0; SPECIES];
            fixed[Species::H2o.index()] = -k * at_wall_mol;
            f.set(
                Slot::WallWater,
                Rate {
                    k,
                    only: Some(Species::H2o),
                    fixed,
                },
            );
            let latent_j_mol = gas::water::latent_j_mol(node.wall_k);
            f.wall_heat_w = k * (node.n_mol[Species::H2o.index()] - at_wall_mol) * latent_j_mol;
            f.wet.stays_mol_s_k = k * at_wall_mol * gas::water::saturation_slope_k(node.wall_k);
            f.wet.wall_w_mol = k * latent_j_mol;
            f.wet.wall_w_k = f.wet.stays_mol_s_k * latent_j_mol;
        }
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one breathing path has this many sides"
    )]
    fn freeze_path(
        &self,
        slot: Slot,
        bank: Option<BankId>,
        path: &PathLoad,
        p_pa: f64,
        end: PathEnd,
        at: &Moment,
        f: &mut Frozen,
    ) {
        let (Some(bank), true) = (bank, path.ventilation_m3_s > 0.0) else {
            return;
        };
        if self.bank_holding_pa(bank, at.bank_mol[bank.index()]) <= p_pa {
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
        let [gas_slot, body_slot, breath_slot] = slot.of_path();
        let mut kept_out = gas_out;
        if let (Slot::MainGas, Some(r), true) =
            (slot, self.steel.reclaim, end == PathEnd::Reclaimed)
        {
            f.set(Slot::MainReclaimed, Rate::fixed(gas_out.scaled(r.recovery)));
            kept_out = gas_out.scaled(1.0 - r.recovery);
        }
        f.set(gas_slot, Rate::fixed(kept_out));
        f.set(body_slot, Rate::fixed(to_body));
        f.set(breath_slot, Rate::fixed(breath));
        if end == PathEnd::Inside {
            // No overboard dump in a bell: what is breathed out stays inside.
            for (source, (gas, breath)) in f.source.iter_mut().zip(gas_out.0.iter().zip(breath.0)) {
                *source += gas + breath;
            }
        }
    }
}

/// Flow of a gas through an opening, mol/s. The last of a difference goes smoothly, as where flow turns laminar, so that
/// two pressures that have come together come to rest: a parabola that meets the nozzle's flow in value and slope.
pub(super) fn through_mol_s(
    area_m2: f64,
    gas: &Nozzle,
    up_pa: f64,
    up_k: f64,
    down_pa: f64,
) -> f64 {
    let share = ((up_pa - down_pa) / NEAR_PA).clamp(0.0, 1.0);
    let full = gas.mol_s(area_m2, up_pa.max(down_pa + NEAR_PA), up_k, down_pa);
    share * (1.5 - 0.5 * share) * full
}

fn freeze_people(set: &Setting, n: &Amounts, f: &mut Frozen) {
    let load = set.load;
    let mut taken = Amounts::ZERO;
    if load.o2_mol_s > 0.0 {
        let breathing = (n[Species::O2] / (load.o2_mol_s * LAST_OXYGEN_S)).clamp(0.0, 1.0);
        taken[Species::O2] = load.o2_mol_s * breathing;
        taken[Species::Co2] = -load.co2_mol_s * breathing;
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
