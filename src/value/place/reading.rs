//! Turns the pieces that the lexicon read from a text into the elements of a place: which side
//! and which relation belongs to which part. What cannot be told is refused here, never guessed.

use super::{DriveSide, Element, Elements, Place, Standing, Subject, order};
use crate::value::lexicon::{Concept, ConceptId, Gap, Kind, Lexicon, Piece, Side, Sides, What};
use crate::value::{Misread, Problem};

/// The longest text that is read, in bytes. A place is a phrase, not a story.
const LONGEST: usize = 1000;

/// Words that leave open which place is meant.
const DOUBTS: [&str; 6] = ["or", "either", "maybe", "perhaps", "possibly", "probably"];

/// Words that say where it is not.
const DENIALS: [&str; 18] = [
    "not", "no", "never", "none", "isnt", "arent", "wasnt", "dont", "doesnt", "cannot", "cant", "without",
    "except", "unless", "avoid", "instead", "rather", "neither",
];

/// What a text is read with.
#[derive(Clone, Copy)]
struct With<'a> {
    lexicon: &'a Lexicon,
    drive: DriveSide,
    /// Whether a refusal offers readings. Those are read without, so that it ends there.
    offering: bool,
}

impl With<'_> {
    fn offer(self, text: &str) -> Option<Place> {
        self.offering.then(|| once(text, Self { offering: false, ..self }).ok()).flatten()
    }
}

/// Reads a place, and makes sure that its canonical text means the same when it is read again.
pub(super) fn place(text: &str, lexicon: &Lexicon, drive: DriveSide) -> Result<Place, Misread> {
    let place = once(text, With { lexicon, drive, offering: true })?;
    match once(&place.text, With { lexicon, drive: DriveSide::Either, offering: false }) {
        Ok(again) if again.elements == place.elements => Ok(place),
        Ok(again) => Err(two_ways(text, vec![again.text.into_string()])),
        Err(_) => Err(two_ways(text, Vec::new())),
    }
}

fn two_ways(text: &str, readings: Vec<String>) -> Misread {
    let message = format!("“{text}” can be read in more than one way; write the parts apart, with commas");
    Misread::new(Problem::Ambiguous, message).offering(readings)
}

fn once(text: &str, with: With) -> Result<Place, Misread> {
    refuse_unreadable(text)?;
    let pieces = with.lexicon.read(text);
    refuse_doubt(text, &pieces, with)?;
    let elements = Reader::new(text, with).all(&pieces)?;
    let unclear =
        |order::Clash(why)| Misread::new(Problem::Ambiguous, format!("“{text}” contradicts itself: {why}"));
    let elements = order::canonical(with.lexicon.table(), elements).map_err(unclear)?;
    if elements == Elements::default() {
        let message = format!("“{text}” names no place; write a part, such as “left kick panel”");
        return Err(Misread::new(Problem::Unreadable, message));
    }
    Ok(Place::new(with.lexicon.table().clone(), elements))
}

fn refuse_unreadable(text: &str) -> Result<(), Misread> {
    let unreadable = |message: String| Err(Misread::new(Problem::Unreadable, message));
    if text.len() > LONGEST {
        return unreadable(format!("a place of {} bytes is not read; at most {LONGEST} are", text.len()));
    }
    if text.chars().any(is_hidden) {
        return unreadable("the place holds control characters; write it in plain letters".to_owned());
    }
    Ok(())
}

/// Control characters, and the invisible ones that turn or hide text.
fn is_hidden(c: char) -> bool {
    let blank = matches!(c, '\t' | '\n' | '\r');
    let invisible = matches!(c, '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}');
    (c.is_control() && !blank) || invisible
}

