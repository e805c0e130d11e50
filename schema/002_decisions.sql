-- The book, version 2: decisions. A decision is true and never changed, as notes are; another takes it back.
-- `decided` and `follows` are derived from it: by what notes and by what later decisions it is found.

CREATE TABLE decision (
  id      BLOB PRIMARY KEY CHECK (length(id) = 10),
  kind    INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 6), -- uphold, narrow, split, separate, retire, recheck, reopen
  person  INTEGER NOT NULL REFERENCES person(id),
  day     INTEGER NOT NULL,         -- when it was made, in days since 1970-01-01
  because TEXT NOT NULL CHECK (because <> ''),
  follows TEXT NOT NULL,            -- JSON list: ids of the decisions that it comes after; `reopen` takes them back
  about   TEXT NOT NULL             -- JSON list: [id of a note, what it becomes, canonical years, canonical qualifiers]
) STRICT, WITHOUT ROWID;

CREATE TRIGGER decision_stays   BEFORE UPDATE ON decision
  BEGIN SELECT raise(ABORT, 'a decision is never changed'); END;
CREATE TRIGGER decision_remains BEFORE DELETE ON decision
  BEGIN SELECT raise(ABORT, 'a decision is never deleted'); END;
-- REPLACE would delete a row without asking the trigger above.
CREATE TRIGGER decision_once    BEFORE INSERT ON decision
  WHEN EXISTS (SELECT 1 FROM decision WHERE id = new.id)
  BEGIN SELECT raise(ABORT, 'a decision is never changed'); END;

-- Derived: the notes that decisions are about. A note may come into the book after the decision.
CREATE TABLE decided (
  note     BLOB NOT NULL CHECK (length(note) = 10),
  decision BLOB NOT NULL REFERENCES decision(id),
  PRIMARY KEY (note, decision)
) STRICT, WITHOUT ROWID;

-- Derived: which decisions come after which. The earlier may come into the book after the later.
CREATE TABLE follows (
  earlier BLOB NOT NULL CHECK (length(earlier) = 10),
  later   BLOB NOT NULL REFERENCES decision(id),
  PRIMARY KEY (earlier, later)
) STRICT, WITHOUT ROWID;

-- Derived, so that it may be made anew: conflicts have a state now.
DROP TABLE conflict;
CREATE TABLE conflict (
  bucket  INTEGER NOT NULL,
  anchor  BLOB NOT NULL CHECK (length(anchor) = 10),
  certain INTEGER NOT NULL CHECK (certain IN (0, 1)),
  state   INTEGER NOT NULL CHECK (state BETWEEN 0 AND 2), -- open, recheck, settled
  PRIMARY KEY (bucket, anchor, certain)
) STRICT, WITHOUT ROWID;
