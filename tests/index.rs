//! The index for search from outside: it is derived, and whatever happens to it, a search answers what the notes say.
//! It is damaged, lost, taken from another book, left behind by a killed process and used by several at once.

// The harness is shared with the tests of the command line, which use more of it.
#[allow(dead_code)]
#[path = "cli/cast.rs"]
mod cast;
#[allow(dead_code)]
#[path = "cli/harness.rs"]
mod harness;

use std::path::{Path, PathBuf};
use std::process::Child;
use std::time::{Duration, Instant};

use cast::{HEAD, ROW, TARN, TILLER, sheet};
use harness::{Run, Shop};

/// What is asked of every book here: each kind of thing that a note can mean.
const QUESTIONS: [&str; 6] =
    ["violet", "tarn 2016 ground", "1-3/8 in", "brke switch", "okafor M8", "many that say the same"];

/// The answers to all questions, as a script sees them.
fn answers(shop: &Shop) -> Vec<serde_json::Value> {
    QUESTIONS.iter().map(|words| shop.run(&format!("search {words} --limit 30 --json")).json()).collect()
}

/// The ids of what was found.
fn ids_of(found: &serde_json::Value) -> Vec<String> {
    let id = |hit: &serde_json::Value| hit["id"].as_str().expect("an id").to_owned();
    found.as_array().expect("a list").iter().map(id).collect()
}

/// The directory of the index that the book calls its own.
fn index(shop: &Shop) -> PathBuf {
    let mark: String = shop
        .sqlite()
        .query_row("SELECT value FROM setting WHERE name = 'index'", [], |row| row.get(0))
        .expect("the book has an index");
    let name = mark.split(' ').next().expect("its name");
    shop.path(&format!("book/index/{name}"))
}

/// The files of the index that hold what was indexed.
fn files(shop: &Shop) -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(index(shop))
        .expect("the index")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end != "lock"))
        .collect();
    files.sort();
    files
}

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

#[test]
fn what_is_added_is_found_by_the_next_search() {
    let shop = Shop::with(&[TARN, TILLER]);
    let before = answers(&shop);
    let line = "add 2016 tarn crew -p horn colour=BRN/WHT 'at=horn relay' --basis metered --by 'K. Nilsen' --on 2025-01-14 --yes";
    shop.run(line).must_be(0);
    let found = shop.run("search brown with white tracer --json").must_be(0).json();
    assert_eq!(found[0]["by"], "K. Nilsen");
    // It waits beside the index, and answers as it will from within.
    let beside = (answers(&shop), shop.run("search nilsen horn --json").json());
    shop.run("reindex").must_be(0);
    assert_eq!((answers(&shop), shop.run("search nilsen horn --json").json()), beside);
    assert_ne!(before[0], serde_json::json!([]), "there was something to find before");
}

#[test]
fn a_lost_index_is_made_anew() {
    let shop = Shop::with(&[TARN, TILLER]);
    let before = answers(&shop);
    std::fs::remove_dir_all(shop.path("book/index")).expect("the index goes");
    shop.run("search violet").must_be(0).must_tell("the index for search was made anew: it was missing");
    assert_eq!(answers(&shop), before);
    shop.run("check").must_be(0);
}

/// Each file is cut short, emptied, changed in one byte at three places, and taken away.
#[test]
fn a_damaged_index_is_made_anew() {
    type Damage = fn(&Path, Vec<u8>);
    let damages: [(&str, Damage); 6] = [
        ("emptied", |path, _| std::fs::write(path, b"").expect("it is written")),
        ("cut short", |path, bytes| std::fs::write(path, &bytes[..bytes.len() / 2]).expect("it is written")),
        ("changed at the start", |path, bytes| flip(path, bytes, 0)),
        ("changed in the middle", |path, bytes| {
            let middle = bytes.len() / 2;
            flip(path, bytes, middle);
        }),
        ("changed at the end", |path, bytes| {
            let last = bytes.len() - 1;
            flip(path, bytes, last);
        }),
        ("taken away", |path, _| std::fs::remove_file(path).expect("it goes")),
    ];
    let shop = Shop::with(&[TARN, TILLER]);
    let before = answers(&shop);
    let names: Vec<Option<String>> = files(&shop)
        .iter()
        .map(|path| path.extension().map(|end| end.to_string_lossy().into_owned()))
        .collect();
    let mut damaged = 0;
    for name in &names {
        for (how, damage) in &damages {
            // Every making gives its files other names; their kinds stand in one order.
            let of_kind =
                |path: &&PathBuf| path.extension().map(|end| end.to_string_lossy().into_owned()) == *name;
            let files = files(&shop);
            let Some(path) = files.iter().find(of_kind) else { continue };
            damage(path, std::fs::read(path).expect("a file of the index"));
            let run = shop.run("search violet --json").must_be(0);
            let first: Vec<serde_json::Value> =
                before[0].as_array().expect("a list").iter().take(10).cloned().collect();
            assert_eq!(run.json(), serde_json::Value::from(first), "{path:?} {how}");
            assert_eq!(answers(&shop), before, "{path:?} {how}");
            damaged += 1;
        }
    }
    assert!(damaged >= 24, "only {damaged} damages were tried");
}

