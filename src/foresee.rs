//! What a note would mean for the book, before it is stored: what it repeats, replaces, supports and contradicts.
//!
//! Joins storage and judgement, as a lookup does; how it is told is `show`'s business, and whether the note is then
//! stored that of whoever asked.

mod disputes;

use std::borrow::Cow;
use std::cell::OnceCell;
use std::collections::BTreeMap;
use std::fmt;

use crate::book::{Book, BookError, BucketKey, KnownModel, Lasting, Outcome, Staged, StoredNote, Written};
use crate::decision::{Decision, DecisionId};
use crate::judge::answer::gist;
use crate::judge::bucket::{Bucket, Clash};
use crate::judge::cavity::{CavityConflict, are_touched};
use crate::judge::fold::Memo;
use crate::judge::grade::Grade;
use crate::judge::pattern::{HasOutlook, Outlook};
use crate::language::Language;
use crate::note::NoteId;
use crate::preview::{self, Difference, Known};
use crate::vehicle::{ModelYear, Scope, Vehicle, matters, simplify};
use disputes::Disputes;

/// What a note would mean.
#[derive(Debug)]
pub struct Foreseen {
    /// The note as it would be kept.
    pub note: StoredNote,
    /// Its model.
    pub model: KnownModel,
    /// Whether the model is new to the book.
    pub new_model: bool,
    /// Its point, by number in the catalogue.
    pub point: usize,
    /// Whether it is new.
    pub outcome: Outcome,
    /// Whether it is in the book now.
    pub stored: bool,
    /// The bucket with it.
    pub bucket: Bucket,
    /// The note in it: a number into `Bucket::entries`.
    pub entry: usize,
    /// The notes of the same hand on the same vehicle that it replaces.
    pub replaces: Vec<usize>,
    /// The later note of the same hand that replaces it at once.
    pub replaced_by: Option<usize>,
    /// What it supports.
    pub support: Support,
    /// What it contradicts.
    pub against: Vec<Against>,
    /// Cavities that cannot be what it and other notes say.
    pub cavities: Vec<CavityConflict>,
    /// What lookups of this point would say that they do not say now.
    pub changes: Vec<Difference>,
    /// Conflicts that it opens, by their buckets and the notes that name them.
    pub opened: Vec<(BucketKey, NoteId)>,
    /// Conflicts that it joins.
    pub grown: Vec<(BucketKey, NoteId)>,
    /// Conflicts that it opens again.
    pub reopened: Vec<Reopened>,
    /// Conflicts of which it leaves nothing, since it replaces what contradicted.
    pub ended: Vec<(BucketKey, NoteId)>,
    /// The decisions that asked to look there, and ask no more.
    pub answered: Vec<(DecisionId, Decision)>,
    /// What is claimed far beyond what was seen.
    pub reach: Vec<Reach>,
    /// The notes of the same hand that it contradicts, on what may be the same vehicle in other words.
    pub perhaps_same: Vec<usize>,
    /// How many characters of an id are shown.
    pub shown: usize,
}

/// A conflict that was settled, or waited for somebody to look, and is open again.
#[derive(Debug)]
pub struct Reopened {
    /// Its bucket.
    pub key: BucketKey,
    /// The note that names it.
    pub anchor: NoteId,
    /// Whether it was settled; else it waited for a recheck.
    pub settled: bool,
    /// The decision that made it so: the last that counts.
    pub by: Option<(DecisionId, Decision)>,
}

/// What a note does to the card of its point on one vehicle.
#[derive(Debug)]
pub struct Support {
    /// The vehicle: the seen one, else the latest of the claimed ones.
    pub vehicle: Vehicle,
    /// The notes that back the same answer there, the strongest first.
    pub entries: Vec<usize>,
    /// The grade of the point there without the note.
    pub before: Grade,
    /// And with it.
    pub after: Grade,
}

/// What a note contradicts: other notes that all say the same.
#[derive(Debug)]
pub struct Against {
    /// These notes, the strongest first.
    pub entries: Vec<usize>,
    /// Whether it is certain that they speak of the same.
    pub certain: bool,
    /// What they say of the fields that differ, as canonical texts.
    pub values: Vec<(String, String)>,
    /// The vehicles on which it differs.
    pub contested: Vec<Scope>,
}

