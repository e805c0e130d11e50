//! The catalogue: which points there are, which fields each has, and how a text of a field is read.
//!
//! Points are data (`schema/points.toml`, and a shop's own `points.toml` beside its book). This file
//! owns reading that data and checking it; how a value of one type is parsed and compared is `value`'s.

use std::borrow::Cow::Borrowed;

use serde::Deserialize;
use serde::de::IntoDeserializer;
use serde::de::value::Error as NotOne;

pub use crate::schema::points::Answers;
use crate::schema::points::{Field as FieldEntry, File, Point as PointEntry};
use crate::schema::{List, Text};
use crate::value::quantity::{Dimension, Measure, Rule, Tolerance, Unit, unit_named};
use crate::value::{Choices, FieldKind};

/// One typed value inside a point.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The name that is written in files and on the command line: `colour`, `at`.
    pub name: Text,
    /// The words shown to a person.
    pub title: Text,
    /// How its text is read and compared.
    pub kind: FieldKind,
}

/// A kind of thing worth knowing on a vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// `brake-signal`.
    pub name: Text,
    /// The words shown to a person.
    pub title: Text,
    /// Other words that people write for it.
    pub aliases: List<Text>,
    /// One answer or several.
    pub answers: Answers,
    /// Its fields in the order they are shown: numbers into `Catalogue::fields`.
    pub fields: List<usize>,
    /// The fields that say which instance a note speaks of.
    pub identified_by: List<usize>,
    /// The fields that have to agree for one instance.
    pub must_agree: List<usize>,
    /// Points whose function may be on the same wire.
    pub may_share: List<Text>,
    /// What it is and what it is for.
    pub about: Text,
    /// The meter check that proves it.
    pub check: Text,
    /// What can go wrong here, beside the general cautions.
    pub cautions: List<Text>,
    /// Whether the shop's own file says all this, and not the one that comes with the program.
    pub own: bool,
}

impl Point {
    /// Everything that it is called: its name, its title, and the other words for it.
    pub fn phrases(&self) -> impl Iterator<Item = &str> {
        [&self.name, &self.title].into_iter().chain(&*self.aliases).map(|text| &**text)
    }
}

/// All points and fields of one book.
#[derive(Debug, Clone, PartialEq)]
pub struct Catalogue {
    /// Every field, by number.
    pub fields: List<Field>,
    /// Every point, by number.
    pub points: List<Point>,
    /// The cautions that go with every answer.
    pub cautions: List<Text>,
}

/// The catalogue that comes with the program, made when it was built.
static BUILTIN: Catalogue = include!(concat!(env!("OUT_DIR"), "/catalogue.rs"));

/// A catalogue file that cannot be used: where, and what would be right.
#[derive(Debug, thiserror::Error)]
#[error("{file}: {message}")]
pub struct CatalogueError {
    file: String,
    message: String,
}

impl Catalogue {
    /// The built-in catalogue with a shop's own points and fields laid over it.
    ///
    /// # Errors
    /// A file that is not TOML of this shape, an unknown type, unit or field: named with the place.
    pub fn load(own: Option<(&str, &str)>) -> Result<Self, CatalogueError> {
        let mut catalogue = BUILTIN.clone();
        if let Some((name, text)) = own {
            let fail = |message| CatalogueError { file: name.to_owned(), message };
            let file = toml::from_str(text).map_err(|error| fail(error.to_string()))?;
            catalogue.lay_over(file, true).map_err(fail)?;
        }
        Ok(catalogue)
    }

    /// The number of the field called `name`.
    #[must_use]
    pub fn field(&self, name: &str) -> Option<usize> {
        self.fields.iter().position(|field| field.name == name)
    }

    /// The number of the point called `name`, by its exact name.
    #[must_use]
    pub fn point(&self, name: &str) -> Option<usize> {
        self.points.iter().position(|point| point.name == name)
    }

    /// The point that a person means by `words`: its name, title or an alias, whatever the case,
    /// hyphens and spaces.
    #[must_use]
    pub fn point_by_words(&self, words: &str) -> Option<usize> {
        // A name as it is written is the usual case, and what is folded to the same is the same point.
        if let Some(point) = self.point(words) {
            return Some(point);
        }
        let wanted = crate::vehicle::names::fold(words);
        self.points
            .iter()
            .position(|point| point.phrases().any(|known| crate::vehicle::names::fold(known) == wanted))
    }

