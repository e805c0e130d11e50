//! A note in full, and a log, for a person: who wrote and who decided what, line after line in the order of days. The
//! log as JSON.

use serde_json::{Value as Json, json};

use super::decisions;
use super::ids::{decision_code, note_code};
use super::page::{Label, Page, capitalised, harmless, listed};
use super::sentence::sentence;
use crate::book::{KnownModel, Origin, StoredNote};
use crate::decision::Becomes;
use crate::history::{Event, Fate, Standing};
use crate::judge::decided::Ruling;
use crate::language::Language;
use crate::note::{NoteId, date_text};

/// One note in full, of a vehicle and a point in words, with where it was read and how it fared.
pub fn note(
    page: &mut Page,
    language: &Language,
    (vehicle, point): (&str, &str),
    note: &StoredNote,
    (further, fate): (&[Origin], &Fate),
    shown: usize,
) {
    let id = note.id.to_string();
    page.paragraph(
        0,
        &[
            (Label::Id, &id),
            (Label::Plain, ", "),
            (Label::Title, vehicle),
            (Label::Plain, ", "),
            (Label::Plain, point),
        ],
    );
    let mut line = |lead: &str, label: Label, text: &str| {
        page.paragraph(2, &[(Label::Aside, lead), (label, text)]);
    };
    line("Claimed for: ", Label::Plain, &note.scope(language).describe(language.vocabulary()));
    for (name, text) in &note.said {
        let field = language.catalogue.field(name);
        let title = field.map_or(name.as_str(), |field| &language.catalogue.fields[field].title);
        line(&format!("{}: ", capitalised(title)), Label::Value, text);
    }
    if !note.remark.is_empty() {
        line("Remark: ", Label::Plain, &note.remark);
    }
    let on = if note.seen.is_empty() { String::new() } else { format!(", on {}", note.seen) };
    line(
        "Written: ",
        Label::Plain,
        &format!("{}, {}, {}{on}", date_text(note.day), note.by, note.basis.word()),
    );
    for origin in std::iter::once(&note.origin).chain(further) {
        line("Read from: ", Label::Plain, &read_from(origin));
    }
    fared(page, language, note, fate, shown);
}

/// What became of a note since it was written.
/// The file and the line; line 0 is that of a note which stands in no file.
fn read_from(origin: &Origin) -> String {
    let line = if origin.line == 0 { String::new() } else { format!(", line {}", origin.line) };
    format!("{}{line}", harmless(&origin.file))
}

fn fared(page: &mut Page, language: &Language, note: &StoredNote, fate: &Fate, shown: usize) {
    if let Some(by) = fate.replaced_by {
        let lead = "Replaced by a later note of the same hand on the same vehicle: ";
        page.paragraph(2, &[(Label::Weak, lead), (Label::Id, &note_code(by, shown))]);
    }
    for ruling in &fate.rulings {
        decided(page, language, note, ruling, shown);
    }
    match fate.standing {
        Standing::Retired => page.paragraph(2, &[(Label::Weak, "Retired: it does not count any more.")]),
        Standing::Narrowed => {
            let holds = fate.holds_for.describe(language.vocabulary());
            page.paragraph(2, &[(Label::Weak, "Holds for: "), (Label::Plain, &holds)]);
        }
        Standing::Stands | Standing::Replaced => {}
    }
}

/// What a decision made of a note.
fn decided(page: &mut Page, language: &Language, note: &StoredNote, ruling: &Ruling, shown: usize) {
    let decision = &ruling.decision;
    let what = match decision.becomes(note.id) {
        Some(becomes) if *becomes != Becomes::Kept => {
            format!(", {}", decisions::becomes(language, decision.kind, becomes))
        }
        _ => String::new(),
    };
    let day = date_text(decision.day);
    let told = format!("{day}, {}, {}{what}. “{}” ", decision.by, decision.kind.word(), decision.because);
    let back = decisions::force(&ruling.force, shown);
    let code = decision_code(ruling.id, shown);
    page.paragraph(
        2,
        &[(Label::Aside, "Decided: "), (Label::Plain, &told), (Label::Id, &code), (Label::Weak, &back)],
    );
}

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
            let mut json = super::note::to_json(language, &model.make, &model.model, point, note);
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
