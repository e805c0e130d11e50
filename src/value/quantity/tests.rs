//! The written forms of a quantity and what is made of them, as tables of text and expectation.

#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

use proptest::prelude::*;

use super::*;
use crate::value::Problem;

fn rule(unit: &str) -> Rule {
    rule_for_unit(unit).unwrap_or_else(|| panic!("no unit {unit}"))
}

/// The canonical text, or `! problem` with the readings that are offered.
fn reading(unit: &str, text: &str) -> String {
    match Quantity::parse(text, &rule(unit)) {
        Ok(quantity) => quantity.to_string(),
        Err(misread) => {
            let problem = serde_json::to_value(misread.problem).unwrap();
            let offered: Vec<_> = misread.readings.iter().map(|reading| format!(" | {reading}")).collect();
            format!("! {}{}", problem.as_str().unwrap(), offered.concat())
        }
    }
}

/// Every text of the table, read for a field in `unit`, gives the text beside it.
fn check(unit: &str, table: &[(&str, &str)]) {
    let wrong: Vec<_> = table
        .iter()
        .filter(|(text, expected)| reading(unit, text) != *expected)
        .map(|(text, expected)| format!("{text:?}: {} instead of {expected}", reading(unit, text)))
        .collect();
    assert!(wrong.is_empty(), "in {unit}:\n{}", wrong.join("\n"));
}

#[test]
fn reads_lengths_for_holes() {
    check(
        "mm",
        &[
            ("1-3/8\"", "34.925 mm"),
            ("1 3/8 in", "34.925 mm"),
            ("1-3/8 inch", "34.925 mm"),
            ("1–3/8 in", "34.925 mm"),
            ("1 - 3/8 in", "34.925 mm"),
            ("1⅜ in", "34.925 mm"),
            ("1-⅜”", "34.925 mm"),
            ("1-3/8''", "34.925 mm"),
            ("1.375 in", "34.925 mm"),
            ("1.375 in.", "34.925 mm"),
            ("3/8\"", "9.525 mm"),
            ("⅜ in", "9.525 mm"),
            ("3⁄8 in", "9.525 mm"),
            (".5 in", "12.7 mm"),
            ("9/8 in", "28.575 mm"),
            ("63/64 in", "25.0031 mm"),
            ("35mm", "35 mm"),
            ("35 mm", "35 mm"),
            ("35MM", "35 mm"),
            ("35\u{a0}mm", "35 mm"),
            ("35 millimetres", "35 mm"),
            ("35 mm.", "35 mm"),
            ("+35 mm", "35 mm"),
            ("3.5 cm", "35 mm"),
            ("0.035 m", "35 mm"),
            ("4 ft", "1219.2 mm"),
            ("4'", "1219.2 mm"),
            ("4’", "1219.2 mm"),
            ("4' 6\"", "1371.6 mm"),
            ("4'6", "1371.6 mm"),
            ("4'-6\"", "1371.6 mm"),
            ("4′ 6″", "1371.6 mm"),
            ("4 ft 6 in", "1371.6 mm"),
            ("4 ft. 6 in.", "1371.6 mm"),
            ("4 feet and 6 inches", "1371.6 mm"),
            ("4' 6-1/2\"", "1384.3 mm"),
            ("1 m 20 cm", "1200 mm"),
            ("1/4 to 3/8 in", "6.35-9.525 mm"),
            ("1/4-3/8 in", "6.35-9.525 mm"),
            ("1-1/4 - 1-3/8 in", "31.75-34.925 mm"),
            ("3' - 4'", "914.4-1219.2 mm"),
            ("12-14 in", "304.8-355.6 mm"),
            ("0-1/2 in", "0-12.7 mm"),
            ("35 ± 0.5 mm", "34.5-35.5 mm"),
            ("35 mm +/- 0.5 mm", "34.5-35.5 mm"),
            ("about 1-3/8 in", "about 34.925 mm"),
            ("12,4 mm", "12.4 mm"),
            ("0,200 mm", "0.2 mm"),
            ("1,200.5 mm", "1200.5 mm"),
            ("1.200,5 mm", "1200.5 mm"),
            ("1.200 mm", "1.2 mm"),
            ("1e2 mm", "100 mm"),
            ("34.92549999 mm", "34.9255 mm"),
        ],
    );
}

