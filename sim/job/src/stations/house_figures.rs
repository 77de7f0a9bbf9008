//! House figures of the two stations: bands, waits and the length of each phase of a bell run.
//! Common practice, no source, unless one is named; they are choices made for this tool.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current
//! document, the company's approved manual and the licensed people on the job decide.

use deepstay_plant::Duty;
use deepstay_sums::{EMERGENCY_PPO2_ATA, MASKS_PPCO2_ATA, SIZING_L_MIN};

/// Depth is made up when it has fallen this far under the target, msw.
pub const DEPTH_LOW_MSW: f64 = 0.3;
/// Depth is bled only when this far over the target, msw.
pub const DEPTH_HIGH_MSW: f64 = 0.5;
/// A make-up puff is sized to press at this rate, msw/s (2 msw/min).
pub const PUFF_MSW_S: f64 = 2.0 / 60.0;
/// Depth lost, msw, at which a fall that a puff does not stop is treated as loss of depth.
pub const LOSS_MSW: f64 = 1.0;
/// The same while a lock or another compartment is being equalised from the chamber, msw.
pub const LOSS_WITH_LOCK_MSW: f64 = 5.0;
/// Divers' breathing gas, bar (0.44 to 1.25 ata: US Navy Diving Manual, saturation chapter).
pub const DIVER_PPO2_BAR: (f64, f64) = (0.44 * 1.01325, 1.25 * 1.01325);
/// Looks at the gauge while pressing, s apart.
pub const PRESS_LOOK_S: i64 = 15;
/// Gas for make-up, bell and trunk: bottom mix first, and when there is none any that can be breathed.
pub const MAKE_UP: &[Duty] = &[
    Duty::BottomMix,
    Duty::Helium,
    Duty::DiverGas,
    Duty::Emergency,
];
/// Any gas that holds a depth being lost, in the order in which it is taken.
pub const ANY_GAS: &[Duty] = &[
    Duty::BottomMix,
    Duty::DiverGas,
    Duty::Emergency,
    Duty::Helium,
    Duty::Treatment,
    Duty::Air,
];
/// How long people take to get through to the next chamber when they are called, and to shut and dog a door behind
/// them, s (house figures, nothing found: time them in a mock-up).
pub const CROSS_S: i64 = 15;
/// See [`CROSS_S`].
pub const SHUT_DOOR_S: i64 = 20;
/// Within how long after being sent an outside hand has shut a hull stop, s (house figures: minutes).
pub const HAND_S: (f64, f64) = (120.0, 300.0);
/// Share of the allowed rate that is aimed for when pressing.
pub const RATE_SHARE: f64 = 0.97;
/// Pressing stops this far short of a stop, msw: heat and the gauge's lag do the rest.
pub const STOP_SHORT_MSW: f64 = 0.15;
/// A leak check fails when the gauge has fallen by more than this, msw (cooling gas takes some).
pub const LEAK_CHECK_FALL_MSW: f64 = 2.0;
/// Rate of an exhaust step where the rules give only the depth, msw/s (1 fsw/min, US Navy Diving
/// Manual, saturation chapter, standard decompression).
pub const BLEED_MSW_S: f64 = 0.3048 / 60.0;
/// Shown depth that counts as the surface, msw.
pub const SURFACE_MSW: f64 = 0.05;
/// Margin over what a line and its regulator need at which a bank is left, bar.
pub const HEEL_BAR: f64 = 5.0;
/// Greatest difference between label and analysis of a mixture, fraction (+-0.5 %: analyser accuracy
/// for helium-oxygen mixes, second-hand).
pub const LABEL_FITS: f64 = 0.005;
/// The same for oxygen, fraction.
pub const OXYGEN_LABEL_FITS: f64 = 0.01;
/// Depth gauges are set against the standard this often, s (common practice, no source).
pub const DEPTH_GAUGES_S: i64 = 24 * 3600;
/// Oxygen is established at this depth where the rule set has no hold near the surface, msw.
pub const ESTABLISH_MSW: f64 = 10.0;
/// Longest wait for it, s: then pressing goes on, and the alarms tell.
pub const ESTABLISH_S: i64 = 90 * 60;
/// How long before a planned change of storage depth downwards oxygen is dosed for what the mixture will bring, s: the
/// men use it up meanwhile.
pub const BEFORE_DEEPER_S: i64 = 2 * 3600;
/// Strides in which its set point follows the depth while pressing, msw.
pub const DESCENT_STRIDE_MSW: f64 = 5.0;
/// Richest gas made while pressing, fraction: no richer than air.
pub const DESCENT_RICHEST: f64 = 0.21;
/// ppO2 over the line of the plan by this on the way down, and pressing stops, bar: two analysers' accuracy and half a
/// one (house figure).
pub const OFF_LINE_BAR: f64 = 0.04;
/// How far apart the looks are at whether added oxygen shows, s.
pub const DOUBT_S: i64 = 5 * 60;
/// Rounds of the panel, s apart.
pub const ROUND_S: i64 = 1800;
/// Storage oxygen where the rule set has none, bar (0.44 to 0.48 ata: US Navy Diving Manual, saturation
/// chapter).
pub const STORAGE_PPO2_BAR: (f64, f64) = (0.44 * 1.01325, 0.48 * 1.01325);
/// Where in a band oxygen is added from, and how far: shares of its width.
pub const OXYGEN_WITHIN: (f64, f64) = (0.4, 0.3);
/// How far from the high edge, with what shows late, it ends at the latest: share of the band's width.
pub const OXYGEN_SHORT: f64 = 0.1;
/// Half width of the control band where the rules name one value, bar and fraction.
pub const OXYGEN_HALF_BAND: (f64, f64) = (0.005, 0.005);
/// Two analysers of one gas agree within this, bar: each to 0.015 bar (Lloyd's Register, submersibles and
/// diving systems, July 2022, Pt 6 Ch 2, 3.3).
pub const ANALYSERS_AGREE_BAR: f64 = 2.0 * 0.015;
/// A reading that has risen by this with no dose given climbs, bar: an analyser's accuracy, as above.
pub const OXYGEN_CLIMB_BAR: f64 = 0.015;
/// Largest dose, bar in the chamber it goes into: a reading that is wrong brings no more (house figure).
pub const OXYGEN_DOSE_BAR: f64 = 0.03;
/// The same where ppO2 is far too low by both analysers of the chamber, as after a loss of depth (house figure).
pub const OXYGEN_LARGE_DOSE_BAR: f64 = 0.1;
/// Share of what a dose must bring, spread through the level, that counts as an answer: air brings a fifth
/// (house figure).
pub const OXYGEN_ANSWERS: f64 = 0.35;
/// How long oxygen is left alone where no way of adding it shows, s: a calibration lies between (house figure).
pub const OXYGEN_LEFT_ALONE_S: i64 = 2 * 3600;
/// Masks put on for ppO2 come off within this, bar (house figures, inside the emergency range).
pub const MASKS_OFF_PPO2_BAR: (f64, f64) = (0.2, 1.0);
/// Ends of the printed climate table, msw (French order of 30 Oct 2012, art. 33).
pub const CLIMATE_MSW: (f64, f64) = (50.0, 200.0);
/// Temperature where the rule set has no climate, K.
pub const CLIMATE_K: f64 = 300.15;
/// Relative humidity aimed for (30 to 80 % allowed: French order of 30 Oct 2012, art. 33).
pub const HUMIDITY: f64 = 0.55;
/// Share of a canister's capacity at the sizing rate after which it is changed where no rule says when.
pub const CANISTER_SHARE: f64 = 0.9;
/// Sizing rate of carbon dioxide, mol/s per diver, of gas at 0 degC and 1 atm.
pub const CO2_SIZING_MOL_S: f64 = SIZING_L_MIN / 60.0 / 22.414;
/// ppCO2 above which masks are put on, bar (0.06 ata: US Navy Diving Manual, saturation chapter,
/// emergency procedures).
pub const MASKS_PPCO2_BAR: f64 = MASKS_PPCO2_ATA * 1.01325;
/// ppCO2 that can be borne for some hours only, bar, and how many, s (2 % surface equivalent, up to four hours: US Navy
/// Diving Manual, saturation chapter, emergency procedures).
pub const HOURS_PPCO2_BAR: f64 = 0.02 * 1.01325;
/// See [`HOURS_PPCO2_BAR`].
pub const HOURS_S: i64 = 4 * 3600;
/// ppCO2 in the bell at which divers are called back, bar (2 % surface equivalent, tolerable up to
/// four hours: US Navy Diving Manual, saturation chapter).
pub const RECALL_PPCO2_BAR: f64 = 0.02 * 1.01325;
/// Breathable oxygen in an emergency, bar (the handbook's, see there).
pub const EMERGENCY_PPO2_BAR: (f64, f64) = (
    EMERGENCY_PPO2_ATA.0 * 1.01325,
    EMERGENCY_PPO2_ATA.1 * 1.01325,
);
/// Ear drops a day where the rule set has no row of hygiene.
pub const EAR_DROPS_A_DAY: u8 = 2;
/// A toilet or shower flush holds the drain open this long, s.
pub const FLUSH_S: i64 = 3;
/// Opening of the drain in a flush.
pub const FLUSH_OPENING: f64 = 0.5;
/// The holding tank is vented when it shows more than this, msw.
pub const TANK_VENT_MSW: f64 = 2.0;
/// Second gauge pressure the bell's on-board bank must show over the dive's pressure, bar.
pub const ON_BOARD_OVER_BAR: f64 = 30.0;

