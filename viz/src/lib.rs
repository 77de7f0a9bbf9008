//! The visualiser's crate. It holds nothing yet: the picture has work of its own ahead.
