//! What pages, tables and charts of every kind are made with: the frame and style of a page, SVG pictures and
//! their axes, and the folder that a set of files is written into.

pub mod axes;
pub mod folder;
pub mod frame;
pub mod style;
pub mod svg;
pub mod weeks;
