//! The vehicle: what is asked about, what was seen, what a note claims to cover.
//!
//! This room owns model years, build dates, the attributes of `schema/vehicle.toml`, the scope of
//! a note with its three-valued matching, the VIN, and the comparison of names. Make and model
//! are plain names here: which of them exist is the book's business.

pub mod attribute;
pub mod boxes;
pub mod built;
pub mod grid;
pub mod matching;
pub mod names;
pub mod partial;
pub mod scope;
pub mod span;
pub mod vin;
pub mod years;

pub use attribute::{Attribute, Vocabulary, VocabularyError, WordsRead};
pub use boxes::{fewest, simplify};
pub use built::{Built, YearMonth};
pub use matching::{Match, covers, differs, matters};
pub use names::{fold, nearest, suggestions};
pub use partial::Vehicle;
pub use scope::{Only, Scope};
pub use span::{Span, Step};
pub use vin::{CheckDigit, Vin, VinPattern, VinYear};
pub use years::{ModelYear, Years};

/// The name of the model year where a dimension has to be named.
pub const YEAR: &str = "year";
/// The name of the build date where a dimension has to be named.
pub const BUILT: &str = "built";
/// The attribute that tells on which side the driver sits.
pub const DRIVE: &str = "drive";
/// What `drive` means where nobody wrote it.
pub const DEFAULT_DRIVE: &str = "lhd";
/// The other value of `drive`.
pub const OTHER_DRIVE: &str = "rhd";

/// `text` in quotes for a message: cut after 60 characters, controls made visible.
pub(crate) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars().take(60) {
        if c.is_control() { out.extend(c.escape_default()) } else { out.push(c) }
    }
    if text.chars().nth(60).is_some() {
        out.push('…');
    }
    out.push('"');
    out
}