fn flip(path: &Path, mut bytes: Vec<u8>, at: usize) {
    bytes[at] ^= 0x20;
    std::fs::write(path, bytes).expect("it is written");
}

/// Another book's index, and a book that was put back to an earlier copy.
#[test]
fn an_index_of_another_book_is_not_used() {
    let (own, other) = (Shop::with(&[TARN]), Shop::with(&[TILLER, TARN]));
    let before = answers(&own);
    let (to, from) = (index(&own), index(&other));
    std::fs::remove_dir_all(&to).expect("the own index goes");
    copy(&from, &to);
    assert_eq!(answers(&own), before);

    let shop = Shop::with(&[TARN]);
    let before = answers(&shop);
    std::fs::copy(shop.path("book/book.sqlite"), shop.path("earlier.sqlite")).expect("a copy");
    shop.write("more.csv", sheet_of("Later", 2500));
    shop.run("ingest more.csv").must_be(0);
    for end in ["", "-wal", "-shm"] {
        let _may_not_be_there = std::fs::remove_file(shop.path(&format!("book/book.sqlite{end}")));
    }
    std::fs::copy(shop.path("earlier.sqlite"), shop.path("book/book.sqlite")).expect("put back");
    assert_eq!(answers(&shop), before);
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("the index") {
        let entry = entry.expect("a file");
        std::fs::copy(entry.path(), to.join(entry.file_name())).expect("a copy");
    }
}

/// Where the catalogue changes, notes mean other things to the index.
#[test]
fn an_index_of_another_catalogue_is_made_anew() {
    let shop = Shop::with(&[TARN]);
    answers(&shop);
    let own = "version = 1\n\n[point.winch-feed]\ntitle = \"winch feed\"\naliases = [\"bare metal\"]\nanswers = \"one\"\nfields = [\"at\"]\nabout = \"x\"\ncheck = \"x\"\n";
    shop.write("book/points.toml", own);
    shop.run("search winch feed").must_be(0).must_tell("the index for search was made anew");
}

/// Where no index can be made, the notes themselves are searched.
#[test]
fn a_directory_that_may_not_be_written_is_searched_all_the_same() {
    let shop = Shop::with(&[TARN, TILLER]);
    let before = answers(&shop);
    std::fs::remove_dir_all(shop.path("book/index")).expect("the index goes");
    std::fs::write(shop.path("book/index"), "in the way").expect("a file");
    let run = shop.run("search violet --limit 30 --json").must_be(0);
    assert_eq!(run.json(), before[0]);
    run.must_tell("every note is read instead");
}

/// Enough notes that taking them in takes a while.
const MANY: usize = 3000;

/// Killed at any time while notes are loaded and taken into the index: the next search is right.
#[test]
fn killed_at_some_time_while_the_index_is_made() {
    let whole = Shop::with(&[TARN]);
    whole.write("many.csv", sheet_of("Many", MANY));
    let began = Instant::now();
    whole.run("ingest many.csv").must_be(0);
    let takes = began.elapsed();
    let (before, after) = (answers(&Shop::with(&[TARN])), answers(&whole));
    let mut killed = 0;
    for eighths in 1..=7 {
        let moment = takes * eighths / 8;
        let shop = Shop::with(&[TARN]);
        shop.write("many.csv", sheet_of("Many", MANY));
        let line = "ingest many.csv";
        let mut child = shop.start(line);
        let began = Instant::now();
        while child.try_wait().expect("a state").is_none() && began.elapsed() < moment {
            std::thread::sleep(Duration::from_millis(1));
        }
        let _may_have_ended = child.kill();
        killed += usize::from(Run::ended(line, child).status().is_none());
        let found = answers(&shop);
        assert!(found == before || found == after, "after {moment:?}");
        shop.run("ingest many.csv").must_be(0);
        assert_eq!(answers(&shop), after, "loaded again after {moment:?}");
        shop.run("check").must_be(0);
    }
    assert!(killed >= 3, "hardly one was killed in time: {killed}");
}

