//! Sky, sea and floor, with the depth scale: a metre of sea is the same length all the way down.

use super::layout::CAPTION;
use super::{HEAD, View};
use crate::drawing::{Anchor, Drawing, Ink, Type, through};
use deepstay::units::{Quantity, fixed};
use kurbo::{BezPath, Circle, Point, Rect};

/// Length of a wave in the picture, px: a swell is drawn at its height, not at its length.
const WAVE: f64 = 118.0;

/// Time in which one passes, s.
const PERIOD_S: f64 = 8.0;

/// Draws them.
pub fn draw(view: &View, drawing: &mut Drawing) {
    let layout = view.layout;
    let (width, height) = layout.size;
    drawing.fill(&Rect::new(0.0, HEAD, width, height), Ink::Sky);
    let mut sea = surface(view, 0.0, width);
    sea.line_to((width, layout.floor_y));
    sea.line_to((0.0, layout.floor_y));
    sea.close_path();
    drawing.fade(&sea, Ink::Shallow, Ink::Deep);
    drawing.line(&surface(view, 0.0, width), Ink::Light, 1.5);
    floor(view, drawing);
    scale(view, drawing);
}

/// The surface, with a swell of the height that is told: from crest to trough the significant height.
fn surface(view: &View, from: f64, to: f64) -> BezPath {
    let layout = view.layout;
    // A curve rises to three quarters of where its inner points are.
    let half = 0.5 * view.seen.hs_m * layout.per_msw / 0.75;
    let mut path = BezPath::new();
    let gone = (WAVE / PERIOD_S * view.beside.moved_s).rem_euclid(WAVE);
    let mut x = from - 2.0 * WAVE + gone;
    path.move_to((x, layout.sea_y));
    let mut up = true;
    while x < to + WAVE {
        let by = if up { -half } else { half };
        let third = WAVE / 6.0;
        path.curve_to(
            (x + third, layout.sea_y + by),
            (x + 2.0 * third, layout.sea_y + by),
            (x + 3.0 * third, layout.sea_y),
        );
        x += 0.5 * WAVE;
        up = !up;
    }
    path
}

fn floor(view: &View, drawing: &mut Drawing) {
    let layout = view.layout;
    let (width, height) = layout.size;
    let foot = height - CAPTION;
    drawing.fill(&Rect::new(0.0, layout.floor_y, width, foot), Ink::Floor);
    drawing.fill(&Rect::new(0.0, foot, width, height), Ink::Hull);
    // Grains in an order that looks like none, the same in every picture.
    let mut seed = 7u32;
    let mut next = || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(seed >> 8) / f64::from(1 << 24)
    };
    let deep = foot - layout.floor_y;
    for _ in 0..(width / 15.0) as usize {
        let at = Point::new(next() * width, layout.floor_y + 3.0 + next() * (deep - 4.0));
        drawing.fill(&Circle::new(at, 0.7 + next()), Ink::Grain);
    }
    drawing.line(
        &through(&[(0.0, layout.floor_y), (width, layout.floor_y)]),
        Ink::Grain,
        1.5,
    );
}

/// Steps of the scale in the unit it is written in: round, with some 30 px between two lines.
fn step(view: &View) -> f64 {
    let of_one_msw = view.units.scale(Quantity::Depth).of(1.0);
    let least = 30.0 / view.layout.per_msw * of_one_msw;
    let steps = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    steps.into_iter().find(|s| *s >= least).unwrap_or(1000.0)
}

fn scale(view: &View, drawing: &mut Drawing) {
    let layout = view.layout;
    let (width, _) = layout.size;
    let unit = view.units.scale(Quantity::Depth);
    let (step, of_one_msw) = (step(view), unit.of(1.0));
    let at = (58.0, layout.sea_y - 14.0);
    drawing.words(at, unit.plain, Type::TEXT, Anchor::End, Ink::Faint);
    let deepest = view.scenario.site.seabed_msw * of_one_msw;
    for k in 0..=(deepest / step) as u32 {
        let shown = step * f64::from(k);
        let y = layout.depth_y(shown / of_one_msw);
        if y > layout.keel_y + 6.0 {
            let line = through(&[(66.0, y), (width, y)]);
            drawing.line(&line, Ink::Ghost, 0.7);
        }
        let words = fixed(shown, 0);
        let foot = (y + 5.0).min(layout.floor_y - 2.0);
        drawing.words((58.0, foot), words, Type::TEXT, Anchor::End, Ink::Line);
    }
}
