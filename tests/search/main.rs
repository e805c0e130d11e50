//! Search measured on a judged set, beside the plain thing that a shop could have done.
//!
//! `world` draws the notes of an invented shop, each with its meaning (`meaning`), in varied spellings (`wire`, `spot`,
//! `amount`, `kinds`); `ask`, `clue` and `slips` draw queries in seven classes (`class`); `need` judges every note for
//! every query. `measure` has the formulas, `fts5` and `program` are the searches, `table` tells. One half of the queries
//! is for tuning, the other is reported; `cargo run --example judge_search` shows what is answered worst.

mod amount;
mod ask;
mod class;
mod clue;
#[path = "../simulation/dice.rs"]
mod dice;
mod fts5;
mod judged;
mod kinds;
mod meaning;
mod measure;
mod need;
mod program;
mod slips;
mod spot;
mod table;
mod wire;
mod world;

use std::io::Write;
use std::path::Path;

use class::Class;
use fts5::Fts5;
use judged::{Judged, SEED, mean};
use program::Program;

/// Enough to measure with, on both halves. That each query has notes of grade 3 is seen to where it is made.
#[test]
fn the_set_is_large_enough() {
    let judged = Judged::new(SEED);
    assert!(judged.notes.len() >= 1_500, "{} notes", judged.notes.len());
    assert!(judged.queries.len() >= 150, "{} queries", judged.queries.len());
    for class in Class::ALL {
        for for_tuning in [true, false] {
            let of =
                judged.queries.iter().filter(|query| query.class == class && query.for_tuning == for_tuning);
            assert!(of.count() >= 10, "too few of {} on a half", class.name());
        }
    }
}

/// The least mean nDCG@10 over all reported queries, and over those of a class.
const LEAST: f64 = 0.95;
const LEAST_OF_CLASS: f64 = 0.9;

/// How much better than the plain thing it is at least.
const LEAST_AHEAD: f64 = 0.25;

#[test]
fn what_is_meant_is_found_and_the_plain_thing_does_not_find_it() {
    let judged = Judged::new(SEED);
    let program = Program::new(Path::new(env!("CARGO_BIN_EXE_baybook")), &judged.notes);
    let plain = Fts5::new(&judged.notes);
    let ours = judged.ask(|query| program.search(query).unwrap_or_else(|told| panic!("{told}")));
    let theirs = judged.ask(|query| plain.search(query));
    let table = table::of(&[("baybook", &ours), ("FTS5", &theirs)]);
    write!(std::io::stdout(), "{table}").expect("somewhere to tell it");
    let all = mean(&ours, false, None);
    assert!(all.ndcg >= LEAST, "{}\n{table}", table::worst(&judged, &ours, 3));
    for class in Class::ALL {
        assert!(mean(&ours, false, Some(class)).ndcg >= LEAST_OF_CLASS, "{}\n{table}", class.name());
    }
    assert!(all.ndcg >= mean(&theirs, false, None).ndcg + LEAST_AHEAD, "{table}");
}

/// A set on which the plain thing does well would measure nothing, and one on which it finds nothing is unfair to it.
#[test]
fn the_plain_thing_finds_part_of_it() {
    let judged = Judged::new(SEED);
    let plain = Fts5::new(&judged.notes);
    let theirs = judged.ask(|query| plain.search(query));
    let table = table::of(&[("FTS5", &theirs)]);
    write!(std::io::stdout(), "{table}").expect("somewhere to tell it");
    for for_tuning in [true, false] {
        let all = mean(&theirs, for_tuning, None).ndcg;
        assert!((0.25..0.75).contains(&all), "{table}");
    }
}
