//! Books that cannot be used: told plainly, and left as they are.

use insta::assert_snapshot;

use crate::cast::{ROW, TARN, TILLER, sheet};
use crate::harness::Shop;

/// Every command that opens the book says the same of a bad one, and changes nothing in it.
fn check(bytes: &[u8], told: &str) {
    let shop = Shop::new();
    shop.write("book/book.sqlite", bytes);
    shop.write("good.csv", sheet(&[ROW]));
    for line in [
        "lookup 2016 tarn",
        "ingest good.csv",
        "ingest --dry-run good.csv",
        "conflicts",
        "export",
        "check",
        "reindex",
        "history n-aaaaaa",
    ] {
        shop.run(line).must_be(2).must_tell(told);
        assert!(
            std::fs::read(shop.path("book/book.sqlite")).expect("it is there") == bytes,
            "{line} changed the file"
        );
    }
    let left: Vec<_> = std::fs::read_dir(shop.path("book"))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(left, ["book.sqlite"], "nothing is left beside it");
}

#[test]
fn a_book_that_is_no_book() {
    check(b"make,model,years\n", "error: book/book.sqlite is not a book: it is no SQLite file");
    check(&[b"x".as_slice(); 9000].concat(), "error: book/book.sqlite is not a book: it is no SQLite file");
    check(b"", "error: book/book.sqlite is not a book: the file is empty");
}

#[test]
fn a_sqlite_file_of_another_program() {
    let shop = Shop::new();
    shop.write("book/unused", "");
    shop.sqlite()
        .execute_batch("CREATE TABLE note (text); INSERT INTO note VALUES ('buy milk')")
        .expect("a table");
    let bytes = std::fs::read(shop.path("book/book.sqlite")).expect("the file");
    check(&bytes, "error: book/book.sqlite is not a book: it is a SQLite file of another program");
}

#[test]
fn a_book_made_by_a_newer_version() {
    let shop = Shop::with(&[TARN]);
    shop.sqlite().pragma_update(None, "journal_mode", "delete").expect("one file");
    shop.sqlite().pragma_update(None, "user_version", 99).expect("a version");
    let bytes = std::fs::read(shop.path("book/book.sqlite")).expect("the file");
    check(
        &bytes,
        "error: book/book.sqlite was made by a newer program: it has format 99, and this program knows up to 4",
    );
}

#[test]
fn a_damaged_file() {
    let shop = Shop::with(&[TARN]);
    shop.sqlite().pragma_update(None, "journal_mode", "delete").expect("one file");
    let mut bytes = std::fs::read(shop.path("book/book.sqlite")).expect("the file");
    // All pages but the first, which tells what the file is.
    bytes[4096..].fill(0x5A);
    shop.write("book/book.sqlite", &bytes);
    shop.run("lookup 2016 tarn").must_be(2).must_tell("error: book/book.sqlite is damaged: ");
}

#[test]
fn places_where_no_book_can_be() {
    let shop = Shop::new();
    shop.write("a-file", "");
    shop.write("good.csv", sheet(&[ROW]));
    for line in ["--book a-file lookup 2016 tarn", "--book a-file ingest good.csv"] {
        shop.run(line).must_be(2).must_tell("error: a-file");
    }
    std::fs::create_dir_all(shop.path("book/book.sqlite")).expect("a folder");
    shop.run("lookup 2016 tarn")
        .must_be(2)
        .must_tell("error: book/book.sqlite is not a book: it is a directory");
}

/// A book that may not be entered is not an empty one.
#[test]
fn a_book_that_may_not_be_read() {
    let shop = Shop::with(&[TARN]);
    shop.forbid("book/book.sqlite");
    shop.run_as_nobody("lookup 2016 tarn")
        .must_be(2)
        .must_tell("error: book/book.sqlite may not be opened for writing");
    shop.forbid("book");
    shop.run_as_nobody("lookup 2016 tarn").must_be(2).must_tell("Permission denied");
}

