//! The refusals of a thread: each says what is wrong and what would be right.

use super::Thread;
use crate::value::{Misread, Problem};

/// How a good thread looks, for the refusals.
pub(super) const EXAMPLE: &str = "write a thread such as M8, M8x1.25, 5/16, 3/8-16 or #10-24";

pub(super) fn unreadable(why: &str) -> Misread {
    Misread::new(Problem::Unreadable, format!("{why}; {EXAMPLE}"))
}

pub(super) fn impossible(why: String, near: Vec<Thread>) -> Misread {
    Misread::new(Problem::OutOfRange, why).offering(near.iter().map(ToString::to_string).collect())
}

pub(super) fn ambiguous(why: &str, readings: Vec<Thread>) -> Misread {
    let mut readings: Vec<String> = readings.iter().map(ToString::to_string).collect();
    readings.dedup();
    let advice = match &readings[..] {
        [] => EXAMPLE.to_owned(),
        [one] => format!("write {one} only if that is certain"),
        several => format!("write the one that is meant: {}", several.join("; ")),
    };
    Misread::new(Problem::Ambiguous, format!("{why}; {advice}")).offering(readings)
}
