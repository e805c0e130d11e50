//! What is put on paper, from an outline made by hand: nothing of a note becomes markup or style.

use super::*;

const HOSTILE: &str = "</p><script>x</script>\"}</style>\\a & '\u{202e}";

fn piece(label: Label, text: &str) -> Piece {
    (label, text.to_owned())
}

fn outline(text: &str) -> Outline {
    let entry = |room| Entry {
        head: vec![piece(Label::Title, text), piece(Label::Alarm, text)],
        more: vec![vec![piece(Label::Plain, text)]],
        room,
    };
    let section = |part, title, room| Section { part, title, entries: vec![entry(room)] };
    Outline {
        title: text.to_owned(),
        vehicle: text.to_owned(),
        basis: vec![vec![piece(Label::Value, text)]],
        sections: vec![
            section(Part::Doubts, "Doubts", Room::Tick),
            section(Part::Circuits, "Circuits", Room::None),
            section(Part::Before, "Before", Room::Reading),
            section(Part::SignOff, "Signed", Room::Name),
        ],
    }
}

fn written(text: &str) -> String {
    let plan = Plan { title: text.to_owned(), circuits: Vec::new() };
    document(&outline(text), &plan).into_string()
}

#[test]
fn hostile_words_stay_words() {
    let page = written(HOSTILE);
    assert!(!page.contains("<script") && !page.contains('\u{202e}'), "{page}");
    assert_eq!(page.matches("</style>").count(), 1, "{page}");
    assert!(page.contains("&lt;/p&gt;&lt;script&gt;x"), "{page}");
}

/// A backslash, a quotation mark or a brace would end the text and begin a rule.
#[test]
fn the_foot_of_a_sheet_is_escaped_for_the_style_sheet() {
    assert_eq!(foot("2016 Tarn"), "@page{@bottom-left{content:\"2016\\000020Tarn\"}}");
    let inside = foot(HOSTILE);
    let inside = inside.trim_start_matches("@page{@bottom-left{content:\"").trim_end_matches("\"}}");
    assert!(inside.chars().all(|c| c.is_ascii_alphanumeric() || c == '\\'), "{inside}");
}

#[test]
fn there_is_room_to_tick_and_to_write() {
    let page = written("x");
    for (what, count) in [("class=\"box\"", 1), ("class=\"read\"", 1), ("class=\"name\"", 1)] {
        assert_eq!(page.matches(what).count(), count, "{what}: {page}");
    }
    for what in BY_HAND {
        assert!(page.contains(&format!("<p>{what}<span class=\"line\"></span></p>")), "{what}");
    }
}

#[test]
fn every_label_has_its_look() {
    let labels = [
        Label::Title,
        Label::Value,
        Label::Id,
        Label::Sure,
        Label::Weak,
        Label::Alarm,
        Label::Aside,
        Label::Evidence,
    ];
    for label in labels {
        let name = class(label).expect("a name");
        assert!(STYLE.contains(&format!(".{name}")), "{name}");
    }
}

/// The more there is to say, the closer it is set.
#[test]
fn letters_are_set_closer_where_there_are_more() {
    let of = |count: usize| density(&outline(&"x".repeat(count)), &Plan::default());
    // The text stands twelve times in the sections.
    let set = [100, 1050, 1200, 1500, 3000].map(of);
    assert_eq!(set, ["ample", "roomy", "close", "dense", "brief"]);
    for level in ["close", "dense", "brief"] {
        assert!(STYLE.contains(&format!(".{level} {{ font-size")), "{level}");
    }
}
