//! The steel as built: compartments, doors, banks, lines and instruments, with their sizes. All SI.

use deepstay_core::gas::Amounts;
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
    /// Diver-gas reclaim, where there is one.
    pub reclaim: Option<Reclaim>,
    /// Chamber gas recovery on decompression: the bank it fills and the recovered fraction.
    pub recovery: Option<Recovery>,
    /// Air temperature on deck, K.
    pub deck_t_k: f64,
    /// Surface pressure, Pa.
    pub surface_pa: f64,
}

/// One vessel.
#[derive(Clone, Debug, PartialEq)]
pub struct Compartment {
    /// Name as on the panel.
    pub name: String,
    /// What it is for.
    pub kind: CompartmentKind,
    /// Gas volume, m3.
    pub volume_m3: f64,
    /// Rated depth, msw.
    pub rating_msw: f64,
    /// Bunks; also the most divers it may hold asleep.
    pub bunks: u8,
    /// Most divers it may hold at all.
    pub places: u8,
    /// Inner wall surface, m2.
    pub wall_m2: f64,
    /// Heat capacity of wall and fittings, J/K.
    pub wall_j_k: f64,
    /// Wall to surroundings, W/K (for the bell: to air on deck and to sea in the water).
    pub wall_ua_w_k: f64,
    /// Standing leak as an effective hole area (discharge coefficient included), m2.
    pub leak_m2: f64,
    /// Effective area of the fully open blow-down valve, m2.
    pub blow_down_m2: f64,
    /// Effective area of the fully open exhaust, m2.
    pub exhaust_m2: f64,
    /// Effective area of the fully open bleed valve, m2.
    pub bleed_m2: f64,
    /// Effective area of the fully open drain, m2; zero where there is none.
    pub drain_m2: f64,
    /// Effective area of the fully open oxygen valve, m2; zero where there is none.
    pub oxygen_m2: f64,
    /// Supply regulator: outlet pressure above the compartment's, Pa.
    pub supply_over_pa: f64,
    /// Flow that the analysers draw, mol/s at all depths (0.5 L/min STPD is 3.7e-4).
    pub sample_mol_s: f64,
    /// Where the drain goes.
    pub drain_to: Option<CompartmentId>,
    /// Scrubber, where there is one.
    pub scrubber: Option<Scrubber>,
    /// Climate unit, where there is one.
    pub climate: Option<Climate>,
    /// Bell machinery, for a bell.
    pub bell: Option<Bell>,
}

/// A carbon dioxide scrubber: a fan through a canister of absorbent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scrubber {
    /// Fan flow at chamber conditions, m3/s.
    pub flow_m3_s: f64,
    /// Absorbent in a fresh canister, kg.
    pub absorbent_kg: f64,
    /// Capacity, mol CO2 per kg.
    pub capacity_mol_kg: f64,
    /// Bohart-Adams bed number of the fresh canister: rate constant times residence time times capacity.
    pub bed_number: f64,
    /// Fan power that ends as heat in the gas, W.
    pub fan_w: f64,
}

/// Heater, chiller and drying coil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Most heat the heater gives, W.
    pub heater_w: f64,
    /// Most heat the chiller takes, W.
    pub chiller_w: f64,
    /// Gas flow over the coil, m3/s.
    pub coil_m3_s: f64,
    /// Coil surface temperature, K.
    pub coil_t_k: f64,
    /// Contact factor of the coil, 0 to 1.
    pub coil_contact: f64,
    /// Band over which heating and cooling go from nothing to full, K.
    pub band_k: f64,
}

/// What a bell has beyond a chamber.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bell {
    /// Trunk it mates to.
    pub trunk: CompartmentId,
    /// Bank on the bell for divers' secondary gas and survival.
    pub on_board: Option<BankId>,
    /// Bank on the bell for metabolic oxygen.
    pub on_board_oxygen: Option<BankId>,
    /// Winch speed, msw/s.
    pub winch_msw_s: f64,
    /// Time over the side or through the moon pool between deck and water, s.
    pub handling_s: i64,
    /// Heat from hot water into the gas of a bell that is as cold as the sea, W; less as the bell warms, and none at
    /// the water's own temperature.
    pub hot_water_w: f64,
    /// Hot-water flow to each diver, kg/s, at the supply temperature: what the ship's heater is sized by.
    pub hot_water_kg_s: f64,
    /// Hot-water supply temperature, K.
    pub hot_water_t_k: f64,
}

