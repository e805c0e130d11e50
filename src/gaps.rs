//! What the book lacks: the points that are blank, thin or disputed on some years of a model, the most useful first.
//! Joins storage and judgement; how it looks is `show`'s business.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError, Demand, KnownModel};
use crate::judge::answer::judge;
use crate::judge::bucket::{Bucket, Entry};
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::note::NoteId;
use crate::vehicle::{ModelYear, Vehicle, Years};

/// One point that is lacking on some years of a model.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// The model.
    pub model: KnownModel,
    /// The point, by number in the catalogue.
    pub point: usize,
    /// Disputed, thin or blank.
    pub grade: Grade,
    /// The model years, as few ranges as possible; all where no note of the model names a year.
    pub years: Vec<Years>,
    /// The open conflict, by the note that names it.
    pub conflict: Option<NoteId>,
    /// How often a vehicle of these years was before somebody who wrote a note: distinct vehicles and days.
    pub visits: usize,
    /// The last such day, in days since 1970-01-01.
    pub last: Option<i32>,
    /// How useful it would be to know: visits, weighed by their age, times what the point is worth.
    pub use_of_it: f64,
}

/// The points that are looked at, each with what it is worth: 1 where it was asked for, else its share of the notes.
#[derive(Debug, Clone)]
pub struct Wanted(Vec<(usize, f64)>);

/// A vehicle that nobody wrote of may still come in: each claimed year counts as this part of a visit of today. Our
/// own choice, no source: it only orders what nobody has met.
const UNSEEN: f64 = 0.02;

/// More years than a model has.
const MANY_YEARS: f64 = 200.0;

/// What a gap costs: a wrong wire or an open question costs more than an answer that has to be metered anyway. Our
/// own choice, no source.
fn cost(grade: Grade) -> f64 {
    match grade {
        Grade::Disputed | Grade::Blank => 1.0,
        Grade::Thin => 0.5,
        Grade::Between | Grade::Backed | Grade::Proven => 0.0,
    }
}

impl Wanted {
    /// The points that were asked for, else those on which the book has notes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn new(book: &Book, language: &Language, asked: &[usize]) -> Result<Self, BookError> {
        if !asked.is_empty() {
            return Ok(Self(asked.iter().map(|point| (*point, 1.0)).collect()));
        }
        let noted = book.notes_by_point()?;
        let all: u64 = noted.iter().map(|(_, notes)| notes).sum();
        let share = |(name, notes): (String, u64)| {
            language.catalogue.point(&name).map(|point| (point, notes as f64 / all.max(1) as f64))
        };
        Ok(Self(noted.into_iter().filter_map(share).collect()))
    }

    fn greatest(&self) -> f64 {
        self.0.iter().map(|(_, worth)| *worth).fold(0.0, f64::max)
    }
}

/// The `most` most useful gaps of these models; `vehicle` is what is known of the vehicles that are meant. Models are
/// in the order of their demand, and no more of them are looked at than can have one.
///
/// # Errors
/// The book cannot be read.
pub fn find(
    book: &Book,
    language: &Language,
    demand: &[Demand],
    vehicle: &Vehicle,
    wanted: &Wanted,
    most: usize,
) -> Result<Vec<Gap>, BookError> {
    let mut found: Vec<Gap> = Vec::new();
    let today = crate::note::day_of(language.today);
    for one in demand {
        let bound = (one.weight + UNSEEN * MANY_YEARS) * wanted.greatest();
        if most.checked_sub(1).and_then(|last| found.get(last)).is_some_and(|gap| gap.use_of_it > bound) {
            break;
        }
        let Some(model) = book.model(one.model)? else { continue };
        let buckets = book.buckets(language, one.model)?;
        let buckets = buckets.into_iter().map(|(_, point, bucket)| (point, bucket)).collect();
        found.extend(Looking { model, buckets, vehicle, today }.gaps(wanted));
        found.sort_by(most_useful_first);
        found.truncate(most);
    }
    Ok(found)
}

/// Ties by names and not by numbers: the order of intake must not be seen.
fn most_useful_first(a: &Gap, b: &Gap) -> Ordering {
    let name = |gap: &Gap| (gap.model.make.clone(), gap.model.model.clone(), gap.point);
    b.use_of_it.total_cmp(&a.use_of_it).then_with(|| name(a).cmp(&name(b)))
}

/// One model being looked at.
struct Looking<'v> {
    model: KnownModel,
    buckets: BTreeMap<usize, Bucket>,
    vehicle: &'v Vehicle,
    today: i32,
}

