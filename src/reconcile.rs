//! Settling: from what the shop wants to the decision that says so, what the book would be with it, and what lookups
//! would say before and after. Joins storage and judgement; nothing is written here.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError, BucketKey};
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::judge::answer::judge;
use crate::judge::bucket::{Bucket, Clash};
use crate::judge::conflict::{State, contradictions};
use crate::judge::decided::{self, Ruling};
use crate::judge::grade::Grade;
use crate::judge::settle::Outcome;
use crate::language::Language;
use crate::note::NoteId;
use crate::vehicle::grid::Grid;
use crate::vehicle::{Match, Scope, Vehicle, fewest};

/// The buckets of a model, each with the number of its point in the catalogue.
pub type Buckets = [(BucketKey, usize, Bucket)];

/// What the book would be.
#[derive(Debug)]
pub struct Outlook {
    /// The buckets that the decision touches, as they are: numbers into those of the model.
    touched: Vec<usize>,
    /// The same as they would be.
    after: Vec<Bucket>,
    /// Pairs of notes that would contradict each other and do not now.
    pub new: Vec<(NoteId, NoteId)>,
    /// Pairs of notes that do contradict each other, with one that the decision is about, and still would.
    pub left: Vec<(NoteId, NoteId)>,
}

/// What lookups of some vehicles say and would say.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The vehicles, in few boxes.
    pub vehicles: Vec<Scope>,
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
    /// What it depends on.
    pub depends_on: Vec<String>,
}

/// Who decides, on which day (days since 1970-01-01), and why.
#[derive(Debug, Clone, Copy)]
pub struct Hand<'h> {
    /// Who.
    pub by: &'h str,
    /// When.
    pub day: i32,
    /// Why.
    pub because: &'h str,
}

impl Hand<'_> {
    fn decides(self, kind: Kind, follows: Vec<DecisionId>, about: Outcome) -> Decision {
        let (by, because) = (self.by.to_owned(), self.because.to_owned());
        Decision { kind, by, day: self.day, because, follows, about }.in_order()
    }
}

/// Drafts a decision on what notes become. It comes after the latest decisions about these notes.
///
/// # Errors
/// The book cannot be read.
pub fn draft(book: &Book, kind: Kind, hand: Hand<'_>, outcome: Outcome) -> Result<Decision, BookError> {
    let mut earlier: BTreeMap<DecisionId, Vec<DecisionId>> = BTreeMap::new();
    for (note, _) in &outcome {
        let rulings = book.rulings_about(*note)?.into_iter();
        earlier.extend(rulings.map(|ruling| (ruling.id, ruling.decision.follows)));
    }
    let followed: BTreeSet<DecisionId> = earlier.values().flatten().copied().collect();
    let latest = earlier.into_keys().filter(|id| !followed.contains(id)).collect();
    Ok(hand.decides(kind, latest, outcome))
}

/// Drafts a decision that takes back others: their notes are again what they say.
#[must_use]
pub fn draft_reopening(hand: Hand<'_>, taken_back: &[(DecisionId, Decision)]) -> Decision {
    let notes: BTreeSet<NoteId> =
        taken_back.iter().flat_map(|(_, decision)| decision.about.iter().map(|(note, _)| *note)).collect();
    let outcome = notes.into_iter().map(|note| (note, Becomes::Kept)).collect();
    hand.decides(Kind::Reopen, taken_back.iter().map(|(id, _)| *id).collect(), outcome)
}

/// What the buckets of a model would be with a decision, and what would contradict.
///
/// # Errors
/// The book cannot be read.
pub fn outlook(
    book: &Book,
    language: &Language,
    buckets: &Buckets,
    decision: &Decision,
) -> Result<Outlook, BookError> {
    let about: BTreeSet<NoteId> = decision.about.iter().map(|(note, _)| *note).collect();
    let concerned = |at: &usize| buckets[*at].2.entries.iter().any(|entry| about.contains(&entry.id));
    let touched: Vec<usize> = (0..buckets.len()).filter(concerned).collect();
    let mut after = Vec::new();
    for at in &touched {
        after.push(with(book, language, &buckets[*at].2, decision)?);
    }
    let mut pairs = Pairs::default();
    for (at, then) in touched.iter().zip(&after) {
        pairs.compare(&buckets[*at].2, then, &about);
    }
    pairs.compare_cavities(language, buckets, &replaced(buckets, &touched, &after), &about);
    Ok(Outlook { new: pairs.new, left: pairs.left, touched, after })
}

/// The buckets of a model with some of them replaced.
fn replaced(buckets: &Buckets, touched: &[usize], after: &[Bucket]) -> Vec<(BucketKey, usize, Bucket)> {
    let mut whole = buckets.to_vec();
    for (at, bucket) in touched.iter().zip(after) {
        whole[*at].2 = bucket.clone();
    }
    whole
}

/// A bucket with one decision more.
fn with(book: &Book, language: &Language, bucket: &Bucket, decision: &Decision) -> Result<Bucket, BookError> {
    let known: BTreeMap<DecisionId, bool> =
        bucket.decided.iter().map(|decided| (decided.id, decided.taken_back)).collect();
    let reopens = |id: DecisionId| decision.kind == Kind::Reopen && decision.follows.contains(&id);
    let mut rulings: Vec<Ruling> = book
        .decisions_called(&known.keys().copied().collect::<Vec<_>>())?
        .into_iter()
        .map(|(id, decision)| Ruling { id, decision, taken_back: known[&id] || reopens(id) })
        .collect();
    rulings.push(Ruling { id: decision.id(), decision: decision.clone(), taken_back: false });
    let mut after = bucket.as_claimed();
    decided::apply(&mut after, &rulings, |years, only| {
        Scope::parse(years, only, language.vocabulary(), language.year()).unwrap_or_default()
    });
    Ok(after)
}

