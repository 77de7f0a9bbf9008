//! What a unit yields between its fill and its heel: by the real gas, and beside it by hand, bar times
//! floodable volume, with the difference parted into what it is made of.
//!
//! The real gas is that of [`deepstay_core::gas::state`]; the hand sum is [`deepstay_sums::bottles_m3`],
//! the published school convention, which counts a cubic metre at 1 bar and knows no temperature; it is
//! compared at 15 degC, as the trade counts bottles.

use super::Need;
use deepstay_core::gas::{Amounts, state};
use deepstay_core::units::{BAR_PA, FreeReference, R};
use deepstay_scenario::{Offer, Offered};
use deepstay_sums::bottles_m3;

/// How a bottle sum's cubic metres are counted.
const HAND: FreeReference = FreeReference::Bar15;

/// What one unit yields. All amounts in mol but where the name says otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usable {
    /// What the full unit holds.
    pub full_mol: f64,
    /// What stays in it at the heel.
    pub heel_mol: f64,
    /// What can be drawn, by the real gas.
    pub real_mol: f64,
    /// Fill, Pa gauge.
    pub fill_gauge_pa: f64,
    /// Heel, Pa gauge.
    pub heel_gauge_pa: f64,
    /// The hand sum of the whole bottle, fill to nothing, m3.
    pub hand_full_m3: f64,
    /// The hand sum from fill to heel, m3.
    pub hand_m3: f64,
    /// The hand sum from fill to heel.
    pub hand_mol: f64,
    /// What the heel takes off the hand sum of the whole bottle; negative.
    pub by_heel_mol: f64,
    /// What filling and standing at other temperatures than 15 degC adds to the hand sum.
    pub by_temperature_mol: f64,
    /// What compressibility adds to that.
    pub by_compressibility_mol: f64,
    /// Where the gas model is asked beyond its fit.
    pub outside: Option<state::OutsideFit>,
}

impl Usable {
    /// Real less hand, mol: temperature and compressibility together.
    pub fn difference_mol(&self) -> f64 {
        self.real_mol - self.hand_mol
    }

    /// The same as a share of the hand sum; none where that is nothing.
    pub fn difference_share(&self) -> Option<f64> {
        (self.hand_mol > 0.0).then(|| self.difference_mol() / self.hand_mol)
    }

    /// Real gas over ideal gas at the same pressures and temperatures.
    pub fn real_over_ideal(&self) -> f64 {
        let ideal = self.hand_mol + self.by_temperature_mol;
        if ideal > 0.0 {
            self.real_mol / ideal
        } else {
            1.0
        }
    }
}

/// The mixture of an offer when it serves a need: its own, or what is ordered.
pub fn mixture(offer: &Offer, need: &Need) -> Amounts {
    match offer.mix {
        Offered::Mix(mix) => mix,
        Offered::OnOrder { .. } => need.mix,
    }
}

/// What a unit of an offer yields for a need. Where the heel is above the fill, nothing.
pub fn usable(offer: &Offer, need: &Need) -> Usable {
    let mix = mixture(offer, need);
    let (bottles, litres) = (f64::from(offer.bottles), offer.bottle_m3 * 1e3);
    let (v_m3, fill_pa) = (offer.volume_m3(), offer.fill_gauge_pa);
    let heel_pa = need.heel_gauge_pa();
    let full_mol = state::total_moles(&mix, fill_pa + need.surface_pa, v_m3, offer.filled_t_k);
    let heel_mol = state::total_moles(&mix, heel_pa + need.surface_pa, v_m3, need.bank_t_k);
    let of_hand = |m3: f64| m3 * HAND.mol_per_m3();
    let hand_full_m3 = bottles_m3(bottles, litres, fill_pa / BAR_PA, 0.0);
    let hand_m3 = bottles_m3(bottles, litres, fill_pa / BAR_PA, heel_pa / BAR_PA);
    let ideal = |gauge: f64, t_k: f64| (gauge + need.surface_pa) * v_m3 / (R * t_k);
    let ideal_mol = ideal(fill_pa, offer.filled_t_k) - ideal(heel_pa, need.bank_t_k);
    let of_use = heel_pa < fill_pa && full_mol > heel_mol;
    let only = |mol: f64| if of_use { mol } else { 0.0 };
    Usable {
        full_mol,
        heel_mol,
        real_mol: only(full_mol - heel_mol),
        fill_gauge_pa: fill_pa,
        heel_gauge_pa: heel_pa,
        hand_full_m3,
        hand_m3: only(hand_m3),
        hand_mol: only(of_hand(hand_m3)),
        by_heel_mol: only(of_hand(hand_m3 - hand_full_m3)),
        by_temperature_mol: only(ideal_mol - of_hand(hand_m3)),
        by_compressibility_mol: only(full_mol - heel_mol - ideal_mol),
        outside: state::warning(fill_pa + need.surface_pa, offer.filled_t_k),
    }
}
