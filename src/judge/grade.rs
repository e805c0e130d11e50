//! Grades: how far an answer can be trusted, and the facts that a reader needs to believe it.
//!
//! The rules are those of the glossary in DEVELOPERS.md. Which notes back an answer is `answer`'s to say.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Bound;

use serde::Serialize;

use super::bucket::{Bucket, Entry};
use super::sides;
use crate::note::Basis;
use crate::vehicle::{Match, ModelYear};

/// How far an answer can be trusted; the surest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Grade {
    /// Two or more independent observations cover this vehicle, one of them metered or fitted.
    Proven,
    /// One observation covers it, or a diagram takes it in.
    Backed,
    /// The same on an earlier and a later year at most three years apart.
    Between,
    /// Claimed for it, but seen only on others, or only told.
    Thin,
    /// An open conflict touches it.
    Disputed,
    /// Nothing is known.
    Blank,
}

impl Grade {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        ["proven", "backed", "between", "thin", "disputed", "blank"][self as usize]
    }
}

/// Model years between which the same answer on both sides counts for what lies between. The figure is
/// the shop's own experience: right 97 times in 100; common practice, no source.
const BETWEEN_YEARS: u16 = 3;

/// What was found when an answer was graded.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Evidence {
    /// Distinct observations that cover the asked vehicle.
    pub covering: usize,
    /// Distinct observations in all, on whatever vehicle.
    pub observations: usize,
    /// How many of those that count were made on which basis, each by its strongest, the strongest first: of the
    /// covering ones where there are any, else of all observations.
    pub by_basis: Vec<(Basis, usize)>,
    /// Of a field that must agree and that the answer gives, how many of those that count say nothing: of the first
    /// such field, and of those in which the answers differ. None where all do say it.
    pub silent: Vec<(String, usize)>,
    /// The latest date among those that count, in days since 1970-01-01.
    pub last: Option<i32>,
    /// Whether everything behind it is word of mouth.
    pub only_told: bool,
    /// A wiring diagram takes the vehicle in.
    pub diagram: bool,
    /// The same value was seen on an earlier and a later year.
    pub between: Option<(ModelYear, ModelYear)>,
    /// The model years on which it was seen.
    pub years_seen: BTreeSet<ModelYear>,
    /// What decides whether the open conflict touches the asked vehicle; empty where it surely does.
    pub dispute_depends_on: BTreeSet<String>,
}

/// The asked vehicle as the bucket sees it: how each scope matches and which seen vehicles cover it.
#[derive(Debug)]
pub struct Asked {
    /// For each scope, how it matches.
    pub matches: Vec<Match>,
    /// For each seen vehicle, whether it covers the asked one.
    pub covers: Vec<bool>,
    /// For each seen vehicle, whether some attribute that matters differs from the asked one.
    pub differs: Vec<bool>,
    /// The model year asked for.
    pub year: Option<ModelYear>,
}

impl Asked {
    /// Whether an entry was seen on a vehicle that covers the asked one.
    #[must_use]
    pub fn covered_by(&self, entry: &Entry) -> bool {
        entry.is_observation() && self.covers[entry.seen as usize - 1]
    }
}

/// Gathers the evidence: `backing` are the notes that count for this vehicle, `anywhere` those that say the same
/// on any vehicle of the model. Both are numbers into `Bucket::entries`.
#[must_use]
pub fn evidence(bucket: &Bucket, asked: &Asked, backing: &[usize], anywhere: &[usize]) -> Evidence {
    let entries = |list: &[usize]| list.iter().map(|at| &bucket.entries[*at]).collect::<Vec<_>>();
    let backing = entries(backing);
    let observed: Vec<&Entry> = backing.iter().copied().filter(|entry| entry.is_observation()).collect();
    let covering: Vec<&Entry> = observed.iter().copied().filter(|entry| asked.covered_by(entry)).collect();
    let bases = |entries: &[&Entry]| sides::bases(bucket, entries.iter().copied());
    let (of_it, of_any) = (bases(&covering), bases(&observed));
    let (counted, counting) = if covering.is_empty() { (&observed, &of_any) } else { (&covering, &of_it) };
    Evidence {
        covering: of_it.len(),
        observations: of_any.len(),
        by_basis: by_basis(counting),
        silent: Vec::new(),
        last: counted.iter().map(|entry| entry.on).max(),
        only_told: backing.iter().all(|entry| entry.basis == Basis::Told),
        diagram: backing.iter().any(|entry| {
            entry.basis == Basis::Diagram && asked.matches[entry.scope as usize] == Match::Applies
        }),
        between: between(bucket, asked, &entries(anywhere)),
        years_seen: years_seen(bucket, &observed, |_| true),
        dispute_depends_on: BTreeSet::new(),
    }
}

/// The observations that count for an answer backed by these notes: the covering ones where there are any, else all.
#[must_use]
pub fn counted<'b>(bucket: &'b Bucket, asked: &Asked, backing: &[usize]) -> Vec<Vec<&'b Entry>> {
    let entries = || backing.iter().map(|at| &bucket.entries[*at]);
    let covering = sides::observed(bucket, entries().filter(|entry| asked.covered_by(entry)));
    if covering.is_empty() { sides::observed(bucket, entries()) } else { covering }
}

impl Evidence {
    /// Whether an observation that counts was metered or fitted.
    #[must_use]
    pub fn is_proof(&self) -> bool {
        self.by_basis.first().is_some_and(|(basis, _)| basis.is_proof())
    }
}

/// Observations by their strongest bases.
fn by_basis(observed: &[Basis]) -> Vec<(Basis, usize)> {
    let mut counts: BTreeMap<Basis, usize> = BTreeMap::new();
    for basis in observed {
        *counts.entry(*basis).or_default() += 1;
    }
    counts.into_iter().collect()
}

/// The model years of the seen vehicles of these notes, as far as they are wanted: numbers into `Bucket::seen`.
fn years_seen(bucket: &Bucket, entries: &[&Entry], wanted: impl Fn(usize) -> bool) -> BTreeSet<ModelYear> {
    let mut is_seen = vec![false; bucket.seen.len()];
    entries.iter().filter(|entry| entry.is_observation()).for_each(|entry| {
        is_seen[entry.seen as usize - 1] = true;
    });
    let seen = bucket.seen.iter().enumerate().filter(|(at, _)| is_seen[*at] && wanted(*at));
    seen.filter_map(|(_, vehicle)| vehicle.year()).collect()
}

/// The nearest earlier and later years on which the same was seen, where they are close enough.
fn between(bucket: &Bucket, asked: &Asked, anywhere: &[&Entry]) -> Option<(ModelYear, ModelYear)> {
    let year = asked.year?;
    let years = years_seen(bucket, anywhere, |seen| !asked.differs[seen]);
    let earlier = years.range(..year).next_back()?;
    let later = years.range((Bound::Excluded(year), Bound::Unbounded)).next()?;
    (later.get() - earlier.get() <= BETWEEN_YEARS).then_some((*earlier, *later))
}

/// The grade of an answer that no open conflict touches; `against` says whether an observation or a diagram
/// speaks against it.
#[must_use]
pub fn undisputed(evidence: &Evidence, against: bool) -> Grade {
    if against {
        Grade::Thin
    } else if evidence.covering >= 2 && evidence.is_proof() {
        Grade::Proven
    } else if evidence.covering >= 1 || evidence.diagram {
        Grade::Backed
    } else if evidence.between.is_some() {
        Grade::Between
    } else {
        Grade::Thin
    }
}
