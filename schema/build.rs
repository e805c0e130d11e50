//! Reads the files of `schema/` when the program is built, and makes constants of it (`written`), so that no start makes
//! them. A file that is not in its form, or does not hold together, stops the build, with the place.

#[path = "../src/value/lexicon/build.rs"]
mod build;
#[path = "../src/schema/constant.rs"]
#[allow(dead_code, reason = "constants are only made here, and asked in the program")]
mod constant;
#[path = "../src/schema/doubt.rs"]
mod doubt;
#[path = "../src/value/lexicon/fold.rs"]
#[allow(dead_code, reason = "words are only folded here, and asked in the program")]
mod fold;
#[path = "../src/schema/vehicle.rs"]
mod forms_of_vehicles;
#[path = "../src/schema/lexicon.rs"]
mod lexicon;
mod linking;
#[path = "../src/value/choice/list.rs"]
#[allow(dead_code, reason = "lists are only made here, and asked in the program")]
mod list;
#[path = "../src/vehicle/attribute/made.rs"]
#[allow(dead_code, reason = "read from a text in the program")]
mod made;
#[path = "../src/vehicle/names/fold.rs"]
mod names;
#[path = "../src/schema/pairs.rs"]
mod pairs;
#[path = "../src/value/lexicon/phrases.rs"]
#[allow(dead_code, reason = "phrases are only added here, and looked for in the program")]
mod phrases;
#[path = "../src/schema/points.rs"]
mod points;
#[path = "../src/value/lexicon/side.rs"]
#[allow(dead_code, reason = "sides are only named here, and compared in the program")]
mod side;
#[path = "../src/value/lexicon/table.rs"]
#[allow(dead_code, reason = "concepts are only made here, and asked in the program")]
mod table;
mod written;

/// The rooms by the names that they have in the program.
mod schema {
    pub(crate) use super::constant::*;
    pub(crate) use super::forms_of_vehicles as vehicle;
    pub(crate) use super::lexicon;
}

/// As `schema`.
mod vehicle {
    pub(crate) use super::names;
}

use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::{env, fs};

use serde::de::DeserializeOwned;

fn main() {
    linking::arrange();
    write("doubt", &written::doubt(&read("doubt")));
    write("vocabulary", &written::vocabulary(&sound("vehicle", made::vocabulary(read("vehicle")))));
    let lexicon = sound("lexicon", build::lexicon(read("lexicon")));
    write("lexicon", &written::lexicon(&lexicon));
    let points = read("points");
    write("phrases", &written::phrases(&points, &lexicon));
    write("catalogue", &sound("points", written::catalogue(points)));
}

/// What was made of `schema/NAME.toml`.
fn sound<T, E: Display>(name: &str, made: Result<T, E>) -> T {
    made.unwrap_or_else(|error| panic!("schema/{name}.toml: {error}"))
}

/// Reads `schema/NAME.toml`.
fn read<T: DeserializeOwned>(name: &str) -> T {
    let from = PathBuf::from(format!("schema/{name}.toml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = fs::read_to_string(&from).unwrap_or_else(|error| panic!("{}: {error}", from.display()));
    toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", from.display()))
}

/// Writes an expression for the program to include.
fn write(name: &str, expression: &str) {
    let out = env::var_os("OUT_DIR").expect("cargo names a directory for what is built");
    let to = Path::new(&out).join(format!("{name}.rs"));
    fs::write(&to, expression).unwrap_or_else(|error| panic!("{}: {error}", to.display()));
}
