//! Notes that the index does not have yet, with what they mean: they are searched one by one, by the same terms.

use super::term::SEPARATOR;
use crate::book::NoteKey;

/// A note beside the index.
#[derive(Debug, Clone)]
pub(super) struct TailNote {
    pub(super) key: NoteKey,
    pub(super) rank: u64,
    /// Its terms, each followed by the separator.
    terms: String,
    /// The same, hashed: looked through more quickly than texts.
    hashes: Vec<u64>,
}

impl TailNote {
    /// A note with its terms, each followed by the separator.
    pub(super) fn new(key: NoteKey, rank: u64, terms: String) -> Self {
        let hashes = terms.split_terminator(SEPARATOR).map(hash).collect();
        Self { key, rank, terms, hashes }
    }

    /// Whether it has a term.
    pub(super) fn has(&self, term: &str) -> bool {
        self.hashes.contains(&hash(term))
    }

    /// Its terms.
    pub(super) fn terms(&self) -> impl Iterator<Item = &str> {
        self.terms.split_terminator(SEPARATOR)
    }
}

/// Of 64 bits, so that no two terms of a book share it but by a chance that nobody meets.
fn hash(term: &str) -> u64 {
    use std::hash::BuildHasher;
    foldhash::fast::FixedState::default().hash_one(term)
}
