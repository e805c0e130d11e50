//! The desk on which rows are understood: each distinct text of a column is read once and remembered.
//!
//! A row goes in as texts and comes out as a staged note, or as everything that is wrong with it. Where the rows
//! come from is the sheet reader's business, what is written with them the book's.

use std::collections::BTreeMap;

use foldhash::{HashMap, HashMapExt};

use super::cells::{Cells, Column};
use super::day::{self, DateOrder};
use crate::book::{Said, Staged, StagedNote};
use crate::judge::fold::{Known, Memo};
use crate::language::Language;
use crate::note::{Basis, Meaning, NoteId, Person, date_of, day_of};
use crate::value::place::DriveSide;
use crate::value::prose::tidy;
use crate::value::{FieldKind, Misread, Problem, Value};
use crate::vehicle::{DRIVE, Scope, Vehicle, Years, names};

/// The longest name of a maker, a model or a person, in characters.
const LONGEST_NAME: usize = 80;

/// What is wrong with a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// The column, where one is to blame.
    pub column: Option<Column>,
    /// What is wrong and what would be right.
    pub message: String,
}

type Remembered<T> = HashMap<Box<str>, Result<T, String>>;

/// Understands rows.
#[derive(Debug)]
pub struct Desk<'l> {
    /// What is remembered of values, scopes, vehicles and people.
    pub memo: Memo<'l>,
    /// The notes that were understood.
    pub staged: Staged,
    /// Words of places that the lexicon lacks, with how often each was read.
    pub strange_words: BTreeMap<String, usize>,
    order: Option<DateOrder>,
    models: HashMap<Box<str>, Result<u32, Trouble>>,
    model_keys: Vec<(String, String)>,
    points: Remembered<u16>,
    scopes: HashMap<Box<str>, Result<(Known, DriveSide), Trouble>>,
    /// By the scope in which the vehicle has to lie.
    seen: HashMap<Known, Remembered<Known>>,
    people: Remembered<Known>,
    /// Numbers into `dates`.
    days: Remembered<usize>,
    /// Days since 1970-01-01, with how they are written.
    dates: Vec<(i32, Box<str>)>,
    /// By field and by where the driver sits; and whether it is a place with words that the lexicon lacks.
    values: Vec<[Remembered<(Known, bool)>; 3]>,
    rank: Vec<usize>,
    scratch: Vec<u8>,
    key: String,
}

impl<'l> Desk<'l> {
    /// An empty desk. `order` tells how dates in figures are written.
    #[must_use]
    pub fn new(language: &'l Language, order: Option<DateOrder>) -> Self {
        let fields = &language.catalogue.fields;
        let mut by_name: Vec<usize> = (0..fields.len()).collect();
        by_name.sort_by(|a, b| fields[*a].name.cmp(&fields[*b].name));
        let mut rank = vec![0; fields.len()];
        for (place, field) in by_name.into_iter().enumerate() {
            rank[field] = place;
        }
        Self {
            memo: Memo::new(language),
            staged: Staged::default(),
            strange_words: BTreeMap::new(),
            order,
            models: HashMap::new(),
            model_keys: Vec::new(),
            points: HashMap::new(),
            scopes: HashMap::new(),
            seen: HashMap::new(),
            people: HashMap::new(),
            days: HashMap::new(),
            dates: Vec::new(),
            values: fields.iter().map(|_| Default::default()).collect(),
            rank,
            scratch: Vec::new(),
            key: String::new(),
        }
    }

