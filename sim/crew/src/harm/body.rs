//! The running numbers of one body, and the state that is the worst of them.

use super::blood::{
    breathes_times, carbon_dioxide_dose, carbon_dioxide_share, haemoglobin_after,
    haemoglobin_percent_min, monoxide_limit,
};
use super::core_temperature::{Heated, Skin};
use super::edges::Edges;
use super::figures::HarmFigures;
use super::low_oxygen::{Lung, dose_after_second, in_lung_pa, washout_s};
use super::nature::{Effort, Man};
use super::pressure_loss::{loss_dose, over_allowed, saturated_after};
use super::seizure::{beyond_signs, place, seizure_dose_step};
use crate::tally::Air;
use deepstay_core::record::{Fitness, HarmCause};
use deepstay_core::units::{ATM_PA, ZERO_C_K};
use serde::{Deserialize, Serialize};

/// A dose smaller than this counts as none once nothing lets it grow.
const NO_DOSE: f64 = 1e-3;
/// A core within this of its own temperature is in no danger for minutes, K.
const CORE_WITHIN_K: f64 = 1.0;
/// Temperature of gas in the lung, K.
const BODY_K: f64 = ZERO_C_K + 37.0;
/// Pressure of a litre of dry gas at 0 degC and 1 atm in a litre at body temperature, Pa.
const STANDARD_LITRE_PA: f64 = ATM_PA * BODY_K / ZERO_C_K;
/// Share of haemoglobin under which carbon monoxide plays no part.
const LITTLE_MONOXIDE: f64 = 0.05;

/// A change of state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FitnessStep {
    /// What he was.
    pub from: Fitness,
    /// What he is.
    pub to: Fitness,
    /// What it comes from; of one who is well again, what it came from.
    pub cause: HarmCause,
}

/// The running numbers of one body.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Body {
    lung_pa: f64,
    low_oxygen: f64,
    haemoglobin: f64,
    dioxide: f64,
    trapped_pa: f64,
    oxygen: f64,
    core_k: f64,
    saturated_pa: f64,
    loss: f64,
    /// Last second at which his pressure was within what he is saturated for.
    held_s: i64,
    faint_since_s: Option<i64>,
    seizure_s: Option<i64>,
    exposed_since_s: Option<i64>,
    fitness: Fitness,
    cause: HarmCause,
    told: Fitness,
}

impl Body {
    /// A body that has long been in a gas.
    pub fn in_gas(figures: &HarmFigures, ppo2_pa: f64, p_pa: f64, now_s: i64) -> Body {
        Body {
            lung_pa: in_lung_pa(ppo2_pa, p_pa),
            low_oxygen: 0.0,
            haemoglobin: 0.0,
            dioxide: 0.0,
            trapped_pa: 0.0,
            oxygen: 0.0,
            core_k: figures.core_rest,
            saturated_pa: p_pa,
            loss: 0.0,
            held_s: now_s,
            faint_since_s: None,
            seizure_s: None,
            exposed_since_s: None,
            fitness: Fitness::Well,
            cause: HarmCause::LowOxygen,
            told: Fitness::Well,
        }
    }

    /// How he stands.
    pub fn fitness(&self) -> Fitness {
        self.fitness
    }

    /// Oxygen in his lung, Pa.
    pub fn lung_pa(&self) -> f64 {
        self.lung_pa
    }

    /// Share of his haemoglobin lost to carbon monoxide.
    pub fn haemoglobin(&self) -> f64 {
        self.haemoglobin
    }

    /// His dose of carbon dioxide.
    pub fn carbon_dioxide(&self) -> f64 {
        self.dioxide
    }

    /// His dose of oxygen, minutes and atmospheres.
    pub fn oxygen_dose(&self) -> f64 {
        self.oxygen
    }

    /// Temperature of his core, K.
    pub fn core_k(&self) -> f64 {
        self.core_k
    }

    /// Pressure he is saturated at, Pa.
    pub fn saturated_pa(&self) -> f64 {
        self.saturated_pa
    }

    /// What has changed since this was last asked, if anything.
    pub fn take_step(&mut self) -> Option<FitnessStep> {
        let from = std::mem::replace(&mut self.told, self.fitness);
        (from != self.fitness).then_some(FitnessStep {
            from,
            to: self.fitness,
            cause: self.cause,
        })
    }

    /// The band within which nothing brings him nearer to harm.
    pub fn edges(&self, man: &Man, air: &Air) -> Edges {
        Edges::of(man, air)
    }

