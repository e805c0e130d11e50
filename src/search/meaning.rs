//! What a phrase can mean, and what each meaning is to the index: the terms that a note with it has, and the ways in
//! which a note can answer to it, the exact one before its coarser and finer readings.
//!
//! How phrases are found in a text is the business of `cut`; how much each kind of meaning weighs, of `weigh`.

use crate::book::ModelId;
use crate::note::Basis;
use crate::value::colour::{Colour, Tint, Tracers};
use crate::value::lexicon::{Side, Sides};
use crate::value::place::{DriveSide, Place, Said};
use crate::value::quantity::Quantity;
use crate::value::thread::Thread;
use crate::value::{Typed, Value};
use crate::vehicle::ModelYear;

use super::term::{self, Kind, in_remark};

/// A part of a place with how the place stands to it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Spot {
    /// How the place stands to the part; none where it is at it.
    pub(super) relation: Option<String>,
    /// The part.
    pub(super) part: String,
    /// The sides given to it.
    pub(super) sides: Sides,
    /// What it lies within.
    pub(super) within: Vec<String>,
}

impl From<Said<'_>> for Spot {
    fn from(said: Said<'_>) -> Self {
        Self {
            relation: said.relation.map(str::to_owned),
            part: said.subject.to_owned(),
            sides: said.sides,
            within: said.within.into_iter().map(str::to_owned).collect(),
        }
    }
}

/// One thing that a phrase can mean.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Meaning {
    Colour(Colour),
    /// A part of a place; its sides are a meaning of their own.
    Spot(Spot),
    /// Sides, and the part to which they are given.
    Sides(Sides, Option<String>),
    /// A point, by name.
    Point(String),
    /// A choice: field and word.
    Choice(String, String),
    /// A quantity of one field.
    Quantity(String, Quantity),
    Thread(Thread),
    /// A code: the field, where it is known which.
    Code(Option<String>, String),
    Year(ModelYear),
    /// The year in which it was written.
    Written(ModelYear),
    /// A value of an attribute of vehicles.
    Attribute(String, String),
    Model(ModelId),
    /// The folded name of a maker.
    Make(String),
    /// The folded name of a writer.
    Person(String),
    Basis(Basis),
    /// That something is told of a field.
    Field(String),
    /// A word that means nothing else, by its key.
    Word(String),
}

/// One way in which a note can answer to a meaning.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    /// The term that the note has.
    pub(super) term: String,
    /// How well it answers, up to 1.
    pub(super) strength: f32,
    /// How, in a word or two.
    pub(super) how: How,
}

/// How a note answers to a meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It says the same.
    Same,
    /// It says the same and more.
    Finer,
    /// It says less, and nothing against it.
    Coarser,
    /// It says something close to it.
    Near,
    /// Its remark says it.
    Remark,
}

impl How {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Same => "the same",
            Self::Finer => "the same and more",
            Self::Coarser => "less, and nothing against it",
            Self::Near => "close to it",
            Self::Remark => "in words beside the values",
        }
    }
}

/// How far a remark answers where a value would answer fully.
const REMARK: f32 = 0.4;

fn way(kind: Kind, text: &str, strength: f32, how: How) -> Way {
    Way { term: kind.term(text), strength, how }
}

impl Meaning {
    /// The terms of a note that has this meaning.
    pub(super) fn terms(&self) -> Vec<String> {
        match self {
            Self::Colour(colour) => colour_terms(colour),
            Self::Spot(spot) => spot_terms(spot),
            Self::Sides(sides, part) => side_terms(*sides, part.as_deref(), DriveSide::Either),
            Self::Point(name) => vec![Kind::Point.term(name)],
            Self::Choice(field, word) => vec![Kind::Choice.term(&format!("{field} {word}"))],
            Self::Quantity(field, quantity) => {
                vec![Kind::Quantity.term(&term::quantity(field, quantity.rank(), &quantity.to_string()))]
            }
            Self::Thread(thread) => {
                vec![Kind::Thread.term(&thread.to_string()), Kind::ThreadSize.term(&size(*thread))]
            }
            Self::Code(field, code) => field
                .iter()
                .map(|field| Kind::Code.term(&format!("{field} {code}")))
                .chain([Kind::AnyCode.term(code)])
                .collect(),
            Self::Year(year) => vec![Kind::Year.term(&year.to_string())],
            Self::Written(year) => vec![Kind::Written.term(&year.to_string())],
            Self::Attribute(name, value) => vec![Kind::Only.term(&format!("{name}={value}"))],
            Self::Model(id) => vec![Kind::Model.term(&id.0.to_string())],
            Self::Make(key) => vec![Kind::Make.term(key)],
            Self::Person(key) => vec![Kind::Person.term(key)],
            Self::Basis(basis) => vec![Kind::Basis.term(basis.word())],
            Self::Field(name) => vec![Kind::Field.term(name)],
            Self::Word(key) => vec![Kind::Word.term(key)],
        }
    }