/// The loop that brings divers' gas back.
pub mod reclaim {
    /// ppO2 that its trickle of oxygen holds in what it supplies, bar.
    pub const PPO2_BAR: f64 = 0.6;
    /// Fall of the indicated ppO2 over which the trickle goes from shut to wide open, bar.
    pub const BAND_BAR: f64 = 0.1;
    /// Steps in which its valve is set.
    pub const STEP: f64 = 0.05;
    /// Carbon dioxide of a diver at work, mol/s: 1.6 L/min, breathing-simulator practice (from memory).
    pub const CO2_MOL_S: f64 = 1.6 / 60.0 / 22.414;
    /// Oxygen that a body keeps of each breath, bar: 4 % of what is breathed at the surface (from memory).
    pub const KEPT_BAR: f64 = 0.042;
    /// Share of the carbon dioxide alarm at which the absorbent is changed before a run.
    pub const CO2_CHANGE_SHARE: f64 = 0.5;
}

/// What a bell run goes by; the lengths of its phases are those that it is planned with.
pub mod bell {
    pub use deepstay_scenario::lengths::phase::*;

    /// A bail-out under this share of its fill is exchanged before a run.
    pub const BAIL_OUT_SHORT_SHARE: f64 = 0.9;
    /// Least that a bail-out must last at the run's depth at the crew's rate, s: at 100 m a man was back in his bell
    /// after about a minute and a half (safety flash of June 2012), and some more.
    pub const BAIL_OUT_LASTS_S: f64 = 120.0;
    /// Longest run seal to seal where the rule set has none (8 h: UK 1998, Norway, France, Brazil).
    pub const LONGEST_S: i64 = 8 * 3600;
    /// How late a run may start before it is counted as lost.
    pub const LATEST_S: i64 = 2 * 3600;
    /// Pressing rate of bell and trunk with nobody inside, msw/s.
    pub const PRESS_MSW_S: f64 = 20.0 / 60.0;
    /// Slowest that a difference is closed, msw/s.
    pub const SLOWEST_MSW_S: f64 = 1.5 / 60.0;
    /// Pressure difference that counts as equal on the gauges, msw.
    pub const EQUAL_MSW: f64 = 0.1;
    /// Opening of an equalising valve while the gauges show nearly the same, and while they show the same.
    pub const CRACKED: f64 = 0.2;
    /// See [`CRACKED`].
    pub const BARELY: f64 = 0.05;
    /// Difference across a door being equalised at which it is tried, msw.
    pub const JOINED_MSW: f64 = 0.15;
    /// How long gauges show the same before a door is tried: they lag, s.
    pub const SETTLE_S: i64 = 10;
    /// How long an equalising valve is left at one opening before it is opened more, s.
    pub const JOIN_MORE_S: i64 = 60;
    /// How long two gauges may show only about the same before a door is tried all the same, s.
    pub const JOIN_ANYHOW_S: i64 = 300;
    /// Fall of a shut bell's gauge over a watched seal that fails it, msw: its steps and the thermometer's.
    pub const SEAL_FALL_MSW: f64 = 0.4;
    /// The same where no thermometer tells cooling from loss: one in a hundred of the pressure besides, for
    /// gas that cools by three kelvin (own arithmetic, ideal gas at 300 K).
    pub const SEAL_FALL_SHARE: f64 = 0.01;
}

