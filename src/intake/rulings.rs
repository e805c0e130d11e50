//! The sheet of decisions: a CSV table with one row for each note that a decision is about.
//!
//! Owns its columns, in and out of rows of text. A decision whose id is not that of what its rows say was changed by
//! hand, and is refused.

use std::collections::BTreeMap;

use super::day;
use super::desk::hint;
use super::refusal::Refusal;
use crate::decision::{Becomes, Decision, DecisionId, Kind};
use crate::language::Language;
use crate::note::{NoteId, Person, date_text, day_of};
use crate::value::prose::tidy;
use crate::vehicle::Scope;

/// The columns. The last three are for the reader, and are not read back.
pub const COLUMNS: [&str; 13] = [
    "decision", "kind", "by", "on", "because", "follows", "note", "becomes", "years", "only", "make",
    "model", "point",
];

/// The columns that have to be there.
const READ: usize = 10;

/// Whether a row of column names begins a sheet of decisions.
#[must_use]
pub fn is_header<'c>(cells: impl IntoIterator<Item = &'c [u8]>) -> bool {
    // Every row is asked: most are told by their first cell.
    let mut cells = cells.into_iter();
    cells.next().is_some_and(is_first) && cells.map(name).any(|name| name == "becomes")
}

fn is_first(cell: &[u8]) -> bool {
    match cell.is_ascii() {
        true => cell.trim_ascii().eq_ignore_ascii_case(COLUMNS[0].as_bytes()),
        false => name(cell) == COLUMNS[0],
    }
}

fn name(cell: &[u8]) -> String {
    let cell = cell.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(cell);
    String::from_utf8_lossy(cell).trim().to_lowercase()
}

/// Where each column of `COLUMNS` that is read stands in a header.
///
/// # Errors
/// What is missing, strange or there twice, in words.
pub fn columns<'c>(header: impl IntoIterator<Item = &'c [u8]>) -> Result<[usize; READ], Vec<String>> {
    let names: Vec<String> = header.into_iter().map(name).collect();
    let mut wrong = Vec::new();
    // The reason of an earlier refusal stands last, and is for the reader.
    for (at, found) in names.iter().enumerate().filter(|(_, found)| *found != super::heading::REASON) {
        if !COLUMNS.contains(&found.as_str()) {
            wrong.push(format!("'{found}' is no column of a sheet of decisions{}", hint(found, &COLUMNS)));
        } else if names[..at].contains(found) {
            wrong.push(format!("the column '{found}' stands twice"));
        }
    }
    let mut places = [0; READ];
    for (place, wanted) in places.iter_mut().zip(COLUMNS) {
        match names.iter().position(|found| found == wanted) {
            Some(at) => *place = at,
            None => wrong.push(format!("the sheet lacks the column {wanted}")),
        }
    }
    if wrong.is_empty() { Ok(places) } else { Err(wrong) }
}

/// What the rows of one decision say.
#[derive(Debug)]
struct Gathered {
    line: u64,
    head: [String; 5],
    decision: Decision,
}

/// The rows of one file, gathered into decisions.
#[derive(Debug, Default)]
pub struct Rows {
    gathered: BTreeMap<String, Gathered>,
    refused: BTreeMap<String, u64>,
}

/// A decision that was read: the line of its first row, its id, itself.
pub type Read = (u64, DecisionId, Decision);

impl Rows {
    /// Takes in one row; its cells in the order of `COLUMNS`.
    ///
    /// # Errors
    /// The column and what is wrong with it.
    pub fn row(
        &mut self,
        cells: [&str; READ],
        line: u64,
        language: &Language,
    ) -> Result<(), (usize, String)> {
        let [id, kind, by, on, because, follows, ..] = cells;
        let key = id.trim().to_lowercase();
        let line_of = note_line(cells, language);
        let head = [kind, by, on, because, follows].map(|cell| cell.trim().to_owned());
        let taken = match (self.gathered.get_mut(&key), line_of) {
            (_, Err(wrong)) => Err(wrong),
            (Some(known), Ok(about)) => match (0..5).find(|at| known.head[*at] != head[*at]) {
                Some(at) => {
                    let told = format!("it is not what line {} says of the same decision", known.line);
                    Err((at + 1, told))
                }
                None => {
                    known.decision.about.push(about);
                    Ok(())
                }
            },
            (None, Ok(about)) => decision_head(&key, &head, language).map(|decision| {
                let decision = Decision { about: vec![about], ..decision };
                self.gathered.insert(key.clone(), Gathered { line, head, decision });
            }),
        };
        if taken.is_err() {
            self.refused.insert(key, line);
        }
        taken
    }