#[test]
fn refuses_lengths_that_are_none() {
    check(
        "mm",
        &[
            ("35", "! unit-missing | 35 mm | 35 in"),
            ("about 35", "! unit-missing | about 35 mm | about 35 in"),
            ("3/8", "! unit-missing | 3/8 in"),
            ("12-14", "! unit-missing | 12-14 mm | 12-14 in"),
            ("1,200 mm", "! ambiguous | 1.2 mm | 1200 mm"),
            ("1,200-1,400 mm", "! ambiguous | 1.2-1.4 mm | 1200-1400 mm"),
            ("1,200,000 mm", "! out-of-range"),
            ("12,34,5 mm", "! unreadable"),
            ("1.2.3 mm", "! unreadable"),
            ("35 mm or 36 mm", "! ambiguous | 35 mm | 36 mm"),
            ("35 or 36 mm", "! ambiguous | 35 mm | 36 mm"),
            ("35 mm?", "! ambiguous | 35 mm"),
            ("M8", "! unreadable"),
            ("M8 x 1.25", "! unreadable"),
            ("3/8-16", "! unreadable"),
            ("3/8-16 in", "! unreadable"),
            ("1/4-20", "! unreadable"),
            ("1-9/8 in", "! unreadable"),
            ("1/3 in", "! unreadable"),
            ("3/0 in", "! out-of-range"),
            ("1-3/0 in", "! out-of-range"),
            ("1 to 3/8 in", "! out-of-range"),
            ("-5 mm", "! out-of-range"),
            ("−5 mm", "! out-of-range"),
            ("5 ± 6 mm", "! out-of-range"),
            ("3000 mm", "! out-of-range"),
            ("35 m", "! out-of-range"),
            ("1e999 mm", "! out-of-range"),
            ("1e-300 mm", "! out-of-range"),
            ("infinite mm", "! out-of-range"),
            ("NaN", "! out-of-range"),
            ("∞", "! out-of-range"),
            ("36-35 mm", "! out-of-range"),
            ("35 mm²", "! unit-wrong"),
            ("35 V", "! unit-wrong"),
            ("35 mmm", "! unit-wrong"),
            ("35 kg", "! unit-wrong"),
            ("35 %", "! unit-wrong"),
            ("35 mm red", "! unreadable"),
            ("35 mm 36 mm", "! unreadable"),
            ("4 ft 14 in", "! unreadable"),
            ("1 200 mm", "! unreadable"),
            ("red", "! unreadable"),
            ("mm", "! unreadable"),
            ("", "! unreadable"),
            ("  ", "! unreadable"),
            ("-", "! unreadable"),
            ("12:30", "! unreadable"),
            ("not 35 mm", "! unreadable"),
            ("from 35 mm", "! unreadable"),
            ("between 35 mm", "! unreadable"),
            ("99999999999999999999/8 in", "! unreadable"),
        ],
    );
}

#[test]
fn reads_runs_in_metres() {
    check(
        "m",
        &[
            ("4 ft", "1.2192 m"),
            ("3 to 4 ft", "0.9144-1.2192 m"),
            ("3-4 ft", "0.9144-1.2192 m"),
            ("4 ft 6 in - 5 ft", "1.3716-1.524 m"),
            ("3.5m", "3.5 m"),
            ("3,5 metres", "3.5 m"),
            ("350 cm", "3.5 m"),
            ("35 m", "35 m"),
            ("about 3 m", "about 3 m"),
            ("35", "! unit-missing | 35 m | 35 ft"),
            ("328.084 ft", "100 m"),
            ("101 m", "! out-of-range"),
        ],
    );
    check("ft", &[("1.5 m", "4.92126 ft"), ("4' 6\"", "4.5 ft")]);
    check("in", &[("35 mm", "1.37795 in"), ("1-3/8", "! unit-missing | 1-3/8 in")]);
}

