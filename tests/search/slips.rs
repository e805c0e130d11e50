//! How typing goes wrong: letters left out, doubled, swapped or taken from the next key.
//!
//! Only in words of five letters and more, never in the first letter, and never so that another word comes of it that
//! somebody could have meant.

use std::collections::BTreeSet;

use crate::dice::Dice;
use crate::meaning::Note;

/// Letters that lie side by side.
const ROWS: [&str; 3] = ["qwertyuiop", "asdfghjkl", "zxcvbnm"];

/// Words shorter than this are typed right.
const LEAST: usize = 5;

pub struct Keyboard {
    /// All words that mean something.
    known: BTreeSet<String>,
}

impl Keyboard {
    pub fn new(notes: &[Note]) -> Self {
        let schema = [
            include_str!("../../schema/lexicon.toml"),
            include_str!("../../schema/points.toml"),
            include_str!("../../schema/vehicle.toml"),
        ];
        let cells = notes.iter().flat_map(|note| note.row.values()).map(String::as_str);
        let words = schema.into_iter().chain(cells).flat_map(|text| text.split(|c: char| !c.is_alphabetic()));
        Self { known: words.map(str::to_lowercase).collect() }
    }

    /// The text with one slip, or two in different words; `None` where no word is long enough.
    pub fn slip(&self, text: &str, dice: &mut Dice) -> Option<String> {
        let once = self.slip_once(text, "", dice)?;
        if !dice.happens(0.35) {
            return Some(once.0);
        }
        Some(self.slip_once(&once.0, &once.1, dice).unwrap_or(once).0)
    }

    /// The text and the word that went wrong, which is not the one that did before.
    fn slip_once(&self, text: &str, before: &str, dice: &mut Dice) -> Option<(String, String)> {
        let words = text.split(|c: char| !c.is_ascii_alphabetic());
        let long: Vec<&str> = words.filter(|word| word.len() >= LEAST && *word != before).collect();
        if long.is_empty() {
            return None;
        }
        let word = dice.one_of(&long);
        let wrong = (0..40)
            .map(|_| mistyped(word, dice))
            .find(|wrong| !self.known.contains(&wrong.to_lowercase()))?;
        Some((text.replacen(word, &wrong, 1), wrong))
    }
}

fn mistyped(word: &str, dice: &mut Dice) -> String {
    let mut letters: Vec<char> = word.chars().collect();
    let at = 1 + dice.below(letters.len() - 1);
    match dice.below(4) {
        0 => drop(letters.remove(at)),
        1 => letters.insert(at, letters[at]),
        2 => letters[at] = beside(letters[at], dice),
        _ => {
            let first = at.min(letters.len() - 2).max(1);
            letters.swap(first, first + 1);
        }
    }
    letters.into_iter().collect()
}

/// A letter from a key beside that of `letter`.
fn beside(letter: char, dice: &mut Dice) -> char {
    let row = ROWS.iter().find(|row| row.contains(letter.to_ascii_lowercase()));
    let row: Vec<char> = row.map_or_else(|| vec!['x'], |row| row.chars().collect());
    let at = row.iter().position(|key| *key == letter.to_ascii_lowercase()).unwrap_or(0);
    if at == 0 || (at + 1 < row.len() && dice.happens(0.5)) { row[(at + 1) % row.len()] } else { row[at - 1] }
}
