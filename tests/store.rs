//! The store from outside: nothing in it is ever changed, several processes write at once, a process is killed in
//! the middle, and readers read on.

// The harness is shared with the tests of the command line, which use more of it.
#[allow(dead_code)]
#[path = "cli/cast.rs"]
mod cast;
#[allow(dead_code)]
#[path = "cli/harness.rs"]
mod harness;

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader};
use std::process::Child;
use std::time::{Duration, Instant};

use cast::{HEAD, TARN, TILLER};
use harness::{Run, Shop};

/// A sheet of this many notes, none of which another `hand` has.
fn sheet_of(hand: &str, notes: usize) -> String {
    let row = |at: usize| {
        let (model, day) = (at % 23, 1 + at % 28);
        format!(
            "Quillon,Tarn {model},2016,ground,left inner fender,M8,fitted,{hand},2024-03-{day:02},2016,note {at} of many that say the same\n"
        )
    };
    (0..notes).map(row).fold(HEAD.to_owned(), |sheet, row| sheet + &row)
}

fn ids(shop: &Shop) -> BTreeSet<String> {
    let notes = shop.run("export --json").must_be(0).json();
    notes
        .as_array()
        .expect("notes")
        .iter()
        .map(|note| note["id"].as_str().expect("an id").to_owned())
        .collect()
}

/// How many notes of the export are by this hand.
fn notes_by(content: &str, hand: &str) -> usize {
    content.lines().filter(|line| line.contains(&format!(",{hand},"))).count()
}

#[test]
fn the_schema_refuses_to_change_or_delete_what_was_told() {
    let shop = Shop::with(&[TARN, TARN, TILLER]);
    let before = shop.content();
    let db = shop.sqlite();
    let columns = "id, years, only, said, basis, person, day, seen, remark, file, line";
    for statement in [
        "UPDATE note SET remark = 'x'".to_owned(),
        "UPDATE OR REPLACE note SET key = key + 1".to_owned(),
        "UPDATE OR IGNORE note SET remark = 'x'".to_owned(),
        "DELETE FROM note".to_owned(),
        format!("REPLACE INTO note (key, {columns}) SELECT key, {columns} FROM note"),
        format!("REPLACE INTO note (key, {columns}) SELECT key + 1000, {columns} FROM note"),
        format!("INSERT INTO note (key, {columns}) SELECT key, {columns} FROM note WHERE 1 ON CONFLICT DO UPDATE SET remark = 'x'"),
        "UPDATE also SET line = 99".to_owned(),
        "DELETE FROM also".to_owned(),
        "UPDATE person SET key = 'somebodyelse', name = 'Somebody Else'".to_owned(),
        "DELETE FROM person".to_owned(),
        "REPLACE INTO person (id, key, name) SELECT id, key, 'Somebody Else' FROM person".to_owned(),
        "REPLACE INTO person (key, name) SELECT key, 'Somebody Else' FROM person".to_owned(),
        "UPDATE point SET name = name || 'x'".to_owned(),
        "DELETE FROM point".to_owned(),
        "REPLACE INTO point (id, name) SELECT id, name || 'x' FROM point".to_owned(),
        "UPDATE text SET text = text || 'x'".to_owned(),
        "UPDATE text SET number = number + 1".to_owned(),
        "UPDATE OR REPLACE text SET mark = 1".to_owned(),
        "DELETE FROM text".to_owned(),
        "REPLACE INTO text (number, mark, text) SELECT number, mark, text || 'x' FROM text".to_owned(),
        "REPLACE INTO text (mark, text) SELECT mark, text FROM text".to_owned(),
        "INSERT INTO text (mark, text) SELECT mark, text FROM text".to_owned(),
        "UPDATE model SET make_key = 'x'".to_owned(),
        "DELETE FROM model".to_owned(),
        "REPLACE INTO model (id, make, model, make_key, model_key) SELECT id, 'Zephane', model, 'zephane', model_key FROM model".to_owned(),
    ] {
        let error = db.execute_batch(&statement).expect_err(&statement).to_string();
        assert!(error.contains("never changed") || error.contains("never deleted") || error.contains("identity"), "{statement}: {error}");
    }
    drop(db);
    assert_eq!(shop.content(), before);
    shop.run("check").must_be(0);
}

