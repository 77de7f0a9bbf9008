//! Numbers as the notation writes them: whole, of four bases, with underscores and the name of a type
//! behind; or with point and exponent.

/// How long the number is that a text begins with.
pub(crate) fn length(text: &str) -> usize {
    let mut before = ' ';
    let based = text.trim_start_matches(['+', '-']).starts_with("0x");
    let mut fits = |c: char| {
        let sign_fits = before == ' ' || (matches!(before, 'e' | 'E') && !based);
        let fits = c.is_ascii_alphanumeric()
            || matches!(c, '_' | '.')
            || (matches!(c, '+' | '-') && sign_fits);
        before = c;
        fits
    };
    text.find(|c| !fits(c)).unwrap_or(text.len())
}

/// What is wrong with a number, if it is none.
pub(crate) fn wrong(text: &str) -> Option<&'static str> {
    (integer(text).is_none() && float(text).is_none()).then_some("this is no number")
}

/// A whole number, and the type that it names.
pub(crate) fn integer(text: &str) -> Option<(i128, Option<&str>)> {
    let (negative, rest) = match text.as_bytes().first()? {
        b'-' => (true, &text[1..]),
        b'+' => (false, &text[1..]),
        _ => (false, text),
    };
    let (base, rest) = match rest.get(..2) {
        Some("0b") => (2, &rest[2..]),
        Some("0o") => (8, &rest[2..]),
        Some("0x") => (16, &rest[2..]),
        _ => (10, rest),
    };
    let end = rest
        .find(|c: char| !(c.is_ascii_hexdigit() || c == '_'))
        .unwrap_or(rest.len());
    let (digits, kind) = rest.split_at(end);
    if digits.is_empty() || digits.starts_with('_') {
        return None;
    }
    let plain: String = digits.chars().filter(|c| *c != '_').collect();
    let value = i128::from_str_radix(&plain, base).ok()?;
    let value = if negative { -value } else { value };
    let range = match kind {
        "" => (i128::from(i64::MIN), i128::from(u64::MAX)),
        "i8" => (i128::from(i8::MIN), i128::from(i8::MAX)),
        "i16" => (i128::from(i16::MIN), i128::from(i16::MAX)),
        "i32" => (i128::from(i32::MIN), i128::from(i32::MAX)),
        "i64" => (i128::from(i64::MIN), i128::from(i64::MAX)),
        "u8" => (0, i128::from(u8::MAX)),
        "u16" => (0, i128::from(u16::MAX)),
        "u32" => (0, i128::from(u32::MAX)),
        "u64" => (0, i128::from(u64::MAX)),
        _ => return None,
    };
    let fits = (range.0..=range.1).contains(&value);
    fits.then_some((value, (!kind.is_empty()).then_some(kind)))
}

/// Any number, to the nearest that can be reckoned with.
pub(crate) fn float(text: &str) -> Option<f64> {
    let plain = text.strip_suffix("f64").unwrap_or(text);
    match plain {
        "inf" | "+inf" => return Some(f64::INFINITY),
        "-inf" => return Some(f64::NEG_INFINITY),
        "NaN" | "+NaN" | "-NaN" => return Some(f64::NAN),
        _ => {}
    }
    let mut digits = String::with_capacity(plain.len());
    let mut underscore_fits = false;
    for c in plain.chars() {
        match c {
            '_' if underscore_fits => continue,
            '0'..='9' | 'e' | 'E' => underscore_fits = true,
            '.' => underscore_fits = false,
            '+' | '-' => {}
            _ => return None,
        }
        digits.push(c);
    }
    digits.parse().ok()
}
