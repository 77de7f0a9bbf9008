//! Flow through an opening, down to pressures that have all but come together.

use deepstay_core::gas::Amounts;
use deepstay_core::gas::flow::Nozzle;

/// Below this pressure difference an opening to the deck or an equalising valve counts as level, Pa.
pub(crate) const NEAR_PA: f64 = 500.0;

/// Whether two pressures count as level for an opening between them.
#[inline]
pub(crate) fn near(a_pa: f64, b_pa: f64) -> bool {
    (a_pa - b_pa).abs() < NEAR_PA
}

/// Flow of a gas through an opening, mol/s. The last of a difference goes smoothly, as where flow turns laminar, so that
/// two pressures that have come together come to rest: a parabola that meets the nozzle's flow in value and slope.
pub(crate) fn through_mol_s(
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

/// What a gas of known heat capacity brings to its flow through an opening; `n` in moles.
pub(crate) fn nozzle(n: &Amounts, cp_j_mol_k: f64) -> Nozzle {
    Nozzle::with_cp(&n.scaled(1.0 / n.total()), cp_j_mol_k)
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::gas::flow;

    #[test]
    fn far_apart_it_is_the_nozzle_s_flow_and_the_last_of_it_dies_away() {
        let x = Amounts::heliox(0.1);
        let ours = |up_pa: f64| through_mol_s(1e-5, &Nozzle::new(&x), up_pa, 300.0, 1e6);
        let published = flow::mol_s(1e-5, &x, 1.2e6, 300.0, 1e6);
        assert!((ours(1.2e6) / published - 1.0).abs() < 1e-12);
        assert_eq!(ours(1e6), 0.0);
        assert_eq!(ours(0.9e6), 0.0);
        // Half the difference passes more than half of what the whole one does, and no jump where they meet.
        let (half, whole) = (ours(1e6 + NEAR_PA / 2.0), ours(1e6 + NEAR_PA));
        assert!(half > 0.5 * whole && half < whole);
        let (below, above) = (ours(1e6 + NEAR_PA - 1e-3), ours(1e6 + NEAR_PA + 1e-3));
        assert!((above - below) / whole < 1e-5);
    }
}
