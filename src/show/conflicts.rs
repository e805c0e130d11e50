//! Conflicts for a person: the list, one side by side, or JSON.

use std::collections::BTreeMap;

use serde_json::{Map, Value as Json, json};

use super::decisions;
use super::ids::{cavity_code, conflict_code, decision_code, note_code};
use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::{plain, sentence};
use super::splits;
use crate::book::{BucketKey, KnownModel};
use crate::decision::Decision;
use crate::dispute::{Dispute, Matter};
use crate::judge::bucket::Bucket;
use crate::judge::cavity::CavityConflict;
use crate::judge::conflict::{Conflict, Layout, Side, State};
use crate::judge::pattern::split::reckon;
use crate::language::Language;
use crate::note::{Basis, NoteId, date_text};
use crate::opposition::Opposition;
use crate::vehicle::Scope;

/// The list: one short paragraph for each conflict.
pub fn list(page: &mut Page, language: &Language, disputes: &[Dispute], shown: usize) {
    for dispute in disputes {
        let code = code(dispute, shown);
        let (what, sides) = headline(language, dispute);
        let vehicle = format!("{} {}", dispute.model.make, dispute.model.model);
        page.paragraph(
            0,
            &[
                (Label::Id, &code),
                (Label::Plain, "  "),
                (Label::Title, &vehicle),
                (Label::Plain, ", "),
                (Label::Plain, &what),
            ],
        );
        page.paragraph(4, &[(Label::Plain, &sides)]);
        if let Some(state) = state(dispute, shown) {
            page.paragraph(4, &[(label(dispute.state()), &state)]);
        }
    }
}

/// What was decided last, where something was.
fn state(dispute: &Dispute, shown: usize) -> Option<String> {
    let opposing: Vec<String> = dispute
        .opposing()
        .map(|one| format!("{} of {}", decision_code(one.id, shown), one.decision.by))
        .collect();
    if dispute.state() == State::Open && !opposing.is_empty() {
        let who = listed(&opposing, "and");
        return Some(format!(
            "Open again: {who} decided opposite things, and none of that counts until somebody decides anew"
        ));
    }
    let last = dispute.last_ruling().map(|ruling| &ruling.decision);
    let said = |last: &Decision| {
        format!("{} {} by {}: “{}”", last.kind.done(), date_text(last.day), last.by, last.because)
    };
    match (dispute.state(), last) {
        (State::Open, None) => None,
        (State::Open, Some(last)) => Some(format!("Open again; {}", said(last))),
        (State::Recheck, Some(last)) => Some(capitalised(&said(last))),
        (State::Settled, Some(last)) => Some(format!("Settled; {}", said(last))),
        (state, None) => Some(capitalised(state.word())),
    }
}

fn label(state: State) -> Label {
    match state {
        State::Open => Label::Alarm,
        State::Recheck => Label::Weak,
        State::Settled => Label::Sure,
    }
}

/// The id of a conflict.
#[must_use]
pub fn code(dispute: &Dispute, shown: usize) -> String {
    match dispute.matter {
        Matter::Value { .. } => conflict_code(dispute.anchor, shown),
        Matter::Cavity { .. } => cavity_code(dispute.anchor, shown),
    }
}

fn headline(language: &Language, dispute: &Dispute) -> (String, String) {
    match &dispute.matter {
        Matter::Value { point, conflict, layout, .. } => {
            let fields: Vec<String> = layout.fields.iter().map(|field| title(language, field)).collect();
            let sure = if conflict.certain { "" } else { " (possible: it may be two different ones)" };
            let what = format!(
                "{}: {}{sure}; {}",
                language.catalogue.points[*point].title,
                listed(&fields, "and"),
                boxes(language, &layout.contested)
            );
            let sides: Vec<String> = layout
                .sides
                .iter()
                .map(|side| format!("{} [{}]", values(language, side), backing(side)))
                .collect();
            (what, sides.join("  against  "))
        }
        Matter::Cavity { conflict, .. } => {
            let what = format!(
                "cavity {} of connector {}; {}",
                conflict.cavity,
                conflict.connector,
                boxes(language, &conflict.contested())
            );
            (what, functions(language, conflict))
        }
    }
}

fn title(language: &Language, field: &str) -> String {
    language
        .catalogue
        .field(field)
        .map_or_else(|| field.to_owned(), |at| language.catalogue.fields[at].title.to_string())
}

