//! What an ensemble answers: how much of each gas and for what, how sure that is, what may run short when,
//! and which assumption matters most.

use super::absorbent::absorbent;
use super::by_day::{chances_of, first_days};
use super::{
    AbsorbentAnswer, AbsorbentStock, Chance, ChanceDay, Ensemble, Estimate, FanDay, FirstDays, Gas,
    How, OneAtATime, Replicate, SourceCorrelation, burnt_m3, changed_kg, dives_to_come, estimate,
    rank_correlation, strongest_first, told_apart,
};
use deepstay_core::units::{Duty, Purpose};
use deepstay_scenario::{Source, Varied};
use deepstay_sums::bank_m3;

const DAY_S: i64 = 86_400;

/// What an ensemble says of one gas.
#[derive(Clone, Debug, PartialEq)]
pub struct GasAnswer {
    /// Which.
    pub gas: Gas,
    /// Its place in the ensemble's list.
    pub place: usize,
    /// What lay in its banks at the start, mol.
    pub start_mol: f64,
    /// The same by hand: gauge bar times floodable volume, m3.
    pub start_by_hand_m3: f64,
    /// The most by which its stock fell below the start, over the days of a job, mol: what must be on board.
    pub demand: Estimate,
    /// Drawn for each purpose, mol.
    pub purposes: Vec<(Purpose, Estimate)>,
    /// Taken for burning, mol; none of a gas that does not burn.
    pub burning: Option<Estimate>,
    /// Brought back, mol.
    pub returned: Estimate,
    /// What is left day by day, mol.
    pub days: Vec<FanDay>,
    /// Chance that the stock has been at its minimum, and under what cannot be drawn, by each day.
    pub chance: Vec<ChanceDay>,
    /// The same of each job by itself, in the order of the jobs.
    pub first: Vec<FirstDays>,
    /// The minimum it was held against, mol.
    pub minimum_mol: f64,
    /// What cannot be drawn, mol.
    pub heel_mol: f64,
    /// How demand goes with each source that was drawn, strongest first.
    pub correlations: Vec<SourceCorrelation>,
}

/// A figure that is no gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Other {
    /// What.
    pub name: &'static str,
    /// Its unit; "mol" is told as free gas.
    pub unit: &'static str,
    /// Over all jobs.
    pub estimate: Estimate,
}

/// The answer of an ensemble.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// How many jobs.
    pub jobs: usize,
    /// First job asked for, and the one after the last.
    pub asked: (u64, u64),
    /// Gas by gas; gases that no job drew are left out.
    pub gases: Vec<GasAnswer>,
    /// All else.
    pub others: Vec<Other>,
    /// Absorbent; none where no scrubber is fitted.
    pub absorbent: Option<AbsorbentAnswer>,
    /// Chance that any gas, or absorbent, has been at its minimum, and that work was stopped for want of gas, by each day.
    pub chance: Vec<ChanceDay>,
    /// The same of each job by itself, in the order of the jobs.
    pub first: Vec<FirstDays>,
    /// Each minimum, whether the stock is below it at the start, and the share of jobs that were below it at
    /// some time.
    pub floors: Vec<(Floor, bool, Chance)>,
    /// Chance that the job could not be gone through to the surface.
    pub not_surfaced: Chance,
    /// Jobs in which an order or a run failed for want of gas, a gas came to its heel, or another gas stood in:
    /// their demand is cut short.
    pub cut_short: Chance,
    /// Which those jobs are, in the order of the jobs.
    pub is_cut_short: Vec<bool>,
}

/// A minimum that is posted.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Of what, in words.
    pub words: String,
    /// The gases whose stock together is held against it; places in the list.
    pub gases: Vec<usize>,
    /// How much must lie in their banks for a dive to start or to go on, what cannot be drawn with it, mol.
    pub mol: f64,
    /// What of that is for the way home, mol: once the last dive is over it may be used.
    pub home_mol: f64,
}

impl Floor {
    /// What must lie there while dives are to come, or after the last, mol.
    pub fn least_mol(&self, diving: bool) -> f64 {
        self.mol - if diving { 0.0 } else { self.home_mol }
    }

    /// Whether a stock is below it while dives are to come, or after the last; `left` gives what is left of a gas, mol.
    pub fn is_above(&self, left: &dyn Fn(usize) -> f64, diving: bool) -> bool {
        self.gases.iter().map(|g| left(*g)).sum::<f64>() < self.least_mol(diving)
    }
}

/// What the stock is held against.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Floors {
    /// The minimums that the stock meets at the start.
    pub posted: Vec<Floor>,
    /// Those that it does not meet at the start: no chance speaks of them.
    pub unmet: Vec<Floor>,
    /// What cannot be drawn of each gas, mol.
    pub heel_mol: Vec<f64>,
    /// Absorbent, and the minimum of it.
    pub absorbent: AbsorbentStock,
}

