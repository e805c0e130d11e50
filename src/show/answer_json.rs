//! What the book says of one vehicle, as JSON; its shape is written down in DEVELOPERS.md.
//!
//! Written straight from what was found: a model with many notes has many answers, and no tree of them is built first.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use serde::{Serialize, Serializer};
use serde_json::Value as Json;

use super::answers::task_text;
use super::decisions::opposition_json;
use super::ids::{cavity_code, conflict_code, note_code};
use super::splits::rounded;
use crate::ask::{Found, PointFound, Task};
use crate::book::{KnownModel, Words};
use crate::judge::answer::{Answer, Elsewhere, Tally};
use crate::judge::cavity::CavityConflict;
use crate::judge::grade::{Evidence, Grade};
use crate::language::Language;
use crate::note::{NoteId, date_text};
use crate::schema::Text;
use crate::spread;
use crate::vehicle::{Match, ModelYear, Scope, Vehicle};

/// The answer to a lookup.
#[must_use]
pub fn to_json<'f>(
    language: &'f Language,
    found: &'f Found,
    not_understood: &'f [String],
) -> impl Serialize + use<'f> {
    let points = &language.catalogue.points;
    Lookup {
        vehicle: vehicle(&found.model, &found.vehicle),
        points: found.points.iter().map(|point| PointShape::new(language, point, found.shown)).collect(),
        blank: found.blank.iter().map(|point| &*points[*point].name).collect(),
        cavity_conflicts: found
            .cavities
            .iter()
            .map(|conflict| CavityShape::new(conflict, found.shown))
            .collect(),
        tasks: found.tasks.iter().map(|task| TaskShape::new(language, task)).collect(),
        cautions: &language.catalogue.cautions,
        not_understood,
    }
}

/// A vehicle with its model.
#[must_use]
pub fn vehicle<'f>(model: &'f KnownModel, vehicle: &'f Vehicle) -> Asked<'f> {
    Asked { make: &model.make, model: &model.model, vehicle }
}

#[derive(Serialize)]
struct Lookup<'f> {
    vehicle: Asked<'f>,
    points: Vec<PointShape<'f>>,
    blank: Vec<&'f str>,
    cavity_conflicts: Vec<CavityShape<'f>>,
    tasks: Vec<TaskShape<'f>>,
    cautions: &'f [Text],
    not_understood: &'f [String],
}

/// The vehicle that was asked about, with its model.
#[derive(Serialize)]
pub struct Asked<'f> {
    make: &'f str,
    model: &'f str,
    #[serde(flatten, serialize_with = "of_vehicle")]
    vehicle: &'f Vehicle,
}

fn of_vehicle<S: Serializer>(vehicle: &&Vehicle, serializer: S) -> Result<S::Ok, S::Error> {
    vehicle.to_json().serialize(serializer)
}

/// A cavity that cannot be what all its notes say.
#[derive(Serialize)]
pub(super) struct CavityShape<'f> {
    id: String,
    connector: &'f str,
    cavity: &'f str,
}

impl<'f> CavityShape<'f> {
    pub(super) fn new(conflict: &'f CavityConflict, shown: usize) -> Self {
        let id = cavity_code(conflict.anchor, shown);
        Self { id, connector: &conflict.connector, cavity: &conflict.cavity }
    }
}

/// What the shop wants to have looked at.
#[derive(Serialize)]
struct TaskShape<'f> {
    point: &'f str,
    task: String,
    decision: String,
    by: &'f str,
    on: String,
    because: &'f str,
}

impl<'f> TaskShape<'f> {
    fn new(language: &'f Language, task: &'f Task) -> Self {
        Self {
            point: &language.catalogue.points[task.point].name,
            task: task_text(language, task),
            decision: task.id.to_string(),
            by: &task.decision.by,
            on: date_text(task.decision.day),
            because: &task.decision.because,
        }
    }
}

#[derive(Serialize)]
struct PointShape<'f> {
    point: &'f str,
    grade: Grade,
    conflict: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mentioned: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    possible: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    opposed: Vec<Json>,
    answers: Vec<AnswerShape<'f>>,
    check: &'f str,
    cautions: &'f [Text],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    noted: Vec<Noted<'f>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    elsewhere: Vec<ElsewhereShape<'f>>,
}

impl<'f> PointShape<'f> {
    fn new(language: &'f Language, found: &'f PointFound, shown: usize) -> Self {
        let point = &language.catalogue.points[found.point];
        let judged = &found.judged;
        Self {
            point: &point.name,
            grade: judged.grade,
            conflict: judged.conflict.map(|anchor| conflict_code(anchor, shown)),
            mentioned: judged.mentioned.map(|anchor| conflict_code(anchor, shown)),
            possible: judged.possible.map(|anchor| conflict_code(anchor, shown)),
            opposed: found.opposed.iter().map(|one| opposition_json(one, shown)).collect(),
            answers: judged
                .answers
                .iter()
                .map(|answer| AnswerShape::new(language, found, answer, shown))
                .collect(),
            check: &point.check,
            cautions: &point.cautions,
            noted: found.noted().map(|(id, words)| Noted::new(id, words, shown)).collect(),
            elsewhere: judged
                .elsewhere
                .iter()
                .map(|other| ElsewhereShape::new(found, other, shown))
                .collect(),
        }
    }
}

/// What a note remarks that claims nothing.
#[derive(Serialize)]
struct Noted<'f> {
    note: String,
    remark: &'f str,
    by: &'f str,
    on: String,
}