/// Several processes load at once; some of what they load is the same.
fn at_once(processes: usize, shop: &Shop, before: usize) {
    const NOTES: usize = 300;
    let names: Vec<String> = (0..processes).map(|at| format!("hand-{at}.csv")).collect();
    for (at, name) in names.iter().enumerate() {
        let common = sheet_of("Everybody", NOTES).replacen(HEAD, "", 1);
        shop.write(name, sheet_of(&format!("Hand {at}"), NOTES) + &common);
    }
    let children: Vec<(String, Child)> = names
        .iter()
        .map(|name| format!("ingest {name}"))
        .map(|line| (line.clone(), shop.start(&line)))
        .collect();
    let mut new = 0;
    for (line, child) in children {
        let told = Run::ended(&line, child).must_be(0).stdout();
        let count = told
            .split(", ")
            .find_map(|part| part.strip_suffix(" new"))
            .and_then(|count| count.parse::<usize>().ok());
        new += count.expect("the number of new notes");
    }
    assert_eq!(new, (processes + 1) * NOTES, "each note is new to exactly one of them");
    assert_eq!(ids(shop).len(), before + new);
    let content = shop.content();
    for hand in (0..processes).map(|at| format!("Hand {at}")).chain(["Everybody".to_owned()]) {
        assert_eq!(notes_by(&content, &hand), NOTES, "{hand}");
    }
    shop.run("check").must_be(0);
    let left: Vec<String> = std::fs::read_dir(shop.path("book"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    assert!(left.iter().all(|name| !name.contains("draft")), "{left:?}");
}

#[test]
fn two_processes_make_one_book() {
    at_once(2, &Shop::new(), 0);
}

#[test]
fn eight_processes_make_one_book() {
    at_once(8, &Shop::new(), 0);
}

#[test]
fn two_processes_write_into_one_book() {
    at_once(2, &Shop::with(&[TARN]), 10);
}

#[test]
fn eight_processes_write_into_one_book() {
    at_once(8, &Shop::with(&[TARN]), 10);
}

/// Two books made apart and brought together are the book that would have been made at once.
#[test]
fn merging_is_a_union() {
    let (one, other, both) = (Shop::with(&[TARN]), Shop::with(&[TILLER, TARN]), Shop::with(&[TARN, TILLER]));
    one.write("other.csv", other.content());
    one.run("ingest other.csv").must_be(0);
    assert_eq!(one.content(), both.content());
    assert_eq!(one.run("conflicts").to_string(), both.run("conflicts").to_string());
}

/// Notes of the sheet on whose loading a process is killed: enough for it to take a while.
const LONG: usize = 10_000;

/// Kills a loading of two sheets when `is_time` says so; both or none must be in, and the book sound.
fn killed(shop: &Shop, before: usize, is_time: impl Fn(&Shop, Instant) -> bool) -> bool {
    let line = "ingest one.csv two.csv";
    let mut child = shop.start(line);
    let began = Instant::now();
    while child.try_wait().expect("a state").is_none() && !is_time(shop, began) {
        std::thread::sleep(Duration::from_micros(200));
    }
    let _may_have_ended = child.kill();
    let run = Run::ended(line, child);
    if !shop.path("book/book.sqlite").exists() {
        assert_eq!((before, run.status()), (0, None), "no book");
        return true;
    }
    shop.run("check").must_be(0);
    let content = shop.content();
    let (one, two, all) = (notes_by(&content, "One"), notes_by(&content, "Two"), content.lines().count() - 1);
    assert!([0, LONG].contains(&one) && [0, LONG].contains(&two), "a part of a file is in: {one}, {two}");
    assert_eq!(all, if run.status() == Some(0) { before + 2 * LONG } else { before + one + two });
    run.status().is_none()
}

/// The bytes of files in the book's directory whose name holds this.
fn bytes(shop: &Shop, name: &str) -> u64 {
    let entries = std::fs::read_dir(shop.path("book")).into_iter().flatten().flatten();
    let sizes = entries
        .filter(|entry| entry.file_name().to_string_lossy().contains(name))
        .map(|entry| entry.metadata().map_or(0, |found| found.len()));
    sizes.sum()
}

fn long_sheets(shop: &Shop) {
    shop.write("one.csv", sheet_of("One", LONG));
    shop.write("two.csv", sheet_of("Two", LONG));
}

/// Killed while it writes: as soon as the log of changes has grown to so many bytes.
#[test]
fn killed_in_the_middle_of_writing_into_a_book() {
    let mut in_the_middle = 0;
    for size in [1, 500_000, 2_000_000, 4_000_000] {
        let shop = Shop::with(&[TARN]);
        long_sheets(&shop);
        let old = bytes(&shop, "-wal");
        in_the_middle += usize::from(killed(&shop, 10, |shop, _| bytes(shop, "-wal") > old + size));
        // What was left behind hinders nobody.
        shop.run("ingest one.csv two.csv").must_be(0);
        assert_eq!(shop.content().lines().count(), 1 + 10 + 2 * LONG);
    }
    assert!(in_the_middle >= 2, "hardly one was killed in time");
}

/// Killed while it makes a new book: as soon as the draft has grown to so many bytes.
#[test]
fn killed_in_the_middle_of_making_a_book() {
    let mut in_the_middle = 0;
    for size in [0, 300_000, 2_000_000] {
        let shop = Shop::new();
        long_sheets(&shop);
        in_the_middle += usize::from(killed(&shop, 0, |shop, _| bytes(shop, "draft") > size));
        shop.run("ingest one.csv two.csv").must_be(0);
        assert_eq!(shop.content().lines().count(), 1 + 2 * LONG);
    }
    assert!(in_the_middle >= 1, "none was killed in time");
}

/// Killed at any time at all.
#[test]
fn killed_at_some_time() {
    for milliseconds in [5, 40, 90, 150, 250, 400, 700] {
        let shop = Shop::with(&[TARN]);
        long_sheets(&shop);
        killed(&shop, 10, |_, began| began.elapsed() > Duration::from_millis(milliseconds));
    }
}

/// A draft that a killed process left is swept away once it has lain for long; one in work is not.
#[test]
fn what_a_killed_process_left_is_swept_away() {
    let shop = Shop::new();
    shop.write("book/book.draft-1", "half a book");
    shop.write("book/book.draft-2", "half a book in work");
    let long_ago = std::time::SystemTime::now() - Duration::from_secs(2 * 60 * 60);
    let file = std::fs::File::options().write(true).open(shop.path("book/book.draft-1")).expect("it opens");
    file.set_modified(long_ago).expect("its time is set");
    shop.write("tarn.csv", TARN);
    shop.run("ingest tarn.csv").must_be(0);
    assert!(!shop.path("book/book.draft-1").exists() && shop.path("book/book.draft-2").exists());
}

/// When the report is out, the notes are in: the process is killed as soon as its first line can be read.
#[test]
fn what_was_acknowledged_survives() {
    for sheets in [&[][..], &[TILLER][..]] {
        for _ in 0..4 {
            let shop = Shop::with(sheets);
            shop.write("tarn.csv", TARN);
            let mut child = shop.start("ingest tarn.csv");
            let mut line = String::new();
            BufReader::new(child.stdout.take().expect("a pipe")).read_line(&mut line).expect("a line");
            let _may_have_ended = child.kill();
            child.wait().expect("it ends");
            assert!(line.starts_with("1 file, 10 rows, 10 new"), "{line}");
            assert_eq!(notes_by(&shop.content(), "R. Okafor"), if sheets.is_empty() { 4 } else { 5 });
            shop.run("check").must_be(0);
        }
    }
}

#[test]
fn readers_read_on_while_another_writes() {
    let shop = Shop::with(&[TARN]);
    long_sheets(&shop);
    let right = shop.run("lookup 2016 quillon tarn").must_be(0).stdout();
    let mut child = shop.start("ingest one.csv two.csv");
    let mut meanwhile = 0;
    while child.try_wait().expect("a state").is_none() {
        // Ids are shown longer in a larger book; what else is said of this truck stays the same.
        let told = shop.run("lookup 2016 quillon tarn").must_be(0).stdout();
        assert_eq!(told.lines().next(), right.lines().next());
        assert_eq!(told.matches("Prove it: ").count(), right.matches("Prove it: ").count());
        let all = shop.content().lines().count() - 1;
        assert!([10, 10 + 2 * LONG].contains(&all), "{all} notes: a part of what is being written is seen");
        meanwhile += 1;
    }
    Run::ended("ingest one.csv two.csv", child).must_be(0);
    assert!(meanwhile >= 2, "the writer was too quick for this test");
}

/// A reader in the middle of a long answer keeps its view, and holds nobody up.
#[test]
fn a_long_answer_holds_no_writer_up() {
    let shop = Shop::with(&[TARN]);
    let db = shop.sqlite();
    let count =
        || db.query_row("SELECT count(*) FROM note", [], |row| row.get::<_, i64>(0)).expect("a count");
    db.execute_batch("BEGIN").expect("a view");
    assert_eq!(count(), 10);
    shop.write("tiller.csv", TILLER);
    shop.run("ingest tiller.csv").must_be(0);
    assert_eq!(count(), 10, "the view stays");
    db.execute_batch("COMMIT").expect("the end of the view");
    assert_eq!(count(), 12);
}

/// The schema files of the formats that a book may have been made by.
const OLDER: [&str; 3] = [
    include_str!("../schema/001_book.sql"),
    include_str!("../schema/002_decisions.sql"),
    include_str!("../schema/003_search.sql"),
];

/// Makes the book of a shop one of an older format, as the schema files up to that alone would have it.
fn as_format(format: usize, shop: &Shop) {
    let old = shop.path("old.sqlite");
    let db = rusqlite::Connection::open(&old).expect("a new file");
    OLDER[..format].iter().for_each(|schema| db.execute_batch(schema).expect("an older schema"));
    db.pragma_update(None, "application_id", 0x6261_7962).expect("it is marked as a book");
    db.pragma_update(None, "user_version", format).expect("it is marked as of that format");
    let new = shop.path("book/book.sqlite").display().to_string();
    db.execute("ATTACH ?1 AS new", [new]).expect("the book of today");
    db.execute_batch(
        "INSERT INTO main.file SELECT number, text FROM new.text
         WHERE number IN (SELECT file FROM new.note UNION SELECT file FROM new.also);
         INSERT INTO main.model SELECT * FROM new.model;
         INSERT INTO main.point SELECT * FROM new.point;
         INSERT INTO main.person SELECT * FROM new.person;
         INSERT INTO main.note SELECT key, id, years, only, text, basis, person, day, seen, remark, file, line
         FROM new.note JOIN new.text ON number = said;
         INSERT INTO main.also SELECT * FROM new.also;
         INSERT INTO main.setting SELECT * FROM new.setting;",
    )
    .expect("what was told");
    let derived = ["bucket", "conflict", "vin_model", "decision", "decided", "follows", "fallen", "waiting"];
    if format == OLDER.len() {
        let copy = |table| db.execute_batch(&format!("INSERT INTO main.{table} SELECT * FROM new.{table}"));
        derived.iter().for_each(|table| copy(table).expect("what goes with it"));
    } else {
        let old = "UPDATE main.setting SET value = '3-old' WHERE name = 'derived';
                   DELETE FROM main.setting WHERE name = 'index'";
        db.execute_batch(old).expect("what is derived is of older rules");
    }
    drop(db);
    for end in ["", "-wal", "-shm"] {
        let _may_not_be_there = std::fs::remove_file(shop.path(&format!("book/book.sqlite{end}")));
    }
    std::fs::rename(old, shop.path("book/book.sqlite")).expect("the old book is in place");
}

/// An older book is copied, then brought up to date; nothing that it says changes, and it can be decided in.
#[test]
fn an_older_book_is_migrated_after_a_backup() {
    for format in 1..=OLDER.len() {
        let shop = Shop::with(&[TARN, TILLER]);
        // Read at another place, too: that goes with the note.
        shop.write("again.csv", TARN);
        shop.run("ingest again.csv").must_be(0);
        let told = ["conflicts --json", "search --json stop lamp switch", "history n-eo6l3c --json"];
        let answers = || told.map(|command| shop.run(command).must_be(0).stdout());
        let (content, before) = (shop.content(), answers());
        assert!(before[2].contains("again.csv"));
        as_format(format, &shop);
        shop.run("conflicts").must_be(0).must_tell(&format!("the book had format {format}"));
        assert_eq!(answers(), before);
        assert_eq!(shop.content(), content);
        shop.run("check").must_be(0);
        let copy =
            rusqlite::Connection::open(shop.path("book/book.before-format-4.sqlite")).expect("the copy");
        let kept: usize =
            copy.pragma_query_value(None, "user_version", |row| row.get(0)).expect("its format");
        let notes: i64 =
            copy.query_row("SELECT count(*) FROM note", [], |row| row.get(0)).expect("its notes");
        assert_eq!((kept, notes), (format, 12));
        shop.run("reconcile c-eo6l3c uphold 1 --because x --by x --yes").must_be(0);
        let again = shop.run("ingest again.csv").must_be(0).stdout();
        assert!(again.contains("10 already known"), "{again}");
        shop.run("check").must_be(0);
    }
}

/// Several processes open an older book at once: one of them migrates it.
#[test]
fn several_processes_migrate_one_book() {
    for format in [1, OLDER.len()] {
        let shop = Shop::with(&[TARN, TILLER]);
        let content = shop.content();
        as_format(format, &shop);
        let children: Vec<Child> = (0..4).map(|_| shop.start("export")).collect();
        for child in children {
            assert_eq!(Run::ended("export", child).must_be(0).stdout(), content);
        }
        shop.run("check").must_be(0);
    }
}

/// What notes say alike is kept once, whether it comes in at once or later, typed or in free words.
#[test]
fn what_several_notes_say_is_kept_once() {
    let shop = Shop::with(&[TARN]);
    let texts = || -> (i64, i64, i64) {
        let count =
            "SELECT count(*), count(DISTINCT text), (SELECT count(DISTINCT said) FROM note) FROM text";
        shop.sqlite().query_row(count, [], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).expect("counts")
    };
    let (all, distinct, said) = texts();
    assert_eq!((all, distinct), (said + 1, said + 1), "what is said, and the name of the file");
    let prose = |by: &str| {
        format!("add 2016 quillon tarn -p cable-route at=firewall avoid=exhaust --basis told --by {by} --yes")
    };
    for command in [prose("a"), prose("b")] {
        shop.run(&command).must_be(0);
    }
    shop.write("later.csv", TARN.replace("2024-03-11", "2024-03-12"));
    shop.run("ingest later.csv").must_be(0);
    let (more, distinct, said_now) = texts();
    assert_eq!((more, distinct, said_now), (all + 3, all + 3, said + 1), "one saying, two more origins");
    shop.run("check").must_be(0);
}

#[test]
fn the_schema_refuses_to_change_or_delete_a_decision() {
    let shop = Shop::with(&[TARN]);
    shop.run("reconcile c-eo6l3c uphold 1 --because x --by x --yes").must_be(0);
    let before = shop.content();
    let db = shop.sqlite();
    let columns = "kind, person, day, because, follows, about";
    for statement in [
        "UPDATE decision SET because = 'y'".to_owned(),
        "UPDATE OR IGNORE decision SET because = 'y'".to_owned(),
        "DELETE FROM decision".to_owned(),
        format!(
            "REPLACE INTO decision (id, {columns}) SELECT id, kind, person, day, 'y', follows, about FROM decision"
        ),
        format!(
            "INSERT INTO decision (id, {columns}) SELECT id, {columns} FROM decision WHERE 1 ON CONFLICT DO UPDATE SET because = 'y'"
        ),
    ] {
        let error = db.execute_batch(&statement).expect_err(&statement).to_string();
        assert!(error.contains("never changed") || error.contains("never deleted"), "{statement}: {error}");
    }
    drop(db);
    assert_eq!(shop.content(), before);
    shop.run("check").must_be(0);
}

/// Several people settle one conflict at once: each decision was made on what its maker saw, so one is written, and
/// the others are told that the book changed meanwhile, or that it is settled already.
#[test]
fn one_of_several_processes_settles_a_conflict() {
    let shop = Shop::with(&[TARN]);
    let line =
        |by: usize| format!("reconcile c-eo6l3c uphold {} --because x --by hand{by} --yes", 1 + by % 2);
    let children: Vec<(String, Child)> = (0..6).map(|by| (line(by), shop.start(&line(by)))).collect();
    let mut written = 0;
    for (line, child) in children {
        let run = Run::ended(&line, child);
        if run.status() == Some(0) {
            written += 1;
            continue;
        }
        let told = run.stderr().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            told.contains("another process wrote about this model meanwhile: d-")
                || told.contains("is settled already"),
            "{run}"
        );
    }
    assert_eq!(written, 1);
    let decisions = shop.run("conflicts c-eo6l3c --json").json()[0]["decisions"].as_array().map(Vec::len);
    assert_eq!(decisions, Some(1));
    shop.run("check").must_be(0);
}
