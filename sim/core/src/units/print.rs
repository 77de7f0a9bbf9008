//! Numbers as text for a person, metric or imperial by one switch. What is printed here reads back
//! through [`super::text`] to the figures shown; feet of sea water are 33 to the atmosphere.

use serde::{Deserialize, Serialize};

use super::text::tables::{FOOT_M, FT3_M3, POUND_KG, PSI_PA};
use super::{
    ATM_PA, AbsPressure, BAR_PA, DepthRate, FreeReference, FswConvention, GaugePressure, Moles,
    Msw, PartialPressure, Temperature, Volume, ZERO_C_K,
};

/// In which units numbers are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Units {
    /// msw, bar, degC, m3, L/min, kg.
    #[default]
    Metric,
    /// fsw, psi and ata, degF, ft3, lb.
    Imperial,
}

/// What stands where a number is missing or is none.
pub const NO_VALUE: &str = "no value";

const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const CONVENTION: FswConvention = FswConvention::PerAtmosphere;

/// A number to some decimals with its unit; never a negative zero, and words for what is no number.
fn show(value: f64, decimals: usize, unit: &str) -> String {
    if !value.is_finite() {
        return NO_VALUE.to_owned();
    }
    let number = format!("{value:.decimals$}");
    let zero = number
        .trim_start_matches('-')
        .bytes()
        .all(|b| b == b'0' || b == b'.');
    let number = if zero {
        number.trim_start_matches('-')
    } else {
        &number
    };
    format!("{number} {unit}")
}

impl Units {
    /// Picks by the switch.
    fn either(self, metric: String, imperial: String) -> String {
        match self {
            Units::Metric => metric,
            Units::Imperial => imperial,
        }
    }

    /// A depth: `118.0 msw`, `384.3 fsw`.
    pub fn depth(self, depth: Msw) -> String {
        self.either(
            show(depth.0, 1, "msw"),
            show(depth.fsw(CONVENTION).0, 1, "fsw"),
        )
    }

    /// A rate of depth, by the hour, or by the minute where it is fast: `1.83 msw/h`, `6.0 fsw/h`.
    pub fn depth_rate(self, rate: DepthRate) -> String {
        const FAST_MSW_H: f64 = 30.0;
        let fsw = Msw(rate.0).fsw(CONVENTION).0;
        if rate.0.abs() * HOUR_S < FAST_MSW_H {
            self.either(
                show(rate.0 * HOUR_S, 2, "msw/h"),
                show(fsw * HOUR_S, 1, "fsw/h"),
            )
        } else {
            self.either(
                show(rate.0 * MINUTE_S, 2, "msw/min"),
                show(fsw * MINUTE_S, 1, "fsw/min"),
            )
        }
    }

    /// An absolute pressure: `12.81 bar`, `12.64 ata`.
    pub fn absolute(self, p: AbsPressure) -> String {
        self.either(show(p.0 / BAR_PA, 2, "bar"), show(p.0 / ATM_PA, 2, "ata"))
    }

    /// A gauge pressure: `200.0 bar`, `2901 psi`.
    pub fn gauge(self, p: GaugePressure) -> String {
        self.either(show(p.0 / BAR_PA, 1, "bar"), show(p.0 / PSI_PA, 0, "psi"))
    }

    /// A partial pressure of oxygen or diluent: `0.420 bar`, `0.415 ata`.
    pub fn partial(self, p: PartialPressure) -> String {
        self.either(show(p.0 / BAR_PA, 3, "bar"), show(p.0 / ATM_PA, 3, "ata"))
    }

    /// A small partial pressure, as of carbon dioxide: `4.0 mbar`, `3.0 mmHg`.
    pub fn small_partial(self, p: PartialPressure) -> String {
        let mmhg = p.0 * 760.0 / ATM_PA;
        self.either(show(p.0 * 1e3 / BAR_PA, 1, "mbar"), show(mmhg, 1, "mmHg"))
    }

    /// A temperature: `29.3 degC`, `84.7 degF`.
    pub fn temperature(self, t: Temperature) -> String {
        let celsius = t.0 - ZERO_C_K;
        self.either(
            show(celsius, 1, "degC"),
            show(celsius * 1.8 + 32.0, 1, "degF"),
        )
    }

    /// An actual volume: `20.0 m3`, `50.0 L` below one cubic metre, `706.3 ft3`.
    pub fn volume(self, v: Volume) -> String {
        let metric = if v.0.abs() < 1.0 {
            show(v.0 * 1e3, 1, "L")
        } else {
            show(v.0, 1, "m3")
        };
        self.either(metric, show(v.0 / FT3_M3, 1, "ft3"))
    }

