//! A row for each field of a job's grammar: its path, another value, and what else is put so that it can matter. A
//! field that has no row is excused with the reason.

use super::Row;
use super::Seen::{self, Rota, Run, Study};
use super::bases::Base::{self, OneLevel, ThreeMen, TwoLevels};

type Put = (
    &'static str,
    &'static str,
    &'static [(&'static str, &'static str)],
);

/// All rows.
pub fn all() -> Vec<Row> {
    let mut rows = Vec::new();
    for (base, seen, puts) in [
        (OneLevel, Run, RUN),
        (TwoLevels, Run, RUN_OF_TWO),
        (ThreeMen, Run, RUN_OF_THREE),
        (OneLevel, Rota, ROTA),
        (ThreeMen, Rota, ROTA_OF_THREE),
        (OneLevel, Study, STUDY),
    ] {
        rows.extend(puts.iter().map(|put| row(base, seen, put)));
    }
    rows
}

fn row(base: Base, seen: Seen, (path, to, under): &Put) -> Row {
    Row {
        base,
        seen,
        path,
        to,
        under,
    }
}

/// A panel that rings while the chamber is pressed.
const PRESSED: &str =
    r#"[(at: Named("Living"), of: Depth, bound: High, set: "20 msw", severity: Limit)]"#;
const RINGS: &[(&str, &str)] = &[("spread.alarms", PRESSED)];

/// Set points of the alarms on divers' gas.
const LOOP_RINGS: &[(&str, &str)] = &[(
    "spread.reclaim.alarms",
    r#"(oxygen_low: "0.4 bar", oxygen_high: "1.25 bar", carbon_dioxide: "5 mbar")"#,
)];
/// A relief valve that lifts before the chamber is at its depth.
const RELIEVED: &[(&str, &str)] = &[(
    "spread.compartments[Living].relief",
    r#"(set: "58 msw", reseat: "56 msw", bore: "15 mm", gagged: false)"#,
)];

