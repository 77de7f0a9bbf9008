//! The plant's books: what each slot and edge moved, from where to where, given to the record as
//! entries whenever asked. Totals only grow; giving changes nothing but what has been given.

use super::core::{EdgeKind, Evaluated, Plant, UNEVEN};
use super::slots::{Account, Booking, SLOTS, Slot};
use crate::gas::{Amounts, SPECIES};
use crate::record::{Entry, Sink, What};
use crate::units::*;

const SLOT_LIST: [Slot; SLOTS] = [
    Slot::Leak,
    Slot::FaultLeak,
    Slot::Exhaust,
    Slot::Bleed,
    Slot::RecoveredExhaust,
    Slot::RecoveredBleed,
    Slot::Sample,
    Slot::Supply,
    Slot::Oxygen,
    Slot::Metabolism,
    Slot::Absorption,
    Slot::Coil,
    Slot::WallWater,
    Slot::Evaporation,
    Slot::Spill,
    Slot::TopUp,
    Slot::Outward,
    Slot::BibsGas,
    Slot::BibsBody,
    Slot::BibsBreath,
    Slot::MainGas,
    Slot::MainBody,
    Slot::MainBreath,
    Slot::MainReclaimed,
    Slot::SecondaryGas,
    Slot::SecondaryBody,
    Slot::SecondaryBreath,
];

impl Plant {
    /// Places and purpose a slot's flow is booked under now; none while it has no bank.
    pub(super) fn booking(&self, i: usize, s: usize) -> Option<Booking> {
        let set = &self.settings[i];
        let c = &self.steel.compartments[i];
        let id = CompartmentId(i as u8);
        let here = Place::Compartment(id);
        let in_bell = c.bell.is_some();
        let air = Place::Atmosphere;
        let outside = if in_bell { Place::Sea } else { air };
        let book = |from, to, purpose| Some(Booking { from, to, purpose });
        let reclaimed = set.reclaim && set.reclaim_to.is_some();
        match SLOT_LIST[s] {
            Slot::Leak => book(here, outside, Purpose::Leak),
            Slot::FaultLeak => book(here, outside, Purpose::Fault),
            Slot::Exhaust => book(here, air, set.exhaust.purpose),
            Slot::Bleed => book(here, air, set.bleed.purpose),
            Slot::RecoveredExhaust | Slot::RecoveredBleed => {
                book(here, Place::Bank(self.steel.recovery?.bank), Purpose::Recovery)
            }
            Slot::Sample => book(here, air, Purpose::Sample),
            Slot::Supply => book(Place::Bank(set.supply_bank?), here, set.blow_down.purpose),
            Slot::Oxygen => book(Place::Bank(set.oxygen_bank?), here, Purpose::Oxygen),
            Slot::Metabolism => book(here, Place::Body, Purpose::Metabolism),
            Slot::Absorption => book(here, Place::Absorbent(id), Purpose::Absorption),
            Slot::Coil | Slot::WallWater => book(here, Place::Drained(id), Purpose::Water),
            Slot::Evaporation => book(Place::LiquidWater, here, Purpose::Water),
            Slot::Spill if in_bell && set.open_outside => book(here, Place::Sea, Purpose::BellSpill),
            Slot::Spill if set.open_outside => book(here, air, Purpose::LockRun),
            Slot::Spill => book(here, air, set.exhaust.purpose),
            Slot::TopUp => book(Place::Bank(set.supply_bank?), here, Purpose::BellAndTrunk),
            Slot::Outward => book(here, air, Purpose::LockRun),
            Slot::BibsGas => book(Place::Bank(set.bibs_bank?), if in_bell { here } else { air }, Purpose::Bibs),
            Slot::BibsBody => book(Place::Bank(set.bibs_bank?), Place::Body, Purpose::Bibs),
            Slot::BibsBreath => book(Place::Body, if in_bell { here } else { air }, Purpose::Metabolism),
            Slot::MainGas => book(Place::Bank(set.main_bank?), Place::Sea, Purpose::DiverGas),
            Slot::MainBody => book(Place::Bank(set.main_bank?), Place::Body, Purpose::DiverGas),
            Slot::MainBreath if reclaimed => book(Place::Body, Place::ReclaimAbsorbent, Purpose::Metabolism),
            Slot::MainBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
            Slot::MainReclaimed => {
                book(Place::Bank(set.main_bank?), Place::Bank(set.reclaim_to?), Purpose::Reclaimed)
            }
            Slot::SecondaryGas => book(Place::Bank(set.secondary_bank?), Place::Sea, Purpose::DiverGas),
            Slot::SecondaryBody => book(Place::Bank(set.secondary_bank?), Place::Body, Purpose::DiverGas),
            Slot::SecondaryBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
        }
    }

