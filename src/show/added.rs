//! A note that is about to be stored: how it was understood and what follows from it, in sentences or as JSON.

use std::collections::BTreeMap;

use serde_json::{Value as Json, json};

use super::ids::{cavity_code, conflict_code, decision_code, note_code};
use super::page::{Label, Page, capitalised};
use super::sentence::{plain, sentence};
use super::{decisions, preview};
use crate::book::{BucketKey, Outcome};
use crate::decision::{Decision, DecisionId};
use crate::foresee::{Against, Foreseen, Reach, Reopened};
use crate::judge::cavity::CavityConflict;
use crate::language::Language;
use crate::note::{NoteId, date_text};
use crate::preview::Difference;
use crate::vehicle::Scope;

/// Notes of one other claim that are shown before the rest is only counted.
const LISTED: usize = 3;

/// How the note was understood.
pub fn understood(page: &mut Page, language: &Language, seen: &Foreseen) {
    let (note, point) = (&seen.note, &language.catalogue.points[seen.point]);
    let vehicle = format!("{} {}", seen.model.make, seen.model.model);
    page.paragraph(0, &[(Label::Title, &vehicle), (Label::Plain, ", "), (Label::Title, &point.title)]);
    let values: Vec<(usize, String)> = point
        .fields
        .iter()
        .filter_map(|at| note.value(&language.catalogue.fields[*at].name).map(|text| (*at, text.to_owned())))
        .collect();
    let said = sentence(language, &values);
    if !said.is_empty() {
        page.paragraph(2, &[(Label::Value, &said), (Label::Plain, ".")]);
    }
    for (field, text) in values.iter().filter(|(field, _)| language.catalogue.fields[*field].kind.is_prose())
    {
        let title = format!("{}: ", capitalised(&language.catalogue.fields[*field].title));
        page.paragraph(2, &[(Label::Plain, &title), (Label::Plain, text)]);
    }
    let scope = note.scope(language).describe(language.vocabulary());
    page.paragraph(2, &[(Label::Aside, "Claimed for "), (Label::Plain, &scope), (Label::Plain, ".")]);
    page.paragraph(2, &[(Label::Aside, &who(language, seen)), (Label::Plain, ".")]);
    if !note.remark.is_empty() {
        page.paragraph(2, &[(Label::Plain, "“"), (Label::Plain, &note.remark), (Label::Plain, "”")]);
    }
}

fn who(language: &Language, seen: &Foreseen) -> String {
    let entry = &seen.bucket.entries[seen.entry];
    let on = match (seen.bucket.seen(entry), entry.basis.is_observation()) {
        (Some(vehicle), _) => format!(" on a {}", vehicle.describe(language.vocabulary())),
        (None, true) => ", the vehicle not named".to_owned(),
        (None, false) => String::new(),
    };
    format!("{}{on}, {}, {}", capitalised(entry.basis.word()), seen.note.by, date_text(seen.note.day))
}

/// What follows from it.
pub fn consequences(page: &mut Page, language: &Language, seen: &Foreseen) {
    if seen.outcome == Outcome::Known {
        let code = note_code(seen.note.id, seen.shown);
        page.paragraph(
            0,
            &[(Label::Weak, "Repeats "), (Label::Id, &code), (Label::Plain, ": the book has it.")],
        );
        return;
    }
    if seen.new_model {
        page.paragraph(0, &[(Label::Weak, "New to the book: "), (Label::Plain, &name(seen))]);
    }
    replaced(page, language, seen);
    support(page, language, seen);
    for against in &seen.against {
        contradicted(page, language, seen, against);
    }
    for conflict in &seen.cavities {
        let what = format!(
            "cavity {} of connector {} is told of another function or in another colour; ",
            conflict.cavity, conflict.connector
        );
        let code = cavity_code(conflict.anchor, seen.shown);
        page.paragraph(
            0,
            &[
                (Label::Alarm, "Contradicts: "),
                (Label::Plain, &what),
                (Label::Plain, "see "),
                (Label::Id, &code),
            ],
        );
    }
    conflicts(page, "Opens conflict ", &seen.opened, seen.shown);
    conflicts(page, "Joins conflict ", &seen.grown, seen.shown);
    seen.reopened.iter().for_each(|again| reopened(page, again, seen.shown));
    for ended in &seen.ended {
        let code = code(*ended, seen.shown);
        page.paragraph(0, &[(Label::Sure, "Ends conflict "), (Label::Id, &code)]);
    }
    for answered in &seen.answered {
        let (code, told) = decided(answered, seen.shown);
        page.paragraph(
            0,
            &[(Label::Sure, "Answers the recheck "), (Label::Id, &code), (Label::Plain, &told)],
        );
    }
    if !is_told_by_grade(seen) {
        page.gap();
        preview::differences(page, language, &seen.changes, CHANGES);
    }
}

