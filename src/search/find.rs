//! Finding the notes that answer a question best: each phrase of it by the best of its ways, all phrases together, and
//! where two notes answer alike, the better founded first.
//!
//! Notes are looked at in the order of the index, but for those that cannot come among the best any more. What phrases
//! mean and weigh is settled before.

use std::cmp::Reverse;
use std::collections::{BinaryHeap, HashMap, HashSet};

use tantivy::TantivyError;

use super::meaning::Way;
use super::shelf::{Board, END, Postings, Shelf};
use super::tail::TailNote;
use crate::book::{NoteKey, Standing};
use crate::note::Basis;

/// A phrase of the question, ready to be looked for.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    /// What a note gains that answers fully.
    pub(super) weight: f32,
    /// The ways in which it can answer, best first.
    pub(super) ways: Vec<Way>,
    /// Terms that count against a note which does not answer.
    pub(super) against: Vec<String>,
}

/// What counts against a note, as a share of the weight of the phrase.
pub(super) const AGAINST: f32 = 0.4;

/// What a note must be to be found at all.
#[derive(Debug, Clone, Default)]
pub(super) struct Sieve {
    /// For each of these, one term that it must have.
    pub(super) one_of: Vec<Vec<String>>,
    /// Terms of which it must have none.
    pub(super) none_of: Vec<String>,
    /// Only these bases, where any is named.
    pub(super) bases: Vec<Basis>,
    /// The first day, in days since 1970-01-01.
    pub(super) since: Option<i32>,
    /// Only such as stand like this; with the notes that do not stand as they were written.
    pub(super) standings: Option<(Vec<Standing>, HashMap<NoteKey, Standing>)>,
}

impl Sieve {
    /// Whether everything passes.
    fn is_open(&self) -> bool {
        self.one_of.is_empty()
            && self.none_of.is_empty()
            && self.bases.is_empty()
            && self.since.is_none()
            && self.standings.is_none()
    }

    fn passes(&self, key: NoteKey, rank: u64) -> bool {
        let (basis, day) = unranked(rank);
        let stands = |(wanted, fallen): &(Vec<Standing>, HashMap<NoteKey, Standing>)| {
            wanted.contains(fallen.get(&key).unwrap_or(&Standing::Live))
        };
        if !self.standings.as_ref().is_none_or(stands) {
            return false;
        }
        (self.bases.is_empty() || self.bases.iter().any(|own| own.number() == basis))
            && self.since.is_none_or(|since| day >= i64::from(since))
    }

    fn passes_terms(&self, has: &mut dyn FnMut(&str) -> bool) -> bool {
        self.one_of.iter().all(|terms| terms.iter().any(|term| has(term)))
            && !self.none_of.iter().any(|term| has(term))
    }
}

/// A note that was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Match {
    pub(super) score: f32,
    pub(super) rank: u64,
    pub(super) key: NoteKey,
}

/// The order of matches: the better is the larger. Two notes of equal score and rank are told apart by their keys,
/// which only happens where 44 bits of their ids agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ordered(pub(super) Match);

impl Eq for Ordered {}

impl PartialOrd for Ordered {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ordered {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        let (a, b) = (&self.0, &other.0);
        a.score.total_cmp(&b.score).then(a.rank.cmp(&b.rank)).then(b.key.cmp(&a.key))
    }
}

const DAY_BITS: u32 = 17;
const ID_BITS: u32 = 44;
/// Days before 1970 are counted, too.
const DAY_ZERO: i64 = 1 << (DAY_BITS - 1);

/// The order of notes that answer alike, the better the larger: the stronger basis, then the later day, then the
/// smaller id.
pub(super) fn rank(basis: Basis, day: i32, id: [u8; 10]) -> u64 {
    let day = (i64::from(day) + DAY_ZERO).clamp(0, (1 << DAY_BITS) - 1) as u64;
    let first = id[..6].iter().fold(0_u64, |bits, byte| bits << 8 | u64::from(*byte)) >> (48 - ID_BITS);
    let basis = u64::from(4 - basis.number().min(4));
    basis << (DAY_BITS + ID_BITS) | day << ID_BITS | (((1 << ID_BITS) - 1) ^ first)
}

/// The number of the basis, and the day.
fn unranked(rank: u64) -> (u8, i64) {
    let day = (rank >> ID_BITS & ((1 << DAY_BITS) - 1)) as i64 - DAY_ZERO;
    (4 - (rank >> (DAY_BITS + ID_BITS)) as u8, day)
}

/// The best notes, as many as are wanted.
struct Best {
    most: usize,
    heap: BinaryHeap<Reverse<Ordered>>,
}

