//! What a refused text may have meant: the readings that a person can choose from.
//!
//! Each is a complete text that is read again by `grammar.rs`; what that refuses is not offered.

use super::super::{Misread, Problem};
use super::lex::{self, Token};
use super::number::{self, Decimal};
use super::units::{Dimension, Unit};
use super::{Rule, grammar};

/// `misread` with the readings of `text` that were possible.
pub(super) fn with_readings(misread: Misread, text: &str, rule: &Rule) -> Misread {
    let can_be_read = |candidate: &String| grammar::read(candidate, rule).is_ok();
    match misread.problem {
        // As written, because 35 in is easier to know again than 889 mm.
        Problem::UnitMissing => misread.offering(with_unit(text, rule).filter(can_be_read).collect()),
        Problem::Ambiguous => {
            let read =
                candidates(&lex::clean(text)).into_iter().filter_map(|it| grammar::read(&it, rule).ok());
            misread.offering(read.map(|value| value.to_string()).collect())
        }
        _ => misread,
    }
}

/// The text with each unit that a hand may have left out.
fn with_unit(text: &str, rule: &Rule) -> impl Iterator<Item = String> {
    let units = match rule.unit {
        Unit::Metre | Unit::Foot => vec![Unit::Metre, Unit::Foot],
        _ => match rule.dimension() {
            Dimension::Length if text.contains('/') => vec![Unit::Inch],
            Dimension::Length => vec![Unit::Millimetre, Unit::Inch],
            Dimension::Area => vec![Unit::SquareMillimetre, Unit::Awg],
            Dimension::Torque => vec![Unit::NewtonMetre, Unit::PoundFoot],
            _ => vec![rule.unit],
        },
    };
    let text = text.trim().to_owned();
    units.into_iter().map(move |unit| format!("{text} {}", unit.symbol()))
}

/// The unambiguous texts that an ambiguous one stands for.
fn candidates(cleaned: &str) -> Vec<String> {
    if let Some(sure) = cleaned.strip_suffix('?') {
        return vec![sure.to_owned()];
    }
    let by_comma = decimal_and_thousands(cleaned);
    if by_comma[0] != by_comma[1] {
        return by_comma.to_vec();
    }
    choice(cleaned).or_else(|| pair(cleaned)).map_or_else(Vec::new, |both| both.to_vec())
}

/// `1,200` with the comma as decimal mark, and as thousands mark.
fn decimal_and_thousands(cleaned: &str) -> [String; 2] {
    let mut texts = [cleaned.to_owned(), cleaned.to_owned()];
    for token in lex::tokens(cleaned) {
        let Token::Number(written) = token else { continue };
        let Decimal::Either(point, grouped) = number::decimal(written) else { continue };
        texts = [texts[0].replacen(written, &point, 1), texts[1].replacen(written, &grouped, 1)];
    }
    texts
}

/// `12 V` and `14 V` for `12 or 14 V`.
fn choice(cleaned: &str) -> Option<[String; 2]> {
    let lower = cleaned.to_ascii_lowercase();
    let (first, second) = lower.match_indices("or").find_map(|(at, or)| {
        let (before, after) = (cleaned[..at].trim_end(), cleaned[at + or.len()..].trim_start());
        let apart = after.starts_with(|c: char| c.is_ascii_digit());
        apart.then_some((before, after))
    })?;
    let unit = second.trim_start_matches(|c: char| !c.is_alphabetic() && c != '"' && c != '\'');
    let bare = first.ends_with(|c: char| c.is_ascii_digit());
    let first = if bare { format!("{first} {unit}") } else { first.to_owned() };
    Some([first, second.to_owned()])
}

/// `12 V` and `24 V` for `12/24 V`.
fn pair(cleaned: &str) -> Option<[String; 2]> {
    let (before, after) = cleaned.split_once('/')?;
    let digit = |c: char| c.is_ascii_digit();
    let (lead, rest) =
        (before.trim_end().trim_end_matches(digit), after.trim_start().trim_start_matches(digit));
    Some([format!("{before}{rest}"), format!("{lead}{}", after.trim_start())])
}
