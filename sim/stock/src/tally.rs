//! The sink of one job of an ensemble: the ledger, the stock day by day, and counts.

use super::absorbent::canisters;
use super::{Canister, Drawn, Gas, How, Replicate};
use deepstay_core::gas::Species;
use deepstay_core::record::{BellPhase, Entry, Flow, Ledger, Phase, Refused, Sink, Stopped, What};
use deepstay_core::units::{BankId, Place, Purpose};
use deepstay_job::{Ended, Job};
use deepstay_plant::{Duty, MAX_COMPARTMENTS, Steel};
use deepstay_scenario::Scenario;

const DAY_S: i64 = 86_400;

/// What is counted day by day beside the stock, in their order in [`Replicate::used_mol`].
pub const USES: [Use; 5] = [
    Use::Breathed,
    Use::Reclaimed,
    Use::MakeUp,
    Use::Oxygen,
    Use::Leaked,
];

/// A use that a look at the present can tell of.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
pub enum Use {
    /// Gas that divers in the water breathed, whether it came back or not.
    Breathed,
    /// Diver gas that reclaim brought back.
    Reclaimed,
    /// Gas drawn to hold depth.
    MakeUp,
    /// Oxygen drawn.
    Oxygen,
    /// What leaked from the steel.
    Leaked,
}

/// Takes the entries of one job.
pub struct Tally {
    ledger: Ledger,
    gas_of_bank: Vec<u8>,
    gases: usize,
    left: Vec<f64>,
    used: [f64; USES.len()],
    day: i64,
    left_mol: Vec<f64>,
    used_mol: Vec<f64>,
    bleeding: [bool; MAX_COMPARTMENTS],
    changed_kg: f64,
    made: Replicate,
    weather_since: Option<i64>,
    /// Whether a bank is one of divers' gas, by bank; empty where the stock has none.
    for_divers: Vec<bool>,
    stood_in: bool,
}

impl Tally {
    /// A tally of a job of this scenario whose stock has these gases.
    pub fn new(number: u64, scenario: &Scenario, gases: &[Gas]) -> Tally {
        let steel = &scenario.steel;
        let mut gas_of_bank = vec![0; steel.banks.len()];
        for (g, gas) in (0u8..).zip(gases) {
            for bank in &gas.banks {
                gas_of_bank[bank.index()] = g;
            }
        }
        let fitted = (0u8..).zip(canisters(steel));
        let canisters: Vec<Canister> = fitted
            .filter_map(|(compartment, kg)| {
                Some(Canister {
                    compartment,
                    kg: kg?,
                    changed: 0,
                })
            })
            .collect();
        let absorbent_kg = canisters.iter().map(|c| c.kg).sum();
        Tally {
            ledger: Ledger::new(scenario.start_second_of_day),
            gas_of_bank,
            gases: gases.len(),
            left: vec![0.0; gases.len()],
            used: [0.0; USES.len()],
            day: 0,
            left_mol: Vec::new(),
            used_mol: Vec::new(),
            bleeding: [false; MAX_COMPARTMENTS],
            changed_kg: 0.0,
            made: Replicate {
                number,
                absorbent_kg,
                canisters,
                ..Replicate::default()
            },
            weather_since: None,
            for_divers: for_divers(steel),
            stood_in: false,
        }
    }

    /// What the job left behind, once it is closed.
    pub fn done(mut self, job: &Job, days: usize) -> (Replicate, Ledger) {
        if let Some(since) = self.weather_since {
            self.made.weather_s += job.now() - since;
        }
        while self.left_mol.len() < (days + 1) * self.gases {
            self.turn_day();
        }
        let mut made = self.made;
        made.how = match job.ended() {
            Some(Ended::Surfaced) => How::Surfaced,
            Some(Ended::Died(..)) => How::BodyFailed,
            Some(Ended::PlanOver | Ended::BelowZero(_)) | None => How::PlanOver,
        };
        made.ended_s = job.now();
        made.stood_in = self.stood_in;
        made.left_mol = self.left_mol;
        made.used_mol = self.used_mol;
        let gas = |bank: BankId| self.gas_of_bank[bank.index()];
        for line in self.ledger.lines() {
            let mol = line.moles.total();
            match (line.from, line.to) {
                (Place::Bank(a), Place::Bank(b)) if gas(a) == gas(b) => {}
                (from, to) => {
                    if let Place::Bank(bank) = from {
                        add(&mut made.drawn, gas(bank), line.purpose, mol);
                    }
                    if let Place::Bank(bank) = to {
                        add(&mut made.returned, gas(bank), line.purpose, mol);
                    }
                }
            }
            if matches!(line.to, Place::Absorbent(_)) {
                made.absorbed_mol += line.moles[Species::Co2];
            }
            if Flow::Lost.counts(line.from, line.to) {
                add(&mut made.lost, 0, line.purpose, mol);
            }
        }
        (made, self.ledger)
    }

