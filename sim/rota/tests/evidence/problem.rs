//! Problems to make rotas for: an invented crew at one depth, its bells and its rule set.

use deepstay_core::units::CompartmentId;
use deepstay_rota::{Before, Bell, Diver, House, Limits, Problem, Span, Stay};
use deepstay_rules::builtin;

pub const MIN: i64 = 60;
pub const H: i64 = 3600;
pub const D: i64 = 86_400;
pub const HOME: CompartmentId = CompartmentId(0);

/// A bell with the times that the watch reckons with.
pub fn bell(n: u8, places: u8) -> Bell {
    Bell {
        id: CompartmentId(10 + n),
        name: format!("Bell {}", n + 1),
        reached_from: vec![HOME],
        places,
        lead_s: 24 * MIN,
        out_s: 18 * MIN,
        dressing_s: 9 * MIN + 30,
        home_s: 23 * MIN,
        tail_s: 16 * MIN,
        change_s: 15 * MIN,
        handling_s: 5 * MIN,
        winch_msw_s: 20.0 / 60.0,
        down: Vec::new(),
    }
}

/// A diver at a depth for these spans.
pub fn diver(initials: &str, team: u8, depth_msw: f64, spans: &[Span]) -> Diver {
    let stay = |&span: &Span| Stay {
        span,
        storage_msw: depth_msw,
        chamber: HOME,
    };
    Diver {
        initials: initials.to_owned(),
        team,
        qualifications: Vec::new(),
        saturations: Vec::new(),
        stays: spans.iter().map(stay).collect(),
        before: Before::default(),
        unfit: Vec::new(),
        prefers_s: None,
    }
}

/// So many divers in teams of a size, at depth from the first noon for so many days.
pub fn problem(set: &str, divers: u8, team: u8, bells: u8, depth_msw: f64, days: i64) -> Problem {
    let letters = |i: u8| format!("{}{}", char::from(b'A' + i), char::from(b'B' + i));
    let at_depth = [Span::new(6 * H, 6 * H + days * D)];
    let divers = (0..divers).map(|i| diver(&letters(i), i / team, depth_msw, &at_depth));
    let mut problem = Problem {
        divers: divers.collect(),
        fixed_teams: true,
        bells: (0..bells).map(|b| bell(b, team)).collect(),
        tasks: Vec::new(),
        working_msw: depth_msw,
        weather_share: 0.0,
        same_hours: true,
        team_hours: false,
        kept_bells: false,
        first_s: 6 * H,
        last_s: 6 * H + days * D,
        start_second_of_day: 6 * H,
        house: House {
            rest_s: 12 * H,
            bell_run_s: 8 * H,
            in_water_s: 6 * H,
            planned_water_s: None,
        },
        limits: Vec::new(),
        excursions: Vec::new(),
    };
    under(&mut problem, set);
    problem
}

/// Puts a problem under a rule set.
pub fn under(problem: &mut Problem, set: &str) {
    let rules = builtin(set).expect("built in");
    let mut depths: Vec<f64> = problem.tasks.iter().map(|t| t.depth_msw).collect();
    if depths.is_empty() {
        depths.push(problem.working_msw);
    }
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    let at = |&d: &f64| Limits::at(d, (&rules, &[]), &problem.house, &problem.bells);
    problem.limits = depths.iter().map(at).collect();
}
