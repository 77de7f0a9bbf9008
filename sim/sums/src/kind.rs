//! Kinds of quantities of the sums: how each is read, in which units the sums count it, and how it is printed.

use deepstay_core::units::text::{Duration, TextError, kinds_of as of};
use deepstay_core::units::{
    ATM_PA, BAR_PA, FOOT_M, FSW_BY_MSW_PA, FT3_M3, MMHG_PA, MSW_PA, POUND_KG, PSI_PA, Units,
    ZERO_C_K,
};

/// A kind of quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A depth.
    Depth,
    /// An absolute pressure.
    Absolute,
    /// A gauge pressure.
    Gauge,
    /// A partial pressure of oxygen or nitrogen.
    Partial,
    /// A partial pressure of carbon dioxide.
    Co2,
    /// A partial pressure in millimetres of mercury.
    Mercury,
    /// Floodable volume of a bottle or flask.
    Bottle,
    /// Gas volume of a chamber or lock.
    Chamber,
    /// Free gas in the amounts of quads and chambers.
    Gas,
    /// Free gas in the amounts that are added by hand.
    Litres,
    /// A flow at the pressure it flows at.
    Breathing,
    /// A flow of free gas.
    Flow,
    /// A share.
    Share,
    /// A temperature.
    Temperature,
    /// A length of time.
    Time,
    /// A rate of depth.
    Rate,
    /// A mass.
    Mass,
    /// What a mass of absorbent takes up.
    Capacity,
    /// A height above the sea.
    Height,
    /// How many.
    Count,
    /// Rates with the depths to which they hold.
    Rates,
}

/// A unit in which the sums count: SI value = number x scale + offset.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// As it is printed.
    pub name: &'static str,
    scale: f64,
    offset: f64,
}

impl Unit {
    /// The number in this unit of an SI value.
    pub fn number(self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }

    /// The SI value of a number in this unit.
    pub fn si(self, number: f64) -> f64 {
        number * self.scale + self.offset
    }
}

const fn unit(name: &'static str, scale: f64) -> Unit {
    Unit {
        name,
        scale,
        offset: 0.0,
    }
}

const LITRE_M3: f64 = 1e-3;
const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;

/// Units that only the imperial system has; a mmHg, a knot and a second belong to both.
const IMPERIAL: [&str; 14] = [
    "fsw", "psi", "ata", "ft3", "ft", "in", "degF", "lb", "ft3/min", "fsw/h", "fsw/min", "fsw/d",
    "min/fsw", "ft/min",
];
/// Units that only the metric system has.
const METRIC: [&str; 21] = [
    "msw", "bar", "mbar", "kPa", "MPa", "m3", "L", "degC", "kg", "g", "t", "m", "L/min", "m3/min",
    "m3/h", "m3/d", "msw/h", "msw/min", "msw/d", "msw/s", "L/kg",
];

/// Which system a unit belongs to, if to one alone.
pub fn system_of(unit: &str) -> Option<Units> {
    if IMPERIAL.contains(&unit) {
        Some(Units::Imperial)
    } else {
        METRIC.contains(&unit).then_some(Units::Metric)
    }
}

