//! The names that a book uses: models of makers, points, people, files.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension, params};

use super::{Book, BookError, BucketKey};
use crate::vehicle::names::{better_spelling, fold};

/// A model of a maker in one book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ModelId(pub u32);

/// A model that the book knows, as spelled best.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownModel {
    /// Its number in the book.
    pub id: ModelId,
    /// The maker.
    pub make: String,
    /// The model.
    pub model: String,
}

impl Book {
    /// All models that the book knows, by maker and model.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn models(&self) -> Result<Vec<KnownModel>, BookError> {
        self.models_where("1 ORDER BY make_key, model_key", [])
    }

    /// The name of a maker, given without case and punctuation.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn make_called(&self, make_key: &str) -> Result<Option<String>, BookError> {
        let found = self.models_where("make_key = ?1 ORDER BY model_key LIMIT 1", [make_key])?.pop();
        Ok(found.map(|known| known.make))
    }

    /// The models whose name without case and punctuation is `model_key`, of whatever maker.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn models_called(&self, model_key: &str) -> Result<Vec<KnownModel>, BookError> {
        self.models_where("model_key = ?1 ORDER BY make_key", [model_key])
    }

    /// The model of this maker by this name, whatever the case and punctuation of both.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn model_named(&self, make: &str, model: &str) -> Result<Option<KnownModel>, BookError> {
        let known = self.models_called(&fold(model))?;
        Ok(known.into_iter().find(|known| fold(&known.make) == fold(make)))
    }

    /// The models that notes with this beginning of a vehicle identification number (positions 1 to 8) taught.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn models_by_vin(&self, pattern: &str) -> Result<Vec<KnownModel>, BookError> {
        self.models_where(
            "id IN (SELECT model FROM vin_model WHERE pattern = ?1) ORDER BY make_key, model_key",
            [pattern],
        )
    }

    /// The model with this number.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn model(&self, id: ModelId) -> Result<Option<KnownModel>, BookError> {
        Ok(self.models_where("id = ?1", [id.0])?.pop())
    }

    fn models_where(
        &self,
        condition: &str,
        params: impl rusqlite::Params,
    ) -> Result<Vec<KnownModel>, BookError> {
        let read = || -> rusqlite::Result<Vec<KnownModel>> {
            let text = format!("SELECT id, make, model FROM model WHERE {condition}");
            let mut query = self.db.prepare_cached(&text)?;
            query
                .query_map(params, |row| {
                    Ok(KnownModel { id: ModelId(row.get(0)?), make: row.get(1)?, model: row.get(2)? })
                })?
                .collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The people of the book, as first written.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn people(&self) -> Result<Vec<String>, BookError> {
        Ok(self.people_by_number()?.into_values().map(|(_, name)| name).collect())
    }

    /// The name of the person with this key, where the book has them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn person_called(&self, key: &str) -> Result<Option<String>, BookError> {
        let known = known_person(&self.db, key).map_err(|error| self.sql(error))?;
        Ok(known.map(|(_, name)| name))
    }

    /// The people of the book by number: the key by which they are told apart, and the name.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn people_by_number(&self) -> Result<BTreeMap<i64, (String, String)>, BookError> {
        let read = || -> rusqlite::Result<BTreeMap<i64, (String, String)>> {
            let mut query = self.db.prepare_cached("SELECT id, key, name FROM person")?;
            query.query_map([], |row| Ok((row.get(0)?, (row.get(1)?, row.get(2)?))))?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The key of the bucket of a point of a model, where the book has that point.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn bucket_of(&self, model: ModelId, point: &str) -> Result<Option<BucketKey>, BookError> {
        let found = known(&self.db, FIND_POINT, point).map_err(|error| self.sql(error))?;
        Ok(found.and_then(|point| u16::try_from(point).ok()).map(|point| BucketKey::new(model, point)))
    }

    /// The name of the point of a bucket.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn point_name(&self, bucket: BucketKey) -> Result<Option<String>, BookError> {
        let read = || {
            self.db
                .prepare_cached("SELECT name FROM point WHERE id = ?1")?
                .query_row([bucket.point()], |row| row.get(0))
                .optional()
        };
        read().map_err(|error| self.sql(error))
    }

    /// The names of the book's points by their numbers in it; number 0 is none of them.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn point_names(&self) -> Result<Vec<String>, BookError> {
        let read = || {
            let mut names = vec![String::new()];
            let mut query = self.db.prepare("SELECT id, name FROM point ORDER BY id")?;
            let mut rows = query.query([])?;
            while let Some(row) = rows.next()? {
                names.resize(row.get::<_, usize>(0)?, String::new());
                names.push(row.get(1)?);
            }
            Ok(names)
        };
        read().map_err(|error| self.sql(error))
    }
}

/// The number of a model, which is added where the book does not know it; a better spelling replaces a worse.
pub(super) fn model_id(db: &Connection, make: &str, model: &str) -> rusqlite::Result<ModelId> {
    let (make_key, model_key) = (fold(make), fold(model));
    let known = db
        .prepare_cached("SELECT id, make, model FROM model WHERE model_key = ?1 AND make_key = ?2")?
        .query_row(params![model_key, make_key], |row| {
            Ok((row.get::<_, u32>(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?))
        })
        .optional()?;
    let Some((id, old_make, old_model)) = known else {
        db.prepare_cached("INSERT INTO model (make, model, make_key, model_key) VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![make, model, make_key, model_key])?;
        return Ok(ModelId(u32::try_from(db.last_insert_rowid()).unwrap_or_default()));
    };
    let (best_make, best_model) = (better_spelling(&old_make, make), better_spelling(&old_model, model));
    if best_make != old_make || best_model != old_model {
        db.prepare_cached("UPDATE model SET make = ?2, model = ?3 WHERE id = ?1")?
            .execute(params![id, best_make, best_model])?;
    }
    Ok(ModelId(id))
}

/// The number of a point in the book, which is added where it does not have it.
pub(super) fn point_id(db: &Connection, name: &str) -> rusqlite::Result<u16> {
    let id = match known(db, FIND_POINT, name)? {
        Some(id) => id,
        None => {
            db.prepare_cached("INSERT INTO point (name) VALUES (?1)")?.execute([name])?;
            db.last_insert_rowid()
        }
    };
    Ok(u16::try_from(id).unwrap_or_default())
}

const FIND_POINT: &str = "SELECT id FROM point WHERE name = ?1";

fn known(db: &Connection, find: &str, name: &str) -> rusqlite::Result<Option<i64>> {
    db.prepare_cached(find)?.query_row([name], |row| row.get(0)).optional()
}

/// The number of a person in the book, which is added where it does not have them; a better spelling replaces a
/// worse.
pub(super) fn person_id(db: &Connection, key: &str, name: &str) -> rusqlite::Result<i64> {
    let Some((id, old)) = known_person(db, key)? else {
        db.prepare_cached("INSERT INTO person (key, name) VALUES (?1, ?2)")?.execute([key, name])?;
        return Ok(db.last_insert_rowid());
    };
    let best = better_spelling(&old, name);
    if best != old {
        db.prepare_cached("UPDATE person SET name = ?2 WHERE id = ?1")?.execute(params![id, best])?;
    }
    Ok(id)
}

/// The number and the name of the person with this key.
fn known_person(db: &Connection, key: &str) -> rusqlite::Result<Option<(i64, String)>> {
    db.prepare_cached("SELECT id, name FROM person WHERE key = ?1")?
        .query_row([key], |row| Ok((row.get(0)?, row.get(1)?)))
        .optional()
}
