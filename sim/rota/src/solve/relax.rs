//! The smallest relaxation that helps where there is no legal rota: found by solving again, never read off a
//! margin. Each knob by itself is turned as far as it goes; where that gives a legal rota, the least that
//! does is found by halving. Where no single one helps, two are turned together: the first as little as may
//! be beside the second turned fully, then the second, and the same the other way round.

use super::attempt::attempt;
use super::knobs::{Knob, knobs};
use super::search::Found;
use crate::answer::{Amount, Change, NoRota, Relaxation};
use crate::types::Problem;
use deepstay_rules::RuleSet;

/// No more ways out than this are named.
const MOST_WAYS: usize = 4;

/// A refusal with the relaxations that help, the smallest first.
pub fn helped(
    mut no: NoRota,
    problem: &Problem,
    (rules, accepted): (&RuleSet, &[String]),
    go_on: &mut dyn FnMut(&Found) -> bool,
) -> NoRota {
    let mut trial = Trial {
        problem,
        by: (rules, accepted),
        go_on,
        stopped: false,
    };
    let all = knobs(problem, rules, accepted);
    let mut ways: Vec<Relaxation> = all
        .iter()
        .filter_map(|k| Some(made(&[(k, trial.least(k, &[])?)])))
        .collect();
    if ways.is_empty() {
        for (i, a) in all.iter().enumerate() {
            for b in &all[i + 1..] {
                ways.extend(trial.pair(a, b));
            }
        }
    }
    ways.sort_by_key(size);
    ways.dedup_by(|a, b| a.words() == b.words());
    ways.truncate(MOST_WAYS);
    no.relaxations = ways;
    no
}

fn made(turned: &[(&Knob, i64)]) -> Relaxation {
    let change = |(knob, steps): &(&Knob, i64)| Change {
        rule: knob.rule.clone(),
        amount: knob.step.times(*steps),
        words: (knob.words)(*steps),
    };
    Relaxation {
        changes: turned.iter().map(change).collect(),
    }
}

/// Fewer changes before more; figures before depths, people and steel; less before more.
fn size(way: &Relaxation) -> (usize, usize, i64) {
    let (mut kinds, mut sum) = (0, 0.0);
    for change in &way.changes {
        match change.amount {
            Amount::Seconds(s) => sum += s as f64,
            Amount::Msw(m) => (kinds, sum) = (kinds + 1, sum + m),
            Amount::Count(n) => (kinds, sum) = (kinds + 1, sum + n as f64),
        }
    }
    (way.changes.len(), kinds, sum as i64)
}

struct Trial<'a, 'b> {
    problem: &'a Problem,
    by: (&'a RuleSet, &'a [String]),
    go_on: &'b mut dyn FnMut(&Found) -> bool,
    stopped: bool,
}

impl Trial<'_, '_> {
    /// Whether there is a legal rota with these knobs turned so far.
    fn helps(&mut self, turned: &[(&Knob, i64)]) -> bool {
        if self.stopped {
            return false;
        }
        let mut problem = self.problem.clone();
        for (knob, steps) in turned {
            (knob.turned)(&mut problem, *steps);
        }
        let forgiven = |b: &crate::Breach| turned.iter().any(|(k, n)| k.forgives(b, *n));
        // The first rota that is found will do.
        let go_on = &mut *self.go_on;
        let mut stopped = false;
        let mut first = |found: &Found| {
            stopped = stopped || !go_on(found);
            found.useful_s == 0 && !stopped
        };
        let found = attempt(&problem, self.by, &forgiven, None, &mut first).is_ok();
        self.stopped = stopped;
        found
    }

    /// The fewest steps of a knob that help beside others; none where it does not help at all.
    fn least(&mut self, knob: &Knob, beside: &[(&Knob, i64)]) -> Option<i64> {
        let with = |n: i64| [&[(knob, n)], beside].concat();
        if !self.helps(&with(knob.most)) {
            return None;
        }
        // What is far off is looked for in growing strides first.
        let (mut low, mut high) = (0, 1.min(knob.most));
        while high < knob.most && !self.helps(&with(high)) {
            (low, high) = (high, (2 * high).min(knob.most));
        }
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if self.helps(&with(middle)) {
                high = middle
            } else {
                low = middle
            }
        }
        (!self.stopped).then_some(high)
    }

    fn pair(&mut self, a: &Knob, b: &Knob) -> Option<Relaxation> {
        let n = self.least(a, &[(b, b.most)])?;
        let m = self.least(b, &[(a, n)])?;
        let one = made(&[(a, n), (b, m)]);
        let m = self.least(b, &[(a, a.most)])?;
        let n = self.least(a, &[(b, m)])?;
        let other = made(&[(a, n), (b, m)]);
        Some(if size(&other) < size(&one) {
            other
        } else {
            one
        })
    }
}
