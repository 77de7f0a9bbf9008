//! Bells: on the wire at the depth that the winch's counter shows, or mated at the pool; their people, and divers out at
//! work on their umbilicals.

use super::layout::BELL;
use super::people;
use super::vessels::depth_of;
use super::work::{self, Piece};
use super::{Pool, View};
use crate::drawing::{Anchor, Drawing, Ink, Type, rounded, through};
use deepstay::record::{Machine, Whereabouts};
use deepstay::words::Names;
use kurbo::{BezPath, Circle, Rect};

/// How far the work is from under the bell, px.
const OUT: f64 = 190.0;
/// The same where there are two bells, px.
const OUT_OF_TWO: f64 = 120.0;
/// How far from the work divers stand, px, and how far from each other where there are more on a side.
const BESIDE: f64 = 26.0;
const NEXT: f64 = 62.0;

/// Draws them.
pub fn draw(view: &View, drawing: &mut Drawing) {
    for pool in &view.layout.pools {
        clamp(view, pool, drawing);
        bell(view, pool, drawing);
    }
}

/// The clamp between a trunk and its bell by its lamp: two jaws, closed on the flange where it is made, apart where not.
fn clamp(view: &View, pool: &Pool, drawing: &mut Drawing) {
    let steel = &view.scenario.steel;
    let Some(fittings) = &steel.compartments[pool.bell.index()].bell else {
        return;
    };
    let mut hatches = (0..).zip(&steel.doors);
    let hatch = hatches.find(|(_, door)| door.clamp && door.joins(fittings.trunk, pool.bell));
    let Some((id, _)) = hatch else {
        return;
    };
    let made = view.seen.doors[id].clamped;
    let x = pool.x - pool.half + 2.0;
    let away = if made { 12.0 } else { 18.0 };
    for side in [-1.0, 1.0] {
        let y = pool.mated_y + side * away;
        let jaw = Rect::new(x - 1.0, y - 4.0, x + 9.0, y + 4.0);
        let fill = if made { Ink::Line } else { Ink::Room };
        drawing.shape(&rounded(jaw, 1.5), fill, Ink::Line, 1.6);
    }
}

/// Where the middle of a bell is, by what the winch's counter shows.
fn middle(view: &View, pool: &Pool) -> (f64, f64) {
    let wire_msw = view.seen.wire_msw(pool.bell);
    let at = view.layout.bell_at(pool, wire_msw);
    (at.x, at.y)
}

fn bell(view: &View, pool: &Pool, drawing: &mut Drawing) {
    let (x, y) = middle(view, pool);
    let top = view.layout.deck_y - 50.0;
    drawing.line(
        &through(&[(pool.x, top), (x, y - BELL - 6.0)]),
        Ink::Line,
        1.8,
    );
    let away = y > view.layout.keel_y;
    if away {
        // Straight down through the pool, then bowed by its own weight in the sea.
        let (from, keel) = (pool.x + 22.0, view.layout.keel_y);
        let (bow, deep) = (0.2 * (y - keel), y - keel);
        let mut umbilical = BezPath::new();
        umbilical.move_to((from, view.layout.deck_y));
        umbilical.line_to((from, keel));
        umbilical.curve_to(
            (from + 0.3 * bow, keel + 0.45 * deep),
            (from + bow, y - 0.3 * deep),
            (x + 10.0, y - BELL),
        );
        drawing.line(&umbilical, Ink::Faint, 2.6);
        light(drawing, (x, y), view.layout.floor_y);
    }
    out(view, pool, (x, y), drawing);
    for side in [-1.0, 1.0] {
        let bottle = Rect::new(
            x + side * (BELL + 4.0) - 3.0,
            y - 13.0,
            x + side * (BELL + 4.0) + 3.0,
            y + 12.0,
        );
        drawing.shape(&rounded(bottle, 3.0), Ink::Cut, Ink::Line, 1.4);
    }
    drawing.shape(&Circle::new((x, y), BELL), Ink::Wall, Ink::Line, 2.2);
    drawing.shape(&Circle::new((x, y), BELL - 5.0), Ink::Room, Ink::Line, 1.2);
    drawing.shape(
        &Rect::new(x - 4.0, y - BELL - 7.0, x + 4.0, y - BELL + 1.0),
        Ink::Wall,
        Ink::Line,
        1.4,
    );
    let skid = through(&[(x - 17.0, y + BELL + 6.0), (x + 17.0, y + BELL + 6.0)]);
    drawing.line(&skid, Ink::Line, 2.6);
    for side in [-10.0, 10.0] {
        drawing.line(
            &through(&[(x + side, y + BELL - 4.0), (x + side, y + BELL + 6.0)]),
            Ink::Line,
            1.6,
        );
    }
    inside(view, pool, (x, y), away, drawing);
}

fn light(drawing: &mut Drawing, (x, y): (f64, f64), floor_y: f64) {
    let reach = (floor_y - y - BELL).min(60.0);
    if reach <= 4.0 {
        return;
    }
    let mut cone = BezPath::new();
    cone.move_to((x - 12.0, y + BELL));
    cone.line_to((x - 12.0 - 0.7 * reach, y + BELL + reach));
    cone.line_to((x + 12.0 + 0.7 * reach, y + BELL + reach));
    cone.line_to((x + 12.0, y + BELL));
    cone.close_path();
    drawing.fade(&cone, Ink::Light, Ink::Deep);
}

