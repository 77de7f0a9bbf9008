//! One digest for everything that is told apart or checked by a number: checksums of files, fingerprints of
//! scenarios, hashes of a state, streams named by a word.
//!
//! It is the 64-bit FNV-1a hash (Fowler, Noll and Vo; RFC 9923 has the parameters, here from memory). Each byte
//! is mixed in by steps that can be undone, so two texts that differ in a single byte never share a digest;
//! others do by a chance of one in 2^64. It guards against damage and mistakes, not against forgery.

use std::fmt;

/// A digest under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Digest(u64);

impl Digest {
    /// Of nothing yet.
    pub const fn new() -> Digest {
        Digest(0xcbf2_9ce4_8422_2325)
    }

    /// Of what it was of, and these bytes after it.
    #[must_use]
    pub fn with(self, bytes: &[u8]) -> Digest {
        bytes.iter().fold(self, |d, byte| d.with_byte(*byte))
    }

    /// Of what it was of, and one byte after it.
    #[must_use]
    #[inline]
    pub const fn with_byte(self, byte: u8) -> Digest {
        Digest((self.0 ^ byte as u64).wrapping_mul(0x0100_0000_01b3))
    }

    /// The number.
    pub const fn get(self) -> u64 {
        self.0
    }

    /// Of bytes.
    pub fn of(bytes: &[u8]) -> u64 {
        Digest::new().with(bytes).get()
    }
}

impl Default for Digest {
    fn default() -> Digest {
        Digest::new()
    }
}

/// What is printed into it is mixed in, so that a value's text need not be kept to be digested.
impl fmt::Write for Digest {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        *self = self.with(text.as_bytes());
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fmt::Write;

    #[test]
    fn it_gives_the_published_values() {
        // Test vectors of the hash's authors, as printed with the algorithm (from memory).
        assert_eq!(Digest::of(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(Digest::of(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(Digest::of(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn printing_into_it_is_the_same_as_giving_it_the_bytes() {
        let mut printed = Digest::new();
        for part in ["foo", "bar"] {
            write!(printed, "{part:?}").expect("it takes anything");
        }
        assert_eq!(printed.get(), Digest::of(b"\"foo\"\"bar\""));
    }
}