impl Best {
    /// The score that a note must have to come among the best.
    fn threshold(&self) -> f32 {
        match self.heap.peek() {
            Some(Reverse(worst)) if self.heap.len() >= self.most => worst.0.score,
            _ => 0.0,
        }
    }

    /// Whether a note of this score and rank may come among the best.
    fn may_take(&self, score: f32, rank: u64) -> bool {
        self.heap.len() < self.most
            || self.heap.peek().is_none_or(|Reverse(worst)| (score, rank) >= (worst.0.score, worst.0.rank))
    }

    fn offer(&mut self, found: Match) {
        if self.heap.len() < self.most {
            self.heap.push(Reverse(Ordered(found)));
        } else if self.heap.peek().is_some_and(|worst| Ordered(found) > worst.0) {
            self.heap.pop();
            self.heap.push(Reverse(Ordered(found)));
        }
    }
}

/// The `most` best notes of the index and of those that it does not have yet, best first.
pub(super) fn best(
    shelf: Option<&Shelf>,
    tail: &[TailNote],
    wanted: &[Wanted],
    sieve: &Sieve,
    most: usize,
) -> Result<Vec<Match>, TantivyError> {
    let mut best = Best { most, heap: BinaryHeap::with_capacity(most + 1) };
    let mut known = HashSet::new();
    for note in tail {
        known.insert(note.key);
        if sieve.passes(note.key, note.rank) && sieve.passes_terms(&mut |term| note.has(term)) {
            let score = score(wanted, &mut |term| note.has(term));
            if score > 0.0 {
                best.offer(Match { score, rank: note.rank, key: note.key });
            }
        }
    }
    for board in shelf.map_or(&[][..], |shelf| &shelf.boards) {
        Walk::new(board, wanted, sieve)?.all(&known, &mut best);
    }
    let mut found: Vec<Ordered> = best.heap.into_iter().map(|Reverse(found)| found).collect();
    found.sort_by(|a, b| b.cmp(a));
    Ok(found.into_iter().map(|found| found.0).collect())
}

/// What a note gains by each phrase, in their order: the same sum whatever finds the terms.
fn score(wanted: &[Wanted], has: &mut dyn FnMut(&str) -> bool) -> f32 {
    let (mut gained, mut lost) = (0.0, 0.0);
    for one in wanted {
        let strength =
            one.ways.iter().filter(|way| has(&way.term)).map(|way| way.strength).fold(0.0, f32::max);
        gained += one.weight * strength;
        if strength == 0.0 && one.against.iter().any(|term| has(term)) {
            lost += AGAINST * one.weight;
        }
    }
    if gained > 0.0 { (gained - lost).max(f32::MIN_POSITIVE) } else { 0.0 }
}

/// The notes of a segment that have one of several terms, each term by the note that comes next of it.
struct Lines {
    /// Kept apart from the postings, since these are looked at for every note.
    docs: Vec<u32>,
    strengths: Vec<f32>,
    postings: Vec<Postings>,
}

impl Lines {
    /// The first of the strongest ways from `at` on, up to `end`, by which a note answers: how well.
    fn strength(&mut self, (at, end): (usize, usize), doc: u32) -> f32 {
        for line in at..end {
            if self.docs[line] < doc {
                self.docs[line] = self.postings[line].seek(doc);
            }
            if self.docs[line] == doc {
                return self.strengths[line];
            }
        }
        0.0
    }

    /// The next note that has a term of a line from `first` on.
    fn next(&self, first: usize) -> u32 {
        self.docs[first..].iter().copied().min().unwrap_or(END)
    }

    fn step_over(&mut self, first: usize, doc: u32) {
        for line in first..self.docs.len() {
            if self.docs[line] == doc {
                self.docs[line] = self.postings[line].advance();
            }
        }
    }
}

/// A phrase within one segment.
struct Group {
    weight: f32,
    /// Its lines, the strongest first.
    lines: (usize, usize),
    against: Vec<Postings>,
}

/// A group as far as it can bring a note among the best.
struct Reach {
    /// What it and all lighter ones can give together.
    most: f32,
    /// Where the lines of the heavier ones begin.
    end: usize,
}

/// A walk over one segment.
struct Walk<'a> {
    board: &'a Board,
    sieve: &'a Sieve,
    /// In the order of the phrases, so that sums come out the same wherever a note is found.
    groups: Vec<Group>,
    /// Those of the lightest group first.
    lines: Lines,
    /// The lightest group first.
    by_weight: Vec<Reach>,
    filters: Vec<Vec<Postings>>,
    denied: Vec<Postings>,
}

