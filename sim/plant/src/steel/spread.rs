//! The whole spread, and how its parts are found.

use super::alarm::Alarm;
use super::bank::{Bank, Reclaim, Recovery};
use super::compartment::Compartment;
use super::door::Door;
use super::instrument::{Instrument, SamplePoint};
use deepstay_core::gas::{Amounts, Species, water};
use deepstay_core::record::LineName;
use deepstay_core::units::*;

/// Most compartments a spread may have.
pub const MAX_COMPARTMENTS: usize = 16;
/// Most banks a spread may have.
pub const MAX_BANKS: usize = 32;

/// The whole spread.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Steel {
    /// Name of the (invented) vessel or spread.
    pub name: String,
    /// Vessels in id order.
    pub compartments: Vec<Compartment>,
    /// Doors in id order.
    pub doors: Vec<Door>,
    /// Banks in id order.
    pub banks: Vec<Bank>,
    /// Instruments in id order.
    pub instruments: Vec<Instrument>,
    /// The alarm panel, in the order of its list.
    pub alarms: Vec<Alarm>,
    /// Diver-gas reclaim, where there is one.
    pub reclaim: Option<Reclaim>,
    /// Chamber gas recovery on decompression: the bank it fills and the recovered fraction.
    pub recovery: Option<Recovery>,
    /// Air temperature on deck, K.
    pub deck_t_k: f64,
    /// Relative humidity of the air on deck, 0 to 1.
    pub deck_humidity: f64,
    /// Surface pressure, Pa.
    pub surface_pa: f64,
    /// Pressure over those who breathe from a line that its regulator wants from the bank, Pa: with less it gives
    /// nothing.
    pub breathing_over_pa: f64,
}

impl Steel {
    /// A mole of the air on deck, with the water vapour that it holds.
    pub fn deck_air(&self) -> Amounts {
        let vapour = self.deck_humidity * water::saturation_pa(self.deck_t_k) / self.surface_pa;
        let mut air = Amounts::air().scaled(1.0 - vapour);
        air[Species::H2o] = vapour;
        air
    }

    /// First compartment of a kind.
    pub fn first(&self, kind: CompartmentKind) -> Option<CompartmentId> {
        (0u8..)
            .zip(&self.compartments)
            .find(|(_, c)| c.kind == kind)
            .map(|(i, _)| CompartmentId(i))
    }

    /// The instrument labelled for a compartment's quantity and channel.
    pub fn instrument(
        &self,
        at: CompartmentId,
        quantity: Quantity,
        channel: Channel,
    ) -> Option<InstrumentId> {
        (0u16..)
            .zip(&self.instruments)
            .find(|(_, i)| {
                i.labelled == SamplePoint::Compartment(at)
                    && i.quantity == quantity
                    && i.channel == channel
            })
            .map(|(i, _)| InstrumentId(i))
    }

    /// What the regulator of a line holds over the pressure behind it as it is fitted, Pa.
    pub fn regulator_fitted_pa(&self, line: LineName) -> f64 {
        match line {
            LineName::Supply(c) | LineName::Oxygen(c) => {
                self.compartments[c.index()].supply_over_pa
            }
            LineName::Bibs(_) | LineName::DiverMain(_) | LineName::DiverSecondary(_) => {
                self.breathing_over_pa
            }
        }
    }

    /// Compartments that a compartment has doors to.
    pub fn neighbours(&self, c: CompartmentId) -> impl Iterator<Item = CompartmentId> + '_ {
        self.doors.iter().filter_map(move |d| d.leads_to(c))
    }

    /// The gauge labelled for a bank.
    pub fn bank_gauge(&self, bank: BankId) -> Option<InstrumentId> {
        (0u16..)
            .zip(&self.instruments)
            .find(|(_, i)| i.labelled == SamplePoint::Bank(bank))
            .map(|(i, _)| InstrumentId(i))
    }
}
