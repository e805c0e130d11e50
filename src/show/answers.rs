//! What the book says of one vehicle: a small card for each point, or JSON.

use serde_json::{Map, Value as Json, json};

use super::ids::{conflict_code, note_code};
use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::{claimed, look_at, observed, plain, reason, sentence, vehicle};
use crate::ask::{Found, PointFound, Task};
use crate::catalogue::Point;
use crate::judge::answer::{Answer, Tally};
use crate::judge::cavity::CavityConflict;
use crate::judge::grade::{Evidence, Grade};
use crate::language::Language;
use crate::note::date_text;
use crate::vehicle::Match;

/// Remarks shown with an answer.
const REMARKS: usize = 2;

/// The cards.
pub fn cards(page: &mut Page, language: &Language, found: &Found) {
    let name = vehicle(language, &found.model.make, &found.model.model, &found.vehicle);
    page.paragraph(0, &[(Label::Title, &name)]);
    summary(page, language, found);
    tasks(page, language, found);
    for point in found.points.iter().filter(|point| !point.judged.answers.is_empty()) {
        page.gap();
        card(page, language, found, point);
    }
    for conflict in &found.cavities {
        page.gap();
        cavity(page, language, found.shown, conflict);
    }
    blanks(page, language, found);
    cautions(page, language, found);
}

/// What the shop wants to have looked at while such a vehicle is in.
fn tasks(page: &mut Page, language: &Language, found: &Found) {
    for task in &found.tasks {
        let lead = "While you are there: ";
        let why =
            format!(" ({}, {}: “{}”)", task.decision.by, date_text(task.decision.day), task.decision.because);
        let what = task_text(language, task);
        page.paragraph(0, &[(Label::Weak, lead), (Label::Plain, &what), (Label::Aside, &why)]);
    }
}

/// What to look at, and why it is not sure: `meter the brake signal, two notes disagree`.
fn task_text(language: &Language, task: &Task) -> String {
    let title = &language.catalogue.points[task.point].title;
    let what = match &task.cavity {
        Some((connector, cavity)) => format!("look what is in cavity {cavity} of connector {connector}"),
        None if language.catalogue.points[task.point].check.is_empty() => format!("look at the {title}"),
        None => format!("meter the {title}"),
    };
    let doubt = match task.decision.about.len() {
        1 => "one note is in doubt".to_owned(),
        2 => "two notes disagree".to_owned(),
        more => format!("{more} notes disagree"),
    };
    format!("{what}, {doubt}")
}

/// More points than this, and a reader wants to know first what is certain and what is not.
const FEW: usize = 3;

/// The points by their grades, what has to be looked at first.
fn summary(page: &mut Page, language: &Language, found: &Found) {
    let told: Vec<&PointFound> =
        found.points.iter().filter(|point| !point.judged.answers.is_empty()).collect();
    if told.len() <= FEW {
        return;
    }
    for grade in [Grade::Disputed, Grade::Thin, Grade::Between, Grade::Backed, Grade::Proven] {
        let of_grade: Vec<&str> = told
            .iter()
            .filter(|point| point.judged.grade == grade)
            .map(|point| language.catalogue.points[point.point].title.as_str())
            .collect();
        if !of_grade.is_empty() {
            let lead = format!("{}: ", capitalised(grade.word()));
            page.paragraph(0, &[(label(grade), &lead), (Label::Plain, &of_grade.join(", "))]);
        }
    }
}

fn card(page: &mut Page, language: &Language, found: &Found, point: &PointFound) {
    let about = &language.catalogue.points[point.point];
    let grade = point.judged.grade;
    let title = format!("{}: ", capitalised(&about.title));
    let mut head = vec![(Label::Title, title.as_str()), (label(grade), grade.word())];
    let conflict = point.judged.conflict.map(|anchor| conflict_code(anchor, found.shown));
    if let Some(code) = &conflict {
        head.extend([(Label::Plain, ", conflict "), (Label::Id, code.as_str())]);
    }
    page.paragraph(0, &head);
    if grade == Grade::Disputed {
        page.block(2, &[(Label::Alarm, "Notes contradict each other here. Meter before you cut.")]);
    }
    for (at, answer) in point.judged.answers.iter().enumerate() {
        let number = (point.judged.answers.len() > 1).then_some(at + 1);
        self::answer(page, language, found, point, answer, number);
    }
    if !about.check.is_empty() {
        page.paragraph(2, &[(Label::Aside, "Prove it: "), (Label::Plain, &about.check)]);
    }
    for caution in &about.cautions {
        page.paragraph(2, &[(Label::Weak, "Caution: "), (Label::Plain, caution)]);
    }
}