/// Killed while a search makes the index anew.
#[test]
fn killed_while_a_search_makes_the_index() {
    let shop = Shop::with(&[TARN]);
    shop.write("many.csv", sheet_of("Many", MANY));
    shop.run("ingest many.csv").must_be(0);
    let before = answers(&shop);
    for milliseconds in [30, 80, 150, 300] {
        std::fs::remove_dir_all(shop.path("book/index")).expect("the index goes");
        let mut child = shop.start("search violet");
        std::thread::sleep(Duration::from_millis(milliseconds));
        let _may_have_ended = child.kill();
        Run::ended("search violet", child);
        assert_eq!(answers(&shop), before, "after {milliseconds} ms");
    }
    let left = std::fs::read_dir(shop.path("book/index")).expect("the folder").flatten();
    assert_eq!(left.filter(|entry| entry.path().is_dir()).count(), 1, "what was half made is swept away");
}

/// Loading, searching and making anew at once: every search answers what the book held before or after a loading.
#[test]
fn several_processes_search_and_write_at_once() {
    let shop = Shop::with(&[TARN]);
    let one = ids_of(&shop.run("search violet --json").must_be(0).json());
    let sheets = 4;
    for at in 0..sheets {
        shop.write(&format!("{at}.csv"), sheet_of(&format!("Hand {at}"), 1500));
    }
    let mut children: Vec<(String, Child)> = Vec::new();
    for at in 0..sheets {
        for line in [format!("ingest {at}.csv"), "search violet --json".to_owned(), "reindex".to_owned()] {
            children.push((line.clone(), shop.start(&line)));
        }
    }
    for (line, child) in children {
        let run = Run::ended(&line, child).must_be(0);
        if line.starts_with("search") {
            assert_eq!(ids_of(&run.json()), one, "{}", run.stderr());
        }
    }
    let found = shop.run("search hand many --limit 9000 --json").must_be(0).json();
    assert_eq!(found.as_array().map(Vec::len), Some(sheets * 1500));
    shop.run("check").must_be(0);
}

/// A batch that was taken in although nobody could say so any more, as after a crash between the two: each note is
/// found once.
#[test]
fn a_batch_that_is_in_is_not_found_twice() {
    let shop = Shop::with(&[TARN]);
    shop.write("many.csv", sheet_of("Many", MANY));
    shop.run("ingest many.csv").must_be(0);
    shop.write("more.csv", sheet_of("More", 2500));
    shop.run("ingest more.csv").must_be(0);
    let before = answers(&shop);
    // As it was before the book was told: the generation of the index is one ahead, and the batch waits.
    let db = shop.sqlite();
    let (name, generation): (String, u64) = db
        .query_row("SELECT value FROM setting WHERE name = 'index'", [], |row| {
            let mark: String = row.get(0)?;
            let (name, generation) = mark.split_once(' ').expect("a mark");
            Ok((name.to_owned(), generation.parse().expect("a number")))
        })
        .expect("the mark");
    assert_eq!(generation, 2, "the second sheet was taken in by itself");
    db.execute_batch(&format!(
        "UPDATE setting SET value = '{name} {}' WHERE name = 'index';
         INSERT INTO waiting (key, batch) SELECT note.key, {generation} FROM note
         JOIN person ON person.id = note.person WHERE person.name = 'More'",
        generation - 1
    ))
    .expect("as before");
    drop(db);
    assert_eq!(answers(&shop), before);
    shop.write("again.csv", sheet_of("Again", 2500));
    shop.run("ingest again.csv").must_be(0);
    shop.run("check").must_be(0);
    let found = shop.run("search more many --by more --limit 9000 --json").must_be(0).json();
    assert_eq!(found.as_array().map(Vec::len), Some(2500));
}

/// The order in which notes come in leaves no trace in what is found, nor in its order.
#[test]
fn the_order_of_intake_changes_no_answer() {
    let rows = ["2016", "2017", "2018"].map(|year| ROW.replace(",2016,\n", &format!(",2016,about {year}\n")));
    let rows: Vec<&str> = rows.iter().map(String::as_str).collect();
    let (forth, back) = (sheet(&rows), sheet(&rows.iter().rev().copied().collect::<Vec<_>>()));
    let ids = |shop: &Shop| -> Vec<Vec<String>> { answers(shop).iter().map(ids_of).collect() };
    let one = Shop::with(&[TARN, TILLER, &forth]);
    let other = Shop::with(&[&back, TILLER, TARN]);
    assert_eq!(ids(&one), ids(&other));
}
