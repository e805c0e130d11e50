//! The spread of quantities that several notes tell and that are not contested: median, lowest, highest.

use crate::judge::answer::Tally;
use crate::language::Language;
use crate::value::quantity::Quantity;
use crate::value::{FieldKind, Value};

/// A spread.
#[derive(Debug, Clone, PartialEq)]
pub struct Spread {
    /// The middle one; of an even number, the lower of the two in the middle, so that it is one that was told.
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
        median: told.get((told.len().max(1) - 1) / 2)?.clone(),
        low: told.first()?.clone(),
        high: told.last()?.clone(),
        notes: told.len(),
    })
}

impl Spread {
    /// In words: `median 90 min of 5 notes, from 60 min to 120 min`.
    #[must_use]
    pub fn sentence(&self) -> String {
        format!("median {} of {} notes, from {} to {}", self.median, self.notes, self.low, self.high)
    }
}
