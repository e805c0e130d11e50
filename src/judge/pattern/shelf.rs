//! Shelves: piles in the order of the model years, and everything before and after each gap taken together.
//!
//! At a gap of one year the written year of what stands beside it may be off by one: there the blurred piles count.

use super::pile::{Pile, TwoPiles};

/// Piles that can be taken together.
pub trait Together {
    /// Both together.
    #[must_use]
    fn together(&self, other: &Self) -> Self;
}

impl Together for Pile {
    fn together(&self, other: &Self) -> Self {
        self.and(other)
    }
}

impl Together for TwoPiles {
    fn together(&self, other: &Self) -> Self {
        self.and(other)
    }
}

/// Piles by year.
#[derive(Debug)]
pub struct Shelf<P> {
    plain: Vec<P>,
    edge: Vec<P>,
    all: P,
    until: Vec<P>,
    from: Vec<P>,
}

impl<P: Clone + Together> Shelf<P> {
    /// Of each year its pile, plain and blurred. Gap `g` lies before year `g`.
    #[must_use]
    pub fn new(empty: P, plain: Vec<P>, edge: Vec<P>, is_close: impl Fn(usize) -> bool) -> Self {
        let len = plain.len();
        let beside = |at: usize, gap: usize| if is_close(gap) { &edge[at] } else { &plain[at] };
        let mut until = vec![empty.clone()];
        let mut before = empty.clone();
        for gap in 1..len {
            until.push(before.together(beside(gap - 1, gap)));
            before = before.together(&plain[gap - 1]);
        }
        let all = plain.last().map_or_else(|| empty.clone(), |last| before.together(last));
        let mut from = vec![empty.clone(); len.max(1)];
        let mut after = empty;
        for gap in (1..len).rev() {
            from[gap] = after.together(beside(gap, gap));
            after = after.together(&plain[gap]);
        }
        Self { plain, edge, all, until, from }
    }

    /// Everything.
    #[must_use]
    pub fn all(&self) -> &P {
        &self.all
    }

    /// Everything before a gap.
    #[must_use]
    pub fn until(&self, gap: usize) -> &P {
        &self.until[gap]
    }

    /// Everything after a gap.
    #[must_use]
    pub fn from(&self, gap: usize) -> &P {
        &self.from[gap]
    }

    /// A year, its written year certain.
    #[must_use]
    pub fn plain(&self, at: usize) -> &P {
        &self.plain[at]
    }

    /// A year, its written year not certain.
    #[must_use]
    pub fn at_edge(&self, at: usize) -> &P {
        &self.edge[at]
    }
}