    /// The points whose name, title or an alias contains all of `words`, whatever the case: `stop`, `brake`.
    pub fn points_with<'a>(&'a self, words: &str) -> impl Iterator<Item = &'a Point> + use<'a> {
        let wanted: Vec<String> = words.to_lowercase().split([' ', '-']).map(str::to_owned).collect();
        let contains = move |known: &str| {
            let known = known.to_lowercase();
            wanted
                .iter()
                .all(|word| !word.is_empty() && known.split([' ', '-']).any(|own| own.starts_with(word)))
        };
        self.points.iter().filter(move |point| point.phrases().any(&contains))
    }

    /// What to try instead of a name that no point has.
    #[must_use]
    pub fn hint(&self, text: &str) -> String {
        const LISTED: usize = 8;
        let near = crate::vehicle::names::nearest(text, self.points.iter().map(|point| &*point.name));
        if let Some(near) = near.first() {
            return format!("the nearest is '{near}'; `baybook points` lists them all");
        }
        let with: Vec<&str> = self.points_with(text).map(|point| &*point.name).collect();
        match with.len() {
            0 => "`baybook points` lists them all".to_owned(),
            1..=LISTED => format!("points that go by that word: {}", with.join(", ")),
            more => format!(
                "points that go by that word: {} and {} more; `baybook points` lists them all",
                with[..LISTED].join(", "),
                more - LISTED
            ),
        }
    }

    fn lay_over(&mut self, file: File, own: bool) -> Result<(), String> {
        if file.version != 1 {
            return Err(format!("version {} is not known; this program reads version 1", file.version));
        }
        for (name, entry) in file.field {
            let field = field(&name, entry)?;
            match self.field(&name) {
                Some(at) => self.fields.to_mut()[at] = field,
                None => self.fields.to_mut().push(field),
            }
        }
        for (name, entry) in file.point.0 {
            let point = Point { own, ..self.build_point(&name, entry)? };
            match self.point(&name) {
                Some(at) => self.points.to_mut()[at] = point,
                None => self.points.to_mut().push(point),
            }
        }
        self.cautions.to_mut().extend(texts(file.cautions.general).into_owned());
        Ok(())
    }

    fn build_point(&self, name: &str, entry: PointEntry) -> Result<Point, String> {
        let find = |list: &[String]| -> Result<Vec<usize>, String> {
            list.iter()
                .map(|field| {
                    self.field(field).ok_or_else(|| {
                        format!(
                            "[point.{name}] names the field '{field}', which [field.{field}] does not define"
                        )
                    })
                })
                .collect()
        };
        let (fields, identified_by, must_agree) =
            (find(&entry.fields)?, find(&entry.identified_by)?, find(&entry.must_agree)?);
        if let Some(stray) = identified_by.iter().chain(&must_agree).find(|field| !fields.contains(field)) {
            return Err(format!(
                "[point.{name}] compares '{}', which is not among its fields",
                self.fields[*stray].name
            ));
        }
        Ok(Point {
            name: name.to_owned().into(),
            title: entry.title.into(),
            aliases: texts(entry.aliases),
            answers: entry.answers,
            fields: fields.into(),
            identified_by: identified_by.into(),
            must_agree: must_agree.into(),
            may_share: texts(entry.may_share),
            about: entry.about.into(),
            check: entry.check.into(),
            cautions: texts(entry.cautions),
            own: false,
        })
    }
}

fn texts(list: Vec<String>) -> List<Text> {
    list.into_iter().map(Text::Owned).collect()
}

fn field(name: &str, entry: FieldEntry) -> Result<Field, String> {
    let kind = match entry.r#type.as_str() {
        "colour" => FieldKind::Colour,
        "place" => FieldKind::Place,
        "code" => FieldKind::Code,
        "thread" => FieldKind::Thread,
        "prose" => FieldKind::Prose,
        "quantity" => FieldKind::Quantity(rule(name, &entry)?),
        "choice" => {
            let choices =
                entry.choices.ok_or_else(|| format!("[field.{name}] is a choice without `choices`"))?;
            FieldKind::Choice(Choices::new(choices).map_err(|message| format!("[field.{name}] {message}"))?)
        }
        other => {
            return Err(format!(
                "[field.{name}] has the type '{other}'; known are colour, place, code, thread, quantity, choice, prose"
            ));
        }
    };
    let title = entry.title.unwrap_or_else(|| name.to_owned()).into();
    Ok(Field { name: name.to_owned().into(), title, kind })
}

fn rule(name: &str, entry: &FieldEntry) -> Result<Rule, String> {
    let dimension_text = entry
        .dimension
        .as_deref()
        .ok_or_else(|| format!("[field.{name}] is a quantity without `dimension`"))?;
    let dimension = Dimension::deserialize(dimension_text.into_deserializer())
        .map_err(|error: NotOne| format!("[field.{name}] has an unusable dimension: {error}"))?;
    let unit_text =
        entry.unit.as_deref().ok_or_else(|| format!("[field.{name}] is a quantity without `unit`"))?;
    let unit = unit_named(unit_text).filter(|unit| unit.dimension() == dimension).ok_or_else(|| {
        format!("[field.{name}] has the unit '{unit_text}', which does not measure its dimension")
    })?;
    let tolerance = match &entry.tolerance {
        Some(text) => tolerance(text, dimension).ok_or_else(|| {
            format!("[field.{name}] has the tolerance '{text}'; write it like '0.5 mm' or '3 %'")
        })?,
        None => Rule::for_unit(unit).tolerance,
    };
    Ok(Rule { unit, bare: entry.bare, tolerance })
}

/// Reads `0.5 mm` or `3 %`; nothing where it is neither, or of another dimension than the field's.
fn tolerance(text: &str, dimension: Dimension) -> Option<Tolerance> {
    let (number, unit) = text.trim().split_once(' ')?;
    let number: f64 = number.parse().ok().filter(|number: &f64| number.is_finite() && *number >= 0.0)?;
    if unit.trim() == "%" {
        return Some(Tolerance::Relative(number / 100.0));
    }
    let unit = unit_named(unit).filter(|unit| unit.dimension() == dimension)?;
    Some(Tolerance::Absolute(Measure::new(number, unit)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_catalogue_is_what_its_file_says() {
        let file = toml::from_str(include_str!("../schema/points.toml")).expect("the form of the file");
        let mut read =
            Catalogue { fields: List::default(), points: List::default(), cautions: List::default() };
        read.lay_over(file, false).expect("everything in it holds together");
        assert_eq!(BUILTIN, read, "what was made when the program was built");
    }
}
