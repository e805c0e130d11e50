//! Wire colours against IEC 60757, row by row.
//!
//! `reference/iec60757.csv` holds Table 1 of IEC 60757:1983/2021 and the rules of its clause 5.1; each
//! row names its source. Written forms of installers are checked beside the parser.

use baybook::value::colour::{Colour, Hue, Tint, Tracers};
use baybook::value::{Misread, Problem, Relation, Typed};

/// One row: its kind, its place in the table, its code or the text of the rule, and its words.
struct Row {
    kind: String,
    order: Option<usize>,
    text: String,
    words: String,
    also: String,
}

fn rows() -> Vec<Row> {
    let mut reader = csv::Reader::from_path("tests/reference/iec60757.csv").expect("the reference file");
    let record = |record: csv::StringRecord| Row {
        kind: record[0].to_owned(),
        order: record[1].parse().ok(),
        text: record[2].to_owned(),
        words: record[3].to_owned(),
        also: record[4].to_owned(),
    };
    reader.records().map(|row| record(row.expect("a row of the reference file"))).collect()
}

fn codes() -> Vec<Row> {
    rows().into_iter().filter(|row| row.kind == "code").collect()
}

fn read(text: &str) -> Colour {
    Colour::parse(text).unwrap_or_else(|misread| panic!("{text:?}: {misread}"))
}

/// Checks that `text` is refused as ambiguous and offers exactly `readings`, in any order.
fn check_ambiguous(text: &str, readings: &[&str]) {
    let Misread { problem, readings: mut offered, .. } = Colour::parse(text).expect_err(text);
    let mut expected = readings.to_vec();
    offered.sort_unstable();
    expected.sort_unstable();
    assert_eq!(
        (problem, offered),
        (Problem::Ambiguous, expected.into_iter().map(str::to_owned).collect()),
        "{text}"
    );
}

/// Green-and-yellow, the last row of the table, is one item of two colours and has a test of its own.
fn single_codes() -> Vec<Row> {
    codes().into_iter().filter(|row| row.text.len() == 2).collect()
}

#[test]
fn every_code_is_read_and_written_as_the_standard_has_it() {
    assert_eq!(single_codes().len(), 14);
    for row in single_codes() {
        let colour = read(&row.text);
        assert_eq!((colour.to_string(), colour.plain()), (row.text.clone(), row.words.clone()));
        assert_eq!(read(&row.words), colour, "{} by its name", row.text);
        assert_eq!(read(&row.text.to_lowercase()), colour, "lower case has the same meaning");
        assert_eq!(Hue::ALL[row.order.expect("a place in the table") - 1].code(), row.text);
    }
}

#[test]
fn no_code_is_invented_beyond_the_table() {
    let known: Vec<String> = single_codes().into_iter().map(|row| row.text).collect();
    for hue in Hue::ALL {
        let has_code = known.iter().any(|code| code == hue.code());
        assert_eq!(has_code, hue.code() != hue.plain(), "{}", hue.code());
    }
}

#[test]
fn the_other_words_of_the_table_name_the_same_colours() {
    for row in codes().iter().filter(|row| !row.also.is_empty()) {
        let colour = read(&row.text);
        match row.also.as_str() {
            // A light blue wire may be coded BU, so the code says less and contradicts nothing.
            "including light blue" => assert_eq!(colour.relation(&read("light blue")), Relation::SecondFiner),
            "violet (purple)" => assert_eq!((read("purple"), read(&row.also)), (colour.clone(), colour)),
            "slate" => assert_eq!(read("slate"), colour),
            other => panic!("no check for the words {other:?} of {}", row.text),
        }
    }
}

#[test]
fn every_rule_of_the_standard_is_kept() {
    for row in rows().iter().filter(|row| row.kind == "rule") {
        match row.text.as_str() {
            "combination" => every_joined_pair_is_ambiguous(),
            "RDBU" => check_ambiguous("RDBU", &["RD/BU", "BU/RD"]),
            "+" => check_ambiguous("BK+WH", &["BK/WH", "BK", "WH"]),
            "BK+BK+BN+BU+GNYE" => {
                check_ambiguous(&row.text, &["BK", "BN", "BU", "GN/YE", "YE/GN"]);
            }
            "GN with YE" => check_ambiguous("GNYE", &["GN/YE", "YE/GN"]),
            "lower case" => assert_eq!(read("bk/wh"), read("BK/WH")),
            "base/stripe" => the_written_order_is_never_changed(),
            other => panic!("no check for the rule {other:?}"),
        }
    }
}

/// The standard joins codes in table order, so joined codes do not tell base from tracer.
fn every_joined_pair_is_ambiguous() {
    let codes = single_codes();
    for (at, first) in codes.iter().enumerate() {
        for second in &codes[at + 1..] {
            let (a, b) = (&first.text, &second.text);
            check_ambiguous(&format!("{a}{b}"), &[&format!("{a}/{b}"), &format!("{b}/{a}")]);
        }
    }
}

fn the_written_order_is_never_changed() {
    let codes = single_codes();
    for base in &codes {
        for tracer in codes.iter().filter(|tracer| tracer.text != base.text) {
            let text = format!("{}/{}", base.text, tracer.text);
            let colour = read(&text);
            assert_eq!(colour.to_string(), text);
            assert_eq!(colour.plain(), format!("{} with {} tracer", base.words, tracer.words));
            let turned = format!("{}/{}", tracer.text, base.text);
            assert_eq!(colour.relation(&read(&turned)), Relation::Different, "{text} against {turned}");
        }
    }
}

#[test]
fn colours_without_a_code_are_carried_as_words() {
    for (word, hue) in [("tan", Hue::Tan), ("beige", Hue::Beige), ("clear", Hue::Clear)] {
        assert_eq!(Ok(read(word)), Colour::new(Tint::of(hue), Tracers::NotSaid));
        assert_eq!(read(word).to_string(), word);
    }
    assert_eq!(read("light blue").to_string(), "light BU");
}
