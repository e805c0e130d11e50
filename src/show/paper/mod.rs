//! The job card as one HTML file: read on a telephone, printed on two sheets, written on by hand. It needs no network and
//! no script.
//!
//! Its words are those of `jobcard`, its drawing that of `drawing`; `paper.css` says how it looks.

mod plan;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::drawing::{self, Plan, Width};
use super::jobcard::{Entry, Outline, Part, Piece, Room, Section, outline};
use super::page::{Label, harmless};
use crate::card::Card;

const STYLE: &str = include_str!("paper.css");

/// What is written on the card by hand before anything else.
const BY_HAND: [&str; 4] = ["Plate or order", "Odometer", "Date", "Fitter"];

/// Lines to write on at the end, where paper is left.
const NOTES: usize = 8;

/// The whole file.
#[must_use]
pub fn page(card: &Card<'_>) -> String {
    document(&outline(card), &plan::plan(card)).into_string()
}

fn document(outline: &Outline, plan: &Plan) -> Markup {
    let title = format!("Job card: {}, {}", outline.title, outline.vehicle);
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (harmless(&title)) }
                style { (PreEscaped(STYLE)) (PreEscaped(foot(&title))) }
            }
            body class=(density(outline, plan)) {
                (head(outline))
                nav { @for part in &outline.sections { a href=(format!("#{}", name(part.part))) { (part.title) } } }
                main {
                    @for part in &outline.sections { (section(part, plan)) }
                    section.notes { h2 { "Found and changed" } @for _ in 0..NOTES { span.line {} } }
                }
            }
        }
    }
}

/// What a unit of the drawing's height takes, in characters of the text beside it.
const CHARACTERS_OF_A_UNIT: usize = 6;

/// How close the letters are set in print, so that two sheets hold everything: by the characters and the drawing that
/// are to be printed. The bounds were measured in a browser, on A4 and Letter, with every job on twelve vehicles of
/// the corpus and the longest one, the brake control, on a vehicle of every model.
fn density(outline: &Outline, plan: &Plan) -> &'static str {
    let entries = outline.sections.iter().flat_map(|section| &section.entries);
    let pieces = entries.flat_map(|entry| entry.more.iter().chain([&entry.head]).flatten());
    let characters: usize = pieces.map(|(_, text)| text.chars().count()).sum();
    match characters + CHARACTERS_OF_A_UNIT * drawing::height(plan, Width::Wide) {
        0..12_000 => "ample",
        12_000..13_500 => "roomy",
        13_500..16_500 => "close",
        16_500..20_000 => "dense",
        _ => "brief",
    }
}

/// Each printed sheet says what it is of, so that loose sheets of two vehicles are told apart. Everything but letters
/// and digits is written as an escape of CSS, so that no name ends the text.
fn foot(title: &str) -> String {
    let escaped: String = title
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c.to_string() } else { format!("\\{:06x}", u32::from(c)) })
        .collect();
    format!("@page{{@bottom-left{{content:\"{escaped}\"}}}}")
}

fn head(outline: &Outline) -> Markup {
    html! {
        header {
            p.kind { "Job card" }
            h1 { (harmless(&outline.title)) }
            p.vehicle { (harmless(&outline.vehicle)) }
            div.by-hand { @for what in BY_HAND { p { (what) span.line {} } } }
            @for told in &outline.basis { p.basis { (spans(told)) } }
        }
    }
}

fn section(section: &Section, plan: &Plan) -> Markup {
    let name = name(section.part);
    html! {
        section class=(name) aria-labelledby=(name) {
            h2 id=(name) { (section.title) }
            @match section.part {
                Part::Circuits => {
                    figure.narrow { @for svg in drawing::svgs(plan, Width::Narrow, "narrow") { (svg) } }
                    ol { @for one in &section.entries { (entry(one)) } }
                    figure.wide { @for svg in drawing::svgs(plan, Width::Wide, "wide") { (svg) } }
                }
                _ => ul { @for one in &section.entries { (entry(one)) } }
            }
        }
    }
}

/// The name of a part in the style sheet.
fn name(part: Part) -> &'static str {
    match part {
        Part::Doubts => "doubts",
        Part::Cautions => "cautions",
        Part::Facts => "facts",
        Part::Circuits => "circuits",
        Part::Feeds => "feeds",
        Part::Holes => "holes",
        Part::Route => "route",
        Part::Cut => "cut",
        Part::Parts => "parts",
        Part::Before => "before",
        Part::After => "after",
        Part::Test => "test",
        Part::SignOff => "sign-off",
        Part::Labour => "labour",
        Part::Figures => "figures",
    }
}

fn entry(entry: &Entry) -> Markup {
    html! {
        li class=[room(entry.room)] {
            @if entry.room == Room::Tick { span.box {} }
            div.words {
                p { (spans(&entry.head)) }
                @for more in &entry.more { p.more { (spans(more)) } }
            }
            @match entry.room {
                Room::Reading => p.read { "read" span.line {} },
                Room::Name => p.name { "name" span.line {} "date" span.line {} },
                Room::None | Room::Tick => {}
            }
        }
    }
}

fn room(room: Room) -> Option<&'static str> {
    match room {
        Room::None => None,
        Room::Tick => Some("tick"),
        Room::Reading => Some("reading"),
        Room::Name => Some("signed"),
    }
}

/// Labelled pieces: what a label looks like is in the style sheet.
fn spans(pieces: &[Piece]) -> Markup {
    html! {
        @for (label, text) in pieces {
            @match class(*label) {
                Some("id") => (ids(text)),
                Some(class) => span class=(class) { (harmless(text)) },
                None => (harmless(text)),
            }
        }
    }
}

/// Ids, none of which is broken at its hyphen.
fn ids(text: &str) -> Markup {
    html! {
        span.id {
            @for (at, word) in text.split(' ').enumerate() {
                @if at > 0 { " " }
                span { (harmless(word)) }
            }
        }
    }
}

fn class(label: Label) -> Option<&'static str> {
    match label {
        Label::Plain => None,
        Label::Title => Some("title"),
        Label::Value => Some("value"),
        Label::Id => Some("id"),
        Label::Sure => Some("sure"),
        Label::Weak => Some("weak"),
        Label::Alarm => Some("alarm"),
        Label::Aside => Some("aside"),
        Label::Evidence => Some("evidence"),
    }
}

#[cfg(test)]
mod tests;
