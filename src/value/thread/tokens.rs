//! From a written thread to tokens: numbers, words and signs, with the many signs for one thing made one.
//!
//! What the tokens say together is the business of `reading`.

use super::refusal::{EXAMPLE, impossible, unreadable};
use crate::value::Misread;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Token<'a> {
    /// A number, in thousandths.
    Number(u32),
    Word(&'a str),
    Sign(char),
}

/// Lower case, with the many signs for one thing made one.
pub(super) fn spelled_out(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '\u{d7}' | '*' => plain.push('x'),
            '\u{2010}'..='\u{2014}' | '\u{2212}' => plain.push('-'),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => plain.push('"'),
            '\u{2044}' | '\u{2215}' => plain.push('/'),
            '\u{bc}' => plain.push_str(" 1/4"),
            '\u{bd}' => plain.push_str(" 1/2"),
            '\u{be}' => plain.push_str(" 3/4"),
            '\u{215b}' => plain.push_str(" 1/8"),
            '\u{215c}' => plain.push_str(" 3/8"),
            '\u{215d}' => plain.push_str(" 5/8"),
            '\u{215e}' => plain.push_str(" 7/8"),
            other => plain.push(other.to_ascii_lowercase()),
        }
    }
    plain.replace("''", "\"")
}

pub(super) fn tokens(plain: &str) -> Result<Vec<Token<'_>>, Misread> {
    let mut tokens = Vec::new();
    let mut rest = plain;
    while let Some(first) = rest.chars().next() {
        let starts_number =
            first.is_ascii_digit() || is_point(first) && rest[1..].starts_with(|c: char| c.is_ascii_digit());
        let length = if starts_number {
            number_length(rest)
        } else if first.is_alphabetic() {
            rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len())
        } else {
            first.len_utf8()
        };
        let (head, tail) = rest.split_at(length);
        match first {
            _ if starts_number => tokens.push(Token::Number(thousandths(head)?)),
            _ if first.is_alphabetic() => tokens.push(Token::Word(head)),
            // A dot or colon behind a word, and spaces, only separate.
            '.' | ':' => {}
            _ if first.is_whitespace() => {}
            other => tokens.push(Token::Sign(other)),
        }
        rest = tail;
    }
    Ok(tokens)
}

fn is_point(c: char) -> bool {
    matches!(c, '.' | ',')
}

/// Digits with at most one decimal point or comma among them.
fn number_length(text: &str) -> usize {
    let digits = |text: &str| text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let whole = digits(text);
    let behind = text[whole..].strip_prefix(is_point).map_or(0, digits);
    if behind == 0 { whole } else { whole + 1 + behind }
}

/// A written number in thousandths; no thread needs more than four digits before the point or three
/// behind it.
fn thousandths(number: &str) -> Result<u32, Misread> {
    let (whole, behind) = number.split_once(is_point).unwrap_or((number, ""));
    let (whole, behind) = (whole.trim_start_matches('0'), behind.trim_end_matches('0'));
    if whole.len() > 4 || behind.len() > 3 {
        return Err(impossible(format!("{number} is no size or pitch of a thread; {EXAMPLE}"), Vec::new()));
    }
    let value = format!("0{whole}{behind:0<3}").parse();
    value.map_err(|_| unreadable(&format!("{number:?} is no number")))
}