/// Lengths of the phases of a lock run, s.
pub mod lock {
    /// Loading on deck.
    pub const LOAD_S: i64 = 60;
    /// Emptying inside.
    pub const INSIDE_S: i64 = 120;
    /// Emptying on deck.
    pub const UNLOAD_S: i64 = 60;
    /// Longest wait for a pressure to be equal.
    pub const EQUAL_S: i64 = 600;
    /// From the gauge showing it to the door being tried, s.
    pub const SETTLE_S: i64 = 10;
    /// Difference below which the equalising valve is only cracked open, msw, and its opening then.
    pub const CRACKED: (f64, f64) = (5.0, 0.15);
    /// Share of the volume that a lock is filled from beyond which it is filled through a cracked valve all the way.
    pub const LARGE_SHARE: f64 = 0.02;
    /// A gauge that in this time moves so far from what it is to show has not come to rest, msw.
    pub const LEFT_MSW: f64 = 0.25;
    /// The lock's gauge counts as equal this close to the chamber's, msw.
    pub const EQUAL_MSW: f64 = 0.15;
}

/// The search for a slow leak.
pub mod search {
    /// So many make-ups at least, within so much time in which nothing explains them, s.
    pub const TIMES: usize = 3;
    /// See [`TIMES`].
    pub const WITHIN_S: i64 = 6 * 3600;
    /// The last of them spread over so long at least: what comes faster is no slow leak, s.
    pub const SPREAD_S: i64 = 3600;
    /// What is made up so often within so short a time, s, and so much of it, msw, is a leak whatever else was done there
    /// before: nothing that is still filling or cooling takes that.
    pub const FAST_TIMES: usize = 6;
    /// See [`FAST_TIMES`].
    pub const FAST_S: i64 = 900;
    /// See [`FAST_TIMES`].
    pub const FAST_MSW: f64 = 1.0;
    /// More than is usual by so much, and by this share of it, and a leak is looked for, msw.
    pub const MORE_MSW: f64 = 0.55;
    /// See [`MORE_MSW`].
    pub const MORE_SHARE: f64 = 0.5;
    /// What is usual before anything was seen, msw/h, and the share by which each look at it moves it.
    pub const USUAL_MSW_H: f64 = 0.1;
    /// See [`USUAL_MSW_H`].
    pub const LEARNS: f64 = 0.2;
    /// What is made up within this after a lock or the trunk took gas is explained by it, s.
    pub const AFTER_LOCK_S: i64 = 3600;
    /// Gas settles so long after the depth was moved, s.
    pub const SETTLE_S: i64 = 6 * 3600;
    /// How long the chambers are kept shut off from each other, s.
    pub const APART_S: i64 = 3600;
    /// Fall of a gauge in that time, beyond that of any other, that names a chamber, msw.
    pub const FALL_MSW: f64 = 0.25;
    /// After a search the count begins anew so much later, s.
    pub const AGAIN_S: i64 = 12 * 3600;
}

