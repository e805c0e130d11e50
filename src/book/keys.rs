//! The numbers under which rows are kept, so that everything known of one model lies together on disk.

use super::names::ModelId;

/// Bits of a note's key for its number within the bucket.
const NUMBER_BITS: u32 = 22;
/// Bits for the point.
const POINT_BITS: u32 = 10;

/// The key of a bucket: a model and a point of the book. Point 0 stands for all points of the model.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BucketKey(pub i64);

/// The key of a note: its bucket and its number in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NoteKey(pub i64);

impl BucketKey {
    /// The bucket of `point` (its number in the book) of `model`.
    #[must_use]
    pub fn new(model: ModelId, point: u16) -> Self {
        Self(i64::from(model.0) << POINT_BITS | i64::from(point))
    }

    /// Its model.
    #[must_use]
    pub fn model(self) -> ModelId {
        ModelId(u32::try_from(self.0 >> POINT_BITS).unwrap_or_default())
    }

    /// Its point, by number in the book.
    #[must_use]
    pub fn point(self) -> u16 {
        (self.0 & ((1 << POINT_BITS) - 1)) as u16
    }

    /// The first and the last key of all buckets of a model.
    #[must_use]
    pub fn of_model(model: ModelId) -> (Self, Self) {
        (Self::new(model, 0), Self::new(model, (1 << POINT_BITS) - 1))
    }

    /// The key of the note with this number.
    #[must_use]
    pub fn note(self, number: u32) -> NoteKey {
        NoteKey(self.0 << NUMBER_BITS | i64::from(number))
    }

    /// The first and the last key that its notes can have.
    #[must_use]
    pub fn notes(self) -> (NoteKey, NoteKey) {
        (self.note(0), self.note(Self::CAPACITY as u32 - 1))
    }

    /// The most notes that a bucket can hold.
    pub const CAPACITY: usize = 1 << NUMBER_BITS;
}

impl NoteKey {
    /// Its bucket.
    #[must_use]
    pub fn bucket(self) -> BucketKey {
        BucketKey(self.0 >> NUMBER_BITS)
    }

    /// Its number within the bucket.
    #[must_use]
    pub fn number(self) -> u32 {
        (self.0 & ((1 << NUMBER_BITS) - 1)) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_gives_back_what_it_was_made_of() {
        let bucket = BucketKey::new(ModelId(1_234_567), 1023);
        assert_eq!((bucket.model(), bucket.point()), (ModelId(1_234_567), 1023));
        let note = bucket.note(4_000_000);
        assert_eq!((note.bucket(), note.number()), (bucket, 4_000_000));
        let (first, last) = BucketKey::of_model(ModelId(7));
        assert!(first < BucketKey::new(ModelId(7), 1) && last < BucketKey::new(ModelId(8), 0));
    }
}
