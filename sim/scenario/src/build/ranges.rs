//! What steel, gas and people can be: plates that no vessel could carry are refused where they are written,
//! however well the notation reads.
//!
//! Three bounds are geometry and mechanics: a wall encloses no less than a sphere of its volume has for a
//! surface, weighs no less than a thin sphere of the strongest steel that vessels are built of (690 N/mm2,
//! 3 P V rho / 2 sigma), and absorbent takes up no more than pure lithium hydroxide by its formula
//! (2 LiOH to one carbon dioxide, 468 L/kg). All others are house figures, set so wide that only what cannot
//! be meant falls out; none is a limit to build or to work by.

use super::Part;
use crate::file::{
    CompartmentFile, CrewFile, LoopFile, Number, Ranged, SpreadFile, StockFile, WallFile,
};
use deepstay_core::units::text::{ActualFlow, Bore, Capacity, Mass, Power};
use deepstay_core::units::{BAR_PA, CompartmentKind, MSW_PA, ZERO_C_K};
use deepstay_plant::Duty;
use deepstay_read::{Diagnostics, Section, Wrong};

/// Strength of the strongest steel for pressure hulls, Pa.
const STRONGEST_PA: f64 = 690e6;
const STEEL_KG_M3: f64 = 7850.0;
/// A wall's inner surface may be told of with so much of the sphere's, for fittings that take up gas volume.
const OF_A_SPHERE: f64 = 0.9;
/// Carbon dioxide that a kilogram of pure lithium hydroxide binds, m3: 22.414 L/mol over twice 23.95 g/mol.
const MOST_ABSORBED_M3_KG: f64 = 0.468;

/// What the tank of a loop may hold, m3.
const RECLAIM_TANK_M3: (f64, f64) = (0.05, 20.0);

/// A unit of a message: SI value = number x scale + offset.
struct In(&'static str, f64, f64);

const M3: In = In("m3", 1.0, 0.0);
const M2: In = In("m2", 1.0, 0.0);
const MM: In = In("mm", 1e-3, 0.0);
const KG: In = In("kg", 1.0, 0.0);
const KW: In = In("kW", 1e3, 0.0);
const W_K: In = In("W/K", 1.0, 0.0);
const DEGC: In = In("degC", 1.0, ZERO_C_K);
const KELVIN: In = In("K", 1.0, 0.0);
const BAR: In = In("bar", BAR_PA, 0.0);
const MSW: In = In("msw", 1.0, 0.0);
const MSW_MIN: In = In("msw/min", 1.0 / 60.0, 0.0);
const M3_MIN: In = In("m3/min", 1.0 / 60.0, 0.0);
const L_MIN: In = In("L/min", 1e-3 / 60.0, 0.0);
const L_KG: In = In("L/kg", 1e-3, 0.0);
const SECONDS: In = In("s", 1.0, 0.0);
const METRES: In = In("m", 1.0, 0.0);
const NONE: In = In("", 1.0, 0.0);

struct Ranges<'a> {
    section: &'a Section,
    diagnostics: &'a mut Diagnostics,
}

impl Ranges<'_> {
    /// Refuses a value outside what can be, and says whether it is within; bounds are in the unit of the message.
    fn within(
        &mut self,
        path: &str,
        what: &str,
        si: f64,
        (low, high): (f64, f64),
        unit: &In,
    ) -> bool {
        let In(name, scale, offset) = *unit;
        let number = (si - offset) / scale;
        // What was written may differ from its bound by the last bit of a conversion.
        let slack = 1e-9 * high.abs().max(low.abs());
        if number >= low - slack && number <= high + slack {
            return true;
        }
        let [number, low, high] = [number, low, high].map(plain);
        let words = format!("{what} of {number} {name} cannot be meant");
        let remedy = format!("write what lies between {low} and {high} {name}");
        self.diagnostics.add_with(
            self.section,
            path,
            Wrong::Value(words),
            Some(remedy.trim_end().to_owned()),
        );
        false
    }

    fn bore(&mut self, path: &str, what: &str, bore: Option<Bore>, most_mm: f64) {
        if let Some(bore) = bore {
            self.within(path, what, bore.0, (0.2, most_mm), &MM);
        }
    }

    fn power(&mut self, path: &str, what: &str, power: Power, most_kw: f64) {
        self.within(path, what, power.0, (0.0, most_kw), &KW);
    }

    fn flow(&mut self, path: &str, what: &str, flow: ActualFlow, most_m3_min: f64) {
        self.within(path, what, flow.0, (0.0, most_m3_min), &M3_MIN);
    }
}

