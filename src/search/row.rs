//! Words of a question that stand side by side in the remark of a note, in the same order: who remembers a remark word for
//! word means that note.
//!
//! The index knows no order of words, so only the notes that answer best by their meanings are looked at. How much words
//! in a row count is our own choice, no source.

use std::collections::HashSet;

use super::meaning::Meaning;
use super::question::{Asked, Question};
use crate::vehicle::names::fold;

/// So many words at least are a remark that is remembered, and no mere name.
const REMEMBERED: usize = 3;
/// What a question gains of all that it asks that stands in a remark as a whole: more than any note without it can.
const WHOLE: f32 = 1.0;
/// What it gains beside where it is the whole remark.
const NOTHING_ELSE: f32 = 0.1;
/// What it could gain at most where words are missing.
const PART: f32 = 0.5;

/// Words of the question that a remark has in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InARow {
    /// How many.
    pub words: usize,
    /// What the note gained by them.
    pub gained: f32,
}

/// What a word of the question tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tells {
    /// Nothing by itself.
    Nothing,
    /// Itself alone.
    Itself,
    /// A colour, a place, a point: what a value says better than a remark.
    Value,
}

/// The words of a question in their order, without those for a vehicle.
#[derive(Debug)]
pub(super) struct Row {
    words: Vec<(String, Tells)>,
    /// The score of a note that answers to everything in full.
    most: f32,
}

impl Row {
    /// Of the question as written and as understood.
    pub(super) fn new(text: &str, question: &Question, most: f32) -> Self {
        let of = |wanted: fn(&Asked) -> bool| -> HashSet<String> {
            let asked = question.asked.iter().filter(|asked| wanted(asked));
            asked.flat_map(|asked| folded(&asked.written).collect::<Vec<_>>()).collect()
        };
        let (vehicle, plain, all) = (of(is_of_vehicle), of(is_plain), of(|_| true));
        let tells = |word: String| {
            let tells = match () {
                () if plain.contains(&word) => Tells::Itself,
                () if all.contains(&word) => Tells::Value,
                () => Tells::Nothing,
            };
            (word, tells)
        };
        let words = folded(text).filter(|word| !vehicle.contains(word)).map(tells).collect();
        Self { words, most }
    }

    /// Whether there are words that can stand in a row at all.
    pub(super) fn is_worth_looking(&self) -> bool {
        let itself = self.words.iter().any(|(_, tells)| *tells == Tells::Itself);
        self.words.len() >= if itself { 2 } else { REMEMBERED }
    }

    /// The longest row of words that a remark has; none where it tells nothing that its single words do not.
    pub(super) fn in_remark(&self, remark: &str) -> Option<InARow> {
        let remark: Vec<String> = folded(remark).collect();
        let (start, words) = self.longest(&remark);
        let share = self.share(start, words, remark.len());
        (share > 0.0).then_some(InARow { words, gained: share * self.most })
    }

    /// What a row gains, as a share of all that is asked.
    fn share(&self, start: usize, words: usize, remark: usize) -> f32 {
        let row = &self.words[start..start + words];
        let count = |tells: Tells| row.iter().filter(|(_, own)| *own == tells).count();
        let (itself, free) = (count(Tells::Itself), words - count(Tells::Value));
        let (all_asked, all_said) = (words == self.words.len(), words == remark);
        // Names of places and points stand in a remark as well as in values, where they count more.
        let remembered = words >= REMEMBERED && (all_said || (all_asked && itself > 0 && 2 * free >= words));
        match () {
            () if remembered && all_asked && all_said => WHOLE + NOTHING_ELSE,
            () if remembered => WHOLE,
            () if all_asked && words >= REMEMBERED && itself > 0 => PART,
            () if words >= 2 && itself > 0 => PART * (free as f32 / self.words.len() as f32).powi(2),
            () => 0.0,
        }
    }

    /// Where the longest row begins among the words of the question, and how many it has.
    fn longest(&self, remark: &[String]) -> (usize, usize) {
        let mut best = (0, 0);
        // How long the row is that ends at each word of the remark.
        let mut ending = vec![0; remark.len() + 1];
        for (at, (word, _)) in self.words.iter().enumerate() {
            for said in (0..remark.len()).rev() {
                ending[said + 1] = if remark[said] == *word { ending[said] + 1 } else { 0 };
                if ending[said + 1] > best.1 {
                    best = (at + 1 - ending[said + 1], ending[said + 1]);
                }
            }
        }
        best
    }
}

fn folded(text: &str) -> impl Iterator<Item = String> {
    text.split_whitespace().map(fold).filter(|word| !word.is_empty())
}

fn is_plain(asked: &Asked) -> bool {
    matches!(asked.meanings[..], [Meaning::Word(_)])
}

fn is_of_vehicle(asked: &Asked) -> bool {
    matches!(asked.meanings.first(), Some(Meaning::Model(_) | Meaning::Make(_) | Meaning::Year(_)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A question of which the words in capitals tell values, and those of three letters or fewer nothing.
    fn row(question: &str) -> Row {
        let tells = |word: &str| match word {
            word if word.to_uppercase() == word => Tells::Value,
            word if word.len() <= 3 => Tells::Nothing,
            _ => Tells::Itself,
        };
        Row { words: question.split(' ').map(|word| (fold(word), tells(word))).collect(), most: 2.0 }
    }

    #[test]
    fn words_count_that_stand_side_by_side() {
        for (question, remark, expected) in [
            ("blinks no STOP on it", "Blinks, no stop on it", Some((5, 2.2))),
            ("blinks no STOP on it", "it blinks, no stop on it at all", Some((5, 2.0))),
            ("drover blinks no STOP on it", "blinks, no stop on it", Some((5, 2.0))),
            ("ABOVE BRAKE PEDAL", "above brake pedal", Some((3, 2.2))),
            ("ABOVE BRAKE PEDAL", "it is above brake pedal", None),
            ("KICK PANEL", "kick panel", None),
            ("wasp nest VIOLET WHITE", "a wasp nest", Some((2, 0.25))),
            ("nest wasp", "a wasp nest", None),
            ("wasp", "wasp", None),
            ("wasp nest", "", None),
        ] {
            let found = row(question).in_remark(remark).map(|row| (row.words, row.gained));
            assert_eq!(found, expected, "{question}: {remark}");
        }
    }
}
