//! Conversions and working formulas against the printed examples of the US Navy Diving Manual
//! (chapters 2, 12, 15 and 16; the edition of the copies read is not stated) unless a line says
//! otherwise.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use deepstay_core::units::text::{Depth, DepthRate, Gauge, Partial, Temperature};
use deepstay_core::units::{ATM_PA, FreeReference, Fsw, FswConvention, Moles, Msw, working};

fn pa(text: &str) -> f64 {
    text.parse::<Partial>().unwrap().0
}

/// Chapter 15: 0.005 ata is 3.8 mmHg; 0.02 and 0.06 ata are 15.2 and 45.6 mmHg.
#[test]
fn carbon_dioxide_pairs() {
    for (ata, mmhg) in [
        ("0.005 ata", "3.8 mmHg"),
        ("0.02 ata", "15.2 mmHg"),
        ("0.06 ata", "45.6 mmHg"),
    ] {
        assert_relative_eq!(pa(ata), pa(mmhg), max_relative = 1e-12);
    }
}

/// 843 mb is 0.832 ata; one atmosphere is 1013 mb.
#[test]
fn millibars_and_atmospheres() {
    assert_abs_diff_eq!(pa("843 mbar") / ATM_PA, 0.832, epsilon = 5e-4);
    assert_abs_diff_eq!(ATM_PA / 100.0, 1013.0, epsilon = 0.5);
}

/// 132 fsw is 5 ata and 1.4 acfm there 7.0 scfm; 300 fsw is 10.09 ata and 14.13 scfm.
#[test]
fn depth_and_consumption() {
    assert_relative_eq!(working::ata_of_fsw(132.0), 5.0, max_relative = 1e-12);
    assert_relative_eq!(1.4 * working::ata_of_fsw(132.0), 7.0, max_relative = 1e-12);
    assert_abs_diff_eq!(working::ata_of_fsw(300.0), 10.09, epsilon = 5e-3);
    assert_abs_diff_eq!(1.4 * working::ata_of_fsw(300.0), 14.13, epsilon = 5e-3);
}

/// 0.48 ata of oxygen is 6 % at 231 fsw; 16 % gas is 0.16 to 1.25 ata from 0 to 224 fsw, 4 % from 99
/// to 998 fsw, both printed cut to the foot.
#[test]
fn depths_of_a_partial_pressure() {
    assert_relative_eq!(
        working::fsw_of_ata(0.48 / 0.06),
        231.0,
        max_relative = 1e-12
    );
    assert_abs_diff_eq!(working::fsw_of_ata(1.25 / 0.16).floor(), 224.0);
    assert_abs_diff_eq!(working::fsw_of_ata(0.16 / 0.04), 99.0, epsilon = 1e-9);
    assert_abs_diff_eq!(working::fsw_of_ata(1.25 / 0.04).floor(), 998.0);
}

/// A gauge of 2000 psi is 137 ata.
#[test]
fn gauge_pounds() {
    assert_abs_diff_eq!(working::ata_of_psig(2000.0), 137.0, epsilon = 0.5);
}

/// A bail-out bottle of 0.399 ft3 and 3000 psig at 300 fsw: least pressure 300 x 0.445 + 185 = 319
/// psi; the print counts (2681 + 14.7)/14.7 bottle volumes, 73.2 scf and 5.18 min, one volume more
/// than can come out; the difference of pressures gives 72.8 scf and 5.15 min.
#[test]
fn bail_out_bottle() {
    let least_psig = (300.0 * working::PSI_PER_FSW + 185.0).ceil();
    assert_eq!(least_psig, 319.0);
    let scf = working::usable_scf(3000.0, least_psig, 0.399, 1.0);
    assert_abs_diff_eq!(scf, 72.8, epsilon = 0.05);
    assert_abs_diff_eq!(scf + 0.399, 73.2, epsilon = 0.05);
    let scfm = 1.4 * working::ata_of_fsw(300.0);
    assert_abs_diff_eq!((scf + 0.399) / scfm, 5.18, epsilon = 5e-3);
}

