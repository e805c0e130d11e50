//! The job card for a person: an outline of sections in the order in which they are read, and its view on a terminal.
//!
//! The outline holds all the words, so that terminal and printed page say the same; `doubts`, `facts`, `wiring`, `lists`,
//! `work` and `figures` write its sections, `json` tells the same to programs. What the card knows is worked out in `card`.

mod doubts;
mod facts;
mod figures;
mod json;
mod lists;
mod wiring;
mod work;

use super::page::{Label, Page, capitalised};
use crate::card::{Card, Used};
use crate::job::Known;
use crate::note::NoteId;
pub use doubts::wanted;
pub use json::to_json;

/// A piece of text with what it is.
pub type Piece = (Label, String);

/// The whole card.
#[derive(Debug)]
pub struct Outline {
    /// The job: `Trailer brake control`.
    pub title: String,
    /// The vehicle: `2016 Quillon Tarn, crew cab`.
    pub vehicle: String,
    /// What the card rests on, a sentence each: the day, whether the book knows such a vehicle at all, parameters.
    pub basis: Vec<Vec<Piece>>,
    /// In order; those that have nothing to say are left out.
    pub sections: Vec<Section>,
}

/// What a section is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// What is not known, or in doubt.
    Doubts,
    /// What can go wrong.
    Cautions,
    /// What is known, point by point.
    Facts,
    /// The circuits.
    Circuits,
    /// Whether the recorded feeds carry the job.
    Feeds,
    /// Whether the bundle passes the recorded holes.
    Holes,
    /// How the cable runs.
    Route,
    /// Conductors to cut.
    Cut,
    /// Everything else to fetch.
    Parts,
    /// Measured before cutting.
    Before,
    /// Measured after connecting.
    After,
    /// What has to work.
    Test,
    /// Who did what when.
    SignOff,
    /// What it took before.
    Labour,
    /// Where the figures are from.
    Figures,
}

/// A section.
#[derive(Debug)]
pub struct Section {
    /// What it is about.
    pub part: Part,
    /// Its heading.
    pub title: &'static str,
    /// Its entries.
    pub entries: Vec<Entry>,
}

/// One thing that is told, or to be done.
#[derive(Debug, Default)]
pub struct Entry {
    /// The first paragraph.
    pub head: Vec<Piece>,
    /// More about it, a paragraph each.
    pub more: Vec<Vec<Piece>>,
    /// What a person writes or ticks there.
    pub room: Room,
}

/// What a person writes or ticks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Room {
    /// Nothing.
    #[default]
    None,
    /// A tick when it is done.
    Tick,
    /// What the meter read.
    Reading,
    /// Who, and when.
    Name,
}

impl Entry {
    /// An entry of one paragraph.
    fn of(head: Vec<Piece>) -> Self {
        Self { head, ..Self::default() }
    }

    fn with(mut self, room: Room) -> Self {
        self.room = room;
        self
    }
}

fn plain(text: impl Into<String>) -> Piece {
    (Label::Plain, text.into())
}

fn aside(text: impl Into<String>) -> Piece {
    (Label::Aside, text.into())
}

fn value(text: impl Into<String>) -> Piece {
    (Label::Value, text.into())
}

fn weak(text: impl Into<String>) -> Piece {
    (Label::Weak, text.into())
}

fn alarm(text: impl Into<String>) -> Piece {
    (Label::Alarm, text.into())
}

/// The ids of the notes behind an answer, the strongest first.
fn ids(card: &Card<'_>, used: &Used<'_>) -> Piece {
    codes(card, used.notes())
}

/// The first ids, and how many there are beside them.
fn codes(card: &Card<'_>, notes: impl Iterator<Item = NoteId>) -> Piece {
    const LISTED: usize = 2;
    let all: Vec<String> = notes.map(|note| super::ids::note_code(note, card.found.shown)).collect();
    let more = all.len().saturating_sub(LISTED);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    (Label::Id, format!("{}{rest}", all[..all.len().min(LISTED)].join(" ")))
}

