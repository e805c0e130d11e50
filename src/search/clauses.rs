//! Parting a remark into clauses that mean the same by themselves as together, so that what each means is worked out
//! once: hands write the same clauses again and again.
//!
//! No phrase goes over a comma but a colour (`violet, no tracer`) or a place (`driver side, above the cable`). Where one
//! of the words beside the comma is of neither, a text can be parted there.

use super::cut::Cutter;
use crate::value::colour::Colour;

impl Cutter<'_> {
    /// The clauses of a text, which are all of it.
    pub(super) fn clauses<'t>(&self, text: &'t str) -> impl Iterator<Item = &'t str> {
        let bytes = text.as_bytes();
        let mark = |at: &usize| matches!(bytes[*at], b',' | b';' | b':') && bytes.get(at + 1) == Some(&b' ');
        let mut ends: Vec<usize> =
            (0..bytes.len()).filter(mark).filter(|at| self.parts_at(text, *at)).map(|at| at + 1).collect();
        ends.push(text.len());
        let mut start = 0;
        ends.into_iter().map(move |end| {
            let clause = &text[start..end];
            start = end;
            clause
        })
    }

    /// Whether no phrase can go over the mark at byte `at`, which is followed by a blank.
    fn parts_at(&self, text: &str, at: usize) -> bool {
        last_word(&text[..at]).is_some_and(|word| self.is_alone(word))
            || first_word(&text[at + 1..]).is_some_and(|word| self.is_alone(word))
    }

    /// Whether a word belongs to no colour and to no place.
    fn is_alone(&self, word: &str) -> bool {
        self.remembered_alone(word, || {
            let small = ["a", "an", "the", "and"].contains(&word.to_ascii_lowercase().as_str());
            let placed = || self.lexicon.words(word).iter().any(|word| self.lexicon.has(&word.key));
            !small && !Colour::has_word(&word.to_ascii_lowercase()) && !placed()
        })
    }
}

/// The word at the end, where it is of plain letters and nothing is glued to it.
fn last_word(text: &str) -> Option<&str> {
    let word = &text[text.rfind(' ').map_or(0, |blank| blank + 1)..];
    is_plain(word).then_some(word)
}

/// The same at the beginning, behind blanks.
fn first_word(text: &str) -> Option<&str> {
    let text = text.trim_start_matches(' ');
    let word = &text[..text.find([' ', ',', ';', ':']).unwrap_or(text.len())];
    is_plain(word).then_some(word)
}

fn is_plain(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_alphabetic())
}
