//! The font of every picture: B612, drawn for cockpits, under the SIL Open Font License (`fonts/LICENSE`). Here are its
//! files and how wide each letter is. Its figures are all of one width, so that a reading does not move as it changes.

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};
use std::sync::OnceLock;

/// The plain one.
pub const PLAIN: &[u8] = include_bytes!("../fonts/B612-Regular.otf");
/// The strong one.
pub const STRONG: &[u8] = include_bytes!("../fonts/B612-Bold.otf");

/// Letters whose widths are kept: those of ASCII. Any other is as wide as an `m`.
const KEPT: usize = 128;

/// Width of a text set with letters of 1 px.
pub fn width(words: &str, strong: bool) -> f64 {
    static WIDTHS: OnceLock<[[f32; KEPT]; 2]> = OnceLock::new();
    let faces = WIDTHS.get_or_init(|| [PLAIN, STRONG].map(widths));
    let face = &faces[usize::from(strong)];
    let of = |sign: char| face.get(sign as usize).unwrap_or(&face['m' as usize]);
    words.chars().map(|sign| f64::from(*of(sign))).sum()
}

fn widths(file: &[u8]) -> [f32; KEPT] {
    let mut widths = [0.6; KEPT];
    let Ok(font) = FontRef::new(file) else {
        return widths;
    };
    let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
    let letters = font.charmap();
    for (sign, width) in (0u8..).zip(&mut widths) {
        let glyph = letters.map(char::from(sign));
        if let Some(advance) = glyph.and_then(|glyph| metrics.advance_width(glyph)) {
            *width = advance;
        }
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_all_of_one_width_and_letters_are_not() {
        for strong in [false, true] {
            let of = |words: &str| width(words, strong);
            for figure in '1'..='9' {
                let written = figure.to_string();
                assert!((of(&written) - of("0")).abs() < 1e-6, "{figure}");
            }
            assert!(of("iiii") < of("mmmm"));
        }
        assert_eq!(width("", false), 0.0);
    }

    /// Every sign that the words of the trade are written with is in the font.
    #[test]
    fn every_sign_of_a_line_is_in_the_font() {
        for file in [PLAIN, STRONG] {
            let font = FontRef::new(file).expect("a font");
            let letters = font.charmap();
            for sign in (' '..='~').chain(['²']) {
                assert!(letters.map(sign).is_some(), "{sign:?}");
            }
        }
    }
}
