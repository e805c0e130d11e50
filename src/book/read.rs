//! Reading the book: the buckets of a model, notes by key and by id, conflicts, counts.

use std::borrow::Borrow;

use rusqlite::{OptionalExtension, Row, params};

use super::{Book, BookError, BucketKey, ModelId, NoteKey, derive};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::{CavityConflict, Place, names_cavities};
use crate::judge::conflict::State;
use crate::judge::fold::Memo;
use crate::language::Language;
use crate::note::{Basis, NoteId};
use crate::vehicle::Scope;

/// Where a note was read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// The file, as it was named.
    pub file: String,
    /// The line, from 1.
    pub line: u32,
}

/// A note as it is kept, by its texts.
#[derive(Debug, Clone, PartialEq)]
pub struct StoredNote {
    /// Its key.
    pub key: NoteKey,
    /// Its id.
    pub id: NoteId,
    /// Canonical years.
    pub years: String,
    /// Canonical qualifiers.
    pub only: String,
    /// Field names with canonical texts, sorted by name.
    pub said: Vec<(String, String)>,
    /// How the writer knows.
    pub basis: Basis,
    /// Who, as first written.
    pub by: String,
    /// When, in days since 1970-01-01.
    pub day: i32,
    /// The seen vehicle, canonical, or empty.
    pub seen: String,
    /// The remark.
    pub remark: String,
    /// Where it was read first.
    pub origin: Origin,
}

impl StoredNote {
    /// What it says of a field.
    #[must_use]
    pub fn value(&self, field: &str) -> Option<&str> {
        self.said.iter().find(|(name, _)| name == field).map(|(_, text)| text.as_str())
    }

    /// The vehicles it claims.
    #[must_use]
    pub fn scope(&self, language: &Language) -> Scope {
        derive::scope(language, &self.years, &self.only)
    }
}

/// The words of a note beside its typed values.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// The fields of prose that were asked for, with what it says of them.
    pub prose: Vec<(String, String)>,
    /// The remark.
    pub remark: String,
    /// Who, as spelled best.
    pub by: String,
    /// When, in days since 1970-01-01.
    pub day: i32,
}

/// One listed conflict.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ConflictRow {
    /// Its bucket; point 0 for a cavity conflict, which goes across points.
    pub bucket: BucketKey,
    /// The note that names it.
    pub anchor: NoteId,
    /// Whether certain contradictions join it.
    pub certain: bool,
    /// How far it is settled.
    pub state: State,
}

impl ConflictRow {
    /// Whether it is about a cavity given to two functions.
    #[must_use]
    pub fn is_cavity(&self) -> bool {
        self.bucket.point() == derive::ACROSS
    }
}

const NOTE: &str =
    "SELECT note.key, note.id, years, only, said.text, basis, person.name, day, seen, remark, file.text, line
     FROM note JOIN text AS said ON said.number = note.said JOIN person ON person.id = note.person
     JOIN text AS file ON file.number = note.file";

fn note(row: &Row<'_>) -> rusqlite::Result<StoredNote> {
    let said: serde_json::Map<String, serde_json::Value> =
        serde_json::from_str(row.get_ref(4)?.as_str()?).unwrap_or_default();
    let said =
        said.into_iter().map(|(name, text)| (name, text.as_str().unwrap_or_default().to_owned())).collect();
    Ok(StoredNote {
        key: NoteKey(row.get(0)?),
        id: NoteId(row.get(1)?),
        years: row.get(2)?,
        only: row.get(3)?,
        said,
        basis: Basis::from_number(row.get(5)?).unwrap_or(Basis::Told),
        by: row.get(6)?,
        day: row.get(7)?,
        seen: row.get(8)?,
        remark: row.get(9)?,
        origin: Origin { file: row.get(10)?, line: row.get(11)? },
    })
}

/// What the stored object of a note says of one field.
fn said_of(said: &str, field: &str) -> Option<(String, String)> {
    let said: serde_json::Map<String, serde_json::Value> = serde_json::from_str(said).ok()?;
    Some((field.to_owned(), said.get(field)?.as_str()?.to_owned()))
}

