//! The judged set as a whole: notes, queries, grades; and what came of asking it of some search.

use std::collections::BTreeSet;

use crate::ask::{Query, queries};
use crate::class::Class;
use crate::dice::Dice;
use crate::meaning::Note;
use crate::measure::{PLACES, ndcg, recall};
use crate::world::notes;

/// The seed of the set that is reported.
pub const SEED: u64 = 20_251;

pub struct Judged {
    pub notes: Vec<Note>,
    pub queries: Vec<Query>,
}

/// What came of one query.
pub struct Outcome<'a> {
    pub query: &'a Query,
    /// The numbers of the notes found, the first first.
    pub found: Vec<usize>,
    /// What each note of the set is worth to the query.
    pub grades: Vec<u8>,
    pub ndcg: f64,
    pub recall: f64,
}

impl Judged {
    /// The set of a seed: the same every time.
    pub fn new(seed: u64) -> Self {
        let mut dice = Dice(seed);
        let notes = notes(&mut dice);
        let queries = queries(&notes, &mut dice);
        Self { notes, queries }
    }

    /// Asks every query.
    pub fn ask<'a>(&'a self, search: impl Fn(&str) -> Vec<usize>) -> Vec<Outcome<'a>> {
        let outcome = |query: &'a Query| {
            let found = search(&query.text);
            assert!(found.len() <= PLACES, "more than asked for: {}", query.text);
            let distinct: BTreeSet<usize> = found.iter().copied().collect();
            assert_eq!(distinct.len(), found.len(), "a note is found twice by: {}", query.text);
            let grades: Vec<u8> = self.notes.iter().map(|note| query.need.grade(&note.meaning)).collect();
            let of_found: Vec<u8> = found.iter().map(|at| grades[*at]).collect();
            let (ndcg, recall) = (ndcg(&of_found, &grades, PLACES), recall(&of_found, &grades));
            Outcome { query, found, grades, ndcg, recall }
        };
        self.queries.iter().map(outcome).collect()
    }
}

/// Means over queries.
#[derive(Debug, Clone, Copy)]
pub struct Mean {
    pub ndcg: f64,
    pub recall: f64,
    pub of: usize,
}

/// The means over the queries of a half, of one class or of all.
pub fn mean(outcomes: &[Outcome], for_tuning: bool, class: Option<Class>) -> Mean {
    let of_half = outcomes.iter().filter(|outcome| outcome.query.for_tuning == for_tuning);
    let chosen: Vec<&Outcome> =
        of_half.filter(|outcome| class.is_none_or(|class| outcome.query.class == class)).collect();
    let mean =
        |of: fn(&Outcome) -> f64| chosen.iter().map(|outcome| of(outcome)).sum::<f64>() / chosen.len() as f64;
    Mean { ndcg: mean(|outcome| outcome.ndcg), recall: mean(|outcome| outcome.recall), of: chosen.len() }
}