/// On a share that may only be read, or a copy on a card: everything can be asked, nothing stored.
#[test]
fn a_book_that_may_not_be_written() {
    for (file, dir) in [(0o444, 0o777), (0o444, 0o555), (0o666, 0o555)] {
        let shop = Shop::with(&[TARN]);
        shop.mode("book/book.sqlite", file);
        shop.mode("book", dir);
        for line in
            ["lookup 2016 tarn", "conflicts", "gaps", "history 2016 tarn", "export", "search violet", "check"]
        {
            let told = shop.run_as_nobody(line).must_be(0);
            assert!(!told.stdout().is_empty(), "{file:o} {dir:o} {told}");
        }
        if dir == 0o555 {
            let line = "add 2016 tarn -p horn colour=BN --basis told --by x --yes";
            shop.run_as_nobody(line).must_be(2).must_tell("may not be opened for writing");
        }
        shop.mode("book", 0o755);
    }
}

#[test]
fn a_catalogue_with_an_error() {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    shop.write("good.csv", sheet(&[ROW]));
    for (text, told) in [
        (
            "version = 1\n\n[point.winch-feed]\ntitle = \"winch feed\"\nanswers = \"some\"\nfields = []\n",
            "TOML parse error at line 5, column 11",
        ),
        ("version = 1\n[point.winch-feed\n", "TOML parse error at line 2"),
        (
            "version = 1\n\n[point.winch-feed]\ntitle = \"winch feed\"\nanswers = \"one\"\nfields = [\"colr\"]\n",
            "[point.winch-feed] names the field 'colr'",
        ),
    ] {
        shop.write("book/points.toml", text);
        shop.run("ingest good.csv").must_be(2).must_tell(told).must_tell("book/points.toml");
        shop.run("lookup 2016 tarn").must_be(2).must_tell(told);
    }
    assert_snapshot!(shop.run("points"), @r"
    $ baybook points
    --- standard error
    error: book/points.toml: [point.winch-feed] names the field 'colr', which
      [field.colr] does not define
    --- status 2
    ");
    std::fs::remove_file(shop.path("book/points.toml")).expect("it is there");
    assert_eq!(shop.content(), before);
}

/// A limit on the size of files stands for a full disk: the write is refused half way, as by the disk.
#[test]
fn a_full_disk() {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    shop.write("many.csv", many());
    shop.write("tiller.csv", TILLER);
    // 512 bytes each (ulimit in bash counts blocks of 1024).
    let run = shop.shell("ulimit -f 100; trap '' XFSZ; $BAYBOOK ingest many.csv").must_be(2);
    let run = run.must_tell("book/book.sqlite").must_tell("nothing was changed");
    assert_eq!(shop.content(), before, "{run}");
    shop.run("check").must_be(0);

    shop.shell("ulimit -f 100; trap '' XFSZ; BAYBOOK_DIR=new $BAYBOOK ingest many.csv")
        .must_be(2)
        .must_tell("nothing was changed");
    let left: Vec<_> = std::fs::read_dir(shop.path("new")).expect("the folder").collect();
    assert!(left.is_empty(), "no half of a book is left: {left:?}");

    shop.run("ingest many.csv tiller.csv").must_be(0);
    shop.run("check").must_be(0);
}

/// Enough notes for some hundred kilobytes.
fn many() -> String {
    let rows: Vec<String> =
        (0..1500).map(|at| ROW.replace(",2016,\n", &format!(",2016,remark {at}"))).collect();
    sheet(&rows.iter().map(String::as_str).collect::<Vec<_>>())
}

/// A file system of its own, truly full, where the kernel lets a user mount one.
#[cfg(target_os = "linux")]
#[expect(clippy::print_stderr, reason = "a test that is left out says so")]
#[test]
fn a_full_file_system() {
    let shop = Shop::with(&[TARN]);
    let may = shop.shell("unshare --user --map-root-user --mount true");
    if may.status() != Some(0) {
        eprintln!("left out, no file system may be mounted here: {}", may.stderr().trim());
        return;
    }
    shop.write("many.csv", many());
    let before = shop.content();
    shop.write("full.sh", "mkdir small && mount -t tmpfs -o size=300k none small && cp -r book small && BAYBOOK_DIR=small/book $BAYBOOK ingest many.csv || echo $? && BAYBOOK_DIR=small/book $BAYBOOK check && BAYBOOK_DIR=small/book $BAYBOOK export > after.csv");
    let run = shop.shell("unshare --user --map-root-user --mount bash -e full.sh").must_be(0);
    let run = run.must_tell("no room left to write small/book/book.sqlite; nothing was changed");
    assert!(run.stdout().starts_with("2\n"), "{run}");
    assert_eq!(shop.read("after.csv"), before);
}
