//! Build dates, to the month, and ranges of them: `built=2017-09..`.
//!
//! The label on the door pillar tells the month of manufacture. It is a dimension of its own beside
//! the model year: a change within a year is told by it.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::quoted;
use super::span::{Span, Step};
use super::years::ModelYear;
use crate::value::{Misread, Problem};

/// A month of a calendar year: 2017-09.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct YearMonth {
    year: u16,
    month: u8,
}

/// Build months, inclusive; an end that is `None` is open. Of a scope: what is covered. Of one
/// vehicle: what is known of the month in which it was built.
pub type Built = Span<YearMonth>;

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

impl YearMonth {
    /// The month `1..=12` of a year; `None` for any other.
    #[must_use]
    pub fn new(year: u16, month: u8) -> Option<Self> {
        (1..=12).contains(&month).then_some(Self { year, month })
    }

    /// The calendar year.
    #[must_use]
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, 1 to 12.
    #[must_use]
    pub fn month(self) -> u8 {
        self.month
    }
}

impl Step for YearMonth {
    fn following(self) -> Self {
        match self.month {
            12 => Self { year: self.year.saturating_add(1), month: 1 },
            month => Self { month: month + 1, ..self },
        }
    }
}

impl fmt::Display for YearMonth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}

/// Stored as the number of months since year 0, which fits two bytes or three.
impl Serialize for YearMonth {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u32(u32::from(self.year) * 12 + u32::from(self.month) - 1)
    }
}

impl<'de> Deserialize<'de> for YearMonth {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let months = u32::deserialize(deserializer)?;
        let year = u16::try_from(months / 12).map_err(serde::de::Error::custom)?;
        let month = u8::try_from(months % 12 + 1).map_err(serde::de::Error::custom)?;
        Ok(Self { year, month })
    }
}

impl Span<YearMonth> {
    /// Reads build dates: `2017-09`, `2017-09..`, `..2018-03`, `2017-09..2018-03`, also with `to`,
    /// `from`, `up to`; a month as `09/2017` or `Sep 2017`; a year for all its months; `any`.
    ///
    /// # Errors
    /// Reversed, before 1930 or more than two years after `today`: out of range. Anything else, as
    /// a day or a year of two digits: unreadable.
    pub fn parse(text: &str, today: ModelYear) -> Result<Self, Misread> {
        let lower = text.trim().to_lowercase();
        if lower == "any" {
            return Ok(Self::ALL);
        }
        let (from, to) = ends(&lower);
        let read = |end: Option<&str>| end.map(|end| months(end, text, today)).transpose();
        let (from, to) = (read(from)?, read(to)?);
        if from.is_none() && to.is_none() {
            return Err(unreadable(text));
        }
        Self::new(from.and_then(|span| span.from()), to.and_then(|span| span.to())).ok_or_else(|| {
            let message = format!("built {} is reversed; the earlier month stands first", quoted(text));
            Misread::new(Problem::OutOfRange, message)
        })
    }

    /// The first month and the last as `2017-09`; an open end is `None`, in JSON `null`. Nothing where no
    /// month is left out.
    #[must_use]
    pub fn ends_named(&self) -> Option<[Option<String>; 2]> {
        let end = |month: Option<YearMonth>| month.map(|month| month.to_string());
        (!self.is_all()).then(|| [end(self.from()), end(self.to())])
    }

    /// In words: `built 2017-09`, `built from 2017-09`, `built up to 2018-03`.
    #[must_use]
    pub fn plain(&self) -> String {
        match (self.from(), self.to()) {
            (None, None) => "built at any time".to_owned(),
            (Some(from), None) => format!("built from {from}"),
            (None, Some(to)) => format!("built up to {to}"),
            (Some(from), Some(to)) if from == to => format!("built {from}"),
            (Some(from), Some(to)) => format!("built {from} to {to}"),
        }
    }
}

impl fmt::Display for Span<YearMonth> {
    /// The canonical text: `2017-09`, `2017-09..`, `..2018-03`, `2017-09..2018-03`, `any`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from(), self.to()) {
            (None, None) => f.write_str("any"),
            (Some(from), None) => write!(f, "{from}.."),
            (None, Some(to)) => write!(f, "..{to}"),
            (Some(from), Some(to)) if from == to => write!(f, "{from}"),
            (Some(from), Some(to)) => write!(f, "{from}..{to}"),
        }
    }
}

/// The two ends of a range as texts; an open one is `None`, and a single month is both.
fn ends(text: &str) -> (Option<&str>, Option<&str>) {
    let open_or = |end| Some(str::trim(end)).filter(|end| !end.is_empty());
    if let Some((from, to)) =
        text.split_once("..").or_else(|| text.split_once(" to ")).filter(|(a, _)| *a != "up")
    {
        return (open_or(from.strip_prefix("from ").unwrap_or(from)), open_or(to));
    }
    for before in ["from ", "since "] {
        if let Some(from) = text.strip_prefix(before) {
            return (open_or(from), None);
        }
    }
    for before in ["up to ", "until "] {
        if let Some(to) = text.strip_prefix(before) {
            return (None, open_or(to));
        }
    }
    match text.strip_suffix('+') {
        Some(from) => (open_or(from), None),
        None => (open_or(text), open_or(text)),
    }
}

