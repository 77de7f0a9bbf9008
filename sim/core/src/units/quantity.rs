//! Quantities as distinct types: absolute, gauge and partial pressure, msw and fsw, amounts,
//! volumes, temperature. Each holds one SI number; each conversion names its convention.

use serde::{Deserialize, Serialize};

/// Standard atmosphere, Pa (exact by definition, ISO 2533).
pub const ATM_PA: f64 = 101_325.0;
/// One millimetre of mercury, Pa: a 760th of a standard atmosphere (NIST SP 811, appendix B.8, to six figures).
pub const MMHG_PA: f64 = ATM_PA / 760.0;
/// One bar, Pa.
pub const BAR_PA: f64 = 1e5;
/// One metre of sea water as a unit of pressure: 10 kPa (France, sat annex; GB 18985: 10 m = 1 bar).
pub const MSW_PA: f64 = 1e4;
/// One foot of sea water by the handbook's working rule, 33 fsw = 1 atm: 101 325 / 33 Pa.
pub const FSW_PER_ATM_PA: f64 = ATM_PA / 33.0;
/// One foot of sea water by the handbook's unit table: 0.30643 msw (second-hand).
pub const FSW_BY_MSW_PA: f64 = 0.30643 * MSW_PA;
/// Molar gas constant, J/(mol K) (exact, SI 2019).
pub const R: f64 = 8.314_462_618_153_24;
/// Zero of the Celsius scale, K.
pub const ZERO_C_K: f64 = 273.15;

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident: $unit:literal;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        pub struct $name(pub f64);

        impl $name {
            #[doc = concat!("The plain number, ", $unit, ".")]
            pub fn get(self) -> f64 {
                self.0
            }
        }
    )*};
}

quantities! {
    /// Absolute pressure, Pa.
    AbsPressure: "Pa";
    /// Pressure above the surroundings of the gauge, Pa.
    GaugePressure: "Pa";
    /// Partial pressure, Pa: mole fraction times absolute pressure.
    PartialPressure: "Pa";
    /// A depth in metres of sea water: gauge pressure over 10 kPa.
    Msw: "msw";
    /// A depth in feet of sea water; the convention is chosen on conversion.
    Fsw: "fsw";
    /// Amount of substance, mol.
    Moles: "mol";
    /// Actual (geometric or floodable) volume, m3.
    Volume: "m3";
    /// Absolute temperature, K.
    Temperature: "K";
    /// Mole fraction or other share, 0 to 1.
    Fraction: "0..1";
    /// Length of time in whole seconds is `i64`; this is for rates, s.
    Seconds: "s";
    /// Rate of change of depth, msw per second.
    DepthRate: "msw/s";
}

/// How feet of sea water turn into pressure; the two differ by 0.2 %. Whatever names none counts by the unit table, in
/// which the manual's depths are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum FswConvention {
    /// 33 fsw = 1 atm (US Navy Diving Manual working formulas).
    PerAtmosphere,
    /// 1 fsw = 0.30643 msw (the manual's unit table, second-hand); 33.066 fsw to the atmosphere.
    #[default]
    UnitTable,
}

/// The reference at which a free gas volume is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum FreeReference {
    /// 0 degC, 1.01325 bar (STPD).
    Stpd,
    /// 15 degC, 1.01325 bar.
    Normal15,
    /// 15 degC, 1 bar: how the trade counts bottles.
    Bar15,
}

impl FreeReference {
    /// Ideal-gas moles in one cubic metre at the reference, mol/m3.
    pub fn mol_per_m3(self) -> f64 {
        match self {
            FreeReference::Stpd => ATM_PA / (R * ZERO_C_K),
            FreeReference::Normal15 => ATM_PA / (R * (ZERO_C_K + 15.0)),
            FreeReference::Bar15 => BAR_PA / (R * (ZERO_C_K + 15.0)),
        }
    }
}

impl Msw {
    /// Absolute pressure at this depth over the given surface pressure.
    pub fn absolute(self, surface: AbsPressure) -> AbsPressure {
        AbsPressure(surface.0 + self.0 * MSW_PA)
    }

    /// The same pressure in feet of sea water.
    pub fn fsw(self, convention: FswConvention) -> Fsw {
        Fsw(self.0 * MSW_PA / convention.pa_per_fsw())
    }
}

impl Fsw {
    /// The same pressure in metres of sea water.
    pub fn msw(self, convention: FswConvention) -> Msw {
        Msw(self.0 * convention.pa_per_fsw() / MSW_PA)
    }
}

impl FswConvention {
    /// Pressure of one foot of sea water, Pa.
    pub fn pa_per_fsw(self) -> f64 {
        match self {
            FswConvention::PerAtmosphere => FSW_PER_ATM_PA,
            FswConvention::UnitTable => FSW_BY_MSW_PA,
        }
    }
}

impl AbsPressure {
    /// Depth equivalent over the given surface pressure.
    pub fn depth(self, surface: AbsPressure) -> Msw {
        Msw((self.0 - surface.0) / MSW_PA)
    }

    /// Value in bar.
    pub fn bar(self) -> f64 {
        self.0 / BAR_PA
    }
}

impl Moles {
    /// Ideal free volume at the stated reference, m3.
    pub fn free_m3(self, reference: FreeReference) -> f64 {
        self.0 / reference.mol_per_m3()
    }
}
