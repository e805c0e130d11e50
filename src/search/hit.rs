//! A note that was found, looked at closely in the book: how it stands, how it answers, and what of it answers.

use std::ops::Range;
use std::rc::Rc;

use super::find::{AGAINST, Match, Wanted};
use super::meaning::How;
use super::notes::{model_terms, push_evidence};
use super::row::{InARow, Row};
use super::tail::TailNote;
use super::term::{Kind, SEPARATOR};
use super::texts::{Texts, push};
use super::{LEAST_CLOSELY, SearchError};
use crate::book::{Book, KnownModel, Standing, StoredNote};
use crate::language::Language;
use crate::vehicle::names::fold;
use crate::vehicle::{Match as Fits, Scope, Vehicle};

/// How a note answers to one phrase of the question.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The phrase, by its number.
    pub phrase: usize,
    /// How; none where it speaks against it.
    pub how: Option<How>,
    /// What the note gained or lost by it.
    pub gained: f32,
}

/// A note that was found.
#[derive(Debug, Clone)]
pub struct Hit {
    /// The note.
    pub note: StoredNote,
    /// Its model.
    pub model: KnownModel,
    /// The name of its point.
    pub point: String,
    /// How it stands.
    pub standing: Standing,
    /// The vehicles that it holds for.
    pub scope: Scope,
    /// How well it answers; what that is of the most possible, `Found::most` tells.
    pub score: f32,
    /// How it answers to the phrases.
    pub answers: Vec<Answer>,
    /// The words of the question that its remark has in a row.
    pub in_a_row: Option<InARow>,
    /// The fields of which the value answers to a phrase.
    pub fields: Vec<String>,
    /// The stretches of the remark that answer to a phrase, in bytes.
    pub marks: Vec<Range<usize>>,
}

/// What a note that does not stand any more is worth.
const FALLEN: f32 = 0.8;

/// Looking at the notes that answer best closely, in the book.
pub(super) struct Closely<'a> {
    pub(super) book: &'a Book,
    pub(super) language: &'a Language,
    /// The vehicle that the notes may hold for.
    pub(super) vehicle: &'a Vehicle,
    pub(super) wanted: &'a [Wanted],
    pub(super) row: &'a Row,
}

/// A match with what the book tells of it.
pub(super) struct Looked {
    found: Match,
    standing: Standing,
    /// The note, where it was read already.
    note: Option<StoredNote>,
    in_a_row: Option<InARow>,
}