fn refuse_doubt(text: &str, pieces: &[Piece<'_>], with: With) -> Result<(), Misread> {
    let ambiguous = |message: String| Misread::new(Problem::Ambiguous, message);
    for piece in pieces {
        let What::Word(word) = &piece.what else { continue };
        if DENIALS.contains(&&**word) {
            return Err(ambiguous(format!(
                "“{text}” says “{word}”: where it is not tells no place; write where it is"
            )));
        }
        if DOUBTS.contains(&&**word) {
            let halves = [&text[..piece.span.start], &text[piece.span.end..]];
            let message = format!("“{text}” says “{word}”: which place is it? Write one");
            return Err(ambiguous(message).offering(readings(halves, with)));
        }
    }
    if text.contains('?') {
        return Err(ambiguous(format!(
            "“{text}” has a question mark; write the place without it once it is sure"
        )));
    }
    Ok(())
}

/// Both halves of `A or B`, where each of them names a part.
fn readings(halves: [&str; 2], with: With) -> Vec<String> {
    let named = |half: &str| with.offer(half).filter(|place| !place.elements.parts.is_empty());
    match halves.map(named) {
        [Some(a), Some(b)] => vec![a.text.into_string(), b.text.into_string()],
        _ => Vec::new(),
    }
}

/// One thing of a run of words that nothing parts.
enum Item {
    Sides(Sides),
    Part(ConceptId),
    Words(String),
}

/// Reads pieces one by one. A run of them ends at a comma, a relation or an `and`; then its sides
/// are given to its parts.
struct Reader<'a> {
    text: &'a str,
    with: With<'a>,
    found: Elements,
    run: Vec<Item>,
    /// Whether the next unknown word continues the last one of the run.
    words_open: bool,
    /// The relation that the coming parts are landmarks of.
    relation: Option<ConceptId>,
    /// Whether that relation still has no landmark.
    dangling: bool,
    /// Sides before an `and`, for the part after it: `between the left and the right seat`.
    shared: Vec<Sides>,
    /// Sides that stood without a part, with the number of parts that were named before them.
    loose: Vec<(usize, Sides)>,
}

impl<'a> Reader<'a> {
    fn new(text: &'a str, with: With<'a>) -> Self {
        Self {
            text,
            with,
            found: Elements::default(),
            run: Vec::new(),
            words_open: false,
            relation: None,
            dangling: false,
            shared: Vec::new(),
            loose: Vec::new(),
        }
    }

