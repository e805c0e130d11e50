//! The questions of `add` on a terminal: what a form lacks, one after another, each answer checked at once by the desk
//! that checks a sheet. How a question is put is `prompt`'s business.

use super::form::{Described, Form, describe, settle};
use crate::book::Book;
use crate::catalogue::Point;
use crate::cli::console::{Console, Failure};
use crate::cli::prompt::{Prompts, Question};
use crate::intake::Column;
use crate::language::Language;
use crate::note::Basis;
use crate::show::added::echo;
use crate::show::page::{Label, listed};
use crate::value::FieldKind;
use crate::value::lexicon::{Kind, Lexicon};

/// Asks for what the form lacks.
///
/// # Errors
/// The questions were broken off, or the book cannot be read.
pub(super) fn fill(
    form: &mut Form,
    described: &mut Described,
    console: &mut Console<'_>,
    language: &Language,
    book: &Book,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    vehicle(form, described, console, language, book, prompts)?;
    let point = point(form, language, prompts)?;
    fields(form, point, console, language, prompts)?;
    more(form, point, console, language, prompts)?;
    evidence(form, described, console, language, book, prompts)?;
    let remark = Question { prompt: "Remark".to_owned(), optional: true, ..Question::default() };
    ask(form, Column::Remark, &remark, language, prompts)
}

/// Asks for one column where it is empty.
fn ask(
    form: &mut Form,
    column: Column,
    question: &Question,
    language: &Language,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    if form.lacks(column) { put(form, column, question, language, prompts) } else { Ok(()) }
}

/// Asks for one column; an answer that the desk would refuse is asked again.
fn put(
    form: &mut Form,
    column: Column,
    question: &Question,
    language: &Language,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    let check = |text: &str| {
        let mut trial = form.clone();
        trial.set(column, text);
        if text.trim().is_empty() && question.optional {
            return Ok(());
        }
        trial.trouble(language, column).map_or(Ok(()), Err)
    };
    let answer = prompts.line(question, &check)?;
    form.set(column, &answer);
    Ok(())
}

fn vehicle(
    form: &mut Form,
    described: &mut Described,
    console: &mut Console<'_>,
    language: &Language,
    book: &Book,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    let complete = |found: &Described| found.model.is_some() && found.left.is_empty();
    if !form.lacks(Column::Make) && described.left.is_empty() || complete(described) {
        return Ok(());
    }
    let prompt = "Vehicle (year, maker, model, what else is known)".to_owned();
    let question = Question { prompt, known: vehicles(language, book)?, ..Question::default() };
    loop {
        let answer = prompts.line(&question, &|_| Ok(()))?;
        match describe(&[answer], false, language, book) {
            Ok(found) if complete(&found) => *described = Described { unseen: described.unseen, ..found },
            Ok(found) if found.model.is_none() && found.left.is_empty() => {
                console.notice(Label::Weak, "", "no model is named; write the maker and the model, too")?;
                continue;
            }
            Ok(found) if found.model.is_none() && prompts.yes(&is_new(&found), false)? => {
                names(form, &found, language, book, prompts)?;
                *described = Described { unseen: described.unseen, ..found };
            }
            Ok(found) => {
                console.notice(Label::Weak, "not understood: ", &found.left.join(" "))?;
                continue;
            }
            Err(failure) => {
                console.notice(Label::Alarm, "", &failure.to_string())?;
                continue;
            }
        }
        for (written, taken) in &described.forgiven {
            console.notice(Label::Aside, "note: ", &format!("'{written}' was read as {taken}"))?;
        }
        return Ok(());
    }
}

fn is_new(found: &Described) -> String {
    let near = match found.near.as_slice() {
        [] => String::new(),
        near => format!(" (it has {})", listed(near, "and")),
    };
    format!("The book has no model called '{}'{near}. Is it new?", found.left.join(" "))
}

/// Asks for maker and model of a vehicle that the book does not have.
fn names(
    form: &mut Form,
    found: &Described,
    language: &Language,
    book: &Book,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    let known = book.models()?;
    let (make, model) =
        found.left.split_first().map_or(("", String::new()), |(make, rest)| (make, rest.join(" ")));
    let makers = known.into_iter().map(|known| known.make).collect();
    let maker =
        Question { prompt: "Maker".to_owned(), default: make.to_owned(), known: makers, optional: false };
    put(form, Column::Make, &maker, language, prompts)?;
    let model = Question { prompt: "Model".to_owned(), default: model, ..Question::default() };
    put(form, Column::Model, &model, language, prompts)
}

/// What can be completed in words for a vehicle: models with and without their makers, attributes.
fn vehicles(language: &Language, book: &Book) -> Result<Vec<String>, Failure> {
    let models = book.models()?;
    let named =
        models.iter().flat_map(|known| [format!("{} {}", known.make, known.model), known.model.clone()]);
    let attributes =
        language.vocabulary().attributes().iter().map(|attribute| format!("{}=", attribute.name));
    Ok(named.chain(attributes).collect())
}

fn point<'l>(
    form: &mut Form,
    language: &'l Language,
    prompts: &mut dyn Prompts,
) -> Result<&'l Point, Failure> {
    let catalogue = &language.catalogue;
    let names: Vec<String> = catalogue.points.iter().map(|point| point.name.to_string()).collect();
    ask(
        form,
        Column::Point,
        &Question { prompt: "Point".to_owned(), known: names, ..Question::default() },
        language,
        prompts,
    )?;
    let found = catalogue.point_by_words(form.get(Column::Point));
    found.map(|at| &catalogue.points[at]).ok_or_else(|| Failure::misuse("no point is named"))
}

