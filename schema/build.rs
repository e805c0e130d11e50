//! Reads the files of `schema/` when the program is built, and puts them into few bytes that it reads quickly at each
//! start; the lexicon, which every search needs whole, becomes constants (`written`). A file that is not in its form
//! stops the build, with the place.

#[path = "../src/value/lexicon/build.rs"]
mod build;
#[path = "../src/schema/doubt.rs"]
mod doubt;
#[path = "../src/value/lexicon/fold.rs"]
#[allow(dead_code, reason = "words are only folded here, and asked in the program")]
mod fold;
#[path = "../src/schema/lexicon.rs"]
mod lexicon;
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
#[path = "../src/schema/vehicle.rs"]
mod vehicle;
mod written;

/// The forms by the name that they have in the program.
mod schema {
    pub(crate) use super::lexicon;
}

use std::path::{Path, PathBuf};
use std::{env, fs};

use serde::Serialize;
use serde::de::DeserializeOwned;

fn main() {
    // A program at a fixed place needs no relocating at a start; many tables of this one hold addresses.
    let of_target = |name: &str| env::var(format!("CARGO_CFG_TARGET_{name}")).unwrap_or_default();
    if of_target("OS") == "linux" && of_target("ENV") == "gnu" {
        println!("cargo::rustc-link-arg-bins=-no-pie");
    }
    let attributes = compile::<vehicle::File>("vehicle");
    write("attributes.rs", written::attributes(&attributes).as_bytes());
    compile::<doubt::File>("doubt");
    let lexicon =
        build::lexicon(read("lexicon")).unwrap_or_else(|error| panic!("schema/lexicon.toml: {error}"));
    write("lexicon.rs", written::lexicon(&lexicon).as_bytes());
    let points = compile::<points::File>("points");
    write("phrases.rs", written::phrases(&points, &lexicon).as_bytes());
}

/// Reads `schema/NAME.toml` and writes `NAME.bin` for the program to include.
fn compile<T: Serialize + DeserializeOwned>(name: &str) -> T {
    let file: T = read(name);
    let bytes = postcard::to_allocvec(&file).expect("every form can be written");
    write(&format!("{name}.bin"), &bytes);
    file
}

/// Reads `schema/NAME.toml`.
fn read<T: DeserializeOwned>(name: &str) -> T {
    let from = PathBuf::from(format!("schema/{name}.toml"));
    println!("cargo::rerun-if-changed={}", from.display());
    let text = fs::read_to_string(&from).unwrap_or_else(|error| panic!("{}: {error}", from.display()));
    toml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", from.display()))
}

/// Writes a file for the program to include.
fn write(name: &str, bytes: &[u8]) {
    let out = env::var_os("OUT_DIR").expect("cargo names a directory for what is built");
    let to = Path::new(&out).join(name);
    fs::write(&to, bytes).unwrap_or_else(|error| panic!("{}: {error}", to.display()));
}
