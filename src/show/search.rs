//! What a search found: a small card for each note, how the question was understood, why a note stands where it does;
//! the same as JSON.

use std::ops::Range;

use serde_json::{Map, Value as Json, json};

use super::ids::note_code;
use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::{month, phrases};
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::note::date_text;
use crate::search::{Found, Hit, Understood};

/// What a card shows beside the note itself.
#[derive(Debug, Clone, Copy)]
pub struct Beside {
    /// The place in the whole list, from 1.
    pub place: usize,
    /// How far what the note says can be trusted on the vehicle that is asked about, or on the one it was seen on.
    pub grade: Option<Grade>,
    /// How many characters of an id are shown.
    pub shown: usize,
}

/// One note.
pub fn card(page: &mut Page, language: &Language, hit: &Hit, beside: Beside) {
    heading(page, language, hit, beside);
    said(page, language, hit);
    let vehicle = if hit.note.seen.is_empty() { String::new() } else { format!(" on {}", hit.note.seen) };
    let who = format!(
        "{}{vehicle}, {}, {}.",
        capitalised(hit.note.basis.word()),
        hit.note.by,
        date_text(hit.note.day)
    );
    page.paragraph(4, &[(Label::Aside, &who)]);
    if !hit.note.remark.is_empty() {
        remark(page, &hit.note.remark, &hit.marks);
    }
}

fn heading(page: &mut Page, language: &Language, hit: &Hit, beside: Beside) {
    let number = format!("{}. ", beside.place);
    let vehicle = format!("{} {}", hit.model.make, hit.model.model);
    let scope = format!(" {}, ", hit.scope.describe(language.vocabulary()));
    let point = language.catalogue.point(&hit.point);
    let point = point.map_or(&*hit.point, |at| &*language.catalogue.points[at].title);
    let code = note_code(hit.note.id, beside.shown);
    let mut pieces = vec![
        (Label::Aside, number.as_str()),
        (Label::Title, vehicle.as_str()),
        (Label::Plain, scope.as_str()),
        (Label::Plain, point),
    ];
    if !hit.standing.stands() {
        pieces.extend([(Label::Plain, ", "), (Label::Weak, hit.standing.word())]);
    } else if let Some(grade) = beside.grade {
        pieces.extend([(Label::Plain, ", "), (of_grade(grade), grade.word())]);
    }
    pieces.extend([(Label::Plain, ", "), (Label::Id, code.as_str())]);
    page.paragraph(0, &pieces);
}

fn of_grade(grade: Grade) -> Label {
    match grade {
        Grade::Proven | Grade::Backed => Label::Sure,
        Grade::Disputed => Label::Alarm,
        _ => Label::Weak,
    }
}

/// The values, those that answer to the question marked; then what is told in free words.
fn said(page: &mut Page, language: &Language, hit: &Hit) {
    let order = language.catalogue.point(&hit.point).map(|at| &language.catalogue.points[at].fields);
    let mut values: Vec<(usize, String)> = hit
        .note
        .said
        .iter()
        .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.clone())))
        .collect();
    values.sort_by_key(|(field, _)| order.and_then(|fields| fields.iter().position(|own| own == field)));
    let label = |field: usize| {
        let marked = hit.fields.iter().any(|own| *own == language.catalogue.fields[field].name);
        if marked { Label::Value } else { Label::Plain }
    };
    let mut texts: Vec<(Label, String)> = Vec::new();
    for (field, phrase) in phrases(language, &values) {
        let first = texts.is_empty();
        if !first {
            texts.push((Label::Plain, ", ".to_owned()));
        }
        texts.push((label(field), if first { capitalised(&phrase) } else { phrase }));
    }
    if !texts.is_empty() {
        texts.push((Label::Plain, ".".to_owned()));
        let pieces: Vec<(Label, &str)> = texts.iter().map(|(label, text)| (*label, text.as_str())).collect();
        page.paragraph(4, &pieces);
    }
    for (field, text) in values {
        let own = &language.catalogue.fields[field];
        if own.kind.is_prose() {
            let lead = format!("{}: ", capitalised(&own.title));
            page.paragraph(4, &[(Label::Aside, &lead), (label(field), &text)]);
        }
    }
}