    /// The terms of a note whose remark says this, the driver sitting on `drive`. Vehicles, years and people in a
    /// remark are rather those of another note.
    pub(super) fn terms_in_remark(&self, drive: DriveSide) -> Vec<String> {
        match self {
            Self::Word(_) => self.terms(),
            Self::Sides(sides, part) => {
                side_terms(*sides, part.as_deref(), drive).iter().map(|term| in_remark(term)).collect()
            }
            Self::Year(_)
            | Self::Written(_)
            | Self::Attribute(..)
            | Self::Model(_)
            | Self::Make(_)
            | Self::Person(_) => Vec::new(),
            _ => self.terms().iter().map(|term| in_remark(term)).collect(),
        }
    }

    /// The ways in which a note can answer to it, but for those that only the index knows: quantities close by.
    pub(super) fn ways(&self) -> Vec<Way> {
        let mut ways = match self {
            Self::Colour(colour) => colour_ways(colour),
            Self::Spot(spot) => spot_ways(spot),
            Self::Sides(sides, part) => side_ways(*sides, part.as_deref()),
            Self::Thread(thread) => thread_ways(*thread),
            Self::Code(Some(field), code) => vec![
                way(Kind::Code, &format!("{field} {code}"), 1.0, How::Same),
                way(Kind::AnyCode, code, 0.3, How::Near),
            ],
            Self::Attribute(name, value) => {
                let text = format!("{name}={value}");
                vec![way(Kind::Only, &text, 1.0, How::Same), way(Kind::Seen, &text, 0.5, How::Coarser)]
            }
            _ => self.terms().into_iter().map(|term| Way { term, strength: 1.0, how: How::Same }).collect(),
        };
        if self.is_said_in_remarks() {
            let said: Vec<Way> = ways
                .iter()
                .filter(|way| way.strength >= 0.5)
                .map(|way| Way {
                    term: in_remark(&way.term),
                    strength: REMARK * way.strength,
                    how: How::Remark,
                })
                .collect();
            ways.extend(said);
        }
        ways
    }

    fn is_said_in_remarks(&self) -> bool {
        let values = matches!(self, Self::Colour(_) | Self::Spot(_) | Self::Thread(_) | Self::Choice(..));
        values || matches!(self, Self::Point(_) | Self::Code(..) | Self::Quantity(..) | Self::Basis(_))
    }

    /// Terms that speak against a note which does not answer.
    pub(super) fn against(&self) -> Vec<String> {
        match self {
            Self::Attribute(name, _) => vec![Kind::Narrowed.term(name)],
            // The other side of whatever it is: nothing there is on the side that was asked.
            Self::Sides(sides, _) => opposed(*sides).map(|side| Kind::Side.term(side.name())).collect(),
            _ => Vec::new(),
        }
    }
}

/// The terms of a value of a field, the driver sitting on `drive`.
pub(super) fn value_terms(field: &str, value: &Value, drive: DriveSide) -> Vec<String> {
    let mut terms = of_value(field, value, drive);
    terms.push(Kind::Field.term(field));
    terms
}

