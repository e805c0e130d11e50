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
    let whole: Vec<(BucketKey, usize, Bucket)> = buckets
        .iter()
        .enumerate()
        .map(|(at, (key, point, bucket))| {
            let new = touched.iter().position(|touched| *touched == at).map(|at| &after[at]);
            (*key, *point, new.unwrap_or(bucket).clone())
        })
        .collect();
    let (before, then) = (pairs(language, buckets), pairs(language, &whole));
    let mine = |pair: &&(NoteId, NoteId)| about.contains(&pair.0) || about.contains(&pair.1);
    Ok(Outlook {
        new: then.difference(&before).copied().collect(),
        left: then.intersection(&before).filter(mine).copied().collect(),
        touched,
        after,
    })
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

/// The pairs of notes of a model that certainly contradict each other and stand.
fn pairs(language: &Language, buckets: &Buckets) -> BTreeSet<(NoteId, NoteId)> {
    let ordered = |a: NoteId, b: NoteId| (a.min(b), a.max(b));
    let mut found = BTreeSet::new();
    for (_, _, bucket) in buckets {
        let certain = contradictions(bucket).into_iter().filter(|(.., clash)| *clash == Clash::Certain);
        found.extend(certain.map(|(a, b, _)| ordered(bucket.entries[a].id, bucket.entries[b].id)));
    }
    for conflict in Book::cavity_conflicts(language, buckets) {
        if conflict.state != State::Settled {
            let id = |at: usize| conflict.claimants[at].id;
            found.extend(conflict.pairs().iter().map(|(a, b)| ordered(id(*a), id(*b))));
        }
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
            let region: Vec<Scope> = (0..before.entries.len())
                .filter(|entry| decision.becomes(before.entries[*entry].id).is_some())
                .map(|entry| before.claimed_scope(entry).clone())
                .collect();
            found.extend(differences(*point, before, after, &region));
        }
        found
    }
}

fn differences(point: usize, before: &Bucket, after: &Bucket, region: &[Scope]) -> Vec<Difference> {
    let live = [before, after].into_iter().flat_map(|bucket| bucket.live().map(|entry| bucket.scope(entry)));
    let seen = before.entries.iter().filter_map(|entry| before.seen(entry));
    let grid = Grid::of(live.chain(region), seen);
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
