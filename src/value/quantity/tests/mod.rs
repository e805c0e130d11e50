//! Tests of the quantity. This file owns the one `check` that they share: a text and what is made of
//! it. Written forms are in `forms.rs`, comparison and showing in `meaning.rs`, laws in `laws.rs`.

#![allow(clippy::unwrap_used, reason = "a test may stop where it fails")]

mod forms;
mod laws;
mod meaning;

use super::{Quantity, Rule, rule_for_unit};
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