fn all_postings<'t>(
    board: &Board,
    terms: impl Iterator<Item = &'t String>,
) -> Result<Vec<Postings>, TantivyError> {
    terms.filter_map(|term| board.postings(term).transpose()).collect()
}

impl<'a> Walk<'a> {
    fn new(board: &'a Board, wanted: &[Wanted], sieve: &'a Sieve) -> Result<Self, TantivyError> {
        let (mut groups, mut found) = (Vec::with_capacity(wanted.len()), Vec::with_capacity(wanted.len()));
        for one in wanted {
            let mut ways = Vec::new();
            for way in &one.ways {
                if let Some(postings) = board.postings(&way.term)? {
                    ways.push((way.strength, postings));
                }
            }
            let most = one.weight * ways.iter().map(|(strength, _)| *strength).fold(0.0, f32::max);
            found.push((most, groups.len(), ways));
            let against = all_postings(board, one.against.iter())?;
            groups.push(Group { weight: one.weight, lines: (0, 0), against });
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut lines = Lines { docs: Vec::new(), strengths: Vec::new(), postings: Vec::new() };
        let (mut by_weight, mut sum) = (Vec::new(), 0.0);
        for (most, group, ways) in found {
            let start = lines.docs.len();
            for (strength, postings) in ways {
                lines.docs.push(postings.doc());
                lines.strengths.push(strength);
                lines.postings.push(postings);
            }
            sum += most;
            groups[group].lines = (start, lines.docs.len());
            by_weight.push(Reach { most: sum, end: lines.docs.len() });
        }
        let filters = sieve.one_of.iter().map(|terms| all_postings(board, terms.iter()));
        let filters = filters.collect::<Result<_, _>>()?;
        let denied = all_postings(board, sieve.none_of.iter())?;
        Ok(Self { board, sieve, groups, lines, by_weight, filters, denied })
    }

    fn all(mut self, known: &HashSet<NoteKey>, best: &mut Best) {
        // How many of the lightest groups cannot bring a note among the best by themselves, and where the lines of the
        // others begin.
        let (mut idle, mut first) = (0, 0);
        loop {
            // Sums of rounded numbers differ in their last digits; a little slack loses nothing.
            let threshold = best.threshold() * 0.9999;
            while idle < self.by_weight.len() && self.by_weight[idle].most < threshold {
                first = self.by_weight[idle].end;
                idle += 1;
            }
            let doc = self.lines.next(first);
            if doc == END {
                return;
            }
            if self.sieve.is_open() || self.passes(doc) {
                let score = self.score(doc);
                if score > 0.0 && score >= threshold {
                    self.offer(doc, score, known, best);
                }
            }
            self.lines.step_over(first, doc);
        }
    }

    fn offer(&self, doc: u32, score: f32, known: &HashSet<NoteKey>, best: &mut Best) {
        let rank = self.board.rank(doc);
        if best.may_take(score, rank) {
            let key = self.board.key(doc);
            if known.is_empty() || !known.contains(&key) {
                best.offer(Match { score, rank, key });
            }
        }
    }

    fn passes(&mut self, doc: u32) -> bool {
        let by_term = |postings: &mut Vec<Postings>| postings.iter_mut().any(|own| own.reaches(doc));
        self.filters.iter_mut().all(by_term)
            && !self.denied.iter_mut().any(|own| own.reaches(doc))
            && self.sieve.passes(self.board.key(doc), self.board.rank(doc))
    }

    /// The same sum as `score` gives, by the postings.
    fn score(&mut self, doc: u32) -> f32 {
        let (mut gained, mut lost) = (0.0, 0.0);
        for group in &mut self.groups {
            let strength = self.lines.strength(group.lines, doc);
            gained += group.weight * strength;
            if strength == 0.0 && group.against.iter_mut().any(|own| own.reaches(doc)) {
                lost += AGAINST * group.weight;
            }
        }
        if gained > 0.0 { (gained - lost).max(f32::MIN_POSITIVE) } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_better_founded_note_ranks_higher() {
        let id = |first: u8| [first, 0, 0, 0, 0, 0, 0, 0, 0, 0];
        let metered = rank(Basis::Metered, 100, id(9));
        assert!(metered > rank(Basis::Told, 20_000, id(0)), "a stronger basis before a later day");
        assert!(metered < rank(Basis::Metered, 101, id(9)), "a later day before an earlier one");
        assert!(metered < rank(Basis::Metered, 100, id(8)), "the smaller id first");
        for (basis, day) in [(Basis::Metered, 0), (Basis::Told, 19_000), (Basis::Diagram, -400)] {
            assert_eq!(unranked(rank(basis, day, id(7))), (basis.number(), i64::from(day)));
        }
    }
}
