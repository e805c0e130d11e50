-- The book, version 1. What is told here is true and is never changed: notes, where they came from,
-- and the names they use. What can be derived from it (`bucket`, `conflict`) can be thrown away and rebuilt.
--
-- A note's key is one number: its model, its point and its number within that bucket, so that
-- everything known of one model lies together on disk:  model << 32 | point << 22 | number.
-- A bucket's key is the same without the number:         model << 10 | point.

CREATE TABLE setting (
  name  TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- A model of a maker; the keys are the names without case, blanks, accents and punctuation.
CREATE TABLE model (
  id        INTEGER PRIMARY KEY CHECK (id BETWEEN 1 AND 2147483647),
  make      TEXT NOT NULL,
  model     TEXT NOT NULL,
  make_key  TEXT NOT NULL,
  model_key TEXT NOT NULL,
  UNIQUE (model_key, make_key)
) STRICT;

CREATE TABLE point (
  id   INTEGER PRIMARY KEY CHECK (id BETWEEN 1 AND 1023),
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE person (
  id   INTEGER PRIMARY KEY,
  key  TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL
) STRICT;

CREATE TABLE file (
  id   INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;

CREATE TABLE note (
  key    INTEGER PRIMARY KEY,
  id     BLOB NOT NULL CHECK (length(id) = 10),
  years  TEXT NOT NULL,            -- canonical: 2015-2019, 2016, 2015-, -2018
  only   TEXT NOT NULL,            -- canonical qualifiers: built=2017-09..; cab=crew
  said   TEXT NOT NULL,            -- JSON object: field to canonical text
  basis  INTEGER NOT NULL CHECK (basis BETWEEN 0 AND 4), -- metered, fitted, inspected, diagram, told
  person INTEGER NOT NULL REFERENCES person(id),
  day    INTEGER NOT NULL,         -- when it was written, in days since 1970-01-01
  seen   TEXT NOT NULL,            -- canonical vehicle, or empty
  remark TEXT NOT NULL,
  file   INTEGER NOT NULL REFERENCES file(id),
  line   INTEGER NOT NULL
) STRICT;

-- The further places where the same note was read.
CREATE TABLE also (
  key  INTEGER NOT NULL REFERENCES note(key),
  file INTEGER NOT NULL REFERENCES file(id),
  line INTEGER NOT NULL,
  PRIMARY KEY (key, file, line)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER note_stays   BEFORE UPDATE ON note   BEGIN SELECT raise(ABORT, 'a note is never changed'); END;
CREATE TRIGGER note_remains BEFORE DELETE ON note   BEGIN SELECT raise(ABORT, 'a note is never deleted'); END;
CREATE TRIGGER also_stays   BEFORE UPDATE ON also   BEGIN SELECT raise(ABORT, 'where a note was read is never changed'); END;
CREATE TRIGGER also_remains BEFORE DELETE ON also   BEGIN SELECT raise(ABORT, 'where a note was read is never deleted'); END;
CREATE TRIGGER person_stays BEFORE UPDATE ON person WHEN new.id <> old.id OR new.key <> old.key
  BEGIN SELECT raise(ABORT, 'a person keeps their identity; only the spelling may improve'); END;
CREATE TRIGGER person_remains BEFORE DELETE ON person BEGIN SELECT raise(ABORT, 'a name is never deleted'); END;
CREATE TRIGGER point_stays  BEFORE UPDATE ON point  BEGIN SELECT raise(ABORT, 'a name is never changed'); END;
CREATE TRIGGER point_remains BEFORE DELETE ON point BEGIN SELECT raise(ABORT, 'a name is never deleted'); END;
CREATE TRIGGER file_stays   BEFORE UPDATE ON file   BEGIN SELECT raise(ABORT, 'a name is never changed'); END;
CREATE TRIGGER file_remains BEFORE DELETE ON file   BEGIN SELECT raise(ABORT, 'a name is never deleted'); END;
CREATE TRIGGER model_remains BEFORE DELETE ON model BEGIN SELECT raise(ABORT, 'a model is never deleted'); END;
CREATE TRIGGER model_stays BEFORE UPDATE ON model
  WHEN new.id <> old.id OR new.make_key <> old.make_key OR new.model_key <> old.model_key
  BEGIN SELECT raise(ABORT, 'a model keeps its identity; only its spelling may improve'); END;

-- Derived: a folded bucket (see the stored format in DEVELOPERS.md).
CREATE TABLE bucket (
  key   INTEGER PRIMARY KEY,
  notes INTEGER NOT NULL,
  fold  BLOB NOT NULL
) STRICT;

-- Derived: one row for each conflict; point 0 holds those of cavities, which go across points.
CREATE TABLE conflict (
  bucket  INTEGER NOT NULL,
  anchor  BLOB NOT NULL CHECK (length(anchor) = 10),
  certain INTEGER NOT NULL CHECK (certain IN (0, 1)),
  PRIMARY KEY (bucket, anchor, certain)
) STRICT, WITHOUT ROWID;

-- Derived: the positions 1 to 8 of a vehicle identification number, as notes taught them.
CREATE TABLE vin_model (
  pattern TEXT NOT NULL CHECK (length(pattern) = 8),
  model   INTEGER NOT NULL REFERENCES model(id),
  PRIMARY KEY (pattern, model)
) STRICT, WITHOUT ROWID;

-- In a new book this is made after the rows are in (see `book/create.rs`), which is much faster.
CREATE UNIQUE INDEX note_id ON note (id);

-- REPLACE would delete a row without asking the triggers above: what is there is never written over.
CREATE TRIGGER note_once   BEFORE INSERT ON note
  WHEN EXISTS (SELECT 1 FROM note WHERE key = new.key OR id = new.id)
  BEGIN SELECT raise(ABORT, 'a note is never changed'); END;
CREATE TRIGGER person_once BEFORE INSERT ON person
  WHEN EXISTS (SELECT 1 FROM person WHERE id = new.id OR key = new.key)
  BEGIN SELECT raise(ABORT, 'a name is never changed'); END;
CREATE TRIGGER point_once  BEFORE INSERT ON point
  WHEN EXISTS (SELECT 1 FROM point WHERE id = new.id OR name = new.name)
  BEGIN SELECT raise(ABORT, 'a name is never changed'); END;
CREATE TRIGGER file_once   BEFORE INSERT ON file
  WHEN EXISTS (SELECT 1 FROM file WHERE id = new.id OR name = new.name)
  BEGIN SELECT raise(ABORT, 'a name is never changed'); END;
CREATE TRIGGER model_once  BEFORE INSERT ON model
  WHEN EXISTS (SELECT 1 FROM model WHERE id = new.id OR (make_key = new.make_key AND model_key = new.model_key))
  BEGIN SELECT raise(ABORT, 'a model is never changed'); END;
