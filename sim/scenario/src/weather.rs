//! Tables of wave heights: a series in time, or the counts of a second-order chain.

use super::file::WeatherFile;
use super::{MarkovChain, Weather};
use deepstay_read::Wrong;

/// Where tables come from: built in, or files beside the job.
pub(super) trait Tables {
    /// The waves that a site's file asks for; what is wrong and what would be right if there are none.
    fn waves(&self, of: &WeatherFile) -> Result<Weather, (Wrong, Option<String>)>;
}

/// The waves of a site's file out of a table's text.
pub(super) fn waves(of: &WeatherFile, text: &str) -> Result<Weather, TableError> {
    match of {
        WeatherFile::Calm => Ok(Weather::Calm),
        WeatherFile::Series(_) => series(text).map(Weather::Series),
        WeatherFile::Chain { season, step, .. } => chain(text, season, step.0).map(Weather::Chain),
    }
}

/// Most rows of a table.
const MOST_ROWS: usize = 200_000;
/// Highest waves that can be meant, m.
const HIGHEST_M: f64 = 40.0;

/// Why a table cannot be used. Lines count from 1.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// The heading is not the one that was expected.
    #[error("line {line} of the table: the heading `{expected}` was expected")]
    Heading {
        /// Line.
        line: usize,
        /// What was expected.
        expected: &'static str,
    },
    /// A value is not what its column holds.
    #[error("line {line} of the table: `{found}` is not {wanted}")]
    Value {
        /// Line.
        line: usize,
        /// What stands there.
        found: String,
        /// What should.
        wanted: &'static str,
    },
    /// A row has more or fewer values than the heading.
    #[error("line {line} of the table: {found} values under {wanted} headings")]
    Width {
        /// Line.
        line: usize,
        /// Values in the row.
        found: usize,
        /// Columns in the heading.
        wanted: usize,
    },
    /// The times do not rise.
    #[error("line {line} of the table: its time is not after that of the row before")]
    Order {
        /// Line.
        line: usize,
    },
    /// No row is of the season asked for.
    #[error("the table has no season `{season}`; it has {}", .seasons.join(", "))]
    Season {
        /// The season asked for.
        season: String,
        /// The seasons in the table.
        seasons: Vec<String>,
    },
    /// No rows, or too many.
    #[error("the table has {0} rows; it needs 1 to {MOST_ROWS}")]
    Rows(usize),
    /// A step in time that is none.
    #[error("the time between two classes is at least a minute")]
    Step,
}

/// Lines that are neither empty nor remarks (`#`), with their numbers and cells.
fn rows(text: &str) -> impl Iterator<Item = (usize, Vec<&str>)> {
    (1..)
        .zip(text.lines())
        .filter(|(_, l)| !l.trim().is_empty() && !l.trim_start().starts_with('#'))
        .map(|(n, l)| (n, l.split(',').map(str::trim).collect()))
}

fn number(line: usize, cell: &str, wanted: &'static str) -> Result<f64, TableError> {
    let value: Option<f64> = cell.parse().ok().filter(|v: &f64| v.is_finite());
    value.ok_or_else(|| TableError::Value {
        line,
        found: cell.to_owned(),
        wanted,
    })
}

/// A series: heading `second,hs_m`, then a row a change, in order of time.
///
/// # Errors
/// What is wrong, with its line.
pub fn series(text: &str) -> Result<Vec<(i64, f64)>, TableError> {
    const HEADING: &str = "second,hs_m";
    let mut rows = rows(text);
    let (line, heading) = rows.next().unwrap_or((1, Vec::new()));
    if heading != ["second", "hs_m"] {
        return Err(TableError::Heading {
            line,
            expected: HEADING,
        });
    }
    let mut series: Vec<(i64, f64)> = Vec::new();
    for (line, cells) in rows {
        let &[second, hs] = cells.as_slice() else {
            return Err(TableError::Width {
                line,
                found: cells.len(),
                wanted: 2,
            });
        };
        let at: i64 = second.parse().map_err(|_| TableError::Value {
            line,
            found: second.to_owned(),
            wanted: "a whole number of seconds",
        })?;
        let hs_m = number(line, hs, "a wave height in m")?;
        if !(0.0..=HIGHEST_M).contains(&hs_m) {
            return Err(TableError::Value {
                line,
                found: hs.to_owned(),
                wanted: "a wave height of 0 to 40 m",
            });
        }
        if series.last().is_some_and(|last| last.0 >= at) {
            return Err(TableError::Order { line });
        }
        series.push((at, hs_m));
    }
    if series.is_empty() || series.len() > MOST_ROWS {
        return Err(TableError::Rows(series.len()));
    }
    Ok(series)
}

