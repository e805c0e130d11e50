//! What a note means to the index: its terms, made from its read values, its scope, its evidence and its words. What
//! many notes share, whole or in part, is worked out once: a scope, a vehicle, all that is said, a clause of a remark.
//!
//! What each text means is worked out by `texts`. Where notes come from and where their terms go is the business of
//! others.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::collections::hash_map::Entry;

use foldhash::{HashMap, HashMapExt};

use super::cut::{Cutter, REMEMBERED};
use super::figures::with_points;
use super::term::{Kind, SEPARATOR};
use super::texts::{ByText, Texts, push};
use super::vocabulary::{TermNumber, Vocabulary};
use crate::book::{Book, BookError, KnownModel, ModelId, NoteRef};
use crate::note::{Basis, date_of};
use crate::value::place::DriveSide;
use crate::vehicle::names::fold;

/// Terms by their numbers.
type Terms = Box<[TermNumber]>;

/// Works out the terms of notes.
#[derive(Debug)]
pub(super) struct NoteTerms<'a, 'l> {
    book: &'a Book,
    cutter: &'a Cutter<'l>,
    texts: Texts<'a, 'l>,
    /// All terms that were worked out, by number.
    pub(super) vocabulary: Vocabulary,
    /// The terms of the names that the book uses, by their numbers in it.
    points: Vec<TermNumber>,
    people: HashMap<i64, TermNumber>,
    models: HashMap<ModelId, Terms>,
    bases: Vec<TermNumber>,
    /// Those of the years in which notes were written, by day.
    days: HashMap<i32, TermNumber>,
    /// By years, then by qualifiers.
    scopes: ByText<ByText<(Terms, DriveSide)>>,
    seen: ByText<Terms>,
    /// By the side on which the driver sits.
    sides: [BySide; 3],
    /// What is being worked out.
    terms: String,
}

/// What texts mean where the driver sits on one side.
#[derive(Debug, Default)]
struct BySide {
    /// All that a note says: many say all the same.
    said: ByText<Terms>,
    /// Clauses of remarks.
    clauses: ByText<Terms>,
    /// All clauses of remarks but the last.
    heads: ByText<Terms>,
    /// Clauses that end in a number of the shop's own, by what stands before it.
    numbered: ByText<Vec<Part>>,
}

/// A term of a clause that ends in a number.
#[derive(Debug)]
enum Part {
    /// One that it has whichever the number is.
    Plain(TermNumber),
    /// What stands around the number.
    Numbered(Vec<Box<str>>),
}

impl Part {
    fn of(term: &str, number: &str, vocabulary: &mut Vocabulary) -> Self {
        match term.contains(number) {
            true => Self::Numbered(term.split(number).map(Into::into).collect()),
            false => Self::Plain(vocabulary.number(term)),
        }
    }
}

impl<'a, 'l> NoteTerms<'a, 'l> {
    /// With the names that the book uses.
    pub(super) fn new(book: &'a Book, cutter: &'a Cutter<'l>) -> Result<Self, BookError> {
        let mut vocabulary = Vocabulary::default();
        let mut number = |kind: Kind, text: &str| vocabulary.number(&kind.term(text));
        let people = book.people_by_number()?.into_iter();
        Ok(Self {
            book,
            cutter,
            texts: Texts::new(cutter),
            points: book.point_names()?.iter().map(|name| number(Kind::Point, name)).collect(),
            people: people.map(|(at, (key, _))| (at, number(Kind::Person, &key))).collect(),
            bases: Basis::ALL.iter().map(|basis| number(Kind::Basis, basis.word())).collect(),
            vocabulary,
            models: HashMap::new(),
            days: HashMap::new(),
            scopes: HashMap::new(),
            seen: HashMap::new(),
            sides: Default::default(),
            terms: String::new(),
        })
    }

    /// The terms of a note; some may be told twice.
    pub(super) fn of(&mut self, note: &NoteRef<'_>, out: &mut Vec<TermNumber>) {
        out.clear();
        let bucket = note.key.bucket();
        self.model(bucket.model(), out);
        out.extend(self.points.get(usize::from(bucket.point())));
        out.extend(self.people.get(&note.person));
        out.push(self.bases[usize::from(note.basis.number())]);
        out.push(self.written(note.day));
        let drive = self.scope(note.years, note.only, out);
        if !note.seen.is_empty() {
            self.seen(note.seen, out);
        }
        self.said(note.said, drive, out);
        self.remark(note.remark, drive, out);
    }

