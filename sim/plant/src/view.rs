//! The truth of the plant for those who may know it: the job (for people's bodies and for the
//! record), tests and debriefs. No one who decides looks here.

use super::core::Plant;
use deepstay_core::gas::Species;
use deepstay_core::record::{LineName, ValveName, Whereabouts};
use deepstay_core::units::*;

/// The air of a compartment, true.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    /// Absolute pressure, Pa.
    pub p_pa: f64,
    /// Oxygen partial pressure, Pa.
    pub ppo2_pa: f64,
    /// Carbon dioxide partial pressure, Pa.
    pub ppco2_pa: f64,
    /// Temperature, K.
    pub t_k: f64,
    /// Wall temperature, K.
    pub wall_k: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Moles of gas.
    pub n_mol: deepstay_core::gas::Amounts,
}

impl Plant {
    /// The air of a compartment at a second.
    pub fn air(&self, c: CompartmentId, t_s: i64) -> Air {
        let i = c.index();
        let node = &self.node_at(i, t_s);
        let total: f64 = node.n_mol.iter().sum();
        let p_pa = self.pressure_pa(i, node);
        Air {
            p_pa,
            ppo2_pa: node.n_mol[Species::O2.index()] / total * p_pa,
            ppco2_pa: node.n_mol[Species::Co2.index()] / total * p_pa,
            t_k: node.gas_k,
            wall_k: node.wall_k,
            humidity: self.humidity(node, p_pa),
            n_mol: deepstay_core::gas::Amounts(node.n_mol),
        }
    }

    /// Sets a compartment's gas and wall, for a start other than deck air. Only before second 0 has passed.
    pub fn set_air(
        &mut self,
        c: CompartmentId,
        n_mol: deepstay_core::gas::Amounts,
        gas_k: f64,
        wall_k: f64,
    ) {
        let i = c.index();
        self.nodes[i].n_mol = n_mol.0;
        self.nodes[i].gas_k = gas_k;
        self.nodes[i].wall_k = wall_k;
        let at = self.cluster_of[i];
        self.clusters[at].dirty = true;
        self.start_probes();
    }

    /// Whether a door is open (its lamp on the panel).
    pub fn door_open(&self, d: DoorId) -> bool {
        self.doors[d.index()].open
    }

    /// Whether a mating face is clamped.
    pub fn door_clamped(&self, d: DoorId) -> bool {
        self.doors[d.index()].clamped
    }

    /// Valve position as ordered: what the panel's handle shows.
    pub fn valve_ordered(&self, v: ValveName) -> f64 {
        match v {
            ValveName::BlowDown(c) => self.settings[c.index()].blow_down.ordered,
            ValveName::Oxygen(c) => self.settings[c.index()].oxygen.ordered,
            ValveName::Exhaust(c) => self.settings[c.index()].exhaust.ordered,
            ValveName::Bleed(c) => self.settings[c.index()].bleed.ordered,
            ValveName::Drain(c) => self.settings[c.index()].drain.ordered,
            ValveName::Equalise(d) => self.doors[d.index()].equalise.ordered,
        }
    }

    /// Bank lined up to a line.
    pub fn lined_up(&self, line: LineName) -> Option<BankId> {
        match line {
            LineName::Supply(c) => self.settings[c.index()].supply_bank,
            LineName::Oxygen(c) => self.settings[c.index()].oxygen_bank,
            LineName::Bibs(c) => self.settings[c.index()].bibs_bank,
            LineName::DiverMain(c) => self.settings[c.index()].main_bank,
            LineName::DiverSecondary(c) => self.settings[c.index()].secondary_bank,
        }
    }

    /// Oxygen fraction of a bank's last analysis.
    pub fn analysed_o2(&self, bank: BankId) -> Option<f64> {
        self.banks[bank.index()].analysed_o2
    }

    /// Fan running time on the canister in use, s, whether the fan is switched on, and what it took, mol.
    pub fn canister(&self, c: CompartmentId, t_s: i64) -> (f64, bool, f64) {
        let i = c.index();
        let node = self.node_at(i, t_s);
        (node.bed_s, self.settings[i].fan, node.bed_mol)
    }

    /// Sets the errors of an instrument at the start: relative span, zero in its unit, and their drift per second.
    pub fn set_errors(
        &mut self,
        id: InstrumentId,
        span: f64,
        zero: f64,
        span_drift_per_s: f64,
        zero_drift_per_s: f64,
    ) {
        let probe = &mut self.probes[id.index()];
        probe.span = span;
        probe.zero = zero;
        probe.span_drift_per_s = span_drift_per_s;
        probe.zero_drift_per_s = zero_drift_per_s;
    }

    /// What surrounds a diver in the water at a bell: the sea's pressure, and the bell's gas as what he
    /// would breathe from it.
    pub fn water_at(&self, bell: CompartmentId, t_s: i64) -> Air {
        let inside = self.air(bell, t_s);
        let p_pa = self.sea_pa(bell.index(), t_s as f64);
        let by = p_pa / inside.p_pa;
        Air {
            p_pa,
            ppo2_pa: inside.ppo2_pa * by,
            ppco2_pa: inside.ppco2_pa * by,
            ..inside
        }
    }

    /// Whether hot water flows to a bell and its divers.
    pub fn hot_water(&self, bell: CompartmentId) -> bool {
        self.settings[bell.index()].hot_water
    }

    /// Moles in a bank at a second.
    pub fn bank_moles(&self, bank: BankId, t_s: i64) -> f64 {
        self.bank_at(bank, t_s).total()
    }

    /// Whether a person can get from one place to another through open doors.
    pub fn passage(&self, from: Whereabouts, to: Whereabouts, t_s: i64) -> bool {
        match (from, to) {
            (Whereabouts::In(a), Whereabouts::In(b)) => self.joined_by_doors(a.index(), b.index()),
            (Whereabouts::In(a), Whereabouts::Water(b))
            | (Whereabouts::Water(a), Whereabouts::In(b)) => {
                a == b
                    && self.settings[a.index()].open_outside
                    && self.bell_msw(a.index(), t_s as f64) > 0.0
            }
            (Whereabouts::Deck, Whereabouts::In(c)) | (Whereabouts::In(c), Whereabouts::Deck) => {
                (self.air(c, t_s).p_pa - self.steel.surface_pa).abs() < 5_000.0
            }
            (a, b) => a == b,
        }
    }

    fn joined_by_doors(&self, from: usize, to: usize) -> bool {
        let mut reached = [false; crate::MAX_COMPARTMENTS];
        reached[from] = true;
        for _ in 0..self.nodes.len() {
            for (door, _) in self
                .steel
                .doors
                .iter()
                .zip(&self.doors)
                .filter(|(_, s)| s.open)
            {
                if let Some(b) = door.b {
                    let either = reached[door.a.index()] || reached[b.index()];
                    reached[door.a.index()] = either;
                    reached[b.index()] = either;
                }
            }
        }
        reached[to]
    }
}
