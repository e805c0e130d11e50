//! How this shop's texts are read: the catalogue of points, the lexicon of places, the vocabulary of
//! vehicle attributes, the side on which the driver sits unless said, and the year that it is.

use crate::catalogue::{Catalogue, CatalogueError};
use crate::value::lexicon::Lexicon;
use crate::value::place::DriveSide;
use crate::value::{Misread, Value};
use crate::vehicle::{ModelYear, Vocabulary};

/// Everything that decides what a text means.
#[derive(Debug)]
pub struct Language {
    /// Points and fields.
    pub catalogue: Catalogue,
    /// Components, landmarks and sides.
    pub lexicon: &'static Lexicon,
    /// Attributes of vehicles.
    pub vocabulary: &'static Vocabulary,
    /// The side that counts where neither note nor question says it.
    pub drive: DriveSide,
    /// The day that it is.
    pub today: jiff::civil::Date,
}

impl Language {
    /// The built-in language, with a shop's own points laid over (name and text of its file).
    ///
    /// # Errors
    /// The shop's file cannot be used; the message names the place.
    pub fn new(own_points: Option<(&str, &str)>, drive: DriveSide, today: jiff::civil::Date) -> Result<Self, CatalogueError> {
        Ok(Self {
            catalogue: Catalogue::load(own_points)?,
            lexicon: Lexicon::builtin(),
            vocabulary: Vocabulary::builtin(),
            drive,
            today,
        })
    }

    /// The year that it is.
    #[must_use]
    pub fn year(&self) -> ModelYear {
        ModelYear(self.today.year().unsigned_abs())
    }

    /// Reads `text` as a value of `field`, the driver sitting on the shop's usual side.
    ///
    /// # Errors
    /// What could not be read, or could be read in more than one way.
    pub fn read(&self, field: usize, text: &str) -> Result<Value, Misread> {
        self.catalogue.read(field, text, self.lexicon, self.drive)
    }
}