/// The remark, what answers to the question marked.
fn remark(page: &mut Page, text: &str, marks: &[Range<usize>]) {
    let mut pieces = vec![(Label::Plain, "“")];
    let mut at = 0;
    for mark in marks.iter().filter(|mark| mark.end <= text.len()) {
        if mark.start >= at {
            pieces.push((Label::Plain, &text[at..mark.start]));
            pieces.push((Label::Value, &text[mark.clone()]));
            at = mark.end;
        }
    }
    pieces.extend([(Label::Plain, &text[at..]), (Label::Plain, "”")]);
    page.paragraph(4, &pieces);
}

/// The phrases that no note answers to, where others are answered: who sees only hits takes all for understood.
#[must_use]
pub fn words_without_notes(found: &Found) -> Option<String> {
    const SHOWN: usize = 12;
    let mut without: Vec<String> = Vec::new();
    for at in (0..found.understood.len()).filter(|at| found.understood[*at].notes == 0) {
        let name = name_of(found, at);
        if !without.contains(&name) {
            without.push(name);
        }
    }
    if without.is_empty() || found.hits.is_empty() {
        return None;
    }
    if let Some(more) = without.len().checked_sub(SHOWN).filter(|more| *more > 0) {
        without.truncate(SHOWN);
        without.push(format!("{more} more"));
    }
    Some(format!("no note has {}", listed(&without, "or")))
}

/// How the question was understood, phrase by phrase.
pub fn understood(page: &mut Page, found: &Found) {
    const SHOWN: usize = 24;
    page.paragraph(0, &[(Label::Title, "Understood:")]);
    // What the parts of one place say stands under that place once.
    let alike: Vec<&[Understood]> = found.understood.chunk_by(|a, b| a.written == b.written).collect();
    for phrases in alike.iter().take(SHOWN) {
        let lead = format!("“{}”: ", shortened(&phrases[0].written));
        let told: Vec<[String; 2]> = phrases.iter().map(|phrase| [means(phrase), notes_of(phrase)]).collect();
        let mut pieces = vec![(Label::Value, lead.as_str())];
        for (at, [means, notes]) in told.iter().enumerate() {
            let gap = if at > 0 { "; " } else { "" };
            pieces.extend([(Label::Plain, gap), (Label::Plain, means), (Label::Aside, notes)]);
        }
        page.paragraph(2, &pieces);
    }
    if let Some(more) = alike.len().checked_sub(SHOWN).filter(|more| *more > 0) {
        page.paragraph(2, &[(Label::Aside, &format!("and {} more", counted(more, "phrase")))]);
    }
}

fn notes_of(phrase: &Understood) -> String {
    let left_out = if phrase.denied { ", left out" } else { "" };
    format!("; {}{left_out}", counted(phrase.notes as usize, "note"))
}

/// A phrase by which a reason goes: as written, and where several were written alike, by what it means.
fn name_of(found: &Found, at: usize) -> String {
    let phrase = &found.understood[at];
    let alike = found.understood.iter().filter(|other| other.written == phrase.written).count();
    let name = if alike > 1 && !phrase.means.is_empty() { means(phrase) } else { shortened(&phrase.written) };
    format!("“{name}”")
}

/// A word that goes on for ever is told by its beginning.
fn shortened(written: &str) -> String {
    const LONGEST: usize = 60;
    match written.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", &written[..end]),
        None => written.to_owned(),
    }
}

fn means(phrase: &Understood) -> String {
    if phrase.means.is_empty() { "a word".to_owned() } else { listed(&phrase.means, "or") }
}

