//! Which assumption matters most: the rows of the two charts of it, in their order.

use super::RankCorrelation;

/// How a source goes with the answer over many simulated jobs.
#[derive(Clone, Debug, PartialEq)]
pub struct SourceCorrelation {
    /// The source in words.
    pub source: String,
    /// Its rank correlation with the answer.
    pub rank: RankCorrelation,
}

/// What one source alone does to the answer, all others at their base values.
#[derive(Clone, Debug, PartialEq)]
pub struct OneAtATime {
    /// The source in words.
    pub source: String,
    /// Its low value with its unit.
    pub low_input: String,
    /// Its high value with its unit.
    pub high_input: String,
    /// The answer at the low value.
    pub low: f64,
    /// The answer at the high value.
    pub high: f64,
}

/// The strongest first, whatever its sign; equal ones as they came.
pub fn strongest_first(mut correlations: Vec<SourceCorrelation>) -> Vec<SourceCorrelation> {
    correlations.sort_by(|a, b| b.rank.rho.abs().total_cmp(&a.rank.rho.abs()));
    correlations
}

/// The widest first; equal ones as they came.
pub fn widest_first(mut swung: Vec<OneAtATime>) -> Vec<OneAtATime> {
    swung.sort_by(|a, b| (b.high - b.low).abs().total_cmp(&(a.high - a.low).abs()));
    swung
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_matters_most_comes_first() {
        let correlation = |source: &str, rho| SourceCorrelation {
            source: source.into(),
            rank: RankCorrelation {
                rho,
                low: rho,
                high: rho,
            },
        };
        let sorted = strongest_first(vec![
            correlation("a", 0.2),
            correlation("b", -0.9),
            correlation("c", 0.5),
        ]);
        assert_eq!(
            sorted.iter().map(|p| p.source.as_str()).collect::<String>(),
            "bca"
        );
        let swung_one = |source: &str, low, high| OneAtATime {
            source: source.into(),
            low_input: String::new(),
            high_input: String::new(),
            low,
            high,
        };
        let sorted = widest_first(vec![
            swung_one("a", 1.0, 2.0),
            swung_one("b", 9.0, 1.0),
            swung_one("c", 1.0, 4.0),
        ]);
        assert_eq!(
            sorted.iter().map(|s| s.source.as_str()).collect::<String>(),
            "bca"
        );
    }
}