/// A claim that goes far beyond what was seen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reach {
    /// A basis that asks for a vehicle, and none is named: the note counts as no observation.
    NoVehicle,
    /// More than three model years beyond the seen one.
    Years(ModelYear),
    /// Every value of an attribute by which other notes of the point differ; the seen vehicle has this one.
    Attribute {
        /// The attribute.
        name: String,
        /// The value of the seen vehicle.
        value: String,
    },
}

/// Model years beyond the seen one that are claimed without a question: of what was seen on one side only, a third
/// is wrong from there on (the shop simulated for the grade `between`; our own figure, no other source).
const FAR: u16 = 3;

/// A bucket with its key and the number of its point in the catalogue.
type AtHand = (BucketKey, usize, Bucket);

/// Works out what the one note in `staged` would mean for the book. Where it is to last and is new, it is in the book
/// afterwards (`Foreseen::stored`); else, and where there is no book on disk yet, the book stays as it is.
///
/// # Errors
/// The book cannot be read or written.
pub fn foresee(
    book: &mut Book,
    staged: &Staged,
    memo: &mut Memo<'_>,
    lasting: Lasting,
) -> Result<Option<Foreseen>, BookError> {
    book.rehearse(|book| {
        let was = Was::of(book, memo.language, staged)?;
        let written = book.put_into(was.bucket.as_ref(), staged, memo)?;
        let mut seen = with_note(book, staged, memo, &was, &written)?;
        let stays =
            |seen: &&mut Foreseen| lasting == Lasting::Yes && seen.outcome == Outcome::New && book.exists();
        match seen.as_mut().filter(stays) {
            Some(new) => new.stored = true,
            None => return Ok((seen, Lasting::DryRun)),
        }
        Ok((seen, Lasting::Yes))
    })
}

/// What the book has of the model and the point of a note before the note is in it.
#[derive(Default)]
struct Was {
    has_model: bool,
    bucket: Option<Bucket>,
}

impl Was {
    fn of(book: &Book, language: &Language, staged: &Staged) -> Result<Self, BookError> {
        let (Some((make, model)), Some(note)) = (staged.models.first(), staged.notes.first()) else {
            return Ok(Self::default());
        };
        let Some(known) = book.model_named(make, model)? else { return Ok(Self::default()) };
        let point = &language.catalogue.points[usize::from(note.point)].name;
        let key = book.bucket_of(known.id, point)?;
        let bucket = key.map(|key| book.bucket(language, key)).transpose()?.flatten();
        Ok(Self { has_model: true, bucket })
    }
}

/// Where a note stands in the book.
struct Placed {
    model: KnownModel,
    point: usize,
    key: BucketKey,
    bucket: Bucket,
    /// A number into `Bucket::entries`.
    entry: usize,
}

impl Placed {
    /// The place of the one note in `staged`; `None` where it cannot be read back.
    fn of(book: &Book, language: &Language, staged: &Staged) -> Result<Option<Self>, BookError> {
        let (Some((make, model)), Some(new)) = (staged.models.first(), staged.notes.first()) else {
            return Ok(None);
        };
        let point = usize::from(new.point);
        let Some(model) = book.model_named(make, model)? else { return Ok(None) };
        let Some(key) = book.bucket_of(model.id, &language.catalogue.points[point].name)? else {
            return Ok(None);
        };
        let Some(bucket) = book.bucket(language, key)? else { return Ok(None) };
        let entry = bucket.entries.iter().position(|entry| entry.id == new.id);
        Ok(entry.map(|entry| Self { model, point, key, bucket, entry }))
    }

    /// The note as it is kept.
    fn note(
        &self,
        book: &Book,
        staged: &Staged,
        memo: &mut Memo<'_>,
        outcome: Outcome,
    ) -> Result<Option<StoredNote>, BookError> {
        let own = self.key.note(self.bucket.entries[self.entry].number);
        match outcome {
            Outcome::New => Ok(staged.notes.first().map(|new| staged.kept(new, own, memo))),
            Outcome::Known => book.note(own),
        }
    }
}