fn functions(language: &Language, conflict: &CavityConflict) -> String {
    let told: Vec<String> = conflict
        .claimants
        .iter()
        .map(|claimant| {
            let title = &language.catalogue.points[claimant.point].title;
            claimant.colour.as_ref().map_or_else(|| title.to_string(), |colour| format!("{title} ({colour})"))
        })
        .collect();
    let mut distinct = told;
    distinct.sort();
    distinct.dedup();
    distinct.join("  against  ")
}

fn boxes(language: &Language, scopes: &[Scope]) -> String {
    let told: Vec<String> = scopes.iter().map(|scope| scope.describe(language.vocabulary())).collect();
    format!("contested on {}", told.join("; "))
}

pub(super) fn values(language: &Language, side: &Side) -> String {
    let told: Vec<String> = side
        .values
        .iter()
        .map(|(name, text)| {
            let Some(field) = language.catalogue.field(name) else { return text.clone() };
            let plain = plain(language, field, text);
            if matches!(name.as_str(), "colour" | "at") {
                plain
            } else {
                format!("{} {plain}", language.catalogue.fields[field].title)
            }
        })
        .collect();
    told.join(", ")
}

fn backing(side: &Side) -> String {
    match (side.observations, side.hearsay) {
        (_, true) => format!("only told, {}", counted(side.entries.len(), "note")),
        (0, false) => format!("never seen, {}", counted(side.entries.len(), "note")),
        (count, false) => counted(count, "observation"),
    }
}

/// One conflict with every note, side by side.
pub fn one(page: &mut Page, language: &Language, dispute: &Dispute, shown: usize) {
    let code = code(dispute, shown);
    let vehicle = format!("{} {}", dispute.model.make, dispute.model.model);
    let (what, _) = headline(language, dispute);
    page.paragraph(
        0,
        &[
            (Label::Alarm, "Conflict "),
            (Label::Id, &code),
            (Label::Plain, ", "),
            (Label::Title, &vehicle),
            (Label::Plain, ", "),
            (Label::Plain, &what),
        ],
    );
    if let Some(state) = state(dispute, shown) {
        page.paragraph(0, &[(label(dispute.state()), &state)]);
    }
    match &dispute.matter {
        Matter::Value { point, bucket, conflict, layout, outlook, .. } => {
            sides(page, language, bucket, layout, shown);
            hanging(page, language, bucket, conflict, shown);
            past(page, language, bucket, conflict, shown);
            // What is settled needs no guess at its reason.
            if dispute.state() != State::Settled {
                let reckoning = reckon(bucket, conflict, layout, outlook);
                splits::show(page, language, layout, &reckoning);
                if !reckoning.splits.is_empty() {
                    let how = format!("`baybook reconcile {code} split NUMBER` accepts one.");
                    page.paragraph(2, &[(Label::Aside, &how)]);
                }
                let check = &language.catalogue.points[*point].check;
                page.gap();
                page.paragraph(0, &[(Label::Aside, "To settle it on the vehicle: "), (Label::Plain, check)]);
            }
        }
        Matter::Cavity { conflict, buckets } => {
            for (at, side) in conflict.sides().iter().enumerate() {
                cavity_side(page, language, (conflict, buckets), (at, side), shown);
            }
        }
    }
    decided(page, language, dispute, shown);
}

/// One thing that a cavity is told to be, and who tells it.
fn cavity_side(
    page: &mut Page,
    language: &Language,
    (conflict, buckets): (&CavityConflict, &BTreeMap<usize, (BucketKey, Bucket)>),
    (at, side): (usize, &[usize]),
    shown: usize,
) {
    let first = &conflict.claimants[side[0]];
    let title = capitalised(&language.catalogue.points[first.point].title);
    let colour = first.colour.as_ref().map(|colour| format!(" ({colour})")).unwrap_or_default();
    page.gap();
    let lead = format!("Side {}: ", at + 1);
    page.paragraph(0, &[(Label::Title, &lead), (Label::Value, &title), (Label::Value, &colour)]);
    for claimant in side.iter().map(|at| &conflict.claimants[*at]) {
        if let Some((_, bucket)) = buckets.get(&claimant.point) {
            note(page, language, bucket, claimant.entry, shown, "");
        }
    }
}

