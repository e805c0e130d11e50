//! The form of `schema/doubt.toml`, which explains each of the constants.

use serde::Deserialize;

/// The constants.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct File {
    /// The version of the form.
    pub version: u32,
    /// How often each kind of pattern is what is true.
    pub patterns: Patterns,
    /// Where changes fall.
    pub changes: Changes,
    /// How often what was written is not what is so.
    pub slips: Slips,
    /// How firmly the shares are believed.
    pub learning: Learning,
}

/// How often each kind of pattern is what is true of a point of a model.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
#[allow(missing_docs, reason = "explained in the file")]
pub struct Patterns {
    pub none: f64,
    pub year: f64,
    pub two_years: f64,
    pub attribute: f64,
    pub built: f64,
    pub year_and_attribute: f64,
}

/// Where changes fall.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
#[allow(missing_docs, reason = "explained in the file")]
pub struct Changes {
    pub life: f64,
    pub together: f64,
    pub scope_names_year: f64,
    pub scope_names_attribute: f64,
    pub unnamed_attributes: f64,
    pub other_values: f64,
}

/// How firmly the shares are believed.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Learning {
    /// As if so many cases had been counted.
    pub strength: f64,
}

/// Chances of slips.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
#[allow(missing_docs, reason = "explained in the file")]
pub struct Slips {
    pub metered: f64,
    pub fitted: f64,
    pub inspected: f64,
    pub diagram: f64,
    pub diagram_too_wide: f64,
    pub overlooked_tracer: f64,
    pub repeated: f64,
    pub confused: f64,
    pub year_off: f64,
    pub unseen: f64,
}
