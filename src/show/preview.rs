//! What lookups of a few kinds of vehicles say before and after a change of the book, for a person and as JSON.

use serde_json::{Map, Value as Json, json};

use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::sentence;
use crate::judge::grade::Grade;
use crate::language::Language;
use crate::preview::{Difference, Said, View};
use crate::vehicle::grid::Kind;

/// What lookups of vehicles say now and would say; of more kinds than `most` the rest is only counted. Vehicles without
/// a year come last: who asks has one before them.
pub fn differences(page: &mut Page, language: &Language, differences: &[Difference], most: usize) {
    let lead = if differences.is_empty() { "No lookup says anything else." } else { "Lookups that change:" };
    page.paragraph(0, &[(Label::Title, lead)]);
    let (last, first): (Vec<_>, Vec<_>) = differences.iter().partition(|one| one.is_without_year());
    for difference in first.into_iter().chain(last).take(most) {
        let title = capitalised(&language.catalogue.points[difference.point].title);
        let vehicles: Vec<String> =
            difference.vehicles.iter().map(|kind| kind.describe(language.vocabulary())).collect();
        page.paragraph(
            2,
            &[(Label::Title, &title), (Label::Title, " of "), (Label::Title, &vehicles.join("; "))],
        );
        for (lead, view) in [("says now: ", &difference.before), ("would say: ", &difference.after)] {
            page.paragraph(4, &[(Label::Aside, lead), (Label::Plain, &in_short(language, view))]);
        }
    }
    if differences.len() > most {
        let more = counted(differences.len() - most, "more kind");
        let told = format!("and of {more} of vehicles; --json tells of all");
        page.paragraph(2, &[(Label::Weak, &told)]);
    }
}

fn in_short(language: &Language, view: &View) -> String {
    let answers: Vec<String> = view.answers.iter().map(|said| answer(language, view.grade, said)).collect();
    let task = if view.recheck { "; to be rechecked" } else { "" };
    match answers.is_empty() {
        true => format!("{}{task}", view.grade.word()),
        false => format!("{}: {}{task}", view.grade.word(), answers.join(" / ")),
    }
}

/// One answer; its grade, where it is not that of the whole, and what it depends on behind it.
fn answer(language: &Language, whole: Grade, said: &Said) -> String {
    let field =
        |(name, text): &(String, String)| language.catalogue.field(name).map(|field| (field, text.clone()));
    let values: Vec<(usize, String)> = said.values.iter().filter_map(field).collect();
    let grade = (said.grade != whole).then(|| said.grade.word().to_owned());
    let titles = said.depends_on.iter().map(|name| language.vocabulary().title(name).to_owned());
    let titles: Vec<String> = titles.collect();
    let depends = (!titles.is_empty()).then(|| format!("depends on {}", listed(&titles, "and")));
    let beside: Vec<String> = grade.into_iter().chain(depends).collect();
    let beside = if beside.is_empty() { String::new() } else { format!(" ({})", beside.join("; ")) };
    format!("{}{beside}", sentence(language, &values))
}

/// The same as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, differences: &[Difference]) -> Vec<Json> {
    let difference = |difference: &Difference| {
        json!({
            "point": language.catalogue.points[difference.point].name,
            "vehicles": difference.vehicles.iter().map(Kind::to_json).collect::<Vec<_>>(),
            "before": view(&difference.before),
            "after": view(&difference.after),
        })
    };
    differences.iter().map(difference).collect()
}

fn view(view: &View) -> Json {
    let answer = |answer: &Said| {
        let text = |(field, text): &(String, String)| (field.clone(), json!(text));
        let values: Map<String, Json> = answer.values.iter().map(text).collect();
        json!({ "values": values, "grade": answer.grade, "depends_on": answer.depends_on })
    };
    let answers: Vec<Json> = view.answers.iter().map(answer).collect();
    json!({ "grade": view.grade, "answers": answers, "recheck": view.recheck })
}
