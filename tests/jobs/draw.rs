//! Chance for random jobs: SplitMix64 (Steele, Lea, Flood 2014; constants from memory, and any would do), and
//! whole numbers made of its words. Nothing here is a float, so a seed gives the same job on any machine.

/// One stream of random words.
pub struct Draw(u64);

impl Draw {
    /// The stream of a seed and an attempt.
    pub fn new(seed: u64, attempt: u64) -> Draw {
        let mut draw = Draw(seed);
        draw.0 = draw.word() ^ attempt.wrapping_mul(0x2545_f491_4f6c_dd1d);
        draw
    }

    /// The next 64 bits.
    pub fn word(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number from `low` to `high`, both in it; `low` where there is nothing between.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        let count = (high - low + 1).max(1) as u128;
        low + ((u128::from(self.word()) * count) >> 64) as i64
    }

    /// Whether something happens that happens so often of a hundred times.
    pub fn percent(&mut self, often: i64) -> bool {
        self.between(1, 100) <= often
    }

    /// One of several.
    ///
    /// # Panics
    /// When there is none.
    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.between(0, of.len() as i64 - 1) as usize]
    }
}

/// A whole number of tenths as text: 1184 is `118.4`.
pub fn tenths(value: i64) -> String {
    format!("{}.{}", value / 10, value % 10)
}

/// A whole number of hundredths as text.
pub fn hundredths(value: i64) -> String {
    format!("{}.{:02}", value / 100, value % 100)
}
