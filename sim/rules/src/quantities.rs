//! The kinds of quantities in a rule file, within the bounds that a rule can have: kept as they are printed,
//! because what a foot of sea water is belongs to the rule set.

use deepstay_core::units::BAR_PA;
use deepstay_core::units::FswConvention;
use deepstay_core::units::text::kinds_of::{self as of, Kind};
use deepstay_core::units::text::{Plain, Written};

pub use deepstay_core::units::text::ClockTime;

macro_rules! quantities {
    ($($(#[$doc:meta])* $alias:ident $kind:ident: $of:ident within $low:expr, $high:expr; $unit:literal;)*) => {$(
        #[doc = concat!("Kind of quantity whose plain value is in ", $unit, ".")]
        #[derive(Clone, Copy, Debug, PartialEq)]
        pub struct $kind;

        impl Plain for $kind {
            const KIND: &'static Kind = &of::$of.within($low, $high);
            const UNIT: &'static str = $unit;
        }

        $(#[$doc])*
        pub type $alias = Written<$kind>;
    )*};
}

quantities! {
    /// A depth; plain value in msw.
    Depth DepthKind: DEPTH within 0.0, 1_000.0; "msw";
    /// A rate of change of depth; plain value in msw/s.
    Rate RateKind: DEPTH_RATE within 1e-6, 2.0; "msw/s";
    /// A partial pressure; plain value in bar.
    Pressure PressureKind: PARTIAL within 0.0, 10.0 * BAR_PA; "bar";
    /// A length of time; plain value in s.
    Duration DurationKind: TIME within 0.0, 4e7; "s";
    /// A temperature; plain value in K.
    Degrees DegreesKind: TEMPERATURE within 230.0, 350.0; "K";
    /// A difference of temperature; plain value in K.
    Span SpanKind: TEMPERATURE_SPAN within 0.0, 50.0; "K";
    /// A share; plain value 0 to 1.
    Share ShareKind: SHARE within 0.0, 1.0; "";
    /// A flow of gas; plain value in m3/s.
    Flow FlowKind: FLOW within 0.0, 1.0; "m3/s";
}

/// A printed end of a table in words. One in feet of a set whose foot is not that of all other depths is said in metres too.
pub(super) fn end_words(end: &Depth, feet: FswConvention) -> String {
    let (own_msw, other_msw) = (end.plain(feet), end.get());
    match (own_msw - other_msw).abs() < super::edge::SAME {
        true => end.to_string(),
        false => format!(
            "{end} (by the set's foot {own_msw:.2} msw; as many feet of 0.30643 msw, as a depth elsewhere is written, are {other_msw:.2} msw)"
        ),
    }
}
