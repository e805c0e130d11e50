//! A span of consecutive steps, inclusive at both ends, where either end may be open.
//!
//! It owns the set arithmetic that model years and build months share: meeting, holding, joining.
//! What a step is, and how a span is written, its users say.

use serde::{Deserialize, Serialize};

/// A thing that comes in steps, one directly after the other.
pub trait Step: Copy + Ord {
    /// The step directly after this one.
    #[must_use]
    fn following(self) -> Self;
}

/// The steps from `from` to `to`, both included; an end that is `None` is open. Never empty and
/// never reversed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Span<T> {
    from: Option<T>,
    to: Option<T>,
}

impl<T> Default for Span<T> {
    fn default() -> Self {
        Self::ALL
    }
}

impl<T> Span<T> {
    /// Every step: open at both ends.
    pub const ALL: Self = Self { from: None, to: None };
}

impl<T: Step> Span<T> {
    /// The span between two ends; `None` where they are reversed.
    #[must_use]
    pub fn new(from: Option<T>, to: Option<T>) -> Option<Self> {
        match (from, to) {
            (Some(a), Some(b)) if a > b => None,
            _ => Some(Self { from, to }),
        }
    }

    /// Exactly one step.
    #[must_use]
    pub fn one(step: T) -> Self {
        Self { from: Some(step), to: Some(step) }
    }

    /// `step` and all after it.
    #[must_use]
    pub fn starting(step: T) -> Self {
        Self { from: Some(step), to: None }
    }

    /// `step` and all before it.
    #[must_use]
    pub fn ending(step: T) -> Self {
        Self { from: None, to: Some(step) }
    }

    /// The first step; `None` where the start is open.
    #[must_use]
    pub fn from(&self) -> Option<T> {
        self.from
    }

    /// The last step; `None` where the end is open.
    #[must_use]
    pub fn to(&self) -> Option<T> {
        self.to
    }

    /// The step that this span is, where it is exactly one.
    #[must_use]
    pub fn only_step(&self) -> Option<T> {
        self.from.filter(|_| self.from == self.to)
    }

    /// Whether both ends are open.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.from.is_none() && self.to.is_none()
    }

    /// Whether `step` lies in the span.
    #[must_use]
    pub fn holds(&self, step: T) -> bool {
        self.contains(&Self::one(step))
    }

    /// Whether every step of `other` lies in this span.
    #[must_use]
    pub fn contains(&self, other: &Self) -> bool {
        let starts = self.from.is_none_or(|a| other.from.is_some_and(|b| a <= b));
        let ends = self.to.is_none_or(|a| other.to.is_some_and(|b| b <= a));
        starts && ends
    }

    /// Whether some step lies in both.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.intersection(other).is_some()
    }

    /// The steps that lie in both; `None` where there are none.
    #[must_use]
    pub fn intersection(&self, other: &Self) -> Option<Self> {
        Self::new(self.from.max(other.from), earlier(self.to, other.to))
    }

    /// The steps that lie in either, where they are one span: the two overlap, or one follows the
    /// other directly.
    #[must_use]
    pub fn joined(&self, other: &Self) -> Option<Self> {
        (self.reaches(other) && other.reaches(self)).then(|| Self {
            from: self.from.min(other.from),
            to: self.to.and_then(|a| other.to.map(|b| a.max(b))),
        })
    }

    /// Whether no step lies free between the end of this span and the start of `other`.
    fn reaches(&self, other: &Self) -> bool {
        match (self.to, other.from) {
            (Some(end), Some(start)) => start <= end.following(),
            _ => true,
        }
    }
}

/// The earlier of two ends, where `None` is an open one.
fn earlier<T: Ord>(a: Option<T>, b: Option<T>) -> Option<T> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (a, None) => a,
        (None, b) => b,
    }
}

#[cfg(test)]
mod tests {
    use crate::vehicle::{ModelYear, Years};

    fn years(from: u16, to: u16) -> Years {
        let end = |year: u16| (year != 0).then(|| ModelYear::new(year));
        Years::new(end(from), end(to)).expect("a test span is not reversed")
    }

    #[test]
    fn two_spans_meet_hold_and_join() {
        let check = |a: Years, b: Years, meet: &str, joined: &str, holds: bool| {
            let show = |span: Option<Years>| span.map_or("none".to_owned(), |s| s.to_string());
            assert_eq!(show(a.intersection(&b)), meet, "{a} and {b}");
            assert_eq!(show(b.intersection(&a)), meet, "{b} and {a}");
            assert_eq!(show(a.joined(&b)), joined, "{a} with {b}");
            assert_eq!(show(b.joined(&a)), joined, "{b} with {a}");
            assert_eq!(a.overlaps(&b), meet != "none", "{a} overlaps {b}");
            assert_eq!(a.contains(&b), holds, "{a} holds {b}");
        };
        check(years(2015, 2019), years(2017, 2020), "2017-2019", "2015-2020", false);
        check(years(2015, 2016), years(2017, 2019), "none", "2015-2019", false);
        check(years(2015, 2016), years(2018, 2019), "none", "none", false);
        check(years(2015, 0), years(2017, 2019), "2017-2019", "2015-", true);
        check(years(0, 2016), years(2017, 0), "none", "all years", false);
        check(years(0, 2016), years(2018, 0), "none", "none", false);
        check(years(0, 0), years(2018, 0), "2018-", "all years", true);
        check(years(2016, 2016), years(2016, 2016), "2016", "2016", true);
        check(years(2016, 2019), years(0, 2019), "2016-2019", "-2019", false);
    }
}
