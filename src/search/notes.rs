//! What a note means to the index: its terms, made from its read values, its scope, its evidence and its words.
//!
//! What each text means is worked out by `texts`. Where notes come from and where their terms go is the business of
//! others.

use std::borrow::Cow;
use std::collections::BTreeMap;

use foldhash::{HashMap, HashMapExt};

use super::cut::{Cutter, REMEMBERED};
use super::term::Kind;
use super::texts::{Texts, push};
use crate::book::{Book, BookError, KnownModel, ModelId, NoteRef};
use crate::note::Basis;
use crate::value::place::DriveSide;
use crate::vehicle::names::fold;

/// Works out the terms of notes.
#[derive(Debug)]
pub(super) struct NoteTerms<'a, 'l> {
    book: &'a Book,
    texts: Texts<'a, 'l>,
    /// The terms of the names that the book uses, by their numbers in it.
    points: Vec<String>,
    people: HashMap<i64, String>,
    models: HashMap<ModelId, String>,
    /// The terms of what notes say, by the side on which the driver sits: many say all the same.
    said: [HashMap<Box<str>, Box<str>>; 3],
}

impl<'a, 'l> NoteTerms<'a, 'l> {
    /// With the names that the book uses.
    pub(super) fn new(book: &'a Book, cutter: &'a Cutter<'l>) -> Result<Self, BookError> {
        let person = |(number, (key, _)): (i64, (String, String))| (number, Kind::Person.term(&key));
        Ok(Self {
            book,
            texts: Texts::new(cutter),
            points: book.point_names()?.iter().map(|name| Kind::Point.term(name)).collect(),
            people: book.people_by_number()?.into_iter().map(person).collect(),
            models: HashMap::new(),
            said: Default::default(),
        })
    }

    /// The terms of a note, each followed by what parts it from the next.
    pub(super) fn of(&mut self, note: &NoteRef<'_>, out: &mut String) {
        out.clear();
        let bucket = note.key.bucket();
        self.model(bucket.model(), out);
        if let Some(point) = self.points.get(usize::from(bucket.point())) {
            push(out, point);
        }
        if let Some(person) = self.people.get(&note.person) {
            push(out, person);
        }
        push_evidence(note.basis, note.day, out);
        let (scope, drive) = self.texts.scope(note.years, note.only);
        out.push_str(&scope);
        if !note.seen.is_empty() {
            out.push_str(&self.texts.seen(note.seen));
        }
        self.said(note.said, drive, out);
        self.texts.words(note.remark, drive, out);
    }

    fn said(&mut self, json: &str, drive: DriveSide, out: &mut String) {
        let side = drive as usize;
        if let Some(terms) = self.said[side].get(json) {
            out.push_str(terms);
            return;
        }
        let start = out.len();
        for (field, text) in said(json) {
            out.push_str(&self.texts.value(&field, &text, drive));
        }
        if self.said[side].len() < REMEMBERED {
            self.said[side].insert(json.into(), out[start..].into());
        }
    }

    fn model(&mut self, id: ModelId, out: &mut String) {
        let terms = self.models.entry(id).or_insert_with(|| {
            // A note of a model without a name is found by the rest; `check` tells of it.
            self.book.model(id).ok().flatten().as_ref().map(model_terms).unwrap_or_default()
        });
        out.push_str(terms);
    }
}

/// The year of a day that is counted from 1970-01-01, as the calendar has it.
fn year_of(day: i32) -> i16 {
    let epoch = jiff::civil::date(1970, 1, 1);
    epoch.saturating_add(jiff::Span::new().days(day)).year()
}

/// The terms of the basis and of the year in which it was written.
pub(super) fn push_evidence(basis: Basis, day: i32, out: &mut String) {
    out.push(Kind::Basis.letter());
    push(out, basis.word());
    push(out, &Kind::Written.term(&year_of(day).to_string()));
}

/// The terms of a model and its maker.
pub(super) fn model_terms(known: &KnownModel) -> String {
    let mut terms = String::new();
    push(&mut terms, &Kind::Model.term(&known.id.0.to_string()));
    push(&mut terms, &Kind::Make.term(&fold(&known.make)));
    terms
}

/// What the stored object of a note says, field by field.
fn said(json: &str) -> Vec<(Cow<'_, str>, Cow<'_, str>)> {
    if let Ok(said) = serde_json::from_str::<BTreeMap<&str, &str>>(json) {
        return said.into_iter().map(|(field, text)| (field.into(), text.into())).collect();
    }
    // Texts with escaped characters cannot be borrowed.
    let said: BTreeMap<String, String> = serde_json::from_str(json).unwrap_or_default();
    said.into_iter().map(|(field, text)| (field.into(), text.into())).collect()
}