impl<'f> Noted<'f> {
    fn new(id: NoteId, words: &'f Words, shown: usize) -> Self {
        Self { note: note_code(id, shown), remark: &words.remark, by: &words.by, on: date_text(words.day) }
    }
}

/// Fields with their texts, in the order of the catalogue.
struct Values<'f>(Vec<(&'f str, Cow<'f, str>)>);

impl Serialize for Values<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(field, text)| (field, text)))
    }
}

#[derive(Serialize)]
struct AnswerShape<'f> {
    values: Values<'f>,
    grade: Grade,
    support: f64,
    applies: &'static str,
    depends_on: &'f [String],
    #[serde(serialize_with = "of_scope")]
    scope: &'f Scope,
    observations: usize,
    covering: usize,
    by_basis: BTreeMap<&'static str, usize>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    silent: BTreeMap<&'f str, usize>,
    last: Option<String>,
    years_seen: &'f BTreeSet<ModelYear>,
    notes: Vec<String>,
    nearby: Vec<String>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    told_only: &'f [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    more_if: Option<MoreIf<'f>>,
    #[serde(skip_serializing_if = "BTreeSet::is_empty")]
    dispute_depends_on: &'f BTreeSet<String>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    also: BTreeMap<&'f str, Also<'f>>,
}

fn of_scope<S: Serializer>(scope: &&Scope, serializer: S) -> Result<S::Ok, S::Error> {
    scope.to_json().serialize(serializer)
}

/// What more stands behind an answer where the vehicle is as narrower notes ask.
#[derive(Serialize)]
struct MoreIf<'f> {
    depends_on: &'f [String],
    values: BTreeMap<&'f str, &'f [String]>,
    observations: usize,
    covering: usize,
    by_basis: BTreeMap<&'static str, usize>,
    last: Option<String>,
}

/// What else is told of a field that is not compared.
#[derive(Serialize)]
#[serde(untagged)]
enum Also<'f> {
    Spread { median: String, low: String, high: String, notes: usize },
    Texts(Vec<&'f str>),
}

impl<'f> AnswerShape<'f> {
    fn new(language: &'f Language, found: &'f PointFound, answer: &'f Answer, shown: usize) -> Self {
        let fields = &language.catalogue.fields;
        let values = found.values_of(answer, language).into_iter();
        let (applies, depends_on): (_, &[String]) = match &answer.applies {
            Match::DependsOn(dimensions) => ("depends", dimensions),
            Match::Applies | Match::Excluded => ("yes", &[]),
        };
        let evidence = &answer.evidence;
        let id = |entry: &usize| note_code(found.bucket.entries[*entry].id, shown);
        let more_if = answer.conditional.as_ref().map(|more| MoreIf {
            depends_on: &more.depends_on,
            values: more.values.iter().map(|(field, texts)| (field.as_str(), texts.as_slice())).collect(),
            observations: more.evidence.observations,
            covering: more.evidence.covering,
            by_basis: by_basis(&more.evidence),
            last: more.evidence.last.map(date_text),
        });
        Self {
            values: Values(values.map(|(field, text)| (&*fields[field].name, text.into())).collect()),
            grade: answer.grade,
            support: rounded(answer.support.share()),
            applies,
            depends_on,
            scope: &answer.scope,
            observations: evidence.observations,
            covering: evidence.covering,
            by_basis: by_basis(evidence),
            silent: evidence.silent.iter().map(|(field, count)| (field.as_str(), *count)).collect(),
            last: evidence.last.map(date_text),
            years_seen: &evidence.years_seen,
            notes: found.ids_of(answer).map(|id| note_code(id, shown)).collect(),
            nearby: answer.nearby.iter().map(id).collect(),
            told_only: &answer.told_only,
            more_if,
            dispute_depends_on: &evidence.dispute_depends_on,
            also: answer
                .tallies
                .iter()
                .filter(|tally| tally.texts.len() > 1)
                .map(|tally| (tally.field.as_str(), also(language, tally)))
                .collect(),
        }
    }
}

fn by_basis(evidence: &Evidence) -> BTreeMap<&'static str, usize> {
    evidence.by_basis.iter().map(|(basis, count)| (basis.word(), *count)).collect()
}

fn also<'f>(language: &Language, tally: &'f Tally) -> Also<'f> {
    let spread = language.catalogue.field(&tally.field).and_then(|field| spread::of(language, field, tally));
    match spread {
        Some(spread) => Also::Spread {
            median: spread.median.to_string(),
            low: spread.low.to_string(),
            high: spread.high.to_string(),
            notes: spread.notes,
        },
        None => Also::Texts(tally.texts.iter().skip(1).map(|(text, _)| text.as_str()).collect()),
    }
}

/// An answer that holds for other vehicles of the model.
#[derive(Serialize)]
struct ElsewhereShape<'f> {
    values: Values<'f>,
    #[serde(serialize_with = "of_scope")]
    scope: &'f Scope,
    support: f64,
    observations: usize,
    notes: Vec<String>,
}

impl<'f> ElsewhereShape<'f> {
    fn new(found: &'f PointFound, other: &'f Elsewhere, shown: usize) -> Self {
        let id = |entry: &usize| note_code(found.bucket.entries[*entry].id, shown);
        Self {
            values: Values(
                found.bucket.texts(&other.claim).map(|(name, text)| (name, text.into())).collect(),
            ),
            scope: &other.scope,
            support: rounded(other.support.share()),
            observations: other.observations,
            notes: other.entries.iter().map(id).collect(),
        }
    }
}
