//! Makes the vocabulary of its file and refuses one in which a spelling means two things.
//!
//! It is compiled twice: into `schema/build.rs`, which makes the vocabulary that comes with the program, and into the
//! program, where a vocabulary is read from a text.

use std::collections::BTreeMap;

use crate::schema::vehicle::{Attribute as AttributeEntry, File, Value as ValueEntry};
use crate::schema::{List, Sorted, Text};
use crate::vehicle::names::fold;

/// Names that stand for other dimensions in an `only` or `seen` text.
const RESERVED: [&str; 4] = ["year", "years", "built", "vin"];

/// One value that an attribute may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Value {
    /// The canonical text: `crew`.
    pub name: Text,
    /// How a person says it: `crew cab`.
    pub plain: Text,
}

/// One way in which a vehicle differs from the next of its model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attribute {
    /// The canonical name: `tow`.
    pub name: Text,
    /// For a person: `factory tow package`.
    pub title: Text,
    /// What to look at on the vehicle to tell.
    pub look: Text,
    /// Whether values beside the listed ones are taken. The canonical text of such a value is in
    /// capitals, trimmed, with single spaces: `trim=lx` is `trim=LX`.
    pub open: bool,
    /// Whether every vehicle has exactly one of the listed values, so that all of them say nothing.
    pub complete: bool,
    /// The listed values, in the order of the file.
    pub values: List<Value>,
    /// Folded names, plain words, aliases and phrases, with the number of the value.
    pub spellings: Sorted<usize>,
}

/// All attributes, and the words by which they are known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vocabulary {
    /// In the order of the file.
    pub(super) attributes: List<Attribute>,
    /// Folded names and aliases of attributes, with their numbers.
    pub(super) names: Sorted<usize>,
    /// The folded phrases that name a value among free words, with the numbers of the attribute and the value.
    pub(super) phrases: Sorted<(usize, usize)>,
    /// The words of the longest phrase.
    pub(super) longest_phrase: usize,
}

/// Why a vocabulary file was refused.
#[derive(Debug, thiserror::Error)]
pub enum VocabularyError {
    /// It is not in the form of `schema/vehicle.toml`.
    #[error("the vehicle vocabulary is not well formed: {0}")]
    Form(#[from] toml::de::Error),
    /// A name that cannot be used.
    #[error(
        "the vehicle vocabulary names {0:?}: names are small letters, digits and hyphens, and none of year, built, vin"
    )]
    Name(String),
    /// One spelling for two attributes, or for two values of one attribute, or one phrase for two values.
    #[error("the vehicle vocabulary gives {0:?} two meanings")]
    TwoMeanings(String),
    /// A closed attribute without values.
    #[error("the attribute {0:?} of the vehicle vocabulary is closed and has no values")]
    NoValues(String),
}

/// Makes a vocabulary of what its file says.
///
/// # Errors
/// A name that cannot be used, or one name or phrase that stands for two things.
pub(super) fn vocabulary(file: File) -> Result<Vocabulary, VocabularyError> {
    let (mut names, mut phrases, mut longest_phrase) = (BTreeMap::new(), BTreeMap::new(), 0);
    let mut attributes = Vec::new();
    for (at, entry) in file.attribute.into_iter().enumerate() {
        for name in entry.aliases.iter().chain([&entry.name]) {
            claim(&mut names, name, at)?;
        }
        for (value, entry) in entry.values.iter().enumerate() {
            for phrase in &entry.phrases {
                claim(&mut phrases, phrase, (at, value))?;
                longest_phrase = longest_phrase.max(phrase.split(|c: char| !c.is_alphanumeric()).count());
            }
        }
        attributes.push(attribute(entry)?);
    }
    let attributes = attributes.into();
    Ok(Vocabulary { attributes, names: sorted(names), phrases: sorted(phrases), longest_phrase })
}

fn attribute(entry: AttributeEntry) -> Result<Attribute, VocabularyError> {
    let AttributeEntry { name, title, look, open, complete, values: entries, .. } = entry;
    check_name(&name)?;
    if !open && entries.is_empty() {
        return Err(VocabularyError::NoValues(name));
    }
    let (mut values, mut spellings) = (Vec::new(), BTreeMap::new());
    for (at, ValueEntry { name, plain, aliases, phrases }) in entries.into_iter().enumerate() {
        check_value(&name, open)?;
        let short = short_forms(&name).iter().copied();
        let spelt = aliases.iter().chain(&phrases).chain([&name, &plain]).map(String::as_str);
        spelt.chain(short).try_for_each(|spelling| claim(&mut spellings, spelling, at))?;
        values.push(Value { name: name.into(), plain: plain.into() });
    }
    let (name, title, look) = (name.into(), title.into(), look.into());
    Ok(Attribute { name, title, look, open, complete, values: values.into(), spellings: sorted(spellings) })
}

/// Lets `spelling` stand for `meaning`, unless it stands for another already.
fn claim<T: PartialEq>(
    known: &mut BTreeMap<String, T>,
    spelling: &str,
    meaning: T,
) -> Result<(), VocabularyError> {
    let folded = fold(spelling);
    if folded.is_empty() {
        return Err(VocabularyError::Name(spelling.to_owned()));
    }
    match known.get(&folded) {
        Some(other) if *other != meaning => Err(VocabularyError::TwoMeanings(spelling.to_owned())),
        _ => {
            known.insert(folded, meaning);
            Ok(())
        }
    }
}

fn sorted<T: Clone>(known: BTreeMap<String, T>) -> Sorted<T> {
    known.into_iter().map(|(text, meaning)| (text.into(), meaning)).collect()
}

fn check_name(name: &str) -> Result<(), VocabularyError> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if name.is_empty() || !name.chars().all(plain) || RESERVED.contains(&name) {
        return Err(VocabularyError::Name(name.to_owned()));
    }
    Ok(())
}

/// A listed value of an open attribute is in capitals, as all its values; of a closed one in small letters.
fn check_value(name: &str, open: bool) -> Result<(), VocabularyError> {
    if !open {
        return check_name(name);
    }
    if name.to_uppercase() == name { Ok(()) } else { Err(VocabularyError::Name(name.to_owned())) }
}

/// The short forms of `yes` and `no`.
fn short_forms(name: &str) -> &'static [&'static str] {
    match name {
        "yes" => &["y", "true", "1"],
        "no" => &["n", "false", "0", "none", "without"],
        _ => &[],
    }
}
