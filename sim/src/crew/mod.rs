//! Divers: metabolism, heat, oxygen dose, hours and days; which gas each one breathes now.
