//! Codes: the cavity of a connector, the slot of a fuse box, the name of a connector.
//!
//! Two spellings of one code are the same whatever the case, the blanks and the hyphens; the words that
//! people put before a code (`pin 2`, `fuse F12`) are not part of it. Nothing is known of what a code means.

use super::{Misread, Problem, Relation, Typed};

/// A code in its canonical spelling: capitals and digits, `F12`, `C110A`, `2`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code(String);

/// The longest code that is accepted, in characters: longer ones are sentences.
const LONGEST: usize = 24;

/// Words that stand before a code and are not part of it, and what the code is of where that is clear.
const LEADING: [(&str, Option<Lead>); 17] = [
    ("PIN", Some(Lead::Cavity)),
    ("PINS", Some(Lead::Cavity)),
    ("CAVITY", Some(Lead::Cavity)),
    ("CAV", Some(Lead::Cavity)),
    ("TERMINAL", Some(Lead::Cavity)),
    ("TERM", Some(Lead::Cavity)),
    ("SLOT", Some(Lead::Slot)),
    ("FUSE", Some(Lead::Slot)),
    ("POSITION", None),
    ("POS", None),
    ("CONNECTOR", Some(Lead::Connector)),
    ("CONN", Some(Lead::Connector)),
    ("PLUG", Some(Lead::Connector)),
    ("NUMBER", None),
    ("NO", None),
    ("NR", None),
    ("RELAY", None),
];

/// What a code is of, as the word before it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lead {
    /// One place of a connector.
    Cavity,
    /// A place for a fuse.
    Slot,
    /// The connector itself.
    Connector,
}

impl Code {
    /// Reads a code.
    ///
    /// # Errors
    /// Nothing there, a sentence, two codes (`2 or 3`), a doubt (`2?`).
    pub fn parse(text: &str) -> Result<Self, Misread> {
        let words: Vec<String> = words(text);
        if text.contains('?') || words.iter().any(|word| word == "OR" || word == "AND" || word == "MAYBE") {
            return Err(ambiguous(text, &words));
        }
        let code: String = without_leading(&words).concat();
        if code.is_empty() {
            return Err(Misread::new(
                Problem::Unreadable,
                format!("no code in '{text}'; write it like 'F12' or '2'"),
            ));
        }
        if code.chars().count() > LONGEST || !text.chars().all(may_stand_in_code) {
            return Err(Misread::new(
                Problem::Unreadable,
                format!(
                    "'{text}' is not a code; write letters and digits like 'F12' or 'C-110', the rest as a remark"
                ),
            ));
        }
        Ok(Self(code))
    }

    /// Whether a word, however it is written, announces a code, and of what.
    #[must_use]
    pub fn announced_by(word: &str) -> Option<Option<Lead>> {
        leading(&word.to_uppercase())
    }

    /// The canonical spelling.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn leading(word: &str) -> Option<Option<Lead>> {
    LEADING.iter().find(|(known, _)| *known == word).map(|(_, lead)| *lead)
}

fn words(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_uppercase)
        .collect()
}

/// Drops leading words as long as something that holds a digit or a single letter is left.
fn without_leading(words: &[String]) -> &[String] {
    let lead = words.iter().take_while(|word| leading(word).is_some()).count();
    if lead < words.len() { &words[lead..] } else { words }
}

fn may_stand_in_code(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, ' ' | '-' | '_' | '.' | '/' | '#' | ':' | '(' | ')')
}

fn ambiguous(text: &str, words: &[String]) -> Misread {
    let readings = without_leading(words)
        .iter()
        .filter(|word| !matches!(word.as_str(), "OR" | "AND" | "MAYBE"))
        .cloned()
        .collect();
    Misread::new(
        Problem::Ambiguous,
        format!("'{text}' could be more than one code; write one, or leave the field empty"),
    )
    .offering(readings)
}

impl std::fmt::Display for Code {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl Typed for Code {
    fn relation(&self, other: &Self) -> Relation {
        if self == other { Relation::Same } else { Relation::Different }
    }

    fn parts(&self) -> serde_json::Map<String, serde_json::Value> {
        serde_json::Map::from_iter([("code".to_owned(), self.0.clone().into())])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(text: &str, expected: &str) {
        let got = Code::parse(text)
            .map_or_else(|misread| format!("{:?}", misread.problem), |code| code.to_string());
        assert_eq!(got, expected, "reading {text:?}");
    }

    #[test]
    fn spellings_of_one_code_meet() {
        for (text, expected) in [
            ("F12", "F12"),
            ("f-12", "F12"),
            ("fuse F 12", "F12"),
            ("pin 2", "2"),
            ("#2", "2"),
            ("Cavity 14", "14"),
            ("C-110 (A)", "C110A"),
            ("connector c110", "C110"),
            ("pin", "PIN"),
        ] {
            check(text, expected);
        }
    }

    #[test]
    fn doubt_makes_no_code() {
        for (text, expected) in [
            ("2 or 3", "Ambiguous"),
            ("2?", "Ambiguous"),
            ("", "Unreadable"),
            ("--", "Unreadable"),
            ("the one next to the big relay, I think", "Unreadable"),
            ("F12=", "Unreadable"),
        ] {
            check(text, expected);
        }
    }
}
