//! The visualiser: the ship cut open, drawn from what the watch sees.
//!
//! A picture is made in two steps. [`scene`] lays a spread out and draws it, with its people, bell and gas, as a
//! [`drawing::Drawing`]: marks with inks by meaning, nothing of any screen. [`svg`] writes a drawing as a file.

pub mod drawing;
pub mod scene;
pub mod svg;
pub mod timeline;
