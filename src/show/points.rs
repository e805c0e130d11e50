//! The catalogue of points for a person: the list, one in full, or JSON.

use serde_json::{Value as Json, json};

use super::page::{Label, Page, capitalised, listed};
use crate::catalogue::{Answers, Catalogue, Point};
use crate::value::FieldKind;

/// The list: a name and what it is, for each point.
pub fn list(page: &mut Page, catalogue: &Catalogue) {
    for point in &*catalogue.points {
        let about = format!("  {}", point.about);
        page.paragraph(0, &[(Label::Title, &point.name), (Label::Plain, &about)]);
    }
    page.gap();
    page.paragraph(
        0,
        &[(
            Label::Aside,
            "`baybook points NAME` shows the fields of a point, its meter check and its cautions.",
        )],
    );
}

/// One point in full.
pub fn one(page: &mut Page, catalogue: &Catalogue, point: &Point) {
    page.paragraph(
        0,
        &[
            (Label::Title, &capitalised(&point.title)),
            (Label::Plain, " ("),
            (Label::Value, &point.name),
            (Label::Plain, ")"),
        ],
    );
    page.block(2, &[(Label::Plain, &point.about)]);
    let answers = match point.answers {
        Answers::One => "A vehicle has one.",
        Answers::Several => "A vehicle has several.",
    };
    let names = |fields: &[usize]| -> String {
        listed(
            &fields.iter().map(|field| catalogue.fields[*field].name.to_string()).collect::<Vec<_>>(),
            "and",
        )
    };
    let told_by = if point.identified_by.is_empty() {
        String::new()
    } else {
        format!(" Told apart by {}.", names(&point.identified_by))
    };
    let agree = if point.must_agree.is_empty() {
        " Notes on it do not contradict.".to_owned()
    } else {
        format!(" Notes must agree on {}.", names(&point.must_agree))
    };
    page.block(2, &[(Label::Plain, answers), (Label::Plain, &told_by), (Label::Plain, &agree)]);
    if !point.aliases.is_empty() {
        page.paragraph(2, &[(Label::Aside, "Also called: "), (Label::Plain, &point.aliases.join(", "))]);
    }
    page.paragraph(2, &[(Label::Aside, "Fields:")]);
    for field in &*point.fields {
        let field = &catalogue.fields[*field];
        let kind = format!("  {}, {}", field.title, kind(&field.kind));
        page.paragraph(4, &[(Label::Value, &field.name), (Label::Plain, &kind)]);
    }
    page.paragraph(2, &[(Label::Aside, "Prove it: "), (Label::Plain, &point.check)]);
    for caution in &*point.cautions {
        page.paragraph(2, &[(Label::Weak, "Caution: "), (Label::Plain, caution)]);
    }
}

fn kind(kind: &FieldKind) -> String {
    match kind {
        FieldKind::Choice(choices) => format!("one of {}", choices.words().join(", ")),
        FieldKind::Quantity(rule) => format!("in {}", rule.unit.symbol()),
        other => other.word().to_owned(),
    }
}

/// The whole catalogue as JSON.
#[must_use]
pub fn to_json(catalogue: &Catalogue, only: Option<&Point>) -> Json {
    let points = catalogue.points.iter().filter(|point| only.is_none_or(|only| only.name == point.name));
    Json::Array(points.map(|point| point_json(catalogue, point)).collect())
}

fn point_json(catalogue: &Catalogue, point: &Point) -> Json {
    let names = |fields: &[usize]| {
        fields.iter().map(|field| catalogue.fields[*field].name.clone()).collect::<Vec<_>>()
    };
    let fields: Vec<Json> = point
        .fields
        .iter()
        .map(|field| {
            let field = &catalogue.fields[*field];
            let mut json = json!({ "name": field.name, "title": field.title, "type": field.kind.word() });
            match &field.kind {
                FieldKind::Choice(choices) => json["choices"] = json!(choices.words()),
                FieldKind::Quantity(rule) => json["unit"] = json!(rule.unit.symbol()),
                _ => {}
            }
            json
        })
        .collect();
    json!({
        "point": point.name,
        "title": point.title,
        "aliases": point.aliases,
        "answers": if point.answers == Answers::One { "one" } else { "several" },
        "identified_by": names(&point.identified_by),
        "must_agree": names(&point.must_agree),
        "may_share": point.may_share,
        "fields": fields,
        "about": point.about,
        "check": point.check,
        "cautions": point.cautions,
    })
}
