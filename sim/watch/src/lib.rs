//! A person on the watch: the session that he sits in, the journal that remembers what he did, and the verbs he does
//! it by. Whatever draws a watch, on a terminal or a screen, stands on this room and has no clock, no journal and no
//! list of alarms of its own.
//!
//! A [`Session`] is a job with its journal. Time passes only by [`Session::advance_to`]; everything a person does goes
//! through [`Session::act`], is written and synced before it is done, and comes back done or refused. Scenario, seed
//! and journal make the same watch again, bit for bit, at every second.
//!
//! For planning, rehearsal and training; it prescribes nothing: the law, the issuing body's current document, the
//! company's approved manual and the licensed people on the job decide.

mod beginnings;
mod clock;
mod feed;
mod hands;
mod journal;
mod kept;
mod keys;
mod names;
mod on_watch;
mod remedy;
mod session;
mod sheets;
pub mod shown;
mod sit_down;
mod trend;
mod verbs;

pub use beginnings::{Beginning, Shows};
pub use clock::{Clock, SPEEDS};
pub use feed::Feed;
pub use hands::{Hands, Takes};
pub use journal::{Cut, FileAsRead, Head, Journal, JournalError, Line, Recall};
pub use kept::Shelf;
pub use keys::{Keys, OF_THE_SCREEN};
pub use names::{NotFound, find};
pub use on_watch::{Kit, Left, OnWatch, Said, Worth};
pub use remedy::remedy;
pub use session::{BranchId, Done, Session, SessionError, Start, Twin};
pub use sheets::{
    Beside, CheckSheet, Column, ColumnOf, HANDOVER, HandoverPart, HandoverSheet, Item, Sheets,
};
pub use sit_down::{CannotSit, KeptIn, SitDown, TakeUp};
pub use trend::{SPANS_S, TRENDS, Trend};
pub use verbs::{
    Asked, BAND_BAR, CRACK, Completion, NotUnderstood, Part, TABLE, Verb, VerbInfo, asking,
    belongs, complete, in_words, info, parse,
};