/// What the note means, once it is in the book; `None` where it cannot be read back.
fn with_note(
    book: &Book,
    staged: &Staged,
    memo: &mut Memo<'_>,
    was: &Was,
    written: &Written,
) -> Result<Option<Foreseen>, BookError> {
    let language = memo.language;
    let Some(placed) = Placed::of(book, language, staged)? else { return Ok(None) };
    let outcome = written.outcomes.first().copied().flatten().unwrap_or(Outcome::New);
    let Some(note) = placed.note(book, staged, memo, outcome)? else { return Ok(None) };
    let Placed { model, point, key, bucket, entry } = placed;
    let around = Around::new(book, language, (key, point, was.bucket.as_ref(), &bucket))?;
    let replaces = replaced_by_it(was.bucket.as_ref(), &bucket, entry);
    let cavities = around.cavities(memo);
    let beside = Beside { around: &around, book, language, found: OnceCell::new() };
    let views = Views::new(&around, &beside);
    let (support, changes) = (views.support(entry), views.changes(entry, &replaces));
    let disputes = Disputes::new(&around, &cavities);
    let reopened = disputes.reopened(book)?;
    let (ended, answered) = (disputes.ended(), disputes.answered(book)?);
    beside.failed()?;
    let against = against(&bucket, entry);
    Ok(Some(Foreseen {
        new_model: !was.has_model,
        stored: false,
        outcome,
        replaced_by: (bucket.entries[entry].replaced_by as usize).checked_sub(1),
        support,
        changes,
        opened: not_again(&written.opened, &reopened),
        grown: not_again(&touched(written), &reopened),
        ended,
        answered,
        reach: reach(&bucket, entry),
        perhaps_same: perhaps_same(&bucket, entry, &against),
        against,
        shown: book.shown_characters()?,
        reopened,
        replaces,
        cavities: of_note(cavities.after, note.id),
        note,
        model,
        point,
        entry,
        bucket,
    }))
}

/// The conflicts among these that were not settled and are open again, which is told by itself.
fn not_again(found: &[(BucketKey, NoteId)], reopened: &[Reopened]) -> Vec<(BucketKey, NoteId)> {
    let again = |found: &&(BucketKey, NoteId)| reopened.iter().any(|one| one.anchor == found.1);
    found.iter().filter(|found| !again(found)).copied().collect()
}

/// The bucket of a note before the note and after it, with the other buckets of the model where these matter: where
/// the note cannot touch a conflict over a cavity they are not read.
struct Around<'b> {
    key: BucketKey,
    point: usize,
    was: Option<&'b Bucket>,
    is: &'b Bucket,
    others: Option<Vec<AtHand>>,
}

/// Conflicts over cavities before a note and after it; none where it touches none.
#[derive(Default)]
struct Cavities {
    before: Vec<CavityConflict>,
    after: Vec<CavityConflict>,
}

impl<'b> Around<'b> {
    fn new(
        book: &Book,
        language: &Language,
        (key, point, was, is): (BucketKey, usize, Option<&'b Bucket>, &'b Bucket),
    ) -> Result<Self, BookError> {
        let others = are_touched(was, is).then(|| others(book, language, key)).transpose()?;
        Ok(Self { key, point, was, is, others })
    }

    /// The buckets at hand, with this one for that of the note.
    fn with<'a>(&'a self, own: Option<&'a Bucket>) -> Vec<(BucketKey, usize, &'a Bucket)> {
        let others = self.others.iter().flatten().map(|(key, point, bucket)| (*key, *point, bucket));
        others.chain(own.map(|own| (self.key, self.point, own))).collect()
    }

    fn cavities(&self, memo: &mut Memo<'_>) -> Cavities {
        if self.others.is_none() {
            return Cavities::default();
        }
        let [before, after] = [self.was, Some(self.is)].map(|own| Book::cavities(memo, &self.with(own)));
        Cavities { before, after }
    }
}

/// All buckets of a model but one.
fn others(book: &Book, language: &Language, own: BucketKey) -> Result<Vec<AtHand>, BookError> {
    let mut buckets = book.buckets(language, own.model())?;
    buckets.retain(|(key, ..)| *key != own);
    Ok(buckets)
}

/// What is known beside the bucket of a note, which is the same before and after it; read when it is first needed.
struct Beside<'b> {
    around: &'b Around<'b>,
    book: &'b Book,
    language: &'b Language,
    found: OnceCell<(Outlook, Option<BookError>)>,
}

impl Beside<'_> {
    fn read(&self) -> Result<Outlook, BookError> {
        let doubt = self.book.doubt()?;
        let of = |others: &[AtHand]| Outlook::beside(others.iter().map(|(.., bucket)| bucket), &doubt);
        match &self.around.others {
            Some(others) => Ok(of(others)),
            None => Ok(of(&others(self.book, self.language, self.around.key)?)),
        }
    }

    /// What went wrong in reading, where it was needed.
    fn failed(self) -> Result<(), BookError> {
        self.found.into_inner().and_then(|(_, failed)| failed).map_or(Ok(()), Err)
    }
}