    fn turn_day(&mut self) {
        self.left_mol.extend_from_slice(&self.left);
        self.used_mol.extend_from_slice(&self.used);
        self.made.absorbent_changed_kg.push(self.changed_kg);
        self.day += 1;
    }

    fn moved(&mut self, from: Place, to: Place, purpose: Purpose, mol: f64) {
        if let Place::Bank(bank) = from {
            self.left[usize::from(self.gas_of_bank[bank.index()])] -= mol;
        }
        if let Place::Bank(bank) = to {
            self.left[usize::from(self.gas_of_bank[bank.index()])] += mol;
        }
        let from_bank = matches!(from, Place::Bank(_));
        let mut used = |of: Use| self.used[of as usize] += mol;
        match purpose {
            // From a bank on open circuit, or from the loop; what makes the loop up is not breathed yet.
            Purpose::DiverGas => {
                if !matches!(to, Place::Compartment(_)) {
                    used(Use::Breathed);
                }
                // On-board gas is taken where it is meant to be; any other stands in for what has run out.
                if let Place::Bank(bank) = from {
                    self.stood_in |= self.for_divers.get(bank.index()) == Some(&false);
                }
            }
            Purpose::Reclaimed => {
                used(Use::Breathed);
                used(Use::Reclaimed);
            }
            Purpose::MakeUp if from_bank => used(Use::MakeUp),
            Purpose::Oxygen if from_bank => used(Use::Oxygen),
            Purpose::Leak | Purpose::Fault | Purpose::Relief => used(Use::Leaked),
            _ => {}
        }
        if let (Purpose::Oxygen, Place::Bank(_), Place::Compartment(c)) = (purpose, from, to)
            && self.bleeding[c.index()]
        {
            self.made.oxygen_bleeding_mol += mol;
        }
    }

    fn stopped(&mut self, at: i64) {
        self.made.stopped_s.get_or_insert(at);
    }
}

/// Which banks divers in the water breathe from by their duty: divers' gas, and on-board gas.
fn for_divers(steel: &Steel) -> Vec<bool> {
    let any = steel.banks.iter().any(|b| b.duty == Duty::DiverGas);
    let meant = |b: &deepstay_plant::Bank| matches!(b.duty, Duty::DiverGas | Duty::OnBoard);
    if any {
        steel.banks.iter().map(meant).collect()
    } else {
        Vec::new()
    }
}

fn add(list: &mut Vec<Drawn>, gas: u8, purpose: Purpose, mol: f64) {
    match list
        .iter_mut()
        .find(|d| d.gas == gas && d.purpose == purpose)
    {
        Some(found) => found.mol += mol,
        None => list.push(Drawn { gas, purpose, mol }),
    }
}

impl Sink for Tally {
    fn take(&mut self, entry: Entry) {
        self.ledger.take(entry);
        if matches!(entry.what, What::BellPhase { .. }) {
            self.made.last_dive_s = entry.at;
        }
        // What moved up to midnight belongs to the day that ends.
        while entry.at > self.day * DAY_S {
            self.turn_day();
        }
        match entry.what {
            What::Opening {
                place: Place::Bank(bank),
                moles,
            } => {
                self.left[usize::from(self.gas_of_bank[bank.index()])] += moles.total();
            }
            What::Moved {
                from,
                to,
                purpose,
                moles,
            } => self.moved(from, to, purpose, moles.total()),
            What::Canister { compartment, .. } => {
                let mut fitted = self.made.canisters.iter_mut();
                let here = |c: &&mut Canister| usize::from(c.compartment) == compartment.index();
                if let Some(canister) = fitted.find(here) {
                    canister.changed += 1;
                    self.changed_kg += canister.kg;
                    self.made.absorbent_kg += canister.kg;
                }
            }
            What::BellPhase {
                phase: BellPhase::Done,
                ..
            } => self.made.runs_made += 1,
            What::BellStopped {
                why: Stopped::Weather,
                ..
            } => self.made.runs_weather += 1,
            What::BellStopped {
                why: Stopped::Gas, ..
            } => {
                self.made.runs_gas += 1;
                self.stopped(entry.at);
            }
            What::BellStopped { .. } => self.made.runs_other += 1,
            What::Refused {
                why: Refused::NoSupply,
                ..
            } => self.stopped(entry.at),
            What::Phase { compartment, phase } => {
                self.bleeding[compartment.index()] = phase == Phase::Decompression
            }
            What::Weather { stopped, .. } => match (stopped, self.weather_since) {
                (true, None) => self.weather_since = Some(entry.at),
                (false, Some(since)) => {
                    self.made.weather_s += entry.at - since;
                    self.weather_since = None;
                }
                _ => {}
            },
            What::DiverTotals {
                water_s, o2_mol, ..
            } => {
                self.made.water_s += water_s;
                self.made.oxygen_used_mol += o2_mol;
            }
            _ => {}
        }
    }
}
