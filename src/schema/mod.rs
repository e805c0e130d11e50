//! The forms of the files in `schema/`, word for word as people write them, and the files that the program carries.
//!
//! The forms are compiled twice: `schema/build.rs` reads the TOML with them when the program is built and puts it
//! into few bytes, which are read back here quickly at each start. What the entries mean, and whether they hold
//! together, is for the catalogue, the vocabulary and the lexicon to say.

pub mod doubt;
pub mod lexicon;
pub mod pairs;
pub mod points;
pub mod vehicle;

use serde::de::DeserializeOwned;

/// The built-in catalogue of points.
pub fn points() -> points::File {
    carried(include_bytes!(concat!(env!("OUT_DIR"), "/points.bin")))
}

/// The built-in vocabulary of vehicle attributes.
pub fn vehicle() -> vehicle::File {
    carried(include_bytes!(concat!(env!("OUT_DIR"), "/vehicle.bin")))
}

/// The constants of the model for doubt.
pub fn doubt() -> doubt::File {
    carried(include_bytes!(concat!(env!("OUT_DIR"), "/doubt.bin")))
}

/// Reads what the build script wrote from the same form.
///
/// # Panics
/// Never: the bytes and the form are of one build.
fn carried<T: DeserializeOwned>(bytes: &[u8]) -> T {
    postcard::from_bytes(bytes).expect("the build wrote these bytes from this form")
}
