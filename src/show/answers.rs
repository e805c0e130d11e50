//! What the book says of one vehicle: a small card for each point, or JSON.

use super::decisions::opposition;
use super::ids::{cavity_code, conflict_code, note_code};
use super::page::{Label, Page, capitalised, counted, listed};
use super::sentence::{claimed, look_at, observed, plain, reason, sentence, vehicle};
use crate::ask::{Found, PointFound, Task};
use crate::catalogue::Point;
use crate::judge::answer::{Answer, More};
use crate::judge::cavity::CavityConflict;
use crate::judge::grade::Grade;
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

/// What to look at, and why it is not sure: `meter the brake signal, two notes disagree`. Of more notes some agree.
pub(super) fn task_text(language: &Language, task: &Task) -> String {
    let title = &language.catalogue.points[task.point].title;
    let what = match &task.cavity {
        Some((connector, cavity)) => format!("look what is in cavity {cavity} of connector {connector}"),
        None if language.catalogue.points[task.point].check.is_empty() => format!("look at the {title}"),
        None => format!("meter the {title}"),
    };
    let doubt = match (task.decision.about.len(), task.sides) {
        (1, _) => "one note is in doubt".to_owned(),
        (2, _) => "two notes disagree".to_owned(),
        (more, 0 | 1) => format!("{more} notes are in doubt"),
        (more, 2) => format!("two sides disagree, {more} notes"),
        (more, sides) => format!("{sides} sides disagree, {more} notes"),
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
            .map(|point| &*language.catalogue.points[point.point].title)
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
    for one in &point.opposed {
        opposition(page, one, found.shown, 2);
    }
    if let Some(anchor) = point.judged.mentioned {
        let code = conflict_code(anchor, found.shown);
        page.paragraph(
            2,
            &[
                (Label::Weak, "Notes contradict each other, but by word of mouth or without a vehicle: "),
                (Label::Id, &code),
            ],
        );
    }
    if let Some(anchor) = point.judged.possible {
        let (lead, code) = (
            "Notes contradict each other if they speak of the same one: ",
            conflict_code(anchor, found.shown),
        );
        page.paragraph(2, &[(Label::Weak, lead), (Label::Id, &code)]);
    }
    for (at, answer) in point.judged.answers.iter().enumerate() {
        let number = (point.judged.answers.len() > 1).then_some(at + 1);
        self::answer(page, language, found, point, answer, number);
    }
    noted(page, point, found.shown);
    not_for_yours(page, language, point);
    for conflict in found.cavities.iter().filter(|conflict| conflict.is_claimed_by(point.point)) {
        page.paragraph(2, &borrowed(&contested(language, conflict, found.shown)));
    }
    if !about.check.is_empty() {
        page.paragraph(2, &[(Label::Aside, "Prove it: "), (Label::Plain, &about.check)]);
    }
    for caution in about.cautions.iter().filter(|caution| sharers(language, found, caution).len() < 2) {
        page.paragraph(2, &[(Label::Weak, "Caution: "), (Label::Plain, caution)]);
    }
}

/// The points on the page that have this caution.
fn sharers<'l>(language: &'l Language, found: &Found, caution: &str) -> Vec<&'l Point> {
    let told = found.points.iter().filter(|point| !point.judged.answers.is_empty());
    let points = told.map(|point| &language.catalogue.points[point.point]);
    points.filter(|point| point.cautions.iter().any(|own| own == caution)).collect()
}

pub(super) fn label(grade: Grade) -> Label {
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
    spread(page, language, point, answer, indent);
    let odds = match answer.grade {
        Grade::Disputed | Grade::Thin | Grade::Between => format!("; about {} to be right", answer.support),
        Grade::Proven | Grade::Backed | Grade::Blank => String::new(),
    };
    let why = format!("{}{odds}", reason(language, answer.grade, &answer.evidence, &found.vehicle));
    let of = if number.is_some() { format!("{}: ", capitalised(answer.grade.word())) } else { String::new() };
    let why = if number.is_some() { why } else { capitalised(&why) };
    let scope = format!("; {}. ", claimed(language, &answer.scope));
    let codes = codes(point, answer, found.shown);
    page.paragraph(
        indent,
        &[(label(answer.grade), &of), (Label::Plain, &why), (Label::Plain, &scope), (Label::Id, &codes)],
    );
    conditions(page, language, answer, indent);
    nearby(page, point, answer, found.shown, indent);
    remarks(page, point, answer, indent);
}

