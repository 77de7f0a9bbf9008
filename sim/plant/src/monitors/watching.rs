//! Watched values of the present, and the clusters that move them.

use super::monitor::{Breath, Watched};
use crate::instruments::panel::Instruments;
use crate::instruments::quantity;
use crate::steel::SamplePoint;
use crate::trajectory::evaluated::Evaluated;
use crate::view::View;
use crate::water::Water;
use deepstay_core::gas::Species;
use deepstay_core::record::LineName;
use deepstay_core::units::{BAR_PA, BankId, CompartmentId};

/// All that watched values follow from.
#[derive(Clone, Copy)]
pub(crate) struct Watching<'a> {
    /// The plant at any second.
    pub view: View<'a>,
    /// What instruments make of it.
    pub instruments: &'a Instruments,
}

impl Watching<'_> {
    /// Clusters whose trajectories move what is watched, as bits: of a bank, each that is lined up to it, or the
    /// first if none is.
    pub fn clusters(&self, watched: Watched) -> u32 {
        let trajectories = self.view.trajectories;
        let at = match watched {
            Watched::True(at, _) | Watched::Flooded(at) | Watched::ShortOfSea(at) => at,
            Watched::Breath(line, _) => return self.line_clusters(line),
            Watched::Shown(k) => match self.instruments.connected(k.index()) {
                SamplePoint::Compartment(at) | SamplePoint::Sea(at) => at,
                SamplePoint::Bank(bank) => return self.gauge_clusters(bank),
            },
        };
        1 << trajectories.cluster_of(at.index())
    }

    /// Clusters that move what a line gives: its own, and each that is lined up to its bank.
    fn line_clusters(&self, line: LineName) -> u32 {
        let trajectories = self.view.trajectories;
        let own = 1 << trajectories.cluster_of(line.compartment().index());
        if let Some(tank) = self.view.loop_behind(line) {
            return own | 1 << trajectories.cluster_of(tank);
        }
        let Some(bank) = self.view.model.controls.line(line) else {
            return own;
        };
        own | self.lined_up(bank)
    }

    /// Clusters that move what a bank's own gauge shows: those that it is lined up to, or the first if there is none.
    fn gauge_clusters(&self, bank: BankId) -> u32 {
        match self.lined_up(bank) {
            0 => 1,
            clusters => clusters,
        }
    }

    /// Clusters in which anything is watched that follows from what a bank holds, as bits.
    pub fn bank_clusters(&self, bank: BankId) -> u32 {
        let trajectories = self.view.trajectories;
        let led_to = |i: &usize| self.view.model.controls.of(*i).lines.come_from(bank);
        let led_to = (0..trajectories.compartments()).filter(led_to);
        led_to.fold(self.gauge_clusters(bank), |bits, i| {
            bits | 1 << trajectories.cluster_of(i)
        })
    }

    /// Clusters that a bank is lined up to.
    fn lined_up(&self, bank: BankId) -> u32 {
        let lined_up = |c: &usize| self.view.banks_of(*c) & (1 << bank.index()) != 0;
        let clusters = (0..self.view.trajectories.clusters().len()).filter(lined_up);
        clusters.fold(0, |bits, c| bits | 1 << c)
    }

    fn breath(&self, line: LineName, what: Breath, t_s: i64) -> f64 {
        let of = |species| {
            self.view.breath_mix(line, t_s)[species] * self.view.breathed_at_pa(line, t_s) / BAR_PA
        };
        match what {
            Breath::PpO2 => of(Species::O2),
            Breath::PpCo2 => of(Species::Co2),
            Breath::Over => self.view.breath_over_pa(line, t_s) / BAR_PA,
        }
    }

    fn water(&self, at: CompartmentId, e: &Evaluated, t_s: i64) -> Water {
        let (model, i) = (&self.view.model, at.index());
        let p_pa = e.pressure_pa(i, |node| model.pressure_pa(i, node));
        model.water(i, p_pa, t_s as f64)
    }

    /// A watched value.
    pub fn value(&self, watched: Watched, e: &Evaluated, t_s: i64) -> f64 {
        match watched {
            Watched::True(at, q) => quantity::evaluated(&self.view.model, at.index(), e, q, t_s),
            Watched::Shown(k) => self.instruments.shown_in(&self.view, k.index(), e, t_s),
            Watched::Breath(line, what) => self.breath(line, what, t_s),
            Watched::Flooded(at) => self.water(at, e, t_s).share,
            Watched::ShortOfSea(at) => self.water(at, e, t_s).short_msw,
        }
    }

    /// A watched value at a second that nothing of was evaluated yet.
    pub fn at(&self, watched: Watched, t_s: i64) -> f64 {
        let mut e = Evaluated::default();
        let cluster = self.clusters(watched).trailing_zeros() as usize;
        self.view.trajectories.evaluate(cluster, t_s, &mut e);
        self.value(watched, &e, t_s)
    }

    /// A watched value before it is rounded to what can be read off.
    pub fn unrounded(&self, watched: Watched, e: &Evaluated, t_s: i64) -> f64 {
        match watched {
            Watched::Shown(k) => self.instruments.unrounded_in(&self.view, k.index(), e, t_s),
            Watched::True(..)
            | Watched::Breath(..)
            | Watched::Flooded(_)
            | Watched::ShortOfSea(_) => self.value(watched, e, t_s),
        }
    }

    /// What gas on its way through a sample line can make of it between two seconds.
    pub fn on_its_way(&self, watched: Watched, span: (i64, i64)) -> Option<(f64, f64)> {
        match watched {
            Watched::Shown(k) => self.instruments.on_its_way(&self.view, k.index(), span),
            Watched::True(..)
            | Watched::Breath(..)
            | Watched::Flooded(_)
            | Watched::ShortOfSea(_) => None,
        }
    }

    /// Smallest step in which it is shown.
    pub fn resolution(&self, watched: Watched) -> f64 {
        match watched {
            Watched::Shown(k) => {
                let ins = &self.view.model.steel.instruments[k.index()];
                ins.resolution.max(1e-9)
            }
            Watched::True(..)
            | Watched::Breath(..)
            | Watched::Flooded(_)
            | Watched::ShortOfSea(_) => 1e-9,
        }
    }
}
