//! The alarm panel in the words of entries: what an alarm may be fitted for, and where it sounds.

use super::{Aspect, BreathingLine, LimitBy, LimitName};
use crate::units::Quantity;
use serde::{Deserialize, Serialize};

/// What an alarm is fitted for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum AlarmOf {
    /// Oxygen partial pressure.
    PpO2,
    /// Carbon dioxide partial pressure.
    PpCo2,
    /// Gas temperature.
    Temperature,
    /// Relative humidity.
    Humidity,
    /// How far the depth is off what was ordered: under it on the low side, over it on the high one.
    DepthDeviation,
    /// How fast the depth changes: shallower on the low side, deeper on the high one.
    DepthRate,
    /// The depth itself; by the rules, against what the vessel is rated for.
    Depth,
    /// What a bank, or the loop, that feeds a line has over what the line needs to give a breath, while somebody
    /// breathes from it.
    Supply(BreathingLine),
}

impl AlarmOf {
    /// The quantity that the instrument shows.
    pub fn quantity(self) -> Quantity {
        match self {
            AlarmOf::PpO2 => Quantity::PpO2,
            AlarmOf::PpCo2 => Quantity::PpCo2,
            AlarmOf::Temperature => Quantity::Temperature,
            AlarmOf::Humidity => Quantity::Humidity,
            AlarmOf::DepthDeviation | AlarmOf::DepthRate | AlarmOf::Depth => Quantity::Depth,
            AlarmOf::Supply(_) => Quantity::GaugePressure,
        }
    }

    /// What is watched of the quantity.
    pub fn aspect(self) -> Aspect {
        match self {
            AlarmOf::DepthRate => Aspect::Rate,
            AlarmOf::Supply(line) => Aspect::Supply(line),
            AlarmOf::PpO2
            | AlarmOf::PpCo2
            | AlarmOf::Temperature
            | AlarmOf::Humidity
            | AlarmOf::DepthDeviation
            | AlarmOf::Depth => Aspect::Inside,
        }
    }

    /// The alarm that a limit of plant and rules may have; none of what no instrument shows.
    pub fn of_limit(name: &LimitName) -> Option<AlarmOf> {
        match (name.quantity, name.aspect, name.by) {
            (_, Aspect::Breathed | Aspect::Supply(_) | Aspect::Water, _)
            | (_, _, LimitBy::SetPoint | LimitBy::Panel(_)) => None,
            (Quantity::Depth, Aspect::Rate, _) => Some(AlarmOf::DepthRate),
            (_, Aspect::Rate, _) => None,
            (Quantity::Depth, Aspect::Inside, LimitBy::Rating) => Some(AlarmOf::Depth),
            (Quantity::Depth, Aspect::Inside, LimitBy::Row(_)) => Some(AlarmOf::DepthDeviation),
            (Quantity::PpO2, ..) => Some(AlarmOf::PpO2),
            (Quantity::PpCo2, ..) => Some(AlarmOf::PpCo2),
            (Quantity::Temperature, ..) => Some(AlarmOf::Temperature),
            (Quantity::Humidity, ..) => Some(AlarmOf::Humidity),
            (Quantity::FO2 | Quantity::SeaDepth | Quantity::GaugePressure, ..) => None,
        }
    }
}

/// A place where an alarm sounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum SoundsAt {
    /// Saturation control.
    SaturationControl,
    /// Dive control.
    DiveControl,
    /// In the vessel itself.
    Chamber,
}

impl SoundsAt {
    /// All places, in order.
    pub const ALL: [SoundsAt; 3] = [
        SoundsAt::SaturationControl,
        SoundsAt::DiveControl,
        SoundsAt::Chamber,
    ];
}

/// Where an alarm sounds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Sounds([bool; 3]);

impl Sounds {
    /// Whether it sounds at a place.
    pub fn at(self, place: SoundsAt) -> bool {
        self.0[place as usize]
    }

    /// The places, in order.
    pub fn places(self) -> impl Iterator<Item = SoundsAt> {
        SoundsAt::ALL.into_iter().filter(move |p| self.at(*p))
    }
}

impl FromIterator<SoundsAt> for Sounds {
    fn from_iter<T: IntoIterator<Item = SoundsAt>>(places: T) -> Sounds {
        let mut sounds = Sounds::default();
        for place in places {
            sounds.0[place as usize] = true;
        }
        sounds
    }
}

/// How an alarm is set when it rings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct AlarmSetting {
    /// Its set point, in the unit of the quantity; of a rate, in a minute.
    pub set_point: f64,
    /// How long the reading must stand beyond it, s.
    pub delay_s: i64,
    /// Where it sounds.
    pub sounds: Sounds,
    /// It stays after its cause is gone until it is reset.
    pub latches: bool,
}
