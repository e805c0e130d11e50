//! A shop with a book in a folder of its own: sheets go in as text, answers come out as JSON.

use std::cell::Cell;
use std::fs;
use std::path::PathBuf;

use baybook::ask::{Detail, ask};
use baybook::book::{Book, Lasting};
use baybook::dispute;
use baybook::intake::{self, Report, Wishes};
use baybook::language::Language;
use baybook::resolve::resolve;
use baybook::show::{answer_json, conflicts};
use baybook::value::place::DriveSide;
use serde_json::Value as Json;
use tempfile::TempDir;

/// A day after every note of the tests.
const TODAY: jiff::civil::Date = jiff::civil::date(2026, 1, 15);

pub struct Shop {
    dir: TempDir,
    language: Language,
    sheets: Cell<usize>,
}

impl Shop {
    pub fn new() -> Self {
        let language = Language::new(None, DriveSide::Lhd, TODAY).expect("the built-in catalogue");
        Self { dir: tempfile::tempdir().expect("a temporary folder"), language, sheets: Cell::new(0) }
    }

    /// Loads sheets in one go; every row must be understood.
    pub fn load(&self, sheets: &[String]) -> Report {
        let paths: Vec<PathBuf> = sheets.iter().map(|sheet| self.write(sheet)).collect();
        let wishes = Wishes { lasting: Lasting::Yes, partial: false, order: None };
        let report = intake::load(
            &mut self.book(),
            &self.language,
            &paths,
            &mut std::io::empty(),
            wishes,
            &mut |_| (),
        )
        .expect("the book can be written");
        let refused: Vec<String> =
            report.files.iter().flat_map(|file| &file.refusals).map(|r| format!("{r:?}")).collect();
        assert_eq!(refused, [""; 0]);
        report
    }

    fn write(&self, sheet: &str) -> PathBuf {
        let number = self.sheets.replace(self.sheets.get() + 1);
        let path = self.dir.path().join(format!("sheet-{number:03}.csv"));
        fs::write(&path, sheet).expect("a sheet can be written");
        path
    }

    fn book(&self) -> Book {
        Book::open(&self.dir.path().join("book"), &self.language).expect("a book that opens")
    }

    /// What `lookup --json` says of the one vehicle that the words mean.
    pub fn lookup(&self, words: &str) -> Json {
        let book = self.book();
        let resolved = resolve(&[words.to_owned()], &self.language, &book).expect("names can be read");
        assert!(resolved.not_understood.is_empty(), "{:?} in {words}", resolved.not_understood);
        let model = resolved.models.first().unwrap_or_else(|| panic!("no model is meant by {words}"));
        let model = book.model(model.id).expect("a model can be read").expect("a known model");
        let found = ask(&book, &self.language, model, resolved.vehicle, Detail::Values, |_| true)
            .expect("a book that can be asked");
        serde_json::json!(answer_json::to_json(&self.language, &found, &[]))
    }

    /// What `conflicts --json` says of the whole book.
    pub fn conflicts(&self) -> Json {
        let book = self.book();
        let disputes = dispute::list(&book, &self.language, None).expect("a book that can be asked");
        conflicts::to_json(&self.language, &disputes, book.shown_characters().expect("a count of notes"))
    }
}
