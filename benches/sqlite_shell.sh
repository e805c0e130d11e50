#!/usr/bin/env bash
# The plain thing a shop could have done: the sqlite3 shell's own .import, an index, and an FTS5 table.
# Usage: sqlite_shell.sh NOTES.csv DATABASE
set -euo pipefail
rm -f "$2"
sqlite3 "$2" >/dev/null <<SQL
.mode csv
.import '$1' note
CREATE INDEX note_by_point ON note (make, model, point);
CREATE VIRTUAL TABLE words USING fts5(make, model, point, colour, at, remark, content='note');
INSERT INTO words (words) VALUES ('rebuild');
SQL