fn of_value(field: &str, value: &Value, drive: DriveSide) -> Vec<String> {
    match value {
        Value::Colour(colour) => colour_terms(colour),
        Value::Place(place) => place_terms(place, drive),
        Value::Code(code) => Meaning::Code(Some(field.to_owned()), code.to_string()).terms(),
        Value::Thread(thread) => Meaning::Thread(*thread).terms(),
        Value::Quantity(quantity) => Meaning::Quantity(field.to_owned(), quantity.clone()).terms(),
        Value::Choice(choice) => Meaning::Choice(field.to_owned(), choice.to_string()).terms(),
        Value::Prose(_) => Vec::new(),
    }
}

fn tint_texts(tint: Tint) -> (String, &'static str) {
    (tint.to_string(), tint.hue.code())
}

/// The same colour with every shade left out; nothing where it has none.
fn shadeless(colour: &Colour) -> Option<Colour> {
    let plain = |tint: &Tint| Tint::of(tint.hue);
    let tracers = match colour.tracers() {
        Tracers::Listed(list) => Tracers::Listed(list.iter().map(plain).collect()),
        other => other.clone(),
    };
    let made = Colour::new(plain(&colour.base()), tracers).ok()?;
    (made != *colour).then_some(made)
}

fn colour_terms(colour: &Colour) -> Vec<String> {
    let (tint, hue) = tint_texts(colour.base());
    let mut terms = vec![Kind::Colour.term(&colour.to_string()), Kind::Tint.term(&tint), Kind::Hue.term(hue)];
    terms.extend(shadeless(colour).map(|plain| Kind::Shadeless.term(&plain.to_string())));
    match colour.tracers() {
        Tracers::NotSaid => terms.push(Kind::Untraced.term(&tint)),
        Tracers::None => {}
        Tracers::Listed(list) => {
            terms.extend(list.iter().map(|tracer| Kind::Tracer.term(tracer.hue.code())));
        }
    }
    terms
}

fn colour_ways(colour: &Colour) -> Vec<Way> {
    let (tint, hue) = tint_texts(colour.base());
    let text = colour.to_string();
    let mut ways =
        vec![way(Kind::Colour, &text, 1.0, How::Same), way(Kind::Shadeless, &text, 0.85, How::Finer)];
    if let Some(plain) = shadeless(colour) {
        ways.push(way(Kind::Colour, &plain.to_string(), 0.55, How::Coarser));
    }
    match colour.tracers() {
        Tracers::NotSaid => {
            ways.push(way(Kind::Tint, &tint, 0.9, How::Finer));
            if colour.base().shade.is_none() {
                ways.push(way(Kind::Hue, hue, 0.85, How::Finer));
            } else {
                ways.push(way(Kind::Hue, hue, 0.15, How::Near));
            }
            ways.push(way(Kind::Tracer, hue, 0.1, How::Near));
        }
        Tracers::None => {
            ways.push(way(Kind::Untraced, &tint, 0.55, How::Coarser));
            ways.push(way(Kind::Hue, hue, 0.15, How::Near));
        }
        Tracers::Listed(list) => {
            ways.push(way(Kind::Untraced, &tint, 0.65, How::Coarser));
            ways.push(way(Kind::Untraced, hue, 0.6, How::Coarser));
            ways.push(way(Kind::Hue, hue, 0.2, How::Near));
            if let [tracer] = list[..]
                && let Ok(swapped) = Colour::new(tracer, Tracers::Listed(vec![colour.base()]))
            {
                ways.push(way(Kind::Colour, &swapped.to_string(), 0.2, How::Near));
            }
        }
    }
    ways
}

fn place_terms(place: &Place, drive: DriveSide) -> Vec<String> {
    let mut terms = vec![Kind::Place.term(&place.to_string())];
    for said in place.says() {
        if said.known {
            terms.extend(spot_terms(&Spot::from(said.clone())));
            terms.extend(side_terms(said.sides, Some(said.subject), drive));
            // A left inner fender is a left fender as well.
            let within = said.within.iter().flat_map(|area| sided(said.sides, area, drive));
            terms.extend(within);
        }
    }
    terms.extend(side_terms(place.lies_on(), None, drive));
    terms
}

