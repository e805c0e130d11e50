//! `ingest`: what goes in, what does not, and what is told of it.

use insta::assert_snapshot;

use crate::cast::{ROW, TARN, TILLER, sheet};
use crate::harness::Shop;

const BAD: &str = "Quillon,Tarn,2019-2016,grund,left inner fender,M8,fitted,R. Okafor,2024-03-11,2016,\n";

#[test]
fn sheets_go_in_and_what_they_open_is_told() {
    let shop = Shop::new();
    shop.write("tarn.csv", TARN);
    shop.write("tiller.csv", TILLER);
    assert_snapshot!(shop.run("ingest tarn.csv tiller.csv"), @r"
    $ baybook ingest tarn.csv tiller.csv
    2 files, 12 rows, 12 new, 0 already known, 0 refused, 2 conflicts opened.
      c-eo6l3c  Quillon Tarn, brake signal
      c-2wut7m-cavity  Ironquay Tiller, a cavity given to two functions
    --- status 0
    ");
}

#[test]
fn the_same_sheet_twice_adds_nothing() {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    // Another spelling of the same is the same note: its id is made from what it means.
    shop.write("again.csv", TARN.replace("violet/white", "PPL-WHT").replace("R. Okafor", "r okafor"));
    assert_snapshot!(shop.run("ingest sheet-1.csv again.csv"), @r"
    $ baybook ingest sheet-1.csv again.csv
    2 files, 20 rows, 0 new, 20 already known, 0 refused, 0 conflicts opened.
    --- status 0
    ");
    assert_eq!(shop.content(), before);
}

#[test]
fn a_file_with_errors_stays_out_whole_and_all_errors_are_told() {
    let shop = Shop::new();
    shop.write("good.csv", sheet(&[ROW]));
    shop.write("bad.csv", sheet(&[ROW, BAD, "Quillon,Tarn\n"]));
    assert_snapshot!(shop.run("ingest bad.csv good.csv"), @r#"
    $ baybook ingest bad.csv good.csv
    2 files, 4 rows, 1 new, 0 already known, 3 refused, 0 conflicts opened.
      bad.csv: 3 errors, so nothing of it went in; mend it, or load the good rows
        with --partial
    --- standard error
    refused: bad.csv, line 3, point: 'grund' is no point of the catalogue; the
      nearest is 'ground'; `baybook points` lists them all
    refused: bad.csv, line 3, years: "2019-2016" is reversed; write 2016-2019 if
      that is meant
    refused: bad.csv, line 4: the row has 2 cells and the header 11; a cell that
      holds a comma needs quotation marks around it
    --- status 2
    "#);
    assert_eq!(shop.content().lines().count(), 2, "the good file went in, and of the bad one nothing");
}

#[test]
fn with_partial_the_good_rows_go_in_and_the_mended_rest_follows() {
    let shop = Shop::new();
    let strange = BAD.replace("left inner fender", "=left inner fender");
    shop.write("mixed.csv", sheet(&[ROW, &strange]));
    assert_snapshot!(shop.run("ingest --partial mixed.csv"), @r#"
    $ baybook ingest --partial mixed.csv
    1 file, 2 rows, 1 new, 0 already known, 1 refused, 0 conflicts opened.
      mixed.csv: 1 row refused, written to mixed.refused.csv
    --- standard error
    refused: mixed.csv, line 3, point: 'grund' is no point of the catalogue; the
      nearest is 'ground'; `baybook points` lists them all
    refused: mixed.csv, line 3, years: "2019-2016" is reversed; write 2016-2019 if
      that is meant
    --- status 2
    "#);
    let refused = shop.read("mixed.refused.csv");
    assert_snapshot!(refused, @r#"
    make,model,years,point,at,stud,basis,by,on,seen,remark,refused because
    Quillon,Tarn,2019-2016,grund,'=left inner fender,M8,fitted,R. Okafor,2024-03-11,2016,,"point: 'grund' is no point of the catalogue; the nearest is 'ground'; `baybook points` lists them all; years: ""2019-2016"" is reversed; write 2016-2019 if that is meant"
    "#);
    assert_snapshot!(shop.run("ingest --partial mixed.refused.csv"), @r#"
    $ baybook ingest --partial mixed.refused.csv
    1 file, 1 row, 0 new, 0 already known, 1 refused, 0 conflicts opened.
      mixed.refused.csv: 1 row refused, written to mixed.refused.refused.csv
    --- standard error
    refused: mixed.refused.csv, line 2, point: 'grund' is no point of the catalogue;
      the nearest is 'ground'; `baybook points` lists them all
    refused: mixed.refused.csv, line 2, years: "2019-2016" is reversed; write
      2016-2019 if that is meant
    --- status 2
    "#);
    assert_eq!(shop.read("mixed.refused.refused.csv"), refused, "still refused for the same reasons");

    shop.write(
        "mixed.refused.csv",
        refused.replace("2019-2016", "2016-2019").replace("grund", "ground").replace("'=", ""),
    );
    assert_snapshot!(shop.run("ingest mixed.refused.csv"), @r"
    $ baybook ingest mixed.refused.csv
    1 file, 1 row, 1 new, 0 already known, 0 refused, 0 conflicts opened.
    --- status 0
    ");
    shop.run("check").must_be(0);
}

#[test]
fn a_dry_run_tells_everything_and_writes_nothing() {
    let shop = Shop::new();
    shop.write("tarn.csv", TARN);
    shop.write("bad.csv", sheet(&[ROW, BAD]));
    assert_snapshot!(shop.run("ingest --dry-run tarn.csv"), @r"
    $ baybook ingest --dry-run tarn.csv
    Dry run, nothing was written: 1 file, 10 rows, 10 new, 0 already known, 0
      refused, 1 conflict opened.
    --- status 0
    ");
    shop.run("ingest --dry-run --partial bad.csv").must_be(2);
    assert!(!shop.path("book").exists() && !shop.path("bad.refused.csv").exists());

    shop.run("ingest tarn.csv").must_be(0);
    let before = shop.content();
    shop.write("tiller.csv", TILLER);
    shop.run("ingest --dry-run tiller.csv").must_be(0);
    assert_eq!(shop.content(), before);
}

#[test]
fn standard_input_is_a_file_called_minus() {
    let shop = Shop::new();
    assert_snapshot!(shop.run_on("ingest -", sheet(&[ROW])), @r"
    $ baybook ingest -
    1 file, 1 row, 1 new, 0 already known, 0 refused, 0 conflicts opened.
    --- status 0
    ");
    assert_snapshot!(shop.run_on("ingest - --partial", sheet(&[ROW, BAD])), @r#"
    $ baybook ingest - --partial
    1 file, 2 rows, 0 new, 1 already known, 1 refused, 0 conflicts opened.
      standard input: 1 row refused, written to stdin.refused.csv
    --- standard error
    refused: standard input, line 3, point: 'grund' is no point of the catalogue;
      the nearest is 'ground'; `baybook points` lists them all
    refused: standard input, line 3, years: "2019-2016" is reversed; write 2016-2019
      if that is meant
    --- status 2
    "#);
    assert!(shop.read("stdin.refused.csv").contains("refused because"));
    assert!(shop.run("export --json").json()[0]["file"] == "standard input");
}

#[test]
fn folders_are_walked_in_sorted_order_and_other_files_passed_by() {
    let shop = Shop::new();
    for name in [
        "notes/b.csv",
        "notes/a/z.csv",
        "notes/C.CSV",
        "notes/readme.txt",
        "notes/b.refused.csv",
        "notes/a/.csv~",
    ] {
        shop.write(name, sheet(&[ROW]));
    }
    assert_snapshot!(shop.run("ingest notes"), @r"
    $ baybook ingest notes
    3 files, 3 rows, 1 new, 2 already known, 0 refused, 0 conflicts opened.
    Not note sheets, passed by: notes/a/.csv~, notes/b.refused.csv, notes/readme.txt
    --- status 0
    ");
    let report = shop.run("ingest notes --json").json();
    let files: Vec<&str> =
        report["files"].as_array().expect("files").iter().filter_map(|file| file["file"].as_str()).collect();
    assert_eq!(files, ["notes/C.CSV", "notes/a/z.csv", "notes/b.csv"]);
}

#[test]
fn strange_place_words_and_misspelled_makers_are_told() {
    let shop = Shop::with(&[TARN]);
    let rows = [
        "Quilon,Tarn,2016,ground,blorple bracket,M8,fitted,R. Okafor,2024-03-11,2016,",
        "Quillon,Tarm,2016,ground,left blorple,M8,fitted,R. Okafor,2024-03-11,2016,",
    ];
    shop.write("odd.csv", sheet(&rows));
    assert_snapshot!(shop.run("ingest odd.csv"), @r"
    $ baybook ingest odd.csv
    1 file, 2 rows, 2 new, 0 already known, 0 refused, 0 conflicts opened.
    Words of places that the lexicon lacks: blorple (2)
    Misspelled? 'Quillon Tarm' looks like a misspelling of 'Quillon Tarn'
    Misspelled? 'Quilon' looks like a misspelling of 'Quillon'
    --- status 0
    ");
}

#[test]
fn a_sheet_with_column_names_and_no_rows_is_told_and_is_no_error() {
    let shop = Shop::new();
    shop.write("empty.csv", sheet(&[]));
    assert_snapshot!(shop.run("ingest empty.csv"), @r"
    $ baybook ingest empty.csv
    1 file, 0 rows, 0 new, 0 already known, 0 refused, 0 conflicts opened.
    --- standard error
    warning: empty.csv has column names and no rows
    --- status 0
    ");
    assert_eq!(shop.run("ingest empty.csv --json").must_be(0).json()["without_rows"][0], "empty.csv");
}

#[test]
fn spreadsheets_save_marks_line_ends_and_quoted_newlines() {
    let shop = Shop::new();
    let quoted = ROW.replace(",2016,\n", ",2016,\"paint off,\nthen \"\"bare\"\" metal\"\n");
    shop.write("plain.csv", sheet(&[ROW, &quoted]));
    shop.write("saved.csv", format!("\u{feff}{}", sheet(&[ROW, &quoted]).replace('\n', "\r\n")));
    assert_snapshot!(shop.run("ingest plain.csv saved.csv"), @r"
    $ baybook ingest plain.csv saved.csv
    2 files, 4 rows, 2 new, 2 already known, 0 refused, 0 conflicts opened.
    --- status 0
    ");
    let remarks: Vec<_> = shop
        .run("export --json")
        .json()
        .as_array()
        .expect("notes")
        .iter()
        .map(|note| note["remark"].clone())
        .collect();
    assert!(remarks.contains(&"paint off, then \"bare\" metal".into()), "{remarks:?}");
}

#[test]
fn as_json_every_row_has_its_note() {
    let shop = Shop::new();
    shop.write("a.csv", sheet(&[ROW, ROW]));
    shop.write("b.csv", sheet(&[BAD]));
    assert_snapshot!(shop.run("ingest a.csv b.csv --json"), @r#"
    $ baybook ingest a.csv b.csv --json
    {
      "conflicts": [],
      "dry_run": false,
      "files": [
        {
          "decisions": [],
          "file": "a.csv",
          "read": 2,
          "refusals": [],
          "refused": false,
          "rows": [
            {
              "line": 2,
              "new": true,
              "note": "n-pll5fz"
            },
            {
              "line": 3,
              "new": false,
              "note": "n-pll5fz"
            }
          ],
          "unfilled": 0,
          "written_back": null
        },
        {
          "decisions": [],
          "file": "b.csv",
          "read": 1,
          "refusals": [
            {
              "column": "point",
              "file": "b.csv",
              "line": 2,
              "message": "'grund' is no point of the catalogue; the nearest is 'ground'; `baybook points` lists them all",
              "text": "grund"
            },
            {
              "column": "years",
              "file": "b.csv",
              "line": 2,
              "message": "\"2019-2016\" is reversed; write 2016-2019 if that is meant",
              "text": "2019-2016"
            }
          ],
          "refused": true,
          "rows": [],
          "unfilled": 0,
          "written_back": null
        }
      ],
      "grown": [],
      "misspelled": [],
      "opposed": [],
      "passed_by": [],
      "reopened": [],
      "totals": {
        "conflicts": 0,
        "decisions": 0,
        "files": 2,
        "known": 1,
        "new": 1,
        "refused": 1,
        "rows": 3
      },
      "unknown_place_words": {},
      "without_rows": [],
      "without_sheets": []
    }
    --- standard error
    refused: b.csv, line 2, point: 'grund' is no point of the catalogue; the nearest
      is 'ground'; `baybook points` lists them all
    refused: b.csv, line 2, years: "2019-2016" is reversed; write 2016-2019 if that
      is meant
    --- status 2
    "#);
}

#[test]
fn dates_in_figures_need_their_order() {
    let shop = Shop::new();
    let row = ROW.replace("2024-03-11", "12/1/23");
    shop.write("figures.csv", sheet(&[&row]));
    shop.run("ingest figures.csv").must_be(2).must_tell("say --date-order dmy or mdy");
    shop.run("ingest --date-order dmy figures.csv").must_be(0);
    assert_eq!(shop.run("export --json").json()[0]["on"], "2023-01-12");
}

/// A shell puts a pipe in place of `<(command)`; it was once refused as no file.
#[test]
fn a_pipe_is_read_like_standard_input() {
    let shop = Shop::new();
    shop.write("good.csv", sheet(&[ROW]));
    shop.write("mixed.csv", sheet(&[ROW, BAD]));
    let run = shop.shell("$BAYBOOK ingest <(cat good.csv)").must_be(0);
    assert!(run.stdout().starts_with("1 file, 1 row, 1 new"), "{run}");
    let run = shop.shell("$BAYBOOK ingest --partial <(cat mixed.csv)").must_be(2);
    assert!(run.stdout().contains("written to pipe.refused.csv"), "{run}");
    let endless = "$BAYBOOK ingest <(cat good.csv; printf '\"'; head -c 3000000 /dev/zero | tr '\\0' x)";
    shop.shell(endless).must_be(2).must_tell("a row is longer than 1 MiB");
}

#[test]
fn a_folder_without_a_sheet_is_told() {
    let shop = Shop::with(&[&sheet(&[ROW])]);
    shop.write("notes/readme.txt", "nothing here yet");
    assert_snapshot!(shop.run("ingest notes").must_be(1), @r"
    $ baybook ingest notes
    0 files, 0 rows, 0 new, 0 already known, 0 refused, 0 conflicts opened.
    Not note sheets, passed by: notes/readme.txt
    --- standard error
    warning: notes holds no note sheet; their names end in .csv
    --- status 1
    ");
    shop.write("good.csv", sheet(&[ROW]));
    shop.run("ingest notes good.csv").must_be(0).must_tell("notes holds no note sheet");
}