impl Looking<'_> {
    fn gaps(&self, wanted: &Wanted) -> Vec<Gap> {
        let years = self.vehicle.year().map_or_else(|| self.known_years(), Years::one);
        let visits = self.visits();
        let mut gaps: Vec<Gap> = Vec::new();
        for (point, worth) in &wanted.0 {
            let mut of_point = self.of_point(*point, years);
            of_point.iter_mut().for_each(|gap| self.weigh(gap, *worth, &visits));
            gaps.extend(of_point);
        }
        gaps
    }

    /// The model years that notes claim or were seen on. An open end reaches as far as another note names a year.
    fn known_years(&self) -> Years {
        let mut named: Vec<ModelYear> = Vec::new();
        for bucket in self.buckets.values() {
            let ends = bucket.scopes.iter().flat_map(|scope| [scope.years().from(), scope.years().to()]);
            named.extend(ends.flatten());
            named.extend(bucket.seen.iter().filter_map(Vehicle::year));
        }
        Years::new(named.iter().min().copied(), named.iter().max().copied()).unwrap_or(Years::ALL)
    }

    /// Which vehicle was seen on which day, whatever the point.
    fn visits(&self) -> BTreeSet<(&Vehicle, i32)> {
        let mut visits = BTreeSet::new();
        for bucket in self.buckets.values() {
            let seen = |entry: &Entry| bucket.seen(entry).map(|seen| (seen, entry.on));
            visits.extend(bucket.entries.iter().filter_map(seen));
        }
        visits
    }

    /// Where one point is lacking, a gap for each grade.
    fn of_point(&self, point: usize, years: Years) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = Vec::new();
        for asked in self.vehicles(years) {
            let judged = self.buckets.get(&point).map(|bucket| judge(bucket, &asked));
            let grade = judged.as_ref().map_or(Grade::Blank, |judged| judged.grade);
            let span = asked.year().map_or(Years::ALL, Years::one);
            let conflict = judged.and_then(|judged| judged.conflict).filter(|_| grade == Grade::Disputed);
            match gaps.iter_mut().find(|gap| gap.grade == grade) {
                Some(gap) => gap.add(span, conflict),
                None => gaps.push(self.gap(point, grade, span, conflict)),
            }
        }
        gaps.retain(|gap| cost(gap.grade) > 0.0);
        gaps
    }

    fn gap(&self, point: usize, grade: Grade, span: Years, conflict: Option<NoteId>) -> Gap {
        let model = self.model.clone();
        Gap { model, point, grade, years: vec![span], conflict, visits: 0, last: None, use_of_it: 0.0 }
    }

    /// One vehicle of each year; one of no known year where none is.
    fn vehicles(&self, years: Years) -> Vec<Vehicle> {
        let (Some(from), Some(to)) = (years.from(), years.to()) else { return vec![self.vehicle.clone()] };
        (from.get()..=to.get()).map(|year| self.vehicle.clone().with_year(ModelYear::new(year))).collect()
    }

    fn weigh(&self, gap: &mut Gap, worth: f64, visits: &BTreeSet<(&Vehicle, i32)>) {
        let of_gap = |seen: &Vehicle| {
            let year = |year: ModelYear| gap.years.iter().any(|years| years.holds(year));
            seen.year().is_none_or(year)
        };
        let days: Vec<i32> = visits.iter().filter(|(seen, _)| of_gap(seen)).map(|(_, day)| *day).collect();
        let age = |day: &i32| f64::from((self.today - day).max(0)) / 365.0;
        let seen: f64 = days.iter().map(|day| 1.0 / (1.0 + age(day))).sum();
        let length = |years: &Years| match (years.from(), years.to()) {
            (Some(from), Some(to)) => f64::from(to.get() - from.get()) + 1.0,
            _ => 1.0,
        };
        let unseen: f64 = UNSEEN * gap.years.iter().map(length).sum::<f64>();
        gap.use_of_it = (seen + unseen) * worth * cost(gap.grade);
        gap.visits = days.len();
        gap.last = days.into_iter().max();
    }
}

impl Gap {
    /// Takes in a further year; years come in order.
    fn add(&mut self, span: Years, conflict: Option<NoteId>) {
        self.conflict = self.conflict.or(conflict);
        match self.years.last_mut().and_then(|last| last.joined(&span).map(|both| (last, both))) {
            Some((last, both)) => *last = both,
            None => self.years.push(span),
        }
    }
}