/// What was decided about it, as it was decided.
fn decided(page: &mut Page, language: &Language, dispute: &Dispute, shown: usize) {
    if dispute.rulings.is_empty() {
        return;
    }
    page.gap();
    page.paragraph(0, &[(Label::Title, "Decided:")]);
    for ruling in &dispute.rulings {
        decisions::one(page, language, ruling, shown, 2);
    }
}

fn past(page: &mut Page, language: &Language, bucket: &Bucket, conflict: &Conflict, shown: usize) {
    if conflict.past.is_empty() {
        return;
    }
    page.gap();
    page.paragraph(0, &[(Label::Title, "Were in it, and contradict nothing any more:")]);
    for entry in &conflict.past {
        note(page, language, bucket, *entry, shown, "");
    }
}

/// What each side says, in the order of their numbers.
#[must_use]
pub fn side_titles(language: &Language, dispute: &Dispute) -> Vec<String> {
    match &dispute.matter {
        Matter::Value { layout, .. } => layout
            .sides
            .iter()
            .map(|side| format!("{} [{}]", values(language, side), backing(side)))
            .collect(),
        Matter::Cavity { conflict, .. } => {
            let said = |side: &Vec<usize>| {
                let first = &conflict.claimants[side[0]];
                let colour = first.colour.as_ref().map(|colour| format!(" ({colour})")).unwrap_or_default();
                format!("{}{colour}", language.catalogue.points[first.point].title)
            };
            conflict.sides().iter().map(said).collect()
        }
    }
}

fn sides(page: &mut Page, language: &Language, bucket: &Bucket, layout: &Layout, shown: usize) {
    for (at, side) in layout.sides.iter().enumerate() {
        page.gap();
        let lead = format!("Side {}: ", at + 1);
        let said = capitalised(&values(language, side));
        let weight = format!(" [{}]", backing(side));
        page.paragraph(0, &[(Label::Title, &lead), (Label::Value, &said), (Label::Aside, &weight)]);
        for entry in &side.entries {
            note(page, language, bucket, *entry, shown, "");
        }
    }
}

fn hanging(page: &mut Page, language: &Language, bucket: &Bucket, conflict: &Conflict, shown: usize) {
    if conflict.hanging.is_empty() {
        return;
    }
    page.gap();
    page.paragraph(0, &[(Label::Title, "May contradict as well, if they speak of the same one:")]);
    for entry in &conflict.hanging {
        note(page, language, bucket, *entry, shown, "");
    }
}

/// One note in two lines: who saw what when on which vehicle, and what it claims.
pub(super) fn note(
    page: &mut Page,
    language: &Language,
    bucket: &Bucket,
    at: usize,
    shown: usize,
    lead: &str,
) {
    let entry = &bucket.entries[at];
    let id = note_code(entry.id, shown);
    let seen = match (entry.basis, bucket.seen(entry)) {
        (Basis::Told, _) => String::new(),
        (Basis::Diagram, _) => String::new(),
        (_, Some(seen)) => format!(" on a {}", seen.describe(language.vocabulary())),
        (_, None) => ", vehicle not named".to_owned(),
    };
    let who = format!(
        "  {}, {} {}{seen}. ",
        bucket.people[entry.person as usize],
        date_text(entry.on),
        entry.basis.word()
    );
    let values: Vec<(usize, String)> = bucket
        .texts(bucket.claim(entry))
        .chain(
            bucket.extras[entry.extra as usize]
                .iter()
                .map(|(field, text)| (bucket.extra_fields[usize::from(*field)].as_str(), text.as_str())),
        )
        .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.to_owned())))
        .collect();
    let said = sentence(language, &values);
    let scope = format!(". {}", holds_for(language, bucket, at));
    page.paragraph(
        2,
        &[
            (Label::Id, &id),
            (Label::Plain, &who),
            (Label::Plain, lead),
            (Label::Plain, &said),
            (Label::Aside, &scope),
        ],
    );
}

/// What a note claims, and what decisions left of that.
#[must_use]
pub fn holds_for(language: &Language, bucket: &Bucket, at: usize) -> String {
    let (claimed, entry) = (bucket.claimed_scope(at), &bucket.entries[at]);
    let told = format!("Claimed for {}", claimed.describe(language.vocabulary()));
    if entry.is_retired() {
        format!("{told}; retired.")
    } else if claimed != bucket.scope(entry) {
        format!("{told}; narrowed to {}.", bucket.scope(entry).describe(language.vocabulary()))
    } else {
        format!("{told}.")
    }
}