/// The month, or all months of the year, that one end names.
fn months(end: &str, text: &str, today: ModelYear) -> Result<Built, Misread> {
    let parts: Vec<&str> = end.split(['-', '/', ' ']).filter(|part| !part.is_empty()).collect();
    let span = match parts.as_slice() {
        [year] => {
            calendar_year(year).and_then(|year| Built::new(YearMonth::new(year, 1), YearMonth::new(year, 12)))
        }
        [a, b] => calendar_year(a)
            .zip(month(b))
            .or_else(|| calendar_year(b).zip(month(a)))
            .and_then(|(year, month)| YearMonth::new(year, month))
            .map(Built::one),
        _ => None,
    };
    let span = span.ok_or_else(|| unreadable(text))?;
    believed(span, text, today)
}

fn believed(span: Built, text: &str, today: ModelYear) -> Result<Built, Misread> {
    let (first, latest) = (ModelYear::FIRST.get(), today.latest().get());
    if span.from().is_some_and(|month| (first..=latest).contains(&month.year)) {
        return Ok(span);
    }
    let message = format!("built {} is not between {first} and {latest}", quoted(text));
    Err(Misread::new(Problem::OutOfRange, message))
}

fn calendar_year(text: &str) -> Option<u16> {
    (text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok())?
}

fn month(text: &str) -> Option<u8> {
    if text.len() <= 2 && text.bytes().all(|b| b.is_ascii_digit()) {
        return text.parse().ok().filter(|month| (1..=12).contains(month));
    }
    month_named(text)
}

/// The month, 1 to 12, that a lower-case word names: in full, or by its first letters, three at least.
#[must_use]
pub fn month_named(word: &str) -> Option<u8> {
    let named = MONTHS.iter().position(|name| word.len() >= 3 && name.starts_with(word))?;
    u8::try_from(named + 1).ok()
}

fn unreadable(text: &str) -> Misread {
    let message = format!(
        "built {} is not read as build dates; write 2017-09, 2017-09.. (and later), ..2018-03 or 2017-09..2018-03",
        quoted(text)
    );
    Misread::new(Problem::Unreadable, message)
}

#[cfg(test)]
mod tests {
    use super::{Built, ModelYear, YearMonth};
    use crate::value::Problem;
    use proptest::prelude::*;

    const TODAY: ModelYear = ModelYear::new(2026);

    #[test]
    fn build_dates_as_written() {
        let check = |expected: &str, texts: &[&str]| {
            for text in texts {
                let read = Built::parse(text, TODAY).map(|built| built.to_string());
                assert_eq!(read.as_deref(), Ok(expected), "{text}");
            }
        };
        check(
            "2017-09",
            &["2017-09", "2017-9", " 2017/09 ", "09/2017", "Sep 2017", "sept 2017", "September 2017"],
        );
        check("2017-09..", &["2017-09..", "2017-09 ..", "from 2017-09", "since sep 2017", "2017-09+"]);
        check("..2018-03", &["..2018-03", ".. 03/2018", "up to 2018-03", "until march 2018"]);
        check("2017-09..2018-03", &["2017-09..2018-03", "2017-09 to 2018-03", "from sep 2017 to mar 2018"]);
        check("2017-01..2017-12", &["2017"]);
        check("2017-01..", &["2017.."]);
        check("..2017-12", &["..2017"]);
        check("any", &["any"]);
    }

    #[test]
    fn build_dates_refused() {
        let refuse = |text: &str, problem: Problem| {
            let read = Built::parse(text, TODAY);
            assert_eq!(read.as_ref().map_err(|misread| misread.problem), Err(problem), "{text}: {read:?}");
        };
        for text in
            ["", "..", "09/17", "2017-13", "2017-00", "2017-09-15", "sep", "17-09", "a..b", "2017-09..x"]
        {
            refuse(text, Problem::Unreadable);
        }
        refuse("2018-03..2017-09", Problem::OutOfRange);
        refuse("1929-12", Problem::OutOfRange);
        refuse("2029-01..", Problem::OutOfRange);
    }

    proptest! {
        #[test]
        fn the_canonical_text_reads_back(a in 1930_u16..=2028, b in 1930_u16..=2028, m in 1_u8..=12, n in 1_u8..=12) {
            let (a, b) = (YearMonth::new(a, m), YearMonth::new(b, n));
            for built in [Built::new(a.min(b), a.max(b)), Built::new(a, None), Built::new(None, b)] {
                let built = built.expect("in order");
                prop_assert_eq!(Built::parse(&built.to_string(), TODAY), Ok(built));
                let stored = postcard::to_allocvec(&built).expect("stores");
                prop_assert_eq!(postcard::from_bytes::<Built>(&stored), Ok(built));
            }
        }

        #[test]
        fn no_text_panics(text in any::<String>()) {
            let _ = Built::parse(&text, TODAY);
        }
    }
}
