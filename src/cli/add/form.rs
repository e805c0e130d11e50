//! The form of one note: its texts by column, from flags and words, as a row of a sheet has them. What they mean is
//! the intake desk's business; what is missing may be asked.

use crate::book::{Book, BookError};
use crate::catalogue::Catalogue;
use crate::cli::console::Failure;
use crate::intake::{Cells, Column, Desk, Trouble};
use crate::language::Language;
use crate::note::{Basis, NoteId};
use crate::resolve::{Name, Names, Resolved, resolve};
use crate::show::page::listed;
use crate::vehicle::{DEFAULT_DRIVE, DRIVE, ModelYear, Years};

/// Texts by column; one without text is as if it were not there.
#[derive(Debug, Clone, Default)]
pub struct Form {
    cells: Vec<(Column, String)>,
}

impl Form {
    /// Puts a text in place of what stood there.
    pub fn set(&mut self, column: Column, text: &str) {
        self.cells.retain(|(found, _)| *found != column);
        if !text.trim().is_empty() {
            self.cells.push((column, text.trim().to_owned()));
        }
    }

    /// The text of a column, or nothing.
    #[must_use]
    pub fn get(&self, column: Column) -> &str {
        self.cells.iter().find(|(found, _)| *found == column).map_or("", |(_, text)| text)
    }

    /// Whether nothing stands there.
    #[must_use]
    pub fn lacks(&self, column: Column) -> bool {
        self.get(column).is_empty()
    }

    /// Whether it says what, of which point, and how who knows it, be it whoever works here (`hand`): no more has to be
    /// asked than whether it is right.
    #[must_use]
    pub fn is_full(&self, hand: &str) -> bool {
        let said = self.cells.iter().any(|(column, _)| matches!(column, Column::Field(_) | Column::Remark));
        let known = !self.lacks(Column::By) || !hand.trim().is_empty();
        said && known && !self.lacks(Column::Point) && !self.lacks(Column::Basis)
    }

    /// Lays the form on a desk.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn understand(&self, desk: &mut Desk<'_>) -> Result<NoteId, Vec<Trouble>> {
        let mut cells = Cells::default();
        self.cells.iter().for_each(|(column, text)| cells.push(*column, text));
        desk.row(&cells, 0)
    }

    /// What is wrong with one column, the years being any where they are not known yet.
    #[must_use]
    pub fn trouble(&self, language: &Language, column: Column) -> Option<String> {
        let mut trial = self.clone();
        if trial.lacks(Column::Years) {
            trial.set(Column::Years, "all");
        }
        let troubles = trial.understand(&mut Desk::new(language, None)).err()?;
        troubles.into_iter().find(|trouble| trouble.column == Some(column)).map(|trouble| trouble.message)
    }
}

/// The name of a column on the command line.
#[must_use]
pub fn flag(column: Option<Column>, catalogue: &Catalogue) -> String {
    let name = match column {
        None => return "the note".to_owned(),
        Some(Column::Field(field)) => return catalogue.fields[field].name.to_string(),
        Some(Column::Make) => "make",
        Some(Column::Model) => "model",
        Some(Column::Years) => "years",
        Some(Column::Only) => "only",
        Some(Column::Point) => "point",
        Some(Column::Basis) => "basis",
        Some(Column::By) => "by",
        Some(Column::On) => "on",
        Some(Column::Seen) => "seen",
        Some(Column::Remark | Column::Reason | Column::Asked) => "remark",
    };
    format!("--{name}")
}

/// The words of a command line, parted into values of fields and words for a vehicle.
///
/// # Errors
/// A field that is given twice, a name that is neither a field nor an attribute.
pub fn part(words: &[String], form: &mut Form, language: &Language) -> Result<Vec<String>, Failure> {
    let mut vehicle = Vec::new();
    for word in words {
        let Some((name, text)) = word.split_once('=') else {
            vehicle.push(word.clone());
            continue;
        };
        match language.catalogue.field(&name.trim().to_lowercase()) {
            Some(_) if text.trim().is_empty() => {
                let hint = format!("write {name}=VALUE, or leave {name} out where it is not known");
                return Err(Failure::hinted(format!("nothing stands after '{name}='"), hint));
            }
            Some(field) if form.lacks(Column::Field(field)) => form.set(Column::Field(field), text),
            Some(_) => return Err(Failure::misuse(format!("{name} is given twice; a note has one"))),
            None if names_vehicle(name, language) => vehicle.push(word.clone()),
            None => return Err(no_such_name(name, language)),
        }
    }
    Ok(vehicle)
}

fn names_vehicle(name: &str, language: &Language) -> bool {
    let known = ["year", "built", "vin"].iter().any(|known| name.trim().eq_ignore_ascii_case(known));
    known || language.vocabulary().read_name(name).is_ok()
}

fn no_such_name(name: &str, language: &Language) -> Failure {
    let fields = language.catalogue.fields.iter().map(|field| &*field.name);
    let attributes = language.vocabulary().attributes().iter().map(|attribute| &*attribute.name);
    let hint = match crate::vehicle::suggestions(name, fields.chain(attributes)).first() {
        Some(near) => format!("the nearest is '{near}'; `baybook points POINT` lists the fields of a point"),
        None => "`baybook points POINT` lists the fields of a point".to_owned(),
    };
    Failure::hinted(format!("'{name}' is neither a field of a point nor an attribute of a vehicle"), hint)
}

