//! The queries of the judged set: what somebody remembers of a note, put into words in seven ways.
//!
//! Each is made from the meaning of one note, in other words than that note has where there are any. What it is worth
//! to every note is `need`; how typing goes wrong is `slips`.

use std::collections::BTreeSet;

use crate::dice::Dice;
use crate::meaning::Note;
use crate::need::{Need, Wanted};
use crate::slips::Keyboard;
use crate::world::{PEOPLE, Scrap, scraps};

/// Of one class as many.
const OF_EACH: usize = 50;

/// What makes a query hard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    Synonym,
    Colour,
    Typing,
    Place,
    Vehicle,
    Units,
    Sentence,
}

impl Class {
    pub const ALL: [Self; 7] =
        [Self::Synonym, Self::Colour, Self::Typing, Self::Place, Self::Vehicle, Self::Units, Self::Sentence];

    pub fn name(self) -> &'static str {
        match self {
            Self::Synonym => "synonym",
            Self::Colour => "colour notation",
            Self::Typing => "typing error",
            Self::Place => "place words",
            Self::Vehicle => "vehicle mixed in",
            Self::Units => "units",
            Self::Sentence => "long sentence",
        }
    }

    /// What is remembered together, in turn.
    fn recipes(self) -> &'static [&'static [Part]] {
        use Part::{By, Choice, Code, Make, Model, Only, Place, Point, Scrap, Size, Slot, Wire, Year};
        match self {
            Self::Synonym => &[
                &[Place, Point],
                &[Point, Choice, Model],
                &[Wire, Place],
                &[Point, Code],
                &[Place, Choice],
                &[Make, Place, Point],
                &[Slot, Place],
                &[Point, Wire],
            ],
            Self::Colour => &[
                &[Wire],
                &[Wire, Point],
                &[Wire, Place],
                &[Model, Wire],
                &[Wire, Code],
                &[Point, Wire, Place],
                &[Wire, Make],
                &[Wire, Point, Year],
            ],
            Self::Typing => &[
                &[Place, Point],
                &[Wire, Place],
                &[Model, Point],
                &[Model, Year, Wire],
                &[Wire, Point],
                &[Make, Model, Place],
                &[Scrap],
                &[Size, Point, Model],
            ],
            Self::Place => &[
                &[Place, Point],
                &[Wire, Place],
                &[Place, Size],
                &[Model, Place],
                &[Place],
                &[Point, Place, Year],
                &[Make, Place, Point],
            ],
            Self::Vehicle => &[
                &[Model, Year, Wire],
                &[Year, Make, Model, Point],
                &[Model, Only, Point],
                &[Model, Year, Place],
                &[Point, Year, Model, Wire],
                &[Make, Year, Point, Wire],
                &[Model, Scrap],
                &[Model, By, Point],
                &[Year, Model, Point, Choice],
                &[Model, Code],
            ],
            Self::Units => &[
                &[Size, Point, Model],
                &[Place, Size],
                &[Size, Model],
                &[Point, Size, Make],
                &[Size, Place, Point],
                &[Year, Model, Size, Point],
                &[Slot, Size, Point],
            ],
            Self::Sentence => &[
                &[Point, Model, Year, Wire, Place],
                &[Wire, Place, Make],
                &[Point, Place, Size],
                &[Point, Model, Scrap],
                &[Model, Year, Point, Wire],
                &[By, Wire, Point, Place],
                &[Place, Scrap],
                &[Model, Point, Size],
            ],
        }
    }

    /// How many notes may mean all of it: more, and any of them would do.
    fn most(self) -> usize {
        if matches!(self, Self::Colour | Self::Place) { 30 } else { 14 }
    }
}