impl Closely<'_> {
    /// The matches with how they stand, those that stand no more after their like.
    pub(super) fn in_order(&self, matches: Vec<Match>) -> Result<Vec<Looked>, SearchError> {
        let standings = self.book.standings(matches.iter().map(|found| found.key))?;
        let look = |(found, standing)| Looked { found, standing, note: None, in_a_row: None };
        let mut looked: Vec<Looked> = matches.into_iter().zip(standings).map(look).collect();
        self.read_remarks(&mut looked)?;
        for own in looked.iter_mut().filter(|own| !own.standing.stands()) {
            own.found.score *= FALLEN;
        }
        let order = |a: &Match, b: &Match| b.score.total_cmp(&a.score).then(b.rank.cmp(&a.rank));
        looked.sort_by(|a, b| order(&a.found, &b.found));
        Ok(looked)
    }

    /// Lifts the best notes by the words that their remarks have in a row; the same notes whatever page is shown.
    fn read_remarks(&self, looked: &mut [Looked]) -> Result<(), SearchError> {
        if !self.row.is_worth_looking() {
            return Ok(());
        }
        for own in looked.iter_mut().take(LEAST_CLOSELY) {
            own.note = self.book.note(own.found.key)?;
            own.in_a_row = own.note.as_ref().and_then(|note| self.row.in_remark(&note.remark));
            own.found.score += own.in_a_row.map_or(0.0, |row| row.gained);
        }
        Ok(())
    }

    /// The note, unless it is not for the vehicle that is asked about.
    pub(super) fn hit(&self, texts: &mut Texts<'_, '_>, looked: Looked) -> Result<Option<Hit>, SearchError> {
        let Looked { found, standing, note, in_a_row } = looked;
        let note = note.map_or_else(|| self.book.note(found.key), |note| Ok(Some(note)))?;
        let Some(note) = note else { return Ok(None) };
        let bucket = found.key.bucket();
        let Some(model) = self.book.model(bucket.model())? else { return Ok(None) };
        let scope = match standing {
            Standing::Narrowed => self.book.holds_for(self.language, &note)?,
            _ => note.scope(self.language),
        };
        // Where no vehicle is asked for, the usual side of the wheel is none either.
        if !self.vehicle.is_blank() && scope.matches(self.vehicle) == Fits::Excluded {
            return Ok(None);
        }
        let point = self.book.point_name(bucket)?.unwrap_or_default();
        let told = Told::of(texts, &note, &model, &point);
        Ok(Some(Hit {
            answers: self.answers(&TailNote::new(found.key, found.rank, told.all())),
            in_a_row,
            fields: self.answering(&told.fields).cloned().collect(),
            marks: self.marks(&told),
            model,
            point,
            standing,
            scope,
            score: found.score,
            note,
        }))
    }

    fn answers(&self, note: &TailNote) -> Vec<Answer> {
        let mut answers = Vec::new();
        for (phrase, wanted) in self.wanted.iter().enumerate() {
            if let Some(way) = wanted.ways.iter().find(|way| note.has(&way.term)) {
                let gained = wanted.weight * way.strength;
                answers.push(Answer { phrase, how: Some(way.how), gained });
            } else if wanted.against.iter().any(|term| note.has(term)) {
                answers.push(Answer { phrase, how: None, gained: -AGAINST * wanted.weight });
            }
        }
        answers
    }

    /// Those of which a term answers to a phrase.
    fn answering<'t, T, S: AsRef<str>>(&self, told: &'t [(T, S)]) -> impl Iterator<Item = &'t T> {
        let ways = || self.wanted.iter().flat_map(|own| &own.ways).filter(|way| way.strength >= LEAST_MARKED);
        let wanted = move |term: &str| ways().any(|way| way.term == term);
        let answers = move |(_, terms): &&(T, S)| terms.as_ref().split_terminator(SEPARATOR).any(&wanted);
        told.iter().filter(answers).map(|(what, _)| what)
    }

    /// The stretches of the remark that answer to a phrase.
    fn marks(&self, told: &Told) -> Vec<Range<usize>> {
        let mut marks: Vec<Range<usize>> = self.answering(&told.phrases).cloned().collect();
        marks.dedup();
        marks
    }
}

/// How well something answers at least that is marked.
const LEAST_MARKED: f32 = 0.3;

/// What a note tells, in terms, by where it tells it.
struct Told {
    /// Of which vehicles, on what grounds and by whom; and every word of the remark.
    rest: String,
    /// By its fields.
    fields: Vec<(String, Rc<str>)>,
    /// By phrases of its remark.
    phrases: Vec<(Range<usize>, String)>,
}

impl Told {
    fn of(texts: &mut Texts<'_, '_>, note: &StoredNote, model: &KnownModel, point: &str) -> Self {
        let mut rest = model_terms(model);
        push(&mut rest, &Kind::Point.term(point));
        push(&mut rest, &Kind::Person.term(&fold(&note.by)));
        push_evidence(note.basis, note.day, &mut rest);
        let (scope, drive) = texts.scope(&note.years, &note.only);
        rest.push_str(&scope);
        if !note.seen.is_empty() {
            rest.push_str(&texts.seen(&note.seen));
        }
        let said = note.said.iter();
        let fields = said.map(|(field, text)| (field.clone(), texts.value(field, text, drive))).collect();
        let phrases = texts.phrases(&note.remark, drive, &mut rest);
        Self { rest, fields, phrases }
    }

    /// All terms.
    fn all(&self) -> String {
        let mut all = self.rest.clone();
        self.fields.iter().for_each(|(_, terms)| all.push_str(terms));
        self.phrases.iter().for_each(|(_, terms)| all.push_str(terms));
        all
    }
}