/// A door, hatch or mating face.
#[derive(Clone, Debug, PartialEq)]
pub struct Door {
    /// Name as on the panel.
    pub name: String,
    /// Inner side.
    pub a: CompartmentId,
    /// Other side; none means the outside (the deck, or the sea for a bell's bottom door).
    pub b: Option<CompartmentId>,
    /// Whether the joint between the two can be unclamped (bell to trunk).
    pub clamp: bool,
    /// Effective area of the equalising valve, m2.
    pub equalise_m2: f64,
    /// Exchange flow when open, each way, m3/s.
    pub exchange_m3_s: f64,
    /// Greatest pressure difference at which it can be opened, Pa.
    pub open_below_pa: f64,
    /// State at the start.
    pub open_at_start: bool,
}

/// A bank of bottles drawn as one.
#[derive(Clone, Debug, PartialEq)]
pub struct Bank {
    /// Name as painted.
    pub name: String,
    /// Duty on the label.
    pub duty: Duty,
    /// Floodable volume of all bottles, m3.
    pub volume_m3: f64,
    /// Gauge pressure at the start, Pa, at `t_k`.
    pub fill_gauge_pa: f64,
    /// Temperature of the bottles, K.
    pub t_k: f64,
    /// What is truly in it, fractions.
    pub true_mix: Amounts,
    /// Oxygen fraction on the label.
    pub label_o2: f64,
    /// Oxygen fraction of the last analysis, none if never analysed.
    pub analysed_o2: Option<f64>,
}

/// Diver-gas reclaim.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reclaim {
    /// Bank the recovered gas goes back to.
    pub bank: BankId,
    /// Share of the exhaled gas that comes back.
    pub recovery: f64,
}

/// Chamber gas recovery.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recovery {
    /// Bank the recovered gas goes to.
    pub bank: BankId,
    /// Share of the exhaust that is recovered while it runs.
    pub recovered: f64,
    /// Lowest chamber gauge pressure at which the pump can draw, Pa.
    pub lowest_gauge_pa: f64,
}

/// What an instrument is connected to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum SamplePoint {
    /// A compartment's gas or pressure.
    Compartment(CompartmentId),
    /// A bank's gauge.
    Bank(BankId),
    /// The sea at a bell.
    Sea(CompartmentId),
}

/// A gauge or analyser.
#[derive(Clone, Debug, PartialEq)]
pub struct Instrument {
    /// Tag as on the panel.
    pub name: String,
    /// What it measures.
    pub quantity: Quantity,
    /// What the panel says it is connected to.
    pub labelled: SamplePoint,
    /// What it is really connected to.
    pub connected: SamplePoint,
    /// First or second instrument for the quantity.
    pub channel: Channel,
    /// First-order lag, s.
    pub lag_s: f64,
    /// Sample line: inside volume, m3 (zero for a gauge).
    pub line_m3: f64,
    /// Sample flow for the delay, mol/s.
    pub line_mol_s: f64,
    /// Whether the pressure is let down at the penetrator (short delay) or at the panel (long).
    pub let_down_at_penetrator: bool,
    /// Span error at the start, relative.
    pub span: f64,
    /// Zero error at the start, in the quantity's unit.
    pub zero: f64,
    /// Span drift, relative per second.
    pub span_drift_per_s: f64,
    /// Zero drift, unit per second.
    pub zero_drift_per_s: f64,
    /// How far it may be off, in the quantity's unit: its errors at the start and its drift are drawn
    /// within this.
    pub accuracy: f64,
    /// Smallest step shown, in the quantity's unit; zero shows all digits.
    pub resolution: f64,
    /// Highest value it can show, in the quantity's unit.
    pub ceiling: f64,
}

impl Steel {
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

    /// The gauge labelled for a bank.
    pub fn bank_gauge(&self, bank: BankId) -> Option<InstrumentId> {
        (0u16..)
            .zip(&self.instruments)
            .find(|(_, i)| i.labelled == SamplePoint::Bank(bank))
            .map(|(i, _)| InstrumentId(i))
    }
}
