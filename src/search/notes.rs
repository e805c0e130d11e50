//! What a note means to the index: its terms, made from its read values, its scope, its evidence and its words.
//!
//! The few distinct values of a book recur, so what each means is worked out once. Where notes come from and where
//! their terms go is the business of others.

use std::borrow::Cow;
use std::collections::BTreeMap;

use foldhash::{HashMap, HashMapExt};

use super::cut::{Cutter, is_stop};
use super::meaning::{Meaning, value_terms};
use super::term::{Kind, SEPARATOR};
use crate::book::{Book, BookError, KnownModel, ModelId, NoteRef};
use crate::value::Value;
use crate::value::lexicon::Word;
use crate::value::place::DriveSide;
use crate::vehicle::names::fold;
use crate::vehicle::{Scope, Vehicle, Years};

/// How many years an open end of a claim is taken to reach: nobody asks for a model year further away.
const OPEN_YEARS: u16 = 30;

/// Works out terms.
#[derive(Debug)]
pub(super) struct NoteTerms<'a, 'l> {
    pub(super) cutter: &'a Cutter<'l>,
    book: &'a Book,
    points: Vec<String>,
    people: BTreeMap<i64, (String, String)>,
    models: HashMap<ModelId, String>,
    values: HashMap<String, String>,
    scopes: HashMap<String, (String, DriveSide)>,
    seen: HashMap<String, String>,
}

impl<'a, 'l> NoteTerms<'a, 'l> {
    /// With the names that the book uses.
    pub(super) fn new(book: &'a Book, cutter: &'a Cutter<'l>) -> Result<Self, BookError> {
        Ok(Self {
            cutter,
            book,
            points: book.point_names()?,
            people: book.people_by_number()?,
            models: HashMap::new(),
            values: HashMap::new(),
            scopes: HashMap::new(),
            seen: HashMap::new(),
        })
    }

    /// The terms of a note, each followed by [`SEPARATOR`].
    pub(super) fn of(&mut self, note: &NoteRef<'_>, out: &mut String) {
        out.clear();
        let bucket = note.key.bucket();
        self.model(bucket.model(), out);
        if let Some(point) = self.points.get(usize::from(bucket.point())) {
            push(out, &Kind::Point.term(point));
        }
        if let Some((key, _)) = self.people.get(&note.person) {
            push(out, &Kind::Person.term(key));
        }
        push(out, &Kind::Basis.term(note.basis.word()));
        let drive = self.scope(note, out);
        self.seen(note.seen, out);
        for (field, text) in said(note.said) {
            self.value(&field, &text, drive, out);
        }
        self.words(note.remark, drive, out);
    }

    fn model(&mut self, id: ModelId, out: &mut String) {
        let terms = self.models.entry(id).or_insert_with(|| {
            // A note of a model without a name is found by the rest; `check` tells of it.
            self.book.model(id).ok().flatten().as_ref().map(model_terms).unwrap_or_default()
        });
        out.push_str(terms);
    }

    fn value(&mut self, field: &str, text: &str, drive: DriveSide, out: &mut String) {
        let key = format!("{field}{SEPARATOR}{drive:?}{SEPARATOR}{text}");
        if let Some(terms) = self.values.get(&key) {
            out.push_str(terms);
            return;
        }
        let terms = self.terms_of_value(field, text, drive);
        out.push_str(&terms);
        self.values.insert(key, terms);
    }

    /// The terms of what a note says of one field, the driver sitting on `drive`.
    pub(super) fn value_terms(&self, field: &str, text: &str, drive: DriveSide) -> Vec<String> {
        self.terms_of_value(field, text, drive).split_terminator(SEPARATOR).map(str::to_owned).collect()
    }

    fn terms_of_value(&self, field: &str, text: &str, drive: DriveSide) -> String {
        let language = self.cutter.language;
        let mut terms = String::new();
        match language.catalogue.field(field).map(|at| (at, language.read(at, text))) {
            Some((_, Ok(Value::Prose(_)))) | None => self.words(text, drive, &mut terms),
            Some((_, Ok(value))) => {
                value_terms(field, &value, drive).iter().for_each(|term| push(&mut terms, term));
                if let Value::Place(place) = &value {
                    place.unknown_words().iter().for_each(|words| self.plain_words(words, &mut terms));
                }
            }
            // What is not read any more is still found by its words.
            Some((_, Err(_))) => self.plain_words(text, &mut terms),
        }
        terms
    }

