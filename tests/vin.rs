//! The VIN against every row of `reference/vin.csv`: 49 CFR 565 (transliteration, weights, year
//! codes, position 7), public examples, and synthetic numbers whose check digits two independent
//! implementations (Faker and vininfo) agree on. The source of each row stands in the row.

use baybook::vehicle::{CheckDigit, ModelYear, Vin, VinYear};

const REFERENCE: &str = include_str!("reference/vin.csv");

struct Row {
    section: String,
    key: String,
    value: String,
    value2: String,
    expected: String,
}

fn rows(section: &str) -> Vec<Row> {
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::None).from_reader(REFERENCE.as_bytes());
    let rows = reader.records().map(|record| {
        let record = record.expect("the reference is well formed");
        let [section, key, value, value2, expected] =
            [0, 1, 2, 3, 4].map(|i| record.get(i).expect("a column").to_owned());
        Row { section, key, value, value2, expected }
    });
    let rows: Vec<Row> = rows.filter(|row| row.section == section).collect();
    assert!(!rows.is_empty(), "no row in section {section}");
    rows
}

fn number<T: std::str::FromStr>(text: &str) -> T {
    text.parse().unwrap_or_else(|_| panic!("{text} is no number"))
}

/// Zeros but for one character at a position counted from 1.
fn zeros_but(position: usize, c: char) -> String {
    let mut text = vec!['0'; 17];
    text[position - 1] = c;
    text.into_iter().collect()
}

fn year(text: &str) -> ModelYear {
    ModelYear::new(number(text))
}

#[test]
fn every_section_of_the_reference_is_used() {
    let used = ["translit", "weight", "rule", "year", "case", "year_case"];
    let counted: usize = used.iter().map(|section| rows(section).len()).sum();
    assert_eq!(counted, REFERENCE.lines().count() - 1);
}

#[test]
fn letters_stand_for_the_digits_of_the_table() {
    for row in rows("translit") {
        let c = row.key.chars().next().expect("a character");
        let sum = Vin::parse(&zeros_but(1, c)).map(|vin| vin.weighted_sum());
        match row.expected.as_str() {
            "not allowed" => assert!(sum.is_err(), "{c}"),
            _ => assert_eq!(sum, Ok(number::<u32>(&row.value) * 8), "{c} in position 1, weight 8"),
        }
    }
}

#[test]
fn positions_weigh_as_in_the_table() {
    for row in rows("weight") {
        let sum = Vin::parse(&zeros_but(number(&row.key), '1')).map(|vin| vin.weighted_sum());
        assert_eq!(sum, Ok(number(&row.value)), "position {}", row.key);
    }
}

#[test]
fn rules_hold() {
    for row in rows("rule") {
        match row.key.as_str() {
            "length" => assert_eq!(row.value, baybook::vehicle::vin::VIN_LENGTH.to_string()),
            "year_code_excluded" => {
                for code in row.value.split(' ') {
                    let c = code.chars().next().expect("a character");
                    let years = Vin::parse(&zeros_but(10, c)).map(|vin| vin.model_year_candidates());
                    assert!(years.is_err() || years == Ok(Vec::new()), "{code} is no year code");
                }
            }
            "third_char_9" => {
                let identifier = |text: &str| Vin::parse(text).expect(text).manufacturer_identifier();
                assert_eq!(identifier("ABCDEFGH1AB123456"), "ABC");
                assert_eq!(identifier("AB9DEFGH1AB123456"), "AB9123");
            }
            "check_digit_mandatory" => {
                let mandatory = |c: char| Vin::parse(&zeros_but(1, c)).expect("readable").mandatory();
                assert!("12345".chars().all(mandatory), "North America");
                assert!(!"06789ABJLSVWZ".chars().any(mandatory), "elsewhere");
            }
            // These stand in the sections case and year_case; the last is from memory and nothing here uses it.
            "remainder" | "position7_light" | "positions_13_17" => {}
            other => panic!("rule {other} is not checked"),
        }
    }
}

#[test]
fn year_codes_come_round_every_thirty_years() {
    for row in rows("year") {
        let code = row.key.chars().next().expect("a code");
        let candidates = Vin::parse(&zeros_but(10, code)).map(|vin| vin.model_year_candidates());
        assert_eq!(candidates, Ok(vec![year(&row.value), year(&row.value2)]), "{code}");
    }
}

#[test]
fn whole_numbers_are_judged_as_the_reference_does() {
    for row in rows("case") {
        let vin = Vin::parse(&row.key);
        if row.expected == "invalid_format" {
            assert!(vin.is_err(), "{:?}", row.key);
            continue;
        }
        let vin = vin.unwrap_or_else(|misread| panic!("{}: {misread}", row.key));
        assert_eq!(vin.weighted_sum(), number::<u32>(&row.value2), "{}", row.key);
        let computed = row.value.chars().next().expect("a check digit");
        let expected = match row.expected.as_str() {
            "invalid_check" => CheckDigit::Wrong { computed },
            "valid" | "valid_after_uppercase" | "valid_after_trim" => CheckDigit::Right,
            other => panic!("{other} is no verdict"),
        };
        assert_eq!(vin.check_digit(), expected, "{}", row.key);
    }
}

#[test]
fn position_seven_tells_the_round_of_a_light_vehicle_only() {
    for row in rows("year_case") {
        let vin = Vin::parse(&row.key).expect("readable");
        assert_eq!(vin.check_digit(), CheckDigit::Right, "{}", row.key);
        assert_eq!(vin.model_year(Some(true)), VinYear::Known(year(&row.expected)), "{}", row.key);
        let VinYear::Either(early, late) = vin.model_year(None) else { panic!("{} must stay open", row.key) };
        assert_eq!(vin.model_year(Some(false)), VinYear::Either(early, late));
        assert_eq!(late.get(), early.get() + 30);
        assert!([early, late].contains(&year(&row.expected)), "{}", row.key);
    }
}
