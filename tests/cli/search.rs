//! `search`: what is found, filtered, paged, explained and refused. How well it finds is measured elsewhere.

use insta::assert_snapshot;

use crate::cast::{ROW, TARN, TILLER, sheet};
use crate::harness::{Run, Shop};

fn shop() -> Shop {
    Shop::with(&[TARN, TILLER])
}

/// What each note that was found is about, best first: `brake-signal VT/WH`.
fn found(run: &Run) -> Vec<String> {
    let about = |hit: &serde_json::Value| {
        let value = |name: &str| hit["values"][name].as_str().unwrap_or_default().to_owned();
        let said = [value("colour"), value("at"), value("hole"), value("stud"), value("minutes")];
        let said = said.into_iter().find(|text| !text.is_empty()).unwrap_or_default();
        format!("{} {said}", hit["point"].as_str().unwrap_or_default())
    };
    run.json().as_array().expect("a list").iter().map(about).collect()
}

/// The first notes that a question finds.
fn check(question: &str, expected: &[&str]) {
    let run = shop().run(&format!("search {question} --json")).must_be(0);
    let found = found(&run);
    assert!(found.len() >= expected.len(), "{run}");
    assert_eq!(&found[..expected.len()], expected, "{question}\n{run}");
}

#[test]
fn colours_are_found_however_they_are_written() {
    for written in ["VT/WH", "PPL-WHT", "'violet w/ white tracer'", "purple/white", "vilet w/ wite tracer"] {
        check(written, &["brake-signal VT/WH", "brake-signal VT/WH"]);
    }
    check("grn", &["brake-signal GN"]);
    check("'pink with black stripe'", &["reverse-lamp PK/BK"]);
}

#[test]
fn places_and_points_are_found_by_any_of_their_names() {
    for written in ["'BPP sw'", "'brake switch'", "'stop lamp switch'", "'brke swtich'"] {
        let run = shop().run(&format!("search {written} --json")).must_be(0);
        assert_eq!(found(&run).iter().filter(|about| about.starts_with("brake-signal")).count(), 3, "{run}");
    }
    check("'above the hood release cable'", &["firewall-pass left, above hood release cable"]);
    check("'driver side inner wing'", &["ground left inner fender"]);
    check("bulkhead", &["firewall-pass left, above hood release cable"]);
    check("earth", &["ground left inner fender"]);
}

#[test]
fn sizes_are_found_in_any_unit() {
    for written in ["'35 mm'", "'1-3/8 in'", "'1-3/8\"'", "'3.5 cm hole'"] {
        let run = shop().run(&format!("search {written} --json")).must_be(0);
        assert_eq!(found(&run).iter().filter(|about| about.starts_with("firewall-pass")).count(), 2, "{run}");
    }
    check("'M8 stud'", &["ground left inner fender"]);
    check("'1 h 30'", &["labour 90 min", "labour 90 min"]);
    check("'90 min'", &["labour 90 min", "labour 90 min"]);
}

#[test]
fn words_for_a_vehicle_lift_its_notes() {
    let run = shop().run("search 2016 tarn yellow --json").must_be(0);
    assert!(found(&run)[0].starts_with("left-turn") || run.json()[0]["model"] == "Tarn", "{run}");
    let run = shop().run("search tiller cavity 7 --json").must_be(0);
    assert!(
        run.json().as_array().expect("a list").iter().take(2).all(|hit| hit["model"] == "Tiller"),
        "{run}"
    );
    let run =
        shop().run("search quilon tarm ground --json").must_be(0).must_tell("'quilon' was read as quillon");
    assert_eq!(found(&run)[0], "ground left inner fender");
    assert_eq!(run.json()[0]["model"], "Tarn");
}

#[test]
fn one_colour_number_or_code_is_never_read_as_another() {
    for words in ["brown", "tan", "M10x1.5", "C211"] {
        let run = shop().run(&format!("search {words} --json"));
        assert!(!run.stderr().contains("was read as"), "{run}");
        let strongest = run.json().as_array().and_then(|all| all.first().cloned()).unwrap_or_default();
        assert!(strongest["values"]["colour"] != "GN" && strongest["values"]["connector"] != "C210", "{run}");
    }
}