    /// The terms of the claimed vehicles; gives the side on which their drivers sit.
    fn scope(&mut self, note: &NoteRef<'_>, out: &mut String) -> DriveSide {
        let key = format!("{}{SEPARATOR}{}", note.years, note.only);
        if let Some((terms, drive)) = self.scopes.get(&key) {
            out.push_str(terms);
            return *drive;
        }
        let language = self.cutter.language;
        let scope = Scope::parse(note.years, note.only, language.vocabulary(), language.year());
        let scope = scope.unwrap_or_default();
        let terms = scope_terms(&scope);
        out.push_str(&terms);
        let drive = crate::language::Language::drive_of(&scope);
        self.scopes.insert(key, (terms, drive));
        drive
    }

    fn seen(&mut self, text: &str, out: &mut String) {
        if text.is_empty() {
            return;
        }
        if let Some(terms) = self.seen.get(text) {
            out.push_str(terms);
            return;
        }
        let language = self.cutter.language;
        let read = Vehicle::parse_seen(text, language.vocabulary(), language.year()).unwrap_or_default();
        let mut terms = String::new();
        for (name, value) in read.attributes() {
            push(&mut terms, &Kind::Seen.term(&format!("{name}={value}")));
        }
        out.push_str(&terms);
        self.seen.insert(text.to_owned(), terms);
    }

    /// What free words say: each word, and each phrase by what it means.
    fn words(&self, text: &str, drive: DriveSide, out: &mut String) {
        if text.is_empty() {
            return;
        }
        let (words, pieces) = self.cutter.lexicon.words_and_pieces(text);
        plain_words(&words, out);
        for phrase in self.cutter.cut_read(text, drive, (&words, &pieces), Vec::new()) {
            for meaning in phrase.meanings.iter().filter(|meaning| !matches!(meaning, Meaning::Word(_))) {
                meaning.terms_in_remark(drive).iter().for_each(|term| push(out, term));
            }
        }
    }

    fn plain_words(&self, text: &str, out: &mut String) {
        plain_words(&self.cutter.lexicon.words(text), out);
    }
}

fn plain_words(words: &[Word], out: &mut String) {
    for word in words {
        let key = fold(&word.key);
        if !key.is_empty() && key.len() <= LONGEST_WORD && !is_stop(&key) {
            push(out, &Kind::Word.term(&key));
        }
    }
}

/// A longer word than this is none that anybody will ask for.
const LONGEST_WORD: usize = 60;

fn push(out: &mut String, term: &str) {
    out.push_str(term);
    out.push(SEPARATOR);
}

fn model_terms(known: &KnownModel) -> String {
    let mut terms = String::new();
    push(&mut terms, &Kind::Model.term(&known.id.0.to_string()));
    push(&mut terms, &Kind::Make.term(&fold(&known.make)));
    terms
}

fn scope_terms(scope: &Scope) -> String {
    let mut terms = String::new();
    for year in years(&scope.years()) {
        push(&mut terms, &Kind::Year.term(&year.to_string()));
    }
    for (name, values) in scope.only() {
        push(&mut terms, &Kind::Narrowed.term(name));
        for value in values {
            push(&mut terms, &Kind::Only.term(&format!("{name}={value}")));
        }
    }
    terms
}

/// The model years of a claim, an open end cut where nobody asks any more; none where it claims all.
fn years(years: &Years) -> Vec<u16> {
    let [from, to] = years.ends().map(|end| end.map(crate::vehicle::ModelYear::get));
    let first = from.or(to.map(|to| to.saturating_sub(OPEN_YEARS)));
    let last = to.or(from.map(|from| from.saturating_add(OPEN_YEARS)));
    first.zip(last).map(|(first, last)| (first..=last).collect()).unwrap_or_default()
}

/// What the stored object of a note says, field by field.
pub(super) fn said(json: &str) -> Vec<(Cow<'_, str>, Cow<'_, str>)> {
    if let Ok(said) = serde_json::from_str::<BTreeMap<&str, &str>>(json) {
        return said.into_iter().map(|(field, text)| (field.into(), text.into())).collect();
    }
    // Texts with escaped characters cannot be borrowed.
    let said: BTreeMap<String, String> = serde_json::from_str(json).unwrap_or_default();
    said.into_iter().map(|(field, text)| (field.into(), text.into())).collect()
}