/// Four figures, without zeros at their end.
fn plain(x: f64) -> String {
    let places = if x.abs() >= 100.0 {
        1
    } else if x.abs() >= 0.1 {
        3
    } else {
        5
    };
    let digits = format!("{x:.places$}");
    digits
        .trim_end_matches('0')
        .trim_end_matches('.')
        .to_owned()
}

/// The spread's plates.
pub fn spread(part: &Part<SpreadFile>, diagnostics: &mut Diagnostics) {
    let file = &part.file;
    let mut r = Ranges {
        section: &part.section,
        diagnostics,
    };
    let (deck, air) = ("deck_temperature", "air on deck");
    r.within(deck, air, file.deck_temperature.0, (-40.0, 55.0), &DEGC);
    for (i, c) in file.compartments.iter().enumerate() {
        compartment(&mut r, c, &format!("compartments[{i}]"));
    }
    if let Some(l) = &file.reclaim {
        reclaim(&mut r, l);
    }
    for (i, d) in file.doors.iter().enumerate() {
        let at = |field: &str| format!("doors[{i}].{field}");
        r.bore(
            &at("equalise"),
            "the bore of an equalising valve",
            d.equalise,
            100.0,
        );
        r.flow(
            &at("exchange"),
            "an exchange through a door",
            d.exchange,
            100.0,
        );
        let what = "a pressure difference at which a door opens";
        r.within(
            &at("opens_below"),
            what,
            d.opens_below.0,
            (0.0001, 0.5),
            &BAR,
        );
    }
    let s = &file.instruments;
    for (field, lag) in [
        ("analyser_lag", s.analyser_lag),
        ("gauge_lag", s.gauge_lag),
        ("climate_lag", s.climate_lag),
    ] {
        let path = format!("instruments.{field}");
        r.within(&path, "a lag", lag.0 as f64, (0.0, 1800.0), &SECONDS);
    }
    let line = "a sample line";
    r.within("instruments.line", line, s.line.0, (0.0, 500.0), &METRES);
    r.bore(
        "instruments.line_bore",
        "the bore of a sample line",
        Some(s.line_bore),
        25.0,
    );
    for (field, ceiling) in [
        ("oxygen_ceiling", s.oxygen_ceiling),
        ("carbon_dioxide_ceiling", s.carbon_dioxide_ceiling),
    ] {
        let path = format!("instruments.{field}");
        let what = "the highest value of an analyser";
        r.within(&path, what, ceiling.0, (0.001, 50.0), &BAR);
    }
}

