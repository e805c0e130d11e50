//! Writes the invented corpus: the note sheets of a shop that never was, about vehicles that were never
//! built. The dice are seeded, so the files come out the same each time.
//!
//!     cargo run --example make_corpus -- corpus

mod aftermath;
mod dice;
mod facts;
mod fleet;
mod hands;
mod note;
mod office;
mod places;
mod readme;
mod remarks;
mod sheet;
mod shop;
mod signals;
mod spelling;
mod stories;
mod truth;
mod voice;

use std::path::PathBuf;

const SEED: u64 = 20_190_107;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args_os().nth(1).map(PathBuf::from).ok_or("usage: make_corpus FOLDER")?;
    std::fs::create_dir_all(&folder)?;
    let mut notes = stories::notes(SEED)?;
    notes.extend(shop::notes(SEED));
    let counts = sheet::SHEETS.iter().map(|s| s.write(&folder, &notes)).collect::<Result<Vec<_>, _>>()?;
    std::fs::write(folder.join("README.md"), readme::text(&counts))?;
    Ok(())
}
