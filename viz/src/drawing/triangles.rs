//! A drawing's shapes as triangles, each corner with its ink: what a graphics device draws. Words are no shapes.

use super::{Drawing, Ink, Mark, Palette, Stroke};
use kurbo::{BezPath, PathEl, Point, Shape};
use lyon_tessellation::path::Path;
use lyon_tessellation::{
    BuffersBuilder, FillOptions, FillTessellator, FillVertex, LineCap, LineJoin, StrokeOptions,
    StrokeTessellator, StrokeVertex, VertexBuffers, math,
};

/// How far a curve's triangles may stray from it, px.
const TOLERANCE: f32 = 0.08;

/// Triangles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Triangles {
    /// Corners, px to the right and down.
    pub corners: Vec<[f32; 2]>,
    /// Red, green and blue of each, 0 to 1, of sRGB.
    pub inks: Vec<[f32; 3]>,
    /// Three corners each, the lowest first.
    pub indices: Vec<u32>,
}

/// Makes triangles; it keeps its room from drawing to drawing.
#[derive(Default)]
pub struct Tessellator {
    fill: FillTessellator,
    stroke: StrokeTessellator,
    buffers: VertexBuffers<[f32; 2], u32>,
}

impl Tessellator {
    /// The shapes of a drawing.
    pub fn triangles(&mut self, drawing: &Drawing, palette: Palette) -> Triangles {
        let mut all = Triangles::default();
        for mark in &drawing.marks {
            match mark {
                Mark::Shape { path, fill, stroke } => {
                    if let Some(ink) = fill {
                        self.filled(path);
                        self.take(&mut all, |_| rgb(*ink, palette));
                    }
                    if let Some(stroke) = stroke {
                        self.outlined(path, stroke);
                        self.take(&mut all, |_| rgb(stroke.ink, palette));
                    }
                }
                Mark::Fade { path, top, bottom } => {
                    self.filled(path);
                    let field = path.bounding_box();
                    let (above, below) = (rgb(*top, palette), rgb(*bottom, palette));
                    self.take(&mut all, |[_, y]| {
                        let share = (f64::from(y) - field.y0) / field.height().max(1e-9);
                        mixed(above, below, share as f32)
                    });
                }
                Mark::Words { .. } => {}
            }
        }
        all
    }

    /// What cannot be made triangles of, such as a path with a point that is no number, is left out.
    fn filled(&mut self, path: &BezPath) {
        self.buffers.clear();
        let path = lyon(path.elements().iter().copied());
        let mut to =
            BuffersBuilder::new(&mut self.buffers, |v: FillVertex| v.position().to_array());
        let options = FillOptions::tolerance(TOLERANCE);
        if self.fill.tessellate_path(&path, &options, &mut to).is_err() {
            self.buffers.clear();
        }
    }

    fn outlined(&mut self, path: &BezPath, stroke: &Stroke) {
        self.buffers.clear();
        let elements = path.elements().iter().copied();
        let path = match stroke.dashes {
            None => lyon(elements),
            Some((on, off)) => lyon(kurbo::dash(elements, -stroke.shift, &[on, off])),
        };
        let cap = match stroke.dashes {
            None => LineCap::Round,
            Some(_) => LineCap::Butt,
        };
        let options = StrokeOptions::tolerance(TOLERANCE)
            .with_line_width(stroke.width as f32)
            .with_line_join(LineJoin::Round)
            .with_line_cap(cap);
        let mut to =
            BuffersBuilder::new(&mut self.buffers, |v: StrokeVertex| v.position().to_array());
        if self
            .stroke
            .tessellate_path(&path, &options, &mut to)
            .is_err()
        {
            self.buffers.clear();
        }
    }

    fn take(&self, all: &mut Triangles, ink: impl Fn([f32; 2]) -> [f32; 3]) {
        let before = u32::try_from(all.corners.len()).unwrap_or(u32::MAX);
        let corners = &self.buffers.vertices;
        all.corners.extend_from_slice(corners);
        all.inks.extend(corners.iter().map(|corner| ink(*corner)));
        let indices = self.buffers.indices.iter();
        all.indices.extend(indices.map(|k| before + k));
    }
}

