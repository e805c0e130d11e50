//! Where a split cuts, and the part of the vehicles on each side of the cut.

use super::Unsettled;
use crate::vehicle::attribute::Vocabulary;
use crate::vehicle::{Built, DRIVE, Match, ModelYear, Scope, Span, Vehicle, YearMonth, Years};

/// Where a split cuts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cut {
    /// Before this model year, and from it on.
    Year(ModelYear),
    /// Built before this month, and from it on.
    Built(YearMonth),
    /// By the values of an attribute.
    Attribute(String),
}

/// The vehicles with one of these values, whichever side the driver sits on.
fn of_values<'v>(name: &str, values: impl IntoIterator<Item = &'v str>) -> Scope {
    let scope = Scope::of_values(name, values);
    if name == DRIVE { scope } else { scope.on_either_side() }
}

/// How the parts of a cut in time are called.
const BEFORE: &str = "before";
const FROM: &str = "from";

impl Cut {
    /// The two parts of a cut in time.
    fn halves(&self) -> Option<[Scope; 2]> {
        match self {
            Self::Year(year) => {
                let before = ModelYear::new(year.get().saturating_sub(1));
                let halves = [Years::ending(before), Years::starting(*year)].map(Scope::of_years);
                Some(halves.map(Scope::on_either_side))
            }
            Self::Built(month) => {
                let before = if month.month() == 1 {
                    YearMonth::new(month.year().saturating_sub(1), 12)
                } else {
                    YearMonth::new(month.year(), month.month() - 1)
                };
                let before = Built::ending(before.unwrap_or(*month));
                let halves = [before, Span::starting(*month)].map(Scope::of_built);
                Some(halves.map(Scope::on_either_side))
            }
            Self::Attribute(_) => None,
        }
    }

    /// Reads the part that a person names.
    pub(super) fn read(&self, text: &str) -> Result<Scope, Unsettled> {
        let wanted = text.trim().to_lowercase();
        if let Some([before, from]) = self.halves() {
            return match wanted.as_str() {
                BEFORE => Ok(before),
                FROM => Ok(from),
                _ => Err(Unsettled::StrangePart(text.to_owned(), format!("{BEFORE} or {FROM}"))),
            };
        }
        let Self::Attribute(name) = self else { return Ok(Scope::default()) };
        let strange =
            || Unsettled::StrangePart(text.to_owned(), format!("values of {name}, as yes or crew|extended"));
        let attribute = Vocabulary::builtin().attribute(name).ok_or_else(strange)?;
        let values: Option<Vec<String>> =
            text.split('|').map(|value| attribute.read_value(value.trim()).ok()).collect();
        let values = values.ok_or_else(strange)?;
        Ok(of_values(name, values.iter().map(String::as_str)))
    }

    /// The part in which a vehicle surely lies.
    pub(super) fn part_of_seen(&self, seen: &Vehicle) -> Option<Scope> {
        if let Some(halves) = self.halves() {
            return halves.into_iter().find(|half| half.matches(seen) == Match::Applies);
        }
        let Self::Attribute(name) = self else { return None };
        seen.attribute(name).map(|value| of_values(name, [value]))
    }

    /// The part in which everything that a scope claims lies.
    pub(super) fn part_of_scope(&self, scope: &Scope) -> Option<Scope> {
        if let Some(halves) = self.halves() {
            return halves.into_iter().find(|half| half.contains(scope));
        }
        let Self::Attribute(name) = self else { return None };
        scope.allowed(name).map(|values| of_values(name, values.iter().map(String::as_str)))
    }

    /// The one part that these make; of an attribute their values together.
    ///
    /// # Errors
    /// They lie on both sides of the cut; in words.
    pub(super) fn joined(&self, parts: &[Scope]) -> Result<Option<Scope>, String> {
        let mut distinct = parts.to_vec();
        distinct.sort();
        distinct.dedup();
        match (self, distinct.as_slice()) {
            (_, []) => Ok(None),
            (_, [one]) => Ok(Some(one.clone())),
            (Self::Attribute(name), several) => {
                let values = several.iter().filter_map(|part| part.allowed(name)).flatten();
                Ok(Some(of_values(name, values.map(String::as_str))))
            }
            (_, several) => {
                let told = several.iter().map(|part| match self {
                    Self::Built(_) => part.built().plain(),
                    _ => part.years().plain(),
                });
                Err(told.collect::<Vec<_>>().join(" and "))
            }
        }
    }

    /// What a part leaves, where the whole is known.
    pub(super) fn rest(&self, part: &Scope) -> Option<Scope> {
        if let Some(halves) = self.halves() {
            return halves.into_iter().find(|half| half != part);
        }
        let Self::Attribute(name) = self else { return None };
        let attribute = Vocabulary::builtin().attribute(name).filter(|attribute| attribute.complete)?;
        let taken = part.allowed(name)?;
        let left: Vec<&str> = attribute
            .values
            .iter()
            .map(|value| &*value.name)
            .filter(|value| !taken.contains(*value))
            .collect();
        (!left.is_empty()).then(|| of_values(name, left))
    }
}