    /// The same as text, each followed by what parts it from the next.
    pub(super) fn text_of(&mut self, note: &NoteRef<'_>) -> String {
        let (mut numbers, mut text) = (Vec::new(), String::new());
        self.of(note, &mut numbers);
        numbers.iter().for_each(|number| push(&mut text, self.vocabulary.text(*number)));
        text
    }

    fn written(&mut self, day: i32) -> TermNumber {
        let Self { days, vocabulary, .. } = self;
        *days.entry(day).or_insert_with(|| vocabulary.number(&written_term(day)))
    }

    fn scope(&mut self, years: &str, only: &str, out: &mut Vec<TermNumber>) -> DriveSide {
        if let Some((terms, drive)) = self.scopes.get(years).and_then(|of_years| of_years.get(only)) {
            out.extend_from_slice(terms);
            return *drive;
        }
        let (terms, drive) = self.texts.scope(years, only);
        let terms = self.vocabulary.numbers(&terms);
        out.extend_from_slice(&terms);
        self.scopes.entry(years.into()).or_default().insert(only.into(), (terms, drive));
        drive
    }

    fn seen(&mut self, text: &str, out: &mut Vec<TermNumber>) {
        if let Some(terms) = self.seen.get(text) {
            return out.extend_from_slice(terms);
        }
        let terms = self.vocabulary.numbers(&self.texts.seen(text));
        out.extend_from_slice(&terms);
        self.seen.insert(text.into(), terms);
    }

    fn said(&mut self, json: &str, drive: DriveSide, out: &mut Vec<TermNumber>) {
        let known = &mut self.sides[drive as usize].said;
        if let Some(terms) = known.get(json) {
            return out.extend_from_slice(terms);
        }
        let start = out.len();
        for (field, text) in said(json) {
            out.extend(self.vocabulary.numbers(&self.texts.value(&field, &text, drive)));
        }
        if known.len() < REMEMBERED {
            known.insert(json.into(), out[start..].into());
        }
    }

    /// The terms of a remark. Its last clause is often its own, what stands before seldom.
    fn remark(&mut self, text: &str, drive: DriveSide, out: &mut Vec<TermNumber>) {
        if text.is_empty() {
            return;
        }
        let (head, last) = self.cutter.last_clause(text);
        if !head.is_empty() {
            self.head(head, drive, out);
        }
        self.clause(&with_points(last), drive, out);
    }

    fn head(&mut self, text: &str, drive: DriveSide, out: &mut Vec<TermNumber>) {
        if let Some(terms) = self.sides[drive as usize].heads.get(text) {
            return out.extend_from_slice(terms);
        }
        let start = out.len();
        let cutter = self.cutter;
        for clause in cutter.clauses(&with_points(text)) {
            self.clause(clause, drive, out);
        }
        let known = &mut self.sides[drive as usize].heads;
        if known.len() < REMEMBERED {
            known.insert(text.into(), out[start..].into());
        }
    }

    fn clause(&mut self, text: &str, drive: DriveSide, out: &mut Vec<TermNumber>) {
        if let Some((rest, number)) = self.cutter.numbered(text) {
            return self.numbered(text, rest, number, drive, out);
        }
        let known = &mut self.sides[drive as usize].clauses;
        if let Some(terms) = known.get(text) {
            return out.extend_from_slice(terms);
        }
        self.terms.clear();
        self.texts.clause(text, drive, &mut self.terms);
        let terms = self.vocabulary.numbers(&self.terms);
        out.extend_from_slice(&terms);
        if known.len() < REMEMBERED {
            known.insert(text.into(), terms);
        }
    }

