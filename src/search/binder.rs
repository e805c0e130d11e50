//! Writing the index to disk: a new one, or what an older one lacks. Beside `shelf`, which reads it, the only file that
//! knows the full-text library.
//!
//! Notes come with their terms by number, so that nothing is cut or hashed again: which notes have a term is gathered
//! as distances, and written term by term as one segment. A segment holds for each note its key and its rank.

use std::path::{Path, PathBuf};

use tantivy::columnar::{ColumnType, ColumnarWriter};
use tantivy::directory::{MmapDirectory, RamDirectory, TerminatingWrite};
use tantivy::fieldnorm::FieldNormsSerializer;
use tantivy::index::{SegmentComponent, SegmentId};
use tantivy::indexer::NoMergePolicy;
use tantivy::postings::InvertedIndexSerializer;
use tantivy::schema::{FAST, Field, IndexRecordOption, Schema, TextFieldIndexing, TextOptions};
use tantivy::store::{Compressor, StoreWriter};
use tantivy::{Directory, Index, IndexSettings, IndexWriter, Segment, TantivyError};

use super::shelf::{KEY, Label, RANK, TERMS};
use super::vocabulary::{TermNumber, Vocabulary};
use crate::book::NoteKey;

/// The file in which an index lists its segments.
const META: &str = "meta.json";
/// More segments than this are merged: each takes its time in every search.
const MOST_SEGMENTS: usize = 8;
/// As many are left, the largest.
const LEFT_SEGMENTS: usize = 4;
/// The least arena that the library allows; nothing is held in it while segments are merged.
const ARENA: usize = 20 << 20;
/// A longer term than this has no place in an index.
const LONGEST_TERM: usize = 65_530;

/// The notes that have one term: the distance from each to the next, seven bits a byte, the lowest first.
#[derive(Debug, Default, Clone)]
struct Run {
    /// One more than the last note; 0 where there is none.
    end: u32,
    distances: Vec<u8>,
}

impl Run {
    /// Adds a note, unless it is the last already.
    fn push(&mut self, doc: u32) {
        if self.end == doc + 1 {
            return;
        }
        let mut distance = doc - self.end;
        self.end = doc + 1;
        while distance >= 0x80 {
            self.distances.push(distance as u8 | 0x80);
            distance >>= 7;
        }
        self.distances.push(distance as u8);
    }

    /// Tells each note, in order.
    fn each(&self, mut tell: impl FnMut(u32)) {
        let (mut end, mut distance, mut shift) = (0, 0, 0);
        for byte in &self.distances {
            distance |= u32::from(byte & 0x7f) << shift;
            if byte & 0x80 != 0 {
                shift += 7;
                continue;
            }
            tell(end + distance);
            (end, distance, shift) = (end + distance + 1, 0, 0);
        }
    }
}

/// An index, open for writing.
pub(super) struct Binder {
    index: Index,
    /// Where a new index is to lie: it is made in memory, and goes to disk in one piece.
    draft: Option<(RamDirectory, PathBuf)>,
    runs: Vec<Run>,
    columns: ColumnarWriter,
    docs: u32,
}

impl Binder {
    /// A new index, for a directory that is there and empty.
    pub(super) fn create(dir: &Path) -> Result<Self, TantivyError> {
        let mut schema = Schema::builder();
        let indexing = TextFieldIndexing::default()
            .set_tokenizer("raw")
            .set_fieldnorms(false)
            .set_index_option(IndexRecordOption::Basic);
        schema.add_text_field(TERMS, TextOptions::default().set_indexing_options(indexing));
        schema.add_i64_field(KEY, FAST);
        schema.add_u64_field(RANK, FAST);
        let memory = RamDirectory::create();
        let index = Index::create(memory.clone(), schema.build(), IndexSettings::default())?;
        Ok(Self::of(index, Some((memory, dir.to_owned()))))
    }

    /// The index that is in a directory.
    pub(super) fn open(dir: &Path) -> Result<Self, TantivyError> {
        Ok(Self::of(Index::open(MmapDirectory::open(dir)?)?, None))
    }

    fn of(index: Index, draft: Option<(RamDirectory, PathBuf)>) -> Self {
        let mut columns = ColumnarWriter::default();
        columns.record_column_type(KEY, ColumnType::I64, false);
        columns.record_column_type(RANK, ColumnType::U64, false);
        Self { index, draft, runs: Vec::new(), columns, docs: 0 }
    }

    /// Adds a note.
    pub(super) fn add(&mut self, key: NoteKey, rank: u64, terms: &[TermNumber]) {
        for term in terms {
            let place = term.place();
            if place >= self.runs.len() {
                self.runs.resize(place + 1, Run::default());
            }
            self.runs[place].push(self.docs);
        }
        self.columns.record_numerical(self.docs, KEY, key.0);
        self.columns.record_numerical(self.docs, RANK, rank);
        self.docs += 1;
    }

