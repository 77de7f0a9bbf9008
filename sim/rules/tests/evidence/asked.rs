//! Every row of every built-in set answers a question: a row that no question reaches would be printed and never asked.
//!
//! Which rows there are is the set's provenance, which names every section or does not compile. What is asked here with
//! `set.` is asked by some room of the program too, which the tests of the house hold: they read this file.

use deepstay_core::record::Phase;
use deepstay_rules::{RuleSet, builtin, builtin_names};
use std::collections::BTreeSet;

/// Every row that answers at some depth and hour, whatever is accepted.
fn answering(set: &RuleSet, all: &[String]) -> BTreeSet<String> {
    let mut ids: BTreeSet<String> = BTreeSet::new();
    for depth in (0..=330).map(f64::from) {
        ids.extend(set.compression(depth, all).into_iter().flat_map(|a| a.rows));
        ids.extend(
            set.decompression(depth, 0, all)
                .into_iter()
                .flat_map(|a| a.rows),
        );
        let need = set.emergency_decompression(depth, 0, all);
        ids.extend(need.into_iter().flat_map(|a| a.rows));
        ids.extend(
            set.excursion(depth, depth + 1.0, all)
                .into_iter()
                .flat_map(|a| a.rows),
        );
        ids.extend(set.climate(depth, all).into_iter().flat_map(|a| a.rows));
        ids.extend(
            set.working_time(depth, all)
                .into_iter()
                .flat_map(|a| a.rows),
        );
        ids.extend(
            set.saturation_length(depth, all)
                .into_iter()
                .flat_map(|a| a.rows),
        );
        for phase in [Phase::Compression, Phase::Storage, Phase::Decompression] {
            ids.extend(set.limits(phase, depth, all).into_iter().map(|l| l.id));
            ids.extend(
                set.depth_limits(phase, depth, depth, all)
                    .into_iter()
                    .map(|l| l.id),
            );
            ids.extend(set.rate_limits(phase, all).into_iter().map(|l| l.id));
        }
    }
    for open in [false, true] {
        ids.extend(set.bell_limits(open, all).into_iter().map(|l| l.id));
    }
    ids.extend(set.breathed_limits(all).into_iter().map(|l| l.id));
    ids.extend(set.storage_oxygen(all).map(|a| a.id));
    ids.extend(set.work_oxygen(3600, all).map(|a| a.id));
    ids.extend(set.gas_density(all).map(|a| a.by.id));
    ids.extend(set.mask_time(all).map(|a| a.by.id));
    ids.extend(set.decompression_start(all).map(|a| a.id));
    ids.extend(set.absorbent_change(all).map(|a| a.id));
    ids.extend(set.calibration_every_s(all).map(|a| a.id));
    ids.extend(set.log_every_s(all).map(|a| a.id));
    ids.extend(set.hygiene(all).map(|a| a.id));
    ids.extend(set.bell_crew(all).map(|a| a.by.id));
    ids.extend(set.co2_sizing(all).map(|a| a.id));
    ids.extend(set.co2_actual(all).map(|a| a.id));
    ids.extend(set.o2_sizing(all).map(|a| a.id));
    ids.extend(set.after_surfacing(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.contaminants(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.treatment_gas(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.surface_crew(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.monitoring(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.evacuation(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.umbilicals(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.fire_zone(all).of.into_iter().map(|a| a.by.id));
    ids.extend(set.gas_minimums().iter().map(|row| row.id.clone()));
    ids
}

#[test]
fn every_row_answers_a_question() {
    for name in builtin_names() {
        let set = builtin(name).expect("built in");
        let all: Vec<String> = set.provenance().into_iter().map(|row| row.id).collect();
        let answering = answering(&set, &all);
        // What a foot is stands behind every figure in feet.
        let silent: Vec<&String> = all
            .iter()
            .filter(|id| !answering.contains(*id) && *id != "usn.unit-table.foot")
            .collect();
        assert!(silent.is_empty(), "{name}: {silent:?}");
    }
}
