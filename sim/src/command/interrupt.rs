//! An interrupt from the terminal, for work that stops where it may and keeps what it has.

use std::sync::atomic::{AtomicBool, Ordering};

static CAME: AtomicBool = AtomicBool::new(false);

/// Catches interrupts from now on.
pub(super) fn catch() {
    // Only a second handler could be refused, and a run of the program catches once.
    let _ = ctrlc::set_handler(|| CAME.store(true, Ordering::SeqCst));
}

/// Whether one has come.
pub(super) fn came() -> bool {
    CAME.load(Ordering::SeqCst)
}
