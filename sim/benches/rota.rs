//! Speed of the rota: thirty days for crews of each size, and a change under way. Run with
//! `cargo bench -p deepstay --bench rota`; compare figures of one run only, machines are noisy.

// The tests' own crews, so that what is timed is what is judged.
#[path = "../rota/tests/evidence/problem.rs"]
mod problem;

use deepstay::rota::{Event, Made, Problem, Span, make, replan};
use deepstay::rules::{RuleSet, builtin};
use problem::{D, H};

fn main() {
    divan::main();
}

fn uk() -> RuleSet {
    builtin("uk").expect("built in")
}

fn made(problem: &Problem) -> Made {
    make(problem, &uk(), &[], &mut |_| true).expect("there is a legal rota")
}

/// Divers, men to a team, bells.
const CREWS: [(u8, u8, u8); 5] = [(6, 2, 1), (9, 3, 1), (12, 2, 2), (18, 3, 2), (24, 3, 2)];

fn crew(divers: u8) -> Problem {
    let (divers, team, bells) = CREWS
        .into_iter()
        .find(|(d, ..)| *d == divers)
        .expect("one of the crews");
    let p = problem::problem("uk", divers, team, bells, 150.0, 30);
    Problem {
        team_hours: true,
        kept_bells: true,
        ..p
    }
}

/// Thirty days, the same hours every day.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn thirty_days_hours_kept(bench: divan::Bencher, divers: u8) {
    let p = crew(divers);
    bench.bench_local(|| made(&p));
}

/// Thirty days, hours free.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn thirty_days_hours_free(bench: divan::Bencher, divers: u8) {
    let p = Problem {
        same_hours: false,
        team_hours: false,
        kept_bells: false,
        ..crew(divers)
    };
    bench.bench_local(|| made(&p));
}

/// A day and a half of weather on the tenth day.
#[divan::bench(args = CREWS.map(|(divers, ..)| divers), sample_count = 10, sample_size = 1)]
fn a_change_under_way(bench: divan::Bencher, divers: u8) {
    let p = crew(divers);
    let rota = made(&p).solution.rota;
    let weather = [Event::Weather(Span::new(10 * D, 10 * D + 36 * H))];
    bench.bench_local(|| replan(&rota, &p, 10 * D, &weather, &uk(), &[]).expect("a rota is left"));
}