fn label(grade: Grade) -> Label {
    match grade {
        Grade::Proven | Grade::Backed => Label::Sure,
        Grade::Between | Grade::Thin => Label::Weak,
        Grade::Disputed | Grade::Blank => Label::Alarm,
    }
}

fn answer(
    page: &mut Page,
    language: &Language,
    found: &Found,
    point: &PointFound,
    answer: &Answer,
    number: Option<usize>,
) {
    let values = point.values_of(answer, language);
    let said = sentence(language, &values);
    let lead = number.map(|number| format!("{number}. ")).unwrap_or_default();
    let indent = if number.is_some() { 5 } else { 2 };
    if !said.is_empty() {
        let end = if said.ends_with('.') { "" } else { "." };
        page.paragraph(2, &[(Label::Plain, &lead), (Label::Value, &said), (Label::Plain, end)]);
    }
    for (field, text) in values.iter().filter(|(field, _)| language.catalogue.fields[*field].kind.is_prose())
    {
        let title = format!("{}: ", capitalised(&language.catalogue.fields[*field].title));
        page.paragraph(indent, &[(Label::Plain, &title), (Label::Plain, text)]);
    }
    spread(page, language, answer, indent);
    let why = reason(answer.grade, &answer.evidence, &found.vehicle);
    let of = if number.is_some() { format!("{}: ", capitalised(answer.grade.word())) } else { String::new() };
    let why = if number.is_some() { why } else { capitalised(&why) };
    let scope = format!("; {}. ", claimed(language, &answer.scope));
    let codes = codes(point, answer, found.shown);
    page.paragraph(
        indent,
        &[(label(answer.grade), &of), (Label::Plain, &why), (Label::Plain, &scope), (Label::Id, &codes)],
    );
    conditions(page, language, answer, indent);
    remarks(page, point, answer, indent);
}

fn codes(point: &PointFound, answer: &Answer, shown: usize) -> String {
    const LISTED: usize = 3;
    let mut codes: Vec<String> = point.ids_of(answer).take(LISTED).map(|id| note_code(id, shown)).collect();
    if answer.entries.len() > LISTED {
        codes.push(format!("and {} more", answer.entries.len() - LISTED));
    }
    codes.join(" ")
}

/// What the notes say differently where it is not contested: other places, the spread of times.
fn spread(page: &mut Page, language: &Language, answer: &Answer, indent: usize) {
    for tally in answer.tallies.iter().filter(|tally| tally.texts.len() > 1) {
        let Some(field) = language.catalogue.field(&tally.field) else { continue };
        let others: Vec<String> = match crate::spread::of(language, field, tally) {
            Some(spread) => vec![spread.sentence()],
            None => tally.texts[1..].iter().take(3).map(|(text, _)| plain(language, field, text)).collect(),
        };
        let title = &language.catalogue.fields[field].title;
        let lead = match tally.field.as_str() {
            "at" => "Also told at: ".to_owned(),
            _ => format!("Notes differ on {title}: "),
        };
        page.paragraph(indent, &[(Label::Aside, &lead), (Label::Plain, &listed(&others, "or"))]);
    }
}

fn conditions(page: &mut Page, language: &Language, answer: &Answer, indent: usize) {
    if let Some((dimensions, more)) = &answer.conditional
        && more.observations > 0
    {
        let like = if more.covering > 0 { " like this" } else { "" };
        let told = format!("{}. Look at: {}", observed(more, like), look_at(language, dimensions));
        let titles: Vec<String> =
            dimensions.iter().map(|name| language.vocabulary().title(name).to_owned()).collect();
        let lead = format!("More is known depending on {}: ", listed(&titles, "and"));
        page.paragraph(indent, &[(Label::Weak, &lead), (Label::Plain, &told)]);
    }
    if let Match::DependsOn(dimensions) = &answer.applies {
        let look = look_at(language, dimensions);
        page.paragraph(indent, &[(Label::Weak, "Depends on the vehicle: "), (Label::Plain, &look)]);
    }
    if !answer.evidence.dispute_depends_on.is_empty() {
        let dimensions: Vec<String> = answer.evidence.dispute_depends_on.iter().cloned().collect();
        let look = look_at(language, &dimensions);
        page.paragraph(
            indent,
            &[(Label::Weak, "Whether it is disputed depends on: "), (Label::Plain, &look)],
        );
    }
}

