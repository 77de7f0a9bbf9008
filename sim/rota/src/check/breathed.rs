//! What is breathed and how the way up begins: oxygen at work and density by the labels of divers' gas, the time on a mask,
//! and the start of each decompression.

use super::judge::{Judge, Point, by_row, h_min};
use crate::margin::Margin;
use crate::questions::WorkQuestion;
use crate::rule::RuleName;
use crate::types::{Rota, Span};
use deepstay_core::gas::state::density_kg_m3;
use deepstay_core::gas::{Amounts, Species};
use deepstay_core::units::{BAR_PA, DiverId, MSW_PA};
use deepstay_rules::RuleRefusal;

/// What divers breathe: in the water by the labels, on masks as it was lived.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Breathed {
    /// Oxygen by volume on the labels of divers' gas.
    pub labels_o2: Vec<f64>,
    /// Pressure at the surface, Pa.
    pub surface_pa: f64,
    /// The sea's temperature, K: gas in an umbilical is as cold and so as dense as that.
    pub sea_t_k: f64,
    /// Who was on a mask, and when, each time without a break.
    pub masks: Vec<(DiverId, Span)>,
}

/// Judges all of it.
pub fn of(rota: &Rota, breathed: &Breathed, judge: &mut Judge) {
    at_work(rota, breathed, judge);
    density(rota, breathed, judge);
    masks(breathed, judge);
    start(rota, judge);
}

/// What a rota alone says nothing of.
pub fn not_of_a_rota(judge: &mut Judge) {
    for question in [
        WorkQuestion::OxygenAtWork,
        WorkQuestion::GasDensity,
        WorkQuestion::MaskTime,
        WorkQuestion::DecompressionStart,
    ] {
        judge.unknown(question, "a rota says nothing of it; it is judged of a job");
    }
}

/// A figure in thousandths.
fn milli(value: f64) -> i64 {
    libm::round(value * 1e3) as i64
}

/// Each diver's longest time in the water without a break in each run, with the richest gas that there is for it.
fn at_work(rota: &Rota, breathed: &Breathed, judge: &mut Judge) {
    let question = WorkQuestion::OxygenAtWork;
    let Some(o2) = breathed.labels_o2.iter().copied().reduce(f64::max) else {
        return judge.unknown(question, "no bank is labelled as divers' gas");
    };
    for (i, turn) in rota.runs.iter().enumerate() {
        let hpa = o2 * (breathed.surface_pa + turn.depth_msw * MSW_PA) / BAR_PA * 1e3;
        for position in &turn.positions {
            let Some(wet) = position.wet.iter().max_by_key(|w| w.length_s()) else {
                continue;
            };
            let most = match judge.rules.work_oxygen(wet.length_s(), judge.accepted) {
                Ok(most) => most,
                Err(refusal) => {
                    silent(question, &refusal, judge);
                    continue;
                }
            };
            let rule = RuleName {
                id: most.id,
                words: format!(
                    "at most {:.0} hPa of oxygen in work of up to {}",
                    most.most_bar * 1e3,
                    h_min(most.up_to_s)
                ),
                source: most.source,
            };
            let point = Point {
                rule: &rule,
                margin: Margin::Value {
                    found_milli: milli(hpa),
                    limit_milli: milli(most.most_bar * 1e3),
                    unit: "hPa",
                },
                diver: Some(position.diver),
                turn: Some(i),
                when: *wet,
                of: Some(question),
            };
            let who = judge.initials(position.diver);
            let length_s = wet.length_s();
            judge.hold(point, || {
                format!(
                    "{who}: {hpa:.0} hPa of oxygen by the label in {} of work; at most {:.0} hPa",
                    h_min(length_s),
                    most.most_bar * 1e3
                )
            });
        }
    }
}

