//! A list with a bound: what comes when it is full is counted and not kept, so that a job in which something rings
//! without end neither fills the memory nor loses a thing without a word.

use std::ops::{Deref, DerefMut};

/// At most `MOST` things, and how many more there were.
#[derive(Clone, Debug)]
pub(super) struct Kept<T, const MOST: usize> {
    list: Vec<T>,
    beyond: u64,
}

impl<T, const MOST: usize> Kept<T, MOST> {
    /// Keeps a thing, or counts it. Its place in the list where it was kept.
    pub(super) fn keep(&mut self, thing: T) -> Option<usize> {
        self.keep_up_to(MOST, thing)
    }

    /// As [`Kept::keep`], of a kind that may fill only so much of the list: the rest is for what is graver.
    pub(super) fn keep_up_to(&mut self, most: usize, thing: T) -> Option<usize> {
        if self.list.len() < most.min(MOST) {
            self.list.push(thing);
            Some(self.list.len() - 1)
        } else {
            self.beyond += 1;
            None
        }
    }

    /// How many were counted and not kept.
    pub(super) fn beyond(&self) -> u64 {
        self.beyond
    }
}

impl<T, const MOST: usize> Default for Kept<T, MOST> {
    fn default() -> Self {
        Kept {
            list: Vec::new(),
            beyond: 0,
        }
    }
}

impl<T, const MOST: usize> Deref for Kept<T, MOST> {
    type Target = [T];

    fn deref(&self) -> &[T] {
        &self.list
    }
}

impl<T, const MOST: usize> DerefMut for Kept<T, MOST> {
    fn deref_mut(&mut self) -> &mut [T] {
        &mut self.list
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_when_it_is_full_is_counted() {
        let mut list: Kept<i32, 3> = Kept::default();
        let places: Vec<Option<usize>> = (10..15).map(|n| list.keep(n)).collect();
        assert_eq!(places, [Some(0), Some(1), Some(2), None, None]);
        assert_eq!((&*list, list.beyond()), ([10, 11, 12].as_slice(), 2));
    }

    #[test]
    fn the_graver_has_room_where_the_rest_has_none() {
        let mut list: Kept<&str, 3> = Kept::default();
        for _ in 0..5 {
            list.keep_up_to(2, "valve");
        }
        list.keep("death");
        assert_eq!(
            (&*list, list.beyond()),
            (["valve", "valve", "death"].as_slice(), 3)
        );
    }
}
