//! One number with its unit: `12.4 V`, `1-3/8"`, `4 ft 6 in`, `1:30`, `#10`, `2/0`.
//!
//! Ranges, bounds and `about` are `grammar.rs`.

use super::super::Misread;
use super::cursor::Cursor;
use super::gauge::Awg;
use super::lex::Token;
use super::number::{self, Decimal, Fraction};
use super::refusal::{self, quoted};
use super::units::{Dimension, Unit};
use super::words;

/// How a number was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// Digits only.
    Whole,
    /// With a decimal mark, or put together from two units.
    Decimal,
    /// With a slash.
    Fraction,
    /// `1/0` to `4/0`.
    Aught,
    /// `1:30`, in hours.
    Clock,
}

/// A number, and its unit where one stands beside it.
#[derive(Debug, Clone)]
pub(super) struct Amount {
    /// The number; for `Form::Aught` the one before the slash.
    pub(super) value: f64,
    pub(super) form: Form,
    pub(super) unit: Option<Unit>,
    /// The number as written, without sign and unit.
    pub(super) written: String,
}

/// Reads one amount of `dimension` and steps over it.
pub(super) fn amount(cursor: &mut Cursor<'_>, dimension: Dimension) -> Result<Amount, Misread> {
    let negative = sign(cursor);
    let gauge_first = gauge_word(cursor, dimension);
    let mut read = number(cursor, dimension)?;
    read.unit = match (gauge_first, unit(cursor, dimension)?) {
        (true, None | Some(Unit::Awg)) => Some(Unit::Awg),
        (_, unit) if read.form == Form::Aught => Some(unit.unwrap_or(Unit::Awg)),
        (_, unit) if read.form == Form::Clock => Some(clock_unit(&read.written, unit)?),
        (_, unit) => unit,
    };
    add_smaller_units(cursor, dimension, &mut read);
    if negative {
        read.value = -read.value;
    }
    Ok(read)
}

fn sign(cursor: &mut Cursor<'_>) -> bool {
    let negative = cursor.take_mark('-') || cursor.take_phrase("minus");
    if !negative {
        cursor.take_mark('+');
    }
    negative
}

/// The `#` or `AWG` of `#10` and `AWG 10`.
fn gauge_word(cursor: &mut Cursor<'_>, dimension: Dimension) -> bool {
    dimension == Dimension::Area
        && (cursor.take_mark('#') || ["awg", "gauge", "gage"].iter().any(|word| cursor.take_phrase(word)))
}

fn number(cursor: &mut Cursor<'_>, dimension: Dimension) -> Result<Amount, Misread> {
    let Some(first) = cursor.number(0) else {
        let found = cursor.peek(0).map(Token::text).unwrap_or_default();
        return Err(refusal::no_number(&found, dimension));
    };
    if cursor.is_mark(1, ':') {
        return clock(cursor, dimension);
    }
    if let (true, Some(den)) = (cursor.is_mark(1, '/'), cursor.number(2)) {
        cursor.at += 3;
        return fraction(["0", first, den], &format!("{first}/{den}"), dimension);
    }
    if let Some((length, [num, den])) = fraction_after(cursor, first, dimension) {
        cursor.at += length;
        return fraction([first, num, den], &format!("{first} {num}/{den}"), dimension);
    }
    cursor.at += 1;
    decimal(first)
}

