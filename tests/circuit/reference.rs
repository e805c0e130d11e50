//! Published tables, row by row, with their columns by name; and how near two numbers have to be.

use std::collections::HashMap;

/// One row of a table.
pub struct Row(HashMap<String, String>);

impl Row {
    /// The text of a column.
    #[track_caller]
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The number of a column; `None` where it is empty.
    #[track_caller]
    pub fn maybe(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            None
        } else {
            Some(text.parse().unwrap_or_else(|_| panic!("{text} in {column}")))
        }
    }

    /// The number of a column.
    #[track_caller]
    pub fn number(&self, column: &str) -> f64 {
        self.maybe(column).unwrap_or_else(|| panic!("nothing in {column}"))
    }

    /// Whether the figure was read on a page.
    pub fn is_verified(&self) -> bool {
        self.text("source_status") == "verified"
    }
}

/// A table of `tests/reference/`.
pub fn table(name: &str) -> Vec<Row> {
    let path = format!("{}/tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the table is there");
    let rows: Vec<Row> = reader.deserialize().map(|row| Row(row.expect("a row"))).collect();
    assert!(!rows.is_empty());
    rows
}

/// The rows of a table of which a column says this.
pub fn rows(name: &str, column: &str, says: &str) -> Vec<Row> {
    table(name).into_iter().filter(|row| row.text(column) == says).collect()
}

/// Ends the test unless two numbers agree within a share of the outside one.
#[track_caller]
pub fn assert_near(ours: f64, theirs: f64, relative: f64, what: &str) {
    assert!((ours - theirs).abs() <= relative * theirs.abs(), "{what}: {ours} here, {theirs} outside");
}