    /// The least pressure at which he is well within what does not hit him, Pa.
    pub fn pressure_edge_pa(&self, man: &Man) -> f64 {
        Edges::pressure_pa(man, self.saturated_pa)
    }

    /// Whether in this gas no dose grows, none is left, and his state cannot change: then he may be followed in
    /// strides. The dead are.
    pub fn at_rest(&self, man: &Man, air: &Air) -> bool {
        if self.fitness == Fitness::Dead {
            return true;
        }
        let edges = self.edges(man, air);
        self.fitness == Fitness::Well
            && edges.hold(air)
            && Edges::holds_pressure(man, self.saturated_pa, air.p_pa)
            && in_lung_pa(edges.ppo2_low_pa, air.p_pa) < self.lung_pa
            && self.low_oxygen == 0.0
            && self.dioxide == 0.0
            && self.loss == 0.0
            && self.haemoglobin < LITTLE_MONOXIDE
            && (self.core_k - man.figures.core_rest).abs() < CORE_WITHIN_K
    }

    /// Follows him over a span from one second to a later one, in which what he breathes goes straight from one gas
    /// to another.
    pub fn follow(&mut self, man: &Man, from: &Air, to: &Air, from_s: i64, span_s: i64) {
        if span_s <= 0 || self.fitness == Fitness::Dead {
            return;
        }
        if span_s > 1 && self.at_rest(man, from) && self.at_rest(man, to) {
            self.stride(man, from, to, span_s as f64);
            self.held_s = from_s + span_s;
            return;
        }
        let mut before = *from;
        for s in 1..=span_s {
            let after = if s == span_s {
                *to
            } else {
                from.towards(to, s as f64 / span_s as f64)
            };
            self.second(man, &before, &after);
            self.judge(man, &after, from_s + s);
            before = after;
        }
    }

    /// What changes in any span: lung, oxygen, haemoglobin, core, what he is saturated at.
    fn stride(&mut self, man: &Man, from: &Air, to: &Air, span_s: f64) {
        let f = man.figures;
        let lung = self.lung(man, from, to);
        self.lung_pa = lung.after(self.lung_pa, span_s, span_s);
        self.oxygen = seizure_dose_step(f, self.oxygen, from.ppo2_pa, to.ppo2_pa, span_s / 60.0);
        let taken_s = Self::monoxide_s(man, from, to);
        self.haemoglobin = haemoglobin_after(f, self.haemoglobin, taken_s, span_s);
        let heated = Heated {
            figures: f,
            mass_kg: man.mass_kg,
            rate: &man.rate,
            breathes: to.flows,
        };
        self.core_k = heated.core_after(self.core_k, &from.towards(to, 0.5).skin, span_s);
        self.saturated_pa = saturated_after(f, self.saturated_pa, from.p_pa, to.p_pa, span_s);
    }

    /// One second of everything.
    fn second(&mut self, man: &Man, from: &Air, to: &Air) {
        let f = man.figures;
        let lung = self.lung(man, from, to);
        let times = man.nature.times;
        self.low_oxygen =
            dose_after_second(f, self.low_oxygen, &lung, self.lung_pa, man.effort, times);
        let mean = from.towards(to, 0.5);
        self.trapped_pa = if mean.flows {
            0.0
        } else {
            self.trapped_pa + man.rate.co2_l_min / 60.0 * STANDARD_LITRE_PA / held_l(man)
        };
        let share = self.dioxide_share(man, &mean);
        self.dioxide = carbon_dioxide_dose(f, self.dioxide, share, man.effort, times, 1.0);
        self.stride(man, from, to, 1.0);
        let over = over_allowed(f, self.saturated_pa, to.p_pa, man.surface_pa);
        let hit = over >= man.nature.loss;
        self.loss = loss_dose(f, self.loss, over, hit, times, 1.0);
        for (dose, grows) in [
            (&mut self.low_oxygen, self.lung_pa < f.low_oxygen_below),
            (&mut self.dioxide, share >= f.dioxide_from),
            (&mut self.loss, hit),
        ] {
            if *dose < NO_DOSE && !grows {
                *dose = 0.0;
            }
        }
    }

    fn lung(&self, man: &Man, from: &Air, to: &Air) -> Lung {
        if to.flows {
            return Lung::Breathes {
                from_pa: in_lung_pa(from.ppo2_pa, from.p_pa),
                to_pa: in_lung_pa(to.ppo2_pa, to.p_pa),
                washout_s: washout_s(man.figures, man.effort),
            };
        }
        Lung::Holds {
            taken_pa_s: man.rate.o2_l_min / 60.0 * STANDARD_LITRE_PA / held_l(man),
        }
    }

