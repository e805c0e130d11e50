//! What each distinct text of a note means to the index: a claimed scope, a seen vehicle, a value, free words. The few
//! texts of a book recur, so what each means is worked out once.
//!
//! Which texts a note has, and what else it means, is the business of `notes` and of `hit`.

use std::ops::Range;
use std::rc::Rc;

use foldhash::HashMap;

use super::cut::{Cutter, Phrase};
use super::figures::with_points;
use super::meaning::{Meaning, value_terms};
use super::term::{Kind, SEPARATOR};
use crate::language::Language;
use crate::value::Value;
use crate::value::place::DriveSide;
use crate::vehicle::{ModelYear, Scope, Vehicle, Years};

/// How many years an open end of a claim is taken to reach: nobody asks for a model year further away.
const OPEN_YEARS: u16 = 30;

/// What was worked out, by the text that it was worked out of.
pub(super) type ByText<T> = HashMap<Box<str>, T>;

/// Works out what texts mean. Terms are told in one text, each followed by [`SEPARATOR`].
#[derive(Debug)]
pub(super) struct Texts<'a, 'l> {
    cutter: &'a Cutter<'l>,
    /// By field, then by the side on which the driver sits, then by text.
    values: ByText<[ByText<Rc<str>>; 3]>,
}

impl<'a, 'l> Texts<'a, 'l> {
    pub(super) fn new(cutter: &'a Cutter<'l>) -> Self {
        Self { cutter, values: HashMap::default() }
    }

    fn language(&self) -> &'l Language {
        self.cutter.language
    }

    /// The terms of the claimed vehicles, and the side on which their drivers sit.
    pub(super) fn scope(&self, years: &str, only: &str) -> (String, DriveSide) {
        let language = self.language();
        let scope = Scope::parse(years, only, language.vocabulary(), language.year()).unwrap_or_default();
        (scope_terms(&scope), Language::drive_of(&scope))
    }

    /// The terms of the seen vehicle.
    pub(super) fn seen(&self, text: &str) -> String {
        let language = self.language();
        let read = Vehicle::parse_seen(text, language.vocabulary(), language.year()).unwrap_or_default();
        let mut terms = String::new();
        for (name, value) in read.attributes() {
            push(&mut terms, &Kind::Seen.term(&format!("{name}={value}")));
        }
        terms
    }

    /// The terms of what a note says of one field, the driver sitting on `drive`.
    pub(super) fn value(&mut self, field: &str, text: &str, drive: DriveSide) -> Rc<str> {
        let side = drive as usize;
        if let Some(terms) = self.values.get(field).and_then(|of_field| of_field[side].get(text)) {
            return terms.clone();
        }
        let terms: Rc<str> = self.terms_of_value(field, text, drive).into();
        self.values.entry(field.into()).or_default()[side].insert(text.into(), terms.clone());
        terms
    }

    fn terms_of_value(&self, field: &str, text: &str, drive: DriveSide) -> String {
        let language = self.language();
        let mut terms = String::new();
        match language.catalogue.field(field).map(|at| language.read(at, text)) {
            Some(Ok(Value::Prose(_))) | None => self.words(text, drive, &mut terms),
            Some(Ok(value)) => {
                value_terms(field, &value, drive).iter().for_each(|term| push(&mut terms, term));
                if let Value::Place(place) = &value {
                    place.unknown_words().iter().for_each(|words| self.plain_words(words, &mut terms));
                }
            }
            // What is not read any more is still found by its words.
            Some(Err(_)) => self.plain_words(text, &mut terms),
        }
        terms
    }

    /// What free words say: each word, and each phrase by what it means.
    fn words(&self, text: &str, drive: DriveSide, out: &mut String) {
        if text.is_empty() {
            return;
        }
        let text = &with_points(text);
        for clause in self.cutter.clauses(text) {
            self.clause(clause, drive, out);
        }
    }

    /// What a clause of free words says.
    pub(super) fn clause(&self, text: &str, drive: DriveSide, out: &mut String) {
        for phrase in self.cutter.cut_note(text, drive, false, &mut |key| push_word(out, key)) {
            for meaning in &phrase.meanings {
                in_remark(meaning, drive, &mut |term| push(out, term));
            }
        }
    }

    /// The same, phrase by phrase: all words that carry something, and where each phrase stands with its terms.
    pub(super) fn phrases(
        &self,
        text: &str,
        drive: DriveSide,
        out: &mut String,
    ) -> Vec<(Range<usize>, String)> {
        let phrases = self.cutter.cut_note(&with_points(text), drive, true, &mut |key| push_word(out, key));
        let said = |phrase: Phrase| {
            let mut terms = String::new();
            for meaning in &phrase.meanings {
                in_remark(meaning, drive, &mut |term| push(&mut terms, term));
                if let Meaning::Word(key) = meaning {
                    push_word(&mut terms, key);
                }
            }
            (phrase.span, terms)
        };
        phrases.into_iter().map(said).collect()
    }

    fn plain_words(&self, text: &str, out: &mut String) {
        self.cutter.each_word(text, &mut |key| push_word(out, key));
    }
}

/// The terms of a meaning that a remark has, but for a word's own.
fn in_remark(meaning: &Meaning, drive: DriveSide, tell: &mut dyn FnMut(&str)) {
    if !matches!(meaning, Meaning::Word(_)) {
        meaning.terms_in_remark(drive).iter().for_each(|term| tell(term));
    }
}

/// Adds a term, and what parts it from the next.
pub(super) fn push(out: &mut String, term: &str) {
    out.push_str(term);
    out.push(SEPARATOR);
}

fn push_word(out: &mut String, key: &str) {
    out.push(Kind::Word.letter());
    push(out, key);
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
    let [from, to] = years.ends().map(|end| end.map(ModelYear::get));
    let first = from.or(to.map(|to| to.saturating_sub(OPEN_YEARS)));
    let last = to.or(from.map(|from| from.saturating_add(OPEN_YEARS)));
    first.zip(last).map(|(first, last)| (first..=last).collect()).unwrap_or_default()
}