fn remarks(page: &mut Page, point: &PointFound, answer: &Answer, indent: usize) {
    for note in point.notes_of(answer).filter(|note| !note.remark.is_empty()).take(REMARKS) {
        let by = format!(" ({}, {})", note.by, date_text(note.day));
        page.paragraph(
            indent,
            &[(Label::Plain, "“"), (Label::Plain, &note.remark), (Label::Plain, "”"), (Label::Aside, &by)],
        );
    }
}

fn cavity(page: &mut Page, language: &Language, shown: usize, conflict: &CavityConflict) {
    let code = super::ids::cavity_code(conflict.anchor, shown);
    let mut points: Vec<String> = conflict
        .claimants
        .iter()
        .map(|claimant| language.catalogue.points[claimant.point].title.clone())
        .collect();
    points.dedup();
    let what = format!(
        "Cavity {} of connector {} is told to be {}. Meter before you cut.",
        conflict.cavity,
        conflict.connector,
        listed(&points, "and")
    );
    page.paragraph(
        0,
        &[(Label::Alarm, "Conflict "), (Label::Id, &code), (Label::Plain, ": "), (Label::Plain, &what)],
    );
}

fn blanks(page: &mut Page, language: &Language, found: &Found) {
    let points = &language.catalogue.points;
    let elsewhere: Vec<&PointFound> =
        found.points.iter().filter(|point| !point.judged.elsewhere.is_empty()).collect();
    for point in &elsewhere {
        page.gap();
        let title = format!("{}: ", capitalised(&points[point.point].title));
        page.paragraph(
            0,
            &[
                (Label::Title, &title),
                (Label::Alarm, "blank"),
                (Label::Plain, ", nothing is claimed for this vehicle"),
            ],
        );
        for other in &point.judged.elsewhere {
            let values: Vec<(usize, String)> = point
                .bucket
                .texts(&other.claim)
                .filter_map(|(name, text)| {
                    language.catalogue.field(name).map(|field| (field, text.to_owned()))
                })
                .collect();
            let said = sentence(language, &values);
            let scope = format!("Not for yours, but {}: ", claimed(language, &other.scope));
            let seen = format!(" ({})", counted(other.observations, "observation"));
            page.paragraph(2, &[(Label::Aside, &scope), (Label::Plain, &said), (Label::Aside, &seen)]);
        }
    }
    let silent: Vec<String> = found
        .blank
        .iter()
        .filter(|point| elsewhere.iter().all(|other| other.point != **point))
        .map(|point| points[*point].title.clone())
        .collect();
    if !silent.is_empty() {
        page.gap();
        page.paragraph(
            0,
            &[(Label::Title, "Nothing known: "), (Label::Plain, &silent.join(", ")), (Label::Plain, ".")],
        );
    }
}

fn cautions(page: &mut Page, language: &Language, found: &Found) {
    if found.points.is_empty() && found.blank.is_empty() {
        return;
    }
    page.gap();
    page.paragraph(0, &[(Label::Title, "Before you start")]);
    for caution in &language.catalogue.cautions {
        page.paragraph(0, &[(Label::Plain, "- "), (Label::Plain, caution)]);
    }
}

/// The same as JSON; its shape is written down in DEVELOPERS.md.
#[must_use]
pub fn to_json(language: &Language, found: &Found, not_understood: &[String]) -> Json {
    let mut about = found.vehicle.to_json();
    let mut vehicle = Map::new();
    vehicle.insert("make".to_owned(), json!(found.model.make));
    vehicle.insert("model".to_owned(), json!(found.model.model));
    vehicle.append(&mut about);
    let points = &language.catalogue.points;
    let told: Vec<Json> = found
        .points
        .iter()
        .map(|point| point_json(language, point, &points[point.point], found.shown))
        .collect();
    let blank: Vec<&str> = found.blank.iter().map(|point| points[*point].name.as_str()).collect();
    let cavities: Vec<Json> = found
        .cavities
        .iter()
        .map(|conflict| json!({ "id": super::ids::cavity_code(conflict.anchor, found.shown), "connector": conflict.connector, "cavity": conflict.cavity }))
        .collect();
    json!({
        "vehicle": vehicle,
        "points": told,
        "blank": blank,
        "cavity_conflicts": cavities,
        "tasks": found.tasks.iter().map(|task| task_json(language, task)).collect::<Vec<_>>(),
        "cautions": language.catalogue.cautions,
        "not_understood": not_understood,
    })
}

