//! The form of `schema/points.toml`, and of a shop's own `points.toml` beside its book.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::pairs::Pairs;

/// The file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    /// The version of the form.
    pub version: u32,
    /// Fields by name.
    #[serde(default)]
    pub field: BTreeMap<String, Field>,
    /// Points by name, in the order in which they are shown.
    #[serde(default)]
    pub point: Pairs<Point>,
    /// What goes with every answer.
    #[serde(default)]
    pub cautions: Cautions,
}

/// `[cautions]`
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Cautions {
    /// Those that go with every answer.
    #[serde(default)]
    pub general: Vec<String>,
}

/// `[field.name]`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Field {
    /// The kind of value: colour, place, code and so on.
    pub r#type: String,
    /// The words shown to a person.
    pub title: Option<String>,
    /// Of a quantity: what it measures.
    pub dimension: Option<String>,
    /// Of a quantity: the unit in which it is shown.
    pub unit: Option<String>,
    /// Of a quantity: whether a bare number is in that unit.
    #[serde(default)]
    pub bare: bool,
    /// Of a quantity: how far two may be apart and still be one.
    pub tolerance: Option<String>,
    /// Of a choice: each with the other words for it.
    pub choices: Option<BTreeMap<String, Vec<String>>>,
}

/// `[point.name]`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Point {
    /// The words shown to a person.
    pub title: String,
    /// Other words that people write for it.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// `one` or `several` on a vehicle.
    pub answers: Answers,
    /// The names of its fields, in the order in which they are shown.
    pub fields: Vec<String>,
    /// Which of them say of which instance a note speaks.
    #[serde(default)]
    pub identified_by: Vec<String>,
    /// Which of them have to agree for one instance.
    #[serde(default)]
    pub must_agree: Vec<String>,
    /// Points whose function may be on the same wire.
    #[serde(default)]
    pub may_share: Vec<String>,
    /// What it is and what it is for.
    #[serde(default)]
    pub about: String,
    /// The meter check that proves it.
    #[serde(default)]
    pub check: String,
    /// What can go wrong here, beside the general cautions.
    #[serde(default)]
    pub cautions: Vec<String>,
}

/// Whether a vehicle has one answer or several for a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answers {
    /// One: a vehicle has one brake switch.
    One,
    /// Several: a vehicle has several good grounds.
    Several,
}