    fn all(mut self, pieces: &[Piece<'_>]) -> Result<Elements, Misread> {
        for (at, piece) in pieces.iter().enumerate() {
            let before = at.checked_sub(1).map(|at| &pieces[at]);
            self.piece(piece, before)?;
        }
        self.end()?;
        self.place_loose();
        Ok(self.found)
    }

    fn piece(&mut self, piece: &Piece<'_>, before: Option<&Piece<'_>>) -> Result<(), Misread> {
        if piece.gap >= Gap::Slash {
            self.end()?;
        }
        match &piece.what {
            What::Word(word) if word == "and" || word == "&" || word == "+" => self.end_run(),
            What::Word(word) => self.word(word, piece.gap),
            What::Concept(id) => {
                let concept = self.with.lexicon.concept(*id);
                self.words_open = false;
                match concept.kind() {
                    Kind::Component | Kind::Landmark => self.part(*id, piece.gap),
                    Kind::Side => self.run.push(Item::Sides(resolved(concept.sides(), self.with.drive))),
                    Kind::Relation => self.start(*id, concept, piece, before)?,
                    Kind::Filler => {}
                }
            }
        }
        Ok(())
    }

    fn word(&mut self, word: &str, gap: Gap) {
        let open = self.words_open && gap <= Gap::Hyphen;
        self.words_open = true;
        match self.run.last_mut() {
            Some(Item::Words(words)) if open => {
                words.push(' ');
                words.push_str(word);
            }
            _ => self.run.push(Item::Words(word.to_owned())),
        }
    }

    /// A part; in `under-dash connector` the hyphen says that the relation ends with the dash.
    fn part(&mut self, id: ConceptId, gap: Gap) {
        let modifier = self.dangling && self.run.is_empty() && gap == Gap::Hyphen;
        self.run.push(Item::Part(id));
        if modifier {
            self.end_run();
            self.relation = None;
        }
    }

    fn start(
        &mut self,
        id: ConceptId,
        concept: &Concept,
        piece: &Piece<'_>,
        before: Option<&Piece<'_>>,
    ) -> Result<(), Misread> {
        if piece.gap < Gap::Slash && before.is_some_and(|before| self.is_bare_right(before)) {
            return Err(self.right_or_directly(piece));
        }
        self.end()?;
        self.relation = (!concept.is_neutral()).then_some(id);
        self.dangling = self.relation.is_some();
        Ok(())
    }

    fn is_bare_right(&self, piece: &Piece<'_>) -> bool {
        piece.gap != Gap::Article && self.text[piece.span.clone()].eq_ignore_ascii_case("right")
    }

    /// `right above` may say the right side or `directly above`; `on the right above` is clear.
    fn right_or_directly(&self, piece: &Piece<'_>) -> Misread {
        let relation = &self.text[piece.span.clone()];
        let message = format!(
            "“{}”: “right {relation}” may mean the right side or “directly {relation}”; \
             write “right side, {relation}” or leave “right” out",
            self.text
        );
        let rest = &self.text[piece.span.start..];
        let read = |text: &str| self.with.offer(text).map(|place| place.text.into_string());
        let readings = [read(&format!("right side, {rest}")), read(rest)];
        Misread::new(Problem::Ambiguous, message).offering(readings.into_iter().flatten().collect())
    }

    /// Ends the run and the relation that it stood in.
    fn end(&mut self) -> Result<(), Misread> {
        self.end_run();
        let shared = std::mem::take(&mut self.shared);
        if let Some(relation) = self.relation.take().filter(|_| self.dangling) {
            let relation = self.with.lexicon.concept(relation).name();
            let message = format!("“{}” says “{relation}” but not of what; name the part", self.text);
            return Err(Misread::new(Problem::Ambiguous, message));
        }
        let named = self.found.parts.len();
        self.loose.extend(shared.into_iter().map(|sides| (named, sides)));
        self.words_open = false;
        Ok(())
    }

    /// Gives the sides of the run to its parts, and adds those to the place.
    fn end_run(&mut self) {
        self.words_open = false;
        let run = std::mem::take(&mut self.run);
        let (mut elements, left_over) = dealt(run);
        if let Some(first) = elements.first().map(|element| element.subject.clone()) {
            let shared = self.shared.drain(..).map(|sides| Element { subject: first.clone(), sides });
            elements.extend(shared);
        }
        if !left_over.is_empty() {
            self.shared.push(left_over);
        }
        self.add(elements);
    }

    fn add(&mut self, elements: Vec<Element>) {
        match self.relation {
            Some(relation) => {
                self.dangling &= elements.is_empty();
                self.found.standings.extend(elements.into_iter().map(|to| Standing { relation, to }));
            }
            None => self.found.parts.extend(elements),
        }
    }

    /// Sides that stood by themselves belong to the part named before them, else to the one after,
    /// else to no part.
    fn place_loose(&mut self) {
        for (named, sides) in std::mem::take(&mut self.loose) {
            match self.nearest(named).and_then(|at| self.found.parts.get_mut(at)) {
                Some(part) => part.sides = part.sides.and(sides),
                None => self.found.bare = self.found.bare.and(sides),
            }
        }
    }

    /// The part to which sides belong that stood after `named` parts; a known one before all others.
    fn nearest(&self, named: usize) -> Option<usize> {
        let parts = &self.found.parts;
        let order = || (0..named).rev().chain(named..parts.len());
        let known = |at: &usize| matches!(parts[*at].subject, Subject::Known(_));
        order().find(known).or_else(|| order().find(|&at| takes_sides(&parts[at].subject)))
    }
}

/// Whether a side can be meant of it: not of a measure, `6 in`.
fn takes_sides(subject: &Subject) -> bool {
    match subject {
        Subject::Known(_) => true,
        Subject::Words(words) => !words.starts_with(|c: char| c.is_ascii_digit()),
    }
}

/// The driver side is a side of the vehicle once it is known where the wheel is.
fn resolved(sides: Sides, drive: DriveSide) -> Sides {
    let resolve = |side| match (side, drive) {
        (Side::Driver, DriveSide::Lhd) | (Side::Passenger, DriveSide::Rhd) => Side::Left,
        (Side::Driver, DriveSide::Rhd) | (Side::Passenger, DriveSide::Lhd) => Side::Right,
        (side, _) => side,
    };
    sides.iter().map(resolve).collect()
}

/// Deals the sides of a run to its parts: each to the next part, at the end to the one before, and
/// to unknown words only where there is no part. Also gives the sides that nothing takes.
fn dealt(run: Vec<Item>) -> (Vec<Element>, Sides) {
    let mut elements: Vec<Element> = Vec::new();
    let mut waiting: Vec<(usize, Sides)> = Vec::new();
    for item in run {
        match item {
            Item::Sides(sides) => waiting.push((elements.len(), sides)),
            Item::Part(id) => elements.push(Element { subject: Subject::Known(id), sides: Sides::NONE }),
            Item::Words(words) => {
                elements.push(Element { subject: Subject::Words(words.into()), sides: Sides::NONE })
            }
        }
    }
    let mut left_over = Sides::NONE;
    for (at, sides) in waiting {
        match taker(&elements, at) {
            Some(element) => elements[element].sides = elements[element].sides.and(sides),
            None => left_over = left_over.and(sides),
        }
    }
    (elements, left_over)
}

fn taker(elements: &[Element], at: usize) -> Option<usize> {
    let order = || (at..elements.len()).chain((0..at).rev());
    let known = |&at: &usize| matches!(elements[at].subject, Subject::Known(_));
    order().find(known).or_else(|| order().find(|&at| takes_sides(&elements[at].subject)))
}
