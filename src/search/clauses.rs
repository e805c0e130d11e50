//! Parting a remark into clauses that mean the same by themselves as together, so that what each means is worked out
//! once: hands write the same clauses again and again.
//!
//! No phrase goes over a comma but a colour (`violet, no tracer`) or a place (`driver side, above the cable`). Where one
//! of the words beside the comma is of neither, a text can be parted there.

use std::ops::RangeInclusive;

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

    /// All clauses of a text but the last, and the last.
    pub(super) fn last_clause<'t>(&self, text: &'t str) -> (&'t str, &'t str) {
        let bytes = text.as_bytes();
        let mark = |at: &usize| matches!(bytes[*at], b',' | b';' | b':') && bytes[*at + 1] == b' ';
        let mut marks = (0..bytes.len() - 1).rev().filter(mark);
        text.split_at(marks.find(|at| self.parts_at(text, *at)).map_or(0, |at| at + 1))
    }

    /// A clause that ends in a number of the shop's own papers, parted before that: `job 48213`. What such a clause
    /// means is the same whichever number it is, but for the terms that have the number in them.
    pub(super) fn numbered<'t>(&self, clause: &'t str) -> Option<(&'t str, &'t str)> {
        let (rest, number) = clause.split_at(clause.trim_end_matches(|c: char| c.is_ascii_digit()).len());
        let is_own =
            OWN_NUMBERS.contains(&number.len()) && number.as_bytes()[0] >= least_figure(number.len());
        let has_own = is_own && !self.names_end_in_numbers && rest.strip_suffix(' ').is_some_and(in_words);
        has_own.then_some((rest, number))
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

/// So many figures in a row are a number of the shop's own papers: no size and no name that comes with the program is
/// written so.
const OWN_NUMBERS: RangeInclusive<usize> = 4..=9;

/// The least figure with which a number of so many can begin and be no year.
fn least_figure(figures: usize) -> u8 {
    if figures == 4 { b'3' } else { b'1' }
}

/// Whether a text has no figures and ends in a word of plain letters.
fn in_words(text: &str) -> bool {
    last_word(text).is_some() && !text.bytes().any(|byte| byte.is_ascii_digit())
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::language::Language;
    use crate::value::place::DriveSide;

    #[test]
    fn remarks_are_parted_where_no_phrase_goes_on() {
        let language = Language::new(None, DriveSide::Lhd, jiff::civil::date(2025, 6, 1)).expect("built in");
        let cutter = Cutter::new(&language);
        for (text, expected) in [
            ("bare metal, easy to reach", "bare metal,| easy to reach"),
            ("violet, no tracer; tight fit", "violet, no tracer;| tight fit"),
            ("driver side, above the hood release", "driver side, above the hood release"),
            ("reads 12,4 V: steady", "reads 12,4 V:| steady"),
        ] {
            assert_eq!(cutter.clauses(text).collect::<Vec<_>>().join("|"), expected);
        }
    }

    #[test]
    fn numbers_of_the_shop_are_told_from_sizes_and_years() {
        let language = Language::new(None, DriveSide::Lhd, jiff::civil::date(2025, 6, 1)).expect("built in");
        let cutter = Cutter::new(&language);
        for (clause, expected) in [
            ("job 48213", Some(("job ", "48213"))),
            (" see no 48213", Some((" see no ", "48213"))),
            ("job 482", None),
            ("job 2016", None),
            ("job 4821", Some(("job ", "4821"))),
            ("job 08213", None),
            ("2 ft 48213", None),
            ("a-48213", None),
            ("48213", None),
            ("48213 again", None),
        ] {
            assert_eq!(cutter.numbered(clause), expected, "{clause}");
        }
    }
}
