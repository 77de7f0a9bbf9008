//! All instruments of the panel, and what each shows of the present.

use super::lag::Decays;
use super::probe::{Interval, Probe};
use super::quantity;
use crate::solver::interpolant::Weights;
use crate::state::node::Node;
use crate::steel::{Instrument, SamplePoint, Steel};
use crate::trajectory::evaluated::Evaluated;
use crate::view::View;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// The instruments.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Instruments {
    probes: Vec<Probe>,
    /// By compartment, those really connected to it.
    at: Vec<Vec<u16>>,
}

impl Instruments {
    /// As they were made, at a second, and showing the present for long.
    pub fn new(view: &View, at_s: i64) -> Instruments {
        let model = &view.model;
        let probe = |ins: &Instrument| {
            let value = match ins.connected {
                SamplePoint::Bank(b) => quantity::gauge_bar(model, view.bank_pa(b, at_s)),
                SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
                    let (i, node) = (c.index(), view.trajectories.anchor(c.index()));
                    let quantity = quantity::measured(ins.quantity, ins.connected);
                    quantity::of(model, i, node, quantity, at_s as f64)
                }
            };
            Probe::new(ins, value, at_s)
        };
        let mut instruments = Instruments {
            probes: model.steel.instruments.iter().map(probe).collect(),
            at: Vec::new(),
        };
        instruments.list(view.trajectories.compartments());
        instruments
    }

    /// Lists, for each compartment, the instruments really connected to it.
    pub fn list(&mut self, compartments: usize) {
        self.at = vec![Vec::new(); compartments];
        for (k, probe) in (0u16..).zip(&self.probes) {
            if let SamplePoint::Compartment(c) | SamplePoint::Sea(c) = probe.connected() {
                self.at[c.index()].push(k);
            }
        }
    }

    /// Where an instrument is really connected.
    #[inline]
    pub fn connected(&self, k: usize) -> SamplePoint {
        self.probes[k].connected()
    }

    /// The vessel whose sample line an instrument is turned to, where that is not its own.
    pub fn turned(&self, id: InstrumentId) -> Option<CompartmentId> {
        self.probes[id.index()].turned()
    }

    /// What an instrument really measures.
    fn measured(&self, steel: &Steel, k: usize) -> Quantity {
        quantity::measured(steel.instruments[k].quantity, self.connected(k))
    }

    /// An instrument, to be changed.
    pub fn probe_mut(&mut self, id: InstrumentId) -> &mut Probe {
        &mut self.probes[id.index()]
    }

    /// Lets the gauges of a cluster follow the true values over its interval.
    pub fn follow(&mut self, view: &View, c: usize) {
        let (model, trajectories) = (&view.model, view.trajectories);
        let cluster = &trajectories.clusters()[c];
        let (t_s, h_s) = (cluster.t_s as f64, cluster.h_s as f64);
        for i in cluster.members.iter().copied() {
            let thirds = [0, 1, 2, 3].map(|third| {
                let share = f64::from(third) / 3.0;
                let anchor = trajectories.anchor(i);
                let node = match third {
                    0 => *anchor,
                    _ => {
                        let w = Weights::at(h_s, share);
                        trajectories.interpolant(i).node(anchor, &w)
                    }
                };
                (t_s + share * h_s, node, model.pressure_pa(i, &node))
            });
            for k in self.at[i].iter().copied().map(usize::from) {
                let ins = &model.steel.instruments[k];
                let follows =
                    !cluster.rushed && cluster.h_s > 1 && ins.lag_s > 0.0 && ins.line_m3 <= 0.0;
                let quantity = self.measured(model.steel, k);
                let value = |(t_s, node, p_pa): &(f64, Node, f64)| {
                    quantity::at_pressure(model, i, node, *p_pa, quantity, *t_s)
                };
                self.probes[k].follow(follows.then(|| thirds.each_ref().map(value)));
                if !follows {
                    let anchor_pa = trajectories.interpolant(i).anchor_pa();
                    let delay_s = delay_s(ins, anchor_pa, model.steel.deck_t_k);
                    self.probes[k].take_from_line(delay_s);
                }
            }
        }
    }

    /// Moves the anchors of the instruments connected to a cluster.
    pub fn settle(&mut self, view: &View, c: usize, t_s: i64, e: &Evaluated) {
        let model = &view.model;
        for i in view.trajectories.clusters()[c].members.iter().copied() {
            if self.at[i].is_empty() {
                continue;
            }
            let node = e.node(i);
            let p_pa = model.pressure_pa(i, node);
            for j in 0..self.at[i].len() {
                let k = usize::from(self.at[i][j]);
                let quantity = self.measured(model.steel, k);
                let here = quantity::at_pressure(model, i, node, p_pa, quantity, t_s as f64);
                let lagged = self.lagged(view, k, i, || here, t_s, e.decays());
                self.probes[k].settle(t_s, lagged, here);
            }
        }
    }

    /// Lagged value of an instrument connected to a compartment; `here` gives the true value at the second.
    fn lagged(
        &self,
        view: &View,
        k: usize,
        i: usize,
        here: impl FnOnce() -> f64,
        t_s: i64,
        decays: &Decays,
    ) -> f64 {
        let (ins, probe) = (&view.model.steel.instruments[k], &self.probes[k]);
        let trajectories = view.trajectories;
        let cluster = &trajectories.clusters()[trajectories.cluster_of(i)];
        let over = Interval {
            t_s: cluster.t_s,
            h_s: cluster.h_s,
        };
        probe.on_course(ins, over, t_s, decays).unwrap_or_else(|| {
            let anchor_pa = trajectories.interpolant(i).anchor_pa();
            let delay_s = delay_s(ins, anchor_pa, view.model.steel.deck_t_k);
            probe.along_chord(ins, delay_s, here(), t_s, decays)
        })
    }

    /// What an instrument says before it is rounded to what can be read off. `truth` gives the true value of
    /// a quantity of the compartment that it is connected to.
    fn unrounded(
        &self,
        view: &View,
        k: usize,
        truth: impl FnOnce(usize, Quantity) -> f64,
        t_s: i64,
        decays: &Decays,
    ) -> f64 {
        let lagged = match self.probes[k].connected() {
            SamplePoint::Bank(b) => quantity::gauge_bar(&view.model, view.bank_pa(b, t_s)),
            SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
                let (i, quantity) = (c.index(), self.measured(view.model.steel, k));
                self.lagged(view, k, i, || truth(i, quantity), t_s, decays)
            }
        };
        self.probes[k].with_errors(lagged, t_s)
    }

    /// The least and the greatest that gas on its way through an instrument's sample line can make it say between two
    /// seconds, before it is rounded; none where no gas is on its way.
    pub fn on_its_way(
        &self,
        view: &View,
        k: usize,
        (from_s, to_s): (i64, i64),
    ) -> Option<(f64, f64)> {
        let (ins, probe) = (&view.model.steel.instruments[k], &self.probes[k]);
        let (SamplePoint::Compartment(c) | SamplePoint::Sea(c)) = probe.connected() else {
            return None;
        };
        let anchor_pa = view.trajectories.interpolant(c.index()).anchor_pa();
        let delay_s = delay_s(ins, anchor_pa, view.model.steel.deck_t_k);
        if delay_s <= 0.0 {
            return None;
        }
        // A lag never leaves the range of what it follows.
        let turns = probe.turns(from_s as f64 - delay_s, to_s as f64 - delay_s);
        let said = turns.flat_map(|t| [from_s, to_s].map(|t_s| probe.with_errors(t, t_s)));
        said.fold(None, |range: Option<(f64, f64)>, said| {
            let (low, high) = range.unwrap_or((said, said));
            Some((low.min(said), high.max(said)))
        })
    }

    /// The same from an evaluated state of its cluster.
    pub fn unrounded_in(&self, view: &View, k: usize, e: &Evaluated, t_s: i64) -> f64 {
        let truth = |i, quantity| quantity::evaluated(&view.model, i, e, quantity, t_s);
        self.unrounded(view, k, truth, t_s, e.decays())
    }

    /// What an instrument shows, from an evaluated state of its cluster.
    pub fn shown_in(&self, view: &View, k: usize, e: &Evaluated, t_s: i64) -> f64 {
        let ins = &view.model.steel.instruments[k];
        self.probes[k].rounded(ins, self.unrounded_in(view, k, e, t_s))
    }

    /// What an instrument shows at a second.
    pub fn read(&self, view: &View, instrument: InstrumentId, t_s: i64) -> f64 {
        let k = instrument.index();
        let truth = |i, quantity| {
            let node = view.trajectories.node_at(i, t_s);
            quantity::of(&view.model, i, &node, quantity, t_s as f64)
        };
        let ins = &view.model.steel.instruments[k];
        self.probes[k].rounded(ins, self.unrounded(view, k, truth, t_s, &Decays::default()))
    }
}

/// Sample-line delay at a compartment pressure, s.
fn delay_s(ins: &Instrument, p_pa: f64, deck_t_k: f64) -> f64 {
    if ins.line_m3 <= 0.0 || ins.line_mol_s <= 0.0 {
        return 0.0;
    }
    let line_pa = if ins.let_down_at_penetrator {
        ATM_PA
    } else {
        p_pa
    };
    ins.line_m3 * line_pa / (R * deck_t_k) / ins.line_mol_s
}
