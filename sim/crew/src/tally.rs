//! What is kept of each diver from one order to the next, and the gas he was last followed in.

use crate::harm::Skin;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::record::Spoken;
use serde::{Deserialize, Serialize};

/// The gas a diver breathes, at his pressure.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Air {
    /// Absolute pressure of his surroundings, Pa.
    pub p_pa: f64,
    /// Partial pressure of oxygen he breathes, Pa.
    pub ppo2_pa: f64,
    /// Partial pressure of carbon dioxide he breathes, Pa.
    pub ppco2_pa: f64,
    /// Partial pressure of the trace contaminant he breathes, Pa.
    pub trace_pa: f64,
    /// Temperature of what he breathes, K.
    pub t_k: f64,
    /// Density of what he breathes, kg/m3.
    pub density_kg_m3: f64,
    /// Whether there is anything to breathe: a dead line gives nothing.
    pub flows: bool,
    /// What is round his skin.
    pub skin: Skin,
}

impl Air {
    /// A gas of fractions at a pressure and a temperature, breathed by one who keeps his temperature.
    pub fn of(fractions: &Amounts, p_pa: f64, t_k: f64) -> Air {
        Air {
            p_pa,
            ppo2_pa: fractions[Species::O2] * p_pa,
            ppco2_pa: fractions[Species::Co2] * p_pa,
            trace_pa: fractions[Species::Trace] * p_pa,
            t_k,
            density_kg_m3: deepstay_core::gas::state::density_kg_m3(fractions, p_pa, t_k),
            flows: true,
            skin: Skin::Kept,
        }
    }
}

/// What is kept per diver.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Tally {
    /// Second of his last order; amounts and times below are as of then.
    pub(super) since_s: i64,
    pub(super) left_bell_s: Option<i64>,
    pub(super) bell_s: i64,
    pub(super) water_s: i64,
    pub(super) o2_mol: f64,
    pub(super) co2_mol: f64,
    pub(super) own_o2_mol: f64,
    pub(super) own_co2_mol: f64,
    pub(super) followed_s: i64,
    pub(super) last: Option<Air>,
    pub(super) pressure_s: i64,
    pub(super) ppo2_pa_s: f64,
    pub(super) uptd: f64,
    pub(super) cns: f64,
    pub(super) cns_beyond_s: i64,
    pub(super) said: Option<(i64, Spoken)>,
}

impl Tally {
    pub(super) fn new(start_s: i64) -> Tally {
        Tally {
            since_s: start_s,
            left_bell_s: None,
            bell_s: 0,
            water_s: 0,
            o2_mol: 0.0,
            co2_mol: 0.0,
            own_o2_mol: 0.0,
            own_co2_mol: 0.0,
            followed_s: start_s,
            last: None,
            pressure_s: 0,
            ppo2_pa_s: 0.0,
            uptd: 0.0,
            cns: 0.0,
            cns_beyond_s: 0,
            said: None,
        }
    }

    /// He breathes other gas from here on: what came before says nothing of what follows.
    pub(super) fn new_gas(&mut self) {
        self.last = None;
    }

    /// He leaves the deck: only from here on is there a pressure to follow.
    pub(super) fn leaves_deck(&mut self, now_s: i64) {
        self.followed_s = now_s;
    }
}
