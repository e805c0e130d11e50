//! Sheets that cannot go in: each is told with its place, what was read and what would be right; the status is 2,
//! and the book is as it was.

use std::io::Write;
use std::process::Stdio;

use crate::cast::{HEAD, ROW, TARN, sheet};
use crate::harness::{PROGRAM, Run, Shop};

/// Loads a bad sheet into a book, and compares what is told and what the book holds.
fn check(cases: &[(Vec<u8>, &str)]) {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    for (bytes, told) in cases {
        shop.write("bad.csv", bytes);
        let run = shop.run("ingest bad.csv").must_be(2).must_tell(told);
        assert_eq!(shop.content(), before, "{run}");
    }
    shop.run("check").must_be(0);
}

/// Cases of one row of `ROW` with one piece of it written differently.
fn check_rows(cases: &[(&str, &str, &str)]) {
    let cases: Vec<_> = cases
        .iter()
        .map(|(good, bad, told)| {
            assert!(ROW.contains(good), "{good} is no piece of the row");
            (sheet(&[&ROW.replacen(good, bad, 1)]).into_bytes(), *told)
        })
        .collect();
    check(&cases);
}

/// The same for a brake signal, a hole and a fused feed, which have the other types of fields.
fn check_field(cases: &[(&str, &str, &str, &str)]) {
    let cases: Vec<_> = cases
        .iter()
        .map(|(point, field, text, told)| {
            let row = format!(
                "Quillon,Tarn,2015-2019,{point},\"{}\",metered,R. Okafor,2024-03-11,2016\n",
                text.replace('"', "\"\"")
            );
            (format!("make,model,years,point,{field},basis,by,on,seen\n{row}").into_bytes(), *told)
        })
        .collect();
    check(&cases);
}

/// A spreadsheet saves the empty columns and rows around a sheet as well.
#[test]
fn empty_columns_and_rows_behind_the_sheet_pass() {
    let shop = Shop::new();
    let text = sheet(&[ROW]).trim_end().replace('\n', ",,\r\n") + ",,\r\n,,,,,,,,,,,,\r\n";
    shop.write("wide.csv", format!("\u{feff}{text}"));
    let told = shop.run("ingest wide.csv").must_be(0).stdout();
    assert!(told.contains("1 row, 1 new"), "{told}");
    shop.write("stray.csv", text.replace(",,\r\n,", ",x,\r\n,"));
    shop.run("ingest stray.csv").must_be(2).must_tell("the row has 13 cells and the header 11");
}

#[test]
fn not_text() {
    let utf_16 = |little: bool| -> Vec<u8> {
        let unit = |unit: u16| if little { unit.to_le_bytes() } else { unit.to_be_bytes() };
        sheet(&[ROW]).encode_utf16().flat_map(unit).collect()
    };
    let latin_1 =
        [HEAD.as_bytes(), &ROW.replace("fender", "f@nder").replace('@', "\u{1}").into_bytes()].concat();
    let latin_1 = latin_1.iter().map(|byte| if *byte == 1 { 0xE9 } else { *byte }).collect();
    check(&[
        (latin_1, "bad.csv, line 2, at: byte 13 of the cell (0xE9) is not UTF-8; save the sheet as UTF-8"),
        (
            [b"\xFF\xFE".to_vec(), utf_16(true)].concat(),
            "bad.csv: the file is UTF-16; save the sheet as UTF-8",
        ),
        (
            [b"\xFE\xFF".to_vec(), utf_16(false)].concat(),
            "bad.csv: the file is UTF-16; save the sheet as UTF-8",
        ),
        (utf_16(true), "bad.csv, line 1: the column names hold NUL bytes: it is UTF-16, or no text at all"),
        (
            sheet(&[&ROW.replace("fitted", "fit\0ted")]).into_bytes(),
            "bad.csv, line 2, basis: the cell holds a NUL byte",
        ),
        (
            b"SQLite format 3\0\x10\0\x02\x02\0\x40\x20\x20".to_vec(),
            "bad.csv, line 1: the column names hold NUL bytes",
        ),
        (
            sheet(&[&ROW.replace("stud", "st\u{e9}d")]).replace("stud", "st\u{0}ud").into_bytes(),
            "bad.csv, line 1: the column names hold NUL bytes",
        ),
    ]);
}