/// A wire of that colour anywhere used to stand before the very place.
#[test]
fn a_place_with_how_it_stands_to_a_part_outweighs_a_colour() {
    check("violet above the hood release cable", &["firewall-pass left, above hood release cable"]);
}

/// Three letters are forgiven nothing by themselves; beside the word with which they make a phrase, a lacking letter is.
#[test]
fn a_short_word_is_mended_beside_its_other_half() {
    let run = shop().run("search kik panel --json").must_be(0).must_tell("'kik' was read as kick");
    assert!(found(&run)[0].starts_with("left-turn"), "{run}");
    let run = shop().run("search kik violet --json").must_be(0);
    assert!(!run.stderr().contains("was read as"), "{run}");
}

/// `not violet` used to find the violet ones.
#[test]
fn a_colour_that_is_denied_is_left_out() {
    for question in
        ["brake signal not violet", "brake signal, not the violet one", "brake signal but never purple"]
    {
        let question = format!("search \"{question}\" --limit 50 --json");
        let run = shop().run(&question).must_be(0);
        assert_eq!(found(&run)[0], "brake-signal GN", "{run}");
        assert!(found(&run).iter().all(|about| !about.contains("VT")), "{run}");
    }
    let run = shop().run("search brake signal not violet --explain").must_be(0);
    assert!(run.stdout().contains("“violet”: not violet; 2 notes, left out"), "{run}");
    assert!(!run.stdout().contains("nothing of “violet”"), "{run}");
}

/// Letters and figures of an id used to be searched for beside the hint.
#[test]
fn an_id_is_not_searched_for() {
    let shop = shop();
    let id = shop.run("search green --json").must_be(0).json()[0]["id"].as_str().expect("an id").to_owned();
    let run = shop.run(&format!("search {id} --json")).must_be(1).must_tell(&format!("baybook history {id}"));
    assert_eq!(run.json().as_array().map(Vec::len), Some(0), "{run}");
    let run = shop.run(&format!("search {id} green --json")).must_be(0).must_tell("an id is shown by");
    assert_eq!(found(&run), ["brake-signal GN"]);
    // What looks like an id, but is none of this book, is a word.
    assert!(!shop.run("search c-clamps green").must_be(0).stderr().contains("an id is shown"));
}

/// The comma of `3,5 cm` used to part two numbers of a remark.
#[test]
fn a_decimal_comma_in_a_remark_is_one() {
    let row =
        "Quillon,Tarn,2016,ground,left inner fender,M8,fitted,R. Okafor,2024-03-11,2016,\"drilled 3,5 cm\"\n";
    let notes = sheet(&[row, ROW]);
    let run = Shop::with(&[&notes]).run("search 35 mm --json").must_be(0);
    assert_eq!(run.json()[0]["snippet"], "drilled 3,5 cm", "{run}");
}

#[test]
fn a_card_for_each_note() {
    assert_snapshot!(shop().run("search violet at the brake switch"));
}

#[test]
fn why_a_note_stands_where_it_does() {
    assert_snapshot!(shop().run("search 2016 tarn purple/white okafor --explain --limit 2"));
}

#[test]
fn as_json() {
    assert_snapshot!(shop().run("search inner fender M8 --json --limit 1"));
}

#[test]
fn filters() {
    let shop = shop();
    let count = |line: &str, expected: usize| {
        let run = shop.run(&format!("search {line} --limit 50 --json"));
        assert_eq!(run.json().as_array().map(Vec::len), Some(expected), "{run}");
        assert_eq!(run.status(), Some(i32::from(expected == 0)), "{run}");
    };
    count("2016", 10);
    count("2016 --point ground", 2);
    count("2016 --point ground --point earth --point labour", 5);
    count("2016 --basis told", 1);
    count("2016 --basis told --basis inspected", 2);
    count("2016 --by okafor", 4);
    count("2016 --by 'M. Haugli'", 3);
    count("2016 --since 2024-04-01", 3);
    count("2016 --vehicle 'tarn 2014'", 1);
    count("2016 --vehicle tiller", 0);
    count("yellow --vehicle 'tarn no tow package'", 0);
    count("violet --vehicle 'tarn no tow package'", 1);
    count("2016 --state live", 10);
    count("2016 --state retired", 0);
}

