//! The form of `schema/vehicle.toml`.

use serde::Deserialize;

/// The file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    /// The attributes, in the order in which they are shown.
    pub attribute: Vec<Attribute>,
}

/// `[[attribute]]`
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Attribute {
    /// The canonical name.
    pub name: String,
    /// For a person.
    pub title: String,
    /// What to look at on the vehicle to tell.
    pub look: String,
    /// Other names that people write.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Whether values beside the listed ones are taken.
    #[serde(default)]
    pub open: bool,
    /// Whether every vehicle has exactly one of the listed values.
    #[serde(default)]
    pub complete: bool,
    /// The listed values.
    #[serde(default)]
    pub values: Vec<Value>,
}

/// One of `values`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Value {
    /// The canonical text.
    pub name: String,
    /// How a person says it.
    pub plain: String,
    /// Other words for it after `name=`.
    #[serde(default)]
    pub aliases: Vec<String>,
    /// Words that mean it without the attribute being named.
    #[serde(default)]
    pub phrases: Vec<String>,
}
