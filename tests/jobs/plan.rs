//! A crew by teams, and a plan for it: sides pressed, changed and brought up, bell runs in turn or one by one,
//! moves between chambers at one depth, and the routine of the day.

use super::draw::{Draw, tenths};
use super::steel::Spread;
use super::stock::Stock;

const INITIALS: [&str; 12] = [
    "AB", "CD", "EF", "GH", "JK", "LM", "NP", "QR", "ST", "UV", "WX", "YZ",
];
const WORK: [&str; 4] = ["WaterRest", "WaterLight", "WaterModerate", "WaterHeavy"];
const HOUR_S: i64 = 3600;

/// A team: its divers, and the side it lives in.
struct Team {
    divers: Vec<&'static str>,
    side: usize,
}

/// A crew as text, and its teams.
pub struct Crew {
    /// Its text.
    pub text: String,
    teams: Vec<Team>,
    sides: usize,
}

/// A crew of so many that a spread holds.
pub fn crew(draw: &mut Draw, spread: &Spread, count: usize) -> Crew {
    let size = draw.between(2, spread.seats as i64) as usize;
    let mut teams: Vec<Team> = INITIALS[..count]
        .chunks(size)
        .map(|divers| Team {
            divers: divers.to_vec(),
            side: 0,
        })
        .collect();
    let two = spread.sides.len() > 1 && (count > spread.bunks || draw.percent(70));
    if two {
        let half = teams.len().div_ceil(2);
        for team in &mut teams[half..] {
            team.side = 1;
        }
    }
    let mut lines = Vec::new();
    for (number, team) in (1..).zip(&teams) {
        for initials in &team.divers {
            let metabolism = match draw.percent(30) {
                true => format!(", metabolism: {}", tenths(draw.between(7, 14))),
                false => String::new(),
            };
            lines.push(format!(
                "(initials: \"{initials}\", chamber: \"{}\", team: {number}, mass: \"{} kg\"{metabolism})",
                spread.sides[team.side][0],
                draw.between(62, 105)
            ));
        }
    }
    let breathing = match draw.percent(50) {
        true => format!("\n        breathing: {},", tenths(draw.between(6, 18))),
        false => String::new(),
    };
    Crew {
        text: format!(
            "({breathing}\n        divers: [\n            {},\n        ],\n    )",
            lines.join(",\n            ")
        ),
        teams,
        sides: if two { 2 } else { 1 },
    }
}

/// A side's course: pressed, perhaps changed, and brought up.
struct Course {
    pressed_s: i64,
    depth: i64,
    changed: Option<(i64, i64)>,
    up_s: i64,
}

/// A plan of so many days at a depth in msw.
pub fn plan(
    draw: &mut Draw,
    spread: &Spread,
    crew: &Crew,
    stock: &Stock,
    depth: i64,
    days: i64,
) -> String {
    let end = days * 24 * HOUR_S;
    let mut courses: Vec<Course> = Vec::new();
    // Half of the jobs come up within their days; the others are told to as they end.
    let comes_up = draw.percent(50);
    let equal = draw.percent(50);
    for side in 0..crew.sides {
        let depth = match side == 0 || equal {
            true => depth,
            false => depth - draw.between(3, 15),
        };
        let up_s = match comes_up {
            true => draw.between(end * 2 / 5, end - 2 * HOUR_S),
            false => end - 60,
        };
        let changed = (!equal || crew.sides == 1).then(|| {
            let to = depth - draw.between(2, 12);
            (draw.between(end / 3, up_s - HOUR_S), to)
        });
        courses.push(Course {
            pressed_s: draw.between(0, 2 * HOUR_S),
            depth,
            changed: changed.filter(|_| draw.percent(35)),
            up_s,
        });
    }
    let sides: Vec<String> = (0..crew.sides)
        .map(|i| side(draw, spread.sides[i], &courses[i]))
        .collect();
    let runs = match draw.percent(85) {
        true => runs(draw, crew, &courses),
        false => String::new(),
    };
    let moves = moves(draw, spread, crew, &courses, equal);
    let reclaim = stock.reclaim && draw.percent(75);
    let recover = stock.recovery && draw.percent(75);
    format!(
        "(\n        levels: [\n            {},\n        ],{runs}{moves}{}\n        slip: {},\n        \
         calibrate_every: \"{} min\",\n        end: \"{days} d\",\n        reclaim: {reclaim},\n        \
         recover_chamber_gas: {recover},\n    )",
        sides.join(",\n            "),
        routine(draw),
        draw.pick(&["Skip", "Shift", "Replan"]),
        draw.between(20, 600)
    )
}

