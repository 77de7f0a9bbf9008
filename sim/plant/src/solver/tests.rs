//! The solver on problems whose exact solutions are known: order of convergence, dense output, stiff
//! relaxation, a source that switches on, and what it says where it cannot go on.

use super::correction::Start;
use super::error::TOLERANCE;
use super::interpolant::Weights;
use super::jacobian::Jacobian;
use super::length::{growth, shrinking};
use super::newton::{self, Stopped};
use super::problem::{About, Impossible, Problem, Step};
use super::radau::Points;
use super::workspace::Workspace;

/// Balances y' = f(t, y) in one block, with their Jacobian.
struct Equations<const N: usize> {
    rates: fn(f64, &[f64; N]) -> [f64; N],
    jacobian: fn(f64, &[f64; N]) -> [[f64; N]; N],
    /// A state beyond this, either way, cannot be.
    bound: f64,
    start: [f64; N],
    points: [[f64; N]; 3],
    /// How often the Jacobian was asked for at a point.
    renewed: usize,
}

impl<const N: usize> Problem for Equations<N> {
    fn rates(
        &mut self,
        step: Step,
        states: &[Points],
        rates: &mut [Points],
    ) -> Result<(), Impossible> {
        for j in 0..3 {
            let y: [f64; N] = std::array::from_fn(|k| states[k][j]);
            if y.iter().any(|y| y.abs() > self.bound) {
                return Err(Impossible);
            }
            let f = (self.rates)(step.time_s(j), &y);
            for k in 0..N {
                rates[k][j] = f[k];
            }
            self.points[j] = y;
        }
        Ok(())
    }

    fn linearise(&mut self, step: Step, about: About, jacobian: &mut Jacobian) {
        let (t, y) = match about {
            About::Start => (step.t_s, &self.start),
            About::Point(j) => {
                self.renewed += 1;
                (step.time_s(j), &self.points[j])
            }
        };
        let d = (self.jacobian)(t, y);
        jacobian.set(0, N, |z| {
            for (row, values) in d.iter().enumerate() {
                for (column, value) in values.iter().enumerate() {
                    z[row * N + column] = -step.h_s * value;
                }
            }
        });
    }
}

/// A run from a start, step by step, each going on from the one before.
struct Run<const N: usize> {
    equations: Equations<N>,
    solver: Workspace,
    t: f64,
    before: Option<(f64, [Points; N])>,
    /// State at the start of the last step.
    from: [f64; N],
}

impl<const N: usize> Run<N> {
    fn new(
        rates: fn(f64, &[f64; N]) -> [f64; N],
        jacobian: fn(f64, &[f64; N]) -> [[f64; N]; N],
        start: [f64; N],
    ) -> Run<N> {
        let mut solver = Workspace::default();
        solver.lay_out([N], 0);
        Run {
            equations: Equations {
                rates,
                jacobian,
                bound: 1e6,
                start,
                points: [[0.0; N]; 3],
                renewed: 0,
            },
            solver,
            t: 0.0,
            before: None,
            from: start,
        }
    }

    fn y(&self) -> &[f64; N] {
        &self.equations.start
    }

    /// Takes a step, and stays where it is if that does not succeed or is not accurate enough for `most`.
    fn step(&mut self, h_s: f64, most: f64) -> Result<f64, Stopped> {
        let y = self.equations.start;
        let f = (self.equations.rates)(self.t, &y);
        self.solver.goes_on_from(self.before.map(|(h, _)| h));
        for k in 0..N {
            let start = Start {
                value: y[k],
                rate: f[k],
                scale: 1.0,
                error_scale: 1.0,
            };
            self.solver.start(k, start);
            if let Some((_, rates)) = &self.before {
                self.solver.rates_before(k, rates[k]);
            }
        }
        let step = Step { t_s: self.t, h_s };
        let outcome = newton::step(&mut self.equations, &mut self.solver, step);
        if outcome.is_ok_and(|error| error <= most) {
            let rates: [Points; N] = std::array::from_fn(|k| self.solver.rates[k]);
            self.from = y;
            self.before = Some((h_s, rates));
            self.equations.start = self.at(1.0);
            self.t += h_s;
        }
        outcome
    }

    /// State at a share of the last step.
    fn at(&self, share: f64) -> [f64; N] {
        let (h_s, rates) = self.before.as_ref().expect("a step was taken");
        let w = Weights::at(*h_s, share);
        std::array::from_fn(|k| self.from[k] + w.added(&rates[k]))
    }