/// Pairs of notes that stand and contradict each other: those that certainly would and do not now, and those that do
/// and still would.
#[derive(Default)]
struct Pairs {
    new: Vec<(NoteId, NoteId)>,
    left: Vec<(NoteId, NoteId)>,
}

impl Pairs {
    /// Compares a bucket with what it would be. Of what is left only what `about` takes part in is told.
    fn compare(&mut self, before: &Bucket, after: &Bucket, about: &BTreeSet<NoteId>) {
        let id = |at: usize| after.entries[at].id;
        let was: BTreeMap<(usize, usize), Clash> =
            contradictions(before).into_iter().map(|(a, b, clash)| ((a, b), clash)).collect();
        for (a, b, clash) in contradictions(after) {
            let (pair, was) = ((id(a), id(b)), was.get(&(a, b)));
            let own = usize::from(about.contains(&pair.0)) + usize::from(about.contains(&pair.1));
            // What only may contradict is told where it is what was to be settled.
            let certain = clash == Clash::Certain;
            if certain && was != Some(&Clash::Certain) {
                self.new.push(pair);
            } else if own == 2 || (certain && own == 1) {
                self.left.push(pair);
            }
        }
    }

    fn compare_cavities(
        &mut self,
        language: &Language,
        before: &Buckets,
        after: &Buckets,
        about: &BTreeSet<NoteId>,
    ) {
        let was = cavities(language, before);
        for pair in cavities(language, after) {
            if !was.contains(&pair) {
                self.new.push(pair);
            } else if about.contains(&pair.0) || about.contains(&pair.1) {
                self.left.push(pair);
            }
        }
    }
}

/// The pairs of notes that give one cavity to two functions.
fn cavities(language: &Language, buckets: &Buckets) -> BTreeSet<(NoteId, NoteId)> {
    let open = Book::cavity_conflicts(language, buckets).into_iter();
    let mut found = BTreeSet::new();
    for conflict in open.filter(|conflict| conflict.state != State::Settled) {
        let id = |at: usize| conflict.claimants[at].id;
        found.extend(conflict.pairs().iter().map(|(a, b)| (id(*a), id(*b))));
    }
    found
}

impl Outlook {
    /// What lookups of the vehicles say now, and would say, of which the notes of the decision tell something: only
    /// where that is not the same.
    #[must_use]
    pub fn differences(&self, buckets: &Buckets, decision: &Decision) -> Vec<Difference> {
        let mut found = Vec::new();
        for (at, after) in self.touched.iter().zip(&self.after) {
            let (_, point, before) = &buckets[*at];
            let own: Vec<usize> = (0..before.entries.len())
                .filter(|entry| decision.becomes(before.entries[*entry].id).is_some())
                .collect();
            found.extend(differences(*point, before, after, &own));
        }
        found
    }
}

/// More cells than this are not looked up one by one: what the notes of the decision hold for is told apart then, and
/// one vehicle stands for all that they treat alike.
const CELLS: usize = 400;

fn differences(point: usize, before: &Bucket, after: &Bucket, own: &[usize]) -> Vec<Difference> {
    let region: Vec<Scope> = own.iter().map(|at| before.claimed_scope(*at).clone()).collect();
    let live = [before, after].into_iter().flat_map(|bucket| bucket.live().map(|entry| bucket.scope(entry)));
    let seen = before.entries.iter().filter_map(|entry| before.seen(entry));
    let own = own.iter().flat_map(|at| [before, after].map(|bucket| bucket.scope(&bucket.entries[*at])));
    let full = Grid::of(live.chain(&region), seen);
    let grid = if full.size() <= CELLS { full } else { Grid::of(own.chain(&region), []) };
    let mut groups: BTreeMap<(View, View), Vec<Scope>> = BTreeMap::new();
    for cell in grid.cells() {
        if region.iter().any(|scope| scope.contains(&cell.scope)) {
            let views = (view(before, &cell.vehicle), view(after, &cell.vehicle));
            groups.entry(views).or_default().push(cell.scope);
        }
    }
    let mut found: Vec<Difference> = groups
        .into_iter()
        .filter(|((before, after), _)| before != after)
        .map(|((before, after), cells)| {
            let whole = fewest(cells).iter().map(|scope| grid.whole(scope)).collect();
            Difference { point, vehicles: fewest(whole), before, after }
        })
        .collect();
    found.sort_by(|a, b| a.vehicles.cmp(&b.vehicles));
    found
}

fn view(bucket: &Bucket, vehicle: &Vehicle) -> View {
    let judged = judge(bucket, vehicle);
    let answers = judged.answers.iter().map(|answer| Said {
        values: bucket
            .texts(&answer.claim)
            .map(|(field, text)| (field.to_owned(), text.to_owned()))
            .collect(),
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
    View { grade: judged.grade, answers, recheck: bucket.rechecks(vehicle).next().is_some() }
}