/// Counts of a second-order chain: heading `season,previous..,class..,to_0,to_0.5,..` whose `to_` columns
/// name the lower edges of classes of one width in m from 0; then a row per pair of classes.
///
/// # Errors
/// What is wrong, with its line; a season that is not there.
pub fn chain(text: &str, season: &str, step_s: i64) -> Result<MarkovChain, TableError> {
    const HEADING: &str = "season,previous class,class,to_0,to_WIDTH,...";
    if !(60..=7 * 86_400).contains(&step_s) {
        return Err(TableError::Step);
    }
    let mut rows = rows(text);
    let (line, heading) = rows.next().unwrap_or((1, Vec::new()));
    let wrong = TableError::Heading {
        line,
        expected: HEADING,
    };
    let edges: Option<Vec<f64>> = heading
        .iter()
        .skip(3)
        .map(|h| h.strip_prefix("to_").and_then(|e| e.parse().ok()))
        .collect();
    let edges = edges
        .filter(|e| heading.first() == Some(&"season") && evenly_from_zero(e))
        .ok_or(wrong)?;
    let mut counts = Vec::new();
    let mut seasons: Vec<String> = Vec::new();
    for (line, cells) in rows {
        if cells.len() != heading.len() {
            return Err(TableError::Width {
                line,
                found: cells.len(),
                wanted: heading.len(),
            });
        }
        if !seasons.iter().any(|s| s == cells[0]) {
            seasons.push(cells[0].to_owned());
        }
        if cells[0] != season {
            continue;
        }
        let class = |cell: &str| {
            let edge = number(line, cell, "a wave height in m")?;
            let at = (0u8..).zip(&edges).find(|(_, e)| (edge - **e).abs() < 1e-9);
            let wanted = "the lower edge of a class in the heading";
            at.map(|(i, _)| i).ok_or(TableError::Value {
                line,
                found: cell.to_owned(),
                wanted,
            })
        };
        let to: Result<Vec<u32>, TableError> = cells[3..]
            .iter()
            .map(|c| {
                c.parse().map_err(|_| TableError::Value {
                    line,
                    found: (*c).to_owned(),
                    wanted: "a count",
                })
            })
            .collect();
        counts.push((class(cells[1])?, class(cells[2])?, to?));
        if counts.len() > MOST_ROWS {
            return Err(TableError::Rows(counts.len()));
        }
    }
    if counts.is_empty() {
        return Err(TableError::Season {
            season: season.to_owned(),
            seasons,
        });
    }
    Ok(MarkovChain {
        class_m: edges[1],
        step_s,
        rows: counts,
    })
}

/// Whether edges are 0, w, 2w, ... with no more of them than a class number holds.
fn evenly_from_zero(edges: &[f64]) -> bool {
    let Some(&width) = edges.get(1) else {
        return false;
    };
    let even = |(i, e): (usize, &f64)| (e - i as f64 * width).abs() < 1e-9 * width;
    width > 0.0 && width.is_finite() && edges.len() <= 256 && edges.iter().enumerate().all(even)
}

#[cfg(test)]
mod tests {
    use super::*;

    const COUNTS: &str =
        "# a remark\nseason,previous,class,to_0,to_0.5\nDJF,0,0,3,1\nDJF,0,0.5,2,2\nJJA,0,0,9,1\n";

    #[test]
    fn a_season_of_a_chain() {
        let chain = chain(COUNTS, "DJF", 10_800).expect("a good table");
        assert_eq!((chain.class_m, chain.step_s), (0.5, 10_800));
        assert_eq!(chain.rows, vec![(0, 0, vec![3, 1]), (0, 1, vec![2, 2])]);
    }

    #[test]
    fn what_is_wrong_is_said_with_its_line() {
        let wrong = |text: &str, season| {
            chain(text, season, 10_800)
                .expect_err("a bad table")
                .to_string()
        };
        assert_eq!(
            wrong(COUNTS, "MAM"),
            "the table has no season `MAM`; it has DJF, JJA"
        );
        assert!(
            wrong(&COUNTS.replace("2,2", "2,x"), "DJF").starts_with("line 4 of the table: `x`")
        );
        assert!(
            wrong(&COUNTS.replace("2,2", "2"), "DJF")
                .starts_with("line 4 of the table: 4 values under 5")
        );
        assert!(wrong("a,b\n", "DJF").starts_with("line 1"));
        assert!(wrong("", "DJF").starts_with("line 1"));
        for heading in ["season,a,b,to_0,to_x\n", "season,a,b,to_0,to_0.5,to_2\n"] {
            assert!(wrong(heading, "DJF").starts_with("line 1"));
        }
        assert!(
            wrong(&COUNTS.replace("0,0.5,2", "0.3,0.5,2"), "DJF")
                .contains("the lower edge of a class in the heading")
        );
        assert!(wrong(&COUNTS.replace("2,2", "2,-2"), "DJF").contains("`-2` is not a count"));
    }

    #[test]
    fn a_series_in_order() {
        assert_eq!(
            series("second,hs_m\n0,1.5\n10800,2\n"),
            Ok(vec![(0, 1.5), (10_800, 2.0)])
        );
        assert_eq!(
            series("second,hs_m\n5,1\n5,2\n"),
            Err(TableError::Order { line: 3 })
        );
        assert!(matches!(
            series("second,hs_m\n5,NaN\n"),
            Err(TableError::Value { line: 2, .. })
        ));
        assert!(matches!(
            series("second,hs_m\n5,99\n"),
            Err(TableError::Value { line: 2, .. })
        ));
        assert_eq!(series("second,hs_m\n"), Err(TableError::Rows(0)));
    }
}
