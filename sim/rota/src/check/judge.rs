//! What the judge writes down: each question asked of the rota once, with its margin; a breach where the
//! margin is less than nothing, and how near the rule came where it is not.

use super::moments::Moments;
use crate::answer::{Breach, DiverAnswer, Verdict};
use crate::margin::{Margin, Nearest};
use crate::questions::{Answer, Answered, Tally, WorkQuestion};
use crate::rule::RuleName;
use crate::types::{BellRun, Problem, Span};
use deepstay_core::units::DiverId;
use deepstay_rules::{
    BellCrew, Cited, MissingRow, RuleRefusal, RuleSet, RunMoment, SaturationLength, Source, Status,
    WorkingTime,
};
use std::collections::BTreeMap;

/// A day, s.
pub const DAY_S: i64 = 86_400;
/// A rota stands at a limit when it is nearer than this, s.
const AT_LIMIT_S: i64 = 60;

/// A question and its answer.
pub struct Point<'a> {
    /// The rule.
    pub rule: &'a RuleName,
    /// By how much it is kept.
    pub margin: Margin,
    /// Whom it touches.
    pub diver: Option<DiverId>,
    /// Which turn.
    pub turn: Option<usize>,
    /// When.
    pub when: Span,
    /// Which question of working time it belongs to; none of what is no rule of working time.
    pub of: Option<WorkQuestion>,
}

/// Collects.
pub struct Judge<'a> {
    pub problem: &'a Problem,
    pub rules: &'a RuleSet,
    pub accepted: &'a [String],
    /// When what happens in each run, in the order of the rota's.
    moments: Vec<Moments>,
    verdict: Verdict,
    tallies: BTreeMap<WorkQuestion, Tally>,
    of_divers: BTreeMap<(DiverId, WorkQuestion), Tally>,
}

