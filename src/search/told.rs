//! How a question was understood, in words for a person.

use super::SearchError;
use super::meaning::Meaning;
use super::question::{Asked, Question};
use super::weigh::Weighed;
use crate::book::Book;
use crate::language::Language;
use crate::value::Typed;

/// One phrase of the question, as it was understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Understood {
    /// As it was written.
    pub written: String,
    /// What it may mean, in words.
    pub means: Vec<String>,
    /// How many notes answer to it.
    pub notes: u64,
    /// Whether it says what is not meant, so that the notes that say it are left out.
    pub denied: bool,
    /// The most that a note can gain by it.
    pub weight: f32,
}

/// What each phrase of a question was understood to mean.
pub(super) fn understood(
    book: &Book,
    language: &Language,
    question: &Question,
    weighed: &[Weighed],
) -> Result<Vec<Understood>, SearchError> {
    let one = |(asked, weighed): (&Asked, &Weighed)| -> Result<Understood, SearchError> {
        let mut means = Vec::new();
        for meaning in asked.meanings.iter().filter(|meaning| !matches!(meaning, Meaning::Word(_))) {
            let told = told(book, language, meaning)?;
            let told = if asked.denied { format!("not {told}") } else { told };
            if !means.contains(&told) {
                means.push(told);
            }
        }
        Ok(Understood {
            written: asked.written.clone(),
            means,
            notes: weighed.notes,
            denied: asked.denied,
            weight: weighed.wanted.weight,
        })
    };
    question.asked.iter().zip(weighed).map(one).collect()
}

/// A meaning in words.
fn told(book: &Book, language: &Language, meaning: &Meaning) -> Result<String, SearchError> {
    Ok(match meaning {
        Meaning::Colour(colour) => colour.plain(),
        Meaning::Spot(spot) => match &spot.relation {
            Some(relation) => format!("{relation} the {}", spot.part),
            None => format!("at the {}", spot.part),
        },
        Meaning::Sides(sides, Some(part)) => format!("the {sides} {part}"),
        Meaning::Sides(sides, None) => format!("on the {sides}"),
        Meaning::Point(name) => {
            let point = language.catalogue.point(name).map(|at| &*language.catalogue.points[at].title);
            format!("the point {}", point.unwrap_or(name))
        }
        Meaning::Choice(field, word) => format!("{} {word}", title(language, field)),
        Meaning::Quantity(field, quantity) => format!("{} {}", title(language, field), quantity.plain()),
        Meaning::Thread(thread) => format!("thread {}", thread.plain()),
        Meaning::Code(Some(field), code) => format!("{} {code}", title(language, field)),
        Meaning::Code(None, code) => format!("code {code}"),
        Meaning::Year(year) => format!("model year {year}"),
        Meaning::Written(year) => format!("written in {year}"),
        Meaning::Attribute(name, value) => language.vocabulary().plain(name, value),
        Meaning::Model(id) => {
            book.model(*id)?.map_or_else(String::new, |known| format!("{} {}", known.make, known.model))
        }
        Meaning::Make(key) => {
            format!("the maker {}", book.make_called(key)?.unwrap_or_else(|| key.clone()))
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