impl Kind {
    /// The unit in which a sum counts it.
    pub fn unit(self, units: Units) -> Unit {
        let metric = units == Units::Metric;
        match self {
            Kind::Depth if metric => unit("msw", 1.0),
            Kind::Depth => unit("fsw", FSW_BY_MSW_PA / MSW_PA),
            Kind::Absolute | Kind::Partial if metric => unit("bar", BAR_PA),
            Kind::Absolute | Kind::Partial => unit("ata", ATM_PA),
            Kind::Gauge if metric => unit("bar", BAR_PA),
            Kind::Gauge => unit("psi", PSI_PA),
            Kind::Co2 if metric => unit("mbar", 1e-3 * BAR_PA),
            Kind::Co2 => unit("ata", ATM_PA),
            Kind::Mercury => unit("mmHg", MMHG_PA),
            Kind::Bottle if metric => unit("L", LITRE_M3),
            Kind::Chamber | Kind::Gas if metric => unit("m3", 1.0),
            Kind::Litres if metric => unit("L", LITRE_M3),
            Kind::Bottle | Kind::Chamber | Kind::Gas | Kind::Litres => unit("ft3", FT3_M3),
            Kind::Breathing | Kind::Flow if metric => unit("L/min", LITRE_M3 / MINUTE_S),
            Kind::Breathing | Kind::Flow => unit("ft3/min", FT3_M3 / MINUTE_S),
            Kind::Share => unit("%", 0.01),
            Kind::Temperature if metric => Unit {
                offset: ZERO_C_K,
                ..unit("degC", 1.0)
            },
            Kind::Temperature => Unit {
                offset: ZERO_C_K - 160.0 / 9.0,
                ..unit("degF", 5.0 / 9.0)
            },
            Kind::Time => unit("min", MINUTE_S),
            Kind::Rate if metric => unit("msw/h", 1.0 / HOUR_S),
            Kind::Rate => unit("fsw/h", FSW_BY_MSW_PA / MSW_PA / HOUR_S),
            Kind::Mass if metric => unit("kg", 1.0),
            Kind::Mass => unit("lb", POUND_KG),
            Kind::Capacity => unit("L/kg", LITRE_M3),
            Kind::Height if metric => unit("m", 1.0),
            Kind::Height => unit("ft", FOOT_M),
            Kind::Count | Kind::Rates => unit("", 1.0),
        }
    }

    fn core(self) -> Option<&'static of::Kind> {
        Some(match self {
            Kind::Depth => &of::DEPTH,
            Kind::Absolute => &of::ABSOLUTE,
            Kind::Gauge => &of::GAUGE,
            Kind::Partial | Kind::Co2 | Kind::Mercury => &of::PARTIAL,
            Kind::Bottle | Kind::Chamber => &of::VOLUME,
            Kind::Gas | Kind::Litres => &of::FREE_VOLUME,
            Kind::Breathing => &of::ACTUAL_FLOW,
            Kind::Flow => &of::FREE_FLOW,
            Kind::Share => &of::SHARE,
            Kind::Temperature => &of::TEMPERATURE,
            Kind::Time => &of::TIME,
            Kind::Rate => &of::DEPTH_RATE,
            Kind::Mass => &of::MASS,
            Kind::Capacity => &of::CAPACITY,
            Kind::Height => &of::LENGTH,
            Kind::Count | Kind::Rates => return None,
        })
    }

    /// What it is called, with its article.
    pub fn noun(self) -> &'static str {
        match self {
            Kind::Count => "a number",
            Kind::Rates => "rates with the depths to which they hold",
            _ => self.core().map_or("", |k| k.noun()),
        }
    }

    /// How it is written: its units in words, or an example.
    pub fn written(self) -> String {
        match self {
            Kind::Count => "a plain number".to_owned(),
            Kind::Rates => "like \"1.4 msw/h to 16 msw, 0.6 msw/h\"".to_owned(),
            _ => self.core().map_or(String::new(), of::Kind::list),
        }
    }

    /// The bounds between which a value is looked for, SI.
    pub fn bounds(self) -> (f64, f64) {
        match self.core() {
            Some(kind) => kind.bounds(),
            None => (0.0, 1e5),
        }
    }

    /// Reads a text: the SI value, and the system whose unit it is written in.
    ///
    /// # Errors
    /// What is wrong with it, and what would be right.
    pub fn read(self, text: &str) -> Result<(f64, Option<Units>), TextError> {
        let text = text.trim();
        if self == Kind::Time
            && text.contains([':', ' '])
            && let Ok(Duration(seconds)) = text.parse()
        {
            return Ok((seconds as f64, None));
        }
        match self.core() {
            Some(kind) => kind.read(text).map(|(si, unit)| (si, system_of(unit))),
            None => self.read_count(text).map(|n| (n, None)),
        }
    }

    fn read_count(self, text: &str) -> Result<f64, TextError> {
        let (_, most) = self.bounds();
        let number = text.parse::<f64>().ok();
        number
            .filter(|n| (0.0..=most).contains(n))
            .ok_or_else(|| TextError::NoNumber {
                text: text.to_owned(),
                noun: self.noun(),
                example: "4",
            })
    }

    /// The value in words: four figures and its unit; lengths of time in the words that fit them.
    pub fn words(self, si: f64, units: Units) -> String {
        if self == Kind::Time {
            return time_words(si);
        }
        let unit = self.unit(units);
        let digits = figures(unit.number(si));
        if unit.name.is_empty() {
            digits
        } else {
            format!("{digits} {}", unit.name)
        }
    }
}

