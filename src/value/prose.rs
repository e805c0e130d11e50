//! Free words. They are kept as written, shown, searched, and never compared.

use std::borrow::Cow;

use super::{Misread, Problem, Relation, Typed};

/// Words as written, with runs of blanks made one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Prose(String);

impl Prose {
    /// Keeps the words of `text`.
    ///
    /// # Errors
    /// Nothing but blanks.
    pub fn parse(text: &str) -> Result<Self, Misread> {
        let words = tidy(text);
        if words.is_empty() {
            return Err(Misread::new(Problem::Unreadable, "nothing is written here"));
        }
        Ok(Self(words.into_owned()))
    }
}

/// Runs of blanks and line ends made one blank; nothing else changes.
#[must_use]
pub fn tidy(text: &str) -> Cow<'_, str> {
    if is_tidy(text) {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(word);
    }
    out.into()
}

/// Whether a text has single blanks only, told by its bytes: a text that may have others is not called tidy.
fn is_tidy(text: &str) -> bool {
    let bytes = text.as_bytes();
    let inner = bytes.get(1..).unwrap_or_default();
    // Every byte is looked at, without a way out: so many are looked at at once.
    let plain = bytes.iter().fold(true, |so_far, byte| so_far & (b' '..0x7f).contains(byte));
    let single = bytes.iter().zip(inner).fold(true, |so_far, (a, b)| so_far & !((*a == b' ') & (*b == b' ')));
    plain && single && bytes.first() != Some(&b' ') && bytes.last() != Some(&b' ')
}

impl std::fmt::Display for Prose {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl Typed for Prose {
    fn relation(&self, other: &Self) -> Relation {
        if self == other { Relation::Same } else { Relation::Unknown }
    }

    fn parts(&self) -> serde_json::Map<String, serde_json::Value> {
        serde_json::Map::from_iter([("words".to_owned(), self.0.clone().into())])
    }
}