impl HasOutlook for Beside<'_> {
    fn outlook(&self) -> &Outlook {
        let read = || match self.read() {
            Ok(found) => (found, None),
            Err(failed) => (Outlook::default(), Some(failed)),
        };
        &self.found.get_or_init(read).0
    }
}

impl fmt::Debug for Beside<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Beside").field("found", &self.found).finish_non_exhaustive()
    }
}

fn touched(written: &Written) -> Vec<(BucketKey, NoteId)> {
    written.grown.iter().filter(|found| !written.opened.contains(found)).copied().collect()
}

fn of_note(mut conflicts: Vec<CavityConflict>, id: NoteId) -> Vec<CavityConflict> {
    conflicts.retain(|conflict| conflict.claimants.iter().any(|claimant| claimant.id == id));
    conflicts
}

/// The notes that stood before and that it replaces.
fn replaced_by_it(before: Option<&Bucket>, bucket: &Bucket, entry: usize) -> Vec<usize> {
    let stood = |at: usize| before.is_some_and(|old| old.entries.get(at).is_some_and(|old| old.is_live()));
    let by_it = |at: &usize| bucket.entries[*at].replaced_by as usize == entry + 1 && stood(*at);
    (0..bucket.entries.len()).filter(by_it).collect()
}

/// The vehicle on which the grade is told: the seen one; what is not known of it, as the scope has it.
fn told_on(bucket: &Bucket, entry: usize) -> Vehicle {
    let entry = &bucket.entries[entry];
    let (scope, seen) = (bucket.scope(entry), bucket.seen(entry));
    let mut vehicle = seen.cloned().unwrap_or_default();
    if let (None, Some(year)) = (vehicle.year(), scope.years().to().or(scope.years().from())) {
        vehicle = vehicle.with_year(year);
    }
    for (name, values) in scope.only() {
        if let (1, Some(value), None) = (values.len(), values.first(), vehicle.attributes().get(name)) {
            vehicle = vehicle.with(name, value);
        }
    }
    vehicle
}

/// The bucket of the note before and after, with what is known beside it.
struct Views<'b> {
    point: usize,
    before: Cow<'b, Bucket>,
    after: &'b Bucket,
    beside: &'b Beside<'b>,
}

impl<'b> Views<'b> {
    fn new(around: &'b Around<'b>, beside: &'b Beside<'b>) -> Self {
        let catalogue = &beside.language.catalogue;
        let none = || Cow::Owned(Bucket::new(catalogue, &catalogue.points[around.point]));
        let before = around.was.map_or_else(none, Cow::Borrowed);
        Self { point: around.point, before, after: around.is, beside }
    }

    fn before(&self) -> Known<'_> {
        Known { bucket: &self.before, outlook: self.beside }
    }

    fn after(&self) -> Known<'_> {
        Known { bucket: self.after, outlook: self.beside }
    }

    /// What lookups would say that they do not say now.
    fn changes(&self, entry: usize, replaces: &[usize]) -> Vec<Difference> {
        let scope = |at: &usize| self.after.scope(&self.after.entries[*at]).clone();
        let own: Vec<Scope> = std::iter::once(&entry).chain(replaces).map(scope).collect();
        preview::differences(self.point, self.before(), self.after(), &own)
    }

    fn support(&self, entry: usize) -> Support {
        let vehicle = told_on(self.after, entry);
        let judged = gist(self.after, &vehicle, &Outlook::default());
        let answer = judged.answers.iter().find(|answer| answer.entries.contains(&entry));
        let entries = answer.into_iter().flat_map(|answer| &answer.entries);
        Support {
            entries: entries.copied().filter(|at| *at != entry).collect(),
            before: self.before().view(&vehicle).grade,
            after: self.after().view(&vehicle).grade,
            vehicle,
        }
    }
}

/// A value of a column of a bucket.
type Cell = (usize, u16);

