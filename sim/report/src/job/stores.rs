//! Absorbent in kilograms and canisters, and lock runs by kind, counted from the record.

use super::inputs::Inputs;
use crate::kit::places::round;
use deepstay_core::gas::Species;
use deepstay_core::units::{CompartmentId, CompartmentKind, FREE, Moles, Place};
use deepstay_core::words::{Names, Words};
use serde::Serialize;

/// Absorbent and lock runs of a job.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct StoresSummary {
    /// By compartment with a scrubber, in the spread's order.
    pub absorbent: Vec<AbsorbentSummary>,
    /// Canisters changed, all together.
    pub canisters_changed: u64,
    /// Absorbent used: those changed, and the charge that each scrubber began with, kg.
    pub absorbent_kg: f64,
    /// Runs of each lock, by what they were for.
    pub lock_runs: Vec<LockRuns>,
}

/// Absorbent of one scrubber.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AbsorbentSummary {
    /// Where.
    pub compartment: String,
    /// In one canister, kg.
    pub canister_kg: f64,
    /// Canisters changed.
    pub changed: u64,
    /// Used: those changed and the first, kg.
    pub kg: f64,
    /// Hours that the changed ones had run, on average; none if none was changed.
    pub mean_hours: Option<f64>,
    /// Carbon dioxide taken, mol.
    pub co2_mol: f64,
    /// The same to each kilogram used, litres of free gas.
    pub co2_l_per_kg: f64,
}

/// Runs of one lock for one purpose.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LockRuns {
    /// Which lock.
    pub lock: String,
    /// What for.
    pub what: &'static str,
    /// How many.
    pub runs: u64,
}

impl StoresSummary {
    /// Counts them.
    pub fn of(inputs: &Inputs<'_>) -> StoresSummary {
        let (subject, record) = (inputs.subject, inputs.record);
        let absorbent = (0u8..).zip(&subject.compartments).filter_map(|(i, label)| {
            let (at, canister_kg) = (CompartmentId(i), label.canister_kg?);
            let out = record.stores.canisters(at);
            let co2 = record.ledger.sum_where(|l| l.to == Place::Absorbent(at))[Species::Co2];
            let kg = canister_kg * (out.changed + 1) as f64;
            let litres = Moles(co2).free_m3(FREE) * 1e3;
            Some(AbsorbentSummary {
                compartment: subject.compartment(at),
                canister_kg: round(canister_kg, 1e3),
                changed: out.changed,
                kg: round(kg, 1e3),
                mean_hours: (out.changed > 0).then(|| round(out.hours / out.changed as f64, 1e2)),
                co2_mol: round(co2, 1e3),
                co2_l_per_kg: if kg > 0.0 {
                    round(litres / kg, 1e1)
                } else {
                    0.0
                },
            })
        });
        let absorbent: Vec<AbsorbentSummary> = absorbent.collect();
        let is_lock = |at: CompartmentId| {
            use CompartmentKind::{EquipmentLock, MedicalLock};
            let label = subject.compartments.get(at.index());
            label.is_some_and(|c| matches!(c.kind, MedicalLock | EquipmentLock))
        };
        let runs = record.stores.runs().filter(|(at, ..)| is_lock(*at));
        StoresSummary {
            canisters_changed: absorbent.iter().map(|a| a.changed).sum(),
            absorbent_kg: round(absorbent.iter().map(|a| a.kg).sum(), 1e3),
            absorbent,
            lock_runs: runs
                .map(|(at, what, runs)| LockRuns {
                    lock: subject.compartment(at),
                    what: what.words(),
                    runs,
                })
                .collect(),
        }
    }

    /// Runs of all locks.
    pub fn runs(&self) -> u64 {
        self.lock_runs.iter().map(|l| l.runs).sum()
    }
}
