//! Keeping the books: as an anchor moves, what has moved since goes to the accounts and into and out of
//! banks; whenever the record asks, it is given what it has not been given yet.

use super::account::Accounts;
use super::booking::booking;
use super::slot::{BANKED, SLOTS, Slot};
use crate::bits::bits;
use crate::model::Model;
use crate::state::banks::BankStock;
use crate::trajectory::trajectories::Trajectories;
use deepstay_core::gas::{Amounts, SPECIES};
use deepstay_core::record::{Entry, Sink, What};
use deepstay_core::units::*;

/// What books are kept in, and by what.
pub(crate) struct Keeper<'a> {
    /// Says what flows are booked under.
    pub model: Model<'a>,
    /// The accounts.
    pub accounts: &'a mut Accounts,
    /// The banks.
    pub stock: &'a mut BankStock,
}

impl Keeper<'_> {
    /// Books what a slot moved.
    pub fn slot(&mut self, i: usize, slot: Slot, moved: &[f64; SPECIES]) {
        self.accounts.add_slot(i, slot as usize, moved);
        if BANKED & (1 << slot as u32) == 0 {
            return;
        }
        let Some(booking) = booking(&self.model, i, slot) else {
            return;
        };
        for (bank, sign) in booking.banks() {
            self.stock.add(bank, &Amounts(*moved), sign);
        }
    }

    /// Books what moved in a cluster since its anchor, which moves to `t_s`.
    pub fn cluster(&mut self, trajectories: &Trajectories, c: usize, t_s: i64) {
        let w = trajectories.weights_at(c, t_s);
        let cluster = &trajectories.clusters()[c];
        for i in cluster.members.iter().copied() {
            for s in bits(trajectories.active(i)) {
                if let Some(moved) = trajectories.moved(i, s, t_s, &w) {
                    self.slot(i, Slot::ALL[s], &moved);
                }
            }
        }
        for x in cluster.edges.iter().copied() {
            if let Some(moved) = trajectories.edge_moved(c, x, t_s, &w) {
                self.accounts.add_edge(x, &moved);
            }
        }
    }
}

/// Gives the record what has moved in a cluster since it was last given, as of `t_s`; called before what its flows are
/// booked under changes.
pub(crate) fn give_cluster(
    model: &Model,
    trajectories: &Trajectories,
    accounts: &mut Accounts,
    c: usize,
    t_s: i64,
    sink: &mut impl Sink,
) {
    let w = trajectories.weights_at(c, t_s);
    let cluster = &trajectories.clusters()[c];
    for i in cluster.members.iter().copied() {
        for s in 0..SLOTS {
            let given = accounts.give_slot(i, s, trajectories.moved(i, s, t_s, &w));
            if let Some(moles) = given
                && let Some(b) = booking(model, i, Slot::ALL[s])
            {
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
    for x in cluster.edges.iter().copied() {
        if let Some(moles) = accounts.give_edge(x, trajectories.edge_moved(c, x, t_s, &w)) {
            let edge = model.edges[x];
            let what = What::Moved {
                from: Place::Compartment(CompartmentId(edge.a as u8)),
                to: Place::Compartment(CompartmentId(edge.b as u8)),
                purpose: model.controls.purpose(edge.kind),
                moles,
            };
            sink.take(Entry { at: t_s, what });
        }
    }
}
