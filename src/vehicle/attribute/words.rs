//! Recognises attributes among free words: a heading, a lookup, a line that narrows its scope.
//!
//! Only phrases of the vocabulary and `name=value` are recognised, longest first. What is denied
//! ("not crew") is left alone. Years, makes and models are the caller's.

use std::ops::Range;

use super::super::names::fold;
use super::{Attribute, Vocabulary};
use crate::schema::meaning;
use crate::value::Misread;

/// Words, folded, that deny the phrase behind them: `no tow package`, `w/o tow package`.
const DENIALS: [&str; 6] = ["no", "not", "non", "without", "wo", "wout"];
/// Small words, folded, that belong to the phrase behind them.
const JOINTS: [&str; 5] = ["with", "w", "and", "the", "a"];

/// A value that was recognised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FoundValue {
    /// The canonical name of the attribute.
    pub attribute: String,
    /// The canonical value.
    pub value: String,
    /// The indices of the words that said so.
    pub words: Range<usize>,
}

/// What was understood of free words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WordsRead {
    /// In the order of the words; one attribute may be found twice, with two values.
    pub found: Vec<FoundValue>,
    /// The indices of the words that were not understood, in order.
    pub left: Vec<usize>,
    /// What is wrong with words of the form `name=value`; those words are left, too.
    pub problems: Vec<Misread>,
}

impl Vocabulary {
    /// Recognises attributes among free words: `crew`, `tow package`, `no tow package`,
    /// `right-hand drive`, `cab=crew`. The longest phrase counts; `with` and the like before a
    /// phrase go with it; a denied phrase is recognised only where the attribute is yes or no.
    #[must_use]
    pub fn read_words(&self, words: &[&str]) -> WordsRead {
        let folded: Vec<String> = words.iter().map(|word| fold(word)).collect();
        let mut read = WordsRead::default();
        let mut at = 0;
        while at < words.len() {
            at = self.read_at(words, &folded, at, &mut read);
        }
        read
    }

    /// Reads what starts at word `at` and returns where to go on.
    fn read_at(&self, words: &[&str], folded: &[String], at: usize, read: &mut WordsRead) -> usize {
        if words[at].contains('=') {
            self.read_qualifier_word(words[at], at, read);
            return at + 1;
        }
        let denied = DENIALS.contains(&folded[at].as_str());
        let start = after_joints(folded, if denied { at + 1 } else { at });
        let Some((attribute, value, end)) = self.phrase_at(folded, start) else {
            read.left.push(at);
            return at + 1;
        };
        match if denied { opposite(attribute, value) } else { Some(value) } {
            Some(value) => read.found.push(FoundValue {
                attribute: attribute.name.to_string(),
                value: value.to_owned(),
                words: at..end,
            }),
            None => read.left.extend(at..end),
        }
        end
    }

    fn read_qualifier_word(&self, word: &str, at: usize, read: &mut WordsRead) {
        match self.read_one_value(word) {
            Ok((attribute, value)) => read.found.push(FoundValue { attribute, value, words: at..at + 1 }),
            Err(misread) => {
                read.problems.push(misread);
                read.left.push(at);
            }
        }
    }

    /// The longest phrase that starts at `start`: attribute, value, and the word after it.
    fn phrase_at(&self, folded: &[String], start: usize) -> Option<(&Attribute, &str, usize)> {
        let mut key = String::new();
        let mut longest = None;
        for (i, word) in folded.iter().enumerate().skip(start).take(self.longest_phrase) {
            key.push_str(word);
            // A phrase starts and ends with a word that has letters or digits.
            if word.is_empty() && key.is_empty() {
                return None;
            }
            if let Some((attribute, value)) = meaning(&self.phrases, &key).filter(|_| !word.is_empty()) {
                let attribute = &self.attributes[attribute];
                longest = Some((attribute, &*attribute.values[value].name, i + 1));
            }
        }
        longest
    }
}

/// The first word from `at` that is no joint.
fn after_joints(folded: &[String], at: usize) -> usize {
    at + folded[at..].iter().take_while(|word| JOINTS.contains(&word.as_str())).count()
}

/// What a denied value means, where the attribute is yes or no.
fn opposite<'a>(attribute: &'a Attribute, value: &str) -> Option<&'a str> {
    attribute.values.iter().find(|known| value == "yes" && known.name == "no").map(|known| &*known.name)
}

#[cfg(test)]
mod tests {
    use super::Vocabulary;
    use proptest::prelude::*;

    /// `cab=crew tow=yes / the words left`
    fn read(text: &str) -> String {
        let words: Vec<&str> = text.split_whitespace().collect();
        let read = Vocabulary::builtin().read_words(&words);
        let found: Vec<String> = read.found.iter().map(|f| format!("{}={}", f.attribute, f.value)).collect();
        let left: Vec<&str> = read.left.iter().map(|&i| words[i]).collect();
        format!("{} / {}", found.join(" "), left.join(" "))
    }

    #[test]
    fn attributes_among_free_words() {
        let check = |text: &str, expected: &str| assert_eq!(read(text), expected, "{text}");
        check("2016 quillon tarn crew", "cab=crew / 2016 quillon tarn");
        check("2016 Quillon Tarn Crew Cab tow package", "cab=crew tow=yes / 2016 Quillon Tarn");
        check("tarn CREWCAB", "cab=crew / tarn");
        check("no tow package", "tow=no / ");
        check("without factory tow", "tow=no / ");
        check("without the tow package", "tow=no / ");
        check("w/o tow package, crew cab", "tow=no cab=crew / ");
        check("tarn with LED lamps only", "lamps=led / tarn only");
        check("with the tow package and push button start", "tow=yes start=push-button / ");
        check("push-button start", "start=push-button / ");
        check("right-hand drive", "drive=rhd / ");
        check("right hand drive four wheel drive", "drive=rhd driven=4wd / ");
        check("gas 4x4", "fuel=petrol driven=4wd / ");
        check("plug-in hybrid", "fuel=plug-in-hybrid / ");
        check("van passenger van", "body=van body=passenger-van / ");
        check("cab=crew tow=yes", "cab=crew tow=yes / ");
        check("crew or extended cab", "cab=crew cab=extended / or");
        check("", " / ");
    }

    #[test]
    fn what_is_denied_or_half_said_is_left() {
        let check = |text: &str, expected: &str| assert_eq!(read(text), expected, "{text}");
        check("not crew cab", " / not crew cab");
        check("not the crew cab, diesel", "fuel=diesel / not the crew cab,");
        check("with a trailer", " / with a trailer");
        check("no", " / no");
        check("package", " / package");
        check("cab=crow trim=", " / cab=crow trim=");
        check("- -", " / - -");
    }

    #[test]
    fn problems_of_qualifiers_are_told() {
        let read = Vocabulary::builtin().read_words(&["cab=crow", "colour=red"]);
        assert_eq!(read.problems.len(), 2);
        assert!(read.problems[0].message.contains("nearest: crew"), "{}", read.problems[0]);
    }

    proptest! {
        #[test]
        fn every_word_is_found_or_left(words in prop::collection::vec("(no|not|crew|cab|tow|package|with|led|=|\\PC{0,4})", 0..9)) {
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let read = Vocabulary::builtin().read_words(&words);
            let mut seen: Vec<usize> = read.found.iter().flat_map(|f| f.words.clone()).chain(read.left).collect();
            seen.sort_unstable();
            prop_assert_eq!(seen, (0..words.len()).collect::<Vec<_>>());
        }
    }
}
