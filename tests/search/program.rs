//! The built program on a book that holds the judged set, as a person would use it.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value as Json;

use crate::meaning::{Note, sheet};
use crate::measure::PLACES;

pub struct Program<'a> {
    program: &'a Path,
    dir: tempfile::TempDir,
}

impl<'a> Program<'a> {
    /// Loads all notes into a new book. Each of them has to be new, or its line would not tell which it is.
    pub fn new(program: &'a Path, notes: &[Note]) -> Self {
        let dir = tempfile::tempdir().expect("a temporary folder");
        std::fs::write(dir.path().join("notes.csv"), sheet(notes)).expect("room for the sheet");
        let shop = Self { program, dir };
        let loaded = shop.run(&["ingest", "--json", "notes.csv"]);
        let told = String::from_utf8_lossy(&loaded.stderr).into_owned();
        assert!(loaded.status.success(), "the notes are not read: {told}\n{}", shop.refusals(&loaded));
        let report: Json = serde_json::from_slice(&loaded.stdout).expect("JSON");
        assert_eq!(report["totals"]["new"], notes.len(), "notes that say the same");
        shop
    }

    fn refusals(&self, loaded: &Output) -> String {
        let report: Json = serde_json::from_slice(&loaded.stdout).unwrap_or_default();
        serde_json::to_string_pretty(&report["files"][0]["refusals"]).unwrap_or_default()
    }

    fn run(&self, arguments: &[&str]) -> Output {
        Command::new(self.program)
            .args(["--book", "book"])
            .args(arguments)
            .current_dir(self.dir.path())
            .env_clear()
            .env("BAYBOOK_TODAY", "2025-06-01")
            .output()
            .expect("the program runs")
    }

    /// The first notes that it finds, by their numbers: a note in line 2 has number 0.
    ///
    /// # Errors
    /// The command is missing or fails: what it says.
    pub fn search(&self, query: &str) -> Result<Vec<usize>, String> {
        let places = PLACES.to_string();
        let fixed = ["search", "--json", "--limit", places.as_str()];
        let arguments: Vec<&str> = fixed.into_iter().chain(query.split_whitespace()).collect();
        let output = self.run(&arguments);
        let told = String::from_utf8_lossy(&output.stderr);
        match output.status.code() {
            Some(0) => Ok(lines(&output.stdout)),
            Some(1) => Ok(Vec::new()),
            status => Err(format!("baybook search '{query}' ends with {status:?}: {told}")),
        }
    }
}

fn lines(stdout: &[u8]) -> Vec<usize> {
    let found: Vec<Json> = serde_json::from_slice(stdout).expect("a list of what was found");
    let line = |hit: &Json| hit["line"].as_u64().and_then(|line| usize::try_from(line).ok());
    found
        .iter()
        .map(|hit| line(hit).expect("the line of origin").checked_sub(2).expect("no header"))
        .collect()
}