impl Book {
    /// How many notes the book holds.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn notes(&self) -> Result<u64, BookError> {
        derive::counted(&self.db).map_err(|error| self.sql(error))
    }

    /// How many characters of an id this book shows.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn shown_characters(&self) -> Result<usize, BookError> {
        Ok(crate::note::shown_characters(self.notes()?))
    }

    /// What is known of a model: each bucket with the number of its point in the catalogue.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn buckets(
        &self,
        language: &Language,
        model: ModelId,
    ) -> Result<Vec<(BucketKey, usize, Bucket)>, BookError> {
        derive::of_model(&self.db, language, model).map_err(|error| self.sql(error))
    }

    /// What is known of one point of one model, where anything is.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn bucket(&self, language: &Language, key: BucketKey) -> Result<Option<Bucket>, BookError> {
        derive::one(&self.db, language, key).map_err(|error| self.sql(error))
    }

    /// One note by its key.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn note(&self, key: NoteKey) -> Result<Option<StoredNote>, BookError> {
        let read = || {
            self.db
                .prepare_cached(&format!("{NOTE} WHERE note.key = ?1"))?
                .query_row([key.0], note)
                .optional()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The words of one note by its key: what it says in the fields `prose`, and its remark.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn words(&self, key: NoteKey, prose: &[&str]) -> Result<Option<Words>, BookError> {
        let read = || {
            self.db
                .prepare_cached(
                    "SELECT text, remark, person.name, day FROM note JOIN text ON text.number = note.said
                     JOIN person ON person.id = note.person WHERE note.key = ?1",
                )?
                .query_row([key.0], |row| {
                    let said = row.get_ref(0)?.as_str()?;
                    let prose = prose.iter().filter(|field| said.contains(**field));
                    Ok(Words {
                        prose: prose.filter_map(|field| said_of(said, field)).collect(),
                        remark: row.get(1)?,
                        by: row.get(2)?,
                        day: row.get(3)?,
                    })
                })
                .optional()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The notes whose id begins with the characters of `code`, at most `most` of them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn notes_by_id(&self, code: &str, most: usize) -> Result<Vec<StoredNote>, BookError> {
        let Some((low, high)) = NoteId::range(code) else { return Ok(Vec::new()) };
        let read = || -> rusqlite::Result<Vec<StoredNote>> {
            let mut query = self.db.prepare_cached(&format!(
                "{NOTE} WHERE note.id BETWEEN ?1 AND ?2 ORDER BY note.id LIMIT ?3"
            ))?;
            query.query_map(params![low.0, high.0, most], note)?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// Calls `each` for every note of the book until it says `false`: model after model and point after point in the
    /// order of their names, then by day and id. The order in which notes came in leaves no trace.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn each_note(&self, mut each: impl FnMut(&StoredNote) -> bool) -> Result<(), BookError> {
        let names = self.point_names()?;
        let mut points: Vec<u16> = (1..).take(names.len().saturating_sub(1)).collect();
        points.sort_by_key(|point| &names[usize::from(*point)]);
        for model in self.models()? {
            for point in &points {
                let key = BucketKey::new(model.id, *point);
                if !self.each_of_bucket(key, &mut each).map_err(|error| self.sql(error))? {
                    return Ok(());
                }
            }
        }
        Ok(())
    }

    fn each_of_bucket(
        &self,
        key: BucketKey,
        each: &mut impl FnMut(&StoredNote) -> bool,
    ) -> rusqlite::Result<bool> {
        let mut query = self
            .db
            .prepare_cached(&format!("{NOTE} WHERE note.key BETWEEN ?1 AND ?2 ORDER BY note.day, note.id"))?;
        let last = key.note(BucketKey::CAPACITY as u32 - 1);
        let mut rows = query.query(params![key.note(0).0, last.0])?;
        while let Some(row) = rows.next()? {
            if !each(&note(row)?) {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// Where else a note was read.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn further_origins(&self, key: NoteKey) -> Result<Vec<Origin>, BookError> {
        let read = || -> rusqlite::Result<Vec<Origin>> {
            let mut query = self.db.prepare_cached(
                "SELECT text, line FROM also JOIN text ON text.number = also.file WHERE key = ?1 ORDER BY 1, 2",
            )?;
            query.query_map([key.0], |row| Ok(Origin { file: row.get(0)?, line: row.get(1)? }))?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The listed conflicts: of one model, or of the whole book.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn conflicts(&self, model: Option<ModelId>) -> Result<Vec<ConflictRow>, BookError> {
        let (first, last) = match model {
            Some(model) => BucketKey::of_model(model),
            None => (BucketKey(0), BucketKey(i64::MAX)),
        };
        let read = || -> rusqlite::Result<Vec<ConflictRow>> {
            let mut query = self.db.prepare_cached(
                "SELECT bucket, anchor, certain, state FROM conflict WHERE bucket BETWEEN ?1 AND ?2 ORDER BY bucket, anchor",
            )?;
            query
                .query_map(params![first.0, last.0], |row| {
                    Ok(ConflictRow {
                        bucket: BucketKey(row.get(0)?),
                        anchor: NoteId(row.get(1)?),
                        certain: row.get(2)?,
                        state: derive::state(row.get(3)?),
                    })
                })?
                .collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The cavity conflicts of a model, by its buckets.
    #[must_use]
    pub fn cavity_conflicts(
        language: &Language,
        buckets: &[(BucketKey, usize, Bucket)],
    ) -> Vec<CavityConflict> {
        Self::cavities(&mut Memo::new(language), buckets)
    }

    /// The same where values may have been compared before.
    #[must_use]
    pub fn cavities<B: Borrow<Bucket>>(
        memo: &mut Memo<'_>,
        buckets: &[(BucketKey, usize, B)],
    ) -> Vec<CavityConflict> {
        let places: Vec<Place<'_>> = buckets
            .iter()
            .map(|(_, point, bucket)| Place { point: *point, bucket: bucket.borrow() })
            .filter(|place| names_cavities(place.bucket))
            .collect();
        if places.len() < 2 {
            return Vec::new();
        }
        derive::find_cavities(memo, &places)
    }

    /// A setting of the book.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, BookError> {
        derive::setting(&self.db, name).map_err(|error| self.sql(error))
    }
}
