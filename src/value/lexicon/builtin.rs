//! The lexicon that comes with the program, as `schema/build.rs` made it of `schema/lexicon.toml`: constants, so that
//! nothing is made at a start.

use std::borrow::Cow::Borrowed;

use super::build::Made;
use super::fold::Words;
use super::phrases::{Node, Phrases};
use super::side::Sides;
use super::table::{Composition, Concept, ConceptId, Kind};

/// All of it.
pub(super) static MADE: Made = include!(concat!(env!("OUT_DIR"), "/lexicon.rs"));
