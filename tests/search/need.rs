//! What a query asks for, and what each note is worth to it.
//!
//! The grades are made from meanings alone, for every note, so the judgement is complete:
//! 3 means everything that was asked, on the asked vehicle; 2 the same of another year or kind of the model, or told in
//! more or less detail; 1 shares the main thing: half of what was asked, the same part on the other side, a word of it
//! in a remark, or all of it on another model; 0 anything else.

use crate::amount::Size;
use crate::kinds::{Choice, Kind};
use crate::meaning::Meaning;
use crate::spot::{Side, Spot};
use crate::wire::Wire;

/// How far one part of a note is what was asked, the least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    Other,
    /// It has to do with it: the other side of the same part, a mention in a remark.
    Touches,
    /// The same, said in more or in less detail.
    Near,
    Same,
}

/// A place as asked; told by the driver's side, it is the other side on a vehicle that is driven from there.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    pub spot: Spot,
    /// The side of the driver by which it was told, if it was.
    pub rhd: Option<bool>,
}

/// Everything that a query asks for.
#[derive(Debug, Clone, Default)]
pub struct Need {
    pub point: Option<&'static Kind>,
    pub wire: Option<Wire>,
    /// The other wire that the words may mean: two codes joined do not tell which of them is the base (IEC 60757).
    pub or_wire: Option<Wire>,
    pub place: Option<Wanted>,
    pub size: Option<&'static Size>,
    pub choice: Option<&'static Choice>,
    /// Connector and cavity.
    pub code: Option<(u16, u16)>,
    pub slot: Option<u16>,
    pub scrap: Option<usize>,
    pub by: Option<usize>,
    pub make: Option<&'static str>,
    pub model: Option<&'static str>,
    pub year: Option<u16>,
    pub only: Option<(&'static str, &'static str)>,
}

/// Whether a note is of the asked vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fit {
    Fits,
    OtherYear,
    Elsewhere,
}

impl Need {
    /// What a note is worth, 0 to 3.
    pub fn grade(&self, note: &Meaning) -> u8 {
        let content = self.content(note);
        match self.fit(note) {
            Fit::Fits => content,
            // Half of it on the asked model is worth no less than all of it on another.
            Fit::OtherYear => content.saturating_sub(1).max(content.min(1)),
            Fit::Elsewhere if content == 3 && self.tells_a_value() => 1,
            Fit::Elsewhere => 0,
        }
    }

    fn content(&self, note: &Meaning) -> u8 {
        let (strong, weak) = (self.strong(note), self.weak(note));
        let asked = strong.len() + weak.len();
        match strong.iter().chain(&weak).min() {
            None | Some(Level::Same) => 3,
            Some(Level::Near) => 2,
            Some(Level::Touches) if asked == 1 => 1,
            Some(_) => {
                let meant = strong.iter().filter(|level| **level >= Level::Near).count();
                u8::from(meant > 0 && meant * 2 >= asked)
            }
        }
    }

    /// What a note is about, and each value by which one would know it again.
    fn strong(&self, note: &Meaning) -> Vec<Level> {
        let exact = |same: bool| if same { Level::Same } else { Level::Other };
        let parts = [
            self.point.map(|point| note.of_point(point)),
            self.wire.into_iter().chain(self.or_wire).map(|wire| note.of_wire(wire)).max(),
            self.place.map(|wanted| note.of_place(wanted)),
            self.size.map(|size| exact(note.sizes.iter().any(|told| told.is(size)))),
            self.code.map(|code| exact(note.code == Some(code))),
            self.slot.map(|slot| exact(note.slot == Some(slot))),
            self.scrap.map(|scrap| exact(note.scrap == Some(scrap))),
        ];
        parts.into_iter().flatten().collect()
    }

    /// What only narrows: hundreds of notes share it.
    fn weak(&self, note: &Meaning) -> Vec<Level> {
        let exact = |same: bool| if same { Level::Same } else { Level::Other };
        let told = |choice: &Choice| {
            let same = note.choices.iter().any(|told| std::ptr::eq(*told, choice));
            let silent =
                note.choices.is_empty() && self.point.is_some_and(|point| std::ptr::eq(point, note.point));
            if silent { Level::Near } else { exact(same) }
        };
        let parts = [self.choice.map(told), self.by.map(|by| exact(note.by == by))];
        parts.into_iter().flatten().collect()
    }

    /// Whether more is asked than a point, so that another model's note may be what is remembered.
    fn tells_a_value(&self) -> bool {
        self.wire.is_some()
            || self.place.is_some()
            || self.size.is_some()
            || self.code.is_some()
            || self.scrap.is_some()
    }

    fn fit(&self, note: &Meaning) -> Fit {
        let differs = |asked: Option<&str>, told: &str| asked.is_some_and(|asked| asked != told);
        if differs(self.make, note.make) || differs(self.model, note.model) {
            return Fit::Elsewhere;
        }
        let other_year = self.year.is_some_and(|year| !(note.years.0..=note.years.1).contains(&year));
        let excluded = match (self.only, note.only) {
            (Some((asked, value)), Some((told, other))) => asked == told && value != other,
            _ => false,
        };
        if other_year || excluded { Fit::OtherYear } else { Fit::Fits }
    }
}

