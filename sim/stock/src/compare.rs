//! What if: the same jobs, drawn alike, with inputs set otherwise; told as the difference job by job.

use super::{Estimate, Gas, Replicate, demand_mol, estimate};

/// What a change of inputs does to the demand of one gas.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// Which gas.
    pub gas: Gas,
    /// Demand as the scenario has it, mol.
    pub base: Estimate,
    /// Demand with the inputs set, mol.
    pub changed: Estimate,
    /// Changed less base, job by job, mol.
    pub by: Estimate,
}

/// Gas by gas over the jobs that both have; gases that neither draws are left out.
pub fn compare(gases: &[Gas], base: &[Replicate], changed: &[Replicate]) -> Vec<Difference> {
    let pairs: Vec<(&Replicate, &Replicate)> = base
        .iter()
        .filter_map(|b| {
            let at = changed.binary_search_by_key(&b.number, |c| c.number).ok()?;
            Some((b, &changed[at]))
        })
        .collect();
    let each = |(g, gas): (usize, &Gas)| {
        let of = |r: &Replicate| demand_mol(r, gases.len(), g);
        let (from, to): (Vec<f64>, Vec<f64>) = pairs.iter().map(|(b, c)| (of(b), of(c))).unzip();
        let by: Vec<f64> = from.iter().zip(&to).map(|(b, c)| c - b).collect();
        let drawn = from.iter().chain(&to).any(|mol| *mol > 0.0);
        drawn.then(|| Difference {
            gas: gas.clone(),
            base: estimate(&from),
            changed: estimate(&to),
            by: estimate(&by),
        })
    };
    gases.iter().enumerate().filter_map(each).collect()
}
