//! What is said about a rota: breaches, a verdict, and a solution with its bound and its sums.

use super::margin::{Margin, Nearest};
use super::questions::{Answer, Answered, WorkQuestion};
use super::rule::RuleName;
use super::types::{Rota, Span};
use deepstay_core::units::{CompartmentId, DiverId};
use deepstay_core::words::Words;
use deepstay_rules::RuleRefusal;

/// A breach of a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Breach {
    /// Which rule, with its source.
    pub rule: RuleName,
    /// Whom it touches.
    pub diver: Option<DiverId>,
    /// Which turn of the rota, where it is one turn's.
    pub turn: Option<usize>,
    /// When.
    pub when: Span,
    /// By how much.
    pub margin: Margin,
    /// What is wrong, in plain words.
    pub words: String,
}

/// What the checker says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Verdict {
    /// Every breach, in order of time.
    pub breaches: Vec<Breach>,
    /// Every rule that was asked and how near it came, in order of id.
    pub nearest: Vec<Nearest>,
    /// Questions that the set does not answer; nothing was judged by them.
    pub unanswered: Vec<RuleRefusal>,
    /// Every question of working time, answered kept, broken or not judged.
    pub answers: Vec<Answer>,
    /// The same of each diver by himself, those that were judged of him, in order of divers and questions.
    pub of_divers: Vec<DiverAnswer>,
}

/// What is answered of one diver.
#[derive(Clone, Debug, PartialEq)]
pub struct DiverAnswer {
    /// Who.
    pub diver: DiverId,
    /// Which question.
    pub question: WorkQuestion,
    /// Where he came nearest to the limit, or furthest past it.
    pub nearest: Nearest,
    /// Whether it was kept wherever it was asked of him.
    pub kept: bool,
}

/// A task's completion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Progress {
    /// Time in the water that the rota gives it, s.
    pub given_s: i64,
    /// Time in the water it takes, the weather's share included, s.
    pub needed_s: i64,
    /// Second at which it is done; none: not within the rota.
    pub done_s: Option<i64>,
}

/// A diver's sums.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DiverSums {
    /// Who.
    pub diver: DiverId,
    /// Turns.
    pub runs: u32,
    /// Turns as bellman only.
    pub bellman: u32,
    /// Turns of which more than half lies between 00:00 and 06:00 of the ship's clock.
    pub nights: u32,
    /// Time in the water, s.
    pub water_s: i64,
    /// Seal to seal, s.
    pub bell_s: i64,
    /// Shortest rest between two turns, s.
    pub shortest_rest_s: Option<i64>,
    /// Turns that begin outside his preferred hours.
    pub unwanted: u32,
}

/// A bell's sums.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BellSums {
    /// Which.
    pub bell: CompartmentId,
    /// Turns.
    pub runs: u32,
    /// Off the trunk, s.
    pub away_s: i64,
    /// Someone in the water, s.
    pub bottom_s: i64,
    /// Time in which it could have been used, s.
    pub open_s: i64,
}

/// How evenly the turns are spread: greatest less least over the divers who dive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fairness {
    /// Time in the water, s.
    pub water_s: i64,
    /// Time in the bell, s.
    pub bell_s: i64,
    /// Nights.
    pub nights: i64,
    /// Turns as bellman.
    pub bellman: i64,
}

/// What is maximised, and what was proven about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Time in the water that serves the work list, s.
    pub useful_s: i64,
    /// No legal rota has more, s: proven by the rules and the steel alone.
    pub bound_s: i64,
    /// No rota that keeps the wishes too has more, s.
    pub wished_s: i64,
    /// Second at which the work list is done; none: not within the rota.
    pub done_s: Option<i64>,
    /// No legal rota is done before, s; none: no legal rota is done in the time at all.
    pub earliest_s: Option<i64>,
    /// No rota that keeps the wishes too is done before, s; none: none is done in the time at all.
    pub wished_earliest_s: Option<i64>,
}

/// A rule that shapes the rota, and what a little more would bring.
#[derive(Clone, Debug, PartialEq)]
pub struct LimitingRule {
    /// Which rule.
    pub rule: RuleName,
    /// How many turns stand at its limit.
    pub runs: u32,
    /// By how much the bound would rise with half an hour more of it, s.
    pub gain_s: i64,
}

/// Something that is wished beside what the rules demand. Each has its price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wish {
    /// Each team goes at its own hours every day.
    TeamHours,
    /// Bells leave at the same hours every day.
    SameHours,
    /// Each team keeps to one bell, and bells of equal reach share the teams evenly.
    KeptBells,
    /// Teams stay as they are.
    Teams,
    /// No longer in the water than is planned, where the rules allow more.
    InWater,
}

impl Words for Wish {
    fn words(self) -> &'static str {
        match self {
            Wish::TeamHours => "each team goes at its own hours",
            Wish::SameHours => "bells leave at the same hours every day",
            Wish::KeptBells => "each team keeps to its bell",
            Wish::Teams => "teams stay as they are",
            Wish::InWater => "no longer in the water than is planned",
        }
    }
}

