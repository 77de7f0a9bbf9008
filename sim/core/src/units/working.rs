//! Working formulas of the US Navy Diving Manual in its own units, kept apart from the exact
//! conversions because they round: 33 fsw or 14.7 psi to the atmosphere, 460 to the absolute
//! Fahrenheit scale. Two conventions in one sum are a few parts in a thousand of quiet error, so a
//! sum done the manual's way is done here, and everything else in SI. With them stand the volumes
//! that count water vapour and those that do not.

use super::{ATM_PA, R, ZERO_C_K};

/// Feet of sea water to one atmosphere (US Navy Diving Manual, working formulas).
pub const FSW_PER_ATM: f64 = 33.0;
/// Pounds per square inch to one atmosphere (the same).
pub const PSI_PER_ATM: f64 = 14.7;
/// Pounds per square inch to one foot of sea water (the same).
pub const PSI_PER_FSW: f64 = 0.445;
/// Degrees from zero Fahrenheit to absolute zero (the same).
pub const RANKINE_OFFSET_F: f64 = 460.0;

/// Absolute pressure, ata, at a depth, fsw: (D + 33)/33.
pub fn ata_of_fsw(depth_fsw: f64) -> f64 {
    (depth_fsw + FSW_PER_ATM) / FSW_PER_ATM
}

/// Depth, fsw, at an absolute pressure, ata.
pub fn fsw_of_ata(ata: f64) -> f64 {
    ata * FSW_PER_ATM - FSW_PER_ATM
}

/// Absolute pressure, ata, at a gauge pressure, psi: (p + 14.7)/14.7.
pub fn ata_of_psig(psig: f64) -> f64 {
    (psig + PSI_PER_ATM) / PSI_PER_ATM
}

/// Absolute temperature, degrees Rankine, from degrees Fahrenheit.
pub fn rankine_of_f(deg_f: f64) -> f64 {
    deg_f + RANKINE_OFFSET_F
}

/// Free gas, scf, to be had from bottles between two gauge pressures, psi, each of a floodable
/// volume, ft3: (Pc - Pm)/14.7 x FV x N. An ideal-gas sum, as the manual makes it: for helium at
/// 200 bar it promises a tenth too much.
pub fn usable_scf(from_psig: f64, down_to_psig: f64, floodable_ft3: f64, count: f64) -> f64 {
    (from_psig - down_to_psig).max(0.0) / PSI_PER_ATM * floodable_ft3 * count
}

/// Water vapour pressure of breathed-out gas, Pa: 47 mmHg at 37 degC (the convention of
/// respiratory physiology).
pub const BODY_WATER_PA: f64 = 47.0 * ATM_PA / 760.0;
/// Body temperature of the same convention, K.
pub const BODY_T_K: f64 = ZERO_C_K + 37.0;

/// Moles, ideal, of dry gas in a volume (m3) of moist gas at a total pressure (Pa), temperature (K)
/// and partial pressure of water vapour (Pa); none where it is all vapour.
pub fn dry_moles(volume_m3: f64, p_pa: f64, t_k: f64, p_water_pa: f64) -> f64 {
    (p_pa - p_water_pa).max(0.0) * volume_m3 / (R * t_k)
}

/// Moles, ideal, of all the gas in a volume (m3), vapour counted, at a pressure (Pa) and
/// temperature (K).
pub fn moist_moles(volume_m3: f64, p_pa: f64, t_k: f64) -> f64 {
    dry_moles(volume_m3, p_pa, t_k, 0.0)
}

/// Moles of dry gas in a volume (m3) breathed at body temperature and saturated (BTPS) at an
/// ambient pressure (Pa). At the surface the vapour is 6 % of the volume, at 300 msw 0.2 %.
pub fn dry_moles_btps(volume_m3: f64, p_ambient_pa: f64) -> f64 {
    dry_moles(volume_m3, p_ambient_pa, BODY_T_K, BODY_WATER_PA)
}
