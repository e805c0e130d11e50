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
  printf '%-44s wall %s / %s s = %s x, processor %s x, peak %s KiB\n' "$title" "$ow" "$tw" "$(ratio "$ow" "$tw")" "$(ratio "$oc" "$tc")" "$om"
}

# A hundred starts in one process tree, since a single start is too short to time.
hundred() { for _ in $(seq 100); do "$@" >/dev/null 2>&1; done; }
export -f hundred

compare 'start, 100 times' bash -c "hundred $baybook --version" --- bash -c "hundred sqlite3 :memory: 'select 1'"
for notes in "${@:-10000 100000}"; do for n in $notes; do
  sheet=$place/$n.csv
  target/release/examples/make_notes "$n" > "$sheet"
  compare "load $n notes" bash -c "rm -rf $place/book; $baybook --book $place/book ingest $sheet" --- benches/sqlite_shell.sh "$sheet" "$place/sqlite.db"
  echo "size: book $(stat -c %s "$place/book/book.sqlite") bytes, sqlite3 file $(stat -c %s "$place/sqlite.db") bytes"
  for model in 0 300; do # the most noted model and a middling one, each asked of a year that its notes claim
    year=$((model == 0 ? 2008 : 2013))
    make="Maker $((model % 60))"
    query="SELECT * FROM note WHERE make = '$make' AND model = 'Model $model'"
    compare "lookup of model $model of $n, 20 times" \
      bash -c "for _ in \$(seq 20); do $baybook --book $place/book lookup --json '$make' 'Model $model' $year >/dev/null; done" --- \
      bash -c "for _ in \$(seq 20); do sqlite3 -json $place/sqlite.db \"$query\" >/dev/null; done"
  done
  # Words that no note has, those of one model, and a colour that one note in thirty has.
  for words in cinnamon 'Model 700' pink; do
    query="SELECT note.* FROM words JOIN note ON note.rowid = words.rowid WHERE words MATCH '${words/ / + }' ORDER BY bm25(words) LIMIT 10"
    compare "search for $words in $n, 20 times" \
      bash -c "for _ in \$(seq 20); do $baybook --book $place/book search --json '$words' >/dev/null; done" --- \
      bash -c "for _ in \$(seq 20); do sqlite3 -json $place/sqlite.db \"$query\" >/dev/null; done"
  done
  du -sb "$place/book" | awk '{print "size with the index: " $1 " bytes"}'
done; done
