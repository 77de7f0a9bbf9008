//! Depths and times against the figures of a table: what is a printed figure but for the rounding of a unit is on
//! it, and no closer look is taken. Nobody prints, reads or holds a micrometre of sea water.

/// Closer than this two depths are one, msw, and two moments, s.
pub(super) const SAME: f64 = 1e-6;

/// At a depth or shallower.
pub(super) fn to(depth_msw: f64, edge_msw: f64) -> bool {
    depth_msw <= edge_msw + SAME
}

/// At a depth or deeper.
pub(super) fn from(depth_msw: f64, edge_msw: f64) -> bool {
    depth_msw >= edge_msw - SAME
}

/// The first whole second by which a length of time is over.
pub(super) fn whole_s(length_s: f64) -> i64 {
    (length_s - SAME).ceil() as i64
}
