//! The order of intake changes no answer: the same rows in any order, in any split into files, loaded at once or
//! one file after another, make the same notes, the same answers and the same conflicts.
//!
//! Compares whole JSON answers of books in temporary folders. The rows are drawn so that they often repeat,
//! contradict, refine and replace each other.

#[path = "judge/random.rs"]
mod random;
#[path = "judge/shop.rs"]
mod shop;

use std::collections::BTreeSet;

use random::Random;
use serde_json::Value as Json;
use shop::Shop;

const HEADER: &str = "make,model,years,only,point,colour,at,connector,cavity,signal,idle,stud,slot,rating,hot,hole,grommet,how,basis,by,on,seen,remark";

/// What a row says after its scope: point, then the cells of the fields in the order of the header.
const CLAIMS: [&str; 26] = [
    "brake-signal,VT/WH,stop lamp switch,C1,2,positive,0 V,,,,,,,",
    "brake-signal,violet,brake pedal bracket,,,,0.1 V,,,,,,,",
    "brake-signal,VT/RD,,,,,,,,,,,,tap above the bracket",
    "brake-signal,GN,stop lamp switch,C1,3,positive,,,,,,,,",
    "brake-signal,,,,,negative,,,,,,,,",
    "brake-signal,,,C2,5,positive,,,,,,,,by the grey plug",
    "brake-signal,,,C2,6,,,,,,,,,",
    "park-lamp,VT/WH,,C1,2,,,,,,,,,",
    "horn,GN,,C1,3,,,,,,,,,",
    "ground,,kick panel,,,,,M8,,,,,,",
    "ground,,kick panel,,,,,M6,,,,,,",
    "ground,,left kick panel,,,,,M8x1.25,,,,,,wire brush it",
    "ground,,right kick panel,,,,,5/16,,,,,,",
    "ground,,,,,,,M6,,,,,,",
    "fused-feed,,fuse box under dash,,,,,,F12,10,ignition,,,",
    "fused-feed,,fuse box,,,,,,F12,15 A,,,,",
    "fused-feed,,,,,,,,F12,20,,,,",
    "fused-feed,,fuse box under dash,,,,,,F13,10,always,,,",
    "firewall-pass,,above the hood release cable,,,,,,,,,35 mm,none,",
    "firewall-pass,,driver side; above the hood release cable,,,,,,,,,1-3/8 in,existing,",
    "firewall-pass,,above the hood release cable,,,,,,,,,36 mm,,mind the loom",
    "firewall-pass,,above the hood release cable,,,,,,,,,34 mm,,",
    "firewall-pass,,steering column,,,,,,,,,40 mm,,",
    "illumination,GN,,C1,3,varying,,,,,,,,",
    "left-turn,violet,,C1,2,,,,,,,,,",
    "high-beam,GN,,,,,,,,,,,,",
];
const MODELS: [&str; 4] = ["Quillon,Tarn", "QUILLON,Tarn", "quillon,tarn", "Quillon,Ostrel"];
const SCOPES: [&str; 7] =
    ["2015-2019,", "2016,", "2016-2018,tow=yes", "2015-2017,tow=no", "2017-,", "2016,cab=crew", "-2017,"];
const SEEN: [&str; 7] = ["", "", "2016; tow=yes", "2016", "2017; tow=no", "2017", "2016; cab=crew"];
const HANDS: [&str; 4] = ["R. Okafor", "r okafor", "D. Pruett", "M. Haugli"];
const DAYS: [&str; 4] = ["2024-03-11", "2024-03-12", "2024-03-12", "2024-05-02"];
const BASES: [&str; 5] = ["metered", "fitted", "inspected", "diagram", "told"];
const REMARKS: [&str; 3] = ["", "", "faded"];
/// The vehicles that are asked about: known, partly known, and one that few rows claim.
const ASKED: [&str; 5] = ["2016 tow=yes crew", "2017 tow=no", "2016", "tarn", "2013"];

/// A row whose seen vehicle lies in its own scope.
fn row(random: &mut Random) -> String {
    loop {
        let scope = random.one_of(&SCOPES);
        let seen = random.one_of(&SEEN);
        if within(seen, scope) {
            let (model, claim) = (random.one_of(&MODELS), random.one_of(&CLAIMS));
            let evidence = [
                random.one_of(&BASES),
                random.one_of(&HANDS),
                random.one_of(&DAYS),
                seen,
                random.one_of(&REMARKS),
            ];
            return format!("{model},{scope},{claim},{}", evidence.join(","));
        }
    }
}

