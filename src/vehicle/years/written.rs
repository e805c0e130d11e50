//! Reads model years as people write them, and says what is wrong with what cannot be read.
//!
//! The text becomes tokens, the tokens become ranges, the ranges become one. Nothing is guessed:
//! what could be a month is refused.

use super::super::quoted;
use super::{ModelYear, Years};
use crate::value::{Misread, Problem};

/// A year with the way it was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Written {
    year: ModelYear,
    /// The digits as a number: 5 for `05`.
    digits: u16,
    /// Two digits without an apostrophe from 1 to 12.
    like_month: bool,
    /// All four digits.
    full: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Token {
    Year(Written),
    /// `-` in any of its lengths, or `..`
    Dash,
    /// `to`, `thru`
    To,
    /// `until`
    Until,
    /// `from`, `since`
    From,
    /// `+`, `up`, `onwards`, `and later`
    Up,
    /// `and older`
    Down,
    /// `,` `&` `and`
    And,
    /// `/`
    Slash,
}

/// Reads a range of years; the errors are those of [`Years::parse`].
pub(super) fn read(text: &str, today: ModelYear) -> Result<Years, Misread> {
    let lower = text.trim().to_lowercase();
    if lower.is_empty() {
        return Err(Misread::new(Problem::Unreadable, "there is no year; write 2016 or 2015-2019"));
    }
    if matches!(lower.as_str(), "all" | "all years") {
        return Ok(Years::ALL);
    }
    let tokens = tokens(&lower, today).map_err(|stop| stop.explain(text))?;
    refuse_months(&tokens, text)?;
    let mut ranges = Vec::new();
    for piece in tokens.split(|token| matches!(token, Token::And | Token::Slash)) {
        ranges.push(range(piece, text)?);
    }
    without_gaps(ranges, text)
}

/// Why the text did not become tokens.
enum Stop {
    Unreadable,
    Misread(Misread),
}

impl Stop {
    fn explain(self, text: &str) -> Misread {
        match self {
            Self::Unreadable => unreadable(text),
            Self::Misread(misread) => misread,
        }
    }
}

fn unreadable(text: &str) -> Misread {
    let hint =
        if text.contains('.') { "; a change within a year is written as only built=2016-05.." } else { "" };
    let message = format!(
        "{} is not read as model years; write 2016, 2015-2019, 2015- (and later) or -2018 (and earlier){hint}",
        quoted(text)
    );
    Misread::new(Problem::Unreadable, message)
}

fn tokens(text: &str, today: ModelYear) -> Result<Vec<Token>, Stop> {
    let mut out: Vec<Token> = Vec::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let (token, used) = token(rest, first, today)?;
        if let Some(token) = token {
            // "2017 and up" is "2017 up": the joint is no list.
            if matches!(token, Token::Up | Token::Down) && out.last() == Some(&Token::And) {
                out.pop();
            }
            out.push(token);
        }
        rest = &rest[used..];
    }
    Ok(out)
}

/// The token at the start of `rest`, if it is one that counts, and its length in bytes.
fn token(rest: &str, first: char, today: ModelYear) -> Result<(Option<Token>, usize), Stop> {
    let one = |token| Ok((Some(token), first.len_utf8()));
    match first {
        c if c.is_whitespace() => Ok((None, c.len_utf8())),
        '0'..='9' | '\'' | '\u{2018}' | '\u{2019}' | '`' => year(rest, today),
        // Hyphen, non-breaking hyphen, figure dash, en dash, em dash, minus sign.
        '-' | '\u{2010}'..='\u{2014}' | '\u{2212}' => one(Token::Dash),
        '.' if rest.starts_with("..") => Ok((Some(Token::Dash), 2)),
        '+' => one(Token::Up),
        ',' | '&' => one(Token::And),
        '/' => one(Token::Slash),
        c if c.is_alphabetic() => word(rest),
        _ => Err(Stop::Unreadable),
    }
}

fn word(rest: &str) -> Result<(Option<Token>, usize), Stop> {
    let used = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let token = match &rest[..used] {
        "my" | "model" | "year" | "years" => None,
        "to" | "thru" | "through" => Some(Token::To),
        "until" | "till" | "upto" => Some(Token::Until),
        "from" | "since" => Some(Token::From),
        "up" | "on" | "onward" | "onwards" | "newer" | "later" | "present" | "now" => Some(Token::Up),
        "older" | "earlier" => Some(Token::Down),
        "and" | "or" => Some(Token::And),
        _ => return Err(Stop::Unreadable),
    };
    Ok((token, used))
}