/// Asks for the fields that make an answer: what says which one it is, what has to agree, where it is.
fn fields(
    form: &mut Form,
    point: &Point,
    console: &mut Console<'_>,
    language: &Language,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    for field in point.fields.iter().copied().filter(|field| is_asked(point, *field, language)) {
        let column = Column::Field(field);
        let about = &language.catalogue.fields[field];
        let prompt = format!("{} ({})", about.name, form_of(&about.kind));
        let question = Question { prompt, known: known(&about.kind), optional: true, ..Question::default() };
        ask(form, column, &question, language, prompts)?;
        if let Some(told) = echo(language, field, form.get(column)) {
            console.notice(Label::Aside, "  ", &told)?;
        }
    }
    Ok(())
}

fn is_asked(point: &Point, field: usize, language: &Language) -> bool {
    let name = &*language.catalogue.fields[field].name;
    let compared = point.identified_by.contains(&field) || point.must_agree.contains(&field);
    compared || matches!(name, "at" | "connector" | "minutes")
}

fn form_of(kind: &FieldKind) -> String {
    match kind {
        FieldKind::Choice(choices) => choices.words().join(", "),
        FieldKind::Quantity(rule) => format!("in {}", rule.unit.symbol()),
        other => other.word().to_owned(),
    }
}

fn known(kind: &FieldKind) -> Vec<String> {
    match kind {
        FieldKind::Choice(choices) => choices.words().iter().map(|word| (*word).to_string()).collect(),
        FieldKind::Place => {
            let named = |kind| matches!(kind, Kind::Component | Kind::Landmark);
            let places = Lexicon::builtin().concepts().filter(|(_, concept)| named(concept.kind()));
            places.map(|(_, concept)| concept.name().to_owned()).collect()
        }
        _ => Vec::new(),
    }
}

/// Asks for the other fields of the point, by name, until there is no answer.
fn more(
    form: &mut Form,
    point: &Point,
    console: &mut Console<'_>,
    language: &Language,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    loop {
        let open = point
            .fields
            .iter()
            .copied()
            .filter(|at| !is_asked(point, *at, language) && form.lacks(Column::Field(*at)));
        let open: Vec<usize> = open.collect();
        if open.is_empty() {
            return Ok(());
        }
        let names: Vec<&str> = open.iter().map(|at| &*language.catalogue.fields[*at].name).collect();
        let question = Question {
            prompt: format!("More, as FIELD=VALUE ({})", names.join(", ")),
            known: names.iter().map(|name| format!("{name}=")).collect(),
            optional: true,
            ..Question::default()
        };
        let check = |text: &str| match assigned(text, point, language)? {
            Some((field, value)) => {
                let mut trial = form.clone();
                trial.set(Column::Field(field), value);
                trial.trouble(language, Column::Field(field)).map_or(Ok(()), Err)
            }
            None => Ok(()),
        };
        let answer = prompts.line(&question, &check)?;
        let Ok(Some((field, value))) = assigned(&answer, point, language) else { return Ok(()) };
        form.set(Column::Field(field), value);
        if let Some(told) = echo(language, field, value) {
            console.notice(Label::Aside, "  ", &told)?;
        }
    }
}

/// The field and the text of `FIELD=VALUE`; nothing where nothing is written.
fn assigned<'t>(
    text: &'t str,
    point: &Point,
    language: &Language,
) -> Result<Option<(usize, &'t str)>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let (name, value) = text.split_once('=').ok_or("write a field, = and its value, or nothing")?;
    let field = language.catalogue.field(&name.trim().to_lowercase());
    match field.filter(|field| point.fields.contains(field)) {
        Some(field) => Ok(Some((field, value))),
        None => Err(format!("{} has no field '{}'", point.name, name.trim())),
    }
}

/// Asks how the writer knows, and for which vehicles it is claimed; what the words said is the offer.
fn evidence(
    form: &mut Form,
    described: &Described,
    console: &Console<'_>,
    language: &Language,
    book: &Book,
    prompts: &mut dyn Prompts,
) -> Result<(), Failure> {
    let plain = |prompt: &str| Question { prompt: prompt.to_owned(), ..Question::default() };
    let words: Vec<String> = Basis::ALL.iter().map(|basis| basis.word().to_owned()).collect();
    let prompt = format!("How do you know ({})", words.join(", "));
    ask(form, Column::Basis, &Question { prompt, known: words, ..Question::default() }, language, prompts)?;
    let hand = console.hand.clone().unwrap_or_default();
    let who = Question { default: hand, known: book.people()?, ..plain("Who says so") };
    ask(form, Column::By, &who, language, prompts)?;
    let today = language.today.to_string();
    ask(form, Column::On, &Question { default: today, ..plain("On which day") }, language, prompts)?;
    let given = [Column::Seen, Column::Years, Column::Only].map(|column| !form.lacks(column));
    let given = [given[0] || described.unseen, given[1], given[2]];
    settle(form, described);
    let asked = [
        (Column::Seen, "On which vehicle", true),
        (Column::Years, "Claimed for the model years", false),
        (Column::Only, "Claimed only for (cab=crew; tow=yes)", true),
    ];
    for ((column, prompt, optional), _) in asked.into_iter().zip(given).filter(|(_, given)| !given) {
        let default = form.get(column).to_owned();
        put(form, column, &Question { default, optional, ..plain(prompt) }, language, prompts)?;
    }
    Ok(())
}
