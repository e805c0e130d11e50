//! Full-text search by meaning: any words, the right note first.
//!
//! Notes and questions are cut into the same meanings (`cut`, `meaning`), a note's stand in an index beside the book
//! (`shelf`, `keep`), a question's are weighed (`question`, `weigh`), and the notes that answer best are found
//! (`find`). The book is the truth and holds what is shown; how that looks is not told here.

mod cut;
mod figures;
mod find;
mod keep;
mod meaning;
mod notes;
mod question;
mod shelf;
mod spell;
mod tail;
mod term;
#[cfg(test)]
mod tests;
mod weigh;

use std::ops::Range;
use std::path::PathBuf;

use cut::Cutter;
use find::{Match, Sieve, Wanted, best};
use keep::Stacks;
pub use meaning::How;
use meaning::Meaning;
use notes::NoteTerms;
use question::{Known, MOST_WORDS, Question, Register, understand};
use tail::TailNote;
use term::Kind;
use weigh::{Weighed, weigh};

use crate::book::{Book, BookError, KnownModel, ModelId, Standing, StoredNote};
use crate::language::Language;
use crate::note::Basis;
use crate::vehicle::{Match as Fits, Scope, Vehicle};

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

/// One phrase of the question, as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// As it was written.
    pub written: String,
    /// What it may mean, in words.
    pub means: Vec<String>,
    /// How many notes answer to it.
    pub notes: u64,
    /// The most that a note can gain by it.
    pub weight: f32,
}

/// How a note answers to one phrase of the question.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The phrase, by its number.
    pub phrase: usize,
    /// How; none where it speaks against it.
    pub how: Option<How>,
    /// What the note gained or lost by it.
    pub gained: f32,
}

/// A note that was found.
#[derive(Debug, Clone)]
pub struct Hit {
    /// The note.
    pub note: StoredNote,
    /// Its model.
    pub model: KnownModel,
    /// The name of its point.
    pub point: String,
    /// How it stands.
    pub standing: Standing,
    /// The vehicles that it holds for.
    pub scope: Scope,
    /// How well it answers; what that is of the most possible, `Found::most` tells.
    pub score: f32,
    /// How it answers to the phrases.
    pub answers: Vec<Answer>,
    /// The fields of which the value answers to a phrase.
    pub fields: Vec<String>,
    /// The stretches of the remark that answer to a phrase, in bytes.
    pub marks: Vec<Range<usize>>,
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
    /// For words that are known neither to the language nor to any note, the nearest that notes have.
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
/// What a note that does not stand any more is worth.
const FALLEN: f32 = 0.8;

/// Searches a book for `text`: the best notes, `limit` of them after the first `skip`.
///
/// # Errors
/// The book cannot be read.
pub fn search(
    book: &mut Book,
    language: &Language,
    text: &str,
    filter: &Filter,
    (skip, limit): (usize, usize),
) -> Result<Found, SearchError> {
    let cutter = Cutter::new(language);
    let mut stacks = keep::open(book, &cutter)?;
    let (text, notice) = shortened(text);
    let people = book.people_by_number()?;
    let register = Register { names: &*book, people: &people };
    let question = understand(&text, &cutter, &register, &stacks)?;
    let weighed = weigh(&question, language, &stacks, book.notes()?);
    let wanted: Vec<Wanted> = weighed.iter().map(|own| own.wanted.clone()).collect();
    let most = LEAST_CLOSELY.max(CLOSELY * (skip + limit + 1));
    let sieve = sieve(filter);
    let matches = match best(stacks.shelf.as_ref(), &stacks.tail, &wanted, &sieve, most) {
        Ok(matches) => matches,
        Err(error) => {
            stacks.notices.push(format!("the index for search could not be read: {error}"));
            stacks = keep::anew(book, &cutter, stacks.notices)?;
            best(stacks.shelf.as_ref(), &stacks.tail, &wanted, &sieve, most)?
        }
    };
    let mut found = Found {
        understood: understood(book, language, &question, &weighed)?,
        forgiven: question.forgiven,
        near: question.near,
        notices: stacks.notices.into_iter().chain(notice).chain(question.problems).collect(),
        most: wanted.iter().map(|own| own.weight).sum(),
        ..Found::default()
    };
    let mut reader = NoteTerms::new(book, &cutter)?;
    let closely = Closely { book, language, filter, wanted: &wanted };
    let standing = closely.in_order(matches)?;
    for (found_at, standing) in standing {
        let Some(hit) = closely.hit(&mut reader, found_at, standing)? else { continue };
        found.hits.push(hit);
        if found.hits.len() > skip + limit {
            break;
        }
    }
    found.more = found.hits.len() > skip + limit;
    found.hits = found.hits.into_iter().skip(skip).take(limit).collect();
    Ok(found)
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
    (words[..words.len().min(MOST_WORDS)].join(" "), notice)
}

fn sieve(filter: &Filter) -> Sieve {
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
    Sieve { one_of, bases: filter.bases.clone(), since: filter.since }
}

/// Looking at the notes that answer best closely, in the book.
struct Closely<'a> {
    book: &'a Book,
    language: &'a Language,
    filter: &'a Filter,
    wanted: &'a [Wanted],
}