#[test]
fn the_form_of_the_sheet() {
    let good = sheet(&[ROW]);
    check(&[
        (Vec::new(), "bad.csv: the file is empty; a note sheet begins with a row of column names"),
        (b"\xEF\xBB\xBF\r\n\r\n".to_vec(), "bad.csv: the file is empty"),
        (good.replace(",by", "").into_bytes(), "bad.csv, line 1: the sheet lacks the column 'by'"),
        (
            ROW.as_bytes().to_vec(),
            "bad.csv, line 1: no column names stand here; a note sheet begins with a row of column names: make,model,",
        ),
        (
            good.replace(",by", "").replace(",on", "").into_bytes(),
            "bad.csv, line 1: the sheet lacks the columns 'by', 'on'",
        ),
        (good.replace("stud", "at").into_bytes(), "bad.csv, line 1: the column 'at' stands twice"),
        (good.replace("stud", "At").into_bytes(), "bad.csv, line 1: the column 'At' stands twice"),
        (
            good.replace("stud", "studd").into_bytes(),
            "bad.csv, line 1, studd: 'studd' is no column of a note sheet; the nearest is 'stud'",
        ),
        (
            good.replace("stud", "").into_bytes(),
            "bad.csv, line 1: heading 6: a column has no name; name it or take it out",
        ),
        (
            good.replace(',', ";").into_bytes(),
            "bad.csv, line 1: the columns are separated by semicolons; save the sheet with commas",
        ),
        (
            good.replace(',', "\t").into_bytes(),
            "bad.csv, line 1: the columns are separated by tabs; save the sheet with commas",
        ),
        (
            sheet(&["Quillon,Tarn,2016"]).into_bytes(),
            "bad.csv, line 2: the row has 3 cells and the header 11; a cell that holds a comma needs quotation marks around it",
        ),
        (
            sheet(&[&ROW.replace("left inner fender", "left, inner fender")]).into_bytes(),
            "bad.csv, line 2: the row has 12 cells and the header 11",
        ),
    ]);
}

#[test]
fn years() {
    check_rows(&[
        (
            ",2016,g",
            ",2019-2015,g",
            "bad.csv, line 2, years: \"2019-2015\" is reversed; write 2015-2019 if that is meant",
        ),
        (",2016,g", ",1066,g", "bad.csv, line 2, years: \"1066\" is before 1930"),
        (
            ",2016,g",
            ",2028,g",
            "bad.csv, line 2, years: \"2028\" is more than two years from now; the latest model year is 2027",
        ),
        (",2016,g", ",2016-20160,g", "bad.csv, line 2, years: "),
        (",2016,g", ",99999999999999999999,g", "bad.csv, line 2, years: "),
        (",2016,g", ",2016-05,g", "bad.csv, line 2, years: \"2016-05\" is a month, not a model year"),
        (",2016,g", ",\"2015, 2017\",g", "bad.csv, line 2, years: "),
        (",2016,g", ",,g", "bad.csv, line 2, years: there is no year; write 2016 or 2015-2019"),
    ]);
}

#[test]
fn vehicles() {
    check_rows(&[
        ("Quillon", "", "bad.csv, line 2, make: the maker is missing"),
        ("Tarn", "--", "bad.csv, line 2, model: the model is missing"),
        (
            "-11,2016,",
            "-11,2017,",
            "bad.csv, line 2, seen: the seen vehicle lies outside the note's own scope: 2017 is not among 2016; one of the two is wrong",
        ),
        (
            "-11,2016,",
            "-11,2016; tow=maybe,",
            "bad.csv, line 2, seen: \"maybe\" is no value of tow that is known; known are yes, no",
        ),
        (
            "-11,2016,",
            "-11,1M8GDM9A1KP042788,",
            "bad.csv, line 2, seen: the check digit of this VIN (position 9) should be X",
        ),
    ]);
    let row = "Quillon,Tarn,2016,tow=yes,ground,M8,fitted,R. Okafor,2024-03-11,2016; tow=no\n";
    let text = format!("make,model,years,only,point,stud,basis,by,on,seen\n{row}");
    check(&[
        (
            text.clone().into_bytes(),
            "bad.csv, line 2, seen: the seen vehicle lies outside the note's own scope: tow=no where the note covers tow=yes",
        ),
        (text.replace("tow=yes", "wheels=four").into_bytes(), "bad.csv, line 2, only: "),
    ]);
}