#[test]
fn reads_voltages() {
    check(
        "V",
        &[
            ("12V", "12 V"),
            ("12", "12 V"),
            ("12.4 volts", "12.4 V"),
            ("12,4 V", "12.4 V"),
            ("12,40 V", "12.4 V"),
            ("12 VDC", "12 V"),
            ("12 V DC", "12 V"),
            ("12 V.", "12 V"),
            ("+12 V", "12 V"),
            ("500 mV", "0.5 V"),
            ("-12 V", "-12 V"),
            ("minus 12 V", "-12 V"),
            ("-0 V", "0 V"),
            ("-14 to -12 V", "-14 to -12 V"),
            ("12-14 V", "12-14 V"),
            ("12-14", "12-14 V"),
            ("12 - 14 V", "12-14 V"),
            ("12 to 14 V", "12-14 V"),
            ("12..14 V", "12-14 V"),
            ("12...14 V", "12-14 V"),
            ("12…14 V", "12-14 V"),
            ("12V-14V", "12-14 V"),
            ("12 V..14 V", "12-14 V"),
            ("12V-14", "12-14 V"),
            ("12–14 V", "12-14 V"),
            ("between 12 and 14 V", "12-14 V"),
            ("from 12 to 14 V", "12-14 V"),
            ("500 mV - 2 V", "0.5-2 V"),
            ("12-12 V", "12 V"),
            ("12 ± 0.5 V", "11.5-12.5 V"),
            ("about 12 V", "about 12 V"),
            ("~12 V", "about 12 V"),
            ("≈ 12 V", "about 12 V"),
            ("approx. 12 V", "about 12 V"),
            ("approx.12 V", "about 12 V"),
            ("ca 12 V", "about 12 V"),
            ("ca. 12 V", "about 12 V"),
            ("12 V or so", "about 12 V"),
            ("12 V approx", "about 12 V"),
            ("about 12-14 V", "about 12-14 V"),
            ("About 12.4 V", "about 12.4 V"),
            ("< 0.2 V", "0-0.2 V"),
            ("<= 0.2 V", "0-0.2 V"),
            ("less than 0.2 V", "0-0.2 V"),
            ("under 0.2 V", "0-0.2 V"),
            ("at most 0.2 V", "0-0.2 V"),
            ("0.2 V max", "0-0.2 V"),
            ("less than about 0.2 V", "about 0-0.2 V"),
            ("at least 12 V", "at least 12 V"),
            ("> 11 V", "at least 11 V"),
            ("≥11 V", "at least 11 V"),
            ("over 11 V", "at least 11 V"),
            ("11 V or more", "at least 11 V"),
            ("11 V min", "at least 11 V"),
            ("at least about 11 V", "at least about 11 V"),
            ("1000 V", "1000 V"),
        ],
    );
}

