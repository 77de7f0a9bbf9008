//! The bail-out on a diver's back: bottles with a volume and a pressure, a regulator that wants some pressure over the
//! diver's, and so many minutes. What is breathed from it goes to the sea; it is his own and in no ledger.

use deepstay_core::gas::{self, Amounts};
use deepstay_core::units::ZERO_C_K;
use serde::{Deserialize, Serialize};

const LITRE_M3: f64 = 1e-3;
/// Temperature of the bottles, and at which breathed gas is counted, K: 15 degC, as the trade counts free gas.
const BOTTLE_K: f64 = ZERO_C_K + 15.0;

/// The bail-out that every diver of a crew carries.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct BailOut {
    /// Floodable volume of all its bottles, m3.
    pub volume_m3: f64,
    /// Gauge pressure it is filled to, Pa.
    pub fill_gauge_pa: f64,
    /// Pressure over the diver's that its regulator wants, Pa.
    pub regulator_pa: f64,
    /// What is in it, fractions.
    pub mix: Amounts,
    /// What is breathed from it, m3/s at the diver's pressure.
    pub breathed_m3_s: f64,
}

impl Default for BailOut {
    /// Twice 12 L at 300 bar, as a diver carried who lost his gas at 90 msw (Healthcare 2022 10:453, seen); heliox of
    /// 6 % (house rule: breathable from 17 msw down to more than 200; a job with shallower runs has a richer one); 10 bar for the regulator (a supervisors'
    /// school's exercise, seen); 40 L/min (Brazil, NORMAM-222 of January 2025, seen).
    fn default() -> Self {
        BailOut {
            volume_m3: 24.0 * LITRE_M3,
            fill_gauge_pa: 300e5,
            regulator_pa: 10e5,
            mix: Amounts::heliox(0.06),
            breathed_m3_s: 40.0 * LITRE_M3 / 60.0,
        }
    }
}

/// A bail-out in use.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bottle {
    mol: f64,
}

impl BailOut {
    /// A full one.
    pub fn full(&self, surface_pa: f64) -> Bottle {
        Bottle {
            mol: self.holds_mol(self.fill_gauge_pa + surface_pa),
        }
    }

    /// What its gauge shows, Pa over the surface's pressure.
    pub fn gauge_pa(&self, bottle: &Bottle, surface_pa: f64) -> f64 {
        self.pressure_pa(bottle) - surface_pa
    }

    fn holds_mol(&self, p_pa: f64) -> f64 {
        gas::state::total_moles(&self.mix, p_pa, self.volume_m3, BOTTLE_K)
    }

    /// Absolute pressure in it, Pa.
    pub fn pressure_pa(&self, bottle: &Bottle) -> f64 {
        if bottle.mol <= 0.0 {
            return 0.0;
        }
        gas::state::pressure_pa(&self.mix.scaled(bottle.mol), self.volume_m3, BOTTLE_K)
    }

    /// Whether it gives a breath at a pressure: what is below its regulator's allowance stays in it.
    pub fn gives(&self, bottle: &Bottle, p_pa: f64) -> bool {
        bottle.mol > self.left_mol(p_pa)
    }

    /// Takes what is breathed over a span at a pressure; never more than its regulator can give.
    pub fn breathe(&self, bottle: &mut Bottle, p_pa: f64, span_s: f64) {
        let least_mol = self.left_mol(p_pa).min(bottle.mol);
        bottle.mol = (bottle.mol - self.taken_mol_s(p_pa) * span_s).max(least_mol);
    }

    /// How long it lasts at a pressure, s.
    pub fn lasts_s(&self, bottle: &Bottle, p_pa: f64) -> f64 {
        (bottle.mol - self.left_mol(p_pa)).max(0.0) / self.taken_mol_s(p_pa)
    }

    /// How long one lasts at a pressure whose gauge shows so much over the surface's, s.
    pub fn lasts_by_gauge_s(&self, gauge_pa: f64, surface_pa: f64, p_pa: f64) -> f64 {
        let mol = self.holds_mol((gauge_pa + surface_pa).max(0.0));
        self.lasts_s(&Bottle { mol }, p_pa)
    }

    fn left_mol(&self, p_pa: f64) -> f64 {
        self.holds_mol(p_pa + self.regulator_pa)
    }

    fn taken_mol_s(&self, p_pa: f64) -> f64 {
        gas::state::total_moles(&self.mix, p_pa, self.breathed_m3_s, BOTTLE_K)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SURFACE_PA: f64 = 101_325.0;
    /// 100 msw over one bar, as a round figure.
    const DEEP_PA: f64 = 11e5;

    /// 24 L of helium at 150 bar, 10 bar for the regulator, 40 L/min.
    fn helium() -> BailOut {
        BailOut {
            fill_gauge_pa: 150e5,
            mix: Amounts::heliox(0.0),
            ..BailOut::default()
        }
    }

    fn near(ours: f64, by_hand: f64, share: f64) {
        assert!((ours / by_hand - 1.0).abs() < share, "{ours}, {by_hand}");
    }

    /// Helium at 15 degC by CoolProp 8.0.0: 24 L hold 140.905 mol at 150 bar on the gauge, 20.820 at 21 bar, which stay
    /// in them at 11 bar; 40 L/min at 11 bar are 0.304431 mol/s. So they last 394.46 s, and from 100 bar on the gauge
    /// 248.32 s.
    #[test]
    fn it_lasts_what_the_tables_of_helium_say() {
        let (kind, mut bottle) = (helium(), helium().full(SURFACE_PA));
        near(bottle.mol, 140.9046, 5e-4);
        near(kind.gauge_pa(&bottle, SURFACE_PA), 150e5, 1e-9);
        near(kind.pressure_pa(&bottle), 150e5 + SURFACE_PA, 1e-9);
        near(kind.lasts_s(&bottle, DEEP_PA), 394.455, 1e-3);
        let by_gauge = |gauge_pa| kind.lasts_by_gauge_s(gauge_pa, SURFACE_PA, DEEP_PA);
        near(by_gauge(150e5), kind.lasts_s(&bottle, DEEP_PA), 1e-12);
        near(by_gauge(100e5), 248.316, 1e-3);
        assert_eq!(by_gauge(19e5), 0.0);
        assert_eq!(by_gauge(-3e5), 0.0);
        kind.breathe(&mut bottle, DEEP_PA, 60.0);
        near(bottle.mol, 140.9046 - 60.0 * 0.304_430_5, 5e-4);
        assert!(kind.gives(&bottle, DEEP_PA));
    }

    /// What the regulator cannot give stays in it: 10 bar over the diver, to the last breath and at any depth.
    #[test]
    fn what_the_regulator_wants_stays_in_it() {
        let (kind, mut bottle) = (helium(), helium().full(SURFACE_PA));
        kind.breathe(&mut bottle, DEEP_PA, 1e4);
        near(kind.pressure_pa(&bottle), DEEP_PA + 10e5, 1e-9);
        assert!(!kind.gives(&bottle, DEEP_PA), "not a breath is left");
        assert_eq!(kind.lasts_s(&bottle, DEEP_PA), 0.0);
        let left = bottle;
        kind.breathe(&mut bottle, 30e5, 60.0);
        assert_eq!(bottle, left, "deeper it gives nothing, and takes nothing");
        assert!(
            kind.gives(&bottle, DEEP_PA - 1e5),
            "shallower it gives again"
        );
        assert_eq!(kind.pressure_pa(&Bottle { mol: 0.0 }), 0.0);
    }
}
