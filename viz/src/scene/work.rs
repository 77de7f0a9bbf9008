//! What divers work at on the sea floor, by the words of the task: a valve, a joint of a line, a riser, mattresses, a
//! trench; a basket of tools where its words say nothing that can be drawn. Invented like everything here.

use super::View;
use crate::drawing::{Drawing, Ink, rounded, through};
use kurbo::{BezPath, Circle, Rect};

/// Something that tasks are about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece {
    /// A valve on a line.
    Valve,
    /// A flanged joint of a line.
    Joint,
    /// A riser with its clamp.
    Riser,
    /// Mattresses over a line.
    Mattress,
    /// A trench.
    Trench,
    /// A basket of tools.
    Basket,
}

/// Words of tasks, with what they are about; the first that is found counts.
const ABOUT: [(Piece, &[&str]); 5] = [
    (Piece::Valve, &["valve"]),
    (Piece::Riser, &["riser", "clamp"]),
    (Piece::Mattress, &["mattress"]),
    (Piece::Trench, &["trench", "umbilical", "cable", "debris"]),
    (
        Piece::Joint,
        &[
            "spool", "flange", "bolt", "tie-in", "pipe", "weld", "anode", "habitat", "leak",
        ],
    ),
];

/// What a task is about, by its words.
pub fn piece(task: &str) -> Piece {
    let words = task.to_lowercase();
    let mut about = ABOUT.into_iter();
    let found = about.find(|(_, of)| of.iter().any(|word| words.contains(word)));
    found.map_or(Piece::Basket, |(piece, _)| piece)
}

/// Draws it, its middle at a place along the floor.
pub fn draw(view: &View, x: f64, piece: Piece, drawing: &mut Drawing) {
    let floor = view.layout.floor_y;
    match piece {
        Piece::Valve => {
            line(drawing, (x, floor));
            let body = Rect::new(x - 10.0, floor - 22.0, x + 12.0, floor);
            drawing.shape(&rounded(body, 2.0), Ink::Wall, Ink::Line, 1.6);
            let stem = through(&[(x + 1.0, floor - 32.0), (x + 1.0, floor - 22.0)]);
            drawing.line(&stem, Ink::Line, 2.2);
            drawing.line(&Circle::new((x + 1.0, floor - 35.0), 5.5), Ink::Line, 2.2);
        }
        Piece::Joint => {
            line(drawing, (x, floor));
            for side in [-2.8, 2.8] {
                let flange = Rect::new(x + side - 2.4, floor - 15.0, x + side + 2.4, floor + 1.0);
                drawing.shape(&rounded(flange, 1.0), Ink::Wall, Ink::Line, 1.4);
            }
        }
        Piece::Riser => {
            let foot = Rect::new(x - 5.0, floor - 78.0, x + 5.0, floor);
            drawing.shape(&rounded(foot, 3.0), Ink::Faint, Ink::Line, 1.2);
            let clamp = Rect::new(x - 9.0, floor - 30.0, x + 9.0, floor - 17.0);
            drawing.shape(&rounded(clamp, 2.0), Ink::Wall, Ink::Line, 1.6);
            let end = Rect::new(x - 12.0, floor - 4.0, x + 90.0, floor);
            drawing.shape(&rounded(end, 2.0), Ink::Faint, Ink::Line, 1.2);
        }
        Piece::Mattress => {
            line(drawing, (x, floor));
            for k in -2..=2 {
                let left = x + 9.0 * f64::from(k) - 4.0;
                let block = Rect::new(left, floor - 11.0, left + 8.0, floor - 2.0);
                drawing.shape(&rounded(block, 1.5), Ink::Wall, Ink::Line, 1.2);
            }
        }
        Piece::Trench => {
            let mut spoil = BezPath::new();
            spoil.move_to((x - 44.0, floor));
            spoil.curve_to(
                (x - 30.0, floor - 9.0),
                (x - 18.0, floor - 9.0),
                (x - 9.0, floor),
            );
            spoil.curve_to(
                (x - 4.0, floor + 6.0),
                (x + 4.0, floor + 6.0),
                (x + 9.0, floor),
            );
            spoil.curve_to(
                (x + 18.0, floor - 9.0),
                (x + 30.0, floor - 9.0),
                (x + 44.0, floor),
            );
            spoil.close_path();
            drawing.shape(&spoil, Ink::Floor, Ink::Grain, 1.4);
        }
        Piece::Basket => {
            let basket = Rect::new(x - 15.0, floor - 17.0, x + 15.0, floor);
            drawing.shape(&rounded(basket, 1.5), Ink::Wall, Ink::Line, 1.6);
            for k in 1..4 {
                let at = basket.x0 + 7.5 * f64::from(k);
                let bar = through(&[(at, basket.y0 + 2.0), (at, basket.y1 - 2.0)]);
                drawing.line(&bar, Ink::Line, 1.2);
            }
        }
    }
}

/// The line along the floor that it is on.
fn line(drawing: &mut Drawing, (x, floor): (f64, f64)) {
    let pipe = Rect::new(x - 90.0, floor - 7.0, x + 120.0, floor);
    drawing.shape(&rounded(pipe, 3.5), Ink::Faint, Ink::Line, 1.2);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tasks_are_drawn_by_their_words() {
        for (task, about) in [
            ("Change the valve", Piece::Valve),
            ("Fit the new spool", Piece::Joint),
            ("Weld anode straps", Piece::Joint),
            ("Cut the riser clamp", Piece::Riser),
            ("Lay mattresses", Piece::Mattress),
            ("Pull in the umbilical", Piece::Trench),
            ("Survey", Piece::Basket),
        ] {
            assert_eq!(piece(task), about, "{task}");
        }
    }
}
