//! From the words or the vehicle identification number on the command line to a model of the book and what is
//! known of the vehicle; shared by the commands that ask about one.

use super::console::{Console, Failure, Status};
use crate::book::{Book, BookError, KnownModel, ModelId};
use crate::language::Language;
use crate::resolve::{Name, Names, Resolved, resolve};
use crate::show::page::{Label, capitalised, listed};
use crate::vehicle::{CheckDigit, Vehicle, Vin};

impl Names for Book {
    type Id = ModelId;
    type Error = BookError;

    fn called(&self, key: &str) -> Result<Vec<Name<ModelId>>, BookError> {
        Ok(self.models_called(key)?.into_iter().map(name).collect())
    }

    fn all(&self) -> Result<Vec<Name<ModelId>>, BookError> {
        Ok(self.models()?.into_iter().map(name).collect())
    }
}

fn name(known: KnownModel) -> Name<ModelId> {
    Name { id: known.id, make: known.make, model: known.model }
}

/// A vehicle that was asked about.
#[derive(Debug)]
pub struct AskedVehicle {
    /// Its model.
    pub model: KnownModel,
    /// What is known of it.
    pub vehicle: Vehicle,
    /// Words that were not understood.
    pub not_understood: Vec<String>,
}

/// One vehicle, or what the command has to end with.
#[derive(Debug)]
pub enum Meant {
    /// One.
    One(AskedVehicle),
    /// None or several; it was told.
    No(Status),
}

/// Reads a number and refuses a wrong check digit where it is mandatory.
///
/// # Errors
/// No vehicle identification number, or one that was read wrongly.
pub fn vin(console: &mut Console<'_>, text: &str) -> Result<Vin, Failure> {
    let vin = Vin::parse(text).map_err(|misread| Failure::misuse(misread.message))?;
    if let CheckDigit::Wrong { computed } = vin.check_digit() {
        let told = format!(
            "the check digit (position 9) should be {computed}: one character at least was read wrongly"
        );
        if vin.mandatory() {
            return Err(Failure::hinted(told, "read the number again, from the plate and from the papers"));
        }
        let told =
            format!("{told}, or the number comes from a place where makers use the position as they like");
        console.notice(Label::Weak, "note: ", &told)?;
    }
    Ok(vin)
}

/// Finds the one vehicle that words and a number mean, and tells what stood in the way.
///
/// # Errors
/// A number that cannot be, a book that cannot be read.
pub fn find(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    words: &[String],
    number: Option<&str>,
) -> Result<Meant, Failure> {
    let resolved = understand(console, book, language, words, number)?;
    match meant(console, resolved)? {
        Ok(meant) => Ok(meant),
        Err(resolved) => none(console, book, &resolved, number.is_some()),
    }
}

/// A vehicle that the book may never have heard of.
#[derive(Debug)]
pub enum Named {
    /// The book has its model, or several are possible.
    Known(Meant),
    /// Maker and model are named, and the book has no such model.
    New {
        /// The maker.
        make: String,
        /// The model.
        model: String,
        /// What is known of the vehicle.
        vehicle: Vehicle,
    },
}

/// As `find`, but a vehicle that the book has never heard of may be named by maker and model.
///
/// # Errors
/// A number that cannot be, a book that cannot be read, words that name no vehicle.
pub fn find_or_name(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    words: &[String],
    number: Option<&str>,
) -> Result<Named, Failure> {
    let resolved = understand(console, book, language, words, number)?;
    let resolved = match meant(console, resolved)? {
        Ok(meant) => return Ok(Named::Known(meant)),
        Err(resolved) => resolved,
    };
    match new_names(&resolved) {
        Some((make, model)) => Ok(Named::New { make, model, vehicle: resolved.vehicle }),
        None => {
            let (message, hint) = why_none(console, book, &resolved, number.is_some())?;
            // A maker beside another maker's model is named already.
            let slip = resolved.make.is_none() && !resolved.near.is_empty();
            let more =
                if slip { "" } else { "; of one that the book has never heard of say maker and model" };
            Err(Failure::hinted(message, format!("{hint}{more}")))
        }
    }
}