/// Kinds of vehicles whose lookups are shown before the rest is only counted.
const CHANGES: usize = 4;

/// Whether the grade on one vehicle tells all that changes: nothing does, or the same on all that the note claims.
fn is_told_by_grade(seen: &Foreseen) -> bool {
    let claimed = seen.bucket.scope(&seen.bucket.entries[seen.entry]);
    let changes: Vec<&Difference> = seen.changes.iter().filter(|one| !one.is_without_year()).collect();
    match changes.as_slice() {
        [] => true,
        [one] => {
            let whole = one.vehicles.iter().all(|kind| kind.not.is_empty() && kind.scope == *claimed);
            whole && (one.before.grade, one.after.grade) == (seen.support.before, seen.support.after)
        }
        _ => false,
    }
}

fn reopened(page: &mut Page, again: &Reopened, shown: usize) {
    let code = code((again.key, again.anchor), shown);
    let was = if again.settled { ", which was settled" } else { ", which waited for a recheck" };
    let mut pieces = vec![(Label::Alarm, "Opens again conflict "), (Label::Id, &*code), (Label::Plain, was)];
    let by = again.by.as_ref().map(|by| decided(by, shown));
    if let Some((code, told)) = &by {
        pieces.extend([(Label::Plain, " by "), (Label::Id, code.as_str()), (Label::Plain, told.as_str())]);
    }
    page.paragraph(0, &pieces);
}

/// The id of a decision; who decided when and why.
fn decided((id, decision): &(DecisionId, Decision), shown: usize) -> (String, String) {
    let told = format!(", {}, {}: “{}”", date_text(decision.day), decision.by, decision.because);
    (decision_code(*id, shown), told)
}

/// The id of a conflict, or of one over a cavity: what goes across points has point 0.
fn code((bucket, anchor): (BucketKey, NoteId), shown: usize) -> String {
    match bucket.point() {
        0 => cavity_code(anchor, shown),
        _ => conflict_code(anchor, shown),
    }
}

fn name(seen: &Foreseen) -> String {
    format!("{} {}", seen.model.make, seen.model.model)
}

fn replaced(page: &mut Page, language: &Language, seen: &Foreseen) {
    if !seen.replaces.is_empty() {
        let what = "Replaces, of the same hand on the same vehicle; the old stays in the history:";
        page.paragraph(0, &[(Label::Weak, what)]);
        listing(page, language, seen, &seen.replaces);
    }
    if let Some(by) = seen.replaced_by {
        let what = "Replaced at once by a later note of the same hand on the same vehicle:";
        page.paragraph(0, &[(Label::Weak, what)]);
        listing(page, language, seen, &[by]);
    }
}

fn support(page: &mut Page, language: &Language, seen: &Foreseen) {
    if seen.replaced_by.is_some() {
        return;
    }
    if seen.bucket.claims_nothing(&seen.bucket.entries[seen.entry]) {
        let told = "no field is filled in; its remark is shown beside what is known.";
        page.paragraph(0, &[(Label::Weak, "It claims nothing: "), (Label::Plain, told)]);
        return;
    }
    let support = &seen.support;
    let on = support.vehicle.describe(language.vocabulary());
    let (before, after) = (support.before.word(), support.after.word());
    let grade = if before == after {
        format!("On a {on} the grade stays {after}.")
    } else {
        format!("On a {on} the grade goes from {before} to {after}.")
    };
    let codes = codes(seen, &support.entries);
    if codes.is_empty() {
        page.paragraph(0, &[(Label::Plain, "No other note says the same. "), (Label::Plain, &grade)]);
    } else {
        let lead = "Supports ";
        page.paragraph(
            0,
            &[(Label::Sure, lead), (Label::Id, &codes), (Label::Plain, ". "), (Label::Plain, &grade)],
        );
    }
}

fn codes(seen: &Foreseen, entries: &[usize]) -> String {
    let mut codes: Vec<String> =
        entries.iter().take(LISTED).map(|at| note_code(seen.bucket.entries[*at].id, seen.shown)).collect();
    if entries.len() > LISTED {
        codes.push(format!("and {} more", entries.len() - LISTED));
    }
    codes.join(" ")
}

fn contradicted(page: &mut Page, language: &Language, seen: &Foreseen, against: &Against) {
    let lead =
        if against.certain { "Contradicts: " } else { "May contradict, if both speak of the same one: " };
    let label = if against.certain { Label::Alarm } else { Label::Weak };
    let values: Vec<(usize, String)> = against
        .values
        .iter()
        .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.clone())))
        .collect();
    let said = sentence(language, &values);
    let on = format!(", on {}", contested(language, &against.contested));
    page.paragraph(0, &[(label, lead), (Label::Value, &said), (Label::Plain, &on)]);
    listing(page, language, seen, &against.entries);
}

