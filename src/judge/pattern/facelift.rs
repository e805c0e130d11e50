//! Facelifts: model years at which other points of the same model seem to change. What changes, changes together
//! rather than alone.

use std::collections::BTreeMap;

use super::doubt::Doubt;
use super::evidence::Evidence;
use super::timeline::Timeline;
use super::weigh::{Pattern, weigh};
use crate::judge::answer::every_answer;
use crate::judge::bucket::Bucket;
use crate::vehicle::{ModelYear, Vehicle};

/// How likely a point changes at each model year.
pub type Changes = BTreeMap<ModelYear, f64>;

/// How much likelier a change is at some model years than it would be without knowing other points.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facelift {
    factors: BTreeMap<ModelYear, f64>,
    elsewhere: f64,
}

impl Facelift {
    /// What the other points of a model tell of one.
    #[must_use]
    pub fn of<'c>(others: impl Iterator<Item = &'c Changes>, doubt: &Doubt) -> Self {
        let together = doubt.changes.together;
        let mut none: BTreeMap<ModelYear, f64> = BTreeMap::new();
        for changes in others {
            for (year, chance) in changes {
                *none.entry(*year).or_insert(1.0) *= 1.0 - together * chance;
            }
        }
        let whole: f64 = none.values().map(|none| 1.0 - none).sum();
        let scale = if whole > 1.0 { 1.0 / whole } else { 1.0 };
        let unknown = (1.0 - whole).max(0.0);
        let factor = |chance: f64| 1.0 - together + together * (doubt.changes.life * chance + unknown);
        let factors = none.into_iter().map(|(year, none)| (year, factor((1.0 - none) * scale))).collect();
        Self { factors, elsewhere: factor(0.0) }
    }

    /// How much likelier a change is at this year.
    #[must_use]
    pub fn factor(&self, start: ModelYear) -> f64 {
        if self.factors.is_empty() {
            return 1.0;
        }
        self.factors.get(&start).copied().unwrap_or(self.elsewhere)
    }
}

/// What all points of a model but the one at `own` tell of it.
#[must_use]
pub fn beside(changes: &[Changes], own: usize, doubt: &Doubt) -> Facelift {
    Facelift::of(changes.iter().enumerate().filter(|(at, _)| *at != own).map(|(_, changes)| changes), doubt)
}

/// How likely a point changes at each model year, by what was seen of it alone.
#[must_use]
pub fn changes(bucket: &Bucket, doubt: &Doubt) -> Changes {
    let mut found = Changes::new();
    if bucket.several || bucket.live_claims().len() < 2 {
        return found;
    }
    let asked = Vehicle::default();
    let candidates = every_answer(bucket, None);
    if candidates.len() < 2 {
        return found;
    }
    let evidence = Evidence::gather(bucket, &candidates, &asked, doubt);
    if evidence.rows.is_empty() {
        return found;
    }
    let timeline = Timeline::new(bucket, &evidence, None, &Facelift::default(), doubt);
    for weighed in weigh(&evidence, &timeline, &[], doubt) {
        let gaps = match weighed.pattern {
            Pattern::Year(gap) => vec![gap],
            Pattern::Years(first, second) => vec![first, second],
            _ => Vec::new(),
        };
        for (start, share) in gaps.into_iter().flat_map(|gap| timeline.starts(gap)) {
            *found.entry(start).or_default() += weighed.chance * share;
        }
    }
    found
}
