//! Vessels and the ways between them: walls by their kind, what each is called, the depth it shows, who said he is in it,
//! doors and clamps by their lamps, and what rings.

use super::layout::{BesideBanks, name_room};
use super::people;
use super::{View, tint};
use crate::drawing::{Anchor, Drawing, Ink, Stroke, Type, overlap, rounded, through};
use deepstay::record::{Severity, ValveName};
use deepstay::units::{Channel, CompartmentId, CompartmentKind, Quantity};
use deepstay::words::{Names, limit_unit, limit_words};
use kurbo::{BezPath, Point, Rect};

/// Draws them.
pub fn draw(view: &View, pipes: &[Rect], drawing: &mut Drawing) {
    // Words stand over the trunks to the deck as over gas on its way.
    let up = view.layout.ways.iter().filter(|way| !way.sideways);
    let up = up.filter_map(|way| match way.points[..] {
        [(x, y0), (_, y1)] => Some(Rect::new(x - 8.5, y0, x + 8.5, y1)),
        _ => None,
    });
    let pipes: Vec<Rect> = pipes.iter().copied().chain(up).collect();
    let pipes = &pipes[..];
    for way in &view.layout.ways {
        passage(view, way, drawing);
    }
    let steel = &view.scenario.steel;
    for (id, plate) in (0u8..).map(CompartmentId).zip(&steel.compartments) {
        let Some(rect) = view.layout.places[id.index()] else {
            continue;
        };
        match plate.kind {
            CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue => {
                chamber(view, id, rect, pipes, drawing);
            }
            CompartmentKind::Trunk => trunk(view, id, rect, pipes, drawing),
            CompartmentKind::MedicalLock | CompartmentKind::EquipmentLock => {
                lock(view, id, rect, drawing);
            }
            CompartmentKind::HoldingTank | CompartmentKind::ReclaimTank => {
                tank(view, id, rect, drawing);
            }
            CompartmentKind::Bell => {}
        }
    }
    for way in &view.layout.ways {
        door(view, way, drawing);
    }
}

/// The depth that a vessel's gauge shows; a dash where it shows none.
pub fn depth_of(view: &View, id: CompartmentId) -> String {
    let shown = view.seen.reading(id, Quantity::Depth, Channel::Primary);
    let scale = view.units.scale(Quantity::Depth);
    shown.map_or("-".to_owned(), |msw| {
        format!("{} {}", scale.digits(msw), scale.plain)
    })
}

fn chamber(view: &View, id: CompartmentId, rect: Rect, pipes: &[Rect], drawing: &mut Drawing) {
    let people: Vec<_> = view.seen.divers_in(id).collect();
    let room = if people.is_empty() {
        Ink::Empty
    } else {
        Ink::Room
    };
    let round = 0.5 * rect.height();
    drawing.shape(&rounded(rect, round), Ink::Wall, Ink::Line, 2.0);
    drawing.shape(
        &rounded(rect.inset(-5.0), round - 5.0),
        room,
        Ink::Line,
        1.2,
    );
    let floor_y = rect.y1 - 13.0;
    let floor = through(&[(rect.x0 + 20.0, floor_y), (rect.x1 - 20.0, floor_y)]);
    drawing.line(&floor, Ink::Ghost, 2.0);
    if view.scenario.steel.compartments[id.index()].kind == CompartmentKind::Transfer {
        shower(drawing, rect, floor_y);
    }
    let who: Vec<people::Person> = people.iter().map(|d| view.person(*d)).collect();
    people::inside(drawing, rect, floor_y, &who);
    let name = view.scenario.compartment(id);
    let depth = depth_of(view, id);
    let y = rect.y0 - 8.0;
    let room = rect.width() + 12.0;
    let rescue = view.scenario.steel.compartments[id.index()].kind == CompartmentKind::Rescue;
    if view.layout.two_lines() && !rescue {
        let left = rect.x0 + 10.0;
        let strong = Type::TEXT.strong();
        let name = shortened(&name, strong, name_room(rect));
        over_pipes(drawing, pipes, (left, y - 18.0), &name, strong);
        drawing.words((left, y - 18.0), name, strong, Anchor::Start, Ink::Line);
        // The number alone where there is no room for its unit: the scale beside the sea has it.
        let digits = depth.split(' ').next().unwrap_or_default().to_owned();
        let fits = |words: &String| Type::TEXT.width(words) <= name_room(rect);
        if let Some(depth) = [depth, digits].into_iter().find(fits) {
            over_pipes(drawing, pipes, (left, y), &depth, Type::TEXT);
            drawing.words((left, y), depth, Type::TEXT, Anchor::Start, Ink::Line);
        }
        ring(view, id, (rect.center().x, y - 39.0), room, drawing);
    } else {
        label(drawing, pipes, (rect.x0 + 10.0, y), (&name, &depth));
        // Over one on deck there is no room: what rings there stands on the deck before it.
        let (middle, room) = match rescue {
            // With another beside it there is none: its sign stands in it.
            true if view.layout.has_a_neighbour_left(rect) => {
                ((rect.x1 - 22.0, rect.center().y + 5.0), 32.0)
            }
            true => {
                let room = (rect.x0 - view.layout.hull.0 - 20.0).clamp(30.0, 230.0);
                ((rect.x0 - 10.0 - 0.5 * room, rect.center().y + 5.0), room)
            }
            false => ((rect.center().x, y - 21.0), room),
        };
        ring(view, id, middle, room, drawing);
    }
    gas_out(view, id, rect, drawing);
}

