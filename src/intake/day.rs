//! The day on which a note was written: ISO, or with the month in letters. A date in figures that could be
//! read in two ways is refused unless the order is told.

use jiff::civil::Date;

use crate::value::{Misread, Problem};
use crate::vehicle::built::month_named;

/// How the figures of a date such as `12/1/23` are ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DateOrder {
    /// Day, month, year.
    Dmy,
    /// Month, day, year.
    Mdy,
}

/// Reads a date that is not later than `today`.
///
/// # Errors
/// No date, a date in figures without an order, a day that is still to come.
pub fn parse(text: &str, order: Option<DateOrder>, today: Date) -> Result<Date, Misread> {
    let date = read(text.trim(), order)?;
    // A day of grace: the clock of another machine may be ahead.
    if date > today.saturating_add(jiff::Span::new().days(1)) {
        return Err(Misread::new(
            Problem::OutOfRange,
            format!("'{text}' is still to come; today is {today}"),
        ));
    }
    if date.year() < 1980 {
        return Err(Misread::new(
            Problem::OutOfRange,
            format!("'{text}' is before 1980; write the year in four digits"),
        ));
    }
    Ok(date)
}

fn read(text: &str, order: Option<DateOrder>) -> Result<Date, Misread> {
    let parts: Vec<&str> =
        text.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty()).collect();
    let [a, b, c] = parts.as_slice() else { return Err(unreadable(text)) };
    let number = |part: &str| part.parse::<i16>().ok();
    if a.len() == 4
        && text.starts_with(&format!("{a}-{b}-{c}"))
        && let (Some(year), Some(month), Some(day)) = (number(a), number(b), number(c))
    {
        return build(text, year, month, day);
    }
    match (month_in_letters(a), month_in_letters(b), number(a), number(b), number(c)) {
        (Some(month), None, _, Some(day), Some(year)) | (None, Some(month), Some(day), _, Some(year)) => {
            build(text, century(c, year), month, day)
        }
        (None, None, Some(first), Some(second), Some(year)) if a.len() <= 2 => match order {
            Some(DateOrder::Dmy) => build(text, century(c, year), second, first),
            Some(DateOrder::Mdy) => build(text, century(c, year), first, second),
            None => Err(ambiguous(text, first, second, century(c, year))),
        },
        _ => Err(unreadable(text)),
    }
}

fn month_in_letters(part: &str) -> Option<i16> {
    month_named(&part.to_lowercase()).map(i16::from)
}

/// Two digits mean this century.
fn century(text: &str, year: i16) -> i16 {
    if text.len() == 2 { 2000 + year } else { year }
}

fn build(text: &str, year: i16, month: i16, day: i16) -> Result<Date, Misread> {
    let small = |number: i16| i8::try_from(number).ok();
    small(month)
        .zip(small(day))
        .and_then(|(month, day)| Date::new(year, month, day).ok())
        .ok_or_else(|| Misread::new(Problem::OutOfRange, format!("'{text}' is no day of the calendar")))
}

fn ambiguous(text: &str, first: i16, second: i16, year: i16) -> Misread {
    let readings = [(second, first), (first, second)]
        .into_iter()
        .filter_map(|(month, day)| build(text, year, month, day).ok())
        .map(|date| date.to_string())
        .collect();
    let message = format!(
        "'{text}' can be read in two ways; write it like 2024-03-11 or 11 Mar 2024, or say --date-order dmy or mdy"
    );
    Misread::new(Problem::Ambiguous, message).offering(readings)
}

fn unreadable(text: &str) -> Misread {
    Misread::new(Problem::Unreadable, format!("'{text}' is no date; write it like 2024-03-11"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, order: Option<DateOrder>, expected: &str) {
        let got = parse(text, order, jiff::civil::date(2025, 6, 1))
            .map_or_else(|misread| format!("{:?}", misread.problem), |date| date.to_string());
        assert_eq!(got, expected, "reading {text:?}");
    }

    #[test]
    fn dates_as_people_write_them() {
        for (text, expected) in [
            ("2024-03-11", "2024-03-11"),
            (" 2024-03-11 ", "2024-03-11"),
            ("11 Mar 2024", "2024-03-11"),
            ("March 11, 2024", "2024-03-11"),
            ("11-mar-24", "2024-03-11"),
            ("1 Sept 2023", "2023-09-01"),
            ("12/1/23", "Ambiguous"),
            ("2024-13-01", "OutOfRange"),
            ("2024-02-30", "OutOfRange"),
            ("2026-01-01", "OutOfRange"),
            ("0024-03-11", "OutOfRange"),
            ("yesterday", "Unreadable"),
            ("2024-03", "Unreadable"),
            ("", "Unreadable"),
        ] {
            check(text, None, expected);
        }
        check("12/1/23", Some(DateOrder::Dmy), "2023-01-12");
        check("12/1/23", Some(DateOrder::Mdy), "2023-12-01");
        check("31.12.2023", Some(DateOrder::Dmy), "2023-12-31");
    }
}
