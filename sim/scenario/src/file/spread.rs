//! The steel as a person measures it: volumes, bores of valves, masses of walls, machines by their
//! plates.

use super::{Number, Ranged};
use deepstay_core::record::{AlarmOf, Bound, Severity, SoundsAt};
use deepstay_core::units::text::{
    Absolute, ActualFlow, Area, Bore, Capacity, Conductance, Depth, DepthRate, Duration, FreeFlow,
    Gauge, Leak, Length, Mass, Partial, Power, Share, Temperature, TemperatureSpan, Volume,
};
use deepstay_core::units::{CompartmentKind, Quantity};
use serde::Deserialize;

/// A spread.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SpreadFile {
    /// Version of the grammar, where this is a file of its own.
    #[serde(default)]
    pub format: Option<u32>,
    /// Name of the vessel or spread.
    pub name: String,
    /// Air temperature on deck.
    pub deck_temperature: Temperature,
    /// Relative humidity of the air on deck; 75 % where nothing is said, a house figure from memory.
    #[serde(default = "deck_humidity")]
    pub deck_humidity: Share,
    /// Surface pressure.
    #[serde(default = "standard")]
    pub surface_pressure: Absolute,
    /// Pressure over those who breathe from a line (masks, divers' gas) that its regulator wants from the bank: with
    /// less it gives nothing.
    #[serde(default = "breathing_over")]
    pub breathing_over: Gauge,
    /// The compartments.
    pub compartments: Vec<CompartmentFile>,
    /// The doors.
    pub doors: Vec<DoorFile>,
    /// The loop that brings divers' gas back, where there is one.
    #[serde(default)]
    pub reclaim: Option<LoopFile>,
    /// What a diver can read where he is and say aloud, by gauges that hang inside and analysers that are carried.
    #[serde(default = "inside_gauges")]
    pub inside_gauges: Vec<Quantity>,
    /// What the standard set of instruments is like.
    #[serde(default)]
    pub instruments: InstrumentsFile,
    /// The alarm panel: only what is fitted rings, and no limit depends on it. Left out, every vessel has what is
    /// common: ppO2, ppCO2, temperature, humidity, depth off what was ordered and depth against the rating, at the
    /// limits of the rules (common practice, no source); and what masks and helmets are fed from, 10 bar over what
    /// masks and secondary gas need to give a breath, 4 bar over it for divers' main gas (house figures). An empty
    /// list fits none.
    #[serde(default)]
    pub alarms: Option<Vec<AlarmFile>>,
}

/// An alarm of the panel.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AlarmFile {
    /// Of which vessel, or of every one of a kind.
    pub at: AlarmPlace,
    /// What it is fitted for.
    pub of: AlarmOf,
    /// High or low.
    pub bound: Bound,
    /// Its set point: "rule" for the limits of plant and rules in force, or a value of its own with its unit. Of a
    /// depth deviation the value is how far off what was ordered; of a supply, which is always low and has no rule,
    /// how much bank or loop still have over what the line needs to give a breath.
    #[serde(default = "by_rule")]
    pub set: String,
    /// How grave it is. By the rules: only limits of this severity ring, where it is left out all of them. With a set
    /// point of its own: what it is shown as, where it is left out a limit.
    #[serde(default)]
    pub severity: Option<Severity>,
    /// How long the reading must stand beyond the set point. Left out: as long as the limit itself has to stand to
    /// count, at once with a set point of its own.
    #[serde(default)]
    pub delay: Option<Duration>,
    /// Where it sounds. Left out: at saturation control, of a bell at dive control too (common practice, no source).
    #[serde(default)]
    pub sounds: Option<Vec<SoundsAt>>,
    /// It stays after its cause is gone, until somebody resets it.
    #[serde(default)]
    pub latches: bool,
}

/// Where an alarm is fitted.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum AlarmPlace {
    /// In the vessel of this name.
    Named(String),
    /// In every vessel of a kind.
    Every(CompartmentKind),
}

