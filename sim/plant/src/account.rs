//! The plant's books: what each slot and edge moved, from where to where, given to the record as
//! entries whenever asked. Totals only grow; giving changes nothing but what has been given.

use super::core::{EdgeKind, Plant};
use super::course::{bits, moved};
use super::level::Shift;
use super::radau::weights;
use super::slots::{Account, BANKED, Booking, SLOTS, Slot};
use deepstay_core::gas::{Amounts, SPECIES};
use deepstay_core::record::{Entry, Sink, What};
use deepstay_core::units::*;

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
            Slot::RecoveredExhaust | Slot::RecoveredBleed => book(
                here,
                Place::Bank(self.steel.recovery?.bank),
                Purpose::Recovery,
            ),
            Slot::Sample => book(here, air, Purpose::Sample),
            Slot::Supply => book(Place::Bank(set.supply_bank?), here, set.blow_down.purpose),
            Slot::Oxygen => book(Place::Bank(set.oxygen_bank?), here, Purpose::Oxygen),
            Slot::Metabolism => book(here, Place::Body, Purpose::Metabolism),
            Slot::Absorption => book(here, Place::Absorbent(id), Purpose::Absorption),
            Slot::Coil | Slot::WallWater => book(here, Place::Drained(id), Purpose::Water),
            Slot::Evaporation => book(Place::LiquidWater, here, Purpose::Water),
            Slot::Spill if in_bell && set.open_outside => {
                book(here, Place::Sea, Purpose::BellSpill)
            }
            Slot::Spill if set.open_outside => book(here, air, Purpose::LockRun),
            Slot::Spill => book(here, air, set.exhaust.purpose),
            Slot::TopUp => book(Place::Bank(set.supply_bank?), here, Purpose::BellAndTrunk),
            Slot::Outward => book(here, air, Purpose::LockRun),
            Slot::BibsGas => book(
                Place::Bank(set.bibs_bank?),
                if in_bell { here } else { air },
                Purpose::Bibs,
            ),
            Slot::BibsBody => book(Place::Bank(set.bibs_bank?), Place::Body, Purpose::Bibs),
            Slot::BibsBreath => book(
                Place::Body,
                if in_bell { here } else { air },
                Purpose::Metabolism,
            ),
            Slot::MainGas => book(Place::Bank(set.main_bank?), Place::Sea, Purpose::DiverGas),
            Slot::MainBody => book(Place::Bank(set.main_bank?), Place::Body, Purpose::DiverGas),
            Slot::MainBreath if reclaimed => {
                book(Place::Body, Place::ReclaimAbsorbent, Purpose::Metabolism)
            }
            Slot::MainBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
            Slot::MainReclaimed => book(
                Place::Bank(set.main_bank?),
                Place::Bank(set.reclaim_to?),
                Purpose::Reclaimed,
            ),
            Slot::SecondaryGas => book(
                Place::Bank(set.secondary_bank?),
                Place::Sea,
                Purpose::DiverGas,
            ),
            Slot::SecondaryBody => book(
                Place::Bank(set.secondary_bank?),
                Place::Body,
                Purpose::DiverGas,
            ),
            Slot::SecondaryBreath => book(Place::Body, Place::Sea, Purpose::Metabolism),
        }
    }

    /// What a slot has moved since its compartment's anchor, mol; none if nothing can have.
    fn moved(&self, i: usize, s: usize, t_s: i64, w: &[f64; 3]) -> Option<[f64; SPECIES]> {
        let cluster = &self.clusters[self.cluster_of[i]];
        let bit = 1 << s;
        if t_s <= cluster.t_s {
            None
        } else if cluster.rushed {
            (self.pending_active[i] & bit != 0).then(|| self.pending[i][s])
        } else {
            (self.courses[i].active & bit != 0).then(|| self.courses[i].moved(s, w))
        }
    }

    fn edge_moved(&self, c: usize, x: usize, t_s: i64, w: &[f64; 3]) -> Option<[f64; SPECIES]> {
        if t_s <= self.clusters[c].t_s {
            None
        } else if self.clusters[c].rushed {
            Some(self.pending_edges[x])
        } else {
            Some(moved(&self.edge_flows[x], w))
        }
    }

    fn active(&self, i: usize) -> u32 {
        let rushed = self.clusters[self.cluster_of[i]].rushed;
        if rushed {
            self.pending_active[i]
        } else {
            self.courses[i].active
        }
    }

    /// Adds what moved since the anchor to the books; called when the anchor moves to `t_s`.
    pub(super) fn book(&mut self, c: usize, t_s: i64) {
        let w = self.weights_at(c, t_s);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for s in bits(self.active(i)) {
                if let Some(moved) = self.moved(i, s, t_s, &w) {
                    self.book_slot(i, s, &moved);
                }
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            if let Some(moved) = self.edge_moved(c, x, t_s, &w) {
                add(&mut self.edge_accounts[x].total, &moved);
            }
        }
    }

    fn book_slot(&mut self, i: usize, s: usize, moved: &[f64; SPECIES]) {
        add(&mut self.accounts[i][s].total, moved);
        if BANKED & (1 << s) == 0 {
            return;
        }
        let Some(booking) = self.booking(i, s) else {
            return;
        };
        for (place, sign) in [(booking.from, -1.0), (booking.to, 1.0)] {
            if let Place::Bank(b) = place {
                let n = &mut self.banks[b.index()].n_mol;
                *n = n.plus(&Amounts(*moved).scaled(sign));
            }
        }
    }

    /// Puts what a part of a second moved aside until the second is over.
    pub(super) fn pend(&mut self, c: usize, part_s: f64) {
        let w = weights(part_s, 1.0);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            self.pending_active[i] |= self.courses[i].active;
            for s in bits(self.courses[i].active) {
                let moved = self.courses[i].moved(s, &w);
                add(&mut self.pending[i][s], &moved);
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            add(&mut self.pending_edges[x], &moved(&self.edge_flows[x], &w));
        }
    }

    /// Books gas that moved at once: with the second's other movements if it is being taken in parts.
    pub(super) fn book_shift(&mut self, c: usize, shift: &Shift, in_parts: bool) {
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for (slot, moved) in [
                (Slot::Spill, &shift.spilt[i]),
                (Slot::TopUp, &shift.topped[i]),
            ] {
                let s = slot as usize;
                if *moved == [0.0; SPECIES] {
                    continue;
                }
                if in_parts {
                    self.pending_active[i] |= 1 << s;
                    add(&mut self.pending[i][s], moved);
                } else {
                    self.book_slot(i, s, moved);
                }
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let total = if in_parts {
                &mut self.pending_edges[x]
            } else {
                &mut self.edge_accounts[x].total
            };
            add(total, &shift.edge[x]);
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
        let w = self.weights_at(c, t_s);
        for k in 0..self.clusters[c].members.len() {
            let i = self.clusters[c].members[k];
            for s in 0..SLOTS {
                let mut total = self.accounts[i][s].total;
                if let Some(moved) = self.moved(i, s, t_s, &w) {
                    add(&mut total, &moved);
                }
                let given = give(&mut self.accounts[i][s], &total);
                if let (Some(moles), Some(b)) = (given, self.booking(i, s)) {
                    let what = What::Moved {
                        from: b.from,
                        to: b.to,
                        purpose: b.purpose,
                        moles,
                    };
                    sink.take(Entry { at: t_s, what });
                }
            }
        }
        for k in 0..self.clusters[c].edges.len() {
            let x = self.clusters[c].edges[k];
            let mut total = self.edge_accounts[x].total;
            if let Some(moved) = self.edge_moved(c, x, t_s, &w) {
                add(&mut total, &moved);
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
    }

    fn edge_purpose(&self, x: usize) -> Purpose {
        match self.edges[x].kind {
            EdgeKind::Door(d) => self.doors[d].equalise.purpose,
            EdgeKind::Drain(c) => self.settings[c].drain.purpose,
        }
    }

    /// Everything that lies somewhere on board as of `t_s`: banks and compartments.
    pub fn holdings(&self, t_s: i64) -> Vec<(Place, Amounts)> {
        let banks = (0..self.banks.len() as u8)
            .map(|b| (Place::Bank(BankId(b)), self.bank_at(BankId(b), t_s)));
        let nodes = (0..self.nodes.len()).map(|i| {
            (
                Place::Compartment(CompartmentId(i as u8)),
                Amounts(self.node_at(i, t_s).n_mol),
            )
        });
        banks.chain(nodes).collect()
    }

    /// Moles that the parts of a second taken so far have drawn from a bank.
    pub(super) fn drawn_in_parts(&self, c: usize, bank: BankId) -> f64 {
        let mut drawn = 0.0;
        for i in self.clusters[c].members.iter().copied() {
            for s in bits(self.pending_active[i] & BANKED) {
                let by = self
                    .booking(i, s)
                    .map_or(0.0, |booking| net(&booking, bank));
                drawn += by * self.pending[i][s].iter().sum::<f64>();
            }
        }
        drawn
    }

    /// A bank's contents at a second, with what open intervals have drawn by then.
    pub(super) fn bank_at(&self, bank: BankId, t_s: i64) -> Amounts {
        let mut n = self.banks[bank.index()].n_mol;
        for i in 0..self.nodes.len() {
            let drawing = self.active(i) & BANKED;
            if drawing == 0 {
                continue;
            }
            let w = self.weights_at(self.cluster_of[i], t_s);
            for s in bits(drawing) {
                let Some(booking) = self.booking(i, s) else {
                    continue;
                };
                for (place, sign) in [(booking.from, -1.0), (booking.to, 1.0)] {
                    if place == Place::Bank(bank)
                        && let Some(moved) = self.moved(i, s, t_s, &w)
                    {
                        n = n.plus(&Amounts(moved).scaled(sign));
                    }
                }
            }
        }
        n
    }
}

fn net(booking: &Booking, bank: BankId) -> f64 {
    let here = |place: Place| if place == Place::Bank(bank) { 1.0 } else { 0.0 };
    here(booking.from) - here(booking.to)
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
