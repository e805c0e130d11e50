//! The vocabulary of `schema/vehicle.toml`: attributes, their values, and what people write for them.
//!
//! This file owns the data, its checks, and the reading of one name and one value. Whole `only` texts
//! are read in `qualifiers`, free words in `words`. What an attribute does to a match is the scope's.

mod file;
mod qualifiers;
mod words;

use std::borrow::Cow::{self, Borrowed};
use std::collections::{BTreeSet, HashMap};
use std::sync::OnceLock;

pub use file::VocabularyError;
pub use qualifiers::Qualifiers;
pub(in crate::vehicle) use qualifiers::{build_dates, parts};
pub use words::{FoundValue, WordsRead};

use super::names::{fold, suggestions};
use super::quoted;
use crate::value::{Misread, Problem};

/// The longest value of an open attribute, in characters.
pub const LONGEST_OPEN_VALUE: usize = 60;

/// One value that an attribute may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Value {
    /// The canonical text: `crew`.
    pub name: String,
    /// How a person says it: `crew cab`.
    pub plain: String,
    /// Other words for it after `name=`.
    aliases: Vec<String>,
    /// Words that mean it without the attribute being named.
    phrases: Vec<String>,
}

/// One way in which a vehicle differs from the next of its model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attribute {
    /// The canonical name: `tow`.
    pub name: String,
    /// For a person: `factory tow package`.
    pub title: String,
    /// What to look at on the vehicle to tell.
    pub look: String,
    /// Whether values beside the listed ones are taken. The canonical text of such a value is in
    /// capitals, trimmed, with single spaces: `trim=lx` is `trim=LX`.
    pub open: bool,
    /// Whether every vehicle has exactly one of the listed values, so that all of them say nothing.
    pub complete: bool,
    /// The listed values, in the order of the file.
    pub values: Vec<Value>,
    /// Other names that people write for it.
    aliases: Vec<String>,
    /// Folded names, plain words, aliases and phrases, to the index in `values`. Made when first asked for.
    spellings: OnceLock<HashMap<String, usize>>,
}

/// All attributes, and the words by which they are known.
#[derive(Debug, Clone)]
pub struct Vocabulary {
    attributes: Vec<Attribute>,
    /// Folded names and aliases of attributes. Made when first asked for.
    names: OnceLock<HashMap<String, usize>>,
    /// The phrases that name a value among free words. Made when first asked for.
    phrases: OnceLock<Phrases>,
}

/// A phrase, with the numbers of the attribute and the value that it names.
type Named = (Cow<'static, str>, (usize, usize));

/// Phrases that name a value of an attribute.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct Phrases {
    /// Folded and sorted, to the index of attribute and value.
    meanings: Cow<'static, [Named]>,
    /// The words of the longest.
    longest: usize,
}

/// Those of the vocabulary that the program carries, made when it was built.
static BUILTIN_PHRASES: Phrases = include!(concat!(env!("OUT_DIR"), "/attributes.rs"));

impl Phrases {
    /// Attribute and value that a folded phrase names.
    fn named(&self, folded: &str) -> Option<(usize, usize)> {
        let at = self.meanings.binary_search_by(|(known, _)| (**known).cmp(folded)).ok()?;
        Some(self.meanings[at].1)
    }
}

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
        match self.spellings().get(&folded) {
            Some(&index) => Ok(self.values[index].name.clone()),
            None if self.open => open_value(&self.name, text),
            None => Err(self.unknown_value(text)),
        }
    }

    /// How a person says a value: `crew cab`; for a value that is not listed, `trim level LX`.
    #[must_use]
    pub fn plain(&self, value: &str) -> String {
        let listed = self.values.iter().find(|known| known.name == value);
        listed.map_or_else(|| format!("{} {value}", self.title), |known| known.plain.clone())
    }

    /// Whether these are all the values that a vehicle can have.
    #[must_use]
    pub fn are_all(&self, values: &BTreeSet<String>) -> bool {
        self.complete && self.values.iter().all(|value| values.contains(&value.name))
    }

    /// A spelling that stands for two values was refused when the file was read.
    fn spellings(&self) -> &HashMap<String, usize> {
        self.spellings.get_or_init(|| file::spellings(self).unwrap_or_default())
    }

    fn unknown_value(&self, text: &str) -> Misread {
        let spellings = self.spellings();
        let mut near: Vec<String> = suggestions(text, spellings.keys().map(String::as_str))
            .into_iter()
            .map(|spelling| self.values[spellings[spelling]].name.clone())
            .collect();
        near.sort();
        near.dedup();
        let known: Vec<&str> = self.values.iter().map(|value| value.name.as_str()).collect();
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
        let vocabulary = file::vocabulary(toml::from_str(text)?);
        file::check(&vocabulary)?;
        Ok(vocabulary)
    }

    /// The vocabulary that the program carries. A test of this program checks it.
    #[must_use]
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Vocabulary> = OnceLock::new();
        BUILTIN.get_or_init(|| {
            let phrases = OnceLock::from(BUILTIN_PHRASES.clone());
            Vocabulary { phrases, ..file::vocabulary(crate::schema::vehicle()) }
        })
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
            let names = self.names();
            let mut near: Vec<String> = suggestions(text, names.keys().map(String::as_str))
                .into_iter()
                .map(|s| self.attributes[names[s]].name.clone())
                .collect();
            near.sort();
            near.dedup();
            let known: Vec<&str> = self.attributes.iter().map(|a| a.name.as_str()).collect();
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
            _ => self.attribute(dimension).map(|known| known.look.as_str()),
        }
    }

    fn named(&self, text: &str) -> Option<&Attribute> {
        self.names().get(&fold(text)).map(|&index| &self.attributes[index])
    }

    fn names(&self) -> &HashMap<String, usize> {
        self.names.get_or_init(|| file::names(&self.attributes).unwrap_or_default())
    }

    fn phrases(&self) -> &Phrases {
        self.phrases.get_or_init(|| file::phrases(&self.attributes).unwrap_or_default())
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
        let built = super::file::phrases(vocabulary.attributes()).expect("no phrase means two things");
        assert_eq!(super::BUILTIN_PHRASES, built, "what was made when the program was built");
        for attribute in vocabulary.attributes() {
            assert!(!attribute.title.is_empty() && !attribute.look.is_empty(), "{}", attribute.name);
            for value in &attribute.values {
                assert!(!value.plain.is_empty(), "{}={}", attribute.name, value.name);
                for said in [&value.name, &value.plain] {
                    assert_eq!(
                        attribute.read_value(said).as_ref(),
                        Ok(&value.name),
                        "{}={said}",
                        attribute.name
                    );
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