impl Closely<'_> {
    /// The matches with how they stand, those that stand no more after their like.
    fn in_order(&self, matches: Vec<Match>) -> Result<Vec<(Match, Standing)>, SearchError> {
        let mut standing = Vec::with_capacity(matches.len());
        for mut found in matches {
            let own = self.book.standing(found.key)?;
            if !self.filter.standings.is_empty() && !self.filter.standings.contains(&own) {
                continue;
            }
            if !own.stands() {
                found.score *= FALLEN;
            }
            standing.push((found, own));
        }
        standing.sort_by(|(a, _), (b, _)| b.score.total_cmp(&a.score).then(b.rank.cmp(&a.rank)));
        Ok(standing)
    }

    fn hit(
        &self,
        reader: &mut NoteTerms<'_, '_>,
        found: Match,
        standing: Standing,
    ) -> Result<Option<Hit>, SearchError> {
        let Some(note) = self.book.note(found.key)? else { return Ok(None) };
        let bucket = found.key.bucket();
        let Some(model) = self.book.model(bucket.model())? else { return Ok(None) };
        let scope = match standing {
            Standing::Narrowed => self.book.holds_for(self.language, &note)?,
            _ => note.scope(self.language),
        };
        if scope.matches(&self.filter.vehicle) == Fits::Excluded {
            return Ok(None);
        }
        let mut terms = String::new();
        self.book.row(found.key, |row| {
            reader.of(row, &mut terms);
            Ok::<_, SearchError>(())
        })?;
        let has = TailNote::new(found.key, found.rank, terms);
        let point = self.book.point_name(bucket)?.unwrap_or_default();
        let (fields, marks) = self.marked(reader, &note);
        Ok(Some(Hit {
            answers: self.answers(&has),
            model,
            point,
            standing,
            scope,
            score: found.score,
            fields,
            marks,
            note,
        }))
    }

    fn answers(&self, note: &TailNote) -> Vec<Answer> {
        let mut answers = Vec::new();
        for (phrase, wanted) in self.wanted.iter().enumerate() {
            if let Some(way) = wanted.ways.iter().find(|way| note.has(&way.term)) {
                let gained = wanted.weight * way.strength;
                answers.push(Answer { phrase, how: Some(way.how), gained });
            } else if wanted.against.iter().any(|term| note.has(term)) {
                answers.push(Answer { phrase, how: None, gained: -find::AGAINST * wanted.weight });
            }
        }
        answers
    }

    /// The fields and the stretches of the remark that answer to a phrase.
    fn marked(&self, reader: &NoteTerms<'_, '_>, note: &StoredNote) -> (Vec<String>, Vec<Range<usize>>) {
        let wanted = |term: &String| {
            self.wanted.iter().flat_map(|own| &own.ways).any(|way| way.term == *term && way.strength >= 0.3)
        };
        let fields =
            note.said.iter().filter(|(field, text)| reader.value_terms(field, text).iter().any(wanted));
        let phrases = reader.cutter.cut(&note.remark, self.language.drive);
        let said = phrases.iter().filter(|phrase| {
            phrase.meanings.iter().any(|meaning| meaning.terms_in_remark().iter().any(wanted))
        });
        let mut marks: Vec<Range<usize>> = said.map(|phrase| phrase.span.clone()).collect();
        marks.dedup();
        (fields.map(|(field, _)| field.clone()).collect(), marks)
    }
}

