//! The visualiser: the ship cut open, drawn from what the watch sees; a job looked at, a watch kept on a screen, and a
//! watch looked back on.
//!
//! A picture is made in two steps. [`scene`] lays a spread out and draws it, with its people, bell and gas, as a
//! [`drawing::Drawing`]: marks with inks by meaning, nothing of any screen. [`svg`] writes a drawing as a file; [`screen`]
//! shows it, with the [`panel`] beside it and the [`timeline`] under it, in a window or as pictures without one. A
//! [`stage::Stage`] owns the session: there is no other clock, journal or list of alarms.

pub mod drawing;
pub mod font;
pub mod panel;
pub mod scene;
pub mod screen;
pub mod settings;
pub mod stage;
pub mod svg;
pub mod timeline;
pub mod whole;
