//! What lookups of the vehicles of a model say of one point now and would say: the vehicles that are told alike in few
//! boxes. What changes the book (a note, a decision) is `foresee`'s and `reconcile`'s; how it looks is `show`'s.

use std::collections::BTreeMap;

use crate::judge::answer::{Judged, judge_with};
use crate::judge::bucket::Bucket;
use crate::judge::grade::Grade;
use crate::judge::pattern::Outlook;
use crate::vehicle::grid::{Cell, Grid, Kind};
use crate::vehicle::{Built, Match, Scope, Vehicle, YearMonth, fewest};

/// What lookups of some vehicles say and would say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The vehicles, in few boxes.
    pub vehicles: Vec<Kind>,
    /// What is said of them now.
    pub before: View,
    /// What would be said.
    pub after: View,
}

/// What a lookup says of one point, in short.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct View {
    /// The grade of the whole.
    pub grade: Grade,
    /// The answers, best first; disputed ones by their texts.
    pub answers: Vec<Said>,
    /// Whether somebody is asked to look.
    pub recheck: bool,
}

/// One answer of a view.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Said {
    /// Fields with canonical texts.
    pub values: Vec<(String, String)>,
    /// Its own grade.
    pub grade: Grade,
    /// What it depends on.
    pub depends_on: Vec<String>,
}

/// A bucket with what is known beside it.
#[derive(Debug, Clone, Copy)]
pub struct Known<'k> {
    /// What is known of the point.
    pub bucket: &'k Bucket,
    /// What is known beside its notes.
    pub outlook: &'k Outlook,
}

impl Known<'_> {
    /// What a lookup of a vehicle says.
    #[must_use]
    pub fn view(&self, vehicle: &Vehicle) -> View {
        View::of(self.bucket, &judge_with(self.bucket, vehicle, self.outlook), vehicle)
    }
}

impl View {
    /// In short what was judged of a vehicle.
    #[must_use]
    pub fn of(bucket: &Bucket, judged: &Judged, vehicle: &Vehicle) -> Self {
        let text = |(field, text): (&str, &str)| (field.to_owned(), text.to_owned());
        let answers = judged.answers.iter().map(|answer| Said {
            values: bucket.texts(&answer.claim).map(text).collect(),
            grade: answer.grade,
            depends_on: match &answer.applies {
                Match::DependsOn(names) => names.clone(),
                Match::Applies | Match::Excluded => Vec::new(),
            },
        });
        let mut answers: Vec<Said> = answers.collect();
        if judged.grade == Grade::Disputed {
            // Which of them has a little more behind it is no difference that a reader of a preview looks for.
            answers.sort();
        }
        Self { grade: judged.grade, answers, recheck: bucket.rechecks(vehicle).next().is_some() }
    }
}

/// More cells than this, or more of them times notes than `WORK`, are not looked up one by one: what the notes that
/// change hold for is told apart then, and one vehicle stands for all that they treat alike.
const CELLS: usize = 1_000;
const WORK: usize = 200_000;

/// Where lookups of one point say something else: on all vehicles for which some note of it holds before or after,
/// or, where these are too many to look up, on those of `own`, the scopes of the notes that change.
#[must_use]
pub fn differences(point: usize, before: Known<'_>, after: Known<'_>, own: &[Scope]) -> Vec<Difference> {
    let buckets = [before.bucket, after.bucket];
    let held = || buckets.into_iter().flat_map(|bucket| bucket.live().map(|entry| bucket.scope(entry)));
    let seen = buckets.into_iter().flat_map(|bucket| &bucket.seen);
    let full = Grid::of(held().chain(own), seen);
    let is_feasible = full.size() <= CELLS && full.size() * held().count() <= WORK;
    let (grid, region): (Grid, Vec<&Scope>) = match is_feasible {
        true => (full, held().chain(own).collect()),
        false => (Grid::of(own, []), own.iter().collect()),
    };
    let (cells, impossible): (Vec<Cell>, Vec<Cell>) = grid.cells().into_iter().partition(is_possible);
    let mut groups: BTreeMap<(View, View), Vec<Scope>> = BTreeMap::new();
    for cell in cells.into_iter().filter(|cell| region.iter().any(|scope| scope.contains(&cell.scope))) {
        let (was, becomes) = (before.view(&cell.vehicle), after.view(&cell.vehicle));
        if was != becomes {
            groups.entry((was, becomes)).or_default().push(cell.scope);
        }
    }
    let impossible: Vec<Scope> = impossible.into_iter().map(|cell| cell.scope).collect();
    let difference = |((before, after), cells): ((View, View), Vec<Scope>)| {
        let vehicles = few(cells, &impossible).iter().map(|scope| grid.kind(scope)).collect();
        Difference { point, vehicles, before, after }
    };
    let mut found: Vec<Difference> = groups.into_iter().map(difference).collect();
    found.sort_by(|a, b| a.vehicles.cmp(&b.vehicles));
    found
}

/// These cells in few boxes; vehicles that cannot be may lie in them where that makes them fewer.
fn few(cells: Vec<Scope>, impossible: &[Scope]) -> Vec<Scope> {
    let exact = fewest(cells.clone());
    if impossible.is_empty() || exact.len() < 2 {
        return exact;
    }
    let mut wider = fewest(cells.iter().chain(impossible).cloned().collect());
    wider.retain(|scope| cells.iter().any(|cell| scope.contains(cell)));
    if wider.len() < exact.len() { wider } else { exact }
}

/// Whether vehicles of a cell can have been made: those of a model year from January of the year before to December
/// of its own (the annual production period of 40 CFR 85.2304; from memory).
fn is_possible(cell: &Cell) -> bool {
    let month = |year: u16, month: u8| YearMonth::new(year, month);
    let years = cell.scope.years();
    let first = years.from().and_then(|from| month(from.get().saturating_sub(1), 1));
    let last = years.to().and_then(|to| month(to.get(), 12));
    Built::new(first, last).is_none_or(|made| made.overlaps(&cell.scope.built()))
}