    /// The terms of a clause that is `rest` and, at its end, `number`.
    fn numbered(
        &mut self,
        text: &str,
        rest: &str,
        number: &str,
        drive: DriveSide,
        out: &mut Vec<TermNumber>,
    ) {
        let known = &mut self.sides[drive as usize].numbered;
        if !known.contains_key(rest) {
            self.terms.clear();
            self.texts.clause(text, drive, &mut self.terms);
            let terms = self.terms.split_terminator(SEPARATOR);
            let parts = terms.map(|term| Part::of(term, number, &mut self.vocabulary)).collect();
            if known.len() >= REMEMBERED {
                known.clear();
            }
            known.insert(rest.into(), parts);
        }
        for part in known.get(rest).into_iter().flatten() {
            match part {
                Part::Plain(term) => out.push(*term),
                Part::Numbered(around) => {
                    self.terms.clear();
                    for (at, piece) in around.iter().enumerate() {
                        self.terms.extend([if at > 0 { number } else { "" }, piece]);
                    }
                    out.push(self.vocabulary.number(&self.terms));
                }
            }
        }
    }

    fn model(&mut self, id: ModelId, out: &mut Vec<TermNumber>) {
        let terms = match self.models.entry(id) {
            Entry::Occupied(known) => known.into_mut(),
            Entry::Vacant(vacant) => {
                // A note of a model without a name is found by the rest; `check` tells of it.
                let known = self.book.model(id).ok().flatten();
                // The first note of a model tells the words of its name, which are only looked through.
                let names = known.iter().flat_map(|known| [&known.make, &known.model]);
                let words = names.flat_map(|name| name.split_whitespace()).map(fold);
                let words = words.filter(|word| !word.is_empty());
                out.extend(words.map(|word| self.vocabulary.number(&Kind::Name.term(&word))));
                let terms = known.as_ref().map(model_terms).unwrap_or_default();
                vacant.insert(self.vocabulary.numbers(&terms))
            }
        };
        out.extend_from_slice(terms);
    }
}

/// The term of the year in which a note was written, by its day.
fn written_term(day: i32) -> String {
    Kind::Written.term(&date_of(day).year().to_string())
}

/// The terms of the basis and of the year in which it was written.
pub(super) fn push_evidence(basis: Basis, day: i32, out: &mut String) {
    out.push(Kind::Basis.letter());
    push(out, basis.word());
    push(out, &written_term(day));
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

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use proptest::prelude::*;

    use super::*;
    use crate::language::Language;

    /// What a remark means clause by clause, and as a whole.
    fn both(text: &str) -> [BTreeSet<String>; 2] {
        let language = Language::new(None, DriveSide::Lhd, jiff::civil::date(2025, 6, 1)).expect("built in");
        let cutter = Cutter::new(&language);
        let dir = tempfile::tempdir().expect("a directory");
        let book = Book::open(dir.path(), &language).expect("an empty book");
        let mut notes = NoteTerms::new(&book, &cutter).expect("names");
        let (mut parted, mut whole) = (Vec::new(), String::new());
        // The second time it is remembered, and so is a clause with another number.
        for text in [text.replace("48213", "9071").as_str(), text, text] {
            parted.clear();
            notes.remark(text, DriveSide::Lhd, &mut parted);
        }
        notes.texts.clause(&with_points(text), DriveSide::Lhd, &mut whole);
        [
            parted.iter().map(|number| notes.vocabulary.text(*number).to_owned()).collect(),
            whole.split_terminator(SEPARATOR).map(str::to_owned).collect(),
        ]
    }

    proptest! {
        /// Words of colours, places, figures and none of these, with all that may stand between them.
        #[test]
        fn clauses_mean_the_same_by_themselves_as_together(
            said in prop::collection::vec((prop::sample::select(vec![
                "violet", "white", "tracer", "no", "with", "light", "brown?", "driver", "side", "left", "above", "the",
                "hood", "release", "cable", "kick", "panel", "brake", "switch", "and", "steady", "easy", "reach",
                "pin", "2", "12,4", "V", "35", "mm", "in", "connector", "C212", "M8", "taped", "park", "light's", "(old)",
                "48213", "20771", "job", "gauge", "1", "h", "slot",
            ]), prop::sample::select(vec![" ", " ", " ", ", ", "; ", ": ", ",", " - "])), 1..14)
        ) {
            let text: String = said.iter().flat_map(|(word, gap)| [*word, *gap]).collect();
            let [parted, whole] = both(&text);
            prop_assert_eq!(parted, whole, "{}", text);
        }
    }
}