fn year(rest: &str, today: ModelYear) -> Result<(Option<Token>, usize), Stop> {
    let digits_at = rest.find(|c: char| c.is_ascii_digit()).unwrap_or(rest.len());
    let after = &rest[digits_at..];
    let count = after.find(|c: char| !c.is_ascii_digit()).unwrap_or(after.len());
    let marked = digits_at > 0;
    // Only one apostrophe may stand before, and only before two digits.
    if rest.chars().take_while(|c| !c.is_ascii_digit()).count() > 1
        || !matches!((count, marked), (2, _) | (4, false))
    {
        return Err(Stop::Unreadable);
    }
    let digits: u16 = after[..count].parse().map_err(|_| Stop::Unreadable)?;
    let year = if count == 4 { ModelYear::new(digits) } else { of_two_digits(digits, today) };
    let year = year.believed(&rest[..digits_at + count], today).map_err(Stop::Misread)?;
    let like_month = count == 2 && !marked && (1..=12).contains(&digits);
    let written = Written { year, digits, like_month, full: count == 4 };
    Ok((Some(Token::Year(written)), digits_at + count))
}

/// 20yy up to two years from today, else 19yy.
fn of_two_digits(digits: u16, today: ModelYear) -> ModelYear {
    let this_century = ModelYear::new(2000 + digits);
    if this_century <= today.latest() { this_century } else { ModelYear::new(1900 + digits) }
}

/// Refuses `2016-05`, `05/2016` and dates: a month says when a vehicle was built, not its model year.
fn refuse_months(tokens: &[Token], text: &str) -> Result<(), Misread> {
    use Token::{Dash, Slash, Year};
    let (year, month, joint) = match tokens {
        [Year(y), joint @ (Dash | Slash), Year(m)] if y.full && m.like_month => (y, m, joint),
        [Year(m), joint @ (Dash | Slash), Year(y)] if y.full && m.like_month => (y, m, joint),
        [Year(_), Dash | Slash, Year(_), Dash | Slash, Year(_)] if tokens.iter().any(is_like_month) => {
            let message = format!("{} is a date; model years are written 2016 or 2015-2019", quoted(text));
            return Err(Misread::new(Problem::Unreadable, message));
        }
        _ => return Ok(()),
    };
    let as_years = match tokens {
        [Year(a), _, Year(b)] if *joint == Dash => Years::new(Some(a.year), Some(b.year)),
        _ => None,
    };
    Err(a_month(text, *year, *month, as_years))
}

fn is_like_month(token: &Token) -> bool {
    matches!(token, Token::Year(written) if written.like_month)
}

/// What to say of a text that is a month, or may be one beside being `as_years`.
fn a_month(text: &str, year: Written, month: Written, as_years: Option<Years>) -> Misread {
    let built = format!("only built={}-{:02}", year.year, month.digits);
    match as_years {
        Some(years) => {
            let message = format!(
                "{} may be the model years {years} or a month; write {years} for the years, or {built} for a build date",
                quoted(text)
            );
            Misread::new(Problem::Ambiguous, message).offering(vec![years.to_string()])
        }
        None => {
            let message = format!(
                "{} is a month, not a model year; write {} here, and {built} if the build date counts",
                quoted(text),
                year.year
            );
            Misread::new(Problem::Unreadable, message)
        }
    }
}

/// The one range that a list without gaps makes.
fn without_gaps(mut ranges: Vec<Years>, text: &str) -> Result<Years, Misread> {
    ranges.sort();
    let mut joined: Vec<Years> = Vec::new();
    for range in ranges {
        match joined.last_mut().and_then(|last| last.joined(&range).map(|both| (last, both))) {
            Some((last, both)) => *last = both,
            None => joined.push(range),
        }
    }
    match joined.as_slice() {
        [one] => Ok(*one),
        [a, b] => Err(gaps(text, &format!("write two rows, {a} and {b}"))),
        _ => Err(gaps(text, "write a row for each range")),
    }
}

fn gaps(text: &str, hint: &str) -> Misread {
    Misread::new(Problem::Unreadable, format!("{} is a list with gaps: {hint}", quoted(text)))
}

/// The range that one piece of a list is.
fn range(piece: &[Token], text: &str) -> Result<Years, Misread> {
    use Token::{Dash, Down, From, To, Until, Up, Year};
    match piece {
        [Year(a)] => Ok(Years::one(a.year)),
        [Year(a), Dash | To | Until, Year(b)] | [From, Year(a), Dash | To | Until, Year(b)] => {
            between(*a, *b, text)
        }
        [Year(a), Up, To | Until, Year(b)] => between(*a, *b, text),
        [Year(a), Dash | Up] | [Year(a), Dash | To, Up] | [From, Year(a)] | [From, Year(a), Up] => {
            Ok(Years::starting(a.year))
        }
        [Dash | To | Until, Year(b)] | [Up, To | Until, Year(b)] | [Year(b), Down] => {
            Ok(Years::ending(b.year))
        }
        _ => Err(unreadable(text)),
    }
}

fn between(a: Written, b: Written, text: &str) -> Result<Years, Misread> {
    Years::new(Some(a.year), Some(b.year)).ok_or_else(|| {
        let turned = format!("{}-{}", b.year, a.year);
        let message = format!("{} is reversed; write {turned} if that is meant", quoted(text));
        Misread::new(Problem::OutOfRange, message).offering(vec![turned])
    })
}