    /// Haemoglobin that carbon monoxide takes, share a second.
    fn monoxide_s(man: &Man, from: &Air, to: &Air) -> f64 {
        let trace_pa = 0.5 * (from.trace_pa + to.trace_pa);
        if trace_pa <= 0.0 || !to.flows {
            return 0.0;
        }
        let breathed = man.rate.ventilation_l_min * breathes_times(man.figures, to.ppco2_pa);
        haemoglobin_percent_min(man.figures, trace_pa / ATM_PA * 1e6, breathed) / 100.0 / 60.0
    }

    fn dioxide_share(&self, man: &Man, air: &Air) -> f64 {
        let breathed_pa = if air.flows {
            air.ppco2_pa
        } else {
            self.trapped_pa
        };
        carbon_dioxide_share(man.figures, breathed_pa, air.density_kg_m3, man.effort)
    }

    /// Finds the state at a second, and what it comes from.
    fn judge(&mut self, man: &Man, air: &Air, now_s: i64) {
        let f = man.figures;
        let over = over_allowed(f, self.saturated_pa, air.p_pa, man.surface_pa);
        let hit = over >= man.nature.loss;
        if self.killed_at_once(f, air, hit, now_s) {
            (self.fitness, self.cause) = (Fitness::Dead, HarmCause::PressureLoss);
            return;
        }
        let monoxide = self.haemoglobin / monoxide_limit(f, man.effort);
        let states = [
            (
                self.by_low_oxygen(man, monoxide, now_s),
                HarmCause::LowOxygen,
            ),
            (by_dose(f, monoxide), HarmCause::CarbonMonoxide),
            (self.by_carbon_dioxide(man, air), HarmCause::CarbonDioxide),
            (self.by_oxygen(man, air, now_s), HarmCause::OxygenPoisoning),
            (self.by_cold(f), HarmCause::Cold),
            (self.by_heat(f), HarmCause::Heat),
            (by_dose(f, self.loss), HarmCause::PressureLoss),
        ];
        let worst = states
            .iter()
            .map(|(s, _)| *s)
            .max()
            .unwrap_or(Fitness::Well);
        let of = |cause: HarmCause| states.iter().any(|(s, c)| *s == worst && *c == cause);
        // What it came from stands as long as it is among the worst.
        let cause = if worst == Fitness::Well || of(self.cause) {
            self.cause
        } else {
            let first = states.iter().find(|(s, _)| *s == worst);
            first.map_or(self.cause, |(_, c)| *c)
        };
        let uptake = Self::monoxide_s(man, air, air) > 0.0;
        let share = self.dioxide_share(man, air);
        let exposed = match cause {
            _ if worst < Fitness::Out => None,
            HarmCause::LowOxygen => {
                (self.lung_pa < f.low_oxygen_below).then_some(f.low_oxygen_death)
            }
            HarmCause::CarbonMonoxide => uptake.then_some(f.low_oxygen_death),
            HarmCause::CarbonDioxide => (share >= f.dioxide_from).then_some(f.dioxide_death),
            HarmCause::PressureLoss => hit.then_some(f.loss_death),
            HarmCause::OxygenPoisoning | HarmCause::Cold | HarmCause::Heat => None,
        };
        self.exposed_since_s = exposed.and(self.exposed_since_s.or(Some(now_s)));
        let times = man.nature.times;
        let dies = exposed.zip(self.exposed_since_s);
        let dies =
            dies.is_some_and(|(after_s, since_s)| (now_s - since_s) as f64 >= after_s * times);
        self.fitness = if dies { Fitness::Dead } else { worst };
        self.cause = cause;
    }

    /// Whether his pressure has gone at once.
    fn killed_at_once(&mut self, f: &HarmFigures, air: &Air, hit: bool, now_s: i64) -> bool {
        if !hit {
            self.held_s = now_s;
            return false;
        }
        let gone = air.p_pa < f.loss_sudden_share * self.saturated_pa;
        gone && ((now_s - self.held_s) as f64) < f.loss_sudden_within
    }

