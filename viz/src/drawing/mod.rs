//! A drawing: marks one over the other, each with an ink by what it means. No screen and no file is known here.

mod ink;
mod triangles;

use crate::font;
pub use ink::{GasColours, Ink, Palette};
use kurbo::{BezPath, Point, Rect, RoundedRect, Shape};
pub use triangles::{Tessellator, Triangles};

/// How far a curve may stray from what it stands for when it is made of pieces, px.
const TOLERANCE: f64 = 0.05;

/// A line's width and, where it is broken, the lengths of its strokes and gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Its ink.
    pub ink: Ink,
    /// Its width, px.
    pub width: f64,
    /// Strokes and gaps, px.
    pub dashes: Option<(f64, f64)>,
    /// How far along the line they have moved, px.
    pub shift: f64,
}

/// Where a text stands to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// Ends there.
    End,
}

impl Anchor {
    /// Where a text so wide begins, standing to a place.
    pub fn left(self, x: f64, wide: f64) -> f64 {
        match self {
            Anchor::Start => x,
            Anchor::Middle => x - 0.5 * wide,
            Anchor::End => x - wide,
        }
    }
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Height of the letters' em, px.
    pub size: f64,
    /// Strong.
    pub strong: bool,
}

impl Type {
    /// What is read: at 60 cm the least that NUREG-0700 (rev. 2, 1.3.1-4) asks, 16 minutes of arc for a letter's height,
    /// reckoned at 96 dots an inch. Nothing is set smaller.
    pub const TEXT: Type = Type::plain(15.0);

    /// Of a size.
    pub const fn plain(size: f64) -> Type {
        Type {
            size,
            strong: false,
        }
    }

    /// Stronger.
    pub const fn strong(self) -> Type {
        Type {
            strong: true,
            ..self
        }
    }

    /// How wide a text is, px: what is laid out beside it keeps so far away.
    pub fn width(self, words: &str) -> f64 {
        font::width(words, self.strong) * self.size
    }

    /// The ground that words of a picture take which begin at a place, with a little air round them.
    pub fn ground(self, (x, y): (f64, f64), words: &str) -> Rect {
        Rect::new(x - 3.0, y - 14.0, x + self.width(words) + 3.0, y + 4.0)
    }
}

/// Whether two fields share anything.
pub fn overlap(one: Rect, other: Rect) -> bool {
    let shared = one.intersect(other);
    shared.width() > 0.0 && shared.height() > 0.0
}

/// A mark.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A shape, filled, outlined or both.
    Shape {
        /// Its outline.
        path: BezPath,
        /// What it is filled with.
        fill: Option<Ink>,
        /// What it is outlined with.
        stroke: Option<Stroke>,
    },
    /// A field that goes from one ink at its top to another at its bottom.
    Fade {
        /// The field.
        path: BezPath,
        /// At the top.
        top: Ink,
        /// At the bottom.
        bottom: Ink,
    },
    /// Words.
    Words {
        /// Where: the foot of the letters.
        at: Point,
        /// What.
        words: String,
        /// How they are set.
        set: Type,
        /// Where they stand to the point.
        anchor: Anchor,
        /// Their ink.
        ink: Ink,
    },
}

/// A drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Its size, px.
    pub size: (f64, f64),
    /// Its marks, the lowest first.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// Empty.
    pub fn new(width: f64, height: f64) -> Drawing {
        Drawing {
            size: (width, height),
            marks: Vec::new(),
        }
    }

    /// A filled shape.
    pub fn fill(&mut self, shape: &impl Shape, ink: Ink) {
        self.marks.push(Mark::Shape {
            path: shape.to_path(TOLERANCE),
            fill: Some(ink),
            stroke: None,
        });
    }

    /// A shape filled and outlined.
    pub fn shape(&mut self, shape: &impl Shape, fill: Ink, ink: Ink, width: f64) {
        let stroke = Stroke {
            ink,
            width,
            dashes: None,
            shift: 0.0,
        };
        self.marks.push(Mark::Shape {
            path: shape.to_path(TOLERANCE),
            fill: Some(fill),
            stroke: Some(stroke),
        });
    }

    /// A line along a shape.
    pub fn line(&mut self, shape: &impl Shape, ink: Ink, width: f64) {
        self.stroke(
            shape,
            Stroke {
                ink,
                width,
                dashes: None,
                shift: 0.0,
            },
        );
    }

    /// A line with its stroke.
    pub fn stroke(&mut self, shape: &impl Shape, stroke: Stroke) {
        self.marks.push(Mark::Shape {
            path: shape.to_path(TOLERANCE),
            fill: None,
            stroke: Some(stroke),
        });
    }

    /// A field that fades downwards.
    pub fn fade(&mut self, shape: &impl Shape, top: Ink, bottom: Ink) {
        let path = shape.to_path(TOLERANCE);
        self.marks.push(Mark::Fade { path, top, bottom });
    }

    /// Words.
    pub fn words(
        &mut self,
        at: (f64, f64),
        words: impl Into<String>,
        set: Type,
        anchor: Anchor,
        ink: Ink,
    ) {
        self.marks.push(Mark::Words {
            at: at.into(),
            words: words.into(),
            set,
            anchor,
            ink,
        });
    }

    /// All words, in the order they were drawn.
    pub fn all_words(&self) -> impl Iterator<Item = &str> {
        self.marks.iter().filter_map(|mark| match mark {
            Mark::Words { words, .. } => Some(words.as_str()),
            Mark::Shape { .. } | Mark::Fade { .. } => None,
        })
    }

    /// Whether words that begin at a place would lie on none that are there, nor leave the drawing at its side.
    pub fn is_free(&self, at: (f64, f64), words: &str, set: Type) -> bool {
        let mine = set.ground(at, words);
        mine.x1 < self.size.0 && !self.boxes().any(|(_, rect)| overlap(mine, rect))
    }

    /// About where each text lies.
    pub fn boxes(&self) -> impl Iterator<Item = (&str, Rect)> {
        self.marks.iter().filter_map(|mark| {
            let Mark::Words {
                at,
                words,
                set,
                anchor,
                ..
            } = mark
            else {
                return None;
            };
            let width = set.width(words);
            let left = match anchor {
                Anchor::Start => at.x,
                Anchor::Middle => at.x - 0.5 * width,
                Anchor::End => at.x - width,
            };
            let top = at.y - 0.75 * set.size;
            Some((
                words.as_str(),
                Rect::new(left, top, left + width, at.y + 0.2 * set.size),
            ))
        })
    }
}

/// A rectangle with round corners.
pub fn rounded(rect: Rect, radius: f64) -> RoundedRect {
    RoundedRect::from_rect(rect, radius)
}

/// A line through points.
pub fn through(points: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    for (k, point) in points.iter().enumerate() {
        match k {
            0 => path.move_to(*point),
            _ => path.line_to(*point),
        }
    }
    path
}