/// Whether a seen vehicle of the cast lies in a scope of it, by their texts.
fn within(seen: &str, scope: &str) -> bool {
    let years = match scope.split(',').next() {
        Some("2015-2019" | "2016-2018" | "2015-2017" | "-2017") => ["2016", "2017"].as_slice(),
        Some("2016") => &["2016"],
        _ => &["2017"],
    };
    let other = |a: &str, b: &str| seen.contains(a) && scope.contains(b);
    (seen.is_empty() || years.iter().any(|year| seen.starts_with(year)))
        && !other("tow=yes", "tow=no")
        && !other("tow=no", "tow=yes")
}

fn sheet(rows: &[String]) -> String {
    format!("{HEADER}\n{}\n", rows.join("\n"))
}

fn shuffled(rows: &[String], random: &mut Random) -> Vec<String> {
    let mut rows = rows.to_vec();
    for at in (1..rows.len()).rev() {
        rows.swap(at, random.below(at + 1));
    }
    rows
}

/// The rows in at most four sheets, one after the other.
fn split(rows: &[String], random: &mut Random) -> Vec<String> {
    let size = rows.len().div_ceil(1 + random.below(4));
    rows.chunks(size).map(sheet).collect()
}

/// The ids of the notes that loading told.
fn ids(report: &baybook::intake::Report) -> BTreeSet<[u8; 10]> {
    report.files.iter().flat_map(|file| &file.understood).map(|row| row.id.0).collect()
}

/// What a person can ask of the book.
fn answers(shop: &Shop) -> Vec<Json> {
    let asked =
        ASKED.iter().map(|words| format!("{words} {}", if words.contains("tarn") { "" } else { "tarn" }));
    asked.map(|words| shop.lookup(&words)).chain([shop.conflicts()]).collect()
}

/// Checks that answers are the same to the letter, and shows the first line that is not.
fn check_same(found: &[Json], expected: &[Json], rows: &[String]) {
    for (found, expected) in found.iter().zip(expected) {
        let lines = |json: &Json| format!("{json:#}").lines().map(str::to_owned).collect::<Vec<_>>();
        let (found, expected) = (lines(found), lines(expected));
        let other = found.iter().zip(&expected).find(|(found, expected)| found != expected);
        assert!(
            found == expected,
            "the same rows in another order: {other:?}\n{}\n{}",
            found.join("\n"),
            sheet(rows)
        );
    }
}

#[test]
fn the_order_of_rows_and_files_changes_no_answer() {
    let mut random = Random(7);
    let (mut conflicts, mut disputed) = (0, 0);
    for _ in 0..CASES {
        let count = 8 + random.below(30);
        let mut rows: Vec<String> = (0..count).map(|_| row(&mut random)).collect();
        rows.push(format!("Quillon,Tarn,2016,,{},told,D. Pruett,2024-03-11,,", CLAIMS[0]));
        let plain = Shop::new();
        let notes = ids(&plain.load(&[sheet(&rows)]));
        let expected = answers(&plain);
        conflicts += expected.last().and_then(Json::as_array).map_or(0, Vec::len);
        disputed += usize::from(expected[0].to_string().contains("\"disputed\""));

        let at_once = Shop::new();
        let again = shuffled(&rows, &mut random);
        assert_eq!(ids(&at_once.load(&split(&again, &mut random))), notes, "{}", sheet(&rows));
        check_same(&answers(&at_once), &expected, &again);

        let one_by_one = Shop::new();
        let again = shuffled(&rows, &mut random);
        let reports = split(&again, &mut random).into_iter().map(|sheet| one_by_one.load(&[sheet]));
        assert_eq!(
            reports.flat_map(|report| ids(&report)).collect::<BTreeSet<_>>(),
            notes,
            "{}",
            sheet(&rows)
        );
        check_same(&answers(&one_by_one), &expected, &again);
    }
    assert!(conflicts > 2 * CASES && disputed > CASES / 4, "{conflicts} conflicts, {disputed} disputed");
}

const CASES: usize = 30;

