//! The plain thing that a shop could have done: the rows as they are written in SQLite's FTS5, ranked by its bm25.
//!
//! All columns are text, the tokenizer is the usual one, and the words of a query are quoted and joined by OR, so that
//! every note that has any of them is found.

use rusqlite::{Connection, params_from_iter};

use crate::meaning::{COLUMNS, Note};
use crate::measure::PLACES;

pub struct Fts5(Connection);

impl Fts5 {
    pub fn new(notes: &[Note]) -> Self {
        let connection = Connection::open_in_memory().expect("a database in memory");
        // Some columns are called like words of SQL.
        let columns = COLUMNS.map(|column| format!("\"{column}\"")).join(", ");
        connection.execute_batch(&format!("CREATE VIRTUAL TABLE words USING fts5({columns})")).expect("FTS5");
        let places = vec!["?"; COLUMNS.len() + 1].join(", ");
        let insert = format!("INSERT INTO words (rowid, {columns}) VALUES ({places})");
        let mut insert = connection.prepare(&insert).expect("an insert");
        for (at, note) in notes.iter().enumerate() {
            let cells = COLUMNS.iter().map(|column| note.cell(column).to_owned());
            insert.execute(params_from_iter([at.to_string()].into_iter().chain(cells))).expect("a row");
        }
        drop(insert);
        Self(connection)
    }

    /// The first notes that it finds, by their numbers.
    pub fn search(&self, query: &str) -> Vec<usize> {
        let words = query.split_whitespace().map(|word| format!("\"{}\"", word.replace('"', "\"\"")));
        let words: Vec<String> = words.collect();
        let sql = format!(
            "SELECT rowid FROM words WHERE words MATCH ?1 ORDER BY bm25(words), rowid LIMIT {PLACES}"
        );
        let mut select = self.0.prepare(&sql).expect("a select");
        let rows = select.query_map([words.join(" OR ")], |row| row.get(0)).expect("a match");
        rows.map(|row| row.expect("a number")).collect()
    }
}
