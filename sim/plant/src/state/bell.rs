//! Where a bell is between deck and work.

use serde::{Deserialize, Serialize};

/// Where a bell is: linear in time while the winch runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct BellState {
    /// Second at which it was at `from_msw`.
    pub t_s: i64,
    /// Where it was then, msw of sea.
    pub from_msw: f64,
    /// Where it goes, msw of sea.
    pub to_msw: f64,
    /// Seconds it takes.
    pub takes_s: i64,
    /// Seconds of handling between deck and water before (going down) or after (coming up).
    pub handling_s: i64,
}

impl BellState {
    /// On deck, at rest.
    pub fn on_deck() -> Self {
        BellState {
            t_s: 0,
            from_msw: 0.0,
            to_msw: 0.0,
            takes_s: 0,
            handling_s: 0,
        }
    }

    /// Winch depth at a second, msw.
    pub fn msw(&self, t_s: f64) -> f64 {
        let since = t_s - self.moves_s() as f64;
        if since <= 0.0 {
            self.from_msw
        } else if since >= self.takes_s as f64 {
            self.to_msw
        } else {
            self.from_msw + (self.to_msw - self.from_msw) * since / self.takes_s as f64
        }
    }

    /// Second at which the winch starts to move it: handled first on its way down, last on its way up.
    fn moves_s(&self) -> i64 {
        self.t_s
            + if self.to_msw > self.from_msw {
                self.handling_s
            } else {
                0
            }
    }

    /// Seconds at which its depth in time bends.
    pub fn bends_s(&self) -> [i64; 3] {
        [
            self.moves_s(),
            self.moves_s() + self.takes_s,
            self.arrives_s(),
        ]
    }

    /// Second at which it has arrived (handling included).
    pub fn arrives_s(&self) -> i64 {
        self.t_s + self.takes_s + self.handling_s
    }

    /// On deck at the mating position.
    pub fn on_deck_at(&self, t_s: i64) -> bool {
        self.to_msw == 0.0 && t_s >= self.arrives_s()
    }
}