#[test]
fn loading_a_file_twice_adds_nothing() {
    let mut random = Random(8);
    let rows: Vec<String> = (0..60).map(|_| row(&mut random)).collect();
    let shop = Shop::new();
    let first = shop.load(&[sheet(&rows)]).totals();
    let before = answers(&shop);
    let second = shop.load(&[sheet(&rows)]).totals();
    assert_eq!((second.new, second.known, second.rows), (0, first.rows, first.rows));
    assert_eq!(second.conflicts, 0);
    check_same(&answers(&shop), &before, &rows);
}

/// Checks that two rows under the same columns are one note.
fn check_one_note(columns: &str, first: &str, second: &str) {
    let shop = Shop::new();
    let header = format!("make,model,point,basis,{columns}");
    let report = shop.load(&[format!("{header}\n{first}\n{second}\n")]);
    let totals = report.totals();
    assert_eq!((totals.new, totals.known), (1, 1), "{first} and {second}");
    assert_eq!(ids(&report).len(), 1, "{first} and {second}");
    // Whichever is written first.
    let other = Shop::new().load(&[format!("{header}\n{second}\n")]);
    assert_eq!(ids(&other), ids(&report), "{first} and {second}");
}

#[test]
fn another_spelling_of_a_row_is_the_same_note() {
    check_one_note(
        "years,only,colour,at,cavity,signal,by,on,seen,remark",
        "Quillon,Tarn,brake-signal,metered,2015-2019,tow=yes,violet/white,stop lamp switch,2,positive,R. Okafor,2024-03-11,2016; cab=crew; tow=yes,seen twice",
        "QUILLON,tarn,Brake Signal,Metered,15-19,factory tow package=Yes,VT-WH,brake switch,pin 2,+,r. OKAFOR,11 Mar 2024,tow=yes; 2016; crew cab, seen  twice",
    );
    check_one_note(
        "years,only,by,on,at,hole,grommet",
        "Quillon,Tarn,firewall-pass,fitted,2016-,cab=crew|extended,R. Okafor,2024-03-11,driver side; above the hood release cable,35 mm,fit-new",
        "Quillon,Tarn,firewall-pass,fitted,2016+,cab=ext|crew,R Okafor,2024-03-11,above the hood release cable; left,3.5 cm,new",
    );
    check_one_note(
        "years,by,on,seen,at,slot,rating,hot",
        "Quillon,Tarn,fused-feed,metered,-2018,R. Okafor,2024-03-11,2016,fuse box under hood,F12,10 A,always",
        "Quillon,Tarn,fused-feed,metered,up to 2018,R. Okafor,2024-03-11,'16,underhood fuse box,fuse f-12,10,B+",
    );
    check_one_note(
        "years,by,on,at,stud,torque",
        "Quillon,Tarn,ground,inspected,2016,R. Okafor,2024-03-11,left kick panel,M8,9 N·m",
        "Quillon,Tarn,ground,inspected,2016,R. Okafor,2024-03-11,driver side kick panel,8 mm stud,9 Nm",
    );
    // What allows every vehicle, and the side on which the driver sits unless said, say nothing more.
    check_one_note(
        "years,only,by,on,colour",
        "Quillon,Tarn,horn,told,2016,,R. Okafor,2024-03-11,BU",
        "Quillon,Tarn,horn,told,2016,drive=lhd; tow=yes|no,R. Okafor,2024-03-11,blue",
    );
}

#[test]
fn a_row_that_means_something_else_is_another_note() {
    let base = [
        "Quillon",
        "Tarn",
        "2015-2019",
        "tow=yes",
        "VT",
        "metered",
        "R. Okafor",
        "2024-03-11",
        "2016",
        "faded",
    ];
    let others = [
        "Quellon",
        "Torn",
        "2015-2018",
        "tow=no",
        "VT/WH",
        "fitted",
        "D. Pruett",
        "2024-03-12",
        "2017",
        "bright",
    ];
    let mut rows = vec![base.join(",")];
    for (at, other) in others.iter().enumerate() {
        let mut row = base;
        row[at] = other;
        rows.push(row.join(","));
    }
    let rows: Vec<String> = rows.iter().map(|row| format!("horn,{row}")).collect();
    let header = "point,make,model,years,only,colour,basis,by,on,seen,remark";
    let report = Shop::new().load(&[format!("{header}\n{}\n", rows.join("\n"))]);
    assert_eq!(ids(&report).len(), rows.len());
}
