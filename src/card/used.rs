//! An answer of the book that the card uses, with the readers of its fields that calculation needs.

use crate::ask::PointFound;
use crate::judge::answer::Answer;
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::note::NoteId;
use crate::value::Value;
use crate::value::quantity::{Amps, Bounds, Metres, Millimetres, Quantity};
use crate::value::thread::Thread;
use crate::vehicle::Match;

/// One answer of one point.
#[derive(Debug, Clone, Copy)]
pub struct Used<'c> {
    /// The point.
    pub found: &'c PointFound,
    /// The answer.
    pub answer: &'c Answer,
}

/// Two are one where they are of one card and the same answer of it.
impl PartialEq for Used<'_> {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.answer, other.answer)
    }
}

impl<'c> Used<'c> {
    /// How far it can be trusted.
    #[must_use]
    pub fn grade(&self) -> Grade {
        self.answer.grade
    }

    /// Whether it has to be proved on the vehicle before it is relied on.
    #[must_use]
    pub fn is_doubtful(&self) -> bool {
        matches!(self.grade(), Grade::Disputed | Grade::Thin)
    }

    /// Whether it surely applies to the vehicle.
    #[must_use]
    pub fn surely(&self) -> bool {
        self.answer.applies == Match::Applies
    }

    /// The notes behind it.
    pub fn notes(&self) -> impl Iterator<Item = NoteId> + 'c {
        self.found.ids_of(self.answer)
    }

    /// The canonical text of a field.
    #[must_use]
    pub fn text(&self, language: &Language, field: &str) -> Option<String> {
        let field = language.catalogue.field(field)?;
        let values = self.found.values_of(self.answer, language);
        values.into_iter().find(|(found, _)| *found == field).map(|(_, text)| text)
    }

    /// The recorded rating; of a range the lower end, which is the one to rely on.
    #[must_use]
    pub fn rating(&self, language: &Language) -> Option<Amps> {
        self.quantity(language, "rating")?.amps().map(|bounds| bounds.low)
    }

    /// The recorded hole; of a range the lower end.
    #[must_use]
    pub fn hole(&self, language: &Language) -> Option<Millimetres> {
        self.quantity(language, "hole")?.millimetres().map(|bounds| bounds.low)
    }

    /// The recorded length; of a range the upper end, so that the cable reaches. `None` where it is open above.
    #[must_use]
    pub fn length(&self, language: &Language) -> Option<Metres> {
        let Bounds { high, .. } = self.quantity(language, "length")?.metres()?;
        high
    }

    /// The recorded stud.
    #[must_use]
    pub fn stud(&self, language: &Language) -> Option<Thread> {
        match self.value(language, "stud")? {
            Value::Thread(thread) => Some(thread),
            _ => None,
        }
    }

    fn quantity(&self, language: &Language, field: &str) -> Option<Quantity> {
        match self.value(language, field)? {
            Value::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    pub(super) fn value(&self, language: &Language, field: &str) -> Option<Value> {
        language.read(language.catalogue.field(field)?, &self.text(language, field)?).ok()
    }
}
