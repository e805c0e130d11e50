//! One line of a note sheet before it goes to a file, and the day on which it was written.

use crate::dice::Dice;

/// A calendar day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    pub year: u16,
    pub month: u16,
    pub day: u16,
}

impl Day {
    /// The first day of a month counted as year times twelve plus month.
    pub fn of_month(months: u16) -> Self {
        let index = months - 1;
        Self { year: index / 12, month: index % 12 + 1, day: 1 }
    }

    /// Year times twelve plus month.
    pub fn months(self) -> u16 {
        self.year * 12 + self.month
    }

    /// A working day of the same month.
    pub fn some_day(self, dice: &mut Dice) -> Self {
        // Closed between Christmas and New Year.
        let (first, last) = if self.month == 12 { (1, 22) } else { (2, 27) };
        let day = Self { day: dice.between(first, last), ..self };
        if day.is_sunday() { Self { day: day.day + 1, ..day } } else { day }
    }

    /// A working day about `days` later.
    pub fn later(self, days: u16, dice: &mut Dice) -> Self {
        Self::of_month(self.months() + 1 + days / 31).some_day(dice)
    }

    /// Sakamoto's method.
    fn is_sunday(self) -> bool {
        const SHIFT: [u16; 12] = [0, 3, 2, 5, 0, 3, 5, 1, 4, 6, 2, 4];
        let year = if self.month < 3 { self.year - 1 } else { self.year };
        let days = year + year / 4 - year / 100 + year / 400 + SHIFT[usize::from(self.month) - 1] + self.day;
        days.is_multiple_of(7)
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// A note as its writer put it: every cell is the text that stands in the sheet.
#[derive(Debug, Clone)]
pub struct Note {
    pub make: &'static str,
    pub model: &'static str,
    pub years: String,
    pub only: String,
    pub point: &'static str,
    pub fields: Vec<(&'static str, String)>,
    pub basis: &'static str,
    /// The name as it is signed here.
    pub by: String,
    /// The same person's name in its usual form.
    pub hand: &'static str,
    pub on: Day,
    pub seen: String,
    pub remark: String,
}
