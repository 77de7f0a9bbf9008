//! The units each kind of quantity can be written in, one line a unit, with where its size is from.
//!
//! The metric units are decimal by definition. The inch, foot and pound are exact by the
//! international agreement of 1959 (0.0254 m, 0.3048 m, 0.45359237 kg); the pound-force by standard
//! gravity. A foot of sea water is 0.30643 msw, by the unit table of the US Navy Diving Manual
//! (second-hand); the 33 to the atmosphere of its working formulas are 0.2 % larger feet, to be had
//! through [`crate::units::FswConvention`]. A metre of sea water is 10 kPa, and an `ata` or `atm` one
//! standard atmosphere. The manual's 14.7 psi to the atmosphere is 0.03 % larger than the exact
//! 14.696 used here; its working formulas stand in [`crate::units::working`].

use crate::units::{ATM_PA, BAR_PA, FSW_BY_MSW_PA, MMHG_PA, MSW_PA, ZERO_C_K};

/// One pound-force per square inch, Pa: 0.45359237 x 9.80665 / 0.0254^2.
pub const PSI_PA: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);
/// One international foot, m.
pub const FOOT_M: f64 = 0.3048;
/// One cubic foot, m3.
pub const FT3_M3: f64 = FOOT_M * FOOT_M * FOOT_M;
/// One pound, kg.
pub const POUND_KG: f64 = 0.453_592_37;
/// One foot of sea water in metres of sea water, by the unit table.
const FSW_MSW: f64 = FSW_BY_MSW_PA / MSW_PA;
const MINUTE_S: f64 = 60.0;
const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;
const LITRE_M3: f64 = 1e-3;

/// A unit: its spellings, and SI value = number x scale + offset, or scale / number for one that is counted
/// the other way round.
#[derive(Debug)]
pub struct Unit {
    pub(super) name: &'static str,
    pub(super) also: &'static [&'static str],
    pub(super) scale: f64,
    pub(super) offset: f64,
    /// The scale in feet of sea water, where what a foot is may be said apart.
    pub(super) in_feet: Option<f64>,
    pub(super) inverse: bool,
}

impl Unit {
    pub(super) fn spellings(&self) -> impl Iterator<Item = &'static str> {
        std::iter::once(self.name).chain(self.also.iter().copied())
    }

    fn with_name(&self, number: String) -> String {
        if self.name.is_empty() {
            number
        } else {
            format!("{number} {}", self.name)
        }
    }

    /// The SI value of a number in this unit.
    pub(super) fn value(&self, number: f64) -> f64 {
        if self.inverse {
            self.scale / number
        } else {
            number * self.scale + self.offset
        }
    }

    /// The number in this unit of an SI value.
    fn number(&self, value: f64) -> f64 {
        if self.inverse {
            self.scale / value
        } else {
            (value - self.offset) / self.scale
        }
    }

    /// The SI value in this unit, so that it reads back.
    pub(super) fn write(&self, value: f64) -> String {
        self.with_name(format!("{}", self.number(value)))
    }

    /// The SI value in this unit to four figures or so, for a message.
    pub(super) fn write_rounded(&self, value: f64) -> String {
        let number = self.number(value);
        let places = if number.abs() >= 100.0 { 1 } else { 3 };
        let digits = format!("{number:.places$}");
        self.with_name(
            digits
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned(),
        )
    }
}

/// A kind of quantity: what it is called, its units (first the one it is printed in), and the SI
/// range outside which a number cannot be meant.
#[derive(Debug)]
pub struct Kind {
    pub(super) noun: &'static str,
    pub(super) units: &'static [Unit],
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) example: &'static str,
}

impl Kind {
    /// The same kind of quantity within other bounds, in SI.
    pub const fn within(&self, low: f64, high: f64) -> Kind {
        Kind {
            noun: self.noun,
            units: self.units,
            low,
            high,
            example: self.example,
        }
    }

    /// What it is called, with its article.
    pub const fn noun(&self) -> &'static str {
        self.noun
    }

    /// A text that would be right.
    pub const fn example(&self) -> &'static str {
        self.example
    }

    /// The bounds within which a number can be meant, in SI.
    pub const fn bounds(&self) -> (f64, f64) {
        (self.low, self.high)
    }

    pub(super) fn find(&self, unit: &str) -> Option<&Unit> {
        self.units.iter().find(|u| u.spellings().any(|s| s == unit))
    }

    /// The units as a list for a message.
    pub fn list(&self) -> String {
        let names: Vec<&str> = self
            .units
            .iter()
            .map(|u| if u.name.is_empty() { "no unit" } else { u.name })
            .collect();
        match names.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
            None => String::new(),
        }
    }
}