/// What words say of a vehicle.
#[derive(Debug, Default)]
pub struct Described {
    /// Maker and model, where the book has them.
    pub model: Option<(String, String)>,
    /// Years that are claimed, where a range of them was written.
    pub years: Option<String>,
    /// The year of the one vehicle.
    pub year: Option<ModelYear>,
    /// The vehicle without its year, as a `seen` text has it.
    pub attributes: String,
    /// No vehicle was looked at, whatever the basis.
    pub unseen: bool,
    /// Words that were not understood.
    pub left: Vec<String>,
    /// Words that were read as others.
    pub forgiven: Vec<(String, String)>,
    /// Names of the book that resemble what was written.
    pub near: Vec<String>,
}

impl Described {
    /// Whether the words name a model that the book has, and nothing that it does not understand.
    #[must_use]
    pub fn is_known(&self) -> bool {
        self.model.is_some() && self.left.is_empty() && self.forgiven.is_empty()
    }
}

/// Nobody is known: for words beside a maker and a model that are named by themselves.
struct Nobody;

impl Names for Nobody {
    type Id = crate::book::ModelId;
    type Error = BookError;

    fn called(&self, _: &str) -> Result<Vec<Name<Self::Id>>, BookError> {
        Ok(Vec::new())
    }

    fn all(&self) -> Result<Vec<Name<Self::Id>>, BookError> {
        Ok(Vec::new())
    }
}

/// Reads words for a vehicle. `named` says that maker and model are told elsewhere.
///
/// # Errors
/// A year or an attribute that cannot be taken, several models of one name, a book that cannot be read.
pub fn describe(
    words: &[String],
    named: bool,
    language: &Language,
    book: &Book,
) -> Result<Described, Failure> {
    let mut described = Described::default();
    let mut rest = Vec::new();
    for word in words.iter().flat_map(|word| word.split_whitespace()) {
        match several_years(word, language) {
            Some(years) if described.years.is_none() => described.years = Some(years),
            _ => rest.push(word.to_owned()),
        }
    }
    let resolved = if named { resolve(&rest, language, &Nobody)? } else { resolve(&rest, language, book)? };
    if let Some(misread) = resolved.no_year {
        return Err(Failure::hinted(
            misread.message,
            "write the year of the vehicle, or --years for a range",
        ));
    }
    if let Some(misread) = resolved.two_ways {
        return Err(Failure::misuse(misread.message));
    }
    if let Some(problem) = resolved.problems.first() {
        return Err(Failure::misuse(problem.clone()));
    }
    if resolved.models.len() > 1 {
        let names: Vec<String> = resolved.models.iter().map(called).collect();
        let message = format!("several vehicles are possible: {}", listed(&names, "or"));
        return Err(Failure::hinted(message, "name the maker as well"));
    }
    described.model = resolved.models.first().map(|name| (name.make.clone(), name.model.clone()));
    described.year = resolved.vehicle.year();
    described.attributes = attributes(&resolved, words);
    described.left = resolved.not_understood;
    described.forgiven = resolved.forgiven;
    described.near = resolved.near;
    Ok(described)
}

fn called<I>(name: &Name<I>) -> String {
    format!("{} {}", name.make, name.model)
}

/// The canonical text of a word that means several model years.
fn several_years(word: &str, language: &Language) -> Option<String> {
    let figures = word.contains(|c: char| c.is_ascii_digit());
    let years = Years::parse(word, language.year()).ok().filter(|_| figures)?;
    years.only_step().is_none().then(|| years.to_string())
}

/// What is known of the vehicle but its year. A side of the driver that was written is kept even where it is the one
/// that absence means: in another shop it is not.
fn attributes<I>(resolved: &Resolved<I>, words: &[String]) -> String {
    let vehicle = resolved.vehicle.clone().without_year();
    let mut text = vehicle.to_string();
    let said = words.iter().any(|word| Language::names_drive(word));
    if said && !vehicle.attributes().contains_key(DRIVE) {
        let lead = if text.is_empty() { "" } else { "; " };
        text.push_str(&format!("{lead}{DRIVE}={DEFAULT_DRIVE}"));
    }
    text
}

/// Fills in what follows from the words: for an observation they are the vehicle that was looked at, for a diagram or
/// word of mouth the vehicles that are claimed. What a flag says stays.
pub fn settle(form: &mut Form, described: &Described) {
    let year = described.year.map(|year| year.to_string());
    let observed = Basis::parse(form.get(Column::Basis)).is_some_and(Basis::is_observation);
    let known = [year.clone().unwrap_or_default(), described.attributes.clone()];
    let looked_at = known.iter().filter(|part| !part.is_empty()).cloned().collect::<Vec<_>>().join("; ");
    if observed && form.lacks(Column::Seen) && !described.unseen {
        form.set(Column::Seen, &looked_at);
    } else if form.lacks(Column::Only) {
        form.set(Column::Only, &described.attributes);
    }
    if form.lacks(Column::Years) {
        form.set(Column::Years, described.years.as_ref().or(year.as_ref()).map_or("", String::as_str));
    }
    if let (Some((make, model)), true) = (&described.model, form.lacks(Column::Model)) {
        form.set(Column::Make, make);
        form.set(Column::Model, model);
    }
}
