//! The vessels of a cluster at the start and at the points of a step.

use crate::layout::Layout;
use crate::solver::problem::About;
use crate::state::node::{Contents, Node};
use crate::steel::MAX_COMPARTMENTS;
use crate::steel::edge::Edge;

/// Contents by compartment: at the start, and at the points as the rates were last found there.
#[derive(Clone, Debug)]
pub(crate) struct StageContents {
    /// At the start.
    pub start: [Contents; MAX_COMPARTMENTS],
    /// At the points.
    pub points: [[Contents; 3]; MAX_COMPARTMENTS],
}

impl Default for StageContents {
    fn default() -> Self {
        StageContents {
            start: [Contents::default(); MAX_COMPARTMENTS],
            points: [[Contents::default(); 3]; MAX_COMPARTMENTS],
        }
    }
}

impl StageContents {
    /// Contents of a compartment where an answer to a change is taken.
    #[inline]
    pub fn about(&self, about: About, i: usize) -> &Contents {
        match about {
            About::Start => &self.start[i],
            About::Point(j) => &self.points[i][j],
        }
    }
}

/// How vessels are made, as far as pressure asks.
pub(crate) trait Vessels {
    /// Pressure of a vessel's gas, Pa.
    fn pressure_pa(&self, i: usize, node: &Node) -> f64;

    /// Whether gas stays at its temperature.
    fn isothermal(&self) -> bool;
}

/// A cluster's vessels in a step.
pub(crate) struct Stage<'a, V> {
    /// Which they are.
    pub layout: &'a Layout,
    /// The edges of the spread.
    pub edges: &'a [Edge],
    /// How they are made.
    pub vessels: &'a V,
    /// What is in them.
    pub contents: &'a StageContents,
}

impl<V> Clone for Stage<'_, V> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<V> Copy for Stage<'_, V> {}