/// Where it is not certain: who saw the same on vehicles that the notes do not claim to be like this one.
fn nearby(page: &mut Page, point: &PointFound, answer: &Answer, shown: usize, indent: usize) {
    if matches!(answer.grade, Grade::Proven | Grade::Backed) || answer.nearby.is_empty() {
        return;
    }
    const LISTED: usize = 3;
    let id = |entry: &usize| note_code(point.bucket.entries[*entry].id, shown);
    let codes: Vec<String> = answer.nearby.iter().take(LISTED).map(id).collect();
    let lead = format!("The same was seen {}, not claimed for yours: ", times(answer.nearby.len()));
    page.paragraph(indent, &[(Label::Aside, &lead), (Label::Id, &codes.join(" "))]);
}

fn times(count: usize) -> String {
    match count {
        1 => "on another vehicle".to_owned(),
        _ => format!("{count} times on others"),
    }
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
fn spread(page: &mut Page, language: &Language, point: &PointFound, answer: &Answer, indent: usize) {
    for tally in answer.tallies.iter().filter(|tally| tally.texts.len() > 1) {
        let Some(field) = language.catalogue.field(&tally.field) else { continue };
        let others: Vec<String> = match crate::spread::of(language, field, tally) {
            Some(spread) => vec![spread.sentence()],
            None => tally.texts[1..]
                .iter()
                .take(3)
                .map(|(text, _)| {
                    with_connectors(plain(language, field, text), &tally.field, text, point, answer)
                })
                .collect(),
        };
        let title = &language.catalogue.fields[field].title;
        let lead = match tally.field.as_str() {
            "at" => "Also at: ".to_owned(),
            _ => format!("Notes differ on {title}: "),
        };
        page.paragraph(indent, &[(Label::Aside, &lead), (Label::Plain, &listed(&others, "or"))]);
    }
}

/// A place with the connector that is met there, where that is not the answer's own.
fn with_connectors(shown: String, field: &str, text: &str, point: &PointFound, answer: &Answer) -> String {
    let connectors = if field == "at" { point.other_connectors(answer, text) } else { Vec::new() };
    match connectors.as_slice() {
        [] => shown,
        named => format!("{shown} (connector {})", named.join(", ")),
    }
}

fn title(language: &Language, field: &str) -> String {
    let known = language.catalogue.field(field);
    known.map_or_else(|| field.to_owned(), |at| language.catalogue.fields[at].title.to_string())
}

/// What notes say more exactly: `cavity 2; `.
fn values(language: &Language, more: &More) -> String {
    let told = more.values.iter().map(|(field, texts)| {
        let shown: Vec<String> = texts
            .iter()
            .map(|text| match language.catalogue.field(field) {
                Some(at) => plain(language, at, text),
                None => text.clone(),
            })
            .collect();
        format!("{} {}; ", title(language, field), listed(&shown, "or"))
    });
    told.collect()
}

fn conditions(page: &mut Page, language: &Language, answer: &Answer, indent: usize) {
    if !answer.told_only.is_empty() {
        let fields: Vec<String> = answer.told_only.iter().map(|name| title(language, name)).collect();
        let told = format!("{}.", listed(&fields, "and"));
        page.paragraph(indent, &[(Label::Weak, "Only by word of mouth: "), (Label::Plain, &told)]);
    }
    if let Some(more) = &answer.conditional
        && (more.evidence.observations > 0 || !more.values.is_empty())
    {
        let like = more.evidence.covering > 0;
        let seen = match more.evidence.observations {
            0 => String::new(),
            _ => format!("{}. ", observed(language, &more.evidence, like)),
        };
        let told =
            format!("{}{seen}Look at: {}", values(language, more), look_at(language, &more.depends_on));
        let titles: Vec<String> =
            more.depends_on.iter().map(|name| language.vocabulary().title(name).to_owned()).collect();
        let lead = format!("More is known depending on {}: ", listed(&titles, "and"));
        page.paragraph(indent, &[(Label::Weak, &lead), (Label::Plain, &told)]);
    }
    if let Match::DependsOn(dimensions) = &answer.applies {
        let look = look_at(language, dimensions);
        let titles: Vec<String> =
            dimensions.iter().map(|name| language.vocabulary().title(name).to_owned()).collect();
        let lead = format!("Depends on {}: look at ", listed(&titles, "and"));
        page.paragraph(indent, &[(Label::Weak, &lead), (Label::Plain, &look)]);
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

/// What notes remark that claim nothing.
fn noted(page: &mut Page, point: &PointFound, shown: usize) {
    for remark in mere_remarks(point, shown) {
        page.paragraph(2, &borrowed(&remark));
    }
}

/// The remarks of notes that claim nothing: `Noted: “taped over” (R. Okafor, 2024-03-11) n-…`.
pub fn mere_remarks(point: &PointFound, shown: usize) -> impl Iterator<Item = [(Label, String); 4]> {
    point.noted().map(move |(id, note)| {
        [
            (Label::Aside, "Noted: ".to_owned()),
            (Label::Plain, format!("“{}”", note.remark)),
            (Label::Aside, format!(" ({}, {}) ", note.by, date_text(note.day))),
            (Label::Id, note_code(id, shown)),
        ]
    })
}

fn borrowed(pieces: &[(Label, String)]) -> Vec<(Label, &str)> {
    pieces.iter().map(|(label, text)| (*label, text.as_str())).collect()
}

/// A contested cavity: `Conflict c-…-cavity: cavity 14 of connector C212 is noted for left turn and park lamps. …`
#[must_use]
pub fn contested(language: &Language, conflict: &CavityConflict, shown: usize) -> [(Label, String); 3] {
    let titles = conflict.claimants.iter().map(|one| language.catalogue.points[one.point].title.to_string());
    let mut points: Vec<String> = titles.collect();
    points.dedup();
    let what = format!(
        ": cavity {} of connector {} is noted for {}. Meter before you cut.",
        conflict.cavity,
        conflict.connector,
        listed(&points, "and")
    );
    let code = cavity_code(conflict.anchor, shown);
    [(Label::Alarm, "Conflict ".to_owned()), (Label::Id, code), (Label::Plain, what)]
}

/// What is claimed for other vehicles of the model.
fn not_for_yours(page: &mut Page, language: &Language, point: &PointFound) {
    for other in &point.judged.elsewhere {
        let values: Vec<(usize, String)> = point
            .bucket
            .texts(&other.claim)
            .filter_map(|(name, text)| language.catalogue.field(name).map(|field| (field, text.to_owned())))
            .collect();
        let said = sentence(language, &values);
        let scope = format!("Not for yours, but {}: ", claimed(language, &other.scope));
        let odds = format!("about {} to be so on yours", other.support);
        let seen = format!(" ({}; {odds})", counted(other.observations, "observation"));
        page.paragraph(2, &[(Label::Aside, &scope), (Label::Plain, &said), (Label::Aside, &seen)]);
    }
}

fn blanks(page: &mut Page, language: &Language, found: &Found) {
    let points = &language.catalogue.points;
    let has_more = |point: &&PointFound| !point.judged.elsewhere.is_empty() || point.noted().next().is_some();
    let blank = found.points.iter().filter(|point| point.judged.answers.is_empty());
    let elsewhere: Vec<&PointFound> = blank.filter(has_more).collect();
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
        noted(page, point, found.shown);
        not_for_yours(page, language, point);
    }
    let silent: Vec<String> = found
        .blank
        .iter()
        .filter(|point| elsewhere.iter().all(|other| other.point != **point))
        .map(|point| points[*point].title.to_string())
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
    for caution in &*language.catalogue.cautions {
        page.paragraph(0, &[(Label::Plain, "- "), (Label::Plain, caution)]);
    }
    shared_cautions(page, language, found);
}

/// Cautions that several points of the page have in common: told once, and of which.
fn shared_cautions(page: &mut Page, language: &Language, found: &Found) {
    let mut told: Vec<&str> = Vec::new();
    for caution in found.points.iter().flat_map(|point| &*language.catalogue.points[point.point].cautions) {
        let sharers = sharers(language, found, caution);
        if sharers.len() < 2 || told.contains(&&**caution) {
            continue;
        }
        told.push(caution);
        let titles: Vec<String> = sharers.iter().map(|point| point.title.to_string()).collect();
        let lead = format!("- {}: ", capitalised(&listed(&titles, "and")));
        page.paragraph(0, &[(Label::Plain, &lead), (Label::Plain, caution)]);
    }
}
