//! What the search needs again and again, worked out once: crews, the frames of their turns, which work
//! each can reach, and the rests between.

use super::crews::{Crew, crews};
use super::form::Form;
use crate::limits::Limits;
use crate::types::{Bell, Problem, Task};
use deepstay_core::units::DiverId;

/// A problem made ready.
pub struct Setup<'a> {
    pub problem: &'a Problem,
    pub crews: Vec<Crew>,
    /// The depths of work, each with its limits.
    pub depths: Vec<&'a Limits>,
    /// For each crew, bell and depth the frame of its turns; none where the crew does not fit the bell or
    /// the depth leaves no time.
    pub forms: Vec<Vec<Vec<Option<Form>>>>,
    /// The work; one task without end where there is no list.
    pub tasks: Vec<Task>,
    /// Time in the water each task takes with the weather's share, s.
    pub needed_s: Vec<i64>,
    /// For each task its place in `depths`.
    pub depth_of: Vec<usize>,
    /// For each task and crew how many of the crew hold all it asks for.
    pub holders: Vec<Vec<usize>>,
}

/// Time without end, s.
pub const ENDLESS_S: i64 = i64::MAX / 8;

impl<'a> Setup<'a> {
    pub fn new(problem: &'a Problem) -> Setup<'a> {
        Setup::with_crews(problem, crews(problem))
    }

    pub fn with_crews(problem: &'a Problem, crews: Vec<Crew>) -> Setup<'a> {
        let depths: Vec<&Limits> = problem.limits.iter().collect();
        let forms = crews
            .iter()
            .map(|crew| {
                problem
                    .bells
                    .iter()
                    .enumerate()
                    .map(|bell| frames(problem, crew, bell, &depths))
                    .collect()
            })
            .collect();
        let tasks = if problem.tasks.is_empty() {
            vec![endless(problem)]
        } else {
            problem.tasks.clone()
        };
        let needed_s = tasks
            .iter()
            .map(|t| t.needed_s(problem.weather_share))
            .collect();
        let place = |t: &Task| {
            depths
                .iter()
                .position(|l| (l.depth_msw - t.depth_msw).abs() < 1e-6)
        };
        let depth_of = tasks
            .iter()
            .map(|t| place(t).unwrap_or(usize::MAX))
            .collect();
        let holds = |task: &Task, crew: &Crew| {
            let has = |d: &DiverId| {
                let held = &problem.divers[d.index()].qualifications;
                task.qualifications.iter().all(|q| held.contains(q))
            };
            crew.members.iter().filter(|d| has(d)).count()
        };
        let holders = tasks
            .iter()
            .map(|t| crews.iter().map(|c| holds(t, c)).collect())
            .collect();
        Setup {
            problem,
            depths,
            forms,
            tasks,
            needed_s,
            depth_of,
            holders,
            crews,
        }
    }

    /// The frame of a crew's turns in a bell at a depth.
    pub fn form(&self, crew: usize, bell: usize, depth: usize) -> Option<&Form> {
        self.forms.get(crew)?.get(bell)?.get(depth)?.as_ref()
    }

    /// Start to start of one crew's turns at a depth, s.
    pub fn spacing_s(&self, depth: usize, long: bool) -> i64 {
        let runs = self.depths[depth]
            .runs_per_day
            .as_ref()
            .map_or(0, |(n, _)| i64::from(*n));
        let by_day_s = if runs == 1 || long { 86_400 } else { 0 };
        by_day_s.max(0)
    }

    /// Whether one of a crew of three or more can stay in the bell and all these tasks have their holders in
    /// the water.
    pub fn is_tended(&self, crew: usize, tasks: impl Iterator<Item = usize> + Clone) -> bool {
        let members = &self.crews[crew].members;
        let has = |t: usize, d: DiverId| {
            let held = &self.problem.divers[d.index()].qualifications;
            self.tasks[t]
                .qualifications
                .iter()
                .all(|q| held.contains(q))
        };
        let without = |out: DiverId| {
            tasks
                .clone()
                .all(|t| members.iter().any(|&m| m != out && has(t, m)))
        };
        members.len() < 3 || members.iter().any(|&m| without(m))
    }

    /// How much of a turn's time in the water one crew can give to a task, s.
    pub fn can_give_s(&self, task: usize, crew: usize, bottom_s: i64) -> i64 {
        let (t, size) = (&self.tasks[task], self.crews[crew].members.len());
        let at_once = if size == 2 { 1 } else { size - 1 };
        if usize::from(t.divers) > at_once {
            return 0;
        }
        match (size, self.holders[task][crew]) {
            (_, 0) => 0,
            (2, 1) => bottom_s / 2,
            _ => bottom_s,
        }
    }
}

fn endless(problem: &Problem) -> Task {
    Task {
        name: String::new(),
        depth_msw: problem.working_msw,
        wet_s: ENDLESS_S / 32,
        divers: 1,
        qualifications: Vec::new(),
        gas: None,
        after: Vec::new(),
    }
}

fn frames(
    problem: &Problem,
    crew: &Crew,
    (place, bell): (usize, &Bell),
    depths: &[&Limits],
) -> Vec<Option<Form>> {
    let size = crew.members.len();
    let frame = |limits: &&Limits| {
        let form = Form::new(size, bell, limits, &problem.house);
        let fits = size <= usize::from(bell.places) && form.longest_s() >= form.shortest_s();
        let near = crew
            .windows
            .iter()
            .any(|w| w.reaches(place) && problem.reaches(w.storage_msw, limits.depth_msw));
        (fits && near).then_some(form)
    };
    depths.iter().map(frame).collect()
}
