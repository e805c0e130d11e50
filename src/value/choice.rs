//! One of a closed list of words, such as `always` or `ignition` for when a feed is hot.
//!
//! The list and the other words that people write for each come from the catalogue.

mod list;

pub use list::Choices;

use super::{Misread, Problem, Relation, Typed};
use crate::vehicle::names::nearest;

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
        let near = nearest(text, choices.spellings.iter().map(|(spelling, _)| &**spelling));
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
