//! What cannot be had, and why.

/// Why a gas cannot be had, or not in time. Days count from 1 at their ends, nought being the start.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum Why {
    /// No item serves the duty with this mixture.
    #[error("nothing on the supplier's list may serve it with this mixture")]
    NoOffer,
    /// A full unit would be of no use at this depth.
    #[error("its heel of {:.1} bar is not below the fill of {:.1} bar: no unit yields anything at this depth", heel_gauge_pa / 1e5, fill_gauge_pa / 1e5)]
    HeelAboveFill {
        /// Highest fill on the list, Pa gauge.
        fill_gauge_pa: f64,
        /// Heel, Pa gauge.
        heel_gauge_pa: f64,
    },
    /// The stock falls below its minimum before a boat has come.
    #[error("it is below its minimum on day {day}, {}", first_call(*.first_call_s))]
    BeforeFirstBoat {
        /// First day below.
        day: usize,
        /// First call of the boat, s from the start; none where no boat comes in the job's time.
        first_call_s: Option<i64>,
    },
    /// Ordered today it would come too late.
    #[error("it is below its minimum on day {day}; the last boat before that comes after {:.1} d, and its lead of {:.1} d is longer than the time left to order", *call_s as f64 / 86400.0, *lead_s as f64 / 86400.0)]
    LeadTooLong {
        /// First day below.
        day: usize,
        /// The last call that could help, s from the start.
        call_s: i64,
        /// Shortest lead of the items that serve, s.
        lead_s: i64,
    },
    /// The boat has no room and no earlier one can take it.
    #[error("the boat after {:.1} d is full, and no earlier one can bring the rest", *call_s as f64 / 86400.0)]
    BoatFull {
        /// The call, s from the start.
        call_s: i64,
    },
    /// No absorbent is on the list.
    #[error("there is no absorbent on the supplier's list")]
    NoAbsorbent,
}

impl Why {
    /// Whether it speaks of boats after the start, and not of what is loaded.
    pub fn is_of_a_boat(&self) -> bool {
        matches!(
            self,
            Why::BeforeFirstBoat { .. } | Why::LeadTooLong { .. } | Why::BoatFull { .. }
        )
    }
}

fn first_call(at_s: Option<i64>) -> String {
    match at_s {
        Some(s) => format!(
            "and the first boat comes after {:.1} d",
            s as f64 / 86_400.0
        ),
        None => "and no boat comes in the job's time".to_owned(),
    }
}

/// Something that cannot be had.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Refusal {
    /// Place in the list of needs; one past its end for absorbent.
    pub need: usize,
    /// Why.
    pub why: Why,
}
