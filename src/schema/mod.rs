//! The forms of the files in `schema/`, word for word as people write them.
//!
//! The forms are compiled twice: `schema/build.rs` reads the TOML with them when the program is built and makes constants
//! of it (`constant`), which stand with those who know what the entries mean: the catalogue, the vocabulary, the lexicon,
//! the model for doubt.

mod constant;
pub mod doubt;
pub mod lexicon;
pub mod pairs;
pub mod points;
pub mod vehicle;

pub use constant::{List, Sorted, Text, meaning};
