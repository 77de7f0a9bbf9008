//! The steel: bores become effective areas, shares a day become holes, masses become heat capacities.

use super::sea_water::sea_water_kg_m3;
use super::{Names, Part, input};
use crate::Input;
use crate::file::{CompartmentFile, DoorFile, LoopFile, SpreadFile};
use deepstay_core::gas::{Amounts, flow};
use deepstay_core::units::text::Bore;
use deepstay_core::units::*;
use deepstay_plant::{Bell, Climate, Compartment, Door, Relief, Scrubber, Steel};
use deepstay_read::{Diagnostics, Section, Wrong};

/// Specific heat capacity of steel, J/(kg K) (common handbook value, from memory).
const STEEL_J_KG_K: f64 = 480.0;
/// Discharge coefficient of an equalising valve (sharp-edged, 0.6 to 0.84).
const EQUALISE_DISCHARGE: f64 = 0.8;
/// Rating of a loop's tank over its working pressure (house figure).
const TANK_RATING: f64 = 1.25;
/// Pressure of a loop's make-up and oxygen regulators above its tank, Pa (common practice, no source).
const LOOP_OVER_PA: f64 = 7e5;
/// Heliox and temperature at which a leak of so much a day is turned into a hole.
const LEAK_O2: f64 = 0.04;
const LEAK_T_K: f64 = 303.15;
/// The spread without its gas and instruments.
pub fn steel(
    spread: &Part<SpreadFile>,
    names: &Names,
    inputs: &mut Vec<Input>,
    diagnostics: &mut Diagnostics,
) -> Steel {
    let Part { file, section } = spread;
    let mut compartments = Vec::new();
    for (i, c) in file.compartments.iter().enumerate() {
        compartments.push(compartment(
            spread,
            c,
            &format!("compartments[{i}]"),
            names,
            inputs,
            diagnostics,
        ));
    }
    if let Some(r) = &file.reclaim {
        compartments.push(tank(r, section, inputs, diagnostics));
    }
    let mut doors = Vec::new();
    for (i, d) in file.doors.iter().enumerate() {
        doors.extend(door(spread, d, &format!("doors[{i}]"), names, diagnostics));
    }
    let steel = Steel {
        name: file.name.clone(),
        compartments,
        doors,
        deck_t_k: file.deck_temperature.0,
        deck_humidity: file.deck_humidity.0,
        surface_pa: file.surface_pressure.0,
        breathing_over_pa: file.breathing_over.0,
        ..Steel::default()
    };
    if steel.breathing_over_pa > 50e5 {
        let words = "a breathing regulator wants 50 bar at the most".to_owned();
        diagnostics.add(section, "breathing_over", Wrong::Value(words));
    }
    if !(80_000.0..=120_000.0).contains(&steel.surface_pa) {
        let words = "surface pressure lies between 0.8 and 1.2 bar".to_owned();
        diagnostics.add(section, "surface_pressure", Wrong::Value(words));
    }
    joined(spread, &steel, diagnostics);
    steel
}

/// What can be read inside and said aloud.
pub fn inside_gauges(spread: &Part<SpreadFile>, diagnostics: &mut Diagnostics) -> Vec<Quantity> {
    let Part { file, section } = spread;
    for (k, quantity) in file.inside_gauges.iter().enumerate() {
        let at = format!("inside_gauges[{k}]");
        match quantity {
            Quantity::Depth
            | Quantity::Temperature
            | Quantity::Humidity
            | Quantity::PpO2
            | Quantity::PpCo2 => {}
            Quantity::FO2 | Quantity::GaugePressure | Quantity::SeaDepth => {
                let words = format!(
                    "no gauge inside shows {quantity:?}; Depth, Temperature, Humidity, PpO2 and PpCo2 may be read there"
                );
                diagnostics.add(section, &at, Wrong::Value(words));
            }
        }
        if file.inside_gauges[..k].contains(quantity) {
            let words = format!("{quantity:?} stands before it already");
            diagnostics.add(section, &at, Wrong::Contradiction(words));
        }
    }
    file.inside_gauges.clone()
}

