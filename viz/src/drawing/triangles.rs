//! A drawing's shapes as triangles, each corner with its ink: what a graphics device draws. Words are no shapes. Edges are
//! soft by triangles that fade out within a pixel, so that no device has to take more than one sample of it.

use super::{Drawing, Ink, Mark, Palette, Stroke};
use bevy_egui::egui::epaint::{
    Color32, Mesh, PathShape, Pos2, Stroke as Line, TessellationOptions, Tessellator as Lines,
};
use kurbo::{BezPath, PathEl, Shape};
use lyon_tessellation::path::Path;
use lyon_tessellation::{
    BuffersBuilder, FillOptions, FillTessellator, FillVertex, VertexBuffers, math,
};

/// How far a curve's triangles may stray from it, px.
const TOLERANCE: f64 = 0.08;
/// Width of the line that softens the edge of what is filled, px.
const SOFT: f32 = 0.7;
/// From this width on the ends of a line are seen to be round, px.
const ROUND: f64 = 2.5;

/// Triangles.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Triangles {
    /// Corners, px to the right and down, and which mark they belong to, the lowest first.
    pub corners: Vec<[f32; 3]>,
    /// Red, green and blue of each, of sRGB, and how much of it there is, 0 to 1.
    pub inks: Vec<[f32; 4]>,
    /// Three corners each of what covers all that lies under it, the lowest first.
    pub solid: Vec<u32>,
    /// The same of what fades out: to be drawn after what is solid, where nothing higher covers it.
    pub soft: Vec<u32>,
    level: f32,
}

/// Makes triangles; it keeps its room from drawing to drawing.
#[derive(Default)]
pub struct Tessellator {
    fill: FillTessellator,
    filled: VertexBuffers<[f32; 2], u32>,
    lines: Mesh,
}

impl Tessellator {
    /// The shapes of a drawing, for a screen with so many pixels to one of the drawing.
    pub fn triangles(&mut self, drawing: &Drawing, palette: Palette, scale: f32) -> Triangles {
        let options = TessellationOptions {
            coarse_tessellation_culling: false,
            round_line_segments_to_pixels: false,
            ..TessellationOptions::default()
        };
        let mut lines = Lines::new(scale.max(0.1), options, [1, 1], Vec::new());
        let mut all = Triangles::default();
        for mark in &drawing.marks {
            all.level += 1.0;
            match mark {
                Mark::Shape { path, fill, stroke } => {
                    if let Some(ink) = fill {
                        let ink = rgb(*ink, palette);
                        self.fill(path, &mut all, &mut lines, |_| ink);
                    }
                    if let Some(stroke) = stroke {
                        all.level += 1.0;
                        let ink = rgb(stroke.ink, palette);
                        self.outline(path, stroke, &mut lines);
                        self.take_lines(&mut all, |_| ink);
                    }
                }
                Mark::Fade { path, top, bottom } => {
                    let field = path.bounding_box();
                    let (above, below) = (rgb(*top, palette), rgb(*bottom, palette));
                    let at = |y: f32| {
                        let share = (f64::from(y) - field.y0) / field.height().max(1e-9);
                        mixed(above, below, share as f32)
                    };
                    self.fill(path, &mut all, &mut lines, at);
                }
                Mark::Words { .. } => {}
            }
        }
        all
    }

    /// What cannot be made triangles of, such as a path with a point that is no number, is left out.
    fn fill(
        &mut self,
        path: &BezPath,
        all: &mut Triangles,
        lines: &mut Lines,
        ink: impl Fn(f32) -> [f32; 3],
    ) {
        let parts = pieces(path.elements().iter().copied());
        self.filled.clear();
        let mut to = BuffersBuilder::new(&mut self.filled, |v: FillVertex| v.position().to_array());
        let options = FillOptions::tolerance(TOLERANCE as f32);
        let made = self.fill.tessellate_path(&lyon(&parts), &options, &mut to);
        if made.is_err() {
            return;
        }
        let corners = self.filled.vertices.iter();
        let inked = corners.map(|[x, y]| ([*x, *y], ink(*y), 1.0));
        add(all, inked, &self.filled.indices);
        for piece in parts.iter().filter(|piece| !is_upright(piece)) {
            let line = Line::new(SOFT, Color32::WHITE);
            let soft = PathShape::closed_line(piece.points.clone(), line);
            lines.tessellate_path(&soft, &mut self.lines);
        }
        self.take_lines(all, ink);
    }

    fn outline(&mut self, path: &BezPath, stroke: &Stroke, lines: &mut Lines) {
        let elements = path.elements().iter().copied();
        let parts = match stroke.dashes {
            None => pieces(elements),
            Some((on, off)) => pieces(kurbo::dash(elements, -stroke.shift, &[on, off])),
        };
        let line = Line::new(stroke.width as f32, Color32::WHITE);
        for Piece { points, closed } in parts {
            let ends = [points.first().copied(), points.last().copied()];
            let shape = match closed {
                true => PathShape::closed_line(points, line),
                false => PathShape::line(points, line),
            };
            lines.tessellate_path(&shape, &mut self.lines);
            let round = !closed && stroke.dashes.is_none() && stroke.width >= ROUND;
            for end in ends.into_iter().flatten().filter(|_| round) {
                let cap = bevy_egui::egui::epaint::CircleShape::filled(
                    end,
                    0.5 * stroke.width as f32,
                    Color32::WHITE,
                );
                lines.tessellate_circle(cap, &mut self.lines);
            }
        }
    }