#[test]
fn who_when_and_how_they_know() {
    check_rows(&[
        (
            "fitted",
            "fited",
            "bad.csv, line 2, basis: 'fited' is no basis; write one of metered, fitted, inspected, diagram, told; the nearest is 'fitted'",
        ),
        ("fitted", "", "bad.csv, line 2, basis: how the writer knows is missing; write it like 'metered'"),
        ("R. Okafor", "", "bad.csv, line 2, by: who wrote it is missing; write it like 'R. Okafor'"),
        (
            "2024-03-11",
            "",
            "bad.csv, line 2, on: the day on which it was written is missing; write it like '2024-03-11'",
        ),
        ("2024-03-11", "12/1/23", "bad.csv, line 2, on: '12/1/23' can be read in two ways"),
        ("2024-03-11", "2024-02-30", "bad.csv, line 2, on: '2024-02-30' is no day of the calendar"),
        (
            "2024-03-11",
            "2025-07-01",
            "bad.csv, line 2, on: '2025-07-01' is still to come; today is 2025-06-01",
        ),
    ]);
}

#[test]
fn points_and_fields() {
    check_rows(&[
        (
            "ground",
            "grund",
            "bad.csv, line 2, point: 'grund' is no point of the catalogue; the nearest is 'ground'; `baybook points` lists them all",
        ),
        ("ground", "", "bad.csv, line 2, point: the point is missing; write it like 'brake-signal'"),
        (
            "ground",
            "brake-signal",
            "bad.csv, line 2, stud: brake-signal has no field 'stud'; it has colour, at, ",
        ),
        (
            "left inner fender,M8",
            ",",
            "bad.csv, line 2: the note says nothing: no field and no remark is filled in",
        ),
        ("M8", "a bolt", "bad.csv, line 2, stud: "),
    ]);
}

#[test]
fn values() {
    check_field(&[
        (
            "brake-signal",
            "colour",
            "blk & wht",
            "bad.csv, line 2, colour: \"blk & wht\" may be one wire with a tracer, or more than one wire",
        ),
        ("brake-signal", "colour", "purple?", "bad.csv, line 2, colour: \"purple?\" is marked as doubtful"),
        ("brake-signal", "colour", "grn or blu", "bad.csv, line 2, colour: "),
        (
            "brake-signal",
            "colour",
            "red tag",
            "bad.csv, line 2, colour: \"tag\" is not part of a wire colour",
        ),
        (
            "brake-signal",
            "signal",
            "postive",
            "bad.csv, line 2, signal: 'postive' is none of data, negative, positive, pulsed, varying (nearest: 'positive')",
        ),
        (
            "firewall-pass",
            "hole",
            "35 furlongs",
            "bad.csv, line 2, hole: “furlongs” is no unit known here; a length is expected, in mm, cm, m, in or ft",
        ),
        (
            "firewall-pass",
            "hole",
            "35 V",
            "bad.csv, line 2, hole: “V” is the unit of a voltage; a length is expected",
        ),
        ("firewall-pass", "hole", "35", "bad.csv, line 2, hole: “35” has no unit"),
        (
            "firewall-pass",
            "hole",
            "-35 mm",
            "bad.csv, line 2, hole: “-35 mm” is negative, which a length cannot be",
        ),
        ("firewall-pass", "hole", "inf mm", "bad.csv, line 2, hole: “inf mm” is not a number"),
        ("firewall-pass", "hole", "NaN mm", "bad.csv, line 2, hole: “NaN mm” is not a number"),
        ("firewall-pass", "hole", "1e400 mm", "bad.csv, line 2, hole: “1e400” is too large"),
        (
            "fused-feed",
            "rating",
            "-5",
            "bad.csv, line 2, rating: “-5” is negative, which a current cannot be",
        ),
        ("fused-feed", "rating", "infinity A", "bad.csv, line 2, rating: “infinity A” is not a number"),
    ]);
}