fn compartment(
    spread: &Part<SpreadFile>,
    c: &CompartmentFile,
    path: &str,
    names: &Names,
    inputs: &mut Vec<Input>,
    diagnostics: &mut Diagnostics,
) -> Compartment {
    let section = &spread.section;
    let mut positive = |value: f64, field: &str, what: &str| {
        if value <= 0.0 {
            diagnostics.add(
                section,
                &format!("{path}.{field}"),
                Wrong::Value(format!("{what} is more than nothing")),
            );
        }
    };
    positive(c.volume.0, "volume", "a volume");
    positive(c.rating.0, "rating", "a rating");
    positive(c.wall.area.0, "wall.area", "a wall's area");
    positive(c.wall.steel.0, "wall.steel", "a wall's mass");
    if let Some(s) = &c.scrubber {
        positive(s.absorbent.low.0, "scrubber.absorbent", "absorbent");
        positive(s.capacity.low.0, "scrubber.capacity", "a capacity");
        positive(s.bed_number.0, "scrubber.bed_number", "a bed number");
    }
    if let Some(u) = &c.climate {
        positive(u.band.0, "climate.band", "a band");
    }
    if let Some(b) = &c.bell {
        positive(b.winch.0, "bell.winch", "a winch's speed");
    }
    if c.kind == CompartmentKind::ReclaimTank {
        let words = "a reclaim's tank is no compartment of the list".to_owned();
        let suggestion = Some("write it as the spread's reclaim: (tank: \"1 m3\", ...)".to_owned());
        let at = format!("{path}.kind");
        diagnostics.add_with(section, &at, Wrong::Contradiction(words), suggestion);
    }
    let discharge = c.valves.discharge.0;
    if !(0.1..=1.0).contains(&discharge) {
        let words = "a discharge coefficient lies between 0.1 and 1; sharp holes have 0.6 to 0.84"
            .to_owned();
        diagnostics.add(
            section,
            &format!("{path}.valves.discharge"),
            Wrong::Value(words),
        );
    }
    let valve = |bore: Option<Bore>| bore.map_or(0.0, |b| area_m2(b.0, discharge));
    let leak_m2 = c.leak.map_or(0.0, |leak| {
        let per_day = 86_400.0 * 100.0;
        let (value, low, high) = (
            leak.value.0 * per_day,
            leak.low.0 * per_day,
            leak.high.0 * per_day,
        );
        input(
            inputs,
            format!("leak of {} in heliox of 4 %", c.name),
            "%/d",
            (value, low, high),
        );
        leak_hole_m2(leak.value.0, c.volume.0, c.rating.0, LEAK_O2)
    });
    let scrubber = c.scrubber.as_ref().map(|s| {
        let (kg, take) = (s.absorbent, s.capacity);
        input(
            inputs,
            format!("absorbent in a canister of {}", c.name),
            "kg",
            (kg.value.0, kg.low.0, kg.high.0),
        );
        let mol = FreeReference::Stpd.mol_per_m3();
        let taken = (take.value.0 * mol, take.low.0 * mol, take.high.0 * mol);
        input(
            inputs,
            format!("capacity of the absorbent in {}", c.name),
            "mol/kg",
            taken,
        );
        Scrubber {
            flow_m3_s: s.flow.0,
            absorbent_kg: kg.value.0,
            capacity_mol_kg: taken.0,
            bed_number: s.bed_number.0,
            fan_w: s.fan.0,
        }
    });
    let climate = c.climate.as_ref().map(|u| Climate {
        heater_w: u.heater.0,
        chiller_w: u.chiller.0,
        coil_m3_s: u.coil_flow.0,
        coil_t_k: u.coil.0,
        coil_contact: u.contact.0,
        band_k: u.band.0,
    });
    let drain_to = c.drain_to.as_ref().and_then(|to| {
        let at = format!("{path}.drain_to");
        let tank = names.compartment(to, section, &at, diagnostics)?;
        if kind_of(spread, tank) != CompartmentKind::HoldingTank {
            let words = format!("`{to}` is no holding tank, and drains go to one");
            diagnostics.add(section, &at, Wrong::Contradiction(words));
        }
        Some(tank)
    });
    if c.valves.drain.is_some() && c.drain_to.is_none() && c.kind != CompartmentKind::HoldingTank {
        let words = "a drain needs a holding tank to go to".to_owned();
        let suggestion = Some("add drain_to: \"NAME\"".to_owned());
        diagnostics.add_with(
            section,
            &format!("{path}.valves.drain"),
            Wrong::Contradiction(words),
            suggestion,
        );
    }
    let relief = c.relief.map(|r| {
        let mut add = |field: &str, words: String| {
            let at = format!("{path}.relief.{field}");
            diagnostics.add(section, &at, Wrong::Contradiction(words));
        };
        if r.set.0 > c.rating.0 {
            add(
                "set",
                format!(
                    "a relief valve that lifts at {} msw protects no vessel rated for {} msw",
                    fixed_short(r.set.0),
                    fixed_short(c.rating.0)
                ),
            );
        }
        if r.reseat.0 >= r.set.0 || r.reseat.0 <= 0.0 {
            let words = "a relief valve reseats at less than it lifts at, and above the surface";
            add("reseat", words.to_owned());
        }
        Relief {
            set_msw: r.set.0,
            reseat_msw: r.reseat.0,
            area_m2: area_m2(r.bore.0, discharge),
            gagged: r.gagged,
        }
    });
    let bell = bell(spread, c, path, names, diagnostics);
    Compartment {
        name: c.name.clone(),
        kind: c.kind,
        volume_m3: c.volume.0,
        rating_msw: c.rating.0,
        bunks: c.bunks,
        places: c.places.unwrap_or(c.bunks),
        wall_m2: c.wall.area.0,
        wall_j_k: c.wall.steel.0 * STEEL_J_KG_K,
        wall_ua_w_k: c.wall.loss.0,
        leak_m2,
        blow_down_m2: valve(c.valves.blow_down),
        exhaust_m2: valve(c.valves.exhaust),
        bleed_m2: valve(c.valves.bleed),
        drain_m2: valve(c.valves.drain),
        oxygen_m2: valve(c.valves.oxygen),
        supply_over_pa: c.supply_over.0,
        sample_mol_s: c
            .sample
            .map_or(0.0, |flow| flow.0 * FreeReference::Stpd.mol_per_m3()),
        drain_to,
        scrubber,
        climate,
        bell,
        relief,
    }
}