const RUN: &[Put] = &[
    ("name", r#""other""#, &[]),
    ("title", r#""another line""#, &[]),
    ("start", r#""2031-08-04 07:00""#, &[]),
    ("utc_offset", r#""+03:00""#, &[]),
    ("seed", "2", &[]),
    ("log_every", "20 min", &[]),
    (
        "accept_recalled",
        r#"["usn.excursion.curve", "usn.excursion.travel", "t8.accelerated.70.rates"]"#,
        &[("plan.levels[0].steps[1].what", "Abort")],
    ),
    ("rates.rows[1].rate.o2_l_min", "0.33", &[]),
    ("rates.rows[1].rate.co2_l_min", "0.28", &[]),
    ("rates.rows[7].rate.ventilation_l_min", "33", &[]),
    ("rates.rows[1].rate.heat_w", "110", &[]),
    ("rates.rows[1].rate.water_g_h", "80", &[]),
    ("spread.name", r#""another""#, &[]),
    ("spread.deck_temperature", "15 degC", &[]),
    ("spread.deck_humidity", "50 %", &[]),
    ("spread.surface_pressure", "0.99 bar", &[]),
    ("spread.compartments[Living].volume", "25 m3", &[]),
    ("spread.compartments[Living].wall.area", "50 m2", &[]),
    ("spread.compartments[Living].wall.steel", "8 t", &[]),
    ("spread.compartments[Living].wall.loss", "80 W/K", &[]),
    (
        "spread.compartments[Living].leak",
        "0.4 %/d from 0.1 %/d to 1 %/d",
        &[],
    ),
    ("spread.compartments[Living].valves.blow_down", "10 mm", &[]),
    ("spread.compartments[Trunk].valves.exhaust", "14 mm", &[]),
    ("spread.compartments[Living].valves.bleed", "8 mm", &[]),
    ("spread.compartments[Transfer].valves.drain", "5 mm", &[]),
    ("spread.compartments[Living].valves.oxygen", "2 mm", &[]),
    ("spread.compartments[Living].valves.discharge", "0.75", &[]),
    ("spread.compartments[Living].supply_over", "6 bar", &[]),
    ("spread.compartments[Living].sample", "0.6 L/min", &[]),
    (
        "spread.compartments[Living].scrubber.flow",
        "1.1 m3/min",
        &[],
    ),
    (
        "spread.compartments[Living].scrubber.absorbent",
        "12 kg from 8 kg to 18 kg",
        &[],
    ),
    (
        "spread.compartments[Living].scrubber.capacity",
        "140 L/kg from 116 L/kg to 200 L/kg",
        &[],
    ),
    ("spread.compartments[Living].scrubber.bed_number", "3", &[]),
    ("spread.compartments[Living].scrubber.fan", "170 W", &[]),
    ("spread.compartments[Living].climate.heater", "5 kW", &[]),
    ("spread.compartments[Living].climate.chiller", "5 kW", &[]),
    (
        "spread.compartments[Living].climate.coil_flow",
        "2 m3/min",
        &[],
    ),
    ("spread.compartments[Living].climate.coil", "7 degC", &[]),
    ("spread.compartments[Living].climate.contact", "60 %", &[]),
    ("spread.compartments[Living].climate.band", "1.5 K", &[]),
    ("spread.compartments[Bell].bell.on_board", r#""E-1""#, &[]),
    (
        "spread.compartments[Bell].bell.on_board_oxygen",
        r#""O-1""#,
        &[],
    ),
    ("spread.compartments[Bell].bell.winch", "15 msw/min", &[]),
    ("spread.compartments[Bell].bell.handling", "7 min", &[]),
    ("spread.compartments[Bell].bell.hot_water_heat", "1 kW", &[]),
    (
        "spread.compartments[Bell].bell.hot_water_flow",
        "12 L/min",
        &[],
    ),
    ("spread.compartments[Bell].bell.hot_water", "40 degC", &[]),
    ("spread.doors[Way in].name", r#""Outer door""#, &[]),
    ("spread.doors[Transfer to rescue].from", r#""Living""#, &[]),
    ("spread.doors[Medical lock inner].equalise", "3 mm", &[]),
    ("spread.doors[Living to transfer].exchange", "2 m3/min", &[]),
    (
        "spread.doors[Medical lock inner].opens_below",
        "0.001 bar",
        &[],
    ),
    ("spread.doors[Transfer to rescue].open", "false", &[]),
    ("spread.instruments.analyser_lag", "20 s", &[]),
    ("spread.instruments.gauge_lag", "20 s", &[]),
    ("spread.instruments.climate_lag", "10 min", &[]),
    ("spread.instruments.line", "60 m", &[]),
    ("spread.instruments.line_bore", "6 mm", &[]),
    ("spread.instruments.let_down", "Panel", &[]),
    ("spread.instruments.oxygen_accuracy", "0.01 bar", &[]),
    (
        "spread.instruments.carbon_dioxide_accuracy",
        "0.0005 bar",
        &[],
    ),
    ("spread.instruments.depth_accuracy", "0.2 msw", &[]),
    ("spread.instruments.depth_step", "0.2 msw", &[]),
    ("spread.instruments.oxygen_step", "0.002 bar", &[]),
    ("spread.instruments.carbon_dioxide_step", "0.0005 bar", &[]),
    ("spread.instruments.oxygen_ceiling", "0.4 bar", &[]),
    ("spread.instruments.second_carbon_dioxide", "false", &[]),
    (
        "spread.instruments.carbon_dioxide_ceiling",
        "0.001 bar",
        &[],
    ),
    ("rules.storage_oxygen[0].figures.high", "0.47 ata", &[]),
    ("site.working_depth", "59 msw", &[]),
    ("site.tide_amplitude", "2 m", &[]),
    ("site.sea_temperature", "6 degC", &[]),
    ("site.launch_limit", "0.4 m", &[]),
    ("site.weather.season", r#""DJF""#, &[]),
    ("site.weather.step", "1 h", &[]),
    ("crew.breathing", "1.1", &[]),
    ("crew.divers[0].initials", r#""ZZ""#, &[]),
    ("crew.divers[0].metabolism", "1.1", &[]),
    ("stock.banks[T-1].name", r#""T-9""#, &[]),
    ("stock.banks[H-1].duty", "BottomMix", &[]),
    ("stock.banks[M-1].bottles", "60 x 50 L at 200 bar", &[]),
    ("stock.banks[M-1].contents", r#"Heliox("2.1 %")"#, &[]),
    ("stock.banks[M-1].label", "2.2 %", &[]),
    ("stock.banks[M-1].analysed", "2.1 %", &[]),
    ("stock.banks[M-1].temperature", "20 degC", &[]),
    ("stock.banks[M-2].contents.oxygen", "2.1 %", &[]),
    ("stock.banks[M-2].contents.nitrogen", "2 %", &[]),
    ("stock.banks[M-2].contents.carbon_dioxide", "0.002 %", &[]),
    ("stock.banks[M-2].contents.contaminant", "0.0002 %", &[]),
    ("stock.reclaim.charge", r#"Heliox("7 %")"#, &[]),
    ("stock.reclaim.open_circuit", r#""D-1""#, &[]),
    ("stock.reclaim.trickle", r#""O-1""#, &[]),
    ("stock.recovery.trunk_and_locks", "true", &[]),
    ("spread.reclaim.name", r#""Loop""#, &[]),
    ("spread.reclaim.tank", "1.2 m3", &[]),
    ("spread.reclaim.working", "34 bar", &[]),
    ("spread.reclaim.absorbent", "18 kg from 15 kg to 25 kg", &[]),
    (
        "spread.reclaim.capacity",
        "140 L/kg from 116 L/kg to 200 L/kg",
        &[],
    ),
    ("spread.reclaim.bed_number", "3", &[]),
    ("spread.reclaim.wall.area", "6.5 m2", &[]),
    ("spread.reclaim.trickle", "0.2 mm", &[]),
    ("spread.reclaim.sample", "0.6 L/min", &[]),
    ("spread.reclaim.alarms.oxygen_low", "0.9 bar", LOOP_RINGS),
    ("spread.reclaim.alarms.oxygen_high", "0.45 bar", LOOP_RINGS),
    ("spread.compartments[Living].relief.set", "57 msw", RELIEVED),
    (
        "spread.compartments[Living].relief.reseat",
        "50 msw",
        RELIEVED,
    ),
    ("spread.compartments[Living].relief.bore", "10 mm", RELIEVED),
    (
        "spread.compartments[Living].relief.gagged",
        "true",
        RELIEVED,
    ),
    ("stock.reclaim.recovery", "80 % from 80 % to 95 %", &[]),
    ("stock.recovery.bank", r#""M-2""#, &[]),
    ("stock.recovery.recovered", "70 %", &[]),
    ("stock.recovery.lowest", "5.5 bar", &[]),
    ("plan.levels[0].members", r#"["Living", "Transfer"]"#, &[]),
    ("plan.levels[0].steps[0].at", "10 min", &[]),
    ("plan.levels[0].steps[0].what", r#"Press("59 msw")"#, &[]),
    ("plan.bell_runs[0].at", "25 h", &[]),
    ("plan.bell_runs[0].divers", r#"["GH", "EF"]"#, &[]),
    ("plan.bell_runs[0].depth", "59 msw", &[]),
    ("plan.bell_runs[0].in_water", "40 min", &[]),
    ("plan.bell_runs[0].work", "WaterHeavy", &[]),
    ("plan.rota[0].teams", "[2, 1, 3]", &[]),
    ("plan.rota[0].first", "9 h", &[]),
    ("plan.rota[0].every", "9 h", &[]),
    ("plan.rota[0].last", "9 h", &[]),
    ("plan.rota[0].depth", "59 msw", &[]),
    ("plan.rota[0].in_water", "2 h", &[]),
    ("plan.rota[0].work", "WaterHeavy", &[]),
    ("plan.routine.meals", r#"["07:30"]"#, &[]),
    ("plan.routine.laundry", "11:00", &[]),
    ("plan.routine.stores", r#"["16:00"]"#, &[]),
    ("plan.routine.stores_per_day", "3", &[]),
    ("plan.routine.toilet_per_day", "4", &[]),
    ("plan.routine.shower_vapour", "0.3 kg", &[]),
    ("plan.routine.shower_length", "5 min", &[]),
    ("plan.routine.handover", r#"("07:00", "19:00")"#, &[]),
    ("plan.routine.night", r#"("23:00", "06:00")"#, &[]),
    (
        "plan.slip",
        "Shift",
        &[
            ("site.launch_limit", "0.4 m"),
            ("site.weather.season", r#""DJF""#),
            ("site.weather.step", "1 h"),
        ],
    ),
    ("plan.calibrate_every", "1 h", &[]),
    ("plan.end", "46 h", &[]),
    ("plan.reclaim", "false", &[]),
    ("plan.recover_chamber_gas", "false", &[]),
    ("faults.planned[0].what.bank", r#""E-1""#, &[]),
    ("faults.planned[0].what.contents", r#"Heliox("6.2 %")"#, &[]),
    ("faults.planned[1].at", "5 h", &[]),
    ("faults.planned[1].until", "390 min", &[]),
    ("faults.planned[1].what", r#"FanStop("Living")"#, &[]),
    ("faults.planned[1].what.compartment", r#""Living""#, &[]),
    ("faults.planned[1].what.bore", "2 mm", &[]),
    ("faults.planned[1].what.discharge", "0.7", &[]),
    ("faults.planned[2].what.valve", r#"Exhaust("Living")"#, &[]),
    ("faults.planned[2].what.opening", "2 %", &[]),
    ("faults.planned[3].what.instrument.of", r#""Transfer""#, &[]),
    ("faults.planned[3].what.instrument.quantity", "PpCo2", &[]),
    (
        "faults.planned[3].what.instrument.channel",
        "Secondary",
        &[],
    ),
    ("faults.planned[3].what.span", "0.05", &[]),
    ("faults.planned[3].what.zero", "0.03", &[]),
    ("faults.planned[3].what.over", "30 min", &[]),
    (
        "faults.planned[4].what.instrument",
        r#"(of: "Living", quantity: Humidity)"#,
        &[],
    ),
    (
        "faults.planned[5].what.instrument",
        r#"(of: "Living", quantity: PpO2, channel: Secondary)"#,
        &[],
    ),
    ("faults.planned[5].what.to", r#""Bell""#, &[]),
];

const RUN_OF_TWO: &[Put] = &[
    ("crew.divers[7].chamber", r#""Living 1""#, &[]),
    ("plan.crew_changes[0].surface_by", "132 h", &[]),
    ("plan.moves[0].at", "25 h", &[]),
    ("plan.moves[0].divers", r#"["CD"]"#, &[]),
];

const ROTA: &[Put] = &[
    (
        "crew.divers[0].qualifications",
        "[]",
        &[("work.tasks[0].qualifications", r#"["burning"]"#)],
    ),
    (
        "crew.divers[0].prefers",
        r#"("01:00", "04:00")"#,
        &[("work.teams", "Free")],
    ),
    ("crew.divers[0].surfaced_before", "10 d", &[]),
    ("crew.divers[0].last_saturation", "65 d", &[]),
    ("crew.divers[0].under_pressure_in_year", "99 d", &[]),
    ("work.tasks[2].name", r#""Something else""#, &[]),
    ("work.tasks[0].depth", "58 msw", &[]),
    ("work.tasks[0].in_water", "2 h", &[]),
    ("work.tasks[0].qualifications", r#"["burning"]"#, &[]),
    ("work.tasks[0].after", r#"["Survey"]"#, &[]),
    ("work.weather_allowance", "50 %", &[]),
    ("work.teams", "Free", &[]),
    ("work.hours", "Free", &[]),
    ("work.first", "20 h", &[]),
    ("work.last", "20 h", &[]),
    ("work.turn_round", "6 h", &[]),
    ("work.in_water", "2 h", &[]),
];

const STUDY: &[Put] = &[
    ("study.uncertain[0].name", r#""gas breathed""#, &[]),
    (
        "study.uncertain[0].inputs",
        r#"["crew.divers[*].metabolism"]"#,
        &[],
    ),
    ("study.uncertain[0].law.low", "0.8", &[]),
    ("study.uncertain[0].law.high", "1.2", &[]),
    ("study.uncertain[0].least", "0.99", &[]),
    ("study.uncertain[0].most", "1.01", &[]),
    ("study.uncertain[0].source", r#""another""#, &[]),
    ("study.uncertain[1].law.low", "82 %", &[]),
    ("study.uncertain[1].law.likely", "90 %", &[]),
    ("study.uncertain[1].law.high", "92 %", &[]),
    ("study.uncertain[0].drawn", "Plus", &[]),
    ("study.uncertain[2].each", "false", &[]),
    ("study.uncertain[2].law.median", "1.1", &[]),
    ("study.uncertain[2].law.factor", "1.5", &[]),
    ("study.uncertain[3].law.mean", "5", &[]),
    ("study.uncertain[3].law.sd", "0.2", &[]),
    ("study.uncertain[4].law.scale", "8 degC", &[]),
    ("study.uncertain[4].law.shape", "20", &[]),
    (
        "study.uncertain[1].law",
        r#"Beta(low: "80 %", high: "95 %", mean: "88 %", sd: "3 %")"#,
        &[],
    ),
    ("study.chance[0].of", "Instruments", &[]),
    ("study.chance[0].source", r#""another""#, &[]),
    ("study.breakdowns[0].name", r#""diver-gas reclaim""#, &[]),
    ("study.breakdowns[0].what", r#"FanStop("Living")"#, &[]),
    ("study.breakdowns[0].mean_between", "6 h", &[]),
    ("study.breakdowns[0].lasts.mean", "2 h", &[]),
    ("study.breakdowns[0].lasts.sd", "20 min", &[]),
    ("study.breakdowns[0].source", r#""another""#, &[]),
    ("study.covered", "50 %", &[]),
    ("study.reserve", r#"["canada"]"#, &[]),
    ("study.supplier", "north-quay", &[]),
    (
        "study.burning.m3_per_hour",
        "4",
        &[("study.supplier", "north-quay")],
    ),
    (
        "study.burning.source",
        r#""another""#,
        &[("study.supplier", "north-quay")],
    ),
    ("study.planner.recover_divers", "40 min", &[]),
    (
        "study.planner.retrieve_bell",
        "5 h",
        &[
            ("study.reserve", r#"["united-states"]"#),
            ("study.planner.second_means", "true"),
        ],
    ),
    (
        "study.planner.second_means",
        "true",
        &[("study.reserve", r#"["united-states"]"#)],
    ),
    ("study.planner.diver_l_min", "50", &[]),
    ("study.planner.mask_l_min", "25", &[]),
    ("study.planner.escape_sets", "9", &[]),
    ("study.planner.bail_out_l", "20", &[]),
    ("study.planner.bail_out_fill", "250 bar", &[]),
    ("study.planner.bail_out_regulator", "15 bar", &[]),
    ("study.planner.people", "7", &[]),
    (
        "study.planner.over_bottom",
        "12 bar",
        &[("study.supplier", "north-quay")],
    ),
    (
        "study.planner.regulator",
        "3 bar",
        &[("study.supplier", "north-quay")],
    ),
    ("study.planner.spare_absorbent_bell", "9 kg", &[]),
    (
        "study.planner.spare_absorbent",
        "99 kg",
        &[("study.reserve", r#"["canada"]"#)],
    ),
    (
        "study.planner.dive",
        "10 h",
        &[("study.reserve", r#"["industry"]"#)],
    ),
    ("study.planner.treatment", "5 h", &[]),
    (
        "work.tasks[0].gas",
        r#""oxygen""#,
        &[("study.supplier", "north-quay")],
    ),
];

const RUN_OF_THREE: &[Put] = &[
    ("spread.alarms", PRESSED, &[]),
    ("spread.alarms[0].at", r#"Named("Transfer")"#, RINGS),
    ("spread.alarms[0].of", "DepthDeviation", RINGS),
    ("spread.alarms[0].bound", "Low", RINGS),
    ("spread.alarms[0].set", "30 msw", RINGS),
    ("spread.alarms[0].severity", "Emergency", RINGS),
    ("spread.alarms[0].delay", "5 min", RINGS),
    ("spread.alarms[0].sounds", "[DiveControl]", RINGS),
    ("spread.alarms[0].latches", "true", RINGS),
    ("plan.bell_runs[0].pause", "40 min", &[]),
    ("crew.divers[8].team", "9", &[]),
];

const ROTA_OF_THREE: &[Put] = &[("work.tasks[4].divers", "2", &[])];

const VERSION: &str = "the version of the grammar: 1 is the only one, another is refused";
const STEEL: &str = "how the vessel hangs together: another value alone is no vessel and refused";
const CHECK: &str = "asked by the check alone, which refuses what goes beyond it";
const TWO_BELLS: &str =
    "no spread that is built in has two bells; whole_job/made.rs runs one that has";
const OWN_RATES: &str = "for who reads the file: no paper tells of a job's own rates yet";

const HARM: &str =
    "nobody comes to harm in these jobs; sim/crew and sim/job/tests/harm.rs have those who do";
const VOICES: &str = "nobody calls anybody in these jobs; sim/job/tests/calls.rs has those who do, and reads other files";
const BAIL_OUT: &str =
    "nobody goes on bail-out in these jobs; sim/crew/src/tests.rs has those who do";
const POSTED: &str = "nothing in a plant rests on it; the posted pages do, and sim/report/src/job/posted has both sides";

/// Fields that no row puts to another value: of what, which, and why.
pub const EXCUSED: &[(&str, &str, &str)] = &[
    (
        "FaultWhat::Leak",
        "hull_stop",
        "the small leak of these jobs is not traced to a penetrator; the deeds of leaks shut one",
    ),
    (
        "DiverFile",
        "joins",
        "asked by a rota of several saturations; sim/rota/tests/evidence/crew_change.rs has one",
    ),
    (
        "DiverFile",
        "leaves",
        "asked by a rota of several saturations; sim/rota/tests/evidence/crew_change.rs has one",
    ),
    ("JobFile", "format", VERSION),
    (
        "LoopFile",
        "make_up",
        "the tank's charge lasts through the few hours in the water of these jobs",
    ),
    (
        "SpreadFile",
        "breathing_over",
        "the banks of these jobs are full; sim/job/tests/harm.rs breathes from one that is not",
    ),
    ("JobFile", "harm", HARM),
    ("JobFile", "voices", VOICES),
    ("SpreadFile", "inside_gauges", VOICES),
    (
        "LoopAlarmsFile",
        "pressure_low",
        "make-up holds the tank in these jobs; one that leaks rings in the table of failures",
    ),
    (
        "LoopAlarmsFile",
        "carbon_dioxide",
        "no carbon dioxide comes through a fresh charge of absorbent",
    ),
    ("CrewFile", "bail_out", BAIL_OUT),
    ("BailOutFile", "bottles", BAIL_OUT),
    ("BailOutFile", "contents", BAIL_OUT),
    ("BailOutFile", "regulator", BAIL_OUT),
    ("BailOutFile", "breathed", BAIL_OUT),
    ("CrewFile", "surface", POSTED),
    ("ShiftFile", "post", POSTED),
    ("ShiftFile", "people", POSTED),
    ("ShiftFile", "from", POSTED),
    ("ShiftFile", "to", POSTED),
    ("CrewFile", "umbilicals", POSTED),
    ("UmbilicalsFile", "diver_m", POSTED),
    ("UmbilicalsFile", "bellman_m", POSTED),
    ("UmbilicalsFile", "excursion_m", POSTED),
    ("UmbilicalsFile", "back_m_min", POSTED),
    ("CrewFile", "format", VERSION),
    ("FaultsFile", "format", VERSION),
    ("PlanFile", "format", VERSION),
    ("SiteFile", "format", VERSION),
    ("SpreadFile", "format", VERSION),
    ("StockFile", "format", VERSION),
    ("StudyFile", "format", VERSION),
    ("WorkFile", "format", VERSION),
    ("BellFile", "trunk", STEEL),
    ("CompartmentFile", "drain_to", STEEL),
    ("CompartmentFile", "kind", STEEL),
    ("CompartmentFile", "name", "what doors and plan call it by"),
    ("DoorFile", "clamp", STEEL),
    ("DoorFile", "to", STEEL),
    ("CompartmentFile", "bunks", CHECK),
    ("CompartmentFile", "places", CHECK),
    ("CompartmentFile", "rating", CHECK),
    ("SiteFile", "seabed", CHECK),
    (
        "WorkFile",
        "rest",
        "taken where the rule set has no rest; sim/rota/tests/evidence has such problems",
    ),
    ("BellRunFile", "bell", TWO_BELLS),
    ("RotaFile", "bell", TWO_BELLS),
    ("WorkFile", "bells", TWO_BELLS),
    (
        "MoveFile",
        "to",
        "of two chambers at one depth the other is the only one to go to",
    ),
    (
        "CrewChangeFile",
        "chamber",
        "the chamber whose level has no Decompress is the only one to be named",
    ),
    ("RateRow", "activity", "each activity has one row"),
    ("RateRow", "spread", OWN_RATES),
    ("RateRow", "source", OWN_RATES),
    ("Source", "document", OWN_RATES),
    ("Source", "status", OWN_RATES),
    (
        "DiverFile",
        "mass",
        "weighs in no output yet: how fast a body warms is shown nowhere",
    ),
    (
        "UncertainFile",
        "optional",
        "asked where an input is not there; sim/stock/tests/evidence/ensemble.rs has it so",
    ),
    (
        "WeatherFile::Chain",
        "table",
        "one table is built in; sim/job/tests/weather.rs reads others",
    ),
];
