//! The ship cut open: hull, deck, moon pools, the frame and winch over each, the deck house.

use super::View;
use crate::drawing::{Drawing, Ink, rounded, through};
use kurbo::{BezPath, Circle, Rect};

/// Draws it.
pub fn draw(view: &View, drawing: &mut Drawing) {
    let layout = view.layout;
    let (left, right) = layout.hull;
    let (deck, keel) = (layout.deck_y, layout.keel_y);
    let mut hull = BezPath::new();
    hull.move_to((left, deck));
    hull.line_to((right, deck));
    hull.curve_to(
        (right - 8.0, deck + 60.0),
        (right - 34.0, keel - 24.0),
        (right - 78.0, keel),
    );
    hull.line_to((left + 40.0, keel));
    hull.curve_to(
        (left + 18.0, keel),
        (left + 12.0, keel - 16.0),
        (left + 8.0, keel - 34.0),
    );
    hull.close_path();
    drawing.fade(&hull, Ink::Cut, Ink::Hull);
    house(view, drawing);
    for pool in &layout.pools {
        let well = Rect::new(pool.x - pool.half, deck, pool.x + pool.half, keel);
        drawing.fill(&well, Ink::Sky);
        let sea = Rect::new(well.x0, layout.sea_y, well.x1, keel + 1.0);
        drawing.fill(&sea, Ink::Shallow);
        for x in [well.x0, well.x1] {
            drawing.line(&through(&[(x, deck), (x, keel)]), Ink::Line, 2.4);
        }
        frame(view, pool.x, drawing);
    }
    drawing.line(&hull, Ink::Line, 2.4);
    for pool in &layout.pools {
        // The cut goes through the pool: neither deck nor keel there.
        let gap = [(pool.x - pool.half + 1.4, pool.x + pool.half - 1.4)];
        for (x0, x1) in gap {
            drawing.line(&through(&[(x0, keel), (x1, keel)]), Ink::Shallow, 5.0);
            drawing.line(&through(&[(x0, deck), (x1, deck)]), Ink::Sky, 5.0);
        }
    }
}

fn house(view: &View, drawing: &mut Drawing) {
    let layout = view.layout;
    let (_, right) = layout.hull;
    let base = layout.deck_y;
    let walls = Rect::new(right - 96.0, base - 52.0, right - 20.0, base);
    let bridge = Rect::new(right - 84.0, base - 72.0, right - 32.0, base - 52.0);
    for part in [walls, bridge] {
        drawing.shape(&part, Ink::Cut, Ink::Line, 1.8);
    }
    for k in 0..4 {
        let x = right - 88.0 + 17.0 * f64::from(k);
        drawing.shape(
            &Rect::new(x, base - 40.0, x + 10.0, base - 32.0),
            Ink::Wall,
            Ink::Line,
            0.8,
        );
    }
    for k in 0..3 {
        let x = right - 78.0 + 15.0 * f64::from(k);
        drawing.shape(
            &Rect::new(x, base - 67.0, x + 10.0, base - 58.0),
            Ink::Wall,
            Ink::Line,
            0.8,
        );
    }
}

/// The frame over a pool, its sheave, and the winch on deck.
fn frame(view: &View, x: f64, drawing: &mut Drawing) {
    let deck = view.layout.deck_y;
    let top = deck - 58.0;
    let legs = through(&[
        (x - 46.0, deck),
        (x - 22.0, top),
        (x + 22.0, top),
        (x + 46.0, deck),
    ]);
    drawing.line(&legs, Ink::Line, 3.2);
    let winch = Rect::new(x + 58.0, deck - 22.0, x + 90.0, deck - 1.0);
    drawing.shape(&rounded(winch, 3.0), Ink::Hull, Ink::Line, 1.8);
    drawing.shape(
        &Circle::new((x + 74.0, deck - 12.0), 7.5),
        Ink::Ghost,
        Ink::Line,
        1.6,
    );
    drawing.line(
        &through(&[(x + 5.0, top + 4.0), (x + 69.0, deck - 18.0)]),
        Ink::Line,
        1.4,
    );
    drawing.shape(
        &Circle::new((x, top + 8.0), 8.5),
        Ink::Ghost,
        Ink::Line,
        1.8,
    );
    drawing.fill(&Circle::new((x, top + 8.0), 2.0), Ink::Line);
}