/// What a compartment of the list is, or the reclaim's tank that comes after it.
fn kind_of(spread: &Part<SpreadFile>, c: CompartmentId) -> CompartmentKind {
    let listed = spread.file.compartments.get(c.index());
    listed.map_or(CompartmentKind::ReclaimTank, |c| c.kind)
}

/// The volume tank of a loop, with its absorbent and its valves.
fn tank(
    r: &LoopFile,
    section: &Section,
    inputs: &mut Vec<Input>,
    diagnostics: &mut Diagnostics,
) -> Compartment {
    for (value, field, what) in [
        (r.tank.0, "tank", "a volume"),
        (r.working.0, "working", "a working pressure"),
        (r.wall.area.0, "wall.area", "a wall's area"),
        (r.wall.steel.0, "wall.steel", "a wall's mass"),
        (r.absorbent.low.0, "absorbent", "absorbent"),
        (r.capacity.low.0, "capacity", "a capacity"),
        (r.bed_number.0, "bed_number", "a bed number"),
        (r.make_up.0, "make_up", "a make-up valve's bore"),
    ] {
        if value <= 0.0 {
            let words = format!("{what} is more than nothing");
            diagnostics.add(section, &format!("reclaim.{field}"), Wrong::Value(words));
        }
    }
    if r.alarms.oxygen_low.0 >= r.alarms.oxygen_high.0 {
        let words = "the low alarm of oxygen lies below the high one".to_owned();
        diagnostics.add(section, "reclaim.alarms", Wrong::Contradiction(words));
    }
    let (kg, take, mol) = (r.absorbent, r.capacity, FreeReference::Stpd.mol_per_m3());
    let name = format!("absorbent in a charge of {}", r.name);
    input(inputs, name, "kg", (kg.value.0, kg.low.0, kg.high.0));
    let taken = (take.value.0 * mol, take.low.0 * mol, take.high.0 * mol);
    let name = format!("capacity of the absorbent in {}", r.name);
    input(inputs, name, "mol/kg", taken);
    let valve = |bore: Option<Bore>| bore.map_or(0.0, |b| area_m2(b.0, EQUALISE_DISCHARGE));
    Compartment {
        name: r.name.clone(),
        kind: CompartmentKind::ReclaimTank,
        volume_m3: r.tank.0,
        rating_msw: TANK_RATING * r.working.0 / MSW_PA,
        bunks: 0,
        places: 0,
        wall_m2: r.wall.area.0,
        wall_j_k: r.wall.steel.0 * STEEL_J_KG_K,
        wall_ua_w_k: r.wall.loss.0,
        leak_m2: 0.0,
        blow_down_m2: valve(Some(r.make_up)),
        exhaust_m2: 0.0,
        bleed_m2: 0.0,
        drain_m2: 0.0,
        oxygen_m2: valve(r.trickle),
        supply_over_pa: LOOP_OVER_PA,
        sample_mol_s: r.sample.0 * mol,
        relief: None,
        drain_to: None,
        scrubber: Some(Scrubber {
            flow_m3_s: 0.0,
            absorbent_kg: kg.value.0,
            capacity_mol_kg: taken.0,
            bed_number: r.bed_number.0,
            fan_w: 0.0,
        }),
        climate: None,
        bell: None,
    }
}

