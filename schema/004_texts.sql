-- The book, version 4: what many notes say in the same words stands once, and they hold its number. So it is with the
-- names of files, which stood in a table of their own. Notes go into a new table, everything else of them as it was;
-- what refers to them goes on doing so. `mark_of` is a function of the program (see `book/texts.rs`).

CREATE TABLE text (
  number INTEGER PRIMARY KEY,
  mark   INTEGER NOT NULL, -- 31 bits of a hash, by which it is found: an index on whole texts would hold all of them again
  text   TEXT NOT NULL
) STRICT;
CREATE INDEX new_mark ON text (mark); -- while notes are copied

INSERT INTO text (number, mark, text) SELECT id, mark_of(name), name FROM file;
INSERT INTO text (mark, text)
  SELECT mark_of(said), said FROM (SELECT said, min(key) AS first FROM note GROUP BY said)
  WHERE said NOT IN (SELECT name FROM file) ORDER BY first;

-- Dropped and made anew, not made beside and renamed: that would read the whole schema again, in every new book too.
CREATE TABLE old_also AS SELECT * FROM also;
CREATE TABLE old_note AS SELECT * FROM note;
DROP TABLE also;
DROP TABLE note;
DROP TABLE file;

CREATE TABLE note (
  key    INTEGER PRIMARY KEY,
  id     BLOB NOT NULL CHECK (length(id) = 10),
  years  TEXT NOT NULL,            -- canonical: 2015-2019, 2016, 2015-, -2018
  only   TEXT NOT NULL,            -- canonical qualifiers: built=2017-09..; cab=crew
  said   INTEGER NOT NULL REFERENCES text(number), -- JSON object: field to canonical text
  basis  INTEGER NOT NULL CHECK (basis BETWEEN 0 AND 4), -- metered, fitted, inspected, diagram, told
  person INTEGER NOT NULL REFERENCES person(id),
  day    INTEGER NOT NULL,         -- when it was written, in days since 1970-01-01
  seen   TEXT NOT NULL,            -- canonical vehicle, or empty
  remark TEXT NOT NULL,
  file   INTEGER NOT NULL REFERENCES text(number),
  line   INTEGER NOT NULL
) STRICT;
INSERT INTO note (key, id, years, only, said, basis, person, day, seen, remark, file, line)
  SELECT key, id, years, only, (SELECT number FROM text WHERE mark = mark_of(said) AND text = said),
         basis, person, day, seen, remark, file, line
  FROM old_note ORDER BY key;

CREATE TABLE also (
  key  INTEGER NOT NULL REFERENCES note(key),
  file INTEGER NOT NULL REFERENCES text(number),
  line INTEGER NOT NULL,
  PRIMARY KEY (key, file, line)
) STRICT, WITHOUT ROWID;
INSERT INTO also (key, file, line) SELECT key, file, line FROM old_also;

DROP TABLE old_also;
DROP TABLE old_note;
DROP INDEX new_mark;

CREATE TRIGGER also_stays   BEFORE UPDATE ON also BEGIN SELECT raise(ABORT, 'where a note was read is never changed'); END;
CREATE TRIGGER also_remains BEFORE DELETE ON also BEGIN SELECT raise(ABORT, 'where a note was read is never deleted'); END;
CREATE TRIGGER text_stays   BEFORE UPDATE ON text BEGIN SELECT raise(ABORT, 'what notes say is never changed'); END;
CREATE TRIGGER text_remains BEFORE DELETE ON text BEGIN SELECT raise(ABORT, 'what notes say is never deleted'); END;
CREATE TRIGGER note_stays   BEFORE UPDATE ON note BEGIN SELECT raise(ABORT, 'a note is never changed'); END;
CREATE TRIGGER note_remains BEFORE DELETE ON note BEGIN SELECT raise(ABORT, 'a note is never deleted'); END;

-- In a new book what follows is made after the rows are in (see `book/create.rs`), which is much faster.
CREATE UNIQUE INDEX note_id ON note (id);
CREATE INDEX text_mark ON text (mark);
-- REPLACE would delete a row without asking the triggers above.
CREATE TRIGGER text_once    BEFORE INSERT ON text
  WHEN EXISTS (SELECT 1 FROM text WHERE number = new.number)
    OR EXISTS (SELECT 1 FROM text WHERE mark = new.mark AND text = new.text)
  BEGIN SELECT raise(ABORT, 'what notes say is never changed'); END;
CREATE TRIGGER note_once    BEFORE INSERT ON note
  WHEN EXISTS (SELECT 1 FROM note WHERE key = new.key OR id = new.id)
  BEGIN SELECT raise(ABORT, 'a note is never changed'); END;
