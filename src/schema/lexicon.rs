//! The form of `schema/lexicon.toml`; its head says what each part is for.

use std::collections::BTreeMap;

use serde::Deserialize;

/// The file.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    /// Words that say nothing about a place.
    #[serde(default)]
    pub fillers: Vec<String>,
    /// Words with their other spellings.
    #[serde(default)]
    pub words: BTreeMap<String, Vec<String>>,
    /// Parts of a vehicle.
    #[serde(default)]
    pub component: Vec<Entry>,
    /// Areas, and parts found in many places.
    #[serde(default)]
    pub landmark: Vec<Entry>,
    /// Sides.
    #[serde(default)]
    pub side: Vec<Entry>,
    /// How something stands to a landmark.
    #[serde(default)]
    pub relation: Vec<Entry>,
}

/// One concept.
#[derive(Deserialize, Default)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// The canonical name.
    pub name: String,
    /// Other ways to write it.
    #[serde(default)]
    pub also: Vec<String>,
    /// What it lies within.
    #[serde(default)]
    pub within: Vec<String>,
    /// Whether its left is the vehicle's left.
    #[serde(default)]
    pub sided: bool,
    /// Whether it is an area of its own.
    #[serde(default)]
    pub apart: bool,
    /// Sides that go without saying.
    #[serde(default)]
    pub implied: Vec<String>,
    /// Ways to say it in parts: component, relation, landmark.
    #[serde(default)]
    pub made_of: Vec<[String; 3]>,
    /// Of a compound side: the plain ones.
    #[serde(default)]
    pub sides: Vec<String>,
    /// Of a relation: what cannot hold together with it of one landmark.
    pub opposite: Option<String>,
    /// Of a relation: whether what stands so to a part on the left is itself on the left.
    #[serde(default)]
    pub keeps_side: bool,
    /// Of a relation: whether it says no more than that the place is there.
    #[serde(default)]
    pub neutral: bool,
    /// Of a relation: whether its landmarks together are one statement.
    #[serde(default)]
    pub several: bool,
}