/// The densest of divers' gases at the depth of each run.
fn density(rota: &Rota, breathed: &Breathed, judge: &mut Judge) {
    let question = WorkQuestion::GasDensity;
    let rule = match judge.rules.gas_density(judge.accepted) {
        Ok(rule) => rule,
        Err(refusal) => return silent(question, &refusal, judge),
    };
    if breathed.labels_o2.is_empty() {
        return judge.unknown(question, "no bank is labelled as divers' gas");
    }
    let name = by_row(&rule.by);
    for (i, turn) in rota.runs.iter().enumerate() {
        let p_pa = breathed.surface_pa + turn.depth_msw * MSW_PA;
        let of = |o2: &f64| density_kg_m3(&heliox(*o2), p_pa, breathed.sea_t_k);
        let densest = breathed.labels_o2.iter().map(of).fold(0.0, f64::max);
        let point = Point {
            rule: &name,
            margin: Margin::Value {
                found_milli: milli(densest),
                limit_milli: milli(rule.most_g_l),
                unit: "g/L",
            },
            diver: None,
            turn: Some(i),
            when: turn.span(),
            of: Some(question),
        };
        judge.hold(point, || {
            format!(
                "divers' gas has {densest:.2} g/L at {} msw; at most {} g/L",
                turn.depth_msw, rule.most_g_l
            )
        });
    }
}

/// A mixture with so much oxygen, the rest helium, 0 to 1 each.
fn heliox(o2: f64) -> Amounts {
    let mut x = Amounts::ZERO;
    x[Species::O2] = o2;
    x[Species::He] = 1.0 - o2;
    x
}

/// Each time on a mask.
fn masks(breathed: &Breathed, judge: &mut Judge) {
    let question = WorkQuestion::MaskTime;
    let rule = match judge.rules.mask_time(judge.accepted) {
        Ok(rule) => rule,
        Err(refusal) => return silent(question, &refusal, judge),
    };
    if breathed.masks.is_empty() {
        return judge.unknown(question, "nobody is on a mask");
    }
    let name = by_row(&rule.by);
    let limit_s = rule.longest_s;
    for &(diver, when) in &breathed.masks {
        let found_s = when.length_s();
        let point = Point {
            rule: &name,
            margin: Margin::AtMost { found_s, limit_s },
            diver: Some(diver),
            turn: None,
            when,
            of: Some(question),
        };
        let who = judge.initials(diver);
        judge.hold(point, || {
            format!(
                "{who}: {} on a mask without a break; at most {}",
                h_min(found_s),
                h_min(limit_s)
            )
        });
    }
}

/// How each way up begins. Nothing here begins it with an excursion: a set that forbids one is kept. Where a set wants a
/// hold after an excursion dive, it lies between the diver's last run and his leaving.
fn start(rota: &Rota, judge: &mut Judge) {
    let question = WorkQuestion::DecompressionStart;
    let rule = match judge.rules.decompression_start(judge.accepted) {
        Ok(rule) => rule,
        Err(refusal) => return silent(question, &refusal, judge),
    };
    let limit_s = rule.hold_after_dive_s;
    let excursion = match rule.upward_excursion {
        true => "an upward excursion may begin it",
        false => "no upward excursion begins it",
    };
    let name = RuleName {
        id: rule.id,
        words: match limit_s {
            0 => excursion.to_owned(),
            hold_s => format!("{excursion}; {} after an excursion dive", h_min(hold_s)),
        },
        source: rule.source,
    };
    let problem = judge.problem;
    for (id, diver) in (0u8..).map(DiverId).zip(&problem.divers) {
        for saturation in &diver.saturations {
            let when = Span::new(saturation.leaves_s, saturation.surfaced_s);
            if when.length_s() <= 0 {
                continue;
            }
            let runs = rota.runs.iter().enumerate();
            let home = runs
                .filter(|(_, run)| run.position_of(id).is_some())
                .map(|(i, _)| judge.moment_s(i, deepstay_rules::RunMoment::Home))
                .filter(|s| (saturation.pressed_s..=saturation.leaves_s).contains(s))
                .max();
            let margin = match home.filter(|_| limit_s > 0) {
                Some(home_s) => Margin::AtLeast {
                    found_s: saturation.leaves_s - home_s,
                    limit_s,
                },
                None => Margin::Demand,
            };
            let point = Point {
                rule: &name,
                margin,
                diver: Some(id),
                turn: None,
                when,
                of: Some(question),
            };
            let who = judge.initials(id);
            judge.hold(point, || {
                format!(
                    "{who}: the way up begins too soon after his last run; at least {}",
                    h_min(limit_s)
                )
            });
        }
    }
}

fn silent(question: WorkQuestion, refusal: &RuleRefusal, judge: &mut Judge) {
    judge.silent(question, &refusal.missing_of_set());
}
