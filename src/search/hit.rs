//! A note that was found, looked at closely in the book: how it stands, how it answers, and what of it answers.

use std::collections::BinaryHeap;
use std::ops::Range;
use std::rc::Rc;

use super::find::{AGAINST, Match, Ordered, Wanted};
use super::meaning::How;
use super::notes::{model_terms, push_evidence};
use super::row::{InARow, Row};
use super::tail::TailNote;
use super::term::{Kind, SEPARATOR};
use super::texts::{Texts, push};
use super::{LEAST_CLOSELY, SearchError};
use crate::book::{Book, KnownModel, NoteKey, Standing, StoredNote};
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
    /// How it answers to the phrases; nothing in short.
    pub answers: Vec<Answer>,
    /// The words of the question that its remark has in a row.
    pub in_a_row: Option<InARow>,
    /// The fields of which the value answers to a phrase.
    pub fields: Vec<String>,
    /// The stretches of the remark that answer to a phrase, in bytes; in short only where no value does.
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

/// How much is told of the notes that are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Telling {
    /// Which of their values answer; where none does, which stretches of their remarks.
    Short,
    /// Both, and how they answer to each phrase.
    Full,
}

/// A note that is for the vehicle that is asked about.
pub(super) struct Admitted {
    found: Match,
    note: StoredNote,
    standing: Standing,
    scope: Scope,
    in_a_row: Option<InARow>,
}

/// What was seen of a match already.
#[derive(Default)]
struct Looked {
    /// How it stands.
    standing: Option<Standing>,
    note: Option<StoredNote>,
    in_a_row: Option<InARow>,
}

/// Matches, the best of them first, those that stand no more after their like.
pub(super) struct InOrder {
    /// Those that are left, each with its place among those that were looked at.
    left: BinaryHeap<(Ordered, usize)>,
    looked: Vec<Looked>,
}

impl Closely<'_> {
    /// The matches in order.
    pub(super) fn in_order(&self, mut matches: Vec<Match>) -> Result<InOrder, SearchError> {
        let mut looked: Vec<Looked> = matches.iter().map(|_| Looked::default()).collect();
        self.read_remarks(&mut matches, &mut looked)?;
        let left = matches.into_iter().enumerate().map(|(at, found)| (Ordered(found), at)).collect();
        Ok(InOrder { left, looked })
    }

    /// The next note of them that is for the vehicle that is asked about; none where there is no more. How a note stands
    /// is only looked at where it comes next: it never comes sooner by that.
    pub(super) fn next(&self, matches: &mut InOrder) -> Result<Option<Admitted>, SearchError> {
        while let Some((Ordered(mut found), at)) = matches.left.pop() {
            let Some(standing) = matches.looked[at].standing else {
                let standing = self.book.standing(found.key)?;
                found.score *= if standing.stands() { 1.0 } else { FALLEN };
                matches.looked[at].standing = Some(standing);
                matches.left.push((Ordered(found), at));
                continue;
            };
            let Looked { note, in_a_row, .. } = std::mem::take(&mut matches.looked[at]);
            if let Some((note, scope)) = self.admitted(found.key, note, standing)? {
                return Ok(Some(Admitted { found, note, standing, scope, in_a_row }));
            }
        }
        Ok(None)
    }

    /// Lifts the best notes by the words that their remarks have in a row; the same notes whatever page is shown.
    fn read_remarks(&self, matches: &mut [Match], looked: &mut [Looked]) -> Result<(), SearchError> {
        if !self.row.is_worth_looking() {
            return Ok(());
        }
        for (found, own) in matches.iter_mut().zip(looked).take(LEAST_CLOSELY) {
            own.note = self.book.note(found.key)?;
            own.in_a_row = own.note.as_ref().and_then(|note| self.row.in_remark(&note.remark));
            found.score += own.in_a_row.map_or(0.0, |row| row.gained);
        }
        Ok(())
    }

    /// The note, unless it is not for the vehicle that is asked about.
    fn admitted(
        &self,
        key: NoteKey,
        note: Option<StoredNote>,
        standing: Standing,
    ) -> Result<Option<(StoredNote, Scope)>, SearchError> {
        let note = note.map_or_else(|| self.book.note(key), |note| Ok(Some(note)))?;
        let Some(note) = note else { return Ok(None) };
        let scope = match standing {
            Standing::Narrowed => self.book.holds_for(self.language, &note)?,
            _ => note.scope(self.language),
        };
        // Where no vehicle is asked for, the usual side of the wheel is none either.
        let excluded = !self.vehicle.is_blank() && scope.matches(self.vehicle) == Fits::Excluded;
        Ok(if excluded { None } else { Some((note, scope)) })
    }

    /// All that is told of a note that is shown; none where the book does not know its model.
    pub(super) fn hit(
        &self,
        texts: &mut Texts<'_, '_>,
        admitted: Admitted,
        telling: Telling,
    ) -> Result<Option<Hit>, SearchError> {
        let Admitted { found, note, standing, scope, in_a_row } = admitted;
        let bucket = found.key.bucket();
        let Some(model) = self.book.model(bucket.model())? else { return Ok(None) };
        let point = self.book.point_name(bucket)?.unwrap_or_default();
        let (claimed, drive) = texts.scope(&note.years, &note.only);
        let said = note.said.iter();
        let said: Vec<(String, Rc<str>)> =
            said.map(|(field, text)| (field.clone(), texts.value(field, text, drive))).collect();
        let fields: Vec<String> = self.answering(&said).cloned().collect();
        let (mut words, mut phrases) = (String::new(), Vec::new());
        if telling != Telling::Short || fields.is_empty() {
            phrases = texts.phrases(&note.remark, drive, &mut words);
        }
        let mut marks: Vec<Range<usize>> = self.answering(&phrases).cloned().collect();
        marks.dedup();
        let mut answers = Vec::new();
        if telling != Telling::Short {
            let mut all = terms_beside(texts, &note, &model, &point) + &claimed + &words;
            said.iter().for_each(|(_, terms)| all.push_str(terms));
            phrases.iter().for_each(|(_, terms)| all.push_str(terms));
            answers = self.answers(&TailNote::new(found.key, found.rank, all));
        }
        let score = found.score;
        Ok(Some(Hit { note, model, point, standing, scope, score, answers, in_a_row, fields, marks }))
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
}

/// How well something answers at least that is marked.
const LEAST_MARKED: f32 = 0.3;

/// What a note tells, in terms, beside what it claims and says: of which model, on what, by whom and on what grounds.
fn terms_beside(texts: &Texts<'_, '_>, note: &StoredNote, model: &KnownModel, point: &str) -> String {
    let mut terms = model_terms(model);
    push(&mut terms, &Kind::Point.term(point));
    push(&mut terms, &Kind::Person.term(&fold(&note.by)));
    push_evidence(note.basis, note.day, &mut terms);
    if !note.seen.is_empty() {
        terms.push_str(&texts.seen(&note.seen));
    }
    terms
}
