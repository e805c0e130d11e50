//! The constants of the model for doubt, from `schema/doubt.toml`, where each is explained.

use std::sync::OnceLock;

use serde::Deserialize;

use crate::note::Basis;

/// The constants.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Doubt {
    version: u32,
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
#[expect(missing_docs, reason = "explained in the file")]
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
#[expect(missing_docs, reason = "explained in the file")]
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
#[expect(missing_docs, reason = "explained in the file")]
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

impl Doubt {
    /// Reads constants.
    ///
    /// # Errors
    /// What is no TOML of this shape, or patterns that do not add up to one.
    fn parse(text: &str) -> Result<Self, String> {
        let doubt: Self = toml::from_str(text).map_err(|error| error.to_string())?;
        let whole = doubt.patterns.whole();
        match (whole - 1.0).abs() < 1e-9 {
            true => Ok(doubt),
            false => Err(format!("the patterns add up to {whole}, which should be 1")),
        }
    }

    /// The constants that the program brings.
    ///
    /// # Panics
    /// Never in a build that passed its tests: they read the same file.
    #[must_use]
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Doubt> = OnceLock::new();
        BUILTIN.get_or_init(|| match Self::parse(include_str!("../../../schema/doubt.toml")) {
            Ok(doubt) => doubt,
            Err(error) => unreachable!("the constants that are built in: {error}"),
        })
    }

    /// The chance of a slip in a note with this basis.
    #[must_use]
    pub fn slip(&self, basis: Basis) -> f64 {
        match basis {
            Basis::Metered => self.slips.metered,
            Basis::Fitted => self.slips.fitted,
            Basis::Inspected | Basis::Told => self.slips.inspected,
            Basis::Diagram => self.slips.diagram,
        }
    }
}

impl Patterns {
    /// The sum of all.
    pub(super) fn whole(&self) -> f64 {
        self.none + self.year + self.two_years + self.attribute + self.built + self.year_and_attribute
    }
}
