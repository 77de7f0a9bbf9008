//! Edges: the doors and drains along which two compartments may exchange gas, in one list.

use super::spread::Steel;

/// Most edges (doors and drains) of a spread.
pub const MAX_EDGES: usize = 40;

/// A pipe or doorway between two compartments.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Edge {
    /// What it is.
    pub kind: EdgeKind,
    /// One side.
    pub a: usize,
    /// The other.
    pub b: usize,
}

/// What an edge is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum EdgeKind {
    /// A door, with its equalising valve.
    Door(usize),
    /// The drain of a compartment into its tank.
    Drain(usize),
}

/// All edges of a spread: its doors between compartments, then its drains.
pub(crate) fn edges_of(steel: &Steel) -> Vec<Edge> {
    let doors = steel.doors.iter().enumerate().filter_map(|(d, door)| {
        door.b.map(|b| Edge {
            kind: EdgeKind::Door(d),
            a: door.a.index(),
            b: b.index(),
        })
    });
    let drains = steel.compartments.iter().enumerate().filter_map(|(i, c)| {
        c.drain_to.map(|tank| Edge {
            kind: EdgeKind::Drain(i),
            a: i,
            b: tank.index(),
        })
    });
    doors.chain(drains).collect()
}
