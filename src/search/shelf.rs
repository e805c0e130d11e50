//! The index on disk: opening one, and reading its postings. Beside `binder`, which writes it, the only file that knows
//! the full-text library.
//!
//! It holds for each note its terms, its key and its rank, and nothing else. Which index is the right one, and when it
//! is made anew, is the business of `keep`.

use std::path::Path;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use tantivy::columnar::ColumnValues;
use tantivy::directory::MmapDirectory;
use tantivy::index::InvertedIndexReader;
use tantivy::postings::SegmentPostings;
use tantivy::schema::IndexRecordOption;
use tantivy::{DocSet, Index, SegmentReader, TERMINATED, TantivyError};

use crate::book::NoteKey;

/// The field with the terms of a note.
pub(super) const TERMS: &str = "terms";
/// The field with its key.
pub(super) const KEY: &str = "key";
/// The field with its rank.
pub(super) const RANK: &str = "rank";

/// What an index says of itself in its commit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(super) struct Label {
    /// By which rules its terms were made.
    pub(super) rules: String,
    /// How many times notes were taken in.
    pub(super) generation: u64,
}

/// An index, open for reading.
pub(super) struct Shelf {
    pub(super) label: Label,
    pub(super) boards: Vec<Board>,
    docs: u64,
}

/// One segment of an index.
pub(super) struct Board {
    inverted: Arc<InvertedIndexReader>,
    keys: Arc<dyn ColumnValues<i64>>,
    ranks: Arc<dyn ColumnValues<u64>>,
}

/// The notes of one segment that have a term, in the order of the segment.
pub(super) struct Postings(SegmentPostings);

impl Postings {
    /// The note at hand; `None` behind the last.
    pub(super) fn doc(&self) -> u32 {
        self.0.doc()
    }

    /// Goes on to the next.
    pub(super) fn advance(&mut self) -> u32 {
        self.0.advance()
    }

    /// Goes on to the first that is not before `target`, which is not before the one at hand.
    pub(super) fn seek(&mut self, target: u32) -> u32 {
        self.0.seek(target)
    }

    /// Goes on to the first that is not before `target`; whether it is that one.
    pub(super) fn reaches(&mut self, target: u32) -> bool {
        let at = self.0.doc();
        at == target || (at < target && self.0.seek(target) == target)
    }
}

/// Stands behind the last note.
pub(super) const END: u32 = TERMINATED;

impl Board {
    /// The notes that have `term`.
    pub(super) fn postings(&self, term: &str) -> Result<Option<Postings>, TantivyError> {
        let Some(info) = self.inverted.terms().get(term.as_bytes())? else { return Ok(None) };
        Ok(Some(Postings(self.inverted.read_postings_from_terminfo(&info, IndexRecordOption::Basic)?)))
    }

    pub(super) fn key(&self, doc: u32) -> NoteKey {
        NoteKey(self.keys.get_val(doc))
    }

    pub(super) fn rank(&self, doc: u32) -> u64 {
        self.ranks.get_val(doc)
    }
}

impl Shelf {
    /// Opens the index in a directory.
    pub(super) fn open(dir: &Path) -> Result<Self, TantivyError> {
        let index = Index::open(MmapDirectory::open(dir)?)?;
        let metas = index.load_metas()?;
        let damaged = || TantivyError::InvalidArgument("the index does not say what it is".to_owned());
        let label = metas.payload.as_deref().and_then(|text| serde_json::from_str(text).ok());
        let label = label.ok_or_else(damaged)?;
        let terms = index.schema().get_field(TERMS)?;
        let mut boards = Vec::new();
        let mut docs = 0;
        for segment in index.searchable_segments()? {
            let reader = SegmentReader::open(&segment)?;
            docs += u64::from(reader.max_doc());
            boards.push(Board {
                inverted: reader.inverted_index(terms)?,
                keys: reader.fast_fields().column_first_or_default(KEY)?,
                ranks: reader.fast_fields().column_first_or_default(RANK)?,
            });
        }
        Ok(Self { label, boards, docs })
    }

    /// Whether every file of the index in a directory is as it was written. Reads all of them.
    pub(super) fn is_whole(dir: &Path) -> bool {
        let checked = || -> Result<bool, TantivyError> {
            Ok(Index::open(MmapDirectory::open(dir)?)?.validate_checksum()?.is_empty())
        };
        checked().unwrap_or(false)
    }

    /// How many notes it holds.
    pub(super) fn docs(&self) -> u64 {
        self.docs
    }

    /// How many notes have `term`.
    pub(super) fn count(&self, term: &str) -> Result<u64, TantivyError> {
        let mut count = 0;
        for board in &self.boards {
            count += board.inverted.terms().get(term.as_bytes())?.map_or(0, |info| u64::from(info.doc_freq));
        }
        Ok(count)
    }

    /// Tells every term from `from` on and before `to`, segment after segment, with how many notes have it there.
    pub(super) fn each_term(
        &self,
        from: &str,
        to: &str,
        tell: &mut dyn FnMut(&str, u32),
    ) -> Result<(), TantivyError> {
        for board in &self.boards {
            let mut stream = board.inverted.terms().range().ge(from).lt(to).into_stream()?;
            while stream.advance() {
                if let Ok(term) = std::str::from_utf8(stream.key()) {
                    tell(term, stream.value().doc_freq);
                }
            }
        }
        Ok(())
    }
}