/// The loop that brings divers' gas back: a volume tank that they are fed from, the absorbent that all that comes back
/// goes through, the make-up, and the analysers of what is supplied (two for oxygen, one for carbon dioxide).
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct LoopFile {
    /// Name as on the panel.
    #[serde(default = "loop_name")]
    pub name: String,
    /// Volume of the tank.
    pub tank: Volume,
    /// Pressure that make-up holds in it; it must stand well over that of the deepest diver.
    pub working: Gauge,
    /// The tank's wall.
    pub wall: WallFile,
    /// Absorbent in a fresh charge, with its range.
    pub absorbent: Ranged<Mass>,
    /// Carbon dioxide taken up by a mass of absorbent (dry, 0 degC, 1 atm), with its range.
    pub capacity: Ranged<Capacity>,
    /// Number of the bed after Bohart and Adams, for one pass of what comes back.
    #[serde(default = "loop_bed_number")]
    pub bed_number: Number,
    /// Bore of the make-up valve.
    pub make_up: Bore,
    /// Bore of the valve of an oxygen trickle; left out where a richer make-up mix brings the oxygen.
    #[serde(default)]
    pub trickle: Option<Bore>,
    /// Flow to the analysers (0 degC, 1 atm).
    #[serde(default = "loop_sample")]
    pub sample: FreeFlow,
    /// Set points of the alarms on what is supplied.
    #[serde(default)]
    pub alarms: LoopAlarmsFile,
}

/// Set points of the alarms on a loop's supply.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct LoopAlarmsFile {
    /// Least oxygen.
    pub oxygen_low: Partial,
    /// Most oxygen.
    pub oxygen_high: Partial,
    /// Most carbon dioxide.
    pub carbon_dioxide: Partial,
    /// Least pressure in the tank; left out, four fifths of what make-up holds (house figure).
    pub pressure_low: Option<Gauge>,
}

impl Default for LoopAlarmsFile {
    /// Oxygen as the US Navy Diving Manual has it for divers' gas (saturation chapter, 0.44 to 1.25 ata), carbon dioxide
    /// as for a chamber (0.005 ata); that these are the alarms of a loop is a house rule.
    fn default() -> Self {
        LoopAlarmsFile {
            oxygen_low: Partial(0.44 * 101_325.0),
            oxygen_high: Partial(1.25 * 101_325.0),
            carbon_dioxide: Partial(0.005 * 101_325.0),
            pressure_low: None,
        }
    }
}

/// A compartment.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct CompartmentFile {
    /// Name as on the panel.
    pub name: String,
    /// What it is for.
    pub kind: CompartmentKind,
    /// Gas volume.
    pub volume: Volume,
    /// Rated depth.
    pub rating: Depth,
    /// Bunks.
    #[serde(default)]
    pub bunks: u8,
    /// Most divers it may hold; as many as bunks where not given.
    #[serde(default)]
    pub places: Option<u8>,
    /// The wall.
    pub wall: WallFile,
    /// Standing leak: share of the contents a day, with its range, as heliox of 4 % oxygen at 30 °C would leak at the
    /// rating. A heavier gas leaks a smaller share through the same hole.
    #[serde(default)]
    pub leak: Option<Ranged<Leak>>,
    /// Bores of the valves.
    #[serde(default)]
    pub valves: ValvesFile,
    /// Pressure of the supply regulator above the compartment.
    #[serde(default = "supply_over")]
    pub supply_over: Gauge,
    /// Flow to the analysers outside (0 degC, 1 atm); none where they stand inside.
    #[serde(default)]
    pub sample: Option<FreeFlow>,
    /// Where the drain goes.
    #[serde(default)]
    pub drain_to: Option<String>,
    /// Scrubber.
    #[serde(default)]
    pub scrubber: Option<ScrubberFile>,
    /// Heater, chiller and coil.
    #[serde(default)]
    pub climate: Option<ClimateFile>,
    /// What a bell has beyond a chamber.
    #[serde(default)]
    pub bell: Option<BellFile>,
    /// Relief valve; none where over-pressure is left to the alarm.
    #[serde(default)]
    pub relief: Option<ReliefFile>,
}