    /// Makes everything that was added last, under this label. Too many segments are merged then.
    pub(super) fn finish(mut self, vocabulary: &Vocabulary, label: &Label) -> Result<(), TantivyError> {
        let mut metas = self.index.load_metas()?;
        if self.docs > 0 {
            metas.segments.push(self.segment(vocabulary)?.meta().clone());
        }
        metas.opstamp += u64::from(self.docs);
        metas.payload = serde_json::to_string(label).ok();
        self.index.directory().sync_directory()?;
        self.index.directory().atomic_write(Path::new(META), &serde_json::to_vec(&metas)?)?;
        match self.draft {
            Some((memory, dir)) => {
                let disk = MmapDirectory::open(dir)?;
                memory.persist(&disk)?;
                Ok(disk.sync_directory()?)
            }
            None => merge(&self.index),
        }
    }

    /// Writes what was added as one segment.
    fn segment(&mut self, vocabulary: &Vocabulary) -> Result<Segment, TantivyError> {
        let segment = self.index.new_segment();
        let terms = self.index.schema().get_field(TERMS)?;
        self.postings(&segment, terms, vocabulary)?;
        FieldNormsSerializer::from_write(segment.open_write(SegmentComponent::FieldNorms)?)?.close()?;
        let mut columns = segment.open_write(SegmentComponent::FastFields)?;
        self.columns.serialize(self.docs, None, &mut columns)?;
        columns.terminate()?;
        // The library wants a store of documents; nothing is kept in it.
        let store = segment.open_write(SegmentComponent::Store)?;
        StoreWriter::new(store, Compressor::None, self.index.settings().docstore_blocksize, false)?
            .close()?;
        Ok(segment.with_max_doc(self.docs))
    }

    fn postings(&self, segment: &Segment, terms: Field, vocabulary: &Vocabulary) -> Result<(), TantivyError> {
        let mut inverted = InvertedIndexSerializer::open(segment)?;
        let mut field = inverted.new_field(terms, 0, None)?;
        for (text, number) in vocabulary.sorted() {
            // A term may be of notes that were not added here.
            let run = self.runs.get(number.place()).filter(|run| run.end > 0);
            let Some(run) = run.filter(|_| text.len() <= LONGEST_TERM) else { continue };
            field.new_term_without_freq(text.as_bytes())?;
            run.each(|doc| field.write_doc(doc, 0, &[]));
            field.close_term()?;
        }
        field.close()?;
        Ok(inverted.close()?)
    }
}

/// Merges the smallest segments, where there are too many.
fn merge(index: &Index) -> Result<(), TantivyError> {
    let mut metas = index.searchable_segment_metas()?;
    if metas.len() <= MOST_SEGMENTS {
        return Ok(());
    }
    metas.sort_by_key(|meta| meta.max_doc());
    let small: Vec<SegmentId> = metas[..metas.len() - LEFT_SEGMENTS].iter().map(|meta| meta.id()).collect();
    let mut writer: IndexWriter = index.writer_with_num_threads(1, ARENA)?;
    writer.set_merge_policy(Box::new(NoMergePolicy));
    writer.merge(&small).wait()?;
    writer.wait_merging_threads()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::search::shelf::{END, Shelf};

    proptest! {
        #[test]
        fn a_run_tells_each_note_once(docs in prop::collection::btree_set(0_u32..3_000_000, 0..50)) {
            let mut run = Run::default();
            for doc in &docs {
                run.push(*doc);
                run.push(*doc);
            }
            let mut told = Vec::new();
            run.each(|doc| told.push(doc));
            prop_assert_eq!(told, docs.into_iter().collect::<Vec<_>>());
        }
    }

    fn keys_with(shelf: &Shelf, term: &str) -> Vec<i64> {
        let mut keys = Vec::new();
        for board in &shelf.boards {
            let Some(mut postings) = board.postings(term).expect("read") else { continue };
            while postings.doc() != END {
                keys.push(board.key(postings.doc()).0);
                postings.advance();
            }
        }
        keys.sort_unstable();
        keys
    }

    #[test]
    fn notes_are_found_by_their_terms_however_many_batches_they_came_in() {
        let dir = tempfile::tempdir().expect("a directory");
        let mut vocabulary = Vocabulary::default();
        let label = |generation| Label { rules: "test".to_owned(), generation };
        for batch in 0..i64::try_from(MOST_SEGMENTS).expect("few") + 1 {
            let mut binder = match batch {
                0 => Binder::create(dir.path()),
                _ => Binder::open(dir.path()),
            }
            .expect("a binder");
            for at in 0..300 {
                let key = batch * 1000 + at;
                let terms = ["all", if at % 2 == 0 { "even" } else { "odd" }, "all"];
                let terms = terms.map(|term| vocabulary.number(term));
                binder.add(NoteKey(key), key as u64, &terms);
            }
            binder.finish(&vocabulary, &label(batch as u64 + 1)).expect("written");
            let shelf = Shelf::open(dir.path()).expect("an index");
            assert!(Shelf::is_whole(dir.path()));
            assert_eq!(shelf.label, label(batch as u64 + 1));
            assert!(shelf.boards.len() <= MOST_SEGMENTS);
            let all: Vec<i64> =
                (0..=batch).flat_map(|batch| (0..300).map(move |at| batch * 1000 + at)).collect();
            assert_eq!(keys_with(&shelf, "all"), all);
            let even: Vec<i64> = all.iter().copied().filter(|key| key % 2 == 0).collect();
            assert_eq!(keys_with(&shelf, "even"), even);
            assert!(keys_with(&shelf, "none").is_empty());
        }
    }
}
