//! What a body takes and gives by activity: a table with a source and a spread beside each row.
//!
//! Rates are for the table's person (1.8 m2 of skin); a diver's own factor multiplies them. Activities
//! out of the water are at the levels of ISO 8996 (sleep to moderate); in the water rest and the working
//! swim are measured, and the two between them stand at the standard's moderate and high levels. The
//! water that evaporates goes with the heat, at the share of a measured day: 2.28 kg against 136.7 W
//! (NASA RP-1324, 1994). Simulated rates are these; sizing rates are larger and belong to the rule set.

use deepstay_core::units::{ATM_PA, R, ZERO_C_K};
use deepstay_plant::Activity;
use deepstay_rules::{Source, Status};
use serde::{Deserialize, Serialize};

/// Amount in one litre a minute of dry gas at 0 degC and 1 atm, mol/s.
pub const MOL_S_PER_L_MIN: f64 = ATM_PA / (R * ZERO_C_K) * 1e-3 / 60.0;
/// Water vapour in saturated gas at 30 degC, kg/m3: what is breathed out after dry gas.
pub const BREATH_WATER_KG_M3: f64 = 30.4e-3;
/// Heat of evaporation of water near 30 degC, J/kg.
pub const EVAPORATION_J_KG: f64 = 2.43e6;
/// Molar mass of water, kg/mol.
pub const WATER_KG_MOL: f64 = 18.015e-3;
/// Water that evaporates from a person per watt of his heat, g/h: 2.28 kg a day against 136.7 W.
pub const WATER_G_H_PER_W: f64 = 2280.0 / 24.0 / 136.7;

/// How many activities there are.
pub const ACTIVITIES: usize = 9;

/// Every activity, in the order of the table.
pub const ALL_ACTIVITIES: [Activity; ACTIVITIES] = [
    Activity::Sleep,
    Activity::Rest,
    Activity::Chores,
    Activity::Exercise,
    Activity::Bellman,
    Activity::WaterRest,
    Activity::WaterLight,
    Activity::WaterModerate,
    Activity::WaterHeavy,
];

/// Whether an activity is one of those in the water.
pub fn in_water(activity: Activity) -> bool {
    matches!(
        activity,
        Activity::WaterRest | Activity::WaterLight | Activity::WaterModerate | Activity::WaterHeavy
    )
}

/// What the table's person takes and gives while he does one thing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rate {
    /// Oxygen taken, L/min at 0 degC, 1 atm, dry.
    pub o2_l_min: f64,
    /// Carbon dioxide given, L/min at 0 degC, 1 atm, dry.
    pub co2_l_min: f64,
    /// Gas breathed, L/min at the pressure of the diver.
    pub ventilation_l_min: f64,
    /// Heat made, W, what leaves with evaporating water included.
    pub heat_w: f64,
    /// Water that evaporates from skin and breath, g/h; in the water from breath alone.
    pub water_g_h: f64,
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RateRow {
    /// What is done.
    pub activity: Activity,
    /// The rates.
    pub rate: Rate,
    /// Relative standard deviation between people, for studies that vary it; 0.16 is that of a day's
    /// energy among ten saturation divers (Frontiers in Physiology 2021, 12:687605).
    pub spread: f64,
    /// Where the row comes from.
    pub source: Source,
}

/// The whole table; an input like any other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rates {
    /// One row per activity, in any order.
    pub rows: Vec<RateRow>,
}

/// What is wrong with a table of rates.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum RatesError {
    /// An activity has no row, or more than one.
    #[error("{activity:?} has {rows} rows in the table of rates; each activity has one")]
    Rows {
        /// Which.
        activity: Activity,
        /// How many rows it has.
        rows: usize,
    },
    /// A figure is not one that a person can have.
    #[error(
        "the rates of {activity:?} are not a person's: every figure is 0 to 1000, carbon dioxide is 0.6 to 1.3 of the \
         oxygen, and evaporation takes no more than the heat made"
    )]
    Figure {
        /// Which.
        activity: Activity,
    },
}

impl Rates {
    /// The rates in the order of [`ALL_ACTIVITIES`].
    ///
    /// # Errors
    /// A missing or double row, or figures no person has.
    pub fn table(&self) -> Result<[Rate; ACTIVITIES], RatesError> {
        let mut table = [Rate {
            o2_l_min: 0.0,
            co2_l_min: 0.0,
            ventilation_l_min: 0.0,
            heat_w: 0.0,
            water_g_h: 0.0,
        }; 9];
        for (slot, activity) in table.iter_mut().zip(ALL_ACTIVITIES) {
            let rows = self.rows.iter().filter(|r| r.activity == activity);
            let mut of = rows.clone();
            let (Some(row), None) = (of.next(), of.next()) else {
                return Err(RatesError::Rows {
                    activity,
                    rows: rows.count(),
                });
            };
            if !row.rate.is_a_persons() || !(0.0..=1.0).contains(&row.spread) {
                return Err(RatesError::Figure { activity });
            }
            *slot = row.rate;
        }
        Ok(table)
    }
}

impl Rate {
    fn is_a_persons(&self) -> bool {
        let all = [
            self.o2_l_min,
            self.co2_l_min,
            self.ventilation_l_min,
            self.heat_w,
            self.water_g_h,
        ];
        all.iter().all(|x| (0.0..=1000.0).contains(x))
            && (0.6..=1.3).contains(&(self.co2_l_min / self.o2_l_min))
            && self.evaporation_w() <= self.heat_w
    }