/// The words of the card.
#[must_use]
pub fn outline(card: &Card<'_>) -> Outline {
    let sections = [
        doubts::section(card),
        work::cautions(card),
        facts::section(card),
        wiring::circuits(card),
        wiring::feeds(card),
        wiring::holes(card),
        wiring::route(card),
        lists::cut(card),
        lists::parts(card),
        work::before(card),
        work::after(card),
        work::test(card),
        work::sign_off(),
        work::labour(card),
        figures::section(card),
    ];
    let found = card.found;
    Outline {
        title: capitalised(&card.job.title),
        vehicle: super::vehicle_name(card.language, &found.model.make, &found.model.model, &found.vehicle),
        basis: basis(card),
        sections: sections.into_iter().filter(|section| !section.entries.is_empty()).collect(),
    }
}

/// What the card rests on: a vehicle that the book has never heard of, and the parameters that are no lengths.
fn basis(card: &Card<'_>) -> Vec<Vec<Piece>> {
    let mut basis = vec![vec![aside(format!("Drawn up on {}.", card.language.today))]];
    if !card.found.heard_of {
        let told = "No note of this book is about such a vehicle: all points are blank, and what is worked out rests on \
                    estimates. Look whether maker and model are spelled as the book has them.";
        basis.push(vec![weak(told)]);
    }
    let lengths: Vec<usize> = card.job.circuits.iter().map(|circuit| circuit.run).collect();
    for (at, parameter) in card.job.parameters.iter().enumerate().filter(|(at, _)| !lengths.contains(at)) {
        let value = crate::job::shown(card.settings.value(at));
        let from = match card.settings.known(at) {
            Known::Estimate => ", taken for granted.".to_owned(),
            Known::Recorded => ", as recorded.".to_owned(),
            Known::Told => ", as told.".to_owned(),
        };
        basis.push(vec![
            plain(format!("{}: ", capitalised(&parameter.title))),
            self::value(value),
            aside(from),
        ]);
    }
    basis
}

/// The card on a terminal.
pub fn print(page: &mut Page, card: &Card<'_>) {
    let outline = outline(card);
    page.paragraph(0, &[(Label::Plain, "Job card: "), (Label::Title, &outline.title)]);
    page.paragraph(0, &[(Label::Title, &outline.vehicle)]);
    for sentence in &outline.basis {
        paragraph(page, 0, "", sentence);
    }
    if !card.job.parameters.is_empty() {
        let names = card.job.parameters.iter().map(|parameter| format!("{}=", parameter.name));
        let hint = format!("--set changes {}.", super::page::listed(&names.collect::<Vec<_>>(), "and"));
        page.paragraph(0, &[(Label::Aside, &hint)]);
    }
    for section in &outline.sections {
        page.gap();
        page.paragraph(0, &[(Label::Title, &section.title.to_uppercase())]);
        let bullet = if section.part == Part::Cautions { "- " } else { "" };
        for entry in &section.entries {
            self::entry(page, bullet, entry);
        }
    }
}

fn entry(page: &mut Page, bullet: &str, entry: &Entry) {
    let (lead, indent) = match entry.room {
        Room::None | Room::Name => (bullet, 2),
        Room::Tick | Room::Reading => ("[ ] ", 4),
    };
    paragraph(page, 0, lead, &entry.head);
    for more in &entry.more {
        paragraph(page, indent, "", more);
    }
    let room = match entry.room {
        Room::Reading => "read: ____________________",
        Room::Name => "name ______________________  date ______________",
        Room::None | Room::Tick => return,
    };
    page.paragraph(indent, &[(Label::Aside, room)]);
}

fn paragraph(page: &mut Page, indent: usize, lead: &str, pieces: &[Piece]) {
    let mut all = vec![(Label::Plain, lead)];
    all.extend(pieces.iter().map(|(label, text)| (*label, text.as_str())));
    page.paragraph(indent, &all);
}
