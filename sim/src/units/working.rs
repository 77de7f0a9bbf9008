//! Working formulas.