/// How routine acts spread about their planned times, as in life: seconds before and after, sampled. None of them is
/// published. What a rule asks for at an interval is done before it runs out, never after.
pub mod sampled {
    /// Meals.
    pub const MEAL_S: (f64, f64) = (-300.0, 900.0);
    /// Laundry and stores.
    pub const STORES_S: (f64, f64) = (-900.0, 1800.0);
    /// A diver's shower.
    pub const SHOWER_S: (f64, f64) = (-600.0, 1200.0);
    /// First ear drops of a session, and from the end of one diver's to the next.
    pub const EAR_DROPS_S: (f64, f64) = (0.0, 1200.0);
    /// See [`EAR_DROPS_S`].
    pub const EAR_DROPS_BETWEEN_S: (f64, f64) = (20.0, 180.0);
    /// Time between two visits to the toilet, as a share of the mean.
    pub const FLUSH_SHARE: (f64, f64) = (0.3, 1.7);
    /// Readings of the hour, after it.
    pub const READINGS_S: (f64, f64) = (0.0, 480.0);
    /// How much before the interval of calibration runs out it is done: shares of it.
    pub const CALIBRATE_EARLY: (f64, f64) = (0.0, 0.125);
    /// The same for a round of the panel.
    pub const ROUND_EARLY: (f64, f64) = (0.0, 0.2);
    /// The daily check of the HRC.
    pub const HRC_CHECK_S: (f64, f64) = (0.0, 3600.0);
    /// Handover of the watch.
    pub const HANDOVER_S: (f64, f64) = (-600.0, 300.0);
    /// Length of each phase of a lock run, as a share of its usual one.
    pub const LOCK_SHARE: (f64, f64) = (0.7, 1.8);
}