    /// Steps of equal length to a time.
    fn equal_steps(mut self, end: f64, steps: u32) -> Run<N> {
        for _ in 0..steps {
            self.step(end / f64::from(steps), f64::INFINITY)
                .expect("it settles");
        }
        self
    }

    /// Steps as long as the error allows, to a time; gives how many.
    fn go_to(&mut self, end: f64, first_s: f64) -> usize {
        let (mut h_s, mut steps) = (first_s, 0);
        while self.t < end {
            let part_s = h_s.min(end - self.t);
            let outcome = self.step(part_s, 1.0);
            h_s = match outcome {
                Ok(error) if error <= 1.0 => part_s * growth(error),
                outcome => part_s * shrinking(outcome),
            };
            steps += 1;
            assert!(steps < 100_000, "at {} s with {h_s} s", self.t);
        }
        steps
    }
}

fn decay() -> Run<1> {
    Run::new(|_, y| [-y[0]], |_, _| [[-1.0]], [1.0])
}

/// Two that pass a quantity to and fro and lose some: eigenvalues -1 and -3, y = (3 e^-t + e^-3t) / 4 and so on.
fn pair() -> Run<2> {
    Run::new(
        |_, y| [-2.0 * y[0] + y[1], y[0] - 2.0 * y[1]],
        |_, _| [[-2.0, 1.0], [1.0, -2.0]],
        [1.0, 0.5],
    )
}

fn pair_exact(t: f64) -> [f64; 2] {
    let (slow, fast) = (0.75 * libm::exp(-t), 0.25 * libm::exp(-3.0 * t));
    [slow + fast, slow - fast]
}

/// y' = -y + cos t, from zero: y = (cos t + sin t - e^-t) / 2.
fn driven() -> Run<1> {
    Run::new(|t, y| [-y[0] + libm::cos(t)], |_, _| [[-1.0]], [0.0])
}

fn driven_exact(t: f64) -> f64 {
    0.5 * (libm::cos(t) + libm::sin(t) - libm::exp(-t))
}

/// Measured order from the errors of n and 2 n steps.
fn order(error: impl Fn(u32) -> f64, n: u32) -> f64 {
    libm::log2(error(n) / error(2 * n))
}

#[test]
fn at_the_end_of_steps_the_error_is_of_fifth_order() {
    let of_decay = |n: u32| (decay().equal_steps(2.0, n).y()[0] - libm::exp(-2.0)).abs();
    let of_pair = |n: u32| {
        let run = pair().equal_steps(2.0, n);
        (run.y()[0] - pair_exact(2.0)[0]).abs()
    };
    let of_driven = |n: u32| (driven().equal_steps(2.0, n).y()[0] - driven_exact(2.0)).abs();
    for (name, measured) in [
        ("decay", order(of_decay, 4)),
        ("pair", order(of_pair, 8)),
        ("driven", order(of_driven, 4)),
    ] {
        println!("{name}: order {measured:.3}");
        assert!((measured - 5.0).abs() < 0.25, "{name}: {measured}");
    }
}

#[test]
fn within_a_step_the_error_is_of_fourth_order() {
    // One step of a length from the same start: the local error of a fourth-order output goes with the fourth power.
    let error = |n: u32| {
        let run = decay().equal_steps(1.0 / f64::from(n), 1);
        let h_s = 1.0 / f64::from(n);
        (1..20)
            .map(|k| f64::from(k) / 20.0)
            .map(|share| (run.at(share)[0] - libm::exp(-share * h_s)).abs())
            .fold(0.0, f64::max)
    };
    let measured = order(error, 4);
    println!("order {measured:.3}");
    assert!((measured - 4.0).abs() < 0.25, "{measured}");
}

#[test]
fn the_error_estimate_bounds_the_error_and_is_of_its_size() {
    for n in [8, 16, 32] {
        let mut run = decay();
        let h_s = 1.0 / f64::from(n);
        let estimate = run.step(h_s, f64::INFINITY).expect("it settles") * TOLERANCE;
        let true_error = (1..40)
            .map(|k| f64::from(k) / 40.0)
            .map(|share| (run.at(share)[0] - libm::exp(-share * h_s)).abs())
            .fold(0.0, f64::max);
        assert!(
            estimate > 0.8 * true_error && estimate < 3.0 * true_error,
            "{n}: {estimate:e} against {true_error:e}"
        );
    }
}

