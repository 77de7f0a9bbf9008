//! A sum's answer on a screen and as JSON, what a sum takes, and the list of them.

mod described;
mod pages;
mod screen;
mod summary;

pub use described::*;
pub use pages::{sum_page, sums_list};
pub use screen::sum_screen;
pub use summary::*;
