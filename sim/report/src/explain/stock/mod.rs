//! The links of `stock.json`: estimates and chances from the rows of `jobs.csv`, a row a simulated job, and minimums and
//! load from the tables beside it.

mod absorbent;
mod chances;
mod estimates;
mod head;
mod holding;
mod jobs;

use super::link::Link;

/// All of them.
pub(super) const LINKS: &[&[Link]] = &[
    head::LINKS,
    estimates::DEMAND,
    estimates::DEMAND_QUANTILES,
    estimates::DRAWN,
    estimates::DRAWN_QUANTILES,
    estimates::BACK,
    estimates::BACK_QUANTILES,
    estimates::OTHERS,
    estimates::OTHERS_QUANTILES,
    estimates::WHAT_IF,
    estimates::WHAT_IF_QUANTILES,
    estimates::MEANS,
    estimates::RANKS,
    chances::OF_A_GAS,
    chances::OF_A_GAS_STOPPED,
    estimates::ABSORBENT,
    estimates::ABSORBENT_QUANTILES,
    estimates::CANISTERS,
    estimates::CANISTERS_QUANTILES,
    chances::OF_ABSORBENT,
    chances::OF_ABSORBENT_SHORT,
    chances::OF_ANY,
    chances::OF_ANY_STOPPED,
    chances::NOT_SURFACED,
    chances::CUT_SHORT,
    chances::DAYS,
    absorbent::LINKS,
    holding::LINKS,
];