/// Chapter 2 (recalled): a 20 ft3 bank at 2200 psig cooled from 160 to 75 degF reads 1911 psia and
/// holds 2575.8 scf at 70 degF, 14.7 psia; a flask of 3000 psig at 72 degF reads 3555 psig at 170.
#[test]
fn pressure_and_temperature_of_a_flask() {
    let psia = (2200.0 + working::PSI_PER_ATM) * working::rankine_of_f(75.0)
        / working::rankine_of_f(160.0);
    assert_abs_diff_eq!(psia, 1911.0, epsilon = 0.5);
    let scf = psia / working::PSI_PER_ATM * 20.0 * working::rankine_of_f(70.0)
        / working::rankine_of_f(75.0);
    assert_abs_diff_eq!(scf, 2575.8, epsilon = 0.5);
    let hot = (3000.0 + working::PSI_PER_ATM) * working::rankine_of_f(170.0)
        / working::rankine_of_f(72.0);
    assert_abs_diff_eq!(hot - working::PSI_PER_ATM, 3555.0, epsilon = 0.5);
}

/// The manual's unit table (second-hand): 1 fsw = 0.30643 msw, 1 msw = 3.2633 fsw, 0.44444 psi a
/// foot. It and the 33 fsw of the working formulas are 0.2 % apart.
#[test]
fn two_feet_of_sea_water() {
    let table = FswConvention::UnitTable;
    assert_relative_eq!(Fsw(1.0).msw(table).0, 0.306_43, max_relative = 1e-12);
    assert_abs_diff_eq!(Msw(1.0).fsw(table).0, 3.2633, epsilon = 1e-4);
    let psi = "1 psi".parse::<Gauge>().unwrap().0;
    assert_abs_diff_eq!(table.pa_per_fsw() / psi, 0.444_44, epsilon = 1e-5);
    let apart = FswConvention::PerAtmosphere.pa_per_fsw() / table.pa_per_fsw() - 1.0;
    assert_abs_diff_eq!(apart, 0.002, epsilon = 1e-4);
    let atmosphere = ATM_PA / 1e4 / 0.306_43;
    assert_abs_diff_eq!(atmosphere, 33.066, epsilon = 5e-4);
    for (text, msw) in [("1000 fsw", 306.43), ("33 fsw", 33.0 * 0.306_43)] {
        assert_relative_eq!(text.parse::<Depth>().unwrap().0, msw, max_relative = 1e-12);
    }
    assert_relative_eq!(
        "60 fsw/min".parse::<DepthRate>().unwrap().0,
        0.306_43,
        max_relative = 1e-12
    );
}

/// The fixed points of the Fahrenheit scale.
#[test]
fn fahrenheit() {
    assert_abs_diff_eq!(
        "32 degF".parse::<Temperature>().unwrap().0,
        273.15,
        epsilon = 1e-9
    );
    assert_abs_diff_eq!(
        "212 degF".parse::<Temperature>().unwrap().0,
        373.15,
        epsilon = 1e-9
    );
}

/// CODATA 2018: 22.413 969 54 L/mol at 0 degC and 1 atm. BTPS to STPD at 760 mmHg is the factor
/// 0.826 of respiratory physiology.
#[test]
fn free_and_moist_volumes() {
    let litres = 1000.0 * Moles(1.0).free_m3(FreeReference::Stpd);
    assert_relative_eq!(litres, 22.413_969_54, max_relative = 1e-9);
    let stpd = Moles(working::dry_moles_btps(1.0, ATM_PA)).free_m3(FreeReference::Stpd);
    assert_abs_diff_eq!(stpd, 0.826, epsilon = 5e-4);
    assert_eq!(working::dry_moles_btps(1.0, 1000.0), 0.0);
    let moist = working::moist_moles(1.0, ATM_PA, 273.15);
    assert_relative_eq!(
        Moles(moist).free_m3(FreeReference::Stpd),
        1.0,
        max_relative = 1e-12
    );
}
