//! Makes the vocabulary of its file and refuses one in which a spelling means two things.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::OnceLock;

use super::super::names::fold;
use super::{Attribute, Phrases, Value, Vocabulary};
use crate::schema::vehicle::{Attribute as AttributeEntry, File, Value as ValueEntry};

/// Names that stand for other dimensions in an `only` or `seen` text.
const RESERVED: [&str; 4] = ["year", "years", "built", "vin"];

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

/// Makes a vocabulary of what its file says, as it stands.
pub(super) fn vocabulary(file: File) -> Vocabulary {
    Vocabulary {
        attributes: file.attribute.into_iter().map(attribute).collect(),
        names: OnceLock::new(),
        phrases: OnceLock::new(),
    }
}

fn attribute(mut entry: AttributeEntry) -> Attribute {
    add_short_forms(&mut entry.values);
    let AttributeEntry { name, title, look, aliases, open, complete, values } = entry;
    let value = |ValueEntry { name, plain, aliases, phrases }| Value { name, plain, aliases, phrases };
    let values = values.into_iter().map(value).collect();
    Attribute { name, title, look, open, complete, values, aliases, spellings: OnceLock::new() }
}

/// Refuses a vocabulary that does not hold together; the errors are those of [`Vocabulary::parse`].
pub(super) fn check(vocabulary: &Vocabulary) -> Result<(), VocabularyError> {
    for attribute in &vocabulary.attributes {
        check_name(&attribute.name)?;
        if !attribute.open && attribute.values.is_empty() {
            return Err(VocabularyError::NoValues(attribute.name.clone()));
        }
        attribute.values.iter().try_for_each(|value| check_value(value, attribute.open))?;
        spellings(attribute)?;
    }
    names(&vocabulary.attributes)?;
    phrases(&vocabulary.attributes)?;
    Ok(())
}

/// What people write for each attribute, folded.
pub(super) fn names(attributes: &[Attribute]) -> Result<HashMap<String, usize>, VocabularyError> {
    let mut names = HashMap::new();
    for (index, attribute) in attributes.iter().enumerate() {
        for name in attribute.aliases.iter().chain([&attribute.name]) {
            claim(&mut names, name, index)?;
        }
    }
    Ok(names)
}

/// What people write for each value of an attribute, folded.
pub(super) fn spellings(attribute: &Attribute) -> Result<HashMap<String, usize>, VocabularyError> {
    let mut spellings = HashMap::new();
    for (index, value) in attribute.values.iter().enumerate() {
        for spelling in value.aliases.iter().chain(&value.phrases).chain([&value.name, &value.plain]) {
            claim(&mut spellings, spelling, index)?;
        }
    }
    Ok(spellings)
}

/// The phrases that name a value among free words.
pub(super) fn phrases(attributes: &[Attribute]) -> Result<Phrases, VocabularyError> {
    let (mut meanings, mut longest) = (HashMap::new(), 0);
    for (index, attribute) in attributes.iter().enumerate() {
        for (value, entry) in attribute.values.iter().enumerate() {
            for phrase in &entry.phrases {
                claim(&mut meanings, phrase, (index, value))?;
                longest = longest.max(phrase.split(|c: char| !c.is_alphanumeric()).count());
            }
        }
    }
    let mut meanings: Vec<_> =
        meanings.into_iter().map(|(phrase, meaning)| (Cow::Owned(phrase), meaning)).collect();
    meanings.sort_unstable();
    Ok(Phrases { meanings: Cow::Owned(meanings), longest })
}

/// Lets `spelling` stand for `meaning`, unless it stands for another already.
fn claim<T: PartialEq>(
    known: &mut HashMap<String, T>,
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

fn check_name(name: &str) -> Result<(), VocabularyError> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if name.is_empty() || !name.chars().all(plain) || RESERVED.contains(&name) {
        return Err(VocabularyError::Name(name.to_owned()));
    }
    Ok(())
}

/// A listed value of an open attribute is in capitals, as all its values; of a closed one in small letters.
fn check_value(value: &Value, open: bool) -> Result<(), VocabularyError> {
    if !open {
        return check_name(&value.name);
    }
    if value.name.to_uppercase() == value.name {
        Ok(())
    } else {
        Err(VocabularyError::Name(value.name.clone()))
    }
}

/// Gives `yes` and `no` their short forms.
fn add_short_forms(values: &mut [ValueEntry]) {
    for value in values {
        let short: &[&str] = match value.name.as_str() {
            "yes" => &["y", "true", "1"],
            "no" => &["n", "false", "0", "none", "without"],
            _ => continue,
        };
        value.aliases.extend(short.iter().map(|&form| form.to_owned()));
    }
}
