//! The model years on which something was seen, and the asked one, with the gaps between them in which a change may
//! lie.

use std::collections::BTreeMap;

use super::doubt::Doubt;
use super::evidence::Evidence;
use super::facelift::Facelift;
use crate::judge::bucket::Bucket;
use crate::note::Basis;
use crate::vehicle::{ModelYear, Scope, Vehicle};

/// Years in order. Gap `g` lies before the year `g`; there is none before the first.
#[derive(Debug, Clone)]
pub struct Timeline {
    years: Vec<ModelYear>,
    /// For each year from the first on, how much likelier a change is there than anywhere.
    factors: Vec<f64>,
    weights: Vec<f64>,
    asked_before: Vec<f64>,
}

impl Timeline {
    /// The years of what was seen, and of the vehicle that is asked about, if one is.
    #[must_use]
    pub fn new(
        bucket: &Bucket,
        evidence: &Evidence,
        asked: Option<&Vehicle>,
        facelift: &Facelift,
        doubt: &Doubt,
    ) -> Self {
        let mut possible: BTreeMap<ModelYear, f64> =
            evidence.rows.iter().map(|row| (row.year, 0.0)).collect();
        match asked.map(Vehicle::year) {
            Some(Some(year)) => *possible.entry(year).or_default() = 1.0,
            Some(None) => claimed(bucket, &mut possible),
            None => {}
        }
        let years: Vec<ModelYear> = possible.keys().copied().collect();
        let factors = factors(bucket, &years, facelift, doubt);
        let weights = weights(&years, &factors, doubt);
        Self { years, factors, weights, asked_before: shares_before(&possible) }
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

    /// The gap in which a year begins something new, and the share of its weight that falls on this year.
    #[must_use]
    pub fn gap_of(&self, start: ModelYear) -> Option<(usize, f64)> {
        let gap = self.years.partition_point(|year| *year < start);
        let inside = gap > 0 && gap < self.len();
        let share = || self.starts(gap).find(|(year, _)| *year == start).map_or(0.0, |(_, share)| share);
        inside.then(|| (gap, share()))
    }

    /// The years at which a change in a gap may begin, with their shares of its weight.
    pub fn starts(&self, gap: usize) -> impl Iterator<Item = (ModelYear, f64)> {
        let (before, last) = (self.years[gap - 1].get(), self.years[gap].get());
        let first = self.years[0].get();
        let factors = &self.factors[usize::from(before + 1 - first)..=usize::from(last - first)];
        let whole: f64 = factors.iter().sum();
        (before + 1..=last).zip(factors).map(move |(year, factor)| (ModelYear::new(year), factor / whole))
    }
}

/// The scopes of live notes whose basis is wanted, each with the number of these notes.
fn claimed_by(bucket: &Bucket, wanted: impl Fn(Basis) -> bool) -> impl Iterator<Item = (&Scope, i32)> {
    let mut notes = vec![0; bucket.scopes.len()];
    for entry in bucket.live().filter(|entry| wanted(entry.basis)) {
        notes[entry.scope as usize] += 1;
    }
    bucket.scopes.iter().zip(notes).filter(|(_, notes)| *notes > 0)
}

/// How much likelier a change is at each year: where notes that were seen begin or end, and where other points change.
fn factors(bucket: &Bucket, years: &[ModelYear], facelift: &Facelift, doubt: &Doubt) -> Vec<f64> {
    let (Some(first), Some(last)) = (years.first(), years.last()) else { return Vec::new() };
    let mut counts = vec![0_i32; usize::from(last.get() - first.get()) + 1];
    for (scope, notes) in claimed_by(bucket, |basis| basis != Basis::Told) {
        let years = scope.years();
        let (from, to) = (years.from().map(ModelYear::get), years.to().map(|to| to.get() + 1));
        for start in from.into_iter().chain(to).filter_map(|start| start.checked_sub(first.get())) {
            if let Some(count) = counts.get_mut(usize::from(start)) {
                *count += notes;
            }
        }
    }
    let most = doubt.changes.scope_names_year - 1.0;
    let years = first.get()..=last.get();
    let factor = |(year, count): (u16, i32)| {
        (1.0 + most * (1.0 - 0.5_f64.powi(count))) * facelift.factor(ModelYear::new(year))
    };
    years.zip(counts).map(factor).collect()
}

/// The chance that a change lies in each gap: more where it is wide, and where years are named.
fn weights(years: &[ModelYear], factors: &[f64], doubt: &Doubt) -> Vec<f64> {
    const MOST: f64 = 0.95;
    let place = |gap: usize| usize::from(years[gap].get() - years[0].get());
    let weight = |gap: usize| match gap {
        0 => 0.0,
        gap => factors[place(gap - 1) + 1..=place(gap)].iter().sum::<f64>() / doubt.changes.life,
    };
    let mut weights: Vec<f64> = (0..years.len()).map(weight).collect();
    let whole: f64 = weights.iter().sum();
    if whole > MOST {
        weights.iter_mut().for_each(|weight| *weight *= MOST / whole);
    }
    weights
}

/// Where the asked year is not known, it may be any that notes claim, and rather one that many do.
fn claimed(bucket: &Bucket, possible: &mut BTreeMap<ModelYear, f64>) {
    const MOST: u16 = 40;
    for (scope, notes) in claimed_by(bucket, |_| true) {
        let years = scope.years();
        if let (Some(from), Some(to)) = (years.from(), years.to()) {
            for year in from.get()..=to.get().min(from.get() + MOST) {
                *possible.entry(ModelYear::new(year)).or_default() += f64::from(notes);
            }
        }
    }
}

/// For each year, the chance that the asked one is earlier.
fn shares_before(possible: &BTreeMap<ModelYear, f64>) -> Vec<f64> {
    let whole = possible.values().sum::<f64>().max(f64::MIN_POSITIVE);
    let mut before = 0.0;
    let share = |weight: &f64| {
        let share = before / whole;
        before += weight;
        share
    };
    possible.values().map(share).collect()
}
