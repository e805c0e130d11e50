//! The model years on which something was seen, and the asked one, with the gaps between them in which a change may
//! lie.

use std::collections::BTreeMap;

use super::doubt::Doubt;
use super::evidence::{Evidence, Where};
use crate::judge::bucket::Bucket;
use crate::note::Basis;
use crate::vehicle::{ModelYear, Vehicle};

/// Years in order. Gap `g` lies before the year `g`; there is none before the first.
#[derive(Debug, Clone)]
pub struct Timeline {
    years: Vec<ModelYear>,
    weights: Vec<f64>,
    asked_before: Vec<f64>,
}

impl Timeline {
    /// The years of what was seen and of the asked vehicle.
    #[must_use]
    pub fn new(bucket: &Bucket, evidence: &Evidence, asked: &Vehicle, doubt: &Doubt) -> Self {
        let mut counts: BTreeMap<ModelYear, f64> = BTreeMap::new();
        for row in &evidence.rows {
            *counts.entry(row.year).or_default() += f64::from(row.count);
        }
        if let Some(year) = asked.year() {
            counts.entry(year).or_default();
        }
        let years: Vec<ModelYear> = counts.keys().copied().collect();
        let weights = weights(bucket, &years, doubt);
        let asked_before = match asked.year() {
            Some(asked) => years.iter().map(|year| if asked < *year { 1.0 } else { 0.0 }).collect(),
            None => shares_before(&counts),
        };
        Self { years, weights, asked_before }
    }

    /// How many years.
    #[must_use]
    pub fn len(&self) -> usize {
        self.years.len()
    }

    /// The place of a year.
    #[must_use]
    pub fn at(&self, year: ModelYear) -> usize {
        self.years.binary_search(&year).unwrap_or_else(|at| at.min(self.years.len() - 1))
    }

    /// The chance that a change, where there is one, lies in a gap.
    #[must_use]
    pub fn weight(&self, gap: usize) -> f64 {
        self.weights[gap]
    }

    /// The chance that a change lies in any gap.
    #[must_use]
    pub fn inside(&self) -> f64 {
        self.weights.iter().sum()
    }

    /// The chance that the asked vehicle stands before a gap.
    #[must_use]
    pub fn asked_before(&self, gap: usize) -> f64 {
        self.asked_before[gap]
    }

    /// Whether the years beside a gap follow each other.
    #[must_use]
    pub fn is_close(&self, gap: usize) -> bool {
        self.years[gap].get() - self.years[gap - 1].get() == 1
    }

    /// Whether a year stands beside a gap of one year.
    #[must_use]
    pub fn near_gap(&self, at: usize) -> bool {
        (at > 0 && self.is_close(at)) || (at + 1 < self.len() && self.is_close(at + 1))
    }

    /// The years at which a change in a gap may begin.
    pub fn starts(&self, gap: usize) -> impl Iterator<Item = ModelYear> {
        (self.years[gap - 1].get() + 1..=self.years[gap].get()).map(ModelYear::new)
    }
}

/// The chance that a change lies in each gap: more where it is wide, and where notes that were seen begin or end.
fn weights(bucket: &Bucket, years: &[ModelYear], doubt: &Doubt) -> Vec<f64> {
    let mut named: BTreeMap<u16, u32> = BTreeMap::new();
    for entry in bucket.live().filter(|entry| entry.basis != Basis::Told) {
        let years = bucket.scope(entry).years();
        let (from, to) = (years.from().map(ModelYear::get), years.to().map(|to| to.get() + 1));
        for start in from.into_iter().chain(to) {
            *named.entry(start).or_default() += 1;
        }
    }
    let weight = |start: u16| match named.get(&start) {
        Some(count) => 1.0 + (doubt.changes.scope_names_year - 1.0) * (1.0 - 0.5_f64.powi(*count as i32)),
        None => 1.0,
    };
    let mut weights: Vec<f64> = vec![0.0; years.len()];
    for gap in 1..years.len() {
        let starts = years[gap - 1].get() + 1..=years[gap].get();
        weights[gap] = starts.map(weight).sum::<f64>() / doubt.changes.life;
    }
    let whole: f64 = weights.iter().sum();
    let most = 0.95;
    if whole > most {
        weights.iter_mut().for_each(|weight| *weight *= most / whole);
    }
    weights
}

/// Where the asked year is not known: the share of what was seen before each gap.
fn shares_before(counts: &BTreeMap<ModelYear, f64>) -> Vec<f64> {
    let whole: f64 = counts.values().sum::<f64>().max(1.0);
    let mut before = 0.0;
    counts
        .values()
        .map(|count| {
            let share = before / whole;
            before += count;
            share
        })
        .collect()
}

/// Whether something was seen on the vehicle itself, and not told of a scope.
#[must_use]
pub fn is_vehicle(at: Where) -> bool {
    matches!(at, Where::Seen(_))
}