/// A relief valve, with a gag valve before it.
#[derive(Clone, Copy, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ReliefFile {
    /// Depth at which it lifts; no deeper than the rating.
    pub set: Depth,
    /// Depth at which it reseats.
    pub reseat: Depth,
    /// Bore.
    pub bore: Bore,
    /// Its gag valve is shut: it does nothing.
    #[serde(default)]
    pub gagged: bool,
}

/// A wall.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WallFile {
    /// Inner surface.
    pub area: Area,
    /// Mass of steel of wall and fittings.
    pub steel: Mass,
    /// Heat lost to the surroundings per degree.
    pub loss: Conductance,
}

/// Bores of valves; a valve that is not given is not there.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct ValvesFile {
    /// Supply.
    pub blow_down: Option<Bore>,
    /// Main exhaust.
    pub exhaust: Option<Bore>,
    /// Fine bleed.
    pub bleed: Option<Bore>,
    /// Drain to the holding tank.
    pub drain: Option<Bore>,
    /// Oxygen.
    pub oxygen: Option<Bore>,
    /// Discharge coefficient of all of them.
    pub discharge: Number,
}

impl Default for ValvesFile {
    fn default() -> Self {
        ValvesFile {
            blow_down: None,
            exhaust: None,
            bleed: None,
            drain: None,
            oxygen: None,
            discharge: Number(0.8),
        }
    }
}

/// A scrubber.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ScrubberFile {
    /// Fan flow at chamber conditions.
    pub flow: ActualFlow,
    /// Absorbent in a fresh canister, with its range.
    pub absorbent: Ranged<Mass>,
    /// Carbon dioxide taken up by a mass of absorbent (dry, 0 degC, 1 atm), with its range.
    pub capacity: Ranged<Capacity>,
    /// Number of the bed after Bohart and Adams; 3.4 by one published run.
    #[serde(default = "bed_number")]
    pub bed_number: Number,
    /// Power of the fan.
    pub fan: Power,
}

/// A climate unit.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct ClimateFile {
    /// Most heat given.
    pub heater: Power,
    /// Most heat taken.
    pub chiller: Power,
    /// Flow over the drying coil.
    pub coil_flow: ActualFlow,
    /// Surface of the coil.
    pub coil: Temperature,
    /// Share of the flow that comes to the coil's state.
    #[serde(default = "contact")]
    pub contact: Share,
    /// Band between no and full heating.
    #[serde(default = "band")]
    pub band: TemperatureSpan,
}

/// A bell's own.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct BellFile {
    /// Trunk it mates to.
    pub trunk: String,
    /// Bank on the bell with divers' secondary gas.
    #[serde(default)]
    pub on_board: Option<String>,
    /// Bank on the bell with oxygen.
    #[serde(default)]
    pub on_board_oxygen: Option<String>,
    /// Speed of the winch.
    pub winch: DepthRate,
    /// Time between deck and water.
    pub handling: Duration,
    /// Heat into a bell as cold as the sea when the hot water runs.
    pub hot_water_heat: Power,
    /// Hot water to each diver.
    pub hot_water_flow: ActualFlow,
    /// Its temperature.
    pub hot_water: Temperature,
}

/// A door, hatch or mating face.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DoorFile {
    /// Name as on the panel.
    pub name: String,
    /// Inner side: a compartment.
    pub from: String,
    /// Other side: a compartment, or "deck" or "sea".
    pub to: String,
    /// Whether the joint can be unclamped (bell to trunk).
    #[serde(default)]
    pub clamp: bool,
    /// Bore of the equalising valve.
    #[serde(default)]
    pub equalise: Option<Bore>,
    /// Gas that goes each way through the open door.
    #[serde(default = "exchange")]
    pub exchange: ActualFlow,
    /// Greatest pressure difference at which it opens.
    #[serde(default = "opens_below")]
    pub opens_below: Gauge,
    /// Whether it is open at the start.
    #[serde(default)]
    pub open: bool,
}