#[test]
fn a_stiff_pair_is_stepped_by_its_slow_part_alone() {
    // y1 follows cos t with a rate of a million a second (Prothero and Robinson's problem, from memory: its
    // solution is cos t itself); y2 is driven by y1.
    const FAST: f64 = 1e6;
    let mut run = Run::new(
        |t, y: &[f64; 2]| [-FAST * (y[0] - libm::cos(t)) - libm::sin(t), y[0] - y[1]],
        |_, _| [[-FAST, 0.0], [1.0, -1.0]],
        [1.0, 0.0],
    );
    let steps = run.go_to(2.0, 1e-3);
    let (y1, y2) = (run.y()[0] - libm::cos(2.0), run.y()[1] - driven_exact(2.0));
    println!("{steps} steps, off {y1:e} and {y2:e}");
    assert!(y1.abs() < 1e-7 && y2.abs() < 1e-6);
    assert!(steps < 2_000, "{steps}: an explicit method takes a million");
}

#[test]
fn an_initial_layer_is_damped_not_oscillated() {
    // One step a thousand time constants long: the exact value is nothing; a stable method leaves 3/z of it or less.
    let mut run = Run::new(
        |_, y: &[f64; 1]| [-1000.0 * y[0]],
        |_, _| [[-1000.0]],
        [1.0],
    );
    run.step(1.0, f64::INFINITY).expect("it settles");
    assert!(run.y()[0].abs() < 3e-3, "{}", run.y()[0]);
}

#[test]
fn newton_s_method_solves_what_is_not_linear() {
    // A logistic: y' = y (1 - y), y = 1 / (1 + 9 e^-t) from a tenth.
    let mut run = Run::new(
        |_, y: &[f64; 1]| [y[0] * (1.0 - y[0])],
        |_, y| [[1.0 - 2.0 * y[0]]],
        [0.1],
    );
    run.go_to(8.0, 0.05);
    let exact = 1.0 / (1.0 + 9.0 * libm::exp(-8.0));
    assert!((run.y()[0] - exact).abs() < 1e-6, "{}", run.y()[0]);
    // A long step leads far: its Jacobian is renewed on the way.
    let mut far = Run::new(
        |_, y: &[f64; 1]| [y[0] * (1.0 - y[0])],
        |_, y| [[1.0 - 2.0 * y[0]]],
        [0.1],
    );
    far.step(2.0, f64::INFINITY).expect("it settles");
    assert!(far.equations.renewed > 0);
}

#[test]
fn a_source_that_switches_on_is_found_by_shorter_steps() {
    // y' = 1 from t = 1 on: y(3) = 2. No step knows of the switch before.
    let mut run = Run::new(
        |t, _: &[f64; 1]| [if t < 1.0 { 0.0 } else { 1.0 }],
        |_, _| [[0.0]],
        [0.0],
    );
    let steps = run.go_to(3.0, 0.7);
    println!("{steps} steps, {:e} off", run.y()[0] - 2.0);
    assert!((run.y()[0] - 2.0).abs() < 1e-6, "{}", run.y()[0]);
}

#[test]
fn why_a_step_stopped_is_said() {
    let mut run = decay();
    run.equations.bound = 0.5;
    assert_eq!(run.step(0.1, 1.0), Err(Stopped::Impossible));
    assert_eq!(run.t, 0.0);
    // A Jacobian of the wrong sign leads away.
    let mut wrong = Run::new(|_, y: &[f64; 1]| [-50.0 * y[0]], |_, _| [[50.0]], [1.0]);
    wrong.equations.bound = f64::INFINITY;
    let outcome = wrong.step(1.0, 1.0);
    assert!(
        matches!(outcome, Err(Stopped::Diverging | Stopped::TooManyRounds)),
        "{outcome:?}"
    );
    assert!(shrinking(outcome) < 0.5);
}

#[test]
fn lengths_grow_by_the_fourth_root_of_what_is_allowed() {
    // By hand: 0.9 / (1/16)^(1/4) = 1.8; never more than four times, never less than 0.15.
    assert!((growth(1.0 / 16.0) - 1.8).abs() < 1e-12);
    assert_eq!(growth(0.0), 4.0);
    assert_eq!(growth(1e9), 0.15);
    assert_eq!(shrinking(Ok(1.0 + 1e-12)), 0.9_f64.min(growth(1.0 + 1e-12)));
}
