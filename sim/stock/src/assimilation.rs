//! From today: what the gauges and meters of a job under way say of the inputs that were assumed.
//!
//! Each observation (the net use of a gas by its banks' gauges, and each metered use) is held against what
//! the simulated job gives with every input in the middle of its law, and against how far it answers to each
//! input by itself; the laws are conditioned on that ([`Posterior`]).

use super::reserve::COUNTED_AT;
use super::{Ensemble, Posterior, Replicate, Sampled, Sampler, USES, Use, bank_mol, only};
use deepstay_scenario::{Present, Source, Varied};
use rayon::prelude::*;

/// One standard deviation below and above the middle of a law.
const SHARES: (f64, f64) = (0.158_655_253_931_457, 0.841_344_746_068_543);
/// Jobs from whose chance within (sea, breakdowns) the scatter of observations is reckoned.
const SCATTER_JOBS: u64 = 8;
/// What the scatter's seed differs by from the study's, so that its jobs are none of the study's.
const SCATTER_SEED: u64 = 0x5ca7;

/// One thing observed, as words, what was seen, what the middle of all laws would give, and the error, mol.
#[derive(Clone, Debug, PartialEq)]
pub struct Observed {
    /// What it is.
    pub what: Observation,
    /// As seen, mol.
    pub seen_mol: f64,
    /// As simulated with every input in the middle of its law, mol.
    pub middle_mol: f64,
    /// Standard deviation of the error of both together, mol.
    pub error_mol: f64,
}

/// What can be observed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Observation {
    /// Net use of a gas by its gauges; place in the list of gases.
    Net(usize),
    /// A metered use.
    Used(Use),
}

/// What the observations say of one input.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditioned {
    /// The source.
    pub source: Source,
    /// Its 5 %, 50 % and 95 % points as assumed.
    pub before: [f64; 3],
    /// The same once conditioned.
    pub after: [f64; 3],
    /// Standard deviation of its normal score once conditioned, 0 to 1; 1 says that the observations tell nothing of it.
    pub left: f64,
}

/// What is observed at the present, and what it does to the laws.
#[derive(Clone, Debug, PartialEq)]
pub struct Assimilation {
    /// What was observed.
    pub observed: Vec<Observed>,
    /// What it says of each input.
    pub conditioned: Vec<Conditioned>,
    /// The posterior laws.
    pub posterior: Posterior,
    /// What lies in the banks of each gas now, mol.
    pub now_mol: Vec<f64>,
}

/// What lies in the banks of each gas now, and what was taken on since the start, mol.
pub fn stands_mol(ensemble: &Ensemble, present: &Present) -> (Vec<f64>, Vec<f64>) {
    let steel = &ensemble.base.steel;
    let now = |b: &deepstay_core::units::BankId| {
        let bank = &steel.banks[b.index()];
        let seen = present.banks.iter().find(|s| s.bank == *b);
        let (gauge, t_k) = seen.map_or((bank.fill_gauge_pa, bank.t_k), |s| (s.gauge_pa, s.t_k));
        bank_mol(bank, steel.surface_pa, gauge, t_k)
    };
    let taken = |b: &deepstay_core::units::BankId| {
        let seen = present.banks.iter().find(|s| s.bank == *b);
        seen.map_or(0.0, |s| s.taken_on_m3 * COUNTED_AT.mol_per_m3())
    };
    let sum = |of: &dyn Fn(&deepstay_core::units::BankId) -> f64| {
        ensemble
            .gases
            .iter()
            .map(|g| g.banks.iter().map(of).sum())
            .collect()
    };
    (sum(&now), sum(&taken))
}

