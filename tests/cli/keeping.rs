//! Keeping the book: `history`, `export`, `backup`, `check`, `reindex`.

use insta::assert_snapshot;

use crate::cast::{TARN, TILLER};
use crate::harness::Shop;

/// The id of the last note by this person on this point.
fn note(shop: &Shop, point: &str, by: &str) -> String {
    let notes = shop.run("export --json").json();
    let found =
        notes.as_array().expect("notes").iter().rev().find(|note| note["point"] == point && note["by"] == by);
    found.and_then(|note| note["id"].as_str()).expect("such a note").to_owned()
}

#[test]
fn a_note_in_full() {
    let shop = Shop::with(&[TARN, TARN]);
    let id = note(&shop, "brake-signal", "R. Okafor");
    assert_snapshot!(shop.run(&format!("history {id}")), @r"
    $ baybook history n-jbnfdpcardiag4hv
    n-jbnfdpcardiag4hv, Quillon Tarn, brake signal
      Claimed for: 2015-2019, tow package
      Where: stop lamp switch
      Cavity: 2
      Colour: VT/WH
      Connector: C210
      Signal: positive
      Remark: 0 V pedal up and 12.4 V pedal down
      Written: 2024-03-11, R. Okafor, metered, on 2016; cab=crew; tow=yes
      Read from: sheet-1.csv, line 2
      Read from: sheet-2.csv, line 2
    --- status 0
    ");
    assert_snapshot!(shop.run(&format!("history {id} --json")), @r#"
    $ baybook history n-jbnfdpcardiag4hv --json
    {
      "basis": "metered",
      "by": "R. Okafor",
      "decisions": [],
      "holds_for": {
        "only": {
          "tow": [
            "yes"
          ]
        },
        "years": [
          2015,
          2019
        ]
      },
      "id": "n-jbnfdpcardiag4hv",
      "make": "Quillon",
      "model": "Tarn",
      "on": "2024-03-11",
      "origins": [
        {
          "file": "sheet-1.csv",
          "line": 2
        },
        {
          "file": "sheet-2.csv",
          "line": 2
        }
      ],
      "point": "brake-signal",
      "remark": "0 V pedal up and 12.4 V pedal down",
      "replaced_by": null,
      "scope": {
        "only": {
          "tow": [
            "yes"
          ]
        },
        "years": [
          2015,
          2019
        ]
      },
      "seen": "2016; cab=crew; tow=yes",
      "standing": "stands",
      "values": {
        "at": "stop lamp switch",
        "cavity": "2",
        "colour": "VT/WH",
        "connector": "C210",
        "signal": "positive"
      }
    }
    --- status 0
    "#);
    assert_snapshot!(shop.run("history c-abcdef"), @r"
    $ baybook history c-abcdef
    --- standard error
    nothing found: there is nothing with the id 'c-abcdef' in this book
    hint: `baybook conflicts` lists the conflicts, `baybook lookup` shows the ids of
      notes
    --- status 1
    ");
    assert_snapshot!(shop.run("history n-aaaaaa"), @r"
    $ baybook history n-aaaaaa
    --- standard error
    nothing found: there is nothing with the id 'n-aaaaaa' in this book
    hint: `baybook conflicts` lists the conflicts, `baybook lookup` shows the ids of
      notes
    --- status 1
    ");
}

/// Two spellings of one name are one person; a bucket that began with the second was once found to be unsound.
#[test]
fn a_person_is_shown_as_first_written_and_the_book_stays_sound() {
    let shop = Shop::with(&[TARN]);
    let rows = "Quillon,Tarn,2016,horn,red,metered,R OKAFOR,2024-03-11\nQuillon,Tarn,2016,horn,blue,metered,m haugli,2024-03-11\n";
    shop.write("more.csv", format!("make,model,years,point,colour,basis,by,on\n{rows}"));
    shop.run("ingest more.csv").must_be(0);
    shop.run("check").must_be(0);
    let told = shop.run(&format!("conflicts {}", note(&shop, "horn", "R. Okafor"))).must_be(0).stdout();
    assert!(told.contains("  R. Okafor, 2024-03-11 metered") && told.contains("  M. Haugli, "), "{told}");
}

#[test]
fn a_later_note_of_the_same_hand_on_the_same_vehicle_replaces_the_earlier() {
    let shop = Shop::with(&[TARN]);
    let id = note(&shop, "brake-signal", "R. Okafor");
    shop.write("later.csv", "make,model,years,only,point,colour,basis,by,on,seen\nQuillon,Tarn,2015-2019,tow=yes,brake-signal,red,metered,R. Okafor,2024-05-01,2016; cab=crew; tow=yes\n");
    shop.run("ingest later.csv").must_be(0);
    let later = note(&shop, "brake-signal", "R. Okafor");
    let told = shop.run(&format!("history {id}")).must_be(0).stdout();
    assert!(told.contains("Replaced by a later note of the same hand"), "{told}");
    assert_ne!(id, later);
}

#[test]
fn export_is_a_sheet() {
    assert_snapshot!(Shop::with(&[TARN, TILLER]).content());
}

#[test]
fn export_as_json() {
    let notes = Shop::with(&[TARN]).run("export --json").must_be(0).json();
    assert_eq!(notes.as_array().map(Vec::len), Some(10));
    assert_snapshot!(serde_json::to_string_pretty(&notes[0]).expect("JSON"), @r#"
    {
      "basis": "metered",
      "by": "S. Lindqvist",
      "file": "sheet-1.csv",
      "id": "n-eo6l3cq4knmoyjka",
      "line": 4,
      "make": "Quillon",
      "model": "Tarn",
      "on": "2023-05-02",
      "point": "brake-signal",
      "remark": "",
      "scope": {
        "only": {},
        "years": [
          2015,
          2019
        ]
      },
      "seen": "2017; tow=no",
      "values": {
        "at": "stop lamp switch",
        "colour": "GN",
        "signal": "positive"
      }
    }
    "#);
}

#[test]
fn export_to_a_file() {
    let shop = Shop::with(&[TARN]);
    assert_snapshot!(shop.run("export --out all.csv"), @r"
    $ baybook export --out all.csv
    --- status 0
    ");
    assert_eq!(shop.read("all.csv"), shop.content());
    shop.run("export --out no/such/folder/all.csv").must_be(2).must_tell("there is no folder no/such/folder");
    shop.write("mine.csv", "what somebody wrote");
    shop.run("export --out mine.csv").must_be(2).must_tell("mine.csv is there already");
    assert_eq!(shop.read("mine.csv"), "what somebody wrote");
    shop.run("export --out mine.csv --replace").must_be(0);
    assert_eq!(shop.read("mine.csv"), shop.content());
    shop.run("--book typo export").must_be(2).must_tell("there is no book in typo");
}

#[test]
fn a_copy_is_a_book_itself() {
    let shop = Shop::with(&[TARN, TILLER]);
    shop.write("book/shop.toml", "drive = \"rhd\"\n");
    assert_snapshot!(shop.run("backup copy"), @r"
    $ baybook backup copy
    A copy of the book, 12 notes, is in copy.
    --- status 0
    ");
    assert_eq!(shop.read("copy/shop.toml"), "drive = \"rhd\"\n");
    let told = |line: &str| shop.run(line).must_be(0).stdout();
    assert_eq!(told("--book copy export"), told("export"));
    assert_eq!(told("--book copy search violet --json"), told("search violet --json"));
    shop.run("--book copy check").must_be(0);
    shop.run("backup copy").must_be(2).must_tell("copy is there already");
    shop.run("backup no/such/copy").must_be(2).must_tell("no/such");
    shop.run("--book typo backup another").must_be(2).must_tell("there is no book in typo");
    assert!(!shop.path("another").exists());
    shop.run("backup book/copy").must_be(2).must_tell("inside the book's own folder");
}

#[test]
fn a_book_that_is_not_sound_is_not_copied() {
    let shop = Shop::with(&[TARN]);
    shop.sqlite().execute_batch("DROP TRIGGER note_stays; UPDATE note SET remark = 'another'").expect("SQL");
    shop.run("backup copy").must_be(2).must_tell("the book is not sound, and no copy of it was made");
    assert!(!shop.path("copy").exists());
}

#[test]
fn a_sound_book() {
    let shop = Shop::with(&[TARN, TILLER]);
    assert_snapshot!(shop.run("check"), @r"
    $ baybook check
    Sound: book/book.sqlite, 12 notes.
    --- status 0
    ");
    assert_snapshot!(shop.run("check --json"), @r#"
    $ baybook check --json
    {
      "book": "book/book.sqlite",
      "decisions": 0,
      "findings": [],
      "notes": 12,
      "sound": true
    }
    --- status 0
    "#);
    assert_snapshot!(shop.run("reindex"), @r"
    $ baybook reindex
    Rebuilt 6 buckets and the index for search.
    --- status 0
    ");
    assert_snapshot!(shop.run("check"), @r"
    $ baybook check
    Sound: book/book.sqlite, 12 notes.
    --- status 0
    ");
}

#[test]
fn without_a_book_there_is_nothing_to_check() {
    assert_snapshot!(Shop::new().run("check"), @r"
    $ baybook check
    --- standard error
    error: there is no book in book
    hint: `baybook ingest PATH` makes one; --book DIR names another place
    --- status 2
    ");
    assert_snapshot!(Shop::new().run("--book elsewhere reindex"), @r"
    $ baybook --book elsewhere reindex
    --- standard error
    error: there is no book in elsewhere
    hint: `baybook ingest PATH` makes one; --book DIR names another place
    --- status 2
    ");
}

/// Every derived row that is not what the notes give is found, and rebuilding mends it.
#[test]
fn check_finds_what_is_wrong_with_derived_rows_and_reindex_mends_it() {
    for (damage, told) in [
        (
            "UPDATE bucket SET fold = x'00' WHERE rowid = (SELECT min(key) FROM bucket)",
            "is not what its notes give",
        ),
        (
            "UPDATE bucket SET fold = (SELECT fold FROM bucket ORDER BY key DESC LIMIT 1)",
            "is not what its notes give",
        ),
        ("DELETE FROM bucket", "is not what its notes give"),
        ("INSERT INTO bucket VALUES (999999, 1, x'00')", "has no notes"),
        ("DELETE FROM conflict", "the list of conflicts is wrong about"),
        (
            "INSERT INTO conflict VALUES (999999, x'00010203040506070809', 1, 0)",
            "is listed, which has no notes",
        ),
        (
            "UPDATE conflict SET anchor = x'00010203040506070809' WHERE certain = 1 AND bucket & 1023 = 0",
            "the list of conflicts is wrong about",
        ),
        ("DELETE FROM vin_model", "what vehicle identification numbers teach is wrong about 9ZZDX4CX"),
        ("UPDATE setting SET value = '7' WHERE name = 'notes'", "says that it holds 7 notes, and holds 12"),
    ] {
        let shop = Shop::with(&[TARN, TILLER]);
        let changed = shop.sqlite().execute(damage, []).expect("derived rows may be changed");
        assert!(changed > 0, "{damage} changed nothing");
        let run = shop.run("check").must_be(2);
        let joined = run.stdout().split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            joined.contains(told) && joined.contains("`baybook reindex` rebuilds what is derived."),
            "{damage}\n{run}"
        );
        assert_eq!(shop.run("check --json").must_be(2).json()["sound"], false);
        shop.run("reindex").must_be(0);
        shop.run("check").must_be(0);
    }
}

/// A note that does not say what its id says was tampered with; no rebuilding mends that.
#[test]
fn check_finds_a_note_that_was_tampered_with() {
    for tampering in [
        "DROP TRIGGER note_stays; UPDATE note SET remark = 'red is fine too' WHERE remark <> ''",
        "DROP TRIGGER text_stays; UPDATE text SET text = replace(text, 'VT', 'GN')",
        "UPDATE person SET name = 'Somebody Else'",
        "UPDATE model SET model = 'Other'",
    ] {
        let shop = Shop::with(&[TARN]);
        shop.sqlite().execute_batch(tampering).expect("the schema cannot stop this");
        let told = shop.run("check").must_be(2).stdout();
        assert!(told.contains("does not say what its id"), "{told}");
    }
}

/// A text that is not found any more would be kept again, under another number.
#[test]
fn check_finds_a_text_that_is_not_where_it_is_looked_for() {
    for (tampering, told) in [
        ("DROP TRIGGER text_stays; UPDATE text SET mark = mark + 1", "is not found by its mark"),
        (
            "DROP TRIGGER text_once; INSERT INTO text (mark, text) SELECT mark, text FROM text",
            "is kept twice",
        ),
    ] {
        let shop = Shop::with(&[TARN]);
        shop.sqlite().execute_batch(tampering).expect("the schema cannot stop this");
        let run = shop.run("check").must_be(2);
        assert!(run.stdout().split_whitespace().collect::<Vec<_>>().join(" ").contains(told), "{run}");
    }
}

/// Bits flipped in what is derived must not turn into a wrong wire: the answer comes from the notes.
#[test]
fn a_damaged_fold_changes_no_answer() {
    let shop = Shop::with(&[TARN]);
    let lookup = || shop.run("lookup 2016 quillon tarn crew").must_be(0).to_string();
    let (right, conflicts) = (lookup(), shop.run("conflicts").to_string());
    let db = shop.sqlite();
    let folds: Vec<(i64, Vec<u8>)> = db
        .prepare("SELECT key, fold FROM bucket")
        .and_then(|mut query| query.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect())
        .expect("folds");
    for step in [1, 7, 50] {
        for (key, fold) in &folds {
            let mut damaged = fold.clone();
            for byte in damaged.iter_mut().step_by(step) {
                *byte ^= 1 << (step % 8);
            }
            db.execute("UPDATE bucket SET fold = ?2 WHERE key = ?1", (key, damaged))
                .expect("derived rows may be changed");
        }
        assert_eq!(lookup(), right);
        assert_eq!(shop.run("conflicts").to_string(), conflicts);
        shop.run("check").must_be(2);
    }
    // The next note folds its bucket anew, and what it does not touch is still told.
    shop.write("more.csv", TARN.replace("2024-03-11", "2024-03-12"));
    shop.run("ingest more.csv").must_be(0);
    shop.run("reindex").must_be(0);
    shop.run("check").must_be(0);
}
