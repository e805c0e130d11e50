//! Notes that the index does not have yet, with what they mean: they are searched one by one, by the same terms.

use super::term::SEPARATOR;
use crate::book::NoteKey;

/// A note beside the index.
#[derive(Debug, Clone)]
pub(super) struct TailNote {
    pub(super) key: NoteKey,
    pub(super) rank: u64,
    /// Its terms, sorted, each followed by the separator.
    terms: Vec<String>,
}

impl TailNote {
    /// A note with its terms, each followed by the separator.
    pub(super) fn new(key: NoteKey, rank: u64, terms: &str) -> Self {
        let mut terms: Vec<String> = terms.split_terminator(SEPARATOR).map(str::to_owned).collect();
        terms.sort_unstable();
        Self { key, rank, terms }
    }

    /// Its terms, each followed by the separator.
    pub(super) fn joined(&self) -> String {
        self.terms.iter().flat_map(|term| [term.as_str(), "\u{1f}"]).collect()
    }

    /// Whether it has a term.
    pub(super) fn has(&self, term: &str) -> bool {
        self.terms.binary_search_by(|own| own.as_str().cmp(term)).is_ok()
    }

    /// Its terms from `from` on and before `to`.
    pub(super) fn between(&self, from: &str, to: &str) -> &[String] {
        let start = self.terms.partition_point(|own| own.as_str() < from);
        let end = self.terms.partition_point(|own| own.as_str() < to);
        &self.terms[start..end.max(start)]
    }
}