#[test]
fn refuses_voltages_that_are_none() {
    check(
        "V",
        &[
            ("12 W", "! unit-wrong"),
            ("12 vlots", "! unit-wrong"),
            ("12 A", "! unit-wrong"),
            ("12 VAC", "! unit-wrong"),
            ("12 MV", "! unit-wrong"),
            ("12 minutes", "! unit-wrong"),
            ("1000.1 V", "! out-of-range"),
            ("5000 V", "! out-of-range"),
            ("14-12 V", "! out-of-range"),
            ("less than -5 V", "! out-of-range"),
            ("1/0 V", "! out-of-range"),
            ("12 V red", "! unreadable"),
            ("red 12 V", "! unreadable"),
            ("12 V+", "! unreadable"),
            ("12, 14 V", "! unreadable"),
            ("12 and 14 V", "! unreadable"),
            ("3/8-16", "! unreadable"),
            ("< 12-14 V", "! unreadable"),
            ("at least 12 V max", "! unreadable"),
            ("12 or 14 V", "! ambiguous | 12 V | 14 V"),
            ("12or 14 V", "! ambiguous | 12 V | 14 V"),
            ("1 or 2 or 3 V", "! ambiguous"),
            ("12/24 V", "! ambiguous | 12 V | 24 V"),
            ("12,400 V", "! ambiguous | 12.4 V"),
            ("12 V?", "! ambiguous | 12 V"),
        ],
    );
}

#[test]
fn reads_currents_and_resistances() {
    check(
        "A",
        &[
            ("500 mA", "0.5 A"),
            ("30 amp", "30 A"),
            ("30A", "30 A"),
            ("30 amps", "30 A"),
            ("30", "30 A"),
            ("7.5 A", "7.5 A"),
            ("1/2 A", "0.5 A"),
            ("-5 A", "! out-of-range"),
            ("2001 A", "! out-of-range"),
            ("500 MA", "! unit-wrong"),
            ("30 Ah", "! unit-wrong"),
            ("30 amp hours", "! unit-wrong"),
            ("30 A fuse", "! unreadable"),
            ("10/15 A", "! ambiguous | 10 A | 15 A"),
        ],
    );
    check(
        "ohm",
        &[
            ("0.2 ohm", "0.2 ohm"),
            ("0.2 Ω", "0.2 ohm"),
            ("0.2 \u{2126}", "0.2 ohm"),
            ("0.2", "0.2 ohm"),
            ("50 mΩ", "0.05 ohm"),
            ("50 mohm", "0.05 ohm"),
            ("4.7 kΩ", "4700 ohm"),
            ("4.7k", "4700 ohm"),
            ("2 MΩ", "2000000 ohm"),
            ("2 Mohm", "2000000 ohm"),
            ("2 MOHM", "! unit-wrong"),
            ("infinite ohm", "! out-of-range"),
        ],
    );
}

#[test]
fn reads_cross_sections() {
    check(
        "mm2",
        &[
            ("10 ga", "10 AWG"),
            ("10ga.", "10 AWG"),
            ("10 AWG", "10 AWG"),
            ("10awg", "10 AWG"),
            ("#10 AWG", "10 AWG"),
            ("#10", "10 AWG"),
            ("AWG 10", "10 AWG"),
            ("10 gauge", "10 AWG"),
            ("1/0 AWG", "1/0 AWG"),
            ("0 AWG", "1/0 AWG"),
            ("00 AWG", "2/0 AWG"),
            ("2/0", "2/0 AWG"),
            ("4/0 ga", "4/0 AWG"),
            ("about 10 AWG", "about 10 AWG"),
            ("12-10 AWG", "12-10 AWG"),
            ("10-12 AWG", "12-10 AWG"),
            ("2-1/0 AWG", "2 to 1/0 AWG"),
            ("1/0-2/0", "1/0 to 2/0 AWG"),
            ("at least 10 AWG", "at least 10 AWG"),
            ("10 AWG or thicker", "at least 10 AWG"),
            ("6 mm2", "6 mm²"),
            ("6mm2", "6 mm²"),
            ("6 sq mm", "6 mm²"),
            ("6 sq. mm", "6 mm²"),
            ("6 mm sq", "6 mm²"),
            ("6 mm²", "6 mm²"),
            ("6 mm^2", "6 mm²"),
            ("1.5 square millimetres", "1.5 mm²"),
            ("1.5-2.5 mm²", "1.5-2.5 mm²"),
            ("12 AWG - 6 mm²", "3.30877-6 mm²"),
            ("10", "! unit-missing | 10 mm² | 10 AWG"),
            ("6 mm", "! unit-wrong"),
            ("10.5 AWG", "! unreadable"),
            ("10/2 AWG", "! ambiguous | 10 AWG | 2 AWG"),
            ("41 AWG", "! out-of-range"),
            ("5/0 AWG", "! out-of-range"),
            ("-1 AWG", "! unreadable"),
            ("1/0 mm²", "! unreadable"),
            ("< 10 AWG", "! ambiguous"),
            ("over 10 AWG", "! ambiguous"),
            ("600 mm²", "! out-of-range"),
        ],
    );
    check("AWG", &[("10 AWG", "10 AWG"), ("6 mm²", "6 mm²"), ("10", "! unit-missing | 10 mm² | 10 AWG")]);
}