fn bell(
    spread: &Part<SpreadFile>,
    c: &CompartmentFile,
    path: &str,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Option<Bell> {
    let section = &spread.section;
    let is_bell = c.kind == CompartmentKind::Bell;
    let Some(b) = &c.bell else {
        if is_bell {
            diagnostics.add(section, path, Wrong::MissingField("bell".to_owned()));
        }
        return None;
    };
    if !is_bell {
        let words = format!(
            "`{}` has the machinery of a bell, but its kind is {:?}",
            c.name, c.kind
        );
        diagnostics.add(
            section,
            &format!("{path}.bell"),
            Wrong::Contradiction(words),
        );
    }
    let at = format!("{path}.bell.trunk");
    let trunk = names.compartment(&b.trunk, section, &at, diagnostics)?;
    if kind_of(spread, trunk) != CompartmentKind::Trunk {
        diagnostics.add(
            section,
            &at,
            Wrong::Contradiction(format!(
                "`{}` is no trunk, and a bell mates to one",
                b.trunk
            )),
        );
    }
    let mut bank = |name: &Option<String>, field: &str| {
        name.as_ref()
            .and_then(|n| names.bank(n, section, &format!("{path}.bell.{field}"), diagnostics))
    };
    Some(Bell {
        trunk,
        on_board: bank(&b.on_board, "on_board"),
        on_board_oxygen: bank(&b.on_board_oxygen, "on_board_oxygen"),
        winch_msw_s: b.winch.0,
        handling_s: b.handling.0,
        hot_water_w: b.hot_water_heat.0,
        hot_water_kg_s: b.hot_water_flow.0 * sea_water_kg_m3(b.hot_water.0),
        hot_water_t_k: b.hot_water.0,
    })
}

fn door(
    spread: &Part<SpreadFile>,
    d: &DoorFile,
    path: &str,
    names: &Names,
    diagnostics: &mut Diagnostics,
) -> Option<Door> {
    let section = &spread.section;
    let a = names.compartment(&d.from, section, &format!("{path}.from"), diagnostics)?;
    let b = match d.to.as_str() {
        "deck" | "sea" => None,
        name => Some(names.compartment(name, section, &format!("{path}.to"), diagnostics)?),
    };
    let wrong = |words: &str| Wrong::Contradiction(words.to_owned());
    if b == Some(a) {
        diagnostics.add(
            section,
            &format!("{path}.to"),
            wrong("a door has two sides that differ"),
        );
    }
    let is_bell = kind_of(spread, a) == CompartmentKind::Bell;
    if d.to == "sea" && !is_bell {
        diagnostics.add(
            section,
            &format!("{path}.to"),
            wrong("only a bell has a door to the sea"),
        );
    }
    if d.clamp && b.is_none() {
        diagnostics.add(
            section,
            &format!("{path}.clamp"),
            wrong("a clamp joins two compartments"),
        );
    }
    let (outside, clamp) = (b.is_none(), d.clamp);
    if d.open && outside && is_bell || d.open && clamp {
        diagnostics.add(
            section,
            &format!("{path}.open"),
            wrong("a bell starts on its trunk with its doors shut"),
        );
    }
    Some(Door {
        name: d.name.clone(),
        a,
        b,
        clamp: d.clamp,
        equalise_m2: d
            .equalise
            .map_or(0.0, |bore| area_m2(bore.0, EQUALISE_DISCHARGE)),
        exchange_m3_s: d.exchange.0,
        open_below_pa: d.opens_below.0,
        open_at_start: d.open,
    })
}

/// A bell has its mating face and its bottom door, a lock its two doors.
fn joined(spread: &Part<SpreadFile>, steel: &Steel, diagnostics: &mut Diagnostics) {
    let section = &spread.section;
    // What a door leads to is not known where a name is not.
    let known = !diagnostics.lacks("compartment");
    for (i, c) in (0u8..).zip(&steel.compartments) {
        let id = CompartmentId(i);
        let path = format!("compartments[{i}]");
        let mut need = |there: bool, words: String, how: &str| {
            if !there {
                diagnostics.add_with(
                    section,
                    &path,
                    Wrong::Contradiction(words),
                    Some(how.to_owned()),
                );
            }
        };
        let to_outside = steel.doors.iter().any(|d| d.a == id && d.b.is_none());
        let inward = steel.doors.iter().any(|d| d.b.is_some() && d.touches(id));
        match (&c.bell, c.kind) {
            (Some(bell), _) if known => {
                let mated = steel
                    .doors
                    .iter()
                    .any(|d| d.clamp && d.joins(id, bell.trunk));
                need(
                    mated,
                    format!("`{}` has no mating face to its trunk", c.name),
                    "add a door to it with clamp: true",
                );
                need(
                    to_outside,
                    format!("`{}` has no bottom door", c.name),
                    "add a door from it to \"sea\"",
                );
            }
            (None, CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock) if known => {
                need(
                    to_outside,
                    format!("`{}` has no outer door", c.name),
                    "add a door from it to \"deck\"",
                );
                need(
                    inward,
                    format!("`{}` has no inner door", c.name),
                    "add a door from it to a chamber",
                );
            }
            (None, CompartmentKind::Living) => {
                need(
                    c.bunks > 0,
                    format!("`{}` is a living chamber without bunks", c.name),
                    "add bunks: N",
                );
            }
            _ => {}
        }
    }
}

/// Whether it is known which bells there are: one whose trunk is misspelt is none yet.
pub fn knows_bells(steel: &Steel, diagnostics: &Diagnostics) -> bool {
    steel.compartments.iter().any(|c| c.bell.is_some()) || !diagnostics.lacks("compartment")
}

/// Effective area of a round hole, m2.
pub fn area_m2(bore_m: f64, discharge: f64) -> f64 {
    std::f64::consts::PI / 4.0 * bore_m * bore_m * discharge
}

/// Effective area of the hole through which a volume at its rated depth loses a share a second, m2. A
/// choked hole loses the same share at any depth.
fn leak_hole_m2(share_s: f64, volume_m3: f64, rating_msw: f64, o2: f64) -> f64 {
    let t_k = LEAK_T_K;
    let mix = Amounts::heliox(o2);
    let p_pa = ATM_PA + rating_msw.max(20.0) * MSW_PA;
    let contents = deepstay_core::gas::state::total_moles(&mix, p_pa, volume_m3, t_k);
    share_s * contents / flow::mol_s(1.0, &mix, p_pa, t_k, ATM_PA)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A leak of 1 % a day from 20 m3 needs 0.0040 mm2 of effective area (derived in closed form from
    /// choked flow of helium at 303 K).
    #[test]
    fn one_percent_a_day() {
        let area = leak_hole_m2(0.01 / 86_400.0, 20.0, 300.0, 0.0);
        approx::assert_relative_eq!(area, 0.0040e-6, max_relative = 0.05);
    }
}
