//! The constants of the model for doubt, from `schema/doubt.toml`, where each is explained.

use std::sync::OnceLock;

use crate::note::Basis;

/// The constants.
pub use crate::schema::doubt::{Changes, File as Doubt, Patterns, Slips};

impl Doubt {
    /// Constants of which the patterns add up to one.
    fn whole(doubt: Self) -> Result<Self, String> {
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
        BUILTIN.get_or_init(|| match Self::whole(crate::schema::doubt()) {
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
