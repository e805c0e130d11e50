//! How much a book has to do with each model and each point: what is noted often and lately is what comes in.

use rusqlite::params;

use super::{Book, BookError, ModelId};

/// How much the book has to do with one model.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// The model.
    pub model: ModelId,
    /// How many notes there are.
    pub notes: u64,
    /// The day of the latest, in days since 1970-01-01.
    pub last: i32,
    /// The notes, each weighed by its age: one of today counts 1, one of a year ago a half, of two years a third.
    pub weight: f64,
}

impl Book {
    /// The models with notes, those noted most and most lately first. `today` in days since 1970-01-01.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn demand(&self, today: i32) -> Result<Vec<Demand>, BookError> {
        let read = || -> rusqlite::Result<Vec<Demand>> {
            let mut query = self.db.prepare(
                "SELECT key >> 32, count(*), max(day), sum(1.0 / (1.0 + max(?1 - day, 0) / 365.0)) AS weight
                 FROM note GROUP BY 1 ORDER BY weight DESC, 1",
            )?;
            let demand = |row: &rusqlite::Row<'_>| {
                Ok(Demand {
                    model: ModelId(row.get(0)?),
                    notes: row.get(1)?,
                    last: row.get(2)?,
                    weight: row.get(3)?,
                })
            };
            query.query_map(params![today], demand)?.collect()
        };
        read().map_err(|error| self.sql(error))
    }

    /// How many notes there are on each point, by its name.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn notes_by_point(&self) -> Result<Vec<(String, u64)>, BookError> {
        let read = || -> rusqlite::Result<Vec<(String, u64)>> {
            let mut query = self.db.prepare(
                "SELECT point.name, sum(bucket.notes) FROM bucket JOIN point ON point.id = bucket.key & 1023
                 GROUP BY point.id ORDER BY 2 DESC, 1",
            )?;
            query.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
        };
        read().map_err(|error| self.sql(error))
    }
}
