//! Asking the book about one vehicle: every point of the catalogue, judged, with the notes that a reader wants to
//! see. Joins storage and judgement; how the answer looks is `show`'s business.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use crate::book::{Book, BookError, BucketKey, KnownModel, ModelId, Words};
use crate::decision::{Decision, DecisionId};
use crate::judge::answer::{Answer, Judged, gist, judge_with};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::CavityConflict;
use crate::judge::conflict::{self, State};
use crate::judge::grade::Grade;
use crate::judge::pattern::Outlook;
use crate::language::Language;
use crate::note::NoteId;
use crate::opposition::{self, Opposition};
use crate::search::Hit;
use crate::spread;
use crate::vehicle::Vehicle;

/// What the book says of one vehicle.
#[derive(Debug)]
pub struct Found {
    /// The model.
    pub model: KnownModel,
    /// Whether the book has notes of the model.
    pub heard_of: bool,
    /// The vehicle asked about.
    pub vehicle: Vehicle,
    /// The points of which something is known of the model, in the order of the catalogue.
    pub points: Vec<PointFound>,
    /// The points of which nothing is claimed for this vehicle, by number in the catalogue.
    pub blank: Vec<usize>,
    /// Cavities that cannot be what all notes on this vehicle say.
    pub cavities: Vec<CavityConflict>,
    /// What the shop wants to have looked at on such a vehicle.
    pub tasks: Vec<Task>,
    /// How many characters of an id are shown.
    pub shown: usize,
}

/// Something to look at while the vehicle is in.
#[derive(Debug)]
pub struct Task {
    /// The point, by number in the catalogue.
    pub point: usize,
    /// The connector and the cavity, where two points claim one.
    pub cavity: Option<(String, String)>,
    /// The decision that asks for it.
    pub id: DecisionId,
    /// The same in full.
    pub decision: Decision,
    /// How many different things its notes say; 0 where they contradict nothing.
    pub sides: usize,
}

/// One point.
#[derive(Debug)]
pub struct PointFound {
    /// Its number in the catalogue.
    pub point: usize,
    /// What is known of the model.
    pub bucket: Bucket,
    /// What of it holds for the vehicle.
    pub judged: Judged,
    /// The words of the strongest notes of each answer, by number within the bucket.
    pub notes: BTreeMap<u32, Words>,
    /// Decisions about notes on this vehicle that say the opposite of each other.
    pub opposed: Vec<Opposition>,
}

/// How much of the notes is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// What they say: only prose has to be fetched, the rest is in the buckets.
    Values,
    /// Their remarks as well.
    Remarks,
}

/// Notes of an answer that are read in full: their remarks and prose are shown.
const READ_IN_FULL: usize = 3;

/// Asks about `vehicle` of `model`: all points, or those for which `wanted` holds.
///
/// # Errors
/// The book cannot be read.
pub fn ask(
    book: &Book,
    language: &Language,
    model: KnownModel,
    vehicle: Vehicle,
    detail: Detail,
    wanted: impl Fn(usize) -> bool,
) -> Result<Found, BookError> {
    let buckets = book.buckets(language, model.id)?;
    let cavities = Book::cavity_conflicts(language, &buckets);
    let mut tasks = tasks(book, rechecks(&buckets, &cavities, &vehicle, &wanted))?;
    tasks.iter_mut().for_each(|task| task.sides = sides(task, &buckets, &cavities));
    let cavities = touching(&cavities, &vehicle, &wanted).cloned().collect();
    let mut points = Vec::new();
    let doubt = book.doubt()?;
    let outlooks = Outlook::of_model(buckets.iter().map(|(_, _, bucket)| bucket), &doubt);
    for ((key, point, bucket), outlook) in
        buckets.into_iter().zip(outlooks).filter(|((_, point, _), _)| wanted(*point))
    {
        let judged = judge_with(&bucket, &vehicle, &outlook);
        let notes = strongest(book, language, detail, (key, point), &bucket, &judged)?;
        let mut opposed = opposition::of_bucket(book, &bucket)?;
        opposed.retain(|one| one.touches(&bucket, &vehicle));
        points.push(PointFound { point, bucket, judged, notes, opposed });
    }
    points.sort_by_key(|found| found.point);
    let known =
        |point: &usize| points.iter().any(|found| found.point == *point && !found.judged.answers.is_empty());
    let blank =
        (0..language.catalogue.points.len()).filter(|point| wanted(*point) && !known(point)).collect();
    let shown = book.shown_characters()?;
    Ok(Found { model, heard_of: true, vehicle, blank, points, cavities, tasks, shown })
}

