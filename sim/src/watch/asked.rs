//! The questions the seats ask of the rule set, in one place, and what they do with a refusal: they
//! stay where they are.

use crate::record::Phase;
use crate::rules::{CompressionPlan, DecompressionPlan, OxygenHold};
use crate::scenario::Scenario;

/// How to press to a depth.
pub fn compression(scenario: &Scenario, to_msw: f64) -> Option<CompressionPlan> {
    stand_in::compression(scenario, to_msw)
}

/// How to come up from a depth, leaving at a second of the ship's day.
pub fn decompression(
    scenario: &Scenario,
    from_msw: f64,
    second_of_day: i64,
) -> Option<DecompressionPlan> {
    stand_in::decompression(scenario, from_msw, second_of_day)
}

/// How to come up when the job is broken off.
pub fn abort(scenario: &Scenario, from_msw: f64, second_of_day: i64) -> Option<DecompressionPlan> {
    stand_in::decompression(scenario, from_msw, second_of_day)
}

/// Oxygen to hold at storage.
pub fn storage_oxygen(_: &Scenario) -> OxygenHold {
    OxygenHold::Partial {
        low_bar: 0.44 * 1.01325,
        high_bar: 0.48 * 1.01325,
    }
}

/// Temperature band of a chamber at a living depth, K.
pub fn climate_k(_: &Scenario, _depth_msw: f64) -> (f64, f64) {
    (298.15, 302.15)
}

/// ppCO2 at which absorbent is changed, bar, and how long it must have stood there, s.
pub fn absorbent_change(_: &Scenario) -> (f64, i64) {
    (0.005 * 1.01325, 3600)
}

/// Seconds between calibrations.
pub fn calibrate_every_s(scenario: &Scenario) -> i64 {
    scenario.plan.calibrate_every_s
}

/// Longest bell run seal to seal at a depth, s.
pub fn bell_run_s(_: &Scenario, _depth_msw: f64) -> i64 {
    8 * 3600
}

/// Whether a phase is one in which bell runs may be made.
pub fn runs_in(phase: Phase) -> bool {
    phase == Phase::Storage
}

mod stand_in {
    use crate::rules::*;
    use crate::scenario::Scenario;

    fn source() -> Source {
        Source {
            document: "stand-in".into(),
            status: Status::HouseRule,
        }
    }

    pub fn compression(_: &Scenario, to_msw: f64) -> Option<CompressionPlan> {
        let rate_msw_s = 1.0 / 60.0;
        let legs = vec![
            PressLeg {
                to_msw: to_msw.min(10.0),
                rate_msw_s,
                hold_s: 600,
                leak_check: true,
            },
            PressLeg {
                to_msw,
                rate_msw_s,
                hold_s: 0,
                leak_check: false,
            },
        ];
        Some(CompressionPlan {
            legs,
            ppo2_bar: 0.44,
            mix_o2: None,
            source: source(),
        })
    }

    pub fn decompression(_: &Scenario, from_msw: f64, _: i64) -> Option<DecompressionPlan> {
        let mut steps = Vec::new();
        let mut depth = from_msw;
        let mut start_s = 0;
        while depth > 0.0 {
            depth = (depth - 0.3048).max(0.0);
            steps.push(DecompressionStep {
                start_s,
                to_msw: depth,
                by_s: start_s + 600,
            });
            start_s += 900;
        }
        let oxygen = vec![OxygenBand {
            deeper_than_msw: 0.0,
            hold: super::storage_oxygen_stand_in(),
        }];
        Some(DecompressionPlan {
            steps,
            total_s: start_s,
            oxygen,
            source: source(),
        })
    }
}

fn storage_oxygen_stand_in() -> OxygenHold {
    OxygenHold::Partial {
        low_bar: 0.44,
        high_bar: 0.48,
    }
}