/// The `3/8` of `1-3/8` and `1 3/8`, and how many pieces both parts take: a hyphen before a fraction
/// joins, it never means a range. In `2-1/0 AWG` there is no fraction to join.
fn fraction_after<'a>(
    cursor: &Cursor<'a>,
    whole: &str,
    dimension: Dimension,
) -> Option<(usize, [&'a str; 2])> {
    let gap = usize::from(cursor.is_mark(1, '-'));
    let (num, den) = (cursor.number(1 + gap)?, cursor.number(3 + gap)?);
    let is_fraction = cursor.is_mark(2 + gap, '/') && [whole, num, den].into_iter().all(number::all_digits);
    let is_zero = |digits: &str| digits.bytes().all(|digit| digit == b'0');
    let gauges = dimension == Dimension::Area && is_zero(den);
    (is_fraction && !gauges && !is_zero(whole)).then_some((4 + gap, [num, den]))
}

fn fraction(digits: [&str; 3], written: &str, dimension: Dimension) -> Result<Amount, Misread> {
    let found = quoted(written);
    let [Ok(whole), Ok(num), Ok(den)] = digits.map(str::parse) else {
        return Err(refusal::unreadable(format!("{found} is no fraction of whole numbers")));
    };
    let read = |value, form| Ok(Amount { value, form, unit: None, written: written.to_owned() });
    match number::fraction(whole, num, den, dimension) {
        Fraction::Value(value) => read(value, Form::Fraction),
        Fraction::Aught(num) => read(f64::from(num), Form::Aught),
        Fraction::ByZero => Err(refusal::out_of_range(format!("{found} divides by zero"))),
        Fraction::TwoValues => Err(refusal::ambiguous(format!(
            "{found} may be a fraction or two values; write the one that is meant, or a range with “to”"
        ))),
        Fraction::No => Err(refusal::unreadable(format!(
            "{found} is no fraction in use; inches go by halves, quarters, eighths … to 1/64"
        ))),
    }
}

fn decimal(text: &str) -> Result<Amount, Misread> {
    match number::decimal(text) {
        Decimal::One(value) if !value.is_finite() => {
            Err(refusal::out_of_range(format!("{} is too large to be a number here", quoted(text))))
        }
        Decimal::One(value) => {
            let form = if number::all_digits(text) { Form::Whole } else { Form::Decimal };
            Ok(Amount { value, form, unit: None, written: text.to_owned() })
        }
        Decimal::Either(..) | Decimal::No => {
            Err(refusal::unreadable(format!("{} is no number; write one decimal point", quoted(text))))
        }
    }
}

/// `1:30`: hours and two digits of minutes.
fn clock(cursor: &mut Cursor<'_>, dimension: Dimension) -> Result<Amount, Misread> {
    let (hours, minutes) = (cursor.number(0).unwrap_or_default(), cursor.number(2).unwrap_or_default());
    let written = format!("{hours}:{minutes}");
    let two_digits = minutes.len() == 2 && number::all_digits(minutes) && number::all_digits(hours);
    if dimension != Dimension::Time || !two_digits || cursor.is_mark(3, ':') {
        let right = "a time is written 1:30, with hours and two digits of minutes";
        return Err(refusal::unreadable(format!("{} is not understood; {right}", quoted(&written))));
    }
    cursor.at += 3;
    let (whole, part) = (decimal(hours)?.value, decimal(minutes)?.value);
    if part >= 60.0 {
        return Err(refusal::out_of_range(format!("{} has more than 59 minutes", quoted(&written))));
    }
    Ok(Amount { value: whole + part / 60.0, form: Form::Clock, unit: None, written })
}

fn clock_unit(written: &str, unit: Option<Unit>) -> Result<Unit, Misread> {
    match unit {
        None | Some(Unit::Hour) => Ok(Unit::Hour),
        Some(_) => Err(refusal::unreadable(format!("{} is hours and minutes already", quoted(written)))),
    }
}

/// Words that may follow a bare number and are no unit.
const CONNECTING: &[&str] = &[
    "to",
    "and",
    "or",
    "thru",
    "through",
    "max",
    "maximum",
    "minimum",
    "approx",
    "approximately",
    "roughly",
];

/// The unit that comes next, the longest spelling first. `None` where none stands.
fn unit(cursor: &mut Cursor<'_>, dimension: Dimension) -> Result<Option<Unit>, Misread> {
    let (word, length) = match cursor.peek(0) {
        Some(Token::Mark(mark @ ('"' | '\''))) => {
            cursor.at += 1;
            let unit = if mark == '"' { Unit::Inch } else { Unit::Foot };
            return of_dimension(&mark.to_string(), unit, dimension).map(Some);
        }
        Some(Token::Mark(mark @ ('%' | '°'))) => (mark.to_string(), 1),
        Some(Token::Word(word)) => longest_unit(cursor, dimension).unwrap_or((word.to_owned(), 1)),
        _ => return Ok(None),
    };
    if let Some(unit) = words::unit(&word, Some(dimension)) {
        cursor.at += length;
        return of_dimension(&word, unit, dimension).map(Some);
    }
    match words::foreign(&word) {
        Some(what) => Err(refusal::foreign(&word, what, dimension)),
        None if CONNECTING.contains(&word.to_lowercase().as_str()) => Ok(None),
        None => Err(refusal::unknown_unit(&word, dimension)),
    }
}

fn longest_unit(cursor: &Cursor<'_>, dimension: Dimension) -> Option<(String, usize)> {
    let known =
        |text: &String| words::unit(text, Some(dimension)).is_some() || words::foreign(text).is_some();
    (1..=2).rev().find_map(|length| Some((cursor.words(length).filter(known)?, length)))
}

fn of_dimension(word: &str, unit: Unit, dimension: Dimension) -> Result<Unit, Misread> {
    if unit.dimension() == dimension {
        Ok(unit)
    } else {
        Err(refusal::other_dimension(word, unit, dimension))
    }
}

/// Which smaller unit may follow a larger one, how many of it make the larger one, and whether its
/// own name may be left out.
const SMALLER: &[(Unit, Unit, f64, bool)] = &[
    (Unit::Foot, Unit::Inch, 12.0, true),
    (Unit::Hour, Unit::Minute, 60.0, true),
    (Unit::Minute, Unit::Second, 60.0, false),
    (Unit::Metre, Unit::Centimetre, 100.0, false),
];

/// Adds the `6 in` of `4 ft 6 in` and the `30` of `1h30`.
fn add_smaller_units(cursor: &mut Cursor<'_>, dimension: Dimension, read: &mut Amount) {
    let (Some(unit), Form::Whole) = (read.unit, read.form) else { return };
    let (mut last, mut size, mut form) = (unit, 1.0, Form::Whole);
    while form == Form::Whole {
        let start = cursor.at;
        let Some(part) = smaller_part(cursor, dimension, last) else {
            cursor.at = start;
            return;
        };
        size *= part.size;
        read.value += part.value / size;
        read.form = Form::Decimal;
        (last, form) = (part.unit, part.form);
    }
}

struct Part {
    value: f64,
    form: Form,
    unit: Unit,
    size: f64,
}

fn smaller_part(cursor: &mut Cursor<'_>, dimension: Dimension, larger: Unit) -> Option<Part> {
    let &(_, smaller, size, may_be_bare) = SMALLER.iter().find(|(unit, ..)| *unit == larger)?;
    let dash = larger == Unit::Foot && cursor.take_mark('-');
    let joined = dash || cursor.take_mark(',') || cursor.take_phrase("and");
    let part = number(cursor, dimension).ok()?;
    let fits = match unit(cursor, dimension).ok()? {
        Some(unit) => unit == smaller,
        None => may_be_bare && !joined,
    };
    let plain = matches!(part.form, Form::Whole | Form::Decimal | Form::Fraction);
    (fits && plain && part.value < size).then_some(Part {
        value: part.value,
        form: part.form,
        unit: smaller,
        size,
    })
}

/// The gauge that `amount` names, its unit being AWG: `10`, `1/0`, or as many noughts as `00`.
pub(super) fn gauge(amount: &Amount) -> Result<Awg, Misread> {
    let number = match amount.form {
        Form::Aught => 1.0 - amount.value,
        Form::Whole if is_noughts(&amount.written) => 1.0 - amount.written.len() as f64,
        Form::Whole if amount.value > 0.0 => amount.value,
        _ => return Err(no_gauge(&amount.written)),
    };
    let whole = (-3.0..=40.0).contains(&number).then_some(number as i8);
    whole.and_then(Awg::new).ok_or_else(|| {
        refusal::out_of_range(format!(
            "there is no gauge {}; they run from 4/0 to 40",
            quoted(&amount.written)
        ))
    })
}

fn is_noughts(text: &str) -> bool {
    text.bytes().all(|byte| byte == b'0')
}

fn no_gauge(written: &str) -> Misread {
    refusal::unreadable(format!(
        "{} is no wire gauge; a gauge is a whole number or 1/0 to 4/0, never negative",
        quoted(written)
    ))
}
