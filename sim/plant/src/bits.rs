//! Small sets of numbers as bits of a word.

/// Numbers of the bits that are set, ascending.
pub(crate) fn bits(mut mask: u32) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let s = mask.trailing_zeros() as usize;
        mask &= mask.wrapping_sub(1);
        (s < 32).then_some(s)
    })
}
