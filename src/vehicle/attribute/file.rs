//! Reads the vocabulary file and refuses one in which a spelling means two things.

use std::collections::HashMap;

use serde::Deserialize;

use super::super::names::fold;
use super::{Attribute, Value, Vocabulary};

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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    attribute: Vec<AttributeEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AttributeEntry {
    name: String,
    title: String,
    look: String,
    #[serde(default)]
    aliases: Vec<String>,
    #[serde(default)]
    open: bool,
    #[serde(default)]
    complete: bool,
    #[serde(default)]
    values: Vec<ValueEntry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ValueEntry {
    name: String,
    plain: String,
    #[serde(default)]
    aliases: Vec<String>,
    #[serde(default)]
    phrases: Vec<String>,
}

/// Reads a vocabulary; the errors are those of [`Vocabulary::parse`].
pub(super) fn read(text: &str) -> Result<Vocabulary, VocabularyError> {
    let file: File = toml::from_str(text)?;
    let mut vocabulary = Vocabulary {
        attributes: Vec::with_capacity(file.attribute.len()),
        names: HashMap::new(),
        phrases: HashMap::new(),
        longest_phrase: 0,
    };
    for entry in file.attribute {
        add(&mut vocabulary, entry)?;
    }
    Ok(vocabulary)
}

fn add(vocabulary: &mut Vocabulary, mut entry: AttributeEntry) -> Result<(), VocabularyError> {
    let index = vocabulary.attributes.len();
    check_name(&entry.name)?;
    if !entry.open && entry.values.is_empty() {
        return Err(VocabularyError::NoValues(entry.name));
    }
    add_short_forms(&mut entry.values);
    for name in entry.aliases.iter().chain([&entry.name]) {
        claim(&mut vocabulary.names, name, index)?;
    }
    let mut spellings = HashMap::new();
    for (i, value) in entry.values.iter().enumerate() {
        check_value(value, entry.open)?;
        for spelling in value.aliases.iter().chain(&value.phrases).chain([&value.name, &value.plain]) {
            claim(&mut spellings, spelling, i)?;
        }
        for phrase in &value.phrases {
            claim(&mut vocabulary.phrases, phrase, (index, i))?;
            let words = phrase.split(|c: char| !c.is_alphanumeric()).count();
            vocabulary.longest_phrase = vocabulary.longest_phrase.max(words);
        }
    }
    let values =
        entry.values.into_iter().map(|value| Value { name: value.name, plain: value.plain }).collect();
    let AttributeEntry { name, title, look, open, complete, .. } = entry;
    vocabulary.attributes.push(Attribute { name, title, look, open, complete, values, spellings });
    Ok(())
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
fn check_value(value: &ValueEntry, open: bool) -> Result<(), VocabularyError> {
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