/// Minutes up to two hours, beyond that hours and minutes with the minutes beside, and days.
fn time_words(s: f64) -> String {
    let minutes = s / MINUTE_S;
    if !(0.0..120.0).contains(&minutes) {
        let whole = minutes.round();
        let (hours, rest) = ((whole / 60.0).trunc(), (whole % 60.0).abs());
        let days = if hours.abs() >= 48.0 {
            format!(", {} days", figures(minutes / 1440.0))
        } else {
            String::new()
        };
        return format!("{hours} h {rest:02} min ({} min{days})", figures(minutes));
    }
    format!("{} min", figures(minutes))
}

/// A number to four figures, without zeros that say nothing; whole numbers are not cut.
pub fn figures(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let size = libm::floor(libm::log10(value.abs()));
    let places = (3.0 - size).clamp(0.0, 12.0) as usize;
    let text = format!("{value:.places$}");
    let text = match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.'),
        false => &text,
    };
    match text {
        "-0" => "0".to_owned(),
        text => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_figures_and_no_more() {
        for (value, text) in [
            (8.69697, "8.697"),
            (105.0, "105"),
            (391.8367, "391.8"),
            (45_390.0, "45390"),
            (0.06, "0.06"),
            (-3.25, "-3.25"),
            (0.0, "0"),
        ] {
            assert_eq!(figures(value), text);
        }
    }

    #[test]
    fn time_is_said_as_it_fits() {
        assert_eq!(time_words(310.7), "5.178 min");
        assert_eq!(time_words(391.8367 * 60.0), "6 h 32 min (391.8 min)");
        assert_eq!(
            time_words(108.1 * 3600.0),
            "108 h 06 min (6486 min, 4.504 days)"
        );
    }

    /// A unit reads as it is printed, in both systems.
    #[test]
    fn what_is_printed_reads_back() {
        let kinds = [
            Kind::Depth,
            Kind::Absolute,
            Kind::Gauge,
            Kind::Partial,
            Kind::Co2,
            Kind::Mercury,
            Kind::Bottle,
            Kind::Chamber,
            Kind::Gas,
            Kind::Litres,
            Kind::Breathing,
            Kind::Flow,
            Kind::Share,
            Kind::Temperature,
            Kind::Time,
            Kind::Rate,
            Kind::Mass,
            Kind::Capacity,
            Kind::Height,
            Kind::Count,
        ];
        for kind in kinds {
            for units in [Units::Metric, Units::Imperial] {
                let unit = kind.unit(units);
                let (si, system) = kind
                    .read(&format!("25 {}", unit.name))
                    .unwrap_or_else(|e| panic!("{kind:?}: {e}"));
                assert!((unit.number(si) - 25.0).abs() < 1e-9, "{kind:?}");
                assert!(system.is_none() || system == Some(units) || kind == Kind::Capacity);
            }
        }
    }

    #[test]
    fn hours_and_minutes_are_read_and_a_gauge_is_no_absolute_pressure() {
        assert_eq!(Kind::Time.read("6:32").map(|t| t.0), Ok(23_520.0));
        assert_eq!(Kind::Time.read("6 h 32 min").map(|t| t.0), Ok(23_520.0));
        assert!(
            Kind::Time
                .read("5.18 min")
                .is_ok_and(|t| (t.0 - 310.8).abs() < 1e-9)
        );
        assert!(Kind::Time.read("-3 h").is_err());
        let wrong = Kind::Gauge.read("21 bara").expect_err("absolute");
        assert!(
            wrong.to_string().contains("an absolute pressure"),
            "{wrong}"
        );
        let wrong = Kind::Absolute.read("21 barg").expect_err("gauge");
        assert!(wrong.to_string().contains("a gauge pressure"), "{wrong}");
        assert!(Kind::Count.read("-2").is_err());
    }
}
