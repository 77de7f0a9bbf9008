//! How long a bell run takes, for those who plan runs and for those who make them: the lengths of its phases, and
//! sums of them. Whoever checks a plan, makes a rota or sits at the bell's panel reckons with one set of numbers.
//! Common practice, no source.

use crate::BellRun;
use deepstay_plant::Steel;

/// Lengths of the phases, s.
pub mod phase {
    /// Check sheet.
    pub const CHECKS_S: i64 = 20 * 60;
    /// Bell, trunk and chamber to one pressure after the check sheet, doors open.
    pub const JOIN_S: i64 = 2 * 60;
    /// Divers through the trunk.
    pub const TRANSFER_S: i64 = 2 * 60;
    /// Seal watched.
    pub const SEAL_S: i64 = 5 * 60;
    /// From the trunk's gauge showing nought to the clamp being tried: a gauge lags (house rule), s.
    pub const EMPTY_S: i64 = 30;
    /// Clamp off, bell over the side.
    pub const CLAMP_S: i64 = 2 * 60;
    /// Lock-off to the first diver dressed: suit, harness and bail-out are put on while the bell is lowered.
    pub const DRESS_S: i64 = 15 * 60;
    /// Bottom door open to first diver out at the least: hat on, its gas, hot water and bail-out checked.
    pub const HAT_S: i64 = 5 * 60;
    /// One diver in to the next one out.
    pub const CHANGE_S: i64 = 15 * 60;
    /// Last diver in to the bottom door shut: umbilicals in.
    pub const STOW_S: i64 = 10 * 60;
    /// Bell set down, cleaned and clamped.
    pub const MATING_S: i64 = 8 * 60;
    /// Trunk vented.
    pub const VENT_S: i64 = 5 * 60;
    /// Trunk pressed and equalised: the slow end of it, and the rate of the rest, msw/s.
    pub const TRUNK_S: (i64, f64) = (4 * 60, 12.0 / 60.0);
    /// How long the sea gauge of a bell shows the same before its bottom door is tried: a bell just stopped
    /// swings, s.
    pub const REST_S: i64 = 30;
}

/// Start of the checks to the divers sealed in, s.
pub const LEAD_S: i64 = phase::CHECKS_S + phase::JOIN_S + phase::TRANSFER_S;
/// Sealed in to the first diver in the water, s, beside the way down: seal watched, trunk vented and found
/// empty, clamp off; below, the sea gauge come to rest and the hat put on.
pub const OUT_S: i64 =
    phase::SEAL_S + phase::VENT_S + phase::EMPTY_S + phase::CLAMP_S + phase::REST_S + phase::HAT_S;
/// The way down counts as no shorter than this, s: the first diver dresses on it.
pub const DRESSING_S: i64 = phase::DRESS_S - phase::REST_S - phase::HAT_S;
/// One diver in to the next one out, s.
pub const CHANGE_S: i64 = phase::CHANGE_S;
/// Last diver in to the bell sealed to its trunk again, s, beside the way up.
pub const HOME_S: i64 = phase::STOW_S + phase::SEAL_S + phase::MATING_S;

/// Bell sealed to its trunk to the bell free for the next checks, s: trunk pressed to the storage depth,
/// divers home.
pub fn tail_s(storage_msw: f64) -> i64 {
    let (slow_s, rate_msw_s) = phase::TRUNK_S;
    slow_s + (storage_msw / rate_msw_s).ceil() as i64 + phase::TRANSFER_S
}

/// How often somebody goes out in a run: two divers one after the other, or all of them twice with a break.
pub fn turns(run: &BellRun) -> u8 {
    if run.divers.len() == 2 || run.pause_s > 0 {
        2
    } else {
        1
    }
}

/// How many times a run's planned time in the water is had by its divers together: of two each goes once, of more all but
/// one are in the water together, and one who is alone has it himself.
pub fn times_in_water(run: &BellRun) -> i64 {
    match run.divers.len() {
        2 => 2,
        n => i64::try_from(n)
            .unwrap_or(i64::MAX)
            .saturating_sub(1)
            .max(1),
    }
}

/// How long a turn in the water is planned, s.
pub fn turn_s(run: &BellRun) -> i64 {
    if run.divers.len() > 2 && run.pause_s > 0 {
        run.in_water_s / 2
    } else {
        run.in_water_s
    }
}

/// Between two turns in the water, s: the change of divers, or the break.
pub fn between_s(run: &BellRun) -> i64 {
    if run.divers.len() > 2 && run.pause_s > 0 {
        run.pause_s
    } else {
        phase::CHANGE_S
    }
}

