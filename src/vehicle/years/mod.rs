//! Model years and ranges of them: their values, limits and canonical text.
//!
//! How people write them is read in `written`; what a range of years means for a note is the
//! scope's business. A model year is no calendar year and no build date.

mod written;

use std::fmt;

use serde::{Deserialize, Serialize};

use super::quoted;
use super::span::{Span, Step};
use crate::value::{Misread, Problem};

/// The year that the vehicle's maker gave to a model: 2016.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct ModelYear(u16);

/// Model years, inclusive; an end that is `None` is open.
pub type Years = Span<ModelYear>;

impl ModelYear {
    /// The earliest year that is believed.
    pub const FIRST: Self = Self(1930);

    /// The model year of that number, unchecked.
    #[must_use]
    pub const fn new(year: u16) -> Self {
        Self(year)
    }

    /// The year as a number.
    #[must_use]
    pub const fn get(self) -> u16 {
        self.0
    }

    /// The last model year that is believed in `self`, the year of today: two years on.
    #[must_use]
    pub const fn latest(self) -> Self {
        Self(self.0.saturating_add(2))
    }

    /// Reads one model year: `2016`, `16`, `'16`.
    ///
    /// # Errors
    /// As [`Years::parse`], and where the text is a range of several years.
    pub fn parse(text: &str, today: Self) -> Result<Self, Misread> {
        Years::parse(text, today)?.only_step().ok_or_else(|| {
            let message =
                format!("{} is more than one year: one model year is wanted, as 2016", quoted(text));
            Misread::new(Problem::Unreadable, message)
        })
    }

    /// This year, if it can be believed in `today`.
    fn believed(self, text: &str, today: Self) -> Result<Self, Misread> {
        let why = if self < Self::FIRST {
            format!("before {}, the earliest model year that is read", Self::FIRST)
        } else if self > today.latest() {
            format!("more than two years from now; the latest model year is {}", today.latest())
        } else {
            return Ok(self);
        };
        let reads =
            if text == self.0.to_string() { String::new() } else { format!(" reads as {self}, which") };
        Err(Misread::new(Problem::OutOfRange, format!("{}{reads} is {why}", quoted(text))))
    }
}

impl Step for ModelYear {
    fn following(self) -> Self {
        Self(self.0.saturating_add(1))
    }
}

impl fmt::Display for ModelYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Span<ModelYear> {
    /// Reads years as people write them: `2016`, `16`, `'16`, `2015-2019`, `15-19`, `2015 to 2019`,
    /// `2015-`, `2015+`, `2017-up`, `2017 onwards`, `-2018`, `up to 2018`, `all years`, and lists
    /// without gaps (`2015, 2016`). Two digits mean 20yy up to two years after `today`, else 19yy.
    ///
    /// # Errors
    /// Reversed, before 1930, later than two years from `today`: out of range. A list with gaps, a
    /// month, anything else: unreadable. `2008-12`, which may be a month or five years: ambiguous.
    pub fn parse(text: &str, today: ModelYear) -> Result<Self, Misread> {
        written::read(text, today)
    }

    /// The first and the last; an open end is `None`, in JSON `null`.
    #[must_use]
    pub fn ends(&self) -> [Option<ModelYear>; 2] {
        [self.from(), self.to()]
    }

    /// In words: `2015-2019`, `2015 and later`, `up to 2018`, `all years`.
    #[must_use]
    pub fn plain(&self) -> String {
        match (self.from(), self.to()) {
            (Some(from), None) => format!("{from} and later"),
            (None, Some(to)) => format!("up to {to}"),
            _ => self.to_string(),
        }
    }
}

