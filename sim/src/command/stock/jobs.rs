//! Which jobs of a study are to be run: a count, or a span of them.

use std::ops::Range;

/// Most jobs of one study.
const MOST: u64 = 10_000_000;

/// Which jobs of the endless row that a seed gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Jobs(pub Range<u64>);

/// A count of jobs, or a span of them.
pub fn read(text: &str) -> Result<Jobs, String> {
    let number = |s: &str| {
        s.trim()
            .parse::<u64>()
            .map_err(|_| format!("\"{s}\" is no whole number; write 200, or 0..50"))
    };
    let range = match text.split_once("..") {
        None => 0..number(text)?,
        Some((from, to)) => number(from)?..number(to)?,
    };
    if range.is_empty() {
        return Err(
            "at least one job is run: 200, or 0..50 with the first number below the second".into(),
        );
    }
    if range.end > MOST {
        return Err(format!("at most {MOST} jobs"));
    }
    Ok(Jobs(range))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jobs_are_a_count_or_a_span() {
        assert_eq!(read("200"), Ok(Jobs(0..200)));
        assert_eq!(read("50..100"), Ok(Jobs(50..100)));
        for bad in ["0", "", "9..3", "5..5", "a..b", "-1", "1..", "99999999999"] {
            assert!(read(bad).is_err(), "{bad}");
        }
    }
}