/// How far what a found note says can be trusted on the vehicle that it was seen on, or on any that it claims: the grade
/// of the answer that it backs there. Only its own point is read. None where the note does not count any more.
///
/// # Errors
/// The book cannot be read.
pub fn grade_of(book: &Book, language: &Language, hit: &Hit) -> Result<Option<Grade>, BookError> {
    if !hit.standing.stands() {
        return Ok(None);
    }
    let seen =
        Vehicle::parse_seen(&hit.note.seen, language.vocabulary(), language.year()).unwrap_or_default();
    let vehicle = seen.year_settled_by(&hit.scope.years());
    let Some(bucket) = book.bucket(language, hit.note.key.bucket())? else { return Ok(None) };
    let Some(entry) = bucket.entries.iter().position(|entry| entry.id == hit.note.id) else {
        return Ok(None);
    };
    let judged = gist(&bucket, &vehicle, &Outlook::default());
    Ok(judged.answers.iter().find(|answer| answer.entries.contains(&entry)).map(|answer| answer.grade))
}

/// What a book says of a vehicle whose model it has never heard of: nothing, on every point for which `wanted` holds.
#[must_use]
pub fn unheard_of(
    language: &Language,
    make: String,
    model: String,
    vehicle: Vehicle,
    wanted: impl Fn(usize) -> bool,
) -> Found {
    Found {
        // No model of a book has this number.
        model: KnownModel { id: ModelId(0), make, model },
        heard_of: false,
        vehicle,
        points: Vec::new(),
        blank: (0..language.catalogue.points.len()).filter(|point| wanted(*point)).collect(),
        cavities: Vec::new(),
        tasks: Vec::new(),
        // Nothing is shown that has an id.
        shown: 0,
    }
}

/// A point, or a cavity that it and another claim, and the decision that asks to look there.
pub type Asked = (usize, Option<(String, String)>, DecisionId);

/// Where such a vehicle is to be rechecked: at a point, or at a cavity that several points claim.
#[must_use]
pub fn rechecks(
    buckets: &[(BucketKey, usize, Bucket)],
    cavities: &[CavityConflict],
    vehicle: &Vehicle,
    wanted: impl Fn(usize) -> bool,
) -> Vec<Asked> {
    let mut asked: Vec<Asked> = Vec::new();
    for (_, point, bucket) in buckets.iter().filter(|(_, point, _)| wanted(*point)) {
        asked.extend(bucket.rechecks(vehicle).map(|decided| (*point, None, decided.id)));
    }
    for conflict in touching(cavities, vehicle, wanted).filter(|found| found.state == State::Recheck) {
        let cavity = (conflict.connector.clone(), conflict.cavity.clone());
        let point = conflict.claimants[0].point;
        asked.extend(conflict.rechecks.iter().map(|id| (point, Some(cavity.clone()), *id)));
    }
    asked
}

/// The same with what was decided, as tasks.
fn tasks(book: &Book, asked: Vec<Asked>) -> Result<Vec<Task>, BookError> {
    let mut tasks = Vec::new();
    for (point, cavity, id) in asked {
        let found = book.decisions_called(&[id])?.into_iter();
        tasks.extend(found.map(|(id, decision)| Task {
            point,
            cavity: cavity.clone(),
            id,
            decision,
            sides: 0,
        }));
    }
    tasks.sort_by_key(|task| (task.point, task.id));
    Ok(tasks)
}

/// How many different things are said in the conflict that is to be looked at.
fn sides(task: &Task, buckets: &[(BucketKey, usize, Bucket)], cavities: &[CavityConflict]) -> usize {
    let asks = |conflict: &&CavityConflict| conflict.rechecks.contains(&task.id);
    if task.cavity.is_some() {
        return cavities.iter().find(asks).map_or(0, |conflict| conflict.sides().len());
    }
    let Some((.., bucket)) = buckets.iter().find(|(_, point, _)| *point == task.point) else { return 0 };
    let is_own = |at: &usize| task.decision.becomes(bucket.entries[*at].id).is_some();
    let conflicts = conflict::all(bucket).into_iter().filter(|one| one.entries.iter().any(is_own));
    conflicts.map(|one| conflict::describe(bucket, &one).sides.len()).max().unwrap_or_default()
}

/// The conflicts over cavities that are not settled and may touch a vehicle at a wanted point.
fn touching<'c>(
    conflicts: &'c [CavityConflict],
    vehicle: &'c Vehicle,
    wanted: impl Fn(usize) -> bool + 'c,
) -> impl Iterator<Item = &'c CavityConflict> {
    conflicts.iter().filter(move |conflict| {
        conflict.state != State::Settled
            && conflict.claimants.iter().any(|claimant| wanted(claimant.point))
            && conflict.touches(vehicle)
    })
}

