//! Full-text search by meaning: any words, the right note first.
//!
//! Notes and questions are cut into the same meanings (`cut`, `meaning`), a note's stand in an index beside the book
//! (`shelf`, `keep`), a question's are weighed (`question`, `weigh`), and the notes that answer best are found
//! (`find`). The book is the truth and holds what is shown; how that looks is not told here.

mod beside;
mod binder;
mod clauses;
mod cut;
mod figures;
mod find;
mod hit;
mod keep;
mod kin;
mod meaning;
mod mend;
mod notes;
mod phrasebook;
mod question;
mod row;
mod settle;
mod shelf;
mod spell;
mod tail;
mod term;
#[cfg(test)]
mod tests;
mod texts;
mod told;
mod vocabulary;
mod weigh;

use std::path::PathBuf;

pub use beside::Beside;
use cut::Cutter;
use find::{Sieve, Wanted, best};
use hit::Closely;
pub use hit::{Answer, Hit, Telling};
use keep::Stacks;
pub use meaning::How;
use question::{Known, MOST_WORDS, Register, understand};
pub use row::InARow;
use row::Row;
use term::Kind;
use texts::Texts;
pub use told::Understood;
use weigh::weigh;

use crate::book::{Book, BookError, ModelId, Standing};
use crate::language::Language;
use crate::note::Basis;
use crate::vehicle::Vehicle;

/// What can go wrong in a search.
#[derive(Debug, thiserror::Error)]
pub enum SearchError {
    /// The book cannot be read.
    #[error(transparent)]
    Book(#[from] BookError),
    /// The index cannot be read or written.
    #[error("{0}")]
    Index(#[from] tantivy::TantivyError),
    /// The directory of the index cannot be made.
    #[error("{}: {error}", path.display())]
    Place {
        /// The directory.
        path: PathBuf,
        /// What the system said.
        error: std::io::Error,
    },
}

/// What notes have to be to be found.
#[derive(Debug, Clone, Default)]
pub struct Filter {
    /// Only of these models, where any is named.
    pub models: Vec<ModelId>,
    /// Only such as may hold for this vehicle.
    pub vehicle: Vehicle,
    /// Only on these points, by name, where any is named.
    pub points: Vec<String>,
    /// Only on these bases, where any is named.
    pub bases: Vec<Basis>,
    /// Only by these people (their keys), where any is named.
    pub by: Vec<String>,
    /// Only from this day on, in days since 1970-01-01.
    pub since: Option<i32>,
    /// Only such as stand like this, where any is named.
    pub standings: Vec<Standing>,
}

/// Which notes are shown, and what of them.
#[derive(Debug, Clone, Copy)]
pub struct Page {
    /// So many of the best are passed by.
    pub skip: usize,
    /// So many are shown.
    pub limit: usize,
    /// What is told of them.
    pub telling: Telling,
}

/// What a search found.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// The notes that answer best, best first, from the first that was asked for.
    pub hits: Vec<Hit>,
    /// Whether there are more behind them.
    pub more: bool,
    /// The question as understood.
    pub understood: Vec<Understood>,
    /// What was written, and what it was taken for.
    pub forgiven: Vec<(String, String)>,
    /// For words that are known neither to the language nor to any note, and for sizes that no note has, the nearest
    /// that notes have.
    pub near: Vec<String>,
    /// What a person should know about the search itself.
    pub notices: Vec<String>,
    /// The score of a note that answers to everything in full.
    pub most: f32,
}

impl Known for Stacks {
    fn count(&self, term: &str) -> u64 {
        let of_shelf = self.shelf.as_ref().map_or(0, |shelf| shelf.count(term).unwrap_or_default());
        of_shelf + self.tail.iter().filter(|note| note.has(term)).count() as u64
    }

    fn between(&self, from: &str, to: &str, tell: &mut dyn FnMut(&str, u64)) {
        if let Some(shelf) = &self.shelf {
            // What cannot be read here is noticed where notes are found by it.
            let _ = shelf.each_term(from, to, &mut |term, count| tell(term, u64::from(count)));
        }
        for note in &self.tail {
            note.terms().filter(|term| (from..to).contains(term)).for_each(|term| tell(term, 1));
        }
    }
}

/// So many notes are looked at closely, as a multiple of those that are shown.
const CLOSELY: usize = 4;
/// At least so many.
const LEAST_CLOSELY: usize = 100;
/// At least so many where some may turn out to be of other vehicles.
const MOST_CLOSELY: usize = 5000;

/// Searches a book for `text`: the best notes, of which one page is shown.
///
/// # Errors
/// The book cannot be read.
pub fn search(
    book: &mut Book,
    language: &Language,
    text: &str,
    filter: &Filter,
    page: Page,
) -> Result<Found, SearchError> {
    let cutter = Cutter::new(language);
    let (text, notice) = shortened(text);
    let asked = Search { language, cutter: &cutter, text: &text, filter, page };
    let mut stacks = keep::open(book, &cutter)?;
    let mut found = match asked.of(book, &stacks) {
        Err(SearchError::Index(error)) => {
            stacks.notices.push(format!("the index for search could not be read: {error}"));
            stacks = keep::anew(book, &cutter, stacks.notices)?;
            asked.of(book, &stacks)?
        }
        found => found?,
    };
    found.notices.splice(0..0, stacks.notices.into_iter().chain(notice));
    Ok(found)
}

/// What is asked of a book.
struct Search<'a> {
    language: &'a Language,
    cutter: &'a Cutter<'a>,
    text: &'a str,
    filter: &'a Filter,
    page: Page,
}