    /// The decisions, by the line of their first row, and those that do not say what their id says.
    #[must_use]
    pub fn finish(self, file: &str) -> (Vec<Read>, Vec<Refusal>) {
        let (mut read, mut refusals) = (Vec::new(), Vec::new());
        for (key, gathered) in self.gathered {
            if self.refused.contains_key(&key) {
                continue;
            }
            let rows = gathered.decision.about.len();
            let decision = gathered.decision.in_order();
            let id = decision.id();
            if DecisionId::parse(&key) == Some(id) && rows == decision.about.len() {
                read.push((gathered.line, id, decision));
            } else {
                let told = "its rows do not say what this decision said: one is missing, there twice, or changed by hand";
                refusals.push(Refusal::of_cell(file, gathered.line, COLUMNS[0], &key, told));
            }
        }
        read.sort_by_key(|(line, ..)| *line);
        (read, refusals)
    }
}

fn note_line(cells: [&str; READ], language: &Language) -> Result<(NoteId, Becomes), (usize, String)> {
    let [.., note, becomes, years, only] = cells;
    let id = NoteId::parse(&note.to_lowercase());
    let id = id.ok_or_else(|| (6, "it is no whole id of a note, n- and sixteen characters".to_owned()))?;
    let narrowed = becomes.trim().eq_ignore_ascii_case("narrowed");
    let (years, only) = if narrowed { scope_texts(years, only, language)? } else { Default::default() };
    let read = Becomes::parse(becomes, &years, &only);
    let wrong = || (7, "write kept, retired, narrowed or separate 1".to_owned());
    Ok((id, read.ok_or_else(wrong)?))
}

fn scope_texts(years: &str, only: &str, language: &Language) -> Result<(String, String), (usize, String)> {
    let scope = |years: &str, only: &str| Scope::parse(years, only, language.vocabulary(), language.year());
    let years_alone = scope(years, "").map_err(|misread| (8, misread.message))?;
    let whole = scope(years, only).map_err(|misread| (9, misread.message))?;
    Ok((years_alone.years().to_string(), whole.only_text()))
}

fn decision_head(key: &str, head: &[String; 5], language: &Language) -> Result<Decision, (usize, String)> {
    let [kind, by, on, because, follows] = head;
    if DecisionId::parse(key).is_none() {
        return Err((0, "it is no whole id of a decision, d- and sixteen characters".to_owned()));
    }
    let words: Vec<&str> = Kind::ALL.iter().map(|kind| kind.word()).collect();
    let kind = Kind::parse(kind)
        .ok_or_else(|| (1, format!("write one of {}{}", words.join(", "), hint(kind, &words))))?;
    let by = Person::new(by).ok_or_else(|| (2, "who decided is missing".to_owned()))?;
    let on = day::parse(on, None, language.today).map_err(|misread| (3, misread.message))?;
    let because = tidy(because).into_owned();
    if because.is_empty() {
        return Err((4, "why it was decided is missing".to_owned()));
    }
    let ids: Option<Vec<DecisionId>> = follows.split_whitespace().map(DecisionId::parse).collect();
    let follows = ids.ok_or_else(|| (5, "write whole ids of decisions, blanks between them".to_owned()))?;
    Ok(Decision { kind, by: by.name().to_owned(), day: day_of(on), because, follows, about: Vec::new() })
}

/// The rows of a decision as they are written. `place` tells maker, model and point of a note that the book has.
pub fn rows<E>(
    id: DecisionId,
    decision: &Decision,
    language: &Language,
    mut place: impl FnMut(NoteId) -> Result<[String; 3], E>,
) -> Result<Vec<[String; 13]>, E> {
    let follows: Vec<String> = decision.follows.iter().map(ToString::to_string).collect();
    let mut rows = Vec::new();
    for (note, becomes) in &decision.about {
        let (years, only) = becomes.scope_texts();
        let only = match becomes {
            // Said in full, so that a shop whose drivers sit on the other side reads the same.
            Becomes::Narrowed { .. } => Scope::parse(years, only, language.vocabulary(), language.year())
                .map_or_else(|_| only.to_owned(), |scope| Language::only_in_full(&scope)),
            _ => String::new(),
        };
        let [make, model, point] = place(*note)?;
        rows.push([
            id.to_string(),
            decision.kind.word().to_owned(),
            decision.by.clone(),
            date_text(decision.day),
            decision.because.clone(),
            follows.join(" "),
            note.to_string(),
            becomes.word(),
            years.to_owned(),
            only,
            make,
            model,
            point,
        ]);
    }
    Ok(rows)
}