/// One thing that is remembered of a note.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Point,
    Wire,
    Place,
    Size,
    Choice,
    Code,
    Slot,
    Scrap,
    By,
    Make,
    Model,
    Year,
    Only,
}

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

    fn ask(&self, class: Class, recipe: &[Part], dice: &mut Dice) -> Option<Query> {
        let note = &self.notes[dice.below(self.notes.len())];
        let mut need = Need::default();
        let parts: Option<Vec<(Part, String)>> = recipe
            .iter()
            .map(|part| Some((*part, self.remembered(*part, class, note, &mut need, dice)?)))
            .collect();
        let parts = parts?;
        let text = match class {
            Class::Sentence => sentence(&parts, &need, dice),
            Class::Place | Class::Colour if recipe == [Part::Wire, Part::Place] && dice.happens(0.6) => {
                format!("the {} one {}", parts[0].1, parts[1].1)
            }
            _ => parts.iter().map(|(_, text)| text.as_str()).collect::<Vec<_>>().join(" "),
        };
        let text = if class == Class::Typing { self.keyboard.slip(&text, dice)? } else { text };
        Some(Query { class, text, need, for_tuning: false })
    }

    /// What is remembered of one part, in words; and what that asks for.
    fn remembered(
        &self,
        part: Part,
        class: Class,
        note: &Note,
        need: &mut Need,
        dice: &mut Dice,
    ) -> Option<String> {
        let meaning = &note.meaning;
        Some(match part {
            Part::Point => {
                need.point = Some(meaning.point);
                let others = if class == Class::Synonym { 1 } else { 0 };
                let known = meaning.point.asked;
                known[others + dice.below(known.len() - others)].to_owned()
            }
            Part::Wire => {
                need.wire = Some(meaning.wire?);
                let in_words = class == Class::Sentence;
                if in_words { meaning.wire?.said(dice) } else { meaning.wire?.asked(dice) }
            }
            Part::Place => return self.place(class, note, need, dice),
            Part::Size => {
                need.size = Some(meaning.sizes.first()?);
                need.size?.asked(dice).to_owned()
            }
            Part::Choice => {
                need.choice = Some(meaning.choices.first()?);
                dice.one_of(need.choice?.asked).to_owned()
            }
            Part::Code => {
                need.code = Some(meaning.code?);
                let (connector, cavity) = meaning.code?;
                let pin = dice.one_of(&["pin", "cavity", "terminal", "pin"]);
                format!(
                    "{} {pin} {cavity}",
                    dice.one_of(&[format!("C{connector}"), format!("c{connector}")].each_ref())
                )
            }
            Part::Slot => {
                need.slot = Some(meaning.slot?);
                format!("{} {}{}", dice.one_of(&["slot", "fuse"]), dice.one_of(&["F", "f"]), meaning.slot?)
            }
            Part::Scrap => {
                need.scrap = Some(meaning.scrap?);
                let remembered = &self.scraps[meaning.scrap?].remembered;
                dice.one_of(remembered).to_owned()
            }
            _ => return vehicle(part, note, need, dice),
        })
    }

    fn place(&self, class: Class, note: &Note, need: &mut Need, dice: &mut Dice) -> Option<String> {
        let (spot, rhd) = (note.meaning.spot?, note.meaning.rhd);
        let whole = class == Class::Place || class == Class::Sentence || dice.happens(0.7);
        if class == Class::Place && spot.side.is_none() && spot.relation.is_none() {
            return None;
        }
        let spot = if whole { spot } else { spot.coarser().unwrap_or(spot) };
        let text = spot.asked(note.cell("at"), rhd, dice);
        let by_driver = text.contains("driver") || text.contains("passenger");
        need.place = Some(Wanted { spot, rhd: by_driver.then_some(rhd) });
        Some(text)
    }
}

/// The vehicle or the person, as people name them.
fn vehicle(part: Part, note: &Note, need: &mut Need, dice: &mut Dice) -> Option<String> {
    let meaning = &note.meaning;
    let small =
        |name: &str, dice: &mut Dice| if dice.happens(0.7) { name.to_lowercase() } else { name.to_owned() };
    Some(match part {
        Part::Make => {
            need.make = Some(meaning.make);
            small(meaning.make, dice)
        }
        Part::Model => {
            need.model = Some(meaning.model);
            small(meaning.model, dice)
        }
        Part::Year => {
            let year = dice.between(meaning.years.0, meaning.years.1);
            need.year = Some(year);
            year.to_string()
        }
        Part::Only => {
            need.only = Some(meaning.only?);
            let words: &[&str] = match need.only? {
                ("tow", "yes") => &["tow package", "tow pkg"],
                ("tow", _) => &["no tow package", "without tow package"],
                ("cab", "crew") => &["crew", "crew cab", "double cab"],
                ("cab", _) => &["regular cab", "single cab"],
                ("fuel", "diesel") => &["diesel"],
                _ => &["petrol", "gasoline"],
            };
            dice.one_of(words).to_owned()
        }
        _ => {
            need.by = Some(meaning.by);
            let surname = PEOPLE[meaning.by].split(' ').next_back().unwrap_or_default();
            small(surname, dice)
        }
    })
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

/// A sentence that tells all parts, as one would ask a colleague.
fn sentence(parts: &[(Part, String)], need: &Need, dice: &mut Dice) -> String {
    let about = need.place.is_some_and(|wanted| wanted.spot.relation.is_some());
    let parts: Vec<String> = parts.iter().map(|(part, text)| clause(*part, text, about, dice)).collect();
    format!("{} {}", dice.one_of(&OPENINGS), parts.join(" "))
}

/// One part of a sentence; `about` where the place is told by what it is near to.
fn clause(part: Part, text: &str, about: bool, dice: &mut Dice) -> String {
    let before = match part {
        Part::Point => dice.one_of(&["we did the", "it was about the", "they asked for the"]),
        Part::Wire => dice.one_of(&["the wire was", "the colour turned out to be"]),
        Part::Place if about => dice.one_of(&["it sits", "you find it"]),
        Part::Place => dice.one_of(&["it was at the", "you get to it at the"]),
        Part::Size => "it came to",
        Part::Scrap => "with something like",
        Part::Year => "from",
        Part::Make | Part::Model => dice.one_of(&["on a", "on that", "in the"]),
        _ => return format!("{text} said that"),
    };
    format!("{before} {text}")
}
