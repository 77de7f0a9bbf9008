//! Who goes together, and when all of them are at one storage depth, at a way to one bell, and fit.

use crate::types::{Diver, Problem, Span, Stay};
use deepstay_core::units::DiverId;

/// Those who dive together.
#[derive(Clone, Debug, PartialEq)]
pub struct Crew {
    /// Who, in the order of the crew list.
    pub members: Vec<DiverId>,
    /// When all are at one storage depth, reach a bell, and are fit; in order of time.
    pub windows: Vec<Window>,
}

/// A time in which those who go together can go.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// From arrival to leaving.
    pub span: Span,
    /// Storage depth, msw.
    pub storage_msw: f64,
    /// The bells that all of them reach, a bit each by the bell's place in the problem.
    pub reach: u32,
}

impl Window {
    /// Whether a bell is reached.
    pub fn reaches(&self, bell: usize) -> bool {
        self.reach & bit(bell) != 0
    }
}

/// More bells than a vessel has are not told apart.
fn bit(bell: usize) -> u32 {
    u32::try_from(bell).map_or(0, |n| 1u32.checked_shl(n).unwrap_or(0))
}

/// Storage depths count as equal this close together, msw.
const EQUAL_MSW: f64 = 0.05;

/// The crews of a problem: the teams as they are, or teams made of those who live the same days. Crews of
/// one, and of more than the largest bell holds, are left out.
pub fn crews(problem: &Problem) -> Vec<Crew> {
    let places = problem
        .bells
        .iter()
        .map(|b| usize::from(b.places))
        .max()
        .unwrap_or(0);
    let groups = if problem.fixed_teams {
        teams(problem)
    } else {
        free(problem, places)
    };
    let fitting = groups
        .into_iter()
        .filter(|g| (2..=places).contains(&g.len()));
    fitting
        .map(|members| Crew {
            windows: together(problem, &members),
            members,
        })
        .filter(|c| !c.windows.is_empty())
        .collect()
}

fn ids(problem: &Problem) -> impl Iterator<Item = DiverId> {
    (0u8..).map(DiverId).take(problem.divers.len())
}

fn teams(problem: &Problem) -> Vec<Vec<DiverId>> {
    let mut numbers: Vec<u8> = problem.divers.iter().map(|d| d.team).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let of = |n: u8| {
        ids(problem)
            .filter(|d| problem.divers[d.index()].team == n)
            .collect()
    };
    numbers.into_iter().map(of).collect()
}

/// Those with the same days, parted into crews as even as may be; holders of what few hold are spread.
fn free(problem: &Problem, places: usize) -> Vec<Vec<DiverId>> {
    let same = |a: &Diver, b: &Diver| {
        a.stays == b.stays && a.saturations == b.saturations && a.unfit == b.unfit
    };
    let mut groups: Vec<Vec<DiverId>> = Vec::new();
    for d in ids(problem) {
        let mine = &problem.divers[d.index()];
        match groups
            .iter_mut()
            .find(|g| same(&problem.divers[g[0].index()], mine))
        {
            Some(group) => group.push(d),
            None => groups.push(vec![d]),
        }
    }
    let mut crews = Vec::new();
    for group in groups {
        let count = group
            .len()
            .div_ceil(places.max(2))
            .min((group.len() / 2).max(1));
        let mut made: Vec<Vec<DiverId>> = vec![Vec::new(); count];
        for d in spread(problem, group) {
            let wants = |crew: &Vec<DiverId>| {
                let held = shared_qualifications(problem, crew, d);
                let preferred = crew
                    .iter()
                    .filter(|m| {
                        problem.divers[m.index()].prefers_s != problem.divers[d.index()].prefers_s
                    })
                    .count();
                (held, crew.len(), preferred)
            };
            let size = made.iter().map(Vec::len).sum::<usize>() / count;
            let open = made
                .iter_mut()
                .filter(|c| c.len() <= size && c.len() < places)
                .min_by_key(|c| wants(c));
            if let Some(crew) = open {
                crew.push(d);
            }
        }
        for crew in &mut made {
            crew.sort_unstable();
        }
        crews.extend(made);
    }
    crews
}

