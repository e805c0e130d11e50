//! What a colour says of itself and how two of them relate. What is read from which text is checked
//! in `written`, the laws that hold for every colour in `laws`.

mod laws;
mod written;

use super::*;

fn read(text: &str) -> Colour {
    Colour::parse(text).unwrap_or_else(|misread| panic!("{text:?}: {misread}"))
}

#[test]
fn relations() {
    use Relation::{Different, FirstFiner, Same, SecondFiner, Unknown};
    for (a, b, expected) in [
        ("violet", "purple", Same),
        ("violet/white", "VT/WH", Same),
        ("violet", "violet/white", SecondFiner),
        ("violet", "violet, no tracer", SecondFiner),
        ("violet, no tracer", "violet/white", Different),
        ("blue", "light blue", SecondFiner),
        ("light blue", "dark blue", Different),
        ("VT/WH", "WH/VT", Different),
        ("violet/white", "green", Different),
        ("tan", "beige", Different),
        ("VT/WH", "VT/WH/RD", Different),
        ("VT/WH/RD", "VT/RD/WH", Different),
        ("VT/BU", "VT/light BU", SecondFiner),
        ("light VT/WH", "VT/WH", FirstFiner),
        ("light VT", "VT/WH", Unknown),
        ("light VT/BU", "VT/light BU", Unknown),
    ] {
        assert_eq!(read(a).relation(&read(b)), expected, "{a} against {b}");
        assert_eq!(read(b).relation(&read(a)), expected.flipped(), "{b} against {a}");
    }
}

#[test]
fn confusions() {
    for (a, b, expected) in [
        ("violet", "blue", true),
        ("violet/white", "blue/white", true),
        ("violet", "blue/white", true),
        ("violet, no tracer", "blue/white", false),
        ("grey", "white", true),
        ("tan", "white", true),
        ("pink", "red", true),
        ("brown", "orange", true),
        ("light blue", "dark blue", true),
        ("VT/WH", "WH/VT", true),
        ("VT/WH", "VT/GY", true),
        ("violet", "violet", false),
        ("violet", "violet/white", false),
        ("violet", "yellow", false),
        ("violet/white", "green", false),
        ("VT/WH", "VT/RD", false),
        ("red", "green", false),
    ] {
        assert_eq!(commonly_confused(&read(a), &read(b)), expected, "{a} and {b}");
        assert_eq!(commonly_confused(&read(b), &read(a)), expected, "{b} and {a}");
    }
}

#[test]
fn plain_words() {
    for (text, plain) in [
        ("VT/WH", "violet with white tracer"),
        ("light BU", "light blue"),
        ("VT, no tracer", "violet, no tracer"),
        ("tan/dk grn", "tan with dark green tracer"),
        ("VT/WH/RD", "violet with white and red tracers"),
        ("VT/WH/RD/light BU", "violet with white, red and light blue tracers"),
    ] {
        assert_eq!(read(text).plain(), plain);
    }
}

#[test]
fn parts() {
    for (text, expected) in [
        ("VT/WH", json!({"base": "VT", "base_plain": "violet", "shade": null, "tracers": ["WH"]})),
        ("light blue", json!({"base": "BU", "base_plain": "blue", "shade": "light", "tracers": null})),
        ("tan, no tracer", json!({"base": "tan", "base_plain": "tan", "shade": null, "tracers": []})),
        (
            "BK/lt blu/WH",
            json!({"base": "BK", "base_plain": "black", "shade": null, "tracers": ["light BU", "WH"]}),
        ),
    ] {
        assert_eq!(Value::Object(read(text).parts()), expected);
    }
}

#[test]
fn a_colour_that_cannot_be_is_not_made() {
    let violet = Tint::of(Hue::Violet);
    assert_eq!(
        Colour::new(violet, Tracers::Listed(vec![])).map(|c| c.to_string()),
        Ok("VT, no tracer".to_owned())
    );
    assert!(Colour::new(violet, Tracers::Listed(vec![violet])).is_err());
    assert!(Colour::new(violet, Tracers::Listed(vec![Tint::light(Hue::Violet)])).is_ok());
    assert!(Colour::new(violet, Tracers::Listed(vec![Tint::of(Hue::White); 4])).is_err());
}