fn rgb(ink: Ink, palette: Palette) -> [f32; 3] {
    let (r, g, b) = ink.rgb(palette);
    [r, g, b].map(|part| f32::from(part) / 255.0)
}

fn mixed(above: [f32; 3], below: [f32; 3], share: f32) -> [f32; 3] {
    std::array::from_fn(|k| above[k] + share.clamp(0.0, 1.0) * (below[k] - above[k]))
}

/// The same path; an empty one where a point of it is no number.
fn lyon(elements: impl Iterator<Item = PathEl>) -> Path {
    let elements: Vec<PathEl> = elements.collect();
    if !elements.iter().all(PathEl::is_finite) {
        return Path::new();
    }
    let to = |p: Point| math::point(p.x as f32, p.y as f32);
    let mut path = Path::builder();
    let mut begun = false;
    for element in elements {
        match element {
            PathEl::MoveTo(p) => {
                if begun {
                    path.end(false);
                }
                path.begin(to(p));
                begun = true;
            }
            PathEl::LineTo(p) => drop(path.line_to(to(p))),
            PathEl::QuadTo(a, p) => drop(path.quadratic_bezier_to(to(a), to(p))),
            PathEl::CurveTo(a, b, p) => drop(path.cubic_bezier_to(to(a), to(b), to(p))),
            PathEl::ClosePath => {
                if begun {
                    path.end(true);
                }
                begun = false;
            }
        }
    }
    if begun {
        path.end(false);
    }
    path.build()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Rect};

    fn area(triangles: &Triangles) -> f64 {
        let corner = |k: u32| triangles.corners[k as usize].map(f64::from);
        let of = |t: &[u32]| {
            let (a, b, c) = (corner(t[0]), corner(t[1]), corner(t[2]));
            0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs()
        };
        triangles.indices.chunks(3).map(of).sum()
    }

    fn made(draw: impl Fn(&mut Drawing)) -> Triangles {
        let mut drawing = Drawing::new(100.0, 100.0);
        draw(&mut drawing);
        Tessellator::default().triangles(&drawing, Palette::Calm)
    }

    #[test]
    fn triangles_cover_what_they_stand_for() {
        let square = made(|d| d.fill(&Rect::new(10.0, 10.0, 30.0, 50.0), Ink::Line));
        assert!((area(&square) - 800.0).abs() < 1e-3);
        let disc = made(|d| d.fill(&Circle::new((50.0, 50.0), 20.0), Ink::Line));
        let exact = std::f64::consts::PI * 400.0;
        assert!((area(&disc) - exact).abs() < 0.01 * exact);
        let line = made(|d| {
            d.line(
                &super::super::through(&[(10.0, 50.0), (90.0, 50.0)]),
                Ink::Line,
                2.0,
            )
        });
        // 80 by 2, and a round end of 1 px at each side.
        assert!((area(&line) - 160.0 - std::f64::consts::PI).abs() < 0.5);
    }

    #[test]
    fn dashes_cover_their_share_of_the_line() {
        let stroke = Stroke {
            ink: Ink::Line,
            width: 2.0,
            dashes: Some((6.0, 4.0)),
            shift: 0.0,
        };
        let path = super::super::through(&[(0.0, 50.0), (100.0, 50.0)]);
        let dashed = made(|d| d.stroke(&path, stroke));
        assert!((area(&dashed) - 120.0).abs() < 1.0, "{}", area(&dashed));
    }

    #[test]
    fn a_field_fades_from_its_top_to_its_bottom() {
        let field = made(|d| d.fade(&Rect::new(0.0, 0.0, 10.0, 40.0), Ink::Oxygen, Ink::Nitrogen));
        for (corner, ink) in field.corners.iter().zip(&field.inks) {
            let expected = if corner[1] < 20.0 {
                Ink::Oxygen
            } else {
                Ink::Nitrogen
            };
            for (part, wanted) in ink.iter().zip(rgb(expected, Palette::Calm)) {
                assert!((part - wanted).abs() < 1e-5, "{corner:?}: {ink:?}");
            }
        }
    }

    #[test]
    fn what_is_no_number_is_left_out() {
        let bad = made(|d| d.fill(&Rect::new(0.0, f64::NAN, 10.0, 40.0), Ink::Line));
        assert!(bad.corners.iter().flatten().all(|part| part.is_finite()));
    }
}
