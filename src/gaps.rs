//! What the book lacks: the points that are blank, thin, disputed or to be rechecked on some years of a model, the most
//! useful first. Joins storage and judgement; how it looks is `show`'s business.

use std::cmp::Ordering;
use std::collections::BTreeSet;

use crate::ask::rechecks;
use crate::book::{Book, BookError, BucketKey, Demand, KnownModel};
use crate::decision::DecisionId;
use crate::job::Job;
use crate::judge::answer::judge;
use crate::judge::bucket::{Bucket, Entry};
use crate::judge::cavity::CavityConflict;
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::note::NoteId;
use crate::opposition::{self, Opposition};
use crate::vehicle::{ModelYear, Vehicle, Years};

/// One point that is lacking on some years of a model.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// The model.
    pub model: KnownModel,
    /// The point, by number in the catalogue.
    pub point: usize,
    /// Disputed, thin or blank; any grade where somebody is asked to look.
    pub grade: Grade,
    /// The decisions that ask to look there.
    pub rechecks: Vec<DecisionId>,
    /// The notes of which decisions say the opposite, so that none of these counts.
    pub opposed: Vec<NoteId>,
    /// Whether a job cannot do without it; `None` where no job was named.
    pub needed: Option<bool>,
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

/// A point that is looked at.
#[derive(Debug, Clone, Copy)]
struct Want {
    /// The point, by number in the catalogue.
    point: usize,
    /// What it is worth: 1 where it was asked for, else its share of the notes.
    worth: f64,
    /// Whether a job cannot do without it.
    needed: Option<bool>,
}

/// The points that are looked at.
#[derive(Debug, Clone)]
pub struct Wanted(Vec<Want>);

/// A vehicle that nobody wrote of may still come in: each claimed year counts as this part of a visit of today. Our
/// own choice, no source: it only orders what nobody has met.
const UNSEEN: f64 = 0.02;

/// More years than a model has.
const MANY_YEARS: f64 = 200.0;

impl Want {
    /// What a gap costs: a wrong wire or an open question costs more than an answer that has to be metered anyway; for
    /// a job what is blank costs the most, since it has to be found. Our own choice, no source.
    fn cost(self, gap: &Gap) -> f64 {
        match gap.grade {
            Grade::Blank if self.needed.is_some() => 2.0,
            Grade::Disputed | Grade::Blank => 1.0,
            _ if !gap.rechecks.is_empty() || !gap.opposed.is_empty() => 1.0,
            Grade::Thin => 0.5,
            Grade::Between | Grade::Backed | Grade::Proven => 0.0,
        }
    }
}

/// What a gap costs at most.
const DEAREST: f64 = 2.0;

impl Wanted {
    /// The points that were asked for, else those on which the book has notes.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn new(book: &Book, language: &Language, asked: &[usize]) -> Result<Self, BookError> {
        if !asked.is_empty() {
            let want = |point: &usize| Want { point: *point, worth: 1.0, needed: None };
            return Ok(Self(asked.iter().map(want).collect()));
        }
        let noted = book.notes_by_point()?;
        let all: u64 = noted.iter().map(|(_, notes)| notes).sum();
        let share = |(name, notes): (String, u64)| {
            let worth = notes as f64 / all.max(1) as f64;
            language.catalogue.point(&name).map(|point| Want { point, worth, needed: None })
        };
        Ok(Self(noted.into_iter().filter_map(share).collect()))
    }

    /// The points that a job needs, those before that only help.
    #[must_use]
    pub fn for_job(job: &Job) -> Self {
        let want =
            |needed: bool| move |point: &usize| Want { point: *point, worth: 1.0, needed: Some(needed) };
        Self(job.must.iter().map(want(true)).chain(job.may.iter().map(want(false))).collect())
    }

    fn greatest(&self) -> f64 {
        self.0.iter().map(|want| want.worth).fold(0.0, f64::max)
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
        let bound = (one.weight + UNSEEN * MANY_YEARS) * wanted.greatest() * DEAREST;
        let beyond = |gap: &Gap| gap.needed != Some(false) && gap.use_of_it > bound;
        if most.checked_sub(1).and_then(|last| found.get(last)).is_some_and(beyond) {
            break;
        }
        let Some(model) = book.model(one.model)? else { continue };
        let buckets = book.buckets(language, one.model)?;
        let cavities = Book::cavity_conflicts(language, &buckets);
        let mut opposed = Vec::new();
        for (_, point, bucket) in &buckets {
            opposed.extend(opposition::of_bucket(book, bucket)?.into_iter().map(|one| (*point, one)));
        }
        found.extend(Looking { model, buckets, cavities, opposed, vehicle, today }.gaps(wanted));
        found.sort_by(most_useful_first);
        found.truncate(most);
    }
    Ok(found)
}

/// What a job needs before what helps. Ties by names and not by numbers: the order of intake must not be seen.
fn most_useful_first(a: &Gap, b: &Gap) -> Ordering {
    let name = |gap: &Gap| (gap.model.make.clone(), gap.model.model.clone(), gap.point, gap.grade);
    let helps = |gap: &Gap| gap.needed == Some(false);
    let by_use = b.use_of_it.total_cmp(&a.use_of_it);
    helps(a).cmp(&helps(b)).then(by_use).then_with(|| name(a).cmp(&name(b)))
}

