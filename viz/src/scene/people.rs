//! People, by initials: sitting, or at work in the water; with a mask on where they said they breathe from one.

use crate::drawing::{Anchor, Drawing, Ink, Type, through};
use deepstay::record::BreathingPath;
use kurbo::{BezPath, Circle, Point, Rect};

/// Room that somebody sitting takes with his initials, px.
const SEAT: f64 = 27.0;

/// Who is in a vessel: sitting side by side; by initials alone where they are too many for that; and how many they are
/// where they are too many for that too.
pub fn inside(
    drawing: &mut Drawing,
    vessel: Rect,
    floor_y: f64,
    people: &[(String, BreathingPath)],
) {
    let (left, room) = (vessel.x0 + 16.0, vessel.width() - 32.0);
    let across = ((room / SEAT) as usize).max(1);
    if people.len() <= across {
        let each = room / people.len().max(1) as f64;
        for (k, (initials, path)) in people.iter().enumerate() {
            let x = left + (k as f64 + 0.5) * each;
            sitting(drawing, (x, floor_y), initials, *path);
        }
        return;
    }
    let (set, middle) = (Type::TEXT.strong(), vessel.center());
    if people.len() <= 2 * across {
        for (row, of) in people.chunks(people.len().div_ceil(2)).enumerate() {
            let words: Vec<&str> = of.iter().map(|(initials, _)| initials.as_str()).collect();
            let at = (middle.x, middle.y - 3.0 + 19.0 * row as f64);
            drawing.words(at, words.join(" "), set, Anchor::Middle, Ink::Line);
        }
    } else {
        let words = format!("{} inside", people.len());
        let at = (middle.x, middle.y + 5.0);
        drawing.words(at, words, set, Anchor::Middle, Ink::Line);
    }
}

/// Somebody sitting, his feet on a floor, his initials over him.
pub fn sitting(drawing: &mut Drawing, feet: (f64, f64), initials: &str, path: BreathingPath) {
    let (x, y) = feet;
    let mut body = BezPath::new();
    body.move_to((x - 4.0, y - 17.0));
    body.line_to((x - 4.0, y - 9.0));
    body.line_to((x + 4.0, y - 8.0));
    body.line_to((x + 4.0, y - 1.0));
    body.line_to((x + 7.0, y - 1.0));
    drawing.line(&body, Ink::Line, 4.2);
    head(drawing, Point::new(x - 4.0, y - 24.0), path);
    drawing.words(
        (x, y - 33.0),
        initials,
        Type::TEXT.strong(),
        Anchor::Middle,
        Ink::Line,
    );
}

/// Somebody at work in the water, facing right (1) or left (-1); his initials behind him, with what he breathes from where
/// that is not his umbilical's gas.
pub fn working(
    drawing: &mut Drawing,
    feet: (f64, f64),
    facing: f64,
    initials: &str,
    path: BreathingPath,
) {
    let (x, y) = feet;
    for leg in [[(x, y - 15.0), (x - 5.0, y)], [(x, y - 15.0), (x + 6.0, y)]] {
        drawing.line(&through(&leg), Ink::Line, 3.6);
    }
    drawing.line(&through(&[(x, y - 26.0), (x, y - 15.0)]), Ink::Line, 5.2);
    let arm = through(&[(x, y - 24.0), (x + 11.0 * facing, y - 20.0)]);
    drawing.line(&arm, Ink::Line, 3.2);
    drawing.shape(&Circle::new((x, y - 33.0), 6.6), Ink::Light, Ink::Line, 2.2);
    let words = match path {
        BreathingPath::BailOut => {
            let bottle = Rect::new(
                x - 7.0 * facing - 3.0,
                y - 28.0,
                x - 7.0 * facing + 3.0,
                y - 14.0,
            );
            drawing.shape(&bottle, Ink::Light, Ink::Line, 1.4);
            format!("{initials} on bail-out")
        }
        BreathingPath::Secondary => format!("{initials} on secondary"),
        BreathingPath::Ambient | BreathingPath::Main | BreathingPath::Bibs => initials.to_owned(),
    };
    let anchor = if facing > 0.0 {
        Anchor::End
    } else {
        Anchor::Start
    };
    let at = (x - 13.0 * facing, y - 30.0);
    drawing.words(at, words, Type::TEXT.strong(), anchor, Ink::Line);
}

fn head(drawing: &mut Drawing, at: Point, path: BreathingPath) {
    drawing.fill(&Circle::new(at, 4.8), Ink::Line);
    if path == BreathingPath::Bibs {
        let mask = Circle::new((at.x + 4.2, at.y + 1.6), 2.8);
        drawing.shape(&mask, Ink::Light, Ink::Line, 1.2);
        let hose = through(&[(at.x + 6.4, at.y + 2.6), (at.x + 9.0, at.y + 9.0)]);
        drawing.line(&hose, Ink::Faint, 1.6);
    }
}