    /// What a slot moved between the anchor and an evaluated state, mol.
    fn moved(&self, i: usize, s: usize, dt: f64, e: &Evaluated) -> [f64; SPECIES] {
        match SLOT_LIST[s] {
            Slot::Spill => e.spill[i],
            Slot::TopUp => self.settings[i]
                .supply_bank
                .map_or([0.0; SPECIES], |b| self.bank_mix(b).scaled(e.top_up[i]).0),
            _ => self.frozen[i].rates[s].moved(&e.integral[i], dt),
        }
    }

    /// Whether a slot can have moved anything since the anchor.
    fn moving(&self, i: usize, s: usize, e: &Evaluated) -> bool {
        let extra = (s == Slot::Spill as usize && e.spill[i] != [0.0; SPECIES])
            || (s == Slot::TopUp as usize && e.top_up[i] != 0.0);
        extra || self.frozen[i].active & (1 << s) != 0
    }

    /// Adds what moved since the anchor to the books; called when the anchor moves to `t_s`.
    pub(super) fn book(&mut self, c: usize, t_s: i64, e: &Evaluated) {
        let dt = (t_s - self.clusters[c].t_s) as f64;
        let rushed = self.clusters[c].rushed;
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for s in 0..SLOTS {
                let moved = if rushed {
                    self.pending[i][s]
                } else if self.moving(i, s, e) {
                    self.moved(i, s, dt, e)
                } else {
                    continue;
                };
                add(&mut self.accounts[i][s].total, &moved);
                self.book_bank(i, s, &moved);
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let moved = if rushed { self.pending_edges[x] } else { e.edge[x] };
            add(&mut self.edge_accounts[x].total, &moved);
        }
    }

    /// Banks follow constant draws by themselves; what depends on contents or levelling is put in here.
    fn book_bank(&mut self, i: usize, s: usize, moved: &[f64; SPECIES]) {
        if !UNEVEN.contains(&s) || *moved == [0.0; SPECIES] {
            return;
        }
        match self.booking(i, s) {
            Some(Booking { from: Place::Bank(b), .. }) => {
                let n = &mut self.banks[b.index()].n_mol;
                *n = n.plus(&Amounts(*moved).scaled(-1.0));
            }
            Some(Booking { to: Place::Bank(b), .. }) => {
                let n = &mut self.banks[b.index()].n_mol;
                *n = n.plus(&Amounts(*moved));
            }
            _ => {}
        }
    }

    /// Puts a sub-step's movements aside until its second is over.
    pub(super) fn pend(&mut self, c: usize, dt: f64, e: &Evaluated) {
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for s in 0..SLOTS {
                if self.moving(i, s, e) {
                    let moved = self.moved(i, s, dt, e);
                    add(&mut self.pending[i][s], &moved);
                }
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            add(&mut self.pending_edges[x], &e.edge[x]);
        }
    }

    /// Gives the record what has moved since it was last given, as of `t_s`.
    pub fn give_flows(&mut self, t_s: i64, sink: &mut impl Sink) {
        for c in 0..self.clusters.len() {
            self.give_cluster(c, t_s, sink);
        }
    }