const fn unit(name: &'static str, also: &'static [&'static str], scale: f64) -> Unit {
    Unit {
        name,
        also,
        scale,
        offset: 0.0,
        in_feet: None,
        inverse: false,
    }
}

/// A unit with a foot of sea water in it: its scale by the unit table, and in feet.
const fn feet(name: &'static str, also: &'static [&'static str], scale: f64, in_feet: f64) -> Unit {
    Unit {
        in_feet: Some(in_feet),
        ..unit(name, also, scale)
    }
}

macro_rules! kinds {
    ($($id:ident: $noun:literal, $example:literal, $low:expr, $high:expr, [$($unit:expr),* $(,)?];)*) => {
        $(#[doc = concat!($noun, ".")] pub static $id: Kind = Kind {
            noun: $noun, example: $example, low: $low, high: $high, units: &[$($unit),*],
        };)*
        /// Every kind, to say what a misplaced unit measures.
        pub static KINDS: &[&Kind] = &[$(&$id),*];
    };
}

kinds! {
    DEPTH: "a depth", "118 msw", 0.0, 1000.0, [
        unit("msw", &[], 1.0),
        feet("fsw", &[], FSW_MSW, 1.0),
    ];
    ABSOLUTE: "an absolute pressure", "12.8 bar", 0.0, 1000.0 * BAR_PA, [
        unit("bar", &["bara"], BAR_PA),
        unit("mbar", &["mbara", "hPa"], 1e-3 * BAR_PA),
        unit("kPa", &["kPaa"], 1e3),
        unit("MPa", &["MPaa"], 1e6),
        unit("Pa", &[], 1.0),
        unit("ata", &["atm"], ATM_PA),
        unit("psi", &["psia"], PSI_PA),
        unit("mmHg", &[], MMHG_PA),
    ];
    GAUGE: "a gauge pressure", "200 bar", 0.0, 1000.0 * BAR_PA, [
        unit("bar", &["barg"], BAR_PA),
        unit("mbar", &["mbarg"], 1e-3 * BAR_PA),
        unit("kPa", &["kPag"], 1e3),
        unit("MPa", &["MPag"], 1e6),
        unit("psi", &["psig"], PSI_PA),
    ];
    PARTIAL: "a partial pressure", "0.42 bar", 0.0, 100.0 * BAR_PA, [
        unit("bar", &[], BAR_PA),
        unit("mbar", &["hPa"], 1e-3 * BAR_PA),
        unit("kPa", &[], 1e3),
        unit("ata", &["atm"], ATM_PA),
        unit("mmHg", &[], MMHG_PA),
        unit("Pa", &[], 1.0),
    ];
    TEMPERATURE: "a temperature", "29 degC", 200.0, 500.0, [
        Unit { offset: ZERO_C_K, ..unit("degC", &["\u{b0}C"], 1.0) },
        Unit { offset: ZERO_C_K - 160.0 / 9.0, ..unit("degF", &["\u{b0}F"], 5.0 / 9.0) },
        unit("K", &[], 1.0),
    ];
    TEMPERATURE_SPAN: "a temperature difference", "1.5 K", 0.0, 200.0, [
        unit("K", &[], 1.0),
    ];
    VOLUME: "a volume", "20 m3", 0.0, 1e5, [
        unit("m3", &["m\u{b3}"], 1.0),
        unit("L", &["l"], LITRE_M3),
        unit("ft3", &["ft\u{b3}"], FT3_M3),
    ];
    FREE_VOLUME: "a free gas volume", "4000 m3", 0.0, 1e7, [
        unit("m3", &["m\u{b3}"], 1.0),
        unit("L", &["l"], LITRE_M3),
        unit("ft3", &["ft\u{b3}", "scf"], FT3_M3),
    ];
    DEPTH_RATE: "a rate of depth", "6 fsw/h", 0.0, 10.0, [
        unit("msw/h", &["m/h"], 1.0 / HOUR_S),
        unit("msw/min", &["m/min"], 1.0 / MINUTE_S),
        feet("fsw/h", &["ft/h"], FSW_MSW / HOUR_S, 1.0 / HOUR_S),
        feet("fsw/min", &["ft/min"], FSW_MSW / MINUTE_S, 1.0 / MINUTE_S),
        unit("msw/d", &["msw/day"], 1.0 / DAY_S),
        feet("fsw/d", &["fsw/day"], FSW_MSW / DAY_S, 1.0 / DAY_S),
        unit("msw/s", &["m/s"], 1.0),
        Unit { inverse: true, ..feet("min/fsw", &[], FSW_MSW / MINUTE_S, 1.0 / MINUTE_S) },
    ];
    SPEED: "a speed", "30 m/min", 0.0, 100.0, [
        unit("m/min", &[], 1.0 / MINUTE_S),
        unit("m/s", &[], 1.0),
        unit("ft/min", &[], FOOT_M / MINUTE_S),
        unit("kt", &["kn"], 1852.0 / HOUR_S),
    ];
    ACTUAL_FLOW: "a flow at actual pressure", "35 L/min", 0.0, 100.0, [
        unit("L/min", &["l/min"], LITRE_M3 / MINUTE_S),
        unit("m3/min", &["m\u{b3}/min"], 1.0 / MINUTE_S),
        unit("m3/h", &["m\u{b3}/h"], 1.0 / HOUR_S),
        unit("ft3/min", &["ft\u{b3}/min", "acfm"], FT3_M3 / MINUTE_S),
    ];
    FREE_FLOW: "a free gas flow", "0.5 L/min", 0.0, 1000.0, [
        unit("L/min", &["l/min"], LITRE_M3 / MINUTE_S),
        unit("m3/min", &["m\u{b3}/min"], 1.0 / MINUTE_S),
        unit("m3/h", &["m\u{b3}/h"], 1.0 / HOUR_S),
        unit("m3/d", &["m\u{b3}/d", "m3/day"], 1.0 / DAY_S),
        unit("ft3/min", &["ft\u{b3}/min", "scfm"], FT3_M3 / MINUTE_S),
    ];
    SHARE: "a share", "4 %", 0.0, 1.0, [
        unit("", &[], 1.0),
        unit("%", &[], 0.01),
        unit("ppm", &[], 1e-6),
    ];
    LEAK: "a share per day", "1 %/d", 0.0, 10.0 / DAY_S, [
        unit("%/d", &["%/day"], 0.01 / DAY_S),
    ];
    MASS: "a mass", "12 kg", 0.0, 1e8, [
        unit("kg", &[], 1.0),
        unit("g", &[], 1e-3),
        unit("t", &[], 1e3),
        unit("lb", &[], POUND_KG),
    ];
    CAPACITY: "an absorbent capacity", "153 L/kg", 0.0, 1.0, [
        unit("L/kg", &["l/kg"], LITRE_M3),
        unit("m3/kg", &["m\u{b3}/kg"], 1.0),
    ];
    LENGTH: "a length", "2 m", 0.0, 1e5, [
        unit("m", &[], 1.0),
        unit("cm", &[], 1e-2),
        unit("mm", &[], 1e-3),
        unit("km", &[], 1e3),
        unit("ft", &[], FOOT_M),
        unit("in", &["inch"], 0.0254),
    ];
    BORE: "a bore", "12.7 mm", 0.0, 5.0, [
        unit("mm", &[], 1e-3),
        unit("cm", &[], 1e-2),
        unit("in", &["inch"], 0.0254),
        unit("m", &[], 1.0),
    ];
    AREA: "an area", "45 m2", 0.0, 1e5, [
        unit("m2", &["m\u{b2}"], 1.0),
        unit("cm2", &["cm\u{b2}"], 1e-4),
        unit("mm2", &["mm\u{b2}"], 1e-6),
        unit("ft2", &["ft\u{b2}"], FOOT_M * FOOT_M),
    ];
    CONDUCTANCE: "a heat loss per degree", "100 W/K", 0.0, 1e7, [
        unit("W/K", &[], 1.0),
        unit("kW/K", &[], 1e3),
    ];
    POWER: "a power", "3 kW", 0.0, 1e8, [
        unit("kW", &[], 1e3),
        unit("W", &[], 1.0),
    ];
    FLOW: "a flow of gas", "30 L/min", 0.0, 1.0, [
        unit("L/min", &["l/min"], LITRE_M3 / MINUTE_S),
        unit("L/h", &["l/h"], LITRE_M3 / HOUR_S),
        unit("m3/min", &["m\u{b3}/min"], 1.0 / MINUTE_S),
        unit("m3/h", &["m\u{b3}/h"], 1.0 / HOUR_S),
        unit("m3/s", &["m\u{b3}/s"], 1.0),
    ];
    TIME: "a length of time", "6 h", 0.0, 3653.0 * DAY_S, [
        unit("h", &["hour", "hours"], HOUR_S),
        unit("min", &["minute", "minutes"], MINUTE_S),
        unit("s", &["second", "seconds"], 1.0),
        unit("d", &["day", "days"], DAY_S),
    ];
}
