//! The rest that seafarers are owed, asked of anybody on board whose hours of work are known: divers,
//! dive control, saturation control. Pure arithmetic over spans of work.
//!
//! Rules: Maritime Labour Convention 2006, standard A2.3, and STCW chapter VIII, read in summaries by a
//! seafarers' mission and an industry news page (Seen there): rest of at least 10 h in any 24 h and 77 h in
//! any 7 days, in at most two pieces of which one is at least 6 h, no more than 14 h between them; or work of
//! at most 14 h in any 24 h and 72 h in any 7 days. The 24 hours slide; the pieces are counted from the
//! start of a duty, not from midnight. That a piece under an hour is no rest is guidance. The exceptions a
//! flag state may grant are not reckoned with.

use super::types::Span;

const HOUR_S: i64 = 3600;
const DAY_S: i64 = 24 * HOUR_S;
const WEEK_S: i64 = 7 * DAY_S;
/// A pause shorter than this is no rest (guidance), s.
const LEAST_PIECE_S: i64 = HOUR_S;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Requirement {
    /// Rest in any 24 h.
    RestInDay,
    /// The two longest pieces of rest in the 24 h from the start of a duty.
    TwoPieces,
    /// The longest piece of rest in the 24 h from the start of a duty.
    LongestPiece,
    /// Time between two pieces of rest.
    BetweenRests,
    /// Rest in any 7 days.
    RestInWeek,
    /// Work in any 24 h: the other way to keep the rule.
    WorkInDay,
    /// Work in any 7 days: the other way to keep the rule.
    WorkInWeek,
}

impl Requirement {
    /// Everything that is asked, in order.
    pub const ALL: [Requirement; 7] = [
        Requirement::RestInDay,
        Requirement::TwoPieces,
        Requirement::LongestPiece,
        Requirement::BetweenRests,
        Requirement::RestInWeek,
        Requirement::WorkInDay,
        Requirement::WorkInWeek,
    ];

    /// The figure, s.
    pub fn figure_s(self) -> i64 {
        match self {
            Requirement::RestInDay | Requirement::TwoPieces => 10 * HOUR_S,
            Requirement::LongestPiece => 6 * HOUR_S,
            Requirement::BetweenRests | Requirement::WorkInDay => 14 * HOUR_S,
            Requirement::RestInWeek => 77 * HOUR_S,
            Requirement::WorkInWeek => 72 * HOUR_S,
        }
    }

    /// Whether the figure is the least allowed; otherwise it is the most.
    pub fn is_least(self) -> bool {
        matches!(
            self,
            Requirement::RestInDay
                | Requirement::TwoPieces
                | Requirement::LongestPiece
                | Requirement::RestInWeek
        )
    }

    /// Whether it belongs to the hours of work, the other way to keep the rule.
    pub fn is_of_work(self) -> bool {
        matches!(self, Requirement::WorkInDay | Requirement::WorkInWeek)
    }

    /// In plain words.
    pub fn words(self) -> &'static str {
        match self {
            Requirement::RestInDay => "rest of at least 10 h in any 24 h",
            Requirement::TwoPieces => "those 10 h in at most two pieces, from the start of a duty",
            Requirement::LongestPiece => "one piece of at least 6 h, from the start of a duty",
            Requirement::BetweenRests => "at most 14 h between two rests",
            Requirement::RestInWeek => "rest of at least 77 h in any 7 days",
            Requirement::WorkInDay => "work of at most 14 h in any 24 h",
            Requirement::WorkInWeek => "work of at most 72 h in any 7 days",
        }
    }

    /// Where it comes from, and how it was read.
    pub fn source(self) -> &'static str {
        "MLC 2006, A2.3, and STCW VIII (seen in summaries, not in the documents)"
    }
}

/// The worst case of one thing asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Worst {
    /// What was asked.
    pub asked: Requirement,
    /// Where: the start of the window, or of the work between two rests, s.
    pub at_s: i64,
    /// What was found there, s.
    pub found_s: i64,
}