/// What is asked that a note tells nothing of: `nothing of “violet”`.
fn nothing_of(found: &Found, hit: &Hit) -> Option<String> {
    let mut missing: Vec<String> = (0..found.understood.len())
        .filter(|at| !found.understood[*at].denied)
        .filter(|at| hit.answers.iter().all(|answer| answer.phrase != *at))
        .map(|at| name_of(found, at))
        .collect();
    missing.dedup();
    if missing.is_empty() { None } else { Some(format!("nothing of {}", listed(&missing, "and"))) }
}

/// What a note lacks of the question: who sees only that it was found takes it for the answer.
pub fn lacking(page: &mut Page, found: &Found, hit: &Hit) {
    if let Some(told) = nothing_of(found, hit) {
        page.paragraph(4, &[(Label::Weak, &capitalised(&told)), (Label::Weak, ".")]);
    }
}

/// Why a note stands where it does.
pub fn why(page: &mut Page, found: &Found, hit: &Hit) {
    let in_a_row = hit.in_a_row.map_or(0.0, |row| row.gained);
    let lead = format!("{:.2} of {:.2}: ", hit.score, found.most + in_a_row);
    let mut reasons = Vec::new();
    for answer in &hit.answers {
        let Some(phrase) = found.understood.get(answer.phrase) else { continue };
        let how = answer.how.map_or("speaks against it", |how| how.word());
        let name = name_of(found, answer.phrase);
        reasons.push(format!("{name} {how} ({:+.2} of {:.2})", answer.gained, phrase.weight));
    }
    if let Some(row) = hit.in_a_row {
        reasons.push(format!("{} in a row in the remark ({:+.2})", counted(row.words, "word"), row.gained));
    }
    reasons.extend(nothing_of(found, hit));
    if !hit.standing.stands() {
        reasons.push(format!("{}, which counts a fifth less", hit.standing.word()));
    }
    let ties = format!(
        "; where others are equal, {} and then {} decide",
        hit.note.basis.word(),
        month(hit.note.day)
    );
    page.paragraph(4, &[(Label::Aside, &lead), (Label::Aside, &reasons.join("; ")), (Label::Aside, &ties)]);
}

/// The notes as JSON; the shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, found: &Found, explained: bool) -> Json {
    found.hits.iter().map(|hit| hit_json(language, found, hit, explained)).collect()
}

fn hit_json(language: &Language, found: &Found, hit: &Hit, explained: bool) -> Json {
    let values: Map<String, Json> =
        hit.note.said.iter().map(|(name, text)| (name.clone(), json!(text))).collect();
    let mut json = json!({
        "id": hit.note.id.to_string(),
        "score": (f64::from(hit.score) * 1e4).round() / 1e4,
        "make": hit.model.make,
        "model": hit.model.model,
        "years": hit.scope.years().ends(),
        "point": hit.point,
        "values": values,
        "basis": hit.note.basis.word(),
        "by": hit.note.by,
        "on": date_text(hit.note.day),
        "state": hit.standing.word(),
        "file": hit.note.origin.file,
        "line": hit.note.origin.line,
        "snippet": snippet(language, hit),
    });
    if explained {
        let answers = hit.answers.iter().map(|answer| {
            json!({
                "phrase": found.understood.get(answer.phrase).map(|phrase| phrase.written.as_str()),
                "how": answer.how.map(|how| how.word()),
                "gained": (f64::from(answer.gained) * 1e4).round() / 1e4,
            })
        });
        json["answers"] = answers.collect();
        if let Some(row) = hit.in_a_row {
            let gained = (f64::from(row.gained) * 1e4).round() / 1e4;
            json["in_a_row"] = json!({ "words": row.words, "gained": gained });
        }
    }
    json
}

/// The words of the note that answer best: its remark where that answers, else what it says in a sentence.
fn snippet(language: &Language, hit: &Hit) -> String {
    if !hit.marks.is_empty() && hit.fields.is_empty() {
        return hit.note.remark.clone();
    }
    let values: Vec<(usize, String)> = hit
        .note
        .said
        .iter()
        .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.clone())))
        .collect();
    super::sentence::sentence(language, &values)
}