#[test]
fn what_does_not_stand_any_more_is_told_and_comes_later() {
    let shop = shop();
    shop.run("reconcile c-eo6l3c uphold 1 --because 'metered again' --by x --yes").must_be(0);
    let run = shop.run("search tarn brake signal --json").must_be(0);
    let states: Vec<serde_json::Value> =
        run.json().as_array().expect("a list").iter().take(3).map(|hit| hit["state"].clone()).collect();
    assert_eq!(states, ["live", "live", "retired"], "{run}");
    let run = shop.run("search tarn brake signal --state retired --json").must_be(0);
    assert_eq!(found(&run), ["brake-signal GN"]);
}

#[test]
fn pages() {
    let shop = shop();
    let all = shop.run("search 2016 --limit 50 --json").must_be(0).json();
    let mut paged = Vec::new();
    for page in 1..=3 {
        let run = shop.run(&format!("search 2016 --limit 4 --page {page} --json")).must_be(0);
        paged.extend(run.json().as_array().expect("a list").clone());
    }
    assert_eq!(Some(&paged), all.as_array());
    shop.run("search 2016 --limit 4 --page 4").must_be(1).must_tell("look at the first page");
    assert!(shop.run("search 2016 --limit 4").must_be(0).stdout().contains("--page 2"));
}

#[test]
fn what_cannot_be_searched_for() {
    let shop = shop();
    for line in ["search ''", "search '  '", "search '?' '!'", "search '\"' + : ~ ("] {
        shop.run(line).must_be(2).must_tell("there is no word to search for");
    }
    shop.run("search the of and").must_be(2).must_tell("say nothing by themselves");
    shop.run("search").must_be(2);
    shop.run("search violet --basis guessed").must_be(2).must_tell("'guessed' is no basis");
    shop.run("search violet --by nobody").must_be(2).must_tell("nobody called 'nobody' wrote a note");
    shop.run("search violet --since yesterday").must_be(2).must_tell("'yesterday' is no date");
    shop.run("search violet --state gone").must_be(2).must_tell("'gone' is no state of a note");
    shop.run("search violet --point winch").must_be(2).must_tell("'winch' is no point");
    shop.run("search violet --limit 0").must_be(2);
    shop.run("search violet --page 0").must_be(2);
    shop.run("search violet --page 999999999").must_be(2).must_tell("can be paged through");
    shop.run("search violet --vehicle sparkly").must_be(1);
}

#[test]
fn signs_and_control_characters_are_no_syntax() {
    let shop = shop();
    let plain = shop.run("search violet white ground --json").must_be(0).stdout();
    for line in [
        "search 'violet\" +white:~ (ground' --json",
        "search 'violet AND white^2 [ground TO *]' --json",
        "search 'violet\u{1b}[31m white\tground' --json",
    ] {
        let run = shop.run(line);
        assert_eq!(run.status(), Some(0), "{run}");
        assert!(!run.stderr().contains('\u{1b}'), "{run}");
    }
    assert!(plain.contains("brake-signal"));
}

#[test]
fn ten_thousand_words() {
    let shop = shop();
    let many = "violet ".repeat(10_000);
    let run = shop.run(&format!("search {many} --json")).must_be(0);
    assert!(run.stderr().contains("only the first 400 of 10000 words"), "{}", run.stderr());
    assert_eq!(found(&run)[0], "brake-signal VT/WH");
}

#[test]
fn nothing_found() {
    let shop = shop();
    assert_snapshot!(shop.run("search cinnamon toast").must_be(1));
    assert_snapshot!(shop.run("search violet --vehicle tiller").must_be(1));
    assert_snapshot!(Shop::new().run("search violet").must_be(1));
    shop.run("search cinnamon --json").must_be(1).json();
}
