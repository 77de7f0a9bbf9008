//! Each diver's running totals: hours, oxygen taken and carbon dioxide given, oxygen dose.
//!
//! What he takes and gives between two of his orders is one rate times whole seconds, so it is
//! evaluated from his last order and never added up from smaller pieces: asking changes nothing. Only
//! pressure and oxygen have to be followed as they change: [`Crew::advance`] takes both as going
//! straight from one call to the next.

use super::load::{BreathesFrom, breathes_from};
use super::oxygen::{NoPulmonaryIndex, PulmonaryIndex, cns_per_min, pulmonary_dose, uptd_ramp};
use super::people::Crew;
use super::rates::MOL_S_PER_L_MIN;
use super::tally::{Air, Tally};
use deepstay_core::record::{BreathingPath, Fitness, Whereabouts};
use deepstay_core::units::{ATM_PA, BAR_PA, DiverId};
use deepstay_plant::Activity;

/// Pressure above the surface's from which time counts as under pressure, Pa: 0.1 msw (house rule, a
/// little over what the weather does).
pub const PRESSED_OVER_PA: f64 = 1000.0;

/// A diver's running totals at a second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Totals {
    /// Time under pressure as of the last [`Crew::advance`], s.
    pub pressure_s: i64,
    /// Time in a bell or in the water from it, s.
    pub bell_s: i64,
    /// Time in the water, s.
    pub water_s: i64,
    /// Time since he last left a bell for a chamber, s: 0 while in it, none if he has not been in one.
    pub rest_s: Option<i64>,
    /// Oxygen taken from compartments and lines, mol: what the loads say.
    pub o2_mol: f64,
    /// Carbon dioxide given to compartments and lines, mol: what the loads say.
    pub co2_mol: f64,
    /// Oxygen taken from the air on deck and from his bail-out, mol; no load says it.
    pub own_o2_mol: f64,
    /// Carbon dioxide given there, mol.
    pub own_co2_mol: f64,
    /// Unit pulmonary toxic dose as of the last advance; an index.
    pub uptd: f64,
    /// Share of the single-exposure limit for the central nervous system as of the last advance; an index.
    pub cns: f64,
    /// Time at oxygen over the end of that table, s, which the share does not count.
    pub cns_beyond_s: i64,
    /// Mean partial pressure of oxygen while under pressure, Pa; 0 before.
    pub mean_ppo2_pa: f64,
    /// The pulmonary index for saturation at that mean, or why there is none.
    pub pulmonary: Result<PulmonaryIndex, NoPulmonaryIndex>,
}

impl Crew {
    /// Follows every diver's pressure and oxygen to second `now_s`. `atmospheres` gives what he breathes
    /// then. Between two calls both are taken as straight lines, so the caller calls at the same seconds
    /// however it gets there: at each log row, and before each order to people (which starts a new line).
    pub fn advance(&mut self, now_s: i64, atmospheres: &dyn Fn(DiverId) -> Air) {
        let surface_pa = self.surface_pa;
        for id in self.ids() {
            let span_s = now_s - self.states[id.index()].tally.followed_s;
            if span_s < 0 {
                continue;
            }
            let now = atmospheres(id);
            let before = self.follow_body(id, now_s, now);
            let state = &mut self.states[id.index()];
            if state.at == Whereabouts::Deck || span_s == 0 {
                continue;
            }
            let tally = &mut state.tally;
            let pressed_s = time_above(before.p_pa, now.p_pa, surface_pa + PRESSED_OVER_PA, span_s);
            let mean_pa = (before.ppo2_pa + now.ppo2_pa) / 2.0;
            let minutes = span_s as f64 / 60.0;
            tally.pressure_s += pressed_s;
            tally.ppo2_pa_s += mean_pa * pressed_s as f64;
            tally.uptd += uptd_ramp(before.ppo2_pa / ATM_PA, now.ppo2_pa / ATM_PA, minutes);
            match cns_per_min(mean_pa / ATM_PA) {
                Some(share) => tally.cns += share * minutes,
                None => tally.cns_beyond_s += span_s,
            }
        }
        if self.states.iter().any(|s| s.fell) {
            self.states.iter_mut().for_each(|s| s.fell = false);
            self.add_up();
        }
    }

