//! A sum as data: its name, what goes in, what comes out, its formula with its source, and the conventions it knows.

use crate::convention::Choice;
use crate::error::SumError;
use crate::frame::Frame;
use crate::name::Name;
use deepstay_core::Status;
use deepstay_core::units::Units;

/// Where a figure that is not given comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum How {
    /// It must be given.
    Needed,
    /// This, metric and imperial, with where it is from.
    Usual {
        /// In metric units.
        metric: &'static str,
        /// In imperial units.
        imperial: &'static str,
        /// Where it is from.
        source: &'static str,
        /// The choice whose other side alone uses it, if there is one.
        only: Option<Choice>,
    },
    /// As much as another.
    As(Name),
    /// Of the air at the surface, where the sum starts there; else it must be given.
    AirAtSurface,
}

/// One input.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ask {
    /// Which.
    pub name: Name,
    /// Where it comes from.
    pub how: How,
}

/// An input that must be given.
pub const fn need(name: Name) -> Ask {
    Ask {
        name,
        how: How::Needed,
    }
}

/// An input that has a usual figure.
pub const fn usual(
    name: Name,
    metric: &'static str,
    imperial: &'static str,
    source: &'static str,
) -> Ask {
    Ask {
        name,
        how: How::Usual {
            metric,
            imperial,
            source,
            only: None,
        },
    }
}

/// A usual figure that a rule set may say otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfASet {
    /// Oxygen of a person, for sizing.
    OxygenSizing,
    /// Carbon dioxide of a person, for sizing.
    Co2Sizing,
    /// Carbon dioxide of a person, as measured.
    Co2Measured,
    /// Breathing on a bail-out.
    BailOut,
    /// Oxygen by volume from which on a chamber is in the fire zone.
    FireZone,
}

impl Ask {
    /// Which figure of a rule set this is; none of what must be given or is no rule's.
    pub fn of_a_set(&self) -> Option<OfASet> {
        let How::Usual { source, .. } = self.how else {
            return None;
        };
        let sizing = source.starts_with("France, order of 30 October 2012, art. 33");
        match self.name {
            Name::OxygenRate if sizing => Some(OfASet::OxygenSizing),
            Name::Co2Rate if sizing => Some(OfASet::Co2Sizing),
            Name::Co2Rate => Some(OfASet::Co2Measured),
            Name::Breathing if source.starts_with("Brazil") => Some(OfASet::BailOut),
            Name::Share if source.contains("15-17") => Some(OfASet::FireZone),
            _ => None,
        }
    }
}

/// An input that only the other side of a choice uses.
pub const fn only(
    choice: Choice,
    name: Name,
    metric: &'static str,
    imperial: &'static str,
    source: &'static str,
) -> Ask {
    Ask {
        name,
        how: How::Usual {
            metric,
            imperial,
            source,
            only: Some(choice),
        },
    }
}

/// A mix that only real gas asks for; helium where nothing is said.
pub const MIX: Ask = only(Choice::Gas, Name::Mix, "0 %", "0 %", "taken to be helium");
/// Nitrogen in a mix that only real gas asks for.
pub const NITROGEN: Ask = only(
    Choice::Gas,
    Name::Nitrogen,
    "0 %",
    "0 %",
    "taken to be heliox",
);
/// The temperature that only real gas asks for.
pub const TEMPERATURE: Ask = only(
    Choice::Gas,
    Name::Temperature,
    "15 degC",
    "59 degF",
    "the trade's reference for bottles",
);
/// The chamber's temperature that only standard litres ask for.
pub const CHAMBER_TEMPERATURE: Ask = only(
    Choice::Litres,
    Name::Temperature,
    "30 degC",
    "86 degF",
    "common in living chambers; no source",
);
/// Oxygen of a person, at the rate by which life support is sized.
pub const ONE_PERSON: Ask = usual(
    Name::OxygenRate,
    "0.5 L/min",
    "0.0177 ft3/min",
    "France, order of 30 October 2012, art. 33 (30 L/h)",
);
/// The pressure at the surface that only exact pressures ask for.
pub const SURFACE: Ask = only(
    Choice::Pressure,
    Name::Surface,
    "1.01325 bar",
    "1 ata",
    "standard atmosphere",
);

/// The formula, by convention.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Formulas {
    /// By hand, metric.
    pub metric: &'static str,
    /// By hand, imperial.
    pub imperial: &'static str,
    /// Of real gas; empty where the sum knows none.
    pub real: &'static str,
}

/// What a sum does: the answers in its order, each in the unit that sums count it in.
pub type Work = fn(&Frame) -> Result<Vec<f64>, SumError>;

/// A sum.
#[derive(Clone, Copy, Debug)]
pub struct Sum {
    /// Its name.
    pub name: &'static str,
    /// What it answers, in a line.
    pub says: &'static str,
    /// What goes in.
    pub asks: &'static [Ask],
    /// What comes out; the first is the answer, the others stand beside it.
    pub answers: &'static [Name],
    /// The choices between conventions that change it.
    pub choices: &'static [Choice],
    /// Choices that it makes on the other side by itself in imperial units, as the handbook does.
    pub handbook: &'static [Choice],
    /// The formula.
    pub formula: Formulas,
    /// Document.
    pub document: &'static str,
    /// How it came to us.
    pub status: Status,
    /// The sum itself.
    pub work: Work,
    /// Inputs of an example, metric.
    pub example: &'static str,
    /// Inputs of an example, imperial.
    pub imperial_example: &'static str,
}

impl Sum {
    /// The place of an answer among its answers; the first for what is none of them.
    pub fn place(&self, answer: Name) -> usize {
        let mut answers = self.answers.iter();
        answers.position(|n| *n == answer).unwrap_or(0)
    }

    /// The input of a name.
    pub fn ask(&self, name: Name) -> Option<&Ask> {
        self.asks.iter().find(|a| a.name == name)
    }

    /// Every name it knows, inputs first.
    pub fn names(&self) -> impl Iterator<Item = Name> + '_ {
        self.asks
            .iter()
            .map(|a| a.name)
            .chain(self.answers.iter().copied())
    }

    /// The choices that can change it in a system of units: the handbook rounds psi and the minutes of an ascent, so that a
    /// metric sum without an ascent knows no rounding.
    pub fn choices_in(&self, units: Units) -> impl Iterator<Item = Choice> + '_ {
        let rounds = units == Units::Imperial || self.ask(Name::AscentRate).is_some();
        let all = self.choices.iter().copied();
        all.filter(move |choice| rounds || *choice != Choice::Rounding)
    }

    /// The example in a system of units.
    pub fn example_in(&self, units: Units) -> &'static str {
        match units {
            Units::Metric => self.example,
            Units::Imperial => self.imperial_example,
        }
    }

    /// The formula in words.
    pub fn formula_in(&self, units: Units, real: bool) -> &'static str {
        match units {
            _ if real && !self.formula.real.is_empty() => self.formula.real,
            Units::Metric => self.formula.metric,
            Units::Imperial => self.formula.imperial,
        }
    }
}
