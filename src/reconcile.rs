//! Settling: from what the shop wants to the decision that says so, and what the book would be with it. What lookups
//! would say then `preview` tells. Joins storage and judgement; nothing is written here.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError, BucketKey};
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::judge::bucket::{Bucket, Clash};
use crate::judge::conflict::{State, all as all_conflicts, contradictions};
use crate::judge::decided::{self, Ruling};
use crate::judge::pattern::Outlook as Beside;
use crate::judge::pattern::doubt::Doubt;
use crate::judge::settle::Outcome;
use crate::language::Language;
use crate::note::NoteId;
use crate::preview::{self, Difference, Known};
use crate::vehicle::Scope;

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
    /// The conflicts that would be in another state.
    pub turns: Vec<Turn>,
}

/// A conflict that would be settled, open or waiting for a recheck, and is not so now.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Turn {
    /// The note that names it.
    pub anchor: NoteId,
    /// Whether it is about a cavity.
    pub is_cavity: bool,
    /// The point, by number in the catalogue; of a cavity the first of those that claim it.
    pub point: usize,
    /// How far it is settled now.
    pub was: State,
    /// How far it would be settled.
    pub becomes: State,
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
    let beside = book.rulings_beside(decision)?;
    // With it other decisions may count no more, or again: what these are about is touched, too.
    let hangs = |id: &DecisionId| beside.iter().any(|ruling| ruling.id == *id);
    let concerned = |at: &usize| {
        let bucket = &buckets[*at].2;
        bucket.entries.iter().any(|entry| about.contains(&entry.id))
            || bucket.decided.iter().any(|decided| hangs(&decided.id))
    };
    let touched: Vec<usize> = (0..buckets.len()).filter(concerned).collect();
    let mut after = Vec::new();
    for at in &touched {
        after.push(with(book, language, &buckets[*at].2, &beside)?);
    }
    let mut pairs = Pairs::default();
    for (at, then) in touched.iter().zip(&after) {
        pairs.compare(&buckets[*at].2, then, &about);
    }
    let then = replaced(buckets, &touched, &after);
    pairs.compare_cavities(language, buckets, &then, &about);
    let turns = turns(&states(language, buckets, &touched), &states(language, &then, &touched));
    Ok(Outlook { new: pairs.new, left: pairs.left, touched, after, turns })
}

/// A conflict, by the note that names it and whether it is about a cavity, with its point and how far it is settled.
type States = BTreeMap<(NoteId, bool), (usize, State)>;

/// The conflicts of some points, and those over cavities.
fn states(language: &Language, buckets: &Buckets, touched: &[usize]) -> States {
    let mut found = States::new();
    for (_, point, bucket) in touched.iter().map(|at| &buckets[*at]) {
        let own = all_conflicts(bucket).into_iter();
        found.extend(own.map(|conflict| ((conflict.anchor, false), (*point, conflict.state))));
    }
    for conflict in Book::cavity_conflicts(language, buckets) {
        let first = conflict.claimants.iter().chain(&conflict.past).next();
        let point = first.map_or(0, |claimant| claimant.point);
        found.insert((conflict.anchor, true), (point, conflict.state));
    }
    found
}

fn turns(before: &States, after: &States) -> Vec<Turn> {
    let turn = |((anchor, is_cavity), (point, was)): (&(NoteId, bool), &(usize, State))| {
        let becomes = after.get(&(*anchor, *is_cavity)).map_or(State::Settled, |(_, state)| *state);
        Turn { anchor: *anchor, is_cavity: *is_cavity, point: *point, was: *was, becomes }
    };
    before.iter().map(turn).filter(|turn| turn.was != turn.becomes).collect()
}

/// The buckets of a model with some of them replaced.
fn replaced(buckets: &Buckets, touched: &[usize], after: &[Bucket]) -> Vec<(BucketKey, usize, Bucket)> {
    let mut whole = buckets.to_vec();
    for (at, bucket) in touched.iter().zip(after) {
        whole[*at].2 = bucket.clone();
    }
    whole
}

/// A bucket with one decision more, and with what hangs together with it as it would count then.
fn with(book: &Book, language: &Language, bucket: &Bucket, beside: &[Ruling]) -> Result<Bucket, BookError> {
    let hangs = |id: &DecisionId| beside.iter().any(|ruling| ruling.id == *id);
    let others: Vec<DecisionId> =
        bucket.decided.iter().map(|decided| decided.id).filter(|id| !hangs(id)).collect();
    let mut rulings = book.rulings_called(&others)?;
    rulings.extend(beside.iter().cloned());
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

/// What came into a model between two looks at it.
#[derive(Debug, Default, Clone, PartialEq, Eq)]
pub struct Meanwhile {
    /// The notes, with the number of their point in the catalogue.
    pub notes: Vec<(usize, NoteId)>,
    /// The decisions, ascending.
    pub decisions: Vec<DecisionId>,
}

/// What the later of two looks at the buckets of a model has and the earlier has not.
#[must_use]
pub fn meanwhile(before: &Buckets, after: &Buckets) -> Meanwhile {
    let entries = |buckets: &Buckets| {
        let of = |(_, point, bucket): &(BucketKey, usize, Bucket)| {
            let point = *point;
            bucket.entries.iter().map(move |entry| (point, entry.id)).collect::<Vec<_>>()
        };
        buckets.iter().flat_map(of).collect::<BTreeSet<_>>()
    };
    let decided = |buckets: &Buckets| {
        let all = buckets.iter().flat_map(|(.., bucket)| &bucket.decided);
        all.map(|decided| decided.id).collect::<BTreeSet<_>>()
    };
    Meanwhile {
        notes: entries(after).difference(&entries(before)).copied().collect(),
        decisions: decided(after).difference(&decided(before)).copied().collect(),
    }
}

impl Outlook {
    /// What lookups say now, and would say, of the points of which the decision touches notes: only where that is not
    /// the same.
    #[must_use]
    pub fn differences(&self, buckets: &Buckets, decision: &Decision, doubt: &Doubt) -> Vec<Difference> {
        let then = replaced(buckets, &self.touched, &self.after);
        let [before, after] = [buckets, &then]
            .map(|buckets| Beside::of_model(buckets.iter().map(|(.., bucket)| bucket), doubt));
        let mut found = Vec::new();
        for at in self.touched.iter().copied() {
            let (_, point, was) = &buckets[at];
            let becomes = &then[at].2;
            let is_own = |entry: &usize| {
                let (old, new) = (&was.entries[*entry], &becomes.entries[*entry]);
                decision.becomes(old.id).is_some()
                    || (old.is_live(), was.scope(old)) != (new.is_live(), becomes.scope(new))
            };
            let own = (0..was.entries.len()).filter(is_own).flat_map(|entry| {
                let held = [was, becomes].map(|bucket| bucket.scope(&bucket.entries[entry]).clone());
                held.into_iter().chain([was.claimed_scope(entry).clone()])
            });
            let (before, after) =
                (Known { bucket: was, outlook: &before[at] }, Known { bucket: becomes, outlook: &after[at] });
            found.extend(preview::differences(*point, before, after, &own.collect::<Vec<_>>()));
        }
        found
    }
}