/// The shower of a chamber for transfer under pressure, at its end.
fn shower(drawing: &mut Drawing, rect: Rect, floor_y: f64) {
    let (x, top) = (rect.x1 - 20.0, floor_y - 34.0);
    let mut pipe = BezPath::new();
    pipe.move_to((x + 5.0, floor_y - 14.0));
    pipe.line_to((x + 5.0, top + 5.0));
    pipe.curve_to((x + 5.0, top), (x - 3.0, top), (x - 3.0, top + 4.0));
    drawing.line(&pipe, Ink::Ghost, 1.6);
    let rose = through(&[(x - 7.0, top + 5.0), (x + 1.0, top + 5.0)]);
    drawing.line(&rose, Ink::Ghost, 2.6);
}

/// Gas on its way passes behind words that stand where it goes.
fn over_pipes(drawing: &mut Drawing, pipes: &[Rect], at: (f64, f64), words: &str, set: Type) {
    let ground = set.ground(at, words);
    if pipes.iter().any(|pipe| overlap(*pipe, ground)) {
        drawing.fill(&rounded(ground, 3.0), Ink::Cut);
    }
}

/// A name as far as there is room for it: its number stays.
fn shortened(name: &str, set: Type, room: f64) -> String {
    if set.width(name) <= room {
        return name.to_owned();
    }
    let (words, number) = match name.rsplit_once(' ') {
        Some((words, last)) if last.len() <= 2 => (words, format!(" {last}")),
        _ => (name, String::new()),
    };
    let left = room - set.width(&number);
    let mut short = String::new();
    for sign in words.chars() {
        let longer = format!("{short}{sign}.");
        if set.width(&longer) > left {
            break;
        }
        short.push(sign);
    }
    format!("{short}.{number}")
}

/// A name with its reading.
fn label(
    drawing: &mut Drawing,
    pipes: &[Rect],
    (left, y): (f64, f64),
    (name, reading): (&str, &str),
) {
    let (strong, plain) = (Type::TEXT.strong(), Type::TEXT);
    let a = strong.width(name);
    over_pipes(drawing, pipes, (left, y), name, strong);
    over_pipes(drawing, pipes, (left + a + 8.0, y), reading, plain);
    drawing.words((left, y), name, strong, Anchor::Start, Ink::Line);
    drawing.words(
        (left + a + 8.0, y),
        reading,
        plain,
        Anchor::Start,
        Ink::Line,
    );
}

