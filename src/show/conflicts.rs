//! Conflicts for a person: the list, one side by side, or JSON.

use serde_json::{Map, Value as Json, json};

use super::ids::{cavity_code, conflict_code, note_code};
use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::{plain, sentence};
use crate::dispute::{Dispute, Matter};
use crate::judge::bucket::{Bucket, Entry};
use crate::judge::cavity::CavityConflict;
use crate::judge::conflict::{Conflict, Layout, Side};
use crate::language::Language;
use crate::note::{Basis, date_text};
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
        .map_or_else(|| field.to_owned(), |at| language.catalogue.fields[at].title.clone())
}

fn functions(language: &Language, conflict: &CavityConflict) -> String {
    let told: Vec<String> = conflict
        .claimants
        .iter()
        .map(|claimant| {
            let title = &language.catalogue.points[claimant.point].title;
            claimant.colour.as_ref().map_or_else(|| title.clone(), |colour| format!("{title} ({colour})"))
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

fn values(language: &Language, side: &Side) -> String {
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
    match &dispute.matter {
        Matter::Value { point, bucket, conflict, layout, .. } => {
            sides(page, language, bucket, layout, shown);
            hanging(page, language, bucket, conflict, shown);
            let check = &language.catalogue.points[*point].check;
            page.gap();
            page.paragraph(0, &[(Label::Aside, "To settle it on the vehicle: "), (Label::Plain, check)]);
        }
        Matter::Cavity { conflict, buckets } => {
            page.gap();
            for claimant in &conflict.claimants {
                let Some((_, bucket)) = buckets.get(&claimant.point) else { continue };
                let title = format!("{}: ", capitalised(&language.catalogue.points[claimant.point].title));
                note(page, language, bucket, &bucket.entries[claimant.entry], shown, &title);
            }
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
            note(page, language, bucket, &bucket.entries[*entry], shown, "");
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
        note(page, language, bucket, &bucket.entries[*entry], shown, "");
    }
}

/// One note in two lines: who saw what when on which vehicle, and what it claims.
pub(super) fn note(
    page: &mut Page,
    language: &Language,
    bucket: &Bucket,
    entry: &Entry,
    shown: usize,
    lead: &str,
) {
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
    let scope = format!(". Claimed for {}.", bucket.scope(entry).describe(language.vocabulary()));
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

/// The list as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, disputes: &[Dispute], shown: usize) -> Json {
    Json::Array(disputes.iter().map(|dispute| one_json(language, dispute, shown)).collect())
}

fn one_json(language: &Language, dispute: &Dispute, shown: usize) -> Json {
    let points = &language.catalogue.points;
    let common = json!({
        "id": code(dispute, shown),
        "make": dispute.model.make,
        "model": dispute.model.model,
        "state": "open",
    });
    let special = match &dispute.matter {
        Matter::Value { point, bucket, conflict, layout, .. } => {
            let sides: Vec<Json> = layout.sides.iter().map(|side| side_json(bucket, side, shown)).collect();
            json!({
                "kind": "value",
                "point": points[*point].name,
                "certain": conflict.certain,
                "fields": layout.fields,
                "sides": sides,
                "contested": scopes(&layout.contested),
                "hearsay": layout.hearsay,
                "splits": [],
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

fn side_json(bucket: &Bucket, side: &Side, shown: usize) -> Json {
    let values: Map<String, Json> =
        side.values.iter().map(|(name, text)| (name.clone(), json!(text))).collect();
    let notes: Vec<String> =
        side.entries.iter().map(|entry| note_code(bucket.entries[*entry].id, shown)).collect();
    json!({ "values": values, "notes": notes, "observations": side.observations })
}

fn cavity_json(language: &Language, conflict: &CavityConflict, shown: usize) -> Json {
    let points = &language.catalogue.points;
    let mut sides: Vec<(String, Option<String>, Vec<String>)> = Vec::new();
    for claimant in &conflict.claimants {
        let key = (points[claimant.point].name.clone(), claimant.colour.clone());
        let id = note_code(claimant.id, shown);
        match sides.iter_mut().find(|(point, colour, _)| (point, colour) == (&key.0, &key.1)) {
            Some((_, _, notes)) => notes.push(id),
            None => sides.push((key.0, key.1, vec![id])),
        }
    }
    let mut fields = Vec::new();
    fields.extend(conflict.functions.then_some("point"));
    fields.extend(conflict.colours.then_some("colour"));
    let mut names: Vec<&str> = sides.iter().map(|(point, ..)| point.as_str()).collect();
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
