//! Gauges and analysers: each has a lag, a sample-line delay, errors that drift, a resolution, a
//! ceiling, and a place it is really connected to. A reading is evaluated, never stored.
//!
//! The lag is first order along the true value's course, a cubic of the interval; where a sample line or a rush
//! lies between, along the chord from the anchor to the second asked for. The delay is plug flow through the
//! sample line, at the compartment's pressure or let down at the penetrator.

use super::core::{Evaluated, Plant};
use super::radau::weights;
use super::state::Node;
use crate::SamplePoint;
use deepstay_core::gas::Species;
use deepstay_core::units::*;
use serde::{Deserialize, Serialize};

/// How many past true values a probe keeps for its sample line.
const PAST: usize = 40;

/// State of an instrument at the anchor of the cluster it is connected to.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
pub(super) struct Probe {
    /// Where it is really connected, which a fault can change.
    pub connected: SamplePoint,
    /// Lagged true value, in the quantity's unit.
    pub lagged: f64,
    /// Second of `lagged`.
    pub at_s: i64,
    /// True value over the interval as a cubic of its share, if it is followed.
    pub course: Option<[f64; 4]>,
    /// Errors at `since_s`.
    pub span: f64,
    pub zero: f64,
    pub span_drift_per_s: f64,
    pub zero_drift_per_s: f64,
    pub since_s: i64,
    /// Shows this whatever happens.
    pub frozen: Option<f64>,
    /// Past true values, oldest overwritten.
    #[serde(with = "past")]
    pub past: [(i64, f64); PAST],
    pub newest: u8,
}

mod past {
    //! Arrays longer than 32 in serde, as a sequence.
    use super::PAST;
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub fn serialize<S: Serializer>(past: &[(i64, f64); PAST], s: S) -> Result<S::Ok, S::Error> {
        past.as_slice().serialize(s)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(d: D) -> Result<[(i64, f64); PAST], D::Error> {
        let list = Vec::<(i64, f64)>::deserialize(d)?;
        list.try_into()
            .map_err(|_| serde::de::Error::custom("wrong number of past values"))
    }
}

impl Probe {
    /// True value at an earlier second, between the values kept.
    fn past(&self, t_s: f64) -> f64 {
        let mut later = self.past[usize::from(self.newest)];
        if t_s >= later.0 as f64 {
            return later.1;
        }
        for back in 1..PAST {
            let earlier = self.past[(usize::from(self.newest) + PAST - back) % PAST];
            if earlier.0 >= later.0 {
                break;
            }
            if t_s >= earlier.0 as f64 {
                let share = (t_s - earlier.0 as f64) / (later.0 - earlier.0) as f64;
                return earlier.1 + share * (later.1 - earlier.1);
            }
            later = earlier;
        }
        later.1
    }