impl fmt::Display for Span<ModelYear> {
    /// The canonical text: `2016`, `2015-2019`, `2015-`, `-2018`, `all years`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.from(), self.to()) {
            (None, None) => f.write_str("all years"),
            (Some(from), None) => write!(f, "{from}-"),
            (None, Some(to)) => write!(f, "-{to}"),
            (Some(from), Some(to)) if from == to => write!(f, "{from}"),
            (Some(from), Some(to)) => write!(f, "{from}-{to}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{ModelYear, Years};
    use crate::value::Problem;
    use proptest::prelude::*;

    const TODAY: ModelYear = ModelYear::new(2026);

    fn check(text: &str, expected: &str) {
        match Years::parse(text, TODAY) {
            Ok(years) => assert_eq!(years.to_string(), expected, "{text:?}"),
            Err(misread) => panic!("{text:?} should be {expected}, but: {misread}"),
        }
    }

    fn refuse(text: &str, problem: Problem, says: &str) {
        match Years::parse(text, TODAY) {
            Ok(years) => panic!("{text:?} should be refused, but reads as {years}"),
            Err(misread) => {
                assert_eq!(misread.problem, problem, "{text:?}: {misread}");
                assert!(misread.message.contains(says), "{text:?}: {misread}");
            }
        }
    }

    #[test]
    fn one_year() {
        for text in ["2016", "16", "'16", "\u{2019}16", " 2016 ", "MY2016", "model year 16", "2016-2016"] {
            check(text, "2016");
        }
        check("28", "2028");
        check("30", "1930");
        check("98", "1998");
        check("00", "2000");
        check("2028", "2028");
        check("1930", "1930");
    }

    #[test]
    fn a_range_of_years() {
        let same = ["2015-2019", "15-19", "2015-19", "'15-'19", "15-2019", "2015 - 2019", "2015\u{2013}2019"];
        let also = ["2015\u{2014}19", "2015 to 2019", "2015 thru 19", "from 2015 to 2019", "2015..2019"];
        let list = ["2015, 2016, 2017-2019", "2015-2017 & 2018-19", "2016, 2015, 17, 18, 19"];
        for text in same.into_iter().chain(also).chain(list) {
            check(text, "2015-2019");
        }
        check("98-02", "1998-2002");
        check("2008 to 12", "2008-2012");
        check("2008-'12", "2008-2012");
        check("2015/16", "2015-2016");
        check("05/06", "2005-2006");
        check("2015 and 2016", "2015-2016");
    }

    #[test]
    fn an_open_range() {
        for text in
            ["2017-", "2017+", "2017-up", "17-up", "2017 up", "2017 on", "2017 onwards", "'17+", "17-"]
        {
            check(text, "2017-");
        }
        for text in ["2017 and up", "2017 & newer", "2017 or later", "from 2017", "2017-present", "2017.."] {
            check(text, "2017-");
        }
        for text in ["-2018", "up to 2018", "- 18", "until 2018", "2018 and older", "\u{2013}2018", "upto 18"]
        {
            check(text, "-2018");
        }
        check("2015-2017, 2018 and up", "2015-");
        check("all years", "all years");
        check("All", "all years");
    }

    #[test]
    fn refused_as_out_of_range() {
        refuse("2019-2015", Problem::OutOfRange, "2015-2019");
        refuse("19-15", Problem::OutOfRange, "reversed");
        refuse("1929", Problem::OutOfRange, "before 1930");
        refuse("29", Problem::OutOfRange, "reads as 1929");
        refuse("2029", Problem::OutOfRange, "2028");
        refuse("2015-2099", Problem::OutOfRange, "more than two years from now");
        refuse("0000", Problem::OutOfRange, "before 1930");
        refuse("9999+", Problem::OutOfRange, "two years from now");
    }

    #[test]
    fn refused_as_a_month_or_a_date() {
        refuse("2016-05", Problem::Unreadable, "built=2016-05");
        refuse("2016/05", Problem::Unreadable, "built=2016-05");
        refuse("05/2016", Problem::Unreadable, "built=2016-05");
        refuse("2016-05-12", Problem::Unreadable, "a date");
        refuse("2008-12", Problem::Ambiguous, "2008-2012");
        refuse("1998-02", Problem::Ambiguous, "built=1998-02");
        refuse("05-2016", Problem::Ambiguous, "2005-2016");
    }

    #[test]
    fn refused_with_a_hint() {
        refuse("2015, 2017", Problem::Unreadable, "write two rows, 2015 and 2017");
        refuse("2015-2016, 2018-", Problem::Unreadable, "write two rows, 2015-2016 and 2018-");
        refuse("2015 and 2017 and 2019", Problem::Unreadable, "write a row for each");
        refuse("2016.5", Problem::Unreadable, "built=");
        refuse("", Problem::Unreadable, "no year");
        for text in [" ", "-", "+", "to", "2015-2016-2017", "abc", "2016x", "5", "201", "20155", "2015 to"] {
            refuse(text, Problem::Unreadable, "2015-2019");
        }
        for text in
            ["--2016", "2016--", "'", "'2016'", "2016?", "~2016", "16 17", "٢٠١٦", "2016,", "not 2016"]
        {
            refuse(text, Problem::Unreadable, "2015-2019");
        }
    }

    #[test]
    fn one_model_year_is_not_a_range() {
        assert_eq!(ModelYear::parse("'16", TODAY), Ok(ModelYear::new(2016)));
        assert!(ModelYear::parse("2015-2019", TODAY).is_err());
        assert!(ModelYear::parse("2015-", TODAY).is_err());
    }

    #[test]
    fn json_and_plain_words() {
        let check = |text: &str, json: &str, plain: &str| {
            let years = Years::parse(text, TODAY).expect("a test text is readable");
            assert_eq!(
                (serde_json::json!(years.ends()).to_string(), years.plain()),
                (json.to_owned(), plain.to_owned())
            );
        };
        check("2015-2019", "[2015,2019]", "2015-2019");
        check("2015-", "[2015,null]", "2015 and later");
        check("-2018", "[null,2018]", "up to 2018");
        check("all", "[null,null]", "all years");
    }

    proptest! {
        #[test]
        fn the_canonical_text_reads_back(from in 1930_u16..=2028, to in 1930_u16..=2028, open in 0..4) {
            let end = |year: u16, shut: bool| shut.then(|| ModelYear::new(year));
            let (low, high) = (from.min(to), from.max(to));
            let years = Years::new(end(low, open & 1 == 0), end(high, open & 2 == 0)).expect("in order");
            prop_assert_eq!(Years::parse(&years.to_string(), TODAY), Ok(years));
        }

        #[test]
        fn no_text_panics(text in any::<String>(), today in any::<u16>()) {
            let _ = Years::parse(&text, ModelYear::new(today));
        }

        #[test]
        fn what_is_read_is_believable(text in "['0-9 ,/+.-]{0,12}") {
            if let Ok(years) = Years::parse(&text, TODAY) {
                for end in [years.from(), years.to()].into_iter().flatten() {
                    prop_assert!((1930..=2028).contains(&end.get()), "{} in {:?}", end, text);
                }
            }
        }
    }
}
