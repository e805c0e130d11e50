#!/usr/bin/env bash
# Whole processes, in turn, against the sqlite3 shell on the same generated notes: ratios, not absolute times.
# Usage: benches/against_sqlite.sh [NOTES...]   (default 10000 100000; needs sqlite3 and GNU time)
set -euo pipefail
cd "$(dirname "$0")/.."
cargo build --quiet --release --bins --examples
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
baybook=target/release/baybook

# Median wall and processor seconds of five runs of a command.
timed() {
  for _ in 1 2 3 4 5; do
    /usr/bin/time -o "$place/time" -f '%e %U %S %M' "$@" >/dev/null 2>&1 || true
    awk '{print $1, $2 + $3, $4}' "$place/time" | tail -n 1
  done | sort -n | sed -n 3p
}

ratio() { awk -v a="$1" -v b="$2" 'BEGIN { if (b > 0) printf "%.2f", a / b; else printf "-" }'; }

compare() { # title, our command ---, their command
  local title=$1; shift
  local ours=() theirs=()
  while [ "$1" != '---' ]; do ours+=("$1"); shift; done
  shift; theirs=("$@")
  read -r ow oc om <<<"$(timed "${ours[@]}")"
  read -r tw tc _ <<<"$(timed "${theirs[@]}")"
  last=$ow
  printf '%-44s wall %s / %s s = %s x, processor %s x, peak %s KiB\n' "$title" "$ow" "$tw" "$(ratio "$ow" "$tw")" "$(ratio "$oc" "$tc")" "$om"
}

# A hundred starts in one process tree, since a single start is too short to time.
hundred() { for _ in $(seq 100); do "$@" >/dev/null 2>&1; done; }
export -f hundred

# What is searched for: our words, then the same in FTS5, where words stand side by side only in quotes. Of a million
# generated notes about none, 230, 9,000 and 33,000 match; the words with slips in them have no counterpart.
searches=(
  'tachometer|tachometer'
  'model 1450|"model 1450"'
  'model 4|"model 4"'
  'pink|pink'
)

# Twenty searches for the same: our book, words.
ours_twenty() { for _ in $(seq 20); do "$baybook" --book "$1" search --json --limit 10 $2 >/dev/null 2>&1; done; }

# The same of the shell: database, words as FTS5 has them.
theirs_twenty() {
  local query="SELECT note.*, bm25(words) FROM words JOIN note ON note.rowid = words.rowid WHERE words MATCH '$2' ORDER BY bm25(words) LIMIT 10"
  for _ in $(seq 20); do sqlite3 -json "$1" "$query" >/dev/null; done
}

# One note more, told on its own; ours is checked against its bucket, and both are found by the next search.
ours_add() {
  "$baybook" --book "$1" add 2012 'Maker 0' 'Model 300' -p horn colour=green --basis told --by 'A. Bench' --on 2024-01-01 --remark "no $2" --yes >/dev/null
}
theirs_add() {
  local cells="'Maker 0', 'Model 300', 'green', '', 'no $2'"
  sqlite3 "$1" "INSERT INTO note (make, model, colour, at, remark) VALUES ($cells); INSERT INTO words (rowid, make, model, colour, at, remark) VALUES (last_insert_rowid(), $cells)" >/dev/null
}
twenty_adds() { for _ in $(seq 20); do "$1" "$2" "$EPOCHREALTIME"; done; }
export baybook
export -f ours_twenty theirs_twenty ours_add theirs_add twenty_adds

# Search on the book and the database of so many notes.
search() {
  local n=$1 pair ours theirs matches
  # What is timed is run in silence; here it would be heard that it fails.
  "$baybook" --book "$place/book" search --json pink >/dev/null
  for pair in "${searches[@]}"; do
    ours=${pair%%|*} theirs=${pair##*|}
    matches=$(sqlite3 "$place/sqlite.db" "SELECT count(*) FROM words WHERE words MATCH '$theirs'")
    compare "search '$ours' of $n, $matches match, 20 times" \
      bash -c "ours_twenty $place/book '$ours'" --- bash -c "theirs_twenty $place/sqlite.db '$theirs'"
    : "${first[$ours]:=$last}"
    echo "  against the first size: $(ratio "$last" "${first[$ours]}") x"
  done
  compare "search with slips against exact of $n" \
    bash -c "ours_twenty $place/book 'vilet whte trcer stp lamp swich'" --- \
    bash -c "ours_twenty $place/book 'violet white tracer stop lamp switch'"
  # A copy of its own takes the adds, so that the book as it was stays beside it.
  rm -rf "$place/more" && cp -r "$place/book" "$place/more"
  ours_add "$place/more" first
  compare "add to $n, 20 times" \
    bash -c "twenty_adds ours_add $place/more" --- bash -c "twenty_adds theirs_add $place/sqlite.db"
  for i in $(seq 899); do ours_add "$place/more" "more $i"; done # a hundred and one were added above
  for pair in "${searches[@]}"; do
    compare "search '${pair%%|*}' with 1,000 more, against none" \
      bash -c "ours_twenty $place/more '${pair%%|*}'" --- bash -c "ours_twenty $place/book '${pair%%|*}'"
  done
}

declare -A first
compare 'start, 100 times' bash -c "hundred $baybook --version" --- bash -c "hundred sqlite3 :memory: 'select 1'"
for notes in "${@:-10000 100000}"; do for n in $notes; do
  sheet=$place/$n.csv
  target/release/examples/make_notes "$n" > "$sheet"
  compare "load $n notes" bash -c "rm -rf $place/book; $baybook --book $place/book ingest $sheet" --- benches/sqlite_shell.sh "$sheet" "$place/sqlite.db"
  echo "size: book with its index $(du -sb "$place/book" | cut -f 1) bytes, sqlite3 file $(stat -c %s "$place/sqlite.db") bytes"
  for model in 0 300; do # the most noted model and a middling one, each asked of a year that its notes claim
    year=$((model == 0 ? 2008 : 2013))
    make="Maker $((model % 60))"
    query="SELECT * FROM note WHERE make = '$make' AND model = 'Model $model'"
    compare "lookup of model $model of $n, 20 times" \
      bash -c "for _ in \$(seq 20); do $baybook --book $place/book lookup --json '$make' 'Model $model' $year >/dev/null; done" --- \
      bash -c "for _ in \$(seq 20); do sqlite3 -json $place/sqlite.db \"$query\" >/dev/null; done"
  done
  search "$n"
done; done
