//! How much gas must be held, and the sums of the watch, as pure functions: the job, a stock study
//! and the posted list all use these. Each names its formula and source, here and in [`FORMULAS`].
//!
//! Unless a name says otherwise depths are msw by the school convention (10 msw = 1 bar, surface
//! 1 bar), volumes are m3 of free gas at 1 bar, and flows L/min. The handbook's examples stay in its
//! units (fsw, 33 to the atmosphere; ft3; psi, 14.7 to the atmosphere), because their printed answers
//! hang on them.

mod bill;
mod bottles;
mod chamber;
mod clock;
mod elsewhere;
mod handbook;
mod minimums;
mod mixing;
mod oxygen;

pub use bill::*;
pub use bottles::*;
pub use chamber::*;
pub use clock::*;
pub use deepstay_core::units::working::{
    ata_of_fsw as handbook_ata, scfm_at_fsw as breathing_scfm,
};
pub use elsewhere::*;
pub use handbook::*;
pub use minimums::*;
pub use mixing::*;
pub use oxygen::*;

use deepstay_core::Status;

/// A working diver's breathing, L/min at depth: the trade's planning figure (answers of published
/// school exercises; seen there). The document behind it, IMCA D 022, is from memory.
pub const WORKING_L_MIN: f64 = 35.0;
/// A diver's breathing on bail-out, L/min at depth (Brazil, NORMAM-222 of January 2025; seen).
pub const BAIL_OUT_L_MIN: f64 = 40.0;
/// Least a supply must deliver to a diver, L/min at depth (Canada-NL, SOR/2021-247, 172(1)(k); seen).
pub const LEAST_SUPPLY_L_MIN: f64 = 62.5;
/// Breathing on a mask at rest, L/min at depth (IMCA D 022; recalled, mark wherever it shows).
pub const BIBS_L_MIN_RECALLED: f64 = 20.0;
/// Oxygen or carbon dioxide of a person for sizing, L/min of free gas: 30 L/h (France, order of 30 October 2012, art. 33;
/// seen).
pub const SIZING_L_MIN: f64 = 0.5;
/// A diver's breathing by the handbook, ft3/min at depth: 1.4 (US Navy Diving Manual, 15-8; seen).
pub const HANDBOOK_ACFM: f64 = 1.4;
/// A working diver's breathing in ft3/min by the school deck: 1.25 (seen there).
pub const WORKING_ACFM: f64 = 1.25;

/// A formula with its source, for reports and `explain`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Formula {
    /// Name of the function.
    pub name: &'static str,
    /// The formula in words and symbols.
    pub formula: &'static str,
    /// Document.
    pub document: &'static str,
    /// How it came to us.
    pub status: Status,
}

const fn of(
    name: &'static str,
    formula: &'static str,
    document: &'static str,
    status: Status,
) -> Formula {
    Formula {
        name,
        formula,
        document,
        status,
    }
}

/// Every formula of this module.
pub const FORMULAS: &[Formula] = &[
    of(
        "chamber_emergency_m3",
        "2 V D/10",
        "Canada, SOR/88-600, s. 22(1)(a)(iii)(D)",
        Status::Seen,
    ),
    of(
        "bell_survival_s",
        "24 h",
        "Canada, SOR/88-600, s. 22(1)(a)(iii)(A) and s. 14(c)",
        Status::Seen,
    ),
    of(
        "bell_survival_severed_s",
        "12 h, or 1 h + 2 t with two independent means of retrieval",
        "46 CFR 197.330(a)(8)",
        Status::Seen,
    ),
    of(
        "reclaim_bypass_m3",
        "N q P t",
        "Canada, SOR/88-600, s. 21 and s. 22(1)(a)(iii)(C)",
        Status::Seen,
    ),
    of(
        "bibs_m3",
        "N q P 240 min",
        "AODC 014, July 1983 (opening)",
        Status::Seen,
    ),
    of(
        "least_supply_l_min",
        "62.5 P",
        "Canada-NL, SOR/2021-247, 172(1)(k)",
        Status::Seen,
    ),
    of(
        "bail_out_s",
        "V (p_fill - P - p_reg) / (40 P)",
        "Brazil, NORMAM-222 of January 2025",
        Status::Seen,
    ),
    of(
        "bail_out_umbilical_m",
        "10 m/min times bail-out minutes",
        "Brazil, NORMAM-222 of January 2025",
        Status::Derived,
    ),
    of(
        "escape_sets_m3",
        "N 60 L/min 30 min",
        "Brazil, NORMAM-222 of January 2025, 11.7",
        Status::Seen,
    ),
    of("lock_cycle_m3", "V D/10", "Boyle's law", Status::Derived),
    of("press_m3", "V D/10", "Boyle's law", Status::Derived),
    of("breathed_m3", "N q P t", "Boyle's law", Status::Derived),
    of("leak_m3", "k V P t", "Boyle's law", Status::Derived),
    of(
        "bill_of_gas",
        "V D/10 (1 - C) + V D/10 C + d k V P + N q_O d + V_b dD/10 n + n N q P t (1 - R) + V p ln((P1 - p)/(P2 - p))",
        "GB 18985-2021, 5.6: inputs seen, equations not (a reconstruction)",
        Status::Derived,
    ),
    of(
        "person_sizing_m3",
        "N 0.5 L/min t",
        "France, order of 30 October 2012, art. 33",
        Status::Seen,
    ),
    of(
        "diver_gas_m3",
        "N 35 L/min (1 + D/10) t",
        "Published school exercises with answers",
        Status::Seen,
    ),
    of(
        "decompression_oxygen_m3",
        "V p ln((P1 - p)/(P2 - p)) + N m t",
        "Mass balance of a mixed chamber held at one ppO2 while it is bled",
        Status::Derived,
    ),
    of(
        "switch_depth_msw",
        "10 (p/f - 1)",
        "Dalton's law; printed switches in PMC9767825, Table 8",
        Status::Derived,
    ),
    of(
        "fire_zone_depth_fsw",
        "33 p/f - 33",
        "US Navy Diving Manual, 15-17",
        Status::Seen,
    ),
    of(
        "emergency_gas_window_fsw",
        "33 (0.16/f - 1) to 33 (1.25/f - 1)",
        "US Navy Diving Manual, 15-15",
        Status::Seen,
    ),
    of(
        "manifold_minimum_psi",
        "0.445 D + over-bottom pressure",
        "US Navy Diving Manual, 15-8",
        Status::Seen,
    ),
    of(
        "emergency_supply_min",
        "(usable + 14.7)/14.7 V / (q ata)",
        "US Navy Diving Manual, 15-8",
        Status::Seen,
    ),
    of(
        "supply_minimum_psi",
        "scf 14.7/V + least manifold",
        "US Navy Diving Manual, Revision 4, pp. 8-2, 8-3",
        Status::Seen,
    ),
    of(
        "exhaust_time_s",
        "60 V dP / (R (D + 33))",
        "US Navy Diving Manual, Revision 4, p. 22-17",
        Status::Seen,
    ),
    of(
        "chamber_primary_air_scf",
        "5 Vil + 10 Vol + 45390",
        "US Navy Diving Manual, 22-4",
        Status::Seen,
    ),
    of(
        "chamber_secondary_air_scf",
        "5 Vil + 5 Vol + 70.4 scfm 60 min",
        "US Navy Diving Manual, 22-4",
        Status::Derived,
    ),
];

/// Absolute pressure at a depth by the school convention, bar: 1 + D/10.
pub fn school_bar(depth_msw: f64) -> f64 {
    1.0 + depth_msw / 10.0
}
