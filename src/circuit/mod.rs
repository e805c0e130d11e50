//! One circuit: from load, run and surroundings to conductor, protection, joints and the hole in the metal.
//!
//! Pure: nothing is stored and nothing printed. Every table stands with its source in `schema/`, every constant with
//! its source beside it. `request` says what is asked, `choice` chooses, `trial` holds all figures of one conductor,
//! `mend` says what would make the impossible possible, `answer` is all of it together. The rest are the parts that they
//! use.

pub mod ampacity;
pub mod answer;
pub mod choice;
pub mod conductor;
pub mod heat;
pub mod mend;
pub mod packing;
pub mod passage;
pub mod path;
pub mod protection;
pub mod request;
mod tables;
pub mod terminal;
pub mod trial;
pub mod units;
pub mod written;

pub use tables::Kind;