impl Worst {
    /// How far inside the figure it lies, s; negative: a breach.
    pub fn margin_s(&self) -> i64 {
        let over = self.found_s - self.asked.figure_s();
        if self.asked.is_least() { over } else { -over }
    }

    /// Whether the figure is kept.
    pub fn kept(&self) -> bool {
        self.margin_s() >= 0
    }
}

/// The part of a span between two seconds, where there is one.
pub fn part(of: Span, from_s: i64, to_s: i64) -> Option<Span> {
    let (from_s, to_s) = (of.from_s.max(from_s), of.to_s.min(to_s));
    (from_s < to_s).then_some(Span { from_s, to_s })
}

/// Spans in order, joined where they overlap, touch, or lie closer than `gap_s`; empty ones dropped.
pub fn joined(spans: &[Span], gap_s: i64) -> Vec<Span> {
    let mut sorted: Vec<Span> = spans
        .iter()
        .copied()
        .filter(|s| s.to_s > s.from_s)
        .collect();
    sorted.sort();
    let mut out: Vec<Span> = Vec::with_capacity(sorted.len());
    for s in sorted {
        match out.last_mut() {
            Some(last) if s.from_s <= last.to_s || s.from_s - last.to_s < gap_s => {
                last.to_s = last.to_s.max(s.to_s)
            }
            _ => out.push(s),
        }
    }
    out
}

/// The worst case of everything asked, for one person's work in any order; outside of it he rests. Empty
/// where there is no work.
pub fn worst(work: &[Span]) -> Vec<Worst> {
    let duties = joined(work, LEAST_PIECE_S);
    let Some(last) = duties.last() else {
        return Vec::new();
    };
    let work_s = |from: i64, length: i64| -> i64 {
        duties
            .iter()
            .filter_map(|d| part(*d, from, from + length))
            .map(Span::length_s)
            .sum()
    };
    let most_work = |length: i64| {
        // Work in a sliding window is straight between the seconds where an end of the window meets an end of
        // a duty, so its greatest value lies on one of them.
        let ends = duties.iter().flat_map(|d| [d.from_s, d.to_s]);
        let starts = ends.flat_map(|e| [e, e - length]);
        starts
            .map(|at| (work_s(at, length), at))
            .max_by_key(|(s, at)| (*s, -at))
            .unwrap_or((0, 0))
    };
    let (day, week) = (most_work(DAY_S), most_work(WEEK_S));
    let pieces = |at: i64| {
        let mut lengths = Vec::new();
        let mut from = at;
        for d in duties.iter().filter_map(|d| part(*d, at, at + DAY_S)) {
            lengths.push(d.from_s - from);
            from = d.to_s;
        }
        lengths.push(at + DAY_S - from);
        lengths.sort_unstable_by(|a, b| b.cmp(a));
        (lengths[0], lengths.iter().take(2).sum::<i64>())
    };
    let first_least = |of: &dyn Fn(i64) -> i64| {
        duties
            .iter()
            .map(|d| (of(d.from_s), d.from_s))
            .min()
            .unwrap_or((DAY_S, last.from_s))
    };
    let longest = first_least(&|at| pieces(at).0);
    let two = first_least(&|at| pieces(at).1);
    let between = duties
        .iter()
        .map(|d| (d.length_s(), d.from_s))
        .max_by_key(|(s, at)| (*s, -at))
        .unwrap_or((0, 0));
    Requirement::ALL
        .into_iter()
        .map(|asked| {
            let (found_s, at_s) = match asked {
                Requirement::RestInDay => (DAY_S - day.0, day.1),
                Requirement::TwoPieces => two,
                Requirement::LongestPiece => longest,
                Requirement::BetweenRests => between,
                Requirement::RestInWeek => (WEEK_S - week.0, week.1),
                Requirement::WorkInDay => day,
                Requirement::WorkInWeek => week,
            };
            Worst {
                asked,
                at_s,
                found_s,
            }
        })
        .collect()
}
