//! The queries of the judged set: what somebody remembers of a note, put into words in seven ways.
//!
//! Each is made from the meaning of one note, in other words than that note has where there are any. What is remembered
//! together is `class`, its words are `clue`; how typing goes wrong is `slips`, what a note is worth to it `need`.

use std::collections::BTreeSet;

use crate::class::{Class, Clue};
use crate::clue::{Draft, sentence};
use crate::dice::Dice;
use crate::meaning::Note;
use crate::need::Need;
use crate::slips::Keyboard;
use crate::world::{Scrap, scraps};

/// Of one class as many.
const OF_EACH: usize = 50;

/// A query, what it asks for, and on which half it stands.
#[derive(Debug)]
pub struct Query {
    pub class: Class,
    pub text: String,
    pub need: Need,
    /// Whether it may be looked at while the program is changed; the others are reported.
    pub for_tuning: bool,
}

/// FNV-1a, 64 bit.
fn hash(text: &str) -> u64 {
    let step = |hash: u64, byte: u8| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
    text.bytes().fold(0xcbf2_9ce4_8422_2325, step)
}

/// All queries on these notes.
pub fn queries(notes: &[Note], dice: &mut Dice) -> Vec<Query> {
    let desk = Desk { notes, scraps: scraps(), keyboard: Keyboard::new(notes) };
    Class::ALL.into_iter().flat_map(|class| desk.of(class, dice)).collect()
}

struct Desk<'a> {
    notes: &'a [Note],
    scraps: Vec<Scrap>,
    keyboard: Keyboard,
}

impl Desk<'_> {
    fn of(&self, class: Class, dice: &mut Dice) -> Vec<Query> {
        let (mut found, mut known) = (Vec::new(), BTreeSet::new());
        for recipe in class.recipes().iter().cycle() {
            let query =
                (0..400).find_map(|_| self.ask(class, recipe, dice).filter(|query| self.telling(query)));
            let query = query.unwrap_or_else(|| panic!("no note is remembered by {recipe:?}"));
            if known.insert(query.text.clone()) {
                found.push(query);
            }
            if found.len() == OF_EACH {
                break;
            }
        }
        // Halves of one size, by the hash of the words.
        found.sort_by_key(|query| hash(&query.text));
        found.iter_mut().step_by(2).for_each(|query| query.for_tuning = true);
        found
    }

    /// Whether some notes mean all of it, and not so many that any of them would do.
    fn telling(&self, query: &Query) -> bool {
        let right = self.notes.iter().filter(|note| query.need.grade(&note.meaning) == 3).count();
        (1..=query.class.most()).contains(&right)
    }

    fn ask(&self, class: Class, recipe: &[Clue], dice: &mut Dice) -> Option<Query> {
        let note = &self.notes[dice.below(self.notes.len())];
        let mut draft = Draft::new(class, note, &self.scraps);
        let clues: Option<Vec<(Clue, String)>> =
            recipe.iter().map(|clue| Some((*clue, draft.put(*clue, dice)?))).collect();
        let (clues, need) = (clues?, draft.need);
        let text = match class {
            Class::Sentence => sentence(&clues, &need, dice),
            Class::Place | Class::Colour if recipe == [Clue::Wire, Clue::Place] && dice.happens(0.6) => {
                format!("the {} one {}", clues[0].1, clues[1].1)
            }
            _ => clues.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" "),
        };
        let text = if class == Class::Typing { self.keyboard.slip(&text, dice)? } else { text };
        Some(Query { class, text, need, for_tuning: false })
    }
}
