//! What a quantity means once it is read: comparison, spoken text, parts, numbers, messages.

use super::super::*;
use super::rule;
use crate::value::Problem;

/// What `a` is to `b`, both read for a field in `unit`.
fn related(unit: &str, a: &str, b: &str) -> &'static str {
    let [a, b] = [a, b].map(|text| Quantity::parse(text, &rule(unit)).unwrap());
    assert_eq!(a.relation(&b), b.relation(&a).flipped(), "{a} and {b}");
    a.relation(&b).word()
}

#[test]
fn compares_by_meaning() {
    for (unit, a, b, expected) in [
        ("mm", "1-3/8 in", "35 mm", "same"),
        ("mm", "1-3/8 in", "1-1/4 in", "different"),
        ("mm", "34.5 mm", "35 mm", "same"),
        ("mm", "34.4 mm", "35 mm", "different"),
        ("mm", "34.4 mm", "about 35 mm", "same"),
        ("mm", "about 31 mm", "35 mm", "different"),
        ("mm", "0 mm", "0 mm", "same"),
        ("m", "4 ft", "1.2 m", "same"),
        ("V", "12-14 V", "13 V", "same"),
        ("V", "12-14 V", "14-15 V", "same"),
        ("V", "12-14 V", "11.6 V", "same"),
        ("V", "12-14 V", "11 V", "different"),
        ("V", "12-14 V", "0 V", "different"),
        ("V", "at least 11 V", "12.4 V", "same"),
        ("V", "at least 11 V", "at least 30 V", "same"),
        ("V", "at least 11 V", "less than 0.2 V", "different"),
        ("V", "-12 V", "12 V", "different"),
        ("V", "-12.4 V", "-12 V", "same"),
        ("A", "7.5 A", "8 A", "different"),
        ("A", "500 mA", "0.5 A", "same"),
        ("mm2", "10 AWG", "5.26 mm²", "same"),
        ("mm2", "10 AWG", "6 mm²", "different"),
        ("mm2", "10 AWG", "11 AWG", "different"),
        ("mm2", "12-10 AWG", "4 mm²", "same"),
        ("mm2", "at least 10 AWG", "1/0 AWG", "same"),
        ("mm2", "at least 10 AWG", "12 AWG", "different"),
        ("Nm", "8 lb-ft", "11 N·m", "same"),
        ("min", "1:30", "1.5 h", "same"),
    ] {
        assert_eq!(related(unit, a, b), expected, "{a} against {b}");
    }
}

#[test]
fn compares_across_fields() {
    let read = |unit, text| Quantity::parse(text, &rule(unit)).unwrap();
    assert_eq!(read("V", "12 V").relation(&read("A", "12 A")), Relation::Unknown);
    assert_eq!(read("mm", "1000 mm").relation(&read("m", "1 m")), Relation::Same);
    assert_eq!(read("in", "35 mm").relation(&read("mm", "35 mm")), Relation::Same);
}

#[test]
fn says_it_as_the_trade_would() {
    for (unit, text, expected) in [
        ("mm", "1-3/8 in", "34.9 mm (1-3/8 in)"),
        ("mm", "about 3/8 in", "about 9.5 mm (3/8 in)"),
        ("mm", "2 in", "50.8 mm (2 in)"),
        ("mm", "1-1/64 in", "25.8 mm (1-1/64 in)"),
        ("mm", "35 mm", "35 mm"),
        ("mm", "127 mm", "127 mm"),
        ("mm", "35.2 mm", "35.2 mm"),
        ("mm", "1/4-3/8 in", "6.35-9.525 mm"),
        ("mm2", "10 AWG", "10 AWG (5.26 mm²)"),
        ("mm2", "1/0", "1/0 AWG (53.5 mm²)"),
        ("mm2", "12-10 AWG", "12-10 AWG"),
        ("mm2", "6 mm²", "6 mm²"),
        ("Nm", "8 lb-ft", "10.85 N·m"),
        ("V", "> 11 V", "at least 11 V"),
        ("ohm", "12345 ohm", "12345 ohm"),
        ("min", "1h30", "90 min (1 h 30 min)"),
        ("min", "2 h", "120 min (2 h)"),
        ("min", "45", "45 min"),
        ("m", "17 ft", "5.18 m (17 ft)"),
        ("m", "20 ft", "6.1 m (20 ft)"),
        ("m", "6 in", "152 mm (6 in)"),
        ("m", "about 5-6 m", "about 5-6 m (16.4-19.7 ft)"),
        ("m", "> 3 m", "at least 3 m (9.84 ft)"),
        ("m", "15-30 cm", "150-300 mm (5.91-11.8 in)"),
    ] {
        assert_eq!(Quantity::parse(text, &rule(unit)).unwrap().plain(), expected, "{text}");
    }
}

