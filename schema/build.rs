//! Reads the files of `schema/` when the program is built, and puts them into few bytes that it reads quickly at each
//! start. A file that is not in its form stops the build, with the place.

#[path = "../src/schema/doubt.rs"]
mod doubt;
#[path = "../src/schema/lexicon.rs"]
mod lexicon;
#[path = "../src/schema/pairs.rs"]
mod pairs;
#[path = "../src/schema/points.rs"]
mod points;
#[path = "../src/schema/vehicle.rs"]
mod vehicle;

use std::path::{Path, PathBuf};
use std::{env, fs};

use serde::Serialize;
use serde::de::DeserializeOwned;

fn main() {
    compile::<points::File>("points");
    compile::<vehicle::File>("vehicle");
    compile::<lexicon::File>("lexicon");
    compile::<doubt::File>("doubt");
}

/// Reads `schema/NAME.toml` and writes `NAME.bin` for the program to include.
fn compile<T: Serialize + DeserializeOwned>(name: &str) {
    let from = PathBuf::from(format!("schema/{name}.toml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = fs::read_to_string(&from).unwrap_or_else(|error| panic!("{}: {error}", from.display()));
    let file: T = toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", from.display()));
    let bytes = postcard::to_allocvec(&file).expect("every form can be written");
    let out = env::var_os("OUT_DIR").expect("cargo names a directory for what is built");
    let to = Path::new(&out).join(format!("{name}.bin"));
    fs::write(&to, bytes).unwrap_or_else(|error| panic!("{}: {error}", to.display()));
}
