//! The index on disk: opening one, reading its postings, making one and adding to one. The only file that knows the
//! full-text library.
//!
//! It holds for each note its terms, its key and its rank, and nothing else. Which index is the right one, and when it
//! is made anew, is the business of `keep`.

use std::path::Path;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use tantivy::columnar::ColumnValues;
use tantivy::directory::MmapDirectory;
use tantivy::index::{InvertedIndexReader, SegmentId};
use tantivy::indexer::NoMergePolicy;
use tantivy::postings::SegmentPostings;
use tantivy::schema::{
    FAST, Field, IndexRecordOption, Schema, TantivyDocument, TextFieldIndexing, TextOptions,
};
use tantivy::tokenizer::{Token, TokenStream, Tokenizer};
use tantivy::{DocSet, Index, IndexWriter, SegmentReader, TERMINATED, TantivyError};

use super::term::SEPARATOR;
use crate::book::NoteKey;

const TERMS: &str = "terms";
const KEY: &str = "key";
const RANK: &str = "rank";
const SPLITTER: &str = "separator";

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

/// Splits the terms of a note where they are parted.
#[derive(Debug, Clone, Default)]
struct Splitter {
    token: Token,
}

struct Split<'a> {
    rest: &'a str,
    token: &'a mut Token,
}

impl Tokenizer for Splitter {
    type TokenStream<'a> = Split<'a>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Split<'a> {
        self.token.reset();
        Split { rest: text, token: &mut self.token }
    }
}

impl TokenStream for Split<'_> {
    fn advance(&mut self) -> bool {
        // Terms are too short for a search that has to be prepared.
        let Some(end) = self.rest.bytes().position(|byte| byte == SEPARATOR as u8) else { return false };
        let (term, rest) = self.rest.split_at(end);
        self.rest = &rest[1..];
        self.token.text.clear();
        self.token.text.push_str(term);
        self.token.position = self.token.position.wrapping_add(1);
        true
    }

    fn token(&self) -> &Token {
        self.token
    }

    fn token_mut(&mut self) -> &mut Token {
        self.token
    }
}

/// An index, open for writing.
pub(super) struct Binder {
    index: Index,
    writer: IndexWriter,
    terms: Field,
    key: Field,
    rank: Field,
}

/// More segments than this are merged: each takes its time in every search.
const MOST_SEGMENTS: usize = 8;
/// As many are left, the largest.
const LEFT_SEGMENTS: usize = 4;

impl Binder {
    /// A new index in an empty directory. `arena` is how many bytes may be held before they are written.
    pub(super) fn create(dir: &Path, arena: usize) -> Result<Self, TantivyError> {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer(SPLITTER)
            .set_fieldnorms(false)
            .set_index_option(IndexRecordOption::Basic);
        schema.add_text_field(TERMS, TextOptions::default().set_indexing_options(indexing));
        schema.add_i64_field(KEY, FAST);
        schema.add_u64_field(RANK, FAST);
        Self::of(Index::create_in_dir(dir, schema.build())?, arena)
    }

    /// The index that is in a directory.
    pub(super) fn open(dir: &Path, arena: usize) -> Result<Self, TantivyError> {
        Self::of(Index::open(MmapDirectory::open(dir)?)?, arena)
    }

    fn of(index: Index, arena: usize) -> Result<Self, TantivyError> {
        index.tokenizers().register(SPLITTER, Splitter::default());
        let writer: IndexWriter = index.writer_with_num_threads(1, arena)?;
        writer.set_merge_policy(Box::new(NoMergePolicy));
        let schema = index.schema();
        let field = |name| schema.get_field(name);
        Ok(Self { terms: field(TERMS)?, key: field(KEY)?, rank: field(RANK)?, index, writer })
    }

    /// Adds a note.
    pub(super) fn add(&self, key: NoteKey, rank: u64, terms: &str) -> Result<(), TantivyError> {
        let mut document = TantivyDocument::default();
        document.add_text(self.terms, terms);
        document.add_i64(self.key, key.0);
        document.add_u64(self.rank, rank);
        self.writer.add_document(document).map(drop)
    }

    /// Makes everything that was added last, under this label. Too many segments are merged then.
    pub(super) fn finish(mut self, label: &Label) -> Result<(), TantivyError> {
        let text = serde_json::to_string(label).unwrap_or_default();
        let mut commit = self.writer.prepare_commit()?;
        commit.set_payload(&text);
        commit.commit()?;
        let mut metas = self.index.searchable_segment_metas()?;
        if metas.len() > MOST_SEGMENTS {
            metas.sort_by_key(|meta| meta.max_doc());
            let small: Vec<SegmentId> =
                metas[..metas.len() - LEFT_SEGMENTS].iter().map(|meta| meta.id()).collect();
            self.writer.merge(&small).wait()?;
        }
        self.writer.wait_merging_threads()
    }
}
