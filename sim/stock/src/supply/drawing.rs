//! In which order banks are drawn, what a decant from one into another gives, and what a booster gets
//! out of their heels. Pressures after a decant are those of the real gas at the banks' temperatures.

use deepstay_core::gas::{Amounts, state};
use deepstay_core::units::FreeReference;
use deepstay_scenario::Booster;

/// The rule of the order, for the reader.
pub const ORDER_RULE: &str = "From the lowest pressure up, and the fullest bank is kept to the last (common practice, no source).";

/// A bank as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Floodable volume, m3.
    pub volume_m3: f64,
    /// Gauge pressure, Pa.
    pub gauge_pa: f64,
    /// Temperature, K.
    pub t_k: f64,
}

impl Standing {
    /// What it holds of a mixture, mol.
    pub fn mol(&self, mix: &Amounts, surface_pa: f64) -> f64 {
        state::total_moles(mix, self.gauge_pa + surface_pa, self.volume_m3, self.t_k)
    }
}

/// Places of banks of one gas in the order in which they are drawn; equal pressures keep their order.
pub fn drawing_order(banks: &[Standing]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..banks.len()).collect();
    order.sort_by(|&a, &b| {
        banks[a]
            .gauge_pa
            .total_cmp(&banks[b].gauge_pa)
            .then(a.cmp(&b))
    });
    order
}

/// What a decant gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Decanted {
    /// Gauge pressure of both at the end, Pa.
    pub gauge_pa: f64,
    /// What went over, mol; negative where the receiver stood higher.
    pub moved_mol: f64,
}

/// Lets two banks of one gas stand open to each other until their pressures agree and they are back at
/// their temperatures.
pub fn decant(mix: &Amounts, from: &Standing, to: &Standing, surface_pa: f64) -> Decanted {
    let all = from.mol(mix, surface_pa) + to.mol(mix, surface_pa);
    let at = |gauge_pa: f64| {
        let p_pa = gauge_pa + surface_pa;
        let held = |b: &Standing| state::total_moles(mix, p_pa, b.volume_m3, b.t_k);
        (held(from), held(to))
    };
    let (mut low, mut high) = (
        from.gauge_pa.min(to.gauge_pa),
        from.gauge_pa.max(to.gauge_pa),
    );
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        let (a, b) = at(middle);
        if a + b < all {
            low = middle
        } else {
            high = middle
        }
    }
    let gauge_pa = 0.5 * (low + high);
    Decanted {
        gauge_pa,
        moved_mol: from.mol(mix, surface_pa) - at(gauge_pa).0,
    }
}

/// Tops a bank from others of its gas, the lowest first, so that the fullest are kept: the pressures after
/// each decant. Banks that stand no higher than the one to be topped give nothing.
pub fn cascade(
    mix: &Amounts,
    from: &[Standing],
    to: &Standing,
    surface_pa: f64,
) -> Vec<(usize, Decanted)> {
    let mut receiver = to.clone();
    let mut steps = Vec::new();
    for i in drawing_order(from) {
        if from[i].gauge_pa > receiver.gauge_pa {
            let step = decant(mix, &from[i], &receiver, surface_pa);
            receiver.gauge_pa = step.gauge_pa;
            steps.push((i, step));
        }
    }
    steps
}

/// What a booster gets out of heels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Boosted {
    /// Gauge pressure that it leaves in the banks drawn, Pa.
    pub left_gauge_pa: f64,
    /// Banks drawn down.
    pub drawn: u32,
    /// Banks that take the gas up.
    pub filled: u32,
    /// What becomes of use again, mol.
    pub recovered_mol: f64,
    /// Of what stood in all heels, the share.
    pub share: f64,
    /// Time that it runs, s.
    pub time_s: f64,
}

