//! What may keep a vessel's pressure from outside.

/// What keeps a compartment's pressure from outside.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Outside {
    /// Nothing.
    #[default]
    Shut,
    /// The sea under an open bell.
    Sea,
    /// The deck at an open lock.
    Deck,
    /// The surface, through an exhaust that has let it down.
    LetDown,
}