impl Floors {
    /// The highest minimum of one gas alone, mol; 0 where there is none.
    pub fn of_gas(&self, gas: usize) -> f64 {
        self.posted
            .iter()
            .filter(|f| f.gases == [gas])
            .map(|f| f.mol)
            .fold(0.0, f64::max)
    }

    /// What cannot be drawn of a gas, mol.
    pub fn heel(&self, gas: usize) -> f64 {
        self.heel_mol.get(gas).copied().unwrap_or(0.0)
    }

    /// Whether a stock is below one of the minimums; `left` gives what is left of a gas, mol.
    pub fn met(&self, left: &dyn Fn(usize) -> f64, diving: bool) -> bool {
        self.posted.iter().any(|f| f.is_above(left, diving))
    }

    /// The same for the minimums that a gas has part in.
    pub fn met_by(&self, gas: usize, left: &dyn Fn(usize) -> f64, diving: bool) -> bool {
        self.posted
            .iter()
            .any(|f| f.gases.contains(&gas) && f.is_above(left, diving))
    }
}

/// Stock of a gas at the end of a day; what it was last where the list ends sooner.
pub fn left_mol(job: &Replicate, gases: usize, gas: usize, day: usize) -> f64 {
    let days = job.left_mol.len() / gases.max(1);
    let day = day.min(days.saturating_sub(1));
    job.left_mol.get(day * gases + gas).copied().unwrap_or(0.0)
}

/// The most by which the stock of a gas fell below the start, mol.
pub fn demand_mol(job: &Replicate, gases: usize, gas: usize) -> f64 {
    let start = left_mol(job, gases, gas, 0);
    let each =
        (0..job.left_mol.len() / gases.max(1)).map(|day| start - left_mol(job, gases, gas, day));
    each.fold(0.0, f64::max)
}

/// Whether the stock of a job was too small to show what it would have drawn.
pub fn is_cut_short(job: &Replicate, gases: usize, floors: &Floors) -> bool {
    let days = job.left_mol.len() / gases.max(1);
    let at_heel = |g: usize| {
        let drawn = job
            .drawn
            .iter()
            .any(|d| usize::from(d.gas) == g && d.mol > 0.0);
        // A hair above the heel the stations have gone to another bank.
        drawn && (0..days).any(|day| left_mol(job, gases, g, day) < floors.heel(g) * NEAR_HEEL)
    };
    job.stopped_s.is_some() || job.stood_in || (0..gases).any(at_heel)
}

/// A stock within so much of its heel counts as run out (house rule).
const NEAR_HEEL: f64 = 1.02;

/// The answer of these jobs.
pub fn answer(
    ensemble: &Ensemble,
    jobs: &[Replicate],
    asked: (u64, u64),
    floors: &Floors,
) -> Answer {
    let gases = ensemble.gases.len();
    let days = ensemble.days();
    let each = |(g, gas): (usize, &Gas)| {
        let demand: Vec<f64> = jobs.iter().map(|r| demand_mol(r, gases, g)).collect();
        let drawn: f64 = jobs
            .iter()
            .flat_map(|r| &r.drawn)
            .filter(|d| usize::from(d.gas) == g)
            .map(|d| d.mol)
            .sum();
        let heel_mol = floors.heel(g);
        let first = first_days(
            jobs,
            days,
            &|r, day| floors.met_by(g, &|g| left_mol(r, gases, g, day), dives_to_come(r, day)),
            &|r, day| left_mol(r, gases, g, day) < heel_mol,
        );
        let burnt: Vec<f64> = match gas.duty {
            Duty::Oxygen => jobs.iter().map(|r| r.burnt_mol).collect(),
            _ => Vec::new(),
        };
        let burns = burnt.iter().any(|mol| *mol > 0.0);
        (drawn > 0.0 || burns).then(|| GasAnswer {
            burning: burns.then(|| estimate(&burnt)),
            start_mol: jobs.first().map_or(0.0, |r| left_mol(r, gases, g, 0)),
            start_by_hand_m3: by_hand_m3(ensemble, gas),
            purposes: purposes(jobs, g),
            returned: estimate(
                &jobs
                    .iter()
                    .map(|r| {
                        r.returned
                            .iter()
                            .filter(|d| usize::from(d.gas) == g)
                            // The sum of nothing is nothing, without a sign.
                            .fold(0.0, |sum, d| sum + d.mol)
                    })
                    .collect::<Vec<f64>>(),
            ),
            days: fan(jobs, gases, g, days),
            chance: chances_of(&first, days),
            first,
            correlations: correlations(&ensemble.sources, jobs, &demand),
            demand: estimate(&demand),
            minimum_mol: floors.of_gas(g),
            heel_mol,
            place: g,
            gas: gas.clone(),
        })
    };
    let below = |r: &Replicate, day: usize| {
        let diving = dives_to_come(r, day);
        floors.met(&|g| left_mol(r, gases, g, day), diving)
            || floors.absorbent.is_below(changed_kg(r, day), diving)
    };
    let stopped = |r: &Replicate, day: usize| r.stopped_s.is_some_and(|s| s <= day as i64 * DAY_S);
    let count = |is: &dyn Fn(&Replicate) -> bool| {
        Chance::of(
            jobs.iter().filter(|r| is(r)).count() as u64,
            jobs.len() as u64,
        )
    };
    let first = first_days(jobs, days, &below, &stopped);
    let is_cut_short: Vec<bool> = jobs
        .iter()
        .map(|r| is_cut_short(r, gases, floors))
        .collect();
    Answer {
        jobs: jobs.len(),
        asked,
        gases: ensemble.gases.iter().enumerate().filter_map(each).collect(),
        others: others(ensemble, jobs),
        absorbent: absorbent(&ensemble.base.steel, jobs, days, &floors.absorbent),
        chance: chances_of(&first, days),
        first,
        floors: floors
            .posted
            .iter()
            .chain(&floors.unmet)
            .map(|f| of_floor(f, jobs, gases, days))
            .collect(),
        not_surfaced: count(&|r| r.how != How::Surfaced),
        cut_short: Chance::of(
            is_cut_short.iter().filter(|is| **is).count() as u64,
            jobs.len() as u64,
        ),
        is_cut_short,
    }
}

