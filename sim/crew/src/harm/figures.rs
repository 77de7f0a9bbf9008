//! The figures by which people come to harm, as data: each with its value, the range it may lie in, where it comes
//! from and how it came to us. The built-in file is `scenarios/people/harm.ron`; a job may name another.

use deepstay_core::record::{Fitness, HarmCause, Spoken};
use deepstay_core::units::text::kinds_of::{self as of, Kind};
use deepstay_core::units::text::{
    Area, Depth, Duration, Gauge, Partial, Plain, Power, Share, Temperature, TemperatureSpan,
    Volume, Written,
};
use deepstay_core::units::{FSW_PER_ATM_PA, FswConvention, MSW_PA, ZERO_C_K};
use deepstay_read::{Diagnostics, Document, Section, Wrong, whole};
use deepstay_rules::Status;
use serde::{Deserialize, Serialize};
use std::sync::OnceLock;

/// The built-in figures, remarks and all.
pub const BUILT_IN_HARM: &str = include_str!("../../../../scenarios/people/harm.ron");

/// A foot of sea water of the sources of lost pressure, msw: 33 to the atmosphere.
pub(super) const FSW_MSW: f64 = FSW_PER_ATM_PA / MSW_PA;

/// A figure as it is written.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct FigureFile<T> {
    /// What is reckoned with.
    pub value: T,
    /// Lower end of what it may be.
    pub low: T,
    /// Upper end.
    pub high: T,
    /// How it came to us.
    pub status: Status,
    /// Where it comes from.
    pub source: String,
}

/// A figure with its source, for a report.
#[derive(Clone, Debug, PartialEq)]
pub struct HarmFigure {
    /// Its name in the file.
    pub name: &'static str,
    /// What it is.
    pub meaning: &'static str,
    /// What is reckoned with, in SI or plain.
    pub value: f64,
    /// Lower end of what it may be.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How it came to us.
    pub status: Status,
    /// Where it comes from.
    pub source: String,
}

/// What is heard on the speaker.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Heard {
    /// Nothing that tells.
    Nothing,
    /// Slow or silly answers.
    SlowAnswers,
    /// No answer.
    NoAnswer,
    /// He says that he is short of breath.
    ShortOfBreath,
    /// He says that he is cold.
    Cold,
    /// He says that he is too warm.
    Hot,
}

impl Heard {
    /// As a report.
    pub fn spoken(self) -> Option<Spoken> {
        match self {
            Heard::Nothing => None,
            Heard::SlowAnswers => Some(Spoken::SlowAnswers),
            Heard::NoAnswer => Some(Spoken::NoAnswer),
            Heard::ShortOfBreath => Some(Spoken::ShortOfBreath),
            Heard::Cold => Some(Spoken::Cold),
            Heard::Hot => Some(Spoken::Hot),
        }
    }
}

/// What is heard on the speaker of one cause, by state.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HeardByState {
    /// Of one who is slow.
    pub slow: Heard,
    /// Of one who is confused.
    pub confused: Heard,
    /// Of one who is out.
    pub out: Heard,
    /// Of the dead.
    pub dead: Heard,
}

/// What is heard on the speaker, by cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct HeardByCause {
    /// Of too little oxygen.
    pub low_oxygen: HeardByState,
    /// Of carbon monoxide.
    pub carbon_monoxide: HeardByState,
    /// Of carbon dioxide.
    pub carbon_dioxide: HeardByState,
    /// Of too much oxygen.
    pub oxygen_poisoning: HeardByState,
    /// Of cold.
    pub cold: HeardByState,
    /// Of heat.
    pub heat: HeardByState,
    /// Of lost pressure.
    pub pressure_loss: HeardByState,
}

/// Kind of a loss of pressure, whose feet are those of its sources.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LossKind;

impl Plain for LossKind {
    const KIND: &'static Kind = &of::DEPTH;
    const UNIT: &'static str = "msw";
}

/// A loss of pressure; plain value in msw.
pub type Loss = Written<LossKind>;

impl Si for Loss {
    fn si(self) -> f64 {
        self.plain(FswConvention::PerAtmosphere)
    }
}

/// A value of a file as one plain number.
pub(crate) trait Si: Copy {
    fn si(self) -> f64;
}

impl Si for f64 {
    fn si(self) -> f64 {
        self
    }
}

impl Si for Duration {
    fn si(self) -> f64 {
        self.0 as f64
    }
}

macro_rules! si {
    ($($kind:ident),*) => {$(
        impl Si for $kind {
            fn si(self) -> f64 {
                self.0
            }
        }
    )*};
}

si!(
    Area,
    Gauge,
    Depth,
    Partial,
    Power,
    Share,
    Temperature,
    TemperatureSpan,
    Volume
);