fn task_json(language: &Language, task: &Task) -> Json {
    json!({
        "point": language.catalogue.points[task.point].name,
        "task": task_text(language, task),
        "decision": task.id.to_string(),
        "by": task.decision.by,
        "on": date_text(task.decision.day),
        "because": task.decision.because,
    })
}

fn point_json(language: &Language, found: &PointFound, point: &Point, shown: usize) -> Json {
    let answers: Vec<Json> =
        found.judged.answers.iter().map(|answer| answer_json(language, found, answer, shown)).collect();
    let mut json = json!({
        "point": point.name,
        "grade": found.judged.grade,
        "conflict": found.judged.conflict.map(|anchor| conflict_code(anchor, shown)),
        "answers": answers,
        "check": point.check,
        "cautions": point.cautions,
    });
    if !found.judged.elsewhere.is_empty() {
        let elsewhere: Vec<Json> = found
            .judged
            .elsewhere
            .iter()
            .map(|other| {
                let values: Map<String, Json> =
                    found.bucket.texts(&other.claim).map(|(name, text)| (name.to_owned(), json!(text))).collect();
                let notes: Vec<String> =
                    other.entries.iter().map(|entry| note_code(found.bucket.entries[*entry].id, shown)).collect();
                json!({ "values": values, "scope": other.scope.to_json(), "observations": other.observations, "notes": notes })
            })
            .collect();
        json["elsewhere"] = json!(elsewhere);
    }
    json
}

fn answer_json(language: &Language, found: &PointFound, answer: &Answer, shown: usize) -> Json {
    let fields = &language.catalogue.fields;
    let values: Map<String, Json> = found
        .values_of(answer, language)
        .into_iter()
        .map(|(field, text)| (fields[field].name.clone(), json!(text)))
        .collect();
    let (applies, depends_on) = match &answer.applies {
        Match::DependsOn(dimensions) => ("depends", dimensions.clone()),
        Match::Applies | Match::Excluded => ("yes", Vec::new()),
    };
    let evidence = &answer.evidence;
    let notes: Vec<String> = found.ids_of(answer).map(|id| note_code(id, shown)).collect();
    let mut json = json!({
        "values": values,
        "grade": answer.grade,
        "applies": applies,
        "depends_on": depends_on,
        "scope": answer.scope.to_json(),
        "observations": evidence.observations,
        "covering": evidence.covering,
        "by_basis": by_basis(evidence),
        "last": evidence.last.map(date_text),
        "years_seen": evidence.years_seen,
        "notes": notes,
    });
    if let Some((dimensions, more)) = &answer.conditional {
        json["more_if"] = json!({
            "depends_on": dimensions,
            "observations": more.observations,
            "covering": more.covering,
            "by_basis": by_basis(more),
            "last": more.last.map(date_text),
        });
    }
    if !evidence.dispute_depends_on.is_empty() {
        json["dispute_depends_on"] = json!(evidence.dispute_depends_on);
    }
    let also: Map<String, Json> = answer
        .tallies
        .iter()
        .filter(|tally| tally.texts.len() > 1)
        .map(|tally| also_json(language, tally))
        .collect();
    if !also.is_empty() {
        json["also"] = json!(also);
    }
    json
}

fn by_basis(evidence: &Evidence) -> Map<String, Json> {
    evidence.by_basis.iter().map(|(basis, count)| (basis.word().to_owned(), json!(count))).collect()
}

fn also_json(language: &Language, tally: &Tally) -> (String, Json) {
    let spread =
        language.catalogue.field(&tally.field).and_then(|field| crate::spread::of(language, field, tally));
    let told = match spread {
        Some(spread) => spread.to_json(),
        None => json!(tally.texts.iter().skip(1).map(|(text, _)| text).collect::<Vec<_>>()),
    };
    (tally.field.clone(), told)
}