/// What lies in the banks of a gas at the start by the sum of published school exercises, m3.
fn by_hand_m3(ensemble: &Ensemble, gas: &Gas) -> f64 {
    let banks = gas.banks_of(&ensemble.base.steel);
    banks
        .map(|b| {
            let volume_m3 = b.volume_m3 * ensemble.ample();
            bank_m3(volume_m3, b.fill_gauge_pa, 0.0)
        })
        .sum()
}

fn of_floor(floor: &Floor, jobs: &[Replicate], gases: usize, days: usize) -> (Floor, bool, Chance) {
    let below = |r: &Replicate, day: usize| {
        floor.is_above(&|g| left_mol(r, gases, g, day), dives_to_come(r, day))
    };
    let hits = jobs
        .iter()
        .filter(|r| (0..=days).any(|day| below(r, day)))
        .count();
    (
        floor.clone(),
        jobs.iter().any(|r| below(r, 0)),
        Chance::of(hits as u64, jobs.len() as u64),
    )
}

fn purposes(jobs: &[Replicate], gas: usize) -> Vec<(Purpose, Estimate)> {
    let of = |r: &Replicate, purpose| {
        let found = r
            .drawn
            .iter()
            .find(|d| usize::from(d.gas) == gas && d.purpose == purpose);
        found.map_or(0.0, |d| d.mol)
    };
    Purpose::ALL
        .into_iter()
        .filter(|p| jobs.iter().any(|r| of(r, *p) > 0.0))
        .map(|p| {
            (
                p,
                estimate(&jobs.iter().map(|r| of(r, p)).collect::<Vec<f64>>()),
            )
        })
        .collect()
}

/// The stock day by day over all jobs, mol.
pub fn fan(jobs: &[Replicate], gases: usize, gas: usize, days: usize) -> Vec<FanDay> {
    let day = |d: usize| {
        let left: Vec<f64> = jobs.iter().map(|r| left_mol(r, gases, gas, d)).collect();
        FanDay::of(d as u32, &left)
    };
    (0..=days).map(day).collect()
}

fn correlations(sources: &[Source], jobs: &[Replicate], demand: &[f64]) -> Vec<SourceCorrelation> {
    let each = |(i, source): (usize, &Source)| {
        let drawn: Vec<f64> = jobs
            .iter()
            .map(|r| r.draws.get(i).copied().unwrap_or(0.0))
            .collect();
        let rank = rank_correlation(&drawn, &told_apart(demand))?;
        Some(SourceCorrelation {
            source: source.name.clone(),
            rank,
        })
    };
    strongest_first(sources.iter().enumerate().filter_map(each).collect())
}