impl<'a> Judge<'a> {
    pub fn new(
        problem: &'a Problem,
        moments: Vec<Moments>,
        (rules, accepted): (&'a RuleSet, &'a [String]),
    ) -> Judge<'a> {
        Judge {
            problem,
            rules,
            accepted,
            moments,
            verdict: Verdict::default(),
            tallies: BTreeMap::new(),
            of_divers: BTreeMap::new(),
        }
    }

    /// The second of a moment of a run.
    pub fn moment_s(&self, run: usize, moment: RunMoment) -> i64 {
        self.moments.get(run).map_or(0, |m| m.at_s(moment))
    }

    /// From one moment of a run to a later one of the same or another.
    pub fn between(&self, from: (usize, RunMoment), to: (usize, RunMoment)) -> Span {
        Span::new(self.moment_s(from.0, from.1), self.moment_s(to.0, to.1))
    }

    /// Why nothing is judged by a question: the rows that stand in the way, or a set that says nothing.
    pub fn silent(&mut self, question: WorkQuestion, missing: &[MissingRow]) {
        let why = || match missing {
            [] => "the set says nothing of it".to_owned(),
            rows => {
                let words: Vec<String> = rows.iter().map(ToString::to_string).collect();
                words.join("; ")
            }
        };
        self.tallies.entry(question).or_default().not_judged(why);
    }

    /// Why nothing is judged by a question though the set may answer it.
    pub fn unknown(&mut self, question: WorkQuestion, why: &str) {
        let tally = self.tallies.entry(question).or_default();
        tally.not_judged(|| why.to_owned());
    }

    /// Who stays in the bell; a refusal is written down once.
    pub fn bell_crew(&mut self) -> Option<BellCrew> {
        match self.rules.bell_crew(self.accepted) {
            Ok(crew) => Some(crew),
            Err(refusal) => {
                self.silent(WorkQuestion::BellTended, &refusal.missing_of_set());
                None
            }
        }
    }

    /// Working time at a depth; a refusal is written down once.
    pub fn working_time(&mut self, depth_msw: f64) -> Option<WorkingTime> {
        match self.rules.working_time(depth_msw, self.accepted) {
            Ok(time) => Some(time),
            Err(refusal) => {
                for question in [
                    WorkQuestion::BellRun,
                    WorkQuestion::BellRunInWindow,
                    WorkQuestion::RunsADay,
                    WorkQuestion::InWater,
                    WorkQuestion::BreakInBell,
                    WorkQuestion::DryDay,
                    WorkQuestion::Rest,
                    WorkQuestion::WorkInDay,
                ] {
                    self.silent(question, &refusal.missing_of_set());
                }
                self.unanswered(refusal);
                None
            }
        }
    }

    /// Days under pressure at a depth; a refusal is written down once.
    pub fn saturation_length(&mut self, depth_msw: f64) -> Option<SaturationLength> {
        match self.rules.saturation_length(depth_msw, self.accepted) {
            Ok(length) => Some(length),
            Err(refusal) => {
                for question in [
                    WorkQuestion::Saturation,
                    WorkQuestion::YearlySum,
                    WorkQuestion::SurfaceInterval,
                ] {
                    self.silent(question, &refusal.missing_of_set());
                }
                self.unanswered(refusal);
                None
            }
        }
    }

    /// Writes down once that the set does not answer.
    pub fn unanswered(&mut self, refusal: RuleRefusal) {
        if !self.verdict.unanswered.contains(&refusal) {
            self.verdict.unanswered.push(refusal);
        }
    }

    /// Writes down a question with its margin; `words` are made only for a breach.
    pub fn hold(&mut self, point: Point, words: impl FnOnce() -> String) {
        let left = point.margin.left();
        if left < 0 {
            self.breach(&point, words());
        }
        if point.margin != Margin::Demand {
            self.near(&point, left);
        }
        self.answer(&point, left >= 0);
    }

    /// Writes down a demand that is met or not.
    pub fn demand(&mut self, met: bool, point: Point, words: impl FnOnce() -> String) {
        if !met {
            self.breach(&point, words());
        }
        self.answer(&point, met);
    }

    fn answer(&mut self, point: &Point, met: bool) {
        let Some(question) = point.of else { return };
        let found = Nearest {
            rule: point.rule.clone(),
            margin: point.margin,
            diver: point.diver,
            binds: 0,
        };
        if let Some(diver) = point.diver {
            let his = self.of_divers.entry((diver, question)).or_default();
            his.take(found.clone(), met);
        }
        let tally = self.tallies.entry(question).or_default();
        tally.take(found, met);
    }

    fn breach(&mut self, point: &Point, words: String) {
        self.verdict.breaches.push(Breach {
            rule: point.rule.clone(),
            diver: point.diver,
            turn: point.turn,
            when: point.when,
            margin: point.margin,
            words,
        });
    }

    fn near(&mut self, point: &Point, left: i64) {
        let slack = match point.margin {
            Margin::Count { .. } | Margin::Value { .. } => 0,
            _ => AT_LIMIT_S,
        };
        let binds = u32::from((0..=slack).contains(&left));
        let known = &mut self.verdict.nearest;
        match known.iter_mut().find(|n| n.rule.id == point.rule.id) {
            Some(near) => {
                near.binds += binds;
                if left < near.margin.left() {
                    near.margin = point.margin;
                    near.diver = point.diver;
                }
            }
            None => known.push(Nearest {
                rule: point.rule.clone(),
                margin: point.margin,
                diver: point.diver,
                binds,
            }),
        }
    }

    /// Initials of a diver.
    pub fn initials(&self, diver: DiverId) -> String {
        let known = self.problem.divers.get(diver.index());
        known.map_or_else(|| format!("diver {}", diver.0), |d| d.initials.clone())
    }

    pub fn verdict(mut self) -> Verdict {
        self.verdict
            .breaches
            .sort_by(|a, b| (a.when, &a.rule.id, a.diver).cmp(&(b.when, &b.rule.id, b.diver)));
        self.verdict
            .nearest
            .sort_by(|a, b| a.rule.id.cmp(&b.rule.id));
        let mut tallies = self.tallies;
        let answer = |question| Answer {
            question,
            answered: tallies.remove(&question).unwrap_or_default().answered(),
        };
        self.verdict.answers = WorkQuestion::ALL.map(answer).to_vec();
        let of_one = |((diver, question), tally): ((DiverId, WorkQuestion), Tally)| {
            let (nearest, kept) = match tally.answered() {
                Answered::Kept(nearest) => (nearest, true),
                Answered::Broken { worst, .. } => (worst, false),
                Answered::NotJudged(_) => return None,
            };
            Some(DiverAnswer {
                diver,
                question,
                nearest,
                kept,
            })
        };
        self.verdict.of_divers = self.of_divers.into_iter().filter_map(of_one).collect();
        self.verdict
    }
}

/// What the set says of working time at a turn's depth.
pub fn time_of(turn: &BellRun, judge: &mut Judge) -> Option<WorkingTime> {
    judge.working_time(turn.depth_msw)
}

/// A question of one diver in one turn.
pub fn at<'a>(
    (of, rule): (WorkQuestion, &'a RuleName),
    margin: Margin,
    (diver, turn): (DiverId, usize),
    when: Span,
) -> Point<'a> {
    Point {
        rule,
        margin,
        diver: Some(diver),
        turn: Some(turn),
        when,
        of: Some(of),
    }
}

/// A rule of the set in use.
pub fn by_row(row: &Cited) -> RuleName {
    RuleName {
        id: row.id.clone(),
        words: row.figures.clone(),
        source: row.source.clone(),
    }
}

/// A part of a row's rule, called by the row's id and a word.
pub fn part_of(row: &Cited, part: &str, words: String) -> RuleName {
    RuleName {
        id: format!("{}#{part}", row.id),
        words,
        source: row.source.clone(),
    }
}

/// A house rule of the rota.
pub fn house(name: &str, words: impl Into<String>) -> RuleName {
    RuleName {
        id: format!("house.rota.{name}"),
        words: words.into(),
        source: Source {
            document: "house rule of the rota; common practice, no source".to_owned(),
            status: Status::HouseRule,
        },
    }
}

/// Hours and minutes.
pub fn h_min(s: i64) -> String {
    let sign = if s < 0 { "-" } else { "" };
    let s = s.abs();
    format!("{sign}{} h {:02} min", s / 3600, s / 60 % 60)
}

/// Days and hours.
pub fn d_h(s: i64) -> String {
    format!("{} d {:02} h", s / 86_400, s % 86_400 / 3600)
}
