//! The spread of quantities that several notes tell and that are not contested: median, lowest, highest.

use crate::judge::answer::Tally;
use crate::language::Language;
use crate::value::quantity::Quantity;
use crate::value::{FieldKind, Typed as _, Value};

/// A spread.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The middle one; of an even number, what lies midway between the two in the middle. Of gauges the lower
    /// of the two, since there may be none between them.
    pub median: Quantity,
    /// The lowest.
    pub low: Quantity,
    /// The highest.
    pub high: Quantity,
    /// How many notes.
    pub notes: usize,
}

/// The spread of a tally of quantities; `None` for values of another type.
#[must_use]
pub fn of(language: &Language, field: usize, tally: &Tally) -> Option<Spread> {
    if !matches!(language.catalogue.fields[field].kind, FieldKind::Quantity(_)) {
        return None;
    }
    let mut told = Vec::new();
    for (text, count) in &tally.texts {
        let Ok(Value::Quantity(quantity)) = language.read(field, text) else { return None };
        told.extend(std::iter::repeat_n(quantity, *count));
    }
    told.sort_by(Quantity::order);
    Some(Spread {
        median: median(&told)?,
        low: told.first()?.clone(),
        high: told.last()?.clone(),
        notes: told.len(),
    })
}

/// The median of what is in order.
fn median(told: &[Quantity]) -> Option<Quantity> {
    let (low, high) = (told.get(told.len().checked_sub(1)? / 2)?, told.get(told.len() / 2)?);
    Some(if low == high { low.clone() } else { low.midway(high).unwrap_or_else(|| low.clone()) })
}

impl Spread {
    /// In words: `median 90 min of 5 notes, from 60 min to 120 min`.
    #[must_use]
    pub fn sentence(&self) -> String {
        // Hours beside each of three times would only crowd the line; a length is told as everywhere.
        let said = |told: &Quantity| if told.metres().is_some() { told.plain() } else { told.to_string() };
        if self.notes == 1 {
            return format!("{}, of one note", said(&self.median));
        }
        let [median, low, high] = [&self.median, &self.low, &self.high].map(said);
        format!("median {median} of {} notes, from {low} to {high}", self.notes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::value::quantity::rule_for_unit;

    #[test]
    fn of_an_even_count_the_median_lies_midway() {
        let rule = rule_for_unit("min").expect("a unit");
        let read = |text: &&str| Quantity::parse(text, &rule).expect("a time");
        let of = |told: &[&str]| {
            median(&told.iter().map(read).collect::<Vec<_>>()).map(|median| median.to_string())
        };
        assert_eq!(of(&[]), None);
        assert_eq!(of(&["90 min"]).as_deref(), Some("90 min"));
        assert_eq!(of(&["60 min", "90 min", "120 min"]).as_deref(), Some("90 min"));
        assert_eq!(of(&["60 min", "75 min", "90 min", "120 min"]).as_deref(), Some("82.5 min"));
    }
}
