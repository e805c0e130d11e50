//! The vocabulary of `schema/vehicle.toml`: attributes, their values, and what people write for them.
//!
//! This file owns the data, its checks, and the reading of one name and one value. Whole `only` texts
//! are read in `qualifiers`, free words in `words`. What an attribute does to a match is the scope's.

mod made;
mod qualifiers;
mod words;

use std::borrow::Cow::Borrowed;
use std::collections::BTreeSet;

pub use made::{Attribute, Value, Vocabulary, VocabularyError};
pub use qualifiers::Qualifiers;
pub(in crate::vehicle) use qualifiers::{build_dates, parts};
pub use words::{FoundValue, WordsRead};

use super::names::{fold, suggestions};
use super::quoted;
use crate::schema::meaning;
use crate::value::{Misread, Problem};

/// The longest value of an open attribute, in characters.
pub const LONGEST_OPEN_VALUE: usize = 60;

/// The vocabulary that the program carries, made when it was built.
static BUILTIN: Vocabulary = include!(concat!(env!("OUT_DIR"), "/vocabulary.rs"));

impl Attribute {
    /// The canonical text of a value: names, aliases and phrases are understood, without case and punctuation.
    ///
    /// # Errors
    /// Empty or, for a closed attribute, unknown: the message names the nearest known values. For an open
    /// one, longer than [`LONGEST_OPEN_VALUE`] or with a character that has a meaning of its own (`;|=`).
    pub fn read_value(&self, text: &str) -> Result<String, Misread> {
        let folded = fold(text);
        if folded.is_empty() {
            return Err(Misread::new(Problem::Unreadable, format!("{} has no value", self.name)));
        }
        match meaning(&self.spellings, &folded) {
            Some(index) => Ok(self.values[index].name.to_string()),
            None if self.open => open_value(&self.name, text),
            None => Err(self.unknown_value(text)),
        }
    }

    /// How a person says a value: `crew cab`; for a value that is not listed, `trim level LX`.
    #[must_use]
    pub fn plain(&self, value: &str) -> String {
        let listed = self.values.iter().find(|known| known.name == value);
        listed.map_or_else(|| format!("{} {value}", self.title), |known| known.plain.to_string())
    }

    /// Whether these are all the values that a vehicle can have.
    #[must_use]
    pub fn are_all(&self, values: &BTreeSet<String>) -> bool {
        self.complete && self.values.iter().all(|value| values.contains(&*value.name))
    }

    fn unknown_value(&self, text: &str) -> Misread {
        let near = suggestions(text, self.spellings.iter().map(|(spelling, _)| &**spelling));
        let near = near.into_iter().filter_map(|spelling| meaning(&self.spellings, spelling));
        let mut near: Vec<String> = near.map(|index| self.values[index].name.to_string()).collect();
        near.sort();
        near.dedup();
        let known: Vec<&str> = self.values.iter().map(|value| &*value.name).collect();
        let hint = hint(&near, &known);
        let message = format!("{} is no value of {} that is known; {hint}", quoted(text.trim()), self.name);
        Misread::new(Problem::Unreadable, message)
            .offering(near.iter().map(|value| format!("{}={value}", self.name)).collect())
    }
}

impl Vocabulary {
    /// Reads a vocabulary in the form of `schema/vehicle.toml`.
    ///
    /// # Errors
    /// Not such a file, or one name or phrase that stands for two things.
    pub fn parse(text: &str) -> Result<Self, VocabularyError> {
        made::vocabulary(toml::from_str(text)?)
    }

    /// The vocabulary that the program carries. A test of this program checks it.
    #[must_use]
    pub fn builtin() -> &'static Self {
        &BUILTIN
    }

    /// The attributes in the order of the file.
    #[must_use]
    pub fn attributes(&self) -> &[Attribute] {
        &self.attributes
    }

    /// The attribute with exactly this canonical name.
    #[must_use]
    pub fn attribute(&self, name: &str) -> Option<&Attribute> {
        self.attributes.iter().find(|attribute| attribute.name == name)
    }

    /// The attribute that a person means by `text`.
    ///
    /// # Errors
    /// Unknown: the message names the nearest known ones.
    pub fn read_name(&self, text: &str) -> Result<&Attribute, Misread> {
        self.named(text).ok_or_else(|| {
            let near = suggestions(text, self.names.iter().map(|(name, _)| &**name));
            let near = near.into_iter().filter_map(|name| meaning(&self.names, name));
            let mut near: Vec<String> = near.map(|index| self.attributes[index].name.to_string()).collect();
            near.sort();
            near.dedup();
            let known: Vec<&str> = self.attributes.iter().map(|a| &*a.name).collect();
            let message =
                format!("{} is no attribute that is known; {}", quoted(text.trim()), hint(&near, &known));
            Misread::new(Problem::Unreadable, message).offering(near)
        })
    }

    /// How a person says a value of an attribute; the qualifier as written where the attribute is not known.
    #[must_use]
    pub fn plain(&self, attribute: &str, value: &str) -> String {
        self.attribute(attribute).map_or_else(|| format!("{attribute}={value}"), |known| known.plain(value))
    }

    /// How a person says that one of these values is meant: `crew cab or extended cab`, `trim level EX or LX`.
    #[must_use]
    pub fn plain_any(&self, attribute: &str, values: &BTreeSet<String>) -> String {
        let title = format!("{} ", self.title(attribute));
        let said: Vec<String> = values.iter().map(|value| self.plain(attribute, value)).collect();
        let short = |(i, said): (usize, &String)| {
            let repeated = said.strip_prefix(&title).filter(|_| i > 0);
            repeated.unwrap_or(said).to_owned()
        };
        said.iter().enumerate().map(short).collect::<Vec<_>>().join(" or ")
    }

    /// The title of a dimension that a match depends on: `factory tow package`, `model year`, `build date`.
    #[must_use]
    pub fn title<'a>(&'a self, dimension: &'a str) -> &'a str {
        match dimension {
            super::YEAR => "model year",
            super::BUILT => "build date",
            _ => self.attribute(dimension).map_or(dimension, |known| &known.title),
        }
    }

    /// What to look at on the vehicle to know a dimension that a match depends on.
    #[must_use]
    pub fn look(&self, dimension: &str) -> Option<&str> {
        match dimension {
            super::YEAR => Some("the registration, or position 10 of the VIN"),
            super::BUILT => Some("the month of manufacture on the label at the driver's door"),
            _ => self.attribute(dimension).map(|known| &*known.look),
        }
    }

    fn named(&self, text: &str) -> Option<&Attribute> {
        meaning(&self.names, &fold(text)).map(|index| &self.attributes[index])
    }
}

