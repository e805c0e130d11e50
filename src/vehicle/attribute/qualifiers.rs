//! Reads the qualifiers of a note: `built=2017-09..; cab=crew; tow=yes; trim=LX|EX`.
//!
//! It owns the split into parts and the reading of one part. What a scope makes of the sets is the
//! scope's business; the year and the VIN in a `seen` text are read beside the vehicle.

use std::collections::BTreeSet;

use super::super::built::Built;
use super::super::names::fold;
use super::super::quoted;
use super::super::scope::Only;
use super::super::years::ModelYear;
use super::Vocabulary;
use crate::value::{Misread, Problem};

/// The qualifiers of a scope, as read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Qualifiers {
    /// The build dates covered; all where none were written.
    pub built: Built,
    /// The values allowed of each attribute written.
    pub only: Only,
}

impl Vocabulary {
    /// Reads an `only` text: qualifiers separated by `;`, each an attribute, `=`, and values
    /// separated by `|`. A phrase that says both is read too: `crew cab; no tow package`.
    ///
    /// # Errors
    /// An unknown attribute or value, one attribute given twice, a part that is no qualifier.
    pub fn parse_only(&self, text: &str, today: ModelYear) -> Result<Qualifiers, Misread> {
        let mut read = Qualifiers::default();
        let mut built_given = false;
        for part in parts(text) {
            if let Some(dates) = build_dates(part) {
                if std::mem::replace(&mut built_given, true) {
                    return Err(twice("built"));
                }
                read.built = Built::parse(dates, today)?;
                continue;
            }
            let (attribute, values) = self.read_qualifier(part)?;
            if read.only.contains_key(&attribute) {
                return Err(twice(&attribute));
            }
            read.only.insert(attribute, values);
        }
        Ok(read)
    }

    /// Reads one qualifier: `cab=crew|extended`, or a phrase that names a value.
    ///
    /// # Errors
    /// An unknown attribute or value, or neither form.
    pub fn read_qualifier(&self, part: &str) -> Result<(String, BTreeSet<String>), Misread> {
        let Some((name, values)) = part.split_once('=') else { return self.read_phrase(part) };
        let attribute = self.read_name(name)?;
        let values = values.split('|').map(|value| attribute.read_value(value)).collect::<Result<_, _>>()?;
        Ok((attribute.name.clone(), values))
    }

    /// Reads one qualifier of a single vehicle, which has one value of each attribute.
    ///
    /// # Errors
    /// As [`Self::read_qualifier`], and where there are several values.
    pub fn read_one_value(&self, part: &str) -> Result<(String, String), Misread> {
        let (attribute, values) = self.read_qualifier(part)?;
        let mut values = values.into_iter();
        match (values.next(), values.next()) {
            (Some(value), None) => Ok((attribute, value)),
            _ => {
                let message =
                    format!("{} names several values, and one vehicle has one {attribute}", quoted(part));
                Err(Misread::new(Problem::Unreadable, message))
            }
        }
    }

    /// A part without `=` whose words are one phrase and no more.
    fn read_phrase(&self, part: &str) -> Result<(String, BTreeSet<String>), Misread> {
        let words: Vec<&str> = part.split_whitespace().collect();
        let read = self.read_words(&words);
        match read.found.as_slice() {
            [one] if read.left.is_empty() => Ok((one.attribute.clone(), BTreeSet::from([one.value.clone()]))),
            _ => {
                let message = format!(
                    "{} is no qualifier; write an attribute and its value, as cab=crew",
                    quoted(part)
                );
                Err(Misread::new(Problem::Unreadable, message))
            }
        }
    }
}

/// The parts of an `only` or `seen` text, trimmed; empty ones are dropped.
pub(in crate::vehicle) fn parts(text: &str) -> impl Iterator<Item = &str> {
    text.split(';').map(str::trim).filter(|part| !part.is_empty())
}

/// The dates of a part that names build dates.
pub(in crate::vehicle) fn build_dates(part: &str) -> Option<&str> {
    let (name, dates) = part.split_once('=')?;
    matches!(fold(name).as_str(), "built" | "build" | "builddate" | "buildmonth").then_some(dates)
}

/// The complaint that one attribute stands twice in a text.
pub(in crate::vehicle) fn twice(attribute: &str) -> Misread {
    let message = format!("{attribute} is given twice; several values are written {attribute}=a|b");
    Misread::new(Problem::Unreadable, message)
}
