//! Where the stock goes by the plan: one whole job taken up from a present, what each bank and gas holds on the way, and
//! whether that stays over the minimums that are posted. How sure that is, the study of many jobs says.

use super::{Ensemble, Floor, Floors};
use deepstay_core::record::{Entry, Sink, Stopped, What};
use deepstay_core::units::BankId;
use deepstay_job::{Ended, Halt, Job, Options};
use deepstay_rota::JobPlanner;
use deepstay_scenario::WholePresent;
use std::sync::Arc;

/// How often the stock is looked at, s: a minimum that is met again within is passed over.
const LOOK_S: i64 = 3 * 3600;

/// A bank on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct BankOutlook {
    /// Which.
    pub bank: BankId,
    /// Gauge pressure at the present and at the end, bar.
    pub gauge_bar: [f64; 2],
    /// What lies in it at the present and at the end, mol.
    pub mol: [f64; 2],
}

/// A minimum on the way.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorOutlook {
    /// The minimum, what cannot be drawn of its gases counted with it; its way home is held until the last dive.
    pub floor: Floor,
    /// Whether the stock met it as it was loaded.
    pub met_as_loaded: bool,
    /// What its gases hold at the present, at the least, and at the end, mol.
    pub mol: [f64; 3],
    /// When they hold least, s.
    pub least_s: i64,
    /// The first look at which they are below it, s.
    pub below_s: Option<i64>,
}

/// Where the stock goes.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// Second of the present.
    pub at_s: i64,
    /// Second at which the job ends.
    pub end_s: i64,
    /// Whether everybody is at the surface then.
    pub surfaced: bool,
    /// Seconds of the looks.
    pub looks_s: Vec<i64>,
    /// Gas by gas, in the order of the ensemble: what it holds at each look, mol.
    pub gases_mol: Vec<Vec<f64>>,
    /// Every bank.
    pub banks: Vec<BankOutlook>,
    /// Every minimum that a gas of the stock counts towards.
    pub floors: Vec<FloorOutlook>,
    /// Bell runs stopped or not begun for want of gas.
    pub runs_without_gas: u32,
}

impl Outlook {
    /// Whether a minimum is not held at some look, or a run is lost for want of gas.
    pub fn runs_short(&self) -> bool {
        self.runs_without_gas > 0 || self.floors.iter().any(|f| f.below_s.is_some())
    }
}

#[derive(Default)]
struct Dives {
    without_gas: u32,
    last_s: i64,
}

impl Sink for Dives {
    fn take(&mut self, entry: Entry) {
        match entry.what {
            What::BellStopped {
                why: Stopped::Gas | Stopped::GasUnfit,
                ..
            } => self.without_gas += 1,
            What::BellPhase { .. } => self.last_s = entry.at,
            _ => {}
        }
    }
}

/// Runs the plan from a present of the ensemble's scenario; none where it was told to stop.
pub fn outlook(
    ensemble: &Ensemble,
    floors: &Floors,
    present: &WholePresent,
    stop: &dyn Fn() -> bool,
) -> Option<Outlook> {
    let scenario = Arc::clone(&ensemble.base);
    let mut job = Job::from_present(Arc::clone(&scenario), present, Options::default());
    let mut dives = Dives::default();
    let mut planner = JobPlanner::wanted(job.scenario());
    let banks = || (0u8..).zip(&scenario.steel.banks).map(|(b, _)| BankId(b));
    let stands = |job: &Job| -> Vec<(f64, f64)> {
        let now = job.now();
        let gauge = |b: BankId| (job.plant().bank_pa(b, now) - scenario.steel.surface_pa) / 1e5;
        banks()
            .map(|b| (job.plant().bank_moles(b, now), gauge(b)))
            .collect()
    };
    let start = stands(&job);
    let mut looks: Vec<(i64, Vec<(f64, f64)>)> = vec![(present.at_s, start)];
    loop {
        if stop() {
            return None;
        }
        let halt = job.advance_planned(job.now() + LOOK_S, &mut dives, &mut planner);
        looks.push((job.now(), stands(&job)));
        if let Halt::Ended(_) = halt {
            break;
        }
    }
    let gas_at = |g: usize, look: &[(f64, f64)]| -> f64 {
        let banks = &ensemble.gases[g].banks;
        banks.iter().map(|b| look[b.index()].0).sum()
    };
    let gases_mol = (0..ensemble.gases.len())
        .map(|g| looks.iter().map(|(_, look)| gas_at(g, look)).collect())
        .collect();
    let of_floor = |floor: &Floor, met_as_loaded: bool| {
        let holds: Vec<(i64, f64)> = looks
            .iter()
            .map(|(at, look)| (*at, floor.gases.iter().map(|g| gas_at(*g, look)).sum()))
            .collect();
        let least = holds.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let least_mol = |at: i64| floor.least_mol(at < dives.last_s);
        let below = holds.iter().find(|(at, mol)| *mol < least_mol(*at));
        Some(FloorOutlook {
            floor: floor.clone(),
            met_as_loaded,
            mol: [holds.first()?.1, least.1, holds.last()?.1],
            least_s: least.0,
            below_s: below.map(|(at, _)| *at),
        })
    };
    let posted = floors.posted.iter().filter_map(|f| of_floor(f, true));
    let unmet = floors.unmet.iter().filter(|f| !f.gases.is_empty());
    let unmet = unmet.filter_map(|f| of_floor(f, false));
    let (first, last) = (&looks.first()?.1, &looks.last()?.1);
    Some(Outlook {
        at_s: present.at_s,
        end_s: job.now(),
        surfaced: job.ended() == Some(Ended::Surfaced),
        looks_s: looks.iter().map(|(at, _)| *at).collect(),
        gases_mol,
        banks: banks()
            .map(|bank| BankOutlook {
                bank,
                gauge_bar: [first, last].map(|look| look[bank.index()].1),
                mol: [first, last].map(|look| look[bank.index()].0),
            })
            .collect(),
        floors: posted.chain(unmet).collect(),
        runs_without_gas: dives.without_gas,
    })
}
