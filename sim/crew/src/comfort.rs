//! What divers say of themselves: cold, hot, short of breath, well again. A spoken report is a reading
//! too, late and coarse; too little oxygen is not felt and so is never said.

use super::people::Crew;
use super::tally::Air;
use super::voices::Voices;
use super::warmth::minimum_inspired_k;
use deepstay_core::record::{Fitness, Spoken, Whereabouts};
use deepstay_core::units::{ATM_PA, DiverId, MSW_PA, R};
use deepstay_plant::Activity;

impl Voices {
    /// Lowest and highest temperature a diver in a chamber bears in silence at a depth, K: the bands of comfort,
    /// straight between their rows and held past the ends (house rule), and a little beyond.
    pub fn borne_k(&self, depth_msw: f64) -> (f64, f64) {
        let mut band = self.comfort.first().map_or((0.0, 0.0), |b| (b.1, b.2));
        for pair in self.comfort.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            let along = ((depth_msw - a.0) / (b.0 - a.0)).clamp(0.0, 1.0);
            if depth_msw > a.0 {
                band = (a.1 + along * (b.1 - a.1), a.2 + along * (b.2 - a.2));
            }
        }
        let kelvin = |t_c: f64| t_c + deepstay_core::units::ZERO_C_K;
        (
            kelvin(band.0) - self.past_comfort,
            kelvin(band.1) + self.past_comfort,
        )
    }

    /// What a wakeful diver says of the gas he breathes, if anything. `dressed`: in the bell or in the water,
    /// where hot water keeps him warm and only breath that is too cold is felt (the gas taken as ideal helium
    /// for it).
    pub fn complaint(&self, air: &Air, surface_pa: f64, dressed: bool) -> Option<Spoken> {
        if air.ppco2_pa >= self.short_of_breath * ATM_PA {
            return Some(Spoken::ShortOfBreath);
        }
        if dressed {
            let rho_cp = 2.5 * R * air.p_pa / (R * air.t_k);
            return (air.t_k < minimum_inspired_k(rho_cp)).then_some(Spoken::Cold);
        }
        let (low_k, high_k) = self.borne_k((air.p_pa - surface_pa) / MSW_PA);
        if air.t_k < low_k {
            Some(Spoken::Cold)
        } else if air.t_k > high_k {
            Some(Spoken::Hot)
        } else {
            None
        }
    }
}

impl Crew {
    /// What a diver says at second `now_s`, if anything: a complaint when it is new or half an hour old,
    /// and that he is well when it is over. Who sleeps, or is on deck, says nothing.
    /// `warm_suit`: hot water flows to those in the water; who goes without is cold in minutes (common practice,
    /// no source), and says so.
    pub fn spoken(
        &mut self,
        now_s: i64,
        diver: DiverId,
        air: &Air,
        warm_suit: bool,
    ) -> Option<Spoken> {
        let state = *self.states.get(diver.index())?;
        let speaks = state.body.fitness() <= Fitness::Slow;
        if !speaks || state.at == Whereabouts::Deck || state.activity == Activity::Sleep {
            return None;
        }
        let says = self.complains_of(diver, air, warm_suit);
        let again_s = self.voices.said_again as i64;
        let says = match (says, state.tally.said) {
            (Some(now), Some((at, before))) if now == before && now_s - at < again_s => {
                return None;
            }
            (Some(now), _) => now,
            (None, Some((_, before))) if before != Spoken::Well => Spoken::Well,
            (None, _) => return None,
        };
        self.states[diver.index()].tally.said = Some((now_s, says));
        Some(says)
    }

    /// What is the matter with a diver as he feels it, if anything, whether he has spoken of it or not.
    pub fn complains_of(&self, diver: DiverId, air: &Air, warm_suit: bool) -> Option<Spoken> {
        let at = self.whereabouts(diver);
        let chilled = matches!(at, Whereabouts::Water(_)) && !warm_suit;
        let of_his_gas = self
            .voices
            .complaint(air, self.surface_pa, self.of_bell(at));
        of_his_gas.or(chilled.then_some(Spoken::Cold))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::gas::Amounts;
    use deepstay_core::units::BAR_PA;

    fn air(depth_msw: f64, t_c: f64, ppco2_mbar: f64) -> Air {
        let p_pa = ATM_PA + depth_msw * MSW_PA;
        Air {
            ppco2_pa: ppco2_mbar * 100.0,
            ..Air::of(&Amounts::heliox(0.4 * BAR_PA / p_pa), p_pa, t_c + 273.15)
        }
    }

    #[test]
    fn within_the_band_nothing_is_said() {
        let says =
            |depth, t_c, co2| Voices::built_in().complaint(&air(depth, t_c, co2), ATM_PA, false);
        assert_eq!(says(100.0, 27.0, 5.0), None);
        assert_eq!(says(100.0, 23.9, 5.0), Some(Spoken::Cold));
        assert_eq!(says(100.0, 30.1, 5.0), Some(Spoken::Hot));
        assert_eq!(says(125.0, 25.1, 5.0), None);
        assert_eq!(says(400.0, 32.1, 5.0), Some(Spoken::Hot));
        assert_eq!(says(10.0, 21.5, 5.0), None);
        assert_eq!(says(100.0, 27.0, 21.0), Some(Spoken::ShortOfBreath));
    }

    /// On the edge of what is borne nothing is said; the next number beyond it is.
    #[test]
    fn the_edges_of_the_band_are_borne() {
        let (low_k, high_k) = Voices::built_in().borne_k(0.0);
        assert_eq!((low_k, high_k), (21.0 + 273.15, 28.0 + 273.15));
        let says = |t_k: f64, ppco2_pa: f64| {
            let here = Air {
                t_k,
                ppco2_pa,
                ..air(0.0, 20.0, 0.0)
            };
            Voices::built_in().complaint(&here, ATM_PA, false)
        };
        assert_eq!((says(low_k, 0.0), says(high_k, 0.0)), (None, None));
        assert_eq!(says(low_k.next_down(), 0.0), Some(Spoken::Cold));
        assert_eq!(says(high_k.next_up(), 0.0), Some(Spoken::Hot));
        let full = 0.02 * ATM_PA;
        assert_eq!(says(295.15, full), Some(Spoken::ShortOfBreath));
        assert_eq!(says(295.15, full.next_down()), None);
    }

    #[test]
    fn in_the_water_cold_breath_is_felt_deep_and_not_shallow() {
        let says = |depth, t_c| Voices::built_in().complaint(&air(depth, t_c, 5.0), ATM_PA, true);
        assert_eq!(says(100.0, 6.0), None);
        assert_eq!(says(200.0, 6.0), Some(Spoken::Cold));
        assert_eq!(says(200.0, 16.0), None);
    }

    /// Halfway between the rows of 100 and 150 msw of the French order of 2012 (25 to 29 and 27 to 30 degC) stands 26 to
    /// 29.5 degC; he bears a degree more either way. A fifth of the way it is 25.4 to 29.2, and halfway between 50 and
    /// 100 msw 23.5 to 28.
    #[test]
    fn between_two_rows_the_band_lies_between_them() {
        for (depth_msw, low_c, high_c) in
            [(125.0, 25.0, 30.5), (110.0, 24.4, 30.2), (75.0, 22.5, 29.0)]
        {
            let (low_k, high_k) = Voices::built_in().borne_k(depth_msw);
            assert!((low_k - 273.15 - low_c).abs() < 1e-9, "{low_k}");
            assert!((high_k - 273.15 - high_c).abs() < 1e-9, "{high_k}");
        }
    }
}