/// Reads the notes whose words are shown. Where a point has no prose, the first few of each answer; else as many
/// as may hold it.
fn strongest(
    book: &Book,
    language: &Language,
    detail: Detail,
    (key, point): (BucketKey, usize),
    bucket: &Bucket,
    judged: &Judged,
) -> Result<BTreeMap<u32, Words>, BookError> {
    let fields =
        language.catalogue.points[point].fields.iter().map(|field| &language.catalogue.fields[*field]);
    let prose: Vec<&str> = fields.filter(|field| field.kind.is_prose()).map(|field| &*field.name).collect();
    let each = match (prose.is_empty(), detail) {
        (false, _) => 2 * READ_IN_FULL,
        (true, Detail::Remarks) => READ_IN_FULL,
        (true, Detail::Values) => 0,
    };
    let mut notes = BTreeMap::new();
    let backing = judged.answers.iter().flat_map(|answer| answer.entries.iter().take(each));
    for entry in backing.chain(judged.noted.iter().take(READ_IN_FULL)) {
        let number = bucket.entries[*entry].number;
        if let Entry::Vacant(place) = notes.entry(number)
            && let Some(words) = book.words(key.note(number), &prose)?
        {
            place.insert(words);
        }
    }
    Ok(notes)
}

/// The median of a quantity that several notes tell differently.
fn median(language: &Language, field: usize, answer: &Answer) -> Option<String> {
    let name = &*language.catalogue.fields[field].name;
    let tally = answer.tallies.iter().find(|tally| tally.field == name && tally.texts.len() > 1)?;
    Some(spread::of(language, field, tally)?.median.to_string())
}

impl PointFound {
    /// The notes of an answer that were read in full, the strongest first.
    pub fn notes_of<'a>(&'a self, answer: &'a Answer) -> impl Iterator<Item = &'a Words> {
        answer.entries.iter().filter_map(|entry| self.notes.get(&self.bucket.entries[*entry].number))
    }

    /// The notes that claim nothing and have a remark, with their ids, the strongest first.
    pub fn noted(&self) -> impl Iterator<Item = (NoteId, &Words)> {
        let words = |entry: &usize| {
            let entry = &self.bucket.entries[*entry];
            self.notes.get(&entry.number).map(|words| (entry.id, words))
        };
        self.judged.noted.iter().filter_map(words).filter(|(_, words)| !words.remark.is_empty())
    }

    /// The ids of all notes that back an answer.
    pub fn ids_of<'a>(&'a self, answer: &'a Answer) -> impl Iterator<Item = NoteId> + 'a {
        answer.entries.iter().map(|entry| self.bucket.entries[*entry].id)
    }

    /// What an answer says: fields with canonical texts in the order of the catalogue. Of a field that is not
    /// compared, what most notes say, and the median of a quantity; of prose, the words of the strongest note that has some.
    #[must_use]
    pub fn values_of(&self, answer: &Answer, language: &Language) -> Vec<(usize, String)> {
        let catalogue = &language.catalogue;
        let value = |field: usize| {
            let name = &*catalogue.fields[field].name;
            let compared = self.bucket.texts(&answer.claim).find(|(found, _)| *found == name);
            let tallied =
                answer.tallies.iter().find(|tally| tally.field == name).and_then(|tally| tally.texts.first());
            let written = || {
                self.notes_of(answer).find_map(|note| {
                    note.prose.iter().find(|(field, _)| field == name).map(|(_, text)| text.clone())
                })
            };
            match (compared, tallied) {
                (Some((_, text)), _) => Some(text.to_owned()),
                (None, Some((text, _))) => {
                    Some(median(language, field, answer).unwrap_or_else(|| text.clone()))
                }
                (None, None) if catalogue.fields[field].kind.is_prose() => written(),
                (None, None) => None,
            }
        };
        let fields = &catalogue.points[self.point].fields;
        fields.iter().filter_map(|field| value(*field).map(|text| (*field, text))).collect()
    }

    /// The connectors that notes of an answer name beside a place that is not the first told, where the answer's own
    /// is another. Sorted.
    #[must_use]
    pub fn other_connectors(&self, answer: &Answer, at: &str) -> Vec<&str> {
        let Some(column) = self.bucket.connector() else { return Vec::new() };
        let named = |entry: &usize| {
            let entry = &self.bucket.entries[*entry];
            let told = &self.bucket.extras[entry.extra as usize];
            let there = told
                .iter()
                .any(|(field, text)| self.bucket.extra_fields[usize::from(*field)] == "at" && text == at);
            let plug = self.bucket.claim(entry)[column];
            if there && plug != answer.claim[column] { self.bucket.columns[column].text(plug) } else { None }
        };
        answer.entries.iter().filter_map(named).collect::<BTreeSet<_>>().into_iter().collect()
    }
}