#[test]
fn reads_torques() {
    check(
        "Nm",
        &[
            ("8 lb-ft", "10.8465 N·m"),
            ("8 ft-lb", "10.8465 N·m"),
            ("8 ft lbs", "10.8465 N·m"),
            ("8 lb·ft", "10.8465 N·m"),
            ("8 lb.-ft.", "10.8465 N·m"),
            ("8 ftlbs", "10.8465 N·m"),
            ("8 foot-pounds", "10.8465 N·m"),
            ("96 in-lb", "10.8465 N·m"),
            ("96 in. lbs.", "10.8465 N·m"),
            ("11 Nm", "11 N·m"),
            ("11 N·m", "11 N·m"),
            ("11 N m", "11 N·m"),
            ("11 N-m", "11 N·m"),
            ("11 newton metres", "11 N·m"),
            ("8-10 N·m", "8-10 N·m"),
            ("11", "! unit-missing | 11 N·m | 11 lb-ft"),
            ("11 lb", "! unit-wrong"),
            ("11 ft", "! unit-wrong"),
        ],
    );
    check("lb-ft", &[("11 N·m", "8.11318 lb-ft"), ("8 lb-ft", "8 lb-ft")]);
}

#[test]
fn reads_times() {
    check(
        "min",
        &[
            ("1:30", "90 min"),
            ("1:30 h", "90 min"),
            ("0:20", "20 min"),
            ("1h30", "90 min"),
            ("1h30m", "90 min"),
            ("1 h 30", "90 min"),
            ("1 h 30 min", "90 min"),
            ("1 hr 30 mins", "90 min"),
            ("1 hour and 30 minutes", "90 min"),
            ("1.5 h", "90 min"),
            ("1 1/2 h", "90 min"),
            ("1½ hours", "90 min"),
            ("90 min", "90 min"),
            ("90min.", "90 min"),
            ("90", "90 min"),
            ("90 m", "90 min"),
            ("90 minutes", "90 min"),
            ("45 sec", "0.75 min"),
            ("2 min 30 s", "2.5 min"),
            ("1-2 h", "60-120 min"),
            ("1h30-2h", "90-120 min"),
            ("1:30 - 2:00", "90-120 min"),
            ("between 1 h and 2 h", "60-120 min"),
            ("1:75", "! out-of-range"),
            ("1:5", "! unreadable"),
            ("1:30:00", "! unreadable"),
            ("1:30 min", "! unreadable"),
            ("1.5 h 30 min", "! unreadable"),
            ("200 h", "! out-of-range"),
            ("1 day", "! unit-wrong"),
        ],
    );
}

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
        ("A", "5 MA", "“MA” is no unit known here (did you mean “ma”?); a current is expected, in A or mA"),
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

