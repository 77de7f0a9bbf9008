//! A progress bar on standard error: only on a terminal, and only where it is wanted.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// The bar, or none.
pub struct Progress(Option<ProgressBar>);

impl Progress {
    /// A bar over plant time up to a last second. Indicatif draws nothing where standard error is not a terminal.
    pub fn new(quiet: bool, last_s: i64) -> Progress {
        if quiet {
            return Progress(None);
        }
        let bar = ProgressBar::with_draw_target(u64::try_from(last_s).ok(), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{msg} [{bar:40}] {percent:>3} %  {eta} left") {
            bar.set_style(style.progress_chars("=> "));
        }
        Progress(Some(bar))
    }

    /// Plant time has come to a second.
    pub fn at(&self, now_s: i64) {
        if let Some(bar) = &self.0 {
            bar.set_position(u64::try_from(now_s).unwrap_or(0));
            bar.set_message(format!("day {:>2}", now_s / 86_400 + 1));
        }
    }

    /// The bar goes away.
    pub fn done(&self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}