fn contested(language: &Language, scopes: &[Scope]) -> String {
    scopes.iter().map(|scope| scope.describe(language.vocabulary())).collect::<Vec<_>>().join("; ")
}

fn listing(page: &mut Page, language: &Language, seen: &Foreseen, entries: &[usize]) {
    for at in entries.iter().take(LISTED) {
        super::conflicts::note(page, language, &seen.bucket, *at, seen.shown, "");
    }
    if entries.len() > LISTED {
        page.paragraph(2, &[(Label::Aside, &format!("and {} more", entries.len() - LISTED))]);
    }
}

fn conflicts(page: &mut Page, lead: &str, found: &[(BucketKey, NoteId)], shown: usize) {
    // What goes across points is told as a cavity.
    for found in found.iter().filter(|(bucket, _)| bucket.point() != 0) {
        page.paragraph(0, &[(Label::Alarm, lead), (Label::Id, &code(*found, shown))]);
    }
}

/// What is asked about a claim that goes far beyond what was seen.
#[must_use]
pub fn reach(language: &Language, seen: &Foreseen, reach: &Reach) -> String {
    let scope = seen.note.scope(language);
    match reach {
        Reach::NoVehicle => {
            "no vehicle is named, so the note is no observation, and makes no answer disputed".to_owned()
        }
        Reach::Years(year) => {
            format!("claimed for {}, but seen on a {year} only", scope.years().plain())
        }
        Reach::Attribute { name, value } => format!(
            "other notes here make a difference by {}; this one was seen on a vehicle with {} and claims it for all",
            language.vocabulary().title(name),
            plain_attribute(language, name, value)
        ),
    }
}

fn plain_attribute(language: &Language, name: &str, value: &str) -> String {
    language.vocabulary().plain(name, value)
}

/// The same as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, seen: &Foreseen) -> Json {
    let id = |at: &usize| note_code(seen.bucket.entries[*at].id, seen.shown);
    let ids = |entries: &[usize]| entries.iter().map(id).collect::<Vec<_>>();
    let point = &language.catalogue.points[seen.point].name;
    let note = super::note::to_json(language, &seen.model.make, &seen.model.model, point, &seen.note);
    let against: Vec<Json> = seen
        .against
        .iter()
        .map(|against| {
            json!({
                "notes": ids(&against.entries),
                "certain": against.certain,
                "values": against.values.iter().cloned().collect::<BTreeMap<_, _>>(),
                "contested": super::conflicts::scopes(&against.contested),
            })
        })
        .collect();
    let cavity = |found: &CavityConflict| {
        let id = cavity_code(found.anchor, seen.shown);
        json!({ "id": id, "connector": found.connector, "cavity": found.cavity })
    };
    let cavities: Vec<Json> = seen.cavities.iter().map(cavity).collect();
    let named = |found: &[(BucketKey, NoteId)]| {
        found.iter().map(|found| code(*found, seen.shown)).collect::<Vec<_>>()
    };
    let again = |again: &Reopened| {
        let by = again.by.as_ref().map(|(id, decision)| decisions::to_json(language, *id, decision));
        let was = if again.settled { "settled" } else { "recheck" };
        json!({ "id": code((again.key, again.anchor), seen.shown), "was": was, "by": by })
    };
    let answered = seen.answered.iter().map(|(id, decision)| decisions::to_json(language, *id, decision));
    json!({
        "stored": seen.stored,
        "note": note,
        "repeats": (seen.outcome == Outcome::Known).then(|| note_code(seen.note.id, seen.shown)),
        "new_model": seen.new_model,
        "replaces": ids(&seen.replaces),
        "replaced_by": seen.replaced_by.as_ref().map(id),
        "supports": ids(&seen.support.entries),
        "on": seen.support.vehicle.to_json(),
        "grade": { "before": seen.support.before, "after": seen.support.after },
        "contradicts": against,
        "cavity_conflicts": cavities,
        "opened": named(&seen.opened),
        "joined": named(&seen.grown),
        "reopened": seen.reopened.iter().map(again).collect::<Vec<_>>(),
        "ended": named(&seen.ended),
        "answered": answered.collect::<Vec<_>>(),
        "changes": preview::to_json(language, &seen.changes),
        "reach": seen.reach.iter().map(|far| reach(language, seen, far)).collect::<Vec<_>>(),
    })
}

/// A value as somebody typed it, in plain words where they say more: `violet with white tracer (VT/WH)`.
#[must_use]
pub fn echo(language: &Language, field: usize, text: &str) -> Option<String> {
    let read = language.read(field, text).ok()?.to_string();
    Some(plain(language, field, &read)).filter(|told| told != text)
}
