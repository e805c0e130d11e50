//! A log for a person: who wrote and who decided what, line after line in the order of days. The same as JSON.

use serde_json::{Value as Json, json};

use super::decisions;
use super::ids::note_code;
use super::note;
use super::page::{Label, Page, listed};
use super::sentence::sentence;
use crate::book::{KnownModel, StoredNote};
use crate::history::Event;
use crate::language::Language;
use crate::note::{NoteId, date_text};

/// The lines of a log.
pub fn log(page: &mut Page, language: &Language, events: &[Event], shown: usize) {
    for event in events {
        match event {
            Event::Wrote(note, point, replaced) => wrote(page, language, note, *point, replaced, shown),
            Event::Decided(ruling) => decisions::one(page, language, ruling, shown, 0),
        }
    }
}

fn wrote(
    page: &mut Page,
    language: &Language,
    note: &StoredNote,
    point: usize,
    replaced: &[NoteId],
    shown: usize,
) {
    let seen = if note.seen.is_empty() { String::new() } else { format!(" on {}", note.seen) };
    let who = format!("  {}, {}: ", date_text(note.day), note.by);
    let title = format!("{}, ", language.catalogue.points[point].title);
    let mut values: Vec<(usize, String)> = note
        .said
        .iter()
        .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.clone())))
        .collect();
    let fields = &language.catalogue.points[point].fields;
    values.sort_by_key(|(field, _)| fields.iter().position(|known| known == field));
    let said = format!("{}{seen}. {}", note.basis.word(), sentence(language, &values));
    let scope = format!(". Claimed for {}.", note.scope(language).describe(language.vocabulary()));
    let codes: Vec<String> = replaced.iter().map(|id| note_code(*id, shown)).collect();
    let replaced =
        if codes.is_empty() { String::new() } else { format!(" Replaced {}.", listed(&codes, "and")) };
    page.paragraph(
        0,
        &[
            (Label::Id, &note_code(note.id, shown)),
            (Label::Plain, &who),
            (Label::Title, &title),
            (Label::Plain, &said),
            (Label::Aside, &scope),
            (Label::Weak, &replaced),
        ],
    );
}

/// The lines of a log as JSON; their shape is written down in DEVELOPERS.md.
#[must_use]
pub fn log_json(language: &Language, model: &KnownModel, events: &[Event]) -> Vec<Json> {
    let line = |event: &Event| match event {
        Event::Wrote(note, point, replaced) => {
            let point = &language.catalogue.points[*point].name;
            let mut json = note::to_json(language, &model.make, &model.model, point, note);
            json["event"] = json!("note");
            json["replaces"] = json!(replaced.iter().map(ToString::to_string).collect::<Vec<_>>());
            json
        }
        Event::Decided(ruling) => {
            let mut json = decisions::ruling_json(language, ruling);
            json["event"] = json!("decision");
            json
        }
    };
    events.iter().map(line).collect()
}
