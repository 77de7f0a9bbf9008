//! An interrupt (Ctrl-C, or a request to end). While files are still being read there is nothing to keep, and
//! it ends the program at once, even if a file never ends; once work has begun, the work stops where it may
//! and keeps what it has.

use super::say;
use std::sync::atomic::{AtomicBool, Ordering};

static CAME: AtomicBool = AtomicBool::new(false);
static AT_WORK: AtomicBool = AtomicBool::new(false);

/// Catches interrupts from now on.
pub(super) fn catch() {
    // Only a second handler could be refused, and a run of the program catches once.
    let _ = ctrlc::set_handler(|| {
        CAME.store(true, Ordering::SeqCst);
        if !AT_WORK.load(Ordering::SeqCst) {
            let exit = say::interrupted("interrupted while reading; nothing was begun");
            std::process::exit(exit.code().into());
        }
    });
}

/// From here on there is something to keep, and whoever works asks whether an interrupt [`came`].
pub(super) fn at_work() {
    AT_WORK.store(true, Ordering::SeqCst);
}

/// Whether one has come.
pub(super) fn came() -> bool {
    CAME.load(Ordering::SeqCst)
}