macro_rules! figures {
    ($($name:ident: $kind:ty, $meaning:literal;)*) => {
        /// The figures as they are written.
        #[derive(Clone, Debug, PartialEq, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(deny_unknown_fields)]
        pub struct HarmFile {
            /// Version of the grammar, where this is a file of its own.
            #[serde(default)]
            pub format: Option<u32>,
            $(#[doc = concat!($meaning, ".")] pub $name: FigureFile<$kind>,)*
            /// What is heard on the speaker.
            pub heard: HeardByCause,
        }

        /// The figures by which people come to harm, each one a number in SI or plain. Display and training only.
        #[derive(Clone, Debug, PartialEq)]
        pub struct HarmFigures {
            $(#[doc = concat!($meaning, ".")] pub $name: f64,)*
            heard: HeardByCause,
            /// Every figure with its range and source.
            pub rows: Vec<HarmFigure>,
        }

        impl HarmFigures {
            /// Of what is written, with whatever is wrong with it told.
            pub fn of(file: &HarmFile, section: &Section, diagnostics: &mut Diagnostics) -> HarmFigures {
                let made = HarmFigures {
                    $($name: file.$name.value.si(),)*
                    heard: file.heard,
                    rows: vec![$(row(stringify!($name), $meaning, &file.$name)),*],
                };
                made.check(section, diagnostics);
                made
            }
        }
    };
}

/// A figure with its source.
pub(crate) fn row<T: Si>(
    name: &'static str,
    meaning: &'static str,
    figure: &FigureFile<T>,
) -> HarmFigure {
    HarmFigure {
        name,
        meaning,
        value: figure.value.si(),
        low: figure.low.si(),
        high: figure.high.si(),
        status: figure.status,
        source: figure.source.clone(),
    }
}

figures! {
    useful_time_constant: f64, "Low oxygen: logarithm of the useful time without oxygen, in seconds";
    useful_time_per_mbar: f64, "Low oxygen: what each mbar of oxygen in the lung adds to that logarithm";
    useful_time_floor: Duration, "Low oxygen: the shortest useful time";
    useful_time_at_work: f64, "Low oxygen: factor of the useful time at work, light or hard";
    washout_rest: Duration, "Low oxygen: time constant of the lung at rest";
    washout_light: Duration, "Low oxygen: time constant of the lung at light work";
    washout_hard: Duration, "Low oxygen: time constant of the lung at hard work";
    low_oxygen_below: Partial, "Low oxygen: oxygen in the lung below which the dose grows";
    low_oxygen_recovery: Duration, "Low oxygen: time constant of recovery";
    low_oxygen_death: Duration, "Low oxygen: time from out to dead while it lasts";
    slow_below: Partial, "Low oxygen: oxygen in the lung below which a man at rest or light work is slow";
    slow_below_at_work: Partial, "Low oxygen: the same at hard work";
    confused_below: Partial, "Low oxygen: oxygen in the lung below which he is confused after a while";
    confused_after: Duration, "Low oxygen: that while";
    lung_gas: Volume, "No gas: what the lung holds";
    helmet_gas: Volume, "No gas: what helmet and neck hold besides";
    monoxide_rate: f64, "Carbon monoxide: percent of haemoglobin a minute for 1 ppm and 1 L/min breathed";
    monoxide_exponent: f64, "Carbon monoxide: exponent of the ppm";
    monoxide_limit_rest: Share, "Carbon monoxide: share of haemoglobin at which a man at rest is out";
    monoxide_limit_light: Share, "Carbon monoxide: the same at light work";
    monoxide_limit_hard: Share, "Carbon monoxide: the same at hard work";
    monoxide_half_life: Duration, "Carbon monoxide: half-life in the blood";
    dioxide_constant: f64, "Carbon dioxide: logarithm of the time to out at none, in minutes";
    dioxide_per_percent: f64, "Carbon dioxide: what each percent, surface equivalent, takes off that logarithm";
    dioxide_from: Share, "Carbon dioxide: share, surface equivalent, from which the dose grows";
    dioxide_slow: Share, "Carbon dioxide: share, surface equivalent, from which he is slow";
    dioxide_floor: Duration, "Carbon dioxide: the shortest time to out";
    dioxide_at_work: f64, "Carbon dioxide: factor of the time at hard work";
    dioxide_by_density: f64, "Carbon dioxide: percent of it that each kg/m3 of gas is worth at hard work";
    dioxide_recovery: Duration, "Carbon dioxide: time constant of recovery";
    dioxide_death: Duration, "Carbon dioxide: time from out to dead while it lasts";
    breathing_per_percent: f64, "Carbon dioxide: growth of breathing for each percent, surface equivalent";
    dose_slow: f64, "Dose from which a man is slow";
    dose_confused: f64, "Dose from which a man is confused";
    dose_out: f64, "Dose from which a man is out";
    seizure_exponent: f64, "Oxygen: exponent of the pressure in the dose";
    seizure_mean: f64, "Oxygen: logarithm of the dose at which half of working divers have signs";
    seizure_spread: f64, "Oxygen: standard deviation of that logarithm between people";
    seizure_above: Partial, "Oxygen: oxygen above which the dose grows";
    seizure_recovery_min: f64, "Oxygen: share of the dose that is lost a minute below that";
    seizure_share: Share, "Oxygen: share of those with signs who convulse, in the water or at work";
    seizure_share_at: Share, "Oxygen: share of dives with signs where that share was counted";
    seizure_dry: f64, "Oxygen: factor of that share for those who rest in the dry";
    seizure_lasts: Duration, "Oxygen: how long a man is out";
    seizure_after: Duration, "Oxygen: how long he is confused after it";
    core_rest: Temperature, "Core: temperature that the body keeps";
    core_tissue: f64, "Core: resistance of the tissue between core and skin, m2 K/W";
    core_skin_below: TemperatureSpan, "Core: how far the skin lies below it before resistance";
    core_water_film: f64, "Core: heat to water round a flooded suit, W/(m2 K)";
    core_heat_capacity: f64, "Core: heat that a kilogram of body takes up, J/(kg K)";
    shivering: Power, "Core: most heat of shivering";
    shivering_full_above: Temperature, "Core: core temperature down to which it is full";
    shivering_none_below: Temperature, "Core: core temperature at which it has ended";
    sweating: Power, "Core: most heat lost by sweat in dry gas";
    core_regulation: Duration, "Core: time constant by which the body comes back to its temperature";
    cold_slow: Temperature, "Cold: core temperature below which a man is slow";
    cold_confused: Temperature, "Cold: core temperature below which he is confused";
    cold_out: Temperature, "Cold: core temperature below which he is out";
    cold_dead: Temperature, "Cold: core temperature below which he is dead";
    heat_slow: Temperature, "Heat: core temperature above which a man is slow";
    heat_confused: Temperature, "Heat: core temperature above which he is confused";
    heat_out: Temperature, "Heat: core temperature above which he is out";
    heat_dead: Temperature, "Heat: core temperature above which he is dead";
    loss_exponent: f64, "Lost pressure: exponent of the Hill form";
    loss_constant: f64, "Lost pressure: odds against a hit at the allowed excursion";
    loss_excursion_fsw2: f64, "Lost pressure: square of the allowed upward excursion at the surface, fsw2";
    loss_excursion_slope: f64, "Lost pressure: what each foot of depth adds to that square, fsw";
    loss_half_time: Duration, "Lost pressure: half-time in which the slowest tissue follows the pressure";
    loss_clock: Duration, "Lost pressure: time until recompression is late, at the reference loss";
    loss_clock_at: Loss, "Lost pressure: the reference loss";
    loss_clock_per_fsw: f64, "Lost pressure: what each foot more takes off the logarithm of that time";
    loss_clock_allowed: Loss, "Lost pressure: the allowed excursion of the people that time was taken from";
    loss_recovery: Duration, "Lost pressure: time constant of recovery once recompressed";
    loss_death: Duration, "Lost pressure: time from out to dead while it lasts";
    loss_sudden_share: Share, "Lost pressure: share of the pressure he was saturated at, below which a sudden loss kills";
    loss_sudden_within: Duration, "Lost pressure: how fast that is";
    people_spread: f64, "Spread between people: standard deviation of the logarithm of every time";
    slow_times: f64, "How many times as long a slow man takes";
    act_mask: Duration, "Time to put a mask on or take it off";
    act_go: Duration, "Time to cross to the next place";
    act_no_gas: Duration, "Time until a man whose mask or helmet gives nothing takes the mask off or opens his bail-out";
}

impl HarmFigures {
    /// The built-in figures.
    pub fn built_in() -> &'static HarmFigures {
        static MADE: OnceLock<HarmFigures> = OnceLock::new();
        MADE.get_or_init(|| {
            HarmFigures::read("harm", BUILT_IN_HARM).unwrap_or_else(|bad| panic!("{bad}"))
        })
    }

    /// Of the text of a file.
    ///
    /// # Errors
    /// Everything found wrong, each at its place.
    pub fn read(file: &str, text: &str) -> Result<HarmFigures, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let document = Document::parse(file, text)?;
        let written: Option<HarmFile> = whole(&document, &[], &mut diagnostics);
        let section = Section::whole(document.into());
        let made = written.map(|w| HarmFigures::of(&w, &section, &mut diagnostics));
        diagnostics.close(made)
    }

    /// What is heard on the speaker of a man in a state, from a cause.
    pub fn heard(&self, cause: HarmCause, state: Fitness) -> Heard {
        let by_state = match cause {
            HarmCause::LowOxygen => self.heard.low_oxygen,
            HarmCause::CarbonMonoxide => self.heard.carbon_monoxide,
            HarmCause::CarbonDioxide => self.heard.carbon_dioxide,
            HarmCause::OxygenPoisoning => self.heard.oxygen_poisoning,
            HarmCause::Cold => self.heard.cold,
            HarmCause::Heat => self.heard.heat,
            HarmCause::PressureLoss => self.heard.pressure_loss,
        };
        match state {
            Fitness::Well => Heard::Nothing,
            Fitness::Slow => by_state.slow,
            Fitness::Confused => by_state.confused,
            Fitness::Out => by_state.out,
            Fitness::Dead => by_state.dead,
        }
    }

    /// Allowed upward excursion to a depth, fsw.
    pub fn excursion_fsw(&self, depth_msw: f64) -> f64 {
        let depth_fsw = depth_msw.max(0.0) / FSW_MSW;
        (self.loss_excursion_fsw2 + self.loss_excursion_slope * depth_fsw).sqrt()
    }

    fn check(&self, section: &Section, diagnostics: &mut Diagnostics) {
        let mut tell = |at: &str, words: String| {
            diagnostics.add(section, at, Wrong::Value(words));
        };
        for f in &self.rows {
            let at = format!("{}.value", f.name);
            if !(f.value.is_finite() && f.value > 0.0) {
                tell(&at, "every figure is more than nothing".to_owned());
            } else if !(f.low <= f.value && f.value <= f.high) {
                tell(
                    &at,
                    "the value does not lie within its own range".to_owned(),
                );
            }
            if f.source.trim().is_empty() {
                let words = "a figure says where it comes from".to_owned();
                tell(&format!("{}.source", f.name), words);
            }
        }
        let doses = [self.dose_slow, self.dose_confused, self.dose_out];
        if !doses.is_sorted() {
            let words = "doses rise from slow over confused to out".to_owned();
            tell("dose_confused.value", words);
        }
        let cores = [
            self.cold_dead,
            self.cold_out,
            self.cold_confused,
            self.cold_slow,
            self.core_rest,
            self.heat_slow,
            self.heat_confused,
            self.heat_out,
            self.heat_dead,
        ];
        if !cores.is_sorted_by(|a, b| a < b) {
            let words = format!(
                "core temperatures rise from dead of cold over the body's own, {} degC, to dead of heat",
                self.core_rest - ZERO_C_K
            );
            tell("core_rest.value", words);
        }
        if self.shivering_none_below >= self.shivering_full_above {
            let words = "shivering ends below where it is full".to_owned();
            tell("shivering_none_below.value", words);
        }
        if self.confused_below > self.slow_below || self.slow_below > self.slow_below_at_work {
            let words = "oxygen falls from slow at work over slow to confused".to_owned();
            tell("slow_below.value", words);
        }
        if self.seizure_share >= 1.0 || self.seizure_share_at >= 1.0 {
            let words = "less than everybody convulses or has signs".to_owned();
            tell("seizure_share.value", words);
        }
    }
}

