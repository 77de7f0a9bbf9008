//! A progress bar on standard error: only on a terminal, and only where it is wanted.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::time::{Duration, Instant};

/// The bar, or none.
pub struct Progress(Option<ProgressBar>);

impl Progress {
    /// A bar over plant time up to a last second. Indicatif draws nothing where standard error is not a terminal.
    pub fn new(quiet: bool, last_s: i64) -> Progress {
        if quiet {
            return Progress(None);
        }
        let bar =
            ProgressBar::with_draw_target(u64::try_from(last_s).ok(), ProgressDrawTarget::stderr());
        if let Ok(style) =
            ProgressStyle::with_template("{msg} [{bar:40}] {percent:>3} %  {eta} left")
        {
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

/// A search whose end is not known: what it has found so far, and when it has had its time.
pub struct Searching {
    bar: Option<ProgressBar>,
    ends: Instant,
}

impl Searching {
    /// A search that may take so many seconds.
    pub fn new(quiet: bool, most_s: f64) -> Searching {
        let bar = (!quiet).then(|| {
            let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
            if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}  {elapsed}") {
                bar.set_style(style.tick_chars("|/-\\ "));
            }
            bar
        });
        let most = Duration::try_from_secs_f64(most_s).unwrap_or(Duration::from_secs(30));
        Searching {
            bar,
            ends: Instant::now() + most,
        }
    }

    /// Shows what there is so far.
    pub fn say(&self, words: String) {
        if let Some(bar) = &self.bar {
            bar.set_message(words);
            bar.tick();
        }
    }

    /// Whether its time is up.
    pub fn over(&self) -> bool {
        Instant::now() >= self.ends
    }

    /// The line goes away.
    pub fn done(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

/// A count of things done on many threads, with the time left.
pub struct Counted(Option<ProgressBar>);

impl Counted {
    /// So many things of a kind.
    pub fn new(quiet: bool, of: u64, what: &str) -> Counted {
        if quiet {
            return Counted(None);
        }
        let bar = ProgressBar::with_draw_target(Some(of), ProgressDrawTarget::stderr());
        if let Ok(style) =
            ProgressStyle::with_template("{msg} [{bar:30}] {pos} of {len}  {eta} left")
        {
            bar.set_style(style.progress_chars("=> "));
        }
        bar.set_message(what.to_owned());
        bar.enable_steady_tick(Duration::from_secs(1));
        Counted(Some(bar))
    }

    /// One is done.
    pub fn one(&self) {
        if let Some(bar) = &self.0 {
            bar.inc(1);
        }
    }

    /// The bar goes away.
    pub fn done(&self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}