    fn keep(&mut self, t_s: i64, value: f64) {
        if self.past[usize::from(self.newest)].0 < t_s {
            self.newest = (self.newest + 1) % PAST as u8;
        }
        self.past[usize::from(self.newest)] = (t_s, value);
    }
}

/// Time constants after which nothing of the start is left at double precision.
const LONG_AGO: f64 = 40.0;

/// First-order lag along a straight line from `x0` to `x1` over `dt`.
fn lag(r0: f64, x0: f64, x1: f64, dt: f64, tau: f64) -> f64 {
    if tau <= 0.0 || dt <= 0.0 {
        return if dt > 0.0 { x1 } else { r0 };
    }
    let slope = (x1 - x0) / dt;
    if dt > LONG_AGO * tau {
        return x1 - slope * tau;
    }
    x1 - slope * tau + (r0 - x0 + slope * tau) * libm::exp(-dt / tau)
}

/// The cubic through values at the start, at each third and at the end, in powers of the share.
fn cubic([a, b, c, d]: [f64; 4]) -> [f64; 4] {
    [
        a,
        -5.5 * a + 9.0 * b - 4.5 * c + d,
        9.0 * a - 22.5 * b + 18.0 * c - 4.5 * d,
        4.5 * (d - a + 3.0 * (b - c)),
    ]
}

/// What a first-order lag settles to behind a cubic of a share of `h_s`, at a share: the value less the time
/// constant times its slope, more its square times the second derivative, less its cube times the third.
fn behind(k: &[f64; 4], share: f64, h_s: f64, tau_s: f64) -> f64 {
    let z = tau_s / h_s;
    let x = k[0] + share * (k[1] + share * (k[2] + share * k[3]));
    let first = k[1] + share * (2.0 * k[2] + share * 3.0 * k[3]);
    let second = 2.0 * k[2] + share * 6.0 * k[3];
    x - z * (first - z * (second - z * 6.0 * k[3]))
}

impl Plant {
    /// Lays down the courses of the true values that a cluster's gauges follow over its interval.
    pub(super) fn lay_probe_courses(&mut self, c: usize) {
        let (t_s, h_s, rushed) = (
            self.clusters[c].t_s,
            self.clusters[c].h_s,
            self.clusters[c].rushed,
        );
        for m in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[m];
            let thirds = [0, 1, 2, 3].map(|third| {
                let share = f64::from(third) / 3.0;
                let node = match third {
                    0 => self.nodes[i],
                    _ => self.courses[i].node(&self.nodes[i], &weights(h_s as f64, share)),
                };
                (
                    t_s as f64 + share * h_s as f64,
                    node,
                    self.pressure_pa(i, &node),
                )
            });
            for j in 0..self.probes_at[i].len() {
                let k = usize::from(self.probes_at[i][j]);
                let ins = &self.steel.instruments[k];
                let follows = !rushed && h_s > 1 && ins.lag_s > 0.0 && ins.line_m3 <= 0.0;
                let value = |(t_s, node, p_pa): &(f64, Node, f64)| {
                    self.true_value_at(i, node, *p_pa, ins.quantity, *t_s)
                };
                self.probes[k].course = follows.then(|| cubic(thirds.each_ref().map(value)));
            }
        }
    }

    /// Lagged value of an instrument that follows a course, if it does.
    fn lagged_on_course(&self, k: usize, i: usize, t_s: i64) -> Option<f64> {
        let (probe, tau_s) = (&self.probes[k], self.steel.instruments[k].lag_s);
        let course = probe.course.as_ref()?;
        let cluster = &self.clusters[self.cluster_of[i]];
        let within = cluster.t_s..=cluster.t_s + cluster.h_s;
        if !within.contains(&probe.at_s) || !within.contains(&t_s) {
            return None;
        }
        let h_s = cluster.h_s as f64;
        let settled = |t_s: i64| behind(course, (t_s - cluster.t_s) as f64 / h_s, h_s, tau_s);
        let dt = (t_s - probe.at_s) as f64;
        let gone = dt > LONG_AGO * tau_s;
        let left = if gone {
            0.0
        } else {
            (probe.lagged - settled(probe.at_s)) * libm::exp(-dt / tau_s)
        };
        Some(settled(t_s) + left)
    }

    /// True value of a quantity of a compartment's gas, in the quantity's unit.
    pub(super) fn true_value(&self, i: usize, node: &Node, quantity: Quantity, t_s: f64) -> f64 {
        let p_pa = match quantity {
            Quantity::Temperature | Quantity::FO2 | Quantity::SeaDepth => 0.0,
            _ => self.pressure_pa(i, node),
        };
        self.true_value_at(i, node, p_pa, quantity, t_s)
    }

    /// The same where the pressure is known, Pa.
    fn true_value_at(&self, i: usize, node: &Node, p_pa: f64, quantity: Quantity, t_s: f64) -> f64 {
        let total: f64 = node.n_mol.iter().sum();
        let share = |s: Species| node.n_mol[s.index()] / total;
        match quantity {
            Quantity::Temperature => node.gas_k,
            Quantity::FO2 => share(Species::O2),
            Quantity::SeaDepth => self.bell_msw(i, t_s),
            Quantity::Depth => (p_pa - self.steel.surface_pa) / MSW_PA,
            Quantity::PpO2 => share(Species::O2) * p_pa / BAR_PA,
            Quantity::PpCo2 => share(Species::Co2) * p_pa / BAR_PA,
            Quantity::Humidity => self.humidity(node, p_pa),
            Quantity::GaugePressure => (p_pa - self.steel.surface_pa) / BAR_PA,
        }
    }

