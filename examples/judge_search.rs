//! Prints how well search does on the judged set of `tests/search/`: `judge_search [table|worst|queries|sheet] [SEED] [N]`.
//!
//! `table` is what the test measures, `worst` shows for each class the N queries for tuning that are answered worst,
//! `queries` lists all of them with how many notes have each grade, `sheet` writes the notes. Another seed makes another
//! set of the same kind. The program asked is the `baybook` of the same build: run `cargo build` first.

#[path = "../tests/search/amount.rs"]
mod amount;
#[path = "../tests/search/ask.rs"]
mod ask;
#[path = "../tests/search/class.rs"]
mod class;
#[path = "../tests/search/clue.rs"]
mod clue;
#[path = "../tests/simulation/dice.rs"]
mod dice;
#[path = "../tests/search/fts5.rs"]
mod fts5;
#[path = "../tests/search/judged.rs"]
mod judged;
#[path = "../tests/search/kinds.rs"]
mod kinds;
#[path = "../tests/search/meaning.rs"]
mod meaning;
#[path = "../tests/search/measure.rs"]
mod measure;
#[path = "../tests/search/need.rs"]
mod need;
#[path = "../tests/search/program.rs"]
mod program;
#[path = "../tests/search/slips.rs"]
mod slips;
#[path = "../tests/search/spot.rs"]
mod spot;
#[path = "../tests/search/table.rs"]
mod table;
#[path = "../tests/search/wire.rs"]
mod wire;
#[path = "../tests/search/world.rs"]
mod world;

use std::io::Write;
use std::path::PathBuf;

use ask::Query;
use fts5::Fts5;
use judged::{Judged, SEED};
use program::Program;

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let wanted = arguments.next().unwrap_or_else(|| "table".to_owned());
    let seed = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(SEED);
    let of_each = arguments.next().and_then(|text| text.parse().ok()).unwrap_or(4);
    let judged = Judged::new(seed);
    let mut out = std::io::stdout().lock();
    match wanted.as_str() {
        "sheet" => out.write_all(&meaning::sheet(&judged.notes)),
        "queries" => judged.queries.iter().try_for_each(|query| writeln!(out, "{}", listed(&judged, query))),
        _ => {
            let path = built()?;
            let program = Program::new(&path, &judged.notes);
            // A search that fails finds nothing; it is told.
            let ours = judged.ask(|query| {
                program.search(query).unwrap_or_else(|told| {
                    writeln!(std::io::stderr(), "{told}").expect("somewhere to tell it");
                    Vec::new()
                })
            });
            let plain = Fts5::new(&judged.notes);
            let theirs = judged.ask(|query| plain.search(query));
            if wanted == "worst" {
                write!(out, "{}", table::worst(&judged, &ours, of_each))?;
            }
            write!(out, "{}", table::of(&[("baybook", &ours), ("FTS5", &theirs)]))
        }
    }
}

/// The program beside this example's folder.
fn built() -> std::io::Result<PathBuf> {
    let own = std::env::current_exe()?;
    Ok(own.ancestors().nth(2).unwrap_or(&own).join("baybook"))
}

/// A query: its class, its half, how many notes have the grades 3, 2 and 1, its words.
fn listed(judged: &Judged, query: &Query) -> String {
    let of = |grade| judged.notes.iter().filter(|note| query.need.grade(&note.meaning) == grade).count();
    let half = if query.for_tuning { "tuning" } else { "reported" };
    format!("{}\t{half}\t{}/{}/{}\t{}", query.class.name(), of(3), of(2), of(1), query.text)
}
