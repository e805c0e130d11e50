//! What an answer says, in words that a person would use; and why it has its grade.

use super::page::{capitalised, listed};
use crate::judge::grade::{Evidence, Grade};
use crate::language::Language;
use crate::note::{Basis, date_of};
use crate::value::{FieldKind, Value};
use crate::vehicle::{Scope, Vehicle};

/// A canonical text of a field in plain words.
#[must_use]
pub fn plain(language: &Language, field: usize, text: &str) -> String {
    // A place is said as it is stored, and takes the longest to read.
    if matches!(language.catalogue.fields[field].kind, FieldKind::Place) {
        return text.to_owned();
    }
    match language.read(field, text) {
        Ok(value @ Value::Colour(_)) if value.plain() != text => format!("{} ({text})", value.plain()),
        Ok(value) => value.plain(),
        Err(_) => text.to_owned(),
    }
}

/// The values of an answer as one sentence, free words left out.
#[must_use]
pub fn sentence(language: &Language, values: &[(usize, String)]) -> String {
    let said: Vec<String> = phrases(language, values).into_iter().map(|(_, phrase)| phrase).collect();
    capitalised(&said.join(", "))
}

/// The values of an answer, each as a phrase with its field, free words left out.
#[must_use]
pub fn phrases(language: &Language, values: &[(usize, String)]) -> Vec<(usize, String)> {
    let mut said = Vec::new();
    let named = |name: &str| {
        let field = language.catalogue.field(name)?;
        values
            .iter()
            .find(|(found, _)| *found == field)
            .map(|(_, text)| (field, plain(language, field, text)))
    };
    for (field, text) in values {
        let field_data = &language.catalogue.fields[*field];
        if field_data.kind.is_prose() || matches!(&*field_data.name, "idle" | "active") {
            continue;
        }
        said.push((*field, phrase(&field_data.name, &field_data.title, &plain(language, *field, text))));
    }
    let (idle, active) = (named("idle"), named("active"));
    let text = |known: &Option<(usize, String)>| known.as_ref().map(|(_, text)| text.clone());
    if let Some(meter) = meter(text(&idle).as_deref(), text(&active).as_deref()) {
        said.extend(active.or(idle).map(|(field, _)| (field, meter)));
    }
    said
}

fn phrase(name: &str, title: &str, text: &str) -> String {
    match (name, text) {
        ("colour", _) => text.to_owned(),
        ("at", _) => format!("at: {text}"),
        ("grommet", "existing") => "through the existing grommet".to_owned(),
        ("grommet", "none") => "no grommet there".to_owned(),
        ("grommet", "fit-new") => "fit a new grommet".to_owned(),
        ("signal", _) => format!("{text} signal"),
        ("hot", when) => hot_when(when),
        ("minutes", _) => text.to_owned(),
        _ => format!("{title} {text}"),
    }
}

/// When a feed is live, from a choice of the field `hot`.
#[must_use]
pub fn hot_when(hot: &str) -> String {
    if hot == "always" { "always hot".to_owned() } else { format!("hot with {hot}") }
}

/// What a meter showed when it was measured.
fn meter(idle: Option<&str>, active: Option<&str>) -> Option<String> {
    match (idle, active) {
        (Some(idle), Some(active)) => Some(format!("measured {idle} at rest and {active} when active")),
        (Some(idle), None) => Some(format!("measured {idle} at rest")),
        (None, Some(active)) => Some(format!("measured {active} when active")),
        (None, None) => None,
    }
}

/// Why an answer has its grade, in one phrase.
#[must_use]
pub fn reason(language: &Language, grade: Grade, evidence: &Evidence, vehicle: &Vehicle) -> String {
    let seen = seen_on(evidence, vehicle);
    let diagram = if evidence.diagram { "; a wiring diagram takes this vehicle in" } else { "" };
    if evidence.covering > 0 {
        return format!("{}{diagram}", observed(language, evidence, true));
    }
    if let (Grade::Between, Some((earlier, later))) = (grade, evidence.between) {
        return format!("the same seen on {earlier} and on {later}; yours lies between");
    }
    match (evidence.observations > 0, evidence.diagram, evidence.only_told) {
        (true, _, _) => format!("{seen}; {}{diagram}", observed(language, evidence, false)),
        (false, true, _) => "from a wiring diagram that takes this vehicle in; not seen on one".to_owned(),
        (false, false, true) => "only told, never seen".to_owned(),
        (false, false, false) => "claimed, but no note says on which vehicle it was looked at".to_owned(),
    }
}