/// What a wish costs: the best rota that was found without it, all others kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Price {
    /// Which.
    pub wish: Wish,
    /// Useful time in the water without it, s.
    pub useful_s: i64,
    /// When the work list is done without it.
    pub done_s: Option<i64>,
    /// By how much the work is done sooner without it, s; where it does not get done, by how much more there
    /// is of useful time in the water.
    pub costs_s: i64,
}

/// A rota with its proof and its sums.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The rota.
    pub rota: Rota,
    /// What it is worth and the proven bound.
    pub worth: Worth,
    /// Each task's completion, in the order of the work list.
    pub progress: Vec<Progress>,
    /// Each diver's sums.
    pub divers: Vec<DiverSums>,
    /// Each bell's sums.
    pub bells: Vec<BellSums>,
    /// How even it is.
    pub fairness: Fairness,
    /// Where rules bind.
    pub binding: Vec<LimitingRule>,
    /// What each wish costs.
    pub prices: Vec<Price>,
    /// Whether the search was stopped before it was done.
    pub stopped: bool,
}

/// Why there is no legal rota.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct NoRota {
    /// The rules that collide.
    pub rules: Vec<RuleName>,
    /// What stands against what, in plain words.
    pub words: String,
    /// What helps, the smallest first: with each a legal rota was found, and with a step less none.
    pub relaxations: Vec<Relaxation>,
}

/// What would have to be asked less of for there to be a legal rota: one change, or two together.
#[derive(Clone, Debug, PartialEq)]
pub struct Relaxation {
    /// The changes.
    pub changes: Vec<Change>,
}

/// A change of a rule's figure, of a date, or of who and what there is.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The rule that is asked less of.
    pub rule: RuleName,
    /// By how much.
    pub amount: Amount,
    /// The change in plain words.
    pub words: String,
}

/// By how much something is changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Time, s.
    Seconds(i64),
    /// Depth, msw.
    Msw(f64),
    /// A number of people, places or qualifications.
    Count(i64),
}

impl Amount {
    /// So many times as much.
    pub fn times(self, n: i64) -> Amount {
        match self {
            Amount::Seconds(s) => Amount::Seconds(s * n),
            Amount::Msw(m) => Amount::Msw(m * n as f64),
            Amount::Count(c) => Amount::Count(c * n),
        }
    }
}

impl Relaxation {
    /// All changes in plain words.
    pub fn words(&self) -> String {
        let each: Vec<&str> = self.changes.iter().map(|c| c.words.as_str()).collect();
        each.join(" together with ")
    }
}

impl Verdict {
    /// Of what could not be judged at all, because the set does not say where people are when.
    pub fn not_judged(refusal: RuleRefusal) -> Verdict {
        let why = refusal.to_string();
        let answer = |question| Answer {
            question,
            answered: Answered::NotJudged(why.clone()),
        };
        Verdict {
            answers: WorkQuestion::ALL.map(answer).to_vec(),
            unanswered: vec![refusal],
            ..Verdict::default()
        }
    }

    /// The same without what is the house's and no rule of the set.
    pub(crate) fn of_the_set(mut self) -> Verdict {
        let house = |rule: &RuleName| rule.id.starts_with("house.rota.");
        self.breaches.retain(|b| !house(&b.rule));
        self.nearest.retain(|n| !house(&n.rule));
        self
    }

    /// Whether nothing is broken.
    pub fn legal(&self) -> bool {
        self.breaches.is_empty()
    }
}

impl Worth {
    /// Share by which the rota may fall short of the best that keeps the wishes: of the days needed where
    /// the list gets done, else of the useful time in the water. 0 to 1; `first_s` is when diving may begin.
    pub fn gap(&self, first_s: i64) -> f64 {
        self.short_of(self.wished_s, self.wished_earliest_s, first_s)
    }

    /// The same beside the best of all legal rotas, whatever is wished.
    pub fn gap_to_any(&self, first_s: i64) -> f64 {
        self.short_of(self.bound_s, self.earliest_s, first_s)
    }

    fn short_of(&self, most_s: i64, earliest_s: Option<i64>, first_s: i64) -> f64 {
        match (self.done_s, earliest_s) {
            (Some(done), Some(earliest)) if done > first_s => {
                (done - earliest).max(0) as f64 / (done - first_s) as f64
            }
            _ => (most_s - self.useful_s).max(0) as f64 / most_s.max(1) as f64,
        }
    }
}

impl Fairness {
    /// From the divers' sums; those without a turn are left out.
    pub fn of(divers: &[DiverSums]) -> Fairness {
        let spread = |of: fn(&DiverSums) -> i64| {
            let values = divers.iter().filter(|d| d.runs > 0).map(of);
            let ends = values.fold(None, |ends: Option<(i64, i64)>, v| {
                Some(ends.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
            });
            ends.map_or(0, |(low, high)| high - low)
        };
        Fairness {
            water_s: spread(|d| d.water_s),
            bell_s: spread(|d| d.bell_s),
            nights: spread(|d| i64::from(d.nights)),
            bellman: spread(|d| i64::from(d.bellman)),
        }
    }
}