/// All errors of a file at once, not the first.
#[test]
fn every_error_has_its_line() {
    let shop = Shop::new();
    let rows = [
        ",,,,,,,,,,x",
        ROW,
        "Quillon,Tarn,2016,grund,left inner fender,M99x,fited,R. Okafor,2024-03-11,2016,",
    ];
    shop.write("bad.csv", sheet(&rows));
    let report = shop.run("ingest bad.csv --json").must_be(2).json();
    let told: Vec<String> = report["files"][0]["refusals"]
        .as_array()
        .expect("refusals")
        .iter()
        .map(|refusal| format!("{} {}", refusal["line"], refusal["column"].as_str().unwrap_or("-")))
        .collect();
    assert_eq!(
        told,
        ["2 make", "2 point", "2 years", "2 basis", "2 by", "2 on", "4 point", "4 basis", "4 stud"]
    );
}

/// A field without end is stopped long before memory is.
#[test]
fn a_field_of_a_gigabyte() {
    let (head, piece) = (HEAD.as_bytes(), vec![b'x'; 1 << 20]);
    let lines = "x\n".repeat(1 << 19).into_bytes();
    for (begin, piece) in [
        (&b""[..], &piece),
        (head, &piece),
        (&[head, b"\"Quillon"].concat()[..], &lines),
        (head, &vec![b','; 1 << 20]),
    ] {
        let shop = Shop::with(&[TARN]);
        let before = shop.content();
        let run = fed(&shop, begin, piece, 1024)
            .must_be(2)
            .must_tell("a row is longer than 1 MiB; is a quotation mark not closed?");
        assert!(run.stderr().contains("standard input, line "), "{run}");
        assert_eq!(shop.content(), before);
    }
}

/// Runs `ingest -` with 200 MB of address space on a stream of `begin` and `times` pieces; what is written after
/// the program stopped reading is lost, as it is to `head`.
fn fed(shop: &Shop, begin: &[u8], piece: &[u8], times: usize) -> Run {
    let line = format!("ulimit -v 200000; exec {PROGRAM} ingest -");
    let mut command = std::process::Command::new("/bin/bash");
    command
        .args(["-c", &line])
        .current_dir(shop.path(""))
        .env("BAYBOOK_DIR", "book")
        .env("BAYBOOK_TODAY", "2025-06-01");
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("bash runs");
    let mut input = child.stdin.take().expect("a pipe");
    let _closed_early =
        input.write_all(begin).and_then(|()| (0..times).try_for_each(|_| input.write_all(piece)));
    drop(input);
    Run::ended("ingest -", child)
}

#[test]
fn a_folder_that_loops_through_a_link() {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    shop.write("notes/inner/good.csv", sheet(&[ROW]));
    std::os::unix::fs::symlink("../../notes", shop.path("notes/inner/back")).expect("a link");
    shop.run("ingest notes")
        .must_be(2)
        .must_tell("notes/inner/back: this link leads back to notes: the folder loops; remove the link");
    assert_eq!(shop.content(), before, "not even the good sheet went in");
}

#[test]
fn paths_that_lead_nowhere() {
    let shop = Shop::with(&[TARN]);
    let before = shop.content();
    shop.write("good.csv", sheet(&[ROW]));
    shop.run("ingest good.csv nothing.csv")
        .must_be(2)
        .must_tell("nothing.csv: there is no such file or folder");
    std::os::unix::fs::symlink("gone.csv", shop.path("dangling.csv")).expect("a link");
    shop.run("ingest dangling.csv").must_be(2).must_tell("dangling.csv: there is no such file or folder");
    shop.run("ingest /dev/null").must_be(2).must_tell("/dev/null: it is neither a file nor a folder");
    assert_eq!(shop.content(), before, "not even the good sheet went in");
}

/// The superuser may read every file, so the program runs as somebody else where the tests run as root.
#[test]
fn an_unreadable_file() {
    let shop = Shop::new();
    shop.write("closed.csv", sheet(&[ROW]));
    shop.write("closed/good.csv", sheet(&[ROW]));
    for name in ["closed.csv", "closed"] {
        shop.forbid(name);
        let run = shop.run_as_nobody(&format!("ingest {name}")).must_be(2);
        let run = run.must_tell(&format!("{name}: it may not be read; look at who owns it"));
        assert!(!shop.path("book").exists(), "{run}");
    }
}