fn others(ensemble: &Ensemble, jobs: &[Replicate]) -> Vec<Other> {
    let other = |name, unit, of: &dyn Fn(&Replicate) -> f64| Other {
        name,
        unit,
        estimate: estimate(&jobs.iter().map(of).collect::<Vec<f64>>()),
    };
    let mut all = vec![
        other("length of the job", "d", &|r| {
            r.ended_s as f64 / DAY_S as f64
        }),
        other("bell runs gone through", "runs", &|r| {
            f64::from(r.runs_made)
        }),
        other("bell runs lost to weather", "runs", &|r| {
            f64::from(r.runs_weather)
        }),
        other("bell runs lost for want of gas", "runs", &|r| {
            f64::from(r.runs_gas)
        }),
        other("bell runs lost otherwise", "runs", &|r| {
            f64::from(r.runs_other)
        }),
        other("waiting on weather", "h", &|r| r.weather_s as f64 / 3600.0),
        other("divers' time in the water", "h", &|r| {
            r.water_s as f64 / 3600.0
        }),
        other("absorbent", "kg", &|r| r.absorbent_kg),
        other("carbon dioxide absorbed", "mol", &|r| r.absorbed_mol),
        other("oxygen used by divers", "mol", &|r| r.oxygen_used_mol),
        other("oxygen drawn in decompression", "mol", &|r| {
            r.oxygen_bleeding_mol
        }),
    ];
    if ensemble.base.study.burning.is_some() {
        all.push(other("oxygen for burning", "m3", &|r| {
            burnt_m3(&ensemble.base, r)
        }));
    }
    all
}

/// What each source alone does to the demand of each gas: all others as the scenario has them, this one at
/// the 5 % and 95 % points of its law. Two jobs a source; sources of chance within the job have none. The
/// list is gas by gas, in the order of the ensemble's gases, then the base's demand.
pub fn one_at_a_time(
    ensemble: &Ensemble,
    stop: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn() + Sync),
) -> Option<(Vec<Vec<OneAtATime>>, Vec<f64>)> {
    use rayon::prelude::*;
    let gases = ensemble.gases.len();
    let quarter_s = ensemble.quarter_s();
    let mut asked: Vec<Option<(usize, f64)>> = vec![None];
    for (i, source) in ensemble.sources.iter().enumerate() {
        if !matches!(source.varied, Varied::Chance(_)) {
            asked.extend([Some((i, LOW)), Some((i, HIGH))]);
        }
    }
    let one = |which: &Option<(usize, f64)>| {
        let sampled = match which {
            None => super::Sampled::default(),
            Some((i, share)) => super::only(&ensemble.sources[*i], *share, quarter_s)?,
        };
        let value = sampled.draws.first().copied();
        let (made, _) = ensemble
            .one(0, sampled, i64::MAX, &|| stop())
            .ok()
            .flatten()?;
        done();
        Some((
            value,
            (0..gases)
                .map(|g| demand_mol(&made, gases, g))
                .collect::<Vec<f64>>(),
        ))
    };
    let made: Vec<Option<(Option<f64>, Vec<f64>)>> = asked.par_iter().map(one).collect();
    let (_, base) = made.first()?.clone()?;
    let mut swung = vec![Vec::new(); gases];
    for (pair, which) in made[1..].chunks(2).zip(asked[1..].chunks(2)) {
        let (Some(Some((low_value, low))), Some(Some((high_value, high)))) =
            (pair.first(), pair.get(1))
        else {
            continue;
        };
        let Some(Some((i, _))) = which.first() else {
            continue;
        };
        let source = &ensemble.sources[*i];
        for (g, list) in swung.iter_mut().enumerate() {
            list.push(OneAtATime {
                source: source.name.clone(),
                low_input: told(source, *low_value),
                high_input: told(source, *high_value),
                low: low[g],
                high: high[g],
            });
        }
    }
    Some((swung.into_iter().map(super::widest_first).collect(), base))
}

/// The shares of its law at which a source is tried alone.
const LOW: f64 = 0.05;
const HIGH: f64 = 0.95;

/// A value of a source with its unit.
pub fn told(source: &Source, value: Option<f64>) -> String {
    let Some(value) = value else {
        return String::new();
    };
    match &source.varied {
        Varied::Breakdown { .. } if value == 0.0 => "never".to_owned(),
        Varied::Breakdown { .. } => format!("once, {value:.1} h"),
        Varied::Chance(_) => format!("{value:.0} h"),
        Varied::Input { unit, drawn, .. } => {
            let number = match unit.as_str() {
                "s" => return span(value),
                _ => format!("{:.*}", digits(value), value),
            };
            let sign = match drawn {
                deepstay_scenario::DrawnFor::Times => "x ",
                deepstay_scenario::DrawnFor::Plus if value >= 0.0 => "+",
                _ => "",
            };
            format!("{sign}{number} {unit}").trim_end().to_owned()
        }
    }
}

fn span(seconds: f64) -> String {
    if seconds.abs() >= 2.0 * DAY_S as f64 || seconds == 0.0 {
        format!("{:.1} d", seconds / DAY_S as f64)
    } else {
        format!("{:.2} h", seconds / 3600.0)
    }
}

fn digits(value: f64) -> usize {
    match value.abs() {
        v if v >= 100.0 => 0,
        v if v >= 10.0 => 1,
        _ => 2,
    }
}
