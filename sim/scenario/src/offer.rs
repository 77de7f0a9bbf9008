//! What a supplier offers, as it is reckoned with: units and what they hold, absorbent, the boat's calls,
//! the booster. Made and checked in [`super::supplier`].

use super::file::Form;
use deepstay_core::gas::{Amounts, Species};
use deepstay_plant::Duty;

/// How far a share of oxygen may lie from the one asked for and still be that mixture.
pub const SAME_MIX: f64 = 5e-4;
/// What a unit holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Offered {
    /// One mixture, as fractions.
    Mix(Amounts),
    /// Oxygen in helium within a range, mixed to order.
    OnOrder {
        /// Least oxygen, fraction.
        from: f64,
        /// Most oxygen, fraction.
        to: f64,
    },
}

/// A price with where it is from.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Of one, in the list's currency.
    pub each: f64,
    /// Where it is from, or "assumed".
    pub source: String,
}

/// Something that can be had, by the unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Offer {
    /// Its name on the list.
    pub name: String,
    /// In what it comes.
    pub form: Form,
    /// Bottles of one unit.
    pub bottles: u32,
    /// Floodable volume of one bottle, m3.
    pub bottle_m3: f64,
    /// Gauge pressure when filled, Pa, at `filled_t_k`.
    pub fill_gauge_pa: f64,
    /// Temperature at which that pressure is meant, K.
    pub filled_t_k: f64,
    /// What it holds.
    pub mix: Offered,
    /// Duties that it may serve.
    pub duties: Vec<Duty>,
    /// Time from order to quay, s.
    pub lead_s: i64,
    /// Mass of a full unit, kg.
    pub mass_full_kg: f64,
    /// Mass of an empty one, kg.
    pub mass_empty_kg: f64,
    /// Where the masses are from.
    pub mass_source: String,
    /// Price of one unit filled.
    pub price: Price,
    /// Most mass in one lift, kg.
    pub per_lift_kg: Option<f64>,
}

impl Offer {
    /// Floodable volume of a unit, m3.
    pub fn volume_m3(&self) -> f64 {
        f64::from(self.bottles) * self.bottle_m3
    }

    /// Whether it may serve a duty with a mixture (fractions).
    pub fn serves(&self, duty: Duty, mix: &Amounts) -> bool {
        let o2 = mix[Species::O2];
        let holds = match self.mix {
            Offered::Mix(offered) => {
                let near = |s: Species| (offered[s] - mix[s]).abs() <= SAME_MIX;
                near(Species::O2) && near(Species::He)
            }
            Offered::OnOrder { from, to } => {
                let helium = (mix[Species::He] + o2 - 1.0).abs() <= SAME_MIX;
                helium && (from - 1e-9..=to + 1e-9).contains(&o2)
            }
        };
        holds && self.duties.contains(&duty)
    }

    /// Units that go up in one lift, at least one.
    pub fn units_a_lift(&self) -> u32 {
        let most = self
            .per_lift_kg
            .map_or(1.0, |kg| (kg / self.mass_full_kg).floor());
        most.clamp(1.0, 1000.0) as u32
    }
}

/// Absorbent by the drum.
#[derive(Clone, Debug, PartialEq)]
pub struct Drum {
    /// Its name on the list.
    pub name: String,
    /// Absorbent in a drum, kg.
    pub mass_kg: f64,
    /// Price of a drum.
    pub price: Price,
    /// Time from order to quay, s.
    pub lead_s: i64,
}

/// Most that a boat brings in one call.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Takes {
    /// So many units of any kind.
    Units(u32),
    /// So much mass of full units, kg.
    MassKg(f64),
}

/// The supply boat's calls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calls {
    /// First call, s from the job's start.
    pub first_s: i64,
    /// Time between two calls, s.
    pub every_s: i64,
    /// Most that one call brings; without bound where none.
    pub takes: Option<Takes>,
}

/// A booster on board.
#[derive(Clone, Debug, PartialEq)]
pub struct Booster {
    /// Lowest gauge pressure that it draws down to, Pa.
    pub lowest_suction_pa: f64,
    /// Greatest ratio of delivery to suction, absolute.
    pub ratio: Option<f64>,
    /// Highest gauge pressure that it delivers, Pa.
    pub delivery_pa: Option<f64>,
    /// Flow of free gas at 15 degC and 1 bar, m3/s.
    pub free_m3_s: f64,
    /// Where these are from.
    pub source: String,
}

/// A supplier's list.
#[derive(Clone, Debug, PartialEq)]
pub struct Supplier {
    /// Its name.
    pub name: String,
    /// What it is, in a line.
    pub title: String,
    /// Code of the currency.
    pub currency: String,
    /// What can be had, in the list's order.
    pub offers: Vec<Offer>,
    /// Absorbent.
    pub absorbent: Option<Drum>,
    /// The boat; none comes where none.
    pub boat: Option<Calls>,
    /// The booster.
    pub booster: Option<Booster>,
}
