//! Where things are on the spread, worked out once from the steel's plates: which doors join a level,
//! which locks it has, how a bell mates, and which instrument is labelled for what.

use deepstay_core::units::*;
use deepstay_plant::{SamplePoint, Steel};
use deepstay_scenario::Scenario;

/// The instruments labelled for one compartment.
#[derive(Clone, Copy, Debug, Default)]
pub struct Gauges {
    /// Depth, the one shown first and the one beside it.
    pub depth: [Option<InstrumentId>; 2],
    /// Oxygen analysers.
    pub ppo2: [Option<InstrumentId>; 2],
    /// Carbon dioxide analysers.
    pub ppco2: [Option<InstrumentId>; 2],
    /// Thermometer.
    pub temperature: Option<InstrumentId>,
    /// Sea depth, for a bell.
    pub sea: Option<InstrumentId>,
}

/// A medical or equipment lock of a level.
#[derive(Clone, Copy, Debug)]
pub struct LockLayout {
    /// The lock.
    pub lock: CompartmentId,
    /// The chamber it opens into.
    pub chamber: CompartmentId,
    /// Door to the chamber.
    pub inner: DoorId,
    /// Door to the deck.
    pub outer: DoorId,
    /// A larger lock, for laundry and stores.
    pub large: bool,
}

/// A level: chambers kept at one depth.
#[derive(Clone, Debug)]
pub struct LevelLayout {
    /// The living chamber, whose gauges are watched.
    pub living: CompartmentId,
    /// All members.
    pub members: Vec<CompartmentId>,
    /// Doors with a member on both sides.
    pub within: Vec<DoorId>,
    /// Doors with a member on one side and anything else, or the deck, on the other.
    pub around: Vec<DoorId>,
    /// A door from a member to the deck.
    pub outer_door: Option<DoorId>,
    /// Where toilet and shower drain.
    pub wet: Option<CompartmentId>,
    /// Locks.
    pub locks: Vec<LockLayout>,
    /// Gas volume of all members, m3.
    pub volume_m3: f64,
}

/// A bell and how it mates.
#[derive(Clone, Debug)]
pub struct BellLayout {
    /// The bell.
    pub bell: CompartmentId,
    /// Its trunk.
    pub trunk: CompartmentId,
    /// Hatch and mating face between bell and trunk.
    pub hatch: Option<DoorId>,
    /// Bottom door to the sea.
    pub bottom: Option<DoorId>,
    /// Doors from the trunk to chambers.
    pub trunk_doors: Vec<(DoorId, CompartmentId)>,
}

/// Everything a station knows of where things are.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Sides in the plan's order.
    pub levels: Vec<LevelLayout>,
    /// Bells in the steel's order.
    pub bells: Vec<BellLayout>,
    /// Instruments by compartment.
    pub gauges: Vec<Gauges>,
    /// Gauges by bank.
    pub bank_gauges: Vec<Option<InstrumentId>>,
    /// Holding tanks.
    pub tanks: Vec<CompartmentId>,
}

impl Layout {
    /// Reads the plates.
    pub fn new(scenario: &Scenario) -> Layout {
        let steel = &scenario.steel;
        let of_kind =
            |kind| ids(steel).filter(move |&c| steel.compartments[c.index()].kind == kind);
        Layout {
            levels: scenario
                .plan
                .levels
                .iter()
                .filter_map(|s| level(steel, &s.members))
                .collect(),
            bells: of_kind(CompartmentKind::Bell)
                .filter_map(|b| bell(steel, b))
                .collect(),
            gauges: ids(steel).map(|c| gauges(steel, c)).collect(),
            bank_gauges: (0u8..)
                .zip(&steel.banks)
                .map(|(i, _)| steel.bank_gauge(BankId(i)))
                .collect(),
            tanks: of_kind(CompartmentKind::HoldingTank).collect(),
        }
    }

    /// The level a compartment belongs to.
    pub fn level_of(&self, compartment: CompartmentId) -> Option<usize> {
        self.levels
            .iter()
            .position(|s| s.members.contains(&compartment))
    }
}

/// Doors to go through from one compartment to another, by the fewest doors; none if there is no way.
pub fn route(
    steel: &Steel,
    from: CompartmentId,
    to: CompartmentId,
) -> Option<Vec<(DoorId, CompartmentId)>> {
    let mut came: Vec<Option<(DoorId, CompartmentId)>> = vec![None; steel.compartments.len()];
    let mut queue = vec![from];
    let mut head = 0;
    while let Some(&here) = queue.get(head) {
        head += 1;
        if here == to {
            break;
        }
        for (door, next) in neighbours(steel, here) {
            if next != from && came[next.index()].is_none() {
                came[next.index()] = Some((door, here));
                queue.push(next);
            }
        }
    }
    let mut path = Vec::new();
    let mut at = to;
    while at != from {
        let (door, before) = came[at.index()]?;
        path.push((door, at));
        at = before;
    }
    path.reverse();
    Some(path)
}

