//! Water in a bell. Open at its bottom, with less gas than fills it at the sea's pressure, it takes water in until what
//! gas there is has that pressure. The balances go on as if that gas filled the bell; what is felt there, what gauges
//! show, and how far the water stands, follow from theirs by Boyle's law (at a bell's pressures helium keeps it within
//! 1 %). Where its supply has a bank with pressure none comes in.

use crate::model::Model;
use deepstay_core::units::MSW_PA;

/// Water in a bell.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Water {
    /// Share of the bell that it fills, 0 to 1.
    pub share: f64,
    /// How far its gas is short of the sea's pressure as long as it fills the bell, msw.
    pub short_msw: f64,
}

impl Model<'_> {
    /// Pressure that is felt in a compartment whose gas, filling it, would have a pressure, Pa.
    pub fn felt_pa(&self, i: usize, p_pa: f64, t_s: f64) -> f64 {
        if !self.is_bell(i) || !self.controls.of(i).open_outside {
            return p_pa;
        }
        match self.bell_msw(i, t_s) {
            msw if msw > 0.0 => p_pa.max(self.pa_at(msw)),
            _ => p_pa,
        }
    }

    /// The water in it then.
    pub fn water(&self, i: usize, p_pa: f64, t_s: f64) -> Water {
        let felt_pa = self.felt_pa(i, p_pa, t_s);
        Water {
            share: 1.0 - p_pa / felt_pa,
            short_msw: (felt_pa - p_pa) / MSW_PA,
        }
    }
}
