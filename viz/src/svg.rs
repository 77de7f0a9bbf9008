//! A drawing as a file that any browser shows: SVG 1.1 (W3C recommendation, 2011).

use crate::drawing::{Anchor, Drawing, Ink, Mark, Palette, Stroke};
use kurbo::{BezPath, PathEl, Point};
use std::fmt::Write;

/// The drawing as SVG.
pub fn svg(drawing: &Drawing) -> String {
    let (width, height) = drawing.size;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" viewBox=\"0 0 {width} {height}\" font-family=\"B612, DejaVu Sans, Verdana, sans-serif\">\n"
    );
    for (k, mark) in drawing.marks.iter().enumerate() {
        // Writing into a string does not fail.
        let _ = match mark {
            Mark::Shape { path, fill, stroke } => {
                let fill = fill.map_or("none".to_owned(), hex);
                let line = stroke.map_or(String::new(), |s| outlined(&s));
                writeln!(text, "<path d=\"{}\" fill=\"{fill}\"{line}/>", along(path))
            }
            Mark::Fade { path, top, bottom } => writeln!(
                text,
                "<defs><linearGradient id=\"fade{k}\" x1=\"0\" y1=\"0\" x2=\"0\" y2=\"1\"><stop offset=\"0\" stop-color=\"{}\"/><stop offset=\"1\" stop-color=\"{}\"/></linearGradient></defs><path d=\"{}\" fill=\"url(#fade{k})\"/>",
                hex(*top),
                hex(*bottom),
                along(path)
            ),
            Mark::Words {
                at,
                words,
                set,
                anchor,
                ink,
            } => {
                let anchor = match anchor {
                    Anchor::Start => "start",
                    Anchor::Middle => "middle",
                    Anchor::End => "end",
                };
                let strong = if set.strong {
                    " font-weight=\"bold\""
                } else {
                    ""
                };
                writeln!(
                    text,
                    "<text xml:space=\"preserve\" x=\"{:.2}\" y=\"{:.2}\" font-size=\"{}\"{strong} textLength=\"{:.1}\" lengthAdjust=\"spacingAndGlyphs\" text-anchor=\"{anchor}\" fill=\"{}\">{}</text>",
                    at.x,
                    at.y,
                    set.size,
                    set.width(words),
                    hex(*ink),
                    escaped(words)
                )
            }
        };
    }
    text.push_str("</svg>\n");
    text
}

/// A path in hundredths of a pixel: finer than any screen, and short.
fn along(path: &BezPath) -> String {
    let near = |p: Point| Point::new((p.x * 100.0).round() / 100.0, (p.y * 100.0).round() / 100.0);
    let elements = path.elements().iter().map(|element| match *element {
        PathEl::MoveTo(p) => PathEl::MoveTo(near(p)),
        PathEl::LineTo(p) => PathEl::LineTo(near(p)),
        PathEl::QuadTo(a, p) => PathEl::QuadTo(near(a), near(p)),
        PathEl::CurveTo(a, b, p) => PathEl::CurveTo(near(a), near(b), near(p)),
        PathEl::ClosePath => PathEl::ClosePath,
    });
    BezPath::from_vec(elements.collect()).to_svg()
}

fn hex(ink: Ink) -> String {
    let (r, g, b) = ink.rgb(Palette::Calm);
    format!("#{r:02x}{g:02x}{b:02x}")
}

fn outlined(stroke: &Stroke) -> String {
    let dashes = stroke.dashes.map_or(String::new(), |(on, off)| {
        let shift = -stroke.shift;
        format!(" stroke-dasharray=\"{on} {off}\" stroke-dashoffset=\"{shift}\"")
    });
    format!(
        " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\" stroke-linecap=\"round\"{dashes}",
        hex(stroke.ink),
        stroke.width
    )
}

fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for sign in words.chars() {
        match sign {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            sign => safe.push(sign),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Type;
    use kurbo::Rect;

    #[test]
    fn words_cannot_break_out_of_the_file() {
        let mut drawing = Drawing::new(10.0, 10.0);
        let words = "</text><script>&\"";
        drawing.words((1.0, 2.0), words, Type::TEXT, Anchor::Start, Ink::Line);
        let text = svg(&drawing);
        assert!(
            text.contains("&lt;/text&gt;&lt;script&gt;&amp;&quot;"),
            "{text}"
        );
        assert_eq!(text.matches("<text").count(), 1);
    }

    #[test]
    fn a_shape_keeps_its_ink_and_its_line() {
        let mut drawing = Drawing::new(10.0, 10.0);
        drawing.shape(&Rect::new(1.0, 1.0, 3.0, 4.0), Ink::Oxygen, Ink::Line, 1.5);
        let text = svg(&drawing);
        assert!(
            text.contains("fill=\"#ffffff\" stroke=\"#22303a\" stroke-width=\"1.5\""),
            "{text}"
        );
    }
}
