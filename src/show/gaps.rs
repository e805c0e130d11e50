//! What the book lacks, line after line, or as JSON.

use serde_json::{Value as Json, json};

use super::ids::{conflict_code, decision_code, note_code};
use super::page::{Label, Page, counted};
use super::sentence::month;
use crate::gaps::Gap;
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::note::date_text;
use crate::vehicle::Years;

/// The list: one short paragraph for each gap.
pub fn list(page: &mut Page, language: &Language, gaps: &[Gap], shown: usize) {
    for gap in gaps {
        let name = format!("{} {}", gap.model.make, gap.model.model);
        let years = format!(" {}, ", plain_years(gap));
        let label = if gap.grade == Grade::Thin { Label::Weak } else { Label::Alarm };
        let conflict = gap.conflict.map(|anchor| conflict_code(anchor, shown));
        let title = format!("{}: ", language.catalogue.points[gap.point].title);
        let mut pieces = vec![
            (Label::Title, name.as_str()),
            (Label::Plain, years.as_str()),
            (Label::Plain, title.as_str()),
            (label, gap.grade.word()),
        ];
        if let Some(code) = &conflict {
            pieces.extend([(Label::Plain, ", "), (Label::Id, code.as_str())]);
        }
        let rechecks: Vec<String> = gap.rechecks.iter().map(|id| decision_code(*id, shown)).collect();
        let rechecks = rechecks.join(" ");
        if !rechecks.is_empty() {
            pieces.extend([(Label::Weak, ", to be rechecked "), (Label::Id, rechecks.as_str())]);
        }
        let opposed: Vec<String> = gap.opposed.iter().map(|note| note_code(*note, shown)).collect();
        let opposed = opposed.join(" ");
        if !opposed.is_empty() {
            pieces.extend([
                (Label::Alarm, ", decisions say the opposite about "),
                (Label::Id, opposed.as_str()),
            ]);
        }
        if gap.needed == Some(false) {
            pieces.push((Label::Aside, ", helps"));
        }
        let met = met(gap);
        pieces.push((Label::Aside, &met));
        page.paragraph(0, &pieces);
    }
}

fn plain_years(gap: &Gap) -> String {
    gap.years.iter().map(Years::plain).collect::<Vec<_>>().join(", ")
}

/// How often such a vehicle was here.
fn met(gap: &Gap) -> String {
    match gap.last {
        Some(last) => format!(" ({}, last {})", counted(gap.visits, "visit"), month(last)),
        None => " (none seen yet)".to_owned(),
    }
}

/// The same as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, gaps: &[Gap], shown: usize) -> Json {
    let gap = |gap: &Gap| {
        json!({
            "make": gap.model.make,
            "model": gap.model.model,
            "point": language.catalogue.points[gap.point].name,
            "grade": gap.grade,
            "years": gap.years.iter().map(Years::ends).collect::<Vec<_>>(),
            "rechecks": gap.rechecks.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "opposed": gap.opposed.iter().map(|note| note_code(*note, shown)).collect::<Vec<_>>(),
            "need": gap.needed.map(|needed| if needed { "must" } else { "may" }),
            "conflict": gap.conflict.map(|anchor| conflict_code(anchor, shown)),
            "visits": gap.visits,
            "last": gap.last.map(date_text),
        })
    };
    Json::Array(gaps.iter().map(gap).collect())
}