fn compartment(r: &mut Ranges<'_>, c: &CompartmentFile, path: &str) {
    let at = |field: &str| format!("{path}.{field}");
    let places = f64::from(c.places.unwrap_or(c.bunks).max(1));
    let (kind, bounds) = match c.kind {
        CompartmentKind::Living => ("a living chamber", (places.max(4.0), 200.0)),
        CompartmentKind::Transfer => ("a transfer chamber", (1.5, 60.0)),
        CompartmentKind::Trunk => ("a trunk", (0.1, 30.0)),
        CompartmentKind::Bell => ("a bell", (1.5, 20.0)),
        CompartmentKind::Rescue => ("a rescue chamber", ((0.25 * places).max(1.0), 60.0)),
        CompartmentKind::MedicalLock => ("a medical lock", (0.005, 1.0)),
        CompartmentKind::EquipmentLock => ("an equipment lock", (0.02, 10.0)),
        CompartmentKind::HoldingTank => ("a holding tank", (0.01, 20.0)),
        CompartmentKind::ReclaimTank => ("a reclaim's tank", RECLAIM_TANK_M3),
    };
    let has_volume = r.within(&at("volume"), kind, c.volume.0, bounds, &M3);
    let has_rating = r.within(&at("rating"), "a rating", c.rating.0, (5.0, 800.0), &MSW);
    // A wall is held to its volume and rating only where these can be.
    if has_volume && has_rating {
        let rated = format!("rated for {} msw", plain(c.rating.0));
        wall(r, &c.wall, c.volume.0, (c.rating.0 * MSW_PA, &rated), path);
    }

    let v = &c.valves;
    for (field, bore, most_mm) in [
        ("blow_down", v.blow_down, 150.0),
        ("exhaust", v.exhaust, 150.0),
        ("bleed", v.bleed, 60.0),
        ("drain", v.drain, 60.0),
        ("oxygen", v.oxygen, 30.0),
    ] {
        let path = at(&format!("valves.{field}"));
        r.bore(&path, "the bore of a valve", bore, most_mm);
    }
    let what = "a supply over the compartment's pressure";
    r.within(
        &at("supply_over"),
        what,
        c.supply_over.0,
        (0.1, 100.0),
        &BAR,
    );
    if let Some(sample) = c.sample {
        let what = "a flow to the analysers";
        r.within(&at("sample"), what, sample.0, (0.0, 50.0), &L_MIN);
    }
    if let Some(s) = &c.scrubber {
        r.flow(
            &at("scrubber.flow"),
            "the flow of a scrubber",
            s.flow,
            100.0,
        );
        let bed = (&s.absorbent, &s.capacity, &s.bed_number);
        absorbent(r, bed, &at("scrubber"));
        r.power(&at("scrubber.fan"), "the power of a fan", s.fan, 20.0);
    }
    if let Some(u) = &c.climate {
        for (field, power) in [("heater", u.heater), ("chiller", u.chiller)] {
            let path = at(&format!("climate.{field}"));
            r.power(&path, "the power of a climate unit", power, 200.0);
        }
        let (path, what) = (at("climate.coil_flow"), "the flow over a coil");
        r.flow(&path, what, u.coil_flow, 100.0);
        let (path, what) = (at("climate.coil"), "a coil");
        r.within(&path, what, u.coil.0, (-10.0, 30.0), &DEGC);
        let (path, what) = (at("climate.band"), "a band of heating");
        r.within(&path, what, u.band.0, (0.05, 20.0), &KELVIN);
    }
    if let Some(b) = &c.bell {
        let (path, what) = (at("bell.winch"), "the speed of a winch");
        r.within(&path, what, b.winch.0, (0.5, 120.0), &MSW_MIN);
        let (path, what) = (at("bell.handling"), "the time between deck and water");
        r.within(&path, what, b.handling.0 as f64, (5.0, 7200.0), &SECONDS);
        let (path, what) = (at("bell.hot_water_heat"), "the heat of hot water");
        r.power(&path, what, b.hot_water_heat, 200.0);
        let (path, what) = (at("bell.hot_water_flow"), "the flow of hot water");
        r.within(&path, what, b.hot_water_flow.0, (0.0, 120.0), &L_MIN);
        // Water of 50 degC scalds within minutes.
        let (path, what) = (at("bell.hot_water"), "hot water");
        r.within(&path, what, b.hot_water.0, (20.0, 50.0), &DEGC);
    }
}

/// The wall around a volume that holds a pressure, Pa, told of in words.
fn wall(
    r: &mut Ranges<'_>,
    wall: &WallFile,
    volume: f64,
    (holds_pa, held): (f64, &str),
    path: &str,
) {
    let at = |field: &str| format!("{path}.wall.{field}");
    let sphere_m2 = libm::cbrt(36.0 * std::f64::consts::PI * volume * volume);
    let walls = (OF_A_SPHERE * sphere_m2, 20.0 * sphere_m2);
    let what = format!("the wall around {} m3", plain(volume));
    r.within(&at("area"), &what, wall.area.0, walls, &M2);
    let lightest_kg = 1.5 * holds_pa * volume * STEEL_KG_M3 / STRONGEST_PA;
    let weights = (lightest_kg, (1000.0 * lightest_kg).max(100_000.0));
    let what = format!("a wall around {} m3 {held}", plain(volume));
    r.within(&at("steel"), &what, wall.steel.0, weights, &KG);
    let losses = (0.0, (200.0 * wall.area.0).max(1.0));
    let what = "heat lost through a wall";
    r.within(&at("loss"), what, wall.loss.0, losses, &W_K);
}

