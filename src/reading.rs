//! How a text is understood: any type that a field can have, a unit, years, a vehicle; and how two texts
//! relate. Makes every parser testable from outside.

use serde_json::{Map, Value as Json, json};

use crate::language::Language;
use crate::resolve::{Names, resolve};
use crate::value::place::DriveSide;
use crate::value::quantity::rule_for_unit;
use crate::value::{FieldKind, Misread, Problem, Relation, Value};
use crate::vehicle::{Vehicle, Years};

/// What texts are read as.
#[derive(Debug)]
pub enum Type {
    /// A type or a field of the catalogue.
    Field(FieldKind),
    /// Model years.
    Years,
    /// A vehicle.
    Vehicle,
}

/// A text as understood.
#[derive(Debug)]
pub struct Understood {
    /// Canonical text.
    pub value: String,
    /// In words that a person would say.
    pub plain: String,
    /// The parts.
    pub parts: Map<String, Json>,
    thing: Thing,
}

#[derive(Debug)]
enum Thing {
    Value(Value),
    Years(Years),
    Vehicle,
}

impl Type {
    /// The type that a word on the command line names: a type, a unit, or a field of the catalogue.
    #[must_use]
    pub fn parse(word: &str, language: &Language) -> Option<Self> {
        let kind = match word {
            "years" => return Some(Self::Years),
            "vehicle" => return Some(Self::Vehicle),
            "colour" | "color" => FieldKind::Colour,
            "place" => FieldKind::Place,
            "code" => FieldKind::Code,
            "thread" => FieldKind::Thread,
            "prose" => FieldKind::Prose,
            other => match (rule_for_unit(other), language.catalogue.field(other)) {
                (Some(rule), _) => FieldKind::Quantity(rule),
                (None, field) => language.catalogue.fields[field?].kind.clone(),
            },
        };
        Some(Self::Field(kind))
    }

    /// The words that `parse` knows beside units.
    #[must_use]
    pub fn known(language: &Language) -> Vec<&str> {
        let mut known = vec!["colour", "place", "code", "thread", "years", "vehicle", "prose"];
        known.extend(language.catalogue.fields.iter().map(|field| &*field.name));
        known.sort_unstable();
        known.dedup();
        known
    }

    /// Reads a text.
    ///
    /// # Errors
    /// What could not be read, or could be read in more than one way. The outer error is that of the names.
    pub fn read<N: Names>(
        &self,
        text: &str,
        language: &Language,
        drive: DriveSide,
        names: &N,
    ) -> Result<Result<Understood, Misread>, N::Error> {
        Ok(match self {
            Self::Field(kind) => Value::read(kind, text, drive).map(|value| Understood {
                value: value.to_string(),
                plain: value.plain(),
                parts: value.parts(),
                thing: Thing::Value(value),
            }),
            Self::Years => Years::parse(text, language.year()).map(|years| Understood {
                value: years.to_string(),
                plain: years.plain(),
                parts: Map::from_iter([("years".to_owned(), json!(years.ends()))]),
                thing: Thing::Years(years),
            }),
            Self::Vehicle => return vehicle(text, language, names),
        })
    }

    /// How two understood texts relate.
    #[must_use]
    pub fn relation(&self, a: &Understood, b: &Understood) -> Relation {
        match (self, &a.thing, &b.thing) {
            (_, Thing::Value(a), Thing::Value(b)) => a.relation(b),
            (_, Thing::Years(a), Thing::Years(b)) if a == b => Relation::Same,
            (_, Thing::Years(a), Thing::Years(b)) if a.contains(b) => Relation::SecondFiner,
            (_, Thing::Years(a), Thing::Years(b)) if b.contains(a) => Relation::FirstFiner,
            (_, Thing::Years(a), Thing::Years(b)) if !a.overlaps(b) => Relation::Different,
            (_, Thing::Vehicle, Thing::Vehicle) if a.value == b.value => Relation::Same,
            _ => Relation::Unknown,
        }
    }
}

fn vehicle<N: Names>(
    text: &str,
    language: &Language,
    names: &N,
) -> Result<Result<Understood, Misread>, N::Error> {
    let resolved = resolve(&[text.to_owned()], language, names)?;
    let models: Vec<String> =
        resolved.models.iter().map(|name| format!("{} {}", name.make, name.model)).collect();
    let known = resolved.vehicle.clone();
    if let Some(misread) = resolved.no_year.or(resolved.two_ways) {
        return Ok(Err(misread));
    }
    Ok(match models.as_slice() {
        [one] => Ok(understood_vehicle(one, &known, &resolved.not_understood, language)),
        [] if known != Vehicle::default() && resolved.near.is_empty() => {
            Ok(understood_vehicle("", &known, &resolved.not_understood, language))
        }
        [] => Err(Misread::new(Problem::Unreadable, format!("no vehicle of the book is meant by '{text}'"))
            .offering(resolved.near)),
        _ => {
            Err(Misread::new(Problem::Ambiguous, format!("'{text}' may mean several vehicles"))
                .offering(models))
        }
    })
}

fn understood_vehicle(
    model: &str,
    known: &Vehicle,
    not_understood: &[String],
    language: &Language,
) -> Understood {
    let mut parts = match json!(known.to_json()) {
        Json::Object(parts) => parts,
        _ => Map::new(),
    };
    parts.insert("model".to_owned(), if model.is_empty() { Json::Null } else { json!(model) });
    parts.insert("not_understood".to_owned(), json!(not_understood));
    let join = |tail: String| {
        [model.to_owned(), tail].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("; ")
    };
    let plain = if known.is_blank() { String::new() } else { known.describe(language.vocabulary()) };
    Understood { value: join(known.to_string()), plain: join(plain), parts, thing: Thing::Vehicle }
}
