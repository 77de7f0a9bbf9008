//! A margin in words: what was found, what is allowed, and what is left.

use deepstay_core::units::{fixed, hours, span};
use deepstay_rota::Margin;

/// What a margin has, what it may have, and by how much it is kept or broken.
pub fn margin_words(margin: Margin) -> [String; 3] {
    // Days where there are many.
    let long = match margin {
        Margin::AtMost { found_s, limit_s } | Margin::AtLeast { found_s, limit_s } => {
            found_s.max(limit_s) >= 4 * 86_400
        }
        Margin::Count { .. } | Margin::Value { .. } | Margin::Demand => false,
    };
    let length = |s: i64| if long { span(s) } else { hours(s) };
    let signed = |s: i64| format!("{}{}", if s < 0 { "\u{2212}" } else { "" }, length(s.abs()));
    match margin {
        Margin::AtMost { found_s, limit_s } => [
            length(found_s),
            format!("at most {}", length(limit_s)),
            signed(margin.left()),
        ],
        Margin::AtLeast { found_s, limit_s } => [
            length(found_s),
            format!("at least {}", length(limit_s)),
            signed(margin.left()),
        ],
        Margin::Count { found, limit } => [
            found.to_string(),
            format!("at most {limit}"),
            margin.left().to_string(),
        ],
        Margin::Value {
            found_milli,
            limit_milli,
            unit,
        } => {
            let of =
                |milli: i64| fixed(milli.abs() as f64 / 1e3, if unit == "hPa" { 0 } else { 2 });
            let sign = if margin.left() < 0 { "\u{2212}" } else { "" };
            [
                format!("{} {unit}", of(found_milli)),
                format!("at most {} {unit}", of(limit_milli)),
                format!("{sign}{} {unit}", of(margin.left())),
            ]
        }
        Margin::Demand => [String::new(), String::new(), String::new()],
    }
}