/// Maker and model of a vehicle that the book does not have: the maker is the one that was understood, else the first
/// word that means nothing else, and the model is what is left.
fn new_names(resolved: &Resolved<ModelId>) -> Option<(String, String)> {
    let strange: Vec<&str> = resolved.not_understood.iter().map(String::as_str).collect();
    let number = |word: &&str| Vin::parse(word).is_ok();
    // A maker's name beside another maker's model is a slip, not a new vehicle.
    if strange.iter().any(number) || (resolved.make.is_none() && !resolved.near.is_empty()) {
        return None;
    }
    match (&resolved.make, strange.as_slice()) {
        (Some(make), [_, ..]) => Some((make.clone(), as_name(&strange))),
        (None, [make, rest @ ..]) if !rest.is_empty() => Some((as_name(&[make]), as_name(rest))),
        _ => None,
    }
}

/// Words as a name, with a capital where they were typed without any.
fn as_name(words: &[&str]) -> String {
    let word = |word: &&str| {
        if word.chars().any(char::is_uppercase) { (*word).to_owned() } else { capitalised(word) }
    };
    words.iter().map(word).collect::<Vec<_>>().join(" ")
}

/// What words and a number mean, with what stood in the way told.
fn understand(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    words: &[String],
    number: Option<&str>,
) -> Result<Resolved<ModelId>, Failure> {
    let number = number.map(|text| vin(console, text)).transpose()?;
    let mut resolved = resolve(words, language, book)?;
    if let Some(misread) = &resolved.no_year {
        let hint = "write the model year of the one vehicle, such as 2016, or leave it out";
        return Err(Failure::hinted(misread.message.clone(), hint));
    }
    if let Some(misread) = &resolved.two_ways {
        let hint = "say the one that the vehicle has, or leave it out where it is not known";
        return Err(Failure::hinted(misread.message.clone(), hint));
    }
    let said = words.iter().any(|word| Language::names_drive(word));
    resolved.vehicle = language.vehicle_with_drive(resolved.vehicle, language.drive, said);
    if let Some(vin) = &number {
        by_number(book, language, &mut resolved, vin)?;
    }
    tell(console, &resolved)?;
    Ok(resolved)
}

/// The vehicle, or that several are possible; what was understood is given back where the book has none.
fn meant(
    console: &mut Console<'_>,
    resolved: Resolved<ModelId>,
) -> Result<Result<Meant, Resolved<ModelId>>, Failure> {
    Ok(match resolved.models.as_slice() {
        [one] => Ok(Meant::One(AskedVehicle {
            model: KnownModel { id: one.id, make: one.make.clone(), model: one.model.clone() },
            vehicle: resolved.vehicle,
            not_understood: resolved.not_understood,
        })),
        [] => Err(resolved),
        several => Ok(several_meant(console, several)?),
    })
}

/// Takes from a number the year and the model where the words do not name them, and tells where they contradict.
fn by_number(
    book: &Book,
    language: &Language,
    resolved: &mut Resolved<ModelId>,
    vin: &Vin,
) -> Result<(), Failure> {
    year_by_number(language, resolved, vin);
    let taught = book.models_by_vin(&vin.pattern().kind())?;
    if resolved.models.is_empty() && resolved.near.is_empty() {
        resolved.models = taught.into_iter().map(name).collect();
        return Ok(());
    }
    let told = |known: &KnownModel| resolved.models.iter().any(|model| model.id == known.id);
    if taught.iter().any(told) {
        resolved.models.retain(|model| taught.iter().any(|known| known.id == model.id));
    } else if !taught.is_empty() && !resolved.models.is_empty() {
        let names: Vec<String> =
            taught.iter().map(|known| format!("{} {}", known.make, known.model)).collect();
        let names = listed(&names, "or");
        resolved.problems.push(format!("notes on such numbers are of {names}; what you named counts"));
    }
    Ok(())
}

/// Takes the year from a number. The codes come round every 30 years: a year that the words tell settles which
/// round it is, and one that no round has is told.
fn year_by_number(language: &Language, resolved: &mut Resolved<ModelId>, vin: &Vin) {
    let (possible, today) = (vin.model_year_candidates(), language.year());
    let believed: Vec<String> =
        possible.iter().filter(|year| **year <= today.latest()).map(ToString::to_string).collect();
    let believed = listed(&believed, "or");
    // Outside North America makers may use the position as they like.
    let says = if vin.mandatory() { "the number says" } else { "position 10 of the number may mean" };
    match (resolved.vehicle.year(), vin.pattern().model_year_by(today)) {
        (_, _) if possible.is_empty() => {}
        (None, Some(year)) => resolved.vehicle = std::mem::take(&mut resolved.vehicle).with_year(year),
        (None, None) => resolved.problems.push(format!("{says} model year {believed}; say which")),
        (Some(told), _) if possible.contains(&told) => {}
        (Some(told), _) => {
            resolved.problems.push(format!("{says} model year {believed}, and you say {told}; yours counts"))
        }
    }
}

