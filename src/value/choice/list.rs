//! The closed list of words of one field, with the other words that people write for each.
//!
//! It is compiled twice: into `schema/build.rs`, which makes the lists that come with the program, and into the program,
//! where a shop's own are made.

use std::borrow::Cow;
use std::collections::BTreeMap;

use crate::schema::{List, Sorted, Text, meaning};
use crate::vehicle::names::fold;

/// The list of one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choices {
    /// Folded spellings with the place of their word in `words`.
    pub(super) spellings: Sorted<usize>,
    pub(super) words: List<Text>,
}

impl Choices {
    /// A list that was made already.
    pub(crate) const fn of(spellings: Sorted<usize>, words: List<Text>) -> Self {
        Self { spellings, words }
    }

    /// Builds the list from canonical words and their other spellings.
    ///
    /// # Errors
    /// A spelling that stands for two words.
    pub fn new(entries: BTreeMap<String, Vec<String>>) -> Result<Self, String> {
        let (mut spellings, mut words) = (BTreeMap::new(), Vec::<Text>::new());
        for (word, aliases) in entries {
            let own = words.len();
            words.push(word.into());
            for spelling in aliases.iter().map(|alias| &**alias).chain([&*words[own]]) {
                match spellings.insert(key(spelling), own) {
                    Some(other) if other != own => {
                        let [one, two] = [&words[other], &words[own]];
                        return Err(format!("writes '{}' for both '{one}' and '{two}'", key(spelling)));
                    }
                    _ => {}
                }
            }
        }
        let spellings = spellings.into_iter().map(|(spelling, word)| (Cow::Owned(spelling), word)).collect();
        Ok(Self { spellings, words: words.into() })
    }

    /// The word that a text spells.
    pub(super) fn find(&self, text: &str) -> Option<&str> {
        self.spelt(&key(text))
    }

    /// The canonical word of a spelling that is folded already.
    #[must_use]
    pub fn spelt(&self, folded: &str) -> Option<&str> {
        meaning(&self.spellings, folded).map(|word| &*self.words[word])
    }

    /// The spellings, folded, that begin like this, each with its canonical word.
    pub fn spelt_from<'a>(&'a self, beginning: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
        let first = self.spellings.partition_point(|(spelling, _)| &**spelling < beginning);
        let found = self.spellings[first..].iter().take_while(move |(known, _)| known.starts_with(beginning));
        found.map(|(spelling, word)| (&**spelling, &*self.words[*word]))
    }

    /// The canonical words.
    #[must_use]
    pub fn words(&self) -> &[Text] {
        &self.words
    }
}

/// Signs such as `+` are words of the trade here; folding would leave nothing of them.
fn key(text: &str) -> String {
    let folded = fold(text);
    if folded.is_empty() { text.trim().to_owned() } else { folded }
}