fn understood(
    book: &Book,
    language: &Language,
    question: &Question,
    weighed: &[Weighed],
) -> Result<Vec<Understood>, SearchError> {
    let one = |(asked, weighed): (&question::Asked, &Weighed)| -> Result<Understood, SearchError> {
        let mut means = Vec::new();
        for meaning in asked.meanings.iter().filter(|meaning| !matches!(meaning, Meaning::Word(_))) {
            let told = told(book, language, meaning)?;
            if !means.contains(&told) {
                means.push(told);
            }
        }
        Ok(Understood {
            written: asked.written.clone(),
            means,
            notes: weighed.notes,
            weight: weighed.wanted.weight,
        })
    };
    question.asked.iter().zip(weighed).map(one).collect()
}

/// A meaning in words.
fn told(book: &Book, language: &Language, meaning: &Meaning) -> Result<String, SearchError> {
    use crate::value::Typed;
    Ok(match meaning {
        Meaning::Colour(colour) => colour.plain(),
        Meaning::Spot(spot) => match &spot.relation {
            Some(relation) => format!("{relation} the {}", spot.part),
            None => format!("at the {}", spot.part),
        },
        Meaning::Sides(sides, Some(part)) => format!("the {sides} {part}"),
        Meaning::Sides(sides, None) => format!("on the {sides}"),
        Meaning::Point(name) => {
            let point = language.catalogue.point(name).map(|at| language.catalogue.points[at].title.clone());
            format!("the point {}", point.unwrap_or_else(|| name.clone()))
        }
        Meaning::Choice(field, word) => format!("{} {word}", title(language, field)),
        Meaning::Quantity(field, quantity) => format!("{} {}", title(language, field), quantity.plain()),
        Meaning::Thread(thread) => format!("thread {}", thread.plain()),
        Meaning::Code(Some(field), code) => format!("{} {code}", title(language, field)),
        Meaning::Code(None, code) => format!("code {code}"),
        Meaning::Year(year) => format!("model year {year}"),
        Meaning::Attribute(name, value) => language.vocabulary().plain(name, value),
        Meaning::Model(id) => {
            book.model(*id)?.map_or_else(String::new, |known| format!("{} {}", known.make, known.model))
        }
        Meaning::Make(key) => {
            let models = book.models()?;
            let make = models.into_iter().find(|known| crate::vehicle::names::fold(&known.make) == *key);
            format!("the maker {}", make.map_or_else(|| key.clone(), |known| known.make))
        }
        Meaning::Person(key) => {
            let people = book.people_by_number()?;
            let person = people.into_values().find(|(own, _)| own == key).map(|(_, name)| name);
            format!("written by {}", person.unwrap_or_else(|| key.clone()))
        }
        Meaning::Basis(basis) => format!("known as {}", basis.word()),
        Meaning::Field(name) => format!("anything of {}", title(language, name)),
        Meaning::Word(key) => key.clone(),
    })
}

fn title<'l>(language: &'l Language, field: &'l str) -> &'l str {
    language.catalogue.field(field).map_or(field, |at| &language.catalogue.fields[at].title)
}
