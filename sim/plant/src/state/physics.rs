//! How gas and walls are treated.

use serde::{Deserialize, Serialize};

/// How the plant treats gas and walls; anything but the default is for checks against closed forms.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Physics {
    /// Equation of state.
    pub gas: GasModel,
    /// Heat exchange between gas and wall.
    pub wall: WallModel,
    /// Re-anchor every compartment every second: a check on the leaping, slow.
    pub anchor_each_second: bool,
}

/// Equation of state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum GasModel {
    /// Density virial.
    #[default]
    Real,
    /// Ideal gas.
    Ideal,
}

/// Heat exchange between gas and wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub enum WallModel {
    /// Natural convection.
    #[default]
    Natural,
    /// Gas stays at its temperature.
    Isothermal,
    /// No heat passes.
    Adiabatic,
    /// Fixed coefficient, W/(m2 K).
    Fixed(f64),
}