    /// Moles as ideal free gas, with the reference it is counted at: `4123 m3 at 15 degC, 1 bar`.
    pub fn free_gas(self, n: Moles, reference: FreeReference) -> String {
        let m3 = n.free_m3(reference);
        let places = if m3.abs() < 10.0 { 2 } else { 0 };
        let volume = self.either(show(m3, places, "m3"), show(m3 / FT3_M3, 0, "ft3"));
        if m3.is_finite() {
            format!("{volume} at {}", reference.label(self))
        } else {
            volume
        }
    }

    /// A volume flow, m3/s, at the pressure it is said to flow at: `35.0 L/min`, `1.24 ft3/min`.
    pub fn flow(self, m3_s: f64) -> String {
        let a_minute = m3_s * MINUTE_S;
        let metric = if a_minute.abs() < 1.0 {
            show(a_minute * 1e3, 1, "L/min")
        } else {
            show(a_minute, 2, "m3/min")
        };
        self.either(metric, show(a_minute / FT3_M3, 2, "ft3/min"))
    }

    /// A mass, kg: `12.0 kg`, `26.5 lb`.
    pub fn mass(self, kg: f64) -> String {
        self.either(show(kg, 1, "kg"), show(kg / POUND_KG, 1, "lb"))
    }

    /// A length, m: `2.0 m`, `6.6 ft`.
    pub fn length(self, m: f64) -> String {
        self.either(show(m, 1, "m"), show(m / FOOT_M, 1, "ft"))
    }
}

/// A share as a percentage: `4.0 %`.
pub fn percent(share: f64) -> String {
    show(share * 100.0, 1, "%")
}

impl FreeReference {
    /// The reference in words: `15 degC, 1 bar`.
    pub fn label(self, units: Units) -> &'static str {
        match (self, units) {
            (FreeReference::Stpd, Units::Metric) => "0 degC, 1.013 bar, dry",
            (FreeReference::Normal15, Units::Metric) => "15 degC, 1.013 bar",
            (FreeReference::Bar15, Units::Metric) => "15 degC, 1 bar",
            (FreeReference::Stpd, Units::Imperial) => "32 degF, 1 ata, dry",
            (FreeReference::Normal15, Units::Imperial) => "59 degF, 1 ata",
            (FreeReference::Bar15, Units::Imperial) => "59 degF, 1 bar",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_switch_two_texts() {
        let both = |f: &dyn Fn(Units) -> String| [f(Units::Metric), f(Units::Imperial)];
        assert_eq!(both(&|u| u.depth(Msw(118.0))), ["118.0 msw", "384.3 fsw"]);
        assert_eq!(
            both(&|u| u.absolute(AbsPressure(1_281_325.0))),
            ["12.81 bar", "12.65 ata"]
        );
        assert_eq!(
            both(&|u| u.gauge(GaugePressure(2e7))),
            ["200.0 bar", "2901 psi"]
        );
        assert_eq!(
            both(&|u| u.partial(PartialPressure(42_000.0))),
            ["0.420 bar", "0.415 ata"]
        );
        assert_eq!(
            both(&|u| u.small_partial(PartialPressure(400.0))),
            ["4.0 mbar", "3.0 mmHg"]
        );
        assert_eq!(
            both(&|u| u.temperature(Temperature(302.45))),
            ["29.3 degC", "84.7 degF"]
        );
        assert_eq!(both(&|u| u.volume(Volume(20.0))), ["20.0 m3", "706.3 ft3"]);
        assert_eq!(both(&|u| u.volume(Volume(0.05))), ["50.0 L", "1.8 ft3"]);
        assert_eq!(
            both(&|u| u.depth_rate(DepthRate(1.8423 / 3600.0))),
            ["1.84 msw/h", "6.0 fsw/h"]
        );
        assert_eq!(
            both(&|u| u.depth_rate(DepthRate(0.05))),
            ["3.00 msw/min", "9.8 fsw/min"]
        );
        assert_eq!(
            both(&|u| u.flow(35e-3 / 60.0)),
            ["35.0 L/min", "1.24 ft3/min"]
        );
        assert_eq!(both(&|u| u.mass(12.0)), ["12.0 kg", "26.5 lb"]);
        let n = Moles(4123.0 * FreeReference::Bar15.mol_per_m3());
        assert_eq!(
            Units::Metric.free_gas(n, FreeReference::Bar15),
            "4123 m3 at 15 degC, 1 bar"
        );
    }

    #[test]
    fn no_number_and_no_negative_zero() {
        assert_eq!(Units::Metric.depth(Msw(f64::NAN)), NO_VALUE);
        assert_eq!(Units::Metric.depth(Msw(-0.01)), "0.0 msw");
        assert_eq!(Units::Metric.depth(Msw(-0.06)), "-0.1 msw");
    }
}
