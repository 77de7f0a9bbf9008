//! How a plain number turns into what is printed, metric or imperial by one switch: scales of the recorded
//! quantities, and figures, hours and spans as a reader sees them.

use serde::{Deserialize, Serialize};

use super::text::tables::{FT3_M3, PSI_PA};
use super::{ATM_PA, BAR_PA, FSW_BY_MSW_PA, FreeReference, MMHG_PA, MSW_PA, Quantity, ZERO_C_K};

/// The reference that free gas volumes are counted at.
pub const FREE: FreeReference = FreeReference::Bar15;
/// The same in words.
pub const FREE_WORDS: &str = "free gas at 15 degC and 1 bar (ideal)";

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

/// How a plain number turns into what is printed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Unit as printed on a page.
    pub unit: &'static str,
    /// Unit in plain letters, for tables that machines read.
    pub plain: &'static str,
    /// Digits after the point.
    pub decimals: usize,
    times: f64,
    plus: f64,
}

impl Scale {
    const fn new(
        unit: &'static str,
        plain: &'static str,
        decimals: usize,
        times: f64,
        plus: f64,
    ) -> Scale {
        Scale {
            unit,
            plain,
            decimals,
            times,
            plus,
        }
    }

    /// The number in the printed unit.
    pub fn of(&self, value: f64) -> f64 {
        value * self.times + self.plus
    }

    /// The number in the printed unit, as digits.
    pub fn digits(&self, value: f64) -> String {
        fixed(self.of(value), self.decimals)
    }

    /// The number with its unit.
    pub fn text(&self, value: f64) -> String {
        format!("{}\u{a0}{}", self.digits(value), self.unit)
    }

    /// The number with its unit in plain letters.
    pub fn plain_text(&self, value: f64) -> String {
        format!("{} {}", self.digits(value), self.plain)
    }

    /// Digits of a value that may be missing; empty when it is.
    pub fn maybe(&self, value: Option<f64>) -> String {
        value.map(|v| self.digits(v)).unwrap_or_default()
    }
}

impl Units {
    /// How a quantity in its plain unit is printed.
    pub fn scale(self, quantity: Quantity) -> Scale {
        let metric = self == Units::Metric;
        match quantity {
            Quantity::Depth | Quantity::SeaDepth if metric => Scale::new("msw", "msw", 1, 1.0, 0.0),
            Quantity::Depth | Quantity::SeaDepth => {
                Scale::new("fsw", "fsw", 1, MSW_PA / FSW_BY_MSW_PA, 0.0)
            }
            Quantity::PpO2 if metric => Scale::new("bar", "bar", 3, 1.0, 0.0),
            Quantity::PpO2 => Scale::new("ata", "ata", 3, BAR_PA / ATM_PA, 0.0),
            Quantity::PpCo2 if metric => Scale::new("mbar", "mbar", 2, 1e3, 0.0),
            Quantity::PpCo2 => Scale::new("mmHg", "mmHg", 2, BAR_PA / MMHG_PA, 0.0),
            Quantity::FO2 => Scale::new("%", "%", 2, 100.0, 0.0),
            Quantity::Humidity => Scale::new("%", "%", 0, 100.0, 0.0),
            Quantity::Temperature if metric => Scale::new("°C", "degC", 1, 1.0, -ZERO_C_K),
            Quantity::Temperature => Scale::new("°F", "degF", 1, 1.8, 32.0 - 1.8 * ZERO_C_K),
            Quantity::GaugePressure if metric => Scale::new("bar", "bar", 1, 1.0, 0.0),
            Quantity::GaugePressure => Scale::new("psi", "psi", 0, BAR_PA / PSI_PA, 0.0),
        }
    }

    /// How moles are printed as a free gas volume.
    pub fn free_scale(self) -> Scale {
        match self {
            Units::Metric => Scale::new("m³", "m3 free", 2, 1.0 / FREE.mol_per_m3(), 0.0),
            Units::Imperial => {
                Scale::new("ft³", "ft3 free", 1, 1.0 / FT3_M3 / FREE.mol_per_m3(), 0.0)
            }
        }
    }
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

/// A number with a fixed count of digits after the point, never `-0`; a dash where there is none.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "-".into();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.into(),
        _ => text,
    }
}

/// A number with at most two digits after the point, and none that say nothing.
pub fn fixed_short(value: f64) -> String {
    let text = fixed(value, 2);
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    text.to_owned()
}

