//! The figures of what is felt, heard and read aloud, each with its range and source, and all that a file of voices
//! comes to.

use super::answers;
use super::answers::{Answers, Table};
use super::file::{AnswersFile, ComfortFile};
use super::unasked::{Unasked, UnaskedFile, UnaskedRow};
use crate::harm::{FigureFile, HarmFigure, Si, row};
use deepstay_core::record::{Called, Fitness, PhraseKind};
use deepstay_core::units::text::{
    Area, Depth, Duration, Gauge as GaugeText, Partial, Share, TemperatureSpan,
};
use deepstay_core::units::{BAR_PA, Quantity, ZERO_C_K};
use deepstay_read::{Diagnostics, Document, Section, Wrong, whole};
use serde::Deserialize;
use std::sync::OnceLock;

/// The built-in file, remarks and all.
pub const BUILT_IN_VOICES: &str = include_str!("../../../../scenarios/people/voices.ron");

/// What is said over the speaker.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct VoicesFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Figures of what is felt, heard and read.
    pub figures: FiguresFile,
    /// Temperatures of a chamber that are borne in silence, by depth.
    pub comfort: ComfortFile,
    /// What divers say by themselves.
    pub unasked: Vec<UnaskedFile>,
    /// What comes back when somebody is called.
    pub answers: Vec<AnswersFile>,
}

macro_rules! figures {
    ($($name:ident: $kind:ty, $meaning:literal;)*) => {
        /// The figures as they are written.
        #[derive(Clone, Debug, PartialEq, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(deny_unknown_fields)]
        pub struct FiguresFile {
            $(#[doc = concat!($meaning, ".")] pub $name: FigureFile<$kind>,)*
        }

        /// What is said over the speaker: figures in SI or plain, and the rows of what is said and answered.
        #[derive(Clone, Debug, PartialEq)]
        pub struct Voices {
            $(#[doc = concat!($meaning, ".")] pub $name: f64,)*
            /// Temperatures that are borne, by depth: msw, degC, degC.
            pub comfort: Vec<(f64, f64, f64)>,
            unasked: Vec<UnaskedRow>,
            answers: Table,
            /// Every figure with its range and source.
            pub rows: Vec<HarmFigure>,
        }

        impl Voices {
            /// Of what is written, with whatever is wrong with it told.
            pub fn of(file: &VoicesFile, section: &Section, diagnostics: &mut Diagnostics) -> Voices {
                let figures = &file.figures;
                let made = Voices {
                    $($name: figures.$name.value.si(),)*
                    comfort: comfort(&file.comfort, section, diagnostics),
                    unasked: UnaskedRow::all(&file.unasked, section, diagnostics),
                    answers: Table::of(&file.answers, section, diagnostics),
                    rows: vec![$(row(stringify!($name), $meaning, &figures.$name)),*],
                };
                made.check(section, diagnostics);
                made
            }
        }
    };
}

figures! {
    short_of_breath: Share, "Carbon dioxide, surface equivalent, from which a diver is short of breath";
    past_comfort: TemperatureSpan, "How far past the bands of comfort he says so";
    said_again: Duration, "After how long he says the same thing again";
    spoken_of_every: Duration, "How often what he feels is looked at";
    gas_heard: Area, "Least open area of a hole or passing valve that is heard";
    gas_rushes: Depth, "Depth from which gas that leaks is heard to rush";
    no_answer_after: Duration, "How long an answer is waited for at least";
    waking_least: Duration, "How much longer somebody asleep takes, at least";
    waking_most: Duration, "How much longer somebody asleep takes, at the most";
    granted_for: Duration, "How long what was granted may be done";
    wrong_least: Share, "By how much of it a wrong figure is wrong, at least";
    wrong_most: Share, "By how much of it a wrong figure is wrong, at the most";
    depth_read_to: Depth, "To what an inside depth gauge is read";
    depth_error: Depth, "By how much an inside depth gauge may be wrong";
    temperature_read_to: TemperatureSpan, "To what an inside thermometer is read";
    temperature_error: TemperatureSpan, "By how much an inside thermometer may be wrong";
    humidity_read_to: Share, "To what an inside hygrometer is read";
    humidity_error: Share, "By how much an inside hygrometer may be wrong";
    ppo2_read_to: Partial, "To what a portable oxygen analyser is read";
    ppo2_error: Partial, "By how much a portable oxygen analyser may be wrong";
    ppco2_read_to: Partial, "To what a portable carbon dioxide analyser is read";
    ppco2_error: Partial, "By how much a portable carbon dioxide analyser may be wrong";
    pressure_read_to: GaugeText, "To what a pressure gauge of a bottle or bank is read";
    pressure_error: GaugeText, "By how much a pressure gauge of a bottle or bank may be wrong";
}

/// A gauge that is read aloud: to what it is read, and by how much it may be wrong, in the unit of its quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// To what it is read.
    pub read_to: f64,
    /// By how much it may be wrong, either way.
    pub error: f64,
}

impl Voices {
    /// The built-in file.
    pub fn built_in() -> &'static Voices {
        static MADE: OnceLock<Voices> = OnceLock::new();
        MADE.get_or_init(|| {
            Voices::read("voices", BUILT_IN_VOICES).unwrap_or_else(|bad| panic!("{bad}"))
        })
    }

    /// Of the text of a file.
    ///
    /// # Errors
    /// Everything found wrong, each at its place.
    pub fn read(file: &str, text: &str) -> Result<Voices, Diagnostics> {
        let mut diagnostics = Diagnostics::default();
        let document = Document::parse(file, text)?;
        let written: Option<VoicesFile> = whole(&document, &[], &mut diagnostics);
        let section = Section::whole(document.into());
        let made = written.map(|w| Voices::of(&w, &section, &mut diagnostics));
        diagnostics.close(made)
    }

    /// What comes of a phrase from somebody, and if he is a diver in a state; none where it makes no sense to him.
    pub fn answers(
        &self,
        called: Called,
        phrase: PhraseKind,
        state: Option<Fitness>,
    ) -> Option<&Answers> {
        self.answers.get((called, phrase, state))
    }

    /// Every row of what comes back, with who is called, what is said and how he stands.
    pub fn answer_rows(
        &self,
    ) -> impl Iterator<Item = ((Called, PhraseKind, Option<Fitness>), &Answers)> {
        self.answers.rows()
    }

    /// Everything that has to have its row.
    pub fn asked_of_a_file() -> impl Iterator<Item = (Called, PhraseKind, Option<Fitness>)> {
        answers::every_key()
    }

    /// The row of what a diver says by himself.
    pub fn unasked(&self, says: Unasked) -> Option<&UnaskedRow> {
        self.unasked.iter().find(|r| r.says == says)
    }

    /// How a gauge of a quantity is read aloud; none where nobody carries or hangs such a one inside.
    pub fn gauge(&self, quantity: Quantity) -> Option<Gauge> {
        let (read_to, error) = match quantity {
            Quantity::Depth => (self.depth_read_to, self.depth_error),
            Quantity::Temperature => (self.temperature_read_to, self.temperature_error),
            Quantity::Humidity => (self.humidity_read_to, self.humidity_error),
            Quantity::PpO2 => (self.ppo2_read_to / BAR_PA, self.ppo2_error / BAR_PA),
            Quantity::PpCo2 => (self.ppco2_read_to / BAR_PA, self.ppco2_error / BAR_PA),
            Quantity::GaugePressure => {
                (self.pressure_read_to / BAR_PA, self.pressure_error / BAR_PA)
            }
            Quantity::FO2 | Quantity::SeaDepth => return None,
        };
        Some(Gauge { read_to, error })
    }

    fn check(&self, section: &Section, diagnostics: &mut Diagnostics) {
        let mut tell = |at: &str, words: &str| {
            diagnostics.add(
                section,
                &format!("figures.{at}"),
                Wrong::Value(words.to_owned()),
            );
        };
        for f in &self.rows {
            if !(f.value.is_finite() && f.value > 0.0) {
                tell(
                    &format!("{}.value", f.name),
                    "every figure is more than nothing",
                );
            } else if !(f.low <= f.value && f.value <= f.high) {
                tell(
                    &format!("{}.value", f.name),
                    "the value does not lie within its own range",
                );
            }
            if f.source.trim().is_empty() {
                tell(
                    &format!("{}.source", f.name),
                    "a figure says where it comes from",
                );
            }
        }
        if self.waking_least > self.waking_most {
            tell("waking_least.value", "the least is more than the most");
        }
        if self.wrong_least > self.wrong_most {
            tell("wrong_least.value", "the least is more than the most");
        }
        if self.spoken_of_every < 60.0 {
            tell(
                "spoken_of_every.value",
                "people are looked at each minute at the most",
            );
        }
    }
}

