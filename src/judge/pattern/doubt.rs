//! The constants of the model for doubt, from `schema/doubt.toml`, where each is explained.

use crate::note::Basis;

pub use crate::schema::doubt::{Changes, File as Doubt, Patterns, Slips};
use crate::schema::doubt::{File, Learning};

/// The constants that the program brings, made when it was built.
static BUILTIN: Doubt = include!(concat!(env!("OUT_DIR"), "/doubt.rs"));

impl Doubt {
    /// The constants that the program brings.
    #[must_use]
    pub fn builtin() -> &'static Self {
        &BUILTIN
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

#[cfg(test)]
impl Patterns {
    /// The sum of all.
    pub(super) fn whole(&self) -> f64 {
        self.none + self.year + self.two_years + self.attribute + self.built + self.year_and_attribute
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_constants_are_what_their_file_says() {
        let read: Doubt =
            toml::from_str(include_str!("../../../schema/doubt.toml")).expect("the form of the file");
        assert_eq!(BUILTIN, read, "what was made when the program was built");
        assert!((read.patterns.whole() - 1.0).abs() < 1e-9, "the patterns add up to one");
    }
}