    /// Follows a diver's body and his bail-out to a second, in the gas he breathes then; gives the gas before.
    fn follow_body(&mut self, diver: DiverId, now_s: i64, now: Air) -> Air {
        let i = diver.index();
        let mut body = self.states[i].body;
        let tally = &self.states[i].tally;
        let (from_s, before) = (tally.followed_s, tally.last.unwrap_or(now));
        body.follow(&self.man(i), &before, &now, from_s, now_s - from_s);
        let falls =
            body.fitness() > self.states[i].body.fitness() && body.fitness() >= Fitness::Out;
        if falls || now.flows != self.states[i].gives {
            self.states[i].tally = self.settle(diver, now_s);
        }
        let state = &mut self.states[i];
        if falls {
            state.activity = match state.at {
                Whereabouts::Water(_) => Activity::WaterRest,
                Whereabouts::Deck | Whereabouts::In(_) => Activity::Rest,
            };
            state.fell = true;
        }
        if state.path == BreathingPath::BailOut {
            let mean_pa = 0.5 * (before.p_pa + now.p_pa);
            let span_s = (now_s - from_s) as f64;
            self.bail_out.breathe(&mut state.bottle, mean_pa, span_s);
        }
        state.body = body;
        state.gives = now.flows;
        state.tally.followed_s = now_s;
        state.tally.last = Some(now);
        before
    }

    /// A diver's totals at second `now_s`; none if there is no such diver. Changes nothing.
    pub fn totals(&self, diver: DiverId, now_s: i64) -> Option<Totals> {
        let state = self.states.get(diver.index())?;
        let tally = self.settle(diver, now_s);
        let pressure_h = tally.pressure_s as f64 / 3600.0;
        let mean_ppo2_pa = if tally.pressure_s > 0 {
            tally.ppo2_pa_s / tally.pressure_s as f64
        } else {
            0.0
        };
        Some(Totals {
            pressure_s: tally.pressure_s,
            bell_s: tally.bell_s,
            water_s: tally.water_s,
            rest_s: if self.of_bell(state.at) {
                Some(0)
            } else {
                tally.left_bell_s.map(|left| now_s - left)
            },
            o2_mol: tally.o2_mol,
            co2_mol: tally.co2_mol,
            own_o2_mol: tally.own_o2_mol,
            own_co2_mol: tally.own_co2_mol,
            uptd: tally.uptd,
            cns: tally.cns,
            cns_beyond_s: tally.cns_beyond_s,
            mean_ppo2_pa,
            pulmonary: pulmonary_dose(pressure_h, mean_ppo2_pa / BAR_PA),
        })
    }

    /// His tally with amounts and times brought to second `now_s`.
    pub(super) fn settle(&self, diver: DiverId, now_s: i64) -> Tally {
        let state = &self.states[diver.index()];
        let mut tally = state.tally;
        let span_s = now_s - tally.since_s;
        tally.since_s = now_s;
        if self.of_bell(state.at) {
            tally.bell_s += span_s;
        }
        if matches!(state.at, Whereabouts::Water(_)) {
            tally.water_s += span_s;
        }
        let rate = self.rates[state.activity as usize];
        let breathed_s = if state.gives { span_s as f64 } else { 0.0 };
        let mol = self.factor(diver.index()) * MOL_S_PER_L_MIN * breathed_s;
        let (o2, co2) = match breathes_from(state.at, state.path) {
            BreathesFrom::Compartment(_) | BreathesFrom::Line(_) => {
                (&mut tally.o2_mol, &mut tally.co2_mol)
            }
            BreathesFrom::Deck | BreathesFrom::BailOut => {
                (&mut tally.own_o2_mol, &mut tally.own_co2_mol)
            }
        };
        *o2 += rate.o2_l_min * mol;
        *co2 += rate.co2_l_min * mol;
        tally
    }
}

/// Whole seconds out of `span_s` during which a straight line from one value to another is above a third.
fn time_above(from: f64, to: f64, limit: f64, span_s: i64) -> i64 {
    match (from > limit, to > limit) {
        (true, true) => span_s,
        (false, false) => 0,
        (from_above, _) => {
            let till_crossing = ((limit - from) / (to - from) * span_s as f64).round() as i64;
            if from_above {
                till_crossing
            } else {
                span_s - till_crossing
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::time_above;

    /// By hand: a line from 1 to 3 in ten seconds is above 2 for five of them, above 2.5 for two and a half, rounded; down
    /// again as long. On the limit it is not above.
    #[test]
    fn a_line_is_above_as_long_as_it_is() {
        assert_eq!(time_above(1.0, 3.0, 2.0, 10), 5);
        assert_eq!(time_above(3.0, 1.0, 2.0, 10), 5);
        assert_eq!(time_above(1.0, 3.0, 2.6, 10), 2);
        assert_eq!(time_above(3.0, 1.0, 1.4, 10), 8);
        assert_eq!(time_above(1.0, 3.0, 0.0, 10), 10);
        assert_eq!(time_above(1.0, 3.0, 4.0, 10), 0);
        assert_eq!(time_above(2.0, 2.0, 2.0, 10), 0);
    }
}
