//! What is posted in dive control and in saturation control: the minimum of each kind of stock as a volume
//! and as gauge pressures of the banks that hold it.

use super::basis::Basis;
use super::held::{heel_pa, usable_mol};
use super::{Holding, Total};
use deepstay_core::units::{BAR_PA, BankId};
use deepstay_plant::Bank;

/// What a posted minimum means.
pub const BELOW: &str = "Do not start a dive, and stop diving, below this amount.";

/// The wall on which a minimum hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Wall {
    /// Dive control.
    DiveControl,
    /// Saturation control.
    SaturationControl,
}

impl Wall {
    /// Both.
    pub const ALL: [Wall; 2] = [Wall::DiveControl, Wall::SaturationControl];

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Wall::DiveControl => "Dive control",
            Wall::SaturationControl => "Saturation control",
        }
    }
}

/// A bank and a gauge pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtGauge {
    /// The bank.
    pub bank: BankId,
    /// What its gauge shows, bar.
    pub gauge_bar: f64,
}

/// A posted minimum.
#[derive(Clone, Debug, PartialEq)]
pub struct Posted {
    /// Where it hangs.
    pub wall: Wall,
    /// Of what.
    pub holding: Holding,
    /// Name of the rule set that asks for it.
    pub set: String,
    /// How much: mol of gas, kg of absorbent.
    pub amount: f64,
    /// What of it is for the way home.
    pub way_home: f64,
    /// Gauge pressure below which nothing comes, bar; none for absorbent.
    pub heel_bar: Option<f64>,
    /// The banks with the pressures at which they hold just the minimum, where they are drawn one after the other
    /// in the order of the stock: those not named may be at their heel. Empty where the stock cannot hold it.
    pub last: Vec<AtGauge>,
    /// The one pressure at which all its banks together hold the minimum, bar, where they are drawn alike.
    pub alike_bar: Option<f64>,
    /// The banks that count.
    pub banks: Vec<BankId>,
    /// Ids of the rows that it comes from.
    pub rules: Vec<String>,
    /// Whether the stock meets it at the start.
    pub met: bool,
}

fn wall(holding: Holding) -> Wall {
    match holding {
        Holding::DiverGas | Holding::BellGas | Holding::BellOxygen | Holding::BellAbsorbent => {
            Wall::DiveControl
        }
        _ => Wall::SaturationControl,
    }
}

pub(super) fn posted(basis: &Basis, totals: &[Total], held: &[super::Held]) -> Vec<Posted> {
    totals
        .iter()
        .zip(held)
        .filter(|(total, _)| total.amount > 0.0)
        .map(|(total, held)| one(basis, total, held))
        .collect()
}

fn one(basis: &Basis, total: &Total, held: &super::Held) -> Posted {
    let steel = &basis.scenario.steel;
    let banks: Vec<BankId> = held
        .gases
        .iter()
        .flat_map(|g| g.banks.iter().copied())
        .collect();
    let heel = heel_pa(basis, total.holding);
    let of = |banks: &[BankId]| -> Vec<Bank> {
        banks
            .iter()
            .map(|b| steel.banks[b.index()].clone())
            .collect()
    };
    let gas = total.holding.is_gas() && total.met;
    Posted {
        wall: wall(total.holding),
        holding: total.holding,
        set: basis.set.name.clone(),
        amount: total.amount,
        way_home: total.way_home(),
        heel_bar: held.heel_bar,
        last: if gas {
            last(&banks, &of(&banks), total.amount, heel, steel.surface_pa)
        } else {
            Vec::new()
        },
        alike_bar: gas
            .then(|| gauge_for(&of(&banks), total.amount, heel, steel.surface_pa) / BAR_PA),
        banks,
        rules: total.rules().into_iter().map(str::to_owned).collect(),
        met: total.met,
    }
}

/// The last banks full, and the one before them as full as the rest of the minimum needs.
fn last(ids: &[BankId], banks: &[Bank], mol: f64, heel_pa: f64, surface_pa: f64) -> Vec<AtGauge> {
    let mut rest = mol;
    let mut found = Vec::new();
    for (id, bank) in ids.iter().zip(banks).rev() {
        if rest <= 0.0 {
            break;
        }
        let full = usable_mol(bank, bank.fill_gauge_pa, heel_pa, surface_pa);
        let pa = if full <= rest {
            bank.fill_gauge_pa
        } else {
            gauge_for(std::slice::from_ref(bank), rest, heel_pa, surface_pa)
        };
        rest -= full;
        found.push(AtGauge {
            bank: *id,
            gauge_bar: pa / BAR_PA,
        });
    }
    found.reverse();
    found
}

/// The gauge pressure, Pa, at which banks that stand alike hold so much above their heel. No bank stands higher
/// than it was filled.
fn gauge_for(banks: &[Bank], mol: f64, heel_pa: f64, surface_pa: f64) -> f64 {
    let fullest = banks
        .iter()
        .map(|b| b.fill_gauge_pa)
        .fold(heel_pa, f64::max);
    let (mut low, mut high) = (heel_pa, fullest);
    let holds = |pa: f64| -> f64 {
        banks
            .iter()
            .map(|b| usable_mol(b, pa.min(b.fill_gauge_pa), heel_pa, surface_pa))
            .sum()
    };
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if holds(middle) < mol {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}
