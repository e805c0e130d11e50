//! A note that was found, looked at closely in the book: how it stands, how it answers, and what of it answers.

use std::ops::Range;

use super::SearchError;
use super::find::{AGAINST, Match, Wanted};
use super::meaning::How;
use super::notes::NoteTerms;
use super::tail::TailNote;
use crate::book::{Book, KnownModel, Standing, StoredNote};
use crate::language::Language;
use crate::value::place::DriveSide;
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
}

impl Closely<'_> {
    /// The matches with how they stand, those that stand no more after their like.
    pub(super) fn in_order(&self, matches: Vec<Match>) -> Result<Vec<(Match, Standing)>, SearchError> {
        let mut standing = Vec::with_capacity(matches.len());
        for mut found in matches {
            let own = self.book.standing(found.key)?;
            if !own.stands() {
                found.score *= FALLEN;
            }
            standing.push((found, own));
        }
        standing.sort_by(|(a, _), (b, _)| b.score.total_cmp(&a.score).then(b.rank.cmp(&a.rank)));
        Ok(standing)
    }

    /// The note, unless it is not for the vehicle that is asked about.
    pub(super) fn hit(
        &self,
        reader: &mut NoteTerms<'_, '_>,
        found: Match,
        standing: Standing,
    ) -> Result<Option<Hit>, SearchError> {
        let Some(note) = self.book.note(found.key)? else { return Ok(None) };
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
        let mut terms = String::new();
        self.book.row(found.key, |row| {
            reader.of(row, &mut terms);
            Ok::<_, SearchError>(())
        })?;
        let has = TailNote::new(found.key, found.rank, terms);
        let point = self.book.point_name(bucket)?.unwrap_or_default();
        let (fields, marks) = self.marked(reader, &note, Language::drive_of(&scope));
        Ok(Some(Hit {
            answers: self.answers(&has),
            model,
            point,
            standing,
            scope,
            score: found.score,
            fields,
            marks,
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

    /// The fields and the stretches of the remark that answer to a phrase.
    fn marked(
        &self,
        reader: &NoteTerms<'_, '_>,
        note: &StoredNote,
        drive: DriveSide,
    ) -> (Vec<String>, Vec<Range<usize>>) {
        let wanted = |term: &String| {
            self.wanted.iter().flat_map(|own| &own.ways).any(|way| way.term == *term && way.strength >= 0.3)
        };
        let fields = note
            .said
            .iter()
            .filter(|(field, text)| reader.value_terms(field, text, drive).iter().any(wanted));
        let phrases = reader.cutter.cut(&note.remark, drive);
        let said = phrases.iter().filter(|phrase| {
            phrase.meanings.iter().any(|meaning| meaning.terms_in_remark(drive).iter().any(wanted))
        });
        let mut marks: Vec<Range<usize>> = said.map(|phrase| phrase.span.clone()).collect();
        marks.dedup();
        (fields.map(|(field, _)| field.clone()).collect(), marks)
    }
}