/// Of the notes against it, those of the same hand on a vehicle that may be its own.
fn perhaps_same(bucket: &Bucket, entry: usize, against: &[Against]) -> Vec<usize> {
    let own = &bucket.entries[entry];
    let Some(vehicle) = bucket.seen(own) else { return Vec::new() };
    let same = |other: &usize| {
        let other = &bucket.entries[*other];
        other.person == own.person && bucket.seen(other).is_some_and(|seen| seen.may_be(vehicle))
    };
    against.iter().flat_map(|against| &against.entries).copied().filter(same).collect()
}

/// What the note contradicts among the live notes of its bucket, value by value, certain ones first.
fn against(bucket: &Bucket, entry: usize) -> Vec<Against> {
    let known = bucket.live_claims();
    let note = &bucket.entries[entry];
    let (claim, scope) = (bucket.claim(note), bucket.scope(note));
    let mut found: BTreeMap<(bool, Vec<Cell>), Vec<usize>> = BTreeMap::new();
    let mut of_claims: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    let clashes: Vec<Clash> =
        bucket.claims.iter().map(|theirs| bucket.clash(claim, theirs, &known)).collect();
    let meets: Vec<bool> = bucket.scopes.iter().map(|other| other.overlaps(scope)).collect();
    let entries = bucket.entries.iter().enumerate();
    for (at, other) in entries.filter(|(_, other)| other.is_live() && note.is_live()) {
        if clashes[other.claim as usize] != Clash::None && meets[other.scope as usize] {
            of_claims.entry(other.claim).or_default().push(at);
        }
    }
    for (theirs, notes) in of_claims {
        let possible = clashes[theirs as usize] == Clash::Possible;
        let theirs = &bucket.claims[theirs as usize];
        let values = bucket.differing(claim, theirs).map(|column| (column, theirs[column])).collect();
        found.entry((possible, values)).or_default().extend(notes);
    }
    let mut against: Vec<Against> = found
        .into_iter()
        .map(|((possible, values), entries)| contradiction(bucket, scope, !possible, &values, entries))
        .collect();
    against.sort_by_key(|other| (!other.certain, std::cmp::Reverse(other.entries.len())));
    against
}

fn contradiction(
    bucket: &Bucket,
    scope: &Scope,
    certain: bool,
    values: &[Cell],
    mut entries: Vec<usize>,
) -> Against {
    let meet = |at: &u32| bucket.scopes[*at as usize].intersection(scope);
    let contested = simplify(distinct(bucket.scopes_of(&entries).iter().filter_map(meet).collect()));
    entries.sort_by_cached_key(|at| bucket.entries[*at].strength());
    let text = |(column, cell): &Cell| {
        let column = &bucket.columns[*column];
        (column.field.clone(), column.text(*cell).unwrap_or_default().to_owned())
    };
    Against { entries, certain, values: values.iter().map(text).collect(), contested }
}

fn distinct(mut scopes: Vec<Scope>) -> Vec<Scope> {
    scopes.sort();
    scopes.dedup();
    scopes
}

/// Where the claim goes far beyond what was seen.
fn reach(bucket: &Bucket, entry: usize) -> Vec<Reach> {
    let note = &bucket.entries[entry];
    if !note.basis.is_observation() {
        return Vec::new();
    }
    let (scope, Some(seen)) = (bucket.scope(note), bucket.seen(note)) else { return vec![Reach::NoVehicle] };
    let mut reach: Vec<Reach> =
        seen.year().filter(|year| is_far(scope, *year)).map(Reach::Years).into_iter().collect();
    let is_other = |at: &usize| *at != entry && bucket.entries[*at].is_live();
    let others: Vec<usize> = (0..bucket.entries.len()).filter(is_other).collect();
    let others = bucket.scopes_of(&others).into_iter().map(|at| &bucket.scopes[at as usize]);
    let open = matters(others.filter(|other| other.overlaps(scope)));
    let told = |name: &String| seen.attributes().get(name).map(|value| (name.clone(), value.clone()));
    let unsaid = open.iter().filter(|name| scope.allowed(name).is_none()).filter_map(told);
    reach.extend(unsaid.map(|(name, value)| Reach::Attribute { name, value }));
    reach
}

fn is_far(scope: &Scope, seen: ModelYear) -> bool {
    let (from, to) = (scope.years().from(), scope.years().to());
    let before = from.is_none_or(|from| seen.get().saturating_sub(from.get()) > FAR);
    let after = to.is_none_or(|to| to.get().saturating_sub(seen.get()) > FAR);
    before || after
}
