//! A quantity that is reckoned with as it is written: its number and its unit apart, and both together
//! again, for what multiplies or adds to an input whatever its kind.

use super::number::split;
use super::time::Duration;

/// The number and the unit of a quantity as it is written; a range is left away, lengths of time are in
/// seconds, and may be negative: what is added to a time may bring it forward.
pub fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let text = text.split(" from ").next().unwrap_or(text).trim();
    let (sign, length) = text
        .strip_prefix('-')
        .map_or((1.0, text), |rest| (-1.0, rest));
    if let Ok(time) = length.parse::<Duration>()
        && length.parse::<f64>().is_err()
    {
        return Some((sign * time.0 as f64, "s"));
    }
    let (number, unit) = split(text);
    let unit = unit.trim();
    let number = number.parse().ok()?;
    // A digit belongs to a unit behind a letter, as in m3; else it is another number.
    let mut before = ' ';
    let is_unit = unit.chars().all(|c| {
        let fits = !c.is_ascii_digit() || before.is_alphabetic();
        before = c;
        fits
    });
    is_unit.then_some((number, unit))
}

/// A number in a unit as it is written in a file, so that it reads back to the same value; lengths of
/// time are whole seconds.
pub fn quantity(number: f64, unit: &str) -> String {
    let seconds = match unit {
        "s" => Some(1.0),
        "min" => Some(60.0),
        "h" => Some(3600.0),
        "d" => Some(86_400.0),
        _ => None,
    };
    match (seconds, unit) {
        (Some(scale), _) => format!("{} s", (number * scale).round()),
        (None, "") => format!("{number}"),
        (None, unit) => format!("{number} {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_told_from_its_unit() {
        for (text, number, unit) in [
            ("24 m3", 24.0, "m3"),
            ("1.2 m3/min", 1.2, "m3/min"),
            ("1e3 m3", 1000.0, "m3"),
            ("88 % from 80 % to 95 %", 88.0, "%"),
            ("-2 h", -7200.0, "s"),
            ("2d 06:30", 196_200.0, "s"),
            ("0.85", 0.85, ""),
        ] {
            assert_eq!(number_and_unit(text), Some((number, unit)), "{text}");
        }
        for text in ["64 x 50 L at 200 bar", "2 3", "m3", ""] {
            assert_eq!(number_and_unit(text), None, "{text}");
        }
    }

    #[test]
    fn a_quantity_reads_back() {
        for (number, unit, text) in [
            (0.5, "h", "1800 s"),
            (0.85, "", "0.85"),
            (1e-7, "m3", "0.0000001 m3"),
        ] {
            assert_eq!(quantity(number, unit), text);
            assert!(number_and_unit(text).is_some());
        }
    }
}