/// Observes the present and conditions the laws on it: two part jobs an input, and some for the chance of the sea; none where it was told
/// to stop, or where there is nothing to learn from.
pub fn assimilate(
    ensemble: &Ensemble,
    present: &Present,
    stop: &(dyn Fn() -> bool + Sync),
    done: &(dyn Fn() + Sync),
) -> Option<Assimilation> {
    let sources = &ensemble.sources;
    let at_middle = |without: Option<usize>| -> Sampled {
        let mut all = Sampled::default();
        for (i, source) in sources.iter().enumerate() {
            if Some(i) != without
                && let Some(one) = only_input(source, 0.5, ensemble)
            {
                all.changes.extend(one.changes);
            }
        }
        all
    };
    let mut asked: Vec<Sampled> = vec![at_middle(None)];
    let mut of_source = Vec::new();
    for (i, source) in sources.iter().enumerate() {
        for share in [SHARES.0, SHARES.1] {
            if let Some(one) = only_input(source, share, ensemble) {
                let mut sampled = at_middle(Some(i));
                sampled.changes.extend(one.changes);
                asked.push(sampled);
                of_source.push(i);
            }
        }
    }
    let first_scatter = asked.len();
    let sampler = Sampler::new(ensemble.seed() ^ SCATTER_SEED, ensemble.base.plan.end_s);
    for job in 0..SCATTER_JOBS {
        let mut sampled = sampler.sample(sources, job);
        sampled.changes = at_middle(None).changes;
        asked.push(sampled);
    }
    let run = |sampled: &Sampled| {
        let made = ensemble
            .one(0, sampled.clone(), present.at_s, &|| stop())
            .ok()
            .flatten();
        done();
        made.map(|(r, _)| r)
    };
    let made: Vec<Option<Replicate>> = asked.par_iter().map(run).collect();
    let made: Vec<Replicate> = made.into_iter().collect::<Option<_>>()?;
    let (now_mol, taken_mol) = stands_mol(ensemble, present);
    let mut list = observations(ensemble, present);
    // A gas that no job draws tells of no input; it is named only where its gauges say that some is gone.
    list.retain(|what| {
        let seen_mol = seen(*what, ensemble, present, &now_mol, &taken_mol);
        let drawn = simulated(*what, &made[0], ensemble, present).abs() > 1.0;
        drawn
            || matches!(what, Observation::Used(_))
            || seen_mol.abs() > 3.0 * measured(*what, seen_mol, ensemble, present)
    });
    let told = |job: &Replicate| -> Vec<f64> {
        list.iter()
            .map(|o| simulated(*o, job, ensemble, present))
            .collect()
    };
    let base = told(&made[0]);
    let mut answers = vec![vec![0.0; sources.len()]; list.len()];
    for (pair, ends) in of_source.chunks(2).zip(made[1..first_scatter].chunks(2)) {
        let (low, high) = (told(&ends[0]), told(&ends[1]));
        for (row, (l, h)) in answers.iter_mut().zip(low.iter().zip(&high)) {
            row[pair[0]] = (h - l) / 2.0;
        }
    }
    let scatter: Vec<Vec<f64>> = made[first_scatter..].iter().map(told).collect();
    let mut observed = Vec::new();
    for (k, what) in list.iter().enumerate() {
        let seen_mol = seen(*what, ensemble, present, &now_mol, &taken_mol);
        let of_chance = scatter
            .iter()
            .map(|s| (s[k] - base[k]) * (s[k] - base[k]))
            .sum::<f64>()
            / SCATTER_JOBS as f64;
        let of_meters = measured(*what, seen_mol, ensemble, present);
        observed.push(Observed {
            what: *what,
            seen_mol,
            middle_mol: base[k],
            error_mol: (of_chance + of_meters * of_meters).sqrt(),
        });
    }
    let column = |of: &dyn Fn(&Observed) -> f64| observed.iter().map(of).collect::<Vec<f64>>();
    let posterior = Posterior::new(
        base,
        answers,
        column(&|o| o.seen_mol),
        column(&|o| o.error_mol),
    )?;
    let conditioned = sources
        .iter()
        .zip(posterior.scores())
        .filter_map(|(source, (mean, sd))| conditioned(source, mean, sd))
        .collect();
    Some(Assimilation {
        observed,
        conditioned,
        posterior,
        now_mol,
    })
}