/// What would be right: the nearest, else all that are known.
fn hint(near: &[String], known: &[&str]) -> String {
    if near.is_empty() {
        format!("known are {}", known.join(", "))
    } else {
        format!("nearest: {}", near.join(", "))
    }
}

/// The canonical text of a value that no list holds.
fn open_value(attribute: &str, text: &str) -> Result<String, Misread> {
    let value = text.split_whitespace().collect::<Vec<_>>().join(" ").to_uppercase();
    if value.chars().count() > LONGEST_OPEN_VALUE {
        let message = format!(
            "the value {} of {attribute} is longer than {LONGEST_OPEN_VALUE} characters",
            quoted(text)
        );
        return Err(Misread::new(Problem::OutOfRange, message));
    }
    match value.chars().find(|c| c.is_control() || matches!(c, ';' | '|' | '=')) {
        None => Ok(value),
        Some('=') => {
            let message = format!("{attribute}={} has a second =; separate qualifiers by ;", text.trim());
            Err(Misread::new(Problem::Unreadable, message))
        }
        Some(_) => {
            let message =
                format!("the value {} of {attribute} holds a character that no value has", quoted(text));
            Err(Misread::new(Problem::Unreadable, message))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Vocabulary, VocabularyError};
    use crate::vehicle::{DEFAULT_DRIVE, DRIVE};

    const CAB: &str = r#"
        [[attribute]]
        name = "cab"
        title = "cab"
        look = "the doors"
        values = [{ name = "crew", plain = "crew cab", phrases = ["crew cab"] }]
    "#;

    #[test]
    fn the_built_in_vocabulary_is_whole() {
        let vocabulary = Vocabulary::parse(include_str!("../../../schema/vehicle.toml"))
            .expect("no spelling of the built-in vocabulary means two things");
        assert_eq!(super::BUILTIN, vocabulary, "what was made when the program was built");
        for attribute in vocabulary.attributes() {
            assert!(!attribute.title.is_empty() && !attribute.look.is_empty(), "{}", attribute.name);
            for value in &*attribute.values {
                assert!(!value.plain.is_empty(), "{}={}", attribute.name, value.name);
                for said in [&value.name, &value.plain] {
                    let read = attribute.read_value(said);
                    assert_eq!(read.as_deref(), Ok(&*value.name), "{}={said}", attribute.name);
                }
            }
        }
        let drive = vocabulary.attribute(DRIVE).expect("the drive side is an attribute");
        assert!(drive.complete && drive.values.iter().any(|value| value.name == DEFAULT_DRIVE));
    }

    #[test]
    fn titles_and_what_to_look_at() {
        let vocabulary = Vocabulary::builtin();
        let check = |dimension: &str, title: &str, look: &str| {
            assert_eq!(vocabulary.title(dimension), title);
            assert!(vocabulary.look(dimension).is_some_and(|text| text.contains(look)), "{dimension}");
        };
        check("tow", "factory tow package", "option list");
        check("year", "model year", "position 10");
        check("built", "build date", "label");
        assert_eq!((vocabulary.title("shade"), vocabulary.look("shade")), ("shade", None));
        assert_eq!(vocabulary.plain("trim", "LX"), "trim level LX");
        assert_eq!(vocabulary.plain("shade", "dark"), "shade=dark");
    }

    #[test]
    fn a_vocabulary_with_two_meanings_is_refused() {
        let check = |toml: &str, says: &str| {
            let error = Vocabulary::parse(toml).expect_err(toml);
            assert!(error.to_string().contains(says), "{error}");
        };
        assert!(Vocabulary::parse(CAB).is_ok());
        check(&format!("{CAB}{CAB}"), "\"cab\" two meanings");
        check(&CAB.replace("phrases", "phrase"), "not well formed");
        check(&CAB.replace("\"cab\"", "\"built\""), "names \"built\"");
        check(&CAB.replace("name = \"crew\"", "name = \"Crew\""), "names \"Crew\"");
        check(&CAB.replace("[\"crew cab\"]", "[\"--\"]"), "names \"--\"");
        check("attribute = [{ name = \"a\", title = \"a\", look = \"a\" }]", "no values");
        let doubled = CAB.replace(
            "values = [",
            "values = [{ name = \"double\", plain = \"d\", aliases = [\"Crew-Cab\"] }, ",
        );
        assert!(matches!(Vocabulary::parse(&doubled), Err(VocabularyError::TwoMeanings(_))));
    }
}