    /// Lines are made in white: how white a corner is says how much of the ink is there.
    fn take_lines(&mut self, all: &mut Triangles, ink: impl Fn(f32) -> [f32; 3]) {
        let corners = self.lines.vertices.iter().map(|vertex| {
            let Pos2 { x, y } = vertex.pos;
            ([x, y], ink(y), f32::from(vertex.color.a()) / 255.0)
        });
        add(all, corners, &self.lines.indices);
        self.lines.clear();
    }
}

fn add(
    all: &mut Triangles,
    corners: impl Iterator<Item = ([f32; 2], [f32; 3], f32)>,
    indices: &[u32],
) {
    let before = u32::try_from(all.corners.len()).unwrap_or(u32::MAX);
    for (corner, [r, g, b], share) in corners {
        let [x, y] = corner;
        all.corners.push([x, y, all.level]);
        all.inks.push([r, g, b, share]);
    }
    for triangle in indices.chunks_exact(3) {
        let corners = triangle.iter().map(|k| before + k);
        let whole = |k: u32| all.inks.get(k as usize).is_some_and(|ink| ink[3] >= 1.0);
        match corners.clone().all(whole) {
            true => all.solid.extend(corners),
            false => all.soft.extend(corners),
        }
    }
}

fn rgb(ink: Ink, palette: Palette) -> [f32; 3] {
    let (r, g, b) = ink.rgb(palette);
    [r, g, b].map(|part| f32::from(part) / 255.0)
}

fn mixed(above: [f32; 3], below: [f32; 3], share: f32) -> [f32; 3] {
    std::array::from_fn(|k| above[k] + share.clamp(0.0, 1.0) * (below[k] - above[k]))
}

/// A piece of a path as points.
struct Piece {
    points: Vec<Pos2>,
    closed: bool,
}

/// A path as the points along it; none of one with a point that is no number.
fn pieces(elements: impl Iterator<Item = PathEl>) -> Vec<Piece> {
    let elements: Vec<PathEl> = elements.collect();
    let mut pieces: Vec<Piece> = Vec::new();
    if !elements.iter().all(PathEl::is_finite) {
        return pieces;
    }
    let to = |p: kurbo::Point| Pos2::new(p.x as f32, p.y as f32);
    kurbo::flatten(elements, TOLERANCE, |element| match element {
        PathEl::MoveTo(p) => pieces.push(Piece {
            points: vec![to(p)],
            closed: false,
        }),
        PathEl::LineTo(p) => {
            if let Some(piece) = pieces.last_mut() {
                piece.points.push(to(p));
            }
        }
        PathEl::ClosePath => {
            if let Some(piece) = pieces.last_mut() {
                piece.closed = true;
                // The last point is the first again: a corner of no length has no direction.
                if piece.points.len() > 2 && piece.points.first() == piece.points.last() {
                    piece.points.pop();
                }
            }
        }
        // Curves have been made lines of.
        PathEl::QuadTo(..) | PathEl::CurveTo(..) => {}
    });
    pieces.retain(|piece| piece.points.len() > 1);
    pieces
}

/// Whether all its sides go up, down or sideways: they are sharp as they are.
fn is_upright(piece: &Piece) -> bool {
    let points = &piece.points;
    let next = points.iter().cycle().skip(1);
    points.iter().zip(next).all(|(a, b)| {
        let along = *b - *a;
        along.x.abs() < 1e-3 || along.y.abs() < 1e-3
    })
}

fn lyon(pieces: &[Piece]) -> Path {
    let to = |p: &Pos2| math::point(p.x, p.y);
    let mut path = Path::builder();
    for Piece { points, .. } in pieces {
        let Some((first, rest)) = points.split_first() else {
            continue;
        };
        path.begin(to(first));
        for point in rest {
            path.line_to(to(point));
        }
        path.end(true);
    }
    path.build()
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::{Circle, Rect};

    fn area(triangles: &Triangles) -> f64 {
        let corner = |k: u32| triangles.corners[k as usize].map(f64::from);
        let indices: Vec<u32> = [&triangles.solid[..], &triangles.soft].concat();
        let of = |t: &[u32]| {
            let (a, b, c) = (corner(t[0]), corner(t[1]), corner(t[2]));
            0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs()
        };
        // What fades counts by how much of it there is.
        let share = |t: &[u32]| {
            t.iter()
                .map(|k| f64::from(triangles.inks[*k as usize][3]))
                .sum::<f64>()
                / 3.0
        };
        let each = indices.chunks(3);
        each.map(|t| of(t) * share(t)).sum()
    }

    fn made(draw: impl Fn(&mut Drawing)) -> Triangles {
        let mut drawing = Drawing::new(100.0, 100.0);
        draw(&mut drawing);
        Tessellator::default().triangles(&drawing, Palette::Calm, 1.0)
    }

    #[test]
    fn triangles_cover_what_they_stand_for() {
        let square = made(|d| d.fill(&Rect::new(10.0, 10.0, 30.0, 50.0), Ink::Line));
        assert!((area(&square) - 800.0).abs() < 1e-3);
        let disc = made(|d| d.fill(&Circle::new((50.0, 50.0), 20.0), Ink::Line));
        // A soft edge adds at most its own width round it.
        let (exact, edge) = (std::f64::consts::PI * 400.0, std::f64::consts::TAU * 20.0);
        let more = area(&disc) - exact;
        assert!(more > -0.01 * exact && more < 1.2 * edge, "{more}");
        let line = made(|d| {
            d.line(
                &super::super::through(&[(10.0, 50.0), (90.0, 50.0)]),
                Ink::Line,
                2.0,
            )
        });
        assert!((area(&line) - 160.0).abs() < 8.0, "{}", area(&line));
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
        // Ten strokes of 6 by 2, each soft at its ends.
        let more = area(&dashed) - 120.0;
        assert!(more > -2.0 && more < 10.0 * 2.0 * 1.4, "{more}");
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
