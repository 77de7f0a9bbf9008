//! What a scenario holds of each kind of stock: real gas above the heel of each bank, and the hand figure.

use super::basis::Basis;
use super::holding::NEARLY_OXYGEN;
use super::{Holding, Line};
use crate::{Gas, gases};
use deepstay_core::units::{BAR_PA, BankId, FswConvention, MSW_PA, Msw};
use deepstay_plant::Bank;
use deepstay_sums::{bank_m3, drawn_mol, emergency_gas_window_fsw, sealed_gauge};

/// What is held of a kind at the start of the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Of what.
    pub holding: Holding,
    /// Usable at the start: mol of gas, kg of absorbent in the scrubbers and spare.
    pub amount: f64,
    /// The hand figure of a gas: bar above the heel times floodable volume, m3; none for absorbent.
    pub by_hand_m3: Option<f64>,
    /// Depth at which it is used, msw.
    pub depth_msw: f64,
    /// Gauge pressure below which nothing comes, bar; none for absorbent.
    pub heel_bar: Option<f64>,
    /// Its gases, in the order of the stock.
    pub gases: Vec<Gas>,
    /// Banks whose gas cannot be breathed at the depth: 0.16 to 1.25 ata (US Navy Diving Manual, 15-15, seen).
    pub not_breathable: Vec<BankId>,
}

/// Every kind that a line asks for.
pub(super) fn all(basis: &Basis, lines: &[Line]) -> Vec<Held> {
    let wanted = |h: &Holding| lines.iter().flat_map(Line::needs).any(|n| n.holding == *h);
    Holding::ALL
        .into_iter()
        .filter(wanted)
        .map(|h| held(basis, h))
        .collect()
}

/// Depth at which a kind is used, msw.
pub(super) fn used_at_msw(basis: &Basis, holding: Holding) -> f64 {
    match holding {
        Holding::DiverGas | Holding::BellGas | Holding::BellOxygen | Holding::BellAbsorbent => {
            basis.working_msw
        }
        Holding::PressingMix | Holding::MaskGas | Holding::Oxygen | Holding::ChamberAbsorbent => {
            basis.storage_msw
        }
        Holding::EscapeAir => 0.0,
    }
}

/// Gauge pressure below which a bank delivers nothing for a kind, Pa.
pub(super) fn heel_pa(basis: &Basis, holding: Holding) -> f64 {
    let over_pa = basis.inputs.over_bottom_bar.value * BAR_PA;
    sealed_gauge(over_pa, used_at_msw(basis, holding) * MSW_PA)
}

/// Whether a gas may be breathed at a depth as emergency gas.
pub(super) fn breathable(label_o2: f64, depth_msw: f64) -> bool {
    let (shallow, deep) = emergency_gas_window_fsw(label_o2);
    let fsw = Msw(depth_msw).fsw(FswConvention::PerAtmosphere).0;
    (shallow..=deep).contains(&fsw)
}

/// Usable moles of a bank that stands at a gauge pressure: real gas, down to the heel.
pub(crate) fn usable_mol(bank: &Bank, gauge_pa: f64, heel_pa: f64, surface_pa: f64) -> f64 {
    let mix = &bank.true_mix;
    drawn_mol(mix, bank.volume_m3, bank.t_k, gauge_pa, heel_pa, surface_pa)
}

fn held(basis: &Basis, holding: Holding) -> Held {
    let steel = &basis.scenario.steel;
    let depth_msw = used_at_msw(basis, holding);
    if !holding.is_gas() {
        let (scrubbers, spare_kg) = if holding == Holding::BellAbsorbent {
            (basis.bell_scrubbers(), basis.inputs.spare_absorbent_bell_kg)
        } else {
            (basis.chamber_scrubbers(), basis.inputs.spare_absorbent_kg)
        };
        return Held {
            holding,
            amount: scrubbers.iter().map(|s| s.absorbent_kg).sum::<f64>() + spare_kg,
            by_hand_m3: None,
            depth_msw,
            heel_bar: None,
            gases: Vec::new(),
            not_breathable: Vec::new(),
        };
    }
    let heel = heel_pa(basis, holding);
    let (mut of_it, mut not_breathable) = (Vec::new(), Vec::new());
    // Beside a loop divers' gas stands ready in the bank for open circuit: what makes the loop up is used by it.
    let reclaim = steel.reclaim.filter(|_| basis.scenario.plan.reclaim);
    let kept = reclaim.filter(|_| holding == Holding::DiverGas);
    for mut gas in gases(steel)
        .into_iter()
        .filter(|gas| counts(basis, holding, gas))
    {
        gas.banks
            .retain(|b| kept.is_none_or(|r| *b == r.open_circuit));
        if gas.banks.is_empty() {
            continue;
        }
        if holding.breathed() && !breathable(gas.label_o2, depth_msw) {
            not_breathable.extend(gas.banks);
        } else {
            of_it.push(gas);
        }
    }
    let banks: Vec<&Bank> = of_it
        .iter()
        .flat_map(|g| &g.banks)
        .map(|b| &steel.banks[b.index()])
        .collect();
    Held {
        holding,
        amount: banks
            .iter()
            .map(|b| usable_mol(b, b.fill_gauge_pa, heel, steel.surface_pa))
            .fold(0.0, |sum, mol| sum + mol),
        by_hand_m3: Some(
            banks
                .iter()
                .map(|b| bank_m3(b.volume_m3, b.fill_gauge_pa, heel))
                .fold(0.0, |sum, m3| sum + m3),
        ),
        depth_msw,
        heel_bar: Some(heel / BAR_PA),
        gases: of_it,
        not_breathable,
    }
}

fn counts(basis: &Basis, holding: Holding, gas: &Gas) -> bool {
    let steel = &basis.scenario.steel;
    let bells: Vec<_> = basis
        .bells
        .iter()
        .filter_map(|b| steel.compartments.get(b.id.index())?.bell)
        .collect();
    let is_oxygen = gas.label_o2 > NEARLY_OXYGEN;
    let any = |bank: fn(&deepstay_plant::Bell) -> Option<BankId>| {
        bells
            .iter()
            .filter_map(bank)
            .any(|b| gas.banks.contains(&b))
    };
    match holding {
        Holding::BellGas => {
            !is_oxygen && (gas.duty == deepstay_plant::Duty::OnBoard || any(|b| b.on_board))
        }
        Holding::BellOxygen => is_oxygen && gas.duty == deepstay_plant::Duty::OnBoard,
        _ => holding.duties().contains(&gas.duty),
    }
}