    /// The same so many times over.
    pub fn times(&self, factor: f64) -> Rate {
        Rate {
            o2_l_min: self.o2_l_min * factor,
            co2_l_min: self.co2_l_min * factor,
            ventilation_l_min: self.ventilation_l_min * factor,
            heat_w: self.heat_w * factor,
            water_g_h: self.water_g_h * factor,
        }
    }

    /// Heat that leaves with the evaporating water, W.
    pub fn evaporation_w(&self) -> f64 {
        self.water_g_h * 1e-3 / 3600.0 * EVAPORATION_J_KG
    }

    /// Gas breathed, m3/s at the pressure of the diver.
    pub fn ventilation_m3_s(&self) -> f64 {
        self.ventilation_l_min * 1e-3 / 60.0
    }

    /// Water in the breath after dry gas, g/h, never more than all that evaporates.
    pub fn breath_water_g_h(&self) -> f64 {
        (self.ventilation_m3_s() * BREATH_WATER_KG_M3 * 3.6e6).min(self.water_g_h)
    }
}

impl Default for Rates {
    fn default() -> Rates {
        use Activity::*;
        const ISO: &str = "ISO 8996:2021, metabolic classes";
        const SWIM: &str = "Navy Experimental Diving Unit report 1-89 (1989), oxygen uptake";
        let dry =
            |activity, o2_l_min, co2_l_min, ventilation_l_min, heat_w: f64, level: &str| RateRow {
                activity,
                rate: Rate {
                    o2_l_min,
                    co2_l_min,
                    ventilation_l_min,
                    heat_w,
                    water_g_h: heat_w * WATER_G_H_PER_W,
                },
                spread: 0.16,
                source: Source {
                    document: format!("{ISO}: {level}"),
                    status: Status::Recalled,
                },
            };
        let wet = |activity,
                   o2_l_min,
                   co2_l_min,
                   ventilation_l_min: f64,
                   heat_w,
                   spread,
                   document: String,
                   status| RateRow {
            activity,
            rate: Rate {
                o2_l_min,
                co2_l_min,
                ventilation_l_min,
                heat_w,
                water_g_h: ventilation_l_min * BREATH_WATER_KG_M3 * 60.0,
            },
            spread,
            source: Source { document, status },
        };
        let rest = format!(
            "{SWIM} at rest 0.64 L/min, sd 0.09; other columns at a respiratory quotient of 0.85"
        );
        let swim = format!(
            "{SWIM} of a working swim 1.5 L/min, sd 0.2; other columns from {ISO}: very high (from memory)"
        );
        Rates {
            rows: vec![
                dry(Sleep, 0.25, 0.21, 6.0, 85.0, "sleep"),
                dry(Rest, 0.30, 0.26, 8.0, 105.0, "sitting"),
                dry(Chores, 0.53, 0.45, 15.0, 180.0, "low"),
                dry(Exercise, 0.87, 0.74, 22.0, 297.0, "moderate"),
                dry(
                    Bellman,
                    0.53,
                    0.45,
                    15.0,
                    180.0,
                    "low, taken for tending umbilicals",
                ),
                wet(
                    WaterRest,
                    0.64,
                    0.544,
                    14.4,
                    218.0,
                    0.14,
                    rest,
                    Status::Seen,
                ),
                wet(
                    WaterLight,
                    0.87,
                    0.74,
                    22.0,
                    297.0,
                    0.16,
                    format!("{ISO}: moderate"),
                    Status::Recalled,
                ),
                wet(
                    WaterModerate,
                    1.22,
                    1.04,
                    30.0,
                    414.0,
                    0.16,
                    format!("{ISO}: high"),
                    Status::Recalled,
                ),
                wet(WaterHeavy, 1.5, 1.28, 40.0, 512.0, 0.13, swim, Status::Seen),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_default_table_is_whole_and_rises_with_effort() {
        let table = Rates::default().table().expect("whole");
        for (i, activity) in ALL_ACTIVITIES.into_iter().enumerate() {
            assert_eq!(activity as usize, i);
        }
        for chain in [[0, 1, 2, 3].as_slice(), &[5, 6, 7, 8]] {
            assert!(
                chain
                    .windows(2)
                    .all(|w| table[w[0]].o2_l_min < table[w[1]].o2_l_min)
            );
        }
    }

    #[test]
    fn a_missing_a_double_and_an_impossible_row_are_refused() {
        let mut rates = Rates::default();
        let row = rates.rows.remove(0);
        assert_eq!(
            rates.table(),
            Err(RatesError::Rows {
                activity: Activity::Sleep,
                rows: 0
            })
        );
        rates.rows.extend([row.clone(), row]);
        assert_eq!(
            rates.table(),
            Err(RatesError::Rows {
                activity: Activity::Sleep,
                rows: 2
            })
        );
        for bad in [f64::NAN, -1.0, f64::INFINITY, 1e300, 0.0] {
            let mut rates = Rates::default();
            rates.rows[3].rate.o2_l_min = bad;
            assert_eq!(
                rates.table(),
                Err(RatesError::Figure {
                    activity: Activity::Exercise
                })
            );
        }
    }

    #[test]
    fn a_row_survives_being_written_and_read() {
        let text = ron::to_string(&Rates::default()).expect("can be written");
        assert_eq!(
            ron::from_str::<Rates>(&text).expect("and read"),
            Rates::default()
        );
    }
}
