//! One step by collocation. The states at the points are predicted, from the parabola of the step before
//! where there is one, and corrected by simplified Newton rounds until what is left is too small to
//! matter; the Jacobian is taken anew only where a round shows that it no longer fits.

use super::error;
use super::problem::{About, Impossible, Problem, Step};
use super::radau::{dot, extrapolation};
use super::workspace::{Workspace, reached};

/// What the rounds may leave over, as a share of amounts; a round leaves about the share of what was off that the
/// last one did.
const LEFT_OVER: f64 = 3e-9;
/// A round is not trusted to leave less than this share.
const LEAST_LEFT: f64 = 0.02;
/// The Jacobian is taken anew, in the middle of the step, where the first round is this far off, or where a round
/// leaves more than this share of what the last one left.
const FAR_OFF: f64 = 3e-3;
const SLOW: f64 = 0.1;
/// Most rounds.
const MOST_ROUNDS: usize = 12;

/// The point whose Jacobian stands for the step's.
const MIDDLE: usize = 1;

/// Why a step stopped without a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stopped {
    /// A round led to a state that cannot be.
    Impossible,
    /// The rounds do not come nearer.
    Diverging,
    /// They come nearer too slowly.
    TooManyRounds,
}

impl From<Impossible> for Stopped {
    fn from(_: Impossible) -> Stopped {
        Stopped::Impossible
    }
}

/// Takes a step from what the workspace was given as its start. Gives its error estimate in units of what is allowed;
/// one above one is to be taken again, shorter.
///
/// # Errors
/// Why there is none: the rounds did not settle.
pub(crate) fn step<P: Problem>(
    problem: &mut P,
    w: &mut Workspace,
    step: Step,
) -> Result<f64, Stopped> {
    problem.linearise(step, About::Start, &mut w.jacobian);
    predict(problem, w, step);
    let mut before = f64::INFINITY;
    let (mut stale, mut set_at) = (false, 0);
    for round in 0..MOST_ROUNDS {
        problem.rates(step, &w.states, &mut w.rates)?;
        if stale {
            problem.linearise(step, About::Point(MIDDLE), &mut w.jacobian);
            set_at = round;
        }
        let off = w.correct(step.h_s);
        let off = off.max(problem.constrain(step, &mut w.correction()));
        if !off.is_finite() || (round > 3 && off > 0.9 * before) {
            return Err(Stopped::Diverging);
        }
        if off * (off / before).clamp(LEAST_LEFT, 1.0) < LEFT_OVER {
            problem.last_rates(step, &w.states, &mut w.rates, &mut w.free)?;
            return Ok(error::estimate(w, step.h_s));
        }
        stale = if round == 0 {
            off > FAR_OFF
        } else {
            off > SLOW * before && round > set_at + 1
        };
        before = off;
    }
    Err(Stopped::TooManyRounds)
}

/// The states at the points if things go on as they went; else, if the Jacobian were all there is.
fn predict<P: Problem>(problem: &mut P, w: &mut Workspace, step: Step) {
    let rows = w.before_s.map(|went_s| extrapolation(step.h_s / went_s));
    problem.predict_constraint(step, rows.as_ref());
    match rows {
        Some(rows) => {
            let lists = w.start.iter().zip(&w.before).zip(&mut w.rates);
            for (((start, before), rates), state) in lists.zip(&mut w.states) {
                *rates = std::array::from_fn(|j| dot(&rows[j], before));
                *state = reached(start.value, step.h_s, rates);
            }
        }
        None => {
            let lists = w.start.iter().zip(&mut w.rates).zip(&mut w.states);
            for ((start, rates), state) in lists {
                *rates = [start.rate; 3];
                *state = [start.value; 3];
            }
            w.correct(step.h_s);
        }
    }
}