/// The list as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, disputes: &[Dispute], shown: usize) -> Json {
    Json::Array(disputes.iter().map(|dispute| one_json(language, dispute, shown)).collect())
}

/// Decisions about a note that say the opposite of each other, as a list like that of conflicts.
#[must_use]
pub fn opposed_json(
    model: Option<KnownModel>,
    point: &str,
    note: NoteId,
    opposed: &[Opposition],
    shown: usize,
) -> Json {
    let one = |one: &Opposition| {
        let mut json = decisions::opposition_json(one, shown);
        json["kind"] = json!("opposed");
        json["id"] = json!(note_code(note, shown));
        json["make"] = json!(model.as_ref().map(|model| &model.make));
        json["model"] = json!(model.as_ref().map(|model| &model.model));
        json["point"] = json!(point);
        json["state"] = json!(State::Open);
        json
    };
    Json::Array(opposed.iter().map(one).collect())
}

fn one_json(language: &Language, dispute: &Dispute, shown: usize) -> Json {
    let points = &language.catalogue.points;
    let common = json!({
        "id": code(dispute, shown),
        "make": dispute.model.make,
        "model": dispute.model.model,
        "state": dispute.state(),
        "decisions": dispute.rulings.iter().map(|ruling| decisions::ruling_json(language, ruling)).collect::<Vec<_>>(),
    });
    let special = match &dispute.matter {
        Matter::Value { point, bucket, conflict, layout, outlook, .. } => {
            let sides: Vec<Json> = layout.sides.iter().map(|side| side_json(bucket, side, shown)).collect();
            let reckoning = reckon(bucket, conflict, layout, outlook);
            json!({
                "kind": "value",
                "point": points[*point].name,
                "certain": conflict.certain,
                "fields": layout.fields,
                "sides": sides,
                "contested": scopes(&layout.contested),
                "hearsay": layout.hearsay,
                "splits": splits::to_json(layout, &reckoning),
                "explanations": splits::explanations_json(&reckoning),
                "misread": !reckoning.confused.is_empty(),
                "hanging": conflict.hanging.iter().map(|entry| note_code(bucket.entries[*entry].id, shown)).collect::<Vec<_>>(),
            })
        }
        Matter::Cavity { conflict, .. } => cavity_json(language, conflict, shown),
    };
    let (Json::Object(mut common), Json::Object(mut special)) = (common, special) else { return Json::Null };
    common.append(&mut special);
    Json::Object(common)
}

pub(super) fn scopes(scopes: &[Scope]) -> Vec<Json> {
    scopes.iter().map(|scope| json!(scope.to_json())).collect()
}

/// The values of a side, by field.
pub(super) fn side_values(side: &Side) -> Map<String, Json> {
    side.values.iter().map(|(name, text)| (name.clone(), json!(text))).collect()
}

fn side_json(bucket: &Bucket, side: &Side, shown: usize) -> Json {
    let values = side_values(side);
    let notes: Vec<String> =
        side.entries.iter().map(|entry| note_code(bucket.entries[*entry].id, shown)).collect();
    json!({ "values": values, "notes": notes, "observations": side.observations })
}

fn cavity_json(language: &Language, conflict: &CavityConflict, shown: usize) -> Json {
    let points = &language.catalogue.points;
    let sides: Vec<(&str, &Option<String>, Vec<String>)> = conflict
        .sides()
        .into_iter()
        .map(|side| {
            let first = &conflict.claimants[side[0]];
            let notes = side.iter().map(|at| note_code(conflict.claimants[*at].id, shown)).collect();
            (&*points[first.point].name, &first.colour, notes)
        })
        .collect();
    let mut fields = Vec::new();
    fields.extend(conflict.functions.then_some("point"));
    fields.extend(conflict.colours.then_some("colour"));
    let mut names: Vec<&str> = sides.iter().map(|(point, ..)| *point).collect();
    names.dedup();
    json!({
        "kind": "cavity",
        "point": names.first(),
        "points": names,
        "certain": true,
        "fields": fields,
        "connector": conflict.connector,
        "cavity": conflict.cavity,
        "sides": sides.iter().map(|(point, colour, notes)| json!({ "values": { "point": point, "colour": colour }, "notes": notes, "observations": notes.len() })).collect::<Vec<_>>(),
        "contested": scopes(&conflict.contested()),
        "splits": [],
        "hearsay": conflict.claimants.iter().any(|claimant| claimant.is_told()),
    })
}