    fn by_low_oxygen(&mut self, man: &Man, monoxide: f64, now_s: i64) -> Fitness {
        let f = man.figures;
        let faint = self.lung_pa < f.confused_below;
        self.faint_since_s = faint.then(|| self.faint_since_s.unwrap_or(now_s));
        let long = |since_s: i64| (now_s - since_s) as f64 >= f.confused_after * man.nature.times;
        let slow_below = match man.effort {
            Effort::Hard => f.slow_below_at_work,
            Effort::Rest | Effort::Light => f.slow_below,
        };
        let by_level = if self.faint_since_s.is_some_and(long) {
            Fitness::Confused
        } else if self.lung_pa < slow_below {
            Fitness::Slow
        } else {
            Fitness::Well
        };
        // What carbon monoxide has taken adds to what oxygen lacks.
        let dose = if self.low_oxygen > 0.0 {
            self.low_oxygen + monoxide
        } else {
            0.0
        };
        by_level.max(by_dose(f, dose))
    }

    fn by_carbon_dioxide(&self, man: &Man, air: &Air) -> Fitness {
        let f = man.figures;
        let by_level = if self.dioxide_share(man, air) >= f.dioxide_slow {
            Fitness::Slow
        } else {
            Fitness::Well
        };
        by_level.max(by_dose(f, self.dioxide))
    }

    fn by_oxygen(&mut self, man: &Man, air: &Air, now_s: i64) -> Fitness {
        let f = man.figures;
        let beyond = place(f, self.oxygen) - man.nature.oxygen;
        let dry_at_rest = !man.wet && man.effort == Effort::Rest;
        let since_s = |from_s: i64| (now_s - from_s) as f64;
        let over = f.seizure_lasts + f.seizure_after;
        let free = self.seizure_s.is_none_or(|from_s| since_s(from_s) >= over);
        let has_signs = beyond >= 0.0 && air.ppo2_pa >= f.seizure_above;
        if free && has_signs && beyond >= beyond_signs(f, dry_at_rest) {
            self.seizure_s = Some(now_s);
        }
        match self.seizure_s.map(since_s) {
            Some(s) if s < f.seizure_lasts => Fitness::Out,
            Some(s) if s < over => Fitness::Confused,
            _ if beyond >= 0.0 => Fitness::Slow,
            _ => Fitness::Well,
        }
    }

    fn by_cold(&self, f: &HarmFigures) -> Fitness {
        let steps = [f.cold_dead, f.cold_out, f.cold_confused, f.cold_slow];
        worst_of(steps.map(|edge_k| self.core_k < edge_k))
    }

    fn by_heat(&self, f: &HarmFigures) -> Fitness {
        let steps = [f.heat_dead, f.heat_out, f.heat_confused, f.heat_slow];
        worst_of(steps.map(|edge_k| self.core_k > edge_k))
    }
}

/// Gas that a man without any has in lung and helmet, L.
fn held_l(man: &Man) -> f64 {
    let f = man.figures;
    let helmet_m3 = if man.wet { f.helmet_gas } else { 0.0 };
    1e3 * (f.lung_gas + helmet_m3)
}

/// The state of a dose.
fn by_dose(f: &HarmFigures, dose: f64) -> Fitness {
    worst_of([
        false,
        dose >= f.dose_out,
        dose >= f.dose_confused,
        dose >= f.dose_slow,
    ])
}

/// The state by which of dead, out, confused and slow hold.
fn worst_of([dead, out, confused, slow]: [bool; 4]) -> Fitness {
    if dead {
        Fitness::Dead
    } else if out {
        Fitness::Out
    } else if confused {
        Fitness::Confused
    } else if slow {
        Fitness::Slow
    } else {
        Fitness::Well
    }
}

impl Air {
    /// What lies a share of the way to another gas.
    pub(crate) fn towards(&self, to: &Air, share: f64) -> Air {
        let between = |a: f64, b: f64| a + (b - a) * share;
        let skin = match (self.skin, to.skin) {
            (Skin::Gas(a, vapour_a), Skin::Gas(mut b, vapour_b)) => {
                b.t_k = between(a.t_k, b.t_k);
                Skin::Gas(b, between(vapour_a, vapour_b))
            }
            (_, to) => to,
        };
        Air {
            p_pa: between(self.p_pa, to.p_pa),
            ppo2_pa: between(self.ppo2_pa, to.ppo2_pa),
            ppco2_pa: between(self.ppco2_pa, to.ppco2_pa),
            trace_pa: between(self.trace_pa, to.trace_pa),
            t_k: between(self.t_k, to.t_k),
            density_kg_m3: between(self.density_kg_m3, to.density_kg_m3),
            flows: to.flows,
            skin,
        }
    }
}

#[cfg(test)]
pub(super) mod tests;
