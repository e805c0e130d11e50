//! What is remembered of a note, in words: one clue after the other, or a sentence of them.
//!
//! Every clue is put into what the query needs as well.

use crate::class::{Class, Clue};
use crate::dice::Dice;
use crate::meaning::Note;
use crate::need::{Need, Wanted};
use crate::world::{PEOPLE, Scrap};

/// A query in the making.
pub struct Draft<'a> {
    class: Class,
    note: &'a Note,
    scraps: &'a [Scrap],
    pub need: Need,
}

impl<'a> Draft<'a> {
    pub fn new(class: Class, note: &'a Note, scraps: &'a [Scrap]) -> Self {
        Self { class, note, scraps, need: Need::default() }
    }

    /// The words of a clue, where the note has it.
    pub fn put(&mut self, clue: Clue, dice: &mut Dice) -> Option<String> {
        match clue {
            Clue::Point => Some(self.point(dice)),
            Clue::Wire => self.wire(dice),
            Clue::Place => self.place(dice),
            Clue::Size => self.size(dice),
            Clue::Choice => self.choice(dice),
            Clue::Code => self.code(dice),
            Clue::Slot => self.slot(dice),
            Clue::Scrap => self.scrap(dice),
            Clue::By => Some(self.by(dice)),
            Clue::Make => Some(self.make(dice)),
            Clue::Model => Some(self.model(dice)),
            Clue::Year => Some(self.year(dice)),
            Clue::Only => self.only(dice),
        }
    }

    /// By its first name only where other names are not the point.
    fn point(&mut self, dice: &mut Dice) -> String {
        let kind = self.note.meaning.point;
        self.need.point = Some(kind);
        let skipped = usize::from(self.class == Class::Synonym);
        dice.one_of(&kind.asked[skipped..]).to_owned()
    }

    fn wire(&mut self, dice: &mut Dice) -> Option<String> {
        let wire = self.note.meaning.wire?;
        self.need.wire = Some(wire);
        if self.class == Class::Sentence {
            return Some(wire.said(dice));
        }
        let (text, other) = wire.asked(dice);
        self.need.or_wire = other;
        Some(text)
    }

    fn place(&mut self, dice: &mut Dice) -> Option<String> {
        let (spot, rhd) = (self.note.meaning.spot?, self.note.meaning.rhd);
        let bare = spot.side.is_none() && spot.relation.is_none();
        if self.class == Class::Place && bare {
            return None;
        }
        let whole = matches!(self.class, Class::Place | Class::Sentence) || dice.happens(0.7);
        let spot = if whole { spot } else { spot.coarser().unwrap_or(spot) };
        let text = spot.asked(self.note.cell("at"), rhd, dice);
        let by_driver = text.contains("driver") || text.contains("passenger");
        self.need.place = Some(Wanted { spot, rhd: by_driver.then_some(rhd) });
        Some(text)
    }

    fn size(&mut self, dice: &mut Dice) -> Option<String> {
        let size = self.note.meaning.sizes.first()?;
        self.need.size = Some(size);
        Some(size.asked(dice).to_owned())
    }

    fn choice(&mut self, dice: &mut Dice) -> Option<String> {
        let choice = self.note.meaning.choices.first()?;
        self.need.choice = Some(choice);
        Some(dice.one_of(choice.asked).to_owned())
    }

    fn code(&mut self, dice: &mut Dice) -> Option<String> {
        let (connector, cavity) = self.note.meaning.code?;
        self.need.code = Some((connector, cavity));
        let pin = dice.one_of(&["pin", "cavity", "terminal", "pin"]);
        Some(format!("{}{connector} {pin} {cavity}", dice.one_of(&["C", "c"])))
    }

    fn slot(&mut self, dice: &mut Dice) -> Option<String> {
        let slot = self.note.meaning.slot?;
        self.need.slot = Some(slot);
        Some(format!("{} {}{slot}", dice.one_of(&["slot", "fuse"]), dice.one_of(&["F", "f"])))
    }

    fn scrap(&mut self, dice: &mut Dice) -> Option<String> {
        let scrap = self.note.meaning.scrap?;
        self.need.scrap = Some(scrap);
        Some(dice.one_of(&self.scraps[scrap].remembered).to_owned())
    }

    fn by(&mut self, dice: &mut Dice) -> String {
        let by = self.note.meaning.by;
        self.need.by = Some(by);
        small(PEOPLE[by].split(' ').next_back().unwrap_or_default(), dice)
    }

    fn make(&mut self, dice: &mut Dice) -> String {
        let make = self.note.meaning.make;
        self.need.make = Some(make);
        small(make, dice)
    }

    fn model(&mut self, dice: &mut Dice) -> String {
        let model = self.note.meaning.model;
        self.need.model = Some(model);
        small(model, dice)
    }

    fn year(&mut self, dice: &mut Dice) -> String {
        let (from, to) = self.note.meaning.years;
        let year = dice.between(from, to);
        self.need.year = Some(year);
        year.to_string()
    }

    fn only(&mut self, dice: &mut Dice) -> Option<String> {
        let only = self.note.meaning.only?;
        self.need.only = Some(only);
        let words: &[&str] = match only {
            ("tow", "yes") => &["tow package", "tow pkg"],
            ("tow", _) => &["no tow package", "without tow package"],
            ("cab", "crew") => &["crew", "crew cab", "double cab"],
            ("cab", _) => &["regular cab", "single cab"],
            ("fuel", "diesel") => &["diesel"],
            _ => &["petrol", "gasoline"],
        };
        Some(dice.one_of(words).to_owned())
    }
}

/// A name as people type it.
fn small(name: &str, dice: &mut Dice) -> String {
    if dice.happens(0.7) { name.to_lowercase() } else { name.to_owned() }
}

const OPENINGS: [&str; 8] = [
    "I am looking for that note where",
    "does anybody remember where",
    "somebody wrote down a while ago that",
    "I have one of these in the bay again and I think",
    "the customer is waiting and I cannot find what we noted,",
    "which one was it when",
    "a colleague told me over lunch that",
    "it must be written somewhere in the book that",
];

/// A sentence of all clues, as one would ask a colleague.
pub fn sentence(clues: &[(Clue, String)], need: &Need, dice: &mut Dice) -> String {
    let about = need.place.is_some_and(|wanted| wanted.spot.relation.is_some());
    let clauses: Vec<String> = clues.iter().map(|(clue, text)| clause(*clue, text, about, dice)).collect();
    format!("{} {}", dice.one_of(&OPENINGS), clauses.join(" "))
}

/// One clue in a sentence; `about` where the place is told by what it is near to.
fn clause(clue: Clue, text: &str, about: bool, dice: &mut Dice) -> String {
    let before = match clue {
        Clue::Point => dice.one_of(&["we did the", "it was about the", "they asked for the"]),
        Clue::Wire => dice.one_of(&["the wire was", "the colour turned out to be"]),
        Clue::Place if about => dice.one_of(&["it sits", "you find it"]),
        Clue::Place => dice.one_of(&["it was at the", "you get to it at the"]),
        Clue::Size => "it came to",
        Clue::Scrap => "with something like",
        Clue::Year => "from",
        Clue::Make | Clue::Model => dice.one_of(&["on a", "on that", "in the"]),
        _ => return format!("{text} said that"),
    };
    format!("{before} {text}")
}
