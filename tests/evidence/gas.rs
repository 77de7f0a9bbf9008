//! Gas state and flow against published values.