fn spot_terms(spot: &Spot) -> Vec<String> {
    match &spot.relation {
        Some(relation) => {
            vec![Kind::Standing.term(&format!("{relation} {}", spot.part)), Kind::Landmark.term(&spot.part)]
        }
        None => std::iter::once(Kind::Part.term(&spot.part))
            .chain(spot.sides.is_empty().then(|| Kind::BarePart.term(&spot.part)))
            .chain(spot.within.iter().map(|area| Kind::Within.term(area)))
            .collect(),
    }
}

fn spot_ways(spot: &Spot) -> Vec<Way> {
    let part = spot.part.as_str();
    let Some(relation) = &spot.relation else {
        // Which side of it is a phrase of its own.
        let mut ways = match spot.sides.is_empty() {
            true => vec![way(Kind::BarePart, part, 1.0, How::Same), way(Kind::Part, part, 0.93, How::Finer)],
            false => vec![way(Kind::Part, part, 1.0, How::Same)],
        };
        ways.extend([way(Kind::Within, part, 0.75, How::Finer), way(Kind::Landmark, part, 0.7, How::Near)]);
        ways.extend(spot.within.first().map(|area| way(Kind::Part, area, 0.3, How::Coarser)));
        return ways;
    };
    // Beside a part is said of what is at it as well.
    let at_it = if relation == "beside" { 0.85 } else { 0.65 };
    vec![
        way(Kind::Standing, &format!("{relation} {part}"), 1.0, How::Same),
        way(Kind::Part, part, at_it, How::Coarser),
        way(Kind::Landmark, part, 0.4, How::Near),
    ]
}

/// The side as seen by the driver, where it is known where the wheel is.
fn from_the_wheel(side: Side, drive: DriveSide) -> Option<Side> {
    match (side, drive) {
        (Side::Left, DriveSide::Lhd) | (Side::Right, DriveSide::Rhd) => Some(Side::Driver),
        (Side::Left, DriveSide::Rhd) | (Side::Right, DriveSide::Lhd) => Some(Side::Passenger),
        _ => None,
    }
}

/// The sides, and those that they are as seen from the wheel.
fn with_wheel(sides: Sides, drive: DriveSide) -> impl Iterator<Item = Side> {
    sides.iter().flat_map(move |side| [Some(side), from_the_wheel(side, drive)]).flatten()
}

/// The terms of a part with its sides.
fn sided(sides: Sides, part: &str, drive: DriveSide) -> impl Iterator<Item = String> {
    with_wheel(sides, drive).map(move |side| Kind::SidedPart.term(&format!("{} {part}", side.name())))
}

fn side_terms(sides: Sides, part: Option<&str>, drive: DriveSide) -> Vec<String> {
    let of_part = part.into_iter().flat_map(|part| sided(sides, part, drive));
    of_part.chain(with_wheel(sides, drive).map(|side| Kind::Side.term(side.name()))).collect()
}

fn side_ways(sides: Sides, part: Option<&str>) -> Vec<Way> {
    let mut ways = Vec::new();
    for side in sides.iter() {
        if let Some(part) = part {
            ways.push(way(Kind::SidedPart, &format!("{} {part}", side.name()), 1.0, How::Same));
        }
        // That side of something else says little.
        let strength = if part.is_some() { 0.35 } else { 1.0 };
        ways.push(way(Kind::Side, side.name(), strength, How::Same));
    }
    ways
}

fn opposed(sides: Sides) -> impl Iterator<Item = Side> {
    Side::ALL.into_iter().filter(move |side| sides.clash(Sides::from(*side)))
}

fn size(thread: Thread) -> String {
    thread.parts().get("size").and_then(|size| size.as_str()).unwrap_or_default().to_owned()
}

fn thread_ways(thread: Thread) -> Vec<Way> {
    let (text, size) = (thread.to_string(), size(thread));
    let mut ways = vec![way(Kind::Thread, &text, 1.0, How::Same)];
    if text == size {
        ways.push(way(Kind::ThreadSize, &size, 0.9, How::Finer));
    } else {
        ways.push(way(Kind::Thread, &size, 0.6, How::Coarser));
        ways.push(way(Kind::ThreadSize, &size, 0.2, How::Near));
    }
    ways
}