/// What a booster gets out of the heels of some equal banks, pumping it into as few of them as hold it.
/// None where that is nothing: a bank alone has none to pump into, and a heel may be lower than the
/// booster draws.
pub fn boosted(
    mix: &Amounts,
    heel: &Standing,
    banks: u32,
    fill_gauge_pa: f64,
    booster: &Booster,
    surface_pa: f64,
) -> Option<Boosted> {
    let top_pa = booster
        .delivery_pa
        .map_or(fill_gauge_pa, |d| d.min(fill_gauge_pa));
    let by_ratio = booster
        .ratio
        .map_or(0.0, |r| (top_pa + surface_pa) / r - surface_pa);
    let left_gauge_pa = booster.lowest_suction_pa.max(by_ratio);
    let held = |gauge_pa: f64| {
        Standing {
            gauge_pa,
            ..heel.clone()
        }
        .mol(mix, surface_pa)
    };
    let at_heel = held(heel.gauge_pa);
    let (gives, takes) = (at_heel - held(left_gauge_pa), held(top_pa) - at_heel);
    if gives <= 0.0 || takes <= 0.0 || banks < 2 {
        return None;
    }
    // The more banks take gas up, the fewer give it; the best lies where room and supply cross.
    let crossing = (f64::from(banks) * gives / (gives + takes)).floor() as u32;
    let moved = |filled: u32| (f64::from(banks - filled) * gives).min(f64::from(filled) * takes);
    let (low, high) = (
        crossing.clamp(1, banks - 1),
        (crossing + 1).clamp(1, banks - 1),
    );
    let filled = if moved(high) > moved(low) { high } else { low };
    let recovered_mol = moved(filled);
    Some(Boosted {
        left_gauge_pa,
        drawn: banks - filled,
        filled,
        recovered_mol,
        share: recovered_mol / (f64::from(banks) * at_heel),
        time_s: recovered_mol / FreeReference::Bar15.mol_per_m3() / booster.free_m3_s,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    const SURFACE_PA: f64 = 101_325.0;

    fn bank(gauge_bar: f64, volume_m3: f64) -> Standing {
        Standing {
            volume_m3,
            gauge_pa: gauge_bar * 1e5,
            t_k: 288.15,
        }
    }

    #[test]
    fn lowest_first_and_the_fullest_is_kept() {
        let banks = [
            bank(200.0, 3.2),
            bank(60.0, 3.2),
            bank(120.0, 0.8),
            bank(60.0, 0.8),
        ];
        assert_eq!(drawing_order(&banks), [1, 3, 2, 0]);
    }

    #[test]
    fn a_decant_loses_nothing_and_ends_at_one_pressure() {
        let mix = Amounts::heliox(0.02);
        let (a, b) = (bank(200.0, 3.2), bank(30.0, 0.8));
        let step = decant(&mix, &a, &b, SURFACE_PA);
        let after = |s: &Standing| {
            Standing {
                gauge_pa: step.gauge_pa,
                ..s.clone()
            }
            .mol(&mix, SURFACE_PA)
        };
        assert_relative_eq!(
            after(&a) + after(&b),
            a.mol(&mix, SURFACE_PA) + b.mol(&mix, SURFACE_PA),
            max_relative = 1e-12
        );
        assert_relative_eq!(
            after(&b) - b.mol(&mix, SURFACE_PA),
            step.moved_mol,
            max_relative = 1e-9
        );
        // By Boyle's law 166 bar. With Z = 1.095 at 200 bar (helium near 290 K, reference equation of state), Z
        // rising straight from 1, 163.9 bar: 0.8 f(200) + 0.2 f(30) = f(p), f = p/Z.
        assert!(
            (step.gauge_pa / 1e5 - 163.9).abs() < 0.3,
            "{}",
            step.gauge_pa
        );
        assert!(decant(&mix, &a, &a, SURFACE_PA).moved_mol.abs() < 1e-6);
    }

    #[test]
    fn a_cascade_fills_higher_than_the_fullest_alone() {
        let mix = Amounts::oxygen();
        let (sources, empty) = ([bank(180.0, 0.8), bank(90.0, 0.8)], bank(10.0, 0.4));
        let steps = cascade(&mix, &sources, &empty, SURFACE_PA);
        let alone = decant(&mix, &sources[0], &empty, SURFACE_PA);
        assert_eq!(steps.iter().map(|s| s.0).collect::<Vec<_>>(), [1, 0]);
        assert!(steps[1].1.gauge_pa > alone.gauge_pa);
    }

    #[test]
    fn a_booster_gets_a_share_of_heels_and_nothing_of_one() {
        let booster = Booster {
            lowest_suction_pa: 10e5,
            ratio: Some(25.0),
            delivery_pa: None,
            free_m3_s: 0.5 / 60.0,
            source: String::new(),
        };
        let (mix, heel) = (Amounts::heliox(0.02), bank(40.0, 3.2));
        let got = boosted(&mix, &heel, 6, 200e5, &booster, SURFACE_PA).expect("some");
        assert_eq!((got.drawn, got.filled), (5, 1));
        assert_relative_eq!(got.left_gauge_pa, 10e5);
        // Five heels down to 10 bar are a little more than one bank takes from its heel to 200 bar.
        let each = heel.mol(&mix, SURFACE_PA) - bank(10.0, 3.2).mol(&mix, SURFACE_PA);
        let room = bank(200.0, 3.2).mol(&mix, SURFACE_PA) - heel.mol(&mix, SURFACE_PA);
        assert!(room < 5.0 * each && room > 4.0 * each);
        assert_relative_eq!(got.recovered_mol, room, max_relative = 1e-12);
        assert!((0.5..0.75).contains(&got.share) && got.time_s > 3600.0);
        assert_eq!(boosted(&mix, &heel, 1, 200e5, &booster, SURFACE_PA), None);
        assert_eq!(
            boosted(&mix, &bank(8.0, 3.2), 6, 200e5, &booster, SURFACE_PA),
            None
        );
        // A ratio of 5 at 200 bar leaves 40 bar behind: nothing.
        let weak = Booster {
            ratio: Some(5.0),
            ..booster
        };
        assert!(
            boosted(&mix, &heel, 6, 200e5, &weak, SURFACE_PA)
                .is_none_or(|b| b.recovered_mol < 1.0 * each)
        );
    }

    /// A bank that stands no higher than the one that is topped gives nothing.
    #[test]
    fn a_bank_that_stands_as_high_gives_nothing() {
        let mix = Amounts::oxygen();
        let sources = [bank(60.0, 0.8), bank(100.0, 0.8), bank(59.0, 0.8)];
        let steps = cascade(&mix, &sources, &bank(60.0, 0.4), SURFACE_PA);
        assert_eq!(steps.iter().map(|s| s.0).collect::<Vec<_>>(), [1]);
    }

    /// Of every split of banks into those that give and those that take the best is found; what stays behind is what the
    /// suction or the ratio leaves, (200 + 1.01325)/5 - 1.01325 bar by a ratio of five; and the time is that of so much
    /// free gas at 15 degC and 1 bar, 41.74 mol to the cubic metre.
    #[test]
    fn a_booster_gets_the_most_that_any_split_gives() {
        let booster = |ratio: f64, delivery_pa| Booster {
            lowest_suction_pa: 10e5,
            ratio: Some(ratio),
            delivery_pa,
            free_m3_s: 0.5 / 60.0,
            source: String::new(),
        };
        let mix = Amounts::heliox(0.02);
        let holds = |gauge_bar: f64| bank(gauge_bar, 3.2).mol(&mix, SURFACE_PA);
        let by_five = (200.0 + 1.013_25) / 5.0 - 1.013_25;
        for (ratio, delivery_pa, left_bar, top_bar, heel_bar) in [
            (25.0, None, 10.0, 200.0, 40.0),
            (25.0, None, 10.0, 200.0, 120.0),
            (25.0, Some(150e5), 10.0, 150.0, 40.0),
            (25.0, Some(250e5), 10.0, 200.0, 40.0),
            (5.0, None, by_five, 200.0, 90.0),
        ] {
            let machine = booster(ratio, delivery_pa);
            let heel = bank(heel_bar, 3.2);
            let (gives, takes) = (
                holds(heel_bar) - holds(left_bar),
                holds(top_bar) - holds(heel_bar),
            );
            for banks in 2..=40u32 {
                let got = boosted(&mix, &heel, banks, 200e5, &machine, SURFACE_PA).expect("some");
                let moved = |filled: u32| {
                    (f64::from(banks - filled) * gives).min(f64::from(filled) * takes)
                };
                let most = (1..banks).map(moved).fold(0.0, f64::max);
                assert_relative_eq!(got.left_gauge_pa, left_bar * 1e5, max_relative = 1e-12);
                assert_relative_eq!(got.recovered_mol, most, max_relative = 1e-9);
                assert_relative_eq!(moved(got.filled), most, max_relative = 1e-9);
                assert_eq!(got.drawn + got.filled, banks);
                assert_relative_eq!(
                    got.share,
                    most / (f64::from(banks) * holds(heel_bar)),
                    max_relative = 1e-9
                );
                let minutes = most / 41.74 / 0.5;
                assert_relative_eq!(got.time_s, minutes * 60.0, max_relative = 1e-3);
            }
        }
        // A heel just at what the booster leaves gives nothing, and a bank that is full takes nothing.
        let machine = booster(25.0, None);
        for heel_bar in [10.0, 200.0] {
            let heel = bank(heel_bar, 3.2);
            assert_eq!(
                boosted(&mix, &heel, 6, 200e5, &machine, SURFACE_PA),
                None,
                "{heel_bar}"
            );
        }
    }
}