    /// The same in an evaluated state.
    pub(super) fn true_in(&self, i: usize, e: &Evaluated, quantity: Quantity, t_s: i64) -> f64 {
        let p_pa = e.pressure_pa(i, |node| self.pressure_pa(i, node));
        self.true_value_at(i, &e.node[i], p_pa, quantity, t_s as f64)
    }

    pub(super) fn start_probes(&mut self) {
        let probes = self.steel.instruments.iter().map(|ins| {
            let value = match ins.connected {
                SamplePoint::Bank(b) => (self.bank_pa(b, 0) - self.steel.surface_pa) / BAR_PA,
                SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
                    self.true_value(c.index(), &self.nodes[c.index()], ins.quantity, 0.0)
                }
            };
            Probe {
                connected: ins.connected,
                lagged: value,
                at_s: 0,
                course: None,
                span: ins.span,
                zero: ins.zero,
                span_drift_per_s: ins.span_drift_per_s,
                zero_drift_per_s: ins.zero_drift_per_s,
                since_s: 0,
                frozen: None,
                past: [(0, value); PAST],
                newest: 0,
            }
        });
        self.probes = probes.collect();
        self.list_probes();
    }

    /// Sample-line delay at a compartment pressure, s.
    fn delay_s(&self, k: usize, p_pa: f64) -> f64 {
        let ins = &self.steel.instruments[k];
        if ins.line_m3 <= 0.0 || ins.line_mol_s <= 0.0 {
            return 0.0;
        }
        let line_pa = if ins.let_down_at_penetrator {
            ATM_PA
        } else {
            p_pa
        };
        ins.line_m3 * line_pa / (R * self.steel.deck_t_k) / ins.line_mol_s
    }

    /// Lagged value of an instrument given the evaluated state of what it is connected to.
    fn lagged(&self, k: usize, i: usize, here: f64, t_s: i64) -> f64 {
        let (ins, probe) = (&self.steel.instruments[k], &self.probes[k]);
        let dt = (t_s - probe.at_s) as f64;
        let delay = self.delay_s(k, self.courses[i].p_pa);
        let at = |t: f64| {
            let newest = probe.past[usize::from(probe.newest)];
            if t <= newest.0 as f64 || t_s <= newest.0 {
                probe.past(t)
            } else {
                newest.1 + (here - newest.1) * (t - newest.0 as f64) / (t_s - newest.0) as f64
            }
        };
        let x1 = if delay > 0.0 {
            at(t_s as f64 - delay)
        } else {
            here
        };
        let x0 = at(probe.at_s as f64 - delay);
        lag(probe.lagged, x0, x1, dt, ins.lag_s)
    }

    /// What an instrument shows of a value before rounding.
    fn rounded(&self, k: usize, value: f64) -> f64 {
        if self.probes[k].frozen.is_some() {
            return value;
        }
        let ins = &self.steel.instruments[k];
        let value = if ins.resolution > 0.0 {
            (value / ins.resolution).round() * ins.resolution
        } else {
            value
        };
        // The pointer of a bank's gauge rests on its pin at nothing, and no air is drier than dry.
        let pinned = matches!(ins.quantity, Quantity::GaugePressure | Quantity::Humidity);
        let value = if pinned { value.max(0.0) } else { value };
        value.min(ins.ceiling)
    }

    /// A lagged true value with the instrument's errors on it.
    fn with_errors(&self, k: usize, lagged: f64, t_s: i64) -> f64 {
        let probe = &self.probes[k];
        if let Some(value) = probe.frozen {
            return value;
        }
        let since = (t_s - probe.since_s) as f64;
        lagged * (1.0 + probe.span + probe.span_drift_per_s * since)
            + probe.zero
            + probe.zero_drift_per_s * since
    }

    /// What an instrument says before it is rounded to what can be read off. `truth` gives the true value of
    /// a quantity of the compartment that it is connected to.
    fn unrounded(&self, k: usize, truth: impl FnOnce(usize, Quantity) -> f64, t_s: i64) -> f64 {
        let lagged = match self.probes[k].connected {
            SamplePoint::Bank(b) => (self.bank_pa(b, t_s) - self.steel.surface_pa) / BAR_PA,
            SamplePoint::Compartment(c) | SamplePoint::Sea(c) => {
                let i = c.index();
                let on_course = self.lagged_on_course(k, i, t_s);
                on_course.unwrap_or_else(|| {
                    self.lagged(k, i, truth(i, self.steel.instruments[k].quantity), t_s)
                })
            }
        };
        self.with_errors(k, lagged, t_s)
    }

    /// The same from an evaluated state of its cluster.
    pub(super) fn unrounded_in(&self, k: usize, e: &Evaluated, t_s: i64) -> f64 {
        self.unrounded(k, |i, quantity| self.true_in(i, e, quantity, t_s), t_s)
    }

    /// What an instrument shows, from an evaluated state of its cluster.
    pub(super) fn shown_in(&self, k: usize, e: &Evaluated, t_s: i64) -> f64 {
        self.rounded(k, self.unrounded_in(k, e, t_s))
    }

    /// What an instrument shows at a second. Stores nothing.
    pub fn read(&self, instrument: InstrumentId, t_s: i64) -> f64 {
        let k = instrument.index();
        self.rounded(
            k,
            self.unrounded(
                k,
                |i, quantity| self.true_value(i, &self.node_at(i, t_s), quantity, t_s as f64),
                t_s,
            ),
        )
    }

    /// True value of a quantity in a compartment at a second. Stores nothing.
    pub fn truth(&self, at: CompartmentId, quantity: Quantity, t_s: i64) -> f64 {
        let i = at.index();
        self.true_value(i, &self.node_at(i, t_s), quantity, t_s as f64)
    }

    /// Moves the anchors of the instruments connected to a cluster.
    pub(super) fn settle_probes(&mut self, c: usize, t_s: i64, e: &Evaluated) {
        for m in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[m];
            if self.probes_at[i].is_empty() {
                continue;
            }
            let node = &e.node[i];
            let p_pa = self.pressure_pa(i, node);
            for j in 0..self.probes_at[i].len() {
                let k = usize::from(self.probes_at[i][j]);
                let here = self.true_value_at(
                    i,
                    node,
                    p_pa,
                    self.steel.instruments[k].quantity,
                    t_s as f64,
                );
                let lagged = self
                    .lagged_on_course(k, i, t_s)
                    .unwrap_or_else(|| self.lagged(k, i, here, t_s));
                let probe = &mut self.probes[k];
                probe.lagged = lagged;
                probe.at_s = t_s;
                probe.keep(t_s, here);
            }
        }
    }

    /// Lists, for each compartment, the instruments really connected to it.
    pub(super) fn list_probes(&mut self) {
        self.probes_at = vec![Vec::new(); self.nodes.len()];
        for (k, probe) in (0u16..).zip(&self.probes) {
            if let SamplePoint::Compartment(c) | SamplePoint::Sea(c) = probe.connected {
                self.probes_at[c.index()].push(k);
            }
        }
        self.list_gates();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_reaches_nine_tenths_in_2_3_time_constants() {
        // physics closed form: T90 = tau ln 10 = 13.8155 s at tau 6 s.
        let r = lag(0.0, 1.0, 1.0, 13.815_510_56, 6.0);
        assert!((r - 0.9).abs() < 1e-9, "{r}");
    }

    #[test]
    fn behind_a_cubic_the_lag_is_the_lag() {
        // The balance itself: tau y' + y = x, with y' by a difference.
        let k = cubic([3.0, 2.5, 4.0, 7.0]);
        let value = |share: f64| k[0] + share * (k[1] + share * (k[2] + share * k[3]));
        for (third, value_there) in [(0.0, 3.0), (1.0, 2.5), (2.0, 4.0), (3.0, 7.0)] {
            assert!((value(third / 3.0) - value_there).abs() < 1e-12);
        }
        let (h_s, tau_s, by) = (90.0, 6.0, 1e-5);
        for share in [0.1, 0.5, 0.9] {
            let at = |share: f64| behind(&k, share, h_s, tau_s);
            let slope_s = (at(share + by) - at(share - by)) / (2.0 * by * h_s);
            assert!((tau_s * slope_s + at(share) - value(share)).abs() < 1e-8);
        }
    }

    #[test]
    fn a_ramp_is_followed_late_by_rate_times_lag() {
        let r = lag(-0.06, 0.0, 1.0, 100.0, 6.0);
        assert!((1.0 - r - 0.06).abs() < 1e-12, "{r}");
    }
}