/// What the standard set of instruments is like: two depth gauges, two oxygen analysers, a carbon
/// dioxide analyser (or two), temperature and humidity for each compartment that people are in, a depth gauge
/// for the others, one for each bank, and the sea depth of a bell.
#[derive(Clone, Debug, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct InstrumentsFile {
    /// Lag of the analysers.
    pub analyser_lag: Duration,
    /// Lag of gauges.
    pub gauge_lag: Duration,
    /// Lag of temperature and humidity.
    pub climate_lag: Duration,
    /// Length of the sample line.
    pub line: Length,
    /// Its bore.
    pub line_bore: Bore,
    /// Where the sample is let down to the surface's pressure.
    pub let_down: LetDown,
    /// Greatest error of an oxygen analyser, bar.
    pub oxygen_accuracy: Partial,
    /// Greatest error of a carbon dioxide analyser, bar.
    pub carbon_dioxide_accuracy: Partial,
    /// Greatest error of a depth gauge.
    pub depth_accuracy: Depth,
    /// Smallest step of a depth gauge.
    pub depth_step: Depth,
    /// Smallest step of an oxygen analyser.
    pub oxygen_step: Partial,
    /// Smallest step of a carbon dioxide analyser.
    pub carbon_dioxide_step: Partial,
    /// Highest value of an oxygen analyser.
    pub oxygen_ceiling: Partial,
    /// Highest value of a carbon dioxide analyser.
    pub carbon_dioxide_ceiling: Partial,
    /// Whether each compartment that people are in has a second carbon dioxide analyser.
    pub second_carbon_dioxide: bool,
}

impl Default for InstrumentsFile {
    /// Accuracies as a class rule asks (Lloyd's Register, submersibles and diving systems, July 2022, Pt 6
    /// Ch 2, 3.3: oxygen 0.015 bar, carbon dioxide 0.001 bar); lag as published for a galvanic cell of
    /// 13.8 s to 90 %; the rest common practice, no source.
    fn default() -> Self {
        InstrumentsFile {
            analyser_lag: Duration(6),
            gauge_lag: Duration(1),
            climate_lag: Duration(60),
            line: Length(30.0),
            line_bore: Bore(0.004),
            let_down: LetDown::Penetrator,
            oxygen_accuracy: Partial(1500.0),
            carbon_dioxide_accuracy: Partial(100.0),
            depth_accuracy: Depth(0.1),
            depth_step: Depth(0.1),
            oxygen_step: Partial(100.0),
            carbon_dioxide_step: Partial(10.0),
            oxygen_ceiling: Partial(3e5),
            carbon_dioxide_ceiling: Partial(1e4),
            second_carbon_dioxide: false,
        }
    }
}

/// Where the sample is let down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum LetDown {
    /// At the penetrator: a short delay.
    Penetrator,
    /// At the panel: the whole line stands at chamber pressure.
    Panel,
}

/// Over the open sea it is between seven and nine tenths most of the year (from memory); a house figure.
fn deck_humidity() -> Share {
    Share(0.75)
}

fn standard() -> Absolute {
    Absolute(deepstay_core::units::ATM_PA)
}

/// A supervisors' school's exercise takes 10 bar off for the regulator of a bail-out (seen); of lines, a house figure.
/// A depth gauge and a thermometer hang in every vessel (common practice, no source).
fn inside_gauges() -> Vec<Quantity> {
    vec![Quantity::Depth, Quantity::Temperature]
}

fn breathing_over() -> Gauge {
    Gauge(1e6)
}

fn supply_over() -> Gauge {
    Gauge(7e5)
}

fn bed_number() -> Number {
    Number(3.4)
}

fn loop_name() -> String {
    "Reclaim".to_owned()
}

/// A long bed, so that a fresh charge in a tank as cool as the deck passes nothing (house figure).
fn loop_bed_number() -> Number {
    Number(20.0)
}

fn loop_sample() -> FreeFlow {
    FreeFlow(0.5e-3 / 60.0)
}

fn contact() -> Share {
    Share(0.7)
}

fn band() -> TemperatureSpan {
    TemperatureSpan(1.0)
}

fn exchange() -> ActualFlow {
    ActualFlow(0.02)
}

fn by_rule() -> String {
    "rule".to_owned()
}

fn opens_below() -> Gauge {
    Gauge(3000.0)
}
