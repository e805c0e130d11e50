//! The sentences with which a text is refused: what was read, what is wrong, what would be right.

use super::super::{Misread, Problem};
use super::units::{Dimension, Unit};
use super::words;

/// The text between quotation marks, cut short and without characters that steer a terminal.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let safe: String = text.trim().chars().take(LONGEST).map(shown).collect();
    let more = if text.trim().chars().nth(LONGEST).is_some() { "…" } else { "" };
    format!("“{safe}{more}”")
}

/// Control characters and those that change the direction of writing become a visible mark.
fn shown(c: char) -> char {
    let steers = matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{61c}' | '\u{feff}');
    if c.is_control() || steers { '\u{fffd}' } else { c }
}

pub(super) fn unreadable(message: impl Into<String>) -> Misread {
    Misread::new(Problem::Unreadable, message)
}

pub(super) fn out_of_range(message: impl Into<String>) -> Misread {
    Misread::new(Problem::OutOfRange, message)
}

pub(super) fn ambiguous(message: impl Into<String>) -> Misread {
    Misread::new(Problem::Ambiguous, message)
}

/// A number is missing where one has to stand.
pub(super) fn no_number(found: &str, dimension: Dimension) -> Misread {
    let expected = format!("{} is a number and its unit, {}", dimension.noun(), dimension.units());
    match found {
        "" => unreadable(format!("there is no number; {expected}")),
        _ => unreadable(format!("{} is no number; {expected}", quoted(found))),
    }
}

/// `M8` and `3/8-16` where a quantity is expected.
pub(super) fn thread(text: &str, dimension: Dimension) -> Misread {
    let written = "is a thread, which no quantity is";
    unreadable(format!(
        "{} {written}; {} is written in {}",
        quoted(text),
        dimension.noun(),
        dimension.units()
    ))
}

/// A number without the unit that it needs.
pub(super) fn unit_missing(text: &str, dimension: Dimension) -> Misread {
    let advice = format!("{} is written with its unit, {}", dimension.noun(), dimension.units());
    Misread::new(Problem::UnitMissing, format!("{} has no unit; {advice}", quoted(text)))
}

/// A unit of another dimension.
pub(super) fn other_dimension(word: &str, unit: Unit, dimension: Dimension) -> Misread {
    unit_wrong(&format!("{} is the unit of {}", quoted(word), unit.dimension().noun()), dimension)
}

/// A unit of something that no field holds.
pub(super) fn foreign(word: &str, what: &str, dimension: Dimension) -> Misread {
    unit_wrong(&format!("{} stands for {what}", quoted(word)), dimension)
}

/// A word in the place of the unit that is none.
pub(super) fn unknown_unit(word: &str, dimension: Dimension) -> Misread {
    let hint = words::nearest(word, dimension).map(|near| format!(" (did you mean {}?)", quoted(near)));
    unit_wrong(&format!("{} is no unit known here{}", quoted(word), hint.unwrap_or_default()), dimension)
}

fn unit_wrong(fault: &str, dimension: Dimension) -> Misread {
    let expected = format!("{} is expected, in {}", dimension.noun(), dimension.units());
    Misread::new(Problem::UnitWrong, format!("{fault}; {expected}"))
}