fn side(draw: &mut Draw, members: &[&str], course: &Course) -> String {
    let mut steps = vec![format!(
        "(at: \"{} s\", what: Press(\"{} msw\"))",
        course.pressed_s, course.depth
    )];
    if let Some((at, to)) = course.changed {
        steps.push(format!(
            "(at: \"{at} s\", what: ChangeStorage(\"{to} msw\"))"
        ));
    }
    let up = if draw.percent(15) {
        "Abort"
    } else {
        "Decompress"
    };
    steps.push(format!("(at: \"{} s\", what: {up})", course.up_s));
    format!("(members: {members:?}, steps: [{}])", steps.join(", "))
}

/// Bell runs, each side's own teams in turn, at the depth of the side.
fn runs(draw: &mut Draw, crew: &Crew, courses: &[Course]) -> String {
    let in_water_min = draw.between(30, 200);
    let every_s = draw.between(7, 10) * HOUR_S + in_water_min * 60 - HOUR_S;
    let first_s = draw.between(9, 14) * HOUR_S;
    let work = *draw.pick(&WORK);
    let one_by_one = draw.percent(35);
    let mut lines: Vec<(i64, String)> = Vec::new();
    for (i, course) in courses.iter().enumerate() {
        let able: Vec<(usize, &Team)> = (1..)
            .zip(&crew.teams)
            .filter(|(_, t)| t.side == i && t.divers.len() > 1)
            .collect();
        let until_s = course.changed.map_or(course.up_s, |c| c.0) - HOUR_S;
        let apart_s = every_s * courses.len() as i64;
        let first_s = first_s + every_s * i as i64;
        if able.is_empty() || first_s > until_s {
            continue;
        }
        let depth = course.depth;
        if one_by_one {
            let turns = (first_s..=until_s).step_by(apart_s as usize);
            for (at, (_, team)) in turns.zip(able.iter().cycle()) {
                let pause = match team.divers.len() > 2 && draw.percent(50) {
                    true => ", pause: \"20 min\"",
                    false => "",
                };
                lines.push((at, format!(
                    "(at: \"{at} s\", bell: \"Bell\", divers: {:?}, depth: \"{depth} msw\", in_water: \"{in_water_min} min\"{pause}, work: {work})",
                    team.divers
                )));
            }
        } else {
            let numbers: Vec<usize> = able.iter().map(|(n, _)| *n).collect();
            lines.push((first_s, format!(
                "(teams: {numbers:?}, first: \"{first_s} s\", every: \"{apart_s} s\", last: \"{until_s} s\", depth: \"{depth} msw\", in_water: \"{in_water_min} min\", work: {work})"
            )));
        }
    }
    lines.sort_by_key(|l| l.0);
    if lines.is_empty() {
        return String::new();
    }
    let lines: Vec<String> = lines.into_iter().map(|l| l.1).collect();
    format!(
        "\n        {}: [\n            {},\n        ],",
        if one_by_one { "bell_runs" } else { "rota" },
        lines.join(",\n            ")
    )
}

/// The last diver of the crew changes chambers, where both are at one depth; teams of two stay whole.
fn moves(draw: &mut Draw, spread: &Spread, crew: &Crew, courses: &[Course], equal: bool) -> String {
    let single = crew.teams.last().filter(|t| t.divers.len() == 1);
    let (Some(team), true, [one, two]) = (single, equal, courses) else {
        return String::new();
    };
    let at = one.up_s.min(two.up_s) - draw.between(1, 8) * HOUR_S;
    format!(
        "\n        moves: [(at: \"{at} s\", divers: {:?}, to: \"{}\")],",
        team.divers,
        spread.sides[1 - team.side][0]
    )
}

fn routine(draw: &mut Draw) -> String {
    if draw.percent(30) {
        return String::new();
    }
    let clock =
        |draw: &mut Draw| format!("\"{:02}:{:02}\"", draw.between(0, 23), draw.between(0, 59));
    let meals: Vec<String> = (0..draw.between(0, 5)).map(|_| clock(draw)).collect();
    let stores = match draw.percent(50) {
        true => format!("stores: [{}]", clock(draw)),
        false => format!("stores_per_day: {}", draw.between(0, 6)),
    };
    let laundry = match draw.percent(50) {
        true => clock(draw),
        false => "None".to_owned(),
    };
    format!(
        "\n        routine: (meals: [{}], laundry: {laundry}, {stores}, toilet_per_day: {}, shower_vapour: \"0.{} kg\", \
         shower_length: \"{} min\", handover: (\"0{}:00\", \"1{}:30\"), night: (\"2{}:00\", \"0{}:00\")),",
        meals.join(", "),
        draw.between(0, 9),
        draw.between(0, 5),
        draw.between(2, 20),
        draw.between(4, 8),
        draw.between(6, 9),
        draw.between(0, 3),
        draw.between(4, 8)
    )
}