/// The loop that brings divers' gas back.
fn reclaim(r: &mut Ranges<'_>, l: &LoopFile) {
    let what = "a reclaim's tank";
    let has_volume = r.within("reclaim.tank", what, l.tank.0, RECLAIM_TANK_M3, &M3);
    let what = "the pressure that make-up holds in a reclaim's tank";
    let has_pressure = r.within("reclaim.working", what, l.working.0, (2.0, 300.0), &BAR);
    if has_volume && has_pressure {
        let held = format!("that holds {} bar", plain(l.working.0 / BAR_PA));
        wall(r, &l.wall, l.tank.0, (l.working.0, &held), "reclaim");
    }
    let bed = (&l.absorbent, &l.capacity, &l.bed_number);
    absorbent(r, bed, "reclaim");
    r.bore(
        "reclaim.make_up",
        "the bore of a valve",
        Some(l.make_up),
        60.0,
    );
    r.bore("reclaim.trickle", "the bore of a valve", l.trickle, 30.0);
    let what = "a flow to the analysers";
    r.within("reclaim.sample", what, l.sample.0, (0.0, 50.0), &L_MIN);
    let alarms = &l.alarms;
    for (field, what, set, most_bar) in [
        (
            "oxygen_low",
            "the least oxygen of a loop",
            alarms.oxygen_low,
            2.0,
        ),
        (
            "oxygen_high",
            "the most oxygen of a loop",
            alarms.oxygen_high,
            2.0,
        ),
        (
            "carbon_dioxide",
            "the most carbon dioxide of a loop",
            alarms.carbon_dioxide,
            0.1,
        ),
    ] {
        let path = format!("reclaim.alarms.{field}");
        r.within(&path, what, set.0, (0.0001, most_bar), &BAR);
    }
    if let (Some(least), true) = (alarms.pressure_low, has_pressure) {
        let what = "the least pressure in a reclaim's tank, below what make-up holds";
        let (path, most) = ("reclaim.alarms.pressure_low", 0.99 * l.working.0 / BAR_PA);
        r.within(path, what, least.0, (1.0, most), &BAR);
    }
}

/// A charge of absorbent, what it takes up, and the number of its bed.
fn absorbent(
    r: &mut Ranges<'_>,
    (mass, capacity, bed_number): (&Ranged<Mass>, &Ranged<Capacity>, &Number),
    path: &str,
) {
    let at = |field: &str| format!("{path}.{field}");
    let what = "a canister's absorbent";
    r.within(&at("absorbent"), what, mass.high.0, (0.1, 500.0), &KG);
    let most = MOST_ABSORBED_M3_KG * 1000.0;
    let what = "the capacity of absorbent";
    r.within(&at("capacity"), what, capacity.high.0, (1.0, most), &L_KG);
    let what = "a bed number";
    r.within(&at("bed_number"), what, bed_number.0, (0.05, 500.0), &NONE);
}

/// The banks: bottles, pressure, temperature.
pub fn stock(part: &Part<StockFile>, diagnostics: &mut Diagnostics) {
    let mut r = Ranges {
        section: &part.section,
        diagnostics,
    };
    for (i, b) in part.file.banks.iter().enumerate() {
        let at = |field: &str| format!("banks[{i}].{field}");
        let total = b.bottles.total_m3();
        r.within(&at("bottles"), "a bank", total, (0.001, 500.0), &M3);
        // Only what gas is brought back to may begin empty.
        if b.duty != Duty::Recovered {
            let what = "a bank's pressure";
            let filled = b.bottles.pressure.0;
            r.within(&at("bottles"), what, filled, (1.0, 350.0), &BAR);
        }
        let what = "a bank's gas";
        r.within(
            &at("temperature"),
            what,
            b.temperature.0,
            (-40.0, 65.0),
            &DEGC,
        );
    }
}

/// The people's masses.
pub fn crew(part: &Part<CrewFile>, diagnostics: &mut Diagnostics) {
    let mut r = Ranges {
        section: &part.section,
        diagnostics,
    };
    for (i, d) in part.file.divers.iter().enumerate() {
        let path = format!("divers[{i}].mass");
        r.within(&path, "a diver", d.mass.0, (40.0, 180.0), &KG);
    }
}