/// A volume or count to about three figures, thousands set apart by narrow spaces.
pub fn about(value: f64) -> String {
    let size = value.abs();
    let decimals = match size {
        s if s >= 99.95 => 0,
        s if s >= 9.995 => 1,
        s if s >= 0.005 => 2,
        s if s >= 0.00005 => 4,
        _ => 0,
    };
    let text = fixed(value, decimals);
    let (whole, rest) = text
        .split_once('.')
        .map_or((text.as_str(), None), |(w, r)| (w, Some(r)));
    let mut out = String::new();
    let digits = whole.trim_start_matches('-').len();
    for (i, c) in whole.trim_start_matches('-').chars().enumerate() {
        if i > 0 && (digits - i).is_multiple_of(3) {
            out.push('\u{202f}');
        }
        out.push(c);
    }
    if whole.starts_with('-') {
        out.insert(0, '\u{2212}');
    }
    if let Some(rest) = rest {
        out.push('.');
        out.push_str(rest);
    }
    out
}

/// A very small or large number as `1.2e-12`; zero as `0`.
pub fn tiny(value: f64) -> String {
    if value == 0.0 {
        "0".into()
    } else {
        format!("{value:.1e}")
    }
}

/// A length of time as hours and minutes, `7:05`, to the nearest minute.
pub fn hours(seconds: i64) -> String {
    let minutes = nearest_minute(seconds);
    format!("{}:{:02}", minutes / 60, minutes.rem_euclid(60))
}

/// A length of time in the words that fit it, to the nearest minute from two minutes on.
pub fn span(seconds: i64) -> String {
    if seconds < 120 {
        return format!("{seconds}\u{a0}s");
    }
    let minutes = nearest_minute(seconds);
    let (hour, minute) = (minutes / 60, minutes % 60);
    match hour {
        0..2 => format!("{minutes}\u{a0}min"),
        2..48 => format!("{hour}\u{a0}h {minute:02}\u{a0}min"),
        _ => format!(
            "{}\u{a0}d {:02}\u{a0}h {minute:02}\u{a0}min",
            hour / 24,
            hour % 24
        ),
    }
}

fn nearest_minute(seconds: i64) -> i64 {
    seconds.saturating_add(30).div_euclid(60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn imperial_is_what_the_unit_tables_say() {
        // US Navy Diving Manual, unit table (second-hand): 1 fsw = 0.30643 msw, 33.066 fsw = 1 atm = 14.696 psi.
        let depth = Units::Imperial.scale(Quantity::Depth);
        assert_eq!(
            [10.1325, 306.43].map(|msw| depth.digits(msw)),
            ["33.1", "1000.0"]
        );
        assert_eq!(
            Units::Imperial.scale(Quantity::Temperature).digits(310.15),
            "98.6"
        );
        let psi = Units::Imperial.scale(Quantity::GaugePressure).of(1.01325);
        assert!((psi - 14.696).abs() < 1e-3);
        assert_eq!(
            Units::Imperial.scale(Quantity::PpCo2).digits(0.00506625),
            "3.80"
        );
    }

    #[test]
    fn a_cubic_metre_of_free_gas_is_41_74_moles() {
        // Ideal gas at 15 degC and 1 bar.
        assert!((FREE.mol_per_m3() - 41.74).abs() < 0.005);
        assert_eq!(Units::Metric.free_scale().digits(FREE.mol_per_m3()), "1.00");
        assert_eq!(
            Units::Imperial.free_scale().digits(FREE.mol_per_m3()),
            "35.3"
        );
    }

    /// A length is rounded and never cut: an hour less a second is an hour.
    #[test]
    fn lengths_are_rounded_and_never_cut() {
        let plain = |s: i64| span(s).replace('\u{a0}', " ");
        assert_eq!(plain(4 * 86_400 + 17 * 3600 + 52 * 60), "4 d 17 h 52 min");
        assert_eq!(plain(5 * 86_400 - 1), "5 d 00 h 00 min");
        assert_eq!(plain(2 * 86_400 - 29), "2 d 00 h 00 min");
        assert_eq!(plain(3 * 3600 - 1), "3 h 00 min");
        assert_eq!(plain(179), "3 min");
        assert_eq!(plain(119), "119 s");
        assert_eq!(hours(8 * 3600 - 20), "8:00");
        assert_eq!(hours(7 * 3600 + 29), "7:00");
    }

    #[test]
    fn numbers_read_well() {
        assert_eq!(fixed(-0.0004, 2), "0.00");
        assert_eq!(fixed(f64::NAN, 2), "-");
        assert_eq!(about(1234.5), "1\u{202f}234");
        assert_eq!([0.0, 4e-5, -4e-5].map(about), ["0", "0", "0"]);
        assert_eq!(about(6e-5), "0.0001");
        assert_eq!(about(-12345678.0), "\u{2212}12\u{202f}345\u{202f}678");
        assert_eq!(about(12.345), "12.3");
        assert_eq!(
            (hours(7 * 3600 + 5 * 60), span(90_000)),
            ("7:05".into(), "25\u{a0}h 00\u{a0}min".into())
        );
    }
}
