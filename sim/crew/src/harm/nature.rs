//! What differs between people, drawn once for each, and how hard a man works.

use super::figures::HarmFigures;
use super::pressure_loss::hit_from;
use crate::rates::Rate;
use deepstay_plant::Activity;
use serde::{Deserialize, Serialize};

/// A man as the laws know him at present.
#[derive(Clone, Copy, Debug)]
pub struct Man<'a> {
    /// The figures.
    pub figures: &'a HarmFigures,
    /// How he differs from the average.
    pub nature: Nature,
    /// Mass, kg.
    pub mass_kg: f64,
    /// What he takes and gives.
    pub rate: Rate,
    /// How hard he works.
    pub effort: Effort,
    /// Whether he is in the water.
    pub wet: bool,
    /// Pressure at the surface, Pa.
    pub surface_pa: f64,
}

/// How one person differs from the average: drawn once, his for life.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Nature {
    /// Multiplies every time to harm.
    pub times: f64,
    /// His place on the law of oxygen, in standard deviations: high stands more.
    pub oxygen: f64,
    /// The loss of pressure that hits him, as a multiple of the allowed excursion.
    pub loss: f64,
}

impl Nature {
    /// The average person.
    pub fn average(figures: &HarmFigures) -> Nature {
        Nature::drawn(figures, 0.0, 0.0, 0.5)
    }

    /// A person by three draws: how far his times and his place on the law of oxygen lie from the average, in standard
    /// deviations, and the share of people whom a smaller loss of pressure hits.
    pub fn drawn(figures: &HarmFigures, times: f64, oxygen: f64, loss: f64) -> Nature {
        Nature {
            times: libm::exp(figures.people_spread * times),
            oxygen,
            loss: hit_from(figures, loss),
        }
    }
}

/// How hard a man works, for the laws that know three steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// Asleep or sitting.
    Rest,
    /// On his feet, or at ease in the water.
    Light,
    /// Out of breath.
    Hard,
}

impl From<Activity> for Effort {
    /// By what is breathed: up to 10, up to 25, and more litres a minute in the table of rates (house rule).
    fn from(activity: Activity) -> Effort {
        match activity {
            Activity::Sleep | Activity::Rest => Effort::Rest,
            Activity::Chores
            | Activity::Exercise
            | Activity::Bellman
            | Activity::WaterRest
            | Activity::WaterLight => Effort::Light,
            Activity::WaterModerate | Activity::WaterHeavy => Effort::Hard,
        }
    }
}
