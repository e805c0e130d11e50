//! What lookups of the vehicles of a model say of one point now and would say, also where a vehicle is only partly
//! known: the vehicles that are told alike in few boxes. What changes the book (a note, a decision) is `foresee`'s and
//! `reconcile`'s; how it looks is `show`'s.

use std::collections::BTreeMap;

use crate::judge::answer::{Gist, gist};
use crate::judge::bucket::Bucket;
use crate::judge::grade::Grade;
use crate::judge::pattern::HasOutlook;
use crate::vehicle::grid::{Cell, Grid, Kind, Unknown, YEAR};
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

impl Difference {
    /// Whether it is only of vehicles of which not even the model year is told.
    #[must_use]
    pub fn is_without_year(&self) -> bool {
        self.vehicles.iter().all(|kind| kind.unknown.contains(YEAR))
    }
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
    pub outlook: &'k dyn HasOutlook,
}

impl Known<'_> {
    /// What a lookup of a vehicle says.
    #[must_use]
    pub fn view(&self, vehicle: &Vehicle) -> View {
        View::of(self.bucket, &gist(self.bucket, vehicle, self.outlook), vehicle)
    }
}

impl View {
    /// In short what was judged of a vehicle.
    #[must_use]
    pub fn of(bucket: &Bucket, judged: &Gist, vehicle: &Vehicle) -> Self {
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
/// or, where these are too many to look up, on those of `own`, the scopes of the notes that change. Vehicles of which
/// something is not known are told of where they are not told what all are that they may be.
#[must_use]
pub fn differences(point: usize, before: Known<'_>, after: Known<'_>, own: &[Scope]) -> Vec<Difference> {
    let buckets = [before.bucket, after.bucket];
    let held = || buckets.into_iter().flat_map(Bucket::live_scopes);
    let seen = buckets.into_iter().flat_map(|bucket| &bucket.seen);
    let full = Grid::of(held().chain(own), seen);
    let notes: usize = buckets.into_iter().map(|bucket| bucket.live().count()).sum();
    let is_feasible = full.size() <= CELLS && full.size() * notes <= WORK;
    let (grid, region): (Grid, Vec<&Scope>) = match is_feasible {
        true => (full, held().chain(own).collect()),
        false => (Grid::of(own, []), own.iter().collect()),
    };
    let mut survey = Survey { before, after, region, groups: BTreeMap::new() };
    let whole = survey.look(&grid);
    let mut looked_up = whole.len();
    for unknown in partly_known(&grid.dimensions()) {
        let partial = grid.without(&unknown);
        looked_up += partial.size();
        // What is known but for one thing, and what is known of nothing but the year, come before the rest.
        if looked_up > 2 * CELLS || looked_up * notes > WORK {
            break;
        }
        survey.look_partly(&partial, &unknown, &whole);
    }
    survey.told(point, &grid)
}

/// The sets of dimensions of which nothing may be known, those that people leave out most often first: all but the
/// year, each alone, all of them, then the others, the fewest first.
fn partly_known(dimensions: &Unknown) -> Vec<Unknown> {
    let names: Vec<&String> = dimensions.iter().take(MOST_DIMENSIONS).collect();
    let set = |bits: usize| -> Unknown {
        let own = names.iter().enumerate().filter(|(at, _)| bits & (1 << at) != 0);
        own.map(|(_, name)| (*name).clone()).collect()
    };
    let all = names.len();
    let rank = |unknown: &Unknown| {
        let but_year = !unknown.contains(YEAR) && unknown.len() + 1 == all;
        let first = [but_year, unknown.len() == 1, unknown.len() == all];
        (first.iter().position(|holds| *holds).unwrap_or(first.len()), unknown.len())
    };
    let mut sets: Vec<Unknown> = (1..1_usize << all).map(set).collect();
    sets.sort_by_cached_key(|unknown| (rank(unknown), unknown.clone()));
    sets
}

/// More dimensions than this, and the last are taken to be known.
const MOST_DIMENSIONS: usize = 8;

/// A cell, and what is said of it before and after where it lies in the region that is surveyed.
type Looked = (Cell, Option<(View, View)>);

/// Lookups of the vehicles of a region, those that change grouped by what they say.
struct Survey<'k> {
    before: Known<'k>,
    after: Known<'k>,
    region: Vec<&'k Scope>,
    groups: BTreeMap<(View, View), BTreeMap<Unknown, Vec<Scope>>>,
}

impl Survey<'_> {
    fn views(&self, vehicle: &Vehicle) -> (View, View) {
        (self.before.view(vehicle), self.after.view(vehicle))
    }

    fn keep(&mut self, views: (View, View), unknown: &Unknown, scope: &Scope) {
        self.groups.entry(views).or_default().entry(unknown.clone()).or_default().push(scope.clone());
    }

    /// Looks up the vehicles of which everything is known; gives what is said of each.
    fn look(&mut self, grid: &Grid) -> Vec<Looked> {
        let mut looked = Vec::new();
        for cell in grid.cells().into_iter().filter(is_possible) {
            let is_inside = self.region.iter().any(|scope| scope.contains(&cell.scope));
            let views = is_inside.then(|| self.views(&cell.vehicle));
            if let Some(views) = views.as_ref().filter(|(before, after)| before != after) {
                self.keep(views.clone(), &Unknown::new(), &cell.scope);
            }
            looked.push((cell, views));
        }
        looked
    }

    /// Looks up vehicles of which something is not known, and keeps what goes without saying of none: that of all
    /// vehicles that they may be the same is said goes without saying of them, too.
    fn look_partly(&mut self, grid: &Grid, unknown: &Unknown, whole: &[Looked]) {
        for cell in grid.cells().into_iter().filter(is_possible) {
            let may_be: Vec<&Option<(View, View)>> = whole
                .iter()
                .filter(|(own, _)| cell.scope.contains(&own.scope))
                .map(|(_, views)| views)
                .collect();
            let Some(first) = may_be.first().filter(|_| may_be.iter().any(|views| views.is_some())) else {
                continue;
            };
            let told = first.as_ref().filter(|(before, after)| before != after);
            let told = told.filter(|_| may_be.iter().all(|views| views == first));
            let views = self.views(&cell.vehicle);
            if told.map_or(views.0 != views.1, |told| *told != views) {
                self.keep(views, unknown, &cell.scope);
            }
        }
    }

    /// The groups, their vehicles in few boxes.
    fn told(self, point: usize, grid: &Grid) -> Vec<Difference> {
        let kinds = |(unknown, cells): (Unknown, Vec<Scope>)| {
            let cells_of = grid.without(&unknown).cells().into_iter();
            let impossible: Vec<Scope> =
                cells_of.filter(|cell| !is_possible(cell)).map(|cell| cell.scope).collect();
            let boxes = few(cells, &impossible);
            boxes.iter().map(|scope| grid.kind(scope, &unknown)).collect::<Vec<_>>()
        };
        let difference = |((before, after), cells): ((View, View), BTreeMap<Unknown, Vec<Scope>>)| {
            let vehicles = cells.into_iter().flat_map(kinds).collect();
            Difference { point, vehicles, before, after }
        };
        let mut found: Vec<Difference> = self.groups.into_iter().map(difference).collect();
        found.sort_by(|a, b| a.vehicles.cmp(&b.vehicles));
        found
    }
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