impl Default for HarmFigures {
    fn default() -> Self {
        HarmFigures::built_in().clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: the root of 829 fsw2 is 28.792 fsw at the surface, and at 100 fsw (30.7045 msw) that of 829 + 2,534 is 57.991
    /// fsw. Above the surface nothing is taken off.
    #[test]
    fn the_allowed_excursion_by_hand() {
        let f = HarmFigures::built_in();
        let near = |ours: f64, by_hand: f64| assert!((ours - by_hand).abs() < 1e-3, "{ours}");
        near(f.excursion_fsw(0.0), 28.7924);
        near(f.excursion_fsw(30.704_545), 57.9914);
        near(f.excursion_fsw(-10.0), 28.7924);
    }

    /// What is heard of somebody is reported under its own word, and what tells nothing is not.
    #[test]
    fn what_is_heard_is_what_is_reported() {
        let all = [
            (Heard::Nothing, None),
            (Heard::SlowAnswers, Some(Spoken::SlowAnswers)),
            (Heard::NoAnswer, Some(Spoken::NoAnswer)),
            (Heard::ShortOfBreath, Some(Spoken::ShortOfBreath)),
            (Heard::Cold, Some(Spoken::Cold)),
            (Heard::Hot, Some(Spoken::Hot)),
        ];
        for (heard, spoken) in all {
            assert_eq!(heard.spoken(), spoken, "{heard:?}");
        }
    }
}
