//! The order of the rooms.
#[test]
fn placeholder_order() {}
