//! What pages, tables, charts and screens of every kind are made with: frame and style of a page, SVG
//! pictures and their axes, CSV, lines of a terminal, and the folder that a set of files is written into.

pub mod axes;
pub mod folder;
pub mod frame;
pub mod places;
pub mod style;
pub mod svg;
pub mod table;
pub mod terminal;
pub mod weeks;
