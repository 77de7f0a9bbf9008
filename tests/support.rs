//! What several tests share: check-value files with their commented header, spreads, random whole jobs.

mod check_values;
pub mod jobs;
pub mod spread;

pub use check_values::{check_values, here};

/// A spread of one bare chamber: no valves, no machines, no leak, for closed forms.
pub fn bare_chamber(
    volume_m3: f64,
    wall_m2: f64,
    wall_j_k: f64,
    wall_ua_w_k: f64,
) -> deepstay::plant::Steel {
    use deepstay::plant::{Compartment, Steel};
    use deepstay::units::CompartmentKind;
    Steel {
        name: "bare".into(),
        compartments: vec![Compartment {
            name: "chamber".into(),
            kind: CompartmentKind::Living,
            volume_m3,
            rating_msw: 400.0,
            bunks: 6,
            places: 12,
            wall_m2,
            wall_j_k,
            wall_ua_w_k,
            leak_m2: 0.0,
            blow_down_m2: 1e-4,
            exhaust_m2: 1e-4,
            bleed_m2: 1e-5,
            drain_m2: 0.0,
            oxygen_m2: 1e-6,
            supply_over_pa: 1e6,
            sample_mol_s: 0.0,
            relief: None,
            drain_to: None,
            scrubber: None,
            climate: None,
            bell: None,
        }],
        deck_t_k: 303.15,
        surface_pa: 101_325.0,
        ..Steel::default()
    }
}
