//! Who may order what: transfers under pressure and the bell's moves are dive control's, chambers, their doors and
//! their locks saturation control's. Each may ask the other (common practice, no source; the diving supervisor's
//! responsibility for the bell is in every code of practice). What is in neither list either may do: a line, an
//! analysis, a mask.

use deepstay_core::order::{Order, PeopleOrder, SteelOrder};
use deepstay_core::record::{Request, ValveName, Whereabouts};
use deepstay_core::units::*;
use deepstay_plant::Steel;

/// What an order would have to be asked for as, by a station that it does not belong to.
pub fn belongs_to(
    order: Order,
    steel: &Steel,
    at: impl Fn(DiverId) -> Whereabouts,
) -> Option<Request> {
    match order {
        Order::Steel(order) => steel_order(order, steel),
        Order::People(PeopleOrder::Go { diver, to }) => {
            let from = at(diver);
            let of_bell = |place| match place {
                Whereabouts::Deck => false,
                Whereabouts::Water(_) => true,
                Whereabouts::In(c) => matches!(
                    kind(steel, c),
                    Some(CompartmentKind::Bell | CompartmentKind::Trunk)
                ),
            };
            let moves = from != to && from != Whereabouts::Deck && to != Whereabouts::Deck;
            (moves && (of_bell(from) || of_bell(to))).then_some(Request::Transfer(diver))
        }
        Order::People(
            PeopleOrder::Do { .. }
            | PeopleOrder::Breathe { .. }
            | PeopleOrder::Shower { .. }
            | PeopleOrder::ExchangeBailOut { .. }
            | PeopleOrder::InboardStop { .. },
        ) => None,
    }
}

/// The divers and things that a request speaks of are on board.
pub fn in_question(request: Request, steel: &Steel, divers: usize) -> bool {
    match request {
        Request::Transfer(d) => d.index() < divers,
        Request::Mate(c) | Request::Lower(c) | Request::Recall(c) => {
            kind(steel, c) == Some(CompartmentKind::Bell)
        }
        Request::Pressure(c) => kind(steel, c).is_some_and(is_chamber),
        Request::Lock(c) => kind(steel, c).is_some_and(is_lock),
        Request::Door(d) => d.index() < steel.doors.len(),
    }
}

fn kind(steel: &Steel, c: CompartmentId) -> Option<CompartmentKind> {
    steel.compartments.get(c.index()).map(|plate| plate.kind)
}

fn is_chamber(kind: CompartmentKind) -> bool {
    match kind {
        CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue => true,
        CompartmentKind::Trunk
        | CompartmentKind::Bell
        | CompartmentKind::MedicalLock
        | CompartmentKind::EquipmentLock
        | CompartmentKind::HoldingTank
        | CompartmentKind::ReclaimTank => false,
    }
}

fn is_lock(kind: CompartmentKind) -> bool {
    matches!(
        kind,
        CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock
    )
}

fn steel_order(order: SteelOrder, steel: &Steel) -> Option<Request> {
    let gas = |c: CompartmentId| match kind(steel, c) {
        Some(kind) if is_chamber(kind) => Some(Request::Pressure(c)),
        Some(kind) if is_lock(kind) => Some(Request::Lock(c)),
        _ => None,
    };
    match order {
        SteelOrder::Bell { bell, to_msw } if to_msw > 0.0 => Some(Request::Lower(bell)),
        SteelOrder::Bell { bell, .. } => Some(Request::Recall(bell)),
        SteelOrder::Clamp { door, .. } => {
            let plate = steel.doors.get(door.index())?;
            let ends = [Some(plate.a), plate.b].into_iter().flatten();
            let mut bells = ends.filter(|c| kind(steel, *c) == Some(CompartmentKind::Bell));
            bells.next().map(Request::Mate)
        }
        SteelOrder::Valve { valve, .. } => match valve {
            ValveName::BlowDown(c)
            | ValveName::Oxygen(c)
            | ValveName::Exhaust(c)
            | ValveName::Bleed(c)
            | ValveName::Drain(c) => gas(c),
            ValveName::Equalise(door) => of_door(door, steel),
        },
        SteelOrder::Door { door, .. } => of_door(door, steel),
        SteelOrder::Trickle { compartment, .. } => gas(compartment),
        SteelOrder::LineUp { .. }
        | SteelOrder::LineOff { .. }
        | SteelOrder::BankStop { .. }
        | SteelOrder::Regulator { .. }
        | SteelOrder::SampleFrom { .. }
        | SteelOrder::Adjust { .. }
        | SteelOrder::Switch { .. }
        | SteelOrder::ClimateSet { .. }
        | SteelOrder::OxygenSet { .. }
        | SteelOrder::Gag { .. }
        | SteelOrder::HullStop { .. }
        | SteelOrder::ChangeCanister { .. }
        | SteelOrder::Calibrate { .. }
        | SteelOrder::Analyse { .. } => None,
    }
}

/// A door between chambers, or of a lock; none of the trunk's and the bell's, which both stations open and shut.
fn of_door(door: DoorId, steel: &Steel) -> Option<Request> {
    let plate = steel.doors.get(door.index())?;
    let ends = [Some(plate.a), plate.b];
    let kinds: Vec<CompartmentKind> = ends
        .into_iter()
        .flatten()
        .filter_map(|c| kind(steel, c))
        .collect();
    if let Some(lock) = ends
        .into_iter()
        .flatten()
        .find(|c| kind(steel, *c).is_some_and(is_lock))
    {
        return Some(Request::Lock(lock));
    }
    kinds
        .into_iter()
        .all(is_chamber)
        .then_some(Request::Door(door))
}