    /// The language in which rows are read.
    #[must_use]
    pub fn language(&self) -> &'l Language {
        self.memo.language
    }

    /// Names a file; the rows that follow are its.
    pub fn file(&mut self, name: &str) {
        self.staged.files.push(name.to_owned());
    }

    /// Understands one row and stages its note.
    ///
    /// # Errors
    /// Everything that is wrong with the row; nothing is staged then.
    pub fn row(&mut self, cells: &Cells<'_>, line: u32) -> Result<NoteId, Vec<Trouble>> {
        let mut troubles = Vec::new();
        let mark = (self.staged.said.len(), self.staged.text.len());
        let note = self.understand(cells, line, &mut troubles);
        match note {
            Some(note) if troubles.is_empty() => {
                let id = note.id;
                self.staged.notes.push(note);
                Ok(id)
            }
            _ => {
                self.staged.said.truncate(mark.0);
                self.staged.text.truncate(mark.1);
                Err(troubles)
            }
        }
    }

    /// Takes back every note from number `notes` on: their file is refused.
    pub fn take_back(&mut self, notes: usize) {
        if let Some(first) = self.staged.notes.get(notes) {
            self.staged.said.truncate(first.said.start as usize);
            self.staged.text.truncate(first.remark.start as usize);
            self.staged.notes.truncate(notes);
        }
    }

    /// Gives up the staged notes to be written, and starts with an empty pile; models and files keep their numbers.
    pub fn cleared(&mut self) {
        self.staged.notes.clear();
        self.staged.said.clear();
        self.staged.text.clear();
        self.staged.decisions.clear();
    }

    fn understand(
        &mut self,
        cells: &Cells<'_>,
        line: u32,
        troubles: &mut Vec<Trouble>,
    ) -> Option<StagedNote> {
        let model = noted(self.model(cells), troubles);
        let point = noted(self.point(cells.get(Column::Point)), troubles);
        let scope = noted(self.scope(cells), troubles);
        let basis = noted(basis(cells.get(Column::Basis)), troubles);
        let person = noted(self.person(cells.get(Column::By)), troubles);
        let day = noted(self.day(cells.get(Column::On)), troubles);
        let seen = scope.map(|(scope, _)| noted(self.seen(cells.get(Column::Seen), scope), troubles));
        // The remark goes in before the values, so that a note's run of text begins with it.
        let remark = self.push_text(cells.get(Column::Remark));
        let said = self.said(cells, point, scope.map_or(self.language().drive, |(_, drive)| drive), troubles);
        if said.is_empty() && remark.is_empty() && troubles.is_empty() {
            troubles.push(Trouble {
                column: None,
                message: "the note says nothing: no field and no remark is filled in".to_owned(),
            });
        }
        let (model, point, (scope, _), basis, person, day) = (model?, point?, scope?, basis?, person?, day?);
        let mut note = StagedNote {
            model,
            point,
            id: NoteId([0; 10]),
            basis,
            day: self.dates[day].0,
            person,
            scope,
            seen: seen??,
            said,
            remark,
            file: (self.staged.files.len() as u32).saturating_sub(1),
            line,
        };
        note.id = self.id(&note, day);
        Some(note)
    }

    fn id(&mut self, note: &StagedNote, day: usize) -> NoteId {
        let language = self.memo.language;
        let (make, model) = &self.model_keys[note.model as usize];
        let (years, only) = self.memo.scope_texts(note.scope);
        let meaning = Meaning {
            make,
            model,
            years,
            only,
            point: &language.catalogue.points[usize::from(note.point)].name,
            basis: note.basis,
            by: self.memo.person_of(note.person).0,
            on: &self.dates[day].1,
            seen: note.seen.map_or("", |seen| self.memo.seen_of(seen).0),
            remark: self.staged.text(&note.remark),
        };
        let values = self.staged.said(note).iter().map(|(field, said)| {
            let name = &*language.catalogue.fields[usize::from(*field)].name;
            (name, self.staged.value(*field, *said, &self.memo))
        });
        meaning.id(values, &mut self.scratch)
    }

    fn model(&mut self, cells: &Cells<'_>) -> Result<u32, Trouble> {
        let (make, model) = (cells.get(Column::Make), cells.get(Column::Model));
        self.key.clear();
        self.key.push_str(make);
        self.key.push('\n');
        self.key.push_str(model);
        if let Some(known) = self.models.get(self.key.as_str()) {
            return known.clone();
        }
        let read = name(Column::Make, make).and_then(|()| name(Column::Model, model)).map(|()| {
            self.staged.models.push((tidy(make).into_owned(), tidy(model).into_owned()));
            self.model_keys.push((names::fold(make), names::fold(model)));
            (self.model_keys.len() - 1) as u32
        });
        self.models.insert(self.key.as_str().into(), read.clone());
        read
    }

    fn point(&mut self, text: &str) -> Result<u16, Trouble> {
        let catalogue = &self.memo.language.catalogue;
        remember(&mut self.points, text, || {
            catalogue
                .point_by_words(text)
                .map(|point| point as u16)
                .ok_or_else(|| unknown_point(catalogue, text))
        })
        .map_err(|message| at(Column::Point, message))
    }

    fn scope(&mut self, cells: &Cells<'_>) -> Result<(Known, DriveSide), Trouble> {
        let (years, only) = (cells.get(Column::Years), cells.get(Column::Only));
        self.key.clear();
        self.key.push_str(years);
        self.key.push('\n');
        self.key.push_str(only);
        if let Some(known) = self.scopes.get(self.key.as_str()) {
            return known.clone();
        }
        let read = self.read_scope(years, only);
        self.scopes.insert(self.key.as_str().into(), read.clone());
        read
    }

    fn read_scope(&mut self, years: &str, only: &str) -> Result<(Known, DriveSide), Trouble> {
        let language = self.memo.language;
        let years =
            Years::parse(years, language.year()).map_err(|misread| at(Column::Years, misread.message))?;
        let read = language
            .vocabulary()
            .parse_only(only, language.year())
            .map_err(|misread| at(Column::Only, misread.message))?;
        let said = read.only.contains_key(DRIVE);
        let scope = language.with_drive(Scope::new(years, read.built, read.only), said);
        let drive = Language::drive_of(&scope);
        Ok((self.memo.scope(&scope), drive))
    }

    fn seen(&mut self, text: &str, scope: Known) -> Result<Option<Known>, Trouble> {
        if text.is_empty() {
            return Ok(None);
        }
        let known = self.seen.entry(scope).or_default();
        if let Some(known) = known.get(text) {
            return known.clone().map(Some).map_err(|message| at(Column::Seen, message));
        }
        let language = self.memo.language;
        let claimed = self.memo.scope_of(scope);
        let read = Vehicle::parse_seen(text, language.vocabulary(), language.year())
            .map(|vehicle| {
                let said = Language::names_drive(text);
                language.vehicle_with_drive(
                    vehicle.year_settled_by(&claimed.years()),
                    Language::drive_of(claimed),
                    said,
                )
            })
            .and_then(|vehicle| claimed.admits_seen(&vehicle).map(|()| vehicle))
            .map_err(|misread| misread.message);
        let read = read.map(|vehicle| self.memo.seen(&vehicle.to_string(), || vehicle.clone()));
        known.insert(text.into(), read.clone());
        read.map(Some).map_err(|message| at(Column::Seen, message))
    }

    fn person(&mut self, text: &str) -> Result<Known, Trouble> {
        let memo = &mut self.memo;
        remember(&mut self.people, text, || {
            let person = Person::new(text).ok_or_else(|| missing("who wrote it", "R. Okafor"))?;
            if person.name().chars().count() > LONGEST_NAME {
                return Err(format!("a name has at most {LONGEST_NAME} characters"));
            }
            Ok(memo.person(person.name()))
        })
        .map_err(|message| at(Column::By, message))
    }

    fn day(&mut self, text: &str) -> Result<usize, Trouble> {
        let (order, today, dates) = (self.order, self.memo.language.today, &mut self.dates);
        remember(&mut self.days, text, || {
            if text.is_empty() {
                return Err(missing("the day on which it was written", "2024-03-11"));
            }
            let date = day::parse(text, order, today).map_err(|misread| misread.message)?;
            dates.push((day_of(date), date_of(day_of(date)).to_string().into()));
            Ok(dates.len() - 1)
        })
        .map_err(|message| at(Column::On, message))
    }

    fn said(
        &mut self,
        cells: &Cells<'_>,
        point: Option<u16>,
        drive: DriveSide,
        troubles: &mut Vec<Trouble>,
    ) -> std::ops::Range<u32> {
        let start = self.staged.said.len();
        for (field, text) in cells.fields().iter().copied() {
            if let Some(message) = point.and_then(|point| self.stray(field, point)) {
                troubles.push(at(Column::Field(field), message));
                continue;
            }
            match self.value(field, text, drive) {
                Ok(said) => self.staged.said.push((field as u16, said)),
                Err(message) => troubles.push(at(Column::Field(field), message)),
            }
        }
        let rank = &self.rank;
        self.staged.said[start..].sort_by_key(|(field, _)| rank[usize::from(*field)]);
        start as u32..self.staged.said.len() as u32
    }

    /// What is wrong with a field that a point does not have.
    fn stray(&self, field: usize, point: u16) -> Option<String> {
        let catalogue = &self.memo.language.catalogue;
        let point = &catalogue.points[usize::from(point)];
        if point.fields.contains(&field) {
            return None;
        }
        let has: Vec<&str> = point.fields.iter().map(|field| &*catalogue.fields[*field].name).collect();
        Some(format!(
            "{} has no field '{}'; it has {}",
            point.name,
            catalogue.fields[field].name,
            has.join(", ")
        ))
    }

    fn value(&mut self, field: usize, text: &str, drive: DriveSide) -> Result<Said, String> {
        let language = self.memo.language;
        let kind = &language.catalogue.fields[field].kind;
        if kind.is_prose() {
            let run = self.push_text(text);
            return Ok(Said::Prose(run.start, run.end));
        }
        // Only a place depends on where the driver sits.
        let drive = if matches!(kind, FieldKind::Place) { drive } else { DriveSide::Either };
        let memo = &mut self.memo;
        let (known, is_strange) = remember(&mut self.values[field][drive as usize], text, || {
            let value = Value::read(kind, text, drive).map_err(|misread| told(&misread))?;
            let is_strange = matches!(&value, Value::Place(place) if !place.unknown_words().is_empty());
            Ok((memo.value(field, &value), is_strange))
        })?;
        if is_strange && let Value::Place(place) = self.memo.parsed(field, known) {
            for word in place.unknown_words() {
                *self.strange_words.entry(word.to_owned()).or_default() += 1;
            }
        }
        Ok(Said::Value(known))
    }

    fn push_text(&mut self, text: &str) -> std::ops::Range<u32> {
        let start = self.staged.text.len() as u32;
        self.staged.text.push_str(&tidy(text));
        start..self.staged.text.len() as u32
    }
}