/// How often it was metered, fitted and inspected, and when last. Two hands may have stood before one vehicle: only
/// how often somebody looked is known. `like` says whether it was on vehicles that cover the asked one.
#[must_use]
pub fn observed(language: &Language, evidence: &Evidence, like: bool) -> String {
    let times = |(basis, count): &(Basis, usize)| match count {
        1 => format!("{} once", basis.word()),
        2 => format!("{} twice", basis.word()),
        more => format!("{} {more} times", basis.word()),
    };
    let told: Vec<String> = evidence.by_basis.iter().map(times).collect();
    let like = match (like, evidence.by_basis.iter().map(|(_, count)| count).sum::<usize>()) {
        (false, _) => "",
        (true, 1) => " on a vehicle like this",
        (true, _) => " on vehicles like this",
    };
    let last = evidence.last.map(month).map(|month| format!(", last {month}")).unwrap_or_default();
    format!("{}{like}{last}{}", listed(&told, "and"), silent(language, evidence))
}

/// How many of those that were counted say nothing of a field that the answer has: `, 1 of them says nothing of the
/// colour`.
fn silent(language: &Language, evidence: &Evidence) -> String {
    let counted: usize = evidence.by_basis.iter().map(|(_, count)| count).sum();
    let told = evidence.silent.iter().map(|(name, count)| {
        let field = language.catalogue.field(name);
        let title = field.map_or(name.as_str(), |field| &language.catalogue.fields[field].title);
        match (count, counted) {
            (1, 1) => format!(", but that says nothing of the {title}"),
            (all, counted) if *all == counted => format!(", but none of them says anything of the {title}"),
            (1, _) => format!(", 1 of them says nothing of the {title}"),
            (more, _) => format!(", {more} of them say nothing of the {title}"),
        }
    });
    told.collect()
}

fn seen_on(evidence: &Evidence, vehicle: &Vehicle) -> String {
    let years: Vec<String> = evidence.years_seen.iter().map(ToString::to_string).collect();
    match (years.is_empty(), vehicle.year()) {
        (true, _) => "seen on a vehicle of unknown year".to_owned(),
        (false, Some(year)) if !evidence.years_seen.contains(&year) => {
            format!("seen on {}, yours is {year}", listed(&years, "and"))
        }
        (false, Some(_)) => format!("seen on {}, but on one that differs from yours", listed(&years, "and")),
        (false, None) => format!("seen on {}; say the model year of yours", listed(&years, "and")),
    }
}

/// The month of a day: `2024-03`.
#[must_use]
pub fn month(day: i32) -> String {
    let date = date_of(day);
    format!("{:04}-{:02}", date.year(), date.month())
}

/// For which vehicles something is claimed.
#[must_use]
pub fn claimed(language: &Language, scope: &Scope) -> String {
    format!("claimed for {}", scope.describe(language.vocabulary()))
}

/// What to look at on the vehicle before an answer that depends on it can be used.
#[must_use]
pub fn look_at(language: &Language, dimensions: &[String]) -> String {
    let asked: Vec<String> = dimensions
        .iter()
        .map(|name| {
            language
                .vocabulary()
                .look(name)
                .map_or_else(|| language.vocabulary().title(name).to_owned(), str::to_owned)
        })
        .collect();
    listed(&asked, "and")
}

/// A vehicle with its maker and model, in plain words.
#[must_use]
pub fn vehicle(language: &Language, make: &str, model: &str, vehicle: &Vehicle) -> String {
    let year = vehicle.year().map(|year| format!("{year} ")).unwrap_or_default();
    let known = vehicle.clone().without_year();
    let rest =
        if known.is_blank() { String::new() } else { format!(", {}", known.describe(language.vocabulary())) };
    format!("{year}{make} {model}{rest}")
}
