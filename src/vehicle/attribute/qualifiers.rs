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
        Ok((attribute.name.to_string(), values))
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
                    "{} is no qualifier; write an attribute and its value, as cab=crew, and ; between two",
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

#[cfg(test)]
mod tests {
    use super::{ModelYear, Vocabulary};
    use crate::vehicle::{Scope, Years};
    use proptest::prelude::*;

    const TODAY: ModelYear = ModelYear::new(2026);

    fn canonical(text: &str) -> Result<String, crate::value::Misread> {
        let read = Vocabulary::builtin().parse_only(text, TODAY)?;
        Ok(Scope::new(Years::ALL, read.built, read.only).only_text())
    }

    #[test]
    fn one_meaning_has_one_text() {
        let check = |expected: &str, texts: &[&str]| {
            for text in texts {
                assert_eq!(canonical(text).as_deref(), Ok(expected), "{text}");
            }
        };
        check("", &["", " ; ", "drive=lhd", "tow=yes|no", "left hand drive"]);
        check(
            "tow=yes",
            &["tow=yes", "TOW = Yes;", "tow package", "factory tow", "tow package=with", "tow=y"],
        );
        check("tow=no", &["tow=no", "no tow package", "without factory tow", "tow=none"]);
        check("cab=crew|extended", &["cab=crew|extended", "cab=ext | Crew Cab", "cab=extended|crew|crew"]);
        check("trim=EX|LX", &["trim=LX|EX", "Trim Level= lx |ex"]);
        check("trim=EX PLUS", &["trim=ex  plus", "trim=\tEX Plus\n"]);
        check("drive=lhd|rhd", &["drive=rhd|lhd", "steering=left|right"]);
        check("drive=rhd", &["drive=rhd", "right-hand drive"]);
        check("fuel=petrol; lamps=led", &["LED lamps; gas", "lamps=LED;fuel=gasoline"]);
        check("start=push-button", &["push button start", "start=button", "ignition=push start"]);
        check("built=2017-09..; cab=crew", &["cab=crew; built=2017-09..", "Build date=from Sep 2017; crew"]);
    }

    #[test]
    fn refused_with_what_would_be_right() {
        let check = |text: &str, says: &str, offered: &[&str]| {
            let misread = canonical(text).expect_err(text);
            assert!(misread.message.contains(says), "{text}: {misread}");
            assert_eq!(misread.readings, offered, "{text}");
        };
        check("cabb=crew", "\"cabb\" is no attribute that is known; nearest: cab", &["cab"]);
        check("cab=crow", "\"crow\" is no value of cab that is known; nearest: crew", &["cab=crew"]);
        check("tow=maybe", "known are yes, no", &[]);
        check("cab=crew; cab=extended", "cab=a|b", &[]);
        check("built=2017; built=2018", "built is given twice", &[]);
        check("built=soon", "2017-09..", &[]);
        check("crew|extended", "write an attribute and its value", &[]);
        check("crew tow package", "is no qualifier", &[]);
        check("not crew cab", "is no qualifier", &[]);
        check("cab=", "cab has no value", &[]);
        check("cab=crew|", "cab has no value", &[]);
        check("2016", "is no qualifier", &[]);
        check("trim=\u{1b}[31m", "a character that no value has", &[]);
        check(&format!("trim={}", "x".repeat(61)), "longer than 60", &[]);
    }

    proptest! {
        #[test]
        fn the_canonical_text_reads_back(text in "(cab|crew|trim|tow|yes|no|LX|drive|rhd|built|2017-09|\\.\\.|=|=|;|;|\\||\\PC{0,2}){0,12}") {
            if let Ok(canon) = canonical(&text) {
                prop_assert_eq!(canonical(&canon), Ok(canon));
            }
        }

        #[test]
        fn no_text_panics(text in any::<String>()) {
            let _ = canonical(&text);
        }
    }
}