#[test]
fn gives_its_parts() {
    for (unit, text, expected) in [
        ("mm", "1-3/8 in", r#"{"low":34.925,"high":34.925,"unit":"mm","about":false}"#),
        ("V", "about 12-14 V", r#"{"low":12.0,"high":14.0,"unit":"V","about":true}"#),
        ("V", "> 11 V", r#"{"low":11.0,"high":null,"unit":"V","about":false}"#),
        (
            "mm2",
            "1/0",
            r#"{"low":"1/0","high":"1/0","unit":"AWG","about":false,"low_mm2":53.4751,"high_mm2":53.4751}"#,
        ),
    ] {
        let parts = Quantity::parse(text, &rule(unit)).unwrap().parts();
        let expected: serde_json::Value = serde_json::from_str(expected).unwrap();
        assert_eq!(serde_json::Value::Object(parts), expected, "{text}");
    }
}

#[test]
fn gives_its_numbers() {
    let read = |unit, text| Quantity::parse(text, &rule(unit)).unwrap();
    assert_eq!(read("mm", "3/8 in").metres().unwrap().low, Metres(0.009525));
    assert_eq!(read("A", "10-15 A").amps().unwrap(), Bounds { low: Amps(10.0), high: Some(Amps(15.0)) });
    assert_eq!(read("V", "> 11 V").volts().unwrap(), Bounds { low: Volts(11.0), high: None });
    assert_eq!(read("h", "1:30").minutes().unwrap().low, Minutes(90.0));
    assert_eq!(read("mm2", "10 AWG").square_mm().unwrap().low, Awg::new(10).unwrap().area());
    assert_eq!(read("mm2", "1/0").awg(), Awg::new(0));
    assert!(read("mm2", "12-10 AWG").awg().is_none());
    assert!(read("V", "12 V").amps().is_none());
}

#[test]
fn names_the_rule_of_a_unit_word() {
    for (word, unit, bare) in [
        ("mm", Unit::Millimetre, false),
        ("m", Unit::Metre, false),
        ("in", Unit::Inch, false),
        ("ft", Unit::Foot, false),
        ("A", Unit::Ampere, true),
        ("V", Unit::Volt, true),
        ("ohm", Unit::Ohm, true),
        ("Ω", Unit::Ohm, true),
        ("mm2", Unit::SquareMillimetre, false),
        ("mm²", Unit::SquareMillimetre, false),
        ("AWG", Unit::Awg, false),
        ("min", Unit::Minute, true),
        ("N·m", Unit::NewtonMetre, false),
        ("Nm", Unit::NewtonMetre, false),
        ("lb-ft", Unit::PoundFoot, false),
    ] {
        let rule = rule_for_unit(word).unwrap_or_else(|| panic!("{word}"));
        assert_eq!((rule.unit, rule.bare), (unit, bare), "{word}");
    }
    for unit in Unit::ALL {
        assert_eq!(unit_named(unit.symbol()), Some(unit), "every symbol names its unit");
    }
    for word in ["colour", "", "12", "W", "12 V"] {
        assert_eq!(rule_for_unit(word), None, "{word}");
    }
}

#[test]
fn messages_say_what_would_be_right() {
    for (unit, text, expected) in [
        ("V", "12 W", "“W” stands for power; a voltage is expected, in V or mV"),
        (
            "V",
            "12 vlots",
            "“vlots” is no unit known here (did you mean “volts”?); a voltage is expected, in V or mV",
        ),
        ("V", "12 A", "“A” is the unit of a current; a voltage is expected, in V or mV"),
        ("V", "12 V red", "“red” was not expected in “12 V red”; write a value and its unit only"),
        ("A", "5 MA", "“MA” is no unit known here (did you mean “mA”?); a current is expected, in A or mA"),
        ("mm", "35", "“35” has no unit; a length is written with its unit, mm, cm, m, in or ft"),
        ("mm", "M8", "“M8” is a thread, which no quantity is; a length is written in mm, cm, m, in or ft"),
        ("V", "\u{1b}[31m", "“\u{fffd}” is no number; a voltage is a number and its unit, V or mV"),
        ("V", "14-12 V", "“14-12 V” runs backwards; write the smaller number first"),
        ("A", "-5 A", "“-5 A” is negative, which a current cannot be"),
    ] {
        assert_eq!(Quantity::parse(text, &rule(unit)).unwrap_err().message, expected, "{text}");
    }
}

#[test]
fn a_long_text_is_refused_unread() {
    let misread = Quantity::parse(&"9".repeat(1_000_000), &rule("V")).unwrap_err();
    assert_eq!(misread.problem, Problem::Unreadable);
    assert!(misread.message.len() < 200, "the message stays short");
}
