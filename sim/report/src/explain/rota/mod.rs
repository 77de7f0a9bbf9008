//! The links of `rota.json`: plain sums from the rows of `rota.csv`, and what the judge says who reads that table anew.

mod judge;
mod lines;
mod proof;
mod sums;

use super::link::Link;

/// All of them.
pub(super) const LINKS: &[&[Link]] = &[sums::LINKS, sums::SPREAD, judge::LINKS, proof::LINKS];
