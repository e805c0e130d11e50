-- The book, version 3: what full-text search has to know of the notes. All of it is derived. The index itself lies
-- beside the book; which one, and how far it goes, stands in `setting` under `index`.

-- Derived: notes that do not stand as they were written, so that a search need not unfold their buckets.
CREATE TABLE fallen (
  key INTEGER PRIMARY KEY REFERENCES note(key),
  how INTEGER NOT NULL CHECK (how BETWEEN 1 AND 3) -- replaced, retired, narrowed
) STRICT;

-- Derived: notes that the index does not have yet. `batch` is the generation of the index that is about to take
-- them in, or has, where nobody came back to say so. `terms` is what they mean to the index, once it was worked out.
CREATE TABLE waiting (
  key   INTEGER PRIMARY KEY REFERENCES note(key),
  batch INTEGER,
  terms TEXT
) STRICT;
