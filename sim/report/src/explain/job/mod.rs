//! The links of `job.json`.

mod alarms;
mod bell;
mod events;
mod gas;
mod head;
mod hours;
mod posted;
mod stores;

use super::link::Link;

/// All of them.
pub(super) const LINKS: &[&[Link]] = &[
    head::LINKS,
    gas::MOVED,
    gas::BANKS,
    gas::CLOSURE,
    events::CROSSED,
    events::ATTENTIONS,
    events::LINKS,
    alarms::LINKS,
    bell::LINKS,
    stores::LINKS,
    hours::LINKS,
    gas::PLANNED,
    posted::LINKS,
];