    /// The same for the cluster of one compartment; called before what its flows are booked under changes.
    pub(super) fn give_cluster(&mut self, c: usize, t_s: i64, sink: &mut impl Sink) {
        let mut e = self.borrow();
        let since = t_s - self.clusters[c].t_s;
        if since > 0 {
            self.evaluate(c, t_s, &mut e);
        }
        let over = self.clusters[c].rushed && since > 0;
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for s in 0..SLOTS {
                let mut total = self.accounts[i][s].total;
                if over {
                    add(&mut total, &self.pending[i][s]);
                } else if since > 0 && self.moving(i, s, &e) {
                    add(&mut total, &self.moved(i, s, since as f64, &e));
                }
                let given = give(&mut self.accounts[i][s], &total);
                if let (Some(moles), Some(b)) = (given, self.booking(i, s)) {
                    let what = What::Moved { from: b.from, to: b.to, purpose: b.purpose, moles };
                    sink.take(Entry { at: t_s, what });
                }
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let mut total = self.edge_accounts[x].total;
            if over {
                add(&mut total, &self.pending_edges[x]);
            } else if since > 0 {
                add(&mut total, &e.edge[x]);
            }
            if let Some(moles) = give(&mut self.edge_accounts[x], &total) {
                let edge = self.edges[x];
                let what = What::Moved {
                    from: Place::Compartment(CompartmentId(edge.a as u8)),
                    to: Place::Compartment(CompartmentId(edge.b as u8)),
                    purpose: self.edge_purpose(x),
                    moles,
                };
                sink.take(Entry { at: t_s, what });
            }
        }
        self.give_back(e);
    }

    fn edge_purpose(&self, x: usize) -> Purpose {
        match self.edges[x].kind {
            EdgeKind::Door(d) => self.doors[d].equalise.purpose,
            EdgeKind::Drain(c) => self.settings[c].drain.purpose,
        }
    }

    /// Everything that lies somewhere on board as of `t_s`: banks and compartments.
    pub fn holdings(&self, t_s: i64) -> Vec<(Place, Amounts)> {
        let banks = (0u8..).zip(&self.banks).map(|(b, bank)| (Place::Bank(BankId(b)), self.bank_holding(b, bank, t_s)));
        let nodes = (0..self.nodes.len()).map(|i| {
            let mut e = Evaluated::default();
            self.evaluate(self.cluster_of[i], t_s, &mut e);
            (Place::Compartment(CompartmentId(i as u8)), Amounts(e.node[i].n_mol))
        });
        banks.chain(nodes).collect()
    }

    /// A bank's contents, with what unsettled levelling and recovery have moved.
    fn bank_holding(&self, b: u8, bank: &super::state::BankState, t_s: i64) -> Amounts {
        let mut n = bank.at(t_s);
        for i in 0..self.nodes.len() {
            let cluster = &self.clusters[self.cluster_of[i]];
            let since = t_s - cluster.t_s;
            if since <= 0 {
                continue;
            }
            let mut e = Evaluated::default();
            self.evaluate(self.cluster_of[i], t_s, &mut e);
            for s in UNEVEN {
                let moved = if cluster.rushed {
                    self.pending[i][s]
                } else if self.moving(i, s, &e) {
                    self.moved(i, s, since as f64, &e)
                } else {
                    continue;
                };
                match self.booking(i, s) {
                    Some(k) if k.from == Place::Bank(BankId(b)) => n = n.plus(&Amounts(moved).scaled(-1.0)),
                    Some(k) if k.to == Place::Bank(BankId(b)) => n = n.plus(&Amounts(moved)),
                    _ => {}
                }
            }
        }
        n
    }
}

fn add(total: &mut [f64; SPECIES], moved: &[f64; SPECIES]) {
    for (t, m) in total.iter_mut().zip(moved) {
        *t += m;
    }
}

fn give(account: &mut Account, total: &[f64; SPECIES]) -> Option<Amounts> {
    let mut moles = [0.0; SPECIES];
    for ((m, t), g) in moles.iter_mut().zip(total).zip(&account.given) {
        *m = t - g;
    }
    if moles == [0.0; SPECIES] {
        return None;
    }
    account.given = *total;
    Some(Amounts(moles))
}