/// Who said he is in the bell, and what its gauge shows.
fn inside(view: &View, pool: &Pool, (x, y): (f64, f64), away: bool, drawing: &mut Drawing) {
    let men: Vec<_> = view.seen.divers_in(pool.bell).collect();
    for (k, _) in men.iter().enumerate() {
        let by = (k as f64 - 0.5 * (men.len() - 1) as f64) * 11.0;
        drawing.fill(&Circle::new((x + by - 1.0, y - 6.0), 4.2), Ink::Line);
        let body = through(&[
            (x + by - 1.0, y),
            (x + by - 1.0, y + 5.0),
            (x + by + 4.0, y + 6.0),
        ]);
        drawing.line(&body, Ink::Line, 3.8);
    }
    let initials: Vec<String> = men.iter().map(|d| view.person(*d).words()).collect();
    let name = view.scenario.compartment(pool.bell);
    let shows = depth_of(view, pool.bell);
    // At the pool's side its name stands under it with what it shows; on its wire who is in it, over where its divers are,
    // or, of several bells, on the other side. Where other words are in the way, at the next place that is free.
    let beside = |side: f64| {
        (
            x + side * (BELL + 14.0),
            y - 36.0,
            if side < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            },
        )
    };
    let under = (pool.x, y + BELL + 24.0, Anchor::Middle);
    let (to, _) = side_of_work(view, x);
    let left_first = view.layout.pools.len() < 2 || to > 0.0;
    let (first, places) = match (away, left_first) {
        (false, _) => (name.clone(), vec![under]),
        (true, true) => (initials.join(" "), vec![beside(-1.0), beside(1.0), under]),
        (true, false) => (initials.join(" "), vec![beside(1.0), beside(-1.0), under]),
    };
    let second = match away {
        true => format!("{name} {shows}"),
        false => shows,
    };
    let lines = [
        (first, Type::TEXT.strong(), 0.0),
        (second, Type::TEXT, 18.0),
    ];
    let free = |(x, y, anchor): &(f64, f64, Anchor)| {
        lines.iter().all(|(words, set, down)| {
            let left = anchor.left(*x, set.width(words));
            drawing.is_free((left, y + down), words, *set)
        })
    };
    let place = places.iter().copied().find(free);
    // Who is in it is said wherever it stands; its name may be missing.
    let Some((x, y, anchor)) = place.or(away.then_some(places[0])) else {
        return;
    };
    for (words, set, down) in lines {
        drawing.words((x, y + down), words, set, anchor, Ink::Line);
    }
}

/// On which side of a bell its divers work, and how far away: of one bell where there is more room, of several away from
/// the other.
fn side_of_work(view: &View, x: f64) -> (f64, f64) {
    let width = view.layout.size.0;
    match view.layout.pools.len() {
        0 | 1 if x < 0.55 * width => (1.0, OUT),
        0 | 1 => (-1.0, OUT),
        _ if x < 0.5 * width => (-1.0, OUT_OF_TWO),
        _ => (1.0, OUT_OF_TWO),
    }
}

/// Divers in the water from a bell, each on an umbilical that hangs.
fn out(view: &View, pool: &Pool, (x, y): (f64, f64), drawing: &mut Drawing) {
    let men: Vec<_> = view.seen.divers_at(Whereabouts::Water(pool.bell)).collect();
    if men.is_empty() {
        return;
    }
    let (width, floor) = (view.layout.size.0, view.layout.floor_y);
    let (to, far) = side_of_work(view, x);
    let site = x + to * far;
    let task = view.beside.work.iter().find(|(bell, _)| *bell == pool.bell);
    let piece = task.map_or(Piece::Basket, |(_, task)| work::piece(task));
    work::draw(view, site, piece, drawing);
    if let Some((_, task)) = task {
        // Beyond the outermost diver, under his initials.
        let rows = men.len().div_ceil(2) as f64;
        let from = site + to * (BESIDE + NEXT * (rows - 1.0) + 16.0);
        let anchor = match to > 0.0 {
            true => Anchor::Start,
            false => Anchor::End,
        };
        let end = from + to * Type::TEXT.width(task);
        if (70.0..width - 8.0).contains(&end) {
            let at = (from, floor - 12.0);
            drawing.words(at, task.clone(), Type::TEXT, anchor, Ink::Line);
        }
    }
    // Where reclaim runs, by its lamp, nothing is breathed out into the sea.
    let machines = &view.seen.vessels[pool.bell.index()].machines;
    let reclaim = machines.iter().find(|(m, _)| *m == Machine::Reclaim);
    let recovered = reclaim.is_some_and(|(_, lamp)| lamp.running);
    // Under the ship, whose draught is drawn deeper than it is.
    let feet_y = (y + 44.0).max(view.layout.keel_y + 50.0).min(floor);
    for (k, diver) in men.iter().enumerate() {
        // On both sides of the work in turn, facing it.
        let side = if k % 2 == 0 { -to } else { to };
        let away = BESIDE + NEXT * (k / 2) as f64;
        let feet = (site + side * away, feet_y);
        let mut umbilical = BezPath::new();
        umbilical.move_to((x + 8.0 * to, y + BELL));
        let sag = (feet.1 + 2.0).max(y + BELL + 26.0).min(floor - 1.0);
        umbilical.curve_to(
            (x + 24.0 * to, sag + 2.0),
            (x + 0.55 * (feet.0 - x), sag + 2.0),
            (feet.0 + 2.0 * side, feet.1 - 26.0),
        );
        drawing.line(&umbilical, Ink::Umbilical, 2.4);
        people::working(drawing, feet, -side, &view.person(*diver));
        if recovered {
            continue;
        }
        for (dx, dy, r) in [(3.0, 0.0, 1.8), (7.0, 12.0, 2.6), (4.0, 28.0, 2.0)] {
            let up = (dy + 14.0 * view.beside.moved_s).rem_euclid(42.0);
            let bubble = Circle::new((feet.0 + dx, feet.1 - 46.0 - up), r);
            drawing.line(&bubble, Ink::Light, 1.2);
        }
    }
}
