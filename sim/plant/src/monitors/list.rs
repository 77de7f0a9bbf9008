//! The list of monitors by owner, and who is met.

use super::gates::{Found, Gates, Mark};
use super::monitor::{Monitor, Watched};
use super::watching::Watching;
use crate::bits::bits;
use crate::trajectory::evaluated::Evaluated;
use serde::{Deserialize, Serialize};

/// Everything that is waited for.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(crate) struct Monitors {
    list: Vec<Monitor>,
    /// What follows from what each looks at.
    #[serde(skip)]
    marks: Vec<Mark>,
    /// The monitors by cluster; made from them.
    #[serde(skip)]
    gates: Gates,
}

impl Monitors {
    /// Nothing.
    pub fn new() -> Monitors {
        Monitors {
            list: Vec::with_capacity(256),
            marks: Vec::with_capacity(256),
            gates: Gates::default(),
        }
    }

    /// Replaces an owner's monitors by others. Gives the clusters whose monitors change, as bits: only there may the
    /// next second to look at be another.
    pub fn set(
        &mut self,
        owner: u32,
        list: impl IntoIterator<Item = (Watched, bool, f64)>,
        watching: &Watching,
    ) -> u32 {
        let mut changed = 0u32;
        let mut list = list.into_iter().map(|(watched, above, value)| Monitor {
            watched,
            above,
            value,
            owner,
        });
        let mut k = 0;
        while k < self.list.len() {
            if self.list[k].owner != owner {
                k += 1;
                continue;
            }
            match list.next() {
                Some(new) if new == self.list[k] => k += 1,
                Some(new) => {
                    let mark = Mark::of(new.watched, watching);
                    changed |= self.marks[k].clusters | mark.clusters;
                    (self.list[k], self.marks[k]) = (new, mark);
                    k += 1;
                }
                None => {
                    changed |= self.marks.remove(k).clusters;
                    self.list.remove(k);
                }
            }
        }
        for new in list {
            let mark = Mark::of(new.watched, watching);
            changed |= mark.clusters;
            self.list.push(new);
            self.marks.push(mark);
        }
        if changed != 0 {
            self.put_into_gates(changed, watching);
        }
        changed
    }

    /// Gathers the monitors into gates; called when clusters or connections change.
    pub fn gather(&mut self, watching: &Watching) {
        let mark = |m: &Monitor| Mark::of(m.watched, watching);
        self.marks.clear();
        self.marks.extend(self.list.iter().map(mark));
        self.put_into_gates(u32::MAX, watching);
    }

    /// Puts the monitors of some clusters, as bits, into their gates.
    fn put_into_gates(&mut self, of: u32, watching: &Watching) {
        let clusters = watching.view.trajectories.clusters().len();
        let all = ((1u64 << clusters) - 1) as u32;
        let each = self.list.iter().zip(&self.marks);
        debug_assert!(
            each.clone()
                .all(|(m, mark)| Mark::of(m.watched, watching) == *mark),
            "clusters have changed and nobody has gathered them"
        );
        self.gates.gather(each, of & all, clusters);
    }

    /// When a cluster must be looked at again after `from_s`.
    pub fn next(&self, watching: &Watching, c: usize, from_s: i64, leap: bool) -> Found {
        self.gates.next(watching, c, from_s, leap)
    }

    /// Owners of the monitors that are met at `t_s`, into `owners` (sorted, once each); gives how many clusters were
    /// evaluated.
    pub fn met(&self, watching: &Watching, t_s: i64, owners: &mut Vec<u32>) -> u64 {
        owners.clear();
        let trajectories = watching.view.trajectories;
        let clusters = trajectories.clusters();
        let due = clusters
            .iter()
            .enumerate()
            .filter(|(_, cluster)| cluster.next_s <= t_s)
            .fold(0u32, |due, (c, _)| due | 1 << c);
        let mut evaluated = 0;
        let mut e = Evaluated::default();
        for c in bits(due).filter(|c| self.gates.any(*c)) {
            trajectories.evaluate(c, t_s, &mut e);
            evaluated += 1;
            self.gates.met(watching, (c, &e), t_s, |watched, value| {
                let waiting = self.list.iter().filter(|m| m.watched == watched);
                for monitor in waiting.filter(|m| m.met(value)) {
                    if !owners.contains(&monitor.owner) {
                        owners.push(monitor.owner);
                    }
                }
            });
        }
        owners.sort_unstable();
        evaluated
    }
}