fn noted<T>(read: Result<T, Trouble>, troubles: &mut Vec<Trouble>) -> Option<T> {
    read.map_err(|trouble| troubles.push(trouble)).ok()
}

fn at(column: Column, message: String) -> Trouble {
    Trouble { column: Some(column), message }
}

/// A misread with its readings, for one line.
fn told(misread: &Misread) -> String {
    if misread.problem == Problem::Ambiguous && !misread.readings.is_empty() {
        let listed = misread.readings.iter().any(|reading| misread.message.contains(reading.as_str()));
        if !listed {
            return format!("{} (could be: {})", misread.message, misread.readings.join("; "));
        }
    }
    misread.message.clone()
}

fn missing(what: &str, example: &str) -> String {
    format!("{what} is missing; write it like '{example}'")
}

fn remember<T: Clone>(
    known: &mut Remembered<T>,
    text: &str,
    read: impl FnOnce() -> Result<T, String>,
) -> Result<T, String> {
    if let Some(found) = known.get(text) {
        return found.clone();
    }
    let found = read();
    known.insert(text.into(), found.clone());
    found
}

fn name(column: Column, text: &str) -> Result<(), Trouble> {
    if names::fold(text).is_empty() {
        let what = if column == Column::Make { "the maker" } else { "the model" };
        return Err(at(column, missing(what, if column == Column::Make { "Quillon" } else { "Tarn" })));
    }
    if text.chars().count() > LONGEST_NAME {
        return Err(at(column, format!("a name has at most {LONGEST_NAME} characters")));
    }
    Ok(())
}

fn basis(text: &str) -> Result<Basis, Trouble> {
    if text.is_empty() {
        return Err(at(Column::Basis, missing("how the writer knows", "metered")));
    }
    Basis::parse(text).ok_or_else(|| {
        let words: Vec<&str> = Basis::ALL.iter().map(|basis| basis.word()).collect();
        at(
            Column::Basis,
            format!("'{text}' is no basis; write one of {}{}", words.join(", "), hint(text, &words)),
        )
    })
}

fn unknown_point(catalogue: &crate::catalogue::Catalogue, text: &str) -> String {
    if text.is_empty() {
        return missing("the point", "brake-signal");
    }
    format!("'{text}' is no point of the catalogue; {}", catalogue.hint(text))
}

/// The nearest known word, as a hint.
pub(super) fn hint(text: &str, known: &[&str]) -> String {
    names::nearest(text, known.iter().copied())
        .first()
        .map_or(String::new(), |near| format!("; the nearest is '{near}'"))
}