/// One model being looked at.
struct Looking<'v> {
    model: KnownModel,
    buckets: Vec<(BucketKey, usize, Bucket)>,
    cavities: Vec<CavityConflict>,
    /// Decisions that say the opposite of each other, with the point.
    opposed: Vec<(usize, Opposition)>,
    vehicle: &'v Vehicle,
    today: i32,
}

impl Looking<'_> {
    fn gaps(&self, wanted: &Wanted) -> Vec<Gap> {
        let years = self.vehicle.year().map_or_else(|| self.known_years(), Years::one);
        let visits = self.visits();
        let mut gaps: Vec<Gap> = Vec::new();
        for want in &wanted.0 {
            let mut of_point = self.of_point(*want, years);
            of_point.iter_mut().for_each(|gap| self.weigh(gap, *want, &visits));
            gaps.extend(of_point);
        }
        gaps
    }

    fn buckets(&self) -> impl Iterator<Item = &Bucket> {
        self.buckets.iter().map(|(.., bucket)| bucket)
    }

    /// The model years that notes claim or were seen on. An open end reaches as far as another note names a year.
    fn known_years(&self) -> Years {
        let mut named: Vec<ModelYear> = Vec::new();
        for bucket in self.buckets() {
            let ends = bucket.scopes.iter().flat_map(|scope| [scope.years().from(), scope.years().to()]);
            named.extend(ends.flatten());
            named.extend(bucket.seen.iter().filter_map(Vehicle::year));
        }
        Years::new(named.iter().min().copied(), named.iter().max().copied()).unwrap_or(Years::ALL)
    }

    /// Which vehicle was seen on which day, whatever the point.
    fn visits(&self) -> BTreeSet<(&Vehicle, i32)> {
        let mut visits = BTreeSet::new();
        for bucket in self.buckets() {
            let seen = |entry: &Entry| bucket.seen(entry).map(|seen| (seen, entry.on));
            visits.extend(bucket.entries.iter().filter_map(seen));
        }
        visits
    }

    /// Where one point is lacking, a gap for each grade, and for what is asked to be looked at.
    fn of_point(&self, want: Want, years: Years) -> Vec<Gap> {
        let mut gaps: Vec<Gap> = Vec::new();
        let bucket =
            self.buckets.iter().find(|(_, point, _)| *point == want.point).map(|(.., bucket)| bucket);
        for asked in self.vehicles(years) {
            let judged = bucket.map(|bucket| judge(bucket, &asked));
            let grade = judged.as_ref().map_or(Grade::Blank, |judged| judged.grade);
            let span = asked.year().map_or(Years::ALL, Years::one);
            let conflict = judged.and_then(|judged| judged.conflict).filter(|_| grade == Grade::Disputed);
            let mut rechecks: Vec<DecisionId> =
                rechecks(&self.buckets, &self.cavities, &asked, |point| point == want.point)
                    .into_iter()
                    .filter(|(point, ..)| *point == want.point)
                    .map(|(.., id)| id)
                    .collect();
            rechecks.sort_unstable();
            rechecks.dedup();
            let opposed = bucket.map(|bucket| self.opposed(want.point, bucket, &asked)).unwrap_or_default();
            let alike =
                |gap: &&mut Gap| (gap.grade, &gap.rechecks, &gap.opposed) == (grade, &rechecks, &opposed);
            match gaps.iter_mut().find(alike) {
                Some(gap) => gap.add(span, conflict),
                None => gaps.push(Gap { opposed, ..self.gap(want, grade, rechecks, span, conflict) }),
            }
        }
        gaps.retain(|gap| want.cost(gap) > 0.0);
        gaps
    }

    fn gap(
        &self,
        want: Want,
        grade: Grade,
        rechecks: Vec<DecisionId>,
        span: Years,
        conflict: Option<NoteId>,
    ) -> Gap {
        let (model, point, needed) = (self.model.clone(), want.point, want.needed);
        let (years, opposed) = (vec![span], Vec::new());
        Gap {
            model,
            point,
            grade,
            rechecks,
            opposed,
            needed,
            years,
            conflict,
            visits: 0,
            last: None,
            use_of_it: 0.0,
        }
    }

    /// The notes that may hold for a vehicle and of which decisions say the opposite.
    fn opposed(&self, point: usize, bucket: &Bucket, vehicle: &Vehicle) -> Vec<NoteId> {
        let own = self.opposed.iter().filter(|(of, one)| *of == point && one.touches(bucket, vehicle));
        BTreeSet::from_iter(own.flat_map(|(_, one)| one.notes.iter().copied())).into_iter().collect()
    }

    /// One vehicle of each year; one of no known year where none is.
    fn vehicles(&self, years: Years) -> Vec<Vehicle> {
        let (Some(from), Some(to)) = (years.from(), years.to()) else { return vec![self.vehicle.clone()] };
        (from.get()..=to.get()).map(|year| self.vehicle.clone().with_year(ModelYear::new(year))).collect()
    }

    fn weigh(&self, gap: &mut Gap, want: Want, visits: &BTreeSet<(&Vehicle, i32)>) {
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
        gap.use_of_it = (seen + unseen) * want.worth * want.cost(gap);
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