/// The gravest that rings at a vessel, with its sign: in words with its value, in words, or by its sign alone, as there is
/// room for it over the vessel. The panel has all of it.
fn ring(view: &View, id: CompartmentId, (x, y): (f64, f64), room: f64, drawing: &mut Drawing) {
    let here = view
        .seen
        .alarms
        .iter()
        .filter(|a| a.shows() && a.name.compartment == id);
    let Some(worst) = here.max_by_key(|a| (a.name.severity, a.state.waits())) else {
        return;
    };
    let scale = view.units.scale(worst.name.quantity);
    let short = limit_words(&worst.name);
    let value = scale.digits(worst.value);
    let unit = limit_unit(&worst.name, view.units);
    let whole = format!("{short} {value} {unit}");
    // What somebody has answered stands quieter: plain, on the ground it is on.
    let waits = worst.state.waits();
    let set = if waits {
        Type::TEXT.strong()
    } else {
        Type::TEXT
    };
    let forms = [whole, short, String::new()];
    let fits = |words: &String| words.is_empty() || set.width(words) + 32.0 <= room;
    let words = forms.into_iter().find(fits).unwrap_or_default();
    let wide = set.width(&words) + 24.0;
    let left = x - 0.5 * wide;
    let ground = Rect::new(left - 5.0, y - 15.0, left + wide + 8.0, y + 5.0);
    if waits {
        drawing.shape(&rounded(ground, 4.0), Ink::Light, Ink::Line, 1.2);
    }
    sign(drawing, (left + 10.0, y - 5.0), worst.name.severity);
    if !words.is_empty() {
        drawing.words((left + 26.0, y), words, set, Anchor::Start, Ink::Line);
    }
}

/// A triangle in the tint of how grave it is, with its sign in it.
pub fn sign(drawing: &mut Drawing, (x, y): (f64, f64), severity: Severity) {
    let (ink, sign) = tint(severity);
    let mut triangle = BezPath::new();
    triangle.move_to((x, y - 9.0));
    triangle.line_to((x + 10.0, y + 8.0));
    triangle.line_to((x - 10.0, y + 8.0));
    triangle.close_path();
    drawing.shape(&triangle, ink, Ink::Line, 1.4);
    drawing.words(
        (x, y + 6.5),
        sign,
        Type::TEXT.strong(),
        Anchor::Middle,
        Ink::Line,
    );
}

fn trunk(view: &View, id: CompartmentId, rect: Rect, pipes: &[Rect], drawing: &mut Drawing) {
    drawing.shape(&rounded(rect, 3.0), Ink::Empty, Ink::Line, 1.8);
    let depth = depth_of(view, id);
    let digits = depth.split(' ').next().unwrap_or_default().to_owned();
    let at = (rect.center().x, rect.center().y + 5.0);
    drawing.words(at, digits, Type::TEXT, Anchor::Middle, Ink::Line);
    // The bell's own has its name over it, others under them.
    let of_bell = view.layout.pools.iter().any(|p| {
        let bell = view.scenario.steel.compartments[p.bell.index()].bell;
        bell.is_some_and(|b| b.trunk == id)
    });
    let strong = Type::TEXT.strong();
    let name = shortened(&view.scenario.compartment(id), strong, rect.width() + 14.0);
    let y = match of_bell {
        true => rect.y0 - 6.0,
        false => rect.y1 + 15.0,
    };
    let at = (rect.center().x, y);
    over_pipes(
        drawing,
        pipes,
        (at.0 - 0.5 * strong.width(&name), y),
        &name,
        strong,
    );
    drawing.words(at, name, strong, Anchor::Middle, Ink::Line);
}

fn lock(view: &View, id: CompartmentId, rect: Rect, drawing: &mut Drawing) {
    drawing.shape(&rounded(rect, 3.0), Ink::Empty, Ink::Line, 1.4);
    let pressed = view.seen.depth_msw(id).is_some_and(|msw| msw > 0.5);
    if pressed {
        drawing.fill(&rounded(rect.inset(-3.5), 1.5), Ink::Wall);
    }
}