/// Between deck and working depth, s.
pub fn travel_s(run: &BellRun, steel: &Steel) -> i64 {
    let fitted = steel.compartments[run.bell.index()].bell.as_ref();
    fitted.map_or(0, |b| {
        lowering_s(b.handling_s, b.winch_msw_s, run.depth_msw)
    })
}

/// Handling of a bell and its winch between deck and a depth, s.
pub fn lowering_s(handling_s: i64, winch_msw_s: f64, depth_msw: f64) -> i64 {
    handling_s + (depth_msw / winch_msw_s.max(1e-3)).ceil() as i64
}

/// The last diver in to the trunk open again, s.
pub fn way_home_s(run: &BellRun, steel: &Steel) -> i64 {
    let (slow_s, rate_msw_s) = phase::TRUNK_S;
    HOME_S + travel_s(run, steel) + slow_s + (run.depth_msw / rate_msw_s) as i64
}

/// Divers called in to done, s.
pub fn recalled_s(run: &BellRun, steel: &Steel) -> i64 {
    way_home_s(run, steel) + phase::TRANSFER_S
}

/// First diver out to last diver in, s.
pub fn wet_s(run: &BellRun) -> i64 {
    let turns = i64::from(turns(run));
    turns * turn_s(run) + (turns - 1) * between_s(run)
}

/// Checks to done, s, as it is reckoned with.
pub fn whole_s(run: &BellRun, steel: &Steel) -> i64 {
    let down_s = (travel_s(run, steel) + phase::HAT_S).max(phase::DRESS_S);
    let away_s = phase::SEAL_S + phase::VENT_S + phase::CLAMP_S + down_s;
    LEAD_S + away_s + wet_s(run) + recalled_s(run, steel)
}

#[cfg(test)]
mod tests {
    use super::*;
    use deepstay_core::units::{CompartmentId, DiverId};
    use deepstay_plant::Activity;

    /// A bell ten minutes from the deck at 120 msw, as its winch and its handling give it.
    fn steel() -> Steel {
        let mut steel = crate::load("short").expect("built in").steel.clone();
        let bell = bell(&steel);
        let fitted = steel.compartments[bell.index()].bell.as_mut();
        let fitted = fitted.expect("it is a bell");
        (fitted.handling_s, fitted.winch_msw_s) = (240, 120.0 / 360.0);
        steel
    }

    fn bell(steel: &Steel) -> CompartmentId {
        let at = steel.compartments.iter().position(|c| c.bell.is_some());
        CompartmentId(at.expect("the spread has a bell") as u8)
    }

    fn run(steel: &Steel, divers: u8, pause_s: i64) -> BellRun {
        BellRun {
            at: 0,
            bell: bell(steel),
            depth_msw: 120.0,
            divers: (0..divers).map(DiverId).collect(),
            in_water_s: 4 * 3600,
            pause_s,
            work: Activity::WaterModerate,
        }
    }

    #[test]
    fn a_run_takes_its_water_its_travel_its_trunk_and_seventy_minutes() {
        // By hand, of the phases as they are listed in minutes: checks 20, doors 2, transfer 2, seal 5, venting 5,
        // clamp 2, hat 5; stowing 10, seal 5, mating 8, trunk slowly 4, transfer 2.
        let around_min = 20 + 2 + 2 + 5 + 5 + 2 + 5 + 10 + 5 + 8 + 4 + 2;
        assert_eq!(around_min, 70);
        let steel = steel();
        // Two ways of ten minutes, and 120 msw of trunk at 12 msw/min.
        let besides_min = around_min + 2 * 10 + 10;
        for (divers, pause_s, wet_min) in [
            (3, 0, 240),
            (3, 3600, 240 + 60),
            // One after the other, a quarter of an hour between.
            (2, 0, 2 * 240 + 15),
        ] {
            let run = run(&steel, divers, pause_s);
            assert_eq!(
                whole_s(&run, &steel),
                60 * (besides_min + wet_min),
                "{divers}"
            );
        }
    }

    #[test]
    fn a_short_way_down_lasts_as_long_as_the_first_diver_dresses() {
        let mut steel = steel();
        let at = bell(&steel);
        let run = run(&steel, 3, 0);
        let long_s = whole_s(&run, &steel);
        if let Some(fitted) = &mut steel.compartments[at.index()].bell {
            fitted.handling_s = 0;
            fitted.winch_msw_s = 2.0;
        }
        // A minute down: a hat's five minutes after it would be six, and dressing takes fifteen.
        assert_eq!(whole_s(&run, &steel), long_s - 2 * 600 - 300 + 900 + 60);
    }
}