/// The bands of comfort as they are reckoned with: msw, degC, degC.
fn comfort(
    file: &ComfortFile,
    section: &Section,
    diagnostics: &mut Diagnostics,
) -> Vec<(f64, f64, f64)> {
    let mut tell = |at: &str, words: &str| {
        diagnostics.add(
            section,
            &format!("comfort.{at}"),
            Wrong::Value(words.to_owned()),
        );
    };
    if file.bands.is_empty() {
        tell("bands", "there is at least one band");
    }
    if file.source.trim().is_empty() {
        tell("source", "a figure says where it comes from");
    }
    for (k, pair) in file.bands.windows(2).enumerate() {
        if pair[0].depth.0 >= pair[1].depth.0 {
            tell(
                &format!("bands[{}].depth", k + 1),
                "each is deeper than the one before",
            );
        }
    }
    for (k, band) in file.bands.iter().enumerate() {
        if band.low.0 >= band.high.0 {
            tell(
                &format!("bands[{k}].low"),
                "the lowest is less than the highest",
            );
        }
    }
    let bands = file.bands.iter();
    bands
        .map(|b| (b.depth.0, b.low.0 - ZERO_C_K, b.high.0 - ZERO_C_K))
        .collect()
}

impl Default for Voices {
    fn default() -> Self {
        Voices::built_in().clone()
    }
}