fn tank(view: &View, id: CompartmentId, rect: Rect, drawing: &mut Drawing) {
    drawing.shape(&rounded(rect, 6.0), Ink::Empty, Ink::Line, 1.6);
    let steel = &view.scenario.steel;
    if steel.compartments[id.index()].kind == CompartmentKind::ReclaimTank {
        let name = view.scenario.compartment(id);
        let y = match view.layout.beside_banks {
            BesideBanks::Contents => rect.y0 - 5.0,
            BesideBanks::Name | BesideBanks::Nothing => rect.y1 + 15.0,
        };
        let at = (rect.x0, y);
        drawing.words(at, name, Type::TEXT.strong(), Anchor::Start, Ink::Line);
    }
}

/// Whether a handle stands open that lets gas out of a vessel.
fn lets_gas_out(view: &View, id: CompartmentId) -> bool {
    let open = |valve| view.seen.handle(valve).is_some_and(|by| by > 0.0);
    open(ValveName::Exhaust(id)) || open(ValveName::Bleed(id))
}

/// Where gas goes up that is let out of a vessel.
fn gas_out_x(rect: Rect) -> f64 {
    rect.x1 - 14.0
}

/// Gas let out by a handle that stands open, going up from the vessel.
fn gas_out(view: &View, id: CompartmentId, rect: Rect, drawing: &mut Drawing) {
    if !lets_gas_out(view, id) {
        return;
    }
    let x = gas_out_x(rect);
    let up = through(&[(x, rect.y0 + 8.0), (x, view.layout.deck_y - 16.0)]);
    drawing.line(&up, Ink::Line, 3.4);
    let stroke = Stroke {
        ink: Ink::Light,
        width: 1.8,
        dashes: Some((6.0, 5.0)),
        shift: (18.0 * view.beside.moved_s).rem_euclid(11.0),
    };
    drawing.stroke(&up, stroke);
}

/// What gas let out is called, where no other words stand: so it comes after all of them.
pub fn gas_words(view: &View, drawing: &mut Drawing) {
    for (id, plate) in (0u8..)
        .map(CompartmentId)
        .zip(&view.scenario.steel.compartments)
    {
        let manned = matches!(
            plate.kind,
            CompartmentKind::Living | CompartmentKind::Transfer | CompartmentKind::Rescue
        );
        let (true, true, Some(rect)) = (
            manned,
            lets_gas_out(view, id),
            view.layout.places[id.index()],
        ) else {
            continue;
        };
        let at = (gas_out_x(rect) + 7.0, view.layout.deck_y - 10.0);
        if drawing.is_free(at, "bleed", Type::TEXT) {
            drawing.words(at, "bleed", Type::TEXT, Anchor::Start, Ink::Faint);
        }
    }
}

fn passage(view: &View, way: &super::Way, drawing: &mut Drawing) {
    let open = view.seen.doors[way.door.index()].open;
    let path = through(&way.points);
    let (wall, inside) = match (way.behind, open) {
        (true, true) => (Ink::Wall, Ink::Room),
        (true, false) => (Ink::Wall, Ink::Ghost),
        (false, true) => (Ink::Line, Ink::Room),
        (false, false) => (Ink::Line, Ink::Empty),
    };
    drawing.line(&path, wall, 17.0);
    drawing.line(&path, inside, 13.0);
}

/// A door by its lamp: across its way where it is shut, swung along it where it is open.
fn door(view: &View, way: &super::Way, drawing: &mut Drawing) {
    let open = view.seen.doors[way.door.index()].open;
    let Point { x, y } = way.at;
    let leaf = match (way.sideways, open) {
        (true, false) => [(x, y - 10.0), (x, y + 10.0)],
        (false, false) => [(x - 10.0, y), (x + 10.0, y)],
        (true, true) => [(x, y - 9.0), (x + 9.0, y - 14.0)],
        (false, true) => [(x - 9.0, y), (x - 14.0, y - 9.0)],
    };
    drawing.line(&through(&leaf), Ink::Line, if open { 2.2 } else { 4.2 });
}
