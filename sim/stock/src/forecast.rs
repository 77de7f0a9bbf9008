//! Where the stock goes from here: jobs run whole under the posterior laws, and what they draw after the
//! present taken from what truly lies in the banks.

use super::supply::Course;
use super::{ChanceDay, Ensemble, FanDay, Floors, Replicate, chances, course, dives_to_come};
use deepstay_scenario::Present;

const DAY_S: i64 = 86_400;

/// Where the stock goes from the present.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// Gas by gas, in the order of the ensemble: the stock by day, mol; days before the present are left out.
    pub days: Vec<Vec<FanDay>>,
    /// Chance that any gas is at its minimum by each day.
    pub chance: Vec<ChanceDay>,
    /// For each gas, the chance that it is at its minimum before the boat, or before the end without a boat.
    pub before_boat: Vec<super::Chance>,
    /// Gas by gas, the course of the stock from the start; on the days before today as it is today.
    pub courses: Vec<Course>,
    /// The day up to which that is reckoned.
    pub boat_day: usize,
}

/// The forecast of jobs run under posterior laws, from what truly lies in the banks.
pub fn forecast(
    ensemble: &Ensemble,
    jobs: &[Replicate],
    present: &Present,
    now_mol: &[f64],
    floors: &Floors,
) -> Forecast {
    let gases = ensemble.gases.len();
    let days = ensemble.days();
    let today = usize::try_from(present.at_s / DAY_S).unwrap_or(0);
    let moved: Vec<Replicate> = jobs
        .iter()
        .map(|job| {
            let mut moved = job.clone();
            for (g, now) in now_mol.iter().enumerate() {
                let at = |day: usize| super::left_mol(job, gases, g, day);
                // A job that was over before the present draws nothing more.
                let there = job
                    .at_present_mol
                    .get(g)
                    .copied()
                    .unwrap_or_else(|| at(days));
                for day in 0..=days {
                    let later = (at(day) - there) * f64::from(u8::from(day > today));
                    if let Some(cell) = moved.left_mol.get_mut(day * gases + g) {
                        *cell = (now + later).max(0.0);
                    }
                }
            }
            moved
        })
        .collect();
    let boat_day = present
        .boat_s
        .map_or(days, |b| {
            usize::try_from((b + DAY_S - 1) / DAY_S).unwrap_or(days)
        })
        .min(days);
    let left = |r: &Replicate, g: usize, day: usize| super::left_mol(r, gases, g, day);
    let of_gas = |g: usize| {
        let low = |r: &Replicate, d: usize| {
            d > today && floors.met_by(g, &|g| left(r, g, d), dives_to_come(r, d))
        };
        let rows = chances(&moved, days, &low, &|_, _| false);
        rows.get(boat_day)
            .map_or(super::Chance::of(0, moved.len() as u64), |row| row.minimum)
    };
    let low =
        |r: &Replicate, d: usize| d > today && floors.met(&|g| left(r, g, d), dives_to_come(r, d));
    let empty =
        |r: &Replicate, d: usize| d > today && (0..gases).any(|g| left(r, g, d) < floors.heel(g));
    Forecast {
        courses: (0..gases)
            .map(|g| course(ensemble, &moved, g, floors))
            .collect(),
        days: (0..gases)
            .map(|g| super::fan(&moved, gases, g, days).split_off(today.min(days)))
            .collect(),
        chance: chances(&moved, days, &low, &empty).split_off(today.min(days)),
        before_boat: (0..gases).map(of_gas).collect(),
        boat_day,
    }
}