/// Only inputs can be conditioned; breakdowns so far are in the scatter.
fn only_input(source: &Source, share: f64, ensemble: &Ensemble) -> Option<Sampled> {
    matches!(source.varied, Varied::Input { .. })
        .then(|| only(source, share, ensemble.quarter_s()))
        .flatten()
}

fn conditioned(source: &Source, mean: f64, sd: f64) -> Option<Conditioned> {
    let Varied::Input { law, .. } = &source.varied else {
        return None;
    };
    let ends = [-1.644_853_626_951_472, 0.0, 1.644_853_626_951_472];
    let at = |score: f64| law.at(super::figures::share_below(score).clamp(1e-12, 1.0 - 1e-12));
    Some(Conditioned {
        before: ends.map(at),
        after: ends.map(|e| at(mean + sd * e)),
        left: sd,
        source: source.clone(),
    })
}

/// What can be observed: the net use of each gas with a gauge in the present, and what was metered.
fn observations(ensemble: &Ensemble, present: &Present) -> Vec<Observation> {
    let read = |g: &usize| {
        ensemble.gases[*g]
            .banks
            .iter()
            .any(|b| present.banks.iter().any(|s| s.bank == *b))
    };
    let nets = (0..ensemble.gases.len()).filter(read).map(Observation::Net);
    let used = USES
        .into_iter()
        .filter(|u| present.used_m3[*u as usize].is_some())
        .map(Observation::Used);
    nets.chain(used).collect()
}

/// Last line of what a part job kept day by day.
fn last(list: &[f64], width: usize, place: usize) -> f64 {
    list.len()
        .checked_sub(width)
        .and_then(|at| list.get(at + place))
        .copied()
        .unwrap_or(0.0)
}

fn simulated(what: Observation, job: &Replicate, ensemble: &Ensemble, present: &Present) -> f64 {
    let gases = ensemble.gases.len();
    let hours = |mol: f64| match present.in_water_s {
        Some(seen) if job.water_s > 0 => mol * seen as f64 / job.water_s as f64,
        _ => mol,
    };
    let used = |of: Use| last(&job.used_mol, USES.len(), of as usize);
    match what {
        Observation::Used(of @ (Use::Breathed | Use::Reclaimed)) => hours(used(of)),
        Observation::Used(of) => used(of),
        Observation::Net(g) => {
            let net = job.left_mol.get(g).copied().unwrap_or(0.0) - last(&job.left_mol, gases, g);
            if ensemble.gases[g].duty == deepstay_plant::Duty::DiverGas {
                hours(net)
            } else {
                net
            }
        }
    }
}

fn seen(
    what: Observation,
    ensemble: &Ensemble,
    present: &Present,
    now_mol: &[f64],
    taken_mol: &[f64],
) -> f64 {
    match what {
        Observation::Used(of) => {
            present.used_m3[of as usize].unwrap_or(0.0) * COUNTED_AT.mol_per_m3()
        }
        Observation::Net(g) => {
            ensemble.gases[g].loaded_mol(&ensemble.base.steel) + taken_mol[g] - now_mol[g]
        }
    }
}

/// Error of what was read or metered, mol.
fn measured(what: Observation, seen_mol: f64, ensemble: &Ensemble, present: &Present) -> f64 {
    match what {
        Observation::Used(_) => (seen_mol * present.error).abs().max(1.0),
        Observation::Net(g) => {
            let one = |bank: &deepstay_plant::Bank| {
                let off = bank_mol(bank, 0.0, present.gauge_error_pa, bank.t_k);
                off * off
            };
            let gauges: f64 = ensemble.gases[g]
                .banks_of(&ensemble.base.steel)
                .map(one)
                .sum();
            gauges.sqrt().max(1.0)
        }
    }
}