fn ids(steel: &Steel) -> impl Iterator<Item = CompartmentId> + '_ {
    (0u8..)
        .zip(&steel.compartments)
        .map(|(i, _)| CompartmentId(i))
}

fn doors(
    steel: &Steel,
) -> impl Iterator<Item = (DoorId, CompartmentId, Option<CompartmentId>)> + '_ {
    (0u8..)
        .zip(&steel.doors)
        .map(|(i, d)| (DoorId(i), d.a, d.b))
}

/// The doors of a compartment, and what lies beyond each.
pub fn neighbours(
    steel: &Steel,
    here: CompartmentId,
) -> impl Iterator<Item = (DoorId, CompartmentId)> + '_ {
    doors(steel).filter_map(move |(d, a, b)| match b {
        Some(b) if a == here => Some((d, b)),
        Some(b) if b == here => Some((d, a)),
        _ => None,
    })
}

fn gauges(steel: &Steel, c: CompartmentId) -> Gauges {
    let both =
        |q| [Channel::Primary, Channel::Secondary].map(|channel| steel.instrument(c, q, channel));
    let sea = (0u16..)
        .zip(&steel.instruments)
        .find(|(_, i)| {
            i.quantity == Quantity::SeaDepth
                && (i.labelled == SamplePoint::Sea(c) || i.labelled == SamplePoint::Compartment(c))
        })
        .map(|(i, _)| InstrumentId(i));
    Gauges {
        depth: both(Quantity::Depth),
        ppo2: both(Quantity::PpO2),
        ppco2: both(Quantity::PpCo2),
        temperature: steel.instrument(c, Quantity::Temperature, Channel::Primary),
        sea,
    }
}

fn level(steel: &Steel, members: &[CompartmentId]) -> Option<LevelLayout> {
    let living = *members.first()?;
    let inside = |c: CompartmentId| members.contains(&c);
    let plate = |c: CompartmentId| &steel.compartments[c.index()];
    let mut within = Vec::new();
    let mut around = Vec::new();
    for (d, a, b) in doors(steel) {
        match (inside(a), b.is_some_and(inside)) {
            (true, true) => within.push(d),
            (true, false) | (false, true) => around.push(d),
            (false, false) => {}
        }
    }
    let outer_door = doors(steel)
        .find(|&(_, a, b)| inside(a) && b.is_none())
        .map(|(d, ..)| d);
    let drains = |c: &CompartmentId| plate(*c).drain_m2 > 0.0;
    let wet = members
        .iter()
        .copied()
        .filter(drains)
        .find(|&c| plate(c).kind == CompartmentKind::Transfer)
        .or_else(|| members.iter().copied().find(drains));
    let locks = ids(steel)
        .filter_map(|lock| lock_of(steel, lock, members))
        .collect();
    let volume_m3 = members.iter().map(|&c| plate(c).volume_m3).sum();
    Some(LevelLayout {
        living,
        members: members.to_vec(),
        within,
        around,
        outer_door,
        wet,
        locks,
        volume_m3,
    })
}

fn lock_of(steel: &Steel, lock: CompartmentId, members: &[CompartmentId]) -> Option<LockLayout> {
    let kind = steel.compartments[lock.index()].kind;
    let large = kind == CompartmentKind::EquipmentLock;
    if !large && kind != CompartmentKind::MedicalLock {
        return None;
    }
    let (inner, chamber) = neighbours(steel, lock).find(|(_, c)| members.contains(c))?;
    let outer = doors(steel).find(|&(_, a, b)| a == lock && b.is_none())?.0;
    Some(LockLayout {
        lock,
        chamber,
        inner,
        outer,
        large,
    })
}

fn bell(steel: &Steel, bell: CompartmentId) -> Option<BellLayout> {
    let trunk = steel.compartments[bell.index()].bell.as_ref()?.trunk;
    let hatch = neighbours(steel, bell)
        .find(|&(_, c)| c == trunk)
        .map(|(d, _)| d);
    let bottom = doors(steel)
        .find(|&(_, a, b)| a == bell && b.is_none())
        .map(|(d, ..)| d);
    let trunk_doors = neighbours(steel, trunk)
        .filter(|&(_, c)| c != bell)
        .collect();
    Some(BellLayout {
        bell,
        trunk,
        hatch,
        bottom,
        trunk_doors,
    })
}
