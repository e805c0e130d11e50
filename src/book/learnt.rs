//! What the decisions of a book teach: how often each kind of difference was settled, kept as one small row so that a
//! lookup need not count. What a decision counts as is judged in `judge::pattern::learn`.

use rusqlite::{Connection, OptionalExtension};

use super::{Book, BookError, decide, derive};
use crate::decision::force::{Force, Web, forces};
use crate::decision::{Decision, DecisionId};
use crate::judge::pattern::doubt::Doubt;
use crate::judge::pattern::learn::Settled;
use crate::language::Language;
use crate::note::NoteId;
use crate::vehicle::Scope;

/// The name of the row.
const ROW: &str = "settled";

impl Book {
    /// The constants of the model for doubt, after what this shop settled.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn doubt(&self) -> Result<Doubt, BookError> {
        let settled = kept(&self.db).map_err(|error| self.sql(error))?;
        Ok(Doubt::builtin().after(&settled))
    }
}

/// What is kept; nothing was settled where there is no row.
pub(super) fn kept(db: &Connection) -> rusqlite::Result<Settled> {
    Ok(derive::setting(db, ROW)?.and_then(|text| serde_json::from_str(&text).ok()).unwrap_or_default())
}

/// Counts all decisions that count, by the notes that are here.
pub(super) fn counted(db: &Connection, language: &Language) -> rusqlite::Result<Settled> {
    let all: Web = decide::all(db)?.into_iter().collect();
    let forces = forces(&all);
    let counts = |id: &DecisionId| forces.get(id).is_some_and(Force::counts);
    let standing: Vec<&Decision> =
        all.iter().filter(|(id, _)| counts(id)).map(|(_, decision)| decision).collect();
    let mut query = db.prepare_cached("SELECT years, only FROM note WHERE id = ?1")?;
    let read = |years: &str, only: &str| derive::scope(language, years, only);
    let mut failed = None;
    let claimed = |note: NoteId| -> Option<Scope> {
        let texts = query.query_row([note.0], |row| Ok((row.get(0)?, row.get(1)?))).optional();
        let texts: Option<(String, String)> = texts.unwrap_or_else(|error| {
            failed = Some(error);
            None
        });
        texts.map(|(years, only)| read(&years, &only))
    };
    let settled = Settled::count(standing, claimed, read);
    failed.map_or(Ok(settled), Err)
}

/// Counts anew and keeps it.
pub(super) fn keep(db: &Connection, language: &Language) -> rusqlite::Result<()> {
    let text = serde_json::to_string(&counted(db, language)?).unwrap_or_default();
    db.execute("INSERT OR REPLACE INTO setting (name, value) VALUES (?1, ?2)", [ROW, &text]).map(drop)
}