impl Search<'_> {
    /// The answer of the book as it is at one moment.
    fn of(&self, book: &Book, stacks: &Stacks) -> Result<Found, SearchError> {
        let Self { language, cutter, text, filter, page } = *self;
        let _still = book.snapshot()?;
        let people = book.people_by_number()?;
        let register = Register { names: book, people: &people };
        let question = understand(text, cutter, &register, stacks)?;
        let weighed = weigh(&question, language, stacks, book.notes()?);
        let wanted: Vec<Wanted> = weighed.iter().map(|own| own.wanted.clone()).collect();
        let sieve = Sieve { none_of: question.denied_terms(), ..sieve(book, filter)? };
        let most = closely_looked_at(filter, page);
        let matches = best(stacks.shelf.as_ref(), &stacks.tail, &wanted, &sieve, most)?;
        let mut near = question.near.clone();
        near.extend(weigh::nearest_sizes(&question, &weighed, language, stacks));
        let all = wanted.iter().map(|own| own.weight).sum();
        let row = Row::new(text, &question, all);
        let closely = Closely { book, language, vehicle: &filter.vehicle, wanted: &wanted, row: &row };
        let (hits, more) = hits(&closely, cutter, matches, page)?;
        let understood = told::understood(book, language, &question, &weighed)?;
        let (forgiven, notices) = (question.forgiven, question.problems);
        Ok(Found { hits, more, understood, forgiven, near, notices, most: all })
    }
}

/// How many of the best notes are looked at closely. What is known of a vehicle beside its model and year is only
/// seen there.
fn closely_looked_at(filter: &Filter, Page { skip, limit, .. }: Page) -> usize {
    let shown = CLOSELY * (skip + limit + 1);
    if filter.vehicle.clone().without_year().is_blank() {
        LEAST_CLOSELY.max(shown)
    } else {
        MOST_CLOSELY.max(shown)
    }
}

/// The notes of one page, and whether there are more behind them.
fn hits(
    closely: &Closely<'_>,
    cutter: &Cutter<'_>,
    matches: Vec<find::Match>,
    Page { skip, limit, telling }: Page,
) -> Result<(Vec<Hit>, bool), SearchError> {
    let mut texts = Texts::new(cutter);
    let (mut hits, mut matches) = (Vec::new(), closely.in_order(matches)?);
    for at in 0.. {
        let Some(admitted) = closely.next(&mut matches)? else { break };
        if at == skip + limit {
            return Ok((hits, true));
        }
        if at >= skip {
            hits.extend(closely.hit(&mut texts, admitted, telling)?);
        }
    }
    Ok((hits, false))
}

/// Keeps the index up: makes the first one, or takes notes in that wait, where there are many and nobody else is at
/// it. It is only upkeep: what cannot be done now is done by the next search.
pub fn keep_up(book: &mut Book, language: &Language) {
    let _ = keep::keep_up(book, language);
}

/// Makes the index anew, or for the first time.
///
/// # Errors
/// The book cannot be read, or there is no place to write to.
pub fn make_index(book: &mut Book, language: &Language) -> Result<(), SearchError> {
    let mark = book.index_mark()?;
    keep::make(book, &Cutter::new(language), mark.as_ref()).map(drop)
}

/// What is wrong with the index, where something is.
///
/// # Errors
/// The book cannot be read.
pub fn trouble(book: &Book, language: &Language) -> Result<Option<&'static str>, SearchError> {
    keep::trouble(book, language)
}

/// The words that are looked at, and what is told of the others.
fn shortened(text: &str) -> (String, Option<String>) {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let words: Vec<&str> = plain.split_whitespace().collect();
    let notice = (words.len() > MOST_WORDS)
        .then(|| format!("only the first {MOST_WORDS} of {} words are looked at", words.len()));
    let words = words[..words.len().min(MOST_WORDS)].join(" ");
    (figures::with_points(&figures::with_digits(&words)).into_owned(), notice)
}

fn sieve(book: &Book, filter: &Filter) -> Result<Sieve, SearchError> {
    let terms = |kind: Kind, texts: &mut dyn Iterator<Item = String>| -> Vec<String> {
        texts.map(|text| kind.term(&text)).collect()
    };
    let mut one_of = vec![
        terms(Kind::Model, &mut filter.models.iter().map(|id| id.0.to_string())),
        terms(Kind::Point, &mut filter.points.iter().cloned()),
        terms(Kind::Person, &mut filter.by.iter().cloned()),
        terms(Kind::Year, &mut filter.vehicle.year().iter().map(ToString::to_string)),
    ];
    one_of.retain(|terms| !terms.is_empty());
    let standings = match filter.standings.as_slice() {
        [] => None,
        wanted => Some((wanted.to_vec(), book.fallen()?)),
    };
    let none_of = Vec::new();
    Ok(Sieve { one_of, none_of, bases: filter.bases.clone(), since: filter.since, standings })
}