/// Holders of what the work asks for come first, those with the rarest before.
fn spread(problem: &Problem, mut group: Vec<DiverId>) -> Vec<DiverId> {
    let holders = |q: &String| {
        group
            .iter()
            .filter(|d| problem.divers[d.index()].qualifications.contains(q))
            .count()
    };
    let mut asked: Vec<(usize, &String)> = problem
        .tasks
        .iter()
        .flat_map(|t| &t.qualifications)
        .map(|q| (holders(q), q))
        .collect();
    asked.sort();
    asked.dedup();
    let rank = |d: &DiverId| {
        let has = &problem.divers[d.index()].qualifications;
        asked
            .iter()
            .position(|(_, q)| has.contains(q))
            .unwrap_or(asked.len())
    };
    let mut keyed: Vec<(usize, DiverId)> = group.drain(..).map(|d| (rank(&d), d)).collect();
    keyed.sort();
    keyed.into_iter().map(|(_, d)| d).collect()
}

/// How many of a diver's asked-for qualifications a crew has already.
fn shared_qualifications(problem: &Problem, crew: &[DiverId], d: DiverId) -> usize {
    let asked = |q: &&String| problem.tasks.iter().any(|t| t.qualifications.contains(q));
    let has = |q: &&String| {
        crew.iter()
            .any(|m| problem.divers[m.index()].qualifications.contains(q))
    };
    problem.divers[d.index()]
        .qualifications
        .iter()
        .filter(asked)
        .filter(has)
        .count()
}

/// When all of them are at one storage depth, reach a bell, and are fit. A window ends where a chamber is
/// changed: nobody moves while he is in the bell.
pub fn together(problem: &Problem, members: &[DiverId]) -> Vec<Window> {
    let mut common: Option<Vec<Window>> = None;
    for d in members {
        let Some(diver) = problem.divers.get(d.index()) else {
            return Vec::new();
        };
        let mine = fit_windows(problem, diver);
        common = Some(match common {
            None => mine,
            Some(before) => meet(&before, &mine),
        });
    }
    let mut windows = common.unwrap_or_default();
    windows.retain(|w| w.reach != 0);
    windows
}

/// When a diver is at a storage depth and fit.
pub fn fit_windows(problem: &Problem, diver: &Diver) -> Vec<Window> {
    let reach = |stay: &Stay| {
        let bells = problem.bells.iter().enumerate();
        bells
            .filter(|(_, b)| b.reached_from.contains(&stay.chamber))
            .fold(0, |reach, (b, _)| reach | bit(b))
    };
    let stays = diver.stays.iter().map(|s| Window {
        span: s.span,
        storage_msw: s.storage_msw,
        reach: reach(s),
    });
    let mut windows: Vec<Window> = stays.collect();
    for u in &diver.unfit {
        let cut = |w: Window| {
            let before = Span::new(w.span.from_s, w.span.to_s.min(u.from_s));
            let after = Span::new(w.span.from_s.max(u.to_s), w.span.to_s);
            [before, after]
                .into_iter()
                .filter(|s| s.length_s() > 0)
                .map(move |span| Window { span, ..w })
        };
        windows = windows.into_iter().flat_map(cut).collect();
    }
    windows
}

fn meet(a: &[Window], b: &[Window]) -> Vec<Window> {
    let mut met = Vec::new();
    for x in a {
        for y in b {
            let span = Span::new(
                x.span.from_s.max(y.span.from_s),
                x.span.to_s.min(y.span.to_s),
            );
            if span.length_s() > 0 && (x.storage_msw - y.storage_msw).abs() <= EQUAL_MSW {
                met.push(Window {
                    span,
                    storage_msw: x.storage_msw,
                    reach: x.reach & y.reach,
                });
            }
        }
    }
    met.sort_by_key(|w| w.span);
    met
}