fn tell(console: &mut Console<'_>, resolved: &Resolved<ModelId>) -> Result<(), Failure> {
    for (written, taken) in &resolved.forgiven {
        console.notice(Label::Aside, "note: ", &format!("'{written}' was read as {taken}"))?;
    }
    for problem in &resolved.problems {
        console.notice(Label::Weak, "note: ", problem)?;
    }
    if !resolved.not_understood.is_empty() && !resolved.models.is_empty() {
        let words: Vec<String> = resolved.not_understood.iter().map(|word| format!("'{word}'")).collect();
        console.notice(Label::Weak, "note: ", &format!("not understood: {}", listed(&words, "and")))?;
    }
    Ok(())
}

fn none(
    console: &mut Console<'_>,
    book: &Book,
    resolved: &Resolved<ModelId>,
    by_number: bool,
) -> Result<Meant, Failure> {
    if console.json {
        console.print_json(&serde_json::json!({ "candidates": [], "near": resolved.near, "not_understood": resolved.not_understood }))?;
    }
    let (message, hint) = why_none(console, book, resolved, by_number)?;
    console.notice(Label::Alarm, "nothing found: ", &message)?;
    console.notice(Label::Aside, "hint: ", &hint)?;
    Ok(Meant::No(Status::Nothing))
}

fn why_none(
    console: &Console<'_>,
    book: &Book,
    resolved: &Resolved<ModelId>,
    by_number: bool,
) -> Result<(String, String), Failure> {
    if book.notes()? == 0 {
        let place = console.dir()?.display().to_string();
        return Ok((
            format!("the book in {place} is empty"),
            "load the shop's notes with `baybook ingest PATH`".to_owned(),
        ));
    }
    if !resolved.near.is_empty() {
        return Ok((
            "which model is it?".to_owned(),
            format!("the book has {}", listed(&resolved.near, "and")),
        ));
    }
    if by_number {
        let message = "no note has taught the book which model this number belongs to".to_owned();
        return Ok((message, "say maker and model as well".to_owned()));
    }
    if let Some(number) = resolved.not_understood.iter().find(|word| Vin::parse(word).is_ok()) {
        let message = format!("'{number}' is a vehicle identification number");
        return Ok((message, format!("say `--vin {number}`")));
    }
    let message = match resolved.not_understood.as_slice() {
        [] => "no maker and model is named".to_owned(),
        words => format!("no model of the book is called '{}'", words.join(" ")),
    };
    let mut makes: Vec<String> = book.models()?.into_iter().map(|known| known.make).collect();
    makes.dedup();
    const LISTED: usize = 12;
    let more = if makes.len() > LISTED { ", …" } else { "" };
    makes.truncate(LISTED);
    Ok((message, format!("the makers of this book: {}{more}", makes.join(", "))))
}

fn several_meant(console: &mut Console<'_>, several: &[Name<ModelId>]) -> Result<Meant, Failure> {
    let names: Vec<String> = several.iter().map(|name| format!("{} {}", name.make, name.model)).collect();
    if console.json {
        console.print_json(&serde_json::json!({ "candidates": names }))?;
    }
    console.notice(Label::Alarm, "several vehicles are possible: ", &listed(&names, "or"))?;
    console.notice(Label::Aside, "hint: ", "name the maker as well")?;
    Ok(Meant::No(Status::Nothing))
}

/// The model that words mean, for a filter: the whole book where there are no words.
///
/// # Errors
/// A book that cannot be read.
pub fn model(
    console: &mut Console<'_>,
    book: &Book,
    language: &Language,
    words: &[String],
) -> Result<Option<Meant>, Failure> {
    if words.is_empty() { Ok(None) } else { find(console, book, language, words, None).map(Some) }
}