/// Any unit and a text that can be read in it, most often.
fn written() -> impl Strategy<Value = (Unit, String)> {
    let number = prop_oneof![
        (0u32..2_000_000).prop_map(|n| format!("{}", f64::from(n) / 1000.0)),
        (0u32..40, 1u32..8).prop_map(|(whole, eighths)| format!("{whole} {eighths}/8")),
        (0u32..60).prop_map(|n| n.to_string()),
        (1u32..5).prop_map(|n| format!("{n}/0")),
    ];
    let before = prop::sample::select(vec!["", "about ", "< ", "at least ", "-"]);
    let between = prop::sample::select(vec!["", "", "-", " to ", " ± "]);
    let units = (prop::sample::select(&Unit::ALL[..]), prop::sample::select(&Unit::ALL[..]));
    (before, number.clone(), between, number, units, any::<bool>()).prop_map(
        |(before, a, between, b, (field, other), own)| {
            let unit = if own || other.dimension() != field.dimension() { field } else { other };
            let tail = if between.is_empty() { String::new() } else { format!("{between}{b}") };
            (field, format!("{before}{a}{tail} {}", unit.symbol()))
        },
    )
}

/// Every pair of units of one dimension; AWG is left out because it takes whole numbers only.
fn convertible() -> Vec<(Unit, Unit)> {
    let units = || Unit::ALL.into_iter().filter(|unit| *unit != Unit::Awg);
    let pairs = units().flat_map(|field| units().map(move |written| (field, written)));
    pairs.filter(|(field, written)| field.dimension() == written.dimension()).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]

    #[test]
    fn canonical_text_reads_back((field, text) in written()) {
        let rule = Rule::for_unit(field);
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            let again = Quantity::parse(&quantity.to_string(), &rule);
            prop_assert_eq!(again.map(|q| q.to_string()), Ok(quantity.to_string()), "{}", text);
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity));
        }
    }

    /// Whatever the units of text and field, the value is the converted one to six digits.
    #[test]
    fn a_sound_measure_is_read_and_converted(
        (field, written) in prop::sample::select(convertible()),
        thousandths in 1u32..1_900,
    ) {
        let number = f64::from(thousandths) / 1000.0;
        let quantity = Quantity::parse(&format!("{number} {}", written.symbol()), &Rule::for_unit(field)).unwrap();
        let expected = Measure::new(number, written).to(field).unwrap().number;
        let (low, high) = quantity.ends();
        prop_assert_eq!(Some(low), high);
        prop_assert!((low / expected - 1.0).abs() < 6e-6, "{} is {}", quantity, expected);
    }

    #[test]
    fn relation_is_reflexive_and_symmetric((field, a) in written(), (other, b) in written()) {
        let (first, second) = (Rule::for_unit(field), Rule::for_unit(other));
        let read = [(&a, &first), (&b, &second), (&b, &first)].map(|(text, rule)| Quantity::parse(text, rule).ok());
        for a in read.iter().flatten() {
            prop_assert_eq!(a.relation(a), Relation::Same);
            for b in read.iter().flatten() {
                prop_assert_eq!(a.relation(b), b.relation(a).flipped());
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in ".*", field in prop::sample::select(&Unit::ALL[..])) {
        let rule = Rule::for_unit(field);
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity));
        }
    }

    #[test]
    fn any_heap_of_pieces_is_read_or_refused(
        pieces in prop::collection::vec(prop::sample::select(vec![
            "1", "12", "0", "00", "3/8", "1,200", ".", ",", "..", "-", "–", "'", "\"", "''", "V", "mm", "mm2", "²",
            "ft", "in", "h", "min", ":", "30", "AWG", "#", "<", ">=", "±", "about", "or", "so", "to", "?", "e9", "Ω", "⅜",
            " ", "between", "and", "at", "least", "k", "M", "/", "%", "°",
        ]), 0..9),
        field in prop::sample::select(&Unit::ALL[..]),
        spaced in any::<bool>(),
    ) {
        let rule = Rule::for_unit(field);
        let text = pieces.join(if spaced { " " } else { "" });
        if let Ok(quantity) = Quantity::parse(&text, &rule) {
            prop_assert_eq!(Quantity::parse(&quantity.to_string(), &rule), Ok(quantity), "{}", text);
        }
    }
}
