//! One of a closed list of words, such as `always` or `ignition` for when a feed is hot.
//!
//! The list and the other words that people write for each come from the catalogue.

use std::collections::BTreeMap;

use super::{Misread, Problem, Relation, Typed};
use crate::vehicle::names::{fold, nearest};

/// The list of one field.
#[derive(Debug, Clone, Default)]
pub struct Choices {
    /// Folded spellings, sorted, with the place of their word in `words`.
    spellings: Vec<(String, usize)>,
    words: Vec<String>,
}

impl Choices {
    /// Builds the list from canonical words and their other spellings.
    ///
    /// # Errors
    /// A spelling that stands for two words.
    pub fn new(entries: BTreeMap<String, Vec<String>>) -> Result<Self, String> {
        let mut choices = Self::default();
        for (word, aliases) in entries {
            let own = choices.words.len();
            choices.spellings.extend(aliases.iter().chain([&word]).map(|spelling| (key(spelling), own)));
            choices.words.push(word);
        }
        choices.spellings.sort_unstable();
        choices.spellings.dedup();
        match choices.spellings.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            Some([(spelling, a), (_, b)]) => Err(format!(
                "writes '{spelling}' for both '{}' and '{}'",
                choices.words[*a], choices.words[*b]
            )),
            _ => Ok(choices),
        }
    }

    /// The word that a text spells.
    fn find(&self, text: &str) -> Option<&str> {
        self.spelt(&key(text))
    }

    /// The canonical word of a spelling that is folded already.
    #[must_use]
    pub fn spelt(&self, folded: &str) -> Option<&str> {
        let at = self.spellings.binary_search_by(|(spelling, _)| (**spelling).cmp(folded)).ok()?;
        Some(&self.words[self.spellings[at].1])
    }

    /// The spellings, folded, that begin like this, each with its canonical word.
    pub fn spelt_from<'a>(&'a self, beginning: &'a str) -> impl Iterator<Item = (&'a str, &'a str)> {
        let first = self.spellings.partition_point(|(spelling, _)| &**spelling < beginning);
        let found = self.spellings[first..].iter().take_while(move |(known, _)| known.starts_with(beginning));
        found.map(|(spelling, word)| (spelling.as_str(), self.words[*word].as_str()))
    }

    /// The canonical words.
    #[must_use]
    pub fn words(&self) -> &[String] {
        &self.words
    }
}

/// Signs such as `+` are words of the trade here; folding would leave nothing of them.
fn key(text: &str) -> String {
    let folded = fold(text);
    if folded.is_empty() { text.trim().to_owned() } else { folded }
}

/// One word of the list.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Choice(String);

impl Choice {
    /// Reads one of `choices`.
    ///
    /// # Errors
    /// A word that is not in the list, with the nearest that is; a doubt (`always?`, `always or ignition`).
    pub fn parse(text: &str, choices: &Choices) -> Result<Self, Misread> {
        if let Some(word) = choices.find(text) {
            if !text.contains('?') {
                return Ok(Self(word.to_owned()));
            }
            return Err(Misread::new(Problem::Ambiguous, format!("'{text}' is a doubt, not a value"))
                .offering(vec![word.to_owned()]));
        }
        let list = choices.words.join(", ");
        let near = nearest(text, choices.spellings.iter().map(|(spelling, _)| spelling.as_str()));
        let readings: Vec<String> =
            near.iter().filter_map(|spelling| choices.find(spelling).map(str::to_owned)).collect();
        let hint = readings.first().map_or(String::new(), |word| format!(" (nearest: '{word}')"));
        Err(Misread::new(Problem::Unreadable, format!("'{text}' is none of {list}{hint}")).offering(readings))
    }
}

impl std::fmt::Display for Choice {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl Typed for Choice {
    fn relation(&self, other: &Self) -> Relation {
        if self == other { Relation::Same } else { Relation::Different }
    }

    fn parts(&self) -> serde_json::Map<String, serde_json::Value> {
        serde_json::Map::from_iter([("choice".to_owned(), self.0.clone().into())])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signals() -> Choices {
        let list = [("positive", vec!["+", "switched positive"]), ("negative", vec!["-", "ground side"])];
        Choices::new(
            list.into_iter()
                .map(|(w, a)| (w.to_owned(), a.into_iter().map(str::to_owned).collect()))
                .collect(),
        )
        .expect("a list without double spellings")
    }

    fn check(text: &str, expected: &str) {
        let got = Choice::parse(text, &signals())
            .map_or_else(|misread| format!("{misread}"), |choice| choice.to_string());
        assert_eq!(got, expected, "reading {text:?}");
    }

    #[test]
    fn words_aliases_and_signs() {
        for (text, expected) in [
            ("positive", "positive"),
            (" Positive ", "positive"),
            ("+", "positive"),
            ("switched-positive", "positive"),
            ("-", "negative"),
            ("positve", "'positve' is none of negative, positive (nearest: 'positive')"),
            ("maybe", "'maybe' is none of negative, positive"),
        ] {
            check(text, expected);
        }
    }

    #[test]
    fn one_spelling_cannot_mean_two_words() {
        let list = [("a".to_owned(), vec!["x".to_owned()]), ("b".to_owned(), vec!["X".to_owned()])];
        assert!(Choices::new(list.into()).is_err());
    }
}