impl Meaning {
    fn of_point(&self, point: &Kind) -> Level {
        let carried =
            self.choices.iter().any(|choice| choice.field == "carries" && choice.name == point.name);
        match std::ptr::eq(self.point, point) {
            true => Level::Same,
            false if carried => Level::Touches,
            false => Level::Other,
        }
    }

    fn of_wire(&self, asked: Wire) -> Level {
        let told = self.wire.map_or(Level::Other, |wire| wire.level(asked));
        let mentioned = self.mention.is_some_and(|wire| wire.level(asked) >= Level::Near);
        if mentioned { told.max(Level::Touches) } else { told }
    }

    fn of_place(&self, wanted: Wanted) -> Level {
        let mirrored = wanted.rhd.is_some_and(|rhd| rhd != self.rhd);
        let asked = if mirrored { wanted.spot.mirrored() } else { wanted.spot };
        let told = self.spot.map_or(Level::Other, |spot| spot.level(asked));
        // The wire of a lamp, wherever it is reached, is a wire of the lamp.
        let of_it = self.point.belongs_to.is_some_and(|part| std::ptr::eq(part, asked.part));
        if of_it { told.max(Level::Near) } else { told }
    }
}

impl Spot {
    fn mirrored(self) -> Self {
        let other = |side| if side == Side::Left { Side::Right } else { Side::Left };
        Self { side: self.side.map(other), ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kinds::KINDS;
    use crate::spot::{BRAKE_SWITCH, COLUMN, KICK, Relation};

    fn point(name: &str) -> &'static Kind {
        KINDS.iter().find(|kind| kind.name == name).expect("a point")
    }

    fn at(side: Option<Side>, relation: Option<Relation>) -> Spot {
        let part = if side.is_some() { &KICK } else { &COLUMN };
        Spot { part, side, relation }
    }

    /// Brake signal of a Quillon Tarn 2015-2019, violet/white at the left kick panel.
    fn note() -> Meaning {
        Meaning {
            make: "Quillon",
            model: "Tarn",
            years: (2015, 2019),
            rhd: false,
            only: Some(("cab", "crew")),
            point: point("brake-signal"),
            wire: Some(Wire::of("VT", Some("WH"))),
            spot: Some(at(Some(Side::Left), None)),
            sizes: Vec::new(),
            choices: Vec::new(),
            code: Some((201, 4)),
            slot: None,
            scrap: None,
            mention: Some(Wire::of("GN", None)),
            by: 0,
        }
    }

    fn check(need: Need, grade: u8) {
        assert_eq!(need.grade(&note()), grade, "{need:?}");
    }

    fn place(spot: Spot, rhd: Option<bool>) -> Need {
        Need { place: Some(Wanted { spot, rhd }), ..Need::default() }
    }

    #[test]
    fn a_colour_is_the_same_or_told_in_more_or_less_detail_or_only_mentioned() {
        let wire = |base, tracer| Need { wire: Some(Wire::of(base, tracer)), ..Need::default() };
        check(wire("VT", Some("WH")), 3);
        check(wire("VT", None), 2);
        check(wire("VT", Some("BK")), 0);
        check(wire("WH", Some("VT")), 0);
        check(wire("GN", None), 1);
        check(wire("BU", None), 0);
        check(Need { or_wire: Some(Wire::of("VT", Some("WH"))), ..wire("WH", Some("VT")) }, 3);
    }

    #[test]
    fn a_place_is_the_same_or_the_other_side_and_a_driver_has_the_side_of_the_vehicle() {
        check(place(at(Some(Side::Left), None), None), 3);
        check(place(at(Some(Side::Right), None), None), 1);
        check(place(Spot { part: &KICK, side: None, relation: None }, None), 2);
        check(place(Spot { part: &BRAKE_SWITCH, side: None, relation: None }, None), 0);
        check(place(at(None, Some(Relation::Below)), None), 0);
        // "Driver side" of somebody who drives on the right.
        check(place(at(Some(Side::Right), None), Some(true)), 3);
    }

    #[test]
    fn the_vehicle_counts_after_what_is_said_of_it() {
        let tarn = Need { model: Some("Tarn"), wire: Some(Wire::of("VT", Some("WH"))), ..Need::default() };
        check(Need { year: Some(2016), ..tarn.clone() }, 3);
        check(Need { year: Some(2012), ..tarn.clone() }, 2);
        check(Need { year: Some(2012), point: Some(point("horn")), ..tarn.clone() }, 1);
        check(Need { only: Some(("cab", "regular")), ..tarn.clone() }, 2);
        check(Need { only: Some(("tow", "yes")), ..tarn.clone() }, 3);
        check(Need { model: Some("Fell"), ..tarn }, 1);
        check(Need { model: Some("Fell"), point: Some(point("brake-signal")), ..Need::default() }, 0);
    }

    #[test]
    fn half_of_what_was_asked_shares_the_main_thing() {
        let brake = Need { point: Some(point("brake-signal")), ..Need::default() };
        check(Need { wire: Some(Wire::of("RD", None)), ..brake.clone() }, 1);
        check(Need { code: Some((201, 5)), wire: Some(Wire::of("RD", None)), ..brake.clone() }, 0);
        check(Need { code: Some((201, 4)), wire: Some(Wire::of("RD", None)), ..brake }, 1);
        // Who wrote it is shared by hundreds.
        check(Need { by: Some(0), wire: Some(Wire::of("RD", None)), ..Need::default() }, 0);
    }
}
